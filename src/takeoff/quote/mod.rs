//! A quote set against the take-off and against what the rules ask: covered, not mentioned, left out, contradicted.
//!
//! Lines are matched by their words alone, and every match says by which. It is a proposal for someone to confirm.

mod beside;
mod boards;
mod compared;
mod counts;
mod dimensions;
mod doubles;
mod frame;
mod heating;
mod lagged;
mod lengths;
mod matching;
mod meant;
mod numbers;
mod old;
mod service_pipe;
mod standing;
mod told;
mod topics;
mod valves;
mod volumes;
mod words;

pub use told::{ToldError, agreeing, following, to_be_told, told, told_of_text};

use serde::{Deserialize, Serialize, Serializer};

use super::Takeoff;
use crate::finding::Findings;
use crate::layout::Layout;
use crate::rules::{Verdict, Voice, Weight, rule};
use compared::compared;
use frame::Paper;
use matching::{Matched, ReadLine};
use topics::TOPICS;

/// A line of a quote.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct QuoteLine {
    /// Its number in the file.
    pub number: usize,
    /// Its words.
    pub text: String,
}

impl QuoteLine {
    /// The line as it is spoken of: its own text, and where it stands.
    #[must_use]
    pub fn spoken(&self) -> String {
        format!("'{}' (line {} of the text)", self.text, self.number)
    }
}

/// What came of setting a quote against a layout.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// What the layout has or the rules ask, and what the quote says of it.
    pub topics: Vec<Compared>,
    /// Lines of the quote that no words were known of.
    pub not_understood: Vec<QuoteLine>,
    /// Lines of the quote that are about nothing on the list, with why: its frame, and work on what was there before.
    pub set_aside: Vec<SetAside>,
    /// What to ask whoever made the quote.
    pub questions: Vec<String>,
}

/// One thing, and what the quote says of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Compared {
    /// What it is.
    pub topic: &'static str,
    /// How it stands.
    pub state: State,
    /// The take-off's lines of it, in words.
    pub drawn: Vec<String>,
    /// The rules that ask for it.
    pub asked_by: Vec<AskedBy>,
    /// The quote's lines that seem to be about it, each with why.
    pub matches: Vec<Match>,
    /// Where the quote contradicts the layout or the rules.
    pub contradictions: Vec<String>,
    /// Where it has something other than the layout that is none the worse.
    pub differences: Vec<String>,
}

/// A rule that asks for a thing, and how it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AskedBy {
    /// Id of the rule.
    pub rule: &'static str,
    /// How much it weighs here.
    pub weight: Weight,
    /// How the layout stands to it.
    pub verdict: Verdict,
}

impl AskedBy {
    /// Its title as a reading has it, with its weight and how it stands.
    #[must_use]
    pub fn spoken(&self, voice: Voice) -> String {
        let stands = match self.verdict {
            Verdict::Meets => "met as drawn",
            Verdict::Breach => "not met as drawn",
            Verdict::Marginal => "too near to tell as drawn",
            Verdict::Unknown => "not told",
        };
        let title = rule(self.rule).map_or(self.rule, |rule| rule.prose.title(voice));
        format!("'{title}' ({}, {stands})", self.weight.words())
    }
}

impl Serialize for AskedBy {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.spoken(Voice::Trade))
    }
}

/// A line of the quote that is about nothing on the list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SetAside {
    /// The line.
    #[serde(flatten)]
    pub line: QuoteLine,
    /// Why it seems so.
    pub why: String,
}

/// How a thing stands in a quote.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// A line names it, and nothing there contradicts the layout.
    Covered,
    /// A line names it, with another size, kind or number.
    Contradicted,
    /// A line says that it is not part of the quote.
    LeftOut,
    /// A line leaves it to the client or to others.
    LeftToYou,
    /// A line only offers it, or at a price that is not fixed.
    OnlyAsExtra,
    /// A line names it by its size, and not of what it is.
    WithoutMaterial,
    /// Lines name some of it.
    InPart,
    /// A line says that what is there is used again.
    Reused,
    /// No line names it.
    NotMentioned,
    /// A line says that there is none, and none is drawn or asked for.
    NoneEither,
}

impl State {
    /// All of them, what needs an answer first.
    pub const ALL: [Self; 10] = [
        Self::Contradicted,
        Self::LeftOut,
        Self::LeftToYou,
        Self::OnlyAsExtra,
        Self::WithoutMaterial,
        Self::InPart,
        Self::Reused,
        Self::NotMentioned,
        Self::Covered,
        Self::NoneEither,
    ];

