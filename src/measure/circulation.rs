//! Whether the water of a heating that no pump moves goes round: warm water rises, and so the coil stands over the boiler.

use super::heatings::ways_without_pump;
use super::reading::tenths_mm;
use super::{Axis, Feature, Place, Reading, Site, find_out};
use crate::layout::{Boiler, COIL_FLOW, COIL_RETURN, Cylinder, Id, PartRef};
use crate::units::Measured;

/// How far the middle of each coil lies above the middle of a boiler from which water comes to it without a pump: there it
/// cools, and here it is warmed (assumption). What drives it round is that height times the difference of the densities.
#[must_use]
pub fn coil_above_boiler(site: &Site<'_>) -> Vec<Reading> {
    let heatings = site.heatings().iter().filter(|heating| heating.pumped != Some(true));
    let pairs = heatings.flat_map(|heating| ways_without_pump(site, heating));
    let pairs = pairs.filter(|(_, cylinder, by_itself)| cylinder.coil != Some(false) && *by_itself != Some(false));
    let read = |(boiler, cylinder, by_itself): (&Boiler, &Cylinder, Option<bool>)| {
        let untold = by_itself.is_none().then(|| find_out::WHETHER_PUMPED.to_owned());
        Some(above(site, boiler, cylinder)?.unless(untold))
    };
    pairs.filter_map(read).collect()
}

fn above(site: &Site<'_>, boiler: &Boiler, cylinder: &Cylinder) -> Option<Reading> {
    let tapping = |port: &str| PartRef::Cylinder(cylinder).port(port).map(|point| site.level(point.z));
    let middle = |a: Measured, b: Measured| (a + b).scaled(0.5);
    let coil = middle(tapping(COIL_FLOW)?, tapping(COIL_RETURN)?);
    let base = site.level(boiler.at.z);
    let heated = middle(base, base + site.size(boiler.height));
    let rise = coil - heated;
    let places = [Place::middle(&boiler.id), Place::of(&cylinder.id, Feature::Port(Id::of(COIL_FLOW)))];
    Some(Reading::mm(&boiler.id, rise).along_with([&cylinder.id]).between(Axis::None, places).working(format!(
        "middle of the coil {} − middle of the boiler {} = {} mm",
        tenths_mm(coil.value),
        tenths_mm(heated.value),
        tenths_mm(rise.value)
    )))
}
