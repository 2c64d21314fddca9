//! What stands still whatever the rest does: pipes that lead nowhere. With one tap open that is most of a house.
//!
//! A free node with one pipe on it passes nothing on, so nothing flows in that pipe, and the pressure behind it is that
//! before it and the weight of the water between. Without it the next node may be such an end in turn. What is left lies
//! between given pressures, or in rings that unequal densities can drive; only that has to be solved for.

use super::{Network, Node, NodeKind, Pipe, Solution};

/// A network parted into what stands still and what may run.
pub struct Parted {
    /// What may run, with numbers of its own.
    pub rest: Network,
    /// The pipe of the whole that each pipe of the rest is.
    pipes: Vec<usize>,
    /// The node of the whole that each node of the rest is.
    nodes: Vec<usize>,
    /// Pipes that stand still with the node behind each, from the ends inward.
    still: Vec<(usize, usize)>,
}

impl Parted {
    /// Parts a network; takes time in proportion to its size.
    pub fn of(network: &Network) -> Self {
        let mut on_node = vec![0_usize; network.nodes.len()];
        // The pipes that are left on a node, all in one number: with one pipe left it is that pipe's.
        let mut together = vec![0_usize; network.nodes.len()];
        let is_ring = |pipe: &Pipe| pipe.from == pipe.to;
        for (number, pipe) in network.pipes.iter().enumerate().filter(|(_, pipe)| !is_ring(pipe)) {
            for node in [pipe.from, pipe.to] {
                on_node[node] += 1;
                together[node] ^= number;
            }
        }
        // A pipe that leads back to where it begins has nothing to drive it.
        let mut runs: Vec<bool> = network.pipes.iter().map(|pipe| !is_ring(pipe)).collect();
        let mut still = Vec::new();
        for first in 0..network.nodes.len() {
            let mut end = first;
            while network.nodes[end].kind == NodeKind::Free && on_node[end] == 1 {
                let number = together[end];
                let pipe = &network.pipes[number];
                let before = if pipe.from == end { pipe.to } else { pipe.from };
                runs[number] = false;
                still.push((number, end));
                on_node[end] = 0;
                on_node[before] -= 1;
                together[before] ^= number;
                end = before;
            }
        }
        let pipes: Vec<usize> = (0..network.pipes.len()).filter(|&pipe| runs[pipe]).collect();
        let nodes: Vec<usize> = (0..network.nodes.len()).filter(|&node| on_node[node] > 0).collect();
        let mut place = vec![0; network.nodes.len()];
        for (at, &node) in nodes.iter().enumerate() {
            place[node] = at;
        }
        let renumbered = |&number: &usize| {
            let pipe = network.pipes[number];
            Pipe { from: place[pipe.from], to: place[pipe.to], ..pipe }
        };
        let rest = Network {
            nodes: nodes.iter().map(|&node| network.nodes[node]).collect::<Vec<Node>>(),
            pipes: pipes.iter().map(renumbered).collect(),
        };
        Self { rest, pipes, nodes, still }
    }

    /// The solution of the whole, given that of the rest.
    pub fn whole(&self, network: &Network, rest: Solution) -> Solution {
        let mut flow_kg_s = vec![0.0; network.pipes.len()];
        for (&pipe, flow) in self.pipes.iter().zip(&rest.flow_kg_s) {
            flow_kg_s[pipe] = *flow;
        }
        let given = |node: &Node| node.kind.given_pa().filter(|_| rest.converged());
        let mut pressure_pa: Vec<Option<f64>> = network.nodes.iter().map(given).collect();
        for (&node, pressure) in self.nodes.iter().zip(&rest.pressure_pa) {
            pressure_pa[node] = *pressure;
        }
        for &(number, end) in self.still.iter().rev() {
            let pipe = &network.pipes[number];
            let weight_pa = network.weight_pa(pipe);
            pressure_pa[end] = if pipe.to == end {
                pressure_pa[pipe.from].map(|before_pa| before_pa + weight_pa)
            } else {
                pressure_pa[pipe.to].map(|before_pa| before_pa - weight_pa)
            };
        }
        let kept_shut = rest.kept_shut.iter().map(|&pipe| self.pipes[pipe]).collect();
        Solution { flow_kg_s, pressure_pa, kept_shut, report: rest.report }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{OneWay, solve};
    use super::*;
    use crate::water::Water;
    use crate::water::friction::Transition;

    fn house() -> Network {
        let free = |height_m| Node { height_m, kind: NodeKind::Free };
        let held = |height_m, pressure_pa| Node { height_m, kind: NodeKind::Held { pressure_pa } };
        // A cistern, a tee, a tap that is open, and beyond the tee a branch of two pipes that ends in the wall.
        let nodes = vec![held(5.0, 1000.0), free(4.0), held(1.0, 0.0), free(3.0), free(0.5)];
        let pipe = |from, to, one_way| Pipe {
            from,
            to,
            length_m: 2.0,
            bore_m: 0.0202,
            roughness_m: 1.5e-6,
            loss_coefficient: 1.0,
            water: Water::at_celsius(10.0).expect("liquid"),
            transition: Transition::Late,
            one_way,
        };
        let both = OneWay::BothWays;
        let pipes = vec![pipe(0, 1, both), pipe(3, 1, both), pipe(1, 2, OneWay::FromTo), pipe(3, 4, OneWay::FromTo)];
        Network { nodes, pipes }
    }

    #[test]
    fn only_the_way_to_the_open_tap_is_left() {
        let parted = Parted::of(&house());
        assert_eq!((parted.pipes.as_slice(), parted.nodes.as_slice()), ([0, 2].as_slice(), [0, 1, 2].as_slice()));
    }

    #[test]
    fn water_that_stands_presses_by_its_height() {
        let network = house();
        let solution = solve(&network);
        assert!(solution.converged() && solution.flow_kg_s[0] > 0.1);
        assert_eq!((solution.flow_kg_s[1], solution.flow_kg_s[3]), (0.0, 0.0));
        let pressure = |node: usize| solution.pressure_pa[node].expect("joined to the cistern");
        let by_height = pressure(1) + 999.7025 * 9.80665 * 3.5;
        assert!((pressure(4) / by_height - 1.0).abs() < 1e-6, "{} Pa, by height {by_height}", pressure(4));
    }

    #[test]
    fn a_tree_without_given_pressure_has_none() {
        let mut network = house();
        for node in &mut network.nodes {
            node.kind = NodeKind::Free;
        }
        assert!(Parted::of(&network).rest.pipes.is_empty());
        assert_eq!(solve(&network).pressure_pa, vec![None; 5]);
    }
}
