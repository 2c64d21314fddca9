//! A quote that is set against a layout, and what is said of its lines, as they are given on the command line.

use std::path::{Path, PathBuf};

use clap::{Arg, ArgAction, ArgMatches, value_parser};

use super::page::{Page, harmless, paragraph};
use crate::file;
use crate::takeoff::quote::{Answer, QuoteLine, Told, agreeing, lines_of_csv, lines_of_text, told, told_of_text};

pub(super) fn arguments() -> Vec<Arg> {
    let file = |name: &'static str, help: &'static str| {
        Arg::new(name).long(name).value_name("FILE").value_parser(value_parser!(PathBuf)).help(help)
    };
    let said = |name: &'static str, help: &'static str| {
        Arg::new(name).long(name).value_name("N=TOPIC").action(ArgAction::Append).requires("quote").help(help)
    };
    vec![
        file("quote", "A quote, as plain text or as a .csv, to set against the list and the rules"),
        said("confirm", "Says that line N of the quote is about TOPIC, such as 3=cistern lid; may be given again"),
        said("deny", "Says that line N of the quote is not about TOPIC; may be given again"),
        file("confirmations", "A file of what is said of the quote's lines: confirm N=TOPIC or deny N=TOPIC in each")
            .requires("quote"),
    ]
}

/// The lines of the quote, none without one, and what is said of them.
///
/// # Errors
/// What is wrong with a file, or with what is said.
pub(super) fn quoted(matches: &ArgMatches, page: &mut Page<'_>) -> Result<(Vec<QuoteLine>, Vec<Told>), String> {
    let quote = matches.get_one::<PathBuf>("quote").map(|path| quote_lines(path)).transpose()?.unwrap_or_default();
    let told = all_told(matches, &quote)?;
    for gone in told.iter().filter(|told| !told.stands_in(&quote)) {
        let words = format!("what is said of '{}' is left: the quote has no such line any more", harmless(&gone.text));
        page.complain(&paragraph("", &words));
    }
    Ok((quote, told))
}

/// What is said of the quote's lines, in a file and on the command line.
fn all_told(matches: &ArgMatches, quote: &[QuoteLine]) -> Result<Vec<Told>, String> {
    let mut all = Vec::new();
    if let Some(path) = matches.get_one::<PathBuf>("confirmations") {
        let text = text_of(path, "confirmations")?;
        all = told_of_text(&text, quote)
            .map_err(|error| format!("{}: {error}", harmless(&path.display().to_string())))?;
    }
    for (name, answer) in [("confirm", Answer::Is), ("deny", Answer::IsNot)] {
        for said in matches.get_many::<String>(name).into_iter().flatten() {
            all.push(told(said, answer, quote).map_err(|error| format!("--{name}: {error}"))?);
        }
    }
    agreeing(all).map_err(|error| error.to_string())
}

/// A short text in a file.
///
/// # Errors
/// Why it cannot be read; `what` is what it should be.
pub(super) fn text_of(path: &Path, what: &str) -> Result<String, String> {
    file::short_text(path).map_err(|error| format!("{}: the {what}: {error}", harmless(&path.display().to_string())))
}

fn quote_lines(path: &Path) -> Result<Vec<QuoteLine>, String> {
    let text = text_of(path, "quote")?;
    let is_csv = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
    let lines = if is_csv {
        lines_of_csv(&text).map_err(|error| format!("{}: {error}; save it as CSV again", path.display()))?
    } else {
        lines_of_text(&text)
    };
    if lines.is_empty() {
        return Err(format!("{}: there is no line in it with words", path.display()));
    }
    Ok(lines)
}
