//! The learner's tape: held at two places, it tells how far they are apart.

use egui::{Align2, FontId, Painter, Stroke, vec2};
use glam::DVec2;

use crate::desk::canvas::View;
use crate::desk::theme::Palette;
use crate::units::Amount;

/// A tape, and where it is held.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Tape {
    /// Whether clicks on the drawing hold it.
    pub in_hand: bool,
    from: Option<DVec2>,
    to: Option<DVec2>,
}

impl Tape {
    /// Holds it at a place: its beginning first, then its end, then its beginning anew.
    pub fn hold(&mut self, at: DVec2) {
        match (self.from, self.to) {
            (Some(_), None) => self.to = Some(at),
            _ => (self.from, self.to) = (Some(at), None),
        }
    }

    /// Lets it go.
    pub fn give_up(&mut self) {
        (self.from, self.to) = (None, None);
    }

    /// What it reads, once both ends are held.
    #[must_use]
    pub fn words(&self) -> Option<String> {
        let off = self.to? - self.from?;
        let whole = |mm: f64| Amount::mm(mm.abs().round());
        Some(format!("{} across, {} up or down, {} straight", whole(off.x), whole(off.y), whole(off.length())))
    }

    pub(super) fn paint(&self, painter: &Painter, view: &View, palette: Palette) {
        let Some(from) = self.from.map(|from| view.screen_from_section(from)) else { return };
        painter.circle_filled(from, 3.5, palette.select);
        let Some(to) = self.to.map(|to| view.screen_from_section(to)) else { return };
        painter.circle_filled(to, 3.5, palette.select);
        painter.line_segment([from, to], Stroke::new(1.5, palette.select));
        let Some(words) = self.words() else { return };
        let galley = painter.layout(words, FontId::proportional(13.0), palette.select, view.rect.width());
        let middle = from.lerp(to, 0.5) + vec2(10.0, 0.0);
        let size = galley.size();
        let low = (middle - vec2(0.0, size.y / 2.0)).clamp(view.rect.min, view.rect.max - size - vec2(6.0, 6.0));
        let place = Align2::LEFT_TOP.anchor_size(low, size);
        painter.rect_filled(place.expand(3.0), 3.0, palette.paper);
        painter.galley(place.min, galley, palette.select);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tape_is_held_at_two_places_and_then_anew() {
        let mut tape = Tape::default();
        tape.hold(DVec2::new(0.0, 0.0));
        assert_eq!(tape.words(), None);
        tape.hold(DVec2::new(300.0, -400.0));
        assert_eq!(tape.words().as_deref(), Some("300 mm across, 400 mm up or down, 500 mm straight"));
        tape.hold(DVec2::new(1.0, 1.0));
        assert_eq!(tape.words(), None);
    }
}
