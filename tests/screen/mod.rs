//! The window without a display, as every test of it opens it.

use egui::{UiBuilder, Vec2};
use egui_kittest::Harness;
use loftwright::desk::{Desk, set_up};

/// A window of this size on a desk, laid out and at rest.
pub fn show(desk: Desk, size: impl Into<Vec2>) -> Harness<'static, Desk> {
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
