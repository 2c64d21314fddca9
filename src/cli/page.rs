//! What a command prints, without a panic when nobody reads it to the end.

use std::io::{self, BufWriter, Write};

use serde::Serialize;

use super::EXIT_UNUSABLE;
pub(super) use crate::sheet::{harmless, paragraph};

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
