//! Measures of cylinders: their height below the cistern, their cold feed, what heats them, the lagging on their pipes.

use std::cell::LazyCell;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

use foldhash::HashSet;

use super::free_ways::{Asked, FreeWays, any_of};
use super::reading::{WRITTEN_WITHIN_MM, tenths_mm, written_mm};
use super::{
    Attachment, Axis, Feature, Fitted, Heating, Leg, Place, Reading, Room, Site, find_out, has_untold_coil, heating_of,
    room,
};
use crate::geom::is_same_place;
use crate::layout::{COLD_INLET, Cistern, Cylinder, End, INLET, Id, InLineKind, PartRef, Service, WhichEnd};
use crate::units::Measured;

/// How far lagging on a pipe at a cylinder is followed: past this nobody asks.
const FOLLOWED_MM: f64 = 1000.0;
/// Shorter than this is no stretch of pipe.
const NOTHING_MM: f64 = 1e-6;

/// Height from each cylinder's top up to the base of the cistern that feeds it.
#[must_use]
pub fn below_cistern(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cylinder: &Cylinder| {
        let Some(cistern) = feeding_cistern(site, cylinder) else {
            return Reading::untold(&cylinder.id, find_out::COLD_FEED);
        };
        let height = site.level(cistern.at.z) - site.level(cylinder.top());
        let places = [Place::of(&cylinder.id, Feature::Top), Place::of(&cistern.id, Feature::Base)];
        let working = format!(
            "base of cistern {} − top of cylinder {} = {} mm",
            written_mm(cistern.at.z.to_mm()),
            written_mm(cylinder.top().to_mm()),
            tenths_mm(height.value)
        );
        let reading = Reading::mm(&cylinder.id, height)
            .along_with([&cistern.id])
            .with_room(Room::Above, room::above_cistern_mm(site, cistern))
            .with_room(Room::Below, room::below_cylinder_mm(site, cylinder))
            .between(Axis::Upright, places);
        let is_dry = cistern.surface().is_some_and(|water| water.to_mm() < cylinder.top().to_mm());
        let dry =
            is_dry.then_some("the water line stands below the top of the cylinder: no water rises to its draw-off");
        dry.into_iter().fold(reading.working(working), Reading::working)
    };
    site.layout().cylinders.iter().map(reading).collect()
}

/// The cistern that feeds a cylinder; a lone storage cistern when the cold feed is not drawn.
fn feeding_cistern<'a>(site: &'a Site<'_>, cylinder: &Cylinder) -> Option<&'a Cistern> {
    site.cistern_of(cylinder).or_else(|| {
        let mut storage = site.storage_cisterns();
        match (storage.next(), storage.next(), site.layout().cylinders.len()) {
            (Some(only), None, 1) => Some(only),
            _ => None,
        }
    })
}

/// One reading for the cold feed of each cylinder; what to find out where it is not drawn.
fn for_cold_feeds(site: &Site<'_>, measure: impl Fn(&Cylinder, &[Leg]) -> Option<Reading>) -> Vec<Reading> {
    let reading = |cylinder: &Cylinder| match site.cold_feed_path(cylinder) {
        Some((_, _, path)) => measure(cylinder, path),
        None => Some(Reading::untold(&cylinder.id, find_out::COLD_FEED)),
    };
    site.layout().cylinders.iter().filter_map(reading).collect()
}

/// A fitting on a path.
#[derive(Clone, Copy)]
struct Found {
    run: usize,
    level_mm: f64,
    at_mm: f64,
}

/// What is known of the fittings on a path.
struct Fittings {
    /// Those that were told, in the order of the path.
    found: Vec<Found>,
    /// What to find out, when nobody has told the fittings of one of the runs.
    untold: Option<String>,
}

