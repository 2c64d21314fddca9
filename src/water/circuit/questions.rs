//! Questions about the circuit that need no flow: which body of water, what is untold, what valves part, heads at rest.

use super::{Circuit, Conditions, Feeds, Tap};
use crate::layout::{Cistern, Id};
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

    /// Whether a valve stands on every way from a tap to a cistern; `None` where a way leads through a run whose valves
    /// nobody has told, or where the tap is on the main.
    #[must_use]
    pub fn can_be_shut_off(&self, tap: &Tap<'_>) -> Option<bool> {
        let mut beside: Vec<Vec<(usize, bool)>> = vec![Vec::new(); self.node_mm.len()];
        for stretch in self.stretches.iter().filter(|stretch| stretch.valves.is_empty()) {
            let told = self.site.run(stretch.run).fittings.is_some();
            beside[stretch.nodes.0].push((stretch.nodes.1, told));
            beside[stretch.nodes.1].push((stretch.nodes.0, told));
        }
        for vessel in &self.vessels {
            for pair in vessel.arms.windows(2) {
                beside[pair[0]].push((pair[1], true));
                beside[pair[1]].push((pair[0], true));
            }
        }
        let nodes = tap.nodes();
        if nodes.is_empty() {
            return None;
        }
        let reaches_source = |through_untold: bool| {
            let (mut seen, mut to_follow) = (vec![false; beside.len()], nodes.clone());
            while let Some(node) = to_follow.pop() {
                if !std::mem::replace(&mut seen[node], true) {
                    to_follow
                        .extend(beside[node].iter().filter(|(_, told)| *told || through_untold).map(|(next, _)| *next));
                }
            }
            self.sources.iter().any(|source| seen[source.node])
        };
        match (reaches_source(false), reaches_source(true)) {
            (true, _) => Some(false),
            (false, true) => None,
            (false, false) => Some(true),
        }
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
