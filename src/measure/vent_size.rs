//! How wide vents are: each by its narrowest piece all the way from what it lets out to the open end.

use foldhash::{HashMap, HashSet};

use super::leg::length_mm;
use super::reading::written_mm;
use super::shortest::Ways;
use super::{Feature, Leg, Place, Reading, Site, find_out};
use crate::geom::SAME_PLACE_MM;
use crate::layout::{Boiler, BoilerKind, Run, Service};
use crate::units::{Measured, Size};

/// Through what a vent of the heating may leave the boiler: a return lets out what boils as well as a flow does.
const OUT_OF_BOILER: [Service; 3] = [Service::PrimaryFlow, Service::PrimaryReturn, Service::PrimaryVent];

/// Outside diameter of each open vent: of its narrowest piece from the crown of each cylinder to the open end.
#[must_use]
pub fn of_open_vents(site: &Site<'_>) -> Vec<Reading> {
    let cylinders = site.layout().cylinders.iter();
    let ways: Vec<&[Leg]> = cylinders.flat_map(|cylinder| site.vent_paths(cylinder)).map(Vec::as_slice).collect();
    narrowest_of_each(site, Service::OpenVent, &ways)
}

/// Outside diameter of each primary vent: of its narrowest piece from the boiler to the open end.
#[must_use]
pub fn of_primary_vents(site: &Site<'_>) -> Vec<Reading> {
    let ways = ways_out_of_boilers(site);
    let ways: Vec<&[Leg]> = ways.iter().map(Vec::as_slice).collect();
    narrowest_of_each(site, Service::PrimaryVent, &ways)
}

/// For each vent of the heating the shortest way to its open end from the boiler that is nearest to it; and from a boiler
/// to which no vent is nearest the shortest way to any.
fn ways_out_of_boilers(site: &Site<'_>) -> Vec<Vec<Leg>> {
    let begin = |boiler: &Boiler| -> Vec<(usize, f64)> {
        let pipes = site.attached(&boiler.id).iter().filter(|pipe| site.leads_through(pipe.run, &Service::PRIMARY));
        pipes.filter_map(|pipe| site.end_of(pipe)).collect()
    };
    let boilers: Vec<Vec<(usize, f64)>> = site.layout().boilers.iter().map(begin).collect();
    let vents = site.runs_of(Service::PrimaryVent);
    let mouths: Vec<(usize, f64)> = vents.filter_map(|(run, _)| Some((run, site.mouth_along(run)?))).collect();
    let from_boilers = WaysOut::from(site, boilers.concat());
    let mut ways: Vec<Vec<Leg>> =
        mouths.iter().filter_map(|(run, mouth_mm)| from_boilers.to(*run, *mouth_mm)).collect();
    let has_one = |boiler: &Vec<(usize, f64)>| {
        let begins_here = |way: &Vec<Leg>| boiler.contains(&(way[0].run, way[0].from_mm));
        ways.iter().any(begins_here)
    };
    let without: Vec<&Vec<(usize, f64)>> = boilers.iter().filter(|boiler| !has_one(boiler)).collect();
    if without.is_empty() || mouths.is_empty() {
        return ways;
    }
    let from_mouths = WaysOut::from(site, mouths);
    let to_nearest = |boiler: &Vec<(usize, f64)>| {
        let back = boiler.iter().filter_map(|(run, at_mm)| from_mouths.to(*run, *at_mm));
        let mut nearest = back.min_by(|a, b| length_mm(a).total_cmp(&length_mm(b)))?;
        nearest.reverse();
        nearest.iter_mut().for_each(|leg| (leg.from_mm, leg.to_mm) = (leg.to_mm, leg.from_mm));
        Some(nearest)
    };
    ways.extend(without.into_iter().filter_map(to_nearest));
    ways
}

