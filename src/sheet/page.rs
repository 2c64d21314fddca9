//! A sheet laid out: everything on it in page millimetres, for SVG and PDF to write down alike. Links are for PDF alone.

use glam::DVec2;

use super::frame::Field;
use crate::scene::{Drawn, Ink, TextAnchor, Turn};

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

    /// Draws something that may reach beyond a field, and cuts it off at its edge.
    pub fn clipped(&mut self, field: Field, draw: impl FnOnce(&mut Self)) {
        self.items.push(PageItem::Clip(field));
        draw(self);
        self.items.push(PageItem::EndClip);
    }

    /// Takes what was inked, with the map from section millimetres to page millimetres.
    pub fn drawn(&mut self, drawn: &Drawn, on_page: &impl Fn(DVec2) -> DVec2) {
        let mut drawn = drawn.clone();
        match &mut drawn {
            Drawn::Line { points, .. } | Drawn::Area { points, .. } => {
                points.iter_mut().for_each(|point| *point = on_page(*point));
            }
            Drawn::Words { at, .. } => *at = on_page(*at),
        }
        self.items.push(PageItem::Drawn(drawn));
    }

    /// Writes words at a place on the page.
    pub fn words(&mut self, at: DVec2, anchor: TextAnchor, words: &str, size_mm: f64, ink: Ink, turn: Turn) {
        self.items.push(PageItem::Drawn(Drawn::Words { at, anchor, words: words.to_owned(), size_mm, ink, turn }));
    }
}

impl PageItem {
    /// The same in another place.
    pub fn moved(&self, by: DVec2) -> Self {
        let field = |field: &Field| Field { low: field.low + by, high: field.high + by };
        match self {
            Self::Drawn(drawn) => {
                let mut drawn = drawn.clone();
                match &mut drawn {
                    Drawn::Line { points, .. } | Drawn::Area { points, .. } => {
                        points.iter_mut().for_each(|point| *point += by);
                    }
                    Drawn::Words { at, .. } => *at += by,
                }
                Self::Drawn(drawn)
            }
            Self::Clip(edge) => Self::Clip(field(edge)),
            Self::EndClip => Self::EndClip,
            Self::Link(over, to) => Self::Link(field(over), to.clone()),
            Self::Target(at, name) => Self::Target(*at + by, name.clone()),
            Self::Bookmark(at, rank, words) => Self::Bookmark(*at + by, *rank, words.clone()),
        }
    }
}
