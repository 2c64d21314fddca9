//! Paints a scene: each primitive of the section becomes shapes of the screen, leaving out what cannot be seen.

use egui::epaint::TextShape;
use egui::{Align2, Color32, FontId, Painter, Pos2, Rect, Shape as Painted, Stroke, StrokeKind, Vec2, pos2, vec2};
use glam::DVec2;

use super::View;
use crate::desk::theme::Palette;
use crate::finding::FindingKey;
use crate::rules::Verdict;
use crate::scene::{Ink, Item, Origin, Pen, Scene, Shape, Symbol, TextAnchor, TextSize};

/// How many points a millimetre of paper takes on the screen.
const POINTS_PER_PAPER_MM: f64 = 4.0;
/// Words on the drawing are never smaller than this, in points.
const LEAST_TEXT: f32 = 12.0;
/// A pipe is never drawn thinner than this, in points.
const LEAST_PIPE: f32 = 2.5;

/// Paints scenes, and remembers where the marks of findings came to lie.
pub struct Brush<'a> {
    /// Where it paints.
    pub painter: &'a Painter,
    /// Where the section lies.
    pub view: &'a View,
    /// The colours in force.
    pub palette: Palette,
    /// The finding that is chosen or lit, whose mark stands out.
    pub lit: Option<&'a FindingKey>,
    /// Where marks can be pointed at.
    pub marks: Vec<(Rect, FindingKey)>,
    /// Where words stand already.
    words: Vec<Rect>,
}

impl<'a> Brush<'a> {
    /// A brush that has painted nothing yet.
    #[must_use]
    pub const fn new(painter: &'a Painter, view: &'a View, palette: Palette) -> Self {
        Self { painter, view, palette, lit: None, marks: Vec::new(), words: Vec::new() }
    }

    /// Paints a scene, back to front; words come last, those of marks before those of parts.
    pub fn scene(&mut self, scene: &Scene) {
        for item in &scene.items {
            if !matches!(item.shape, Shape::Text { .. }) {
                self.item(item);
            }
        }
        let is_mark = |item: &&Item| matches!(item.origin, Origin::Mark(_));
        let texts = || scene.items.iter().filter(|item| matches!(item.shape, Shape::Text { .. }));
        for item in texts().filter(is_mark).chain(texts().filter(|item| !is_mark(item))) {
            self.item(item);
        }
    }

    fn item(&mut self, item: &Item) {
        let strong = matches!(&item.origin, Origin::Mark(key) if self.lit == Some(key));
        let rect = match &item.shape {
            Shape::Line { points, pen } => self.line(points, *pen, strong),
            Shape::Area { points, fill, pen } => self.area(points, *fill, *pen),
            Shape::Pipe { points, diameter_mm, ink } => self.pipe(points, *diameter_mm, *ink),
            Shape::Symbol { at, along, symbol, ink } => self.symbol(*at, *along, *symbol, *ink, strong),
            Shape::Text { at, offset, anchor, words, size, ink } => {
                self.text(*at, *offset, *anchor, words, *size, *ink)
            }
            Shape::Dimension { from, to, upright, line_at, words, ink } => {
                self.dimension(*from, *to, *upright, *line_at, words, *ink, strong)
            }
        };
        if let (Origin::Mark(key), Some(rect)) = (&item.origin, rect) {
            self.marks.push((rect, key.clone()));
        }
    }

    fn on_screen(&self, points: &[DVec2]) -> Option<Vec<Pos2>> {
        let points: Vec<Pos2> = points.iter().map(|point| self.view.screen_from_section(*point)).collect();
        let bounds = Rect::from_points(&points);
        bounds.expand(8.0).intersects(self.view.rect).then_some(points)
    }

    fn stroke(&self, pen: Pen, strong: bool) -> Stroke {
        let width = (pen.width.mm() * POINTS_PER_PAPER_MM).max(0.8) as f32;
        Stroke::new(if strong { width + 1.2 } else { width }, self.palette.ink(pen.ink))
    }

