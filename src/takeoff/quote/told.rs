//! What someone has said of the lines of a quote, as text: `confirm 3=cistern lid`, a line for each.
//!
//! A list of what is still to be said is written in the same words, so that it can be filled in and read back. What is
//! said hangs on the text of a line, which the list has in a remark above (`# line 3: Lid for tank`): where the quote has
//! changed since, it follows the line, and is let go where the line is there no more.

use std::collections::{BTreeMap, BTreeSet};

use thiserror::Error;

use super::{Answer, Comparison, Match, NO_THING, QuoteLine, SetAside, Told, topics};
use crate::spelling::nearest;

/// The words that begin a line, with what they say.
const CONFIRM: &str = "confirm";
const DENY: &str = "deny";
const ASK: &str = "ask";

/// Why what is said of a quote cannot be used.
#[derive(Debug, Error, PartialEq, Eq)]
pub enum ToldError {
    /// It has another form.
    #[error(
        "'{said}' is not understood; write the number of a line of the quote and what it is about, such as 3=cistern lid"
    )]
    Form {
        /// What is written.
        said: String,
    },
    /// It begins with another word.
    #[error("'{word}' is not understood; a line begins with confirm, deny or ask")]
    Word {
        /// That word.
        word: String,
    },
    /// The quote has no such line.
    #[error("the quote has no line {line} with words in it")]
    NoLine {
        /// Which.
        line: usize,
    },
    /// There is no such thing to be about.
    #[error("'{topic}' is nothing that a line may be about{hint}; these are: {}", topics().collect::<Vec<_>>().join(", "))]
    NoTopic {
        /// What is written.
        topic: String,
        /// What may be meant.
        hint: String,
    },
    /// Both are said of the same line.
    #[error("line {line} is said to be about '{topic}' and said not to be; keep one of them")]
    Both {
        /// Which line.
        line: usize,
        /// About what.
        topic: String,
    },
    /// The same in a file.
    #[error("line {in_file}: {said}")]
    At {
        /// Line in the file.
        in_file: usize,
        /// What is wrong there.
        said: Box<ToldError>,
    },
}

/// A text by which a line is known again: without blanks at its ends, runs of blanks as one.
pub(super) fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

impl Told {
    /// What is said of a line that has such a number and text.
    #[must_use]
    pub fn of(line: usize, text: &str, topic: &str, answer: Answer) -> Self {
        Self { line, text: plain(text), topic: topic.to_owned(), answer }
    }

    /// Whether it is said of a line.
    pub(super) fn is_of(&self, line: &QuoteLine) -> bool {
        self.line == line.number && self.text == plain(&line.text)
    }

    /// As a line of a file.
    fn as_said(&self) -> String {
        let word = if self.answer == Answer::Is { CONFIRM } else { DENY };
        format!("{word} {}={}\n", self.line, self.topic)
    }

    /// Whether its line stands in a quote.
    #[must_use]
    pub fn stands_in(&self, quote: &[QuoteLine]) -> bool {
        quote.iter().any(|line| self.is_of(line))
    }
}

/// What has been said, with the numbers that the lines have now. What is said of a line that is there no more stays as it
/// is, so that it holds again when the line comes back.
#[must_use]
pub fn following(told: &[Told], quote: &[QuoteLine]) -> Vec<Told> {
    let mut now = told.to_vec();
    let texts: BTreeSet<&str> = told.iter().map(|told| told.text.as_str()).collect();
    for text in texts {
        let mut free: Vec<usize> =
            quote.iter().filter(|line| plain(&line.text) == text).map(|line| line.number).collect();
        let mut told_of: Vec<usize> = told.iter().filter(|told| told.text == text).map(|told| told.line).collect();
        told_of.sort_unstable();
        told_of.dedup();
        // Of lines with the same text, those that have kept their numbers keep what is said of them.
        let (stayed, moved): (Vec<usize>, Vec<usize>) = told_of.into_iter().partition(|line| free.contains(line));
        free.retain(|line| !stayed.contains(line));
        for (from, to) in moved.into_iter().zip(free) {
            let all = now.iter_mut().zip(told).filter(|(_, told)| told.text == text && told.line == from);
            all.for_each(|(now, _)| now.line = to);
        }
    }
    now
}

