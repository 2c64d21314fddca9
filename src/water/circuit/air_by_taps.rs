//! Open taps that stand above the pressure line: air goes down through them to where water runs, and is carried along.

use foldhash::{HashMap, HashSet};

use super::flows::{Asked, Outcome, ROUNDING_PA, VentState};
use super::meeting::Through;
use super::siphon::column_pa;
use super::{Circuit, Conditions, TapName};
use crate::water::network::Solution;

/// Water that moves less than this stands still, kg/s.
const STILL_KG_S: f64 = 1e-6;

/// By what air is drawn into running water.
#[derive(Debug, Clone, PartialEq)]
pub enum AirBy {
    /// An open vent.
    Vent,
    /// An open tap above the pressure line.
    Tap {
        /// The tap.
        name: TapName,
        /// What can be drawn past it before air comes in, L/s; none where several taps draw air at once.
        beyond_l_s: Option<f64>,
    },
}

impl AirBy {
    /// What draws air, in words.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Vent => "the open vent draws air".to_owned(),
            Self::Tap { name, .. } => format!("{name}, open above the pressure in its pipe, draws air"),
        }
    }

    /// The same, with why, or from what draw-off on.
    pub(super) fn words_with_why(&self) -> String {
        let words = self.words();
        match self {
            Self::Vent => format!("{words}: more hot water is asked for than the cold feed brings"),
            Self::Tap { beyond_l_s: None, .. } => format!("{words}: no flow is steady"),
            Self::Tap { beyond_l_s: Some(beyond_l_s), .. } => {
                format!("{words} once more than {beyond_l_s:.2} L/s is drawn past it: no flow is steady")
            }
        }
    }
}

/// Where an open tap lets air into running water.
pub(super) struct AirAtTap {
    pub(super) tap: usize,
    /// The node in which the air comes to the water.
    tee: usize,
}

/// By what air is drawn under some conditions, and what runs with the pressure of the air where it comes in.
pub(super) struct Aired {
    /// Vents, by their number.
    pub(super) vents: Vec<usize>,
    pub(super) taps: Vec<AirAtTap>,
    /// None where no air is drawn.
    pub(super) with_air: Option<(Asked, Solution)>,
}

