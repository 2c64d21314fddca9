//! Measures of the open end of a vent: over which cistern it lies, and how high in that.

use foldhash::HashMap;

use super::cistern::outlet_height;
use super::linked::{filled_by_link, linked_with};
use super::overflow_level::{Invert, highest_invert};
use super::primary::cisterns_below;
use super::reading::{difference, tenths_mm};
use super::vent::{Vent, VentWay, for_vents};
use super::{Axis, Feature, Place, Reading, Site, find_out};
use crate::layout::{Cistern, Id};
use crate::units::{Level, Measured};

/// Whether each vent ends over the cistern that feeds its water, or over one that shares that: over the one that feeds its
/// cylinder, or over the feed-and-expansion cistern of its heating.
#[must_use]
pub fn over_its_cistern(site: &Site<'_>) -> Vec<Reading> {
    let of_cylinders = for_vents(site, |vent| {
        let (Vent { cylinder, way, .. }, cisterns) = (vent, vent.cisterns(site));
        let reading = over_one_of(site, way, cisterns);
        Some(reading.unwrap_or_else(|| Reading::untold(way.id, find_out::COLD_FEED).along_with([&cylinder.id])))
    });
    let vents = site.primary_vents();
    let of_heating = vents.iter().zip(cisterns_of_heating(site, &vents)).map(|(way, cisterns)| {
        let reading = over_one_of(site, way, &cisterns);
        reading.unwrap_or_else(|| Reading::untold(way.id, find_out::EXPANSION_CISTERN).at(way.mouth()))
    });
    of_cylinders.into_iter().chain(of_heating).collect()
}

/// For each of some vents of the heating the cisterns over one of which it is to end: the feed-and-expansion cistern with
/// what shares its water, or, where the heating holds stored water, the storage cisterns.
fn cisterns_of_heating<'s>(site: &'s Site<'_>, vents: &[VentWay<'_>]) -> Vec<Vec<&'s Cistern>> {
    let runs: Vec<usize> = vents.iter().filter_map(VentWay::last_run).collect();
    let pairs = site.expansion_cisterns_of(&runs).into_iter().zip(site.storage_cisterns_heated_by(&runs));
    pairs.map(|(expansion, stored)| expansion.map_or(stored, |cistern| linked_with(site, cistern))).collect()
}

/// Whether a vent ends over one of some cisterns, the nearest first; `None` where there are none.
fn over_one_of(site: &Site<'_>, way: &VentWay<'_>, cisterns: &[&Cistern]) -> Option<Reading> {
    let that = |wanted: Option<bool>| cisterns.iter().find(|cistern| ends_over(site, way, cistern) == wanted);
    let cistern = that(Some(true)).or_else(|| that(None)).or(cisterns.first())?;
    let no = match way.led_into(site) {
        Some(into) if into.id == cistern.id => "an open end under the water of its cistern",
        _ => "an open end that is not over its cistern",
    };
    let over = ends_over(site, way, cistern).ok_or_else(|| find_out::water_line(&cistern.id));
    Some(Reading::fact(way.id, over, "an open end over its cistern", no).along_with([&cistern.id]).at(way.mouth()))
}

/// Whether the whole mouth of a vent lies over a cistern, and no other between them: over its edge, half of what comes out
/// runs down outside, and it all falls into the first cistern below. In a hole of the cistern it lies over the water, or
/// lets no air in; `None` where the water line is not told.
fn ends_over(site: &Site<'_>, way: &VentWay<'_>, cistern: &Cistern) -> Option<bool> {
    let (left, right) = cistern.span_mm();
    let mouth = way.mouth_point();
    let half_bore_mm = way.path.last().map_or(0.0, |leg| site.run(leg.run).half_bore_mm());
    if let Some(into) = way.led_into(site) {
        let is_clear = |water: Level| mouth.y - half_bore_mm >= water.to_mm();
        return if into.id == cistern.id { cistern.surface().map(is_clear) } else { Some(false) };
    }
    let is_within = mouth.x - half_bore_mm >= left && mouth.x + half_bore_mm <= right;
    Some(is_within && cisterns_below(site, mouth).iter().any(|first| first.id == cistern.id))
}

/// How far the mouth of each vent that ends over its cistern lies above the float valve's outlet and the overflow,
/// whichever is higher, against the pipe's own diameter.
#[must_use]
pub fn mouth_above_fittings(site: &Site<'_>) -> Vec<Reading> {
    let mut inverts = Inverts::default();
    let mut measure = |way: &VentWay<'_>, cisterns: &[&Cistern]| {
        let below = cisterns.iter().find(|cistern| ends_over(site, way, cistern) != Some(false))?;
        let cistern = site.layout().cistern(&below.id)?;
        mouth_over(site, way, cistern, &mut inverts)
    };
    let mut readings = for_vents(site, |vent| {
        let (Vent { cylinder, way, .. }, cisterns) = (vent, vent.cisterns(site));
        if cisterns.is_empty() {
            return Some(Reading::untold(way.id, find_out::COLD_FEED).along_with([&cylinder.id]));
        }
        measure(way, cisterns)
    });
    let vents = site.primary_vents();
    let of_heating = vents.iter().zip(cisterns_of_heating(site, &vents));
    readings.extend(of_heating.filter_map(|(way, cisterns)| measure(way, &cisterns)));
    readings
}

/// By cistern: its highest overflow invert, or what to find out for it.
type Inverts<'a> = HashMap<&'a Id, Result<Invert<'a>, String>>;

fn mouth_over<'a>(
    site: &Site<'a>,
    way: &VentWay<'_>,
    cistern: &'a Cistern,
    inverts: &mut Inverts<'a>,
) -> Option<Reading> {
    let Some(size) = site.run(way.path.last()?.run).size else {
        return Some(Reading::untold(way.id, find_out::size(way.id)));
    };
    let outlet = outlet_height(cistern).map(|outlet| site.length(outlet));
    let is_untold = outlet.is_none() && !filled_by_link(site, cistern);
    let mut rest = is_untold.then(|| find_out::FLOAT_VALVE_OUTLET.to_owned());
    let invert = match inverts.entry(&cistern.id).or_insert_with(|| highest_invert(site, cistern)) {
        Ok(found) => Some(&*found),
        Err(_) if site.has_no_warning_pipe(cistern) => None,
        Err(find_out) => {
            rest.get_or_insert_with(|| find_out.clone());
            None
        }
    };
    // Whatever is not told can only be higher still.
    let (below, height, name) = match (outlet, invert) {
        (Some(outlet), invert) if invert.is_none_or(|invert| outlet.value >= invert.height.value) => {
            (Place::of(&cistern.id, Feature::FloatValveOutlet), outlet, "float valve outlet")
        }
        (_, Some(invert)) => (invert.place.clone(), invert.height, "overflow invert"),
        (_, None) => return Some(Reading::untold(way.id, rest?).along_with([&cistern.id])),
    };
    let mouth_mm = way.mouth_point().y;
    let level = site.level(cistern.at.z) + height;
    let gap = site.taped(mouth_mm) - level;
    Some(
        Reading::mm(way.id, gap)
            .along_with([&cistern.id])
            .against(Measured::exact(size.to_mm()))
            .between(Axis::Upright, [below, way.mouth()])
            .but_for(rest)
            .working(difference(("open end", tenths_mm(mouth_mm)), (name, tenths_mm(level.value)), gap)),
    )
}
