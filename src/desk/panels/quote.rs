//! The quote beside the take-off: what it covers, leaves out and contradicts, match by match for someone to confirm.

use egui::{ComboBox, Frame, Margin, RichText, TextEdit, Ui, WidgetInfo};

use super::choices::DropDown as _;
use super::words::{capital, coloured, line, strong, weak, worded};
use crate::desk::Action;
use crate::desk::handing::{Asked, Handing, Sought, Taking};
use crate::desk::theme::Palette;
use crate::rules::Voice;
use crate::session::Session;
use crate::takeoff::quote::{
    Answer, Compared, Comparison, Match, NO_THING, QuoteLine, State, Told, following, lines_of_text, topics,
};

/// So many lines of a quote are seen at once.
const ROWS: usize = 6;
const FIELD: &str = "Lines of the quote";
/// What belongs to a thing stands so much further in than its name, points.
const FURTHER_IN: Margin = Margin { left: 14, right: 0, top: 0, bottom: 0 };

/// Shows the quote and what came of it.
pub fn ui(ui: &mut Ui, taking: &mut Taking, session: &Session, voice: Voice, actions: &mut Vec<Action>) {
    let palette = Palette::of(ui.visuals());
    ui.heading("Quote");
    ui.horizontal_wrapped(|ui| {
        if ui.button("Read a quote…").on_hover_text("Plain text, or a .csv").clicked() {
            actions.push(Action::Hand(Handing::Seek(Sought::Quote)));
        }
        if !taking.asked.quote.is_empty() && ui.button("Clear").on_hover_text("Take the quote away").clicked() {
            (taking.asked.quote, taking.asked.told) = (String::new(), Vec::new());
        }
    });
    let edit = TextEdit::multiline(&mut taking.asked.quote)
        .hint_text("Or type what it says, a line for each thing")
        .desired_rows(ROWS)
        .desired_width(f32::INFINITY);
    let field = ui.add(edit);
    field.widget_info(|| WidgetInfo::text_edit(true, "", &taking.asked.quote, FIELD));
    let field = field.accessible_name(FIELD);
    if field.changed() {
        // Lines have moved or are others: what was said of them follows those that are still there.
        taking.asked.told = following(&taking.asked.told, &lines_of_text(&taking.asked.quote));
    }
    let (bill, asked) = taking.bill(session);
    match &bill.quote {
        None => weak(ui, "It is set against the list and the rules: what is covered, not mentioned, contradicted."),
        Some(comparison) => compared(ui, comparison, asked, palette, voice),
    }
}

fn compared(ui: &mut Ui, comparison: &Comparison, asked: &mut Asked, palette: Palette, voice: Voice) {
    let quoted = lines_of_text(&asked.quote);
    // What someone has said that no match shows can be taken back where it was said.
    let is_hidden = |told: &&Told| {
        told.stands_in(&quoted) && (told.answer == Answer::IsNot || NO_THING.contains(&told.topic.as_str()))
    };
    let (here, elsewhere): (Vec<Told>, Vec<Told>) = (asked.told.iter().filter(is_hidden).cloned())
        .partition(|told| comparison.topics.iter().any(|compared| compared.topic == told.topic));
    weak(ui, "Matched by words alone. Say of each match whether it is right.");
    for state in State::ALL {
        let mut topics = comparison.topics.iter().filter(|topic| topic.state == state).peekable();
        if topics.peek().is_none() {
            continue;
        }
        ui.add_space(6.0);
        let words = RichText::new(capital(state.words())).strong();
        ui.label(if state.is_fault() { words.color(palette.red_pencil) } else { words });
        topics.for_each(|topic| one_topic(ui, topic, (asked, &here), palette, voice));
    }
    if !elsewhere.is_empty() {
        ui.add_space(6.0);
        strong(ui, "You have said");
        elsewhere.iter().for_each(|told| said_of_line(ui, told, asked));
    }
    if !comparison.not_understood.is_empty() {
        ui.add_space(6.0);
        strong(ui, "Not understood");
        comparison.not_understood.iter().for_each(|line| not_understood(ui, line, asked));
    }
    if !comparison.set_aside.is_empty() {
        ui.add_space(6.0);
        strong(ui, "About nothing on the list");
        for aside in &comparison.set_aside {
            not_understood(ui, &aside.line, asked);
            weak(ui, &aside.why);
        }
    }
    if !comparison.questions.is_empty() {
        ui.add_space(6.0);
        strong(ui, "What to ask");
        comparison.questions.iter().for_each(|question| line(ui, format!("• {}", capital(question))));
        if ui.button("Copy the questions").clicked() {
            let shown: Vec<String> = comparison.questions.iter().map(|asked| worded(ui, &capital(asked))).collect();
            ui.ctx().copy_text(shown.join("\n"));
        }
    }
}

