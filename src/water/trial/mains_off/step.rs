//! How far levels move in one step.

use super::running::{Running, STOPPED_L_S};
use crate::num::linear_solution;

/// A step is halved until no tap that runs loses more than this share of its flow in it: a tap above the holes then stops
/// with the water at its spout.
const LOSES_AT_MOST: f64 = 0.1;

/// What would run if one level stood a little elsewhere.
pub(super) struct Lean {
    /// The cistern, by its place in the system.
    pub(super) cistern: usize,
    /// How much higher its level stands, mm.
    pub(super) by_mm: f64,
    pub(super) running: Running,
}

/// What runs now, and how that changes with the levels.
pub(super) struct Course<'r> {
    pub(super) now: &'r Running,
    /// One for each cistern whose level is free to move.
    pub(super) leans: Vec<Lean>,
    /// Litres for each millimetre, by cistern.
    pub(super) litres_per_mm: &'r [f64],
}

/// A step.
pub(super) struct Stride {
    /// How far each level moves up, mm.
    pub(super) moves_mm: Vec<f64>,
    /// What runs meanwhile, on the mean.
    pub(super) mean: Running,
    /// What runs at its end.
    pub(super) later: Running,
}

impl Course<'_> {
    /// The step of so many seconds: one of the linear equations in which the course is taken for straight.
    ///
    /// The mean is taken at a share of the step between a half, as in the trapezoidal rule, and the whole, as in Euler's
    /// implicit rule: that for which the fastest change alone would be exact (Liniger and Willoughby, SIAM J. Numer. Anal.
    /// 7 (1970) 47-66). Levels that a wide link makes even in less time than a step takes stay even then.
    pub(super) fn stride(&self, seconds: f64) -> Option<Stride> {
        let falls = |running: &Running, cistern: usize| running.drawn_l_s[cistern] / self.litres_per_mm[cistern];
        let grows =
            |cistern: usize, lean: &Lean| (falls(&lean.running, cistern) - falls(self.now, cistern)) / lean.by_mm;
        let fastest = self.leans.iter().map(|lean| grows(lean.cistern, lean)).fold(0.0, f64::max);
        let share = implicit_share(fastest * seconds);
        let row = |of: &Lean| {
            let entry = |lean: &Lean| {
                let diagonal = if lean.cistern == of.cistern { 1.0 } else { 0.0 };
                diagonal + share * seconds * grows(of.cistern, lean)
            };
            self.leans.iter().map(entry).collect::<Vec<f64>>()
        };
        let asked = self.leans.iter().map(|lean| -seconds * falls(self.now, lean.cistern)).collect();
        let moves = linear_solution(self.leans.iter().map(row).collect(), asked)?;
        let (mut mean, mut later) = (self.now.clone(), self.now.clone());
        for (lean, moved_mm) in self.leans.iter().zip(&moves) {
            mean.add(share * moved_mm / lean.by_mm, (&lean.running, self.now));
            later.add(moved_mm / lean.by_mm, (&lean.running, self.now));
        }
        let moves_mm = (0..mean.drawn_l_s.len()).map(|cistern| -seconds * falls(&mean, cistern)).collect();
        Some(Stride { moves_mm, mean, later })
    }
}

impl Stride {
    /// Whether a tap that runs loses too much of its flow for one step.
    pub(super) fn stops_abruptly(&self, now: &Running) -> bool {
        let flows = now.given.iter().zip(&self.later.given).map(|(now, later)| (now.flow_l_s, later.flow_l_s));
        flows.into_iter().any(|(now, later)| now > STOPPED_L_S && later < now * (1.0 - LOSES_AT_MOST))
    }
}

/// 1 / (1 − e^−z) − 1 / z, by its series where z is small.
fn implicit_share(z: f64) -> f64 {
    if z < 1e-3 { 0.5 + z / 12.0 } else { 1.0 / -(-z).exp_m1() - 1.0 / z }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_between_a_half_and_the_whole() {
        assert!((implicit_share(0.0) - 0.5).abs() < 1e-12);
        assert!((implicit_share(1e-3) - implicit_share(0.999_999e-3)).abs() < 1e-9);
        // 1 / (1 − 1/e) − 1.
        assert!((implicit_share(1.0) - 0.581_976_706_869_326_4).abs() < 1e-12);
        assert!((implicit_share(1e6) - 1.0).abs() < 2e-6);
    }
}
