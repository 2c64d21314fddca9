//! The rule table: what is asked of each measure, how heavily, on whose authority. No geometry lives here.

mod cistern;
mod cylinder;
mod general;
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

pub use cistern::WIDEST_MESH_MM;
pub use glossary::{Piece, Term, glossary, pieces, said, term};
pub use primary::EITHER_HOLDS;
pub use profile::{InForce, Profile, ProfileError};
pub use prose::{Prose, Voice};
pub use rule::{Basis, Bound, Lever, Limit, Measure, Other, Rule, Source, Weight};
pub use verdict::{Judged, Verdict, judge, judge_as_told};

/// A chapter of the table.
pub struct Chapter {
    /// What it is about, in a word or two.
    pub name: &'static str,
    /// Its rules.
    pub rules: &'static [Rule],
}

/// The table in chapters, in the order of the way of the water: cistern, platform, timber, cylinder, vent, pipes.
pub static CHAPTERS: [Chapter; 13] = [
    Chapter { name: "cistern", rules: cistern::RULES },
    Chapter { name: "overflow", rules: overflow::RULES },
    Chapter { name: "movement", rules: movement::RULES },
    Chapter { name: "platform", rules: platform::RULES },
    Chapter { name: "timber", rules: timber::RULES },
    Chapter { name: "cylinder", rules: cylinder::RULES },
    Chapter { name: "hot-store", rules: hot_store::RULES },
    Chapter { name: "vent", rules: vent::RULES },
    Chapter { name: "primary", rules: primary::RULES },
    Chapter { name: "pipework", rules: pipework::RULES },
    Chapter { name: "pipe-fixing", rules: pipe_fixing::RULES },
    Chapter { name: "warmth", rules: warmth::RULES },
    Chapter { name: "running", rules: running::RULES },
];

/// Every rule, chapter by chapter.
#[must_use]
pub fn table() -> &'static [&'static Rule] {
    static TABLE: LazyLock<Vec<&'static Rule>> =
        LazyLock::new(|| CHAPTERS.iter().flat_map(|chapter| chapter.rules).collect());
    &TABLE
}

/// The chapter in which a rule stands.
#[must_use]
pub fn chapter(id: &str) -> Option<&'static Chapter> {
    CHAPTERS.iter().find(|chapter| chapter.rules.iter().any(|rule| rule.id == id))
}

/// The rule of an id.
#[must_use]
pub fn rule(id: &str) -> Option<&'static Rule> {
    table().iter().find(|rule| rule.id == id).copied()
}
