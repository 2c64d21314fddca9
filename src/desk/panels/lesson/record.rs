//! The course record: who tried how often, with which marks, and its way out as CSV.

use egui::{RichText, TextEdit, Ui};

use super::{button, wrapped};
use crate::desk::LessonAction;
use crate::desk::lessons::Lessons;
use crate::lesson::Attempt;

/// So many of the last attempts are listed.
const LISTED: usize = 30;

pub(super) fn ui(ui: &mut Ui, lessons: &mut Lessons) -> Option<LessonAction> {
    let mut asked = None;
    let kept = lessons.kept_in().map_or_else(
        || "Kept until the window is closed.".to_owned(),
        |path| format!("Kept in '{}'. Nothing of it leaves this machine.", path.display()),
    );
    wrapped(ui, RichText::new(kept).weak());
    if lessons.record.attempts.is_empty() {
        wrapped(ui, "No attempt has been handed in yet.");
        return None;
    }
    let named = |name: &str| if name.is_empty() { "no name".to_owned() } else { name.to_owned() };
    egui::Grid::new("learners").num_columns(3).striped(true).spacing([12.0, 4.0]).show(ui, |ui| {
        for head in ["learner", "attempts", "marks"] {
            ui.label(RichText::new(head).strong());
        }
        ui.end_row();
        for (name, attempts, got, out_of) in lessons.record.learners() {
            ui.label(named(&name));
            ui.label(attempts.to_string());
            ui.label(format!("{got} of {out_of}"));
            ui.end_row();
        }
    });
    ui.separator();
    for attempt in lessons.record.attempts.iter().rev().take(LISTED) {
        let time =
            attempt.seconds.map_or_else(String::new, |seconds| format!(", {}:{:02}", seconds / 60, seconds % 60));
        let Attempt { day, seed, got, out_of, .. } = attempt;
        let line = format!("{day}: {}, exercise {seed}, {got} of {out_of}{time}", named(&attempt.learner));
        wrapped(ui, line);
    }
    ui.separator();
    let label = ui.label("Export as CSV to");
    ui.add(TextEdit::singleline(&mut lessons.export_path).desired_width(f32::INFINITY)).labelled_by(label.id);
    button(ui, "Export", (!lessons.export_path.trim().is_empty()).then_some(LessonAction::Export), &mut asked);
    asked
}
