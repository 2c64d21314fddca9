//! Whether primary and stored water are kept apart, and where they meet where they are not.

use foldhash::HashMap;

use super::cylinder::COIL_OR_STORED;
use super::reading::whole_mm;
use super::{Axis, Feature, Place, Reading, Site, has_untold_coil};
use crate::layout::{
    COIL_FLOW, COIL_RETURN, CisternRole, Cylinder, End, HOT, INLET, Id, MAINS, PRIMARY_FLOW, PRIMARY_RETURN, PartRef,
    Service,
};

/// Which of the two a pipe or a vessel is for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum For {
    Stored,
    Primary,
}

/// Where primary and stored water meet: the likelier to be the slip, the earlier.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Likely {
    /// A pipe of the one on a pipe or a vessel of the other.
    AmongThem,
    /// A pipe of the boiler on a tapping by which it may heat the stored water itself.
    AtDirectTapping,
    /// A main to which both are joined, on the side of the primary water.
    ByMain,
}

struct Meeting<'a> {
    likely: Likely,
    parts: [&'a Id; 2],
    place: Place,
    words: String,
}

/// Whether primary and stored water are kept apart: one reading for each body of water that joins them, about what meets
/// there, or one for each cylinder with a coil when none does. A pipe on a coil's tapping tells that the coil matters,
/// not that it is there.
#[must_use]
pub fn waters_apart(site: &Site<'_>) -> Vec<Reading> {
    let (yes, no) = ("primary and stored water apart", "primary and stored water joined");
    let joined = joined_waters(site);
    if joined.is_empty() {
        let asked = |cylinder: &&Cylinder| cylinder.coil == Some(true) || has_untold_coil(site, cylinder);
        let cylinders = site.layout().cylinders.iter().filter(asked);
        return cylinders
            .map(|cylinder| Reading::fact(&cylinder.id, cylinder.coil.ok_or(COIL_OR_STORED), yes, no))
            .collect();
    }
    let reading = |(body, parts): (usize, Vec<&Id>)| {
        let meetings = meetings_in(site, body);
        let Some(first) = meetings.first() else { return Reading::no(parts[0], no).about_all(parts) };
        let reading = Reading::no(first.parts[0], no).about_all(first.parts);
        let reading = reading.along_with(meetings.iter().flat_map(|meeting| meeting.parts)).along_with(parts);
        let reading = reading.between(Axis::None, meetings.iter().map(|meeting| meeting.place.clone()));
        reading.workings(meetings.into_iter().map(|meeting| meeting.words))
    };
    joined.into_iter().map(reading).collect()
}

/// Bodies of water that hold both primary and stored water, each with the vessels that it joins, in order.
fn joined_waters<'s>(site: &'s Site<'_>) -> Vec<(usize, Vec<&'s Id>)> {
    let waters = site.waters();
    let mut bodies: HashMap<usize, (Vec<&Id>, Vec<&Id>)> = HashMap::default();
    for cistern in &site.layout().cisterns {
        let body = bodies.entry(waters.of_part(&cistern.id)).or_default();
        match cistern.role {
            CisternRole::Storage => body.0.push(&cistern.id),
            CisternRole::FeedAndExpansion => body.1.push(&cistern.id),
        }
    }
    for cylinder in &site.layout().cylinders {
        bodies.entry(waters.of_part(&cylinder.id)).or_default().0.push(&cylinder.id);
        if cylinder.coil == Some(true) {
            bodies.entry(waters.of_coil(&cylinder.id)).or_default().1.push(&cylinder.id);
        }
    }
    let mut joined: Vec<(usize, Vec<&Id>)> = bodies
        .into_iter()
        .filter(|(_, (stored, primary))| !stored.is_empty() && !primary.is_empty())
        .map(|(body, (stored, primary))| {
            let mut parts: Vec<&Id> = stored.into_iter().chain(primary).collect();
            parts.sort_unstable();
            parts.dedup();
            (body, parts)
        })
        .collect();
    joined.sort_unstable_by(|a, b| a.1.cmp(&b.1));
    joined
}

