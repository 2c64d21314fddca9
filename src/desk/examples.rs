//! Layouts that ship inside the program, for a newcomer to open first.

use crate::file;
use crate::layout::Layout;

/// A layout that ships with the program.
pub struct Example {
    /// How the menu calls it.
    pub name: &'static str,
    text: &'static str,
}

/// All of them, the first one first.
pub static EXAMPLES: &[Example] = &[
    Example { name: "Sound indirect system", text: include_str!("../../examples/sound_indirect.loft.ron") },
    Example { name: "Sound direct system", text: include_str!("../../examples/sound_direct.loft.ron") },
    Example { name: "Low loft, many breaches", text: include_str!("../../examples/low_loft.loft.ron") },
    Example {
        name: "Cold feed level with distribution",
        text: include_str!("../../examples/level_connections.loft.ron"),
    },
    Example { name: "Feed-and-expansion cistern", text: include_str!("../../examples/feed_and_expansion.loft.ron") },
    Example { name: "Half described", text: include_str!("../../examples/half_described.loft.ron") },
];

impl Example {
    /// The layout.
    #[must_use]
    pub fn layout(&self) -> Layout {
        file::parse(self.text, self.name)
            .unwrap_or_else(|error| panic!("the example {} cannot be read: {error}", self.name))
    }
}

/// The layout that a newcomer sees first.
#[must_use]
pub fn first() -> Layout {
    EXAMPLES[0].layout()
}
