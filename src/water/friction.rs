//! Friction of water in round pipes: Darcy-Weisbach, laminar and Colebrook-White, with a smooth blend between.

use super::Water;

/// Below this Reynolds number flow is laminar.
pub const LAMINAR_BELOW: f64 = 2000.0;
/// From this Reynolds number on flow is turbulent. Between the two no formula is accepted; the blend is ours.
pub const TURBULENT_FROM: f64 = 4000.0;
/// Where bends and tees stir the water, flow may be turbulent from here on: the critical number of textbooks, from memory.
pub const TURBULENT_EARLIEST: f64 = 2300.0;

/// By when laminar flow is taken to have become turbulent.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Transition {
    /// Between the two Reynolds numbers that all agree on: it lies below Colebrook until the second.
    #[default]
    Late,
    /// As early as it may be: from there on it is Colebrook, and more cannot be lost.
    Early,
}

impl Transition {
    const fn turbulent_from(self) -> f64 {
        match self {
            Self::Late => TURBULENT_FROM,
            Self::Early => TURBULENT_EARLIEST,
        }
    }
}

/// How water runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Regime {
    /// In layers.
    Laminar,
    /// Between the two, where friction is least sure.
    Transitional,
    /// Stirred through.
    Turbulent,
}

impl Regime {
    /// That of a Reynolds number.
    #[must_use]
    pub fn of(reynolds: f64) -> Self {
        if reynolds <= LAMINAR_BELOW {
            Self::Laminar
        } else if reynolds < TURBULENT_FROM {
            Self::Transitional
        } else {
            Self::Turbulent
        }
    }

    /// In a word.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Laminar => "laminar",
            Self::Transitional => "transitional",
            Self::Turbulent => "turbulent",
        }
    }
}

/// Reynolds number Re = v D / ν.
#[must_use]
pub fn reynolds(water: &Water, velocity_m_s: f64, bore_m: f64) -> f64 {
    velocity_m_s.abs() * bore_m / water.kinematic_viscosity_m2_s()
}

/// Mean velocity v = 4 ṁ / (ρ π D²), m/s, with the sign of the flow.
#[must_use]
pub fn velocity_m_s(water: &Water, flow_kg_s: f64, bore_m: f64) -> f64 {
    4.0 * flow_kg_s / (water.density_kg_m3 * std::f64::consts::PI * bore_m * bore_m)
}

/// Darcy friction factor for a Reynolds number and a relative roughness ε/D.
///
/// Laminar: f = 64/Re. Turbulent: Colebrook-White. Between 2000 and 4000 the two are blended by a cubic in Re, so that
/// f and its slope are continuous and a solver meets no step.
#[must_use]
pub fn darcy_factor(reynolds: f64, relative_roughness: f64) -> f64 {
    darcy_factor_and_slope(reynolds, relative_roughness, Transition::Late).0
}

/// Darcy friction factor, and how it changes with the Reynolds number.
#[must_use]
pub fn darcy_factor_and_slope(reynolds: f64, relative_roughness: f64, transition: Transition) -> (f64, f64) {
    let laminar = (64.0 / reynolds, -64.0 / (reynolds * reynolds));
    if reynolds <= LAMINAR_BELOW {
        return laminar;
    }
    let turbulent = colebrook_white_and_slope(reynolds, relative_roughness);
    let turbulent_from = transition.turbulent_from();
    if reynolds >= turbulent_from {
        return turbulent;
    }
    let span = turbulent_from - LAMINAR_BELOW;
    let share = (reynolds - LAMINAR_BELOW) / span;
    let smooth = share * share * (3.0 - 2.0 * share);
    let smooth_slope = 6.0 * share * (1.0 - share) / span;
    let factor = laminar.0 * (1.0 - smooth) + turbulent.0 * smooth;
    let slope = laminar.1 * (1.0 - smooth) + turbulent.1 * smooth + (turbulent.0 - laminar.0) * smooth_slope;
    (factor, slope)
}

/// Colebrook, J. Inst. Civ. Eng. 11 (1939): 1/√f = −2 log10(ε/(3.7 D) + 2.51/(Re √f)), by Halley's method on 1/√f.
#[must_use]
pub fn colebrook_white(reynolds: f64, relative_roughness: f64) -> f64 {
    colebrook_white_and_slope(reynolds, relative_roughness).0
}

