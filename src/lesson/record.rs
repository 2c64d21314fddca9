//! The course record: attempts of each learner in a local file. Nothing of it leaves the machine.

use serde::{Deserialize, Serialize};

use super::key::Exercise;
use super::mark::Marks;
use super::ron_text;
use crate::file::{ReadError, parse_ron};

/// The format of course records that this program writes.
pub const RECORD_FORMAT: u32 = 1;

/// All attempts, in the order in which they were made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CourseRecord {
    /// Version of the format.
    pub format: u32,
    /// The attempts.
    #[serde(default)]
    pub attempts: Vec<Attempt>,
}

/// One attempt at an exercise.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Attempt {
    /// The day, as 2026-11-25.
    pub day: String,
    /// Who; empty when no name was given.
    pub learner: String,
    /// Title of the layout.
    pub title: String,
    /// The number of the exercise.
    pub seed: u64,
    /// How many faults were planted.
    pub faults: usize,
    /// Marks earned.
    pub got: i32,
    /// Marks that could be earned.
    pub out_of: i32,
    /// Hints taken.
    pub hints: i32,
    /// How long it took, s; none when it was not timed.
    #[serde(default)]
    pub seconds: Option<u32>,
    /// Ids of the rules whose faults did not earn everything.
    #[serde(default)]
    pub missed: Vec<String>,
}

impl Default for CourseRecord {
    fn default() -> Self {
        Self { format: RECORD_FORMAT, attempts: Vec::new() }
    }
}

impl CourseRecord {
    /// Reads a record; `name` stands for the file in messages.
    ///
    /// # Errors
    /// [`ReadError`] with line and column.
    pub fn parse(text: &str, name: &str) -> Result<Self, ReadError> {
        parse_ron(text, name)
    }

    /// The record as RON text.
    #[must_use]
    pub fn text(&self) -> String {
        ron_text(self)
    }

    /// The learners by name, each with marks earned and marks that could be earned over all attempts.
    #[must_use]
    pub fn learners(&self) -> Vec<(String, usize, i32, i32)> {
        let mut learners: Vec<(String, usize, i32, i32)> = Vec::new();
        for attempt in &self.attempts {
            match learners.iter_mut().find(|(name, ..)| *name == attempt.learner) {
                Some((_, attempts, got, out_of)) => {
                    *attempts += 1;
                    *got += attempt.got;
                    *out_of += attempt.out_of;
                }
                None => learners.push((attempt.learner.clone(), 1, attempt.got, attempt.out_of)),
            }
        }
        learners.sort();
        learners
    }
}

impl Attempt {
    /// The attempt that some marks are.
    #[must_use]
    pub fn of(exercise: &Exercise, title: &str, marks: &Marks, day: &str, seconds: Option<u32>) -> Self {
        Self {
            day: day.to_owned(),
            learner: exercise.learner.clone(),
            title: title.to_owned(),
            seed: exercise.seed,
            faults: exercise.faults.len(),
            got: marks.got,
            out_of: marks.out_of,
            hints: marks.hints,
            seconds,
            missed: marks.missed().map(|number| exercise.faults[number].rule.clone()).collect(),
        }
    }
}
