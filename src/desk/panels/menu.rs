//! The menu bar: every command by name, with its keys.

use egui::{Button, MenuBar, ScrollArea, Ui};

use super::words::worded;
use crate::desk::commands::{Can, Entry, MENUS, Menu};
use crate::desk::{Action, Aspect, Command, Outlook};
use crate::session::Session;

/// Stands before what is not saved, here and in the window's title.
pub const NOT_SAVED: &str = "● ";
/// How far a long menu stays from the foot of the window, in points.
const CLEAR_BELOW: f32 = 12.0;

/// Shows the menu bar, and asks for the commands that are picked.
pub fn ui(ui: &mut Ui, session: &Session, outlook: &Outlook, actions: &mut Vec<Action>) {
    MenuBar::new().ui(ui, |ui| {
        for menu in &MENUS {
            ui.menu_button(menu.name, |ui| {
                let most = ui.ctx().content_rect().bottom() - ui.next_widget_position().y - CLEAR_BELOW;
                let scrolled = ScrollArea::vertical().max_height(most).min_scrolled_height(most);
                scrolled.show(ui, |ui| entries(ui, menu, session, outlook, actions));
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
        ui.add(egui::Label::new(egui::RichText::new(open_words(session)).strong()).truncate());
    });
}

/// What stands in a menu.
fn entries(ui: &mut Ui, menu: &Menu, session: &Session, outlook: &Outlook, actions: &mut Vec<Action>) {
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
}

/// What is open: its title and its file, with a mark while there is work that is not saved.
fn open_words(session: &Session) -> String {
    let title = session.layout().heading.title.as_str();
    let words = match (title, session.file_name()) {
        ("", None) => "Untitled layout".to_owned(),
        ("", Some(file)) => file,
        (title, None) => title.to_owned(),
        (title, Some(file)) => format!("{file}: {title}"),
    };
    let mark = if session.is_dirty() { NOT_SAVED } else { "" };
    format!("{mark}{words}")
}

fn items(ui: &mut Ui, commands: &[Command], session: &Session, outlook: &Outlook, actions: &mut Vec<Action>) {
    let mut shown = 0;
    for command in commands {
        let offered = command.offered(session, outlook);
        if offered.name.is_empty() {
            continue;
        }
        shown += 1;
        let name = worded(ui, &offered.name);
        let button = Button::new(name).shortcut_text(command.shortcut_words(ui.ctx()));
        let response = ui.add_enabled(offered.can == Can::Yes, button);
        let response = response.on_hover_text(worded(ui, command.about().description));
        let response = response.on_disabled_hover_text(worded(ui, offered.why_not));
        if response.clicked() {
            actions.push(Action::Command(*command));
            ui.close();
        }
    }
    if shown == 0 {
        ui.add_enabled(false, Button::new("None yet"));
    }
}
