//! Potentials of a net of conductances: a sparse symmetric positive definite system, by elimination in an order of
//! minimum degree.
//!
//! Eliminating a node is the star-mesh transformation: what met in the node is joined pairwise, and its conductance to
//! ground is shared out. Written so, nothing is ever subtracted, and the result keeps its digits however far apart the
//! conductances lie.

use std::collections::BTreeSet;

/// The order of elimination for one net; serves any values of its conductances.
#[derive(Debug, Clone)]
pub struct Elimination {
    /// Node at each place of the order.
    order: Vec<usize>,
    /// Where the neighbours of each place begin in `later`; one more at the end.
    begin: Vec<usize>,
    /// The places joined to each place that come later in the order, ascending.
    later: Vec<usize>,
    /// Where each given pair stands in `later`; none for a pair of a node with itself.
    pairs: Vec<Option<usize>>,
    /// The place of each node in the order.
    place: Vec<usize>,
}

/// What is reckoned with while potentials are found; may serve again for the next.
#[derive(Debug, Clone, Default)]
pub struct Sweep {
    joined: Vec<f64>,
    grounded: Vec<f64>,
    pivots: Vec<f64>,
    /// What is fed in, and then the potentials, by place.
    by_place: Vec<f64>,
    by_node: Vec<f64>,
}

impl Elimination {
    /// Plans for `nodes` nodes of which these pairs are joined; a pair may be given more than once.
    #[must_use]
    pub fn plan(nodes: usize, joined: &[(usize, usize)]) -> Self {
        let mut neighbours = vec![Vec::new(); nodes];
        for &(one, other) in joined.iter().filter(|(one, other)| one != other) {
            take_in(&mut neighbours[one], other);
            take_in(&mut neighbours[other], one);
        }
        let (order, met) = by_minimum_degree(neighbours);
        let mut place = vec![0; nodes];
        for (at, &node) in order.iter().enumerate() {
            place[node] = at;
        }
        let mut begin = vec![0];
        let mut later = Vec::new();
        for at_elimination in met {
            let mut places: Vec<usize> = at_elimination.into_iter().map(|node| place[node]).collect();
            places.sort_unstable();
            later.extend(places);
            begin.push(later.len());
        }
        let slot = |&(one, other): &(usize, usize)| {
            let (first, second) = (place[one].min(place[other]), place[one].max(place[other]));
            let row = &later[begin[first]..begin[first + 1]];
            row.binary_search(&second).ok().map(|at| begin[first] + at)
        };
        let pairs = joined.iter().map(slot).collect();
        Self { order, begin, later, pairs, place }
    }

    /// Potentials against ground for a conductance of each pair, one of each node to ground, and what is fed into each
    /// node. `None` if a part of the net has no way to ground, or a number is not finite.
    pub fn potentials<'s>(
        &self,
        between: &[f64],
        to_ground: &[f64],
        fed: &[f64],
        sweep: &'s mut Sweep,
    ) -> Option<&'s [f64]> {
        let nodes = self.order.len();
        let Sweep { joined, grounded, pivots, by_place, by_node } = sweep;
        joined.clear();
        joined.resize(self.later.len(), 0.0);
        for (slot, conductance) in self.pairs.iter().zip(between) {
            if let Some(slot) = slot {
                joined[*slot] += conductance;
            }
        }
        refill(grounded, self.order.iter().map(|&node| to_ground[node]));
        refill(by_place, self.order.iter().map(|&node| fed[node]));
        pivots.clear();
        for at in 0..nodes {
            let row = self.begin[at]..self.begin[at + 1];
            let pivot = grounded[at] + joined[row.clone()].iter().sum::<f64>();
            if !(pivot > 0.0 && pivot.is_finite()) {
                return None;
            }
            pivots.push(pivot);
            for slot in row.clone() {
                let neighbour = self.later[slot];
                let share = joined[slot] / pivot;
                grounded[neighbour] += share * grounded[at];
                by_place[neighbour] += share * by_place[at];
                self.join(neighbour, slot + 1..row.end, share, joined);
            }
        }
        for at in (0..nodes).rev() {
            let row = self.begin[at]..self.begin[at + 1];
            let from_later: f64 = row.map(|slot| joined[slot] * by_place[self.later[slot]]).sum();
            by_place[at] = (by_place[at] + from_later) / pivots[at];
        }
        refill(by_node, self.place.iter().map(|&place| by_place[place]));
        by_node.iter().all(|potential| potential.is_finite()).then_some(by_node)
    }

    /// Joins a place to the rest of an eliminated row; both are ascending, and the rest is among its neighbours.
    fn join(&self, place: usize, rest: std::ops::Range<usize>, share: f64, joined: &mut [f64]) {
        let mut own = self.begin[place];
        for slot in rest {
            while self.later[own] < self.later[slot] {
                own += 1;
            }
            joined[own] += share * joined[slot];
        }
    }
}

