//! A sheet laid out: everything on it in page millimetres, for SVG and PDF to write down alike. Links are for PDF alone.

use glam::{DVec2, dvec2};

use super::frame::Field;
use crate::scene::{Drawn, Ink, Outline, Stroke, TextAnchor, Turn, width_mm};

/// A page under way. Nothing in it depends on anything but what was drawn.
#[derive(Debug, Default, Clone, PartialEq)]
pub(super) struct Page {
    items: Vec<PageItem>,
}

/// Something on a page. Positions and sizes are page millimetres; y runs down.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum PageItem {
    /// A line, an area or words.
    Drawn(Drawn),
    /// What follows is cut off at the edge of a field.
    Clip(Field),
    /// Nothing is cut off any more.
    EndClip,
    /// A field that leads to a target, where one of that name is on some page.
    Link(Field, String),
    /// A place that links lead to, by its name.
    Target(DVec2, String),
    /// A place for the list of contents: its rank from nought, and its words.
    Bookmark(DVec2, usize, String),
}

impl Page {
    /// Adds anything.
    pub fn push(&mut self, item: PageItem) {
        self.items.push(item);
    }

    /// Takes what was laid out elsewhere, moved.
    pub fn placed(&mut self, items: &[PageItem], by: DVec2) {
        self.items.extend(items.iter().map(|item| item.moved(by)));
    }

    pub fn finish(self) -> Vec<PageItem> {
        self.items
    }

    /// Takes what was inked as far as it lies in a field: cut off at its edge, and left out where it lies beyond.
    pub fn clipped(&mut self, field: Field, strokes: Vec<Stroke>, on_page: &impl Fn(DVec2) -> DVec2) {
        self.items.push(PageItem::Clip(field));
        let drawn = strokes.into_iter().map(|stroke| mapped(stroke.drawn, on_page));
        self.items.extend(drawn.filter(|drawn| reaches_into(drawn, field)).map(PageItem::Drawn));
        self.items.push(PageItem::EndClip);
    }

    /// Takes what was inked, with the map from section millimetres to page millimetres.
    pub fn drawn(&mut self, drawn: &Drawn, on_page: &impl Fn(DVec2) -> DVec2) {
        self.items.push(PageItem::Drawn(mapped(drawn.clone(), on_page)));
    }

    /// Draws a straight line.
    pub fn rule(&mut self, from: DVec2, to: DVec2, outline: Outline) {
        self.items.push(PageItem::Drawn(Drawn::Line { points: vec![from, to], outline }));
    }

    /// Draws a box.
    pub fn rectangle(&mut self, field: Field, fill: Option<Ink>, outline: Option<Outline>) {
        let (low, high) = (field.low, field.high);
        let points = vec![low, dvec2(high.x, low.y), high, dvec2(low.x, high.y)];
        self.items.push(PageItem::Drawn(Drawn::Area { points, fill, outline }));
    }

    /// Writes words at a place on the page.
    pub fn words(&mut self, at: DVec2, anchor: TextAnchor, words: &str, size_mm: f64, ink: Ink, turn: Turn) {
        self.items.push(PageItem::Drawn(Drawn::Words { at, anchor, words: words.to_owned(), size_mm, ink, turn }));
    }
}

fn mapped(mut drawn: Drawn, on_page: &impl Fn(DVec2) -> DVec2) -> Drawn {
    match &mut drawn {
        Drawn::Line { points, .. } | Drawn::Area { points, .. } => {
            points.iter_mut().for_each(|point| *point = on_page(*point));
        }
        Drawn::Words { at, .. } => *at = on_page(*at),
    }
    drawn
}

/// Whether the box around something meets a field.
fn reaches_into(drawn: &Drawn, field: Field) -> bool {
    let beyond = match drawn {
        Drawn::Line { outline, .. } => outline.width_mm,
        Drawn::Area { outline, .. } => outline.map_or(0.0, |outline| outline.width_mm),
        Drawn::Words { words, size_mm, .. } => width_mm(words, *size_mm) + size_mm,
    };
    let (low, high) = drawn
        .points()
        .iter()
        .fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(low, high), point| (low.min(*point), high.max(*point)));
    let field = field.grown(beyond);
    low.cmple(field.high).all() && high.cmpge(field.low).all()
}

impl PageItem {
    /// The same in another place.
    pub fn moved(&self, by: DVec2) -> Self {
        let field = |field: &Field| Field { low: field.low + by, high: field.high + by };
        match self {
            Self::Drawn(drawn) => Self::Drawn(mapped(drawn.clone(), &|point| point + by)),
            Self::Clip(edge) => Self::Clip(field(edge)),
            Self::EndClip => Self::EndClip,
            Self::Link(over, to) => Self::Link(field(over), to.clone()),
            Self::Target(at, name) => Self::Target(*at + by, name.clone()),
            Self::Bookmark(at, rank, words) => Self::Bookmark(*at + by, *rank, words.clone()),
        }
    }
}
