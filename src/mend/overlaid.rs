//! Pipes that come to lie along one another, or through a vessel: no rule of a section asks after it, and no installer
//! would draw it so.

use glam::DVec2;

use crate::geom::{Polyline, overlap};
use crate::layout::{End, Id, Layout, Run, Traces};
use crate::measure::standing::Vessel;
use crate::units::Size;

/// What lies along one another no further than this is a joint or an elbow, mm; common practice, no source.
const JOINT_MM: f64 = 50.0;
/// Stretches whose directions differ by no more than this lie along one another, as the sine of the angle between them: a
/// fall of 1:40.
const ALIKE: f64 = 0.025;
/// Tubes lie on one another within this even where nobody has told how wide they are, mm.
const ON_ONE_ANOTHER_MM: f64 = 1.0;

/// Whether some pipe lies along another, or through a vessel that it does not join, of which it was clear before.
pub(super) fn lays_over(before: &Layout, after: &Layout) -> bool {
    !laid_over(before, after).is_empty()
}

/// The pipes that have been moved so, each as often as there are things on which it lies.
pub(super) fn laid_over(before: &Layout, after: &Layout) -> Vec<Id> {
    let (was, is) = (Traces::of(before), Traces::of(after));
    let line_before = |run: &Run| was.of_run(&run.id);
    let moved = (after.runs.iter().enumerate())
        .filter_map(|(number, run)| Some((number, run, is.line(number)?)))
        .filter(|(_, run, line)| line_before(run) != Some(*line));
    let laid = |(number, run, line): (usize, &Run, &Polyline)| {
        let is_over = |(other_number, other): &(usize, &Run)| {
            let near_mm = (half_mm(run) + half_mm(other)).max(ON_ONE_ANOTHER_MM);
            let along = |a: &Polyline, b: &Polyline| along_mm(a, b, near_mm) > JOINT_MM;
            let lay_so = || line_before(run).zip(line_before(other)).is_some_and(|(a, b)| along(a, b));
            *other_number != number && is.line(*other_number).is_some_and(|over| along(line, over)) && !lay_so()
        };
        let over = after.runs.iter().enumerate().filter(is_over).count();
        let was_through = |vessel: Vessel<'_>| {
            let is_through = |line| Vessel::all(before).any(|old| old.id() == vessel.id() && is_in_the_way(old, line));
            line_before(run).is_some_and(is_through)
        };
        let is_laid = |vessel: &Vessel<'_>| {
            !is_joined_by(*vessel, run, line) && is_in_the_way(*vessel, line) && !was_through(*vessel)
        };
        let through = Vessel::all(after).filter(is_laid).count();
        std::iter::repeat_n(run.id.clone(), over + through)
    };
    moved.flat_map(laid).collect()
}

fn is_in_the_way(vessel: Vessel<'_>, line: &Polyline) -> bool {
    inside_mm(line, vessel) > JOINT_MM
}

/// Whether a pipe ends on a vessel, or in the open over or in a cistern.
fn is_joined_by(vessel: Vessel<'_>, run: &Run, line: &Polyline) -> bool {
    let (vertices, (left, right)) = (line.vertices(), vessel.span_mm());
    let is_in_cistern =
        |at: DVec2| matches!(vessel, Vessel::Cistern(_)) && (left..=right).contains(&at.x) && at.y > vessel.base_mm();
    let ends = [(&run.from, vertices[0]), (&run.to, vertices[vertices.len() - 1])];
    ends.into_iter().any(|(end, at)| match end {
        End::Port(part, _) => part == vessel.id(),
        End::Open(_) => is_in_cistern(at),
        End::Tee(..) | End::Onward(_) => false,
    })
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

/// How far a pipe runs inside the outline of a vessel, mm.
fn inside_mm(line: &Polyline, vessel: Vessel<'_>) -> f64 {
    let (across_mm, up_mm) = (vessel.span_mm(), (vessel.base_mm(), vessel.top_mm()));
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
    fn a_pipe_may_go_through_a_vessel_that_it_joins_alone() {
        let clear = two_pipes(700.0, 1200.0);
        assert_eq!(laid_over(&clear, &two_pipes(700.0, 600.0)), vec![Id::of("other")]);
        let joined = |level_at: f64| {
            let mut layout = two_pipes(700.0, level_at);
            layout.runs[1].from = End::Port(Id::of("cylinder"), Id::of(crate::layout::COLD_INLET));
            layout
        };
        assert!(!lays_over(&joined(1200.0), &joined(600.0)));
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
