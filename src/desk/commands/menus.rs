//! The menus: one table that the bar, the keys and the list of commands all read.

use egui::KeyboardShortcut;

use super::Command;
use crate::desk::examples::EXAMPLES;
use crate::desk::{Arrange, Aspect};
use crate::layout::Align;
use crate::rules::{Profile, Voice};
use crate::session::settings::{MOST_RECENT, Measures};

/// A menu of the bar.
pub struct Menu {
    /// Its name.
    pub name: &'static str,
    /// What stands in it, from the top.
    pub entries: &'static [Entry],
}

/// What stands in a menu.
pub enum Entry {
    /// A command.
    One(Command),
    /// Several of a kind.
    Several(fn() -> Vec<Command>),
    /// Several of a kind in a menu of their own.
    Below(&'static str, fn() -> Vec<Command>),
    /// A line between groups.
    Line,
}

/// Every command, in the menu in which it stands. The bar, the keys and the list of commands all read this.
pub static MENUS: [Menu; 4] = {
    use Command::{
        About, Appearance, Ask, Delete, EnterSurvey, Escape, Fit, Glossary, Keys, LargerText, MendAll, MendFinding,
        MendSelection, New, NextFinding, NextPart, Numbers, Open, Panels, PreviousFinding, PreviousPart, Quit, Redo,
        Reload, RevealLess, RevealMore, Rules, Save, SaveAs, SmallerText, Start, TellUsual, Tour, Undo, Units,
        UsualText, Variants, ZoomIn, ZoomOut,
    };
    use Entry::{Below, Line, One, Several};
    [
        Menu {
            name: "File",
            entries: &[
                One(Start),
                One(EnterSurvey),
                One(New),
                Below("New from example", || (0..EXAMPLES.len()).map(Command::Example).collect()),
                One(Open),
                Below("Open again", || (0..MOST_RECENT).map(Command::Recent).collect()),
                One(Reload),
                Line,
                One(Save),
                One(SaveAs),
                One(Variants),
                Line,
                One(Quit),
            ],
        },
        Menu {
            name: "Edit",
            entries: &[
                One(Undo),
                One(Redo),
                Line,
                One(MendAll),
                One(MendFinding),
                One(MendSelection),
                One(TellUsual),
                Line,
                Several(|| Arrange::ALL.map(Command::Arrange).to_vec()),
                Below("Align", || Align::ALL.map(Arrange::Align).map(Command::Arrange).to_vec()),
                One(Delete),
                Line,
                One(NextPart),
                One(PreviousPart),
                One(Numbers),
                One(Escape),
            ],
        },
        Menu {
            name: "View",
            entries: &[
                One(Fit),
                One(ZoomIn),
                One(ZoomOut),
                One(Panels),
                Line,
                Several(|| Aspect::ALL.map(Command::Look).to_vec()),
                Line,
                One(NextFinding),
                One(PreviousFinding),
                One(RevealMore),
                One(RevealLess),
                Line,
                Below("Reading", || Voice::ALL.map(Command::Reading).to_vec()),
                Below("Judged by", || (0..Profile::shipped_names().count()).map(Command::Judge).collect()),
                Line,
                Below("Size of text", || vec![LargerText, SmallerText, UsualText]),
                Below("Measures", || vec![Units(Measures::Metric), Units(Measures::Imperial)]),
                One(Appearance),
            ],
        },
        Menu {
            name: "Help",
            entries: &[One(Ask), One(Keys), Line, One(Rules), One(Glossary), One(Tour), Line, One(About)],
        },
    ]
};

impl Entry {
    /// The commands that it stands for.
    #[must_use]
    pub fn commands(&self) -> Vec<Command> {
        match self {
            Self::One(command) => vec![*command],
            Self::Several(commands) | Self::Below(_, commands) => commands(),
            Self::Line => Vec::new(),
        }
    }
}

/// Every command, in the order of the menus, with the name of its menu.
pub fn all() -> impl Iterator<Item = (&'static str, Command)> {
    MENUS.iter().flat_map(|menu| {
        menu.entries.iter().flat_map(Entry::commands).map(|command| (menu.name, command)).collect::<Vec<_>>()
    })
}

/// Every shortcut with its command, those with Shift first, so that Ctrl+Shift+S is not taken for Ctrl+S.
pub fn shortcuts() -> impl Iterator<Item = (Command, KeyboardShortcut)> {
    let all = || all().flat_map(|(_, command)| command.about().shortcuts.iter().map(move |keys| (command, *keys)));
    let shifted = |pair: &(Command, KeyboardShortcut)| pair.1.modifiers.shift;
    all().filter(shifted).chain(all().filter(move |pair| !shifted(pair)))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    #[test]
    fn no_two_commands_share_a_key() {
        let mut given: BTreeMap<String, Command> = BTreeMap::new();
        for (command, keys) in shortcuts() {
            if let Some(other) = given.insert(format!("{keys:?}"), command) {
                panic!("{command:?} and {other:?} share {keys:?}");
            }
        }
        assert!(given.len() > 20);
    }

    #[test]
    fn every_command_stands_in_one_menu_with_a_name_of_its_own() {
        let mut seen: Vec<Command> = Vec::new();
        for (menu, command) in all() {
            assert!(!seen.contains(&command), "{command:?} stands twice, again in {menu}");
            let about = command.about();
            assert!(!about.name.is_empty() && !about.description.ends_with('.'), "{command:?}");
            seen.push(command);
        }
    }
}
