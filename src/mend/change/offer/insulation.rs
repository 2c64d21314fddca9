//! Insulation of pipes, jackets of cisterns and cylinders.

use super::Broken;
use crate::heat::parts_in_loft;
use crate::layout::{End, Id, Layout, Run, Service, WhichEnd};
use crate::measure::Site;
use crate::mend::change::Change;
use crate::mend::handle::{end_on, length_mm, run};
use crate::units::Size;

/// Thicknesses of pipe insulation and jackets that are offered, mm.
const INSULATION_MM: [f64; 4] = [25.0, 32.0, 50.0, 80.0];
/// The thickness of jacket round a cylinder that is offered, mm: what the rule of standing loss names.
const CYLINDER_JACKET_MM: f64 = 80.0;

pub(super) fn changes(broken: &Broken<'_>) -> Vec<Change> {
    match broken.rule() {
        "cistern-without-jacket" | "cistern-warms-in-summer" | "cistern-freezes-too-soon" => jackets(broken),
        "cylinder-loses-too-much" => broken.on_subject(|id| Change::CylinderJacket(id, CYLINDER_JACKET_MM)),
        "cylinder-pipe-uninsulated" => first_metre(broken.layout, &broken.key.parts),
        "loft-pipe-freezes-too-soon" => in_loft(broken.layout, &broken.key.parts),
        "dead-leg-too-long" => throughout(broken.layout, broken.runs()),
        "one-pipe-circulation" => {
            let vent_or_feed = |run: &&Run| matches!(run.service, Service::OpenVent | Service::ColdFeed);
            throughout(broken.layout, broken.layout.runs.iter().filter(vent_or_feed))
        }
        _ => Vec::new(),
    }
}

/// A jacket all round the cistern: as thick as the one that is there, and thicker.
fn jackets(broken: &Broken<'_>) -> Vec<Change> {
    let Some(cistern) = broken.cisterns().next() else { return Vec::new() };
    let now_mm = cistern.jacket.and_then(|jacket| jacket.thickness).map_or(0.0, Size::to_mm);
    let thicker = INSULATION_MM.into_iter().filter(|mm| *mm > now_mm);
    let as_thick = (now_mm > 0.0).then_some(now_mm).into_iter();
    as_thick.chain(thicker).map(|mm| Change::JacketAllRound(cistern.id.clone(), mm)).collect()
}

/// Runs insulated from end to end.
fn throughout<'a>(layout: &Layout, runs: impl Iterator<Item = &'a Run>) -> Vec<Change> {
    let whole = |run: &Run| Some((run.id.clone(), 0.0, length_mm(layout, &run.id)?));
    in_each_thickness(runs.filter_map(whole).collect())
}

/// Runs insulated where they have water in the loft, to the whole millimetre beyond it.
fn in_loft(layout: &Layout, parts: &[Id]) -> Vec<Change> {
    let site = Site::of(layout);
    let is_meant = |(number, _): &(usize, Vec<(f64, f64)>)| parts.contains(&layout.runs[*number].id);
    let of_run = |(number, spans): (usize, Vec<(f64, f64)>)| {
        let id = &layout.runs[number].id;
        let most = length_mm(layout, id).unwrap_or_default();
        spans.into_iter().map(move |(from, to)| (id.clone(), from.floor(), to.ceil().min(most)))
    };
    in_each_thickness(parts_in_loft(&site).into_iter().filter(is_meant).flat_map(of_run).collect())
}

fn in_each_thickness(spans: Vec<(Id, f64, f64)>) -> Vec<Change> {
    if spans.is_empty() { Vec::new() } else { INSULATION_MM.map(|mm| Change::Lag(spans.clone(), mm)).to_vec() }
}

/// The first metre of a run, and of what begins on it there.
fn first_metre(layout: &Layout, parts: &[Id]) -> Vec<Change> {
    const METRE_MM: f64 = 1000.0;
    let mut spans = Vec::new();
    for id in parts {
        let (Some(run), Some(length)) = (run(layout, id), length_mm(layout, id)) else { continue };
        // What is bare may be a branch, which is lagged with the pipe on the cylinder.
        let Some(first) = end_on(run, |part, _| parts.contains(part)) else { continue };
        spans.push(beginning(id, length, first, METRE_MM));
        for branch in &layout.runs {
            for which in WhichEnd::BOTH {
                let End::Tee(on, at) = branch.end(which) else { continue };
                let away_mm = match first {
                    WhichEnd::From => at.to_mm(),
                    WhichEnd::To => length - at.to_mm(),
                };
                if on == id
                    && away_mm < METRE_MM
                    && let Some(own) = length_mm(layout, &branch.id)
                {
                    spans.push(beginning(&branch.id, own, which, METRE_MM - away_mm));
                }
            }
        }
    }
    if spans.is_empty() { Vec::new() } else { vec![Change::Lag(spans, INSULATION_MM[0])] }
}

/// So much of a run from one of its ends on, mm, as far as it goes.
fn beginning(id: &Id, length_mm: f64, first: WhichEnd, most_mm: f64) -> (Id, f64, f64) {
    match first {
        WhichEnd::From => (id.clone(), 0.0, most_mm.min(length_mm)),
        WhichEnd::To => (id.clone(), (length_mm - most_mm).max(0.0), length_mm),
    }
}
