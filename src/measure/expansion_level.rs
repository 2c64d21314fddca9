//! How high the water of the heating stands over the stored water.

use super::reading::tenths_mm;
use super::{Axis, Feature, Place, Reading, Room, Site, find_out, room};
use crate::layout::{Cistern, Cylinder};
use crate::units::Level;

/// A level at which the water of a cistern stands, or that it cannot pass.
#[derive(Clone)]
struct Stand<'s> {
    cistern: &'s Cistern,
    level: Level,
    feature: Feature,
}

impl<'s> Stand<'s> {
    fn base(cistern: &'s Cistern) -> Self {
        Self { cistern, level: cistern.at.z, feature: Feature::Base }
    }

    fn rim(cistern: &'s Cistern) -> Self {
        Self { cistern, level: cistern.rim(), feature: Feature::Top }
    }

    fn line(cistern: &'s Cistern) -> Option<Self> {
        Some(Self { cistern, level: cistern.surface()?, feature: Feature::WaterLine })
    }

    fn words(&self) -> String {
        let what = match self.feature {
            Feature::Base => "base",
            Feature::Top => "rim",
            _ => "water line",
        };
        format!("{what} of {} {}", self.cistern.id.with_article(), tenths_mm(self.level.to_mm()))
    }
}

/// Water of one cistern, or of several that share it: it stands no lower than `least` and no higher than `most`.
struct Water<'s> {
    least: Stand<'s>,
    most: Stand<'s>,
    /// Whose water line is to be measured, where that is not told.
    untold: Option<&'s Cistern>,
}

impl<'s> Water<'s> {
    /// Of cisterns that share their water, the highest line counts: at rest all stand as high.
    fn of(group: &[&'s Cistern]) -> Option<Self> {
        let by_level = |a: &Stand<'_>, b: &Stand<'_>| a.level.to_mm().total_cmp(&b.level.to_mm());
        // Of several alike the one whose id comes first.
        let mut group = group.to_vec();
        group.sort_by(|a, b| a.id.cmp(&b.id));
        let line = group.iter().rev().filter_map(|cistern| Stand::line(cistern)).max_by(by_level);
        // What has no float valve is filled from the others, and has no line of its own to set.
        let sets_a_line = |cistern: &&Cistern| cistern.float_valve.is_some() || line.is_none();
        let mut without_line = group.iter().copied().filter(|cistern| cistern.surface().is_none());
        let untold = without_line.find(sets_a_line);
        let lowest = || group.iter().map(|cistern| Stand::base(cistern)).min_by(by_level);
        let highest = || group.iter().rev().map(|cistern| Stand::rim(cistern)).max_by(by_level);
        let most = if untold.is_some() { highest() } else { line.clone() };
        Some(Self { least: line.or_else(lowest)?, most: most?, untold })
    }
}

/// Stored water that lies behind the coil of a heating, or that may.
enum Behind {
    /// It does, by the numbers of its groups.
    Surely(Vec<usize>),
    /// The same, and beside it any of the rest: of another of its coils no cold feed is drawn.
    AtLeast(Vec<usize>),
    /// One of these does; nobody has drawn which.
    OneOf(Vec<usize>),
    /// No coil parts stored water from this heating.
    Nothing,
}

/// The storage cisterns in groups that share their water, with the water of each.
struct Stores<'s> {
    groups: Vec<Vec<&'s Cistern>>,
    waters: Vec<Water<'s>>,
}

impl<'s> Stores<'s> {
    fn of(site: &'s Site<'_>) -> Self {
        let groups = site.storage_groups();
        let waters = groups.iter().filter_map(|group| Water::of(group)).collect();
        Self { groups, waters }
    }

    /// The number of the group that feeds a cylinder.
    fn feeding(&self, site: &Site<'_>, cylinder: &Cylinder) -> Option<usize> {
        let feeding = site.cistern_of(cylinder)?;
        self.groups.iter().position(|group| group.iter().any(|cistern| cistern.id == feeding.id))
    }

    /// What lies behind the coils of the heating to which a feed-and-expansion cistern belongs.
    fn behind(&self, site: &'s Site<'_>, expansion: &Cistern) -> Behind {
        let own =
            || site.heatings().iter().filter(move |body| body.cistern(site).is_some_and(|own| own.id == expansion.id));
        let coils: Vec<&Cylinder> = own().flat_map(|heating| heating.coils(site)).collect();
        let known: Vec<usize> = coils.iter().filter_map(|coil| self.feeding(site, coil)).collect();
        if !known.is_empty() {
            return if known.len() == coils.len() { Behind::Surely(known) } else { Behind::AtLeast(known) };
        }
        // Whose heating is drawn all round without coming to a coil has no wall to leak through.
        if coils.is_empty() && own().next().is_some() && own().all(|heating| heating.is_drawn_all_round(site)) {
            return Behind::Nothing;
        }
        let cylinders = &site.layout().cylinders;
        let may_have_coil = || cylinders.iter().filter(|cylinder| cylinder.coil != Some(false));
        if !cylinders.is_empty() && may_have_coil().next().is_none() {
            return Behind::Nothing;
        }
        let fed: Option<Vec<usize>> = may_have_coil().map(|cylinder| self.feeding(site, cylinder)).collect();
        Behind::OneOf(fed.filter(|fed| !fed.is_empty()).unwrap_or_else(|| (0..self.waters.len()).collect()))
    }

