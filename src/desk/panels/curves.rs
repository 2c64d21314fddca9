//! Plots of the panels: looked at and not handled, and named for those who cannot see them.

use egui::{Response, Role, Ui, WidgetInfo};
use egui_plot::{AxisHints, Line, Plot, PlotPoints};

use crate::desk::theme::Palette;
use crate::heat::Moment;

/// Height of a plot, in points; in a small window it is this share of the window's, but no less than can be read.
const HEIGHT: f32 = 170.0;
const SHARE: f32 = 0.26;
const LEAST_HEIGHT: f32 = 90.0;

/// A plot of a course, with words at its axes.
pub fn plot<'a>(ui: &Ui, id: impl egui::AsIdSalt, across: &str, up: &str, palette: Palette) -> Plot<'a> {
    still(id, palette)
        .height((ui.ctx().content_rect().height() * SHARE).clamp(LEAST_HEIGHT, HEIGHT))
        .grid_spacing(12.0..=60.0)
        .custom_x_axes(vec![AxisHints::new_x().label(across.to_owned()).label_spacing(24.0..=30.0)])
        .custom_y_axes(vec![AxisHints::new_y().label(up.to_owned()).label_spacing(14.0..=20.0)])
}

/// A plot that is looked at and not handled.
pub fn still<'a>(id: impl egui::AsIdSalt, palette: Palette) -> Plot<'a> {
    Plot::new(id)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(false)
        .show_crosshair(false)
        .grid_color(palette.faint.gamma_multiply(0.35))
}

/// A line of a plot, as thick where it is steep as where it is level. What joins points that lie close beside each other to a
/// band thickens a line upward alone, and fills what lies before a step.
pub fn curve<'a>(name: impl Into<String>, points: impl Into<PlotPoints<'a>>) -> Line<'a> {
    Line::new(name, points).allow_band(false)
}

/// Says what a plot shows.
pub fn figure(response: &Response, name: &str) {
    response.widget_info(|| WidgetInfo::labeled(Role::Figure, true, name));
}

/// A course of temperatures as points of a plot.
pub fn points(course: &[Moment]) -> PlotPoints<'static> {
    course.iter().map(|moment| [moment.hour, moment.celsius]).collect()
}
