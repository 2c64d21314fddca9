//! Measures of distribution pipes, and of the valves that isolate what they serve.

use super::unbranched::{Stretch, has_any, untold};
use super::{Attachment, Axis, Feature, Fitted, Leg, Place, Reading, Site, find_out};
use crate::layout::{BoilerKind, COLD, End, HOT, INLET, Id, InLineKind, MAINS, OutletKind, Service, WhichEnd};

/// Whether each cold distribution pipe has a full-way valve of its own, before anything branches off.
#[must_use]
pub fn distribution_valve(site: &Site<'_>) -> Vec<Reading> {
    let reading = |(cistern, pipe): (&Id, Attachment<'_>)| {
        let run = &site.run(pipe.run).id;
        let way = site.fittings_before_branch(pipe.run, pipe.end, InLineKind::is_full_way);
        let holds = has_any(&way).ok_or_else(|| find_out::valves(&site.run(untold(&way).unwrap_or(pipe.run)).id));
        let no = if site.ends_in_branch(&way) { "no full-way valve before it branches" } else { "no full-way valve" };
        let reading = Reading::fact(run, holds, "a full-way valve", no);
        anywhere(site, pipe, &way, reading).along_with([cistern])
    };
    distribution_pipes(site).into_iter().map(reading).collect()
}

/// Whether a pipe has a valve, near or far; where it has none, what goes on beyond the drawing may.
fn anywhere(site: &Site<'_>, pipe: Attachment<'_>, way: &[Stretch], reading: Reading) -> Reading {
    match (nearest_mm(way), site.goes_on_before_branch(pipe.run, pipe.end)) {
        (Some(away_mm), _) => reading.working(valve_away(away_mm)),
        (None, goes_on) => reading.unless(goes_on.map(|(_, find_out)| find_out)),
    }
}

/// Whether a pipe has a valve, against how far off it is; where it has none and may go on beyond the drawing, against how
/// much of it is drawn; mm.
fn nearby(site: &Site<'_>, pipe: Attachment<'_>, way: &[Stretch], reading: Reading) -> Reading {
    match (nearest_mm(way), site.goes_on_before_branch(pipe.run, pipe.end)) {
        (Some(away_mm), _) => reading.against(site.taped(away_mm)).working(valve_away(away_mm)),
        (None, Some((drawn_mm, find_out))) => reading.against(site.taped(drawn_mm)).but_for(Some(find_out)),
        (None, None) => reading,
    }
}

fn valve_away(away_mm: f64) -> String {
    format!("the nearest valve is {away_mm:.0} mm away along the pipe")
}

/// How far off the nearest fitting on a way is, mm.
fn nearest_mm(way: &[Stretch]) -> Option<f64> {
    way.iter().find_map(|stretch| {
        let fittings = stretch.fittings.iter().flatten();
        fittings.map(|fitting| stretch.away_mm(fitting)).min_by(f64::total_cmp)
    })
}

/// Whether a pipe by which water leaves a cistern can be shut before its first branch. A link is shut for both of its
/// cisterns at once, and has its valve wherever that is.
pub(super) fn outlet_valve(site: &Site<'_>, cistern: &Id, pipe: Attachment<'_>) -> Reading {
    let (reading, way) = any_valve(site, &site.run(pipe.run).id, pipe);
    let looks = if site.run(pipe.run).service == Service::Link { anywhere } else { nearby };
    looks(site, pipe, &way, reading).along_with([cistern])
}

/// Whether something shuts a pipe before its first branch, and the way that was looked at.
fn any_valve(site: &Site<'_>, subject: &Id, pipe: Attachment<'_>) -> (Reading, Vec<Stretch>) {
    let way = site.fittings_before_branch(pipe.run, pipe.end, InLineKind::shuts);
    let in_run = &site.run(untold(&way).unwrap_or(pipe.run)).id;
    let holds =
        has_any(&way).ok_or_else(|| format!("see whether there is a service valve in {}", in_run.with_article()));
    let no = if site.ends_in_branch(&way) { "no service valve before it branches" } else { "no service valve" };
    (Reading::fact(subject, holds, "a service valve", no), way)
}

/// Length of pipe from the cistern to the full-way valve of each cold distribution pipe.
#[must_use]
pub fn distribution_valve_distance(site: &Site<'_>) -> Vec<Reading> {
    let pipes = distribution_pipes(site).into_iter();
    pipes.filter_map(|(cistern, pipe)| valve_distance(site, cistern, pipe, InLineKind::is_full_way)).collect()
}

/// Length of pipe from each float valve back to the nearest valve that shuts it.
#[must_use]
pub fn float_valve_service_valve_distance(site: &Site<'_>) -> Vec<Reading> {
    let cisterns = site.layout().cisterns.iter();
    let inlets = cisterns.flat_map(|cistern| site.on_port(&cistern.id, INLET).map(move |pipe| (&cistern.id, *pipe)));
    inlets.filter_map(|(cistern, pipe)| valve_distance(site, cistern, pipe, InLineKind::shuts)).collect()
}

