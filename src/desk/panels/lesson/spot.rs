//! Spot the fault: the form, the claims, hints and tape, and the marks with what each missed fault teaches.

use egui::{ComboBox, DragValue, RichText, TextEdit, Ui};

use super::marked::{self, claim_words};
use super::{button, entered, faults, wrapped};
use crate::desk::LessonAction;
use crate::desk::lessons::{Lessons, Papers, Spot};
use crate::desk::panels::choices::DropDown as _;
use crate::finding::capital;
use crate::lesson::{HINT, Marks, NUMBER, PLACE, RULE, WRONG, schedule};
use crate::rules::{CHAPTERS, Voice, rule};
use crate::session::Session;

/// So high may a list of faults be, points: all that are offered can be seen at once.
const LIST_HIGH: f32 = 420.0;

pub(super) fn ui(ui: &mut Ui, lessons: &mut Lessons, open: &Session, voice: Voice) -> Option<LessonAction> {
    let mut asked = None;
    let selected = lessons.selected().cloned();
    match &mut lessons.spot {
        None => {
            form(ui, lessons, open, voice, &mut asked);
            papers(ui, &mut lessons.papers, &mut asked);
        }
        Some(spot) => match &spot.marks {
            None => {
                under_way(ui, spot, voice, &mut asked);
                if let Some(part) = selected.or_else(|| spot.part.clone()) {
                    told(ui, spot, &part.spoken());
                }
                told(ui, spot, "building");
            }
            Some(marks) => marked_exercise(ui, spot, marks, voice, &mut asked),
        },
    }
    asked
}

fn form(ui: &mut Ui, lessons: &mut Lessons, open: &Session, voice: Voice, asked: &mut Option<LessonAction>) {
    let Lessons { form, plantable, .. } = lessons;
    if open.layout().parts().next().is_none() {
        wrapped(ui, "There is nothing to plant a fault in yet. Open a sound layout, or an example (File).");
        return;
    }
    let title = &open.layout().heading.title;
    let title = if title.is_empty() { "the open layout" } else { title };
    wrapped(
        ui,
        format!("Faults are planted in a copy of: {title}. Find them, name them, and say how much it should be."),
    );
    ui.add_space(4.0);
    egui::Grid::new("exercise").num_columns(2).spacing([8.0, 6.0]).show(ui, |ui| {
        let label = ui.label("Faults");
        let most = form.most_faults();
        ui.add(DragValue::new(&mut form.faults).range(1..=most)).labelled_by(label.id);
        ui.end_row();
        let label = ui.label("Topic");
        let name = |topic: Option<usize>| {
            topic.map_or("any on the drawing".to_owned(), |at| CHAPTERS[at].name.replace('-', " "))
        };
        let combo = ComboBox::from_id_salt("topic").selected_text(name(form.topic)).width(150.0).height(LIST_HIGH);
        let shown = combo.drop_down(ui, |ui| {
            ui.selectable_value(&mut form.topic, None, name(None));
            for place in 0..CHAPTERS.len() {
                ui.selectable_value(&mut form.topic, Some(place), name(Some(place)));
            }
        });
        shown.labelled_by(label.id);
        ui.end_row();
        let label = ui.label("Exercise no.");
        ui.add(TextEdit::singleline(&mut form.seed).desired_width(150.0)).labelled_by(label.id);
        ui.end_row();
        let label = ui.label("Your name");
        ui.add(TextEdit::singleline(&mut form.name).desired_width(150.0).hint_text("or leave it empty"))
            .labelled_by(label.id);
        ui.end_row();
    });
    faults::ui(ui, form, plantable, open, voice, asked);
    ui.checkbox(&mut form.timed, "Show and keep the time");
    ui.add_space(4.0);
    button(ui, "Begin", LessonAction::Begin, asked);
    ui.add_space(6.0);
    wrapped(
        ui,
        RichText::new(format!(
            "The right part {PLACE} marks, the right fault {RULE}, the right number {NUMBER}; half for nearly. A claim \
             that is right in nothing costs {WRONG}, a hint {HINT}. The same number and name give the same exercise here \
             and on paper."
        ))
        .weak(),
    );
}

/// The same exercise on paper, for one or for each of a class.
fn papers(ui: &mut Ui, papers: &mut Papers, asked: &mut Option<LessonAction>) {
    ui.add_space(8.0);
    egui::CollapsingHeader::new("On paper, for a class").show(ui, |ui| {
        wrapped(
            ui,
            "A worksheet and an answer sheet for each name, the layouts, and a key by which answers are marked.",
        );
        let label = ui.label("List of names (CSV)");
        let names = TextEdit::singleline(&mut papers.names).desired_width(f32::INFINITY);
        ui.add(names.hint_text("or leave it empty for one without a name")).labelled_by(label.id);
        let label = ui.label("Into the folder");
        ui.add(TextEdit::singleline(&mut papers.folder).desired_width(f32::INFINITY)).labelled_by(label.id);
        ui.add_space(4.0);
        button(ui, "Make the papers", papers.can_begin().then_some(LessonAction::MakePapers), asked);
        if papers.is_under_way() {
            wrapped(ui, "They are being made…");
        }
    });
}

