//! The circuit read off the drawing: runs cut into stretches, joints made one node.

use foldhash::HashMap;

use super::air_limit::Likely;
use super::meeting::Meeting;
use super::ratings::taps;
use super::untold::Untold;
use super::{Circuit, Feeds, Fitting, HOT_ASSUMED_CELSIUS, Source, Stretch, Supply, Tap, Tube};
use super::{Vessel, cold_water};
use crate::geom::{Polyline, SAME_PLACE_MM};
use crate::layout::{
    COLD, COLD_INLET, Cistern, Cylinder, End, HOT, INLET, Id, InLineKind, Outlet, OutletKind, PartRef, Service, Taps,
    WhichEnd,
};
use crate::measure::pipe_joints::{CLEAR_OF_JOINT_MM, LEAST_BEND_DEGREES};
use crate::measure::{Cuts, Site};
use crate::num::Union;
use crate::units::Temperature;
use crate::water::Water;

/// Services whose water comes from a storage cistern.
pub(super) const STORED: [Service; 4] =
    [Service::ColdFeed, Service::ColdDistribution, Service::HotDistribution, Service::Link];

impl<'s> Circuit<'s> {
    /// Reads the circuit off a drawing. Never fails: what is not told is noted, and then not reckoned.
    #[must_use]
    pub fn of(site: &'s Site<'s>) -> Self {
        let cut = Cut::of(site);
        let stretches = cut.stretches(site);
        let mut circuit = Self {
            site,
            node_mm: cut.node_mm.clone(),
            meeting: Meeting::of(cut.node_mm.len(), &stretches),
            stretches,
            vessels: Vec::new(),
            sources: Vec::new(),
            source_at: vec![None; cut.node_mm.len()],
            inlets: Vec::new(),
            heaters: Vec::new(),
            taps: Vec::new(),
            blends: Vec::new(),
            vents: Vec::new(),
            at_rest_pa: Vec::new(),
            body_of: Vec::new(),
            hot_side_of: Vec::new(),
            likely: Likely::default(),
            untold: Untold::default(),
        };
        for cylinder in &site.layout().cylinders {
            circuit.add_vessel(cylinder, &cut);
        }
        for cistern in site.storage_cisterns() {
            circuit.add_sources(cistern, &cut);
        }
        circuit.find_inlets(&cut);
        for outlet in &site.layout().outlets {
            circuit.add_taps(outlet, &cut);
        }
        circuit.add_losses_of_joints();
        circuit.share_told_losses();
        circuit.warm_hot_pipes();
        circuit.add_vents(&cut);
        circuit.find_bodies();
        circuit.find_humps();
        circuit.note_what_is_untold(&cut);
        circuit
    }

    fn add_vessel(&mut self, cylinder: &'s Cylinder, cut: &Cut) {
        let arms_of = |wanted: &dyn Fn(&Id) -> bool| {
            let pipes = self.site.attached(&cylinder.id).iter().filter(|pipe| wanted(pipe.port));
            let mut arms: Vec<usize> = pipes.filter_map(|pipe| cut.end(pipe.run, pipe.end)).collect();
            arms.sort_unstable();
            arms.dedup();
            arms
        };
        let arms = arms_of(&|_| true);
        let hot_ports = self.site.hot_ports(cylinder);
        let hot_arms = arms_of(&|port| hot_ports.contains(&port));
        let inlet = PartRef::Cylinder(cylinder).port(COLD_INLET);
        let inlet_mm = inlet.map_or_else(|| cylinder.at.z.to_mm(), |point| point.z.to_mm());
        let water = hot_water(cylinder);
        self.vessels.push(Vessel { cylinder, water, inlet_mm, arms, hot_arms });
    }

    fn add_sources(&mut self, cistern: &'s Cistern, cut: &Cut) {
        for pipe in self.site.out_of(&cistern.id) {
            if let Some(node) = cut.end(pipe.run, pipe.end)
                && !self.is_source(node)
            {
                self.source_at[node] = Some(self.sources.len());
                let surface_mm = cistern.surface().map(crate::units::Level::to_mm);
                self.sources.push(Source { cistern, node, surface_mm });
            }
        }
    }

