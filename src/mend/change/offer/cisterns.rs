//! Changes of cisterns: what closes and lights them, their float valve, their size, their holes.

use super::Broken;
use crate::catalogue::FLOAT_VALVE_SEATS_MM;
use crate::layout::{Cistern, CisternRole, INLET, Id, Tapping};
use crate::mend::change::Change;
use crate::mend::change::exchange::{larger, lower};
use crate::units::Size;

/// A dip tube ends so far below the water line, mm; common practice, no source.
const DIPS_BY_MM: f64 = 50.0;

pub(super) fn changes(broken: &Broken<'_>) -> Vec<Change> {
    match broken.rule() {
        "cistern-lid-not-tight" | "feed-and-expansion-without-lid" => broken.on_subject(Change::TightLid),
        "lid-vent-unscreened" => {
            broken.asked().map_or_else(Vec::new, |mesh_mm| broken.on_subject(|id| Change::LidScreen(id, mesh_mm)))
        }
        "cistern-not-opaque" => broken.on_subject(Change::Opaque),
        "loft-insulation-below-cistern" => broken.on_subject(Change::ClearBelow),
        "float-valve-wrong-pattern" => broken.on_subject(Change::DiaphragmValve),
        "warning-pipe-dip-tube-too-short" => broken.cisterns().next().and_then(dip_tube).into_iter().collect(),
        "cistern-fills-too-slowly" => broken.cisterns().flat_map(wider_seats).collect(),
        "inlet-and-outlet-on-one-side" => broken.cisterns().flat_map(opposite_sides).collect(),
        "storage-too-small-for-taps" | "storage-too-small-for-cylinder" | "storage-less-than-cylinder" => {
            larger_storage(broken)
        }
        "expansion-cistern-too-small" | "expansion-room-too-small" => broken.cisterns().flat_map(larger).collect(),
        "headroom-too-low-at-float-valve" | "headroom-too-low-opposite" => {
            let by_mm = broken.finding.judged.remedy.map_or(0.0, |by| by.value);
            broken.cisterns().flat_map(|part| lower(part, by_mm)).collect()
        }
        _ => Vec::new(),
    }
}

fn dip_tube(cistern: &Cistern) -> Option<Change> {
    let end_mm = cistern.water_line?.to_mm() - DIPS_BY_MM;
    (end_mm > 0.0).then(|| Change::DipTube(cistern.id.clone(), end_mm))
}

/// The next wider seats; none where nobody has told what there is.
fn wider_seats(cistern: &Cistern) -> Vec<Change> {
    let now_mm = cistern.float_valve.and_then(|valve| valve.seat).map_or(f64::MAX, Size::to_mm);
    let wider_mm = FLOAT_VALVE_SEATS_MM.into_iter().filter(|mm| *mm > now_mm);
    wider_mm.map(|mm| Change::Seat(cistern.id.clone(), mm)).collect()
}

/// Larger cisterns in place of those that the finding names, or of any where it names none.
fn larger_storage(broken: &Broken<'_>) -> Vec<Change> {
    let named: Vec<&Cistern> = broken.cisterns().collect();
    let stored = |part: &&Cistern| part.role == CisternRole::Storage;
    let all = if named.is_empty() { broken.layout.cisterns.iter().filter(stored).collect() } else { named };
    all.into_iter().flat_map(larger).collect()
}

/// What leaves a cistern on the side of its float valve, and the float valve itself, over to the other side.
fn opposite_sides(cistern: &Cistern) -> Vec<Change> {
    let valve = cistern.float_valve.map(|valve| valve.shank);
    let same = |on: Tapping| {
        matches!((valve, on), (Some(Tapping::Left(_)), Tapping::Left(_)) | (Some(Tapping::Right(_)), Tapping::Right(_)))
    };
    let holes = cistern.connections.iter().filter(|hole| same(hole.on)).map(|hole| hole.port.clone());
    let inlet = valve.map(|_| Id::of(INLET));
    inlet.into_iter().chain(holes).map(|port| Change::OppositeSide(cistern.id.clone(), port)).collect()
}
