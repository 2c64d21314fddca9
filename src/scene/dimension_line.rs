//! A dimension line in its place on paper, with extension lines and arrows (arrangement of ISO 129-1, from memory).

use glam::{DVec2, dvec2};

use super::inked::{Drawn, Outline, arrowhead};
use super::room::PaperBox;
use crate::measure::Axis;

/// A dimension shorter than this has its arrows outside, mm.
const ARROWS_INSIDE_MM: f64 = 7.0;
/// Extension lines go beyond the dimension line by so much, mm.
const BEYOND_MM: f64 = 1.2;
/// Nearer to its place than this, a dimension line needs no extension line, mm.
const NO_EXTENSION_MM: f64 = 0.6;

/// Paper on which a dimension is reckoned as if it were upright: x is the free coordinate, y the measured one, in mm.
#[derive(Clone, Copy)]
pub(super) struct Turned {
    pub axis: Axis,
    /// How many mm in the section are one on paper.
    pub scale: f64,
}

impl Turned {
    pub fn is_upright(self) -> bool {
        self.axis == Axis::Upright
    }

    /// Where a place in the section is on the turned paper.
    pub fn of(self, point: DVec2) -> DVec2 {
        if self.is_upright() { point / self.scale } else { dvec2(point.y, point.x) / self.scale }
    }

    /// Where a place on the turned paper is on paper.
    pub fn paper(self, across_mm: f64, along_mm: f64) -> DVec2 {
        if self.is_upright() { dvec2(across_mm, along_mm) } else { dvec2(along_mm, across_mm) }
    }

    /// Where it is in the section.
    pub fn section(self, across_mm: f64, along_mm: f64) -> DVec2 {
        self.paper(across_mm, along_mm) * self.scale
    }

    /// The box on paper between two places, each told by how far across and along.
    pub fn area(self, (across_mm, along_mm): (f64, f64), (far_across_mm, far_along_mm): (f64, f64)) -> PaperBox {
        let (a, b) = (self.paper(across_mm, along_mm), self.paper(far_across_mm, far_along_mm));
        PaperBox { low: a.min(b), high: a.max(b) }
    }
}

/// With what a dimension line is drawn.
pub(super) struct Pens {
    pub line: Outline,
    pub extensions: Outline,
    /// Between a place and the extension line from it, mm.
    pub gap_mm: f64,
}

/// The places that a dimension is between, on turned paper.
#[derive(Clone, Copy)]
pub(super) struct DimensionSpan {
    pub turned: Turned,
    pub low: DVec2,
    pub high: DVec2,
    /// How far its line goes on beyond its arrows, where these stand outside, mm.
    pub outside_mm: f64,
}

impl DimensionSpan {
    /// Between two places of the section; arrows that stand outside have tails so long, mm.
    pub fn between(turned: Turned, (from, to): (DVec2, DVec2), tail_mm: f64) -> Self {
        let (mut low, mut high) = (turned.of(from), turned.of(to));
        if low.y > high.y {
            std::mem::swap(&mut low, &mut high);
        }
        let outside_mm = if high.y - low.y < ARROWS_INSIDE_MM { tail_mm } else { 0.0 };
        Self { turned, low, high, outside_mm }
    }

    pub fn length_mm(&self) -> f64 {
        self.high.y - self.low.y
    }

    /// The nearest and the furthest of its places across, mm.
    pub fn across_mm(&self) -> (f64, f64) {
        (self.low.x.min(self.high.x), self.low.x.max(self.high.x))
    }

    /// The strip of paper of a line so far across, and so much to its either side, mm.
    pub fn strip(&self, across_mm: f64, beside_mm: f64) -> PaperBox {
        let (begins_mm, ends_mm) = (self.low.y - self.outside_mm, self.high.y + self.outside_mm);
        self.turned.area((across_mm - beside_mm, begins_mm), (across_mm + beside_mm, ends_mm))
    }

    /// A line so far across, its extension lines and arrows; in the section.
    pub fn drawn(&self, across_mm: f64, pens: &Pens) -> Vec<Drawn> {
        let mut drawn = Vec::new();
        for end in [self.low, self.high] {
            let reach = (across_mm - end.x).signum();
            if (across_mm - end.x).abs() > NO_EXTENSION_MM {
                let from = self.turned.section(end.x + reach * pens.gap_mm, end.y);
                let to = self.turned.section(across_mm + reach * BEYOND_MM, end.y);
                drawn.push(Drawn::Line { points: vec![from, to], outline: pens.extensions });
            }
        }
        let at = |along_mm: f64| self.turned.section(across_mm, along_mm);
        let ends = vec![at(self.low.y - self.outside_mm), at(self.high.y + self.outside_mm)];
        drawn.push(Drawn::Line { points: ends, outline: pens.line });
        let outward = self.turned.paper(0.0, if self.outside_mm > 0.0 { -1.0 } else { 1.0 });
        drawn.push(arrowhead(at(self.low.y), -outward, pens.line.ink, self.turned.scale));
        drawn.push(arrowhead(at(self.high.y), outward, pens.line.ink, self.turned.scale));
        drawn
    }
}
