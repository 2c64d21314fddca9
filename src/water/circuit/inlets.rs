//! Float valves that stored water feeds: what comes through each into the cistern below.

use super::build::{Cut, STORED};
use super::flows::{Asked, ROUNDING_PA, loss_of_rating, tail};
use super::{Circuit, Conditions, NOT_FOUND};
use crate::layout::{Cistern, INLET, Service};
use crate::measure::{Site, find_out};
use crate::units::{Length, STANDARD_GRAVITY_M_S2};
use crate::water::Water;
use crate::water::levels::{FLOAT_VALVE_COEFFICIENT, orifice_m3_s};
use crate::water::network::{Network, Node, NodeKind, Solution};

/// What a valve's opening is rated at, Pa: any pressure will do, since the flow goes with its root.
const RATED_AT_PA: f64 = 10_000.0;

/// A float valve on a pipe of stored water.
pub(super) struct Inlet<'s> {
    /// The cistern that it fills.
    pub(super) cistern: &'s Cistern,
    /// The end of the pipe.
    pub(super) node: usize,
}

/// What comes through a float valve that stands wide open.
#[derive(Debug, Clone, PartialEq)]
pub struct ThroughValve {
    /// L/s.
    pub flow_l_s: f64,
    /// What stands on its seat meanwhile, kPa.
    pub pressure_kpa: f64,
    /// The cisterns whose water it is: "cistern and second".
    pub from: String,
}

/// Whether stored water comes to a cistern's float valve, and no main.
#[must_use]
pub fn is_fed_from_store(site: &Site<'_>, cistern: &Cistern) -> bool {
    let services: Vec<Service> = site.on_port(&cistern.id, INLET).map(|pipe| site.run(pipe.run).service).collect();
    !services.contains(&Service::RisingMain) && services.iter().any(|service| STORED.contains(service))
}

impl<'s> Circuit<'s> {
    pub(super) fn find_inlets(&mut self, cut: &Cut) {
        for cistern in &self.site.layout().cisterns {
            let pipes = self.site.on_port(&cistern.id, INLET);
            let nodes = pipes.filter_map(|pipe| cut.end(pipe.run, pipe.end));
            self.inlets.extend(nodes.map(|node| Inlet { cistern, node }));
        }
    }

    /// Whether a pipe of stored water ends on a cistern's float valve.
    #[must_use]
    pub fn is_filled_from_store(&self, cistern: &Cistern) -> bool {
        self.inlets.iter().any(|inlet| inlet.cistern.id == cistern.id)
    }

    /// What comes into cisterns by their float valves while these stand wide open and no tap does, in the order of the
    /// cisterns: from all that feeds them, which stands full to its water line.
    ///
    /// # Errors
    /// What to find out, when the layout does not tell enough.
    pub fn let_in_from_store(&self, cisterns: &[&Cistern]) -> Result<Vec<ThroughValve>, String> {
        let filling = cisterns.iter().map(|cistern| (cistern.id.clone(), 1.0)).collect();
        let conditions = Conditions { filling, ..Conditions::default() };
        let (asked, solution) = self.solved(&conditions, &[]);
        let through = |cistern: &&Cistern| {
            let mut valve = ThroughValve { flow_l_s: 0.0, pressure_kpa: 0.0, from: String::new() };
            let own =
                self.inlets.iter().zip(&asked.pipes_of_inlets).filter(|(inlet, _)| inlet.cistern.id == cistern.id);
            for (inlet, pipe) in own {
                self.refuse_what_is_untold(inlet, &conditions, (&asked, &solution))?;
                let Some(pipe) = *pipe else { return Err(find_out::SEAT.to_owned()) };
                let water = asked.network.pipes[pipe].water;
                let lift_m = outlet_m(cistern) - self.node_mm[inlet.node] / 1000.0;
                let before_pa = solution.pressure_pa[inlet.node].unwrap_or(0.0);
                let on_seat_pa = before_pa - water.density_kg_m3 * STANDARD_GRAVITY_M_S2 * lift_m;
                valve.flow_l_s += solution.flow_kg_s[pipe].max(0.0) / water.density_kg_m3 * 1000.0;
                valve.pressure_kpa = (on_seat_pa / 1000.0).max(valve.pressure_kpa);
                valve.from = self.cisterns_over(inlet.node);
            }
            Ok(valve)
        };
        cisterns.iter().map(through).collect()
    }

