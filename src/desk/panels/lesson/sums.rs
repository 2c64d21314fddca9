//! Sums to practise: a question, an answer with its unit, and the working once it is marked.

use egui::{ComboBox, Response, RichText, TextEdit, Ui};

use super::{button, entered, wrapped};
use crate::desk::LessonAction;
use crate::desk::lessons::{Lessons, Practice};
use crate::desk::panels::choices::DropDown as _;
use crate::lesson::practice::{NUMBER_MARKS, Question, Topic, UNIT_MARKS};

pub(super) fn ui(ui: &mut Ui, lessons: &mut Lessons) -> Option<LessonAction> {
    let mut asked = None;
    let practice = &mut lessons.practice;
    egui::Grid::new("sums").num_columns(2).spacing([8.0, 6.0]).show(ui, |ui| {
        let label = ui.label("Sums about");
        let name = |place: usize| Topic::ALL.get(place).map_or("", |topic| topic.heading());
        let combo = ComboBox::from_id_salt("sums about").selected_text(name(practice.topic)).width(150.0);
        let shown = combo.drop_down(ui, |ui| {
            for place in 0..Topic::ALL.len() {
                ui.selectable_value(&mut practice.topic, place, name(place));
            }
        });
        shown.labelled_by(label.id);
        ui.end_row();
        let label = ui.label("Set no.");
        ui.add(TextEdit::singleline(&mut practice.seed).desired_width(150.0)).labelled_by(label.id);
        ui.end_row();
    });
    button(ui, "Draw a set", LessonAction::Draw, &mut asked);
    if !practice.questions.is_empty() {
        ui.separator();
        match practice.questions.get(practice.number).cloned() {
            Some(question) => {
                let typed = question_in_hand(ui, practice, &question, &mut asked);
                // What is typed on belongs to it even when it has been marked: letters beside it are commands.
                if asked.is_some() || entered(ui, &typed) {
                    typed.request_focus();
                }
            }
            None => {
                let most = practice.questions.len() as i32 * (NUMBER_MARKS + UNIT_MARKS);
                ui.heading(format!("{} of {most} marks", practice.got));
            }
        }
    }
    asked
}

/// The question, its field, and once it is marked its working.
fn question_in_hand(
    ui: &mut Ui,
    practice: &mut Practice,
    question: &Question,
    asked: &mut Option<LessonAction>,
) -> Response {
    let count = practice.questions.len();
    ui.label(RichText::new(format!("Question {} of {count}", practice.number + 1)).strong());
    wrapped(ui, &question.words);
    wrapped(ui, RichText::new(question.asked()).weak());
    ui.add_space(4.0);
    let label = ui.label("Your answer, with its unit");
    let field = TextEdit::singleline(&mut practice.answer).id_salt("answer").desired_width(150.0);
    let typed = ui.add(field).labelled_by(label.id);
    let Some(earned) = practice.earned else {
        let is_answered = !practice.answer.trim().is_empty();
        if is_answered && entered(ui, &typed) {
            *asked = Some(LessonAction::CheckSum);
        }
        button(ui, "Check", is_answered.then_some(LessonAction::CheckSum), asked);
        return typed;
    };
    let verdict = if earned.number > 0 { "Right" } else { "Not right" };
    let words = format!("{verdict}: number {} of {NUMBER_MARKS}, unit {} of {UNIT_MARKS}", earned.number, earned.unit);
    ui.label(RichText::new(words).strong());
    wrapped(ui, format!("Answer: {}", question.answer_words()));
    for line in &question.working {
        wrapped(ui, RichText::new(line).monospace());
    }
    wrapped(ui, RichText::new(format!("Source: {}", question.source)).weak());
    ui.add_space(4.0);
    button(ui, "Next question", LessonAction::NextSum, asked);
    typed
}
