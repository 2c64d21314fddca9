//! Measures of heating that is open to the air: how its feed and its vent join it, and how much water stands over it.

use glam::DVec2;

use super::free_ways::InTheWay;
use super::heatings::{CIRCUIT, HeatingWater};
use super::leg::length_mm;
use super::reading::{difference, tenths_mm};
use super::shortest::Ways;
use super::{Attachment, Axis, Feature, Leg, Place, Reading, Room, Site, find_out, room};
use crate::geom::SAME_PLACE_MM;
use crate::layout::{Boiler, Cistern, End, Id, InLineKind, Service, WhichEnd};

/// Ways through boilers are tried for so many of a heating: no house has more.
const MOST_BOILERS: usize = 16;

/// Where a feed or a vent joins the circuit.
#[derive(Clone, Copy)]
struct Junction {
    /// The run of the feed or vent, and how far along it this is, mm.
    run: usize,
    at_mm: f64,
    joins: Joins,
}

/// What is joined.
#[derive(Clone, Copy)]
enum Joins {
    /// A pipe of the circuit, so far along, mm.
    Pipe(usize, f64),
    /// The boiler itself, by its number, at a port of its own.
    Boiler(usize, DVec2),
}

/// The way of the water between a feed and a vent.
#[derive(Clone)]
struct Between {
    legs: Vec<Leg>,
    length_mm: f64,
}

/// A port of a boiler, through which the water comes to the others.
struct Door {
    boiler: usize,
    point: DVec2,
    /// The ways from here along the pipes; none at the end of a feed or vent.
    ways: Option<Ways>,
    /// The number of the nearest vent along the pipes, and the way to it.
    nearest: Option<(usize, Between)>,
}

/// The ways to the vents of one heating, from wherever a feed joins it.
struct WaysToVents<'v> {
    vents: &'v [Junction],
    by_pipes: Ways,
    doors: Vec<Door>,
}

impl Junction {
    fn place(&self, site: &Site<'_>) -> Place {
        Place::of(&site.run(self.run).id, Feature::Along(self.at_mm))
    }

    /// The way to here from where some ways begin.
    fn by(&self, ways: &Ways) -> Option<Between> {
        match self.joins {
            Joins::Pipe(run, at_mm) => ways.to(run, at_mm).map(|legs| Between { length_mm: length_mm(&legs), legs }),
            Joins::Boiler(..) => None,
        }
    }
}

impl<'v> WaysToVents<'v> {
    fn of(site: &Site<'_>, heating: &HeatingWater, vents: &'v [Junction], feeds: &[Junction]) -> Self {
        let begin = vents.iter().filter_map(|vent| match vent.joins {
            Joins::Pipe(run, at_mm) => Some((run, at_mm)),
            Joins::Boiler(..) => None,
        });
        let by_pipes = Ways::from(site, begin.collect(), &CIRCUIT);
        let mut doors: Vec<Door> = Vec::new();
        for boiler in heating.boiler_numbers().iter().copied().take(MOST_BOILERS) {
            doors.extend(ports_of(site, boiler, vents));
            let own = vents.iter().enumerate().map(|(number, vent)| (vent, Some(number)));
            for (junction, vent) in own.chain(feeds.iter().map(|feed| (feed, None))) {
                if let Joins::Boiler(joined, point) = junction.joins
                    && joined == boiler
                {
                    let nearest = vent.map(|vent| (vent, Between { legs: Vec::new(), length_mm: 0.0 }));
                    doors.push(Door { boiler, point, ways: None, nearest });
                }
            }
        }
        Self { vents, by_pipes, doors }
    }

    /// The nearest vent to a feed, by pipes or through a boiler, straight from port to port (assumption).
    fn nearest(&self, feed: &Junction) -> Option<(&'v Junction, Between)> {
        let by_pipes = feed.by(&self.by_pipes).and_then(|between| {
            let begin = between.legs.first()?;
            let is_there = |vent: &Junction| matches!(vent.joins, Joins::Pipe(run, at_mm) if run == begin.run && at_mm == begin.from_mm);
            Some((self.vents.iter().position(is_there)?, between))
        });
        let through = self.doors.iter().flat_map(|door| self.through(door, feed));
        let nearest = by_pipes.into_iter().chain(through).min_by(|(_, a), (_, b)| a.length_mm.total_cmp(&b.length_mm));
        nearest.map(|(vent, between)| (&self.vents[vent], between))
    }

