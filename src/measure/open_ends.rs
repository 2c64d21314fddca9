//! Whether pipes that hold water end on something, or are closed: an end that is open to the air lets it out.

use super::{Feature, Place, Reading, Site, find_out};
use crate::layout::{Cistern, End, InLineKind, Service, WhichEnd};

/// Pipes whose open end is what they are for.
const END_OPEN: [Service; 3] = [Service::OpenVent, Service::PrimaryVent, Service::WarningPipe];

/// For each end of a pipe that is open to the air, lies below the water and over no cistern: whether a valve or a drain cock
/// closes it.
#[must_use]
pub fn closed(site: &Site<'_>) -> Vec<Reading> {
    let runs = site.layout().runs.iter().enumerate();
    let holding = runs.filter(|(_, run)| !END_OPEN.contains(&run.service));
    holding.flat_map(|(number, _)| WhichEnd::BOTH.map(|end| at_end(site, number, end))).flatten().collect()
}

fn at_end(site: &Site<'_>, number: usize, end: WhichEnd) -> Option<Reading> {
    let run = site.run(number);
    let End::Open(point) = run.end(end) else { return None };
    let (x_mm, level_mm) = (point.x.to_mm(), point.z.to_mm());
    let gives_water = is_reached(site, number, level_mm) && !lies_over_a_cistern(site, x_mm, level_mm);
    if site.is_joined_at_end(number, end) || is_where_main_comes_in(site, number) || !gives_water {
        return None;
    }
    let (yes, no) = ("an end that a valve or a drain cock closes", "an end that is open to the air");
    let reading = Reading::fact(&run.id, is_closed(site, number, end), yes, no);
    Some(reading.at(Place::of(&run.id, Feature::Along(site.end_along(number, end)?))))
}

/// Whether a main is told to come in by no other end: its open one is where it comes from.
fn is_where_main_comes_in(site: &Site<'_>, number: usize) -> bool {
    let mains = site.bodies_of(&[Service::RisingMain]);
    let own = mains.iter().find(|body| body.contains(&number));
    own.is_some_and(|body| !body.iter().any(|run| site.run(*run).goes_on()))
}

/// What ends over a cistern, or in it, gives its water to that.
fn lies_over_a_cistern(site: &Site<'_>, x_mm: f64, level_mm: f64) -> bool {
    let holds = |cistern: &Cistern| {
        let (left_mm, right_mm) = cistern.span_mm();
        (left_mm..=right_mm).contains(&x_mm) && level_mm > cistern.at.z.to_mm()
    };
    site.layout().cisterns.iter().any(holds)
}

/// Whether water can come so high: the main everywhere, and stored water as high as it stands, or as the rim where its line
/// is not told. Where no vessel is drawn that gives any, nothing says that it does not.
fn is_reached(site: &Site<'_>, number: usize, level_mm: f64) -> bool {
    let waters = site.waters();
    let water = waters.of_run(number);
    let is_mains = site.runs_of(Service::RisingMain).any(|(main, _)| waters.of_run(main) == water);
    let giving = site.layout().cisterns.iter().filter(|cistern| waters.of_part(&cistern.id) == water);
    let surfaces = giving.map(|cistern| cistern.surface().unwrap_or_else(|| cistern.rim()).to_mm());
    is_mains || surfaces.reduce(f64::max).is_none_or(|surface_mm| level_mm < surface_mm)
}

/// Whether anything shuts the pipe between its open end and the next joint, or its other end.
fn is_closed(site: &Site<'_>, number: usize, end: WhichEnd) -> Result<bool, String> {
    let fitted = site.fitted(number).ok_or_else(|| find_out::valves(&site.run(number).id))?;
    let end_mm = site.end_along(number, end).unwrap_or_default();
    let from_end_mm = |at_mm: f64| (at_mm - end_mm).abs();
    let to_joint_mm = site.joints(number).iter().map(|joint| from_end_mm(joint.at_mm)).fold(f64::INFINITY, f64::min);
    let shuts = |kind: InLineKind| !matches!(kind, InLineKind::NonReturnValve | InLineKind::Pump);
    Ok(fitted.iter().any(|fitting| shuts(fitting.kind) && from_end_mm(fitting.at_mm) < to_joint_mm))
}
