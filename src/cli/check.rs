//! `check`: what is wrong with a layout, as text or as JSON.

use std::io::{self, IsTerminal};
use std::path::{Path, PathBuf};

use clap::{Arg, ArgAction, ArgMatches, value_parser};
use indicatif::{ProgressBar, ProgressStyle};

use super::abreast::each_in_order;
use super::page::{Page, harmless, paragraph};
use super::profile::Asked;
use super::{Command, EXIT_BREACH, EXIT_SOUND, EXIT_UNUSABLE, arguments, folders, profile, read};
use crate::file::ENDING;
use crate::finding::{FileReport, Finding, Findings};
use crate::measure::Site;
use crate::rules::{Verdict, Voice};

pub(super) const COMMAND: Command = Command {
    name: "check",
    about: "Says what in a layout breaches a rule, is too near to tell, or is not known",
    arguments,
    run,
};

fn arguments() -> Vec<Arg> {
    vec![
        Arg::new("FILE")
            .required(true)
            .num_args(1..)
            .value_parser(value_parser!(PathBuf))
            .help("Layouts, or folders of layouts"),
        Arg::new("json").long("json").action(ArgAction::SetTrue).help("Prints one JSON object per file"),
        arguments::reading(),
        profile::argument(),
        Arg::new("all").long("all").action(ArgAction::SetTrue).help("Lists what is met as well"),
    ]
}

/// How the findings of a file are printed.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Form {
    Json,
    /// What is not met, or everything.
    Text(Listed),
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Listed {
    NotMet,
    Everything,
}

fn run(matches: &ArgMatches, page: &mut Page<'_>) -> u8 {
    let voice = arguments::voice(matches);
    let form = match (matches.get_flag("json"), matches.get_flag("all")) {
        (true, _) => Form::Json,
        (false, true) => Form::Text(Listed::Everything),
        (false, false) => Form::Text(Listed::NotMet),
    };
    let Some(asked) = profile::asked(matches, page) else { return EXIT_UNUSABLE };
    let named: Vec<PathBuf> = matches.get_many("FILE").expect("at least one is asked for").cloned().collect();
    let progress = progress(&named);
    let mut exit = None;
    each_in_order(
        folders::layouts(&named),
        |path| Checked::of(path, &asked, form, voice),
        |checked| {
            progress.inc(1);
            if exit.is_some() && form != Form::Json {
                page.print("\n");
            }
            page.pass_on(&checked.printed);
            page.complain(&checked.complaint);
            exit = exit.max(Some(checked.exit));
        },
    );
    progress.finish_and_clear();
    exit.unwrap_or_else(|| {
        page.complain(&format!(
            "there is no layout in what was named; layouts are files whose names end in {ENDING}\n"
        ));
        EXIT_UNUSABLE
    })
}

/// A bar on a terminal where there is more than one file to wait for; it draws nothing elsewhere.
fn progress(named: &[PathBuf]) -> ProgressBar {
    if !io::stderr().is_terminal() || io::stdout().is_terminal() {
        return ProgressBar::hidden();
    }
    match folders::layouts(named).count() {
        0 | 1 => ProgressBar::hidden(),
        files => ProgressBar::new(files as u64).with_style(
            ProgressStyle::with_template("{pos} of {len} checked {bar:40}").expect("the template is right"),
        ),
    }
}

/// What is printed about one file.
struct Checked {
    printed: Vec<u8>,
    complaint: String,
    exit: u8,
}

impl Checked {
    fn of(path: Result<PathBuf, String>, asked: &Asked, form: Form, voice: Voice) -> Self {
        let (mut printed, mut complaint) = (Vec::new(), Vec::new());
        let mut page = Page::new(&mut printed, &mut complaint);
        let exit = match path {
            Ok(path) => check(&path, asked, form, voice, &mut page),
            Err(reason) => page.unusable(&reason),
        };
        let complaint = String::from_utf8(complaint).expect("complaints are text");
        Self { printed, complaint, exit }
    }
}

fn check(path: &Path, asked: &Asked, form: Form, voice: Voice, page: &mut Page<'_>) -> u8 {
    let Some(layout) = read(path, page) else { return EXIT_UNUSABLE };
    let Some(profile) = asked.of(path, &layout, page) else { return EXIT_UNUSABLE };
    let site = Site::of(&layout);
    let findings = Findings::under(&site, &profile);
    let name = path.display().to_string();
    match form {
        Form::Json => {
            page.print_json(&FileReport::new(&name, &site, &profile, &findings, voice));
        }
        Form::Text(listed) => {
            page.print(&paragraph(&format!("{}: ", harmless(&name)), &layout.heading.title));
            page.print(&paragraph("judged by: ", &profile.name));
            for difference in profile.differences() {
                page.print(&paragraph("  differs: ", &difference));
            }
            page.print(&format!("{}\n", findings.counts().words()));
            let is_listed =
                |finding: &&Finding| listed == Listed::Everything || finding.judged.verdict != Verdict::Meets;
            for finding in findings.iter().filter(is_listed) {
                page.print(&in_words(finding, voice));
            }
        }
    }
    if findings.breaks_a_must() { EXIT_BREACH } else { EXIT_SOUND }
}

/// A finding as a block of lines.
fn in_words(finding: &Finding, voice: Voice) -> String {
    let rule = finding.rule;
    let verdict = finding.judged.verdict.words().to_uppercase();
    let mut block = format!("\n{verdict} ({}) {} [{}]\n", finding.weight.words(), finding.title(voice), rule.id);
    block.push_str(&paragraph("  Here:   ", &finding.words(Voice::Trade)));
    if voice != Voice::Trade {
        // The other readings speak of the rule; the numbers of this layout stand in the trade's.
        block.push_str(&paragraph(&format!("  {:<8}", format!("{}:", finding.before_why())), &finding.words(voice)));
    }
    // What is unknown says in its words already what to find out.
    let remedies = if finding.judged.verdict == Verdict::Unknown { Vec::new() } else { finding.remedies() };
    for (number, remedy) in remedies.iter().enumerate() {
        block.push_str(&paragraph(if number == 0 { "  Remedy: " } else { "      or: " }, remedy));
    }
    block.push_str(&paragraph("  Source: ", &finding.authority()));
    for other in rule.others_say {
        block.push_str(&paragraph("  Others: ", &format!("{}: {}", other.words, other.source)));
    }
    if let Some(note) = &finding.note {
        block.push_str(&paragraph("  Local:  ", note));
    }
    block
}
