//! What water does: its properties, the friction of pipes, steady flow in any network and in the circuit that is drawn.

pub mod circuit;
pub mod demand;
pub mod friction;
pub mod network;
mod properties;
pub mod readings;
mod report;
mod running;

pub use properties::{OutOfRange, Water};
pub use report::{FlowReport, Spread, TapReport, VentReport};
pub use running::Running;
