//! How much room stored water takes when it is heated.

use crate::water::{OutOfRange, Water};

/// Share by which water grows between two temperatures at atmospheric pressure: ρ₁/ρ₂ − 1 (IAPWS SR6-08).
///
/// # Errors
/// [`OutOfRange`] for what is no liquid water.
pub fn growth(from_c: f64, to_c: f64) -> Result<f64, OutOfRange> {
    Ok(Water::at_celsius(from_c)?.density_kg_m3 / Water::at_celsius(to_c)?.density_kg_m3 - 1.0)
}

/// Litres that go back up the cold feed while a store is heated.
///
/// # Errors
/// [`OutOfRange`] for what is no liquid water.
pub fn up_the_feed_l(litres: f64, from_c: f64, to_c: f64) -> Result<f64, OutOfRange> {
    Ok(litres * growth(from_c, to_c)?)
}