fn fittings_on(site: &Site<'_>, path: &[Leg], wanted: impl Fn(InLineKind) -> bool) -> Fittings {
    let mut known = Fittings { found: Vec::new(), untold: None };
    for leg in path {
        let Some(fittings) = site.fitted(leg.run) else {
            known.untold.get_or_insert_with(|| find_out::valves(&site.run(leg.run).id));
            continue;
        };
        let Some(line) = site.line(leg.run) else { continue };
        let begun = known.found.len();
        let on_leg = fittings.iter().filter(|fitting| wanted(fitting.kind) && leg.holds(fitting.at_mm));
        known.found.extend(on_leg.map(|&Fitted { at_mm, .. }| Found {
            run: leg.run,
            level_mm: line.point_at(at_mm).y,
            at_mm,
        }));
        if leg.from_mm > leg.to_mm {
            known.found[begun..].reverse();
        }
    }
    known
}

fn run_of_feed<'a>(site: &Site<'a>, path: &[Leg]) -> &'a Id {
    &site.run(path[0].run).id
}

/// Whether each cylinder's cold feed has a full-way valve that no other pipe leads round.
#[must_use]
pub fn cold_feed_valve(site: &Site<'_>) -> Vec<Reading> {
    let ways = LazyCell::new(|| ways_of_stored_cold(site, InLineKind::shuts));
    for_cold_feeds(site, |cylinder, path| {
        let subject = run_of_feed(site, path);
        let Fittings { found, untold } = fittings_on(site, path, InLineKind::is_full_way);
        let yes = "a full-way valve";
        let reading = match untold {
            // One that is known of is enough, as long as nothing leads round it.
            Some(find_out) if found.is_empty() => Reading::untold(subject, find_out),
            _ if found.is_empty() => Reading::no(subject, "no full-way valve"),
            _ => {
                let leads_round = leads_round_valves(site, cylinder, &ways);
                let no = "a full-way valve that another pipe leads round";
                let runs = site.runs_from(&cylinder.id, COLD_INLET, &STORED_COLD);
                let untold = runs.into_iter().find(|run| site.run(*run).fittings.is_none()).unwrap_or(path[0].run);
                let leads_round = leads_round.ok_or_else(|| find_out::valves(&site.run(untold).id));
                Reading::fact(subject, leads_round.map(|leads| !leads), yes, no)
            }
        };
        Some(reading.along_with([&cylinder.id]))
    })
}

/// Services that bring stored cold water.
const STORED_COLD: [Service; 2] = [Service::ColdFeed, Service::ColdDistribution];

/// Where stored cold water comes to without a fitting of some kind.
fn ways_of_stored_cold(site: &Site<'_>, without: fn(InLineKind) -> bool) -> FreeWays {
    let storage = site.storage_cisterns();
    let holes = storage.flat_map(|cistern| site.attached(&cistern.id)).filter(|pipe| pipe.port.as_str() != INLET);
    let begin: Vec<(usize, f64)> =
        holes.filter_map(|pipe| Some((pipe.run, site.end_along(pipe.run, pipe.end)?))).collect();
    let asked = Asked { through: &STORED_COLD, without, onward: |_, _, _| Vec::new() };
    FreeWays::from(site, &begin, asked)
}

/// Whether one of those ways leads into a cylinder's cold inlet; `None` where that hangs on what nobody has told.
fn leads_round_valves(site: &Site<'_>, cylinder: &Cylinder, ways: &FreeWays) -> Option<bool> {
    let inlets = site.attached(&cylinder.id).iter().filter(|pipe| pipe.port.as_str() == COLD_INLET);
    any_of(inlets.map(|pipe| ways.lead_to(pipe.run, pipe.end)))
}

