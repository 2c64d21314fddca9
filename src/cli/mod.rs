//! The command line: one list of commands, from which parsing, help and tests are all made.

mod abreast;
mod arguments;
mod check;
mod compare;
mod draw;
mod flow;
mod folders;
mod frost;
mod lesson;
mod mend;
mod page;
mod papers;
mod profile;
mod quoted;
mod report;
mod rules;
mod start;
mod sum;
mod takeoff;
mod trial;

use std::ffi::OsString;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

use clap::{Arg, ArgMatches, value_parser};

use crate::file;
use crate::layout::Layout;
use crate::spelling::did_you_mean;
use page::{Page, paragraph};

/// Nothing is breached.
pub const EXIT_SOUND: u8 = 0;
/// A rule of weight `Must` is broken.
pub const EXIT_BREACH: u8 = 1;
/// The arguments or a file cannot be used.
pub const EXIT_UNUSABLE: u8 = 2;

/// A headless command.
pub struct Command {
    /// What one types.
    pub name: &'static str,
    /// What it does, in a line.
    pub about: &'static str,
    /// Its arguments.
    arguments: fn() -> Vec<Arg>,
    run: fn(&ArgMatches, &mut Page<'_>) -> u8,
}

/// Every headless command, in the order in which help lists them.
pub static COMMANDS: &[Command] = &[
    start::COMMAND,
    check::COMMAND,
    draw::COMMAND,
    report::COMMAND,
    takeoff::COMMAND,
    flow::COMMAND,
    trial::COMMAND,
    mend::COMMAND,
    compare::COMMAND,
    lesson::COMMAND,
    rules::COMMAND,
    sum::COMMAND,
    papers::MANUAL,
    papers::COMPLETIONS,
    papers::LICENCES,
];

/// What came of a command line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// It is done; this is the exit code.
    Exit(u8),
    /// It asks for the window.
    Window(Opening),
}

/// How the window is asked for.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Opening {
    /// The layout to open; the first example when there is none.
    pub file: Option<PathBuf>,
    /// Where to write down how long frames take.
    pub frames: Option<PathBuf>,
}

const FILE: &str = "FILE";
const FRAMES: &str = "frames";

/// Does what a command line asks, the program's own name left out.
pub fn run(
    arguments: impl IntoIterator<Item = impl Into<OsString>>,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> Outcome {
    let mut page = Page::new(out, err);
    let arguments: Vec<OsString> = arguments.into_iter().map(Into::into).collect();
    let outcome = match program().try_get_matches_from(&arguments) {
        Ok(matches) => obey(&matches, &mut page),
        Err(error) if error.use_stderr() => {
            page.complain(&misspelt_command(&arguments).unwrap_or_else(|| error.to_string()));
            Outcome::Exit(EXIT_UNUSABLE)
        }
        Err(help) => {
            page.print(&help.to_string());
            Outcome::Exit(EXIT_SOUND)
        }
    };
    match page.finish() {
        // Whoever read the output has seen enough of it; the verdict stands.
        Err(error) if error.kind() != ErrorKind::BrokenPipe => Outcome::Exit(EXIT_UNUSABLE),
        _ => outcome,
    }
}

/// The grammar of the command line.
fn program() -> clap::Command {
    let commands = COMMANDS
        .iter()
        .map(|command| clap::Command::new(command.name).about(command.about).args((command.arguments)()));
    clap::Command::new("loftwright")
        .about("Sets out gravity-fed water and marks what is too low, too near, too thin or unknown")
        .version(env!("CARGO_PKG_VERSION"))
        .no_binary_name(true)
        .disable_help_subcommand(true)
        .args_conflicts_with_subcommands(true)
        .arg(Arg::new(FILE).value_parser(value_parser!(PathBuf)).help("The layout to open in the window"))
        .arg(
            Arg::new(FRAMES)
                .long(FRAMES)
                .value_parser(value_parser!(PathBuf))
                .hide(true)
                .help("Where to write down how long the window's frames take"),
        )
        .subcommands(commands)
        .after_help(
            "Exit codes: 0 nothing breached, 1 a rule of weight 'must' breached, 2 unusable input or arguments.",
        )
}

fn obey(matches: &ArgMatches, page: &mut Page<'_>) -> Outcome {
    let Some((name, matches)) = matches.subcommand() else { return open(matches, page) };
    let command = COMMANDS.iter().find(|command| command.name == name);
    let command = command.expect("the grammar is made from the list of commands");
    Outcome::Exit((command.run)(matches, page))
}

/// Asks for the window, unless the file is a slip for a command.
fn open(matches: &ArgMatches, page: &mut Page<'_>) -> Outcome {
    let file: Option<&PathBuf> = matches.get_one(FILE);
    let slip = file.filter(|file| !file.exists()).and_then(|file| {
        let word = file.to_str()?;
        Some(not_a_command(word, Some(did_you_mean(word, command_names())?)))
    });
    match slip {
        Some(complaint) => {
            page.complain(&complaint);
            Outcome::Exit(EXIT_UNUSABLE)
        }
        None => Outcome::Window(Opening { file: file.cloned(), frames: matches.get_one(FRAMES).cloned() }),
    }
}

/// What to say when several words begin with one that is no command.
fn misspelt_command(arguments: &[OsString]) -> Option<String> {
    let [first, _, ..] = arguments else { return None };
    let word = first.to_str()?;
    let is_command = word.starts_with('-') || command_names().any(|name| name == word);
    (!is_command).then(|| not_a_command(word, did_you_mean(word, command_names())))
}

fn not_a_command(word: &str, question: Option<String>) -> String {
    let word = page::harmless(word);
    match question {
        Some(question) => format!("there is no command or file '{word}'; {question}\n"),
        None => {
            let names: Vec<&str> = command_names().collect();
            format!("there is no command '{word}'; the commands are {}\n", names.join(", "))
        }
    }
}

fn command_names() -> impl Iterator<Item = &'static str> {
    COMMANDS.iter().map(|command| command.name)
}

/// The layout in a file; a complaint, and none, when it is no layout.
fn read(path: &Path, page: &mut Page<'_>) -> Option<Layout> {
    file::read(path)
        .inspect_err(|error| {
            page.complain(&paragraph("", &error.to_string()));
            page.complain(&error.caret());
            page.complain("\n");
        })
        .ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_grammar_holds_together() {
        program().debug_assert();
    }
}
