//! Measures of heating that is open to the air: how its feed and its vent join it, and how much water stands over it.

use glam::DVec2;

use super::free_ways::InTheWay;
use super::heatings::{CIRCUIT, HeatingWater};
use super::primary::measure_cold_line;
use super::shortest::Ways;
use super::{Attachment, Axis, Feature, Leg, Place, Reading, Site};
use crate::layout::{Boiler, Cistern, End, Id, InLineKind, Service, WhichEnd};

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
        let pipes = site.attached(&boiler.id).iter().filter(|pipe| site.leads_through(pipe.run, &CIRCUIT));
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

/// Where a feed or a vent joins the circuit: at a pipe of it, at the boiler, or where a vent leaves what of it is part of
/// the way round.
fn junctions_of(site: &Site<'_>, run: usize) -> Vec<Junction> {
    let carried = site.carrying_stretches(run);
    if let (Some((first_mm, _)), Some((_, last_mm)), Some(line)) = (carried.first(), carried.last(), site.line(run)) {
        let dry = [*first_mm, *last_mm].into_iter().filter(|at_mm| *at_mm > 0.0 && *at_mm < line.length());
        return dry.map(|at_mm| Junction { run, at_mm, joins: Joins::Pipe(run, at_mm) }).collect();
    }
    let joints = site.joints(run).iter().filter(|joint| site.leads_through(joint.other, &CIRCUIT));
    let mut junctions: Vec<Junction> = joints
        .map(|joint| Junction { run, at_mm: joint.at_mm, joins: Joins::Pipe(joint.other, joint.other_at_mm) })
        .collect();
    for end in WhichEnd::BOTH {
        let End::Port(part, _) = site.run(run).end(end) else { continue };
        let boiler = site.layout().boilers.iter().position(|boiler| boiler.id == *part);
        let (Some(boiler), Some(at_mm), Some(line)) = (boiler, site.end_along(run, end), site.line(run)) else {
            continue;
        };
        // A pipe of the circuit on the same port is the same place.
        if junctions.iter().all(|junction| junction.at_mm != at_mm) {
            junctions.push(Junction { run, at_mm, joins: Joins::Boiler(boiler, line.point_at(at_mm)) });
        }
    }
    junctions
}

/// For each feed of the heatings in which only pumps move the water, as far as that is told: what `read` says of the place
/// where it joins and the nearest place where a vent leaves, or what is to be drawn. Where no vent is drawn nothing.
fn beside_vents(
    site: &Site<'_>,
    read: impl Fn(&HeatingWater, &Junction, &Junction, Between) -> Reading,
) -> Vec<Reading> {
    let of_heating = |heating: &HeatingWater| {
        // Of a feed that is drawn by itself nobody knows to which vent it belongs.
        let is_loose = heating.circuit(site).is_empty();
        let vents = site.runs_of(Service::PrimaryVent).map(|(run, _)| run);
        let vents = vents.filter(|run| is_loose || heating.runs.contains(run));
        let vents: Vec<Junction> = vents.flat_map(|run| junctions_of(site, run)).collect();
        let of_feed = |feed: usize| -> Vec<Reading> {
            let id = &site.run(feed).id;
            let joins = junctions_of(site, feed);
            let Some(first) = vents.first() else { return Vec::new() };
            if joins.is_empty() && site.run(feed).goes_on() {
                let find_out = format!("draw the {} on to where it joins the heating", id.spoken());
                return vec![Reading::untold(id, find_out).along_with([&site.run(first.run).id])];
            }
            let of_junction = |feed: &Junction| {
                let ways = vents.iter().filter_map(|vent| Some((vent, feed.way_to(site, vent)?)));
                let nearest = ways.min_by(|(_, a), (_, b)| a.length_mm.total_cmp(&b.length_mm));
                let Some((vent, between)) = nearest else {
                    let find_out = format!("draw the pipes and the boiler between the {} and the vent", id.spoken());
                    return Reading::untold(id, find_out).along_with([&site.run(first.run).id]);
                };
                read(heating, feed, vent, between).along_with([&site.run(vent.run).id])
            };
            joins.iter().map(of_junction).collect()
        };
        heating.runs_of(site, Service::PrimaryFeed).into_iter().flat_map(of_feed).collect::<Vec<_>>()
    };
    site.heatings().iter().filter(|heating| heating.pumped != Some(false)).flat_map(of_heating).collect()
}

/// How far along the pipes each feed joins the circuit from where a vent leaves it; nothing where some of the water is
/// known to move by gravity.
#[must_use]
pub fn feed_to_vent(site: &Site<'_>) -> Vec<Reading> {
    beside_vents(site, |heating, feed, vent, between| {
        let id = &site.run(feed.run).id;
        let reading = match heating.pumped {
            None => Reading::untold(id, WHETHER_PUMPED),
            Some(_) => Reading::mm(id, site.taped(between.length_mm))
                .working(format!("along the pipes from feed to vent: {:.1} mm", between.length_mm)),
        };
        reading.between(Axis::Along, [feed.place(site), vent.place(site)])
    })
}

