//! Pipes that rise above the water that feeds them: it does not get over by itself, and that it is ever sucked over once
//! is promised by nobody.

use std::collections::VecDeque;

use super::flows::{Asked, ROUNDING_PA};
use super::meeting::Through;
use super::{Circuit, Conditions, Stretch};
use crate::units::STANDARD_GRAVITY_M_S2;
use crate::water::network::solve;

impl Circuit<'_> {
    /// Marks the stretches whose crest lies higher than water at rest would rise in them.
    pub(super) fn find_humps(&mut self) {
        let lowest_mm = self.sources.iter().filter_map(|source| source.surface_mm).fold(f64::INFINITY, f64::min);
        let crests_mm: Vec<f64> = self.stretches.iter().map(|stretch| self.crest_mm(stretch)).collect();
        if crests_mm.iter().all(|crest_mm| *crest_mm < lowest_mm) {
            return;
        }
        let at_rest_pa = solve(&self.network(&Conditions::default(), &[]).network).pressure_pa;
        for (stretch, crest_mm) in self.stretches.iter_mut().zip(crests_mm) {
            let weight_pa_mm = stretch.water.density_kg_m3 * STANDARD_GRAVITY_M_S2 / 1000.0;
            let ends = [stretch.nodes.0, stretch.nodes.1];
            let seen_from = |node: usize| Some(at_rest_pa[node]? + weight_pa_mm * (self.node_mm[node] - crest_mm));
            let at_crest_pa = ends.into_iter().filter_map(seen_from).reduce(f64::max);
            stretch.is_above_water = at_crest_pa.is_some_and(|pressure_pa| pressure_pa <= ROUNDING_PA);
        }
        self.at_rest_pa = at_rest_pa;
    }

    fn crest_mm(&self, stretch: &Stretch) -> f64 {
        let points = self.site.line(stretch.run).map(|line| line.between(stretch.along_mm.0, stretch.along_mm.1));
        points.into_iter().flatten().map(|point| point.y).fold(f64::NEG_INFINITY, f64::max)
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
                        "the {} rises above the water line, and water does not get over by itself",
                        run.spoken()
                    );
                }
                queue.push_back(next);
            }
            queue.extend(self.through_vessels(node));
        }
        "a pipe rises above the water line, and water does not get over by itself".to_owned()
    }
}