/// The factor, and its slope by the derivative of the equation.
fn colebrook_white_and_slope(reynolds: f64, relative_roughness: f64) -> (f64, f64) {
    /// 2 log10 x by the natural logarithm, which takes half as long.
    const TWO_LOG10_PER_LN: f64 = 2.0 / std::f64::consts::LN_10;
    /// About the middle of what 1/√f can be, 3 to 12.
    const FIRST_GUESS: f64 = 7.0;
    let rough = relative_roughness / 3.7;
    let per_root = 2.51 / reynolds;
    let mut root = FIRST_GUESS;
    for _ in 0..20 {
        let inside = rough + per_root * root;
        let miss = root + TWO_LOG10_PER_LN * inside.ln();
        let slope = 1.0 + TWO_LOG10_PER_LN * per_root / inside;
        let bend = -TWO_LOG10_PER_LN * (per_root / inside).powi(2);
        let step = 2.0 * miss * slope / (2.0 * slope * slope - miss * bend);
        root -= step;
        // What is left after a step is less than its cube: the root has its last digit.
        if step.abs() < 1e-6 * root.abs() {
            break;
        }
    }
    let pull = TWO_LOG10_PER_LN * per_root / (rough + per_root * root);
    let root_slope = pull / (1.0 + pull) * root / reynolds;
    (1.0 / (root * root), -2.0 * root_slope / (root * root * root))
}

/// Loss of pressure by friction along a straight pipe, Pa per m, for a flow in kg/s; has the sign of the flow.
///
/// Darcy-Weisbach: Δp/L = f ρ v² / (2 D).
#[must_use]
pub fn loss_pa_per_m(water: &Water, flow_kg_s: f64, bore_m: f64, roughness_m: f64) -> f64 {
    if flow_kg_s == 0.0 {
        return 0.0;
    }
    let velocity = velocity_m_s(water, flow_kg_s, bore_m);
    let factor = darcy_factor(reynolds(water, velocity, bore_m), roughness_m / bore_m);
    factor / bore_m * water.density_kg_m3 * velocity * velocity.abs() / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Colebrook-White by fluids 1.3.1: (Re, ε/D) -> f.
    #[test]
    fn colebrook_white_is_solved() {
        let rows = [
            (1e5, 1e-4, 0.018_513_866),
            (1e4, 1.1e-4, 0.031_052_582),
            (1e5, 0.0, 0.017_989_773),
            (1e6, 1e-3, 0.019_943_466),
        ];
        for (reynolds, roughness, factor) in rows {
            assert!((colebrook_white(reynolds, roughness) - factor).abs() < 1e-9);
        }
    }

    #[test]
    fn colebrook_white_holds_to_the_last_digits() {
        for exponent in 7..22 {
            let reynolds = 10_f64.powf(f64::from(exponent) / 2.0);
            for roughness in [0.0, 1e-6, 1e-4, 3e-3, 0.1] {
                let root = colebrook_white(reynolds, roughness).sqrt().recip();
                let by_equation = -2.0 * (roughness / 3.7 + 2.51 / reynolds * root).log10();
                assert!((root / by_equation - 1.0).abs() < 3e-15, "{reynolds} {roughness}: {root} {by_equation}");
            }
        }
    }

    #[test]
    fn the_slope_is_that_of_the_factor() {
        for reynolds in [500.0, 1_999.0, 2_001.0, 2_700.0, 3_999.0, 4_001.0, 2e4, 1e6] {
            for (roughness, transition) in [0.0, 1e-4, 0.02]
                .into_iter()
                .flat_map(|roughness| [Transition::Late, Transition::Early].map(|transition| (roughness, transition)))
            {
                let step = reynolds * 1e-6;
                let factor = |reynolds: f64| darcy_factor_and_slope(reynolds, roughness, transition).0;
                let rise = factor(reynolds + step) - factor(reynolds - step);
                let slope = darcy_factor_and_slope(reynolds, roughness, transition).1;
                assert!((rise / (2.0 * step) - slope).abs() < 1e-4 * slope.abs() + 1e-12, "{reynolds} {roughness}");
            }
        }
    }

    #[test]
    fn the_early_transition_is_colebrook_where_the_blend_lies_below_it() {
        for reynolds in [2_300.0, 2_600.0, 3_000.0, 3_900.0] {
            let early = darcy_factor_and_slope(reynolds, 1e-4, Transition::Early).0;
            assert_eq!(early, colebrook_white(reynolds, 1e-4));
            assert!(darcy_factor(reynolds, 1e-4) < early, "{reynolds}");
        }
        assert_eq!(
            [1_999.0, 2_001.0, 4_000.0].map(Regime::of),
            [Regime::Laminar, Regime::Transitional, Regime::Turbulent]
        );
    }

    #[test]
    fn the_blend_has_no_step() {
        for edge in [LAMINAR_BELOW, TURBULENT_FROM] {
            let (below, above) = (darcy_factor(edge - 1e-6, 1e-4), darcy_factor(edge + 1e-6, 1e-4));
            assert!((below / above - 1.0).abs() < 1e-8);
        }
    }
}
