//! Holes of cisterns: those below the water give and take under its pressure, and into those above it water only falls.

use super::flows::Asked;
use super::{Circuit, Conditions, Source, cold_water};
use crate::units::STANDARD_GRAVITY_M_S2;
use crate::water::friction::Transition;
use crate::water::network::{Network, Node, NodeKind, OneWay, Pipe, Solution};

/// So wide a way leads from a mouth into the air of its cistern that it takes no head worth telling, m: what a pipe loses
/// where it ends is counted with the pipe.
const MOUTH_BORE_M: f64 = 0.1;

impl Circuit<'_> {
    /// Holds the holes that lie below the water at its pressure.
    pub(super) fn hold_sources(&self, conditions: &Conditions, network: &mut Network) {
        for source in &self.sources {
            let above_mm = self.water_above_mm(source, conditions).unwrap_or(-1.0);
            if above_mm > 0.0 {
                let pressure_pa = cold_water().density_kg_m3 * STANDARD_GRAVITY_M_S2 * above_mm / 1000.0;
                network.nodes[source.node].kind = NodeKind::Held { pressure_pa };
            }
        }
    }

    /// A hole that does not lie below the water gives nothing; what comes up to it runs out into the air there. By source:
    /// the node to which that is.
    pub(super) fn add_mouths(&self, conditions: &Conditions, network: &mut Network) -> Vec<Option<usize>> {
        let mut add = |source: &Source<'_>| {
            let is_open = self.water_above_mm(source, conditions).is_some_and(|above_mm| above_mm <= 0.0)
                && network.nodes[source.node].kind == NodeKind::Free;
            is_open.then(|| {
                let height_m = network.nodes[source.node].height_m;
                network.nodes.push(Node { height_m, kind: NodeKind::Held { pressure_pa: 0.0 } });
                let into_air = network.nodes.len() - 1;
                network.pipes.push(Pipe {
                    from: source.node,
                    to: into_air,
                    length_m: 0.0,
                    bore_m: MOUTH_BORE_M,
                    roughness_m: 0.0,
                    loss_coefficient: 0.0,
                    water: cold_water(),
                    transition: Transition::Late,
                    one_way: OneWay::FromTo,
                });
                into_air
            })
        };
        self.sources.iter().map(&mut add).collect()
    }

    /// How high the water of its cistern stands above a hole, mm; `None` where no water line is told.
    fn water_above_mm(&self, source: &Source<'_>, conditions: &Conditions) -> Option<f64> {
        let level = conditions.levels_mm.iter().find(|(cistern, _)| *cistern == source.cistern.id);
        let surface_mm = level.map(|(_, level_mm)| *level_mm).or(source.surface_mm)?;
        Some(surface_mm - self.node_mm[source.node])
    }

    /// What leaves the cistern by each source, kg/s; less than nothing where it comes in.
    pub(super) fn leaves_kg_s(&self, asked: &Asked, solution: &Solution) -> Vec<f64> {
        let by_node = asked.network.net_outflow_kg_s(&solution.flow_kg_s);
        // Of what runs through a free node nothing is left there but rounding.
        let of = |(source, mouth): (&Source<'_>, &Option<usize>)| by_node[mouth.unwrap_or(source.node)];
        self.sources.iter().zip(&asked.mouths).map(of).collect()
    }
}