fn under_way(ui: &mut Ui, spot: &mut Spot, voice: Voice, asked: &mut Option<LessonAction>) {
    let now_s = ui.input(|input| input.time);
    let count = spot.exercise.faults.len();
    let hidden = if count == 1 { "1 fault is hidden".to_owned() } else { format!("{count} faults are hidden") };
    let clock = if spot.timed { format!(" · {}", minutes(spot.seconds(now_s))) } else { String::new() };
    ui.label(RichText::new(format!("{hidden}{clock}")).strong());
    claims(ui, spot, voice, asked);
    ui.separator();
    draft(ui, spot, voice, asked);
    ui.separator();
    ui.horizontal_wrapped(|ui| {
        let words = if spot.tape.in_hand { "Put the tape down" } else { "Take the tape" };
        if ui.button(words).clicked() {
            spot.tape.in_hand = !spot.tape.in_hand;
            spot.tape.give_up();
        }
        let hint = format!("Hint (costs {HINT})");
        button(ui, &hint, (spot.hints_left() > 0).then_some(LessonAction::Hint), asked);
        button(ui, "Hand in", LessonAction::HandIn, asked);
        button(ui, "Leave unmarked", LessonAction::Leave, asked);
    });
    if spot.tape.in_hand {
        let reads = spot.tape.words().unwrap_or_else(|| "Click two places on the drawing.".to_owned());
        wrapped(ui, format!("Tape: {reads}"));
    }
    for hint in &spot.hints {
        wrapped(ui, format!("Hint: {}", hint.words));
    }
    ui.separator();
}

fn claims(ui: &mut Ui, spot: &Spot, voice: Voice, asked: &mut Option<LessonAction>) {
    for (number, claim) in spot.claims.iter().enumerate() {
        wrapped(ui, format!("{}. {}", number + 1, claim_words(claim, voice)));
        button(ui, &format!("Take {} back", number + 1), LessonAction::TakeBack(number), asked);
    }
}

/// The claim that is being filled in: where, what, how much.
fn draft(ui: &mut Ui, spot: &mut Spot, voice: Voice, asked: &mut Option<LessonAction>) {
    let place = match (&spot.part, spot.at) {
        (Some(part), _) => capital(part.spoken()),
        (None, Some(_)) => "The marked place".to_owned(),
        (None, None) => "click it on the drawing".to_owned(),
    };
    wrapped(ui, format!("Where: {place}"));
    let label = ui.label("What is wrong");
    let title = |id: &String| rule(id).map_or("", |rule| rule.prose.title(voice));
    let chosen = spot.choice.and_then(|at| spot.exercise.choices.get(at)).map_or("choose", title);
    let combo = ComboBox::from_id_salt("fault")
        .selected_text(chosen)
        .width(ui.available_width() - 8.0)
        .height(LIST_HIGH)
        .truncate();
    let shown = combo.drop_down(ui, |ui| {
        for (place, id) in spot.exercise.choices.iter().enumerate() {
            ui.selectable_value(&mut spot.choice, Some(place), title(id));
        }
    });
    shown.labelled_by(label.id);
    let label = ui.label("How much it should be, where it is a number");
    let field = TextEdit::singleline(&mut spot.number).desired_width(140.0).hint_text("such as 270 mm");
    let typed = ui.add(field).labelled_by(label.id);
    if spot.can_claim() && entered(ui, &typed) {
        *asked = Some(LessonAction::Claim);
    }
    ui.add_space(2.0);
    button(ui, "Mark this fault", spot.can_claim().then_some(LessonAction::Claim), asked);
}

/// What is told of a part: what the drawing cannot show.
fn told(ui: &mut Ui, spot: &Spot, part: &str) {
    let lines = schedule(spot.session.layout());
    if let Some((_, words)) = lines.iter().find(|(name, _)| name == part) {
        wrapped(ui, RichText::new(format!("What is told of: {part}")).strong());
        for fact in words.split("; ") {
            wrapped(ui, capital(fact));
        }
        ui.add_space(4.0);
    }
}

fn marked_exercise(ui: &mut Ui, spot: &Spot, marks: &Marks, voice: Voice, asked: &mut Option<LessonAction>) {
    let time = spot.took_s.map_or_else(String::new, |seconds| format!(" in {}", minutes(seconds)));
    ui.heading(format!("{} of {} marks ({} %){time}", marks.got, marks.out_of, marks.percent()));
    marked::ui(ui, &spot.exercise, &spot.claims, marks, voice);
    ui.add_space(8.0);
    button(ui, "Done", LessonAction::Leave, asked);
}

fn minutes(seconds: u32) -> String {
    format!("{}:{:02}", seconds / 60, seconds % 60)
}
