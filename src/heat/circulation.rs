//! Circulation that nobody wants, between its bounds: stagnant water in a copper fin, and hot water throughout.

use std::f64::consts::FRAC_PI_4;

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
