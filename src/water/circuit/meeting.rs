//! Which stretches of pipe meet at each node, and where they lead.

use super::{Circuit, Stretch};

/// By node: the stretches that meet there.
#[derive(Default)]
pub(super) struct Meeting {
    /// Where those of each node begin in `stretches`, and at last where those of the last node end.
    firsts: Vec<usize>,
    /// Numbers of stretches, those of a node in their order.
    stretches: Vec<usize>,
}

impl Meeting {
    pub(super) fn of(nodes: usize, stretches: &[Stretch]) -> Self {
        let ends = |stretch: &Stretch| {
            let (from, to) = stretch.nodes;
            std::iter::once(from).chain((to != from).then_some(to))
        };
        let mut firsts = vec![0; nodes + 1];
        for node in stretches.iter().flat_map(ends) {
            firsts[node + 1] += 1;
        }
        for node in 0..nodes {
            firsts[node + 1] += firsts[node];
        }
        let mut room = firsts.clone();
        let mut numbers = vec![0; firsts[nodes]];
        for (number, stretch) in stretches.iter().enumerate() {
            for node in ends(stretch) {
                numbers[room[node]] = number;
                room[node] += 1;
            }
        }
        Self { firsts, stretches: numbers }
    }

    fn at(&self, node: usize) -> &[usize] {
        &self.stretches[self.firsts[node]..self.firsts[node + 1]]
    }
}

/// A way from a node through a stretch.
pub(super) struct Through<'c> {
    /// The number of the stretch.
    pub(super) number: usize,
    pub(super) stretch: &'c Stretch,
    /// The node at its other end.
    pub(super) next: usize,
}

impl Circuit<'_> {
    /// The stretches that meet at a node.
    pub(super) fn stretches_at(&self, node: usize) -> impl Iterator<Item = &Stretch> {
        self.meeting.at(node).iter().map(|number| &self.stretches[*number])
    }

    /// The ways from a node through pipes.
    pub(super) fn through_pipes(&self, node: usize) -> impl Iterator<Item = Through<'_>> {
        self.meeting.at(node).iter().map(move |&number| {
            let stretch = &self.stretches[number];
            let (from, to) = stretch.nodes;
            Through { number, stretch, next: if from == node { to } else { from } }
        })
    }

    /// The nodes of the cylinders that a node is on, its own among them.
    pub(super) fn through_vessels(&self, node: usize) -> impl Iterator<Item = usize> {
        self.vessels.iter().filter(move |vessel| vessel.arms.contains(&node)).flat_map(|vessel| &vessel.arms).copied()
    }
}