    /// The ways from a feed to one port of a boiler, and out by another to the vent that is nearest there.
    fn through(&self, door: &Door, feed: &Junction) -> Vec<(usize, Between)> {
        let to_door = match (&door.ways, &feed.joins) {
            (Some(ways), _) => feed.by(ways),
            (None, Joins::Boiler(boiler, point)) if *boiler == door.boiler && *point == door.point => {
                Some(Between { legs: Vec::new(), length_mm: 0.0 })
            }
            _ => None,
        };
        let Some(to_door) = to_door else { return Vec::new() };
        let others = self.doors.iter().filter(|other| other.boiler == door.boiler && other.point != door.point);
        let out = |other: &Door| {
            let (vent, further) = other.nearest.as_ref()?;
            let straight_mm = door.point.distance(other.point);
            let legs = to_door.legs.iter().chain(&further.legs).copied().collect();
            Some((*vent, Between { legs, length_mm: to_door.length_mm + straight_mm + further.length_mm }))
        };
        others.filter_map(out).collect()
    }
}

/// The ports of a boiler with pipes of the circuit on them.
fn ports_of(site: &Site<'_>, boiler: usize, vents: &[Junction]) -> Vec<Door> {
    let id = &site.layout().boilers[boiler].id;
    let pipes = || site.attached(id).iter().filter(|pipe| site.leads_through(pipe.run, &CIRCUIT));
    let mut ports: Vec<&Id> = pipes().map(|pipe| pipe.port).collect();
    ports.sort_unstable();
    ports.dedup();
    let door = |port: &Id| {
        let on_port = pipes().filter(|pipe| pipe.port == port);
        let begin: Vec<(usize, f64)> = on_port.filter_map(|pipe| site.end_of(pipe)).collect();
        let (run, at_mm) = *begin.first()?;
        let point = site.line(run)?.point_at(at_mm);
        let ways = Ways::from(site, begin, &CIRCUIT);
        let to_vents = vents.iter().enumerate().filter_map(|(number, vent)| Some((number, vent.by(&ways)?)));
        let nearest = to_vents.min_by(|(_, a), (_, b)| a.length_mm.total_cmp(&b.length_mm));
        Some(Door { boiler, point, ways: Some(ways), nearest })
    };
    ports.into_iter().filter_map(door).collect()
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
        let vents = vents.filter(|run| is_loose || heating.holds(*run));
        let vents: Vec<Junction> = vents.flat_map(|run| junctions_of(site, run)).collect();
        let Some(first) = vents.first() else { return Vec::new() };
        let first_vent = &site.run(first.run).id;
        let feeds = heating.runs_of(site, Service::PrimaryFeed);
        let joins: Vec<Vec<Junction>> = feeds.iter().map(|feed| junctions_of(site, *feed)).collect();
        let all: Vec<Junction> = joins.iter().flatten().copied().collect();
        let ways = WaysToVents::of(site, heating, &vents, &all);
        let of_feed = |(feed, joins): (usize, Vec<Junction>)| -> Vec<Reading> {
            let id = &site.run(feed).id;
            if joins.is_empty() && site.run(feed).goes_on() {
                let find_out = format!("draw {} on to where it joins the heating", id.with_article());
                return vec![Reading::untold(id, find_out).along_with([first_vent])];
            }
            let of_junction = |feed: &Junction| match ways.nearest(feed) {
                Some((vent, between)) => read(heating, feed, vent, between).along_with([&site.run(vent.run).id]),
                None => {
                    let find_out =
                        format!("draw the pipes and the boiler between {} and the primary vent", id.with_article());
                    Reading::untold(id, find_out).along_with([first_vent])
                }
            };
            joins.iter().map(of_junction).collect()
        };
        feeds.into_iter().zip(joins).flat_map(of_feed).collect::<Vec<_>>()
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
            None => Reading::untold(id, find_out::WHETHER_PUMPED),
            Some(_) => Reading::mm(id, site.taped(between.length_mm))
                .working(format!("along the pipes from feed to vent: {:.1} mm", between.length_mm)),
        };
        reading.between(Axis::Along, [feed.place(site), vent.place(site)])
    })
}

/// Whether no pump sits on the pipes between where each feed joins the circuit and where the nearest vent leaves it, and the
/// vent does not leave it between the feed and a pump.
#[must_use]
pub fn feed_and_vent_on_one_side_of_pump(site: &Site<'_>) -> Vec<Reading> {
    beside_vents(site, |heating, feed, vent, between| {
        let id = &site.run(feed.run).id;
        let (yes, no) =
            ("no pump between primary feed and primary vent", "a pump between primary feed and primary vent");
        let no_order = "the primary vent between primary feed and pump";
        match site.in_the_way(&between.legs, |_, fitting| fitting.kind == InLineKind::Pump) {
            InTheWay::Fitting { run, at_mm, .. } => {
                let run = &site.run(run).id;
                Reading::no(id, no).at(Place::of(run, Feature::Along(at_mm)))
            }
            InTheWay::Untold(run) => {
                let find_out = format!("see whether there is a pump in {}", site.run(run).id.with_article());
                Reading::untold(id, find_out)
            }
            InTheWay::Nothing if is_on_way_to_pump(site, heating, feed, vent) => {
                Reading::no(id, no_order).at(vent.place(site))
            }
            InTheWay::Nothing => Reading::yes(id, yes).at(feed.place(site)),
        }
    })
}