fn one_topic(ui: &mut Ui, topic: &Compared, (asked, said): (&mut Asked, &[Told]), palette: Palette, voice: Voice) {
    ui.push_id(topic.topic, |ui| {
        line(ui, capital(topic.topic));
        Frame::NONE.inner_margin(FURTHER_IN).show(ui, |ui| {
            topic.drawn.iter().for_each(|drawn| weak(ui, format!("drawn: {drawn}")));
            if topic.state != State::Covered {
                topic.asked_by.iter().for_each(|rule| weak(ui, format!("rule: {}", rule.spoken(voice))));
            }
            topic.contradictions.iter().for_each(|said| coloured(ui, said, palette.red_pencil));
            topic.differences.iter().for_each(|said| line(ui, said));
            topic.matches.iter().for_each(|matched| one_match(ui, topic.topic, matched, asked));
            said.iter().filter(|told| told.topic == topic.topic).for_each(|told| said_of_line(ui, told, asked));
        });
    });
}

fn one_match(ui: &mut Ui, topic: &str, matched: &Match, asked: &mut Asked) {
    ui.push_id(matched.line, |ui| {
        line(ui, format!("line {}: '{}'", matched.line, matched.text));
        ui.horizontal_wrapped(|ui| {
            weak(ui, &matched.why);
            let mut confirmed = matched.confirmed;
            let name = format!("Line {} is about {topic}", matched.line);
            let right = ui.checkbox(&mut confirmed, "Right");
            right.widget_info(|| WidgetInfo::selected(egui::Role::CheckBox, true, matched.confirmed, &name));
            if right.clicked() {
                forget(asked, matched.line, topic);
                if confirmed {
                    tell(asked, (matched.line, &matched.text), topic, Answer::Is);
                }
            }
            let wrong = ui.small_button("Wrong").on_hover_text("The line is not about this");
            wrong.widget_info(|| {
                WidgetInfo::labeled(egui::Role::Button, true, format!("Line {} is not about {topic}", matched.line))
            });
            if wrong.clicked() {
                forget(asked, matched.line, topic);
                tell(asked, (matched.line, &matched.text), topic, Answer::IsNot);
            }
            is_about(ui, (matched.line, &matched.text), asked);
        });
    });
}

/// What someone has said of a line, and the way back.
fn said_of_line(ui: &mut Ui, told: &Told, asked: &mut Asked) {
    let is = if told.answer == Answer::Is { "is" } else { "is not" };
    line(ui, format!("line {}: '{}'", told.line, told.text));
    ui.horizontal_wrapped(|ui| {
        weak(ui, format!("you say that it {is}: {}", told.topic));
        let again = ui.small_button("Ask again").on_hover_text("Take back what you have said of this line");
        let name = format!("Ask again whether line {} is about {}", told.line, told.topic);
        again.widget_info(|| WidgetInfo::labeled(egui::Role::Button, true, &name));
        if again.clicked() {
            forget(asked, told.line, &told.topic);
        }
    });
}

/// A line of which no words were known: someone may say what it is about.
fn not_understood(ui: &mut Ui, quoted: &QuoteLine, asked: &mut Asked) {
    line(ui, format!("line {}: '{}'", quoted.number, quoted.text));
    is_about(ui, (quoted.number, &quoted.text), asked);
}

/// What someone may say that a line is about.
fn is_about(ui: &mut Ui, (number, text): (usize, &str), asked: &mut Asked) {
    let shown = ComboBox::from_id_salt(("about", number)).selected_text("is about…").drop_down(ui, |ui| {
        for topic in topics() {
            if ui.selectable_label(false, worded(ui, topic)).clicked() {
                forget(asked, number, topic);
                tell(asked, (number, text), topic, Answer::Is);
            }
        }
    });
    shown.widget_info(|| WidgetInfo::labeled(egui::Role::ComboBox, true, format!("What line {number} is about")));
}

fn forget(asked: &mut Asked, line: usize, topic: &str) {
    asked.told.retain(|told| !(told.line == line && told.topic == topic));
}

fn tell(asked: &mut Asked, (line, text): (usize, &str), topic: &str, answer: Answer) {
    asked.told.push(Told::of(line, text, topic, answer));
}
