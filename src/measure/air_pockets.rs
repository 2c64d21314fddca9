//! Air that stays in the high points of pipes: in the heatings, and how wide the pipes are that meet there.

use super::draining::{Body, Spot};
use super::heatings::CIRCUIT;
use super::{Feature, Place, Reading, Site, find_out};
use crate::geom::{ONE_JOINT_MM, SAME_PLACE_MM};
use crate::layout::{End, Id, Service, WhichEnd};
use crate::num::lowest_passes;
use crate::units::Measured;

/// For each feed of a heating: how deep its worst pocket of air is, mm, against the narrowest bore of the pipes that meet
/// there. Air leaves it by its cistern, and where it joins other pipes of the heating or the boiler: from there the vent
/// lets it out.
#[must_use]
pub fn in_primary_feeds(site: &Site<'_>) -> Vec<Reading> {
    let of = [Service::PrimaryFeed];
    site.bodies_of(&of).iter().flat_map(|runs| in_body(site, runs, &of)).collect()
}

/// The same for each flow and return of a heating that is open to the air. Air leaves them where a vent or a feed joins, and
/// through the boiler, the coil and the radiators beyond the drawing, which are bled by cocks of their own (common practice,
/// no source).
#[must_use]
pub fn in_open_heatings(site: &Site<'_>) -> Vec<Reading> {
    let mut bodies = site.bodies_of(&CIRCUIT);
    bodies.retain(|runs| site.heatings().iter().any(|heating| heating.holds(runs[0]) && heating.is_open(site)));
    bodies.iter().flat_map(|runs| in_body(site, runs, &CIRCUIT)).collect()
}

/// Of joined pipes of some services.
fn in_body(site: &Site<'_>, runs: &[usize], of: &[Service]) -> Vec<Reading> {
    let body = Body::of(site, runs);
    let places = body.places();
    let depths_mm: Vec<f64> = places.iter().map(|place| -place.level_mm).collect();
    let pockets_mm = |lets_out: &dyn Fn(&Spot) -> bool| -> Vec<f64> {
        let ends = (0..places.len()).filter(|place| lets_out(&places[*place]));
        let lowest_mm = lowest_passes(&depths_mm, |place| &places[place].beside, ends);
        let pocket_mm = |(place, lowest_mm): (&Spot, f64)| {
            let is_high = place.beside.iter().all(|beside| places[*beside].level_mm <= place.level_mm);
            if is_high && lowest_mm.is_finite() { (place.level_mm + lowest_mm).max(0.0) } else { 0.0 }
        };
        places.iter().zip(lowest_mm).map(pocket_mm).collect()
    };
    let as_drawn = pockets_mm(&|place| lets_air_out(site, place, of));
    let beyond = pockets_mm(&|place| lets_air_out(site, place, of) || goes_on_at(site, place));
    let met_by = |place: usize| {
        let Spot { run, along_mm, .. } = places[place];
        let here = site.joints(run).iter().filter(move |joint| (joint.at_mm - along_mm).abs() < ONE_JOINT_MM);
        here.map(|joint| joint.other)
    };
    let in_bores = |place: usize| {
        let bore_mm = narrowest_bore_mm(site, met_by(place).chain([places[place].run]));
        as_drawn[place] / bore_mm.unwrap_or(1.0)
    };
    let reading = |run: usize| {
        let own = (0..places.len()).filter(|place| places[*place].run == run);
        let worst = own.reduce(|worst, place| if in_bores(place) > in_bores(worst) { place } else { worst })?;
        let (id, at_mm) = (&site.run(run).id, places[worst].along_mm);
        if as_drawn[worst] != beyond[worst] {
            let rest = runs.iter().map(|run| site.run(*run)).find(|run| run.goes_on()).unwrap_or(site.run(run));
            let place = Place::of(id, Feature::Along(at_mm));
            return Some(Reading::untold(id, find_out::rest_of_run(&rest.id)).along_with([&rest.id]).at(place));
        }
        let met_by: Vec<Id> = met_by(worst).map(|other| site.run(other).id.clone()).collect();
        Some(pocket(site, id, &met_by, at_mm, as_drawn[worst]))
    };
    runs.iter().filter_map(|run| reading(*run)).collect()
}

/// Whether air gets out of pipes of some services at a place.
fn lets_air_out(site: &Site<'_>, place: &Spot, of: &[Service]) -> bool {
    let is_here = |at_mm: f64| (at_mm - place.along_mm).abs() < SAME_PLACE_MM;
    let joins_others =
        site.joints(place.run).iter().any(|joint| is_here(joint.at_mm) && !of.contains(&site.run(joint.other).service));
    let lets_out = |end: WhichEnd| match site.run(place.run).end(end) {
        End::Port(..) => true,
        End::Open(_) => !site.is_joined_at_end(place.run, end),
        End::Onward(_) => of == CIRCUIT && !site.is_joined_at_end(place.run, end),
        End::Tee(..) => false,
    };
    joins_others || site.ends_at(place.run, place.along_mm).any(lets_out)
}

fn goes_on_at(site: &Site<'_>, place: &Spot) -> bool {
    let goes_on = |end: WhichEnd| {
        matches!(site.run(place.run).end(end), End::Onward(_)) && !site.is_joined_at_end(place.run, end)
    };
    site.ends_at(place.run, place.along_mm).any(goes_on)
}

/// The narrowest bore of some runs, mm, as far as bores are told.
pub fn narrowest_bore_mm(site: &Site<'_>, runs: impl Iterator<Item = usize>) -> Option<f64> {
    runs.filter_map(|run| Some(site.run(run).bore()?.to_mm())).reduce(f64::min)
}

/// A pocket of air in a run, so far along it and so deep, mm, against the narrowest bore of the runs that meet there.
#[must_use]
pub fn pocket(site: &Site<'_>, id: &Id, met_by: &[Id], at_mm: f64, depth_mm: f64) -> Reading {
    let place = Place::of(id, Feature::Along(at_mm));
    // Where no air stays, what meets there does not matter.
    let met_by = if depth_mm > 0.0 { met_by } else { &[] };
    let runs: Vec<usize> = std::iter::once(id).chain(met_by).filter_map(|run| site.run_number(run)).collect();
    let Some(bore_mm) = narrowest_bore_mm(site, runs.iter().copied()) else {
        return Reading::untold(id, find_out::material_and_size(id)).at(place);
    };
    let untold = runs.into_iter().map(|run| site.run(run)).find(|run| run.bore().is_none());
    let untold = untold.map(|run| find_out::material_and_size(&run.id));
    let reading = Reading::mm(id, site.taped(depth_mm)).against(Measured::exact(bore_mm)).but_for(untold);
    reading
        .along_with(met_by)
        .at(place)
        .working(format!("from its highest point, {at_mm:.0} mm along, air has to go down {depth_mm:.0} mm to get out"))
}
