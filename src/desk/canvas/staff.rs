//! The levelling staff down the left edge: heights above the datum, read off like on site.

use egui::{Align2, FontId, Painter, Rect, Stroke, pos2};
use glam::dvec2;

use super::View;
use crate::desk::theme::Palette;

/// How wide the staff is, in points.
pub const WIDTH: f32 = 58.0;
/// Figures keep at least this far apart, in points.
const FIGURES_APART: f32 = 44.0;

/// Paints the staff in `rect` for the heights that the view shows, with a pointer at `level_mm`.
pub fn paint(painter: &Painter, rect: Rect, view: &View, palette: Palette, level_mm: Option<f64>) {
    painter.rect_filled(rect, 0.0, palette.card);
    let ladder = Rect::from_min_max(pos2(rect.right() - 14.0, rect.top()), rect.right_bottom());
    painter.rect_filled(ladder, 0.0, palette.paper);
    let step = step_mm(view.mm(FIGURES_APART));
    let block = step / 5.0;
    let low = view.section_from_screen(rect.left_bottom()).y;
    let high = view.section_from_screen(rect.left_top()).y;
    let first = (low / block).floor() as i64;
    let last = (high / block).ceil() as i64;
    for number in first..last {
        let y = |index: i64| view.screen_from_section(dvec2(0.0, index as f64 * block)).y;
        let (bottom, top) = (y(number), y(number + 1));
        // The blocks stand left and right in turn, as on a staff.
        let (from, to) = if number.rem_euclid(2) == 0 { (0.0, 7.0) } else { (7.0, 14.0) };
        let left = ladder.left();
        let piece =
            Rect::from_min_max(pos2(left + from, top.max(rect.top())), pos2(left + to, bottom.min(rect.bottom())));
        if piece.is_positive() {
            painter.rect_filled(piece, 0.0, palette.faint.gamma_multiply(0.75));
        }
        if number.rem_euclid(5) == 0 && bottom > rect.top() + 22.0 && bottom < rect.bottom() - 4.0 {
            let words = figure(number as f64 * block);
            painter.line_segment(
                [pos2(ladder.left() - 4.0, bottom), pos2(ladder.right(), bottom)],
                Stroke::new(1.0, palette.ink),
            );
            painter.text(
                pos2(ladder.left() - 6.0, bottom),
                Align2::RIGHT_CENTER,
                words,
                FontId::proportional(12.0),
                palette.ink,
            );
        }
    }
    let unit = Rect::from_min_size(rect.min, egui::vec2(WIDTH - 14.0, 20.0));
    painter.text(unit.center(), Align2::CENTER_CENTER, "mm", FontId::proportional(12.0), palette.faint);
    painter.vline(rect.right(), rect.y_range(), Stroke::new(1.0, palette.ink));
    if let Some(level) = level_mm {
        let y = view.screen_from_section(dvec2(0.0, level)).y;
        if rect.y_range().contains(y) {
            painter.line_segment([pos2(rect.left(), y), pos2(rect.right(), y)], Stroke::new(1.2, palette.red_pencil));
            let words = figure(level);
            let galley = painter.layout_no_wrap(words, FontId::proportional(12.0), palette.paper);
            let place = Align2::RIGHT_BOTTOM.anchor_size(pos2(ladder.left() - 3.0, y - 1.0), galley.size());
            painter.rect_filled(place.expand(2.0), 2.0, palette.red_pencil);
            painter.galley(place.min, galley, palette.paper);
        }
    }
}

/// The distance between figures: 1, 2 or 5 times a power of ten, no less than `least`, and whole.
fn step_mm(least: f64) -> f64 {
    let power = 10_f64.powf(least.max(5.0).log10().floor());
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|times| times * power).find(|step| *step >= least).unwrap_or(10.0 * power)
}

fn figure(mm: f64) -> String {
    let rounded = mm.round();
    if rounded == 0.0 { "0".to_owned() } else { format!("{rounded}") }
}

#[cfg(test)]
mod tests {
    use super::step_mm;

    #[test]
    fn figures_stand_at_round_heights() {
        assert_eq!(step_mm(3.0), 5.0);
        assert_eq!(step_mm(130.0), 200.0);
        assert_eq!(step_mm(440.0), 500.0);
        assert_eq!(step_mm(501.0), 1000.0);
    }
}
