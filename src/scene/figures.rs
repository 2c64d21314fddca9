//! What a mark draws on the spot: a ring, a stretch of pipe, or a dimension line that stands clear.

use glam::{DVec2, dvec2};

use super::inked::{Drawn, Outline, Turn, arrowhead};
use super::lettering::width_mm;
use super::outline::arc;
use super::pencil::Pencil;
use super::room::{PaperBox, Room};
use super::{Emphasis, Mark, MarkFigure, TextAnchor, TextSize};
use crate::measure::Axis;

/// Letter size of what is written on a figure and in notes.
pub(super) const SIZE: TextSize = TextSize::Small;
/// Radius of the pencil ring, mm.
pub(super) const RING_MM: f64 = 2.6;
/// A dimension shorter than this has its arrows outside, mm.
const ARROWS_INSIDE_MM: f64 = 7.0;

/// What a mark left on the spot: where its leader may start, and whether the words stand on the line already.
pub(super) struct OnTheSpot {
    pub leaders_from: Vec<DVec2>,
    pub words_done: bool,
}

pub(super) fn draw_figure(drawn: &mut Vec<Drawn>, room: &mut Room, mark: &Mark) -> OnTheSpot {
    let pencil = Pencil::of(mark);
    if let Emphasis::Small(_) = mark.emphasis {
        return OnTheSpot { leaders_from: vec![middle_of(&mark.figure)], words_done: false };
    }
    match &mark.figure {
        MarkFigure::Ring(at) => ring(drawn, room, &pencil, *at),
        MarkFigure::Stretch(points) => stretch(drawn, room, &pencil, points),
        MarkFigure::Dimension { from, to, axis } => dimension(drawn, room, mark, &pencil, (*from, *to), *axis),
    }
}

/// A ring as a pencil draws it: it overshoots its own beginning.
fn ring(drawn: &mut Vec<Drawn>, room: &Room, pencil: &Pencil, at: DVec2) -> OnTheSpot {
    drawn.push(circle(pencil, RING_MM * room.scale, at));
    OnTheSpot { leaders_from: vec![at], words_done: false }
}

pub(super) fn circle(pencil: &Pencil, radius: f64, at: DVec2) -> Drawn {
    let turn = arc(DVec2::ZERO, DVec2::splat(1.0), 70.0, 470.0);
    let last = (turn.len() - 1) as f64;
    let spiral = |(number, point): (usize, DVec2)| at + point * radius * (0.94 + 0.14 * number as f64 / last);
    let points = turn.into_iter().enumerate().map(spiral).collect();
    Drawn::Line { points, outline: pencil.outline() }
}

/// Where a mark stands that is only a number.
fn middle_of(figure: &MarkFigure) -> DVec2 {
    match figure {
        MarkFigure::Ring(at) => *at,
        MarkFigure::Dimension { from, to, .. } => from.midpoint(*to),
        MarkFigure::Stretch(points) => points.get(points.len() / 2).copied().unwrap_or_default(),
    }
}

/// A pencil line on both sides of a pipe would hide it: one broad stroke beside it, and bars at its ends.
fn stretch(drawn: &mut Vec<Drawn>, room: &Room, pencil: &Pencil, points: &[DVec2]) -> OnTheSpot {
    let line = crate::geom::Polyline::through(points.iter().copied());
    let Some(line) = line else {
        return ring(drawn, room, pencil, points.first().copied().unwrap_or(DVec2::ZERO));
    };
    for (at, inward) in [(0.0, 1.0), (line.length(), -1.0)] {
        let (foot, along) = (line.point_at(at), line.direction_at(at) * inward);
        let bar = along.perp() * 2.0 * room.scale;
        drawn.push(Drawn::Line { points: vec![foot - bar, foot + bar], outline: pencil.solid() });
    }
    let heavy = Outline { width_mm: pencil.width_mm + 0.15, ..pencil.outline() };
    drawn.push(Drawn::Line { points: line.vertices().to_vec(), outline: heavy });
    let shares = [0.5, 0.25, 0.75];
    let leaders_from = shares.iter().map(|share| line.point_at(line.length() * share)).collect();
    OnTheSpot { leaders_from, words_done: false }
}

