//! The menu bar: every command by name, with its keys.

use egui::{Button, MenuBar, Ui};

use crate::desk::examples::EXAMPLES;
use crate::desk::{Action, Arrange, Aspect, Command, Outlook};
use crate::layout::Align;
use crate::rules::{Profile, Voice};
use crate::session::Session;

/// Shows the menu bar, and asks for the commands that are picked.
pub fn ui(ui: &mut Ui, session: &Session, outlook: &Outlook, actions: &mut Vec<Action>) {
    MenuBar::new().ui(ui, |ui| {
        ui.menu_button("File", |ui| {
            item(ui, Command::New, None, Enabled::Yes, actions);
            ui.menu_button("New from example", |ui| {
                for number in 0..EXAMPLES.len() {
                    item(ui, Command::Example(number), None, Enabled::Yes, actions);
                }
            });
            item(ui, Command::Open, None, Enabled::Yes, actions);
            ui.separator();
            item(ui, Command::Save, None, Enabled::Yes, actions);
            item(ui, Command::SaveAs, None, Enabled::Yes, actions);
            ui.separator();
            item(ui, Command::Quit, None, Enabled::Yes, actions);
        });
        ui.menu_button("Edit", |ui| {
            step(ui, Command::Undo, session.undo_label(), actions);
            step(ui, Command::Redo, session.redo_label(), actions);
            ui.separator();
            let selected = outlook.grip().map(|grip| format!("Remove {}", grip.name(session.layout())));
            item(ui, Command::Delete, selected.as_deref(), Enabled::when(selected.is_some()), actions);
            arranging(ui, outlook, actions);
            item(ui, Command::NextPart, None, Enabled::Yes, actions);
            item(ui, Command::PreviousPart, None, Enabled::Yes, actions);
            item(ui, Command::Escape, None, Enabled::Yes, actions);
        });
        ui.menu_button("View", |ui| {
            item(ui, Command::Fit, None, Enabled::Yes, actions);
            item(ui, Command::ZoomIn, None, Enabled::Yes, actions);
            item(ui, Command::ZoomOut, None, Enabled::Yes, actions);
            ui.separator();
            for aspect in Aspect::ALL {
                item(ui, Command::Look(aspect), None, Enabled::Yes, actions);
            }
            ui.separator();
            item(ui, Command::NextFinding, None, Enabled::Yes, actions);
            item(ui, Command::PreviousFinding, None, Enabled::Yes, actions);
            ui.separator();
            for voice in Voice::ALL {
                let name = format!("Reading: {}", voice.heading());
                item(ui, Command::Reading(voice), Some(&name), Enabled::Yes, actions);
            }
            ui.separator();
            for (number, profile) in Profile::shipped_names().filter_map(Profile::shipped).enumerate() {
                let mark = if profile == *session.profile() { " (now)" } else { "" };
                let name = format!("Judged by: {}{mark}", profile.name);
                item(ui, Command::Judge(number), Some(&name), Enabled::Yes, actions);
            }
            ui.separator();
            item(ui, Command::Appearance, None, Enabled::Yes, actions);
        });
        ui.menu_button("Help", |ui| {
            item(ui, Command::Keys, None, Enabled::Yes, actions);
        });
        ui.separator();
        for aspect in Aspect::ALL {
            let about = Command::Look(aspect).about();
            let tab = ui.selectable_label(outlook.aspect == aspect, about.name).on_hover_text(about.description);
            if tab.clicked() {
                actions.push(Action::Command(Command::Look(aspect)));
            }
        }
        ui.separator();
        let title = &session.layout().heading.title;
        let title = if title.is_empty() { "Untitled layout" } else { title };
        ui.add(egui::Label::new(egui::RichText::new(title).strong()).truncate());
    });
}

/// What is done with all that is selected.
fn arranging(ui: &mut Ui, outlook: &Outlook, actions: &mut Vec<Action>) {
    let parts = outlook.selection().len();
    let (any, several) = (Enabled::when(parts > 0), Enabled::when(parts > 1));
    ui.separator();
    item(ui, Command::Arrange(Arrange::SelectEverything), None, Enabled::Yes, actions);
    item(ui, Command::Arrange(Arrange::Cut), None, any, actions);
    item(ui, Command::Arrange(Arrange::Copy), None, any, actions);
    item(ui, Command::Arrange(Arrange::Paste), None, Enabled::Yes, actions);
    item(ui, Command::Arrange(Arrange::Duplicate), None, any, actions);
    item(ui, Command::Arrange(Arrange::Mirror), None, any, actions);
    ui.menu_button("Align", |ui| {
        for align in Align::ALL {
            item(ui, Command::Arrange(Arrange::Align(align)), None, several, actions);
        }
    });
    ui.separator();
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Enabled {
    Yes,
    No,
}

impl Enabled {
    const fn when(it_is: bool) -> Self {
        if it_is { Self::Yes } else { Self::No }
    }
}

/// Undo or redo, with what it would take back or make again.
fn step(ui: &mut Ui, command: Command, label: Option<&str>, actions: &mut Vec<Action>) {
    let name = label.map(|label| format!("{}: {label}", command.about().name));
    item(ui, command, name.as_deref(), Enabled::when(label.is_some()), actions);
}

fn item(ui: &mut Ui, command: Command, name: Option<&str>, enabled: Enabled, actions: &mut Vec<Action>) {
    let about = command.about();
    let button = Button::new(name.unwrap_or(about.name)).shortcut_text(command.shortcut_words(ui.ctx()));
    let response = ui.add_enabled(enabled == Enabled::Yes, button).on_hover_text(about.description);
    if response.clicked() {
        actions.push(Action::Command(command));
        ui.close();
    }
}
