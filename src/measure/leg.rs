//! A stretch of one run on a path.

use crate::geom::SAME_PLACE_MM;

/// A stretch of one run on a path, from one distance along it to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// The run, by its number.
    pub run: usize,
    /// Where the path joins it, mm along.
    pub from_mm: f64,
    /// Where the path leaves it, mm along.
    pub to_mm: f64,
}

impl Leg {
    /// Its two ends in the order of the run, mm along.
    #[must_use]
    pub const fn span_mm(&self) -> (f64, f64) {
        (self.from_mm.min(self.to_mm), self.from_mm.max(self.to_mm))
    }

    /// How long it is, mm.
    #[must_use]
    pub const fn length_mm(&self) -> f64 {
        (self.to_mm - self.from_mm).abs()
    }

    /// Whether it comes by a place that is so far along its run, mm; its ends are on it.
    #[must_use]
    pub fn holds(&self, at_mm: f64) -> bool {
        let (low, high) = self.span_mm();
        at_mm >= low - SAME_PLACE_MM && at_mm <= high + SAME_PLACE_MM
    }

    /// How far a place of its run is from where the path joins it, mm.
    #[must_use]
    pub const fn away_mm(&self, at_mm: f64) -> f64 {
        (at_mm - self.from_mm).abs()
    }
}

/// How long a path is, mm.
#[must_use]
pub fn length_mm(path: &[Leg]) -> f64 {
    path.iter().map(Leg::length_mm).sum()
}
