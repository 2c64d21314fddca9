//! The commands that a person gives: one table that menus, shortcuts and tooltips all read.

use egui::{Key, KeyboardShortcut, Modifiers};

use super::examples::EXAMPLES;
use super::{Arrange, Aspect, Outlook, Scope};
use crate::layout::Align;
use crate::rules::{Profile, Voice};
use crate::session::Session;
use crate::session::settings::{MOST_RECENT, Measures, SidePanels};

/// A command of the menus, the keyboard and the list that answers to typed words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Command {
    /// A blank sheet.
    New,
    /// A whole system from a few answers.
    Start,
    /// What a tape has found on site.
    EnterSurvey,
    /// Variants of the open layout, side by side.
    Variants,
    /// An example, by its place in the list.
    Example(usize),
    /// Another file.
    Open,
    /// A file that was open lately, by its place in the list.
    Recent(usize),
    /// Once more from its file.
    Reload,
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
    /// Gives the keyboard to the numbers of what is selected.
    Numbers,
    /// Everything in view.
    Fit,
    /// Nearer.
    ZoomIn,
    /// Farther.
    ZoomOut,
    /// Looks for the smallest changes that clear all that is broken.
    MendAll,
    /// The same for the chosen finding.
    MendFinding,
    /// The same for the selected parts.
    MendSelection,
    /// What the drawing shows beside the parts.
    Look(Aspect),
    /// Hides the panels beside the drawing, or shows them again.
    Panels,
    /// Light or dark.
    Appearance,
    /// Larger letters everywhere.
    LargerText,
    /// Smaller letters everywhere.
    SmallerText,
    /// Letters of the usual size.
    UsualText,
    /// In which units numbers are shown and typed.
    Units(Measures),
    /// The words of findings.
    Reading(Voice),
    /// Which rules judge: a profile that ships with the program, by its place in the list.
    Judge(usize),
    /// Chooses the next finding of the list.
    NextFinding,
    /// Chooses the finding before.
    PreviousFinding,
    /// Lets the drawing show one mark more, for a class.
    RevealMore,
    /// Lets the drawing show one mark less.
    RevealLess,
    /// The list that answers to typed words.
    Ask,
    /// The prose of the chosen finding's rule, or all rules.
    Rules,
    /// Words of the trade.
    Glossary,
    /// Four cards for a first look round.
    Tour,
    /// Keys and gestures.
    Keys,
    /// What the program is, what it cannot do, and under which licences it comes.
    About,
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
        Reload, RevealLess, RevealMore, Rules, Save, SaveAs, SmallerText, Start, Tour, Undo, Units, UsualText,
        Variants, ZoomIn, ZoomOut,
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
            Self::Example(number) => {
                about(super::examples::EXAMPLES[number].name, "Begin from this example; it is not changed", &[])
            }
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
            Self::Look(aspect) => {
                let (description, keys): (_, &[KeyboardShortcut]) = match aspect {
                    Aspect::SetOut => ("Heights, gaps and falls, with findings", const { &[plain(Key::Num1)] }),
                    Aspect::Flow => ("What runs at each tap; trials in time", const { &[plain(Key::Num2)] }),
                    Aspect::Warmth => ("What heat and frost do to water and pipes", const { &[plain(Key::Num3)] }),
                    Aspect::Timber => ("What carries the weight, and how hard it works", const { &[plain(Key::Num4)] }),
                    Aspect::TakeOff => {
                        ("What it is made of, how it is cut, and what a quote says", const { &[plain(Key::Num5)] })
                    }
                    Aspect::Lesson => ("Spot the fault, demonstrations and sums", const { &[plain(Key::Num6)] }),
                    Aspect::Sheet => (
                        "The pages as they are printed, and the files that are handed over",
                        const { &[plain(Key::Num7), ctrl(Key::P)] },
                    ),
                };
                about(aspect.name(Voice::Trade), description, keys)
            }
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
            Self::Units(measures) => match measures {
                Measures::Metric => about("Metric", "Show and type millimetres and litres", &[]),
                Measures::Imperial => about("Imperial", "Show and type inches and gallons", &[]),
            },
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
    pub fn shortcut_words(self, ctx: &egui::Context) -> String {
        self.about().shortcuts.first().map(|shortcut| ctx.format_shortcut(shortcut)).unwrap_or_default()
    }

    /// What it does and the keys that give it, for a tooltip.
    #[must_use]
    pub fn tip(self, ctx: &egui::Context) -> String {
        let (description, keys) = (self.about().description, self.shortcut_words(ctx));
        if keys.is_empty() { description.to_owned() } else { format!("{description} ({keys})") }
    }

    /// How it stands just now: what it would do by name, and whether it can be given.
    #[must_use]
    pub fn standing(self, session: &Session, outlook: &Outlook) -> Standing {
        let name = self.about().name;
        let can = |name: String, there_is: bool| Standing { name, can: Can::when(there_is) };
        match self {
            Self::Undo => step(name, session.undo_label()),
            Self::Redo => step(name, session.redo_label()),
            Self::Delete => match outlook.grip() {
                Some(grip) => can(format!("{name} {}", grip.name(session.layout())), true),
                None => can(name.to_owned(), false),
            },
            Self::Arrange(arrange) => can(name.to_owned(), arrange.serves(session.layout(), &outlook.selection())),
            Self::Example(_) => can(format!("Example: {name}"), true),
            Self::Recent(place) => match outlook.settings.recent.get(place) {
                Some(path) => can(format!("{}. '{}'", place + 1, path.display()), true),
                None => can(String::new(), false),
            },
            Self::MendAll | Self::MendFinding | Self::MendSelection => {
                can(name.to_owned(), Scope::of(self, session, outlook).is_ok())
            }
            Self::Reload => can(name.to_owned(), session.path().is_some()),
            Self::Reading(voice) => can(chosen(&format!("Reading: {name}"), outlook.voice == voice), true),
            Self::Judge(number) => {
                let now = Profile::shipped_names().nth(number).and_then(Profile::shipped);
                let name = now.as_ref().map_or(name, |profile| profile.name.as_str());
                let is_now = now.as_ref().is_some_and(|profile| profile == session.profile());
                can(chosen(&format!("Judged by: {name}"), is_now), true)
            }
            Self::Look(aspect) => can(aspect.name(outlook.voice).to_owned(), true),
            Self::Panels => match outlook.settings.side_panels {
                SidePanels::Shown => can("Hide side panels".to_owned(), true),
                SidePanels::Hidden => can("Show side panels".to_owned(), true),
            },
            Self::Units(measures) => can(chosen(name, outlook.settings.measures == measures), true),
            Self::RevealMore | Self::RevealLess => can(name.to_owned(), outlook.voice == Voice::Teaching),
            _ => can(name.to_owned(), true),
        }
    }
}

/// How a command stands just now.
pub struct Standing {
    /// What it would do; empty where there is nothing for it to do and it need not be shown.
    pub name: String,
    /// Whether it can be given.
    pub can: Can,
}

/// Whether something can be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Can {
    /// It can.
    Yes,
    /// Not now.
    NotNow,
}

impl Can {
    const fn when(it_can: bool) -> Self {
        if it_can { Self::Yes } else { Self::NotNow }
    }
}

fn step(name: &str, label: Option<&str>) -> Standing {
    let words = label.map_or_else(|| name.to_owned(), |label| format!("{name}: {label}"));
    Standing { name: words, can: Can::when(label.is_some()) }
}

fn chosen(name: &str, it_is: bool) -> String {
    if it_is { format!("{name} (now)") } else { name.to_owned() }
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
