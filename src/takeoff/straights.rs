//! Straight lengths of pipe from bend to bend, in however many runs they are drawn: along them the clips stand.

use glam::DVec2;

use super::stretches::{between, corners, same_place};
use crate::layout::{Run, WhichEnd};
use crate::measure::Site;
use crate::measure::pipe_joints::{JointKind, LEAST_BEND_DEGREES, PipeJoint, PipeLeg};
use crate::num::Union;

/// A straight length of pipe.
pub(super) struct Straight {
    /// The runs on which it lies, by their numbers, in order.
    pub runs: Vec<usize>,
    pub length_mm: f64,
    pub is_upright: bool,
}

/// What of a straight length lies on one run.
struct Piece {
    run: usize,
    from_mm: f64,
    to_mm: f64,
    is_upright: bool,
}

/// By run: the straight lengths of which it is the first. One goes on over a joint in line with it, where tube and clips are
/// the same.
pub(super) fn by_first_run(site: &Site<'_>) -> Vec<Vec<Straight>> {
    let runs = 0..site.layout().runs.len();
    let of_runs: Vec<Vec<Piece>> = runs.clone().map(|run| pieces(site, run)).collect();
    let firsts: Vec<usize> =
        of_runs.iter().scan(0, |next, own| Some(std::mem::replace(next, *next + own.len()))).collect();
    let ending_at = |leg: &PipeLeg| {
        let ends_here = |piece: &Piece| match leg.toward {
            WhichEnd::From => same_place(piece.to_mm, leg.at_mm),
            WhichEnd::To => same_place(piece.from_mm, leg.at_mm),
        };
        Some(firsts[leg.run] + of_runs[leg.run].iter().position(ends_here)?)
    };
    let pieces: Vec<&Piece> = of_runs.iter().flatten().collect();
    let mut joined = Union::of(pieces.len());
    for joint in site.pipe_joints() {
        let Some((one, other)) = in_line(&joint) else { continue };
        if let Some((one, other)) = ending_at(one).zip(ending_at(other))
            && is_hung_alike(site.run(pieces[one].run), site.run(pieces[other].run))
            && pieces[one].is_upright == pieces[other].is_upright
        {
            joined.join(one, other);
        }
    }
    let mut straights: Vec<Option<Straight>> = pieces.iter().map(|_| None).collect();
    for (piece, first) in pieces.iter().zip(joined.roots()) {
        let new = || Straight { runs: Vec::new(), length_mm: 0.0, is_upright: piece.is_upright };
        let straight = straights[first].get_or_insert_with(new);
        straight.length_mm += piece.to_mm - piece.from_mm;
        if straight.runs.last() != Some(&piece.run) {
            straight.runs.push(piece.run);
        }
    }
    let mut by_run: Vec<Vec<Straight>> = runs.map(|_| Vec::new()).collect();
    for straight in straights.into_iter().flatten() {
        by_run[straight.runs[0]].push(straight);
    }
    by_run
}

/// What of a run lies between its bends.
fn pieces(site: &Site<'_>, run: usize) -> Vec<Piece> {
    let Some(line) = site.line(run) else { return Vec::new() };
    let cuts = corners(line).iter().map(|turn| turn.at_mm).collect();
    let piece = |(from_mm, to_mm): (f64, f64)| {
        let chord: DVec2 = line.point_at(to_mm) - line.point_at(from_mm);
        Piece { run, from_mm, to_mm, is_upright: chord.y.abs() >= chord.x.abs() }
    };
    between(cuts, line.length()).map(piece).collect()
}

/// The two legs of a joint that lie in line, with no bend between.
fn in_line(joint: &PipeJoint) -> Option<(&PipeLeg, &PipeLeg)> {
    let (one, other) = match joint.kind() {
        JointKind::EndToEnd { .. } => (0, 1),
        JointKind::Tees { in_line } => in_line?,
    };
    (joint.turn_degrees((one, other)) < LEAST_BEND_DEGREES).then(|| (&joint.legs[one], &joint.legs[other]))
}

/// Whether two runs are of one tube, with clips as far apart.
fn is_hung_alike(one: &Run, other: &Run) -> bool {
    (one.material, one.size, one.clips) == (other.material, other.size, other.clips)
}