/// Reads what is said of one line: `3=cistern lid`.
///
/// # Errors
/// [`ToldError`] when it has another form, the quote has no such line, or there is no such topic.
pub fn told(said: &str, answer: Answer, quote: &[QuoteLine]) -> Result<Told, ToldError> {
    let (line, topic) = said_of(said)?;
    let quoted = quote.iter().find(|quoted| quoted.number == line).ok_or(ToldError::NoLine { line })?;
    Ok(Told::of(line, &quoted.text, &topic, answer))
}

/// The line and the topic in `3=cistern lid`.
fn said_of(said: &str) -> Result<(usize, String), ToldError> {
    let form = || ToldError::Form { said: said.trim().to_owned() };
    let (number, topic) = said.split_once('=').ok_or_else(form)?;
    let line: usize = number.trim().parse().map_err(|_| form())?;
    let topic = topic.trim().to_lowercase();
    if !topics().any(|known| known == topic) {
        let hint = nearest(&topic, topics()).map_or_else(String::new, |near| format!(" (is '{near}' meant?)"));
        return Err(ToldError::NoTopic { topic, hint });
    }
    Ok((line, topic))
}

/// The number and the text of a line in `# line 3: Lid for tank`.
fn line_in_remark(remark: &str) -> Option<(usize, &str)> {
    let (number, text) = remark.trim_start_matches('#').trim().strip_prefix("line ")?.split_once(':')?;
    Some((number.trim().parse().ok()?, text.trim()))
}

/// Reads a file of what is said. Lines that are empty, begin with `#` or only `ask` say nothing; `# line 3: ...` tells
/// what text the line had of which something is said.
///
/// # Errors
/// [`ToldError`] with its place.
pub fn told_of_text(text: &str, quote: &[QuoteLine]) -> Result<Vec<Told>, ToldError> {
    let mut all = Vec::new();
    let mut texts: BTreeMap<usize, &str> = BTreeMap::new();
    for (number, line) in text.lines().enumerate() {
        let line = line.trim();
        if let Some((of, text)) = line.strip_prefix('#').and_then(line_in_remark) {
            texts.insert(of, text);
        }
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        let at = |said: ToldError| ToldError::At { in_file: number + 1, said: Box::new(said) };
        let (word, said) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
        let answer = match word.to_lowercase().as_str() {
            CONFIRM => Some(Answer::Is),
            DENY => Some(Answer::IsNot),
            ASK => None,
            _ => return Err(at(ToldError::Word { word: word.to_owned() })),
        };
        let (of, topic) = said_of(said).map_err(at)?;
        let read = match texts.get(&of) {
            Some(text) => Told::of(of, text, &topic, answer.unwrap_or(Answer::Is)),
            None => told(said, answer.unwrap_or(Answer::Is), quote).map_err(at)?,
        };
        all.extend(answer.map(|_| read));
    }
    Ok(following(&all, quote))
}

/// Sees that nothing is said both ways.
///
/// # Errors
/// [`ToldError::Both`].
pub fn agreeing(told: Vec<Told>) -> Result<Vec<Told>, ToldError> {
    let contrary = told.iter().find(|one| {
        let other = |other: &Told| {
            (other.line, &other.text, &other.topic) == (one.line, &one.text, &one.topic) && other.answer != one.answer
        };
        told.iter().any(other)
    });
    match contrary {
        Some(Told { line, topic, .. }) => Err(ToldError::Both { line: *line, topic: topic.clone() }),
        None => Ok(told),
    }
}

/// Every match of a comparison as text to fill in: what is confirmed stands so, all others ask.
#[must_use]
pub fn to_be_told(comparison: &Comparison, told: &[Told]) -> String {
    let mut text = "# Each line of the quote, and what it seems to be about by its words.\n\
                    # Write confirm instead of ask where that is right, and deny where it is not.\n\
                    # Leave the remarks with the lines' own words: by them a line is found again in a changed quote.\n"
        .to_owned();
    let mut groups: Vec<(usize, &str, String)> = Vec::new();
    for compared in &comparison.topics {
        for Match { line, text, why, confirmed } in &compared.matches {
            let topic = compared.topic;
            let said = if *confirmed {
                format!("{CONFIRM} {line}={topic}\n")
            } else {
                format!("{ASK} {line}={topic}\n#   {why}\n")
            };
            groups.push((*line, text, said));
        }
    }
    for QuoteLine { number, text } in &comparison.not_understood {
        groups.push((*number, text, format!("#   No words of it were known: {CONFIRM} {number}=...\n")));
    }
    for SetAside { line: QuoteLine { number, text }, why } in &comparison.set_aside {
        groups.push((*number, text, format!("#   {why}. If it is about a thing after all: {CONFIRM} {number}=...\n")));
    }
    let is_there = |told: &Told| groups.iter().any(|(line, text, _)| *line == told.line && plain(text) == told.text);
    let (there, gone): (Vec<&Told>, Vec<&Told>) = told.iter().partition(|told| is_there(told));
    // What is confirmed of a thing stands at its match.
    let is_shown = |told: &&&Told| told.answer == Answer::Is && !NO_THING.contains(&told.topic.as_str());
    let unshown = there.iter().filter(|told| !is_shown(told));
    groups.extend(unshown.map(|told| (told.line, told.text.as_str(), told.as_said())));
    groups.sort_by_key(|(line, ..)| *line);
    let mut last = None;
    for (line, words, said) in groups {
        if last != Some(line) {
            text.push_str(&format!("\n# line {line}: {words}\n"));
            last = Some(line);
        }
        text.push_str(&said);
    }
    if !gone.is_empty() {
        text.push_str("\n# No longer in the quote\n");
    }
    gone.iter().for_each(|told| text.push_str(&format!("# line {}: {}\n{}", told.line, told.text, told.as_said())));
    text
}