/// Where the two meet in a body of water: all places of the likeliest kind, in the order of the pipes.
fn meetings_in<'s>(site: &'s Site<'_>, body: usize) -> Vec<Meeting<'s>> {
    let runs = 0..site.layout().runs.len();
    let in_body = runs.filter(|run| site.waters().of_run(*run) == body && !is_dry(site, *run));
    let mut meetings: Vec<Meeting<'_>> =
        in_body.flat_map(|run| with_pipes(site, run).chain(with_vessels(site, run)).collect::<Vec<_>>()).collect();
    let likeliest = meetings.iter().map(|meeting| meeting.likely).min();
    meetings.retain(|meeting| Some(meeting.likely) == likeliest);
    meetings
}

/// A warning pipe is dry, and joins no waters.
fn is_dry(site: &Site<'_>, run: usize) -> bool {
    site.run(run).service == Service::WarningPipe
}

/// What a pipe is for; nothing for the main.
fn pipe_for(site: &Site<'_>, run: usize) -> Option<For> {
    match site.run(run).service {
        Service::RisingMain => None,
        service if service.is_primary() => Some(For::Primary),
        _ => Some(For::Stored),
    }
}

/// Where a pipe meets others, each pair once.
fn with_pipes<'s>(site: &'s Site<'_>, run: usize) -> impl Iterator<Item = Meeting<'s>> {
    let joints = site.joints(run).iter().filter(move |joint| !is_dry(site, joint.other));
    joints.filter_map(move |joint| {
        let likely = match (pipe_for(site, run), pipe_for(site, joint.other)) {
            (Some(own), Some(other)) if own != other && run < joint.other => Likely::AmongThem,
            (Some(For::Primary), None) => Likely::ByMain,
            _ => return None,
        };
        let parts = [run, joint.other].map(|run| &site.run(run).id);
        let [own, other] = parts.map(Id::spoken);
        let words = format!("{own} and {other} meet {} mm along the {own}", whole_mm(joint.at_mm));
        Some(Meeting { likely, parts, place: Place::of(parts[0], Feature::Along(joint.at_mm)), words })
    })
}

/// Where a pipe ends on a vessel that is for the other.
fn with_vessels<'s>(site: &'s Site<'_>, run: usize) -> impl Iterator<Item = Meeting<'s>> {
    site.run(run).ends().into_iter().filter_map(move |end| {
        let End::Port(part, port) = end else { return None };
        let (own, vessel) = (pipe_for(site, run)?, vessel_for(site, part, port)?);
        let is_direct = matches!(port.as_str(), PRIMARY_FLOW | PRIMARY_RETURN);
        (own != vessel).then(|| Meeting {
            likely: if is_direct { Likely::AtDirectTapping } else { Likely::AmongThem },
            parts: [&site.run(run).id, part],
            place: Place::of(part, Feature::Port(port.clone())),
            words: format!("{} ends on {} of {}", site.run(run).id.spoken(), port.spoken(), part.with_article()),
        })
    })
}

/// What the water behind a port is for; nothing where it is the main's, or is asked of each outlet by itself.
fn vessel_for(site: &Site<'_>, part: &Id, port: &Id) -> Option<For> {
    match (site.part(part)?, port.as_str()) {
        (PartRef::Cistern(_), INLET) | (PartRef::Boiler(_), MAINS | HOT) => None,
        (PartRef::Cistern(cistern), _) if cistern.role == CisternRole::Storage => Some(For::Stored),
        (PartRef::Cylinder(cylinder), COIL_FLOW | COIL_RETURN) => (cylinder.coil == Some(true)).then_some(For::Primary),
        (PartRef::Cistern(_) | PartRef::Boiler(_), _) => Some(For::Primary),
        (PartRef::Cylinder(_), _) => Some(For::Stored),
        _ => None,
    }
}
