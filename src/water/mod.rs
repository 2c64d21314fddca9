//! What water does: its properties, friction, steady flow in any network and in the circuit that is drawn, levels in time.

pub mod arrival;
pub mod circuit;
pub mod circulation;
pub mod demand;
mod float_valve;
pub mod friction;
pub mod levels;
mod main_head;
pub mod main_reach;
pub mod mixers;
pub mod network;
mod properties;
pub mod readings;
mod report;
mod running;
pub mod shower_warms;
pub mod sizing;
pub mod trial;

pub use properties::{OutOfRange, Water};
pub use report::{DemandReport, FlowReport, Spread, TapReport, VentReport};
pub use running::{Drawn, Fastest, Running, SHOWN_AS_NONE_L_S};
