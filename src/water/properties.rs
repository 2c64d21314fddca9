//! Properties of liquid water at atmospheric pressure.
//!
//! IAPWS SR6-08(2011), "Revised Supplementary Release on Properties of Liquid Water at 0.1 MPa": correlations in one
//! variable, valid from 253.15 K to 383.15 K (conductivity from 273.15 K).

use thiserror::Error;

/// Specific gas constant of water, J/(kg K).
const GAS_CONSTANT_J_KG_K: f64 = 461.518_05;
/// Reference pressure, Pa.
const PRESSURE_PA: f64 = 1.0e5;
/// Reducing temperature T_R, K.
const REDUCING_K: f64 = 10.0;
/// Range in which this program uses the correlations, °C.
const RANGE_CELSIUS: std::ops::RangeInclusive<f64> = 0.0..=100.0;

/// The temperature is not that of liquid water in a house.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[error("water properties hold from 0 to 100 °C, not at {celsius} °C")]
pub struct OutOfRange {
    /// The temperature that was asked for.
    pub celsius: f64,
}

/// Liquid water at a temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Water {
    /// Temperature, °C.
    pub celsius: f64,
    /// Density ρ, kg/m³.
    pub density_kg_m3: f64,
    /// Dynamic viscosity μ, Pa s.
    pub viscosity_pa_s: f64,
    /// Specific heat at constant pressure, J/(kg K).
    pub heat_j_kg_k: f64,
    /// Thermal conductivity, W/(m K).
    pub conductivity_w_m_k: f64,
}

impl Water {
    /// Water at a temperature between 0 and 100 °C.
    ///
    /// # Errors
    /// [`OutOfRange`] outside of that.
    pub fn at_celsius(celsius: f64) -> Result<Self, OutOfRange> {
        if !RANGE_CELSIUS.contains(&celsius) {
            return Err(OutOfRange { celsius });
        }
        let kelvin = celsius + 273.15;
        Ok(Self {
            celsius,
            density_kg_m3: 1.0 / specific_volume_m3_kg(kelvin),
            viscosity_pa_s: viscosity_pa_s(kelvin),
            heat_j_kg_k: heat_capacity_j_kg_k(kelvin),
            conductivity_w_m_k: conductivity_w_m_k(kelvin),
        })
    }

    /// Kinematic viscosity ν = μ/ρ, m²/s.
    #[must_use]
    pub fn kinematic_viscosity_m2_s(&self) -> f64 {
        self.viscosity_pa_s / self.density_kg_m3
    }
}

/// α = T_R / (593 K − T) and β = T_R / (T − 232 K).
fn alpha_and_beta(kelvin: f64) -> (f64, f64) {
    (REDUCING_K / (593.0 - kelvin), REDUCING_K / (kelvin - 232.0))
}

/// Table 1: v = (R T_R / p) (a5 + Σ a_i α^n_i + Σ b_i β^m_i), i = 6..10 and 5..10.
fn specific_volume_m3_kg(kelvin: f64) -> f64 {
    const A5: f64 = 1.937_631_57e-2;
    const A: [(f64, i32); 5] =
        [(6.744_584_46e3, 4), (-2.225_216_04e5, 5), (1.002_312_47e8, 7), (-1.635_521_18e9, 8), (8.322_996_58e9, 9)];
    const B: [(f64, i32); 6] = [
        (5.785_452_92e-3, 1),
        (-1.531_956_65e-2, 2),
        (3.113_378_59e-2, 3),
        (-4.235_462_41e-2, 4),
        (3.387_135_07e-2, 5),
        (-1.199_467_61e-2, 6),
    ];
    let (alpha, beta) = alpha_and_beta(kelvin);
    let sum = A5 + series(&A, alpha) + series(&B, beta);
    GAS_CONSTANT_J_KG_K * REDUCING_K / PRESSURE_PA * sum
}

/// Table 1: c_p = −R (c3 + τ Σ n(n+1) a α^(n+2) + τ Σ m(m+1) b β^(m+2)), i = 1..3 and 1..4.
fn heat_capacity_j_kg_k(kelvin: f64) -> f64 {
    const C3: f64 = -8.983_025_854;
    const A: [(f64, i32); 3] = [(-1.661_470_539e5, 4), (2.708_781_64e6, 5), (-1.557_191_544e8, 7)];
    const B: [(f64, i32); 4] = [(-8.237_426_256e-1, 2), (1.908_956_353, 3), (-2.017_597_384, 4), (8.546_361_348e-1, 5)];
    let (alpha, beta) = alpha_and_beta(kelvin);
    let tau = kelvin / REDUCING_K;
    let curvature = |terms: &[(f64, i32)], x: f64| -> f64 {
        terms.iter().map(|(c, n)| f64::from(n * (n + 1)) * c * x.powi(n + 2)).sum()
    };
    -GAS_CONSTANT_J_KG_K * (C3 + tau * curvature(&A, alpha) + tau * curvature(&B, beta))
}

/// Equation 7: μ = 1e-6 Σ a_i (T / 300 K)^b_i.
fn viscosity_pa_s(kelvin: f64) -> f64 {
    const TERMS: [(f64, f64); 4] = [(280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.459_03, -40.0)];
    1e-6 * powers(&TERMS, kelvin / 300.0)
}

/// Equation 8: λ = Σ c_i (T / 300 K)^d_i.
fn conductivity_w_m_k(kelvin: f64) -> f64 {
    const TERMS: [(f64, f64); 4] = [(1.663, -1.15), (-1.7781, -3.4), (1.1567, -6.0), (-0.432_115, -7.6)];
    powers(&TERMS, kelvin / 300.0)
}

fn series(terms: &[(f64, i32)], x: f64) -> f64 {
    terms.iter().map(|(factor, power)| factor * x.powi(*power)).sum()
}

fn powers(terms: &[(f64, f64)], x: f64) -> f64 {
    terms.iter().map(|(factor, power)| factor * x.powf(*power)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IAPWS SR6-08(2011) at 0.1 MPa as computed with iapws 1.5.5: T in K, ρ, c_p, μ, λ.
    #[test]
    fn the_release_is_reproduced() {
        let rows = [
            (273.15, 999.842_383, 4_219.318_3, 1.791_782_43e-3, 0.555_647_68),
            (298.15, 997.047_013, 4_181.446_18, 8.899_967_7e-4, 0.606_502_31),
            (333.15, 983.195_255, 4_184.897_8, 4.660_392_9e-4, 0.651_015_54),
        ];
        for (kelvin, density, heat, viscosity, conductivity) in rows {
            let water = Water::at_celsius(kelvin - 273.15).expect("in range");
            let near = |have: f64, expected: f64| assert!((have / expected - 1.0).abs() < 1e-6, "{have} {expected}");
            near(water.density_kg_m3, density);
            near(water.heat_j_kg_k, heat);
            near(water.viscosity_pa_s, viscosity);
            near(water.conductivity_w_m_k, conductivity);
        }
    }

    #[test]
    fn ice_and_steam_are_refused() {
        assert!(Water::at_celsius(-0.1).is_err());
        assert!(Water::at_celsius(100.1).is_err());
        assert!(Water::at_celsius(f64::NAN).is_err());
    }
}
