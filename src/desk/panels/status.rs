//! The status line: where the pointer is, what it does, what was just said, and how the layout stands.

use egui::{Align, Label, Layout, RichText, Ui};
use glam::DVec2;

use crate::desk::{Outlook, Tool};
use crate::rules::{Profile, Verdict, Voice, said};
use crate::session::Session;

/// Shows the status line.
pub fn ui(ui: &mut Ui, session: &Session, outlook: &Outlook, at: Option<DVec2>, snapped: &str) {
    ui.horizontal(|ui| {
        ui.set_min_height(22.0);
        let place = at.map_or_else(
            || "— right, — up".to_owned(),
            |at| format!("{} right, {} up", at.x.round() + 0.0, at.y.round() + 0.0),
        );
        ui.add_sized([150.0, 20.0], Label::new(RichText::new(place).monospace()));
        ui.separator();
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let counts = session.findings().counts();
            let [breach, marginal, unknown, _] = Verdict::ALL.map(|verdict| counts.of(verdict));
            ui.label(match outlook.voice {
                Voice::Trade | Voice::Teaching => format!("{breach} breached, {marginal} marginal, {unknown} unknown"),
                Voice::Plain => format!("{breach} not right, {marginal} too close to tell, {unknown} not known"),
            });
            if let Some(fault) = session.profile_fault() {
                ui.label(RichText::new("profile not found").strong()).on_hover_text(fault);
            }
            if session.profile() != Profile::usual() {
                ui.label(format!("judged by {}", session.profile().name));
            }
            ui.separator();
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let words = match (outlook.said.as_str(), snapped) {
                    ("", "") => said(hint(session.layout(), outlook), outlook.voice),
                    ("", snapped) => said(format!("Snapped: {snapped} (Alt suspends)"), outlook.voice),
                    (words, _) => said(words, outlook.voice),
                };
                ui.add(Label::new(words).truncate());
            });
        });
    });
}

/// What the tool in hand waits for.
fn hint(layout: &crate::layout::Layout, outlook: &Outlook) -> String {
    match (&outlook.tool, outlook.grip()) {
        (Tool::Pick, None) => {
            "Click a part to select it, drag to move it, drag a box about several; scroll pans, Ctrl+scroll zooms"
                .to_owned()
        }
        (Tool::Pick, Some(grip)) => {
            let name = grip.name(layout);
            format!("{name} selected: drag or arrow keys move it, Delete removes it, Esc lets go")
        }
        (Tool::Place(stock), _) => {
            format!("Placing a {}: {}; Alt suspends snapping, Esc puts it down", stock.name(), stock.held_by())
        }
        (Tool::Insulate, _) => "Insulating: drag along a pipe, or click a stretch; Esc puts it down".to_owned(),
        (Tool::Bare, _) => "Baring: drag along an insulated pipe, or click a stretch; Esc puts it down".to_owned(),
        (Tool::Fit(kind), _) => format!("Fitting a {}: click on a pipe; Shift keeps it in hand", kind.words()),
        (Tool::Tape, _) => "Tape: click one feature, then the other; Esc puts it down".to_owned(),
        (Tool::Pipe(service), _) => {
            format!(
                "Drawing {}: click where it begins, then bends; Shift frees the angle, Enter ends it, Backspace takes back",
                service.words()
            )
        }
    }
}
