//! The commands that a person gives: what each is called, where it stands, and whether it can be given just now.

mod about;
mod menus;
mod offered;

pub use about::About;
pub use menus::{Entry, MENUS, Menu, all, shortcuts};
pub use offered::{Can, Offered};

use super::{Arrange, Aspect};
use crate::rules::Voice;
use crate::session::settings::Measures;

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
    /// Tells what nobody has told, as it is usual.
    TellUsual,
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