/// Height of the cold feed's full-way valve above the top of each cylinder.
#[must_use]
pub fn cold_feed_valve_above_cylinder(site: &Site<'_>) -> Vec<Reading> {
    for_cold_feeds(site, |cylinder, path| {
        let Fittings { found, untold } = fittings_on(site, path, InLineKind::is_full_way);
        let Some(Found { run, level_mm, at_mm }) = found.into_iter().max_by(|a, b| a.level_mm.total_cmp(&b.level_mm))
        else {
            return untold.map(|find_out| Reading::untold(run_of_feed(site, path), find_out));
        };
        // A valve higher up may still be told of, and would decide.
        let id = &site.run(run).id;
        let height = site.taped(level_mm) - site.level(cylinder.top());
        let places = [Place::of(&cylinder.id, Feature::Top), Place::of(id, Feature::Along(at_mm))];
        let reading = Reading::mm(id, height).along_with([&cylinder.id]).between(Axis::Upright, places).unless(untold);
        Some(reading.working(format!(
            "valve {} − top of cylinder {} = {} mm",
            tenths_mm(level_mm),
            written_mm(cylinder.top().to_mm()),
            tenths_mm(height.value)
        )))
    })
}

/// Height of the cold feed's drain cock above the feed's lowest point. What is on the cistern's side of a valve does not
/// count: with that valve shut, it does not empty the cylinder. A drain cock may sit on a branch of the feed; water stands
/// in the feed up to the highest point of that branch.
#[must_use]
pub fn cold_feed_drain(site: &Site<'_>) -> Vec<Reading> {
    for_cold_feeds(site, |cylinder, path| {
        let subject = run_of_feed(site, path);
        let lowest = site.points_of(path).into_iter().min_by(|a, b| a.y.total_cmp(&b.y))?;
        let is_drain = |kind| kind == InLineKind::DrainCock;
        let near = short_of_valve(site, path);
        let Fittings { found: mut drains, untold } = fittings_on(site, &near, is_drain);
        let mut untold_branch = None;
        for branch in site.branches_of_feed(cylinder, &near) {
            let (last, before) = (branch[branch.len() - 1], &branch[..branch.len() - 1]);
            let on_branch = fittings_on(site, &[last], is_drain);
            // Only where no other drain cock is known of does it matter what is in a branch.
            untold_branch = untold_branch.or(on_branch.untold);
            drains.extend(on_branch.found.into_iter().map(|drain| {
                let to_drain = [before, &[Leg { to_mm: drain.at_mm, ..last }]].concat();
                let way = site.points_of(&to_drain);
                Found { level_mm: way.iter().fold(drain.level_mm, |top, point| top.max(point.y)), ..drain }
            }));
        }
        if let Some(find_out) = untold.or(untold_branch.filter(|_| drains.is_empty())) {
            return Some(Reading::untold(subject, find_out));
        }
        let Some(Found { run, level_mm, at_mm }) = drains.into_iter().min_by(|a, b| a.level_mm.total_cmp(&b.level_mm))
        else {
            let beyond = !fittings_on(site, path, is_drain).found.is_empty();
            let missing = if beyond { "no drain cock between valve and cylinder" } else { "no drain cock" };
            return Some(Reading::missing(subject, missing).along_with([&cylinder.id]));
        };
        let id = &site.run(run).id;
        let height = site.taped(level_mm - lowest.y);
        Some(Reading::mm(id, height).along_with([&cylinder.id]).at(Place::of(id, Feature::Along(at_mm))).working(
            format!(
                "drain cock {} − lowest point {} = {} mm",
                tenths_mm(level_mm),
                tenths_mm(lowest.y),
                tenths_mm(height.value)
            ),
        ))
    })
}

/// A path from a cylinder as far as the last valve on it that can be shut, since those before it may stay open; all of it
/// where there is none.
fn short_of_valve(site: &Site<'_>, path: &[Leg]) -> Vec<Leg> {
    let last_on = |leg: &Leg| fittings_on(site, &[*leg], InLineKind::shuts).found.last().copied();
    let last = path.iter().enumerate().rev().find_map(|(number, leg)| Some((number, last_on(leg)?)));
    match last {
        None => path.to_vec(),
        Some((number, valve)) => [&path[..number], &[Leg { to_mm: valve.at_mm, ..path[number] }]].concat(),
    }
}

