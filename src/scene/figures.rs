//! What a mark draws on the spot: a ring, a stretch of pipe, or a dimension line that stands clear.

use glam::DVec2;

use super::dimension_line::{DimensionSpan, Pens, Turned};
use super::inked::{Drawn, Outline, Turn};
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

/// How far the tails of arrows that stand outside go on, mm; and the gap before an extension line.
const TAIL_MM: f64 = 4.5;
const GAP_MM: f64 = 0.5;
/// Nothing else may cover a dimension line and so much to its either side, mm.
const KEPT_BESIDE_MM: f64 = 1.2;
/// Clear paper between a dimension line and the words on it, and what each of its arrows takes of its length, mm.
const OFF_LINE_MM: f64 = 0.9;
const ARROW_ROOM_MM: f64 = 3.5;
/// The box around words is larger than their letters by so much, mm.
const AROUND_LETTERS_MM: f64 = 0.4;
/// How far letters reach above their foot line, as a share of their size.
const ASCENT: f64 = 0.78;

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

/// A dimension line that stands clear, with extension lines from the places to it.
fn dimension(
    drawn: &mut Vec<Drawn>,
    room: &mut Room,
    mark: &Mark,
    pencil: &Pencil,
    places: (DVec2, DVec2),
    axis: Axis,
) -> OnTheSpot {
    let line = DimensionLine::clear(room, mark, places, axis);
    let pens = Pens { line: pencil.outline(), extensions: pencil.solid(), gap_mm: GAP_MM };
    drawn.extend(line.span.drawn(line.across_mm, &pens));
    let words = line.words_on_blank(room, mark, pencil);
    if let Some((_, area)) = words {
        room.take(area);
    }
    room.take(line.span.strip(line.across_mm, KEPT_BESIDE_MM));
    let spot = OnTheSpot { leaders_from: line.leaders_from(words.as_ref()), words_done: words.is_some() };
    drawn.extend(words.map(|(words, _)| words));
    spot
}

/// A dimension line in its place.
struct DimensionLine {
    span: DimensionSpan,
    across_mm: f64,
    /// How wide its words are.
    words_mm: f64,
}

impl DimensionLine {
    fn clear(room: &Room, mark: &Mark, places: (DVec2, DVec2), axis: Axis) -> Self {
        let span = DimensionSpan::between(Turned { axis, scale: room.scale }, places, TAIL_MM);
        let across_mm = free_line(room, &span);
        Self { span, across_mm, words_mm: width_mm(&mark.words, SIZE.mm()) }
    }

    fn words_fit(&self) -> bool {
        self.span.length_mm() > self.words_mm + 2.0 * ARROW_ROOM_MM
    }

    /// The words above the line, which for an upright one is its left side, or below it: in its middle, else where along it
    /// the paper is blank, with the box that they fill. None where they would lie on something.
    fn words_on_blank(&self, room: &Room, mark: &Mark, pencil: &Pencil) -> Option<(Drawn, PaperBox)> {
        if !self.words_fit() {
            return None;
        }
        let DimensionSpan { turned, low, high, .. } = self.span;
        let is_upright = turned.is_upright();
        let above_mm = if is_upright { -OFF_LINE_MM } else { OFF_LINE_MM };
        let below_mm = -above_mm.signum() * (OFF_LINE_MM + ASCENT * SIZE.mm());
        let spare_mm = (self.span.length_mm() - self.words_mm) / 2.0 - ARROW_ROOM_MM;
        let shares = [0.0, 0.5, -0.5, 1.0, -1.0];
        let middle_mm = f64::midpoint(low.y, high.y);
        let places = [above_mm, below_mm].into_iter().flat_map(|off_mm| shares.map(|share| (off_mm, share * spare_mm)));
        places.into_iter().find_map(|(off_mm, along_mm)| {
            let words = Drawn::Words {
                at: turned.section(self.across_mm + off_mm, middle_mm + along_mm),
                anchor: TextAnchor::Middle,
                words: mark.words.clone(),
                size_mm: SIZE.mm(),
                ink: pencil.ink,
                turn: if is_upright { Turn::Upward } else { Turn::Level },
            };
            let (low, high) = words.words_box(room.scale)?;
            let area = PaperBox { low: low / room.scale, high: high / room.scale };
            room.is_blank(area.grown(-AROUND_LETTERS_MM)).then_some((words, area))
        })
    }

    /// Where leaders to it may begin, the best place first, and not where its words stand.
    fn leaders_from(&self, words: Option<&(Drawn, PaperBox)>) -> Vec<DVec2> {
        let (low_mm, high_mm) = (self.span.low.y, self.span.high.y);
        let outside_mm = self.span.outside_mm;
        let starts_mm = if outside_mm > 0.0 {
            // From the tails of the arrows, where nothing hides it.
            vec![high_mm + outside_mm, low_mm - outside_mm]
        } else if words.is_some() {
            vec![low_mm + 2.0, high_mm - 2.0]
        } else {
            let length_mm = self.span.length_mm();
            vec![f64::midpoint(low_mm, high_mm), low_mm + length_mm * 0.25, low_mm + length_mm * 0.75]
        };
        starts_mm.into_iter().map(|along_mm| self.span.turned.section(self.across_mm, along_mm)).collect()
    }
}

/// Where across the section a dimension line covers least and is not far from its places.
fn free_line(room: &Room, span: &DimensionSpan) -> f64 {
    let (least, most) = span.across_mm();
    let mut candidates = vec![f64::midpoint(least, most), least, most];
    for step in 1..=18 {
        let off = 2.5 * f64::from(step);
        candidates.extend([least - off, most + off]);
        if off < most - least {
            candidates.extend([least + off, most - off]);
        }
    }
    let paper = |across: f64, along: f64| span.turned.paper(across, along);
    let ends = [span.low, span.high];
    let cost = |across: f64| {
        let strip = span.strip(across, 1.0);
        let extensions: f64 = ends.iter().map(|end| room.crossed(paper(end.x, end.y), paper(across, end.y))).sum();
        let reach = (across - least).abs().max((across - most).abs());
        let hidden = if room.is_free(strip) { 0.0 } else { 60.0 };
        let between = if across > least + 1.0 && across < most - 1.0 { 8.0 } else { 0.0 };
        // Right on an end there is no room to see the arrow.
        let tight = ends.iter().filter(|end| (across - end.x).abs() < 2.0).count() as f64;
        let longest = (strip.high - strip.low).max_element().max(1.0);
        hidden + between + 6.0 * room.covered(strip) / longest + 0.25 * extensions + 0.35 * reach + 1.5 * tight
    };
    let best = candidates.into_iter().map(|across| (cost(across), across)).min_by(|a, b| a.0.total_cmp(&b.0));
    best.map_or(least, |(_, across)| across)
}