    fn line(&self, points: &[DVec2], pen: Pen, strong: bool) -> Option<Rect> {
        let points = self.on_screen(points)?;
        let bounds = Rect::from_points(&points);
        let stroke = self.stroke(pen, strong);
        if pen.dashed {
            self.painter.extend(dashes(&points, stroke, self.view.rect));
        } else {
            self.painter.add(Painted::line(points, stroke));
        }
        // A slanting line can be pointed at only near itself, which its bounds do not tell.
        (bounds.width() < 6.0 || bounds.height() < 6.0).then(|| bounds.expand(4.0))
    }

    fn area(&self, points: &[DVec2], fill: Option<Ink>, pen: Option<Pen>) -> Option<Rect> {
        let points = self.on_screen(points)?;
        if let Some(ink) = fill {
            self.painter.add(Painted::convex_polygon(points.clone(), self.palette.ink(ink), Stroke::NONE));
        }
        if let Some(pen) = pen {
            let stroke = self.stroke(pen, false);
            if pen.dashed {
                let mut closed = points;
                closed.extend(closed.first().copied());
                self.painter.extend(dashes(&closed, stroke, self.view.rect));
            } else {
                self.painter.add(Painted::closed_line(points, stroke));
            }
        }
        None
    }

    fn pipe(&self, points: &[DVec2], diameter_mm: f64, ink: Ink) -> Option<Rect> {
        let points = self.on_screen(points)?;
        let width = self.view.points(diameter_mm).max(LEAST_PIPE);
        let fill = self.palette.ink(ink);
        let edge = fill.lerp_to_gamma(self.palette.ink, 0.6);
        let (edge_width, core_width) = if width >= 5.0 { (width + 1.0, width - 1.0) } else { (width, 0.0) };
        for (width, colour) in [(edge_width, edge), (core_width, fill)] {
            if width > 0.0 {
                self.painter.add(Painted::line(points.clone(), Stroke::new(width, colour)));
                for bend in points.iter().skip(1).take(points.len().saturating_sub(2)) {
                    self.painter.circle_filled(*bend, width / 2.0, colour);
                }
            }
        }
        None
    }

    fn symbol(&self, at: DVec2, along: DVec2, symbol: Symbol, ink: Ink, strong: bool) -> Option<Rect> {
        let at = self.view.screen_from_section(at);
        if !self.view.rect.expand(20.0).contains(at) {
            return None;
        }
        if let Symbol::Verdict(verdict) = symbol {
            let radius = if strong { 10.0 } else { 7.5 };
            self.painter.circle_filled(at, radius + 2.0, self.palette.paper);
            badge(self.painter, at, radius, verdict, self.palette);
            return Some(Rect::from_center_size(at, Vec2::splat(2.0 * radius + 6.0)));
        }
        let along = vec2(along.x as f32, -along.y as f32).normalized();
        let along = if along == Vec2::ZERO { vec2(1.0, 0.0) } else { along };
        fitting(self.painter, at, along, symbol, self.palette.ink(ink), self.palette.paper);
        None
    }

    fn text(
        &mut self,
        at: DVec2,
        offset: DVec2,
        anchor: TextAnchor,
        words: &str,
        size: TextSize,
        ink: Ink,
    ) -> Option<Rect> {
        let offset = offset * POINTS_PER_PAPER_MM;
        let at = self.view.screen_from_section(at) + vec2(offset.x as f32, -offset.y as f32);
        if !self.view.rect.expand(200.0).contains(at) {
            return None;
        }
        let align = match anchor {
            TextAnchor::Start => Align2::LEFT_CENTER,
            TextAnchor::Middle => Align2::CENTER_CENTER,
            TextAnchor::End => Align2::RIGHT_CENTER,
        };
        self.words_at(at, align, words, text_points(size), self.palette.ink(ink))
    }

    /// Words on a patch of paper, unless other words stand there already.
    fn words_at(&mut self, at: Pos2, align: Align2, words: &str, points: f32, colour: Color32) -> Option<Rect> {
        let galley = self.painter.layout_no_wrap(words.to_owned(), FontId::proportional(points), colour);
        let rect = align.anchor_size(at, galley.size());
        if self.words.iter().any(|other| other.intersects(rect)) || !rect.intersects(self.view.rect) {
            return None;
        }
        self.painter.rect_filled(rect.expand2(vec2(2.0, 0.0)), 2.0, self.palette.paper.gamma_multiply(0.85));
        self.painter.galley(rect.min, galley, colour);
        self.words.push(rect);
        Some(rect.expand(2.0))
    }

