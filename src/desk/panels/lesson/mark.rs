//! Papers that came back: key and answers are chosen, each learner's marks stand below, and go to the record and out.

use egui::{CollapsingHeader, RichText, Ui};

use super::{button, marked, wrapped};
use crate::desk::lessons::{Lessons, Marking, PaperFile};
use crate::desk::theme::Palette;
use crate::desk::{Action, Handing, LessonAction, Sought};
use crate::lesson::{HINT, MarkedPaper, NUMBER, PLACE, RULE, WRONG};
use crate::rules::Voice;
use crate::session::returned::Returned;

pub(super) fn ui(ui: &mut Ui, lessons: &Lessons, voice: Voice, actions: &mut Vec<Action>) -> Option<LessonAction> {
    let mut asked = None;
    let marking = &lessons.marking;
    wrapped(
        ui,
        "Papers that have come back are marked by the key that was made with them. The answers stand in a table, a row \
         for each claim: the form answers.csv that was made with the papers, filled in.",
    );
    ui.add_space(4.0);
    file(ui, "Choose the key…", PaperFile::Key, marking, actions);
    file(ui, "Choose the answers…", PaperFile::Answers, marking, actions);
    if marking.key.is_some() && marking.answers.is_some() {
        button(ui, "Read both again", LessonAction::MarkAgain, &mut asked);
    }
    if let Some(returned) = &marking.returned {
        ui.separator();
        class(ui, returned);
        ui.separator();
        for (number, paper) in returned.papers.iter().enumerate() {
            one(ui, number, paper, voice);
        }
        ui.separator();
        leave(ui, marking, actions, &mut asked);
    }
    asked
}

/// A file that is chosen, and which one it is.
fn file(ui: &mut Ui, words: &str, file: PaperFile, marking: &Marking, actions: &mut Vec<Action>) {
    if ui.button(words).clicked() {
        actions.push(Action::Hand(Handing::Seek(Sought::Paper(file))));
    }
    let chosen = match file {
        PaperFile::Key => &marking.key,
        PaperFile::Answers | PaperFile::Marks => &marking.answers,
    };
    match chosen {
        Some(path) => wrapped(ui, format!("'{}'", path.display())),
        None => wrapped(ui, RichText::new("none yet").weak()),
    }
}

/// The class in one table, and who has handed in nothing.
fn class(ui: &mut Ui, returned: &Returned) {
    wrapped(ui, RichText::new(&returned.key.title).strong());
    egui::Grid::new("marks").num_columns(4).striped(true).spacing([12.0, 4.0]).show(ui, |ui| {
        for head in ["learner", "marks", "%", "missed"] {
            ui.label(RichText::new(head).strong());
        }
        ui.end_row();
        for MarkedPaper { exercise, marks, .. } in &returned.papers {
            ui.label(named(&exercise.learner));
            ui.label(format!("{} of {}", marks.got, marks.out_of));
            ui.label(marks.percent().to_string());
            ui.label(format!("{} of {}", marks.missed().count(), marks.faults.len()));
            ui.end_row();
        }
    });
    let missing: Vec<String> = returned.missing().map(named).collect();
    if !missing.is_empty() {
        wrapped(ui, RichText::new(format!("Nothing has come back from: {}", missing.join(", "))).weak());
    }
}

/// One learner's paper: what was missed at once, and all of it when it is opened.
fn one(ui: &mut Ui, number: usize, paper: &MarkedPaper, voice: Voice) {
    let MarkedPaper { exercise, sheet, marks } = paper;
    let missed: Vec<&str> = marks.missed().map(|fault| exercise.faults[fault].title(voice)).collect();
    let line = format!("{}: {} of {} marks", named(&exercise.learner), marks.got, marks.out_of);
    CollapsingHeader::new(line).id_salt(("paper", number)).show(ui, |ui| {
        marked::ui(ui, exercise, &sheet.claims, marks, voice);
        for written in &sheet.not_understood {
            wrapped(ui, format!("Not understood: {written}"));
        }
    });
    let words = match &missed[..] {
        [] => "Nothing was missed.".to_owned(),
        missed => format!("Missed, all of it or in part: {}", missed.join("; ")),
    };
    wrapped(ui, RichText::new(words).weak());
}

/// What becomes of the marks.
fn leave(ui: &mut Ui, marking: &Marking, actions: &mut Vec<Action>, asked: &mut Option<LessonAction>) {
    ui.horizontal_wrapped(|ui| {
        button(ui, "Add to the record", (!marking.is_kept).then_some(LessonAction::KeepMarks), asked);
        if ui.button("Write the marks…").on_hover_text("As text, or as data where the name ends in .json").clicked() {
            actions.push(Action::Hand(Handing::Seek(Sought::Paper(PaperFile::Marks))));
        }
    });
    if marking.is_kept {
        let words = "These marks are in the course record (Record).";
        wrapped(ui, RichText::new(words).color(Palette::of(ui.visuals()).select));
    }
    wrapped(
        ui,
        RichText::new(format!(
            "The right part {PLACE} marks, the right fault {RULE}, the right number {NUMBER}; a claim that is right in \
             nothing costs {WRONG}, a hint {HINT}."
        ))
        .weak(),
    );
}

fn named(learner: &str) -> String {
    if learner.is_empty() { "no name".to_owned() } else { learner.to_owned() }
}
