//! How a command is offered just now: what it would do by name, and whether it can be given.

use super::Command;
use crate::desk::{Aspect, Outlook, Scope};
use crate::layout::Survey;
use crate::rules::{Profile, Voice};
use crate::session::Session;
use crate::session::settings::SidePanels;

/// A command as it is offered just now.
pub struct Offered {
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

impl Command {
    /// How it is offered just now.
    #[must_use]
    pub fn offered(self, session: &Session, outlook: &Outlook) -> Offered {
        let is_idle = outlook.aspect == Aspect::Lesson && self.works_on_drawing();
        let can = if !is_idle && self.can_be_given(session, outlook) { Can::Yes } else { Can::NotNow };
        Offered { name: self.name_now(session, outlook), can }
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

    fn can_be_given(self, session: &Session, outlook: &Outlook) -> bool {
        match self {
            Self::Undo => session.undo_label().is_some(),
            Self::Redo => session.redo_label().is_some(),
            Self::Delete => outlook.grip().is_some(),
            Self::Arrange(arrange) => arrange.serves(session.layout(), &outlook.selection()),
            Self::Recent(place) => place < outlook.settings.recent.len(),
            Self::MendAll | Self::MendFinding | Self::MendSelection => Scope::of(self, session, outlook).is_ok(),
            Self::TellUsual => session.layout().survey == Survey::Designed && session.findings().counts().unknown > 0,
            Self::Reload => session.path().is_some(),
            Self::RevealMore | Self::RevealLess => outlook.voice == Voice::Teaching,
            _ => true,
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
