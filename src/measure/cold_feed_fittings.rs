//! What sits in the cold feed of a cylinder: its full-way valve, its drain cock, non-return valves.

use std::cell::LazyCell;

use super::cold_feeds::{for_cold_feeds, run_of_feed};
use super::free_ways::{Asked, FreeWays, any_of};
use super::reading::{difference, tenths_mm, written_mm};
use super::{Axis, Feature, Fitted, Leg, Place, Reading, Site, find_out};
use crate::layout::{COLD_INLET, Cylinder, InLineKind, Service};

/// Whether each cylinder's cold feed has a full-way valve that no other pipe leads round.
#[must_use]
pub fn full_way_valve(site: &Site<'_>) -> Vec<Reading> {
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
                let runs = site.runs_from(&cylinder.id, COLD_INLET, &Service::STORED_COLD);
                let untold = runs.into_iter().find(|run| site.run(*run).fittings.is_none()).unwrap_or(path[0].run);
                let leads_round = leads_round.ok_or_else(|| find_out::valves(&site.run(untold).id));
                Reading::fact(subject, leads_round.map(|leads| !leads), yes, no)
            }
        };
        Some(reading.along_with([&cylinder.id]))
    })
}

/// Where stored cold water comes to without a fitting of some kind.
fn ways_of_stored_cold(site: &Site<'_>, without: fn(InLineKind) -> bool) -> FreeWays {
    let begin: Vec<(usize, f64)> = site.out_of_storage().collect();
    FreeWays::from(site, &begin, Asked::by_pipes(&Service::STORED_COLD, without))
}

/// Whether one of those ways leads into a cylinder's cold inlet; `None` where that hangs on what nobody has told.
fn leads_round_valves(site: &Site<'_>, cylinder: &Cylinder, ways: &FreeWays) -> Option<bool> {
    any_of(site.on_port(&cylinder.id, COLD_INLET).map(|pipe| ways.lead_to(pipe.run, pipe.end)))
}

/// Height of the cold feed's full-way valve above the top of each cylinder.
#[must_use]
pub fn valve_above_cylinder(site: &Site<'_>) -> Vec<Reading> {
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
        Some(reading.working(difference(
            ("valve", tenths_mm(level_mm)),
            ("top of cylinder", written_mm(cylinder.top().to_mm())),
            height,
        )))
    })
}

/// Height of the cold feed's drain cock above the feed's lowest point. What is on the cistern's side of a valve does not
/// count: with that valve shut, it does not empty the cylinder. A drain cock may sit on a branch of the feed; water stands
/// in the feed up to the highest point of that branch.
#[must_use]
pub fn drain_cock(site: &Site<'_>) -> Vec<Reading> {
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
            return Some(Reading::no(subject, missing).along_with([&cylinder.id]));
        };
        let id = &site.run(run).id;
        let height = site.taped(level_mm - lowest.y);
        Some(
            Reading::mm(id, height).along_with([&cylinder.id]).at(Place::of(id, Feature::Along(at_mm))).working(
                difference(("drain cock", tenths_mm(level_mm)), ("lowest point", tenths_mm(lowest.y)), height),
            ),
        )
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
pub fn free_to_expand(site: &Site<'_>) -> Vec<Reading> {
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
