//! The marks of papers that came back: in words, with what each missed fault teaches, and as JSON.

use serde::Serialize;

use super::column::{harmless, paragraph};
use crate::lesson::{Exercise, Fault, HINT, MarkedClaim, MarkedFault, MarkedPaper, Marks, Sheet, WRONG};
use crate::rules::{Voice, rule};

/// The marks of all papers as plain text.
#[must_use]
pub fn marks_text(papers: &[MarkedPaper]) -> String {
    papers.iter().map(|MarkedPaper { exercise, sheet, marks }| of_one(exercise, sheet, marks)).collect()
}

/// The marks of all papers as a line of JSON.
///
/// # Errors
/// Those of the writer of JSON.
pub fn marks_json(papers: &[MarkedPaper]) -> serde_json::Result<String> {
    let reports: Vec<Report> = papers.iter().map(|paper| Report::new(&paper.exercise, &paper.marks)).collect();
    Ok(serde_json::to_string(&reports)? + "\n")
}

fn of_one(exercise: &Exercise, sheet: &Sheet, marks: &Marks) -> String {
    let name = if exercise.learner.is_empty() { "Exercise" } else { &exercise.learner };
    let mut text = format!("{}: {} of {} marks ({} %)\n", harmless(name), marks.got, marks.out_of, marks.percent());
    for (fault, marked) in exercise.faults.iter().zip(&marks.faults) {
        text += &of_fault(fault, marked);
    }
    for (claim, marked) in sheet.claims.iter().zip(&marks.claims) {
        let title = claim.rule.and_then(rule).map_or("no known fault", |rule| rule.prose.title(Voice::Trade));
        let words = match marked {
            MarkedClaim::Fault(_) => continue,
            MarkedClaim::Allowed(number) => format!("only just allowed: {}", exercise.allowed[*number].words),
            MarkedClaim::Wrong => "right in nothing".to_owned(),
        };
        text += &paragraph(&format!("  -{WRONG}: "), &format!("{} on {}: {words}", title, harmless(&claim.part)));
    }
    for written in &sheet.not_understood {
        text += &paragraph("  not understood: ", &harmless(written));
    }
    if marks.hints > 0 {
        text += &format!("  -{}: hints\n", marks.hints * HINT);
    }
    text
}

fn of_fault(fault: &Fault, marked: &MarkedFault) -> String {
    let credit = marked.credit;
    let line = format!(
        "{} of {}: place {}, rule {}, number {}. {}",
        credit.sum(),
        marked.out_of,
        credit.place,
        credit.rule,
        if fault.need.is_some() { credit.number.to_string() } else { "not asked".to_owned() },
        fault.title(Voice::Trade)
    );
    let mut text = paragraph("  ", &line);
    if credit.sum() < marked.out_of {
        text += &paragraph("      ", &fault.words);
        text += &paragraph("      ", &fault.teaching().replace('\n', " "));
    }
    text
}

#[derive(Serialize)]
struct Report {
    learner: String,
    seed: u64,
    got: i32,
    out_of: i32,
    hints: i32,
    faults: Vec<FaultReport>,
    wrong: usize,
}

#[derive(Serialize)]
struct FaultReport {
    rule: String,
    place: i32,
    number: i32,
    rule_marks: i32,
    out_of: i32,
}

impl Report {
    fn new(exercise: &Exercise, marks: &Marks) -> Self {
        let fault = |(fault, marked): (&Fault, &MarkedFault)| FaultReport {
            rule: fault.rule.clone(),
            place: marked.credit.place,
            number: marked.credit.number,
            rule_marks: marked.credit.rule,
            out_of: marked.out_of,
        };
        Self {
            learner: exercise.learner.clone(),
            seed: exercise.seed,
            got: marks.got,
            out_of: marks.out_of,
            hints: marks.hints,
            faults: exercise.faults.iter().zip(&marks.faults).map(fault).collect(),
            wrong: marks.claims.iter().filter(|claim| !matches!(claim, MarkedClaim::Fault(_))).count(),
        }
    }
}