    fn dimension(
        &mut self,
        from: DVec2,
        to: DVec2,
        upright: bool,
        line_at: f64,
        words: &str,
        ink: Ink,
        strong: bool,
    ) -> Option<Rect> {
        let foot = |point: DVec2| if upright { DVec2::new(line_at, point.y) } else { DVec2::new(point.x, line_at) };
        let ends = [foot(from), foot(to)].map(|point| self.view.screen_from_section(point));
        let bounds = Rect::from_two_pos(ends[0], ends[1]);
        if !bounds.expand(60.0).intersects(self.view.rect) {
            return None;
        }
        let colour = self.palette.ink(ink);
        let stroke = Stroke::new(if strong { 2.2 } else { 1.2 }, colour);
        for (point, end) in [from, to].into_iter().zip(ends) {
            let start = self.view.screen_from_section(point);
            self.painter.line_segment([start, end], Stroke::new(0.8, colour.gamma_multiply(0.7)));
            // The trade's slash across the end of a dimension line.
            self.painter.line_segment([end + vec2(-4.0, 4.0), end + vec2(4.0, -4.0)], stroke);
        }
        self.painter.line_segment(ends, stroke);
        let middle = bounds.center();
        let points = text_points(TextSize::Small);
        if upright && bounds.height() > 40.0 {
            let galley = self.painter.layout_no_wrap(words.to_owned(), FontId::proportional(points), colour);
            let reach = vec2(galley.size().y, galley.size().x);
            if reach.y < bounds.height() {
                let place = Rect::from_center_size(middle - vec2(reach.x / 2.0 + 2.0, 0.0), reach);
                self.painter.rect_filled(place, 2.0, self.palette.paper.gamma_multiply(0.85));
                let turned =
                    TextShape::new(place.left_bottom(), galley, colour).with_angle(-std::f32::consts::FRAC_PI_2);
                self.painter.add(turned);
                self.words.push(place);
                return Some(bounds.expand(6.0).union(place));
            }
        }
        let (beside, align) =
            if upright { (vec2(8.0, 0.0), Align2::LEFT_CENTER) } else { (vec2(0.0, -9.0), Align2::CENTER_CENTER) };
        let place = self.words_at(middle + beside, align, words, points, colour);
        Some(place.map_or(bounds, |place| bounds.union(place)).expand(4.0))
    }
}

fn text_points(size: TextSize) -> f32 {
    ((size.mm() * POINTS_PER_PAPER_MM) as f32).max(LEAST_TEXT)
}

/// A broken line; only what can be seen is cut into dashes.
fn dashes(points: &[Pos2], stroke: Stroke, seen: Rect) -> Vec<Painted> {
    let seen = seen.expand(20.0);
    let mut shapes = Vec::new();
    for pair in points.windows(2) {
        if let Some(piece) = clipped(pair[0], pair[1], seen) {
            shapes.extend(Painted::dashed_line(&piece, stroke, 7.0, 4.0));
        }
    }
    shapes
}

