//! Flows of a network whose open pipes are known, by Newton's method on flows and pressures together.
//!
//! Todini and Pilati, "A gradient algorithm for the analysis of pipe networks" (1988): the loss of each pipe is taken
//! as linear about its present flow, and mass balance at the free nodes gives the pressures. The flows sought are those
//! of least content, a convex function, so a step that overshoots is cut back to where the content is least along it;
//! with that, the method converges from any start that balances.

use super::resistance::{Loss, Resistance};
use super::{Network, NodeKind, largest};
use crate::num::Elimination;

/// Steps after which we give up; a house takes ten.
const MOST_STEPS: usize = 200;
/// Flows have settled when a step moves none by more than this share of it: what is left then is of the order of its
/// square.
const SETTLED: f64 = 1e-7;
/// A step of so little counts for nothing.
const NEXT_TO_NOTHING_KG_S: f64 = 1e-13;
/// Pressures have settled when a step moves none by more than this share of the largest.
const PRESSURES_SETTLED: f64 = 1e-7;
/// The content has stopped falling along a step where its slope is less than this share of that at the start.
const LEVEL: f64 = 0.1;
/// Tries at cutting a step back.
const MOST_CUTS: usize = 30;
/// A pressure difference is as good as nought beside the largest pressure if it is less than this share of it.
const ROUNDING: f64 = 1e-13;

/// A network some of whose pipes stand shut, ready to be solved.
pub struct Newton<'a> {
    network: &'a Network,
    resistances: &'a [Resistance],
    /// Open pipes, ascending.
    open: Vec<usize>,
    /// Place of each node in the linear system; none if its pressure is given or pinned.
    unknown: Vec<Option<usize>>,
    /// Pairs of unknowns: which open pipe joins them.
    pairs: Vec<usize>,
    elimination: Elimination,
    pressure_scale_pa: f64,
}

/// Flow of each pipe and pressure of each node.
#[derive(Debug, Clone)]
pub struct State {
    /// kg/s.
    pub flow_kg_s: Vec<f64>,
    /// Pa; a guess for free nodes.
    pub pressure_pa: Vec<f64>,
}

impl State {
    /// Nothing flows, and nothing is known of the free nodes.
    pub fn at_rest(network: &Network) -> Self {
        let pressure = |kind| if let NodeKind::Held { pressure_pa } = kind { pressure_pa } else { 0.0 };
        Self {
            flow_kg_s: vec![0.0; network.pipes.len()],
            pressure_pa: network.nodes.iter().map(|node| pressure(node.kind)).collect(),
        }
    }
}

/// How far a solve went.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Went {
    /// The flows have settled.
    Settled,
    /// They have not.
    Astray,
}

/// A step of all flows and pressures.
struct Step {
    flow: Vec<f64>,
    pressure: Vec<f64>,
}

impl<'a> Newton<'a> {
    /// `pinned` nodes keep their pressure: one of each part that is joined to no given pressure.
    pub fn new(network: &'a Network, resistances: &'a [Resistance], open: &[bool], pinned: &[usize]) -> Self {
        let open: Vec<usize> = (0..network.pipes.len()).filter(|&pipe| open[pipe]).collect();
        let mut unknown = vec![None; network.nodes.len()];
        let mut count = 0;
        for &pipe in &open {
            for node in [network.pipes[pipe].from, network.pipes[pipe].to] {
                let is_free = network.nodes[node].kind == NodeKind::Free && pinned.binary_search(&node).is_err();
                if is_free && unknown[node].is_none() {
                    unknown[node] = Some(count);
                    count += 1;
                }
            }
        }
        let ends = |pipe: usize| Some((unknown[network.pipes[pipe].from]?, unknown[network.pipes[pipe].to]?));
        let pairs: Vec<usize> = open.iter().copied().filter(|&pipe| ends(pipe).is_some()).collect();
        let joined: Vec<_> = pairs.iter().filter_map(|&pipe| ends(pipe)).collect();
        let weights = network.pipes.iter().map(|pipe| network.weight_pa(pipe));
        let pressure_scale_pa = 1.0 + largest(State::at_rest(network).pressure_pa).max(largest(weights));
        let elimination = Elimination::plan(count, &joined);
        Self { network, resistances, open, unknown, pairs, elimination, pressure_scale_pa }
    }

    /// Flows as if every loss grew evenly with the flow, whatever flowed before.
    pub fn begin(&self, state: &mut State, steps: &mut usize) -> Went {
        state.flow_kg_s.fill(0.0);
        let losses = self
            .resistances
            .iter()
            .map(|pipe| Loss { pressure_pa: 0.0, slope: pipe.first_guess() })
            .collect::<Vec<_>>();
        self.take_whole_step(state, &losses, steps)
    }

    /// Goes on from a state until the flows have settled.
    pub fn settle(&self, state: &mut State, steps: &mut usize) -> Went {
        // Pipes may have been shut since; a whole step balances the nodes again, as the cut back steps need it.
        if self.take_whole_step(state, &self.losses(&state.flow_kg_s), steps) == Went::Astray {
            return Went::Astray;
        }
        let mut losses = self.losses(&state.flow_kg_s);
        for _ in 0..MOST_STEPS {
            *steps += 1;
            let Some(step) = self.step(state, &losses) else { return Went::Astray };
            if !self.flows_settled(state, &losses, &step) {
                losses = self.advance_to_least(state, &losses, &step);
                continue;
            }
            advance(state, &step, 1.0);
            // Flows may be there before the pressures, where they come to rest; rounding then unbalances the nodes.
            if largest(step.pressure.iter().copied()) <= PRESSURES_SETTLED * self.pressure_scale_pa {
                return Went::Settled;
            }
            losses = self.losses(&state.flow_kg_s);
        }
        Went::Astray
    }

