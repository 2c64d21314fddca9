//! The report: what was checked, every finding with working and remedy, what is to be found out, what to check on site.
//!
//! It is put together once as a [`Document`], which Markdown, HTML and PDF then write down. Markdown has no pictures.

mod check_sheet;
mod columns;
mod contents;
mod form;
mod html;
mod markdown;
mod paged;
mod picture;
mod quoted;

pub use contents::{entries, report, report_on_quote};

pub(super) use columns::cell_lines;
pub(super) use contents::name_of;
pub use html::html;
pub use markdown::markdown;
pub use picture::Picture;

pub(super) use paged::leaves;

use super::SheetError;
use crate::scene::Theme;

/// A document, from the top down.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// Its title.
    pub title: String,
    /// What stands in it.
    pub blocks: Vec<Block>,
}

/// A piece of a document.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A heading of the first rank below the title.
    Chapter(String),
    /// A heading below that, which a mark on the drawing leads to: the name of the finding as links have it, and words.
    Entry(String, String),
    /// A heading below that, which nothing leads to.
    Section(String),
    /// Words.
    Paragraph(String),
    /// Words behind a name: "Source: ...".
    Named(&'static str, String),
    /// Points.
    Points(Vec<String>),
    /// Points to tick.
    ToTick(Vec<String>),
    /// Pictures, as many beside each other as there is room for.
    Pictures(Vec<Picture>),
    /// Lines of working, one below the other.
    Working(Vec<String>),
    /// Heads, and rows of as many cells.
    Table(Vec<&'static str>, Vec<Vec<String>>),
    /// The same, where each row has a working.
    Worked(Vec<&'static str>, Vec<WorkedRow>),
    /// Heads and rows as a ruled grid, with room to write in empty cells.
    Form(Vec<&'static str>, Vec<Vec<String>>),
}

/// A row of a table with the working that belongs to it: in a column of its own, or below it across the page.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkedRow {
    /// As many cells as there are heads.
    pub cells: Vec<String>,
    /// The working, in one line; empty where there is none.
    pub working: String,
}

impl WorkedRow {
    /// The cells, and the working as the last of them.
    fn with_working(&self) -> Vec<String> {
        self.cells.iter().chain([&self.working]).cloned().collect()
    }
}

/// The head of the column that workings stand in.
const WORKING: &str = "working";

/// Writes a document as PDF, on A4 standing. The same document gives the same bytes.
///
/// # Errors
/// [`SheetError::Pdf`] when the PDF cannot be written.
pub fn pdf(document: &Document) -> Result<Vec<u8>, SheetError> {
    super::pdf::pdf(&leaves(document, 0), Theme::light(), &document.title)
}

/// The name of a finding's mark on the drawing as links have it.
pub(super) fn drawn_name(name: &str) -> String {
    format!("drawn:{name}")
}
