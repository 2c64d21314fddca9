//! Notes: words that stand on the drawing, and what they point at.

use serde::{Deserialize, Serialize};

use super::Id;
use crate::geom::Point;

/// A note on the drawing. It says something to people and is never judged.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Note {
    /// Readable id.
    pub id: Id,
    /// Where its words begin: left end of the first line.
    pub at: Point,
    /// What it says; may have several lines.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
    /// The place that it points at; none means that it speaks of the place where it stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub points_at: Option<Point>,
}

impl Note {
    /// A note that points at nothing.
    #[must_use]
    pub const fn new(id: Id, at: Point, words: String) -> Self {
        Self { id, at, words, points_at: None }
    }
}
