//! Papers that have come back: their key and the answers, read from their files, and each paper marked.

use std::path::Path;

use super::course;
use crate::file;
use crate::lesson::{Attempt, Key, MarkedPaper, mark_all, read_answers};

/// Papers that have come back, marked.
#[derive(Debug, Clone)]
pub struct Returned {
    /// The key to them.
    pub key: Key,
    /// Each paper, in the order in which its learner first stands among the answers.
    pub papers: Vec<MarkedPaper>,
}

impl Returned {
    /// Reads the key and the answers, and marks them.
    ///
    /// # Errors
    /// What is wrong with which of the two files, where, and what to do.
    pub fn read(key: &Path, answers: &Path) -> Result<Self, String> {
        let key = read_key(key)?;
        let text = file::read_text(answers).map_err(|error| error.to_string())?;
        let sheets = read_answers(&text, &key).map_err(|error| format!("{}, {error}", answers.display()))?;
        let papers = mark_all(&key, sheets);
        Ok(Self { key, papers })
    }

    /// The attempts that they are, made today.
    #[must_use]
    pub fn attempts(&self) -> Vec<Attempt> {
        let today = course::today();
        let attempt = |paper: &MarkedPaper| Attempt::of(&paper.exercise, &self.key.title, &paper.marks, &today, None);
        self.papers.iter().map(attempt).collect()
    }

    /// Learners of whom the key has an exercise, and the answers nothing.
    pub fn missing(&self) -> impl Iterator<Item = &str> {
        let names = self.key.exercises.iter().map(|exercise| exercise.learner.as_str());
        names.filter(|name| !self.papers.iter().any(|paper| paper.exercise.learner == *name))
    }
}

/// Reads a key from its file.
///
/// # Errors
/// What is wrong with it, with the line where it is.
pub fn read_key(path: &Path) -> Result<Key, String> {
    let text = file::read_text(path).map_err(|error| error.to_string())?;
    Key::parse(&text, &path.display().to_string()).map_err(|error| format!("{error}\n{}", error.caret()))
}
