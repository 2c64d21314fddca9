//! Which one-way pipes stand open: those in which water runs forward, with the rest shut against it.

use super::newton::{Newton, State, Went};
use super::resistance::Resistance;
use super::{Network, NodeKind, OneWay, Report, Solution, ask, largest};
use crate::num::Elimination;

/// As long as this many rounds all pipes that stand wrongly are turned at once; then one by one, which cannot go round
/// in a circle (Murty, Math. Program. 7 (1974), least index rule).
const ROUNDS_TURNING_ALL: usize = 12;
/// Rounds after which we give up.
const MOST_ROUNDS: usize = 400;
/// A flow backward or a pressure against a shut pipe counts when it is above this share of the largest.
const COUNTS: f64 = 1e-9;

/// Solves for the flows and pressures of a network.
///
/// A part that is joined to no given pressure stands still, unless unequal densities drive water round a loop in it.
#[must_use]
pub fn solve(network: &Network) -> Solution {
    if let Some(words) = ask::fault(network) {
        return unsolved(network, Report::AskedWrongly { words });
    }
    let resistances: Vec<Resistance> = network.pipes.iter().map(Resistance::of).collect();
    // A pipe that leads back to where it begins has nothing to drive it.
    let mut open: Vec<bool> = network.pipes.iter().map(|pipe| pipe.from != pipe.to).collect();
    let mut state = State::at_rest(network);
    let mut steps = 0;
    let mut start_afresh = true;
    for round in 0..MOST_ROUNDS {
        let parts = Parts::of(network, &open);
        let newton = Newton::new(network, &resistances, &open, &parts.pins());
        let begun = if start_afresh { newton.begin(&mut state, &mut steps) } else { Went::Settled };
        if begun == Went::Astray || newton.settle(&mut state, &mut steps) == Went::Astray {
            break;
        }
        let wrong = wrongly_set(network, &parts, &open, &state);
        if wrong.is_empty() {
            return solved(network, &parts, &open, state, steps);
        }
        let turned = if round < ROUNDS_TURNING_ALL { wrong.len() } else { 1 };
        start_afresh = false;
        for &pipe in &wrong[..turned] {
            open[pipe] = !open[pipe];
            state.flow_kg_s[pipe] = 0.0;
            // Beginning from no flow, a pipe just opened would seem to have next to no loss.
            start_afresh |= open[pipe];
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

fn solved(network: &Network, parts: &Parts, open: &[bool], state: State, steps: usize) -> Solution {
    let forward = |(pipe, flow): (&super::Pipe, f64)| match pipe.one_way {
        OneWay::FromTo => flow.max(0.0),
        OneWay::BothWays => flow,
    };
    let flow_kg_s: Vec<f64> = network.pipes.iter().zip(state.flow_kg_s).map(forward).collect();
    let known = |(node, pressure): (usize, f64)| parts.is_held[parts.part[node]].then_some(pressure);
    let is_shut = |&pipe: &usize| !open[pipe] && network.pipes[pipe].from != network.pipes[pipe].to;
    Solution {
        report: Report::Converged { steps, worst_imbalance_kg_s: largest(network.surplus_kg_s(&flow_kg_s)) },
        pressure_pa: state.pressure_pa.into_iter().enumerate().map(known).collect(),
        kept_shut: (0..open.len()).filter(is_shut).collect(),
        flow_kg_s,
    }
}

/// One-way pipes that stand open and flow backward, or stand shut with pressure behind them; ascending.
fn wrongly_set(network: &Network, parts: &Parts, open: &[bool], state: &State) -> Vec<usize> {
    let least_flow = COUNTS * largest(state.flow_kg_s.iter().copied()).max(COUNTS);
    let offset_pa = parts.offsets_pa(network, open, &state.pressure_pa);
    let pressure = |node: usize| state.pressure_pa[node] + offset_pa[parts.part[node]];
    let drive = |pipe: usize| {
        let ends = &network.pipes[pipe];
        network.weight_pa(ends) + pressure(ends.from) - pressure(ends.to)
    };
    let least_drive = COUNTS * (1.0 + largest((0..network.nodes.len()).map(pressure)));
    let is_wrong = |&pipe: &usize| {
        let ends = &network.pipes[pipe];
        let one_way = ends.one_way == OneWay::FromTo && ends.from != ends.to;
        let backward = open[pipe] && state.flow_kg_s[pipe] < -least_flow;
        one_way && (backward || (!open[pipe] && drive(pipe) > least_drive))
    };
    (0..network.pipes.len()).filter(is_wrong).collect()
}

/// The parts of a network that open pipes join.
struct Parts {
    /// Part of each node.
    part: Vec<usize>,
    /// The first node of each part.
    first: Vec<usize>,
    /// Whether a part has a node of given pressure.
    is_held: Vec<bool>,
}

impl Parts {
    fn of(network: &Network, open: &[bool]) -> Self {
        let mut around = vec![Vec::new(); network.nodes.len()];
        for (pipe, _) in network.pipes.iter().zip(open).filter(|(_, open)| **open) {
            around[pipe.from].push(pipe.to);
            around[pipe.to].push(pipe.from);
        }
        let mut part = vec![usize::MAX; network.nodes.len()];
        let (mut first, mut is_held) = (Vec::new(), Vec::new());
        for start in 0..network.nodes.len() {
            if part[start] != usize::MAX {
                continue;
            }
            let (own, mut held, mut ahead) = (first.len(), false, vec![start]);
            part[start] = own;
            while let Some(node) = ahead.pop() {
                held |= network.nodes[node].kind != NodeKind::Free;
                for &next in &around[node] {
                    if part[next] == usize::MAX {
                        part[next] = own;
                        ahead.push(next);
                    }
                }
            }
            first.push(start);
            is_held.push(held);
        }
        Self { part, first, is_held }
    }

    /// A node of each part that has none of given pressure, ascending.
    fn pins(&self) -> Vec<usize> {
        self.first.iter().zip(&self.is_held).filter(|(_, held)| !**held).map(|(first, _)| *first).collect()
    }

    /// What to add to the pressures of each part. Between shut pipes a part may have any pressure that holds them shut;
    /// that of equal leaks through all of them is as good as any, and shows which pipe must open if none is.
    fn offsets_pa(&self, network: &Network, open: &[bool], pressure_pa: &[f64]) -> Vec<f64> {
        let mut offset = vec![0.0; self.first.len()];
        if self.is_held.iter().all(|held| *held) {
            return offset;
        }
        let shut: Vec<usize> = (0..open.len()).filter(|&pipe| !open[pipe]).collect();
        let parts_of = |pipe: &usize| (self.part[network.pipes[*pipe].from], self.part[network.pipes[*pipe].to]);
        let joined: Vec<_> = shut.iter().map(parts_of).collect();
        // A part held by its own pressures is held here by a great conductance, a loose one by next to none.
        let to_ground: Vec<f64> = self.is_held.iter().map(|held| if *held { 1e15 } else { 1e-15 }).collect();
        let mut fed = vec![0.0; self.first.len()];
        for (pipe, &(from, to)) in shut.iter().zip(&joined) {
            let ends = &network.pipes[*pipe];
            let drive = network.weight_pa(ends) + pressure_pa[ends.from] - pressure_pa[ends.to];
            fed[from] -= drive;
            fed[to] += drive;
        }
        let leaks = vec![1.0; shut.len()];
        if let Some(found) = Elimination::plan(self.first.len(), &joined).potentials(&leaks, &to_ground, &fed) {
            offset = found;
        }
        offset
    }
}
