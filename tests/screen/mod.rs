//! The window without a display, as every test of it opens it.

use egui::{UiBuilder, Vec2};
use egui_kittest::Harness;
use loftwright::desk::{Desk, set_up};
use loftwright::layout::Layout;
use loftwright::session::Session;

pub type Window = Harness<'static, Desk>;

/// A window on a layout, as large as most tests want it.
pub fn window(layout: Layout) -> Window {
    window_of(Desk::new(Session::new(layout)))
}

/// A window on a desk, as large as that.
pub fn window_of(desk: Desk) -> Window {
    show(desk, [1360.0, 860.0])
}

/// A window of this size on a desk, laid out and at rest.
pub fn show(desk: Desk, size: impl Into<Vec2>) -> Window {
    let frame = |ui: &mut egui::Ui, desk: &mut Desk| {
        desk.logic(ui.ctx());
        // Without the margin that the harness leaves about what it shows, everything is where the real window has it.
        ui.scope_builder(UiBuilder::new().max_rect(ui.ctx().content_rect()), |ui| desk.ui(ui));
    };
    let builder = Harness::builder().with_size(size).with_theme(egui::Theme::Light).with_context_setup(set_up);
    let mut harness = builder.build_ui_state(frame, desk);
    harness.run();
    harness
}
