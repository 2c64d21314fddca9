//! Why a file is not a layout: what, where, what to do, and the line with a caret under it.

use std::fmt;
use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use thiserror::Error;

use super::limits::LARGEST_FILE;
use super::stranger::Stranger;
use crate::layout::{BrokenReference, FORMAT};

/// Why a file is not read as a layout. The message is one paragraph: what is wrong, where, what to do.
#[derive(Debug, Error)]
pub enum ReadError {
    /// There is no such file.
    #[error("{file}: there is no such file; check the name and the folder")]
    NotFound {
        /// The file.
        file: String,
    },
    /// It is there, but cannot be read.
    #[error("{file}: it cannot be read ({cause}); check that it is a file and that you may read it")]
    Unreadable {
        /// The file.
        file: String,
        /// What the system says.
        cause: std::io::Error,
    },
    /// A folder, a device or the like.
    #[error("{file}: this is not a file; name a layout, such as house.loft.ron")]
    NotAFile {
        /// What was named.
        file: String,
    },
    /// Far larger than any layout.
    #[error(
        "{file}: it holds {} MB, and a layout holds at most {} MB; this is hardly a layout, so choose another file",
        bytes.div_ceil(1024 * 1024), LARGEST_FILE / (1024 * 1024)
    )]
    TooLarge {
        /// The file.
        file: String,
        /// Its size.
        bytes: u64,
    },
    /// There is nothing in it.
    #[error("{file}: the file is empty; look for the version before it, {file}~, or begin a new layout")]
    Empty {
        /// The file.
        file: String,
    },
    /// Its bytes are not text.
    #[error(
        "{place}: from here on this is not text in UTF-8; choose a .loft.ron file, or save it again as UTF-8 \
         in the editor that wrote it"
    )]
    NotText {
        /// Where the text ends.
        place: Place,
    },
    /// It seems to be something else.
    #[error("{file}: this is not a Loftwright layout, and seems to be {}; {}", seems.words, seems.remedy)]
    NotALayout {
        /// The file.
        file: String,
        /// What it seems to be.
        seems: Stranger,
        /// Where it ceases to be like a layout.
        detail: Box<Self>,
    },
    /// Its format is not known to this program.
    #[error("{place}: {}", format_words(*found))]
    Format {
        /// Where the format stands.
        place: Place,
        /// The format it states, if it states one.
        found: Option<u32>,
    },
    /// The text is not what the format asks.
    #[error("{place}: {what}; {remedy}")]
    Content {
        /// Where.
        place: Place,
        /// What is wrong.
        what: String,
        /// What to do.
        remedy: String,
    },
    /// A reference leads nowhere.
    #[error("{place}: {broken}{}", more_words(*more))]
    Reference {
        /// Where.
        place: Place,
        /// Which.
        broken: BrokenReference,
        /// How many others there are.
        more: usize,
    },
    /// There is more in it than a layout may hold.
    #[error(
        "{file}: it holds {there_are} {things}, and at most {at_most} can be taken; split it, or correct the count"
    )]
    TooMuch {
        /// The file.
        file: String,
        /// Of what.
        things: &'static str,
        /// How many there are.
        there_are: usize,
        /// How many there may be.
        at_most: usize,
    },
}

/// A place in the text of a file. Shown as `file, line 4, column 32`, counted from one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The file.
    pub file: String,
    /// The spot in it; none when the whole file is meant.
    pub spot: Option<Box<Spot>>,
}

/// A spot on a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spot {
    /// Line, counted from one.
    pub line: usize,
    /// Column in characters, counted from one.
    pub column: usize,
    /// What stands around it on the line.
    excerpt: String,
    /// What the caret points at, in bytes of the excerpt.
    marked: Range<usize>,
}

/// Lines up to this many characters are shown whole.
const LONG_LINE: usize = 160;
/// How many characters of a longer line are shown on each side of the spot.
const AROUND: usize = 60;

impl Place {
    /// The whole of a file.
    pub(super) fn whole(file: &str) -> Self {
        Self { file: file.to_owned(), spot: None }
    }

    /// Some bytes of a file's text.
    pub(super) fn of(file: &str, text: &str, bytes: Range<usize>) -> Self {
        let start = floor(text, bytes.start);
        let line_start = text[..start].rfind('\n').map_or(0, |newline| newline + 1);
        let line_end = text[start..].find('\n').map_or(text.len(), |newline| start + newline);
        let line_end = line_start + text[line_start..line_end].trim_end_matches('\r').len();
        let end = floor(text, bytes.end).clamp(start.min(line_end), line_end);
        let start_on_line = start.min(line_end);
        let (from, to) = if text[line_start..line_end].chars().count() <= LONG_LINE {
            (line_start, line_end)
        } else {
            let before = text[line_start..start_on_line].char_indices().rev().nth(AROUND);
            let after = text[end..line_end].char_indices().nth(AROUND);
            (
                before.map_or(line_start, |(index, _)| line_start + index),
                after.map_or(line_end, |(index, _)| end + index),
            )
        };
        let spot = Spot {
            line: 1 + text[..line_start].matches('\n').count(),
            column: 1 + text[line_start..start].chars().count(),
            // Tabs are drawn by terminals in ways that would shift the caret.
            excerpt: text[from..to].replace('\t', " "),
            marked: start_on_line - from..end - from,
        };
        Self { file: file.to_owned(), spot: Some(Box::new(spot)) }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        match &self.spot {
            Some(spot) => write!(f, ", line {}, column {}", spot.line, spot.column),
            None => Ok(()),
        }
    }
}

impl ReadError {
    /// The place that it points at.
    #[must_use]
    pub const fn place(&self) -> Option<&Place> {
        match self {
            Self::NotALayout { detail, .. } => detail.place(),
            Self::NotText { place }
            | Self::Format { place, .. }
            | Self::Content { place, .. }
            | Self::Reference { place, .. } => Some(place),
            _ => None,
        }
    }

    /// The offending line with a caret under the place, and what is wrong with it where the message does not say so;
    /// empty when no place is to blame.
    #[must_use]
    pub fn caret(&self) -> String {
        if let Self::NotALayout { detail, .. } = self {
            return format!("\n{detail}\n{}", detail.caret());
        }
        let Some(spot) = self.place().and_then(|place| place.spot.as_ref()) else { return String::new() };
        let annotation = AnnotationKind::Primary.span(spot.marked.clone()).label("here");
        let snippet = Snippet::source(spot.excerpt.as_str()).line_start(spot.line).annotation(annotation);
        Renderer::plain()
            .term_width(LONG_LINE + 2 * AROUND)
            .render(&[Group::with_level(Level::ERROR).element(snippet)])
            .to_string()
    }
}

fn format_words(found: Option<u32>) -> String {
    match found {
        None => format!(
            "no format is stated, and this program reads format {FORMAT}; write format: {FORMAT}, behind the first \
             bracket if this is a layout"
        ),
        Some(newer) if newer > FORMAT => format!(
            "this is format {newer}, and this program reads format {FORMAT}; open it with the newer program that \
             wrote it"
        ),
        Some(other) => {
            format!("there is no format {other}, and this program reads format {FORMAT}; correct the number")
        }
    }
}

fn more_words(more: usize) -> String {
    match more {
        0 => String::new(),
        more => format!(" (and {more} more such)"),
    }
}

/// The nearest character boundary at or below a byte.
fn floor(text: &str, byte: usize) -> usize {
    text.floor_char_boundary(byte)
}
