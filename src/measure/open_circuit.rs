//! Measures of heating that is open to the air: how its feed and its vent join it, and how much water stands over it.

use glam::DVec2;

use super::free_ways::InTheWay;
use super::primary::{Top, is_pumped, measure_cold_line, top_of};
use super::shortest::Ways;
use super::{Axis, Feature, Leg, Place, Reading, Site};
use crate::layout::{Boiler, Cistern, End, Id, InLineKind, Service, WhichEnd};

/// Services of the pipes in which the heating's water goes round.
const CIRCUIT: [Service; 2] = [Service::PrimaryFlow, Service::PrimaryReturn];

const WHETHER_PUMPED: &str = "tell whether a pump moves the water of the heating";

/// Where a feed or a vent joins the circuit.
struct Junction {
    /// The run of the feed or vent, and how far along it this is, mm.
    run: usize,
    at_mm: f64,
    joins: Joins,
}

/// What is joined.
enum Joins {
    /// A pipe of the circuit, so far along, mm.
    Pipe(usize, f64),
    /// The boiler itself, by its number, at a port of its own.
    Boiler(usize, DVec2),
}

/// The way of the water from one junction to another.
struct Between {
    legs: Vec<Leg>,
    length_mm: f64,
}

/// Where pipes of a circuit come to a boiler, and the way there from a junction.
struct Door {
    legs: Vec<Leg>,
    point: DVec2,
}

impl Junction {
    fn place(&self, site: &Site<'_>) -> Place {
        Place::of(&site.run(self.run).id, Feature::Along(self.at_mm))
    }

    /// The ways to the pipes of the circuit from here.
    fn ways(&self, site: &Site<'_>) -> Ways {
        let begin = match self.joins {
            Joins::Pipe(run, at_mm) => vec![(run, at_mm)],
            Joins::Boiler(..) => Vec::new(),
        };
        Ways::from(site, begin, &CIRCUIT)
    }

    /// The ways from here to a boiler.
    fn doors(&self, site: &Site<'_>, ways: &Ways, number: usize, boiler: &Boiler) -> Vec<Door> {
        let own = match self.joins {
            Joins::Boiler(joined, point) if joined == number => Some(Door { legs: Vec::new(), point }),
            _ => None,
        };
        let pipes = site.attached(&boiler.id).iter().filter(|pipe| CIRCUIT.contains(&site.run(pipe.run).service));
        let by_pipe = pipes.filter_map(|pipe| {
            let at_mm = site.end_along(pipe.run, pipe.end)?;
            Some(Door { legs: ways.to(pipe.run, at_mm)?, point: site.line(pipe.run)?.point_at(at_mm) })
        });
        by_pipe.chain(own).collect()
    }

    /// The shortest way of the water to another junction, by pipes or through a boiler, straight from port to port.
    fn way_to(&self, site: &Site<'_>, other: &Self) -> Option<Between> {
        let (ways, back) = (self.ways(site), other.ways(site));
        let by_pipes = match other.joins {
            Joins::Pipe(run, at_mm) => ways.to(run, at_mm),
            Joins::Boiler(..) => None,
        };
        let by_pipes = by_pipes.map(|legs| Between { length_mm: length_mm(&legs), legs });
        let boilers = site.layout().boilers.iter().enumerate();
        let through = boilers.flat_map(|(number, boiler)| {
            let (to, from) = (self.doors(site, &ways, number, boiler), other.doors(site, &back, number, boiler));
            to.iter().flat_map(|door| from.iter().map(move |further| through_boiler(door, further))).collect::<Vec<_>>()
        });
        by_pipes.into_iter().chain(through).min_by(|a, b| a.length_mm.total_cmp(&b.length_mm))
    }
}

fn through_boiler(to: &Door, from: &Door) -> Between {
    let legs: Vec<Leg> = to.legs.iter().chain(&from.legs).copied().collect();
    Between { length_mm: length_mm(&legs) + to.point.distance(from.point), legs }
}