    fn add_taps(&mut self, outlet: &'s Outlet, cut: &Cut) {
        let at = |port: &str| {
            let mut pipes = self.site.on_port(&outlet.id, port);
            pipes.find_map(|pipe| match self.site.run(pipe.run).service {
                Service::RisingMain => Some(Feeds::Main),
                _ => Some(Feeds::One(cut.end(pipe.run, pipe.end)?)),
            })
        };
        let tap = |supply, feeds| Tap { outlet, supply, feeds };
        let taps: Vec<Tap<'s>> = match (at(HOT), at(COLD), taps(outlet)) {
            (Some(Feeds::One(hot)), Some(Feeds::One(cold)), Taps::Mixer) => {
                vec![tap(Supply::Mixed, Feeds::Mixed { hot, cold })]
            }
            // What stands downstream of a water heater is not its own tap.
            (hot, cold, _) if outlet.kind == OutletKind::WaterHeater => {
                if let (Some(Feeds::One(hot)), Some(Feeds::One(cold))) = (hot, cold) {
                    self.heaters.push((cold, hot));
                }
                cold.map(|feeds| tap(Supply::Cold, feeds)).into_iter().collect()
            }
            (hot, cold, _) => {
                let hot = hot.map(|feeds| tap(Supply::Hot, feeds));
                hot.into_iter().chain(cold.map(|feeds| tap(Supply::Cold, feeds))).collect()
            }
        };
        self.taps.extend(taps);
    }

    /// The water that stands at a node: that of the hottest stretch or vessel on it.
    pub(super) fn water_at_node(&self, node: usize) -> Water {
        let in_vessels = self.vessels.iter().filter(|vessel| vessel.arms.contains(&node)).map(|vessel| vessel.water);
        let all = self.stretches_at(node).map(|stretch| stretch.water).chain(in_vessels);
        all.max_by(|a, b| a.celsius.total_cmp(&b.celsius)).unwrap_or_else(|| water_at(None, HOT_ASSUMED_CELSIUS))
    }

    fn find_bodies(&mut self) {
        let mut bodies = Union::of(self.node_mm.len());
        for stretch in &self.stretches {
            bodies.join(stretch.nodes.0, stretch.nodes.1);
        }
        for vessel in &self.vessels {
            vessel.arms.windows(2).for_each(|pair| bodies.join(pair[0], pair[1]));
        }
        self.body_of = bodies.roots();
        self.find_hot_sides();
        self.find_what_is_likely();
    }
}

/// Where a piece of a run begins and ends along it, mm, and its nodes.
pub(super) type Piece = ((f64, f64), (usize, usize));

/// What a piece of a run is there for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Holds {
    /// Water that is drawn through it.
    Water,
    /// A vent's way to its open end.
    Air,
}

/// Runs cut where they join, with joined places made one node.
pub(super) struct Cut {
    /// By run: its cuts along it, mm, and the node of each.
    runs: Vec<Vec<(f64, usize)>>,
    node_mm: Vec<f64>,
}

impl Cut {
    fn of(site: &Site<'_>) -> Self {
        let takes_part = |run: usize| {
            let service = site.run(run).service;
            STORED.contains(&service) || service == Service::OpenVent
        };
        let cuts = Cuts::of(site, takes_part);
        let mut node_of: HashMap<usize, usize> = HashMap::default();
        let mut node_mm = Vec::new();
        let mut runs = vec![Vec::new(); site.layout().runs.len()];
        for (&(run, at_mm), first) in cuts.places.iter().zip(cuts.meeting(site)) {
            let node = *node_of.entry(first).or_insert_with(|| {
                node_mm.push(site.line(run).map_or(0.0, |line| line.point_at(at_mm).y));
                node_mm.len() - 1
            });
            runs[run].push((at_mm, node));
        }
        Self { runs, node_mm }
    }

    /// The node of a place along a run.
    pub(super) fn node(&self, run: usize, at_mm: f64) -> Option<usize> {
        let cuts = &self.runs[run];
        let number = cuts.partition_point(|(cut_mm, _)| cut_mm - at_mm <= -2.0 * SAME_PLACE_MM);
        cuts.get(number).filter(|(cut_mm, _)| cut_mm - at_mm < 2.0 * SAME_PLACE_MM).map(|(_, node)| *node)
    }

    /// The node of an end of a run.
    pub(super) fn end(&self, run: usize, end: WhichEnd) -> Option<usize> {
        let cut = match end {
            WhichEnd::From => self.runs[run].first(),
            WhichEnd::To => self.runs[run].last(),
        };
        cut.map(|(_, node)| *node)
    }

    /// The pieces of a run between its cuts that carry water, or those that do not: from and to along it, and their nodes.
    pub(super) fn pieces(&self, site: &Site<'_>, run: usize, wanted: Holds) -> Vec<Piece> {
        let carrying = site.carrying_stretches(run);
        let holds = |(from_mm, to_mm): (f64, f64)| {
            let middle_mm = f64::midpoint(from_mm, to_mm);
            let in_vent = carrying.iter().any(|(from_mm, to_mm)| (*from_mm..*to_mm).contains(&middle_mm));
            if STORED.contains(&site.run(run).service) || in_vent { Holds::Water } else { Holds::Air }
        };
        let pairs = self.runs[run].windows(2).map(|pair| ((pair[0].0, pair[1].0), (pair[0].1, pair[1].1)));
        pairs.filter(|(along_mm, nodes)| nodes.0 != nodes.1 && holds(*along_mm) == wanted).collect()
    }

    fn stretches(&self, site: &Site<'_>) -> Vec<Stretch> {
        let mut stretches = Vec::new();
        for run in 0..self.runs.len() {
            let Some(line) = site.line(run) else { continue };
            let pieces = self.pieces(site, run, Holds::Water).into_iter();
            stretches.extend(pieces.map(|(along_mm, nodes)| stretch(site, run, line, along_mm, nodes)));
        }
        stretches
    }
}

