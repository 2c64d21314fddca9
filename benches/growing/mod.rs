//! The largest example, and the same with many times the pipes and outlets.

mod multiplied;

use loftwright::layout::Layout;
pub use multiplied::multiplied;

const LARGEST: &str = include_str!("../../examples/feed_and_expansion.loft.ron");

/// The example with the most parts.
pub fn largest() -> Layout {
    let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    options.from_str(LARGEST).expect("the example reads")
}
