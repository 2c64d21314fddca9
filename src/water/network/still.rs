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
        let given = |node: &Node| match node.kind {
            NodeKind::Held { pressure_pa } if rest.converged() => Some(pressure_pa),
            _ => None,
        };
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
