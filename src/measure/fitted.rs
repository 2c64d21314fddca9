//! What sits in a run, as its water comes by it: within the pipe, in order along it.

use super::Site;
use crate::geom::Polyline;
use crate::layout::{InLineKind, Run};

/// A fitting where it is reckoned to sit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted {
    /// What it is.
    pub kind: InLineKind,
    /// How far along the run, mm. What is told beyond an end sits at that end.
    pub at_mm: f64,
}

impl Site<'_> {
    /// What sits in a run; `None` when nobody has told.
    #[must_use]
    pub fn fitted(&self, run: usize) -> Option<&[Fitted]> {
        self.fitted_in()[run].as_deref()
    }
}

/// What sits in a run that is drawn along a line; at its beginning where it is not drawn.
pub(super) fn fitted(run: &Run, line: Option<&Polyline>) -> Option<Vec<Fitted>> {
    let length_mm = line.map_or(0.0, Polyline::length);
    let told = run.fittings.as_ref()?.iter();
    let mut fitted: Vec<Fitted> =
        told.map(|fitting| Fitted { kind: fitting.kind, at_mm: fitting.at.to_mm().clamp(0.0, length_mm) }).collect();
    fitted.sort_by(|a, b| a.at_mm.total_cmp(&b.at_mm));
    Some(fitted)
}
