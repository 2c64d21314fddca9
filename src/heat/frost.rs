//! How long water in a pipe lasts in frost, and how much insulation a wanted time asks for.
//!
//! Cooling: ASHRAE Handbook Fundamentals 2019, mechanical insulation, eq. 1 (seen restated), here with wall and air film;
//! freezing: ISO 12241 has such a clause, which was not seen. Insulation delays freezing and never prevents it.

use std::f64::consts::FRAC_PI_4;

use super::pipe_loss::Cover;

/// Density of cold water, kg/m³.
const WATER_KG_M3: f64 = 1000.0;
/// Specific heat of cold water, J/(kg K).
const COLD_WATER_J_KG_K: f64 = 4200.0;
/// Heat of fusion of ice, J/kg; from memory.
pub const FUSION_J_KG: f64 = 334_000.0;
/// The share of the bore that may freeze while water still gets through: half (common practice, no source).
pub const HALF: f64 = 0.5;

/// A tube full of water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tube {
    /// Outside diameter, m.
    pub outside_m: f64,
    /// Bore, m.
    pub bore_m: f64,
    /// Density of its wall, kg/m³.
    pub wall_kg_m3: f64,
    /// Specific heat of its wall, J/(kg K).
    pub wall_j_kg_k: f64,
}

/// Water in a pipe in frost.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frost {
    /// Water when the frost begins, °C.
    pub water_c: f64,
    /// Air, °C.
    pub air_c: f64,
}

impl Tube {
    /// Heat capacity of a metre with its water, J/(m K).
    #[must_use]
    pub fn capacity_j_m_k(&self) -> f64 {
        let wall_m2 = FRAC_PI_4 * (self.outside_m * self.outside_m - self.bore_m * self.bore_m);
        self.bore_m2() * WATER_KG_M3 * COLD_WATER_J_KG_K + wall_m2 * self.wall_kg_m3 * self.wall_j_kg_k
    }

    fn bore_m2(&self) -> f64 {
        FRAC_PI_4 * self.bore_m * self.bore_m
    }

    /// Seconds per m K/W of cover until the water is at 0 °C: Σ(m' c) ln((θ_w − θ_a)/(0 − θ_a)); `None` without frost.
    fn cooling_j_m_k(&self, frost: &Frost) -> Option<f64> {
        (frost.air_c < 0.0)
            .then(|| self.capacity_j_m_k() * ((frost.water_c - frost.air_c) / -frost.air_c).ln().max(0.0))
    }

    /// Seconds until the water is at 0 °C; `None` when the air does not freeze.
    #[must_use]
    pub fn to_freezing_s(&self, resistance_m_k_w: f64, frost: &Frost) -> Option<f64> {
        Some(self.cooling_j_m_k(frost)? * resistance_m_k_w)
    }

    /// Seconds more until a share of the water is ice: x ρ A L R' / (0 − θ_a); `None` when the air does not freeze.
    #[must_use]
    pub fn freezing_s(&self, resistance_m_k_w: f64, frost: &Frost, share: f64) -> Option<f64> {
        let heat_j_m = share * WATER_KG_M3 * self.bore_m2() * FUSION_J_KG;
        (frost.air_c < 0.0).then(|| heat_j_m / -frost.air_c * resistance_m_k_w)
    }

    /// Seconds until a share of the water is ice, from the beginning; `None` when the air does not freeze.
    #[must_use]
    pub fn to_ice_s(&self, resistance_m_k_w: f64, frost: &Frost, share: f64) -> Option<f64> {
        Some(self.to_freezing_s(resistance_m_k_w, frost)? + self.freezing_s(resistance_m_k_w, frost, share)?)
    }

    /// Resistance of a metre with which a share of the water is ice after so many seconds, m K/W.
    #[must_use]
    pub fn wanted_resistance_m_k_w(&self, frost: &Frost, share: f64, seconds: f64) -> Option<f64> {
        Some(seconds / self.to_ice_s(1.0, frost, share)?)
    }

    /// Thickness of insulation in m with which a share of the water is ice after so many seconds, not sooner; `None` when
    /// the air does not freeze or half a metre does not do.
    ///
    /// Solved by halving: the resistance grows with the thickness wherever insulation is worth having. Below the critical
    /// radius λ/h it falls first, so the search begins there.
    #[must_use]
    pub fn thickness_m(&self, conductivity_w_m_k: f64, film_w_m2_k: f64, frost: &Frost, seconds: f64) -> Option<f64> {
        const THICKEST_M: f64 = 0.5;
        let wanted = self.wanted_resistance_m_k_w(frost, HALF, seconds)?;
        let resistance = |thickness_m: f64| {
            Cover { outside_m: self.outside_m, thickness_m, conductivity_w_m_k, film_w_m2_k }.resistance_m_k_w()
        };
        if resistance(0.0) >= wanted {
            return Some(0.0);
        }
        let critical_m = (conductivity_w_m_k / film_w_m2_k - self.outside_m / 2.0).max(0.0);
        let (mut thin_m, mut thick_m) = (critical_m, THICKEST_M);
        if resistance(thick_m) < wanted {
            return None;
        }
        while thick_m - thin_m > 1e-7 {
            let middle_m = f64::midpoint(thin_m, thick_m);
            if resistance(middle_m) < wanted { thin_m = middle_m } else { thick_m = middle_m }
        }
        Some(thick_m)
    }
}
