//! Which way leads straight on at a tee, and which branches off.

use super::Fitting;
use super::build::in_square_bends;
use crate::geom::Polyline;
use crate::layout::{Id, WhichEnd};
use crate::measure::Site;

/// What turns by no more than this at a tee goes straight on, degrees: halfway between the two (common practice, no
/// source).
const STRAIGHT_ON_DEGREES: f64 = 45.0;
/// So near a corner a line still runs in one direction, mm.
const BESIDE_MM: f64 = 1e-3;

/// What a run takes where it goes on past a tee on it: a tee in a corner turns the water as a branch does.
pub(super) fn past(line: &Polyline, at_mm: f64) -> Fitting {
    if turns_at(line, at_mm) { Fitting::TeeBranch } else { Fitting::TeeThrough }
}

/// What a run takes where it ends on another, and how many of it: off to the side, but for one that carries straight on
/// what the other, in a corner, leaves. One that carries on from the other's end takes what it bends there.
pub(super) fn off(site: &Site<'_>, run: usize, end: WhichEnd, other: &Id, at_mm: f64) -> (Fitting, f64) {
    let number = site.run_number(other);
    let Some((line, number, other)) = number.and_then(|number| Some((site.line(run)?, number, site.line(number)?)))
    else {
        return (Fitting::TeeBranch, 1.0);
    };
    let leaves = match end {
        WhichEnd::From => line.direction_at(0.0),
        WhichEnd::To => -line.direction_at(line.length()),
    };
    let at_mm = other.joined_at(at_mm);
    if site.is_end_to_end(number, at_mm) {
        let comes = if at_mm > other.length() / 2.0 {
            other.direction_at(at_mm - BESIDE_MM)
        } else {
            -other.direction_at(at_mm)
        };
        return (Fitting::Bend, in_square_bends(comes.angle_to(leaves).to_degrees().abs()));
    }
    let comes = other.direction_at(at_mm - BESIDE_MM);
    let straight_on = comes.angle_to(leaves).to_degrees().abs() <= STRAIGHT_ON_DEGREES;
    (if straight_on && turns_at(other, at_mm) { Fitting::TeeThrough } else { Fitting::TeeBranch }, 1.0)
}

fn turns_at(line: &Polyline, at_mm: f64) -> bool {
    let (comes, leaves) = (line.direction_at(at_mm - BESIDE_MM), line.direction_at(at_mm + BESIDE_MM));
    comes.angle_to(leaves).to_degrees().abs() > STRAIGHT_ON_DEGREES
}
