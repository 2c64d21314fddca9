//! The head of the main: its pressure where it comes in, less the height from there.

use crate::layout::{End, Id, Service, WhichEnd};
use crate::measure::{Site, find_out};
use crate::units::STANDARD_GRAVITY_M_S2;
use crate::water::circuit::cold_water;

/// Of a main with several ends that lead beyond the drawing, at unlike levels.
pub(super) const BY_WHICH_END: &str =
    "see by which end the rising main comes in, and draw its other ends to what they feed";

const MAIN: [Service; 1] = [Service::RisingMain];

/// Pressure of the main at rest, kPa. Where it may come in by one of several ends, by the lowest and by the highest.
#[derive(Debug, Clone, Copy)]
pub(super) struct MainPressure {
    /// When it comes in by the lowest end.
    pub least_kpa: f64,
    /// When it comes in by the highest end.
    pub most_kpa: f64,
}

/// Head of the main at rest at a port of a part, at a level, m; below nothing it does not come up to it. There is none past
/// non-return valves that keep it back.
///
/// # Errors
/// What to find out, when the layout tells no pressure, draws no main, or leaves open where that comes in.
pub(super) fn main_head_m(site: &Site<'_>, at: (&Id, &str), level_mm: f64) -> Result<f64, String> {
    let MainPressure { least_kpa, most_kpa } = main_pressure(site, at, level_mm)?;
    if least_kpa < most_kpa { Err(BY_WHICH_END.to_owned()) } else { Ok(least_kpa / kpa_of_a_metre()) }
}

/// The same as a pressure.
///
/// # Errors
/// What to find out, when the layout tells no pressure or draws no main.
pub(super) fn main_pressure(site: &Site<'_>, at: (&Id, &str), level_mm: f64) -> Result<MainPressure, String> {
    let pressure = site.building().mains_pressure.ok_or(find_out::MAIN_PRESSURE)?;
    if is_kept_back(site, at) {
        return Ok(MainPressure { least_kpa: 0.0, most_kpa: 0.0 });
    }
    let ends_mm = comes_in_mm(site, at);
    let lowest_mm = ends_mm.iter().copied().reduce(f64::min).ok_or("draw the rising main from where it comes in")?;
    let highest_mm = ends_mm.into_iter().fold(lowest_mm, f64::max);
    let from = |end_mm: f64| pressure.to_kpa() - (level_mm - end_mm) / 1000.0 * kpa_of_a_metre();
    Ok(MainPressure { least_kpa: from(lowest_mm), most_kpa: from(highest_mm) })
}

/// Whether non-return valves keep the main from a port by whichever end it may come in.
pub(super) fn is_kept_back(site: &Site<'_>, at: (&Id, &str)) -> bool {
    let ends = comes_in_by(site, at);
    !ends.is_empty() && ends.into_iter().all(|end| site.is_kept_from(at, end, &MAIN))
}

/// Levels of the ends by which the main that comes to a port may come in, but for those from which non-return valves keep
/// it.
fn comes_in_mm(site: &Site<'_>, at: (&Id, &str)) -> Vec<f64> {
    let ends = comes_in_by(site, at).into_iter().filter(|end| !site.is_kept_from(at, *end, &MAIN));
    ends.filter_map(|(run, end)| Some(site.line(run)?.point_at(site.end_along(run, end)?).y)).collect()
}

/// The ends by which the main that comes to a port may come in: those that lead beyond the drawing; where there are none,
/// those that are open. Of a port to which no main is drawn, those of all mains.
fn comes_in_by(site: &Site<'_>, (part, port): (&Id, &str)) -> Vec<(usize, WhichEnd)> {
    let mut runs = site.runs_from(part, port, &MAIN);
    if runs.is_empty() {
        let all = site.layout().runs.iter().enumerate();
        runs = all.filter(|(_, run)| run.service == Service::RisingMain).map(|(number, _)| number).collect();
    }
    let ends = |is_wanted: fn(&End) -> bool| -> Vec<(usize, WhichEnd)> {
        let ends = runs.iter().flat_map(|run| WhichEnd::BOTH.map(|end| (*run, end)));
        ends.filter(|(run, end)| is_wanted(site.run(*run).end(*end))).collect()
    };
    let beyond = ends(|end| matches!(end, End::Onward(_)));
    if beyond.is_empty() { ends(|end| matches!(end, End::Open(_))) } else { beyond }
}

pub(super) fn kpa_of_a_metre() -> f64 {
    cold_water().density_kg_m3 * STANDARD_GRAVITY_M_S2 / 1000.0
}
