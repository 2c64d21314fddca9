//! The menu bar: every command by name, with its keys.

use egui::{Button, MenuBar, Ui};

use super::words::worded;
use crate::desk::commands::{Can, Entry, MENUS};
use crate::desk::{Action, Aspect, Command, Outlook};
use crate::session::Session;

/// Shows the menu bar, and asks for the commands that are picked.
pub fn ui(ui: &mut Ui, session: &Session, outlook: &Outlook, actions: &mut Vec<Action>) {
    MenuBar::new().ui(ui, |ui| {
        for menu in &MENUS {
            ui.menu_button(menu.name, |ui| {
                for entry in menu.entries {
                    match entry {
                        Entry::Line => {
                            ui.separator();
                        }
                        Entry::Below(name, commands) => {
                            ui.menu_button(*name, |ui| items(ui, &commands(), session, outlook, actions));
                        }
                        Entry::One(_) | Entry::Several(_) => items(ui, &entry.commands(), session, outlook, actions),
                    }
                }
            });
        }
        ui.separator();
        for aspect in Aspect::ALL {
            let command = Command::Look(aspect);
            let tab = ui.selectable_label(outlook.aspect == aspect, aspect.name(outlook.voice));
            if tab.on_hover_text(worded(ui, &command.tip(ui.ctx()))).clicked() {
                actions.push(Action::Command(command));
            }
        }
        ui.separator();
        let title = &session.layout().heading.title;
        let title = if title.is_empty() { "Untitled layout" } else { title };
        ui.add(egui::Label::new(egui::RichText::new(title).strong()).truncate());
    });
}

fn items(ui: &mut Ui, commands: &[Command], session: &Session, outlook: &Outlook, actions: &mut Vec<Action>) {
    let mut shown = 0;
    for command in commands {
        let standing = command.standing(session, outlook);
        if standing.name.is_empty() {
            continue;
        }
        shown += 1;
        let name = worded(ui, &standing.name);
        let button = Button::new(name).shortcut_text(command.shortcut_words(ui.ctx()));
        let response = ui.add_enabled(standing.can == Can::Yes, button);
        let response = response.on_hover_text(worded(ui, command.about().description));
        if response.clicked() {
            actions.push(Action::Command(*command));
            ui.close();
        }
    }
    if shown == 0 {
        ui.add_enabled(false, Button::new("None yet"));
    }
}
