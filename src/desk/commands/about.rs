//! What people read of a command: its name, what it does, and its keys.

use egui::{Context, Key, KeyboardShortcut, Modifiers};

use super::Command;
use crate::desk::Aspect;
use crate::desk::examples::EXAMPLES;
use crate::rules::{Profile, Voice};
use crate::session::settings::Measures;

/// What people read of a command.
pub struct About {
    /// Its name in the menu.
    pub name: &'static str,
    /// What it does, for the tooltip.
    pub description: &'static str,
    /// The keys that give it; the first is shown.
    pub shortcuts: &'static [KeyboardShortcut],
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
            Self::Start => about(
                "Start from answers…",
                "Draw a whole system from a few answers about the house",
                const { &[ctrl_shift(Key::N)] },
            ),
            Self::EnterSurvey => about("Enter a survey…", "Draw what a tape has found on site", &[]),
            Self::Variants => about(
                "Variants side by side…",
                "Keep variants of this layout, and compare findings, heads and take-off",
                const { &[plain(Key::V)] },
            ),
            Self::Example(number) => about(EXAMPLES[number].name, "Begin from this example; it is not changed", &[]),
            Self::Open => about("Open…", "Open a layout from a file", const { &[ctrl(Key::O)] }),
            Self::Recent(_) => about("Open again", "Open a layout that was open lately", &[]),
            Self::Reload => about("Reload", "Read the layout from its file once more", const { &[plain(Key::F5)] }),
            Self::Save => about("Save", "Write the layout to its file", const { &[ctrl(Key::S)] }),
            Self::SaveAs => about("Save as…", "Write the layout to another file", const { &[ctrl_shift(Key::S)] }),
            Self::Quit => about("Quit", "Close the window", const { &[ctrl(Key::Q)] }),
            Self::Undo => about("Undo", "Take back the last step", const { &[ctrl(Key::Z)] }),
            Self::Redo => {
                about("Redo", "Make again the step taken back", const { &[ctrl_shift(Key::Z), ctrl(Key::Y)] })
            }
            Self::Arrange(arrange) => arrange.about(),
            Self::Delete => about("Remove", "Take the selected parts away", const { &[plain(Key::Delete)] }),
            Self::Escape => about(
                "Cancel",
                "Let a drag go back, put down a tool, or select nothing",
                const { &[plain(Key::Escape)] },
            ),
            Self::NextPart => about("Next part", "Select the next part", const { &[plain(Key::PageDown)] }),
            Self::PreviousPart => about("Previous part", "Select the part before", const { &[plain(Key::PageUp)] }),
            Self::Numbers => about("Its numbers", "Go to Particulars by keyboard", const { &[plain(Key::F2)] }),
            Self::Fit => about("Fit", "Bring everything into view", const { &[plain(Key::F)] }),
            Self::ZoomIn => about("Nearer", "Show less, larger", const { &[plain(Key::Plus), plain(Key::Equals)] }),
            Self::ZoomOut => about("Farther", "Show more, smaller", const { &[plain(Key::Minus)] }),
            Self::MendAll => {
                about("Mend all", "The smallest changes that clear every breach", const { &[plain(Key::M)] })
            }
            Self::MendFinding => about(
                "Mend finding",
                "The smallest changes that clear the chosen finding",
                const { &[ctrl_shift(Key::M)] },
            ),
            Self::MendSelection => about(
                "Mend selection",
                "The smallest changes that clear the breaches of what is selected",
                const { &[ctrl(Key::M)] },
            ),
            Self::TellUsual => about(
                "Tell what is usual",
                "Everything that nobody has told, as it is usual in new work; what is told stays",
                const { &[plain(Key::U)] },
            ),
            Self::Look(aspect) => about_view(aspect),
            Self::Panels => about(
                "Side panels",
                "Hide the panels beside the drawing, or show them again",
                const { &[plain(Key::F9)] },
            ),
            Self::Appearance => about("Light or dark", "Change between light and dark paper", &[]),
            Self::LargerText => {
                about("Larger text", "Everything larger", const { &[ctrl(Key::Plus), ctrl(Key::Equals)] })
            }
            Self::SmallerText => about("Smaller text", "Everything smaller", const { &[ctrl(Key::Minus)] }),
            Self::UsualText => about("Usual text", "Everything at its usual size", const { &[ctrl(Key::Num0)] }),
            Self::Units(Measures::Metric) => about("Metric", "Show and type millimetres and litres", &[]),
            Self::Units(Measures::Imperial) => about("Imperial", "Show and type inches and gallons", &[]),
            Self::Reading(Voice::Trade) => about("Trade", "Findings in one line with numbers", &[]),
            Self::Reading(Voice::Teaching) => about("Teaching", "Findings with the reason behind the rule", &[]),
            Self::Reading(Voice::Plain) => about("Plain", "Findings in everyday words, with what to ask", &[]),
            Self::Judge(number) => {
                let name = Profile::shipped_names().nth(number).unwrap_or_default();
                about(name, "Judge by the rules of this profile", &[])
            }
            Self::NextFinding => {
                about("Next finding", "Choose the next finding of the list", const { &[plain(Key::N)] })
            }
            Self::PreviousFinding => about("Previous finding", "Choose the finding before", const { &[plain(Key::P)] }),
            Self::RevealMore => {
                about("Reveal one more", "Teaching: show one more mark on the drawing", const { &[plain(Key::Period)] })
            }
            Self::RevealLess => {
                about("Hide the last", "Teaching: take the last mark off the drawing", const { &[plain(Key::Comma)] })
            }
            Self::Ask => about(
                "Ask by name…",
                "Type a few letters of what should be done",
                const { &[plain(Key::Slash), ctrl(Key::J)] },
            ),
            Self::Rules => about("Rules", "Why a rule exists, in three readings", const { &[plain(Key::F1)] }),
            Self::Glossary => about("Words of the trade", "What cistern, head or bearer mean", &[]),
            Self::Tour => about("A first look round", "Four cards on how to begin", &[]),
            Self::About => about("About Loftwright", "What it can and cannot tell, and its licences", &[]),
            Self::Keys => about("Keys and gestures", "What mouse and keyboard do on the drawing", &[]),
        }
    }

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

fn about_view(aspect: Aspect) -> About {
    let (description, shortcuts): (_, &[KeyboardShortcut]) = match aspect {
        Aspect::SetOut => ("Heights, gaps and falls, with findings", const { &[plain(Key::Num1)] }),
        Aspect::Flow => ("What runs at each tap; trials in time", const { &[plain(Key::Num2)] }),
        Aspect::Warmth => ("What heat and frost do to water and pipes", const { &[plain(Key::Num3)] }),
        Aspect::Timber => ("What carries the weight, and how hard it works", const { &[plain(Key::Num4)] }),
        Aspect::TakeOff => ("What it is made of, how it is cut, and what a quote says", const { &[plain(Key::Num5)] }),
        Aspect::Lesson => ("Spot the fault, demonstrations and sums", const { &[plain(Key::Num6)] }),
        Aspect::Sheet => (
            "The pages as they are printed, and the files that are handed over",
            const { &[plain(Key::Num7), ctrl(Key::P)] },
        ),
    };
    About { name: aspect.name(Voice::Trade), description, shortcuts }
}
