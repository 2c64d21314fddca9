//! Layouts that ship inside the program, for a newcomer to open first.

use crate::layout::Layout;

/// A layout that ships with the program.
pub struct Example {
    /// How the menu calls it.
    pub name: &'static str,
    text: &'static str,
}

/// All of them, the first one first.
pub static EXAMPLES: &[Example] =
    &[Example { name: "Sound indirect system", text: include_str!("../../examples/sound_indirect.loft.ron") }];

impl Example {
    /// The layout.
    #[must_use]
    pub fn layout(&self) -> Layout {
        let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
        options.from_str(self.text).unwrap_or_else(|error| panic!("the example {} cannot be read: {error}", self.name))
    }
}

/// The layout that a newcomer sees first.
#[must_use]
pub fn first() -> Layout {
    EXAMPLES[0].layout()
}
