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

/// What is open of it.
pub struct Starting {
    page: Page,
    answers: AnswersForm,
    survey: SurveyForm,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Page {
    Answers,
    Survey,
    Sheet,
}

impl Starting {
    /// Opened at the answers.
    #[must_use]
    pub fn from_answers() -> Self {
        Self::at(Page::Answers)
    }

    /// Opened at what a tape has found.
    #[must_use]
    pub fn from_survey() -> Self {
        Self::at(Page::Survey)
    }

    fn at(page: Page) -> Self {
        Self { page, answers: AnswersForm::default(), survey: SurveyForm::default() }
    }

    /// Shows the page; the answer, once there is one.
    pub fn ui(&mut self, ui: &mut Ui, session: &Session) -> Option<Answer> {
        ui.horizontal(|ui| {
            let pages =
                [(Page::Answers, "Answers"), (Page::Survey, "Found on site"), (Page::Sheet, "Sheet or example")];
            for (page, name) in pages {
                if ui.add(Button::selectable(self.page == page, name).frame_when_inactive(true)).clicked() {
                    self.page = page;
                }
            }
        });
        ui.separator();
        let profile: &Profile = session.profile();
        let answer = match self.page {
            Page::Answers => self.answers.ui(ui, profile),
            Page::Survey => self.survey.ui(ui),
            Page::Sheet => sheet(ui),
        };
        answer.or_else(|| {
            ui.add_space(4.0);
            ui.button("Stay").on_hover_text("Go back to the drawing").clicked().then_some(Answer::Stay)
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