fn length_mm(legs: &[Leg]) -> f64 {
    legs.iter().map(|leg| (leg.to_mm - leg.from_mm).abs()).sum()
}

/// Where the feeds or the vents of the heating join the circuit.
fn junctions(site: &Site<'_>, service: Service) -> Vec<Junction> {
    let of_run = |number: usize| {
        let joints = site.joints(number).iter().filter(|joint| CIRCUIT.contains(&site.run(joint.other).service));
        let by_pipe: Vec<Junction> = joints
            .map(|joint| Junction {
                run: number,
                at_mm: joint.at_mm,
                joins: Joins::Pipe(joint.other, joint.other_at_mm),
            })
            .collect();
        let on_boiler = |end: WhichEnd| {
            let End::Port(part, _) = site.run(number).end(end) else { return None };
            let boiler = site.layout().boilers.iter().position(|boiler| boiler.id == *part)?;
            let at_mm = site.end_along(number, end)?;
            let point = site.line(number)?.point_at(at_mm);
            Some(Junction { run: number, at_mm, joins: Joins::Boiler(boiler, point) })
        };
        by_pipe.into_iter().chain(WhichEnd::BOTH.into_iter().filter_map(on_boiler)).collect::<Vec<_>>()
    };
    site.runs_of(service).flat_map(|(number, _)| of_run(number)).collect()
}

/// For each place where a feed joins the circuit: the nearest place where a vent leaves it, and the way between.
fn nearest_vents<'j>(
    site: &Site<'_>,
    feeds: &'j [Junction],
    vents: &'j [Junction],
) -> Vec<(&'j Junction, &'j Junction, Between)> {
    let nearest = |feed: &'j Junction| {
        let ways = vents.iter().filter_map(|vent| Some((vent, feed.way_to(site, vent)?)));
        let (vent, between) = ways.min_by(|(_, a), (_, b)| a.length_mm.total_cmp(&b.length_mm))?;
        Some((feed, vent, between))
    };
    feeds.iter().filter_map(nearest).collect()
}

/// How far along the pipes each feed joins the circuit from where a vent leaves it; nothing where the water is known to
/// move by gravity.
#[must_use]
pub fn feed_to_vent(site: &Site<'_>) -> Vec<Reading> {
    let pumped = is_pumped(site);
    if pumped == Some(false) {
        return Vec::new();
    }
    let (feeds, vents) = (junctions(site, Service::PrimaryFeed), junctions(site, Service::PrimaryVent));
    let read = |(feed, vent, between): (&Junction, &Junction, Between)| {
        let (feed_id, vent_id) = (&site.run(feed.run).id, &site.run(vent.run).id);
        let reading = match pumped {
            None => Reading::untold(feed_id, WHETHER_PUMPED),
            Some(_) => Reading::mm(feed_id, site.taped(between.length_mm))
                .working(format!("along the pipes from feed to vent: {:.1} mm", between.length_mm)),
        };
        reading.along_with([vent_id]).between(Axis::Along, [feed.place(site), vent.place(site)])
    };
    nearest_vents(site, &feeds, &vents).into_iter().map(read).collect()
}

/// Whether no pump sits on the pipes between where each feed joins the circuit and where the nearest vent leaves it.
#[must_use]
pub fn feed_and_vent_on_one_side_of_pump(site: &Site<'_>) -> Vec<Reading> {
    if is_pumped(site) == Some(false) {
        return Vec::new();
    }
    let (feeds, vents) = (junctions(site, Service::PrimaryFeed), junctions(site, Service::PrimaryVent));
    let read = |(feed, vent, between): (&Junction, &Junction, Between)| {
        let (feed_id, vent_id) = (&site.run(feed.run).id, &site.run(vent.run).id);
        let (yes, no) = ("no pump between feed and vent", "a pump between feed and vent");
        let reading = match site.in_the_way(&between.legs, |_, fitting| fitting.kind == InLineKind::Pump) {
            InTheWay::Fitting { run, at_mm, .. } => {
                let run = &site.run(run).id;
                Reading::fact(feed_id, Some(false), yes, no, "").at(Place::of(run, Feature::Along(at_mm)))
            }
            InTheWay::Untold(run) => {
                let find_out = format!("see whether there is a pump in the {}", site.run(run).id.spoken());
                Reading::untold(feed_id, find_out)
            }
            InTheWay::Nothing => Reading::fact(feed_id, Some(true), yes, no, "").at(feed.place(site)),
        };
        reading.along_with([vent_id])
    };
    nearest_vents(site, &feeds, &vents).into_iter().map(read).collect()
}

