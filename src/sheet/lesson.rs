//! What a class is handed: worksheets and answer sheets as PDF to scale, sums to practise, answers and records as CSV.

use super::pdf;
use super::report::{self, Block, Document};
use super::table::Table;
use super::{Paper, Sheet, SheetError, SheetScale, pages};
use crate::finding::{Findings, capital};
use crate::layout::{Heading, Layout};
use crate::lesson::practice::{NUMBER_MARKS, Question, UNIT_MARKS};
use crate::lesson::{CourseRecord, Exercise, Fault, HINT, Key, NUMBER, PLACE, RULE, WRONG, schedule};
use crate::measure::Site;
use crate::rules::{Voice, rule};
use crate::scene::{self, Marks, Theme};

/// So many rows more than faults stand in the table that a learner fills in: their number must not be told by the rows.
const SPARE_ROWS: usize = 2;
/// What the list of all parts is called.
const SCHEDULE: &str = "What is told of the parts";

/// The worksheet of an exercise: the drawing to scale without marks, a table to fill in, and what is told of the parts.
///
/// # Errors
/// [`SheetError::Pdf`] when the PDF cannot be written.
pub fn worksheet(layout: &Layout, exercise: &Exercise, paper: Paper) -> Result<Vec<u8>, SheetError> {
    let title = titled("Spot the fault", layout);
    bound(layout, None, exercise, &title, &worksheet_text(layout, exercise, &title), paper)
}

/// The answer sheet of an exercise: the drawing with its marks, and for each fault number, working, remedy and reason.
///
/// # Errors
/// [`SheetError::Pdf`] when the PDF cannot be written.
pub fn answer_sheet(
    layout: &Layout,
    findings: &Findings,
    exercise: &Exercise,
    paper: Paper,
) -> Result<Vec<u8>, SheetError> {
    let title = titled("Answers", layout);
    bound(layout, Some(findings), exercise, &title, &answers_text(exercise, &title), paper)
}

fn titled(what: &str, layout: &Layout) -> String {
    match layout.heading.title.as_str() {
        "" => what.to_owned(),
        title => format!("{what}: {title}"),
    }
}

/// Questions to practise, with room to answer.
///
/// # Errors
/// [`SheetError::Pdf`] when the PDF cannot be written.
pub fn sums_sheet(questions: &[Question], title: &str) -> Result<Vec<u8>, SheetError> {
    text_alone(&sums_text(questions, title))
}

/// The same questions with answers and workings.
///
/// # Errors
/// [`SheetError::Pdf`] when the PDF cannot be written.
pub fn sums_answers(questions: &[Question], title: &str) -> Result<Vec<u8>, SheetError> {
    text_alone(&sums_answers_text(questions, title))
}

/// The drawing of an exercise and its text, in one PDF.
fn bound(
    layout: &Layout,
    findings: Option<&Findings>,
    exercise: &Exercise,
    title: &str,
    text: &Document,
    paper: Paper,
) -> Result<Vec<u8>, SheetError> {
    let site = Site::of(layout);
    let scene = match findings {
        Some(findings) => scene::draw(&site, findings, &Marks::default()),
        None => scene::draw(&site, &Findings::default(), &Marks::none()),
    };
    let sheet = Sheet {
        theme: Theme::light().clone(),
        scale: SheetScale::Fit,
        paper,
        heading: Heading { title: title.to_owned(), notes: capital(whose(exercise)), ..Heading::default() },
        voice: Voice::Trade,
        counts: String::new(),
        judged_by: Vec::new(),
    };
    pdf::pdf(&pages::bound(&scene, &sheet, Some(text)), Theme::light(), title)
}

fn text_alone(document: &Document) -> Result<Vec<u8>, SheetError> {
    report::pdf(document)
}

fn whose(exercise: &Exercise) -> String {
    match exercise.learner.as_str() {
        "" => format!("exercise {}", exercise.seed),
        name => format!("for {name}, exercise {}", exercise.seed),
    }
}

fn worksheet_text(layout: &Layout, exercise: &Exercise, title: &str) -> Document {
    let count = exercise.faults.len();
    let faults = if count == 1 { "One fault has".to_owned() } else { format!("{count} faults have") };
    let mut blocks = vec![
        Block::Paragraph(capital(whose(exercise)) + "."),
        Block::Paragraph(format!(
            "{faults} been put into the drawing. Whatever else looks close is allowed. For each fault write the part that \
             it is on, by its name in the schedule '{SCHEDULE}', choose its letter from the list, and write how much it should be where that is a number: measure \
             on the drawing with a scale rule, and take from the schedule what a drawing cannot show."
        )),
        Block::Chapter("Your answers".to_owned()),
    ];
    let row = |number: usize| vec![number.to_string(), String::new(), String::new(), String::new()];
    let rows = (1..=count + SPARE_ROWS).map(row).collect();
    blocks.push(Block::Form(vec!["no.", "part", "fault (letter)", "how much it should be, with its unit"], rows));
    blocks.push(Block::Points(vec![
        format!("The right part {PLACE} marks, the right fault {RULE}, the right number {NUMBER}; half for nearly."),
        format!("A claim that is right in nothing costs {WRONG}, a hint {HINT}. Nobody gets less than nothing."),
    ]));
    blocks.push(Block::Chapter("Faults to choose from".to_owned()));
    let choice = |id: &String| {
        let letter = exercise.letter(id).unwrap_or('?');
        vec![letter.to_string(), rule(id).map_or("", |rule| rule.prose.title(Voice::Trade)).to_owned()]
    };
    blocks.push(Block::Table(vec!["letter", "fault"], exercise.choices.iter().map(choice).collect()));
    blocks.push(Block::Chapter(SCHEDULE.to_owned()));
    let told = schedule(layout).into_iter().map(|(part, words)| vec![part, words]).collect();
    blocks.push(Block::Table(vec!["part", "what is told"], told));
    Document { title: title.to_owned(), blocks }
}

