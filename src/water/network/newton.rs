//! Flows of a network whose open pipes are known, by Newton's method on flows and pressures together.
//!
//! Todini and Pilati, "A gradient algorithm for the analysis of pipe networks" (1988): the loss of each pipe is taken
//! as linear about its present flow, and mass balance at the free nodes gives the pressures. The flows sought are those
//! of least content, a convex function, so a step that overshoots is cut back to where the content is least along it;
//! with that, the method converges from any start that balances.

use super::resistance::{Loss, Resistance};
use super::{Network, NodeKind, Pipe, largest};
use crate::num::{Elimination, Sweep};

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
    /// What drives each pipe apart from the pressures at its ends.
    weight_pa: Vec<f64>,
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
        Self {
            flow_kg_s: vec![0.0; network.pipes.len()],
            pressure_pa: network.nodes.iter().map(|node| node.kind.given_pa().unwrap_or(0.0)).collect(),
        }
    }
}

/// How far a solve or a step of it went.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Went {
    /// To where it should.
    Settled,
    /// Nowhere.
    Astray,
}

/// What is reckoned anew at every step, in room that is taken once.
pub struct Work {
    /// The loss of each pipe at the flows that are there, or along a step from them.
    losses: Vec<Loss>,
    /// What drives each open pipe and is not used up by its loss, Pa.
    miss_pa: Vec<f64>,
    /// The step of all flows and pressures.
    step: State,
    between: Vec<f64>,
    to_ground: Vec<f64>,
    fed: Vec<f64>,
    sweep: Sweep,
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
        let weight_pa: Vec<f64> = network.pipes.iter().map(|pipe| network.weight_pa(pipe)).collect();
        let given_pa = network.nodes.iter().filter_map(|node| node.kind.given_pa());
        let pressure_scale_pa = 1.0 + largest(given_pa).max(largest(weight_pa.iter().copied()));
        let elimination = Elimination::plan(count, &joined);
        Self { network, resistances, open, unknown, pairs, elimination, weight_pa, pressure_scale_pa }
    }

    /// Room to work in.
    pub fn work(&self) -> Work {
        let (pipes, unknowns) = (self.network.pipes.len(), self.unknown.iter().flatten().count());
        Work {
            losses: Vec::with_capacity(pipes),
            miss_pa: vec![0.0; pipes],
            step: State { flow_kg_s: vec![0.0; pipes], pressure_pa: vec![0.0; self.network.nodes.len()] },
            between: Vec::with_capacity(self.pairs.len()),
            to_ground: vec![0.0; unknowns],
            fed: vec![0.0; unknowns],
            sweep: Sweep::default(),
        }
    }

    /// Flows as if every loss grew evenly with the flow, whatever flowed before.
    pub fn begin(&self, state: &mut State, work: &mut Work, steps: &mut usize) -> Went {
        state.flow_kg_s.fill(0.0);
        work.losses.clear();
        let evenly = |pipe: &Resistance| Loss { pressure_pa: 0.0, slope: pipe.first_guess() };
        work.losses.extend(self.resistances.iter().map(evenly));
        self.take_whole_step(state, work, steps)
    }

    /// Goes on from a state until the flows have settled.
    pub fn settle(&self, state: &mut State, work: &mut Work, steps: &mut usize) -> Went {
        // Pipes may have been shut since; a whole step balances the nodes again, as the cut back steps need it.
        self.take_losses(&state.flow_kg_s, work);
        if self.take_whole_step(state, work, steps) == Went::Astray {
            return Went::Astray;
        }
        self.take_losses(&state.flow_kg_s, work);
        for _ in 0..MOST_STEPS {
            *steps += 1;
            if self.step(state, work) == Went::Astray {
                return Went::Astray;
            }
            if !self.flows_settled(state, work) {
                self.advance_to_least(state, work);
                continue;
            }
            advance(state, &work.step, 1.0);
            // Flows may be there before the pressures, where they come to rest; rounding then unbalances the nodes.
            if largest(work.step.pressure_pa.iter().copied()) <= PRESSURES_SETTLED * self.pressure_scale_pa {
                return Went::Settled;
            }
            self.take_losses(&state.flow_kg_s, work);
        }
        Went::Astray
    }

    /// Balances what rounding has left at the nodes, along the slopes of the losses.
    fn take_whole_step(&self, state: &mut State, work: &mut Work, steps: &mut usize) -> Went {
        *steps += 1;
        let went = self.step(state, work);
        if went == Went::Settled {
            advance(state, &work.step, 1.0);
        }
        went
    }

    fn take_losses(&self, flow_kg_s: &[f64], work: &mut Work) {
        work.losses.clear();
        work.losses.extend(self.resistances.iter().zip(flow_kg_s).map(|(pipe, &flow)| pipe.loss(flow)));
    }

    fn take_losses_along(&self, state: &State, share: f64, work: &mut Work) {
        work.losses.clear();
        let flows = state.flow_kg_s.iter().zip(&work.step.flow_kg_s);
        work.losses
            .extend(self.resistances.iter().zip(flows).map(|(pipe, (flow, change))| pipe.loss(flow + share * change)));
    }

    /// What drives a pipe and is not used up by its loss, Pa.
    fn miss_pa(&self, pipe: usize, pressure_pa: &[f64], loss: Loss) -> f64 {
        let ends = &self.network.pipes[pipe];
        self.weight_pa[pipe] + pressure_pa[ends.from] - pressure_pa[ends.to] - loss.pressure_pa
    }

    /// The step to where the linear losses balance; in differences, so that rounding shrinks with the step.
    fn step(&self, state: &State, work: &mut Work) -> Went {
        let Work { losses, miss_pa, step, between, to_ground, fed, sweep } = work;
        to_ground.fill(0.0);
        fed.fill(0.0);
        let ends = |pipe: usize| {
            let Pipe { from, to, .. } = self.network.pipes[pipe];
            (self.unknown[from], self.unknown[to])
        };
        let mut carry = |pipe: usize, flow: f64| {
            let (from, to) = ends(pipe);
            if let Some(at) = from {
                fed[at] -= flow;
            }
            if let Some(at) = to {
                fed[at] += flow;
            }
        };
        // What the flows leave at the nodes is next to nothing, and is summed by itself so that it keeps its digits.
        self.open.iter().for_each(|&pipe| carry(pipe, state.flow_kg_s[pipe]));
        for &pipe in &self.open {
            miss_pa[pipe] = self.miss_pa(pipe, &state.pressure_pa, losses[pipe]);
            carry(pipe, miss_pa[pipe] / losses[pipe].slope);
            if let (Some(at), None) | (None, Some(at)) = ends(pipe) {
                to_ground[at] += 1.0 / losses[pipe].slope;
            }
        }
        between.clear();
        between.extend(self.pairs.iter().map(|&pipe| 1.0 / losses[pipe].slope));
        let Some(by_unknown) = self.elimination.potentials(between, to_ground, fed, sweep) else {
            return Went::Astray;
        };
        for (change, unknown) in step.pressure_pa.iter_mut().zip(&self.unknown) {
            *change = unknown.map_or(0.0, |at| by_unknown[at]);
        }
        for &pipe in &self.open {
            let ends = &self.network.pipes[pipe];
            let along = miss_pa[pipe] + step.pressure_pa[ends.from] - step.pressure_pa[ends.to];
            step.flow_kg_s[pipe] = along / losses[pipe].slope;
        }
        if step.flow_kg_s.iter().all(|flow| flow.is_finite()) { Went::Settled } else { Went::Astray }
    }

    fn flows_settled(&self, state: &State, work: &Work) -> bool {
        let least_pressure = ROUNDING * self.pressure_scale_pa;
        self.open.iter().all(|&pipe| {
            work.step.flow_kg_s[pipe].abs() <= SETTLED * state.flow_kg_s[pipe].abs() + NEXT_TO_NOTHING_KG_S
                || work.miss_pa[pipe].abs() <= least_pressure
        })
    }

    /// Takes as much of a step as lessens the content: all, unless it grows again before its end. Leaves the losses
    /// there.
    fn advance_to_least(&self, state: &mut State, work: &mut Work) {
        let fall = |&pipe: &usize| work.step.flow_kg_s[pipe] * work.step.flow_kg_s[pipe] * work.losses[pipe].slope;
        let at_start = -self.open.iter().map(fall).sum::<f64>();
        let mut share = 1.0;
        self.take_losses_along(state, share, work);
        let mut slope = self.content_slope(state, work);
        if slope > LEVEL * at_start.abs() {
            let (mut low, mut high) = ((0.0, at_start), (1.0, slope));
            for _ in 0..MOST_CUTS {
                let by_chord = low.0 + (high.0 - low.0) * low.1 / (low.1 - high.1);
                share = f64::midpoint(by_chord, f64::midpoint(low.0, high.0));
                self.take_losses_along(state, share, work);
                slope = self.content_slope(state, work);
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
        advance(state, &work.step, share);
    }

    /// How the content changes along a step, at the losses that were taken last. The pressures of free nodes have no
    /// part in it, as the step balances; with them in, what is summed is small.
    fn content_slope(&self, state: &State, work: &Work) -> f64 {
        let of_pipe =
            |&pipe: &usize| -work.step.flow_kg_s[pipe] * self.miss_pa(pipe, &state.pressure_pa, work.losses[pipe]);
        self.open.iter().map(of_pipe).sum()
    }
}

/// Pressures go all the way: they follow from the slopes, not from the flows before.
fn advance(state: &mut State, step: &State, share: f64) {
    for (flow, change) in state.flow_kg_s.iter_mut().zip(&step.flow_kg_s) {
        *flow += share * change;
    }
    for (pressure, change) in state.pressure_pa.iter_mut().zip(&step.pressure_pa) {
        *pressure += change;
    }
}
