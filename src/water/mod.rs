//! What water does: its properties and the friction of pipes.

pub mod friction;
mod properties;

pub use properties::{OutOfRange, Water};
