//! How a command is offered just now: what it would do by name, and whether it can be given.

use super::Command;
use crate::desk::{Aspect, Outlook, Scope};
use crate::layout::Survey;
use crate::rules::{Profile, Voice};
use crate::session::Session;
use crate::session::settings::SidePanels;

/// Why a lesson gives no command that works on the drawing.
pub const STAYS_AS_IT_IS: &str = "A lesson leaves the open drawing as it is";
/// Why something that works on what is selected cannot be done.
pub const NOTHING_SELECTED: &str = "Nothing is selected";

/// A command as it is offered just now.
pub struct Offered {
    /// What it would do; empty where there is nothing for it to do and it need not be shown.
    pub name: String,
    /// Whether it can be given.
    pub can: Can,
    /// Why it cannot; empty where it can.
    pub why_not: &'static str,
}

/// Whether something can be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Can {
    /// It can.
    Yes,
    /// Not now.
    NotNow,
}

impl Command {
    /// How it is offered just now.
    #[must_use]
    pub fn offered(self, session: &Session, outlook: &Outlook) -> Offered {
        let is_idle = outlook.aspect == Aspect::Lesson && self.works_on_drawing();
        let hindrance = if is_idle { Some(STAYS_AS_IT_IS) } else { self.hindrance(session, outlook) };
        let can = if hindrance.is_none() { Can::Yes } else { Can::NotNow };
        Offered { name: self.name_now(session, outlook), can, why_not: hindrance.unwrap_or_default() }
    }

    /// Whether it selects or changes what is drawn, which a lesson leaves as it is.
    #[must_use]
    pub const fn works_on_drawing(self) -> bool {
        matches!(
            self,
            Self::Undo
                | Self::Redo
                | Self::Delete
                | Self::Arrange(_)
                | Self::MendAll
                | Self::MendFinding
                | Self::MendSelection
                | Self::TellUsual
        )
    }

    /// Why it cannot be given just now; none where it can.
    fn hindrance(self, session: &Session, outlook: &Outlook) -> Option<&'static str> {
        let unless = |stands: bool, why: &'static str| (!stands).then_some(why);
        match self {
            Self::Undo => unless(session.undo_label().is_some(), "There is no step to take back"),
            Self::Redo => unless(session.redo_label().is_some(), "No step has been taken back"),
            Self::Delete => unless(outlook.grip().is_some(), NOTHING_SELECTED),
            Self::Arrange(arrange) => arrange.hindrance(session.layout(), &outlook.selection()),
            Self::Recent(place) => unless(place < outlook.settings.recent.len(), "No file has been open before"),
            Self::MendAll | Self::MendFinding | Self::MendSelection => Scope::of(self, session, outlook).err(),
            Self::TellUsual if session.layout().survey != Survey::Designed => {
                Some("What was found with a tape is told by nothing but a look: the list says what to find out")
            }
            Self::TellUsual => unless(session.findings().counts().unknown > 0, "Nothing is unknown"),
            Self::Reload => unless(session.path().is_some(), "It has no file yet: save it first"),
            Self::RevealMore | Self::RevealLess => {
                unless(outlook.voice == Voice::Teaching, "Marks are revealed one by one in the reading Teaching")
            }
            _ => None,
        }
    }

    fn name_now(self, session: &Session, outlook: &Outlook) -> String {
        let name = self.about().name;
        match self {
            Self::Undo => with_step(name, session.undo_label()),
            Self::Redo => with_step(name, session.redo_label()),
            Self::Delete => match outlook.grip() {
                Some(grip) => format!("{name} {}", grip.name(session.layout())),
                None => name.to_owned(),
            },
            Self::Example(_) => format!("Example: {name}"),
            Self::Recent(place) => {
                let path = outlook.settings.recent.get(place);
                path.map(|path| format!("{}. '{}'", place + 1, path.display())).unwrap_or_default()
            }
            Self::Reading(voice) if voice == outlook.voice => format!("Reading: {name} (now)"),
            Self::Reading(_) => format!("Reading: {name}"),
            Self::Judge(number) => match Profile::shipped_names().nth(number).and_then(Profile::shipped) {
                Some(profile) if profile == *session.profile() => format!("Judged by: {} (now)", profile.name),
                Some(profile) => format!("Judged by: {}", profile.name),
                None => format!("Judged by: {name}"),
            },
            Self::Look(aspect) => aspect.name(outlook.voice).to_owned(),
            Self::Panels => match outlook.settings.side_panels {
                SidePanels::Shown => "Hide side panels".to_owned(),
                SidePanels::Hidden => "Show side panels".to_owned(),
            },
            Self::Units(measures) if measures == outlook.settings.measures => format!("{name} (now)"),
            _ => name.to_owned(),
        }
    }
}

fn with_step(name: &str, step: Option<&str>) -> String {
    step.map_or_else(|| name.to_owned(), |step| format!("{name}: {step}"))
}
