//! The cold feed of each cylinder: the shortest way back to a cistern.

use foldhash::HashMap;

use super::leg::length_mm;
use super::shortest::Ways;
use super::{Leg, Reading, Site, find_out};
use crate::layout::{COLD_INLET, Cistern, Cylinder, End, INLET, Id, PartRef, Service, WhichEnd};

/// A cold feed.
pub(super) struct ColdFeed {
    /// The cistern from which it comes.
    cistern: Id,
    /// That cistern's port.
    port: Id,
    /// The path back to it.
    path: Vec<Leg>,
}

/// The cold feed of each cylinder that has one.
pub(super) type ColdFeeds = HashMap<Id, ColdFeed>;

/// The cold feeds of a layout. A feed that was taken from a cold distribution pipe is found as well.
pub(super) fn cold_feeds(site: &Site<'_>) -> ColdFeeds {
    let of = |cylinder: &Cylinder| {
        through(site, cylinder, &[Service::ColdFeed]).or_else(|| through(site, cylinder, &Service::STORED_COLD))
    };
    let cylinders = site.layout().cylinders.iter();
    cylinders.filter_map(|cylinder| Some((cylinder.id.clone(), of(cylinder)?))).collect()
}

fn through(site: &Site<'_>, cylinder: &Cylinder, services: &[Service]) -> Option<ColdFeed> {
    let begin = site.on_port(&cylinder.id, COLD_INLET).filter_map(|pipe| site.end_of(pipe)).collect();
    let ways = Ways::from(site, begin, services);
    let to_cistern = |(run, end): (usize, WhichEnd)| match site.run(run).end(end) {
        // What ends on a float valve fills that cistern.
        End::Port(part, port) if port.as_str() != INLET && matches!(site.part(part), Some(PartRef::Cistern(_))) => {
            let path = ways.to(run, site.end_along(run, end)?)?;
            Some(ColdFeed { cistern: part.clone(), port: port.clone(), path })
        }
        _ => None,
    };
    let in_reach = site.runs_from(&cylinder.id, COLD_INLET, services).into_iter();
    let found = in_reach.flat_map(|run| WhichEnd::BOTH.map(|end| (run, end))).filter_map(to_cistern);
    found.min_by(|a, b| length_mm(&a.path).total_cmp(&length_mm(&b.path)))
}

impl Site<'_> {
    /// The path of a cylinder's cold feed back to the cistern that feeds it, and that cistern's port.
    #[must_use]
    pub fn cold_feed_path(&self, cylinder: &Cylinder) -> Option<(&Cistern, &Id, &[Leg])> {
        let ColdFeed { cistern, port, path } = self.cold_feeds().get(&cylinder.id)?;
        match self.part(cistern)? {
            PartRef::Cistern(cistern) => Some((cistern, port, path)),
            _ => None,
        }
    }
}

/// One reading for the cold feed of each cylinder; what to find out where it is not drawn.
pub(super) fn for_cold_feeds(site: &Site<'_>, measure: impl Fn(&Cylinder, &[Leg]) -> Option<Reading>) -> Vec<Reading> {
    let reading = |cylinder: &Cylinder| match site.cold_feed_path(cylinder) {
        Some((_, _, path)) => measure(cylinder, path),
        None => Some(Reading::untold(&cylinder.id, find_out::COLD_FEED)),
    };
    site.layout().cylinders.iter().filter_map(reading).collect()
}

/// The run by which a cold feed comes to its cylinder.
pub(super) fn run_of_feed<'a>(site: &Site<'a>, path: &[Leg]) -> &'a Id {
    &site.run(path[0].run).id
}