/// Whether no pump sits on the pipes between where each feed joins the circuit and where the nearest vent leaves it.
#[must_use]
pub fn feed_and_vent_on_one_side_of_pump(site: &Site<'_>) -> Vec<Reading> {
    beside_vents(site, |_, feed, _, between| {
        let id = &site.run(feed.run).id;
        let (yes, no) = ("no pump between feed and vent", "a pump between feed and vent");
        match site.in_the_way(&between.legs, |_, fitting| fitting.kind == InLineKind::Pump) {
            InTheWay::Fitting { run, at_mm, .. } => {
                let run = &site.run(run).id;
                Reading::fact(id, Some(false), yes, no, "").at(Place::of(run, Feature::Along(at_mm)))
            }
            InTheWay::Untold(run) => {
                let find_out = format!("see whether there is a pump in the {}", site.run(run).id.spoken());
                Reading::untold(id, find_out)
            }
            InTheWay::Nothing => Reading::fact(id, Some(true), yes, no, "").at(feed.place(site)),
        }
    })
}

/// How far the cold water line of each feed-and-expansion cistern lies above the highest of the pipes in which its water
/// goes round; nothing where some of that is known to move by gravity.
#[must_use]
pub fn water_over_circuit(site: &Site<'_>) -> Vec<Reading> {
    let read = |heating: &HeatingWater| {
        let cistern = heating.cistern(site)?;
        let (run, along_mm, level_mm) = highest_of(site, &heating.circuit(site))?;
        let run = &site.run(run).id;
        let Some(water) = cistern.water_level() else { return Some(untold_water_line(cistern, run)) };
        if heating.pumped.is_none() {
            return Some(Reading::untold(&cistern.id, WHETHER_PUMPED).along_with([run]));
        }
        let places = [Place::of(run, Feature::Along(along_mm)), Place::of(&cistern.id, Feature::WaterLine)];
        let over = site.level(water) - site.taped(level_mm);
        let reading = Reading::mm(&cistern.id, over).along_with([run]).between(Axis::Upright, places);
        Some(reading.but_for(heating.rest_of_circuit(site)).working(format!(
            "cold water line {:.1} − highest pipe of the circuit {level_mm:.1} = {:.1} mm",
            water.to_mm(),
            over.value
        )))
    };
    site.heatings().iter().filter(|heating| heating.pumped != Some(false)).filter_map(read).collect()
}

/// The highest point of some pipes: which, how far along, and its level, mm.
fn highest_of(site: &Site<'_>, runs: &[usize]) -> Option<(usize, f64, f64)> {
    let lines = runs.iter().filter_map(|run| Some((*run, site.line(*run)?)));
    let points = lines.flat_map(|(run, line)| {
        let of_water = move |along_mm: &f64| match site.carrying_stretches(run) {
            [] => true,
            carried => carried.iter().any(|(from_mm, to_mm)| along_mm >= from_mm && along_mm <= to_mm),
        };
        let points = line.along().iter().zip(line.vertices()).filter(move |(along_mm, _)| of_water(along_mm));
        points.map(move |(along_mm, point)| (run, *along_mm, point.y))
    });
    points.max_by(|(.., a), (.., b)| a.total_cmp(b))
}

/// How far the cold water line of the feed-and-expansion cistern lies above the highest pipe on each boiler that it feeds.
#[must_use]
pub fn water_over_boiler(site: &Site<'_>) -> Vec<Reading> {
    let read = |heating: &HeatingWater, boiler: &Boiler| {
        let cistern = heating.cistern(site)?;
        let pipes = site.attached(&boiler.id).iter().filter(|pipe| heating.runs.contains(&pipe.run));
        let level_mm = |pipe: &Attachment<'_>| {
            let at_mm = site.end_along(pipe.run, pipe.end)?;
            Some(site.line(pipe.run)?.point_at(at_mm).y)
        };
        let levels = pipes.filter_map(|pipe| Some((pipe, level_mm(pipe)?)));
        let (pipe, level_mm) = levels.max_by(|(_, a), (_, b)| a.total_cmp(b))?;
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
    let of_heating = |heating: &HeatingWater| -> Vec<Reading> {
        heating.boilers(site).filter_map(|boiler| read(heating, boiler)).collect()
    };
    site.heatings().iter().flat_map(of_heating).collect()
}

fn untold_water_line(cistern: &Cistern, other: &Id) -> Reading {
    Reading::untold(&cistern.id, measure_cold_line(cistern)).along_with([other])
}
