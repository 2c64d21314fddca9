//! A run as the fitter sees it: what lies between bends, tees and valves.

use glam::DVec2;

use crate::geom::Polyline;
use crate::layout::{PartRef, Run, WhichEnd};
use crate::measure::Site;
use crate::measure::pipe_joints::LEAST_BEND_DEGREES;

/// What lies nearer along a run is in one place, mm.
const ONE_PLACE_MM: f64 = 1.0;

/// A turn of a run that takes a bend.
pub(super) struct Turn {
    /// Distance along the run.
    pub at_mm: f64,
    /// By how much it turns.
    pub degrees: f64,
}

/// The turns of a run that take a bend; none where a tee makes the turn.
pub(super) fn turns(site: &Site<'_>, number: usize, line: &Polyline) -> Vec<Turn> {
    let is_teed = |turn: &Turn| site.joints(number).iter().any(|joint| same_place(joint.at_mm, turn.at_mm));
    corners(line).into_iter().filter(|turn| !is_teed(turn)).collect()
}

/// Where a line turns by as much as a bend.
pub(super) fn corners(line: &Polyline) -> Vec<Turn> {
    let turn = |(index, corner): (usize, &[DVec2])| {
        let (before, after) = (corner[1] - corner[0], corner[2] - corner[1]);
        let degrees = before.angle_to(after).abs().to_degrees();
        (degrees >= LEAST_BEND_DEGREES).then(|| Turn { at_mm: line.along()[index + 1], degrees })
    };
    line.vertices().windows(3).enumerate().filter_map(turn).collect()
}

pub(super) fn same_place(a_mm: f64, b_mm: f64) -> bool {
    (a_mm - b_mm).abs() <= ONE_PLACE_MM
}

/// The lengths into which the tube of a run is cut: from bend, tee or valve to the next, mm.
pub(super) fn cut_lengths_mm(site: &Site<'_>, number: usize, line: &Polyline) -> Vec<f64> {
    let run = site.run(number);
    let mut cuts: Vec<f64> = turns(site, number, line).iter().map(|turn| turn.at_mm).collect();
    cuts.extend(site.joints(number).iter().map(|joint| joint.at_mm));
    cuts.extend(run.fittings.iter().flatten().map(|fitting| fitting.at.to_mm()));
    let mut lengths: Vec<f64> = between(cuts, line.length()).map(|(from, to)| to - from).collect();
    lengths.extend(front_to_back_mm(site, run).filter(|length| *length > ONE_PLACE_MM));
    lengths
}

pub(super) fn between(mut cuts: Vec<f64>, length: f64) -> impl Iterator<Item = (f64, f64)> {
    cuts.retain(|at| *at > ONE_PLACE_MM && *at < length - ONE_PLACE_MM);
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|a, b| same_place(*a, *b));
    cuts.push(length);
    let mut from = 0.0;
    cuts.into_iter().map(move |to| (std::mem::replace(&mut from, to), to))
}

/// How far a run goes front to back between two vessels; none where that is not told for both.
pub(super) fn front_to_back_mm(site: &Site<'_>, run: &Run) -> Option<f64> {
    let behind_mm = |which: WhichEnd| match site.part_at(run.end(which))? {
        PartRef::Cistern(cistern) => Some(cistern.behind?.to_mm()),
        PartRef::Cylinder(cylinder) => Some(cylinder.behind?.to_mm()),
        _ => None,
    };
    Some((behind_mm(WhichEnd::From)? - behind_mm(WhichEnd::To)?).abs())
}
