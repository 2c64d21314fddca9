//! Natural circulation: what the unlike weights of a hot and a cooler column drive.

use super::Water;
use crate::units::STANDARD_GRAVITY_M_S2;

/// Pressure that drives water round a circuit whose columns are so high, Pa: g h (ρ_return − ρ_flow).
#[must_use]
pub fn pressure_pa(height_m: f64, flow: &Water, back: &Water) -> f64 {
    STANDARD_GRAVITY_M_S2 * height_m * (back.density_kg_m3 - flow.density_kg_m3)
}
