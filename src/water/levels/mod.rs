//! Levels that rise and fall: what a float valve lets in, how long a vessel takes to empty, what an overflow carries,
//! and how far heated water rises.

mod emptying;
mod expansion;
mod inlet;
mod overflow;

pub use emptying::{Orifice, Prism};
pub use expansion::{growth, level_in_vent_mm, rise_in_vent_m};
pub use inlet::{FLOAT_VALVE_COEFFICIENT, orifice_m3_s};
pub use overflow::{Onward, Overflow};
