//! Whether each back boiler has an open vent at all: its fire goes on heating when everything else stops.

use super::cylinder::COIL_OR_STORED;
use super::free_ways::{Asked, FreeWays};
use super::heatings::CIRCUIT;
use super::primary_ways::{direct_tappings, pipes_of};
use super::{Reading, Site, find_out, has_untold_coil};
use crate::layout::{
    Boiler, BoilerKind, COIL_FLOW, COIL_RETURN, End, FLOW, Id, PartRef, RETURN, Run, Service, WhichEnd,
};

/// Services of the pipes by which a boiler may let out: what is called an open vent does so as well on a pipe of the heating.
const LETTING_OUT: [Service; 5] =
    [Service::PrimaryFlow, Service::PrimaryReturn, Service::PrimaryVent, Service::PrimaryFeed, Service::OpenVent];

/// Whether pipes lead from each back boiler to the open end of a vent, whatever sits in them, or to the stored water of a
/// cylinder, whose vent lets out then; of a boiler whose kind nobody has told only where that decides. Before its flow and
/// return are drawn to their ends, or where a vent is drawn that leads from no boiler, nobody has told.
#[must_use]
pub fn open_vent(site: &Site<'_>) -> Vec<Reading> {
    let reading = |(boiler, told): (&Boiler, Result<bool, String>)| {
        let is_of_untold_kind = boiler.kind.is_none();
        if is_of_untold_kind && told != Ok(false) {
            return None;
        }
        let tell_kind =
            || format!("see what kind of boiler {} is: a back boiler needs an open vent", boiler.id.with_article());
        let reading = Reading::fact(&boiler.id, told, "an open vent", "no open vent");
        Some(reading.unless(is_of_untold_kind.then(tell_kind)))
    };
    told_of_vents(site).into_iter().filter_map(reading).collect()
}

/// The back boilers that have no open vent for certain. That is a fault by itself, and nothing else is asked of that vent.
pub(super) fn without_vent<'a>(site: &Site<'a>) -> Vec<&'a Id> {
    let is_certain = |(boiler, told): &(&Boiler, Result<bool, String>)| boiler.kind.is_some() && *told == Ok(false);
    told_of_vents(site).into_iter().filter(is_certain).map(|(boiler, _)| &boiler.id).collect()
}

/// Each boiler that may be a back boiler, and whether it has an open vent, or what to find out before that is known.
fn told_of_vents<'a>(site: &Site<'a>) -> Vec<(&'a Boiler, Result<bool, String>)> {
    let boilers: Vec<&'a Boiler> = site.layout().boilers.iter().filter(|boiler| may_be_back_boiler(boiler)).collect();
    if boilers.is_empty() {
        return Vec::new();
    }
    let vents = [Service::PrimaryVent, Service::OpenVent].into_iter().flat_map(|service| site.runs_of(service));
    let mouths = vents.filter_map(|(number, _)| Some((number, site.mouth_along(number)?)));
    let ways_out: Vec<(usize, f64)> = mouths.chain(direct_tappings(site)).collect();
    let asked = Asked { through: &LETTING_OUT, without: |_| false, onward: straight_through_boiler };
    let ways = FreeWays::from(site, &ways_out, asked);
    let loose_vent = loose_vent(site);
    let told = |boiler: &'a Boiler| {
        let leads =
            pipes_of(site, boiler, &LETTING_OUT).iter().any(|pipe| ways.lead_to(pipe.run, pipe.end) != Some(false));
        let still_open = || loose_vent.map(draw_to_boiler).or_else(|| still_to_draw(site, boiler));
        let told = if leads { Ok(true) } else { still_open().map_or(Ok(false), Err) };
        (boiler, told)
    };
    boilers.into_iter().map(told).collect()
}

pub(super) const fn may_be_back_boiler(boiler: &Boiler) -> bool {
    matches!(boiler.kind, Some(BoilerKind::BackBoiler) | None)
}

/// The pipes on the other port of a boiler.
fn straight_through_boiler(site: &Site<'_>, part: &Id, port: &Id) -> Vec<(usize, WhichEnd)> {
    let other = match (site.part(part), port.as_str()) {
        (Some(PartRef::Boiler(_)), FLOW) => RETURN,
        (Some(PartRef::Boiler(_)), RETURN) => FLOW,
        _ => return Vec::new(),
    };
    site.on_port(part, other).map(|pipe| (pipe.run, pipe.end)).collect()
}

/// A vent of the heating that is drawn and leads from no boiler.
fn loose_vent<'a>(site: &Site<'a>) -> Option<&'a Run> {
    let is_boiler = |end: &End| matches!(site.part_at(end), Some(PartRef::Boiler(_)));
    let leads_from_one = |body: &Vec<usize>| body.iter().any(|run| site.run(*run).ends().into_iter().any(is_boiler));
    let bodies = site.bodies_of(&LETTING_OUT).into_iter();
    let loose = bodies.filter(|body| !leads_from_one(body)).flatten();
    loose.map(|run| site.run(run)).find(|run| run.service == Service::PrimaryVent)
}

fn draw_to_boiler(vent: &Run) -> String {
    format!("draw {} back to the boiler that it lets out", vent.id.with_article())
}

/// What is to be drawn of the pipes on a boiler, or found out, before there is known to be no vent.
fn still_to_draw(site: &Site<'_>, boiler: &Boiler) -> Option<String> {
    let pipes = pipes_of(site, boiler, &LETTING_OUT);
    let has = |service| pipes.iter().any(|pipe| site.run(pipe.run).service == service);
    if !CIRCUIT.into_iter().all(has) {
        return Some(format!("draw flow and return of {}, and its vent", boiler.id.with_article()));
    }
    let begin = pipes.iter().filter_map(|pipe| Some((pipe.run, site.end_along(pipe.run, pipe.end)?)));
    let runs = site.reach_from(begin, &LETTING_OUT).order;
    let ends = || runs.iter().flat_map(|run| WhichEnd::BOTH.map(|end| (*run, end)));
    let unfinished = |(run, end): (usize, WhichEnd)| {
        let id = &site.run(run).id;
        match site.run(run).end(end) {
            End::Onward(_) => Some(find_out::rest_of_run(id)),
            End::Open(_) if !site.is_joined_at_end(run, end) => {
                Some(format!("draw {} to where it leads", id.with_article()))
            }
            _ => None,
        }
    };
    let may_be_stored = |(run, end): (usize, WhichEnd)| match site.run(run).end(end) {
        End::Port(part, port) if matches!(port.as_str(), COIL_FLOW | COIL_RETURN) => {
            matches!(site.part(part), Some(PartRef::Cylinder(cylinder)) if has_untold_coil(site, cylinder))
        }
        _ => false,
    };
    ends().find_map(unfinished).or_else(|| ends().any(may_be_stored).then(|| COIL_OR_STORED.to_owned()))
}
