//! Which hole of a cistern runs dry first: that of the hot water, or that of the cold.

use foldhash::HashMap;

use super::linked::{by_links, groups, to_and_fro};
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

    fn is(&self, other: &Hole<'_>) -> bool {
        self.is_on(other.cistern) && self.port == other.port
    }

    fn is_on(&self, cistern: &Cistern) -> bool {
        self.cistern.id == cistern.id
    }

    fn is_in_base(&self) -> bool {
        let hole = self.cistern.connections.iter().find(|hole| hole.port == *self.port);
        hole.is_some_and(|hole| matches!(hole.on, Tapping::Base(_)))
    }

    fn place(&self) -> Place {
        Place::of(&self.cistern.id, Feature::Port(self.port.clone()))
    }
}

/// How far the cylinder's cold feed leaves each cistern above the cold distribution pipe, and how far it leaves one of linked
/// cisterns above that of another; taps on the feed's own hole are left out, unless all of them are.
#[must_use]
pub fn cold_feed_above_distribution(site: &Site<'_>) -> Vec<Reading> {
    let storage = site.storage_cisterns();
    let alone = storage.filter(|cistern| by_links(site, cistern).len() == 1).map(|cistern| vec![cistern]);
    alone.chain(groups(site)).flat_map(|cisterns| between_holes(site, &cisterns)).collect()
}

fn between_holes(site: &Site<'_>, cisterns: &[&Cistern]) -> Vec<Reading> {
    let feeds = holes(site, cisterns, Service::ColdFeed);
    let colds = holes(site, cisterns, Service::ColdDistribution);
    // What shares the hole of a feed says something only where there is no other.
    let (shared, own): (Vec<_>, Vec<_>) = colds.into_iter().partition(|cold| feeds.iter().any(|feed| feed.is(cold)));
    let colds = if own.is_empty() { &shared } else { &own };
    let of_each: Vec<Pair<'_>> =
        cisterns.iter().filter_map(|cistern| least(pairs_on(cistern, &feeds, colds))).collect();
    let least_mm = of_each.iter().map(Pair::gap_mm).fold(f64::INFINITY, f64::min);
    // What happens at the higher of two holes is sure as long as no link has run dry before.
    let link_mm = highest_link_mm(site, cisterns);
    let waters = Waters::of(site, cisterns);
    let in_one_water = |pair: &Pair<'_>| pair.higher_mm() >= link_mm && waters.stand_alike(pair);
    let across = || pairs(&feeds, colds).filter(|pair| !pair.is_of_one_cistern());
    let telling = least(across().filter(in_one_water)).filter(|pair| pair.gap_mm() < least_mm);
    let parted = least(across().filter(|pair| !in_one_water(pair)));
    let open = parted.as_ref().map(|pair| {
        let [feed, cold] = [pair.feed, pair.cold].map(|hole| hole.cistern.id.with_article());
        format!("see which runs dry first with the main off, {feed} or {cold}: their waters part before")
    });
    let across = match (telling, open) {
        (Some(pair), open) => Some(pair.reading(site).but_for(open)),
        (None, Some(open)) => parted.map(|pair| pair.untold(open)),
        (None, None) => None,
    };
    of_each.into_iter().map(|pair| pair.reading(site)).chain(across).collect()
}

/// A hole of a cold feed, and one of a cold distribution pipe.
struct Pair<'s> {
    feed: Hole<'s>,
    cold: Hole<'s>,
}

fn pairs<'s>(feeds: &[Hole<'s>], colds: &[Hole<'s>]) -> impl Iterator<Item = Pair<'s>> {
    feeds.iter().flat_map(|&feed| colds.iter().map(move |&cold| Pair { feed, cold }))
}

/// The pairs whose holes are both on one cistern.
fn pairs_on<'s>(cistern: &Cistern, feeds: &[Hole<'s>], colds: &[Hole<'s>]) -> Vec<Pair<'s>> {
    let on =
        |holes: &[Hole<'s>]| -> Vec<Hole<'s>> { holes.iter().copied().filter(|hole| hole.is_on(cistern)).collect() };
    pairs(&on(feeds), &on(colds)).collect()
}

/// The pair of which the cold feed lies the least above the cold distribution; of several alike the same in whatever order
/// the cisterns are listed.
fn least<'s>(pairs: impl IntoIterator<Item = Pair<'s>>) -> Option<Pair<'s>> {
    let order = |a: &Pair<'_>, b: &Pair<'_>| a.gap_mm().total_cmp(&b.gap_mm()).then_with(|| a.names().cmp(&b.names()));
    pairs.into_iter().min_by(order)
}

/// Which of some linked cisterns share their water to and fro, by a number for each such water.
struct Waters<'s>(HashMap<&'s Id, usize>);

impl<'s> Waters<'s> {
    fn of(site: &'s Site<'_>, cisterns: &[&'s Cistern]) -> Self {
        let mut waters: HashMap<&Id, usize> = HashMap::default();
        for (number, cistern) in cisterns.iter().enumerate() {
            if !waters.contains_key(&cistern.id) {
                waters.extend(to_and_fro(site, cistern).into_iter().map(|other| (&other.id, number)));
            }
        }
        Self(waters)
    }

    /// Whether links let water go to and fro between the two cisterns of a pair.
    fn stand_alike(&self, pair: &Pair<'_>) -> bool {
        self.0.get(&pair.feed.cistern.id) == self.0.get(&pair.cold.cistern.id)
    }
}

impl<'s> Pair<'s> {
    fn gap_mm(&self) -> f64 {
        self.feed.level_mm() - self.cold.level_mm()
    }

    fn higher_mm(&self) -> f64 {
        self.feed.level_mm().max(self.cold.level_mm())
    }

    fn is_of_one_cistern(&self) -> bool {
        self.feed.is_on(self.cold.cistern)
    }

    fn names(&self) -> [&'s Id; 4] {
        [&self.feed.cistern.id, &self.cold.cistern.id, self.feed.port, self.cold.port]
    }

    fn untold(&self, find_out: String) -> Reading {
        Reading::untold(&self.feed.cistern.id, find_out)
            .along_with([&self.cold.cistern.id])
            .between(Axis::Upright, [self.cold.place(), self.feed.place()])
    }

    fn reading(&self, site: &Site<'_>) -> Reading {
        let Self { feed, cold } = *self;
        let of_one_cistern = self.is_of_one_cistern();
        let measured = |hole: Hole<'_>| -> Measured {
            if of_one_cistern { site.length(hole.height) } else { site.level(hole.cistern.at.z + hole.height) }
        };
        let gap = measured(feed) - measured(cold);
        let from = if of_one_cistern { "base" } else { "datum" };
        // One hole for both cannot be moved apart from itself.
        let (up_mm, down_mm) = if feed.is(&cold) {
            (0.0, 0.0)
        } else {
            let top = feed.cistern.surface().unwrap_or_else(|| feed.cistern.rim());
            let up_mm = if feed.is_in_base() { 0.0 } else { top.to_mm() - feed.level_mm() };
            (up_mm, cold.height.to_mm())
        };
        Reading::mm(&feed.cistern.id, gap)
            .along_with([&cold.cistern.id])
            .with_room(Room::Rise, Some(up_mm))
            .with_room(Room::Sink, Some(down_mm))
            .between(Axis::Upright, [cold.place(), feed.place()])
            .working(format!(
                "cold feed {} − cold distribution {} = {} mm above the {from}",
                written_mm(measured(feed).value),
                written_mm(measured(cold).value),
                tenths_mm(gap.value)
            ))
    }
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
