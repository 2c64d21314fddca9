//! The open layout, and what is under way with it: arrow keys that make one step, what was copied, what is kept of it.

use std::sync::Arc;

use egui::Context;
use glam::DVec2;

use super::action::Grip;
use super::arranging::Copied;
use super::keeping::Keeping;
use super::moves::{MoveSoFar, Moves};
use super::ways;
use crate::layout::{EditError, Layout};
use crate::session::Session;

/// What is worked on.
pub struct Work {
    /// The layout and its history.
    pub session: Session,
    /// What sees to it that no work is lost.
    pub keeping: Keeping,
    /// What was copied last, and how often it has been put down since.
    pub copied: Copied,
    burst: Option<Burst>,
}

/// Arrow keys pressed one after the other.
struct Burst {
    /// What they move.
    grip: Grip,
    /// The layout from before the first of them.
    before: Arc<Layout>,
    /// From where its moves are reckoned.
    so_far: MoveSoFar,
    /// How far in all, mm.
    by: DVec2,
    /// When the last one was pressed, in the window's seconds.
    at_s: f64,
}

impl Burst {
    /// How far it moves what it holds, mm: only the ways that are free.
    fn moved_by(&self) -> DVec2 {
        self.by * self.grip.freedom(&self.before)
    }

    /// How far it has moved, and what holds it.
    fn words(&self) -> String {
        let by = self.moved_by();
        let moved = match (by.x != 0.0, by.y != 0.0) {
            (true, true) => format!("Moved {}.", ways::both_ways(by)),
            (true, false) => format!("Moved {}.", ways::sideways(by.x)),
            (false, true) => format!("Moved {}.", ways::upright(by.y)),
            (false, false) => "It stands where it stood.".to_owned(),
        };
        format!("{moved} {}", self.grip.holding_words(&self.before)).trim_end().to_owned()
    }
}

impl Work {
    /// Work on an open layout.
    #[must_use]
    pub fn on(session: Session) -> Self {
        let keeping = Keeping::of(&session);
        Self { session, keeping, copied: Copied::default(), burst: None }
    }

    /// Moves something a little; a burst of that makes one step. Says how far it has come.
    ///
    /// # Errors
    /// [`EditError`] when it cannot be there.
    pub fn nudge(&mut self, moves: &Moves, grip: Grip, by: DVec2, now_s: f64) -> Result<String, EditError> {
        let burst = match self.burst.take().filter(|burst| burst.grip == grip) {
            Some(burst) => Burst { by: burst.by + by, at_s: now_s, ..burst },
            None => {
                let before = self.session.shared();
                self.session.begin_gesture(&format!("Move {}", grip.name(&before)));
                let so_far = moves.so_far(&grip, &before);
                Burst { grip, before, so_far, by, at_s: now_s }
            }
        };
        let made = self.session.gesture_all(&burst.so_far.edits(&burst.grip, &burst.before, burst.moved_by()));
        let words = burst.words();
        self.burst = Some(burst);
        made.map(|()| words)
    }

    /// How long ago the last arrow key of a burst was pressed, s; none while there is no burst.
    #[must_use]
    pub fn since_nudge_s(&self, now_s: f64) -> Option<f64> {
        self.burst.as_ref().map(|burst| now_s - burst.at_s)
    }

    /// Makes one step of the arrow keys pressed so far.
    pub fn finish_burst(&mut self, moves: &mut Moves) {
        let Some(burst) = self.burst.take() else { return };
        let by = burst.moved_by();
        self.session.end_gesture();
        moves.note(burst.grip, &burst.so_far, by);
        moves.settle(&self.session.shared());
    }

    /// Goes on with another layout; what was not saved of the last one has been given up.
    pub fn take_up(&mut self, session: Session) {
        self.keeping.let_go();
        let chosen = self.session.chosen_profile().cloned();
        self.session = session;
        self.session.choose_profile(chosen);
    }

    /// Hands on what has been done since the last frame to be kept; the trouble in words, where it cannot be.
    pub fn keep(&mut self, ctx: &Context) -> Option<String> {
        self.keeping.keep(ctx, &mut self.session)
    }
}
