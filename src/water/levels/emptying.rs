//! How long a vessel takes to empty through one opening. Heights are above the axis of the opening.

use crate::units::STANDARD_GRAVITY_M_S2;

/// An opening in the bottom or low in the side of a vessel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Orifice {
    /// Discharge coefficient C_d.
    pub coefficient: f64,
    /// Diameter, m.
    pub bore_m: f64,
}

impl Orifice {
    /// C_d a √(2 g): what flows under a head of one metre, m³/s (Torricelli).
    fn under_a_metre(&self) -> f64 {
        let area_m2 = std::f64::consts::PI * self.bore_m * self.bore_m / 4.0;
        self.coefficient * area_m2 * (2.0 * STANDARD_GRAVITY_M_S2).sqrt()
    }
}

/// A vessel of the same plan at every height, that empties through one opening while water runs in evenly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prism {
    /// Area of its plan, m².
    pub plan_area_m2: f64,
    /// Where it empties.
    pub opening: Orifice,
    /// What runs in, m³/s.
    pub inflow_m3_s: f64,
}

impl Prism {
    /// Time in which the level falls from one head to another; `None` if it does not get there.
    ///
    /// t = (2 A / k²) (k (√h₁ − √h₂) + Q ln((k √h₁ − Q) / (k √h₂ − Q))) with k = C_d a √(2 g); without inflow that is
    /// (2 A / k) (√h₁ − √h₂).
    #[must_use]
    pub fn seconds_to_fall(&self, from_m: f64, to_m: f64) -> Option<f64> {
        let (k, inflow) = (self.opening.under_a_metre(), self.inflow_m3_s);
        let (root_from, root_to) = (from_m.max(0.0).sqrt(), to_m.max(0.0).sqrt());
        let falls = from_m >= to_m && (k * root_to > inflow || inflow == 0.0) && k > 0.0;
        let late = if inflow == 0.0 { 0.0 } else { ((k * root_from - inflow) / (k * root_to - inflow)).ln() };
        falls.then(|| 2.0 * self.plan_area_m2 / (k * k) * (k * (root_from - root_to) + inflow * late))
    }
}
