//! Keeps unsaved work beside the frames, sees it finished when the program fails, and offers what was left behind.

use std::panic;
use std::path::PathBuf;
use std::time::Duration;

use egui::Context;

use super::app::Desk;
use super::dialogs::Dialog;
use crate::session::Session;
use crate::session::keeper::Keeper;
use crate::session::recovery::{self, Recovered};

/// So long after a step it is known whether it could be kept.
const KNOWN_AFTER: Duration = Duration::from_millis(500);

/// What keeps the open layout's unsaved work.
pub struct Keeping {
    /// None in a window that is not to keep anything.
    keeper: Option<Keeper>,
    /// The revision of which it is known, or soon will be, whether it is kept.
    known_of: u64,
}

impl Keeping {
    /// Nothing is kept yet, and nothing of the open layout has to be.
    #[must_use]
    pub const fn of(session: &Session) -> Self {
        Self { keeper: None, known_of: session.revision() }
    }

    /// Keeps what is done in a folder from now on, and sees it finished when the program fails.
    fn begin(&mut self, folder: PathBuf) {
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
    }

    /// Hands on what has been done since the last frame; the trouble in words, where it cannot be kept.
    pub fn keep(&mut self, ctx: &Context, session: &mut Session) -> Option<String> {
        let keeper = self.keeper.as_mut()?;
        keeper.keep(session);
        let trouble = keeper.trouble();
        if trouble.is_none() && self.known_of != session.revision() {
            self.known_of = session.revision();
            ctx.request_repaint_after(KNOWN_AFTER);
        }
        trouble
    }

    /// Unsaved work has been given up.
    pub fn let_go(&mut self) {
        if let Some(keeper) = &mut self.keeper {
            keeper.let_go();
        }
    }

    /// The next thing that an earlier session left.
    fn left_behind(&self) -> Option<Recovered> {
        recovery::list(self.keeper.as_ref()?.folder()).into_iter().next()
    }

    /// What was left behind has been taken up: from now on it is kept like any other work.
    fn take_over(&mut self, left: Recovered, session: &mut Session) {
        if let Some(keeper) = &mut self.keeper {
            keeper.keep(session);
            keeper.clear(left);
        }
    }
}

impl Desk {
    /// Keeps unsaved work in a folder from now on, and offers what an earlier session left there.
    pub fn keep_in(&mut self, folder: PathBuf) {
        self.work.keeping.begin(folder);
        self.offer_what_was_left_behind();
    }

    /// Asks about the next thing that an earlier session left.
    pub(super) fn offer_what_was_left_behind(&mut self) {
        let Some(left) = self.work.keeping.left_behind() else { return };
        let (title, notes) = match left.take_up() {
            Ok(taken) => (taken.session.layout().heading.title.clone(), notes(&taken)),
            Err(_) => (String::new(), Vec::new()),
        };
        self.front.ask(Dialog::Recovered { left, title, notes });
    }

    /// Goes on with what was left behind.
    pub(super) fn take_up_what_was_left(&mut self, ctx: &Context, left: Recovered) {
        match left.take_up() {
            Ok(taken) => {
                self.take_up(ctx, taken.session);
                self.work.keeping.take_over(left, &mut self.work.session);
            }
            Err(error) => {
                let words = format!("{error}\n{}", error.caret());
                self.front.tell("What was left behind cannot be read", words);
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