    /// The state in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Covered => "covered",
            Self::Contradicted => "contradicted",
            Self::LeftOut => "left out",
            Self::LeftToYou => "left to you or others",
            Self::OnlyAsExtra => "only as an extra",
            Self::WithoutMaterial => "named without its material",
            Self::InPart => "named in part",
            Self::Reused => "used again",
            Self::NotMentioned => "not mentioned",
            Self::NoneEither => "none quoted and none drawn",
        }
    }

    /// Whether the quote has to be asked about it because of what it says.
    #[must_use]
    pub const fn is_fault(self) -> bool {
        matches!(
            self,
            Self::Contradicted
                | Self::LeftOut
                | Self::LeftToYou
                | Self::OnlyAsExtra
                | Self::WithoutMaterial
                | Self::InPart
                | Self::Reused
        )
    }
}

/// A line of the quote that seems to be about something.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Match {
    /// Number of the line.
    pub line: usize,
    /// Its words.
    pub text: String,
    /// Why it was matched.
    pub why: String,
    /// Whether someone has said that it is about this.
    pub confirmed: bool,
}

/// What heads the lines of a quote that no words were known of.
pub const LINES_NOT_UNDERSTOOD: &str = "Lines of which no words were known";
/// What heads those that are about nothing on the list.
pub const LINES_SET_ASIDE: &str = "Lines about nothing on the list";
/// What heads what to ask whoever made the quote.
pub const TO_ASK: &str = "What to ask";

impl Match {
    /// The line as it is spoken of, and why it was matched.
    #[must_use]
    pub fn spoken(&self) -> String {
        let line = QuoteLine { number: self.line, text: self.text.clone() };
        format!("{}: {}", line.spoken(), self.why)
    }
}

impl Comparison {
    fn matches(&self) -> impl Iterator<Item = &Match> {
        self.topics.iter().flat_map(|compared| &compared.matches)
    }

    /// How many matches nobody has confirmed.
    #[must_use]
    pub fn matches_to_confirm(&self) -> usize {
        self.matches().filter(|matched| !matched.confirmed).count()
    }

    /// By what the quote was matched, and how far someone has confirmed it.
    #[must_use]
    pub fn how_matched(&self) -> String {
        match (self.matches().count(), self.matches_to_confirm()) {
            (_, 0) => "The quote; every match is confirmed".to_owned(),
            (all, open) => {
                format!("The quote, matched by its words; {open} of {all} matches are for you to confirm")
            }
        }
    }
}

/// The lines of a quote in plain text: each line that holds a letter.
#[must_use]
pub fn lines_of_text(text: &str) -> Vec<QuoteLine> {
    let numbered = text.lines().enumerate().map(|(number, line)| (number + 1, line.trim().to_owned()));
    kept(numbered)
}

/// The lines of a quote in CSV: the fields of a row, joined.
///
/// # Errors
/// What the CSV reader complains of.
pub fn lines_of_csv(text: &str) -> Result<Vec<QuoteLine>, csv::Error> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record?;
        let line = record.position().map_or(0, |position| position.line() as usize);
        let fields: Vec<&str> = record.iter().map(str::trim).filter(|field| !field.is_empty()).collect();
        rows.push((line, fields.join(" ; ")));
    }
    Ok(kept(rows.into_iter()))
}

/// Lines as text in which each stands at its number, so that it is known by it wherever the text is read.
#[must_use]
pub fn with_their_numbers(lines: &[QuoteLine]) -> String {
    let mut text = String::new();
    let mut at = 1;
    for line in lines {
        while at < line.number {
            text.push('\n');
            at += 1;
        }
        text.push_str(&line.text.replace(['\n', '\r'], " "));
    }
    text
}

fn kept(lines: impl Iterator<Item = (usize, String)>) -> Vec<QuoteLine> {
    let has_letter = |(_, text): &(usize, String)| text.chars().any(char::is_alphabetic);
    lines.filter(has_letter).map(|(number, text)| QuoteLine { number, text }).collect()
}

/// What someone has said of a line of the quote. It hangs on the text of the line: [`following`] finds it again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Told {
    /// Number of the line.
    pub line: usize,
    /// Its text, without blanks at its ends and with runs of blanks as one.
    pub text: String,
    /// The thing, by the name of its topic, or one of [`NO_THING`].
    pub topic: String,
    /// Whether it is about that.
    pub answer: Answer,
}

