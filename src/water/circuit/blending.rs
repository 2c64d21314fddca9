//! How warm water is where that of unlike cylinders comes together: by what each of them gives.

use super::flows::{Asked, TapPipes};
use super::hot_pipes::Blend;
use super::{Circuit, Conditions, Feeds, Tap};
use crate::water::Water;
use crate::water::network::{Pipe, Solution, solve};

/// Temperatures that change by less than this from one solution to the next are found, K.
const FOUND_K: f64 = 0.001;
/// Each solution brings the temperatures nearer by a hundred times and more: flows hardly hang on them.
const MOST_SOLUTIONS: usize = 10;

impl Circuit<'_> {
    /// The network for some conditions, and its flows, with the water that comes together as warm as what comes makes it;
    /// with some nodes held at the pressure of the air.
    pub(super) fn solved(&self, conditions: &Conditions, aired: &[usize]) -> (Asked, Solution) {
        let mut asked = self.network(conditions, aired);
        let mut solution = solve(&asked.network);
        let mut taken: Vec<f64> = self.blends.iter().map(|blend| blend.celsius).collect();
        for _ in 0..MOST_SOLUTIONS {
            if !solution.converged() {
                break;
            }
            let found: Vec<f64> = self
                .blends
                .iter()
                .zip(&taken)
                .map(|(blend, taken)| blend.by_flows(&asked, &solution, *taken))
                .collect();
            if found.iter().zip(&taken).all(|(found, taken)| (found - taken).abs() < FOUND_K) {
                break;
            }
            self.warm(&mut asked, &found);
            solution = solve(&asked.network);
            taken = found;
        }
        (asked, solution)
    }

    /// Gives the pipes of blends, and the taps on them, water of so many °C.
    fn warm(&self, asked: &mut Asked, celsius: &[f64]) {
        let waters: Vec<Water> = celsius
            .iter()
            .map(|celsius| Water::at_celsius(*celsius).expect("between those of its cylinders"))
            .collect();
        for (stretch, pipe) in self.stretches.iter().zip(&asked.pipe_of_stretch) {
            if let (Some(blend), Some(pipe)) = (stretch.blend, *pipe) {
                asked.network.pipes[pipe].water = waters[blend];
            }
        }
        for (tap, pipes) in self.taps.iter().zip(&asked.pipes_of_tap) {
            let Some(TapPipes { mouth, sides }) = *pipes else { continue };
            let Some(water) = self.blend_before(tap).map(|blend| waters[blend]) else { continue };
            let pipes = &mut asked.network.pipes;
            let turn = |tail: &mut Pipe, water: Water| {
                // Its rating, a volume under a pressure, stays what it is.
                tail.loss_coefficient *= tail.water.density_kg_m3 / water.density_kg_m3;
                tail.water = water;
            };
            match sides {
                None => turn(&mut pipes[mouth], water),
                Some((hot, cold)) => {
                    turn(&mut pipes[hot], water);
                    let both = f64::midpoint(water.celsius, pipes[cold].water.celsius);
                    turn(&mut pipes[mouth], Water::at_celsius(both).expect("between two temperatures of liquid water"));
                }
            }
        }
    }

    /// Which blend stands in front of a tap's hot side.
    fn blend_before(&self, tap: &Tap<'_>) -> Option<usize> {
        let (Feeds::One(node) | Feeds::Mixed { hot: node, .. }) = tap.feeds else { return None };
        self.stretches_at(node).next()?.blend
    }
}

impl Blend<'_> {
    /// What its cylinders' flows make of it, °C; as it is where none gives any.
    fn by_flows(&self, asked: &Asked, solution: &Solution, celsius: f64) -> f64 {
        let (mut heat_w, mut capacity_w_k) = (0.0, 0.0);
        for (water, nodes) in &self.arms {
            let gives = asked.pipes_of_arms.iter().filter(|(node, _)| nodes.contains(node));
            let flow_kg_s: f64 = gives.map(|(_, pipe)| solution.flow_kg_s[*pipe]).sum();
            let flow_w_k = flow_kg_s.max(0.0) * water.heat_j_kg_k;
            capacity_w_k += flow_w_k;
            heat_w += flow_w_k * water.celsius;
        }
        if capacity_w_k > 0.0 { heat_w / capacity_w_k } else { celsius }
    }
}
