//! What the rules in force ask, as numbers to build by. No limit stands in this room.

use crate::layout::Id;
use crate::measure::Reading;
use crate::rules::{Limit, Profile, WIDEST_MESH_MM};
use crate::units::Measured;

/// The limits of a profile.
pub(super) struct Limits {
    rules: Vec<(&'static str, Limit)>,
}

impl Limits {
    pub(super) fn of(profile: &Profile) -> Self {
        Self { rules: profile.rules().into_iter().map(|in_force| (in_force.rule.id, in_force.limit)).collect() }
    }

    /// The number that a rule asks of every layout; nothing where the rule is off or asks no number.
    pub(super) fn asks(&self, rule: &str) -> f64 {
        self.asks_of(rule, 0.0)
    }

    /// The widest openings of a screen that a rule lets pass, mm; the usual ones where it is off.
    pub(super) fn widest_mesh_mm(&self, rule: &str) -> f64 {
        let asked_mm = self.asks(rule);
        if asked_mm > 0.0 { asked_mm } else { WIDEST_MESH_MM }
    }

    /// What is usual, or less where a rule lets no more pass.
    pub(super) fn most(&self, rule: &str, usual: f64) -> f64 {
        let asked = self.asks(rule);
        if asked > 0.0 { usual.min(asked) } else { usual }
    }

    /// The same, where it hangs on what is measured beside it: against so much, in the rule's unit.
    pub(super) fn asks_of(&self, rule: &str, against: f64) -> f64 {
        let limit = self.rules.iter().find(|(id, _)| *id == rule).map(|(_, limit)| *limit);
        let Some(Limit::AtLeast(bound) | Limit::MoreThan(bound) | Limit::AtMost(bound)) = limit else { return 0.0 };
        let reading = Reading::mm(&Id::of("outset"), Measured::exact(0.0)).against(Measured::exact(against));
        bound.for_reading(&reading).map_or(0.0, |(need, _)| need.value)
    }
}
