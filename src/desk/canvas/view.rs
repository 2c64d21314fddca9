//! Where the section lies on the screen: pan, zoom and fit, in f64 up to the last step.

use egui::{Pos2, Rect, Vec2, pos2};
use glam::{DVec2, dvec2};

/// The nearest view: a tenth of a millimetre to the point.
const FINEST_MM_PER_POINT: f64 = 0.05;
/// The farthest view: a street to the window.
const COARSEST_MM_PER_POINT: f64 = 400.0;
/// So much of the drawing stays in view however far it is moved away, in points.
const STRIP_KEPT: f64 = 60.0;
/// Free margin around what is fitted, as a share of the window.
const FIT_MARGIN: f64 = 0.06;

/// What is looked at closely is shown with so much around it, as a share of its size, and at least so much, mm: what it
/// hangs on must be seen as well.
const AROUND_SHARE: f64 = 0.25;
const LEAST_AROUND_MM: DVec2 = DVec2::splat(700.0);

/// The map between section millimetres and screen points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// The section point in the middle of the window.
    pub centre: DVec2,
    /// How many millimetres one point of the screen shows.
    pub mm_per_point: f64,
    /// Where on the screen the section is shown.
    pub rect: Rect,
}

impl Default for View {
    fn default() -> Self {
        Self { centre: dvec2(3500.0, 3000.0), mm_per_point: 12.0, rect: Rect::ZERO }
    }
}

impl View {
    /// The screen point of a section point.
    #[must_use]
    pub fn screen_from_section(&self, point: DVec2) -> Pos2 {
        let off = (point - self.centre) / self.mm_per_point;
        let middle = self.rect.center();
        pos2((f64::from(middle.x) + off.x) as f32, (f64::from(middle.y) - off.y) as f32)
    }

    /// The section point of a screen point.
    #[must_use]
    pub fn section_from_screen(&self, point: Pos2) -> DVec2 {
        let off = point - self.rect.center();
        self.centre + dvec2(f64::from(off.x), -f64::from(off.y)) * self.mm_per_point
    }

    /// A length on the screen, in millimetres.
    #[must_use]
    pub fn mm(&self, points: f32) -> f64 {
        f64::from(points) * self.mm_per_point
    }

    /// Drags the paper by so many points.
    pub fn pan(&mut self, by: Vec2) {
        self.centre -= dvec2(f64::from(by.x), -f64::from(by.y)) * self.mm_per_point;
    }

    /// Goes nearer by a factor, and keeps what is under `at` in its place.
    pub fn zoom_about(&mut self, at: Pos2, factor: f64) {
        let held = self.section_from_screen(at);
        self.mm_per_point = (self.mm_per_point / factor).clamp(FINEST_MM_PER_POINT, COARSEST_MM_PER_POINT);
        self.centre += held - self.section_from_screen(at);
    }

    /// Shows the whole of a box of the section.
    pub fn fit(&mut self, low: DVec2, high: DVec2) {
        let size = (high - low).max(dvec2(100.0, 100.0)) * (1.0 + 2.0 * FIT_MARGIN);
        let (width, height) = (f64::from(self.rect.width()).max(50.0), f64::from(self.rect.height()).max(50.0));
        let coarse = (size.x / width).max(size.y / height);
        self.mm_per_point = coarse.clamp(FINEST_MM_PER_POINT, COARSEST_MM_PER_POINT);
        self.centre = (low + high) / 2.0;
    }

    /// Shows a box of the section and what is around it, but no more than is shown already.
    pub fn fit_near(&mut self, low: DVec2, high: DVec2) {
        let whole = self.mm_per_point;
        let around = ((high - low) * AROUND_SHARE).max(LEAST_AROUND_MM);
        let middle = low.midpoint(high);
        let half = (high - low) / 2.0 + around;
        let before = self.centre;
        self.fit(middle - half, middle + half);
        if self.mm_per_point >= whole {
            (self.mm_per_point, self.centre) = (whole, before);
        }
    }

    /// Moves it no further than lets a strip of a box of the section stay in view.
    pub fn keep_in_view(&mut self, low: DVec2, high: DVec2) {
        let half = dvec2(f64::from(self.rect.width()), f64::from(self.rect.height())) / 2.0;
        let reach = (half - STRIP_KEPT).max(DVec2::ZERO) * self.mm_per_point;
        self.centre = self.centre.clamp(low - reach, high + reach);
    }

    /// Whether a section point can be seen, and not only just.
    #[must_use]
    pub fn shows(&self, point: DVec2) -> bool {
        self.rect.shrink(24.0).contains(self.screen_from_section(point))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn view() -> View {
        let rect = Rect::from_min_max(pos2(200.0, 50.0), pos2(1000.0, 650.0));
        View { centre: dvec2(1000.0, 2000.0), mm_per_point: 8.0, rect }
    }

    #[test]
    fn up_in_the_section_is_up_on_the_screen() {
        let view = view();
        assert_eq!(view.screen_from_section(dvec2(1000.0, 2000.0)), pos2(600.0, 350.0));
        assert_eq!(view.screen_from_section(dvec2(1080.0, 2080.0)), pos2(610.0, 340.0));
        assert_eq!(view.section_from_screen(pos2(610.0, 340.0)), dvec2(1080.0, 2080.0));
    }

    #[test]
    fn zoom_keeps_what_is_under_the_pointer() {
        let mut view = view();
        let at = pos2(700.0, 100.0);
        let before = view.section_from_screen(at);
        view.zoom_about(at, 3.0);
        assert!(view.section_from_screen(at).distance(before) < 1e-9);
        assert!((view.mm_per_point - 8.0 / 3.0).abs() < 1e-12);
    }

    #[test]
    fn a_strip_of_the_drawing_stays_in_view_however_far_it_is_moved() {
        let (low, high) = (dvec2(0.0, 0.0), dvec2(7000.0, 8000.0));
        for (by, kept) in [((0.0, 9e4), 8000.0), ((9e4, -9e4), 0.0), ((0.0, 10.0), 2080.0)] {
            let mut view = view();
            view.pan(Vec2::from(by));
            view.keep_in_view(low, high);
            let top = view.section_from_screen(view.rect.left_top()).y;
            let foot = view.section_from_screen(view.rect.left_bottom()).y;
            assert!(foot <= kept && kept <= top, "moved by {by:?} it shows {foot} to {top}");
        }
    }

    #[test]
    fn a_near_view_shows_what_is_around_and_never_more_than_before() {
        let mut view = view();
        view.fit(dvec2(0.0, 0.0), dvec2(7000.0, 8000.0));
        let whole = view;
        view.fit_near(dvec2(2000.0, 5000.0), dvec2(3000.0, 5600.0));
        assert_eq!(view.centre, dvec2(2500.0, 5300.0));
        // 600 mm and twice 700 mm, with the margin, over 600 points.
        assert!((view.mm_per_point - 2000.0 * 1.12 / 600.0).abs() < 1e-9, "{}", view.mm_per_point);
        view = whole;
        view.fit_near(dvec2(0.0, 0.0), dvec2(7000.0, 7900.0));
        assert_eq!(view, whole);
    }

    #[test]
    fn fit_shows_every_corner() {
        let mut view = view();
        let (low, high) = (dvec2(-500.0, -100.0), dvec2(7400.0, 8432.0));
        view.fit(low, high);
        assert!(
            view.rect.contains(view.screen_from_section(low)) && view.rect.contains(view.screen_from_section(high))
        );
    }
}
