//! How the bends of a run follow when one of its ends is carried along: upright stretches stay upright, level ones level.

use glam::{DVec2, dvec2};

/// A stretch that leans less than this from an axis, as a share of its length along it, is meant to lie along that axis.
const LEAN: f64 = 0.2;
/// A stretch that gives way keeps at least this length, mm, unless it was shorter.
const STUB_MM: f64 = 60.0;
/// What is less than this has not moved, mm.
pub(super) const STILL_MM: f64 = 1e-6;

/// Which way a stretch lies.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Lies {
    Level,
    Upright,
    Aslant,
}

fn lies(stretch: DVec2) -> Lies {
    let size = stretch.abs();
    if size.max_element() < STILL_MM {
        Lies::Aslant
    } else if size.y <= LEAN * size.x {
        Lies::Level
    } else if size.x <= LEAN * size.y {
        Lies::Upright
    } else {
        Lies::Aslant
    }
}

/// Whether a stretch lies level, or is meant to.
pub(super) fn is_level(stretch: DVec2) -> bool {
    lies(stretch) == Lies::Level
}

/// What the last vertex of a run does when a movement reaches it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum FarEnd {
    /// It goes along.
    Loose,
    /// It stays: the last stretch is offset by two bends.
    Fast,
}

/// Carries the first vertex by `by`, and as many of the others as it takes to keep every stretch as it lies.
/// Returns the place of the stretch that was offset by two new bends, where there was no other way.
pub(super) fn carry_first(vertices: &mut Vec<DVec2>, by: DVec2, far_end: FarEnd) -> Option<usize> {
    let first = vertices.first_mut()?;
    let mut before = *first;
    *first += by;
    let mut moved = by;
    for number in 1..vertices.len() {
        let stretch = vertices[number] - before;
        moved = passed_on(stretch, moved);
        if moved.abs().max_element() < STILL_MM {
            return None;
        }
        if number + 1 == vertices.len() && far_end == FarEnd::Fast {
            return offset_last(vertices, lies(stretch));
        }
        before = vertices[number];
        vertices[number] += moved;
    }
    None
}

/// The same from the other end. Loose ends are those at the beginning then.
pub(super) fn carry_last(vertices: &mut Vec<DVec2>, by: DVec2, far_end: FarEnd) -> Option<usize> {
    vertices.reverse();
    // Counted before two bends come in.
    let last = vertices.len().saturating_sub(2);
    let offset = carry_first(vertices, by, far_end).map(|number| last - number);
    vertices.reverse();
    offset
}

/// What of a movement of its beginning a stretch hands on to its end: all that lies across it, and along it what would
/// turn it about or leave too little of it.
fn passed_on(stretch: DVec2, by: DVec2) -> DVec2 {
    match lies(stretch) {
        Lies::Level => {
            let along = pushed(stretch.x, by.x);
            dvec2(along, by.y + kept_lean(stretch.y, stretch.x, stretch.x - by.x + along) - stretch.y)
        }
        Lies::Upright => {
            let along = pushed(stretch.y, by.y);
            dvec2(by.x + kept_lean(stretch.x, stretch.y, stretch.y - by.y + along) - stretch.x, along)
        }
        // What has no length goes along.
        Lies::Aslant if stretch.abs().max_element() < STILL_MM => by,
        Lies::Aslant => DVec2::ZERO,
    }
}

/// How far a stretch that was `length_mm` long leans from its axis when it is `now_mm` long: as far as before, or in
/// proportion where it would lie aslant otherwise.
fn kept_lean(lean_mm: f64, length_mm: f64, now_mm: f64) -> f64 {
    if lean_mm.abs() <= LEAN * now_mm.abs() { lean_mm } else { lean_mm * (now_mm / length_mm).abs() }
}

fn pushed(length_mm: f64, by_mm: f64) -> f64 {
    let kept_mm = length_mm.abs().min(STUB_MM) * length_mm.signum();
    let left_mm = length_mm - by_mm;
    if left_mm * length_mm.signum() >= kept_mm.abs() { 0.0 } else { kept_mm - left_mm }
}

