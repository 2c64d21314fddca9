//! Questions about the circuit that need no flow: which body of water, what is untold, what valves part, heads at rest.

use std::collections::VecDeque;

use super::{Circuit, Conditions, Feeds, Open, Source, Supply, Tap, cold_water};
use crate::layout::{Cistern, Cylinder, Id};
use crate::measure::find_out;
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

    /// Cylinders to which cisterns give water as drawn, and none does under some conditions.
    pub fn cylinders_cut_off(&self, conditions: &Conditions) -> impl Iterator<Item = &'s Cylinder> {
        let [drawn, meanwhile] =
            [&Conditions::default(), conditions].map(|conditions| self.network(conditions, &[]).fed);
        let is_fed = |fed: &[bool], arms: &[usize]| arms.iter().any(|arm| fed[*arm]);
        let vessels = self.vessels.iter();
        let cut_off = vessels.filter(move |vessel| is_fed(&drawn, &vessel.arms) && !is_fed(&meanwhile, &vessel.arms));
        cut_off.map(|vessel| vessel.cylinder)
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

    /// The same with every mixer turned to one of its sides: hot or cold. Its other side gives nothing then, and this one is
    /// open as wide as both are otherwise, so that its rating is that of the whole (assumption).
    #[must_use]
    pub(in crate::water) fn with_mixers_turned(mut self, to: Supply) -> Self {
        for tap in &mut self.taps {
            if let Feeds::Mixed { hot, cold } = tap.feeds {
                let node = if to == Supply::Hot { hot } else { cold };
                (tap.supply, tap.feeds) = (to, Feeds::One(node));
            }
        }
        self
    }

    /// How warm the water is that stands in front of a tap, °C.
    #[must_use]
    pub(in crate::water) fn celsius_before(&self, tap: usize) -> f64 {
        self.water_of(&self.taps[tap]).celsius
    }

    /// How warm the water is that stands on the hot side of a tap, °C: of a mixer, before it is mixed.
    #[must_use]
    pub(in crate::water) fn hot_celsius_before(&self, tap: usize) -> f64 {
        let hot = match self.taps[tap].feeds {
            Feeds::Mixed { hot, .. } => self.stretches_at(hot).next(),
            _ => None,
        };
        hot.map_or_else(|| self.celsius_before(tap), |stretch| stretch.water.celsius)
    }

    /// For each tap whether a valve stands on every way from it to a cistern.
    ///
    /// # Errors
    /// For a tap, what to find out: a way leads through a run whose valves nobody has told, or none to a cistern is drawn.
    #[must_use]
    pub fn taps_behind_valves(&self) -> Vec<Result<bool, &'static str>> {
        let reached = [Through::Told, Through::Open, Through::Everything].map(|through| self.lead_to_cisterns(through));
        let read = |tap: &Tap<'_>| {
            let nodes = tap.nodes();
            let [told, open, any] = [0, 1, 2].map(|through: usize| nodes.iter().any(|node| reached[through][*node]));
            match (told, open, any) {
                (true, ..) => Ok(false),
                (false, true, _) => Err("look for valves on the way from the cistern"),
                (false, false, true) => Ok(true),
                (false, false, false) => Err(find_out::WAY_FROM_CISTERN),
            }
        };
        self.taps.iter().map(read).collect()
    }

    /// By node: whether a way leads to a cistern.
    fn lead_to_cisterns(&self, through: Through) -> Vec<bool> {
        let mut ways = Union::of(self.node_mm.len());
        for stretch in &self.stretches {
            let leads = match through {
                Through::Told => stretch.valves.is_empty() && self.site.run(stretch.run).fittings.is_some(),
                Through::Open => stretch.valves.is_empty(),
                Through::Everything => true,
            };
            if leads {
                ways.join(stretch.nodes.0, stretch.nodes.1);
            }
        }
        for vessel in &self.vessels {
            vessel.arms.windows(2).for_each(|pair| ways.join(pair[0], pair[1]));
        }
        self.heaters.iter().for_each(|(cold, hot)| ways.join(*cold, *hot));
        let mut reached = vec![false; self.node_mm.len()];
        for source in &self.sources {
            reached[ways.root(source.node)] = true;
        }
        (0..self.node_mm.len()).map(|node| reached[ways.root(node)]).collect()
    }

    /// The nearest cistern of a tap that none gives water, since in each to which its ways lead the water stands below the
    /// hole: that cistern, its water and the hole, mm above the datum. `None` where a side has no way to any.
    #[must_use]
    pub fn bare_hole_before(&self, number: usize) -> Option<(&'s Cistern, f64, f64)> {
        let bare = |source: &Source<'s>| {
            let (surface_mm, hole_mm) = (source.surface_mm?, self.node_mm[source.node]);
            (surface_mm <= hole_mm).then_some((source.cistern, surface_mm, hole_mm))
        };
        let mut nearest = None;
        for node in self.taps[number].nodes() {
            let sources = self.sources_from(node);
            let all = sources.into_iter().map(bare).collect::<Option<Vec<_>>>()?;
            nearest = nearest.or(Some(*all.first()?));
        }
        nearest
    }

    /// The holes of cisterns to which ways lead from a node, those over the fewest joints first.
    pub(super) fn sources_from(&self, node: usize) -> Vec<&Source<'s>> {
        let mut found = Vec::new();
        let mut seen = vec![false; self.node_mm.len()];
        let mut queue = VecDeque::from([node]);
        while let Some(node) = queue.pop_front() {
            if std::mem::replace(&mut seen[node], true) {
                continue;
            }
            found.extend(self.source_at[node].map(|number| &self.sources[number]));
            queue.extend(self.through_pipes(node).map(|through| through.next));
            queue.extend(self.through_vessels(node));
        }
        found
    }

    /// Heads that rest on the sides of a tap when nothing runs, m of cold water, so that they tell the pressures: one for a
    /// tap on one pipe, hot and then cold for a mixer.
    ///
    /// # Errors
    /// What to find out, where they are not told.
    pub fn heads_at_rest_m(&self, number: usize) -> Result<Vec<f64>, String> {
        let nodes = self.taps[number].nodes();
        let this_one = Conditions { open: Open::Numbered(vec![number]), ..Conditions::default() };
        if let Some(node) = nodes.iter().find(|node| !self.is_told(self.body_of[**node], &this_one)) {
            return Err(self.what_to_tell(self.body_of[*node], &this_one));
        }
        let solution = solve(&self.network(&Conditions::default(), &[]).network);
        let weight_pa_m = cold_water().density_kg_m3 * STANDARD_GRAVITY_M_S2;
        let head = |node: &usize| Some(solution.pressure_pa[*node]? / weight_pa_m);
        let heads_m = nodes.iter().map(head).collect::<Option<Vec<f64>>>();
        heads_m.ok_or_else(|| "draw both of its pipes to the cistern that feeds it".to_owned())
    }
}

/// Which runs a way may lead through.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Through {
    /// Those that are told to have no valve.
    Told,
    /// Those of which no valve is told.
    Open,
    /// All of them, valves or not.
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
