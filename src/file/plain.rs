//! What the RON reader complains of, in plain words with a remedy.

use crate::spelling::did_you_mean;
use std::ops::Range;

use ron::error::{Error, Position, SpannedError};

use super::fault::{Place, ReadError};
use super::locate::subject_of_group;
use super::tokens::tokens;

/// What is wrong, and what to do.
struct Words {
    what: String,
    remedy: String,
}

/// The fault that a reader's error tells of.
pub(super) fn fault(error: &SpannedError, text: &str, name: &str) -> ReadError {
    let bytes = bytes_of(error, text);
    let pointed_at = text.get(bytes.clone()).unwrap_or_default();
    // A word that ends with the file is what is left of a longer one, and no fault of its own.
    let is_cut_off = bytes.end >= text.trim_end().len() && error.code != Error::TrailingCharacters;
    let code = if is_cut_off { &Error::Eof } else { &error.code };
    let Words { what, remedy } = words(code, pointed_at, name);
    ReadError::Content { place: Place::of(name, text, bytes), what, remedy }
}

/// Where the format is stated, or should be.
pub(super) fn format_place(text: &str, name: &str) -> Place {
    let stated = tokens(text).skip_while(|token| !token.is("format")).nth(2);
    let token = stated.or_else(|| tokens(text).next());
    token.map_or_else(|| Place::whole(name), |token| Place::of(name, text, token.start..token.start + token.text.len()))
}

fn words(code: &Error, pointed_at: &str, name: &str) -> Words {
    let say = |what: String, remedy: &str| Words { what, remedy: remedy.to_owned() };
    match code {
        Error::Eof | Error::ExpectedStringEnd | Error::UnclosedBlockComment => Words {
            what: "the file stops in the middle".to_owned(),
            remedy: format!(
                "it was cut off or a bracket or quote is never closed: close it, or go back to the version before, {name}~"
            ),
        },
        Error::NoSuchStructField { expected, found, outer } => Words {
            what: format!("{} no field '{found}'", subject(outer.as_deref(), "this has")),
            remedy: choice(found, expected),
        },
        Error::NoSuchEnumVariant { expected, found, outer } => Words {
            what: match outer {
                Some(outer) => format!("'{found}' is not a known {}", spoken(outer)),
                None => format!("'{found}' is not known here"),
            },
            remedy: choice(found, expected),
        },
        Error::MissingStructField { field, outer } => Words {
            what: format!("{} no '{field}', which it needs", subject(outer.as_deref(), "this has")),
            remedy: format!("add {field}: with its value, and a comma"),
        },
        Error::DuplicateStructField { field, .. } => {
            say(format!("'{field}' is stated twice"), "leave one of the two out")
        }
        Error::IntegerOutOfBounds => {
            say("this number is too large or too small here".to_owned(), "write a whole number from 0 to 4294967295")
        }
        // A whole number was read up to its point.
        Error::ExpectedComma | Error::ExpectedStructLikeEnd if pointed_at.starts_with('.') => {
            say("here should stand a whole number".to_owned(), "leave the decimals out")
        }
        Error::ExpectedDifferentStructName { .. } | Error::ExpectedNamedStructLike(_) => {
            say("here should stand a bracket that opens".to_owned(), "begin the values of a part, or a layout, with (")
        }
        Error::ExceededRecursionLimit => {
            say("brackets are nested far deeper than in any layout".to_owned(), "take the surplus brackets out")
        }
        Error::TrailingCharacters => say(
            "something follows behind the end of the layout".to_owned(),
            "take it out, or look for a bracket that closes too early",
        ),
        Error::InvalidEscape(_) => {
            say("a backslash in a text begins something that is not known".to_owned(), "write two backslashes for one")
        }
        // Refused by a quantity or an id, which say themselves what they take.
        Error::Message(message) => say(message.clone(), "correct it"),
        _ => match wanted(code) {
            Some((wanted, remedy)) if pointed_at.is_empty() => say(format!("here should stand {wanted}"), remedy),
            Some((wanted, remedy)) => say(format!("here should stand {wanted}, not {}", shortened(pointed_at)), remedy),
            None => say(lower(&code.to_string()), "correct the text here"),
        },
    }
}