    /// Balances what rounding has left at the nodes, along the slopes of the losses.
    fn take_whole_step(&self, state: &mut State, losses: &[Loss], steps: &mut usize) -> Went {
        *steps += 1;
        let Some(step) = self.step(state, losses) else { return Went::Astray };
        advance(state, &step, 1.0);
        Went::Settled
    }

    fn losses(&self, flow_kg_s: &[f64]) -> Vec<Loss> {
        self.resistances.iter().zip(flow_kg_s).map(|(pipe, &flow)| pipe.loss(flow)).collect()
    }

    /// What drives a pipe and is not used up by its loss, Pa.
    fn miss_pa(&self, pipe: usize, pressure_pa: &[f64], loss: Loss) -> f64 {
        let ends = &self.network.pipes[pipe];
        self.network.weight_pa(ends) + pressure_pa[ends.from] - pressure_pa[ends.to] - loss.pressure_pa
    }

    /// The step to where the linear losses balance; in differences, so that rounding shrinks with the step.
    fn step(&self, state: &State, losses: &[Loss]) -> Option<Step> {
        let mut to_ground = vec![0.0; self.unknown.iter().flatten().count()];
        let mut fed = vec![0.0; to_ground.len()];
        for (node, surplus) in self.network.surplus_kg_s(&state.flow_kg_s).into_iter().enumerate() {
            if let Some(at) = self.unknown[node] {
                fed[at] -= surplus;
            }
        }
        for &pipe in &self.open {
            let ends = &self.network.pipes[pipe];
            let by_miss = self.miss_pa(pipe, &state.pressure_pa, losses[pipe]) / losses[pipe].slope;
            let (from, to) = (self.unknown[ends.from], self.unknown[ends.to]);
            if let Some(at) = from {
                fed[at] -= by_miss;
            }
            if let Some(at) = to {
                fed[at] += by_miss;
            }
            if let (Some(at), None) | (None, Some(at)) = (from, to) {
                to_ground[at] += 1.0 / losses[pipe].slope;
            }
        }
        let between: Vec<f64> = self.pairs.iter().map(|&pipe| 1.0 / losses[pipe].slope).collect();
        let by_unknown = self.elimination.potentials(&between, &to_ground, &fed)?;
        let pressure: Vec<f64> = self.unknown.iter().map(|at| at.map_or(0.0, |at| by_unknown[at])).collect();
        let mut flow = vec![0.0; self.network.pipes.len()];
        for &pipe in &self.open {
            let ends = &self.network.pipes[pipe];
            let miss = self.miss_pa(pipe, &state.pressure_pa, losses[pipe]);
            flow[pipe] = (miss + pressure[ends.from] - pressure[ends.to]) / losses[pipe].slope;
        }
        flow.iter().all(|flow| flow.is_finite()).then_some(Step { flow, pressure })
    }

    fn flows_settled(&self, state: &State, losses: &[Loss], step: &Step) -> bool {
        let least_pressure = ROUNDING * self.pressure_scale_pa;
        self.open.iter().all(|&pipe| {
            step.flow[pipe].abs() <= SETTLED * state.flow_kg_s[pipe].abs() + NEXT_TO_NOTHING_KG_S
                || self.miss_pa(pipe, &state.pressure_pa, losses[pipe]).abs() <= least_pressure
        })
    }

    /// Takes as much of a step as lessens the content: all, unless it grows again before its end. The losses there.
    fn advance_to_least(&self, state: &mut State, losses: &[Loss], step: &Step) -> Vec<Loss> {
        let at_start: f64 =
            -self.open.iter().map(|&pipe| step.flow[pipe] * step.flow[pipe] * losses[pipe].slope).sum::<f64>();
        let (mut share, mut there) = (1.0, self.losses_along(state, step, 1.0));
        let mut slope = self.content_slope(state, step, &there);
        if slope > LEVEL * at_start.abs() {
            let (mut low, mut high) = ((0.0, at_start), (1.0, slope));
            for _ in 0..MOST_CUTS {
                let by_chord = low.0 + (high.0 - low.0) * low.1 / (low.1 - high.1);
                share = f64::midpoint(by_chord, f64::midpoint(low.0, high.0));
                there = self.losses_along(state, step, share);
                slope = self.content_slope(state, step, &there);
                if slope.abs() <= LEVEL * at_start.abs() {
                    break;
                }
                if slope < 0.0 {
                    low = (share, slope);
                } else {
                    high = (share, slope);
                }
            }
        }
        advance(state, step, share);
        there
    }

    fn losses_along(&self, state: &State, step: &Step, share: f64) -> Vec<Loss> {
        let flows = state.flow_kg_s.iter().zip(&step.flow);
        self.resistances.iter().zip(flows).map(|(pipe, (flow, change))| pipe.loss(flow + share * change)).collect()
    }

    /// How the content changes along a step, where these are the losses. The pressures of free nodes have no part in it,
    /// as the step balances; with them in, what is summed is small.
    fn content_slope(&self, state: &State, step: &Step, losses: &[Loss]) -> f64 {
        let of_pipe = |&pipe: &usize| -step.flow[pipe] * self.miss_pa(pipe, &state.pressure_pa, losses[pipe]);
        self.open.iter().map(of_pipe).sum()
    }
}

/// Pressures go all the way: they follow from the slopes, not from the flows before.
fn advance(state: &mut State, step: &Step, share: f64) {
    for (flow, change) in state.flow_kg_s.iter_mut().zip(&step.flow) {
        *flow += share * change;
    }
    for (pressure, change) in state.pressure_pa.iter_mut().zip(&step.pressure) {
        *pressure += change;
    }
}
