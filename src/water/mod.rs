//! What water does: its properties, the friction of pipes, steady flow in any network and in the circuit that is drawn.

pub mod circuit;
pub mod friction;
pub mod network;
mod properties;
mod report;

pub use properties::{OutOfRange, Water};
pub use report::{FlowReport, Spread, TapReport, VentReport};
