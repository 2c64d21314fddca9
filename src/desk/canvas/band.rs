//! Selecting several parts: by a box drawn about them, or one more by a click with Shift.

use egui::{Painter, Rect, Stroke, StrokeKind};
use glam::DVec2;

use super::{Canvas, Pointing, View, pick};
use crate::desk::theme::Palette;
use crate::desk::{Action, Outlook};
use crate::layout::Id;

/// A box from where it was begun to where the pointer was last.
#[derive(Debug, Clone, Copy)]
pub struct Band {
    from: DVec2,
    to: DVec2,
}

impl Canvas {
    /// Begins a box at a point of the section.
    pub(super) fn begin_band(&mut self, origin: DVec2) {
        self.band = Some(Band { from: origin, to: origin });
    }

    /// Draws the box on to where the pointer is.
    pub(super) fn draw_band(&mut self, pointing: &Pointing<'_>) {
        if let (Some(band), Some(at)) = (self.band.as_mut(), pointing.at) {
            band.to = at;
        }
    }

    /// Selects what lies wholly within the box; with Shift, beside what is selected already.
    pub(super) fn end_band(&mut self, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        let Some(Band { from, to }) = self.band.take() else { return };
        let found = pointing.session.layout().within(from.min(to), from.max(to));
        let mut all = if pointing.adds() { pointing.outlook.selection() } else { Vec::new() };
        all.extend(found.into_iter().filter(|id| !pointing.outlook.is_selected(id) || !pointing.adds()));
        let words = match all.len() {
            0 => "Nothing lies wholly within that box".to_owned(),
            1 => String::new(),
            many => format!("{many} parts selected"),
        };
        actions.push(Action::SelectAll(all));
        actions.push(Action::Say(words));
    }

    /// Adds the part under the pointer to what is selected, or lets it go.
    pub(super) fn add_or_let_go(&self, at: DVec2, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        let Pointing { outlook, lines, .. } = pointing;
        let reach = f64::from(pick::REACH) * self.view.mm_per_point;
        let Some(id) = lines.under(at, reach).into_iter().next() else { return };
        actions.push(Action::SelectAll(with_or_without(outlook, &id)));
        let verb = if outlook.is_selected(&id) { "let go" } else { "selected as well" };
        actions.push(Action::Say(format!("{} {verb}", id.spoken())));
    }
}

fn with_or_without(outlook: &Outlook, id: &Id) -> Vec<Id> {
    let mut all = outlook.selection();
    match all.iter().position(|other| other == id) {
        Some(place) => drop(all.remove(place)),
        None => all.push(id.clone()),
    }
    all
}

/// The box that is being drawn.
pub fn paint(painter: &Painter, view: &View, Band { from, to }: Band, palette: Palette) {
    let rect = Rect::from_two_pos(view.screen_from_section(from), view.screen_from_section(to));
    painter.rect(rect, 0.0, palette.select.gamma_multiply(0.12), Stroke::new(1.0, palette.select), StrokeKind::Middle);
}
