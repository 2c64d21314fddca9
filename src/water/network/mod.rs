//! Steady flow in a network of pipes of any shape: what runs in each pipe, and the pressure where they meet.
//!
//! Every pipe has water of its own: along it p + ρ g z falls by the loss of its flow, with the density of that water,
//! so hot and cold columns drive as they do. At every free node what comes in goes out.

mod ask;
mod newton;
mod one_way;
mod resistance;
mod still;

use super::Water;
use super::friction::Transition;
use crate::units::STANDARD_GRAVITY_M_S2;

pub use one_way::solve;
pub use resistance::{flow_under_kg_s, loss_pa};

/// Pipes and the nodes in which they meet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Network {
    /// Where pipes meet and end.
    pub nodes: Vec<Node>,
    /// What joins them. A pipe that is shut is not there.
    pub pipes: Vec<Pipe>,
}

/// Where pipes meet or end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Node {
    /// Height above the datum, m.
    pub height_m: f64,
    /// What is known of it.
    pub kind: NodeKind,
}

/// What is known of a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NodeKind {
    /// The pressure is given and any flow may come or go: a cistern's surface, the mouth of an open outlet.
    Held {
        /// Pressure above that of the air, Pa.
        pressure_pa: f64,
    },
    /// The pressure is sought and what comes in goes out.
    Free,
}

/// A length of pipe full of one water, with what stands in its way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pipe {
    /// Node at which a positive flow enters.
    pub from: usize,
    /// Node at which it leaves.
    pub to: usize,
    /// Length, m; less than a millimetre counts as one.
    pub length_m: f64,
    /// Inside diameter, m.
    pub bore_m: f64,
    /// Height of the wall's roughness, m.
    pub roughness_m: f64,
    /// ΣK of its fittings on the velocity head of this pipe.
    pub loss_coefficient: f64,
    /// The water in it.
    pub water: Water,
    /// By when laminar flow in it is taken to be turbulent.
    pub transition: Transition,
    /// Which ways it may flow.
    pub one_way: OneWay,
}

/// Which ways water may flow in a pipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OneWay {
    /// Either way.
    BothWays,
    /// Only from `from` to `to`: behind a non-return valve, or at an outlet, which does not suck water back.
    FromTo,
}

/// The flows and pressures of a network.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// Flow in each pipe from `from` to `to`, kg/s.
    pub flow_kg_s: Vec<f64>,
    /// Pressure at each node above that of the air, Pa; none where no open way leads to a node of given pressure.
    pub pressure_pa: Vec<Option<f64>>,
    /// The pipes that stand shut because water would run backward in them, ascending.
    pub kept_shut: Vec<usize>,
    /// How it went.
    pub report: Report,
}

/// How solving went. Flows and pressures count only if it converged.
#[derive(Debug, Clone, PartialEq)]
pub enum Report {
    /// The flows are those of the network.
    Converged {
        /// Linear systems solved.
        steps: usize,
        /// The largest difference at a free node between what comes in and what goes out.
        worst_imbalance_kg_s: f64,
    },
    /// No flows were found within the steps allowed.
    GaveUp {
        /// Linear systems solved.
        steps: usize,
        /// The largest difference at a free node between what comes in and what goes out.
        worst_imbalance_kg_s: f64,
    },
    /// The network is not one that can be.
    AskedWrongly {
        /// What is wrong with it.
        words: String,
    },
}

impl NodeKind {
    /// The pressure that is given, Pa.
    const fn given_pa(self) -> Option<f64> {
        match self {
            Self::Held { pressure_pa } => Some(pressure_pa),
            Self::Free => None,
        }
    }
}

impl Solution {
    /// Whether the flows and pressures count.
    #[must_use]
    pub fn converged(&self) -> bool {
        matches!(self.report, Report::Converged { .. })
    }
}

impl Network {
    /// What drives a pipe apart from the pressures at its ends: ρ g (z_from − z_to), Pa.
    fn weight_pa(&self, pipe: &Pipe) -> f64 {
        pipe.water.density_kg_m3
            * STANDARD_GRAVITY_M_S2
            * (self.nodes[pipe.from].height_m - self.nodes[pipe.to].height_m)
    }

    /// What leaves each node by its pipes, less what comes in, kg/s, where so much flows in each pipe.
    #[must_use]
    pub fn net_outflow_kg_s(&self, flow_kg_s: &[f64]) -> Vec<f64> {
        let mut leaves = vec![0.0; self.nodes.len()];
        for (pipe, flow) in self.pipes.iter().zip(flow_kg_s) {
            leaves[pipe.from] += flow;
            leaves[pipe.to] -= flow;
        }
        leaves
    }

    /// What flows out of each free node and has not come in, kg/s; nothing for held nodes.
    fn surplus_kg_s(&self, flow_kg_s: &[f64]) -> Vec<f64> {
        let mut surplus = self.net_outflow_kg_s(flow_kg_s);
        for (surplus, node) in surplus.iter_mut().zip(&self.nodes) {
            if node.kind != NodeKind::Free {
                *surplus = 0.0;
            }
        }
        surplus
    }
}

fn largest(values: impl IntoIterator<Item = f64>) -> f64 {
    values.into_iter().fold(0.0, |largest, value| value.abs().max(largest))
}
