//! Whether what is told by its place on a vessel lies on it: a hole beyond an edge is drawn in the air.

use super::reading::written_mm;
use super::standing::Vessel;
use super::{Feature, Place, Reading, Site};
use crate::layout::{INLET, Id, Tapping};

/// What is told no further than this beyond an edge is at the edge, mm: distances are rounded (common practice, no source).
const AT_THE_EDGE_MM: f64 = 1.0;

/// For each cylinder, and each cistern of which holes are told: whether all of them lie in its sides, base and top.
#[must_use]
pub fn all_on_their_vessel(site: &Site<'_>) -> Vec<Reading> {
    let reading = |vessel: Vessel<'_>| {
        let holes = holes_of(vessel);
        let off = holes.iter().find_map(|(port, on)| off_its_edge(vessel, port, *on));
        let on_it = || Reading::choice(vessel.id(), Ok::<_, String>("holes that lie on their vessel"));
        // A cylinder has its usual holes where nobody has told of others.
        let is_asked = matches!(vessel, Vessel::Cylinder(_)) || !holes.is_empty();
        is_asked.then(|| off.unwrap_or_else(on_it))
    };
    Vessel::all(site).filter_map(reading).collect()
}

/// The holes of a vessel that are told, with that of a float valve.
fn holes_of(vessel: Vessel<'_>) -> Vec<(Id, Tapping)> {
    let (connections, float_valve) = match vessel {
        Vessel::Cistern(cistern) => (&cistern.connections, cistern.float_valve),
        Vessel::Cylinder(cylinder) => (&cylinder.connections, None),
    };
    let inlet = float_valve.map(|valve| (Id::of(INLET), valve.shank));
    connections.iter().map(|hole| (hole.port.clone(), hole.on)).chain(inlet).collect()
}

fn off_its_edge(vessel: Vessel<'_>, port: &Id, on: Tapping) -> Option<Reading> {
    let (left_mm, right_mm) = vessel.span_mm();
    let (reach_mm, is_told) = match on {
        Tapping::Left(_) | Tapping::Right(_) => (vessel.top_mm() - vessel.base_mm(), "above the base"),
        Tapping::Base(_) | Tapping::Top(_) => (right_mm - left_mm, "from the left side"),
    };
    let told_mm = on.distance().to_mm();
    let is_on_it = (-AT_THE_EDGE_MM..=reach_mm + AT_THE_EDGE_MM).contains(&told_mm);
    (!is_on_it).then(|| {
        let (id, at) = (vessel.id(), Place::of(vessel.id(), Feature::Port(port.clone())));
        let find_out = format!(
            "measure where the hole of {} is in the {}: {} mm {is_told} are told, of {} mm",
            port.spoken(),
            id.spoken(),
            written_mm(told_mm),
            written_mm(reach_mm)
        );
        Reading::untold(id, find_out).at(at)
    })
}
