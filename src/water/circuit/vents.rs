//! Open vents of the circuit: where each leaves the water, and how high it goes.

use foldhash::{HashMap, HashSet};

use super::build::{Cut, Holds, Piece};
use super::{Circuit, Vent};
use crate::layout::{End, Service};

impl Circuit<'_> {
    /// What of a vent carries no water is followed from its open end to each place where it leaves the water.
    pub(super) fn add_vents(&mut self, cut: &Cut) {
        let mut wet: HashSet<usize> =
            self.stretches.iter().flat_map(|stretch| [stretch.nodes.0, stretch.nodes.1]).collect();
        wet.extend(self.vessels.iter().flat_map(|vessel| &vessel.arms));
        for body in self.site.bodies_of(&[Service::OpenVent]) {
            let of_run = |run: usize| cut.pieces(self.site, run, Holds::Air).into_iter().map(move |piece| (run, piece));
            let mut left: Vec<(usize, Piece)> = body.iter().flat_map(|run| of_run(*run)).collect();
            while let Some(first) = left.pop() {
                let dry = joined_to(first, &mut left, &wet);
                self.add_vent(&dry, &wet, cut);
            }
        }
    }

    fn add_vent(&mut self, dry: &[(usize, Piece)], wet: &HashSet<usize>, cut: &Cut) {
        let has_mouth = |(run, (_, nodes)): &&(usize, Piece)| {
            let mouth = self.site.mouth_along(*run).and_then(|at_mm| cut.node(*run, at_mm));
            mouth.is_some_and(|mouth| mouth == nodes.0 || mouth == nodes.1)
        };
        let with_mouth = dry.iter().find(has_mouth).map(|(run, _)| *run);
        let goes_on = |(run, _): &&(usize, Piece)| {
            let drawn = self.site.run(*run);
            matches!(drawn.from, End::Onward(_)) || matches!(drawn.to, End::Onward(_))
        };
        let onward = dry.iter().find(goes_on).map(|(run, _)| *run).filter(|_| with_mouth.is_none());
        let crest_mm = |(run, (along_mm, _)): &(usize, Piece)| {
            let points = self.site.line(*run).map(|line| line.between(along_mm.0, along_mm.1));
            points.into_iter().flatten().map(|point| point.y).reduce(f64::max)
        };
        let top_mm = with_mouth.and_then(|_| dry.iter().filter_map(crest_mm).reduce(f64::max));
        let mut tees: Vec<usize> = dry.iter().flat_map(|(_, (_, nodes))| [nodes.0, nodes.1]).collect();
        tees.retain(|node| wet.contains(node));
        tees.sort_unstable();
        tees.dedup();
        let named = with_mouth.or(onward).unwrap_or(dry[0].0);
        for tee in tees {
            let water = self.water_at_node(tee);
            let goes_on = onward.is_some();
            let dry = dry.iter().map(|(run, (along_mm, _))| (*run, *along_mm)).collect();
            self.vents.push(Vent { run: &self.site.run(named).id, tee, top_mm, goes_on, dry, water });
        }
    }
}

/// Takes out of `left` what is joined to a piece, not going on through places where there is water.
fn joined_to(first: (usize, Piece), left: &mut Vec<(usize, Piece)>, wet: &HashSet<usize>) -> Vec<(usize, Piece)> {
    let mut on_node: HashMap<usize, Vec<usize>> = HashMap::default();
    for (number, (_, (_, nodes))) in left.iter().enumerate() {
        on_node.entry(nodes.0).or_default().push(number);
        on_node.entry(nodes.1).or_default().push(number);
    }
    let mut taken: HashSet<usize> = HashSet::default();
    let mut joined = vec![first];
    let mut asked = 0;
    while let Some((_, (_, nodes))) = joined.get(asked).copied() {
        asked += 1;
        for node in [nodes.0, nodes.1].into_iter().filter(|node| !wet.contains(node)) {
            for &number in on_node.get(&node).into_iter().flatten() {
                if taken.insert(number) {
                    joined.push(left[number]);
                }
            }
        }
    }
    let mut number = 0;
    left.retain(|_| {
        number += 1;
        !taken.contains(&(number - 1))
    });
    joined
}
