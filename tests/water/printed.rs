//! Worked examples of textbooks and of BS 6700: each answer as it is printed, beside its source and what was seen of it.

use loftwright::layout::OutletKind;
use loftwright::units::STANDARD_GRAVITY_M_S2;
use loftwright::water::demand::{Counting, simultaneous_l_s};
use loftwright::water::levels::{Orifice, Prism};
use loftwright::water::{Water, friction};

use crate::near::near;

const FOOT_M: f64 = 0.3048;
const INCH_M: f64 = FOOT_M / 12.0;
/// By its definition, as it is printed in tables.
const PSI_PA: f64 = 6894.757;
/// Three figures are printed of most answers: half of the last is 0.05 to 0.5 %.
const THREE_FIGURES: f64 = 0.005;

/// A pipe with water that runs through it.
struct RunningPipe {
    celsius: f64,
    bore_m: f64,
    roughness_m: f64,
    length_m: f64,
    velocity_m_s: f64,
    /// ΣK of its fittings.
    losses: f64,
}

impl RunningPipe {
    fn with_flow(mut self, flow_m3_s: f64) -> Self {
        let water = self.water();
        self.velocity_m_s = friction::velocity_m_s(&water, flow_m3_s * water.density_kg_m3, self.bore_m);
        self
    }

    fn water(&self) -> Water {
        Water::at_celsius(self.celsius).expect("liquid")
    }

    fn reynolds(&self) -> f64 {
        friction::reynolds(&self.water(), self.velocity_m_s, self.bore_m)
    }

    fn darcy_factor(&self) -> f64 {
        friction::darcy_factor(self.reynolds(), self.roughness_m / self.bore_m)
    }

    fn friction_pa(&self) -> f64 {
        let water = self.water();
        let flow_kg_s =
            self.velocity_m_s * std::f64::consts::FRAC_PI_4 * self.bore_m * self.bore_m * water.density_kg_m3;
        self.length_m * friction::loss_pa_per_m(&water, flow_kg_s, self.bore_m, self.roughness_m)
    }

    fn fittings_pa(&self) -> f64 {
        self.losses * self.water().density_kg_m3 * self.velocity_m_s * self.velocity_m_s / 2.0
    }

    fn head_m(&self) -> f64 {
        (self.friction_pa() + self.fittings_pa()) / (self.water().density_kg_m3 * STANDARD_GRAVITY_M_S2)
    }
}

fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

/// Cengel and Cimbala, "Fluid Mechanics", example 8-3: 0.2 ft³/s of water of 60 °F through 200 ft of stainless steel with a
/// bore of 2 in. Inputs and Reynolds number seen in a public companion of the book; 11.8 psi and 27.3 ft from memory.
#[test]
fn pressure_that_a_stainless_steel_pipe_takes() {
    let pipe = RunningPipe {
        celsius: celsius(60.0),
        bore_m: 2.0 * INCH_M,
        roughness_m: 0.000_007 * FOOT_M,
        length_m: 200.0 * FOOT_M,
        velocity_m_s: 0.0,
        losses: 0.0,
    }
    .with_flow(0.2 * FOOT_M.powi(3));
    near(pipe.reynolds(), 126_400.0, THREE_FIGURES, "Reynolds number");
    near(pipe.friction_pa() / PSI_PA, 11.8, THREE_FIGURES, "psi");
    near(pipe.head_m() / FOOT_M, 27.3, THREE_FIGURES, "feet of head");
}

/// The same book, example 8-8: 6 L/s of water of 10 °C from one reservoir to another, whose water stands at 4 m, through 89 m
/// of cast iron with a bore of 50 mm; entrance 0.5, two bends 0.3, gate valve 0.2, exit 1.06. Inputs seen in another public
/// companion of the book; that the upper water stands at 31.9 m from memory.
#[test]
fn level_that_drives_water_from_one_reservoir_to_another() {
    let pipe = RunningPipe {
        celsius: 10.0,
        bore_m: 0.05,
        roughness_m: 0.000_26,
        length_m: 89.0,
        velocity_m_s: 0.0,
        losses: 0.5 + 2.0 * 0.3 + 0.2 + 1.06,
    }
    .with_flow(0.006);
    near(pipe.head_m(), 31.9 - 4.0, THREE_FIGURES, "difference of levels");
}