/// A stretch as it is drawn; its water is taken for cold.
fn stretch(site: &Site<'_>, run: usize, line: &Polyline, along_mm: (f64, f64), nodes: (usize, usize)) -> Stretch {
    let drawn = site.run(run);
    let tube = drawn
        .bore()
        .zip(drawn.material)
        .map(|(bore, material)| Tube { bore_m: bore.to_mm() / 1000.0, roughness_m: material.roughness_mm() / 1000.0 });
    let is_last = along_mm.1 >= line.length() - SAME_PLACE_MM;
    let in_it = |at_mm: f64| at_mm >= along_mm.0 && (at_mm < along_mm.1 || is_last);
    let mut fittings: Vec<(Fitting, f64)> =
        vec![(Fitting::Bend, square_bends(line, clear_of_joints(site, run, along_mm)))];
    fittings.extend(end_fittings(site, run, line, along_mm));
    let (mut valves, mut one_way) = (Vec::new(), false);
    for fitting in site.fitted(run).unwrap_or_default().iter().filter(|fitting| in_it(fitting.at_mm)) {
        fittings.push((Fitting::InLine(fitting.kind), 1.0));
        one_way |= fitting.kind == InLineKind::NonReturnValve;
        if fitting.kind.shuts() {
            valves.push(fitting.number);
        }
    }
    let water = cold_water();
    let (blend, is_above_water, told_loss) = (None, false, None);
    Stretch { run, along_mm, nodes, tube, water, blend, fittings, told_loss, valves, one_way, is_above_water }
}

/// Where a stretch begins and ends but for what sits in the joints at its ends, mm.
fn clear_of_joints(site: &Site<'_>, run: usize, along_mm: (f64, f64)) -> (f64, f64) {
    let is_free = |end, at_mm| site.end_along(run, end) == Some(at_mm) && !site.is_joined_at_end(run, end);
    let clear_mm = |end, at_mm| if is_free(end, at_mm) { 0.0 } else { CLEAR_OF_JOINT_MM };
    let from_mm = along_mm.0 + clear_mm(WhichEnd::From, along_mm.0);
    (from_mm, (along_mm.1 - clear_mm(WhichEnd::To, along_mm.1)).max(from_mm))
}

/// What a stretch takes at a port: entrance, exit.
fn end_fittings(site: &Site<'_>, run: usize, line: &Polyline, along_mm: (f64, f64)) -> Vec<(Fitting, f64)> {
    let drawn = site.run(run);
    let mut fittings = Vec::new();
    for (end, at_mm) in [(WhichEnd::From, 0.0), (WhichEnd::To, line.length())] {
        let touches = (along_mm.0 - at_mm).abs() < SAME_PLACE_MM || (along_mm.1 - at_mm).abs() < SAME_PLACE_MM;
        if !touches {
            continue;
        }
        match drawn.end(end) {
            End::Port(part, port) => match site.part(part) {
                // Whichever way it runs, it runs out of one cistern and into the other.
                Some(PartRef::Cistern(_)) if drawn.service == Service::Link && end == WhichEnd::To => {
                    fittings.push((Fitting::Exit, 1.0));
                }
                // A float valve's seat is reckoned by itself.
                Some(PartRef::Cistern(_)) if port.as_str() == INLET => {}
                Some(PartRef::Cistern(_)) => fittings.push((Fitting::Entrance, 1.0)),
                Some(PartRef::Cylinder(_)) if port.as_str() == COLD_INLET => fittings.push((Fitting::Exit, 1.0)),
                Some(PartRef::Cylinder(_)) => fittings.push((Fitting::Entrance, 1.0)),
                _ => {}
            },
            End::Tee(..) | End::Open(_) | End::Onward(_) => {}
        }
    }
    fittings
}

/// Bends of a line between two places along it, counted in square bends.
#[must_use]
pub fn square_bends(line: &Polyline, along_mm: (f64, f64)) -> f64 {
    let points = line.between(along_mm.0, along_mm.1);
    let turns =
        points.windows(3).map(|corner| (corner[1] - corner[0]).angle_to(corner[2] - corner[1]).to_degrees().abs());
    turns.map(in_square_bends).sum()
}

/// A bend of so many degrees, counted in square bends.
#[must_use]
pub fn in_square_bends(degrees: f64) -> f64 {
    if degrees >= LEAST_BEND_DEGREES { degrees / 90.0 } else { 0.0 }
}

fn hot_water(cylinder: &Cylinder) -> Water {
    water_at(cylinder.stored_temperature, HOT_ASSUMED_CELSIUS)
}

pub(super) fn water_at(told: Option<Temperature>, assumed_celsius: f64) -> Water {
    let celsius = told.map_or(assumed_celsius, Temperature::to_celsius).clamp(0.0, 100.0);
    Water::at_celsius(celsius).expect("held to the range of liquid water")
}
