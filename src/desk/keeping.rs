//! Keeps unsaved work beside the frames, sees it finished when the program fails, and offers what was left behind.

use std::panic;
use std::path::PathBuf;
use std::time::Duration;

use egui::Context;

use super::app::Desk;
use super::dialogs::Dialog;
use crate::session::keeper::Keeper;
use crate::session::recovery::{self, Recovered};

/// So long after a step it is known whether it could be kept.
const KNOWN_AFTER: Duration = Duration::from_millis(500);

impl Desk {
    /// Keeps unsaved work in a folder from now on, and offers what an earlier session left there.
    pub fn keep_in(&mut self, folder: PathBuf) {
        let keeper = Keeper::begin(folder);
        let finisher = keeper.finisher();
        let before = panic::take_hook();
        panic::set_hook(Box::new(move |failure| {
            if let Some(place) = finisher.finish() {
                eprintln!("Something failed. The open layout is kept in {}", place.display());
            }
            before(failure);
        }));
        self.keeper = Some(keeper);
        self.offer_what_was_left_behind();
    }

    /// Hands on what has been done since the last frame, and says so where it cannot be kept.
    pub(super) fn keep_unsaved_work(&mut self, ctx: &Context) {
        // What was let go on the way out must not be offered the next time as if the program had failed.
        let Some(keeper) = self.keeper.as_mut().filter(|_| !self.may_close) else { return };
        keeper.keep(&mut self.session);
        if let Some(words) = keeper.trouble() {
            self.outlook.said = words;
        } else if self.kept_revision != self.session.revision() {
            self.kept_revision = self.session.revision();
            ctx.request_repaint_after(KNOWN_AFTER);
        }
    }

    /// Unsaved work has been given up.
    pub(super) fn let_go_of_unsaved_work(&mut self) {
        if let Some(keeper) = &mut self.keeper {
            keeper.let_go();
        }
    }

    /// Asks about the next thing that an earlier session left.
    pub(super) fn offer_what_was_left_behind(&mut self) {
        let left = self.keeper.as_ref().map(|keeper| recovery::list(keeper.folder())).unwrap_or_default();
        self.dialog = left.into_iter().next().map(|left| {
            let (title, notes) = match left.take_up() {
                Ok(taken) => (taken.session.layout().heading.title.clone(), notes(&taken)),
                Err(_) => (String::new(), Vec::new()),
            };
            Dialog::Recovered { left, title, notes }
        });
    }

    /// Goes on with what was left behind.
    pub(super) fn take_up_what_was_left(&mut self, left: Recovered) {
        match left.take_up() {
            Ok(taken) => {
                self.take_up(taken.session);
                if let Some(keeper) = &mut self.keeper {
                    keeper.keep(&mut self.session);
                    keeper.clear(left);
                }
            }
            Err(error) => {
                let heading = "What was left behind cannot be read".to_owned();
                self.dialog = Some(Dialog::Message { heading, words: format!("{error}\n{}", error.caret()) });
            }
        }
    }

    /// Throws it away, and asks about the next.
    pub(super) fn throw_away_what_was_left(&mut self, left: &Recovered) {
        match left.clear() {
            Ok(()) => self.offer_what_was_left_behind(),
            Err(error) => self.outlook.said = format!("{} cannot be taken away: {error}", left.place().display()),
        }
    }
}

/// What one should know before taking it up.
fn notes(taken: &recovery::TakenUp) -> Vec<&'static str> {
    let changed = taken.session.looks_changed_on_disk();
    let changed = changed.then_some("Its file has been changed or moved since; taking this up leaves that as it is.");
    taken.missing.into_iter().chain(changed).collect()
}
