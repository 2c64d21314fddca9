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
pub(super) const ARROWS_INSIDE_MM: f64 = 7.0;

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

/// A dimension line that stands clear, with extension lines from the places to it (arrangement of ISO 129-1, from memory).
fn dimension(
    drawn: &mut Vec<Drawn>,
    room: &mut Room,
    mark: &Mark,
    pencil: &Pencil,
    places: (DVec2, DVec2),
    axis: Axis,
) -> OnTheSpot {
    let line = DimensionLine::clear(room, mark, places, axis);
    drawn.extend(line.strokes(pencil));
    let words = line.words_on_blank(room, mark, pencil);
    if let Some((_, area)) = words {
        room.take(area);
    }
    room.take(line.kept());
    let spot = OnTheSpot { leaders_from: line.leaders_from(words.as_ref()), words_done: words.is_some() };
    drawn.extend(words.map(|(words, _)| words));
    spot
}

/// Paper on which a dimension is reckoned as if it were upright: x is the free coordinate, y the measured one, in mm.
#[derive(Clone, Copy)]
struct Turned {
    is_upright: bool,
    scale: f64,
}

impl Turned {
    fn paper(self, point: DVec2) -> DVec2 {
        if self.is_upright { point / self.scale } else { dvec2(point.y, point.x) / self.scale }
    }

    /// Where a place on the turned paper is in the section.
    fn section(self, across_mm: f64, along_mm: f64) -> DVec2 {
        let turned_back = if self.is_upright { dvec2(across_mm, along_mm) } else { dvec2(along_mm, across_mm) };
        turned_back * self.scale
    }
}

/// A dimension line in its place on turned paper.
struct DimensionLine {
    turned: Turned,
    low: DVec2,
    high: DVec2,
    across_mm: f64,
    /// How far it goes on beyond its arrows, where these stand outside.
    outside_mm: f64,
    /// How wide its words are.
    words_mm: f64,
}

impl DimensionLine {
    fn clear(room: &Room, mark: &Mark, (from, to): (DVec2, DVec2), axis: Axis) -> Self {
        let turned = Turned { is_upright: axis == Axis::Upright, scale: room.scale };
        let (mut low, mut high) = (turned.paper(from), turned.paper(to));
        if low.y > high.y {
            std::mem::swap(&mut low, &mut high);
        }
        let outside_mm = if high.y - low.y < ARROWS_INSIDE_MM { 4.5 } else { 0.0 };
        let across_mm = free_line(room, (low, high), outside_mm, turned);
        Self { turned, low, high, across_mm, outside_mm, words_mm: width_mm(&mark.words, SIZE.mm()) }
    }

    fn length_mm(&self) -> f64 {
        self.high.y - self.low.y
    }

    fn words_fit(&self) -> bool {
        self.length_mm() > self.words_mm + 2.0 * ARROW_ROOM_MM
    }

    /// A place on the line, in the section.
    fn at(&self, along_mm: f64) -> DVec2 {
        self.turned.section(self.across_mm, along_mm)
    }

    /// Its extension lines, itself and its arrows.
    fn strokes(&self, pencil: &Pencil) -> Vec<Drawn> {
        let mut strokes = Vec::new();
        for end in [self.low, self.high] {
            let reach = (self.across_mm - end.x).signum();
            if (self.across_mm - end.x).abs() > 0.6 {
                let from = self.turned.section(end.x + reach * 0.5, end.y);
                let to = self.turned.section(self.across_mm + reach * 1.2, end.y);
                strokes.push(Drawn::Line { points: vec![from, to], outline: pencil.solid() });
            }
        }
        let ends = vec![self.at(self.low.y - self.outside_mm), self.at(self.high.y + self.outside_mm)];
        strokes.push(Drawn::Line { points: ends, outline: pencil.outline() });
        let up = (self.turned.section(0.0, 1.0) - self.turned.section(0.0, 0.0)).normalize_or_zero();
        let inward = if self.outside_mm > 0.0 { -1.0 } else { 1.0 };
        strokes.push(arrowhead(self.at(self.low.y), -up * inward, pencil.ink, self.turned.scale));
        strokes.push(arrowhead(self.at(self.high.y), up * inward, pencil.ink, self.turned.scale));
        strokes
    }

    /// The words above the line, which for an upright one is its left side, or below it: in its middle, else where along it
    /// the paper is blank, with the box that they fill. None where they would lie on something.
    fn words_on_blank(&self, room: &Room, mark: &Mark, pencil: &Pencil) -> Option<(Drawn, PaperBox)> {
        if !self.words_fit() {
            return None;
        }
        let is_upright = self.turned.is_upright;
        let above_mm = if is_upright { -OFF_LINE_MM } else { OFF_LINE_MM };
        let below_mm = -above_mm.signum() * (OFF_LINE_MM + ASCENT * SIZE.mm());
        let spare_mm = (self.length_mm() - self.words_mm) / 2.0 - ARROW_ROOM_MM;
        let shares = [0.0, 0.5, -0.5, 1.0, -1.0];
        let middle_mm = f64::midpoint(self.low.y, self.high.y);
        let places = [above_mm, below_mm].into_iter().flat_map(|off_mm| shares.map(|share| (off_mm, share * spare_mm)));
        places.into_iter().find_map(|(off_mm, along_mm)| {
            let words = Drawn::Words {
                at: self.turned.section(self.across_mm + off_mm, middle_mm + along_mm),
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

    /// What nothing else may cover.
    fn kept(&self) -> PaperBox {
        const HOLD_MM: f64 = 1.2;
        let corner = |across_mm: f64, along_mm: f64| self.turned.section(across_mm, along_mm) / self.turned.scale;
        let a = corner(self.across_mm - HOLD_MM, self.low.y - self.outside_mm);
        let b = corner(self.across_mm + HOLD_MM, self.high.y + self.outside_mm);
        PaperBox { low: a.min(b), high: a.max(b) }
    }

    /// Where leaders to it may begin, the best place first, and not where its words stand.
    fn leaders_from(&self, words: Option<&(Drawn, PaperBox)>) -> Vec<DVec2> {
        let (low_mm, high_mm) = (self.low.y, self.high.y);
        let starts_mm = if self.outside_mm > 0.0 {
            // From the tails of the arrows, where nothing hides it.
            vec![high_mm + self.outside_mm, low_mm - self.outside_mm]
        } else if words.is_some() {
            vec![low_mm + 2.0, high_mm - 2.0]
        } else {
            let quarter_mm = self.length_mm() * 0.25;
            vec![f64::midpoint(low_mm, high_mm), low_mm + quarter_mm, low_mm + self.length_mm() * 0.75]
        };
        starts_mm.into_iter().map(|along_mm| self.at(along_mm)).collect()
    }
}

/// Where across the section a dimension line covers least and is not far from its places.
fn free_line(room: &Room, (low, high): (DVec2, DVec2), outside_mm: f64, turned: Turned) -> f64 {
    let (least, most) = (low.x.min(high.x), low.x.max(high.x));
    let mut candidates = vec![f64::midpoint(least, most), least, most];
    for step in 1..=18 {
        let off = 2.5 * f64::from(step);
        candidates.extend([least - off, most + off]);
        if off < most - least {
            candidates.extend([least + off, most - off]);
        }
    }
    let paper = |across: f64, along: f64| turned.section(across, along) / room.scale;
    let cost = |across: f64| {
        let ends = (paper(across - 1.0, low.y - outside_mm), paper(across + 1.0, high.y + outside_mm));
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
