//! A sheet laid out: everything on it in page millimetres, for SVG and PDF to write down alike.

use glam::DVec2;

use super::frame::Field;
use crate::scene::{Drawn, Ink, TextAnchor, Turn};

/// A page under way. Nothing in it depends on anything but what was drawn.
#[derive(Debug, Default)]
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
}

impl Page {
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
