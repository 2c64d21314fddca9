//! Whether a network is one that can be.

use super::{Network, Node, NodeKind, Pipe};

/// Rougher than this share of the bore, Colebrook-White says nothing.
const ROUGHEST: f64 = 0.1;

/// What is wrong with the network, in words; `None` if nothing is.
pub fn fault(network: &Network) -> Option<String> {
    let of_nodes =
        network.nodes.iter().enumerate().find_map(|(at, node)| Some(format!("node {at}: {}", node_fault(node)?)));
    let of_pipes = || {
        let nodes = network.nodes.len();
        network.pipes.iter().enumerate().find_map(|(at, pipe)| Some(format!("pipe {at}: {}", pipe_fault(pipe, nodes)?)))
    };
    of_nodes.or_else(of_pipes)
}

fn node_fault(node: &Node) -> Option<String> {
    if !node.height_m.is_finite() {
        return Some(format!("its height is {} m; give a number", node.height_m));
    }
    match node.kind {
        NodeKind::Held { pressure_pa } if !pressure_pa.is_finite() => {
            Some(format!("its pressure is {pressure_pa} Pa; give a number"))
        }
        _ => None,
    }
}

fn pipe_fault(pipe: &Pipe, nodes: usize) -> Option<String> {
    if pipe.from >= nodes || pipe.to >= nodes {
        return Some(format!("it joins nodes {} and {}, and there are {nodes}", pipe.from, pipe.to));
    }
    let positive = |what: &str, value: f64| {
        (!(value > 0.0 && value.is_finite())).then(|| format!("its {what} is {value}; it must be above 0"))
    };
    let not_negative = |what: &str, value: f64| {
        (!(value >= 0.0 && value.is_finite())).then(|| format!("its {what} is {value}; it must be 0 or more"))
    };
    let too_rough = || {
        (pipe.roughness_m > ROUGHEST * pipe.bore_m).then(|| "its roughness is more than a tenth of its bore".to_owned())
    };
    positive("bore", pipe.bore_m)
        .or_else(|| positive("water's density", pipe.water.density_kg_m3))
        .or_else(|| positive("water's viscosity", pipe.water.viscosity_pa_s))
        .or_else(|| not_negative("length", pipe.length_m))
        .or_else(|| not_negative("loss coefficient", pipe.loss_coefficient))
        .or_else(|| not_negative("roughness", pipe.roughness_m))
        .or_else(too_rough)
}