#[cfg(test)]
mod tests {
    use super::super::lines_of_text;
    use super::*;

    fn quote() -> Vec<QuoteLine> {
        lines_of_text("50 gal cistern\n\nlid\n")
    }

    #[test]
    fn what_is_said_is_read_back() {
        let text = "# a remark\n\nconfirm 1=cistern\nDENY 3 = Cistern Lid\nask 1=cistern jacket\n";
        let told = told_of_text(text, &quote()).expect("it reads");
        let said: Vec<(usize, &str, Answer)> =
            told.iter().map(|told| (told.line, told.topic.as_str(), told.answer)).collect();
        assert_eq!(said, [(1, "cistern", Answer::Is), (3, "cistern lid", Answer::IsNot)]);
    }

    #[test]
    fn what_is_said_follows_the_text_of_its_line() {
        let text = "# line 1: 50 gal cistern\nconfirm 1=cistern\n\n# line 3: lid\ndeny 3=cistern lid\n";
        let now = |quote: &str| -> Vec<(usize, String, bool)> {
            let quote = lines_of_text(quote);
            let told = told_of_text(text, &quote).expect("it reads");
            told.into_iter().map(|told| (told.line, told.text.clone(), told.stands_in(&quote))).collect()
        };
        let (cistern, lid) = ("50 gal cistern".to_owned(), "lid".to_owned());
        assert_eq!(now("50 gal cistern\n\nlid\n"), [(1, cistern.clone(), true), (3, lid.clone(), true)]);
        assert_eq!(now("jacket\n  50  gal cistern \nlid\n"), [(2, cistern.clone(), true), (3, lid.clone(), true)]);
        // One word is another: only what was said of that line is let go.
        assert_eq!(now("40 gal cistern\nlid\n"), [(1, cistern, false), (2, lid, true)]);
    }

    #[test]
    fn of_two_lines_with_the_same_text_each_keeps_what_is_said_of_it() {
        let quote = lines_of_text("lid\njacket\nlid\n");
        let told = [Told::of(1, "lid", "cistern lid", Answer::Is), Told::of(3, "lid", "cistern lid", Answer::IsNot)];
        assert_eq!(following(&told, &quote), told);
        let moved: Vec<usize> =
            following(&told, &lines_of_text("vent\nlid\njacket\nlid\n")).iter().map(|told| told.line).collect();
        assert_eq!(moved, [2, 4]);
    }

    #[test]
    fn what_cannot_be_meant_is_said_with_its_place() {
        for (text, expected) in [
            ("confirm 2=cistern", "line 1: the quote has no line 2"),
            ("\nconfirm cistern", "line 2: 'cistern' is not understood; write the number"),
            ("yes 1=cistern", "line 1: 'yes' is not understood; a line begins with"),
            ("confirm 1=cistren", "(is 'cistern' meant?)"),
            ("confirm 1=", "'' is nothing that a line may be about"),
            ("confirm", "is not understood"),
        ] {
            let error = told_of_text(text, &quote()).expect_err(text).to_string();
            assert!(error.contains(expected), "{text}: {error}");
        }
    }

    #[test]
    fn nothing_is_said_both_ways() {
        let both = told_of_text("confirm 1=cistern\ndeny 1=cistern\n", &quote()).expect("it reads");
        assert_eq!(agreeing(both), Err(ToldError::Both { line: 1, topic: "cistern".to_owned() }));
    }
}
