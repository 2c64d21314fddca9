//! Which hole of a cistern runs dry first: that of the hot water, or that of the cold.

use super::linked::{by_links, groups};
use super::reading::{tenths_mm, written_mm};
use super::{Axis, Feature, Place, Reading, Room, Site};
use crate::layout::{Cistern, Id, PartRef, Service, Tapping};
use crate::units::{Length, Measured};

/// A hole from which water is taken.
#[derive(Clone, Copy)]
struct Hole<'s> {
    cistern: &'s Cistern,
    port: &'s Id,
    /// Above the base of its cistern.
    height: Length,
}

impl Hole<'_> {
    fn level_mm(&self) -> f64 {
        (self.cistern.at.z + self.height).to_mm()
    }

    fn is_in_base(&self) -> bool {
        let hole = self.cistern.connections.iter().find(|hole| hole.port == *self.port);
        hole.is_some_and(|hole| matches!(hole.on, Tapping::Base(_)))
    }

    fn place(&self) -> Place {
        Place::of(&self.cistern.id, Feature::Port(self.port.clone()))
    }
}

/// How far the cylinder's cold feed leaves each cistern, or linked cisterns together, above the cold distribution pipe;
/// taps on the feed's own hole are left out, unless all of them are.
#[must_use]
pub fn cold_feed_above_distribution(site: &Site<'_>) -> Vec<Reading> {
    let storage = site.storage_cisterns();
    let alone = storage.filter(|cistern| by_links(site, cistern).len() == 1).map(|cistern| vec![cistern]);
    alone.chain(groups(site)).filter_map(|cisterns| between_holes(site, &cisterns)).collect()
}

fn between_holes(site: &Site<'_>, cisterns: &[&Cistern]) -> Option<Reading> {
    let by_level = |a: &Hole<'_>, b: &Hole<'_>| a.level_mm().total_cmp(&b.level_mm());
    let feeds = holes(site, cisterns, Service::ColdFeed);
    let is_feed =
        |hole: &Hole<'_>| feeds.iter().any(|feed| feed.cistern.id == hole.cistern.id && feed.port == hole.port);
    let colds = holes(site, cisterns, Service::ColdDistribution);
    // What shares the hole of the feed says something only where there is no other.
    let cold_alone = colds.iter().copied().filter(|hole| !is_feed(hole)).max_by(by_level);
    let cold = cold_alone.or_else(|| colds.iter().copied().max_by(by_level))?;
    let feed = feeds.iter().copied().min_by(by_level)?;
    let of_one_cistern = feed.cistern.id == cold.cistern.id;
    if !of_one_cistern && highest_link_mm(site, cisterns) > feed.level_mm().min(cold.level_mm()) {
        // Below the link their waters part, and either may be drawn off first.
        return None;
    }
    let measured = |hole: Hole<'_>| -> Measured {
        if of_one_cistern { site.length(hole.height) } else { site.level(hole.cistern.at.z + hole.height) }
    };
    let gap = measured(feed) - measured(cold);
    let from = if of_one_cistern { "base" } else { "datum" };
    // One hole for both cannot be moved apart from itself.
    let (up_mm, down_mm) = if is_feed(&cold) {
        (0.0, 0.0)
    } else {
        let top = feed.cistern.surface().unwrap_or_else(|| feed.cistern.rim());
        let up_mm = if feed.is_in_base() { 0.0 } else { top.to_mm() - feed.level_mm() };
        (up_mm, cold.height.to_mm())
    };
    Some(
        Reading::mm(&feed.cistern.id, gap)
            .along_with([&cold.cistern.id])
            .with_room(Room::Above, Some(up_mm))
            .with_room(Room::Below, Some(down_mm))
            .between(Axis::Upright, [cold.place(), feed.place()])
            .working(format!(
                "cold feed {} − cold distribution {} = {} mm above the {from}",
                written_mm(measured(feed).value),
                written_mm(measured(cold).value),
                tenths_mm(gap.value)
            )),
    )
}

/// Holes of some cisterns from which water of a service is taken.
fn holes<'s>(site: &'s Site<'_>, cisterns: &[&'s Cistern], service: Service) -> Vec<Hole<'s>> {
    let of_cistern = |cistern: &&'s Cistern| {
        let ports = site.ports_feeding(cistern, service).into_iter();
        let hole = |port: &'s Id| {
            let point = PartRef::Cistern(cistern).port(port.as_str())?;
            Some(Hole { cistern, port, height: point.z - cistern.at.z })
        };
        ports.filter_map(hole).collect::<Vec<_>>()
    };
    cisterns.iter().flat_map(of_cistern).collect()
}

/// Level in mm down to which linked cisterns surely share their water: that of the highest hole of a link.
fn highest_link_mm(site: &Site<'_>, cisterns: &[&Cistern]) -> f64 {
    let links = cisterns.iter().flat_map(|cistern| {
        let pipes = site.attached_of(&cistern.id, Service::Link);
        pipes.filter_map(|pipe| PartRef::Cistern(cistern).port(pipe.port.as_str()))
    });
    links.map(|point| point.z.to_mm()).fold(f64::NEG_INFINITY, f64::max)
}
