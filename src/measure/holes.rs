//! Whether what is told by its place on a vessel lies on it: a hole beyond an edge is drawn in the air.

use super::reading::written_mm;
use super::standing::Vessel;
use super::{Feature, Place, Reading, Site};
use crate::layout::{Cistern, INLET, Id, Service, Tapping};

/// What is told no further than this beyond an edge is at the edge, mm: distances are rounded (common practice, no source).
const AT_THE_EDGE_MM: f64 = 1.0;

/// No float valve in a cistern's side lets its water go higher than this above the rim, mm: a lid lies there (assumption).
const VALVE_OVER_RIM_MM: f64 = 100.0;

/// A place on a vessel that is told where the vessel is not.
pub struct Off {
    /// Where it is drawn.
    pub place: Place,
    /// The runs of water that begin or end there, by their numbers; no warning pipe, of which `overflow_level` asks.
    pub runs: Vec<usize>,
    /// What to find out.
    pub find_out: String,
}

/// For each cylinder, and each cistern of which holes are told: whether all of them lie in its sides, base and top, and
/// the outlet of its float valve in it.
#[must_use]
pub fn all_on_their_vessel(site: &Site<'_>) -> Vec<Reading> {
    let reading = |vessel: Vessel<'_>| {
        // A cylinder has its usual holes where nobody has told of others.
        let is_asked = matches!(vessel, Vessel::Cylinder(_)) || !holes_of(vessel).is_empty();
        let off = site.off_vessels().iter().filter(|off| off.place.part.as_ref() == Some(vessel.id()));
        let off: Vec<&Off> = off.collect();
        is_asked.then(|| match off.first() {
            None => Reading::choice(vessel.id(), Ok::<_, String>("holes that lie on their vessel")),
            Some(first) => {
                let find_out: Vec<&str> = off.iter().map(|off| off.find_out.as_str()).collect();
                Reading::untold(vessel.id(), find_out.join("; ")).at(first.place.clone())
            }
        })
    };
    Vessel::all(site.layout()).filter_map(reading).collect()
}

/// All that is told beyond the edge of its vessel.
pub(super) fn off_their_vessels(site: &Site<'_>) -> Vec<Off> {
    let of_vessel = |vessel| {
        let holes = holes_of(vessel).into_iter().filter_map(move |(port, on)| hole_off(site, vessel, port, on));
        let valve = if let Vessel::Cistern(cistern) = vessel { valve_off(cistern) } else { None };
        holes.chain(valve)
    };
    Vessel::all(site.layout()).flat_map(of_vessel).collect()
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

fn hole_off(site: &Site<'_>, vessel: Vessel<'_>, port: Id, on: Tapping) -> Option<Off> {
    let (left_mm, right_mm) = vessel.span_mm();
    let (reach_mm, is_told) = match on {
        Tapping::Left(_) | Tapping::Right(_) => (vessel.top_mm() - vessel.base_mm(), "above the base"),
        Tapping::Base(_) | Tapping::Top(_) => (right_mm - left_mm, "from the left side"),
    };
    let told_mm = on.distance().to_mm();
    let is_on_it = (-AT_THE_EDGE_MM..=reach_mm + AT_THE_EDGE_MM).contains(&told_mm);
    (!is_on_it).then(|| {
        let find_out = format!(
            "measure where the hole of {} is in {}: {} mm {is_told} are told, of {} mm",
            port.spoken(),
            vessel.id().with_article(),
            written_mm(told_mm),
            written_mm(reach_mm)
        );
        let here = site.on_port(vessel.id(), port.as_str()).map(|pipe| pipe.run);
        let runs = here.filter(|run| site.run(*run).service != Service::WarningPipe).collect();
        Off { place: Place::of(vessel.id(), Feature::Port(port)), runs, find_out }
    })
}

/// The outlet of a float valve that is told below the base, or so high above the rim that no lid would go over it.
fn valve_off(cistern: &Cistern) -> Option<Off> {
    let (told_mm, height_mm) = (cistern.float_valve?.outlet?.to_mm(), cistern.height.to_mm());
    let is_in_it = (-AT_THE_EDGE_MM..=height_mm + VALVE_OVER_RIM_MM).contains(&told_mm);
    (!is_in_it).then(|| Off {
        place: Place::of(&cistern.id, Feature::FloatValveOutlet),
        runs: Vec::new(),
        find_out: format!(
            "measure where the float valve of {} lets its water go: {} mm above the base are told, of {} mm",
            cistern.id.with_article(),
            written_mm(told_mm),
            written_mm(height_mm)
        ),
    })
}
