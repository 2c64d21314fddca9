//! Pipes that rise above the water that feeds them: it does not get over by itself, and that it is ever sucked over once
//! is promised by nobody.

use std::collections::VecDeque;

use super::flows::{Asked, ROUNDING_PA};
use super::meeting::Through;
use super::{Circuit, Stretch, cold_water};
use crate::units::STANDARD_GRAVITY_M_S2;
use crate::water::Water;

/// What water at rest gets through.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Gets {
    /// What lies below the level of what it comes from.
    ThroughWhatItFills,
    /// Also what rises above that, as if it had once been sucked over.
    Over,
}

impl Circuit<'_> {
    /// Marks the stretches whose crest lies higher than water at rest would rise in them.
    pub(super) fn find_humps(&mut self) {
        let lowest_mm = self.sources.iter().filter_map(|source| source.surface_mm).fold(f64::INFINITY, f64::min);
        let crests_mm: Vec<f64> = self.stretches.iter().map(|stretch| self.crest_mm(stretch)).collect();
        if crests_mm.iter().all(|crest_mm| *crest_mm < lowest_mm) {
            return;
        }
        let at_rest_pa = self.standing_pa(&crests_mm);
        for (stretch, crest_mm) in self.stretches.iter_mut().zip(crests_mm) {
            let ends = [stretch.nodes.0, stretch.nodes.1];
            let seen_from =
                |node: usize| Some(at_rest_pa[node]? + column_pa(&stretch.water, self.node_mm[node] - crest_mm));
            let at_crest_pa = ends.into_iter().filter_map(seen_from).reduce(f64::max);
            stretch.is_above_water = at_crest_pa.is_some_and(|pressure_pa| pressure_pa <= ROUNDING_PA);
        }
        self.at_rest_pa = at_rest_pa;
    }

    /// By node, the pressure of water that stands at the level of the highest cistern from which it comes there, Pa: what
    /// runs from a higher cistern to a lower one lowers it, and fills the pipe all the same. Where water comes from none but
    /// over a pipe that rises above it, the pressure as if it had been sucked over.
    fn standing_pa(&self, crests_mm: &[f64]) -> Vec<Option<f64>> {
        let cold = cold_water();
        let told = self.sources.iter().filter_map(|source| Some((source.surface_mm?, source.node)));
        let mut sources: Vec<(f64, usize)> = told.filter(|(level_mm, node)| *level_mm > self.node_mm[*node]).collect();
        sources.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut standing_pa = vec![None; self.node_mm.len()];
        for (level_mm, node) in sources {
            if standing_pa[node].is_none() {
                standing_pa[node] = Some(column_pa(&cold, level_mm - self.node_mm[node]));
                self.spread_from(VecDeque::from([node]), (&mut standing_pa, crests_mm), Gets::ThroughWhatItFills);
            }
        }
        let level_pa = |(node, pressure_pa): (usize, &Option<f64>)| {
            Some((pressure_pa.as_ref()? + column_pa(&cold, self.node_mm[node]), node))
        };
        let mut reached: Vec<(f64, usize)> = standing_pa.iter().enumerate().filter_map(level_pa).collect();
        reached.sort_by(|a, b| b.0.total_cmp(&a.0));
        let from = reached.into_iter().map(|(_, node)| node).collect();
        self.spread_from(from, (&mut standing_pa, crests_mm), Gets::Over);
        standing_pa
    }

    /// Carries the pressure at rest on from some nodes to all to which water gets and where none is known yet.
    fn spread_from(
        &self,
        mut queue: VecDeque<usize>,
        (standing_pa, crests_mm): (&mut [Option<f64>], &[f64]),
        gets: Gets,
    ) {
        while let Some(node) = queue.pop_front() {
            let Some(here_pa) = standing_pa[node] else { continue };
            let mut onward: Vec<(usize, Water)> = Vec::new();
            for Through { number, stretch, next } in self.through_pipes(node) {
                let against_valve = stretch.one_way && stretch.nodes.0 != node;
                let at_crest_pa = here_pa + column_pa(&stretch.water, self.node_mm[node] - crests_mm[number]);
                let fills = gets == Gets::Over || at_crest_pa > ROUNDING_PA;
                if stretch.tube.is_some() && !against_valve && fills {
                    onward.push((next, stretch.water));
                }
            }
            for vessel in self.vessels.iter().filter(|vessel| vessel.arms.contains(&node)) {
                onward.extend(vessel.arms.iter().map(|arm| (*arm, vessel.water)));
            }
            for (next, water) in onward {
                if standing_pa[next].is_none() {
                    standing_pa[next] = Some(here_pa + column_pa(&water, self.node_mm[node] - self.node_mm[next]));
                    queue.push_back(next);
                }
            }
        }
    }

    /// The lowest level of a stretch, mm.
    pub(super) fn trough_mm(&self, stretch: &Stretch) -> f64 {
        let levels_mm = self.site.levels_mm(stretch.run, stretch.along_mm).into_iter().flatten();
        levels_mm.fold(f64::INFINITY, f64::min)
    }

    fn crest_mm(&self, stretch: &Stretch) -> f64 {
        self.site.crest_mm(stretch.run, stretch.along_mm).unwrap_or(f64::NEG_INFINITY)
    }

    /// Whether water would come to a node but for a pipe that rises above it.
    pub(super) fn is_kept_dry(asked: &Asked, node: usize) -> bool {
        !asked.fed[node] && asked.fed_over_humps.as_ref().is_some_and(|fed| fed[node])
    }

    /// The first pipe on the way from a node that rises above the water, in words.
    pub(super) fn words_of_hump(&self, node: usize) -> String {
        let mut seen = vec![false; self.node_mm.len()];
        let mut queue = VecDeque::from([node]);
        while let Some(node) = queue.pop_front() {
            if std::mem::replace(&mut seen[node], true) {
                continue;
            }
            for Through { stretch, next, .. } in self.through_pipes(node) {
                if stretch.is_above_water {
                    let run = &self.site.run(stretch.run).id;
                    return format!(
                        "{} rises above the water line, and water does not get over by itself",
                        run.with_article()
                    );
                }
                queue.push_back(next);
            }
            queue.extend(self.through_vessels(node));
        }
        "a pipe rises above the water line, and water does not get over by itself".to_owned()
    }
}

/// What a column of water weighs on its foot, Pa.
pub(super) fn column_pa(water: &Water, height_mm: f64) -> f64 {
    water.density_kg_m3 * STANDARD_GRAVITY_M_S2 * height_mm / 1000.0
}
