//! What the view *Warmth* shows; found anew only when the layout changes.

use crate::heat::{Moment, Outcome, Warmth, cooling_curve};
use crate::layout::Layout;
use crate::measure::Site;
use crate::session::Session;

/// Hours through which a cylinder is shown to cool.
const COOLING_H: f64 = 24.0;

/// What was found.
pub struct Warmed {
    /// What heat does to everything.
    pub warmth: Warmth,
    /// Each cylinder after the heat is turned off, in the order of `warmth`.
    pub cooling: Vec<Outcome<Vec<Moment>>>,
}

/// The last answer, and the revision that it holds for.
#[derive(Default)]
pub struct Warming {
    of: Option<u64>,
    found: Option<Warmed>,
}

impl Warming {
    /// The answer for the layout as it stands.
    pub fn found(&mut self, session: &Session) -> &Warmed {
        if self.of != Some(session.revision()) {
            self.found = None;
            self.of = Some(session.revision());
        }
        self.found.get_or_insert_with(|| find(session.layout()))
    }
}

fn find(layout: &Layout) -> Warmed {
    let site = Site::of(layout);
    let cooling = layout.cylinders.iter().map(|cylinder| cooling_curve(&site, cylinder, COOLING_H)).collect();
    Warmed { warmth: Warmth::of(&site), cooling }
}