/// Whether the water comes by where a vent leaves the circuit on the shortest way along the pipes from where a feed joins
/// it, elsewhere, to a pump.
fn is_on_way_to_pump(site: &Site<'_>, heating: &HeatingWater, feed: &Junction, vent: &Junction) -> bool {
    let (Joins::Pipe(feed_run, feed_mm), Joins::Pipe(vent_run, vent_mm)) = (feed.joins, vent.joins) else {
        return false;
    };
    let from_feed = Ways::from(site, vec![(feed_run, feed_mm)], &CIRCUIT);
    let is_elsewhere = from_feed.to(vent_run, vent_mm).is_some_and(|legs| length_mm(&legs) > SAME_PLACE_MM);
    let is_by_vent = |leg: &Leg| leg.run == vent_run && leg.holds(vent_mm);
    let comes_by_vent =
        |run: usize, pump_mm: f64| from_feed.to(run, pump_mm).is_some_and(|legs| legs.iter().any(is_by_vent));
    let mut pumps = heating.circuit(site).into_iter().flat_map(|run| {
        let fittings = site.fitted(run).unwrap_or_default().iter();
        fittings.filter(|fitting| fitting.kind == InLineKind::Pump).map(move |pump| (run, pump.at_mm))
    });
    is_elsewhere && pumps.any(|(run, pump_mm)| comes_by_vent(run, pump_mm))
}

/// How far the cold water line of each feed-and-expansion cistern lies above the highest of the pipes in which its water
/// goes round; nothing where some of that is known to move by gravity.
#[must_use]
pub fn water_over_circuit(site: &Site<'_>) -> Vec<Reading> {
    let read = |heating: &HeatingWater| {
        let cistern = heating.cistern(site)?;
        let (run, along_mm, level_mm) = highest_of(site, &heating.circuit(site))?;
        let run = &site.run(run).id;
        let Some(water) = cistern.surface() else { return Some(untold_water_line(cistern, run)) };
        if heating.pumped.is_none() {
            return Some(Reading::untold(&cistern.id, find_out::WHETHER_PUMPED).along_with([run]));
        }
        let places = [Place::of(run, Feature::Along(along_mm)), Place::of(&cistern.id, Feature::WaterLine)];
        let over = site.level(water) - site.taped(level_mm);
        let reading = Reading::mm(&cistern.id, over).along_with([run]).between(Axis::Upright, places);
        Some(reading.but_for(heating.rest_of_circuit(site)).working(difference(
            ("cold water line", tenths_mm(water.to_mm())),
            ("highest pipe of the circuit", tenths_mm(level_mm)),
            over,
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
        let pipes = site.attached(&boiler.id).iter().filter(|pipe| heating.holds(pipe.run));
        let level_mm = |pipe: &Attachment<'_>| {
            let at_mm = site.end_along(pipe.run, pipe.end)?;
            Some(site.line(pipe.run)?.point_at(at_mm).y)
        };
        let levels = pipes.filter_map(|pipe| Some((pipe, level_mm(pipe)?)));
        let (pipe, level_mm) = levels.max_by(|(_, a), (_, b)| a.total_cmp(b))?;
        let Some(water) = cistern.surface() else { return Some(untold_water_line(cistern, &boiler.id)) };
        let places =
            [Place::of(&boiler.id, Feature::Port(pipe.port.clone())), Place::of(&cistern.id, Feature::WaterLine)];
        let over = site.level(water) - site.taped(level_mm);
        let reading = Reading::mm(&boiler.id, over).along_with([&cistern.id]).between(Axis::Upright, places);
        let reading = reading.with_room(Room::Sink, room::boiler_over_floor_mm(site, boiler));
        let connection = format!("boiler's {} connection", pipe.port.as_str());
        let (upper, lower) = (("cold water line", tenths_mm(water.to_mm())), (&*connection, tenths_mm(level_mm)));
        Some(reading.working(difference(upper, lower, over)))
    };
    let of_heating = |heating: &HeatingWater| -> Vec<Reading> {
        heating.boilers(site).filter_map(|boiler| read(heating, boiler)).collect()
    };
    site.heatings().iter().flat_map(of_heating).collect()
}

fn untold_water_line(cistern: &Cistern, other: &Id) -> Reading {
    Reading::untold(&cistern.id, find_out::cold_water_line(&cistern.id)).along_with([other])
}