/// The valve that turns off the main to a float valve and the least besides: the nearest back along its pipe, before
/// anything branches off; or else on the way to where the main comes in, where that is drawn once. Its run, and its number
/// in it.
#[must_use]
pub fn valve_in_main_to(site: &Site<'_>, cistern: &Id) -> Option<(usize, usize)> {
    const MAIN: [Service; 1] = [Service::RisingMain];
    let pipe = site.attached_of(cistern, Service::RisingMain).find(|pipe| pipe.port.as_str() == INLET)?;
    let before_branch = site.fittings_before_branch(pipe.run, pipe.end, InLineKind::shuts);
    let nearest = before_branch.iter().find_map(|stretch| nearest_on(stretch.leg, stretch.fittings.as_deref()?));
    if nearest.is_some() {
        return nearest;
    }
    let reach = site.reach(cistern, INLET, &MAIN);
    let leads_in = |(run, end): &(usize, WhichEnd)| matches!(site.run(*run).end(*end), End::Onward(_));
    let ends = reach.order.iter().flat_map(|run| WhichEnd::BOTH.map(|end| (*run, end)));
    let mut ends = ends.filter(leads_in);
    let (Some((run, end)), None) = (ends.next(), ends.next()) else { return None };
    let way = reach.path_to(run, site.end_along(run, end)?);
    way.into_iter().find_map(|leg| {
        let valves = site.fitted(leg.run)?.iter().filter(|fitting| fitting.kind.shuts() && leg.holds(fitting.at_mm));
        nearest_on(leg, &valves.copied().collect::<Vec<_>>())
    })
}

/// Of some fittings the one that is met first on a leg: its run, and its number in it.
fn nearest_on(leg: Leg, fittings: &[Fitted]) -> Option<(usize, usize)> {
    let nearest = fittings.iter().min_by(|a, b| leg.away_mm(a.at_mm).total_cmp(&leg.away_mm(b.at_mm)))?;
    Some((leg.run, nearest.number))
}

/// Length of pipe from a cistern to the nearest valve of a sort, before anything branches off; nothing where there is none.
fn valve_distance(
    site: &Site<'_>,
    cistern: &Id,
    pipe: Attachment<'_>,
    wanted: impl Fn(InLineKind) -> bool,
) -> Option<Reading> {
    let run = &site.run(pipe.run).id;
    let mut way = site.fittings_before_branch(pipe.run, pipe.end, wanted).into_iter();
    // The first that has one decides, unless something before it is not told.
    let stretch = way.find(|stretch| stretch.fittings.as_ref().is_none_or(|valves| !valves.is_empty()))?;
    let in_run = &site.run(stretch.leg.run).id;
    let Some(valves) = &stretch.fittings else {
        return Some(Reading::untold(run, find_out::valves(in_run)));
    };
    let nearest = valves.iter().min_by(|a, b| stretch.away_mm(a).total_cmp(&stretch.away_mm(b)))?;
    let distance = site.taped(stretch.away_mm(nearest));
    let places =
        [Place::of(cistern, Feature::Port(pipe.port.clone())), Place::of(in_run, Feature::Along(nearest.at_mm))];
    Some(
        Reading::mm(run, distance)
            .along_with([cistern])
            .between(Axis::Along, places)
            .working(format!("along the pipe from the cistern: {:.0} mm", distance.value)),
    )
}

fn distribution_pipes<'a>(site: &Site<'a>) -> Vec<(&'a Id, Attachment<'a>)> {
    let cisterns = site.storage_cisterns();
    cisterns
        .flat_map(|cistern| {
            // What ends on the float valve leads water to the cistern.
            let pipes = site.attached_of(&cistern.id, Service::ColdDistribution);
            pipes.filter(|pipe| pipe.port.as_str() != INLET).map(move |pipe| (&cistern.id, pipe))
        })
        .collect()
}

/// Whether each appliance that needs a service valve has one in every pipe that ends on it.
#[must_use]
pub fn appliance_service_valve(site: &Site<'_>) -> Vec<Reading> {
    let layout = site.layout();
    let supplied = |kind: OutletKind| -> &[&str] {
        match kind {
            OutletKind::Wc | OutletKind::WashingMachine | OutletKind::Dishwasher => &[COLD, HOT],
            // Its hot port is where the water leaves it.
            OutletKind::WaterHeater => &[COLD],
            OutletKind::Basin | OutletKind::Sink | OutletKind::Bath | OutletKind::Shower => &[],
        }
    };
    let outlets = layout.outlets.iter().map(|outlet| (&outlet.id, supplied(outlet.kind)));
    let outlets = outlets.filter(|(_, ports)| !ports.is_empty());
    let on_mains = |id: &Id| site.has_pipe_on(id, MAINS);
    let boilers = layout.boilers.iter().filter(|boiler| match boiler.kind {
        Some(kind) => kind == BoilerKind::Combination,
        None => on_mains(&boiler.id),
    });
    let boilers = boilers.map(|boiler| (&boiler.id, [MAINS].as_slice()));
    outlets.chain(boilers).flat_map(|(id, ports)| service_valves_of(site, id, ports)).collect()
}

/// One reading for each pipe on the ports by which an appliance is supplied.
fn service_valves_of(site: &Site<'_>, appliance: &Id, ports: &[&str]) -> Vec<Reading> {
    let supplies = site.attached(appliance).iter().filter(|pipe| ports.contains(&pipe.port.as_str()));
    let readings: Vec<_> = supplies.map(|pipe| service_valve(site, appliance, Some(*pipe))).collect();
    if readings.is_empty() { vec![service_valve(site, appliance, None)] } else { readings }
}

/// Whether the pipe that ends on an appliance can be shut for that appliance alone.
pub(super) fn service_valve(site: &Site<'_>, appliance: &Id, pipe: Option<Attachment<'_>>) -> Reading {
    let Some(pipe) = pipe else {
        return Reading::untold(appliance, format!("draw the pipe that supplies {}", appliance.with_article()));
    };
    let (reading, way) = any_valve(site, appliance, pipe);
    reading.along_with([&site.run(pipe.run).id]).workings(nearest_mm(&way).map(valve_away))
}
