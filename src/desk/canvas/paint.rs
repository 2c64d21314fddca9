//! Paints the strokes of a scene on the screen, leaving out what cannot be seen.

use egui::epaint::TextShape;
use egui::{Color32, FontId, Painter, Pos2, Rect, Shape as Painted, Stroke, StrokeKind, Vec2, vec2};
use glam::DVec2;

use super::View;
use crate::desk::theme::Palette;
use crate::finding::FindingKey;
use crate::rules::Verdict;
use crate::scene::{Drawn, Ink, LineStyle, Origin, Outline, Stroke as Inked, Symbol, TextAnchor, Turn};

/// Points of the screen nearer to each other than this are one.
const ONE_PLACE: f32 = 0.05;
/// How many points a millimetre of paper takes on the screen: the smallest letters, of 2 mm, then take 12 points.
pub const POINTS_PER_PAPER_MM: f64 = 6.0;
/// A hair line still has to be seen, in points.
const LEAST_LINE: f32 = 0.9;
/// The lines of the mark that is pointed at are wider by so much, in points.
const LIT_WIDER: f32 = 1.5;
/// How near a line of a mark must be to be pointed at, in points.
const POINTING: f32 = 5.0;
/// Words beside the pointer stand so far down and to the side of it, and from the edge of the drawing, in points.
const BESIDE: Vec2 = vec2(34.0, 30.0);
const EDGE: f32 = 8.0;
/// The ends of a leader are found this near to where it was laid, in points.
const LEADER_WITHIN: f32 = 0.5;

/// Where a mark can be pointed at.
#[derive(Debug, Clone)]
pub enum Target {
    /// Anywhere in a box.
    Box(Rect),
    /// Along a line.
    Line(Vec<Pos2>),
    /// Along the leader of a note: a part that lies there goes before it, since the note can be had as well.
    Leader(Vec<Pos2>),
}

impl Target {
    /// Whether a point is on it.
    #[must_use]
    pub fn is_at(&self, at: Pos2) -> bool {
        match self {
            Self::Box(rect) => rect.contains(at),
            Self::Line(points) | Self::Leader(points) => points.windows(2).any(|pair| {
                let run = pair[1] - pair[0];
                let share = ((at - pair[0]).dot(run) / run.length_sq().max(1e-6)).clamp(0.0, 1.0);
                at.distance(pair[0] + run * share) <= POINTING
            }),
        }
    }
}

/// Paints strokes, and remembers where the marks of findings came to lie.
pub struct Brush<'a> {
    /// Where it paints.
    pub painter: Painter,
    /// Where the section lies.
    pub view: &'a View,
    /// The colours in force.
    pub palette: Palette,
    /// The finding that is pointed at, whose mark stands out.
    pub lit: Option<&'a FindingKey>,
    /// The one colour in which everything is painted, if it is.
    pub only_in: Option<Color32>,
    opacity: f32,
    /// How strongly marks are painted: they stand back while something is being placed or drawn.
    pub marks_opacity: f32,
    /// Where marks can be pointed at.
    pub targets: Vec<(Target, FindingKey)>,
}

impl<'a> Brush<'a> {
    /// A brush that has painted nothing yet.
    #[must_use]
    pub fn new(painter: &Painter, view: &'a View, palette: Palette) -> Self {
        Self {
            painter: painter.clone(),
            opacity: painter.opacity(),
            view,
            palette,
            lit: None,
            only_in: None,
            marks_opacity: 1.0,
            targets: Vec::new(),
        }
    }

    /// Paints strokes, back to front.
    pub fn strokes(&mut self, strokes: &[Inked]) {
        for stroke in strokes {
            let mark = match &stroke.origin {
                Origin::Mark(key) => Some(key),
                _ => None,
            };
            let wider = if mark.is_some() && mark == self.lit { LIT_WIDER } else { 0.0 };
            self.painter.set_opacity(if mark.is_some() { self.marks_opacity } else { self.opacity });
            let target = match &stroke.drawn {
                Drawn::Line { points, outline } => self.line(points, outline.style, self.pen(*outline, wider)),
                Drawn::Area { points, fill, outline } => {
                    self.area(points, *fill, outline.map(|outline| (outline.style, self.pen(outline, wider))))
                }
                Drawn::Words { at, anchor, words, size_mm, ink, turn } => {
                    self.words(*at, *anchor, words, *size_mm, *ink, *turn)
                }
            };
            if let (Some(key), Some(target)) = (mark, target) {
                self.targets.push((target, key.clone()));
            }
        }
        self.painter.set_opacity(self.opacity);
    }

