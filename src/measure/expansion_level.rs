//! How high the water of the heating stands over the stored water.

use super::reading::tenths_mm;
use super::{Axis, Feature, Place, Reading, Room, Site, find_out, room};
use crate::layout::Cistern;
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
        format!("{what} of the {} {}", self.cistern.id.spoken(), tenths_mm(self.level.to_mm()))
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

/// How far the cold water line of each feed-and-expansion cistern stands above the lowest stored water. Where a water line
/// is not told, as far as bases and rims bound it.
#[must_use]
pub fn above_stored_water(site: &Site<'_>) -> Vec<Reading> {
    let groups = site.storage_groups();
    let stored: Vec<Water<'_>> = groups.iter().filter_map(|group| Water::of(group)).collect();
    // Of several alike the one whose id comes first.
    let by_level = |a: &&Stand<'_>, b: &&Stand<'_>| {
        a.level.to_mm().total_cmp(&b.level.to_mm()).then_with(|| a.cistern.id.cmp(&b.cistern.id))
    };
    let least = stored.iter().map(|water| &water.least).min_by(by_level);
    let most = stored.iter().map(|water| &water.most).min_by(by_level);
    let (Some(least), Some(most)) = (least, most) else { return Vec::new() };
    // A line that is told decides, unless one that is not may be lower.
    let is_told = least.level == most.level;
    let untold = stored.iter().find_map(|water| water.untold).filter(|_| !is_told);
    let reading = |expansion| {
        let own = Water::of(&[expansion])?;
        let rest = match (own.untold, untold) {
            (Some(own), _) => Some(find_out::cold_water_line(&own.id)),
            (None, stored) => stored.map(|cistern| find_out::water_line(&cistern.id)),
        };
        // Whatever the rest turns out to be, it is no less than this, or no more than that.
        Some(if own.least.level > most.level {
            rise(site, &own.least, most).but_for(rest)
        } else {
            rise(site, &own.most, least).unless(rest)
        })
    };
    site.expansion_cisterns().filter_map(reading).collect()
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
