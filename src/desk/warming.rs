//! What the view *Warmth* shows.

use crate::heat::{Moment, Outcome, Warmth, cooling_curve};
use crate::layout::Layout;
use crate::measure::Site;

/// Hours through which a cylinder is shown to cool.
const COOLING_H: f64 = 24.0;

/// What heat and frost do to a layout.
pub struct Warming {
    /// What heat does to everything.
    pub warmth: Warmth,
    /// Each cylinder after the heat is turned off, in the order of `warmth`.
    pub cooling: Vec<Outcome<Vec<Moment>>>,
}

impl Warming {
    /// The answer for a layout.
    #[must_use]
    pub fn of(layout: &Layout) -> Self {
        let site = Site::of(layout);
        let cooling = layout.cylinders.iter().map(|cylinder| cooling_curve(&site, cylinder, COOLING_H)).collect();
        Self { warmth: Warmth::of(&site), cooling }
    }
}
