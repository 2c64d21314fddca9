//! How far heated water rises.

use crate::units::STANDARD_GRAVITY_M_S2;
use crate::water::Water;

/// Share by which water grows when it is heated at atmospheric pressure: ρ_cold / ρ_hot − 1. Of a store, so much of its
/// volume goes back up the cold feed.
#[must_use]
pub fn growth(cold: &Water, hot: &Water) -> f64 {
    cold.density_kg_m3 / hot.density_kg_m3 - 1.0
}

/// How far hot water stands in a vent above the cold water in the cistern that holds it up, at rest, m:
/// (ρ_cold / ρ_hot − 1) times the height of the cold water over the bottom of the hot.
#[must_use]
pub fn rise_in_vent_m(cold_column_m: f64, cold: &Water, hot: &Water) -> f64 {
    cold_column_m * growth(cold, hot)
}

/// The level to which water stands in a vent over a tee, mm: z + p / (ρ g). Below the tee, the vent draws air.
#[must_use]
pub fn level_in_vent_mm(tee_mm: f64, tee_pressure_pa: f64, hot: &Water) -> f64 {
    tee_mm + tee_pressure_pa / (hot.density_kg_m3 * STANDARD_GRAVITY_M_S2) * 1000.0
}
