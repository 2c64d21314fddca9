//! Which cisterns and open taps hang together, and which have nothing to do with each other.

use super::{Circuit, Conditions, Feeds};
use crate::layout::Cistern;
use crate::num::Union;

/// Cisterns and open taps whose waters are joined.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct System {
    /// By their place among [`Circuit::cisterns`], ascending.
    pub cisterns: Vec<usize>,
    /// By their place among [`Circuit::taps`], ascending.
    pub taps: Vec<usize>,
}

impl Circuit<'_> {
    /// The systems of a drawing, in the order of their first cisterns: waters are joined by pipes, by cylinders, by a
    /// cistern that gives to both, by a float valve through which one fills the other, and by an open mixer.
    #[must_use]
    pub fn systems(&self, conditions: &Conditions) -> Vec<System> {
        let mut bodies = Union::of(self.node_mm.len());
        let bodies_of = |cistern: &Cistern| {
            let own = self.sources.iter().filter(|source| source.cistern.id == cistern.id);
            own.map(|source| self.body_of[source.node]).collect::<Vec<usize>>()
        };
        let bodies_of: Vec<Vec<usize>> = self.cisterns().map(bodies_of).collect();
        for own in &bodies_of {
            own.windows(2).for_each(|pair| bodies.join(pair[0], pair[1]));
        }
        for inlet in &self.inlets {
            let hole = self.sources.iter().find(|source| source.cistern.id == inlet.cistern.id);
            hole.into_iter().for_each(|hole| bodies.join(self.body_of[inlet.node], self.body_of[hole.node]));
        }
        let open = self.taps.iter().enumerate().filter(|(number, tap)| conditions.opens(*number, tap));
        let open: Vec<_> = open.collect();
        for (_, tap) in &open {
            if let Feeds::Mixed { hot, cold } = tap.feeds {
                bodies.join(self.body_of[hot], self.body_of[cold]);
            }
        }
        let mut systems: Vec<(usize, System)> = Vec::new();
        for (cistern, own) in bodies_of.iter().enumerate() {
            let root = bodies.root(own[0]);
            match systems.iter_mut().find(|(known, _)| *known == root) {
                Some((_, system)) => system.cisterns.push(cistern),
                None => systems.push((root, System { cisterns: vec![cistern], taps: Vec::new() })),
            }
        }
        for (number, tap) in open {
            let Some(node) = tap.nodes().first().copied() else { continue };
            let root = bodies.root(self.body_of[node]);
            let own = systems.iter_mut().filter(|(known, _)| *known == root);
            own.for_each(|(_, system)| system.taps.push(number));
        }
        systems.into_iter().map(|(_, system)| system).collect()
    }
}
