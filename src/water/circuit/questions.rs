//! Questions about the circuit that need no flow: which body of water, what is untold, what valves part, heads at rest.

use super::{Circuit, Conditions, Feeds, Tap};
use crate::layout::{Cistern, Id};
use crate::num::Union;
use crate::units::STANDARD_GRAVITY_M_S2;
use crate::water::network::solve;

impl<'s> Circuit<'s> {
    /// Levels of the holes by which water leaves a cistern, mm above the datum.
    #[must_use]
    pub fn holes_mm(&self, cistern: &Cistern) -> Vec<f64> {
        let holes = self.sources.iter().filter(|source| source.cistern.id == cistern.id);
        holes.map(|source| self.node_mm[source.node]).collect()
    }

    /// Runs with the open ends of vents.
    #[must_use]
    pub fn vent_runs(&self) -> Vec<&'s Id> {
        self.vents.iter().map(|vent| vent.run).collect()
    }

    /// The body of water that a vent stands on.
    #[must_use]
    pub fn body_of_vent(&self, vent: usize) -> usize {
        self.body_of[self.vents[vent].tee]
    }

    /// The body of water that a tap draws on; `None` for a tap on the main.
    #[must_use]
    pub fn body_of_tap(&self, tap: &Tap<'_>) -> Option<usize> {
        tap.nodes().first().map(|node| self.body_of[*node])
    }

    /// For each tap whether a valve stands on every way from it to a cistern; `None` where a way leads through a run whose
    /// valves nobody has told, or where the tap is on the main.
    #[must_use]
    pub fn taps_behind_valves(&self) -> Vec<Option<bool>> {
        let (told, all) = (self.open_to_cisterns(Through::Told), self.open_to_cisterns(Through::Everything));
        let read = |tap: &Tap<'_>| {
            let nodes = tap.nodes();
            let open = |reached: &[bool]| nodes.iter().any(|node| reached[*node]);
            match (open(&told), open(&all)) {
                _ if nodes.is_empty() => None,
                (true, _) => Some(false),
                (false, true) => None,
                (false, false) => Some(true),
            }
        };
        self.taps.iter().map(read).collect()
    }

    /// By node: whether a way without a valve leads to a cistern.
    fn open_to_cisterns(&self, through: Through) -> Vec<bool> {
        let mut ways = Union::of(self.node_mm.len());
        for stretch in self.stretches.iter().filter(|stretch| stretch.valves.is_empty()) {
            if through == Through::Everything || self.site.run(stretch.run).fittings.is_some() {
                ways.join(stretch.nodes.0, stretch.nodes.1);
            }
        }
        for vessel in &self.vessels {
            vessel.arms.windows(2).for_each(|pair| ways.join(pair[0], pair[1]));
        }
        let mut reached = vec![false; self.node_mm.len()];
        for source in &self.sources {
            reached[ways.root(source.node)] = true;
        }
        (0..self.node_mm.len()).map(|node| reached[ways.root(node)]).collect()
    }

    /// Heads that rest on the sides of a tap when nothing runs, m of the water that stands there: one for a tap on one
    /// pipe, hot and then cold for a mixer. Empty when they are not told.
    #[must_use]
    pub fn heads_at_rest_m(&self, tap: &Tap<'_>) -> Vec<f64> {
        let nodes = tap.nodes();
        if nodes.iter().any(|node| self.untold.contains_key(&self.body_of[*node])) {
            return Vec::new();
        }
        let solution = solve(&self.network(&Conditions::default(), &[]).network);
        let head = |node: &usize| {
            let density_kg_m3 = self.water_at_node(*node).density_kg_m3;
            Some(solution.pressure_pa[*node]? / (density_kg_m3 * STANDARD_GRAVITY_M_S2))
        };
        nodes.iter().map(head).collect::<Option<Vec<f64>>>().unwrap_or_default()
    }
}

/// Which runs a way may lead through.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Through {
    /// Those whose valves are told.
    Told,
    /// All of them.
    Everything,
}

impl Tap<'_> {
    /// The nodes that it draws on: none on the main, two for a mixer, hot first.
    pub(super) fn nodes(&self) -> Vec<usize> {
        match self.feeds {
            Feeds::Main => Vec::new(),
            Feeds::One(node) => vec![node],
            Feeds::Mixed { hot, cold } => vec![hot, cold],
        }
    }

    /// Whether the main feeds it.
    #[must_use]
    pub const fn is_on_main(&self) -> bool {
        matches!(self.feeds, Feeds::Main)
    }
}