    fn ink(&self, ink: Ink) -> Color32 {
        self.only_in.unwrap_or_else(|| self.palette.ink(ink))
    }

    fn on_screen(&self, points: &[DVec2]) -> Option<Vec<Pos2>> {
        let mut points: Vec<Pos2> = points.iter().map(|point| self.view.screen_from_section(*point)).collect();
        // Which way a line runs between points as near as this is chance, and so is where its edges go.
        points.dedup_by(|point, before| point.distance(*before) < ONE_PLACE);
        Rect::from_points(&points).expand(12.0).intersects(self.view.rect).then_some(points)
    }

    /// The pen for an outline, so many points wider than usual.
    fn pen(&self, outline: Outline, wider: f32) -> Stroke {
        let width = ((outline.width_mm * POINTS_PER_PAPER_MM) as f32).max(LEAST_LINE);
        Stroke::new(width + wider, self.ink(outline.ink))
    }

    fn line(&self, points: &[DVec2], style: LineStyle, pen: Stroke) -> Option<Target> {
        let points = self.on_screen(points)?;
        match style {
            LineStyle::Dashed => {
                self.painter.extend(dashes(&points, pen, self.view.rect));
            }
            LineStyle::Solid => {
                self.painter.add(Painted::line(points.clone(), pen));
                // Wide lines are joined round.
                if pen.width > 3.0 {
                    for bend in points.iter().skip(1).take(points.len().saturating_sub(2)) {
                        self.painter.circle_filled(*bend, pen.width / 2.0, pen.color);
                    }
                }
            }
        }
        Some(Target::Line(points))
    }

    fn area(&self, points: &[DVec2], fill: Option<Ink>, outline: Option<(LineStyle, Stroke)>) -> Option<Target> {
        let points = self.on_screen(points)?;
        let bounds = Rect::from_points(&points);
        if let Some(ink) = fill {
            self.painter.add(filled(points.clone(), self.ink(ink)));
        }
        if let Some((style, pen)) = outline {
            match style {
                LineStyle::Dashed => {
                    let closed: Vec<Pos2> = points.iter().chain(points.first()).copied().collect();
                    self.painter.extend(dashes(&closed, pen, self.view.rect));
                }
                LineStyle::Solid => {
                    self.painter.add(Painted::closed_line(points, pen));
                }
            }
        }
        Some(Target::Box(bounds.expand(3.0)))
    }

    fn words(&self, at: DVec2, anchor: TextAnchor, words: &str, size_mm: f64, ink: Ink, turn: Turn) -> Option<Target> {
        let at = self.view.screen_from_section(at);
        if !self.view.rect.expand(400.0).contains(at) {
            return None;
        }
        let colour = self.ink(ink);
        let font = FontId::proportional((size_mm * POINTS_PER_PAPER_MM) as f32);
        let galley = self.painter.layout_no_wrap(words.to_owned(), font, colour);
        let size = galley.size();
        // `at` is on the foot line of the letters, which stands this far below the galley's top.
        let foot = galley
            .rows
            .first()
            .map_or(size.y * 0.8, |row| row.glyphs.first().map_or(size.y * 0.8, |glyph| glyph.pos.y));
        let before = match anchor {
            TextAnchor::Start => 0.0,
            TextAnchor::Middle => size.x / 2.0,
            TextAnchor::End => size.x,
        };
        let rect = match turn {
            Turn::Level => Rect::from_min_size(at - vec2(before, foot), size),
            Turn::Upward => Rect::from_min_size(at + vec2(-foot, before - size.x), vec2(size.y, size.x)),
        };
        match turn {
            Turn::Level => {
                self.painter.galley(rect.min, galley, colour);
            }
            Turn::Upward => {
                let turned = TextShape::new(rect.left_bottom(), galley, colour);
                self.painter.add(turned.with_angle(-std::f32::consts::FRAC_PI_2));
            }
        }
        Some(Target::Box(rect.expand(2.0)))
    }
}

