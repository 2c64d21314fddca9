//! Which dimensions of the selected part are held, and what is offered for several parts at once.

use egui::{RichText, Ui};

use super::fields::heading;
use crate::desk::{Action, Arrange, Command};
use crate::layout::{Align, Edit, Id, Layout, Lock};

/// A box for each dimension of a part that can be held.
pub fn held(ui: &mut Ui, layout: &Layout, id: &Id, actions: &mut Vec<Action>) {
    let all = layout.holdable(id);
    if all.is_empty() {
        return;
    }
    heading(ui, "Hold");
    ui.weak("What is held no drag, number or mending changes.");
    for holds in all {
        let words = holds.words();
        let mut held = layout.is_held(id, &holds);
        let response = ui.checkbox(&mut held, format!("Hold the {words}"));
        if response.changed() {
            let lock = Lock { part: id.clone(), holds };
            let (verb, edit) = if held { ("Hold", Edit::Hold(lock)) } else { ("Let go", Edit::LetGo(lock)) };
            actions.push(Action::edit(format!("{verb} the {words} of {}", id.spoken()), edit));
        }
    }
}

/// What can be done with several parts.
pub fn several(ui: &mut Ui, ids: &[Id], actions: &mut Vec<Action>) {
    ui.label(RichText::new(format!("{} parts selected", ids.len())).strong());
    ui.weak("Drag or arrow keys move them together; Shift+click adds or lets go.");
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
    heading(ui, "They are");
    for id in ids {
        if ui.link(id.spoken()).on_hover_text("Select this one alone").clicked() {
            actions.push(Action::Select(Some(id.clone())));
        }
    }
    ui.add_space(8.0);
    if ui.button(format!("Remove {} parts", ids.len())).clicked() {
        actions.push(Action::Command(Command::Delete));
    }
}
