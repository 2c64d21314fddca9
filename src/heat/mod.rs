//! What heat does: reheat, standing and pipe loss, warming and freezing, circulation that nobody wants.
//!
//! Formulas stand in files of their own, take and give `f64` in SI units, and know no drawing: `reheat`, `standing`,
//! `pipe_loss`, `bare_pipe`, `circulation`, `lumped`, `day`, `frost`. [`Warmth`] puts the drawing into them.

pub mod bare_pipe;
pub mod circulation;
pub mod day;
pub mod frost;
pub mod lumped;
pub mod pipe_loss;
pub mod readings;
pub mod reheat;
pub mod standing;

mod boilers;
mod cistern_warmth;
mod conditions;
mod cylinder_warmth;
mod heat_up;
mod hot_pipe;
mod joined_stretches;
mod loft_pipe;
mod stretch;
mod warmth;
mod water_tops;

pub use cistern_warmth::{CisternFrost, CisternWarmth, Summer, WARM_C};
pub use conditions::{Condition, Outcome, Reckoned};
pub use cylinder_warmth::{CylinderWarmth, Heater, KnownBy, Parasitic, Reheat, Standing, cooling_curve};
pub use day::Moment;
pub use heat_up::heat_up;
pub use hot_pipe::{HotPipe, PipeLoss};
pub use loft_pipe::{Exposure, LineUntold, LoftPipe, parts_in_loft};
pub use stretch::{Films, Stretch, loft_floor_mm};
pub use warmth::Warmth;