fn answers_text(exercise: &Exercise, title: &str) -> Document {
    let mut blocks = vec![Block::Paragraph(capital(whose(exercise)) + "."), Block::Chapter("The faults".to_owned())];
    for (number, fault) in exercise.faults.iter().enumerate() {
        fault_in_full(&mut blocks, number + 1, exercise, fault);
    }
    if !exercise.allowed.is_empty() {
        blocks.push(Block::Chapter("What is only just allowed".to_owned()));
        let words = |allowed: &crate::lesson::Allowed| {
            let title = rule(&allowed.rule).map_or("", |rule| rule.prose.title(Voice::Trade));
            format!("Not at fault, though it looks like '{title}': {}.", allowed.words)
        };
        blocks.push(Block::Points(exercise.allowed.iter().map(words).collect()));
    }
    Document { title: title.to_owned(), blocks }
}

fn fault_in_full(blocks: &mut Vec<Block>, number: usize, exercise: &Exercise, fault: &Fault) {
    let letter = exercise.letter(&fault.rule).map_or_else(String::new, |letter| format!(", letter {letter}"));
    blocks.push(Block::Section(format!("{number}. {}{letter}", fault.title(Voice::Trade))));
    let part = fault.parts.first().map(|part| part.replace('-', " ")).unwrap_or_default();
    blocks.push(Block::Named("On", capital(&part)));
    blocks.push(Block::Named("Here", fault.words.clone()));
    if let Some(need) = &fault.need {
        let words = format!("{}; right within ± {} {}", need.words, need.tolerance, need.unit);
        blocks.push(Block::Named("It should be", words));
    }
    if !fault.working.is_empty() {
        blocks.push(Block::Working(fault.working.clone()));
    }
    blocks.push(Block::Named("Why", fault.teaching().replace('\n', " ")));
    if !fault.remedies.is_empty() {
        blocks.push(Block::Named("To put it right", fault.remedies.join("; ")));
    }
}

/// Questions as a document.
#[must_use]
pub fn sums_text(questions: &[Question], title: &str) -> Document {
    let mut blocks = vec![Block::Paragraph(format!(
        "The right number earns {NUMBER_MARKS} marks, its unit {UNIT_MARKS}. Show how you got there."
    ))];
    for (number, question) in questions.iter().enumerate() {
        blocks.push(Block::Section(format!("Question {}", number + 1)));
        blocks.push(Block::Paragraph(question.words.clone()));
        blocks.push(Block::Paragraph(question.asked()));
        blocks.push(Block::Form(vec!["working", "answer"], vec![vec![String::new(), String::new()]]));
    }
    Document { title: title.to_owned(), blocks }
}

/// Questions with answers and workings, as a document.
#[must_use]
pub fn sums_answers_text(questions: &[Question], title: &str) -> Document {
    let mut blocks = Vec::new();
    for (number, question) in questions.iter().enumerate() {
        blocks.push(Block::Section(format!("Question {}", number + 1)));
        blocks.push(Block::Paragraph(question.words.clone()));
        blocks.push(Block::Named("Answer", format!("{}. {}", question.answer_words(), question.asked())));
        blocks.push(Block::Working(question.working.clone()));
        blocks.push(Block::Named("Source", question.source.clone()));
    }
    Document { title: format!("{title}: answers"), blocks }
}

/// A form for the answers of a class, one row for each claim, to be filled in and marked.
#[must_use]
pub fn answers_form(key: &Key) -> String {
    let mut table = Table::default();
    table.row(["learner", "part", "fault", "should be", "hints"].map(str::to_owned));
    for exercise in &key.exercises {
        for _ in &exercise.faults {
            let mut row = vec![String::new(); 5];
            row[0].clone_from(&exercise.learner);
            table.row(row);
        }
    }
    table.finish()
}

/// A course record as CSV, one row for each attempt.
#[must_use]
pub fn record_csv(record: &CourseRecord) -> String {
    let mut table = Table::default();
    let heads = ["day", "learner", "layout", "seed", "faults", "marks", "out of", "hints", "seconds", "missed"];
    table.row(heads.map(str::to_owned));
    for attempt in &record.attempts {
        table.row([
            attempt.day.clone(),
            attempt.learner.clone(),
            attempt.title.clone(),
            attempt.seed.to_string(),
            attempt.faults.to_string(),
            attempt.got.to_string(),
            attempt.out_of.to_string(),
            attempt.hints.to_string(),
            attempt.seconds.map_or_else(String::new, |seconds| seconds.to_string()),
            attempt.missed.join(" "),
        ]);
    }
    table.finish()
}