/// Whether a line is about a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Answer {
    /// It is.
    Is,
    /// It is not, whatever its words are.
    IsNot,
}

/// A line that is about no thing on the list: it heads or adds up others.
const HEADING_OR_TOTAL: &str = "heading or total";
/// What a line may be that is about no thing on the list.
pub const NO_THING: [&str; 2] = [HEADING_OR_TOTAL, "something else"];

/// Everything that a line may be about, by name; the last are those of [`NO_THING`].
pub fn topics() -> impl Iterator<Item = &'static str> {
    TOPICS.iter().map(|topic| topic.name).chain(NO_THING)
}

/// Sets a quote against a take-off and the findings of the same layout, by its words alone.
#[must_use]
pub fn compare(layout: &Layout, takeoff: &Takeoff, findings: &Findings, quote: &[QuoteLine]) -> Comparison {
    compare_told(layout, takeoff, findings, quote, &[])
}

/// The same, where someone has confirmed some matches, and put right others.
#[must_use]
pub fn compare_told(
    layout: &Layout,
    takeoff: &Takeoff,
    findings: &Findings,
    quote: &[QuoteLine],
    told: &[Told],
) -> Comparison {
    let told = following(told, quote);
    let paper = Paper::of(quote);
    let mut read: Vec<ReadLine<'_>> = quote.iter().map(|line| ReadLine::of(line, &paper, &told)).collect();
    let mut topics = Vec::new();
    for topic in TOPICS {
        let matched: Vec<Matched<'_>> = read.iter_mut().flat_map(|line| line.matches(topic)).collect();
        topics.extend(compared(topic, layout, takeoff, findings, &matched));
        if let Some(compared) = topics.last_mut().filter(|compared| compared.topic == topic.name) {
            confirm(compared, &told);
        }
    }
    let mut not_understood = Vec::new();
    let mut set_aside = Vec::new();
    for line in read.iter().filter(|line| !line.is_understood) {
        match line.aside() {
            Some(why) => set_aside.push(SetAside { line: line.line.clone(), why }),
            None => not_understood.push(line.line.clone()),
        }
    }
    let questions = questions(&topics, &not_understood);
    Comparison { topics, not_understood, set_aside, questions }
}

/// Notes which matches someone has confirmed.
fn confirm(compared: &mut Compared, told: &[Told]) {
    for matched in &mut compared.matches {
        let line = QuoteLine { number: matched.line, text: matched.text.clone() };
        let said = |told: &Told| told.is_of(&line) && told.topic == compared.topic && told.answer == Answer::Is;
        matched.confirmed = told.iter().any(said);
    }
}

fn questions(topics: &[Compared], not_understood: &[QuoteLine]) -> Vec<String> {
    let mut questions = Vec::new();
    for compared in topics {
        let topic = compared.topic;
        match compared.state {
            State::Covered | State::NoneEither => {}
            State::Contradicted => {
                questions
                    .extend(compared.contradictions.iter().map(|said| format!("{topic}: {said}. Which is right?")));
            }
            State::LeftOut => questions.push(format!("{topic}: who supplies and fits it, when, and at what price?")),
            State::LeftToYou => {
                questions.push(format!("{topic}: who supplies it and who fits it, when, and what has to be ready?"));
            }
            State::OnlyAsExtra => {
                questions
                    .push(format!("{topic}: is it part of the price, and if not, at what fixed price can it be had?"));
            }
            State::WithoutMaterial => questions.push(format!(
                "{topic}: of what material is it, and is all of it part of the price? The quote names sizes alone."
            )),
            State::InPart => questions.push(format!(
                "{topic}: is all of it part of the price? The quote names one pipe, or some, and not the rest."
            )),
            State::Reused => questions.push(format!(
                "{topic}: the quote uses again what is there; is it sound, and who answers for it if it is not?"
            )),
            State::NotMentioned => {
                let because =
                    if compared.asked_by.is_empty() { "it is on the drawing" } else { "the rules ask for it" };
                questions.push(format!("{topic}: is it part of the price? The quote does not name it, and {because}."));
            }
        }
    }
    questions
        .extend(not_understood.iter().map(|line| format!("what is {} for, and what does it cover?", line.spoken())));
    questions
}
