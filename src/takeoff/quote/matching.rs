//! A line of a quote as it is read, and what it is matched with: by its words, and by what someone has said of it.

use super::frame::{Frame, Paper};
use super::service_pipe::service_pipe;
use super::standing::Standing;
use super::topics::{Covers, TOPICS, Topic};
use super::words::Words;
use super::{Answer, HEADING_OR_TOTAL, NO_THING, QuoteLine, Told};

/// A line, read once.
pub(super) struct ReadLine<'a> {
    pub line: &'a QuoteLine,
    /// Whether it is about something.
    pub is_understood: bool,
    words: Words,
    /// What it says of what is new, parted where it leaves out one thing and not another.
    parts: Vec<Words>,
    /// The words by which something in it was there before.
    old_by: Option<String>,
    /// What of that it uses again.
    used_again: Option<Words>,
    frame: Option<Frame>,
    told: Vec<&'a Told>,
    /// Whether someone has said that it is about what its words do not name: then it is about that alone.
    is_given: bool,
    /// What someone has said that it is, where that is no thing.
    no_thing: Option<&'static str>,
}

/// A line, or a part of it, that is about a thing.
pub(super) struct Matched<'a> {
    pub line: &'a QuoteLine,
    pub words: Words,
    pub standing: Standing,
    pub why: String,
}

impl Matched<'_> {
    /// Whether the line has a price.
    pub fn has_price(&self) -> bool {
        let is_pence = |word: &String| {
            word.split_once('.').is_some_and(|(_, pence)| pence.len() == 2) && word.parse::<f64>().is_ok()
        };
        self.line.text.contains(['£', '$', '€']) || self.words.all().iter().any(is_pence)
    }
}

impl<'a> ReadLine<'a> {
    pub fn of(line: &'a QuoteLine, paper: &Paper, told: &'a [Told]) -> Self {
        let words = Words::of(&line.text);
        let (new, old_by) = words.without_the_old();
        let parts = new.parts();
        let told: Vec<&Told> = told.iter().filter(|told| told.is_of(line)).collect();
        let is = |answer: Answer, topic: &str| told.iter().any(|told| told.answer == answer && told.topic == topic);
        let by_words = |topic: &Topic| parts.iter().any(|part| topic.named_by(part).is_some());
        let frame = paper.frame(line, &words).filter(|_| !is(Answer::IsNot, HEADING_OR_TOTAL));
        let is_given = TOPICS.iter().any(|topic| is(Answer::Is, topic.name) && !by_words(topic));
        let no_thing = NO_THING.into_iter().find(|name| is(Answer::Is, name));
        let used_again = words.used_again();
        Self { line, is_understood: false, parts, frame, is_given, no_thing, told, words, old_by, used_again }
    }

    /// The parts of the line that are about a thing; notes whether there is one.
    pub fn matches(&mut self, topic: &Topic) -> Vec<Matched<'a>> {
        let answer = self.told.iter().find(|told| told.topic == topic.name).map(|told| told.answer);
        let is_taken_out = self.is_given || self.no_thing.is_some() || matches!(self.frame, Some(Frame::Heading(_)));
        let mut named: Vec<(&Words, String)> = match answer {
            Some(Answer::IsNot) => Vec::new(),
            None if is_taken_out => Vec::new(),
            Some(Answer::Is) | None => {
                self.parts.iter().filter_map(|part| Some((part, topic.named_by(part)?))).collect()
            }
        };
        if named.is_empty() && answer == Some(Answer::Is) {
            named.push((&self.words, "you say so".to_owned()));
        }
        let line = self.line;
        if topic.is_all_tube() && named.is_empty() && answer.is_none() && !is_taken_out {
            let pipes: Vec<Matched<'a>> = self.parts.iter().filter_map(|part| pipe_of(line, part)).collect();
            self.is_understood |= !pipes.is_empty();
            return pipes;
        }
        if named.is_empty() && answer.is_none() && !is_taken_out && !topic.is_all_tube() {
            let again = self.used_again.as_ref().and_then(|words| Some((words.clone(), topic.named_by(words)?)));
            self.is_understood |= again.is_some();
            return again
                .into_iter()
                .map(|(words, why)| Matched { line, words, standing: Standing::Reused, why })
                .collect();
        }
        self.is_understood |= !named.is_empty();
        let matched = |(words, why): (&Words, String)| {
            let standing = match words.standing() {
                Standing::Firm if topic.is_all_tube() && names_one_pipe(words) => Standing::InPart,
                standing => standing,
            };
            Matched { line, standing, words: words.clone(), why }
        };
        named.into_iter().map(matched).collect()
    }

    /// Why a line that is about nothing need not be asked about; nothing where it has to be.
    pub fn aside(&self) -> Option<String> {
        if let Some(name) = self.no_thing {
            return Some(format!("you say so: {name}"));
        }
        if let Some(Frame::Heading(why)) = &self.frame {
            return Some(format!("{why}: a heading, a date, an address or a total"));
        }
        let names_something = TOPICS.iter().any(|topic| topic.named_by(&self.words).is_some());
        if let Some(by) = self.old_by.as_ref().filter(|_| names_something) {
            return Some(format!("'{by}': it is about what was there before"));
        }
        if let Some(Frame::Remark(why)) = &self.frame {
            return Some(format!("{why}: it is about no thing on the list"));
        }
        match self.words.standing() {
            standing @ (Standing::LeftOut(_) | Standing::LeftToYou(_)) if !names_something => {
                standing.said().map(|said| format!("{said}, and it is no thing on the list"))
            }
            _ => None,
        }
    }
}

/// Whether tube is named as that of one pipe: of one that has a name, or that leads water to a place. Pipework is all.
fn names_one_pipe(words: &Words) -> bool {
    const ALL: &[&str] = &["all", "pipework", "tubing"];
    let has_a_name = |topic: &Topic| matches!(topic.covers, Covers::TubeOf(_)) && topic.named_by(words).is_some();
    !words.hold_any(ALL) && (TOPICS.iter().any(has_a_name) || service_pipe(words).is_some())
}

/// A part of a line that names a pipe by its size and the water that it leads to a place, and no thing on the list. It is
/// tube of that size, and proves none where it does not say of what.
fn pipe_of<'a>(line: &'a QuoteLine, part: &Words) -> Option<Matched<'a>> {
    let pipe = service_pipe(part).filter(|_| TOPICS.iter().all(|topic| topic.named_by(part).is_none()))?;
    let standing = match part.standing() {
        Standing::Firm if pipe.material.is_none() => Standing::WithoutMaterial,
        Standing::Firm => Standing::InPart,
        standing => standing,
    };
    let why = format!("it says '{}' and '{}' with a place", pipe.size_mm, pipe.service);
    // Its size is all that can be set against the drawing: a length is for this part of the pipes.
    Some(Matched { line, words: Words::of(&format!("{} mm to", pipe.size_mm)), standing, why })
}
