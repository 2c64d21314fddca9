//! Measures of warning pipes and overflows, and of the air gap that they keep.

use std::collections::BTreeSet;

use super::cistern::{outlet_height, with_float_valve};
use super::overflow_level::highest_invert;
use super::{Axis, Feature, Place, Reading, Site, rim_volume_l};
use crate::layout::{Cistern, Discharge, End, INLET, Id, Run, Service};
use crate::units::{Measured, Size};

/// From this volume a cistern counts as large, and its overflow is set higher (guidance G16 in a plumbing textbook,
/// p. 297, seen).
const LARGE_CISTERN_L: f64 = 1000.0;

/// Bore of the pipe that supplies a cistern's float valve.
///
/// # Errors
/// What to find out, when the pipe or its size is not told.
fn inlet_bore(site: &Site<'_>, cistern: &Cistern) -> Result<Size, String> {
    let pipe = site.attached(&cistern.id).iter().find(|attachment| attachment.port.as_str() == INLET);
    let run = pipe
        .map(|pipe| site.run(pipe.run))
        .ok_or_else(|| format!("draw the pipe to the float valve of the {}", cistern.id.spoken()))?;
    run.bore().ok_or_else(|| format!("tell the material and size of the {}", run.id.spoken()))
}

/// How far each float valve's outlet lies above the overflow, against the bore of the pipe that supplies it.
#[must_use]
pub fn air_gap(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        let parts = || {
            let outlet = outlet_height(cistern)
                .ok_or_else(|| "measure where the float valve lets the water go, above the base".to_owned())?;
            Ok::<_, String>((outlet, highest_invert(site, cistern)?, inlet_bore(site, cistern)?))
        };
        let (outlet, invert, bore) = match parts() {
            Ok(found) => found,
            Err(find_out) => return Reading::untold(&cistern.id, find_out),
        };
        let gap = site.length(outlet) - invert.height;
        let places = [invert.place, Place::of(&cistern.id, Feature::FloatValveOutlet)];
        Reading::mm(&cistern.id, gap)
            .against(Measured::exact(bore.to_mm()))
            .between(Axis::Upright, places)
            .working(format!(
                "float valve outlet {} − overflow invert {:.1} = {:.1} mm",
                outlet.to_mm(),
                invert.height.value,
                gap.value
            ))
            .working(format!("bore of the supply: {} mm", bore.to_mm()))
    };
    with_float_valve(site).map(reading).collect()
}

/// Whether each cistern has a warning pipe.
#[must_use]
pub fn warning_pipe(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        let drawn = site.attached_of(&cistern.id, Service::WarningPipe).next().is_some();
        Reading::fact(&cistern.id, Some(drawn), "a warning pipe", "no warning pipe", "")
    };
    site.layout().cisterns.iter().map(reading).collect()
}

/// Whether each warning pipe keeps to its own cistern all the way out.
#[must_use]
pub fn warning_pipes_apart(site: &Site<'_>) -> Vec<Reading> {
    // For each run its body of joined pipes, and the parts on which that body ends.
    let mut body_of: Vec<Option<usize>> = vec![None; site.layout().runs.len()];
    let mut parts_of: Vec<BTreeSet<&Id>> = Vec::new();
    for body in site.bodies_of(&[Service::WarningPipe]) {
        let ends = body.iter().flat_map(|run| [&site.run(*run).from, &site.run(*run).to]);
        let parts = ends.filter_map(|end| match end {
            End::Port(part, _) => Some(part),
            _ => None,
        });
        parts_of.push(parts.collect());
        body.iter().for_each(|run| body_of[*run] = Some(parts_of.len() - 1));
    }
    with_cistern(site, |cistern, run| {
        let body = body_of[site.run_number(&run.id)?]?;
        let other = parts_of[body].iter().copied().find(|part| **part != cistern.id);
        let (yes, no) = ("a warning pipe of its own", "a warning pipe joined to that of another cistern");
        let reading = Reading::fact(&run.id, Some(other.is_none()), yes, no, "");
        Some(reading.along_with(std::iter::once(&cistern.id).chain(other)))
    })
}

/// Warning pipes with the cistern that each leaves.
fn with_cistern<'a>(site: &'a Site<'_>, measure: impl Fn(&'a Cistern, &'a Run) -> Option<Reading>) -> Vec<Reading> {
    let of_cistern = |cistern: &'a Cistern| {
        let pipes = site.attached_of(&cistern.id, Service::WarningPipe);
        pipes.map(move |pipe| (cistern, site.run(pipe.run)))
    };
    site.layout().cisterns.iter().flat_map(of_cistern).filter_map(|(cistern, run)| measure(cistern, run)).collect()
}

/// Where each warning pipe lets its water go.
#[must_use]
pub fn discharge(site: &Site<'_>) -> Vec<Reading> {
    with_cistern(site, |cistern, run| {
        let end_mm =
            site.run_number(&run.id).and_then(|number| site.line(number)).map_or(0.0, crate::geom::Polyline::length);
        let words = run.discharge.map(Discharge::words);
        Some(
            Reading::choice(&run.id, words, "see where the warning pipe ends, and whether anyone would notice it run")
                .along_with([&cistern.id])
                .at(Place::of(&run.id, Feature::Along(end_mm))),
        )
    })
}

/// Bore of each warning pipe.
#[must_use]
pub fn warning_bore(site: &Site<'_>) -> Vec<Reading> {
    with_cistern(site, |cistern, run| Some(bore_of(run).along_with([&cistern.id])))
}

/// Bore of each warning pipe, against the bore of the pipe that supplies the float valve.
#[must_use]
pub fn warning_bore_against_inlet(site: &Site<'_>) -> Vec<Reading> {
    with_cistern(site, |cistern, run| {
        let reading = match inlet_bore(site, cistern) {
            Ok(inlet) => {
                let times = run.bore().map(|bore| bore.to_mm() / inlet.to_mm());
                let reading = bore_of(run)
                    .against(Measured::exact(inlet.to_mm()))
                    .working(format!("bore of the supply: {} mm", inlet.to_mm()));
                times.into_iter().fold(reading, |reading, times| {
                    reading.working(format!("the warning pipe is {times:.2} times as wide inside"))
                })
            }
            Err(find_out) => Reading::untold(&run.id, find_out),
        };
        Some(reading.along_with([&cistern.id]))
    })
}

/// Tube is sold by size; a tape does not decide its bore.
fn bore_of(run: &Run) -> Reading {
    match run.bore() {
        Some(bore) => Reading::mm(&run.id, Measured::exact(bore.to_mm())),
        None => Reading::untold(&run.id, format!("tell the material and size of the {}", run.id.spoken())),
    }
}

/// How far the overflow's invert lies above the water line of each cistern that counts as large.
#[must_use]
pub fn overflow_above_water_in_large(site: &Site<'_>) -> Vec<Reading> {
    let large =
        |cistern: &&Cistern| rim_volume_l(site, cistern).is_ok_and(|(litres, _)| litres.value > LARGE_CISTERN_L);
    super::cistern::overflow_above_water_of(site, site.layout().cisterns.iter().filter(large))
}
