//! Whether something else hangs on the cold feed of a cylinder.

use super::cold_feeds::{for_cold_feeds, run_of_feed};
use super::{Feature, Leg, Place, Reading, Site};
use crate::layout::{COLD_INLET, Cylinder, Id, PartRef, Service, WhichEnd};

/// Whether each cylinder's cold feed serves no outlets. Several cylinders may hang on one.
#[must_use]
pub fn unshared(site: &Site<'_>) -> Vec<Reading> {
    for_cold_feeds(site, |cylinder, path| {
        let runs = site.runs_from(&cylinder.id, COLD_INLET, &[Service::ColdFeed]);
        let hangs_on_it = |other: &&Cylinder| {
            other.id != cylinder.id && site.on_port(&other.id, COLD_INLET).any(|pipe| runs.contains(&pipe.run))
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
        let on_cistern =
            |at_mm: f64| site.ends_at(run, at_mm).any(|end| site.cistern_at(site.run(run).end(end)).is_some());
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
