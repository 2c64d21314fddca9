//! The scene inked for one scale: plain lines, areas and words, which is all that a painter has to know.

use std::ops::Range;

use glam::{DVec2, dvec2};

use super::dimensions::{Dimension, place_dimensions};
use super::labels::{LINE_PITCH, place_labels};
use super::notes::place_marks;
use super::room::Room;
use super::standing::Standing;
use super::{Figure, Ink, Label, LineStyle, Mark, Origin, Pen, Scene, Shape, Slant, Symbol, TextAnchor};
use crate::measure::Axis;

/// More hatching lines than this are a grey area; the lines then stand further apart.
const MOST_HATCH_LINES: f64 = 160.0;
/// Scales between which a drawing can be inked, in section millimetres to a paper millimetre.
const SCALES: (f64, f64) = (0.01, 1e6);

/// Width of the lines of symbols on paper, mm.
const SYMBOL_PEN_MM: f64 = 0.25;

/// How a scene is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// Section millimetres to a paper millimetre: 50 at 1:50.
    pub scale: f64,
    /// The part of the section that is seen, low and high corner; labels and notes stay within it.
    pub within: Option<(DVec2, DVec2)>,
}

/// What a drawing is inked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pace {
    /// To be read: words look for better places as long as some are badly off.
    AtRest,
    /// To be followed while something is dragged, the next frame coming at once: words take the first place that will do.
    InMotion,
}

/// Something to paint, and where it comes from. Positions are section millimetres, widths paper millimetres.
#[derive(Debug, Clone, PartialEq)]
pub struct Stroke {
    /// What it stands for.
    pub origin: Origin,
    /// What is painted.
    pub drawn: Drawn,
}

/// A scene inked, and its dimensions for whoever keeps them as such.
#[derive(Debug, Clone, Default)]
pub struct Inked {
    /// What is painted, back to front.
    pub strokes: Vec<Stroke>,
    /// The dimensions that found a line.
    pub dimensions: Vec<PlacedDimension>,
    /// From where to where the leaders of notes and labels run, section millimetres.
    pub leaders: Vec<(DVec2, DVec2)>,
    /// Where the labels stand, for the next placing.
    pub standing: Standing,
}

/// A dimension with its line. Positions are section millimetres.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedDimension {
    /// What is measured, or the finding that it marks.
    pub origin: Origin,
    /// From here.
    pub from: DVec2,
    /// To here.
    pub to: DVec2,
    /// Which way it is measured.
    pub axis: Axis,
    /// A point of the dimension line.
    pub on_line: DVec2,
    /// The middle of its words, or where they would stand.
    pub words_at: DVec2,
    /// Its words.
    pub words: String,
    /// Which of the strokes draw it.
    pub strokes: Range<usize>,
}

/// The three things that painters paint.
#[derive(Debug, Clone, PartialEq)]
pub enum Drawn {
    /// An open line with round joins.
    Line {
        /// Vertices.
        points: Vec<DVec2>,
        /// How it is drawn.
        outline: Outline,
    },
    /// A closed convex area.
    Area {
        /// Vertices.
        points: Vec<DVec2>,
        /// What fills it.
        fill: Option<Ink>,
        /// Its outline.
        outline: Option<Outline>,
    },
    /// One line of words.
    Words {
        /// Where their foot line begins, is halved or ends.
        at: DVec2,
        /// Which of these.
        anchor: TextAnchor,
        /// The words.
        words: String,
        /// Letter size on paper, mm.
        size_mm: f64,
        /// Their colour.
        ink: Ink,
        /// Which way they read.
        turn: Turn,
    },
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outline {
    /// Its colour.
    pub ink: Ink,
    /// Its width on paper, mm.
    pub width_mm: f64,
    /// How it runs.
    pub style: LineStyle,
}

/// Which way words read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// From left to right.
    Level,
    /// From bottom to top.
    Upward,
}

impl Outline {
    /// A solid line.
    #[must_use]
    pub const fn solid(ink: Ink, width_mm: f64) -> Self {
        Self { ink, width_mm, style: LineStyle::Solid }
    }
}

impl From<Pen> for Outline {
    fn from(pen: Pen) -> Self {
        Self { ink: pen.ink, width_mm: pen.width.mm(), style: pen.stroke }
    }
}

