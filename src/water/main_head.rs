//! The head of the main: its pressure where it comes in, less the height from there.

use crate::layout::Service;
use crate::measure::{Site, find_out};
use crate::units::STANDARD_GRAVITY_M_S2;
use crate::water::circuit::cold_water;

/// Head of the main at rest at a level, m; below nothing it does not come up to it.
///
/// # Errors
/// What to find out, when the layout tells no pressure or draws no main.
pub(super) fn main_head_m(site: &Site<'_>, level_mm: f64) -> Result<f64, String> {
    Ok(main_pressure_kpa(site, level_mm)? / kpa_of_a_metre())
}

/// The same as a pressure, kPa.
///
/// # Errors
/// What to find out, when the layout tells no pressure or draws no main.
pub(super) fn main_pressure_kpa(site: &Site<'_>, level_mm: f64) -> Result<f64, String> {
    let pressure = site.building().mains_pressure.ok_or(find_out::MAIN_PRESSURE)?;
    let mains = site.layout().runs.iter().enumerate().filter(|(_, run)| run.service == Service::RisingMain);
    let heights_mm =
        mains.filter_map(|(number, _)| site.line(number)).flat_map(|line| line.vertices().iter().map(|point| point.y));
    let comes_in_mm = heights_mm.reduce(f64::min).ok_or("draw the rising main from where it comes in")?;
    Ok(pressure.to_kpa() - (level_mm - comes_in_mm) / 1000.0 * kpa_of_a_metre())
}

fn kpa_of_a_metre() -> f64 {
    cold_water().density_kg_m3 * STANDARD_GRAVITY_M_S2 / 1000.0
}