/// Other numbers in the room that is there.
fn refill(room: &mut Vec<f64>, numbers: impl Iterator<Item = f64>) {
    room.clear();
    room.extend(numbers);
}

/// Adds a number to others that rise, unless it is among them.
fn take_in(rising: &mut Vec<usize>, number: usize) {
    if let Err(at) = rising.binary_search(&number) {
        rising.insert(at, number);
    }
}

/// Always the node with the fewest neighbours left, the lowest of equals; with the neighbours it had by then. Neighbours are
/// few, and stand in rising order.
fn by_minimum_degree(mut neighbours: Vec<Vec<usize>>) -> (Vec<usize>, Vec<Vec<usize>>) {
    let mut waiting: BTreeSet<(usize, usize)> =
        neighbours.iter().enumerate().map(|(node, around)| (around.len(), node)).collect();
    let (mut order, mut met) = (Vec::with_capacity(neighbours.len()), Vec::with_capacity(neighbours.len()));
    while let Some((_, node)) = waiting.pop_first() {
        let around = std::mem::take(&mut neighbours[node]);
        for &neighbour in &around {
            let own = &mut neighbours[neighbour];
            let before = own.len();
            around.iter().filter(|&&other| other != neighbour).for_each(|&other| take_in(own, other));
            own.retain(|&other| other != node);
            if own.len() != before {
                let now = own.len();
                waiting.remove(&(before, neighbour));
                waiting.insert((now, neighbour));
            }
        }
        order.push(node);
        met.push(around);
    }
    (order, met)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What leaves each node, given the potentials.
    fn leaving(joined: &[(usize, usize)], between: &[f64], to_ground: &[f64], potentials: &[f64]) -> Vec<f64> {
        let mut leaving: Vec<f64> = to_ground.iter().zip(potentials).map(|(g, u)| g * u).collect();
        for (&(one, other), conductance) in joined.iter().zip(between) {
            let passed = conductance * (potentials[one] - potentials[other]);
            leaving[one] += passed;
            leaving[other] -= passed;
        }
        leaving
    }

    #[test]
    fn what_is_fed_in_flows_off_in_a_meshed_net() {
        let (across, up) = (7, 6);
        let node = |x: usize, y: usize| y * across + x;
        let right = (0..across - 1).flat_map(|x| (0..up).map(move |y| (node(x, y), node(x + 1, y))));
        let above = (0..across).flat_map(|x| (0..up - 1).map(move |y| (node(x, y), node(x, y + 1))));
        let joined: Vec<_> = right.chain(above).chain([(0, 0), (3, 4), (3, 4)]).collect();
        let between: Vec<f64> = (1_u32..).take(joined.len()).map(|i| 1.0 / f64::from(i * i % 17 + 1)).collect();
        let mut to_ground = vec![0.0; across * up];
        to_ground[5] = 0.25;
        to_ground[20] = 2.0;
        let fed: Vec<f64> = (0_u32..).take(across * up).map(|i| f64::from(i % 5) - 1.5).collect();
        let plan = Elimination::plan(across * up, &joined);
        let mut sweep = Sweep::default();
        let potentials = plan.potentials(&between, &to_ground, &fed, &mut sweep).expect("it is grounded");
        for (left, fed) in leaving(&joined, &between, &to_ground, potentials).iter().zip(&fed) {
            assert!((left - fed).abs() < 1e-12, "{left} leaves, {fed} is fed in");
        }
    }

    #[test]
    fn conductances_far_apart_keep_their_digits() {
        // 1 is fed into the end of a chain: the sum of the resistances, to the last digit.
        let between = [1e12, 1e-6, 1e12];
        let plan = Elimination::plan(4, &[(0, 1), (1, 2), (2, 3)]);
        let mut sweep = Sweep::default();
        let (to_ground, fed) = ([0.0, 0.0, 0.0, 1e6], [1.0, 0.0, 0.0, 0.0]);
        let potentials = plan.potentials(&between, &to_ground, &fed, &mut sweep).expect("grounded");
        assert!((potentials[0] / (1e6 + 1e-6 + 2e-12) - 1.0).abs() < 1e-15);
    }

    #[test]
    fn a_tree_is_eliminated_without_fill() {
        let joined: Vec<_> = (1..200).map(|node| (node, node / 2)).collect();
        assert_eq!(Elimination::plan(200, &joined).later.len(), joined.len());
    }

    #[test]
    fn a_part_without_ground_has_no_potential() {
        let plan = Elimination::plan(3, &[(0, 1)]);
        assert_eq!(plan.potentials(&[1.0], &[0.0, 0.0, 1.0], &[0.0; 3], &mut Sweep::default()), None);
    }
}
