//! `report`: what was checked and found, as a document to hand over.

use std::path::PathBuf;
use std::str::FromStr;

use clap::{Arg, ArgMatches, value_parser};

use super::page::{Page, paragraph};
use super::{Command, EXIT_SOUND, EXIT_UNUSABLE, counts_line, profile, read};
use crate::file;
use crate::finding::Findings;
use crate::layout::Layout;
use crate::measure::Site;
use crate::rules::{Profile, Voice};
use crate::scene::{self, Marks, Theme};
use crate::sheet::report::{Document, html, markdown, report};
use crate::sheet::{self, Paper, Sheet, SheetError, SheetScale};

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
        out.help("Where the report goes: a name that ends in .md, .html or .pdf"),
        reading.default_value("trade").help("For whom the words are: trade, teaching or plain"),
        profile::argument(),
    ]
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
    let path = matches.get_one::<PathBuf>("FILE").expect("it is asked for");
    let target = matches.get_one::<Target>("out").expect("it is asked for");
    let voice = *matches.get_one::<Voice>("reading").expect("it has a default");
    let Some(asked) = profile::asked(matches, page) else { return EXIT_UNUSABLE };
    let Some(layout) = read(path, page) else { return EXIT_UNUSABLE };
    let Some(profile) = asked.of(path, &layout, page) else { return EXIT_UNUSABLE };
    let site = Site::of(&layout);
    let findings = Findings::under(&site, &profile);
    let document = report(&site, &profile, &findings, voice);
    let bytes = match target.kind {
        Kind::Markdown => Ok(markdown(&document).into_bytes()),
        Kind::Html => Ok(html(&document).into_bytes()),
        Kind::Pdf => with_drawing(&layout, &site, &profile, &findings, &document),
    };
    let bytes = bytes.map_err(|error| error.to_string());
    match bytes.and_then(|bytes| file::hand_over(&target.path, &bytes).map_err(|error| error.to_string())) {
        Ok(()) => EXIT_SOUND,
        Err(complaint) => {
            page.complain(&paragraph("", &complaint));
            EXIT_UNUSABLE
        }
    }
}

/// The report as PDF, with the drawing before it; its marks lead to their entries.
fn with_drawing(
    layout: &Layout,
    site: &Site<'_>,
    profile: &Profile,
    findings: &Findings,
    document: &Document,
) -> Result<Vec<u8>, SheetError> {
    let mut scene = scene::draw(site, findings, &Marks::default());
    scene::draw_dimensions(&mut scene, site);
    let sheet = Sheet {
        theme: Theme::light().clone(),
        scale: SheetScale::Fit,
        paper: Paper::A4,
        heading: layout.heading.clone(),
        counts: counts_line(findings.counts()),
        judged_by: profile.judged_by(),
    };
    sheet::pdf_with(&scene, &sheet, document)
}