/// Those of them that begin at a boiler behind a fire.
pub(super) fn ways_out_of_fires(site: &Site<'_>) -> Vec<Vec<Leg>> {
    let fires = site.layout().boilers.iter().filter(|boiler| boiler.kind == Some(BoilerKind::BackBoiler));
    let begin: Vec<(usize, f64)> =
        fires.flat_map(|fire| site.attached(&fire.id)).filter_map(|pipe| site.end_of(pipe)).collect();
    if begin.is_empty() {
        return Vec::new();
    }
    let begins_there = |way: &Vec<Leg>| begin.contains(&(way[0].run, way[0].from_mm));
    ways_out_of_boilers(site).into_iter().filter(begins_there).collect()
}

/// Ways between boilers and the open ends of vents: by flow, return and vent where they lead there, else by a feed too.
struct WaysOut {
    by_circuit: Ways,
    by_feed: Ways,
}

impl WaysOut {
    fn from(site: &Site<'_>, begin: Vec<(usize, f64)>) -> Self {
        let by_circuit = Ways::from(site, begin.clone(), &OUT_OF_BOILER);
        Self { by_circuit, by_feed: Ways::from(site, begin, &Service::PRIMARY) }
    }

    fn to(&self, run: usize, to_mm: f64) -> Option<Vec<Leg>> {
        self.by_circuit.to(run, to_mm).or_else(|| self.by_feed.to(run, to_mm))
    }
}

/// One reading for each vent of a service: of all pipes on the ways that end in it; of itself where none does. A vent that
/// is carried on by another is judged with that.
fn narrowest_of_each(site: &Site<'_>, service: Service, ways: &[&[Leg]]) -> Vec<Reading> {
    let mut on_ways_to: HashMap<usize, Vec<usize>> = HashMap::default();
    let mut is_carried_on: HashSet<usize> = HashSet::default();
    for way in ways {
        let Some((last, before)) = way.split_last() else { continue };
        let pipes = on_ways_to.entry(last.run).or_default();
        // A tee at the end of a pipe, or across from another, leads through none of it.
        for leg in before.iter().filter(|leg| leg.length_mm() > SAME_PLACE_MM) {
            is_carried_on.insert(leg.run);
            if !pipes.contains(&leg.run) && leg.run != last.run {
                pipes.push(leg.run);
            }
        }
    }
    let reading = |(number, vent): (usize, &Run)| {
        let before = on_ways_to.get(&number);
        if before.is_none() && is_carried_on.contains(&number) {
            return None;
        }
        let before = before.into_iter().flatten().map(|run| site.run(*run));
        let mouth = Place::of(&vent.id, Feature::Along(site.mouth_along(number).unwrap_or(0.0)));
        Some(narrowest(vent, &before.collect::<Vec<_>>(), mouth))
    };
    site.runs_of(service).filter_map(reading).collect()
}

/// The narrowest of a vent and the pipes before it, as far as sizes are told.
fn narrowest(vent: &Run, before: &[&Run], mouth: Place) -> Reading {
    let all = || std::iter::once(vent).chain(before.iter().copied());
    let untold = all().find(|run| run.size.is_none()).map(|run| find_out::size(&run.id));
    let told = all().filter_map(|run| Some((run, run.size.map(Size::to_mm)?)));
    let reading = match told.min_by(|(_, a), (_, b)| a.total_cmp(b)) {
        Some((run, size_mm)) => {
            let place = if run.id == vent.id { mouth } else { Place::middle(&run.id) };
            let reading = Reading::mm(&vent.id, Measured::exact(size_mm)).at(place).but_for(untold);
            if before.is_empty() {
                reading
            } else {
                reading.working(format!(
                    "narrowest on the way: {}, outside diameter {} mm",
                    run.id.spoken(),
                    written_mm(size_mm)
                ))
            }
        }
        None => Reading::untold(&vent.id, find_out::size(&vent.id)).at(mouth),
    };
    reading.along_with(before.iter().map(|run| &run.id))
}
