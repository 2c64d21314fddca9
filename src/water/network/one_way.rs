//! Which one-way pipes stand open: those in which water runs forward, with the rest shut against it.

use super::newton::{Newton, State, Went};
use super::resistance::Resistance;
use super::still::Parted;
use super::{Network, NodeKind, OneWay, Report, Solution, ask, largest};
use crate::num::Union;

/// As long as this many rounds all pipes that stand wrongly are turned at once; then one by one, which cannot go round
/// in a circle (Murty, Math. Program. 7 (1974), least index rule).
const ROUNDS_TURNING_ALL: usize = 12;
/// Rounds after which we give up.
const MOST_ROUNDS: usize = 400;
/// A pressure across a shut pipe counts when it is above this share of the largest.
const COUNTS: f64 = 1e-11;

/// Solves for the flows and pressures of a network.
///
/// A part that is joined to no given pressure stands still, unless unequal densities drive water round a loop in it.
#[must_use]
pub fn solve(network: &Network) -> Solution {
    if let Some(words) = ask::fault(network) {
        return unsolved(network, Report::AskedWrongly { words });
    }
    let parted = Parted::of(network);
    parted.whole(network, solve_running(&parted.rest))
}

/// Solves for what may run.
fn solve_running(network: &Network) -> Solution {
    let resistances: Vec<Resistance> = network.pipes.iter().map(Resistance::of).collect();
    let mut open = vec![true; network.pipes.len()];
    let mut state = State::at_rest(network);
    let mut steps = 0;
    let mut start_afresh = true;
    for round in 0..MOST_ROUNDS {
        // A part that shut pipes cut off keeps the pressure it had: should that not hold them shut, one will open.
        let parts = Parts::of(network, &open);
        let newton = Newton::new(network, &resistances, &open, &parts.loose());
        let mut work = newton.work();
        let begun = if start_afresh { newton.begin(&mut state, &mut work, &mut steps) } else { Went::Settled };
        if begun == Went::Astray || newton.settle(&mut state, &mut work, &mut steps) == Went::Astray {
            break;
        }
        let wrong = wrongly_set(network, &open, &state);
        if wrong.is_empty() {
            return solved(network, &open, state, steps);
        }
        let turned = if round < ROUNDS_TURNING_ALL { wrong.len() } else { 1 };
        // Beginning from no flow, a pipe just opened would seem to have next to no loss.
        start_afresh = wrong[..turned].iter().any(|&pipe| !open[pipe]);
        for &pipe in &wrong[..turned] {
            open[pipe] = !open[pipe];
            state.flow_kg_s[pipe] = 0.0;
        }
    }
    let worst_imbalance_kg_s = largest(network.surplus_kg_s(&state.flow_kg_s));
    unsolved(network, Report::GaveUp { steps, worst_imbalance_kg_s })
}

fn unsolved(network: &Network, report: Report) -> Solution {
    Solution {
        flow_kg_s: vec![0.0; network.pipes.len()],
        pressure_pa: vec![None; network.nodes.len()],
        kept_shut: Vec::new(),
        report,
    }
}

fn solved(network: &Network, open: &[bool], state: State, steps: usize) -> Solution {
    let counts_pa = counts_pa(network, &state);
    let is_kept_shut = |&pipe: &usize| !open[pipe] && drive_pa(network, &state, pipe) < -counts_pa;
    let kept_shut: Vec<usize> = (0..open.len()).filter(is_kept_shut).collect();
    // What only stands still hands pressure on, whether rounding left it open or shut.
    let hands_on: Vec<bool> = (0..open.len()).map(|pipe| kept_shut.binary_search(&pipe).is_err()).collect();
    let parts = Parts::of(network, &hands_on);
    let known = |(node, pressure): (usize, f64)| parts.is_held[parts.part[node]].then_some(pressure);
    let worst_imbalance_kg_s = largest(network.surplus_kg_s(&state.flow_kg_s));
    Solution {
        flow_kg_s: state.flow_kg_s,
        pressure_pa: state.pressure_pa.into_iter().enumerate().map(known).collect(),
        kept_shut,
        report: Report::Converged { steps, worst_imbalance_kg_s },
    }
}

/// What drives a pipe: its weight of water and the pressures at its ends, Pa.
fn drive_pa(network: &Network, state: &State, pipe: usize) -> f64 {
    let ends = &network.pipes[pipe];
    network.weight_pa(ends) + state.pressure_pa[ends.from] - state.pressure_pa[ends.to]
}

/// What is more than rounding in a drive.
fn counts_pa(network: &Network, state: &State) -> f64 {
    let weights = network.pipes.iter().map(|pipe| network.weight_pa(pipe));
    COUNTS * (1.0 + largest(weights).max(largest(state.pressure_pa.iter().copied())))
}

/// One-way pipes that stand open and flow backward, or stand shut with pressure behind them; ascending.
fn wrongly_set(network: &Network, open: &[bool], state: &State) -> Vec<usize> {
    let counts_pa = counts_pa(network, state);
    let is_wrong = |&pipe: &usize| {
        let ends = &network.pipes[pipe];
        let wrong = if open[pipe] { state.flow_kg_s[pipe] < 0.0 } else { drive_pa(network, state, pipe) > counts_pa };
        ends.one_way == OneWay::FromTo && ends.from != ends.to && wrong
    };
    (0..network.pipes.len()).filter(is_wrong).collect()
}

/// The parts of a network that open pipes join, each known by its first node.
struct Parts {
    /// Part of each node.
    part: Vec<usize>,
    /// By part: whether it has a node of given pressure.
    is_held: Vec<bool>,
}

impl Parts {
    fn of(network: &Network, open: &[bool]) -> Self {
        let mut joined = Union::of(network.nodes.len());
        for (pipe, _) in network.pipes.iter().zip(open).filter(|(_, open)| **open) {
            joined.join(pipe.from, pipe.to);
        }
        let part = joined.roots();
        let mut is_held = vec![false; part.len()];
        for (node, &part) in network.nodes.iter().zip(&part) {
            is_held[part] |= node.kind != NodeKind::Free;
        }
        Self { part, is_held }
    }

    /// A node of each part that has none of given pressure, ascending.
    fn loose(&self) -> Vec<usize> {
        (0..self.part.len()).filter(|&node| self.part[node] == node && !self.is_held[node]).collect()
    }
}
