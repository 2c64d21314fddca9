//! How much water a cistern holds between two levels, and how far its level moves for so much.

use crate::layout::Cistern;
use crate::measure::{Site, between_l};
use crate::units::Measured;

/// A slice of a cistern this deep stands for its plan area, mm.
const SLICE_MM: f64 = 1.0;

/// Litres in a cistern for each millimetre of level, at a level above the datum.
///
/// # Errors
/// What to find out, when the layout does not tell its shape.
pub fn litres_per_mm(site: &Site<'_>, cistern: &Cistern, level_mm: f64) -> Result<f64, String> {
    let greatest_mm = cistern.height.to_mm() - SLICE_MM;
    let from_mm = (level_mm - cistern.at.z.to_mm() - SLICE_MM / 2.0).clamp(0.0, greatest_mm.max(0.0));
    let slice = between_l(site, cistern, Measured::exact(from_mm), Measured::exact(from_mm + SLICE_MM))?;
    Ok(slice.value / SLICE_MM)
}
