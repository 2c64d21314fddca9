//! What stands in front of the drawing: one question or message, and the cards of the tour.

use egui::Context;

use super::dialogs::{Answer, Dialog, PathQuestion, Purpose};
use super::starting::{Starting, StartingPage};
use super::tour::{Tour, Turn};
use super::{Action, Command, Outlook};
use crate::session::Session;
use crate::session::settings::Settings;

/// What is open in front of the drawing.
#[derive(Default)]
pub struct Front {
    dialog: Option<Dialog>,
    tour: Option<Tour>,
    /// What has been filled in where a layout begins, kept while that page is closed.
    starting: Starting,
}

impl Front {
    /// Whether a question or message waits for an answer.
    #[must_use]
    pub const fn is_asking(&self) -> bool {
        self.dialog.is_some()
    }

    /// Puts a question in the place of whatever is open.
    pub fn ask(&mut self, dialog: Dialog) {
        self.close();
        self.dialog = Some(dialog);
    }

    /// Asks for a path, beginning from one that is likely.
    pub fn ask_path(&mut self, purpose: Purpose, likely: String) {
        self.ask(Dialog::Path(PathQuestion::new(purpose, likely)));
    }

    /// Says something that has to be read before anything else is done.
    pub fn tell(&mut self, heading: &'static str, words: String) {
        self.ask(Dialog::Message { heading, words });
    }

    /// Opens where a layout begins, with what was filled in when it was last closed.
    pub fn begin_at(&mut self, page: StartingPage) {
        self.close();
        self.dialog = Some(Dialog::Starting(Box::new(std::mem::take(&mut self.starting).at(page))));
    }

    /// Closes the question. What has been filled in where a layout begins is kept for the next time.
    pub fn close(&mut self) {
        if let Some(Dialog::Starting(starting)) = self.dialog.take() {
            self.starting = *starting;
        }
    }

    /// Shows the question; the answer, once there is one.
    pub fn dialog_ui(&mut self, ctx: &Context, session: &Session, outlook: &Outlook) -> Option<Answer> {
        self.dialog.as_mut()?.ui(ctx, session, outlook)
    }

    /// Begins the tour.
    pub fn begin_tour(&mut self) {
        self.tour = Some(Tour::default());
    }

    /// Whether a card of the tour is to be seen, or will be once the question is answered.
    #[must_use]
    pub const fn is_on_tour(&self) -> bool {
        self.tour.is_some()
    }

    /// Puts the cards away, for good.
    pub fn leave_tour(&mut self, settings: &mut Settings) {
        self.tour = None;
        settings.tour_seen = true;
    }

    /// Shows the card, unless a question stands before it.
    pub fn tour_ui(&mut self, ctx: &Context, outlook: &mut Outlook, actions: &mut Vec<Action>) {
        let Some(tour) = self.tour.as_ref().filter(|_| self.dialog.is_none()) else { return };
        match tour.ui(ctx, outlook.voice) {
            Some(Turn::To(card)) => self.tour = Some(card),
            Some(Turn::Away) => self.leave_tour(&mut outlook.settings),
            Some(Turn::Answers) => {
                self.leave_tour(&mut outlook.settings);
                actions.push(Action::Command(Command::Start));
            }
            None => return,
        }
        ctx.request_repaint();
    }
}
