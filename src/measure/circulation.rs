//! Whether the water of a heating that no pump moves goes round: warm water rises, and so the coil stands over the boiler.

use super::heatings::ways_without_pump;
use super::reading::{difference, tenths_mm};
use super::{Axis, Feature, Place, Reading, Room, Site, find_out, room};
use crate::layout::{Boiler, COIL_FLOW, COIL_RETURN, Cylinder, Id, PartRef};
use crate::units::Measured;

/// How far the middle of each coil lies above the middle of a boiler from which water comes to it without a pump: there it
/// cools, and here it is warmed (assumption). What drives it round is that height times the difference of the densities.
#[must_use]
pub fn coil_above_boiler(site: &Site<'_>) -> Vec<Reading> {
    let read = |Pair { boiler, cylinder, by_itself }: Pair<'_>| {
        let Rise { cooled: coil, heated } = Rise::of(site, boiler, cylinder, COIL)?;
        let untold = by_itself.is_none().then(|| find_out::WHETHER_PUMPED.to_owned());
        let rise = coil - heated;
        let places = [Place::middle(&boiler.id), Place::of(&cylinder.id, Feature::Port(Id::of(COIL_FLOW)))];
        let reading = Reading::mm(&boiler.id, rise).along_with([&cylinder.id]).between(Axis::None, places);
        let reading = reading.with_room(Room::Sink, room::boiler_over_floor_mm(site, boiler));
        let [coil, heated] = [coil, heated].map(|level| tenths_mm(level.value));
        let working = difference(("middle of the coil", coil), ("middle of the boiler", heated), rise);
        Some(reading.working(working).unless(untold))
    };
    pairs(site).filter_map(read).collect()
}

/// Each boiler with each coil that does not lie over it, and to which no pump is known to move its water; and what to find
/// out, since it is not known then whether that boiler heats the coil at all.
#[must_use]
pub fn coils_not_above<'a>(site: &'a Site<'_>) -> Vec<(&'a Boiler, &'a Cylinder, String)> {
    let doubt = |Pair { boiler, cylinder, by_itself }: Pair<'a>| {
        let Rise { cooled: coil, heated } = Rise::of(site, boiler, cylinder, COIL)?;
        let find_out = match by_itself {
            // Who tells how much passes through a coil has told that it goes round.
            None if cylinder.coil_duty.is_some_and(|duty| duty.flow.is_some()) => return None,
            None => find_out::WHETHER_PUMPED.to_owned(),
            Some(_) => find_out::how_heated(&boiler.id, &cylinder.id),
        };
        (coil.value <= heated.value).then_some((boiler, cylinder, find_out))
    };
    pairs(site).filter_map(doubt).collect()
}

/// A boiler and a coil between which water goes round without a pump; `None` where that is not told.
struct Pair<'a> {
    boiler: &'a Boiler,
    cylinder: &'a Cylinder,
    by_itself: Option<bool>,
}

fn pairs<'a>(site: &'a Site<'_>) -> impl Iterator<Item = Pair<'a>> {
    let heatings = site.heatings().iter().filter(|heating| heating.pumped != Some(true));
    let pairs = heatings.flat_map(|heating| ways_without_pump(site, heating));
    let pairs = pairs.filter(|(_, cylinder, by_itself)| cylinder.coil != Some(false) && *by_itself != Some(false));
    pairs.map(|(boiler, cylinder, by_itself)| Pair { boiler, cylinder, by_itself })
}

/// Whether a cylinder lies over a boiler, by the middles of both, so that water goes round through two of its ports by
/// itself; one that has no such ports does not.
pub(super) fn lies_over(site: &Site<'_>, boiler: &Boiler, cylinder: &Cylinder, ports: (&str, &str)) -> bool {
    Rise::of(site, boiler, cylinder, ports).is_some_and(|rise| rise.cooled.value > rise.heated.value)
}

/// The ports of a coil.
pub(super) const COIL: (&str, &str) = (COIL_FLOW, COIL_RETURN);

/// Where the water cools and where it is warmed: halfway between the ports of a cylinder, and the middle of the boiler.
struct Rise {
    cooled: Measured,
    heated: Measured,
}

impl Rise {
    /// `None` where the cylinder has no such ports.
    fn of(site: &Site<'_>, boiler: &Boiler, cylinder: &Cylinder, (flow, back): (&str, &str)) -> Option<Self> {
        let tapping = |port: &str| PartRef::Cylinder(cylinder).port(port).map(|point| site.level(point.z));
        let middle = |a: Measured, b: Measured| (a + b).scaled(0.5);
        let base = site.level(boiler.at.z);
        Some(Self {
            cooled: middle(tapping(flow)?, tapping(back)?),
            heated: middle(base, base + site.size(boiler.height)),
        })
    }
}
