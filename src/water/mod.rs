//! What water does: its properties, the friction of pipes, its flow in a network of them, and its levels in time.

pub mod circulation;
pub mod friction;
pub mod levels;
pub mod network;
mod properties;

pub use properties::{OutOfRange, Water};
