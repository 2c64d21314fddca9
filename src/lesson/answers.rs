//! Answers: what a learner claims, read from a CSV or marked in the window.

use thiserror::Error;

use super::key::{Exercise, Key};
use crate::rules::{Rule, Voice, rule, table};
use crate::spelling::nearest;

/// Something that a learner takes for a fault.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Claim {
    /// Id of the part; empty when none is named.
    pub part: String,
    /// A place on the drawing, section mm.
    pub at: Option<(f64, f64)>,
    /// The rule; none when none is named, or none that there is.
    pub rule: Option<&'static str>,
    /// How much it should be, as it was typed.
    pub number: String,
}

/// One learner's answers.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The learner, as the key has the name.
    pub learner: String,
    /// What is claimed.
    pub claims: Vec<Claim>,
    /// How many hints were given.
    pub hints: i32,
    /// Names of faults that are none, as they were written.
    pub not_understood: Vec<String>,
}

/// Why answers cannot be marked.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum AnswersError {
    /// It is no CSV.
    #[error("line {line}: {reason}; save the table as CSV with commas, in UTF-8")]
    NotCsv {
        /// The line.
        line: usize,
        /// What the reader says.
        reason: String,
    },
    /// A heading is missing.
    #[error(
        "there is no column '{0}'; the first line has to name the columns learner, part, fault, should be and hints"
    )]
    NoColumn(&'static str),
    /// Nobody of that name.
    #[error("line {line}: the key has no exercise for '{name}'; it has: {known}")]
    NoLearner {
        /// The line.
        line: usize,
        /// The name.
        name: String,
        /// Who is there.
        known: String,
    },
    /// Hints are counted.
    #[error("line {line}: '{text}' is no number of hints; write 0, 1, 2 and so on")]
    NotHints {
        /// The line.
        line: usize,
        /// What stands there.
        text: String,
    },
}

/// Reads answers: one row for each claim, with the columns learner, part, fault, should be, hints. Rows that claim
/// nothing are passed over; hints of one learner are added up.
///
/// # Errors
/// [`AnswersError`] with the line.
pub fn read_answers(text: &str, key: &Key) -> Result<Vec<Sheet>, AnswersError> {
    let mut reader = csv::ReaderBuilder::new().flexible(true).trim(csv::Trim::All).from_reader(text.as_bytes());
    let not_csv = |line: usize, error: &csv::Error| AnswersError::NotCsv { line, reason: error.to_string() };
    let heads: Vec<String> =
        reader.headers().map_err(|error| not_csv(1, &error))?.iter().map(|head| head.to_lowercase()).collect();
    let column = |name: &str| heads.iter().position(|head| head == name);
    let fault = column("fault").ok_or(AnswersError::NoColumn("fault"))?;
    let part = column("part").ok_or(AnswersError::NoColumn("part"))?;
    let (learner, number, hints) = (column("learner"), column("should be"), column("hints"));
    let mut sheets: Vec<Sheet> = Vec::new();
    for (row, record) in reader.records().enumerate() {
        let line = row + 2;
        let record = record.map_err(|error| not_csv(line, &error))?;
        let cell = |column: Option<usize>| column.and_then(|column| record.get(column)).map_or("", unguarded);
        let name = cell(learner);
        let exercise = key.of_learner(name).ok_or_else(|| {
            let known: Vec<&str> = key.exercises.iter().map(|exercise| exercise.learner.as_str()).collect();
            AnswersError::NoLearner { line, name: name.to_owned(), known: known.join(", ") }
        })?;
        let place = sheets.iter().position(|sheet| sheet.learner == exercise.learner).unwrap_or_else(|| {
            let learner = exercise.learner.clone();
            sheets.push(Sheet { learner, claims: Vec::new(), hints: 0, not_understood: Vec::new() });
            sheets.len() - 1
        });
        let sheet = &mut sheets[place];
        let given = cell(hints);
        if !given.is_empty() {
            let not_hints = || AnswersError::NotHints { line, text: given.to_owned() };
            sheet.hints += given.parse::<u16>().map(i32::from).map_err(|_| not_hints())?;
        }
        let (part, fault, number) = (cell(Some(part)), cell(Some(fault)), cell(number));
        if part.is_empty() && fault.is_empty() {
            continue;
        }
        let rule = exercise.understood(fault);
        if rule.is_none() && !fault.is_empty() {
            sheet.not_understood.push(fault.to_owned());
        }
        sheet.claims.push(Claim { part: exercise.part_meant(part), at: None, rule, number: number.to_owned() });
    }
    Ok(sheets)
}

/// A cell without the sign that keeps a spreadsheet from taking it for a formula.
fn unguarded(cell: &str) -> &str {
    cell.strip_prefix('\'').unwrap_or(cell)
}

/// A smaller number behind a name is the number of the part, a greater one the size of a tube, mm.
const LEAST_SIZE_MM: f64 = 8.0;

/// "Cold feed" is the part `cold-feed`.
fn part_id(text: &str) -> String {
    text.trim().to_lowercase().split([' ', '_']).filter(|word| !word.is_empty()).collect::<Vec<_>>().join("-")
}

/// A name without the size of the tube that the drawing writes behind it.
fn without_size(text: &str) -> &str {
    let text = text.trim();
    let (name, size) = text.strip_suffix("mm").unwrap_or(text).trim_end().rsplit_once(' ').unwrap_or((text, ""));
    let is_size = size.parse::<f64>().is_ok_and(|mm| mm >= LEAST_SIZE_MM);
    if is_size { name.trim_end_matches([',', ' ']) } else { text }
}

impl Exercise {
    /// The id of the part that is meant: by its name, by what the drawing writes beside it alone, or by either without the
    /// size of its tube.
    fn part_meant(&self, text: &str) -> String {
        let is_of_a_fault = |id: &String| self.faults.iter().any(|fault| fault.parts.contains(id));
        let label = |text: &str| {
            let text = text.trim().to_lowercase();
            self.labels.iter().find(|(words, _)| words.to_lowercase() == text).map(|(_, id)| id.clone())
        };
        let name = without_size(text);
        Some(part_id(text))
            .filter(is_of_a_fault)
            .or_else(|| label(text))
            .or_else(|| label(name))
            .unwrap_or_else(|| part_id(name))
    }

    /// The rule that is meant, also where it is misspelt a little.
    #[must_use]
    pub fn understood(&self, text: &str) -> Option<&'static str> {
        self.meant(text).or_else(|| {
            let titles = |rule: &Rule| Voice::ALL.map(|voice| rule.prose.title(voice));
            let near = nearest(text, table().iter().flat_map(|rule| titles(rule).into_iter().chain([rule.id])))?;
            rule(near).or_else(|| table().iter().find(|rule| titles(rule).contains(&near)).copied()).map(|rule| rule.id)
        })
    }

    /// The claims that are right in everything.
    #[must_use]
    pub fn answers(&self) -> Vec<Claim> {
        let claim = |fault: &super::key::Fault| Claim {
            part: fault.parts.first().cloned().unwrap_or_default(),
            at: None,
            rule: rule(&fault.rule).map(|rule| rule.id),
            number: fault.need.as_ref().map(|need| format!("{} {}", need.value, need.unit)).unwrap_or_default(),
        };
        self.faults.iter().map(claim).collect()
    }
}