/// Whether each cylinder's cold feed is free of non-return valves.
#[must_use]
pub fn cold_feed_free_to_expand(site: &Site<'_>) -> Vec<Reading> {
    let ways = LazyCell::new(|| ways_of_stored_cold(site, |kind| kind == InLineKind::NonReturnValve));
    for_cold_feeds(site, |cylinder, path| {
        let subject = run_of_feed(site, path);
        let (yes, no) = ("no non-return valve", "a non-return valve");
        let Fittings { found, untold } = fittings_on(site, path, |kind| kind == InLineKind::NonReturnValve);
        let leads_round = || leads_round_valves(site, cylinder, &ways);
        let reading = match (found.first(), untold) {
            (Some(_), _) if leads_round() == Some(true) => Reading::yes(subject, yes),
            (Some(&Found { run, at_mm, .. }), _) => {
                Reading::no(&site.run(run).id, no).at(Place::of(&site.run(run).id, Feature::Along(at_mm)))
            }
            (None, Some(find_out)) => Reading::untold(subject, find_out),
            (None, None) => Reading::yes(subject, yes),
        };
        Some(reading.along_with([&cylinder.id]))
    })
}

/// Whether each cylinder's cold feed serves no outlets. Several cylinders may hang on one.
#[must_use]
pub fn cold_feed_unshared(site: &Site<'_>) -> Vec<Reading> {
    for_cold_feeds(site, |cylinder, path| {
        let runs = site.runs_from(&cylinder.id, COLD_INLET, &[Service::ColdFeed]);
        let hangs_on_it = |other: &&Cylinder| {
            let on_inlet = |pipe: &Attachment<'_>| pipe.port.as_str() == COLD_INLET && runs.contains(&pipe.run);
            other.id != cylinder.id && site.attached(&other.id).iter().any(on_inlet)
        };
        let others: Vec<&Id> =
            site.layout().cylinders.iter().filter(hangs_on_it).map(|cylinder| &cylinder.id).collect();
        let yes = if others.is_empty() {
            "a cold feed that serves the cylinder alone"
        } else {
            "a cold feed that serves cylinders alone"
        };
        let no = "a cold feed that serves outlets as well";
        let reading = match other_use_of_feed(site, path, &runs) {
            Some((run, at_mm, other)) => Reading::no(&site.run(run).id, no)
                .along_with([other])
                .at(Place::of(&site.run(run).id, Feature::Along(at_mm))),
            None => Reading::yes(run_of_feed(site, path), yes),
        };
        Some(reading.along_with([&cylinder.id]).along_with(others))
    })
}

/// Where something else than a cylinder is fed by a cold feed: the run, how far along it, and what takes water there.
/// Two pipes on one hole of the cistern are told by the height of their connections.
fn other_use_of_feed<'a>(site: &Site<'a>, path: &[Leg], runs: &[usize]) -> Option<(usize, f64, &'a Id)> {
    let is_feed = |run: &usize| site.run(*run).service == Service::ColdFeed;
    if let Some(leg) = path.iter().find(|leg| !is_feed(&leg.run)) {
        return Some((leg.run, leg.from_mm, &site.run(leg.run).id));
    }
    runs.iter().find_map(|&run| {
        let on_cistern = |at_mm: f64| {
            WhichEnd::BOTH.into_iter().any(|end| {
                let is_here = |end_mm| is_same_place(end_mm, at_mm);
                site.cistern_at(site.run(run).end(end)).is_some() && site.end_along(run, end).is_some_and(is_here)
            })
        };
        let branch = site
            .joints(run)
            .iter()
            .find(|joint| site.run(joint.other).service == Service::ColdDistribution && !on_cistern(joint.at_mm));
        let outlet = WhichEnd::BOTH.into_iter().find_map(|end| match site.part_at(site.run(run).end(end))? {
            PartRef::Outlet(outlet) => Some((run, site.end_along(run, end)?, &outlet.id)),
            _ => None,
        });
        branch.map(|joint| (run, joint.at_mm, &site.run(joint.other).id)).or(outlet)
    })
}

