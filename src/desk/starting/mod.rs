//! Where a layout begins, over the window: answers, what a tape has found, or a sheet.

mod answers;
mod survey;

use egui::{Button, Ui};

use super::Command;
use super::dialogs::Answer;
use super::examples::EXAMPLES;
use super::panels::worded;
use crate::rules::Profile;
use crate::session::Session;
use answers::AnswersForm;
use survey::SurveyForm;

/// What is open of it, and what has been filled in.
#[derive(Default)]
pub struct Starting {
    page: StartingPage,
    answers: AnswersForm,
    survey: SurveyForm,
}

/// A page of it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum StartingPage {
    /// A few answers.
    #[default]
    Answers,
    /// What a tape has found.
    Survey,
    /// A blank sheet, or an example.
    Sheet,
}

impl Starting {
    /// Opens it at a page, with what has been filled in before.
    #[must_use]
    pub const fn at(mut self, page: StartingPage) -> Self {
        self.page = page;
        self
    }

    /// Shows the page; the answer, once there is one.
    pub fn ui(&mut self, ui: &mut Ui, session: &Session) -> Option<Answer> {
        ui.horizontal(|ui| {
            let pages = [
                (StartingPage::Answers, "Answers"),
                (StartingPage::Survey, "Found on site"),
                (StartingPage::Sheet, "Sheet or example"),
            ];
            for (page, name) in pages {
                if ui.add(Button::selectable(self.page == page, name).frame_when_inactive(true)).clicked() {
                    self.page = page;
                }
            }
        });
        ui.separator();
        let profile: &Profile = session.profile();
        let answer = match self.page {
            StartingPage::Answers => self.answers.ui(ui, profile),
            StartingPage::Survey => self.survey.ui(ui),
            StartingPage::Sheet => sheet(ui),
        };
        answer.or_else(|| {
            ui.add_space(4.0);
            let hint = "Close this page; what is filled in here is kept";
            ui.button("Back to the drawing").on_hover_text(hint).clicked().then_some(Answer::Stay)
        })
    }
}

/// So high may a page be without its buttons, in points.
fn most_height(ui: &Ui) -> f32 {
    (ui.ctx().content_rect().height() - 250.0).max(160.0)
}

fn sheet(ui: &mut Ui) -> Option<Answer> {
    let mut answer = None;
    let mut offer = |ui: &mut Ui, name: &str, about: &str, command: Command| {
        if ui.button(worded(ui, name)).on_hover_text(worded(ui, about)).clicked() {
            answer = Some(Answer::Give(command));
        }
    };
    offer(ui, "Blank sheet", "Nothing is drawn yet", Command::New);
    ui.add_space(6.0);
    ui.label("Or an example to look at and change:");
    for (number, example) in EXAMPLES.iter().enumerate() {
        offer(ui, example.name, Command::Example(number).about().description, Command::Example(number));
    }
    answer
}