impl Scene {
    /// Inks the scene for one view: thin pipes get a width that can be seen, hatching its lines, symbols their figures,
    /// marks and labels their places. The same scene and view give the same strokes.
    #[must_use]
    pub fn inked(&self, view: &View) -> Vec<Stroke> {
        self.inked_whole(view).strokes
    }

    /// The same, and where each dimension has found its line.
    #[must_use]
    pub fn inked_whole(&self, view: &View) -> Inked {
        self.inked_clear_of(view, &[], Pace::AtRest, &Standing::default())
    }

    /// The same, with words placed clear of other strokes as well, which are painted over it, and labels where they stood
    /// before, as long as they can.
    #[must_use]
    pub fn inked_clear_of(&self, view: &View, others: &[Stroke], pace: Pace, before: &Standing) -> Inked {
        let scale = if view.scale.is_finite() { view.scale.clamp(SCALES.0, SCALES.1) } else { SCALES.1 };
        let mut strokes = Vec::with_capacity(self.items.len() * 2);
        let mut marks: Vec<(&Origin, &Mark)> = Vec::new();
        let mut labels: Vec<(&Origin, &Label)> = Vec::new();
        let mut dimensions: Vec<(&Origin, &Dimension)> = Vec::new();
        let mut placed = Vec::new();
        for item in &self.items {
            match &item.shape {
                Shape::Mark(mark) => marks.push((&item.origin, mark)),
                Shape::Dimension(dimension) => dimensions.push((&item.origin, dimension)),
                Shape::Label(label) => labels.push((&item.origin, label)),
                shape => ink_shape(shape, scale, &mut |drawn| {
                    strokes.push(Stroke { origin: item.origin.clone(), drawn });
                }),
            }
        }
        if marks.is_empty() && labels.is_empty() && dimensions.is_empty() {
            return Inked { strokes, ..Inked::default() };
        }
        let own = strokes.len();
        strokes.extend_from_slice(others);
        let mut room = Room::around(&strokes, scale, view.within);
        strokes.truncate(own);
        let mut standing = Standing::at(scale);
        place_marks(&mut strokes, &mut placed, &mut room, &marks, (pace, before, &mut standing));
        place_dimensions(&mut strokes, &mut placed, &mut room, &dimensions);
        place_labels(&mut strokes, &mut room, &labels, (pace, before, &mut standing));
        let leaders = room.leaders().map(|(from, to)| (from * scale, to * scale)).collect();
        Inked { strokes, dimensions: placed, leaders, standing }
    }
}

fn ink_shape(shape: &Shape, scale: f64, push: &mut dyn FnMut(Drawn)) {
    match shape {
        Shape::Line { points, pen } => push(Drawn::Line { points: points.clone(), outline: (*pen).into() }),
        Shape::Area { points, fill, pen } => {
            push(Drawn::Area { points: points.clone(), fill: *fill, outline: pen.map(Outline::from) });
        }
        Shape::Hatch { points, slant, apart_mm, pen } => {
            for (from, to) in hatch_lines(points, *slant, apart_mm * scale) {
                push(Drawn::Line { points: vec![from, to], outline: (*pen).into() });
            }
        }
        Shape::Pipe { points, width, ink } => {
            let width_mm = width.on_paper_mm(scale);
            // What is thinner than a hair cannot be seen inside a tube.
            if width_mm >= super::PenWidth::Hair.mm() {
                push(Drawn::Line { points: points.clone(), outline: Outline::solid(*ink, width_mm) });
            }
        }
        Shape::Symbol { at, along, symbol, ink } => ink_symbol(*symbol, *at, *along, *ink, scale, push),
        Shape::Words { at, lines, size, ink } => {
            for (number, words) in lines.iter().enumerate() {
                let down = size.mm() * LINE_PITCH * number as f64 * scale;
                push(Drawn::Words {
                    at: *at - DVec2::new(0.0, down),
                    anchor: TextAnchor::Start,
                    words: words.clone(),
                    size_mm: size.mm(),
                    ink: *ink,
                    turn: Turn::Level,
                });
            }
        }
        Shape::Label(_) | Shape::Dimension(_) | Shape::Mark(_) => {}
    }
}