/// What heats each cylinder.
#[must_use]
pub fn heating(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cylinder: &Cylinder| {
        let find_out = match cylinder.coil {
            _ if has_untold_coil(site, cylinder) => COIL_OR_STORED,
            Some(true) => "draw the flow and the return from the boiler to its coil",
            _ => "find what heats it: an immersion heater, a coil, or a boiler on direct tappings",
        };
        Reading::choice(&cylinder.id, heating_of(site, cylinder).map(Heating::words).ok_or(find_out))
    };
    site.layout().cylinders.iter().map(reading).collect()
}

pub(super) const COIL_OR_STORED: &str = "find whether the heating pipes go to a coil or into the stored water";

/// How far each pipe on a cylinder is insulated from the cylinder on, against how far it can be seen within a metre.
#[must_use]
pub fn pipe_insulation(site: &Site<'_>) -> Vec<Reading> {
    let mut readings = Vec::new();
    for cylinder in &site.layout().cylinders {
        for attachment in site.attached(&cylinder.id) {
            let Some(entered_mm) = site.end_along(attachment.run, attachment.end) else { continue };
            let lagged = follow_lagging(site, *attachment, &cylinder.id, entered_mm);
            readings.push(lagged.reading(&site.run(attachment.run).id, &cylinder.id, entered_mm, attachment.port));
        }
    }
    readings
}

/// What has been seen of the lagging, going outward from the cylinder.
struct Lagged<'a> {
    /// How far pipe was followed, at most.
    needed_mm: f64,
    /// Distance from the cylinder at which the first bare stretch begins, mm, and the run of which it is.
    bare: Option<(f64, &'a Id)>,
    /// A run whose lagging nobody has told.
    untold: Option<&'a Id>,
}

impl<'a> Lagged<'a> {
    /// Takes note of where a run is bare.
    fn see_bare(&mut self, distance_mm: f64, run: &'a Id) {
        if self.bare.is_none_or(|nearest| distance_mm < nearest.0) {
            self.bare = Some((distance_mm, run));
        }
    }

    fn reading(&self, run: &Id, cylinder: &Id, entered_mm: f64, port: &Id) -> Reading {
        let at_port = Place::of(cylinder, Feature::Port(port.clone()));
        if let Some(untold) = self.untold {
            return Reading::untold(run, find_out::insulation(untold)).along_with([cylinder]).at(at_port);
        }
        let covered_mm = self.bare.map_or(self.needed_mm, |bare| bare.0);
        // Lagging is judged by eye along the pipe, not by tape.
        let reading = Reading::mm(run, Measured::exact(covered_mm))
            .along_with([cylinder])
            .against(Measured::exact(self.needed_mm))
            .between(Axis::Along, [at_port, Place::of(run, Feature::Along(entered_mm))])
            .working(format!(
                "insulated without a gap for {covered_mm:.0} mm of the {:.0} mm that can be seen within a metre of the cylinder",
                self.needed_mm
            ));
        match self.bare {
            Some((_, bare)) => {
                reading.along_with([bare]).working(format!("the first bare pipe is the {}", bare.spoken()))
            }
            None => reading,
        }
    }
}

