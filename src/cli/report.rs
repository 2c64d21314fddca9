//! `report`: what was checked and found, as a document to hand over.

use std::path::PathBuf;

use clap::{Arg, ArgMatches};

use super::page::Page;
use super::quoted::{self, quoted};
use super::{Command, EXIT_SOUND, EXIT_UNUSABLE, arguments, profile, read};
use crate::file;
use crate::finding::Findings;
use crate::measure::Site;
use crate::sheet::pages::{Pages, Terms};
use crate::sheet::report::{html, markdown, report_on_quote};
use crate::sheet::{Paper, SheetScale};
use crate::takeoff::{Bill, Reckoning};

pub(super) const COMMAND: Command = Command {
    name: "report",
    about: "Writes what was checked and found, and what to check on site; exit code 0 whatever was found",
    arguments,
    run,
};

fn arguments() -> Vec<Arg> {
    let out = Arg::new("out").long("out").value_name("REPORT").required(true).value_parser(ending);
    vec![
        arguments::layout(),
        out.help("Where the report goes: a name that ends in .md, .html or .pdf"),
        arguments::reading(),
        profile::argument(),
    ]
    .into_iter()
    .chain(quoted::arguments())
    .collect()
}

#[derive(Clone, Copy)]
enum Kind {
    Markdown,
    Html,
    Pdf,
}

/// Where a report goes, and as what.
#[derive(Clone)]
struct Target {
    path: PathBuf,
    kind: Kind,
}

fn ending(text: &str) -> Result<Target, String> {
    let path = PathBuf::from(text);
    let ending = path.extension().map(|ending| ending.to_ascii_lowercase());
    let kind = match ending.as_ref().and_then(|ending| ending.to_str()) {
        Some("md") => Kind::Markdown,
        Some("html") => Kind::Html,
        Some("pdf") => Kind::Pdf,
        _ => return Err("the name has to end in .md, .html or .pdf".to_owned()),
    };
    Ok(Target { path, kind })
}

fn run(matches: &ArgMatches, page: &mut Page<'_>) -> u8 {
    let path = arguments::path_of_layout(matches);
    let target = matches.get_one::<Target>("out").expect("it is asked for");
    let voice = arguments::voice(matches);
    let Some(asked) = profile::asked(matches, page) else { return EXIT_UNUSABLE };
    let (quote, told) = match quoted(matches, page) {
        Ok(quoted) => quoted,
        Err(complaint) => return page.unusable(&complaint),
    };
    let Some(layout) = read(path, page) else { return EXIT_UNUSABLE };
    let Some(profile) = asked.of(path, &layout, page) else { return EXIT_UNUSABLE };
    let site = Site::of(&layout);
    let findings = Findings::under(&site, &profile);
    let bill = Bill::of(&site, &findings, &Reckoning { quote, told, ..Reckoning::default() });
    let document = || report_on_quote(&site, &profile, &findings, voice, bill.quote.as_ref());
    let terms = Terms { paper: Paper::A4, scale: SheetScale::Fit, voice };
    let bytes = match target.kind {
        Kind::Markdown => Ok(markdown(&document()).into_bytes()),
        Kind::Html => Ok(html(&document()).into_bytes()),
        Kind::Pdf => Pages::of_report(&layout, &profile, terms, bill.quote.as_ref()).pdf(),
    };
    let bytes = bytes.map_err(|error| error.to_string());
    match bytes.and_then(|bytes| file::hand_over(&target.path, &bytes).map_err(|error| error.to_string())) {
        Ok(()) => EXIT_SOUND,
        Err(complaint) => page.unusable(&complaint),
    }
}
