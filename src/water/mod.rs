//! What water does: its properties, the friction of pipes, and its flow in a network of them.

pub mod friction;
pub mod network;
mod properties;

pub use properties::{OutOfRange, Water};
