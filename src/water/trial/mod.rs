//! Trials: what happens in time when something goes wrong or work is done, played on the circuit that is drawn.

mod brim;
mod drain;
mod heated_by;
mod levels;
mod mains_off;
mod one_water;
mod valve_stuck;

pub use drain::{Job, jobs};
pub use levels::litres_per_mm;
pub use mains_off::mains_off;
pub use one_water::OneWater;
pub use valve_stuck::{StuckValve, may_stick, stuck_valve, valve_stuck};
pub(super) use valve_stuck::{UntoldTube, stuck_with, tube_to_find};

use serde::Serialize;

use crate::layout::Id;
use crate::measure::Place;
use crate::units::Amount;

/// A trial that has been played to its end.
#[derive(Debug, Clone, PartialEq)]
pub struct Played {
    /// What was tried.
    pub title: String,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
    /// How things stood from moment to moment, in order of time.
    pub moments: Vec<Moment>,
    /// What happened, in order of time.
    pub events: Vec<Event>,
    /// What it comes to: words and amounts.
    pub totals: Vec<Total>,
}

impl Played {
    /// The moment at a share of the whole time, from 0 at the beginning to 1 at the end.
    #[must_use]
    pub fn at(&self, share: f64) -> Option<&Moment> {
        let wanted_s = self.moments.last()?.time_s * share.clamp(0.0, 1.0);
        let later = self.moments.iter().find(|moment| moment.time_s >= wanted_s);
        later.or(self.moments.last())
    }
}

/// How things stand at a moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// Since the beginning, s.
    pub time_s: f64,
    /// Levels of water, mm above the datum, by the vessel or pipe that it stands in.
    pub levels_mm: Vec<(Id, f64)>,
    /// What runs at each tap of the circuit, L/s; none where that is not steady or the tap is shut.
    pub taps_l_s: Vec<Option<f64>>,
}

/// Something that happens.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// Since the beginning, s.
    pub time_s: f64,
    /// What.
    pub words: String,
    /// Where.
    pub place: Place,
}

/// Something that a trial comes to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Total {
    /// What it is.
    pub words: String,
    /// How much.
    pub amount: Amount,
}

impl Total {
    /// With its words and its amount.
    #[must_use]
    pub fn new(words: impl Into<String>, amount: Amount) -> Self {
        Self { words: words.into(), amount }
    }
}