/// Tells those of the lines that are leaders, which run between these pairs of points of the section.
pub fn tell_leaders(targets: &mut [(Target, FindingKey)], leaders: &[(DVec2, DVec2)], view: &View) {
    let ends = |leader: &(DVec2, DVec2)| [leader.0, leader.1].map(|point| view.screen_from_section(point));
    let leaders: Vec<[Pos2; 2]> = leaders.iter().map(ends).collect();
    let is_leader = |points: &[Pos2]| {
        let is_same = |[from, to]: &[Pos2; 2]| {
            points.len() == 2 && points[0].distance(*from) < LEADER_WITHIN && points[1].distance(*to) < LEADER_WITHIN
        };
        leaders.iter().any(is_same)
    };
    for (target, _) in targets {
        if let Target::Line(points) = target
            && is_leader(points)
        {
            *target = Target::Leader(std::mem::take(points));
        }
    }
}

/// A broken line; only what can be seen is cut into dashes.
fn dashes(points: &[Pos2], stroke: Stroke, seen: Rect) -> Vec<Painted> {
    let seen = seen.expand(20.0);
    let pieces = points.windows(2).filter_map(|pair| clipped(pair[0], pair[1], seen));
    pieces.flat_map(|piece| Painted::dashed_line(&piece, stroke, 7.0, 4.0)).collect()
}

/// The part of a line within a box (Liang and Barsky 1984).
pub fn clipped(from: Pos2, to: Pos2, within: Rect) -> Option<[Pos2; 2]> {
    let run = to - from;
    let (mut enter, mut leave) = (0.0_f32, 1.0_f32);
    let across = (run.x, within.left() - from.x, within.right() - from.x);
    let down = (run.y, within.top() - from.y, within.bottom() - from.y);
    for (step, low, high) in [across, down] {
        if step == 0.0 {
            if low > 0.0 || high < 0.0 {
                return None;
            }
        } else {
            let (a, b) = (low / step, high / step);
            enter = enter.max(a.min(b));
            leave = leave.min(a.max(b));
        }
    }
    (enter < leave).then(|| [from + run * enter, from + run * leave])
}

/// The shape that tells a verdict without colour, as it stands on the drawing.
pub fn badge(painter: &Painter, at: Pos2, size: f32, verdict: Verdict, palette: Palette) {
    let strokes = Symbol::Verdict(verdict).strokes(verdict_ink(verdict));
    let points = strokes.iter().flat_map(|drawn| match drawn {
        Drawn::Line { points, .. } | Drawn::Area { points, .. } => points.as_slice(),
        Drawn::Words { .. } => &[],
    });
    let reach = points.fold(0.1, |reach: f64, point| reach.max(point.abs().max_element()));
    let grow = f64::from(size) / 2.0 / reach;
    let place = |point: &DVec2| at + vec2((point.x * grow) as f32, (-point.y * grow) as f32);
    let colour = palette.verdict(verdict);
    let tint = |ink: Ink| if ink == Ink::Paper { palette.paper } else { colour };
    for drawn in &strokes {
        match drawn {
            Drawn::Line { points, outline } => {
                painter.add(Painted::line(points.iter().map(place).collect(), Stroke::new(1.6, tint(outline.ink))));
            }
            Drawn::Area { points, fill, outline } => {
                let corners: Vec<Pos2> = points.iter().map(place).collect();
                let edge = outline.map_or(Stroke::NONE, |outline| Stroke::new(1.4, tint(outline.ink)));
                let fill = fill.map_or(Color32::TRANSPARENT, tint);
                painter.add(Painted::convex_polygon(corners, fill, edge));
            }
            Drawn::Words { .. } => {}
        }
    }
}

/// A filled convex area. Where a corner turns back on itself the soft edge would run far out over it, and so there is none.
fn filled(mut points: Vec<Pos2>, colour: Color32) -> Painted {
    /// The cosine between two sides of which one nearly runs back along the other.
    const TURNS_BACK: f32 = -0.99;
    while points.len() > 1 && points[0].distance(points[points.len() - 1]) < ONE_PLACE {
        points.pop();
    }
    let count = points.len();
    let side = |number: usize| (points[(number + 1) % count] - points[number]).normalized();
    let turns_back = |number: usize| side(number).dot(side((number + 1) % count)) < TURNS_BACK;
    if !(0..count).any(turns_back) {
        return Painted::convex_polygon(points, colour, Stroke::NONE);
    }
    let mut mesh = egui::Mesh::default();
    points.iter().for_each(|point| mesh.colored_vertex(*point, colour));
    let last = u32::try_from(points.len()).unwrap_or(0);
    (2..last).for_each(|corner| mesh.add_triangle(0, corner - 1, corner));
    Painted::mesh(mesh)
}