/// The part of a line within a box (Liang and Barsky 1984).
fn clipped(from: Pos2, to: Pos2, within: Rect) -> Option<[Pos2; 2]> {
    let run = to - from;
    let (mut enter, mut leave) = (0.0_f32, 1.0_f32);
    for (step, low, high) in [
        (run.x, within.left() - from.x, within.right() - from.x),
        (run.y, within.top() - from.y, within.bottom() - from.y),
    ] {
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

/// The shape that tells a verdict without colour: a barred square, a half disc, a ring with a query, a tick.
pub fn badge(painter: &Painter, at: Pos2, radius: f32, verdict: Verdict, palette: Palette) {
    let colour = palette.verdict(verdict);
    let stroke = Stroke::new(1.8, colour);
    match verdict {
        Verdict::Breach => {
            let square = Rect::from_center_size(at, Vec2::splat(radius * 1.8));
            painter.rect_filled(square, 1.0, colour);
            let arm = radius * 0.5;
            for along in [vec2(arm, arm), vec2(arm, -arm)] {
                painter.line_segment([at - along, at + along], Stroke::new(2.0, palette.paper));
            }
        }
        Verdict::Marginal => {
            let top = at - vec2(0.0, radius);
            let corners = vec![top, at + vec2(radius, 0.0), at + vec2(0.0, radius), at - vec2(radius, 0.0)];
            painter.add(Painted::closed_line(corners, stroke));
            let half = vec![top, at + vec2(0.0, radius), at - vec2(radius, 0.0)];
            painter.add(Painted::convex_polygon(half, colour, Stroke::NONE));
        }
        Verdict::Unknown => {
            painter.circle_stroke(at, radius * 0.95, stroke);
            painter.text(at, Align2::CENTER_CENTER, "?", FontId::proportional(radius * 1.7), colour);
        }
        Verdict::Meets => {
            let from = at + vec2(-radius * 0.8, 0.0);
            let turn = at + vec2(-radius * 0.2, radius * 0.6);
            let to = at + vec2(radius * 0.8, -radius * 0.7);
            painter.add(Painted::line(vec![from, turn, to], Stroke::new(2.2, colour)));
        }
    }
}

/// A fitting's symbol, turned along its pipe.
fn fitting(painter: &Painter, at: Pos2, along: Vec2, symbol: Symbol, colour: Color32, paper: Color32) {
    let across = vec2(-along.y, along.x);
    let place = |u: f32, v: f32| at + along * u + across * v;
    let stroke = Stroke::new(1.4, colour);
    let outline = |points: Vec<Pos2>| painter.add(Painted::convex_polygon(points, paper, stroke));
    let bow_tie = || {
        outline(vec![place(-8.0, -5.0), place(-8.0, 5.0), place(0.0, 0.0)]);
        outline(vec![place(8.0, -5.0), place(8.0, 5.0), place(0.0, 0.0)]);
    };
    match symbol {
        Symbol::FullWayValve => {
            bow_tie();
            painter.line_segment([place(0.0, 0.0), place(0.0, -8.0)], stroke);
            painter.line_segment([place(-4.0, -8.0), place(4.0, -8.0)], stroke);
        }
        Symbol::ServiceValve => {
            bow_tie();
            painter.circle_filled(at, 2.6, colour);
        }
        Symbol::NonReturnValve => {
            outline(vec![place(-6.0, -5.0), place(-6.0, 5.0), place(6.0, 0.0)]);
            painter.line_segment([place(6.0, -6.0), place(6.0, 6.0)], stroke);
        }
        Symbol::DrainCock => {
            outline(vec![place(-5.0, 0.0), place(5.0, 0.0), place(0.0, 8.0)]);
            painter.line_segment([place(0.0, 8.0), place(0.0, 13.0)], stroke);
        }
        Symbol::Pump => {
            painter.circle(at, 8.0, paper, stroke);
            outline(vec![place(-4.0, -5.0), place(-4.0, 5.0), place(7.0, 0.0)]);
        }
        Symbol::Tee => {
            painter.circle_filled(at, 3.0, colour);
        }
        Symbol::WaterLevel => {
            let tip = at;
            let top = [tip + vec2(-6.0, -9.0), tip + vec2(6.0, -9.0)];
            painter.add(Painted::convex_polygon(vec![tip, top[0], top[1]], paper, stroke));
            painter.line_segment([tip + vec2(-9.0, 3.0), tip + vec2(9.0, 3.0)], stroke);
            painter.line_segment([tip + vec2(-5.0, 6.0), tip + vec2(5.0, 6.0)], stroke);
        }
        Symbol::Verdict(_) => {}
    }
}

/// A ring or square to hold something by.
pub fn handle(painter: &Painter, at: Pos2, palette: Palette) {
    let square = Rect::from_center_size(at, Vec2::splat(8.0));
    painter.rect(square, 1.0, palette.paper, Stroke::new(1.6, palette.select), StrokeKind::Middle);
}

/// A cross at a point that snaps.
pub fn cross(painter: &Painter, at: Pos2, colour: Color32) {
    for along in [vec2(6.0, 0.0), vec2(0.0, 6.0)] {
        painter.line_segment([at - along, at + along], Stroke::new(1.4, colour));
    }
    painter.circle_stroke(pos2(at.x, at.y), 4.0, Stroke::new(1.2, colour));
}