/// A dimension line that stands clear, with extension lines from the places to it (arrangement of ISO 129-1, from memory).
fn dimension(
    drawn: &mut Vec<Drawn>,
    room: &mut Room,
    mark: &Mark,
    pencil: &Pencil,
    (from, to): (DVec2, DVec2),
    axis: Axis,
) -> OnTheSpot {
    let scale = room.scale;
    let upright = axis == Axis::Upright;
    // Reckoned as if upright: `across` is the free coordinate, `along` the measured one.
    let turned = |point: DVec2| if upright { point / scale } else { dvec2(point.y, point.x) / scale };
    let back =
        |across: f64, along: f64| if upright { dvec2(across, along) * scale } else { dvec2(along, across) * scale };
    let (mut low, mut high) = (turned(from), turned(to));
    if low.y > high.y {
        std::mem::swap(&mut low, &mut high);
    }
    let length = high.y - low.y;
    let outside = if length < ARROWS_INSIDE_MM { 4.5 } else { 0.0 };
    let across = free_line(room, (low, high), outside, &back);
    let mut line = |points: Vec<DVec2>, outline: Outline| drawn.push(Drawn::Line { points, outline });
    for end in [low, high] {
        let reach = (across - end.x).signum();
        if (across - end.x).abs() > 0.6 {
            line(vec![back(end.x + reach * 0.5, end.y), back(across + reach * 1.2, end.y)], pencil.solid());
        }
    }
    line(vec![back(across, low.y - outside), back(across, high.y + outside)], pencil.outline());
    let up = (back(0.0, 1.0) - back(0.0, 0.0)).normalize_or_zero();
    let inward = if outside > 0.0 { -1.0 } else { 1.0 };
    drawn.push(arrowhead(back(across, low.y), -up * inward, pencil.ink, scale));
    drawn.push(arrowhead(back(across, high.y), up * inward, pencil.ink, scale));
    let width = width_mm(&mark.words, SIZE.mm());
    let words_fit = length > width + 7.0;
    if words_fit {
        // Above the line, which for an upright one is its left side.
        let middle = f64::midpoint(low.y, high.y);
        let foot = if upright { back(across - 0.9, middle) } else { back(across + 0.9, middle) };
        let words = Drawn::Words {
            at: foot,
            anchor: TextAnchor::Middle,
            words: mark.words.clone(),
            size_mm: SIZE.mm(),
            ink: pencil.ink,
            turn: if upright { Turn::Upward } else { Turn::Level },
        };
        if let Some((low, high)) = words.words_box(scale) {
            room.take(PaperBox { low: low / scale, high: high / scale });
        }
        drawn.push(words);
    }
    let hold = 1.2;
    let (a, b) = (back(across - hold, low.y - outside) / scale, back(across + hold, high.y + outside) / scale);
    room.take(PaperBox { low: a.min(b), high: a.max(b) });
    let starts = if outside > 0.0 {
        // From the tails of the arrows, where nothing hides it.
        vec![high.y + outside, low.y - outside]
    } else if words_fit {
        vec![low.y + 2.0, high.y - 2.0]
    } else {
        vec![f64::midpoint(low.y, high.y), low.y + length * 0.25, low.y + length * 0.75]
    };
    OnTheSpot { leaders_from: starts.into_iter().map(|along| back(across, along)).collect(), words_done: words_fit }
}

/// Where across the section a dimension line covers least and is not far from its places.
fn free_line(room: &Room, (low, high): (DVec2, DVec2), outside: f64, back: &impl Fn(f64, f64) -> DVec2) -> f64 {
    let (least, most) = (low.x.min(high.x), low.x.max(high.x));
    let mut candidates = vec![f64::midpoint(least, most), least, most];
    for step in 1..=18 {
        let off = 2.5 * f64::from(step);
        candidates.extend([least - off, most + off]);
        if off < most - least {
            candidates.extend([least + off, most - off]);
        }
    }
    let paper = |across: f64, along: f64| back(across, along) / room.scale;
    let cost = |across: f64| {
        let ends = (paper(across - 1.0, low.y - outside), paper(across + 1.0, high.y + outside));
        let strip = PaperBox { low: ends.0.min(ends.1), high: ends.0.max(ends.1) };
        let extensions: f64 =
            [low, high].iter().map(|end| room.crossed(paper(end.x, end.y), paper(across, end.y))).sum();
        let reach = (across - least).abs().max((across - most).abs());
        let hidden = if room.is_free(strip) { 0.0 } else { 60.0 };
        let between = if across > least + 1.0 && across < most - 1.0 { 8.0 } else { 0.0 };
        // Right on an end there is no room to see the arrow.
        let tight = [low, high].iter().filter(|end| (across - end.x).abs() < 2.0).count() as f64;
        let span = (strip.high - strip.low).max_element().max(1.0);
        hidden + between + 6.0 * room.covered(strip) / span + 0.25 * extensions + 0.35 * reach + 1.5 * tight
    };
    let best = candidates.into_iter().map(|across| (cost(across), across)).min_by(|a, b| a.0.total_cmp(&b.0));
    best.map_or(least, |(_, across)| across)
}
