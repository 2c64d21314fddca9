//! What a command prints: text held to a width, and no panic when nobody reads it to the end.

use std::io::{self, BufWriter, Write};

use serde::Serialize;

use super::EXIT_UNUSABLE;

/// Text is wrapped at this column.
const WIDTH: usize = 100;

/// Where a command prints. The first failure to write is remembered, and what follows is let go.
pub(super) struct Page<'a> {
    out: &'a mut dyn Write,
    err: &'a mut dyn Write,
    failure: Option<io::Error>,
}

impl<'a> Page<'a> {
    pub fn new(out: &'a mut dyn Write, err: &'a mut dyn Write) -> Self {
        Self { out, err, failure: None }
    }

    /// Prints what was asked for.
    pub fn print(&mut self, text: &str) {
        self.pass_on(text.as_bytes());
    }

    /// Prints what was printed on another page.
    pub fn pass_on(&mut self, printed: &[u8]) {
        if self.failure.is_none() {
            self.failure = self.out.write_all(printed).err();
        }
    }

    /// Says why something cannot be used; the exit that tells so.
    pub fn unusable(&mut self, why: &str) -> u8 {
        self.complain(&paragraph("", why));
        EXIT_UNUSABLE
    }

    /// Prints a line of JSON.
    pub fn print_json(&mut self, value: &impl Serialize) {
        if self.failure.is_none() {
            // JSON is written in thousands of pieces of a few letters.
            let mut line = BufWriter::new(&mut *self.out);
            let written = serde_json::to_writer(&mut line, value).map_err(io::Error::from);
            self.failure = written.and_then(|()| line.write_all(b"\n")).and_then(|()| line.flush()).err();
        }
    }

    /// Prints a complaint. One that cannot be written has nowhere else to go.
    pub fn complain(&mut self, text: &str) {
        let _ = self.err.write_all(text.as_bytes());
    }

    /// Ends the page.
    pub fn finish(mut self) -> io::Result<()> {
        let flushed = self.out.flush();
        let result = self.failure.take().map_or(flushed, Err);
        if let Err(error) = &result
            && error.kind() != io::ErrorKind::BrokenPipe
        {
            self.complain(&format!("the output cannot be written ({error}); check where it goes to\n"));
        }
        result
    }
}

/// A paragraph on lines of at most [`WIDTH`] columns: the first begins with `lead`, the others stand below its end.
pub(super) fn paragraph(lead: &str, text: &str) -> String {
    let indent = lead.chars().count();
    let mut paragraph = lead.to_owned();
    let mut column = indent;
    for word in text.split_whitespace() {
        let word = harmless(word);
        let length = word.chars().count();
        if column > indent {
            if column + 1 + length > WIDTH {
                paragraph.push('\n');
                paragraph.extend(std::iter::repeat_n(' ', indent));
                column = indent;
            } else {
                paragraph.push(' ');
                column += 1;
            }
        }
        paragraph.push_str(&word);
        column += length;
    }
    paragraph.truncate(paragraph.trim_end().len());
    paragraph.push('\n');
    paragraph
}

/// Text from a file without the signs by which a terminal could be steered.
pub(super) fn harmless(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_paragraph_keeps_to_its_width_and_indent() {
        let text = paragraph("  Remedy: ", &"raise the cistern ".repeat(20));
        assert!(text.lines().count() > 1);
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH));
        assert!(text.lines().skip(1).all(|line| line.starts_with("          r")
            || line.starts_with("          t")
            || line.starts_with("          c")));
    }

    #[test]
    fn nothing_from_a_file_steers_the_terminal() {
        assert_eq!(paragraph("", "a\u{1b}[2Jb\nc"), "a\u{fffd}[2Jb c\n");
    }
}
