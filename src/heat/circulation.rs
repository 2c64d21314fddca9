//! Circulation that nobody wants, between its bounds: stagnant water in a copper fin, and hot water throughout; and the
//! pressure that drives circulation by buoyancy.

use std::f64::consts::FRAC_PI_4;

use crate::units::STANDARD_GRAVITY_M_S2;
use crate::water::{OutOfRange, Water, friction};

/// A pipe that stands on something hot, full of water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stub {
    /// Length, m.
    pub length_m: f64,
    /// What a metre loses for each kelvin, W/(m K): h π D for a bare pipe, 1/R' for any.
    pub loss_w_m_k: f64,
    /// What it conducts along itself, k A, W m/K.
    pub along_w_m_k: f64,
}

impl Stub {
    /// The least it loses, W: stagnant, a fin with an insulated tip, q = √(h P k A) θ tanh(m L), m = √(h P / k A).
    #[must_use]
    pub fn stagnant_w(&self, hotter_k: f64) -> f64 {
        let per_m = (self.loss_w_m_k / self.along_w_m_k).sqrt();
        (self.loss_w_m_k * self.along_w_m_k).sqrt() * hotter_k * (per_m * self.length_m).tanh()
    }

    /// The most it loses, W: hot throughout because water rises in its middle and sinks along its wall.
    #[must_use]
    pub fn circulating_w(&self, hotter_k: f64) -> f64 {
        self.loss_w_m_k * self.length_m * hotter_k
    }
}

/// What a tube wall conducts along itself, k A, W m/K.
#[must_use]
pub fn wall_along_w_m_k(outside_m: f64, bore_m: f64, conductivity_w_m_k: f64) -> f64 {
    conductivity_w_m_k * FRAC_PI_4 * (outside_m * outside_m - bore_m * bore_m)
}

/// Pressure that drives a loop for each metre between its heights, Pa/m: g (ρ_return − ρ_flow).
///
/// # Errors
/// [`OutOfRange`] for what is no liquid water.
pub fn buoyancy_pa_m(flow_c: f64, return_c: f64) -> Result<f64, OutOfRange> {
    let (hot, cool) = (Water::at_celsius(flow_c)?, Water::at_celsius(return_c)?);
    Ok(STANDARD_GRAVITY_M_S2 * (cool.density_kg_m3 - hot.density_kg_m3))
}

/// A loop of one pipe size in which water goes round by buoyancy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loop {
    /// Height between the middles of what heats and what is heated, m.
    pub height_m: f64,
    /// Length of pipe, m.
    pub length_m: f64,
    /// Sum of the loss coefficients of its fittings.
    pub fittings: f64,
    /// Bore, m.
    pub bore_m: f64,
    /// Roughness, m.
    pub roughness_m: f64,
}

impl Loop {
    /// Flow in kg/s at which friction takes up the buoyancy, Δp = (f L/D + ΣK) ρ v²/2, properties at the mean.
    ///
    /// # Errors
    /// [`OutOfRange`] for what is no liquid water.
    pub fn flow_kg_s(&self, flow_c: f64, return_c: f64) -> Result<f64, OutOfRange> {
        let drive_pa = buoyancy_pa_m(flow_c, return_c)? * self.height_m;
        let water = Water::at_celsius(f64::midpoint(flow_c, return_c))?;
        if drive_pa <= 0.0 {
            return Ok(0.0);
        }
        let area_m2 = FRAC_PI_4 * self.bore_m * self.bore_m;
        // The factor hangs so weakly on the velocity that putting each into the other settles in a few rounds.
        let mut velocity_m_s = 0.1;
        for _ in 0..60 {
            let reynolds = friction::reynolds(&water, velocity_m_s, self.bore_m);
            let factor = friction::darcy_factor(reynolds, self.roughness_m / self.bore_m);
            let losses = factor * self.length_m / self.bore_m + self.fittings;
            let next_m_s = (2.0 * drive_pa / (water.density_kg_m3 * losses)).sqrt();
            // The mean of the two damps the swing that laminar flow (factor as 1/v) would have.
            velocity_m_s = f64::midpoint(velocity_m_s, next_m_s);
        }
        Ok(water.density_kg_m3 * area_m2 * velocity_m_s)
    }
}
