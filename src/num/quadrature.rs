//! Integrals over a stretch, of functions that may rise without bound towards its ends.

use std::sync::OnceLock;

/// Halvings of the step; beyond them only rounding changes.
const MOST_LEVELS: usize = 9;
/// How far out the abscissae go; there the weights are lost in rounding.
const REACH: f64 = 3.8;

/// The integral of `function` from `from` to `to`, until halving the step changes it by less than the share `accuracy`.
/// `None` if it does not settle.
///
/// Double exponential rule of Takahasi and Mori (1974): x = tanh(π/2 sinh t) crowds the points towards the ends, where
/// the time a vessel takes to empty has its singularity. `function` is told the place, and how far it is from the ends.
#[must_use]
pub fn integral(from: f64, to: f64, accuracy: f64, function: impl Fn(Place) -> f64) -> Option<f64> {
    if from == to {
        return Some(0.0);
    }
    let half = (to - from) / 2.0;
    // A pair of points as far from either end, times its weight.
    let pair = |Abscissa { exp, cosh, weight }: &Abscissa| {
        // 1 - tanh(s), kept exact near the ends.
        let gap = half * exp / cosh;
        let near_from = Place { at: from + gap, from_start: gap, from_end: 2.0 * half - gap };
        let near_to = Place { at: to - gap, from_start: 2.0 * half - gap, from_end: gap };
        weight * (function(near_from) + function(near_to))
    };
    let middle = Place { at: from + half, from_start: half, from_end: half };
    let mut sum = std::f64::consts::FRAC_PI_2 * function(middle) + abscissae(0).iter().map(pair).sum::<f64>();
    let mut before = sum * half;
    let mut step = 1.0;
    for level in 0..MOST_LEVELS {
        step /= 2.0;
        sum += abscissae(level + 1).iter().map(pair).sum::<f64>();
        let now = sum * step * half;
        if level > 1 && (now - before).abs() <= accuracy * now.abs() {
            return Some(now);
        }
        before = now;
    }
    None
}

/// A place in the stretch of an integral. The distances keep their digits where the place itself has lost them.
#[derive(Debug, Clone, Copy)]
pub struct Place {
    /// The place.
    pub at: f64,
    /// From the start, with the sign of the stretch.
    pub from_start: f64,
    /// To the end, with the sign of the stretch.
    pub from_end: f64,
}

/// What of a pair of points is the same for every function and stretch, with s = π/2 sinh t.
#[derive(Clone, Copy)]
struct Abscissa {
    /// e to the −s.
    exp: f64,
    /// cosh s.
    cosh: f64,
    weight: f64,
}

/// The pairs that come in when the step has been halved so many times. They take longer to reckon than most functions do, so
/// they are kept.
fn abscissae(halvings: usize) -> &'static [Abscissa] {
    static KEPT: [OnceLock<Vec<Abscissa>>; MOST_LEVELS + 1] = [const { OnceLock::new() }; MOST_LEVELS + 1];
    KEPT[halvings].get_or_init(|| {
        let step = 0.5_f64.powi(i32::try_from(halvings).unwrap_or(i32::MAX));
        // Those between were there before it was halved.
        let apart = if halvings == 0 { step } else { 2.0 * step };
        let places = (0_u32..).map(|number| step + apart * f64::from(number)).take_while(|t| *t <= REACH);
        places.map(Abscissa::at).collect()
    })
}

impl Abscissa {
    fn at(t: f64) -> Self {
        let stretch = std::f64::consts::FRAC_PI_2 * t.sinh();
        let cosh = stretch.cosh();
        Self { exp: (-stretch).exp(), cosh, weight: std::f64::consts::FRAC_PI_2 * t.cosh() / (cosh * cosh) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: Option<f64>, expected: f64) {
        let found = found.expect("it settles");
        assert!((found - expected).abs() < 1e-11 * (1.0 + expected.abs()), "{found}, not {expected}");
    }

    #[test]
    fn smooth_and_singular_integrals() {
        near(integral(0.0, 3.0, 1e-12, |x| x.at * x.at), 9.0);
        near(integral(3.0, 0.0, 1e-12, |x| x.at * x.at), -9.0);
        near(integral(0.0, 1.0, 1e-12, |x| 1.0 / x.from_start.sqrt()), 2.0);
        near(integral(0.0, 1.0, 1e-12, |x| 1.0 / x.from_end.sqrt()), 2.0);
        near(integral(1.0, 2.0, 1e-12, |x| x.at.ln()), 2.0 * 2.0_f64.ln() - 1.0);
        near(integral(2.0, 2.0, 1e-12, |x| x.at), 0.0);
    }

    #[test]
    fn what_has_no_integral_gives_none() {
        assert_eq!(integral(0.0, 1.0, 1e-12, |x| 1.0 / x.from_start), None);
        assert_eq!(integral(0.0, 1.0, 1e-12, |_| f64::NAN), None);
    }
}
