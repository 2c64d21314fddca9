//! The commands that a person gives: what each is called, where it stands, and whether it can be given just now.

mod about;
mod menus;
mod offered;

pub use about::About;
pub(super) use about::{ctrl, ctrl_shift, plain};
pub use menus::{Entry, MENUS, Menu, all, shortcuts};
pub use offered::{Can, NOTHING_SELECTED, Offered, STAYS_AS_IT_IS};

use egui::Key;

use super::examples::EXAMPLES;
use super::{Arrange, Aspect};
use crate::rules::{Profile, Voice};
use crate::session::settings::Measures;

/// Makes [`Command`] of one table: those that hold nothing with their names, what they do and their keys, of which the
/// first is shown; then those that hold something, each with what tells the same of it.
macro_rules! commands {
    (
        $($plain:ident: $name:literal, $description:literal, [$($key:expr),*];)*
        $($(#[$words:meta])+ $holding:ident($held:ty): $about:expr;)*
    ) => {
        /// A command of the menus, the keyboard and the list that answers to typed words.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Command {
            $(#[doc = $description] $plain,)*
            $($(#[$words])+ $holding($held),)*
        }

        impl Command {
            /// Name, description and keys.
            #[must_use]
            pub fn about(self) -> About {
                match self {
                    $(Self::$plain => About::new($name, $description, const { &[$($key),*] }),)*
                    $(Self::$holding(held) => $about(held),)*
                }
            }
        }
    };
}

commands! {
    New: "New", "Begin on a blank sheet", [ctrl(Key::N)];
    Start: "Start from answers…", "Draw a whole system from a few answers about the house", [ctrl_shift(Key::N)];
    EnterSurvey: "Enter a survey…", "Draw what a tape has found on site", [];
    Variants: "Variants side by side…", "Keep variants of this layout, and compare findings, heads and take-off",
        [plain(Key::V)];
    Open: "Open…", "Open a layout from a file", [ctrl(Key::O)];
    Reload: "Reload", "Read the layout from its file once more", [plain(Key::F5)];
    Save: "Save", "Write the layout to its file", [ctrl(Key::S)];
    SaveAs: "Save as…", "Write the layout to another file", [ctrl_shift(Key::S)];
    Quit: "Quit", "Close the window", [ctrl(Key::Q)];
    Undo: "Undo", "Take back the last step", [ctrl(Key::Z)];
    Redo: "Redo", "Make again the step taken back", [ctrl_shift(Key::Z), ctrl(Key::Y)];
    Delete: "Remove", "Take the selected parts away", [plain(Key::Delete)];
    Escape: "Cancel", "Let a drag go back, put down a tool, or select nothing", [plain(Key::Escape)];
    NextPart: "Next part", "Select the next part", [plain(Key::PageDown)];
    PreviousPart: "Previous part", "Select the part before", [plain(Key::PageUp)];
    Numbers: "Its numbers", "Go to Particulars by keyboard", [plain(Key::F2)];
    Fit: "Fit", "Bring everything into view", [plain(Key::F)];
    ZoomIn: "Nearer", "Show less, larger", [plain(Key::Plus), plain(Key::Equals)];
    ZoomOut: "Farther", "Show more, smaller", [plain(Key::Minus)];
    MendAll: "Mend all", "The smallest changes that clear all that is breached", [plain(Key::M)];
    MendFinding: "Mend finding", "The smallest changes that clear the chosen finding", [ctrl_shift(Key::M)];
    MendSelection: "Mend selection", "The smallest changes that clear what is breached about the selected parts", [ctrl(Key::M)];
    TellUsual: "Tell what is usual",
        "Everything that nobody has told, as it is usual in new work; what is told stays", [plain(Key::U)];
    Panels: "Side panels", "Hide the panels beside the drawing, or show them again", [plain(Key::F9)];
    Appearance: "Light or dark", "Change between light and dark paper", [];
    LargerText: "Larger text", "Everything larger", [ctrl(Key::Plus), ctrl(Key::Equals)];
    SmallerText: "Smaller text", "Everything smaller", [ctrl(Key::Minus)];
    UsualText: "Usual text", "Everything at its usual size", [ctrl(Key::Num0)];
    NextFinding: "Next finding", "Choose the next finding of the list", [plain(Key::N)];
    PreviousFinding: "Previous finding", "Choose the finding before", [plain(Key::P)];
    RevealMore: "Reveal one more", "Teaching: show one more mark on the drawing", [plain(Key::Period)];
    RevealLess: "Hide the last", "Teaching: take the last mark off the drawing", [plain(Key::Comma)];
    Ask: "Ask by name…", "Type a few letters of what should be done", [plain(Key::Slash), ctrl(Key::J)];
    Rules: "Rules", "Why a rule exists, in three readings", [plain(Key::F1)];
    Glossary: "Words of the trade", "What cistern, head or bearer mean", [];
    Tour: "A first look round", "Four cards on how to begin", [];
    Keys: "Keys and gestures", "What mouse and keyboard do on the drawing", [];
    About: "About Loftwright", "What it can and cannot tell, and its licences", [];

    /// An example, by its place in the list.
    Example(usize): |number: usize| About::new(EXAMPLES[number].name, "Begin from this example; it is not changed", &[]);
    /// A file that was open lately, by its place in the list.
    Recent(usize): |_| About::new("Open again", "Open a layout that was open lately", &[]);
    /// Something that is done with all that is selected.
    Arrange(Arrange): Arrange::about;
    /// What the drawing shows beside the parts.
    Look(Aspect): about_view;
    /// In which units numbers are shown and typed.
    Units(Measures): |measures| match measures {
        Measures::Metric => About::new("Metric", "Show and type millimetres and litres", &[]),
        Measures::Imperial => About::new("Imperial", "Show and type inches and gallons", &[]),
    };
    /// The words of findings.
    Reading(Voice): |voice| match voice {
        Voice::Trade => About::new("Trade", "Findings in one line with numbers", &[]),
        Voice::Teaching => About::new("Teaching", "Findings with the reason behind the rule", &[]),
        Voice::Plain => About::new("Plain", "Findings in everyday words, with what to ask", &[]),
    };
    /// Which rules judge: a profile that ships with the program, by its place in the list.
    Judge(usize): |number| {
        let name = Profile::shipped_names().nth(number).unwrap_or_default();
        About::new(name, "Judge by the rules of this profile", &[])
    };
}

fn about_view(aspect: Aspect) -> About {
    let about = |description, shortcuts| About::new(aspect.name(Voice::Trade), description, shortcuts);
    match aspect {
        Aspect::SetOut => about("Heights, gaps and falls, with findings", const { &[plain(Key::Num1)] }),
        Aspect::Flow => about("What runs at each tap; trials in time", const { &[plain(Key::Num2)] }),
        Aspect::Warmth => about("What heat and frost do to water and pipes", const { &[plain(Key::Num3)] }),
        Aspect::Timber => about("What carries the weight, and how hard it works", const { &[plain(Key::Num4)] }),
        Aspect::TakeOff => {
            about("What it is made of, how it is cut, and what a quote says", const { &[plain(Key::Num5)] })
        }
        Aspect::Lesson => about("Spot the fault, demonstrations and sums", const { &[plain(Key::Num6)] }),
        Aspect::Sheet => about(
            "The pages as they are printed, and the files that are handed over",
            const { &[plain(Key::Num7), ctrl(Key::P)] },
        ),
    }
}