    fn waters(&self, numbers: Vec<usize>) -> Vec<&Water<'s>> {
        numbers.into_iter().filter_map(|number| self.waters.get(number)).collect()
    }

    fn all_waters(&self) -> Vec<&Water<'s>> {
        self.waters.iter().collect()
    }
}

/// How far the cold water line of each feed-and-expansion cistern stands above the stored water behind the coil that its
/// heating leads to, the lowest of several. Where of some of its coils no cold feed is drawn, as far as what they may have
/// behind them changes nothing. Where a water line is not told, as far as bases and rims bound it; where
/// nobody has drawn which stored water lies behind the coil, as far as all of it agrees.
#[must_use]
pub fn above_stored_water(site: &Site<'_>) -> Vec<Reading> {
    let stores = Stores::of(site);
    let reading = |expansion| {
        let own = Water::of(&[expansion])?;
        match stores.behind(site, expansion) {
            Behind::Surely(groups) => above_lowest(site, &own, &stores.waters(groups)),
            Behind::AtLeast(groups) => above_lowest_of_more(site, &own, &stores.waters(groups), &stores.all_waters()),
            Behind::OneOf(groups) => above_one_of(site, &own, &stores.waters(groups)),
            Behind::Nothing => None,
        }
    };
    site.expansion_cisterns().filter_map(reading).collect()
}

/// Of several alike the one whose id comes first.
fn by_level(a: &&Stand<'_>, b: &&Stand<'_>) -> std::cmp::Ordering {
    a.level.to_mm().total_cmp(&b.level.to_mm()).then_with(|| a.cistern.id.cmp(&b.cistern.id))
}

fn above_lowest(site: &Site<'_>, own: &Water<'_>, stored: &[&Water<'_>]) -> Option<Reading> {
    let least = stored.iter().map(|water| &water.least).min_by(by_level)?;
    let most = stored.iter().map(|water| &water.most).min_by(by_level)?;
    // A line that is told decides, unless one that is not may be lower.
    let is_told = least.level == most.level;
    let untold = stored.iter().find_map(|water| water.untold).filter(|_| !is_told);
    Some(between_bounds(site, own, (least, most), untold.map(|cistern| find_out::water_line(&cistern.id))))
}

/// Against some stored waters, and others that may lie behind a coil as well.
fn above_lowest_of_more(site: &Site<'_>, own: &Water<'_>, known: &[&Water<'_>], all: &[&Water<'_>]) -> Option<Reading> {
    let least = all.iter().map(|water| &water.least).min_by(by_level)?;
    let most = known.iter().map(|water| &water.most).min_by(by_level)?;
    if known.iter().any(|water| water.least.level == least.level) {
        return above_lowest(site, own, known);
    }
    Some(between_bounds(site, own, (least, most), Some(find_out::COLD_FEED.to_owned())))
}

/// Against whichever of several stored waters: the lowest and the highest bound what there is.
fn above_one_of(site: &Site<'_>, own: &Water<'_>, stored: &[&Water<'_>]) -> Option<Reading> {
    if stored.len() == 1 {
        return above_lowest(site, own, stored);
    }
    let least = stored.iter().map(|water| &water.least).min_by(by_level)?;
    let most = stored.iter().map(|water| &water.most).max_by(by_level)?;
    Some(between_bounds(site, own, (least, most), Some(DRAW_TO_COIL.to_owned())))
}

const DRAW_TO_COIL: &str =
    "draw the pipes of the heating to the coil, and the cold feed of its cylinder from the cistern on";

fn between_bounds(
    site: &Site<'_>,
    own: &Water<'_>,
    (least, most): (&Stand<'_>, &Stand<'_>),
    stored: Option<String>,
) -> Reading {
    let rest = own.untold.map(|own| find_out::cold_water_line(&own.id)).or(stored);
    // Whatever the rest turns out to be, it is no less than this, or no more than that.
    if own.least.level > most.level {
        rise(site, &own.least, most).but_for(rest)
    } else {
        rise(site, &own.most, least).unless(rest)
    }
}

fn rise(site: &Site<'_>, own: &Stand<'_>, stored: &Stand<'_>) -> Reading {
    let rise = site.level(own.level) - site.level(stored.level);
    let places = [stored, own].map(|stand| Place::of(&stand.cistern.id, stand.feature.clone()));
    Reading::mm(&own.cistern.id, rise)
        .along_with([&stored.cistern.id])
        .with_room(Room::Below, room::below_cistern_mm(site, own.cistern))
        .with_room(Room::Above, room::above_cistern_mm(site, stored.cistern))
        .with_room(Room::Water, room::under_surface_mm(site, own.cistern))
        .between(Axis::Upright, places)
        .working(format!("{} − {} = {} mm", own.words(), stored.words(), tenths_mm(rise.value)))
}
