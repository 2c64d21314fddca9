//! Whether the main comes up to the float valves that it feeds.

use super::Running;
use super::circuit::is_fed_from_store;
use super::main_head::{BY_WHICH_END, MainPressure, is_kept_back, kpa_of_a_metre, main_pressure};
use crate::layout::{Cistern, INLET, InLineKind, Run, Service};
use crate::measure::{Feature, Place, Reading, Site, find_out};
use crate::units::{Length, Measured};

/// Why the main does not come to a float valve, where a valve in its pipe alone is to blame.
pub const KEPT_BACK: &str = "a non-return valve that keeps the main from the float valve";

/// For each float valve on the main: how far above its outlet the pressure of the main lifts water at rest, mm. One whose
/// outlet nobody has measured is no higher than the rim.
#[must_use]
pub fn main_above_float_valves(running: &Running<'_>) -> Vec<Reading> {
    let site = running.circuit.site();
    let cisterns = site.layout().cisterns.iter();
    let on_main = cisterns.filter(|cistern| cistern.float_valve.is_some() && !is_fed_from_store(site, cistern));
    on_main
        .map(|cistern| read(site, cistern).unwrap_or_else(|find_out| Reading::untold(&cistern.id, find_out)))
        .collect()
}

/// What to find out where a pump sits in the main of a cistern: what it brings nobody has told.
pub(super) fn pumped_up(site: &Site<'_>, cistern: &Cistern) -> Option<String> {
    let mut runs = site.runs_from(&cistern.id, INLET, &[Service::RisingMain]).into_iter().map(|run| site.run(run));
    let is_pump = |run: &&Run| run.fittings.iter().flatten().any(|fitting| fitting.kind == InLineKind::Pump);
    let pumped = runs.find(is_pump)?;
    Some(format!("ask how high the pump in {} lifts the water", pumped.id.with_article()))
}

fn read(site: &Site<'_>, cistern: &Cistern) -> Result<Reading, String> {
    let place = Place::of(&cistern.id, Feature::FloatValveOutlet);
    if let Some(off) = site.off_vessel(&place) {
        return Err(off.find_out.clone());
    }
    if is_kept_back(site, (&cistern.id, INLET)) {
        return Ok(Reading::no(&cistern.id, KEPT_BACK).at(place));
    }
    let outlet = cistern.float_valve.and_then(|valve| valve.outlet);
    let above_base_mm = outlet.map_or(cistern.height.to_mm(), Length::to_mm);
    let valve = site.level(cistern.at.z) + site.taped(above_base_mm);
    let MainPressure { least_kpa, most_kpa } = main_pressure(site, (&cistern.id, INLET), valve.value)?;
    if let Some(find_out) = pumped_up(site, cistern) {
        return Err(find_out);
    }
    let reading_of = |kpa: f64| {
        let above_mm = kpa / kpa_of_a_metre() * 1000.0;
        Reading::mm(&cistern.id, Measured { value: above_mm, variance: valve.variance })
            .at(place.clone())
            .working(format!("pressure of the main at rest at {:.0} mm: {kpa:.1} kPa", valve.value))
    };
    let reading = reading_of(most_kpa);
    let reading =
        if outlet.is_none() { reading.unless(Some(find_out::FLOAT_VALVE_OUTLET.to_owned())) } else { reading };
    Ok(if least_kpa < most_kpa { reading.at_worst(BY_WHICH_END, reading_of(least_kpa)) } else { reading })
}