/// The same book, example 8-1: water of 40 °F at 3 ft/s through 30 ft of pipe with a bore of 0.12 in. From memory.
#[test]
fn head_that_laminar_flow_takes() {
    let pipe = RunningPipe {
        celsius: celsius(40.0),
        bore_m: 0.12 * INCH_M,
        roughness_m: 0.0,
        length_m: 30.0 * FOOT_M,
        velocity_m_s: 3.0 * FOOT_M,
        losses: 0.0,
    };
    near(pipe.reynolds(), 1803.0, THREE_FIGURES, "Reynolds number");
    near(pipe.darcy_factor(), 0.0355, THREE_FIGURES, "friction factor");
    near(pipe.head_m() / FOOT_M, 14.9, THREE_FIGURES, "feet of head");
}

/// Munson, "Fundamentals of Fluid Mechanics", example 8.8: 12 US gallons a minute of water of 60 °F up through 60 ft of copper
/// tube with a bore of 3/4 in, its fittings 18 velocity heads: 10.6 psi by friction, 19.8 with the fittings. From memory.
#[test]
fn pressure_that_copper_tube_and_its_fittings_take() {
    let pipe = RunningPipe {
        celsius: celsius(60.0),
        bore_m: 0.75 * INCH_M,
        roughness_m: 0.000_005 * FOOT_M,
        length_m: 60.0 * FOOT_M,
        velocity_m_s: 0.0,
        losses: 18.0,
    }
    .with_flow(12.0 * 231.0 * INCH_M.powi(3) / 60.0);
    near(pipe.friction_pa() / PSI_PA, 10.6, THREE_FIGURES, "psi by friction");
    near((pipe.friction_pa() + pipe.fittings_pa()) / PSI_PA, 19.8, THREE_FIGURES, "psi with the fittings");
}

/// Crane TP-410M, example 7.1: 200 L/min of water of 30 °C through 20 m of smooth plastic pipe of nominal 50 mm (question and
/// answer seen in a public repository, which takes the bore as 52.48 mm).
#[test]
fn friction_factor_of_a_smooth_pipe() {
    let pipe = RunningPipe {
        celsius: 30.0,
        bore_m: 0.052_48,
        roughness_m: 0.0,
        length_m: 20.0,
        velocity_m_s: 0.0,
        losses: 0.0,
    }
    .with_flow(0.2 / 60.0);
    near(pipe.reynolds(), 100_600.0, THREE_FIGURES, "Reynolds number");
    near(pipe.darcy_factor(), 0.0179, THREE_FIGURES, "friction factor");
}

/// Choudhary and Prakash, examples 6.17 to 6.19 (seen in a public companion of the book): upright tanks that empty through a
/// hole with C = 0.6, the first round, of 1.2 m, through 50 mm; the others 3.2 m² through 10 cm². g is 9.81 m/s² there.
#[test]
fn times_in_which_tanks_empty() {
    use std::f64::consts::{FRAC_PI_4, PI};
    let bore_of_10_cm2_m = (4.0 * 0.001 / PI).sqrt();
    for (plan_area_m2, bore_m, from_m, to_m, [hours, minutes, seconds]) in [
        (FRAC_PI_4 * 1.2 * 1.2, 0.05, 3.0, 0.0, [0.0, 12.0, 31.0]),
        (3.2, bore_of_10_cm2_m, 5.0, 2.5, [0.0, 26.0, 17.0]),
        (3.2, bore_of_10_cm2_m, 5.0, 0.0, [1.0, 29.0, 46.0]),
    ] {
        let tank = Prism { plan_area_m2, opening: Orifice { coefficient: 0.6, bore_m }, inflow_m3_s: 0.0 };
        let printed_s = 3600.0 * hours + 60.0 * minutes + seconds;
        near(tank.seconds_to_fall(from_m, to_m).expect("it falls"), printed_s, 1e-3, "seconds");
    }
}

/// BS 6700:2006 D.4 (seen in an excerpt): what groups of outlets are likely to draw at one time, by their loading units. Read
/// off a figure to a hundredth of a litre.
#[test]
fn demand_by_loading_units() {
    use OutletKind::{Basin, Bath, Wc};
    for (kinds, units, printed_l_s) in [
        (&[Bath, Basin, Wc][..], 13.5, 0.35),
        (&[Bath, Basin][..], 11.5, 0.32),
        (&[Bath][..], 10.0, 0.30),
        (&[Basin][..], 1.5, 0.15),
    ] {
        assert_eq!(Counting::Bs6700.loading_units(kinds.iter().copied()), units, "{kinds:?}");
        let have_l_s = simultaneous_l_s(kinds);
        assert!((have_l_s - printed_l_s).abs() <= 0.01, "{units}: {have_l_s} L/s, printed {printed_l_s}");
    }
}