/// A symbol at its place. Its upper side is turned up, or to the right in an upright pipe.
pub(super) fn ink_symbol(symbol: Symbol, at: DVec2, along: DVec2, ink: Ink, scale: f64, push: &mut dyn FnMut(Drawn)) {
    let along = if along.length_squared() > 0.0 { along.normalize() } else { DVec2::X };
    let mut side = along.perp();
    if side.y < -1e-6 || (side.y.abs() <= 1e-6 && side.x < 0.0) {
        side = -side;
    }
    for mut drawn in symbol.strokes(ink) {
        if let Drawn::Line { points, .. } | Drawn::Area { points, .. } = &mut drawn {
            for point in points {
                *point = at + (along * point.x + side * point.y) * scale;
            }
        }
        push(drawn);
    }
}

impl Symbol {
    /// The symbol by itself, about the origin, in paper millimetres.
    #[must_use]
    pub fn strokes(self, ink: Ink) -> Vec<Drawn> {
        let outline = Outline::solid(ink, SYMBOL_PEN_MM);
        let stroke = |figure| match figure {
            Figure::Line(points) => Drawn::Line { points, outline },
            Figure::Open(points) => Drawn::Area { points, fill: Some(Ink::Paper), outline: Some(outline) },
            Figure::Filled(points) => Drawn::Area { points, fill: Some(ink), outline: None },
        };
        self.figures().into_iter().map(stroke).collect()
    }
}

/// Parallel lines across a convex area, `apart` section millimetres from each other.
fn hatch_lines(points: &[DVec2], slant: Slant, apart: f64) -> Vec<(DVec2, DVec2)> {
    let normal = match slant {
        Slant::Rising => dvec2(-1.0, 1.0).normalize(),
        Slant::Falling => dvec2(1.0, 1.0).normalize(),
        Slant::Level => DVec2::Y,
    };
    let distances = points.iter().map(|point| point.dot(normal));
    let (low, high) = distances.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), at| (low.min(at), high.max(at)));
    if !(high > low && apart > 0.0) {
        return Vec::new();
    }
    let apart = apart.max((high - low) / MOST_HATCH_LINES);
    // Lines keep their place in the section, so that neighbouring areas are hatched through.
    let first = (low / apart).floor() * apart + apart / 2.0;
    let count = ((high - first) / apart).ceil().max(0.0) as u32;
    let along = normal.perp();
    let across = |number: u32| {
        let level = first + f64::from(number) * apart;
        if level <= low {
            return None;
        }
        let mut cuts: Vec<DVec2> = Vec::new();
        for (start, end) in points.iter().zip(points.iter().cycle().skip(1)) {
            let (a, b) = (start.dot(normal) - level, end.dot(normal) - level);
            if (a < 0.0) != (b < 0.0) {
                cuts.push(start.lerp(*end, a / (a - b)));
            }
        }
        cuts.sort_by(|a, b| a.dot(along).total_cmp(&b.dot(along)));
        Some((*cuts.first()?, *cuts.last()?)).filter(|(from, to)| from != to)
    };
    (0..count).filter_map(across).collect()
}

/// A filled arrowhead with its tip at `tip`, pointing along `direction`.
pub(super) fn arrowhead(tip: DVec2, direction: DVec2, ink: Ink, scale: f64) -> Drawn {
    let back = tip - direction * 2.2 * scale;
    let half = direction.perp() * 0.38 * scale;
    Drawn::Area { points: vec![tip, back + half, back - half], fill: Some(ink), outline: None }
}

#[cfg(test)]
mod tests {
    use super::super::outline::corners;
    use super::*;

    #[test]
    fn hatching_stays_inside_its_area() {
        let area = corners(dvec2(0.0, 0.0), dvec2(100.0, 40.0));
        for slant in [Slant::Rising, Slant::Falling, Slant::Level] {
            let lines = hatch_lines(&area, slant, 7.0);
            assert!(lines.len() > 3, "{slant:?}");
            for point in lines.iter().flat_map(|(from, to)| [from, to]) {
                assert!((-1e-9..=100.0 + 1e-9).contains(&point.x) && (-1e-9..=40.0 + 1e-9).contains(&point.y));
            }
        }
        assert!(hatch_lines(&area, Slant::Rising, 1e-6).len() <= MOST_HATCH_LINES as usize + 1);
        assert!(hatch_lines(&[DVec2::ZERO; 4], Slant::Rising, 1.0).is_empty());
    }

    #[test]
    fn a_thin_pipe_keeps_a_width_that_can_be_seen() {
        let width = super::super::PipeWidth::tube(15.0);
        assert!(width.on_paper_mm(50.0) > 0.6);
        assert_eq!(width.on_paper_mm(1.0), 15.0);
    }
}
