//! What tube is made of where the water in it may boil, and where it was made for something else.

use foldhash::HashSet;

use super::leg::length_mm;
use super::shortest::Ways;
use super::{Feature, Place, Reading, Site};
use crate::catalogue::TubeMaterial;
use crate::layout::{Boiler, BoilerKind, Id, Run, Service};

/// What each vent is made of, and the hot pipe off which it rises, and each pipe of a heating that a back boiler heats. Of a
/// boiler whose kind nobody has told, only where that decides.
#[must_use]
pub fn where_water_may_boil(site: &Site<'_>) -> Vec<Reading> {
    let way_of_vents = way_of_vents(site);
    let lets_steam_out = |number: usize, run: &Run| run.service.is_vent() || way_of_vents.contains(&number);
    let read = |(number, run): (usize, &Run)| {
        let reading = Reading::choice(&run.id, run.material.map(TubeMaterial::words).ok_or_else(|| tell_material(run)));
        match fire_of(site, number) {
            Some(Fire::Told(boiler)) => Some(reading.along_with([boiler])),
            None if lets_steam_out(number, run) => Some(reading),
            Some(Fire::Perhaps(boiler)) if lets_steam_out(number, run) => Some(reading.along_with([boiler])),
            Some(Fire::Perhaps(boiler)) => {
                let kind =
                    format!("see what kind of boiler {} is: a back boiler has no plastic pipe", boiler.with_article());
                // Copper is right whatever heats it.
                let decides = run.material != Some(TubeMaterial::Copper);
                decides.then(|| reading.unless(Some(kind)).along_with([boiler]))
            }
            None => None,
        }
    };
    site.layout().runs.iter().enumerate().filter_map(read).collect()
}

/// The runs by which the vents of cylinders rise, by their numbers.
fn way_of_vents(site: &Site<'_>) -> HashSet<usize> {
    let ways = site.layout().cylinders.iter().flat_map(|cylinder| site.vent_paths(cylinder));
    ways.flatten().map(|leg| leg.run).collect()
}

fn tell_material(run: &Run) -> String {
    format!("see what {} is made of", run.id.with_article())
}

/// A fire that cannot be turned off, by its boiler.
enum Fire<'a> {
    Told(&'a Id),
    /// Nobody has told what kind of boiler it is.
    Perhaps(&'a Id),
}

/// The fire that heats the primary water in a run.
fn fire_of<'a>(site: &'a Site<'_>, run: usize) -> Option<Fire<'a>> {
    let heating = site.heatings().iter().find(|heating| heating.holds(run))?;
    let of_kind = |kind: Option<BoilerKind>| heating.boilers(site).find(|boiler| boiler.kind == kind);
    let told = of_kind(Some(BoilerKind::BackBoiler)).map(|boiler| Fire::Told(&boiler.id));
    told.or_else(|| of_kind(None).map(|boiler| Fire::Perhaps(&boiler.id)))
}

/// How far along its pipes the nearest plastic tube begins from each boiler, mm; of a back boiler all of its pipes are
/// asked for. A tube whose material nobody has told may be plastic.
#[must_use]
pub fn plastic_from_boilers(site: &Site<'_>) -> Vec<Reading> {
    let boilers = site.layout().boilers.iter();
    let asked = boilers.filter(|boiler| boiler.kind != Some(BoilerKind::BackBoiler));
    asked.filter_map(|boiler| plastic_from(site, boiler)).collect()
}

fn plastic_from(site: &Site<'_>, boiler: &Boiler) -> Option<Reading> {
    let pipes = site.attached(&boiler.id).iter().filter(|pipe| site.run(pipe.run).service.is_primary());
    let begin: Vec<(usize, f64)> = pipes.filter_map(|pipe| site.end_of(pipe)).collect();
    if begin.is_empty() {
        return None;
    }
    let ways = Ways::from(site, begin.clone(), &Service::PRIMARY);
    // Where a run is met first: on the boiler, or at one of its tees.
    let met = |run: usize| {
        let on_boiler = begin.iter().filter(|(own, _)| *own == run).map(|(_, at_mm)| (*at_mm, 0.0));
        let joints = site.joints(run).iter().filter_map(|joint| {
            let way = ways.to(run, joint.at_mm)?;
            Some((joint.at_mm, length_mm(&way)))
        });
        on_boiler.chain(joints).min_by(|a, b| a.1.total_cmp(&b.1))
    };
    let nearest = |is_meant: &dyn Fn(Option<TubeMaterial>) -> bool| {
        let runs = site.layout().runs.iter().enumerate();
        let meant = runs.filter(|(_, run)| run.service.is_primary() && is_meant(run.material));
        let met = meant.filter_map(|(number, run)| Some((run, met(number)?)));
        met.min_by(|a, b| a.1.1.total_cmp(&b.1.1))
    };
    let reading_of = |(run, (at_mm, away_mm)): (&Run, (f64, f64))| {
        let place = Place::of(&run.id, Feature::Along(at_mm));
        Reading::mm(&boiler.id, site.taped(away_mm)).along_with([&run.id]).at(place)
    };
    let plastic = nearest(&|material| material.is_some_and(|material| material != TubeMaterial::Copper));
    let untold = nearest(&|material| material.is_none());
    match (plastic, untold) {
        (Some(plastic), Some((run, at))) if at.1 < plastic.1.1 => {
            Some(reading_of(plastic).at_worst(tell_material(run), reading_of((run, at))))
        }
        (Some(plastic), _) => Some(reading_of(plastic)),
        (None, Some((run, _))) => Some(Reading::untold(&boiler.id, tell_material(run)).along_with([&run.id])),
        (None, None) => None,
    }
}

/// Whether what is made for overflows serves as one. What may boil is asked for metal.
#[must_use]
pub fn overflow_tube(site: &Site<'_>) -> Vec<Reading> {
    let runs = site.layout().runs.iter().enumerate();
    let made_for_overflows = runs.filter(|(_, run)| run.material == Some(TubeMaterial::OverflowPlastic));
    let way_of_vents = way_of_vents(site);
    let may_boil = |number: usize, run: &Run| {
        run.service.is_vent() || way_of_vents.contains(&number) || matches!(fire_of(site, number), Some(Fire::Told(_)))
    };
    let read = |(number, run): (usize, &Run)| match run.service {
        Service::WarningPipe => Some(Reading::yes(&run.id, "overflow tube in a warning pipe")),
        _ if may_boil(number, run) => None,
        _ => Some(Reading::no(&run.id, "overflow tube in a pipe that stands full of water")),
    };
    made_for_overflows.filter_map(read).collect()
}
