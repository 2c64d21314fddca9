//! Papers that have come back: their key and answers, the marks, and whether the record has them.

use std::path::{Path, PathBuf};

use crate::file;
use crate::session::returned::{Returned, read_key};
use crate::sheet::{self, FORM_FILE, KEY_FILE};

/// What the marks are called as a file.
const MARKS_FILE: &str = "marks.txt";
/// Under this ending they are written as data.
const AS_DATA: &str = "json";

/// A file that marking asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PaperFile {
    /// The key that was made with the papers.
    Key,
    /// The answers that came back.
    Answers,
    /// Where the marks go.
    Marks,
}

impl PaperFile {
    /// What it is usually called.
    pub(in crate::desk) const fn usual_name(self) -> &'static str {
        match self {
            Self::Key => KEY_FILE,
            Self::Answers => FORM_FILE,
            Self::Marks => MARKS_FILE,
        }
    }
}

/// Papers that are marked.
#[derive(Default)]
pub struct Marking {
    /// The key.
    pub key: Option<PathBuf>,
    /// The answers.
    pub answers: Option<PathBuf>,
    /// The papers, once both are read.
    pub returned: Option<Returned>,
    /// Whether the record has these marks.
    pub is_kept: bool,
}

impl Marking {
    /// Takes a file that was named.
    ///
    /// # Errors
    /// Why it cannot be used, or the one that was named before it.
    pub(in crate::desk) fn take(&mut self, file: PaperFile, path: PathBuf) -> Result<String, String> {
        match file {
            PaperFile::Key => {
                read_key(&path)?;
                self.key = Some(path);
            }
            PaperFile::Answers => self.answers = Some(path),
            PaperFile::Marks => return self.write(&path),
        }
        self.read()
    }

    /// Reads both files, and marks; says what is still to be named.
    ///
    /// # Errors
    /// What is wrong with which of them, and where.
    pub(super) fn read(&mut self) -> Result<String, String> {
        (self.returned, self.is_kept) = (None, false);
        let (key, answers) = match (&self.key, &self.answers) {
            (Some(key), Some(answers)) => (key, answers),
            (None, _) => return Ok("Choose the key as well, and the answers are marked".to_owned()),
            (_, None) => return Ok("Choose the answers as well, and they are marked".to_owned()),
        };
        let returned = Returned::read(key, answers)?;
        let said = match returned.papers.len() {
            1 => "1 paper is marked".to_owned(),
            count => format!("{count} papers are marked"),
        };
        self.returned = Some(returned);
        Ok(said)
    }

    /// Writes the marks as the command does: as text, or as JSON where the name ends so.
    fn write(&self, path: &Path) -> Result<String, String> {
        let papers = self.returned.as_ref().map_or(&[][..], |returned| &returned.papers);
        let is_data = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case(AS_DATA));
        let text = if is_data {
            sheet::marks_json(papers).map_err(|error| error.to_string())?
        } else {
            sheet::marks_text(papers)
        };
        file::hand_over(path, text.as_bytes()).map_err(|error| error.to_string())?;
        Ok(format!("Written to '{}'", path.display()))
    }

    /// The folder in which the papers are, once one of their files has been named.
    pub(super) fn folder(&self) -> Option<&Path> {
        self.key.as_deref().or(self.answers.as_deref())?.parent()
    }
}
