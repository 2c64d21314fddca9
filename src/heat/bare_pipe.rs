//! A bare level pipe in still air: natural convection after Churchill and Chu (1975), and radiation to the room.

use crate::units::STANDARD_GRAVITY_M_S2;

/// Stefan-Boltzmann constant, W/(m² K⁴) (exact in the SI of 2019, rounded).
const STEFAN_BOLTZMANN: f64 = 5.670_374e-8;
const ZERO_C_K: f64 = 273.15;

/// Dry air at 101.325 kPa by CoolProp 8.0.0: °C, thermal conductivity W/(m K), kinematic viscosity m²/s, Prandtl number.
const AIR: [(f64, f64, f64, f64); 11] = [
    (0.0, 0.024_360, 1.331_60e-5, 0.710_84),
    (10.0, 0.025_121, 1.420_38e-5, 0.709_34),
    (20.0, 0.025_874, 1.511_38e-5, 0.707_96),
    (30.0, 0.026_618, 1.604_55e-5, 0.706_67),
    (40.0, 0.027_354, 1.699_87e-5, 0.705_48),
    (50.0, 0.028_083, 1.797_30e-5, 0.704_39),
    (60.0, 0.028_804, 1.896_81e-5, 0.703_38),
    (70.0, 0.029_518, 1.998_35e-5, 0.702_47),
    (80.0, 0.030_225, 2.101_91e-5, 0.701_65),
    (90.0, 0.030_926, 2.207_46e-5, 0.700_92),
    (100.0, 0.031_620, 2.314_96e-5, 0.700_27),
];

/// How a bare pipe gives off its heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BarePipe {
    /// Rayleigh number on the outside diameter.
    pub rayleigh: f64,
    /// Nusselt number on the outside diameter.
    pub nusselt: f64,
    /// By the air that rises from it, W/(m² K).
    pub convection_w_m2_k: f64,
    /// By radiation, W/(m² K).
    pub radiation_w_m2_k: f64,
    /// By both together, W for each metre.
    pub loss_w_m: f64,
}

/// What a pipe of `outside_m`, at `pipe_c` throughout, loses to a room of `room_c`; `emissivity` is that of its surface.
/// None where the mean of both temperatures is not between 0 and 100 °C, for which air is tabled.
#[must_use]
pub fn bare_pipe(outside_m: f64, pipe_c: f64, room_c: f64, emissivity: f64) -> Option<BarePipe> {
    let film_c = f64::midpoint(pipe_c, room_c);
    let (conductivity, viscosity, prandtl) = air(film_c)?;
    // Air as an ideal gas grows by 1/T for each kelvin.
    let drive = STANDARD_GRAVITY_M_S2 * (pipe_c - room_c).abs() / (film_c + ZERO_C_K);
    let rayleigh = drive * outside_m.powi(3) / viscosity.powi(2) * prandtl;
    // Churchill and Chu (1975), for all Rayleigh numbers up to 1e12.
    let of_air = (1.0 + (0.559 / prandtl).powf(9.0 / 16.0)).powf(8.0 / 27.0);
    let nusselt = (0.60 + 0.387 * rayleigh.powf(1.0 / 6.0) / of_air).powi(2);
    let convection_w_m2_k = nusselt * conductivity / outside_m;
    let (pipe_k, room_k) = (pipe_c + ZERO_C_K, room_c + ZERO_C_K);
    let radiation_w_m2_k = emissivity * STEFAN_BOLTZMANN * (pipe_k.powi(2) + room_k.powi(2)) * (pipe_k + room_k);
    let around_m = std::f64::consts::PI * outside_m;
    let loss_w_m = (convection_w_m2_k + radiation_w_m2_k) * around_m * (pipe_c - room_c);
    Some(BarePipe { rayleigh, nusselt, convection_w_m2_k, radiation_w_m2_k, loss_w_m })
}

/// Conductivity, kinematic viscosity and Prandtl number of dry air, between the lines of the table.
fn air(celsius: f64) -> Option<(f64, f64, f64)> {
    let pair = AIR.windows(2).find(|pair| (pair[0].0..=pair[1].0).contains(&celsius))?;
    let share = (celsius - pair[0].0) / (pair[1].0 - pair[0].0);
    let between = |low: f64, high: f64| low + (high - low) * share;
    let (low, high) = (pair[0], pair[1]);
    Some((between(low.1, high.1), between(low.2, high.2), between(low.3, high.3)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn air_that_is_not_tabled_is_not_guessed() {
        assert_eq!(bare_pipe(0.022, 230.0, 20.0, 0.2), None);
        assert_eq!(bare_pipe(0.022, f64::NAN, 20.0, 0.2), None);
    }

    #[test]
    fn a_pipe_as_warm_as_the_room_loses_nothing() {
        assert_eq!(bare_pipe(0.022, 20.0, 20.0, 0.2).map(|pipe| pipe.loss_w_m), Some(0.0));
    }
}
