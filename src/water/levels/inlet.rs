//! What a float valve lets in.

/// Discharge coefficient of a float valve's seat. Rows of BS 6700:2006 Table D.4 (seen in an excerpt) imply 0.657 (5 mm,
/// 0.1 l/s, 30 kPa) and 0.674 (6.5 mm, 0.1 l/s, 10 kPa).
pub const FLOAT_VALVE_COEFFICIENT: f64 = 0.66;

/// Flow through an orifice under a pressure: Q = C_d a √(2 Δp / ρ); nothing against it.
#[must_use]
pub fn orifice_m3_s(coefficient: f64, bore_m: f64, pressure_pa: f64, density_kg_m3: f64) -> f64 {
    let area_m2 = std::f64::consts::PI * bore_m * bore_m / 4.0;
    coefficient * area_m2 * (2.0 * pressure_pa.max(0.0) / density_kg_m3).sqrt()
}
