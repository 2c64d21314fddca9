//! What someone has said of the lines of a quote, as text: `confirm 3=cistern lid`, a line for each.
//!
//! A list of what is still to be said is written in the same words, so that it can be filled in and read back.

use thiserror::Error;

use super::{Answer, Comparison, QuoteLine, Told, topics};
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

/// Reads what is said of one line: `3=cistern lid`.
///
/// # Errors
/// [`ToldError`] when it has another form, the quote has no such line, or there is no such topic.
pub fn told(said: &str, answer: Answer, quote: &[QuoteLine]) -> Result<Told, ToldError> {
    let form = || ToldError::Form { said: said.trim().to_owned() };
    let (number, topic) = said.split_once('=').ok_or_else(form)?;
    let line: usize = number.trim().parse().map_err(|_| form())?;
    let topic = topic.trim().to_lowercase();
    if !quote.iter().any(|quoted| quoted.number == line) {
        return Err(ToldError::NoLine { line });
    }
    if !topics().any(|known| known == topic) {
        let hint = nearest(&topic, topics()).map_or_else(String::new, |near| format!(" (is '{near}' meant?)"));
        return Err(ToldError::NoTopic { topic, hint });
    }
    Ok(Told { line, topic, answer })
}

/// Reads a file of what is said. Lines that are empty, begin with `#` or only `ask` say nothing.
///
/// # Errors
/// [`ToldError`] with its place.
pub fn told_of_text(text: &str, quote: &[QuoteLine]) -> Result<Vec<Told>, ToldError> {
    let mut all = Vec::new();
    for (number, line) in text.lines().enumerate() {
        let line = line.trim();
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
        let read = told(said, answer.unwrap_or(Answer::Is), quote).map_err(at)?;
        all.extend(answer.map(|answer| Told { answer, ..read }));
    }
    Ok(all)
}

/// Sees that nothing is said both ways.
///
/// # Errors
/// [`ToldError::Both`].
pub fn agreeing(told: Vec<Told>) -> Result<Vec<Told>, ToldError> {
    let contrary = told.iter().find(|one| {
        let other = |other: &Told| (other.line, &other.topic) == (one.line, &one.topic) && other.answer != one.answer;
        told.iter().any(other)
    });
    match contrary {
        Some(Told { line, topic, .. }) => Err(ToldError::Both { line: *line, topic: topic.clone() }),
        None => Ok(told),
    }
}

/// Every match of a comparison as text to fill in: what is confirmed stands so, all others ask.
#[must_use]
pub fn to_be_told(comparison: &Comparison, denied: &[Told]) -> String {
    let mut text = "# Each line of the quote, and what it seems to be about by its words.\n\
                    # Write confirm instead of ask where that is right, and deny where it is not.\n"
        .to_owned();
    let mut matched: Vec<(usize, &str, &str, &str, &str)> = Vec::new();
    for compared in &comparison.topics {
        for found in &compared.matches {
            let word = if found.confirmed { CONFIRM } else { ASK };
            matched.push((found.line, &found.text, word, compared.topic, &found.why));
        }
    }
    matched.sort_by_key(|(line, ..)| *line);
    let mut last = None;
    for (line, words, word, topic, why) in matched {
        if last != Some(line) {
            text.push_str(&format!("\n# line {line}: {words}\n"));
            last = Some(line);
        }
        text.push_str(&format!("{word} {line}={topic}\n"));
        if word == ASK {
            text.push_str(&format!("#   {why}\n"));
        }
    }
    for line in &comparison.not_understood {
        text.push_str(&format!(
            "\n# line {}: {}\n#   No words of it were known: confirm {}=...\n",
            line.number, line.text, line.number
        ));
    }
    let denied: Vec<&Told> = denied.iter().filter(|told| told.answer == Answer::IsNot).collect();
    if !denied.is_empty() {
        text.push_str("\n# Denied\n");
    }
    denied.iter().for_each(|told| text.push_str(&format!("{DENY} {}={}\n", told.line, told.topic)));
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
