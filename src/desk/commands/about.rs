//! What people read of a command: its name, what it does, and its keys.

use egui::{Context, Key, KeyboardShortcut, Modifiers};

use super::Command;
use crate::rules::Voice;

/// What people read of a command.
pub struct About {
    /// Its name in the menu.
    pub name: &'static str,
    /// What it does, for the tooltip.
    pub description: &'static str,
    /// The keys that give it; the first is shown.
    pub shortcuts: &'static [KeyboardShortcut],
}

pub const fn plain(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::NONE, key)
}

pub const fn ctrl(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND, key)
}

pub const fn ctrl_shift(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), key)
}

impl About {
    pub(in crate::desk) const fn new(
        name: &'static str,
        description: &'static str,
        shortcuts: &'static [KeyboardShortcut],
    ) -> Self {
        Self { name, description, shortcuts }
    }
}

impl Command {
    /// Its name in every reading, so that it is found by each.
    #[must_use]
    pub fn names(self) -> Vec<&'static str> {
        match self {
            Self::Look(aspect) => Voice::ALL.map(|voice| aspect.name(voice)).to_vec(),
            _ => vec![self.about().name],
        }
    }

    /// The keys that give it, in words; empty when there are none.
    #[must_use]
    pub fn shortcut_words(self, ctx: &Context) -> String {
        self.about().shortcuts.first().map(|shortcut| ctx.format_shortcut(shortcut)).unwrap_or_default()
    }

    /// What it does and the keys that give it, for a tooltip.
    #[must_use]
    pub fn tip(self, ctx: &Context) -> String {
        let (description, keys) = (self.about().description, self.shortcut_words(ctx));
        if keys.is_empty() { description.to_owned() } else { format!("{description} ({keys})") }
    }
}
