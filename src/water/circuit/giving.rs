//! What leaves the cisterns and what each open tap gives for it, also while air is drawn in and no flow is steady.

use super::air_by_taps::Aired;
use super::flows::Asked;
use super::{Circuit, Conditions, Open, Outcome, TapFlow, cold_water};
use crate::layout::Cistern;
use crate::water::network::Solution;

/// What an open tap gives, as litres leave the cisterns for it: in a cylinder that nothing heats meanwhile, cold water drives
/// out hot litre for litre.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Given {
    /// In all, L/s; where air is drawn, its share of what the feed still brings.
    pub flow_l_s: f64,
    /// What of it comes from the hot side, L/s.
    pub hot_l_s: f64,
    /// Whether an open way leads from a cistern's water to its hot side.
    pub hot_is_fed: bool,
}

/// A way by which an open tap draws: a mixer has two.
struct Way {
    tap: usize,
    /// The node in front of the tap.
    node: usize,
    /// Its pipe in the network.
    pipe: usize,
    is_hot: bool,
}

impl Given {
    fn add(&mut self, way: &Way, kg_s: f64) {
        let l_s = litres(kg_s);
        self.flow_l_s += l_s;
        self.hot_l_s += if way.is_hot { l_s } else { 0.0 };
    }
}

/// Litres of cold water, as it leaves a cistern.
fn litres(kg: f64) -> f64 {
    kg / cold_water().density_kg_m3 * 1000.0
}