/// Follows a run both ways from where it was entered, and what joins it, to a metre from the cylinder
/// or to the wall, floor or ceiling where it disappears.
///
/// Other runs on the same port have readings of their own and are not followed from here.
fn follow_lagging<'a>(site: &Site<'a>, start: Attachment<'_>, cylinder: &Id, entered_mm: f64) -> Lagged<'a> {
    let on_the_port = |run: usize| {
        let on_it = |end: &End| matches!(end, End::Port(part, port) if part == cylinder && port == start.port);
        on_it(&site.run(run).from) || on_it(&site.run(run).to)
    };
    let mut lagged = Lagged { needed_mm: 0.0, bare: None, untold: None };
    let mut seen = HashSet::default();
    // The nearest first, so that a run is entered by the shortest way: lengths are never negative, so their bits are in the
    // order of their values.
    let mut to_follow = BinaryHeap::from([Reverse((0, start.run, entered_mm.to_bits()))]);
    while let Some(Reverse((travelled_bits, run, entered_bits))) = to_follow.pop() {
        let (travelled_mm, entered_mm) = (f64::from_bits(travelled_bits), f64::from_bits(entered_bits));
        let Some(line) = site.line(run).filter(|_| seen.insert(run)) else { continue };
        if site.run(run).insulation.is_none() {
            lagged.untold.get_or_insert(&site.run(run).id);
            continue;
        }
        for (sign, room_mm) in [(1.0, line.length() - entered_mm), (-1.0, entered_mm)] {
            let far_mm = (FOLLOWED_MM - travelled_mm).min(room_mm);
            if far_mm <= NOTHING_MM {
                continue;
            }
            let hidden = hidden_after(site, run, entered_mm, sign, far_mm);
            let seen_mm = hidden.unwrap_or(far_mm);
            let covered_mm = site.run(run).lagged_from_mm(entered_mm, entered_mm + sign * seen_mm);
            lagged.needed_mm = lagged.needed_mm.max(travelled_mm + seen_mm);
            if let Some(covered_mm) = covered_mm.filter(|covered_mm| *covered_mm < seen_mm) {
                lagged.see_bare(travelled_mm + covered_mm, &site.run(run).id);
            }
            for joint in site.joints(run) {
                let away_mm = (joint.at_mm - entered_mm) * sign;
                let in_sight = away_mm >= -NOTHING_MM && away_mm <= seen_mm + NOTHING_MM;
                let goes_on = in_sight && hidden.is_none_or(|end_mm| away_mm < end_mm) && !on_the_port(joint.other);
                if goes_on && !seen.contains(&joint.other) {
                    let travelled_mm = travelled_mm + away_mm.max(0.0);
                    to_follow.push(Reverse((travelled_mm.to_bits(), joint.other, joint.other_at_mm.to_bits())));
                }
            }
        }
    }
    lagged
}

/// Distance at which a run goes through a wall, floor or ceiling, if it does within `far_mm`.
fn hidden_after(site: &Site<'_>, run: usize, start_mm: f64, sign: f64, far_mm: f64) -> Option<f64> {
    let line = site.line(run)?;
    let points = line.between(start_mm, start_mm + sign * far_mm);
    let building = site.building();
    let floors = building.storeys.iter().map(|storey| storey.floor.to_mm());
    let levels: Vec<f64> = floors.chain(building.ceiling.map(|ceiling| ceiling.underside.to_mm())).collect();
    let mut travelled_mm = 0.0;
    for pair in points.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let length_mm = a.distance(b);
        let through_level = levels.iter().filter_map(|level| crossing(a.y, b.y, *level));
        let through_wall = building.walls.iter().filter_map(|wall| {
            let near = if a.x < b.x { wall.x.to_mm() } else { wall.x.to_mm() + wall.thickness.to_mm() };
            let share = crossing(a.x, b.x, near)?;
            let z = a.y + (b.y - a.y) * share;
            (z >= wall.foot.to_mm() && z <= wall.head.to_mm()).then_some(share)
        });
        if let Some(share) = through_level.chain(through_wall).min_by(f64::total_cmp) {
            return Some(travelled_mm + share * length_mm);
        }
        travelled_mm += length_mm;
    }
    None
}

/// The share of the way from `a` to `b` at which `level` is crossed or come to; starting on it does not count.
fn crossing(a_mm: f64, b_mm: f64, level_mm: f64) -> Option<f64> {
    let (below_mm, above_mm) = (level_mm - WRITTEN_WITHIN_MM, level_mm + WRITTEN_WITHIN_MM);
    let is_crossed = (a_mm < below_mm && b_mm >= below_mm) || (a_mm > above_mm && b_mm <= above_mm);
    is_crossed.then(|| ((level_mm - a_mm) / (b_mm - a_mm)).min(1.0))
}
