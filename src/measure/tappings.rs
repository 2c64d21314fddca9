//! Whether pipes sit on the tappings of cylinders and boilers that are meant for their water.

use super::{Feature, Place, Reading, Site, find_out};
use crate::layout::{
    COIL_FLOW, COIL_RETURN, COLD_INLET, DRAW_OFF, End, FLOW, Id, InLineKind, PRIMARY_FLOW, PRIMARY_RETURN, PartRef,
    RETURN, Run, Service, WhichEnd,
};

/// Whether each pipe on a cylinder or a boiler sits on a tapping that is not meant for another: hot on the draw-off and not on
/// the cold inlet, flow on flow and return on return. What else a tapping serves for is nobody's fault.
#[must_use]
pub fn on_their_tappings(site: &Site<'_>) -> Vec<Reading> {
    let layout = site.layout();
    let cylinders = layout.cylinders.iter().map(|cylinder| &cylinder.id);
    let vessels = cylinders.chain(layout.boilers.iter().map(|boiler| &boiler.id));
    let of_vessel = |id: &Id| {
        let pipes = site.attached(id).iter();
        let readings = pipes.filter_map(|pipe| on_tapping(site, id, pipe.port, (site.run(pipe.run), pipe.end)));
        readings.collect::<Vec<_>>()
    };
    vessels.flat_map(of_vessel).collect()
}

fn on_tapping(site: &Site<'_>, vessel: &Id, port: &Id, (run, end): (&Run, WhichEnd)) -> Option<Reading> {
    let is_cylinder = matches!(site.part(vessel), Some(PartRef::Cylinder(_)));
    let is_right = match (port.as_str(), run.service) {
        // Water that one cylinder has warmed is what the next takes in.
        (COLD_INLET, Service::HotDistribution) if is_cylinder && comes_from_cylinder(site, run, end) => Ok(true),
        (COLD_INLET, Service::HotDistribution) if is_cylinder => may_come_back(run),
        (COLD_INLET, Service::OpenVent) if is_cylinder => Ok(false),
        (DRAW_OFF, Service::ColdFeed) if is_cylinder => Ok(false),
        (COIL_FLOW | PRIMARY_FLOW | FLOW, Service::PrimaryReturn)
        | (COIL_RETURN | PRIMARY_RETURN | RETURN, Service::PrimaryFlow) => Ok(comes_back_to(run, end, vessel)),
        (COLD_INLET, Service::ColdFeed)
        | (DRAW_OFF, Service::HotDistribution | Service::OpenVent)
        | (COIL_FLOW | PRIMARY_FLOW | FLOW, Service::PrimaryFlow)
        | (COIL_RETURN | PRIMARY_RETURN | RETURN, Service::PrimaryReturn) => Ok(true),
        _ => return None,
    };
    let (yes, no) = ("a pipe on a tapping for its water", "a pipe on a tapping that is meant for another");
    let reading = Reading::fact(&run.id, is_right, yes, no).along_with([vessel]);
    Some(reading.at(Place::of(vessel, Feature::Port(port.clone()))))
}

/// Whether a hot pipe on a cold inlet may be the way back of a circulation: that has a non-return valve.
fn may_come_back(run: &Run) -> Result<bool, String> {
    let fittings = run.fittings.as_ref().ok_or_else(|| find_out::any_valve(&run.id))?;
    Ok(fittings.iter().any(|fitting| fitting.kind == InLineKind::NonReturnValve))
}

/// Whether the other end of a pipe is on the draw-off of a cylinder.
fn comes_from_cylinder(site: &Site<'_>, run: &Run, end: WhichEnd) -> bool {
    let is_cylinder = |part: &Id| matches!(site.part(part), Some(PartRef::Cylinder(_)));
    matches!(run.end(end.other()), End::Port(part, port) if port.as_str() == DRAW_OFF && is_cylinder(part))
}

/// Whether one pipe leads from a vessel and back to it: it is flow and return in one.
fn comes_back_to(run: &Run, end: WhichEnd, vessel: &Id) -> bool {
    matches!(run.end(end.other()), End::Port(part, _) if part == vessel)
}
