//! Hints: for each fault first its topic, then the part that it is on.

use super::key::Exercise;
use crate::rules::chapter;

/// A hint.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hint {
    /// The fault that it is about, by its place in the key.
    pub fault: usize,
    /// What it says.
    pub words: String,
}

/// The hints of an exercise, in the order in which they are given.
#[must_use]
pub fn hints(exercise: &Exercise) -> Vec<Hint> {
    let of_fault = |(number, fault): (usize, &super::key::Fault)| {
        let topic = chapter(&fault.rule).map_or("house", |chapter| chapter.name).replace('-', " ");
        let part = fault.parts.first().map(|part| part.replace('-', " ")).unwrap_or_default();
        [
            format!("One fault has to do with this topic: {topic}."),
            format!("The fault about the {topic} is on: {part}."),
        ]
        .map(|words| Hint { fault: number, words })
    };
    exercise.faults.iter().enumerate().flat_map(of_fault).collect()
}