const fn verdict_ink(verdict: Verdict) -> Ink {
    match verdict {
        Verdict::Breach => Ink::RedPencil,
        Verdict::Marginal | Verdict::Unknown | Verdict::Meets => Ink::GreyPencil,
    }
}

/// A small square to hold something by.
pub fn handle(painter: &Painter, at: Pos2, palette: Palette) {
    let square = Rect::from_center_size(at, Vec2::splat(8.0));
    painter.rect(square, 1.0, palette.paper, Stroke::new(1.6, palette.select), StrokeKind::Middle);
}

/// A cross at a point that snaps.
pub fn cross(painter: &Painter, at: Pos2, colour: Color32) {
    for along in [vec2(7.0, 0.0), vec2(0.0, 7.0)] {
        painter.line_segment([at - along, at + along], Stroke::new(1.4, colour));
    }
    painter.circle_stroke(at, 4.0, Stroke::new(1.2, colour));
}

/// Words beside a point, on a patch of paper, kept inside the window, and so far off that what is pointed at can be seen.
pub fn beside(painter: &Painter, view: &View, at: DVec2, words: &str, palette: Palette) {
    if words.is_empty() {
        return;
    }
    let galley = painter.layout(words.to_owned(), FontId::proportional(13.0), palette.guide, 320.0);
    let (at, size) = (view.screen_from_section(at), galley.size());
    let room = view.rect.shrink(EDGE).right_bottom() - at;
    // On the other side of the point rather than over it.
    let place_for = |off: f32, size: f32, room: f32| if off + size <= room { off } else { -off - size };
    let off = vec2(place_for(BESIDE.x, size.x, room.x), place_for(BESIDE.y, size.y, room.y));
    let place = Rect::from_min_size(at + off, size);
    let place = place.translate((view.rect.shrink(EDGE).min - place.min).max(Vec2::ZERO));
    painter.rect_filled(place.expand(4.0), 3.0, palette.paper.gamma_multiply(0.92));
    painter.galley(place.min, galley, palette.guide);
}

#[cfg(test)]
mod tests {
    use egui::epaint::{TessellationOptions, Tessellator};
    use egui::pos2;

    use super::*;

    fn reach_of(points: Vec<Pos2>) -> Rect {
        let mut tessellator = Tessellator::new(1.0, TessellationOptions::default(), [1, 1], Vec::new());
        let shape = filled(points, Color32::WHITE);
        let mut mesh = egui::Mesh::default();
        tessellator.tessellate_shape(shape, &mut mesh);
        mesh.vertices
            .iter()
            .fold(Rect::NOTHING, |reach, vertex| reach.union(Rect::from_min_max(vertex.pos, vertex.pos)))
    }

    #[test]
    fn a_leader_is_told_from_other_lines_of_a_mark() {
        let view = View { rect: Rect::from_min_max(pos2(0.0, 0.0), pos2(900.0, 700.0)), ..View::default() };
        let (from, to) = (DVec2::new(3000.0, 1000.0), DVec2::new(4200.0, 3000.0));
        let line = |ends: &[DVec2]| Target::Line(ends.iter().map(|end| view.screen_from_section(*end)).collect());
        let key = FindingKey { rule: "vent-too-low", parts: Vec::new(), ordinal: 0 };
        let bent = [from, from.midpoint(to), to];
        let mut targets = [line(&[from, to]), line(&bent), line(&bent[1..])].map(|target| (target, key.clone()));
        tell_leaders(&mut targets, &[(from, to)], &view);
        assert_eq!(targets.map(|(target, _)| matches!(target, Target::Leader(_))), [true, false, false]);
    }

    #[test]
    fn what_is_filled_stays_where_it_is() {
        let flat: Vec<Pos2> = (0..=20).map(|n| pos2(5.0 * n as f32, 40.0 + 1e-5 * (n * (20 - n)) as f32)).collect();
        let back = flat.iter().rev().map(|point| pos2(point.x, 40.0));
        let lens: Vec<Pos2> = flat.iter().copied().chain(back).collect();
        for points in [lens, vec![pos2(0.0, 40.0), pos2(100.0, 40.0), pos2(50.0, 40.0001)]] {
            let reach = reach_of(points);
            assert!(Rect::from_min_max(pos2(-2.0, 38.0), pos2(102.0, 42.0)).contains_rect(reach), "{reach:?}");
        }
    }
}
