//! `report`: what was checked and found, as a document to hand over.

use std::path::PathBuf;
use std::str::FromStr;

use clap::{Arg, ArgMatches, value_parser};

use super::page::{Page, paragraph};
use super::{Command, EXIT_SOUND, EXIT_UNUSABLE, profile, read};
use crate::file;
use crate::finding::Findings;
use crate::measure::Site;
use crate::rules::Voice;
use crate::sheet::report::{Document, html, markdown, report};

pub(super) const COMMAND: Command = Command {
    name: "report",
    about: "Writes what was checked and found, and what to check on site; exit code 0 whatever was found",
    arguments,
    run,
};

fn arguments() -> Vec<Arg> {
    let out = Arg::new("out").long("out").value_name("REPORT").required(true).value_parser(ending);
    let reading = Arg::new("reading").long("reading").value_name("READING").value_parser(Voice::from_str);
    vec![
        Arg::new("FILE").required(true).value_parser(value_parser!(PathBuf)).help("The layout"),
        out.help("Where the report goes: a name that ends in .md or .html"),
        reading.default_value("trade").help("For whom the words are: trade, teaching or plain"),
        profile::argument(),
    ]
}

/// Where a report goes, and how it is written.
#[derive(Clone)]
struct Target {
    path: PathBuf,
    write: fn(&Document) -> String,
}

fn ending(text: &str) -> Result<Target, String> {
    let path = PathBuf::from(text);
    let ending = path.extension().map(|ending| ending.to_ascii_lowercase());
    let write = match ending.as_ref().and_then(|ending| ending.to_str()) {
        Some("md") => markdown,
        Some("html") => html,
        _ => return Err("the name has to end in .md or .html".to_owned()),
    };
    Ok(Target { path, write })
}

fn run(matches: &ArgMatches, page: &mut Page<'_>) -> u8 {
    let path = matches.get_one::<PathBuf>("FILE").expect("it is asked for");
    let target = matches.get_one::<Target>("out").expect("it is asked for");
    let voice = *matches.get_one::<Voice>("reading").expect("it has a default");
    let Some(asked) = profile::asked(matches, page) else { return EXIT_UNUSABLE };
    let Some(layout) = read(path, page) else { return EXIT_UNUSABLE };
    let Some(profile) = asked.of(path, &layout, page) else { return EXIT_UNUSABLE };
    let site = Site::of(&layout);
    let findings = Findings::under(&site, &profile);
    let text = (target.write)(&report(&site, &profile, &findings, voice));
    match file::hand_over(&target.path, text.as_bytes()) {
        Ok(()) => EXIT_SOUND,
        Err(error) => {
            page.complain(&paragraph("", &error.to_string()));
            EXIT_UNUSABLE
        }
    }
}
