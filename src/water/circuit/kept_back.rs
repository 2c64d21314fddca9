//! Non-return valves that keep the water of every cistern from a tap.

use std::collections::VecDeque;

use super::Circuit;
use super::meeting::Through;
use crate::layout::InLineKind;

impl Circuit<'_> {
    /// The non-return valve that lets no cistern's water come to a tap: its run by its number, and how far along it, mm.
    /// `None` where water comes to it, or to one side of a mixer.
    #[must_use]
    pub fn valve_against(&self, number: usize) -> Option<(usize, f64)> {
        let nodes = self.taps[number].nodes();
        let of_sides = nodes.into_iter().map(|node| self.kept_back_by(node)).collect::<Option<Vec<_>>>()?;
        of_sides.into_iter().next()
    }

    fn kept_back_by(&self, tap: usize) -> Option<(usize, f64)> {
        let mut against: Vec<Through<'_>> = Vec::new();
        let mut seen = vec![false; self.node_mm.len()];
        let mut queue = VecDeque::from([tap]);
        while let Some(node) = queue.pop_front() {
            if std::mem::replace(&mut seen[node], true) {
                continue;
            }
            if self.is_source(node) {
                return None;
            }
            for through in self.through_pipes(node) {
                if through.stretch.one_way && through.stretch.nodes.0 == node {
                    against.push(through);
                } else {
                    queue.push_back(through.next);
                }
            }
            queue.extend(self.through_vessels(node));
        }
        let leads_to_cistern = |through: &Through<'_>| !self.sources_from(through.next).is_empty();
        let stretch = against.into_iter().find(leads_to_cistern)?.stretch;
        let (from_mm, to_mm) = stretch.along_mm;
        let mut fitted = self.site.fitted(stretch.run)?.iter();
        let is_it = |kind, at_mm: f64| kind == InLineKind::NonReturnValve && at_mm >= from_mm && at_mm <= to_mm;
        fitted.find(|fitting| is_it(fitting.kind, fitting.at_mm)).map(|fitting| (stretch.run, fitting.at_mm))
    }
}