impl Circuit<'_> {
    /// What leaves each cistern, L/s, and what each tap gives for it.
    pub(super) fn drawn_and_given(
        &self,
        (asked, solution): (&Asked, &Solution),
        taps: &[TapFlow],
        aired: &Aired,
    ) -> (Vec<f64>, Vec<Given>) {
        let mut given: Vec<Given> =
            (0..taps.len()).map(|number| self.given_steadily(number, &taps[number], (asked, solution))).collect();
        let Some((asked, solution)) = &aired.with_air else { return (self.drawn_by(asked, solution), given) };
        self.give_with_air(&mut given, (taps, aired), asked, solution);
        (self.drawn_by(asked, solution), given)
    }

    fn given_steadily(&self, number: usize, flow: &TapFlow, (asked, solution): (&Asked, &Solution)) -> Given {
        let hot_is_fed = flow.open && self.hot_nodes(number).iter().any(|node| asked.fed[*node]);
        let mut given = Given { hot_is_fed, ..Given::default() };
        if flow.open && matches!(flow.outcome, Outcome::Reckoned { .. }) {
            for way in self.ways_of(number, asked) {
                given.add(&way, solution.flow_kg_s[way.pipe].max(0.0));
            }
        }
        given
    }

    /// Taps behind the air share what the pipes still bring; what else is joined to them runs as it does with the air's
    /// pressure where it comes in.
    fn give_with_air(
        &self,
        given: &mut [Given],
        (taps, aired): (&[TapFlow], &Aired),
        asked: &Asked,
        solution: &Solution,
    ) {
        let mut give = |way: &Way, kg_s: f64| given[way.tap].add(way, kg_s);
        let runs_kg_s = |way: &Way| if asked.fed[way.node] { solution.flow_kg_s[way.pipe].max(0.0) } else { 0.0 };
        let ways = (0..taps.len()).filter(|tap| taps[*tap].open && matches!(taps[*tap].outcome, Outcome::AirDrawn(_)));
        let ways = ways.flat_map(|tap| self.ways_of(tap, asked));
        let is_past = self.past_air_of_taps(&aired.taps, asked);
        let coughs = |way: &Way| self.is_behind(&aired.vents, way.node) || is_past[way.node];
        let (coughing, steady): (Vec<Way>, Vec<Way>) = ways.partition(coughs);
        steady.iter().for_each(|way| give(way, runs_kg_s(way)));
        let leaves_kg_s = self.leaves_kg_s(asked, solution);
        for body in self.bodies_of_air(aired) {
            let is_in = |node: usize| self.body_of[node] == body;
            let sources = self.sources.iter().zip(&leaves_kg_s).filter(|(source, _)| is_in(source.node));
            let drawn_kg_s: f64 = sources.map(|(_, leaves_kg_s)| leaves_kg_s).sum();
            let elsewhere_kg_s: f64 = steady.iter().filter(|way| is_in(way.node)).map(runs_kg_s).sum();
            let fills_kg_s = self.fills_kg_s(asked, solution, |inlet| is_in(inlet.node));
            let left_kg_s = (drawn_kg_s - elsewhere_kg_s - fills_kg_s).max(0.0);
            // Nothing rises past the air to a mouth above it. How the others share it, depends on chance.
            let all = || coughing.iter().filter(|way| is_in(way.node));
            let reached: Vec<&Way> = all().filter(|way| runs_kg_s(way) > 0.0).collect();
            let sharing = if reached.is_empty() { all().collect() } else { reached };
            let share_kg_s = left_kg_s / sharing.iter().map(|_| 1.0).sum::<f64>().max(1.0);
            sharing.iter().for_each(|way| give(way, share_kg_s));
        }
    }

    /// What open taps take past a vent in a solution, L/s of their water.
    pub(super) fn taken_past_l_s(&self, vent: usize, asked: &Asked, solution: &Solution) -> f64 {
        let ways = (0..self.taps.len()).flat_map(|tap| self.ways_of(tap, asked));
        let past = ways.filter(|way| self.is_behind(&[vent], way.node));
        let l_s = |way: Way| solution.flow_kg_s[way.pipe].max(0.0) / asked.network.pipes[way.pipe].water.density_kg_m3;
        past.map(l_s).sum::<f64>() * 1000.0
    }

    /// What to find out before it is known what taps draw past a vent: a pump of which nobody knows what it gives.
    #[must_use]
    pub fn untold_past_vent(&self, vent: usize) -> Option<String> {
        let draws_past = |tap: &usize| self.taps[*tap].nodes().iter().any(|node| self.is_behind(&[vent], *node));
        let open = Conditions::with(Open::Numbered((0..self.taps.len()).filter(draws_past).collect()));
        let body = self.body_of_vent(vent);
        (!self.is_told(body, &open)).then(|| self.what_to_tell(body, &open))
    }

    fn ways_of(&self, number: usize, asked: &Asked) -> Vec<Way> {
        let tap = &self.taps[number];
        let Some(pipes) = asked.pipes_of_tap[number].as_ref() else { return Vec::new() };
        let nodes = tap.nodes();
        let hot = self.hot_nodes(number);
        let way = |node: usize, pipe: usize| Way { tap: number, node, pipe, is_hot: hot.contains(&node) };
        match pipes.sides {
            Some((hot_side, cold_side)) => vec![way(nodes[0], hot_side), way(nodes[1], cold_side)],
            None => nodes.iter().map(|node| way(*node, pipes.mouth)).collect(),
        }
    }

    /// Whether a node draws past the air in one of some vents: on the hot side of the vent, or, where it airs none, on its
    /// body of water.
    fn is_behind(&self, aired: &[usize], node: usize) -> bool {
        aired.iter().any(|vent| match self.side_of_vent(*vent) {
            Some(side) => self.hot_side_of[node] == side,
            None => self.body_of[node] == self.body_of_vent(*vent),
        })
    }

    fn drawn_by(&self, asked: &Asked, solution: &Solution) -> Vec<f64> {
        let leaves_kg_s = self.leaves_kg_s(asked, solution);
        let of = |cistern: &Cistern| {
            let holes = self.sources.iter().zip(&leaves_kg_s).filter(|(source, _)| source.cistern.id == cistern.id);
            let leaves_kg_s = holes.map(|(_, leaves_kg_s)| leaves_kg_s).sum::<f64>();
            let comes_in_kg_s = self.fills_kg_s(asked, solution, |inlet| inlet.cistern.id == cistern.id);
            litres(leaves_kg_s - comes_in_kg_s)
        };
        self.cisterns().map(of).collect()
    }
}
