//! The rule table: what is asked of each measure, how heavily, on whose authority. No geometry lives here.

mod cistern;
mod cylinder;
mod glossary;
mod hot_store;
mod movement;
mod overflow;
mod pipe_fixing;
mod pipework;
mod platform;
mod primary;
mod profile;
mod prose;
mod rule;
mod running;
mod timber;
mod vent;
mod verdict;
mod warmth;

use std::sync::LazyLock;

pub use glossary::{Piece, Term, glossary, pieces, term};
pub use profile::{InForce, Profile, ProfileError};
pub use prose::{Prose, Voice};
pub use rule::{Basis, Bound, Lever, Limit, Measure, Other, Rule, Weight};
pub use verdict::{Judged, Verdict, judge};

/// Every rule, in the order of the way of the water: cistern, platform, timber, cylinder, vent, pipes.
#[must_use]
pub fn table() -> &'static [&'static Rule] {
    static TABLE: LazyLock<Vec<&'static Rule>> = LazyLock::new(|| {
        let chapters = [
            cistern::RULES,
            overflow::RULES,
            movement::RULES,
            platform::RULES,
            timber::RULES,
            cylinder::RULES,
            hot_store::RULES,
            vent::RULES,
            primary::RULES,
            pipework::RULES,
            pipe_fixing::RULES,
            warmth::RULES,
            running::RULES,
        ];
        chapters.into_iter().flatten().collect()
    });
    &TABLE
}

/// The rule of an id.
#[must_use]
pub fn rule(id: &str) -> Option<&'static Rule> {
    table().iter().find(|rule| rule.id == id).copied()
}
