//! Measures of cylinders: their height below the cistern, and what heats them.

use super::reading::{difference, written_mm};
use super::{Axis, Feature, Heating, Place, Reading, Room, Site, find_out, has_untold_coil, heating_of, room};
use crate::layout::{Cistern, Cylinder};

/// Height from each cylinder's top up to the base of the cistern that feeds it.
#[must_use]
pub fn below_cistern(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cylinder: &Cylinder| {
        let Some(cistern) = feeding_cistern(site, cylinder) else {
            return Reading::untold(&cylinder.id, find_out::COLD_FEED);
        };
        let height = site.level(cistern.at.z) - site.level(cylinder.top());
        let places = [Place::of(&cylinder.id, Feature::Top), Place::of(&cistern.id, Feature::Base)];
        let working = difference(
            ("base of cistern", written_mm(cistern.at.z.to_mm())),
            ("top of cylinder", written_mm(cylinder.top().to_mm())),
            height,
        );
        let reading = Reading::mm(&cylinder.id, height)
            .along_with([&cistern.id])
            .with_room(Room::Above, room::above_cistern_mm(site, cistern))
            .with_room(Room::Below, room::below_cylinder_mm(site, cylinder))
            .between(Axis::Upright, places);
        let is_dry = cistern.surface().is_some_and(|water| water.to_mm() < cylinder.top().to_mm());
        let dry =
            is_dry.then_some("the water line stands below the top of the cylinder: no water rises to its draw-off");
        reading.working(working).workings(dry)
    };
    site.layout().cylinders.iter().map(reading).collect()
}

/// The cistern that feeds a cylinder; a lone storage cistern when the cold feed is not drawn.
fn feeding_cistern<'a>(site: &'a Site<'_>, cylinder: &Cylinder) -> Option<&'a Cistern> {
    site.cistern_of(cylinder).or_else(|| {
        let mut storage = site.storage_cisterns();
        match (storage.next(), storage.next(), site.layout().cylinders.len()) {
            (Some(only), None, 1) => Some(only),
            _ => None,
        }
    })
}

/// What heats each cylinder.
#[must_use]
pub fn heating(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cylinder: &Cylinder| {
        let find_out = match cylinder.coil {
            _ if has_untold_coil(site, cylinder) => COIL_OR_STORED,
            Some(true) => "draw the flow and the return from the boiler to its coil",
            _ => "find what heats it: an immersion heater, a coil, or a boiler on direct tappings",
        };
        Reading::choice(&cylinder.id, heating_of(site, cylinder).map(Heating::words).ok_or(find_out))
    };
    site.layout().cylinders.iter().map(reading).collect()
}

pub(super) const COIL_OR_STORED: &str = "find whether the heating pipes go to a coil or into the stored water";