/// Puts two bends into the middle of the last stretch, so that its beginning and its end need not be in line.
fn offset_last(vertices: &mut Vec<DVec2>, lay: Lies) -> Option<usize> {
    let last = vertices.len().checked_sub(2)?;
    let (start, end) = (vertices[last], vertices[last + 1]);
    let middle = start.midpoint(end);
    let bends = match lay {
        Lies::Level => [dvec2(middle.x, start.y), dvec2(middle.x, end.y)],
        Lies::Upright => [dvec2(start.x, middle.y), dvec2(end.x, middle.y)],
        Lies::Aslant => return None,
    };
    vertices.splice(last + 1..last + 1, bends);
    Some(last)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn carried(vertices: &[(f64, f64)], by: (f64, f64), far_end: FarEnd) -> Vec<(f64, f64)> {
        let mut line: Vec<DVec2> = vertices.iter().map(|(x, y)| dvec2(*x, *y)).collect();
        carry_first(&mut line, dvec2(by.0, by.1), far_end);
        line.iter().map(|point| (point.x, point.y)).collect()
    }

    #[test]
    fn a_level_stretch_gives_way_and_an_upright_one_goes_along() {
        let pipe = [(0.0, 3000.0), (400.0, 3000.0), (400.0, 1000.0), (900.0, 1000.0)];
        let up = carried(&pipe, (0.0, 200.0), FarEnd::Fast);
        assert_eq!(up, [(0.0, 3200.0), (400.0, 3200.0), (400.0, 1000.0), (900.0, 1000.0)]);
        let aside = carried(&pipe, (100.0, 0.0), FarEnd::Fast);
        assert_eq!(aside, [(100.0, 3000.0), (400.0, 3000.0), (400.0, 1000.0), (900.0, 1000.0)]);
    }

    #[test]
    fn a_far_movement_pushes_the_drop_along_in_front_of_it() {
        let pipe = [(0.0, 3000.0), (400.0, 3000.0), (400.0, 1000.0), (2000.0, 1000.0)];
        let aside = carried(&pipe, (700.0, 0.0), FarEnd::Fast);
        assert_eq!(aside, [(700.0, 3000.0), (760.0, 3000.0), (760.0, 1000.0), (2000.0, 1000.0)]);
    }

    #[test]
    fn a_pipe_straight_between_two_fast_ends_is_offset() {
        let pipe = [(0.0, 3000.0), (0.0, 1000.0)];
        let aside = carried(&pipe, (250.0, 0.0), FarEnd::Fast);
        assert_eq!(aside, [(250.0, 3000.0), (250.0, 2000.0), (0.0, 2000.0), (0.0, 1000.0)]);
        let loose = carried(&pipe, (250.0, 0.0), FarEnd::Loose);
        assert_eq!(loose, [(250.0, 3000.0), (250.0, 1000.0)]);
    }

    #[test]
    fn the_stretch_that_was_offset_is_told_from_either_end() {
        let pipe = [dvec2(0.0, 3000.0), dvec2(0.0, 1000.0), dvec2(800.0, 1000.0), dvec2(800.0, 200.0)];
        let (mut from_first, mut from_last) = (pipe.to_vec(), pipe.to_vec());
        let offset = carry_first(&mut from_first, dvec2(2000.0, 0.0), FarEnd::Fast);
        assert_eq!((offset, from_first.len()), (Some(2), 6));
        let offset = carry_last(&mut from_last, dvec2(-2000.0, 0.0), FarEnd::Fast);
        assert_eq!((offset, from_last.len()), (Some(0), 6));
    }

    #[test]
    fn a_fall_is_kept_and_a_slanting_pipe_bends_where_it_is_joined() {
        let falling = [(0.0, 3000.0), (900.0, 2960.0), (900.0, 500.0)];
        assert_eq!(carried(&falling, (0.0, -100.0), FarEnd::Fast), [(0.0, 2900.0), (900.0, 2860.0), (900.0, 500.0)]);
        let slanting = [(0.0, 0.0), (500.0, 500.0), (900.0, 500.0)];
        assert_eq!(carried(&slanting, (30.0, 30.0), FarEnd::Fast), [(30.0, 30.0), (500.0, 500.0), (900.0, 500.0)]);
    }

    #[test]
    fn a_stretch_that_is_pushed_together_keeps_its_gradient() {
        let falling = [(0.0, 3000.0), (900.0, 2910.0), (900.0, 500.0), (2000.0, 500.0)];
        let pushed = carried(&falling, (1200.0, 0.0), FarEnd::Fast);
        assert_eq!(pushed[..3], [(1200.0, 3000.0), (1260.0, 2994.0), (1260.0, 500.0)]);
    }

    #[test]
    fn a_single_stretch_is_offset_from_either_end() {
        let straight = vec![dvec2(0.0, 0.0), dvec2(1000.0, 0.0)];
        for carry in [carry_first, carry_last] {
            let mut line = straight.clone();
            assert_eq!(carry(&mut line, dvec2(0.0, 50.0), FarEnd::Fast), Some(0));
            assert_eq!(line.len(), 4);
        }
    }
}