impl Circuit<'_> {
    /// By what air is drawn, where enough is told. While a vent draws air, nobody knows what taps on its water do besides.
    pub(super) fn aired(
        &self,
        conditions: &Conditions,
        untold: &HashSet<usize>,
        states: &[VentState],
        (asked, solution): (&Asked, &Solution),
    ) -> Aired {
        let vents: Vec<usize> = (0..states.len()).filter(|vent| states[*vent].draws_air).collect();
        let by_vents = self.through_open_mixers(conditions, vents.iter().map(|vent| self.body_of_vent(*vent)));
        let is_known = |node: usize| !untold.contains(&self.body_of[node]) && !by_vents.contains(&self.body_of[node]);
        let at_tap = |tap: usize| {
            let pipes = asked.pipes_of_tap[tap].as_ref()?;
            // What comes out of a mixer keeps air out of its other side.
            let is_still = solution.flow_kg_s[pipes.mouth] <= STILL_KG_S;
            let nodes = self.taps[tap].nodes();
            let mut known = nodes.into_iter().filter(|node| is_still && is_known(*node));
            known.find_map(|node| Some(AirAtTap { tap, tee: self.air_comes_to(node, asked, solution)? }))
        };
        let is_solved = solution.converged();
        let taps: Vec<AirAtTap> = (0..self.taps.len()).filter(|_| is_solved).filter_map(at_tap).collect();
        let at_vents = vents.iter().map(|vent| self.vents[*vent].tee);
        let held: Vec<usize> = at_vents.chain(taps.iter().map(|air| air.tee)).collect();
        let with_air = (!held.is_empty()).then(|| self.solved(conditions, &held));
        Aired { vents, taps, with_air }
    }

    /// The node with running water to which air sinks from a mouth; none where water that stands under pressure, or a
    /// non-return valve, is between.
    fn air_comes_to(&self, mouth: usize, asked: &Asked, solution: &Solution) -> Option<usize> {
        let lets_air_in = |pressure_pa: f64| pressure_pa < -ROUNDING_PA;
        let runs = |pipe: usize| solution.flow_kg_s[pipe].abs() > STILL_KG_S;
        let mut seen = vec![false; self.node_mm.len()];
        let mut to_follow = vec![mouth];
        while let Some(node) = to_follow.pop() {
            let Some(pressure_pa) = solution.pressure_pa[node].filter(|pressure_pa| lets_air_in(*pressure_pa)) else {
                continue;
            };
            if std::mem::replace(&mut seen[node], true) {
                continue;
            }
            let in_arms = asked.pipes_of_arms.iter().any(|(arm, pipe)| *arm == node && runs(*pipe));
            let in_pipes = self.through_pipes(node).filter_map(|way| asked.pipe_of_stretch[way.number]).any(runs);
            if in_arms || in_pipes {
                return Some(node);
            }
            for Through { number, stretch, next } in self.through_pipes(node) {
                let passes = !stretch.one_way || stretch.nodes.0 == node;
                let at_lowest_pa =
                    pressure_pa + column_pa(&stretch.water, self.node_mm[node] - self.trough_mm(stretch));
                if asked.pipe_of_stretch[number].is_some() && passes && lets_air_in(at_lowest_pa) {
                    to_follow.push(next);
                }
            }
            to_follow.extend(self.through_vessels(node));
        }
        None
    }

    /// The bodies of water into which air is drawn, and by what.
    pub(super) fn airy_bodies(&self, conditions: &Conditions, aired: &Aired) -> HashMap<usize, AirBy> {
        let by_vents = self.through_open_mixers(conditions, aired.vents.iter().map(|vent| self.body_of_vent(*vent)));
        let mut airy: HashMap<usize, AirBy> = by_vents.into_iter().map(|body| (body, AirBy::Vent)).collect();
        for AirAtTap { tap, tee } in &aired.taps {
            let beyond = aired.with_air.as_ref().filter(|_| aired.taps.len() == 1 && aired.vents.is_empty());
            let beyond_l_s = beyond.and_then(|(asked, solution)| comes_to_l_s(*tee, asked, solution));
            let by = AirBy::Tap { name: self.taps[*tap].name(), beyond_l_s };
            for body in self.through_open_mixers(conditions, std::iter::once(self.body_of[*tee])) {
                airy.entry(body).or_insert_with(|| by.clone());
            }
        }
        airy
    }

    /// By node: whether it lies past air that taps draw, seen from the cisterns, so that what comes there is not steady.
    pub(super) fn past_air_of_taps(&self, taps: &[AirAtTap], asked: &Asked) -> Vec<bool> {
        let mut reached = vec![false; self.node_mm.len()];
        let mut to_follow: Vec<usize> = self.sources.iter().map(|source| source.node).collect();
        while let Some(node) = to_follow.pop() {
            if std::mem::replace(&mut reached[node], true) || taps.iter().any(|air| air.tee == node) {
                continue;
            }
            let open = self.through_pipes(node).filter(|way| asked.pipe_of_stretch[way.number].is_some());
            to_follow.extend(open.map(|way| way.next));
            to_follow.extend(self.through_vessels(node));
        }
        let of_taps: HashSet<usize> = taps.iter().map(|air| self.body_of[air.tee]).collect();
        let is_past = |node: usize| of_taps.contains(&self.body_of[node]) && asked.fed[node] && !reached[node];
        (0..reached.len()).map(is_past).collect()
    }

    /// The bodies of water that let air in, ascending.
    pub(super) fn bodies_of_air(&self, aired: &Aired) -> Vec<usize> {
        let of_vents = aired.vents.iter().map(|vent| self.body_of_vent(*vent));
        let mut bodies: Vec<usize> = of_vents.chain(aired.taps.iter().map(|air| self.body_of[air.tee])).collect();
        bodies.sort_unstable();
        bodies.dedup();
        bodies
    }
}

impl Outcome {
    /// The tap whose air is why there is no flow to tell.
    #[must_use]
    pub const fn air_of_tap(&self) -> Option<&TapName> {
        match self {
            Self::AirDrawn(AirBy::Tap { name, .. }) => Some(name),
            _ => None,
        }
    }
}

/// What runs to a node, L/s of its water.
fn comes_to_l_s(node: usize, asked: &Asked, solution: &Solution) -> Option<f64> {
    let to_node = |(pipe, flow_kg_s): (&crate::water::network::Pipe, &f64)| {
        let toward_kg_s = match (pipe.from == node, pipe.to == node) {
            (false, true) => *flow_kg_s,
            (true, false) => -flow_kg_s,
            _ => 0.0,
        };
        toward_kg_s.max(0.0) / pipe.water.density_kg_m3 * 1000.0
    };
    let flows = asked.network.pipes.iter().zip(&solution.flow_kg_s);
    solution.converged().then(|| flows.map(to_node).sum())
}
