//! Fields of a note.

use egui::Ui;
use glam::dvec2;

use super::fields::Fields;
use super::place;
use crate::layout::Note;

/// Where a note first points, from where it stands, mm.
const FIRST_POINTS_MM: (f64, f64) = (-600.0, -300.0);

/// Fields of a note.
pub fn note(ui: &mut Ui, fields: &mut Fields, note: &mut Note) {
    fields.prose(ui, "Words of the note", &mut note.words);
    place(ui, fields, &mut note.at, "Left end", "Level");
    let mut points = note.points_at.is_some();
    fields.one_of(ui, "It points", &mut points, &[(false, "at nothing"), (true, "at a place")]);
    if !points {
        note.points_at = None;
        return;
    }
    let first = note.at.moved(dvec2(FIRST_POINTS_MM.0, FIRST_POINTS_MM.1));
    let at = note.points_at.get_or_insert(first);
    ui.push_id("points at", |ui| place(ui, fields, at, "Points at, right", "Points at, up"));
}