    fn refuse_what_is_untold(
        &self,
        inlet: &Inlet<'_>,
        conditions: &Conditions,
        (asked, solution): (&Asked, &Solution),
    ) -> Result<(), String> {
        let body = self.body_of[inlet.node];
        if !self.is_told(body, conditions) {
            return Err(self.what_to_tell(body, conditions));
        }
        if self.sources.iter().all(|source| self.body_of[source.node] != body) {
            return Err(find_out::WAY_FROM_CISTERN.to_owned());
        }
        if !solution.converged() {
            return Err(NOT_FOUND.to_owned());
        }
        if Self::is_kept_dry(asked, inlet.node) {
            return Err(self.words_of_hump(inlet.node));
        }
        let draws_air = |vent: usize| {
            self.body_of_vent(vent) == body
                && solution.pressure_pa[self.vents[vent].tee].is_some_and(|pressure_pa| pressure_pa < -ROUNDING_PA)
        };
        match (0..self.vents.len()).find(|vent| draws_air(*vent)) {
            Some(vent) => {
                let vent = self.vents[vent].run.with_article();
                Err(format!("{vent} draws air while this fills: how much comes then is not reckoned"))
            }
            None => Ok(()),
        }
    }

    /// The cisterns on the body of water of a node, in words.
    fn cisterns_over(&self, node: usize) -> String {
        let mut names: Vec<String> = Vec::new();
        for source in self.sources.iter().filter(|source| self.body_of[source.node] == self.body_of[node]) {
            let name = source.cistern.id.spoken().to_string();
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names.join(" and ")
    }

    /// Opens the float valves that fill, each as far as it stands open. By inlet: the pipe through its seat.
    pub(super) fn open_inlets(&self, conditions: &Conditions, network: &mut Network) -> Vec<Option<usize>> {
        let mut open = |inlet: &Inlet<'_>| {
            let (_, share) = conditions.filling.iter().find(|(cistern, _)| *cistern == inlet.cistern.id)?;
            let water = self.water_at_node(inlet.node);
            let loss_coefficient = loss_of_seat(inlet.cistern, *share, &water)?;
            let mouth = Node { height_m: outlet_m(inlet.cistern), kind: NodeKind::Held { pressure_pa: 0.0 } };
            network.nodes.push(mouth);
            network.pipes.push(tail((inlet.node, network.nodes.len() - 1), loss_coefficient, water));
            Some(network.pipes.len() - 1)
        };
        self.inlets.iter().map(&mut open).collect()
    }

    /// What runs through some of the float valves, kg/s.
    pub(super) fn fills_kg_s(&self, asked: &Asked, solution: &Solution, wanted: impl Fn(&Inlet<'_>) -> bool) -> f64 {
        let own = self.inlets.iter().zip(&asked.pipes_of_inlets).filter(|(inlet, _)| wanted(inlet));
        own.filter_map(|(_, pipe)| Some(solution.flow_kg_s[(*pipe)?].max(0.0))).sum()
    }
}

/// Where a float valve lets the water go, m above the datum; at the rim where nobody has measured it.
fn outlet_m(cistern: &Cistern) -> f64 {
    let outlet = cistern.float_valve.and_then(|valve| valve.outlet);
    (cistern.at.z.to_mm() + outlet.map_or(cistern.height.to_mm(), Length::to_mm)) / 1000.0
}

/// The loss of a float valve's seat on the bore of a tail; none where it is shut, or its bore is not told.
fn loss_of_seat(cistern: &Cistern, open: f64, water: &Water) -> Option<f64> {
    let seat_m = cistern.float_valve?.seat?.to_mm() / 1000.0;
    let rated_l_s = 1000.0 * orifice_m3_s(FLOAT_VALVE_COEFFICIENT, seat_m, RATED_AT_PA, water.density_kg_m3);
    (open > 0.0).then(|| loss_of_rating(water, open * rated_l_s, RATED_AT_PA))
}
