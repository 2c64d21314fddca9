//! `lesson mark` and `lesson record`: answers against their key, with what each missed fault teaches; attempts as CSV.

use clap::ArgMatches;
use serde::Serialize;

use super::needed;
use crate::cli::EXIT_SOUND;
use crate::cli::page::{Page, harmless, paragraph};
use crate::file;
use crate::lesson::{Attempt, Exercise, Key, MarkedClaim, Marks, Sheet, mark, read_answers};
use crate::rules::{Voice, rule};
use crate::session::course;
use crate::sheet;

pub(super) fn run(matches: &ArgMatches, page: &mut Page<'_>) -> Result<u8, String> {
    let answers = needed(matches, "FILE", "name the answers: lesson mark ANSWERS.csv --key KEY.ron")?;
    let path = needed(matches, "key", "name the key that came with the worksheets: --key KEY.ron")?;
    let text = file::read_text(path).map_err(|error| error.to_string())?;
    let key = Key::parse(&text, &path.display().to_string()).map_err(|error| format!("{error}\n{}", error.caret()))?;
    let text = file::read_text(answers).map_err(|error| error.to_string())?;
    let sheets = read_answers(&text, &key).map_err(|error| format!("{}, {error}", answers.display()))?;
    let mut attempts = Vec::new();
    let mut reports = Vec::new();
    for sheet in &sheets {
        let Some(exercise) = key.of_learner(&sheet.learner) else { continue };
        let marks = mark(exercise, &sheet.claims, sheet.hints);
        if matches.get_flag("json") {
            reports.push(Report::new(exercise, &marks));
        } else {
            print(exercise, sheet, &marks, page);
        }
        attempts.push(Attempt::of(exercise, &key.title, &marks, &course::today(), None));
    }
    if matches.get_flag("json") {
        page.print_json(&reports);
    }
    if let Some(record) = matches.get_one::<std::path::PathBuf>("record") {
        course::add(record, attempts)?;
    }
    Ok(EXIT_SOUND)
}

/// Prints a course record as CSV: that of a file, or the program's own.
pub(super) fn export(matches: &ArgMatches, page: &mut Page<'_>) -> Result<u8, String> {
    let own = course::path();
    let path = matches.get_one::<std::path::PathBuf>("FILE").or(own.as_ref());
    let path = path.ok_or("name the course record: lesson record FILE")?;
    let record = course::read(path)?;
    page.print(&sheet::record_csv(&record));
    Ok(EXIT_SOUND)
}

fn print(exercise: &Exercise, sheet: &Sheet, marks: &Marks, page: &mut Page<'_>) {
    let name = if exercise.learner.is_empty() { "Exercise" } else { &exercise.learner };
    page.print(&format!("{}: {} of {} marks ({} %)\n", harmless(name), marks.got, marks.out_of, marks.percent()));
    for (fault, marked) in exercise.faults.iter().zip(&marks.faults) {
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
        page.print(&paragraph("  ", &line));
        if credit.sum() < marked.out_of {
            page.print(&paragraph("      ", &fault.words));
            page.print(&paragraph("      ", &fault.teaching().replace('\n', " ")));
        }
    }
    for (claim, marked) in sheet.claims.iter().zip(&marks.claims) {
        let title = claim.rule.and_then(rule).map_or("no known fault", |rule| rule.prose.title(Voice::Trade));
        let words = match marked {
            MarkedClaim::Fault(_) => continue,
            MarkedClaim::Allowed(number) => format!("only just allowed: {}", exercise.allowed[*number].words),
            MarkedClaim::Wrong => "right in nothing".to_owned(),
        };
        page.print(&paragraph("  -1: ", &format!("{} on {}: {words}", title, harmless(&claim.part))));
    }
    for text in &sheet.not_understood {
        page.print(&paragraph("  not understood: ", &harmless(text)));
    }
    if marks.hints > 0 {
        page.print(&format!("  -{}: hints\n", marks.hints));
    }
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
        let fault = |(fault, marked): (&crate::lesson::Fault, &crate::lesson::MarkedFault)| FaultReport {
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