/// How far the cold water line of each feed-and-expansion cistern lies above the highest of the pipes in which its water
/// goes round; nothing where that is known to move by gravity.
#[must_use]
pub fn water_over_circuit(site: &Site<'_>) -> Vec<Reading> {
    let pumped = is_pumped(site);
    if pumped == Some(false) {
        return Vec::new();
    }
    let runs: Vec<usize> =
        CIRCUIT.into_iter().flat_map(|service| site.runs_of(service)).map(|(number, _)| number).collect();
    let of_runs = site.expansion_cisterns_of(&runs);
    let read = |cistern: &Cistern| {
        let is_its = |of: &Option<&Cistern>| of.is_some_and(|of| of.id == cistern.id);
        let its: Vec<usize> = runs.iter().zip(&of_runs).filter(|(_, of)| is_its(of)).map(|(run, _)| *run).collect();
        let Top { run, along_mm, level_mm } = top_of(site, &its)?;
        let run = &site.run(run).id;
        let Some(water) = cistern.water_level() else { return Some(untold_water_line(cistern, run)) };
        if pumped.is_none() {
            return Some(Reading::untold(&cistern.id, WHETHER_PUMPED).along_with([run]));
        }
        let places = [Place::of(run, Feature::Along(along_mm)), Place::of(&cistern.id, Feature::WaterLine)];
        let over = site.level(water) - site.taped(level_mm);
        Some(Reading::mm(&cistern.id, over).along_with([run]).between(Axis::Upright, places).working(format!(
            "cold water line {:.1} − highest pipe of the circuit {level_mm:.1} = {:.1} mm",
            water.to_mm(),
            over.value
        )))
    };
    site.expansion_cisterns().filter_map(read).collect()
}

/// How far the cold water line of the feed-and-expansion cistern lies above the highest pipe on each boiler that it feeds.
#[must_use]
pub fn water_over_boiler(site: &Site<'_>) -> Vec<Reading> {
    let read = |boiler: &Boiler| {
        let pipes = site.attached(&boiler.id).iter().filter(|pipe| CIRCUIT.contains(&site.run(pipe.run).service));
        let ends = pipes.filter_map(|pipe| Some((pipe, site.end_along(pipe.run, pipe.end)?)));
        let level_mm = |run: usize, at_mm: f64| site.line(run).map(|line| line.point_at(at_mm).y);
        let levels = ends.filter_map(|(pipe, at_mm)| Some((pipe, level_mm(pipe.run, at_mm)?)));
        let (pipe, level_mm) = levels.max_by(|(_, a), (_, b)| a.total_cmp(b))?;
        let cistern = site.expansion_cisterns_of(&[pipe.run])[0]?;
        let Some(water) = cistern.water_level() else { return Some(untold_water_line(cistern, &boiler.id)) };
        let places =
            [Place::of(&boiler.id, Feature::Port(pipe.port.clone())), Place::of(&cistern.id, Feature::WaterLine)];
        let over = site.level(water) - site.taped(level_mm);
        Some(Reading::mm(&boiler.id, over).along_with([&cistern.id]).between(Axis::Upright, places).working(format!(
            "cold water line {:.1} − boiler's {} connection {level_mm:.1} = {:.1} mm",
            water.to_mm(),
            pipe.port.as_str(),
            over.value
        )))
    };
    site.layout().boilers.iter().filter_map(read).collect()
}

fn untold_water_line(cistern: &Cistern, other: &Id) -> Reading {
    Reading::untold(&cistern.id, measure_cold_line(cistern)).along_with([other])
}