/// What should stand where something else stands, and how to write it.
fn wanted(code: &Error) -> Option<(String, &'static str)> {
    let plain = |wanted: &str, remedy| Some((wanted.to_owned(), remedy));
    match code {
        Error::ExpectedFloat | Error::FloatUnderscore => plain("a number", "write it with digits, such as 450 or 12.5"),
        Error::ExpectedInteger | Error::InvalidIntegerDigit { .. } | Error::UnderscoreAtBeginning => {
            plain("a whole number", "write it with digits, such as 4")
        }
        Error::ExpectedBoolean => plain("true or false", "write one of the two, without quotes"),
        Error::ExpectedString => plain("a text in quotes", "put it between two \" signs"),
        Error::ExpectedArray => plain("a list", "write it in square brackets, such as [a, b], or [] for none"),
        Error::ExpectedArrayEnd => plain("a comma or ]", "put a comma between the entries, or close the list"),
        Error::ExpectedComma => {
            plain("a comma", "put a comma between this and what comes before it, or close a quote that was left open")
        }
        Error::ExpectedMapColon => plain("a colon", "write a field as name: value"),
        Error::ExpectedStructLike | Error::ExpectedMap => {
            plain("a bracket that opens", "write the value in round brackets")
        }
        Error::ExpectedStructLikeEnd | Error::ExpectedMapEnd | Error::ExpectedOptionEnd => {
            plain("a comma or a bracket that closes", "put a comma between the values, or close the bracket")
        }
        Error::ExpectedIdentifier => plain("a name", "write a word without quotes"),
        Error::InvalidValueForType { expected, .. } | Error::ExpectedDifferentLength { expected, .. } => {
            let expected = match expected.as_str() {
                "f64" | "f32" => "a number",
                "u32" | "u64" | "i64" => "a whole number, not negative",
                "a tuple of size 2" => "a point (x, z) of two numbers",
                other => other,
            };
            let variant = expected.rsplit_once("::").map(|(_, variant)| variant.replace("elements", "values"));
            plain(&variant.unwrap_or_else(|| expected.to_owned()), "write all values in its brackets")
        }
        _ => None,
    }
}

/// "Did you mean", and everything that would be taken.
fn choice(found: &str, expected: &[&str]) -> String {
    let all = expected.join(", ");
    match did_you_mean(found, expected.iter().copied()) {
        Some(question) => format!("{question} It takes {all}"),
        None => format!("it takes {all}"),
    }
}

fn subject(outer: Option<&str>, otherwise: &str) -> String {
    outer.map_or_else(|| otherwise.to_owned(), |outer| format!("the {} has", spoken(outer)))
}

/// A type's name as people say it.
fn spoken(type_name: &str) -> String {
    match type_name {
        "InLine" => return "fitting".to_owned(),
        "InLineKind" => return "kind of fitting".to_owned(),
        "Lagging" => return "stretch of insulation".to_owned(),
        "End" => return "end of a run".to_owned(),
        _ => {}
    }
    let mut words = String::new();
    for letter in type_name.chars() {
        if letter.is_uppercase() && !words.is_empty() {
            words.push(' ');
        }
        words.extend(letter.to_lowercase());
    }
    words
}

fn shortened(text: &str) -> String {
    const ENOUGH: usize = 30;
    let line = text.lines().next().unwrap_or_default();
    if line.chars().count() <= ENOUGH {
        return format!("'{line}'");
    }
    format!("'{}…'", line.chars().take(ENOUGH).collect::<String>())
}

fn lower(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// The bytes that an error is about: as the reader marked them, or else the word that comes next.
fn bytes_of(error: &SpannedError, text: &str) -> Range<usize> {
    let start = byte_at(text, error.span.start);
    let end = byte_at(text, error.span.end).max(start);
    match error.code {
        // The reader stands behind the part by now; its id, or else its beginning, tells more.
        Error::MissingStructField { .. } => subject_of_group(text, start),
        _ if !text[start..end].trim().is_empty() => start..end,
        _ => tokens(&text[start..])
            .next()
            .map_or(start..end, |token| start + token.start..start + token.start + token.text.len()),
    }
}

fn byte_at(text: &str, position: Position) -> usize {
    let mut line_start = 0;
    for _ in 1..position.line {
        match text[line_start..].find('\n') {
            Some(newline) => line_start += newline + 1,
            None => return text.len(),
        }
    }
    let column = position.col.saturating_sub(1);
    text[line_start..].char_indices().nth(column).map_or(text.len(), |(index, _)| line_start + index)
}
