//! The commands that a person gives: one table that menus, shortcuts and tooltips all read.

use egui::{Key, KeyboardShortcut, Modifiers};

use super::{Arrange, Aspect};
use crate::rules::{Profile, Voice};

/// A command of the menu or the keyboard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Command {
    /// A blank sheet.
    New,
    /// An example, by its place in the list.
    Example(usize),
    /// Another file.
    Open,
    /// To where it came from.
    Save,
    /// To somewhere else.
    SaveAs,
    /// Closes the window.
    Quit,
    /// One step back.
    Undo,
    /// One step forward.
    Redo,
    /// Takes the selected part away.
    Delete,
    /// Something that is done with all that is selected.
    Arrange(Arrange),
    /// Gives up what is under way.
    Escape,
    /// Selects the next part.
    NextPart,
    /// Selects the part before.
    PreviousPart,
    /// Everything in view.
    Fit,
    /// Nearer.
    ZoomIn,
    /// Farther.
    ZoomOut,
    /// What the drawing shows beside the parts.
    Look(Aspect),
    /// Light or dark.
    Appearance,
    /// The words of findings.
    Reading(Voice),
    /// Which rules judge: a profile that ships with the program, by its place in the list.
    Judge(usize),
    /// Chooses the next finding of the list.
    NextFinding,
    /// Chooses the finding before.
    PreviousFinding,
    /// Keys and gestures.
    Keys,
}

/// What people read of a command.
pub struct About {
    /// Its name in the menu.
    pub name: &'static str,
    /// What it does, for the tooltip.
    pub description: &'static str,
    /// The keys that give it; the first is shown.
    pub shortcuts: &'static [KeyboardShortcut],
}

/// Commands that keys give, in the order in which they are listed.
pub const WITH_KEYS: [Command; 23] = [
    Command::New,
    Command::Open,
    Command::Save,
    Command::SaveAs,
    Command::Quit,
    Command::Undo,
    Command::Redo,
    Command::Delete,
    Command::Arrange(Arrange::SelectEverything),
    Command::Arrange(Arrange::Duplicate),
    Command::Arrange(Arrange::Mirror),
    Command::Escape,
    Command::NextPart,
    Command::PreviousPart,
    Command::NextFinding,
    Command::PreviousFinding,
    Command::Look(Aspect::SetOut),
    Command::Look(Aspect::Flow),
    Command::Look(Aspect::Warmth),
    Command::Look(Aspect::Timber),
    Command::Fit,
    Command::ZoomIn,
    Command::ZoomOut,
];

/// Every shortcut with its command, those with Shift first, so that Ctrl+Shift+S is not taken for Ctrl+S.
pub fn shortcuts() -> impl Iterator<Item = (Command, KeyboardShortcut)> {
    let all =
        || WITH_KEYS.into_iter().flat_map(|command| command.about().shortcuts.iter().map(move |keys| (command, *keys)));
    let shifted = |pair: &(Command, KeyboardShortcut)| pair.1.modifiers.shift;
    all().filter(shifted).chain(all().filter(move |pair| !shifted(pair)))
}

const fn plain(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::NONE, key)
}

const fn ctrl(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND, key)
}

const fn ctrl_shift(key: Key) -> KeyboardShortcut {
    KeyboardShortcut::new(Modifiers::COMMAND.plus(Modifiers::SHIFT), key)
}

impl Command {
    /// Name, description and keys.
    #[must_use]
    pub fn about(self) -> About {
        let about = |name, description, shortcuts| About { name, description, shortcuts };
        match self {
            Self::New => about("New", "Begin on a blank sheet", const { &[ctrl(Key::N)] }),
            Self::Example(number) => {
                about(super::examples::EXAMPLES[number].name, "Begin from this example; it is not changed", &[])
            }
            Self::Open => about("Open…", "Open a layout from a file", const { &[ctrl(Key::O)] }),
            Self::Save => about("Save", "Write the layout to its file", const { &[ctrl(Key::S)] }),
            Self::SaveAs => about("Save as…", "Write the layout to another file", const { &[ctrl_shift(Key::S)] }),
            Self::Quit => about("Quit", "Close the window", const { &[ctrl(Key::Q)] }),
            Self::Undo => about("Undo", "Take back the last step", const { &[ctrl(Key::Z)] }),
            Self::Redo => {
                about("Redo", "Make again the step taken back", const { &[ctrl_shift(Key::Z), ctrl(Key::Y)] })
            }
            Self::Arrange(arrange) => arrange.about(),
            Self::Delete => about("Remove", "Take the selected parts away", const { &[plain(Key::Delete)] }),
            Self::Escape => {
                about("Give up", "Give up a drag or a tool, or select nothing", const { &[plain(Key::Escape)] })
            }
            Self::NextPart => about("Next part", "Select the next part", const { &[plain(Key::PageDown)] }),
            Self::PreviousPart => about("Previous part", "Select the part before", const { &[plain(Key::PageUp)] }),
            Self::Fit => about("Fit", "Bring everything into view", const { &[plain(Key::F)] }),
            Self::ZoomIn => about("Nearer", "Show less, larger", const { &[plain(Key::Plus), plain(Key::Equals)] }),
            Self::ZoomOut => about("Farther", "Show more, smaller", const { &[plain(Key::Minus)] }),
            Self::Look(aspect) => match aspect {
                Aspect::SetOut => {
                    about("Set out", "Heights, gaps and falls, with findings", const { &[plain(Key::Num1)] })
                }
                Aspect::Flow => about("Flow", "What runs at each tap; trials in time", const { &[plain(Key::Num2)] }),
                Aspect::Warmth => {
                    about("Warmth", "What heat and frost do to water and pipes", const { &[plain(Key::Num3)] })
                }
                Aspect::Timber => {
                    about("Timber", "What carries the weight, and how hard it works", const { &[plain(Key::Num4)] })
                }
            },
            Self::Appearance => about("Light or dark", "Change between light and dark paper", &[]),
            Self::Reading(voice) => match voice {
                Voice::Trade => about("Trade", "Findings in one line with numbers", &[]),
                Voice::Teaching => about("Teaching", "Findings with the reason behind the rule", &[]),
                Voice::Plain => about("Plain", "Findings in everyday words, with what to ask", &[]),
            },
            Self::Judge(number) => {
                let name = Profile::shipped_names().nth(number).unwrap_or_default();
                about(name, "Judge by the rules of this profile", &[])
            }
            Self::NextFinding => {
                about("Next finding", "Choose the next finding of the list", const { &[plain(Key::N)] })
            }
            Self::PreviousFinding => about("Previous finding", "Choose the finding before", const { &[plain(Key::P)] }),
            Self::Keys => about("Keys and gestures", "What mouse and keyboard do on the drawing", &[]),
        }
    }

    /// The keys that give it, in words; empty when there are none.
    #[must_use]
    pub fn shortcut_words(self, ctx: &egui::Context) -> String {
        self.about().shortcuts.first().map(|shortcut| ctx.format_shortcut(shortcut)).unwrap_or_default()
    }
}
