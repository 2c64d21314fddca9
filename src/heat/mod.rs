//! What heat does: reheat, standing and pipe loss, warming and freezing, circulation that nobody wants.
//!
//! Formulas stand in files of their own, take and give `f64` in SI units, and know no drawing.

pub mod circulation;
pub mod day;
pub mod expansion;
pub mod frost;
pub mod lumped;
pub mod pipe_loss;
pub mod reheat;
pub mod standing;
