//! Which dimensions of the selected part are held, and what is offered for several parts at once.

use egui::Ui;

use super::fields::heading;
use crate::desk::panels::words::{strong, weak, worded};
use crate::desk::{Action, Arrange, Command};
use crate::layout::{Align, Edit, Held, Id, Layout, Lock};
use crate::units::Amount;

/// A box for each dimension of a part that can be held, and for each distance from it that is.
pub fn held(ui: &mut Ui, layout: &Layout, id: &Id, actions: &mut Vec<Action>) {
    let mut all: Vec<Lock> = layout.holdable(id).into_iter().map(|holds| Lock { part: id.clone(), holds }).collect();
    all.extend(layout.locks.iter().filter(|lock| lock.holds.other().is_some() && lock.concerns(id)).cloned());
    if all.is_empty() {
        return;
    }
    heading(ui, "Hold");
    weak(ui, "What is held no drag, number or mending changes.");
    for lock in all {
        // Of a distance both parts are named, since it may have been held from the other.
        let words = if lock.holds.other().is_some() { lock.words() } else { format!("the {}", lock.holds.words()) };
        one(ui, layout, &lock, &format!("Hold {words}"), actions);
    }
}

/// A box that holds a dimension or lets it go.
fn one(ui: &mut Ui, layout: &Layout, lock: &Lock, words: &str, actions: &mut Vec<Action>) {
    let there = layout.held_as(lock);
    let mut held = there.is_some();
    if ui.checkbox(&mut held, worded(ui, words)).changed() {
        let (verb, edit) = match there {
            Some(there) => ("Let go", Edit::LetGo(there.clone())),
            None => ("Hold", Edit::Hold(lock.clone())),
        };
        actions.push(Action::edit(format!("{verb} {}", lock.words()), edit));
    }
}

/// The distances between two parts, which can be held.
fn between(ui: &mut Ui, layout: &Layout, from: &Id, part: &Id, actions: &mut Vec<Action>) {
    let distances = layout.distances(part, from);
    if distances.is_empty() {
        return;
    }
    heading(ui, "Hold between them");
    weak(ui, "Place from place: what is held no drag, number or mending changes.");
    for lock in distances {
        let apart = Amount::mm(layout.dimension(&lock).unwrap_or_default());
        let words = if matches!(lock.holds, Held::UpFrom(_)) { "up" } else { "across" };
        one(ui, layout, &lock, &format!("Hold the distance {words}: {apart}"), actions);
    }
}

/// What can be done with several parts.
pub fn several(ui: &mut Ui, layout: &Layout, ids: &[Id], actions: &mut Vec<Action>) {
    strong(ui, format!("{} parts selected", ids.len()));
    weak(ui, "Drag or arrow keys move them together; Shift+click adds or lets go.");
    let mut button = |ui: &mut Ui, arrange: Arrange| {
        let about = arrange.about();
        if ui.button(about.name).on_hover_text(about.description).clicked() {
            actions.push(Action::Command(Command::Arrange(arrange)));
        }
    };
    if let Some(first) = ids.first() {
        heading(ui, &format!("Align with {}", first.spoken()));
    }
    ui.horizontal_wrapped(|ui| Align::ALL.map(|align| button(ui, Arrange::Align(align))));
    heading(ui, "Together");
    ui.horizontal_wrapped(|ui| {
        [Arrange::Copy, Arrange::Cut, Arrange::Duplicate, Arrange::Mirror].map(|arrange| button(ui, arrange))
    });
    if let [first, second] = ids {
        between(ui, layout, first, second, actions);
    }
    heading(ui, "They are");
    for id in ids {
        if ui.link(worded(ui, &id.spoken())).on_hover_text("Select this one alone").clicked() {
            actions.push(Action::Select(Some(id.clone())));
        }
    }
    ui.add_space(8.0);
    if ui.button(format!("Remove {} parts", ids.len())).clicked() {
        actions.push(Action::Command(Command::Delete));
    }
}
