//! The tape: what lies between two features, across, up and straight. It is laid on the drawing and is no part of it.

use egui::{Painter, PointerButton, Shape, Stroke, Ui};
use glam::DVec2;

use super::paint::{beside, cross};
use super::snap::{Snapped, Snapping};
use super::{Canvas, Pointing};
use crate::desk::Action;
use crate::desk::theme::Palette;
use crate::geom::Span;
use crate::layout::{Id, Layout, extent};
use crate::session::Session;
use crate::units::Amount;

/// A tape that has been laid on, or is held by one end.
#[derive(Debug, Default)]
pub struct Tape {
    from: Option<Snapped>,
    to: Option<Snapped>,
}

impl Tape {
    /// Whether one end is held and the other is looked for.
    pub const fn is_held(&self) -> bool {
        self.from.is_some() && self.to.is_none()
    }
}

impl Canvas {
    /// The place that a click near it means, on a drawing that is only looked at.
    #[must_use]
    pub fn snapped_at(&mut self, session: &Session, at: DVec2) -> DVec2 {
        let mm_per_point = self.view.mm_per_point;
        self.snaps(session, None).snap(at, mm_per_point, Snapping::On).at
    }

    fn tape_at(&mut self, pointing: &Pointing<'_>) -> Option<Snapped> {
        let at = pointing.at?;
        let mm_per_point = self.view.mm_per_point;
        Some(self.snaps(pointing.session, None).snap(at, mm_per_point, pointing.snapping))
    }

    pub(super) fn point_tape(&mut self, ui: &Ui, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        if pointing.response.hovered() {
            ui.ctx().set_cursor_icon(egui::CursorIcon::Crosshair);
        }
        if pointing.response.clicked_by(PointerButton::Primary) {
            self.tape_click(pointing, actions);
        }
    }

    /// Takes the first feature, then the second; a third click begins anew.
    pub(super) fn tape_click(&mut self, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        let Some(place) = self.tape_at(pointing) else { return };
        if self.tape.is_held() {
            self.tape.to = Some(place);
            actions.extend(self.tape.between(pointing.session.layout()).map(Action::SelectAll));
            if let Some(words) = self.tape.words() {
                actions.push(Action::Say(words.replace('\n', ", ")));
            }
        } else {
            actions.push(Action::Say(format!("Tape from {}: click the other feature", named(&place))));
            self.tape = Tape { from: Some(place), to: None };
        }
    }

    pub(super) fn paint_tape(&mut self, painter: &Painter, pointing: &Pointing<'_>, palette: Palette) {
        let Some(place) = self.tape_at(pointing) else { return };
        cross(painter, self.view.screen_from_section(place.at), palette.guide);
        self.snapped = place.words();
        let Some(from) = &self.tape.from else {
            beside(painter, &self.view, place.at, &place.words(), palette);
            return;
        };
        let to = self.tape.to.as_ref().unwrap_or(&place);
        let span = Span { from: from.at, to: to.at };
        let stroke = Stroke::new(1.6, palette.guide);
        let [a, b, corner] = [span.from, span.to, span.corner()].map(|point| self.view.screen_from_section(point));
        painter.line_segment([a, b], stroke);
        for side in [[a, corner], [corner, b]] {
            painter.extend(Shape::dashed_line(&side, Stroke::new(1.2, palette.guide), 5.0, 4.0));
        }
        for end in [a, b] {
            painter.circle_filled(end, 3.0, palette.guide);
        }
        beside(painter, &self.view, to.at, &reading(span), palette);
    }
}

impl Tape {
    /// The two parts between which it lies: once they are selected, Particulars offers to hold their distance.
    fn between(&self, layout: &Layout) -> Option<Vec<Id>> {
        let [from, to] = [part_at(layout, self.from.as_ref()?)?, part_at(layout, self.to.as_ref()?)?];
        (!layout.distances(&to, &from).is_empty()).then(|| vec![from, to])
    }

    fn words(&self) -> Option<String> {
        let (from, to) = (self.from.as_ref()?, self.to.as_ref()?);
        let span = Span { from: from.at, to: to.at };
        Some(format!("{}, from {} to {}", reading(span), named(from), named(to)))
    }
}

/// A feature lies on the box of its part, or no farther from it than this, mm.
const ON_ITS_BOX_MM: f64 = 1.0;

/// The part to which an end of the tape was laid: that of its port, else the smallest at whose box it lies.
fn part_at(layout: &Layout, place: &Snapped) -> Option<Id> {
    if let Some((part, _)) = &place.port {
        return Some(part.clone());
    }
    let reach = DVec2::splat(ON_ITS_BOX_MM);
    let there = layout.parts().filter_map(|part| Some((part.id(), extent(part)?)));
    let there =
        there.filter(|(_, (low, high))| place.at.cmpge(*low - reach).all() && place.at.cmple(*high + reach).all());
    let size = |(_, (low, high)): &(&Id, (DVec2, DVec2))| (*high - *low).element_product();
    there.min_by(|a, b| size(a).total_cmp(&size(b))).map(|(id, _)| id.clone())
}

fn reading(span: Span) -> String {
    let mm = |mm: f64| Amount::mm(mm);
    let (across, upright, straight) = (mm(span.across_mm()), mm(span.upright_mm()), mm(span.straight_mm()));
    let way = if span.to.y < span.from.y { "down" } else { "up" };
    format!("{across} across\n{upright} {way}\n{straight} straight")
}

fn named(place: &Snapped) -> String {
    match (&place.port, place.words()) {
        (Some((part, port)), _) => format!("{} of {}", port.spoken(), part.spoken()),
        (None, words) if words.is_empty() => format!("({}, {})", place.at.x.round(), place.at.y.round()),
        (None, words) => format!("a point {words}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tape_tells_up_from_down() {
        let (high, low) = (DVec2::new(1100.0, 600.0), DVec2::new(1400.0, 200.0));
        assert_eq!(reading(Span { from: high, to: low }), "300 mm across\n400 mm down\n500 mm straight");
        assert_eq!(reading(Span { from: low, to: high }), "300 mm across\n400 mm up\n500 mm straight");
    }
}
