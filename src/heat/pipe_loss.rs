//! What a metre of pipe loses: ISO 12241, linear form.

use std::f64::consts::PI;

/// Hours in a year of 365 days.
const HOURS_IN_A_YEAR: f64 = 8760.0;

/// Film outside a bare pipe indoors, radiation included, W/(m² K): the usual round figure, from memory.
///
/// Bright copper radiates little and comes nearer to 9, painted or tarnished copper nearer to 13 (Churchill-Chu and
/// ε 0.2 to 0.9 on 22 mm at 60 °C, by ht 1.2.0).
pub const BARE_FILM_W_M2_K: f64 = 10.0;
/// Film outside insulation indoors, W/(m² K): the usual round figure, from memory.
pub const LAGGED_FILM_W_M2_K: f64 = 9.0;

/// A pipe in still air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cover {
    /// Outside diameter of the tube, m.
    pub outside_m: f64,
    /// Thickness of the insulation, m; 0 for a bare pipe.
    pub thickness_m: f64,
    /// Conductivity of the insulation, W/(m K); no matter for a bare pipe.
    pub conductivity_w_m_k: f64,
    /// Film outside, W/(m² K).
    pub film_w_m2_k: f64,
}

impl Cover {
    /// Resistance of a metre, m K/W: R' = ln(D_e/D_i)/(2 π λ) + 1/(h π D_e).
    #[must_use]
    pub fn resistance_m_k_w(&self) -> f64 {
        let lagged_m = self.outside_m + 2.0 * self.thickness_m;
        layer_m_k_w(self.outside_m, lagged_m, self.conductivity_w_m_k) + 1.0 / (self.film_w_m2_k * PI * lagged_m)
    }

    /// Loss of a metre, W/m: q' = (θ_i − θ_a) / R'.
    #[must_use]
    pub fn loss_w_m(&self, inside_c: f64, around_c: f64) -> f64 {
        (inside_c - around_c) / self.resistance_m_k_w()
    }
}

/// Resistance of a metre of a cylindrical layer, m K/W; none where it has no thickness.
#[must_use]
pub fn layer_m_k_w(inner_m: f64, outer_m: f64, conductivity_w_m_k: f64) -> f64 {
    if outer_m > inner_m { (outer_m / inner_m).ln() / (2.0 * PI * conductivity_w_m_k) } else { 0.0 }
}

/// What a steady loss comes to in a year, kWh.
#[must_use]
pub fn year_kwh(loss_w: f64) -> f64 {
    loss_w * HOURS_IN_A_YEAR / 1000.0
}
