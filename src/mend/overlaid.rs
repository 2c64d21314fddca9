//! Pipes that come to lie along one another, or through a cylinder: no rule of a section asks after it, and no installer
//! would draw it so.

use foldhash::HashMap;
use glam::DVec2;

use crate::geom::{Polyline, overlap};
use crate::layout::{Cylinder, Id, Layout, Run, Traces};
use crate::units::Size;

/// What lies along one another no further than this is a joint or an elbow, mm; common practice, no source.
const JOINT_MM: f64 = 50.0;
/// Stretches whose directions differ by no more than this lie along one another, as the sine of the angle between them: a
/// fall of 1:40.
const ALIKE: f64 = 0.025;
/// Tubes lie on one another within this even where nobody has told how wide they are, mm.
const SAME_PLACE_MM: f64 = 1.0;

/// Whether some pipe lies along another, or through a cylinder, of which it was clear before.
pub(super) fn lays_over(before: &Layout, after: &Layout) -> bool {
    let (was, is) = (Traces::of(before), Traces::of(after));
    let numbers: HashMap<&Id, usize> = before.runs.iter().enumerate().map(|(number, run)| (&run.id, number)).collect();
    let line_before = |run: &Run| was.line(*numbers.get(&run.id)?);
    let mut moved = (after.runs.iter().enumerate())
        .filter_map(|(number, run)| Some((number, run, is.line(number)?)))
        .filter(|(_, run, line)| line_before(run) != Some(*line));
    let is_laid = |(number, run, line): (usize, &Run, &Polyline)| {
        let over_others = after.runs.iter().enumerate().any(|(other_number, other)| {
            let near_mm = (half_mm(run) + half_mm(other)).max(SAME_PLACE_MM);
            let along = |a: &Polyline, b: &Polyline| along_mm(a, b, near_mm) > JOINT_MM;
            let lay_so = || line_before(run).zip(line_before(other)).is_some_and(|(a, b)| along(a, b));
            other_number != number && is.line(other_number).is_some_and(|over| along(line, over)) && !lay_so()
        });
        let through =
            |line: &Polyline, layout: &Layout| layout.cylinders.iter().any(|part| inside_mm(line, part) > JOINT_MM);
        over_others || (through(line, after) && !line_before(run).is_some_and(|line| through(line, before)))
    };
    moved.any(is_laid)
}

fn half_mm(run: &Run) -> f64 {
    run.size.map_or(0.0, Size::to_mm) / 2.0
}

/// How far two pipes lie along one another nearer than so much, mm.
fn along_mm(line: &Polyline, other: &Polyline, near_mm: f64) -> f64 {
    let along = |(from, to): (DVec2, DVec2), (start, end): (DVec2, DVec2)| {
        let (way, long_mm) = ((to - from).normalize_or_zero(), from.distance(to));
        let place = |point: DVec2| (point - from).dot(way);
        let is_beside = way.perp_dot((end - start).normalize_or_zero()).abs() <= ALIKE
            && (start.midpoint(end) - from).perp_dot(way).abs() < near_mm;
        let shared = overlap((0.0, long_mm), (place(start).min(place(end)), place(start).max(place(end))));
        shared.filter(|_| is_beside).map_or(0.0, |(first, last)| last - first)
    };
    line.segments().flat_map(|stretch| other.segments().map(move |of| along(stretch, of))).sum()
}

/// How far a pipe runs inside the outline of a cylinder, mm.
fn inside_mm(line: &Polyline, cylinder: &Cylinder) -> f64 {
    let across_mm = cylinder.span_mm();
    let up_mm = (cylinder.at.z.to_mm(), cylinder.top().to_mm());
    let inside = |(from, to): (DVec2, DVec2)| {
        let by = to - from;
        let shares = share_within(from.x, by.x, across_mm).zip(share_within(from.y, by.y, up_mm));
        let shared = shares.and_then(|(across, up)| overlap(across, up)).and_then(|both| overlap(both, (0.0, 1.0)));
        shared.map_or(0.0, |(first, last)| (last - first) * by.length())
    };
    line.segments().map(inside).sum()
}

/// From which share of a stretch to which it lies between two bounds along an axis, as if it went on for ever.
fn share_within(from_mm: f64, by_mm: f64, (low_mm, high_mm): (f64, f64)) -> Option<(f64, f64)> {
    if by_mm.abs() < f64::EPSILON {
        return (from_mm > low_mm && from_mm < high_mm).then_some((f64::NEG_INFINITY, f64::INFINITY));
    }
    let (low, high) = ((low_mm - from_mm) / by_mm, (high_mm - from_mm) / by_mm);
    Some((low.min(high), low.max(high)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A cylinder from 1000 to 1400 across and 0 to 900 up, and two pipes of 22 mm.
    fn two_pipes(upright_at: f64, level_at: f64) -> Layout {
        let text = format!(
            r#"(format: 1, cylinders: [(id: "cylinder", at: (1000, 0), diameter: 400, height: 900)], runs: [
            (id: "one", service: ColdDistribution, size: 22, from: Open((500, 0)), via: [(500, 2000)], to: Open((0, 2000))),
            (id: "other", service: HotDistribution, size: 22, from: Open(({upright_at}, 1500)),
                via: [({upright_at}, {level_at})], to: Open((2000, {level_at})))])"#
        );
        let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
        options.from_str(&text).expect("reads")
    }

    #[test]
    fn a_pipe_that_comes_to_lie_on_another_or_through_a_cylinder_is_seen() {
        let clear = two_pipes(700.0, 1200.0);
        assert!(!lays_over(&clear, &clear));
        assert!(lays_over(&clear, &two_pipes(515.0, 1200.0)), "15 mm beside a tube as wide");
        assert!(!lays_over(&clear, &two_pipes(525.0, 1200.0)), "beside it");
        assert!(!lays_over(&clear, &two_pipes(700.0, 1600.0)), "above the cylinder");
        assert!(lays_over(&clear, &two_pipes(700.0, 600.0)), "level through the cylinder");
        assert!(lays_over(&clear, &two_pipes(1200.0, 300.0)), "down into the cylinder");
        // What lay so before may go on to.
        assert!(!lays_over(&two_pipes(515.0, 1200.0), &two_pipes(510.0, 1200.0)));
        assert!(!lays_over(&two_pipes(700.0, 600.0), &two_pipes(700.0, 500.0)));
    }
}
