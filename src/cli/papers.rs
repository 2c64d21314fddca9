//! `manual`, `completions` and `licences`: what goes with the program, the first two made from the list of commands.

use clap::{Arg, ArgMatches, value_parser};
use clap_complete::Shell;
use clap_mangen::Man;

use super::page::Page;
use super::{Command, EXIT_SOUND, program};
use crate::session::licences;

pub(super) const MANUAL: Command =
    Command { name: "manual", about: "Prints the manual page, for 'man -l -'", arguments: Vec::new, run: manual };

pub(super) const COMPLETIONS: Command = Command {
    name: "completions",
    about: "Prints the script by which a shell completes commands and options",
    arguments: || {
        let shell = Arg::new("SHELL").required(true).value_parser(value_parser!(Shell));
        vec![shell.help("Whose script")]
    },
    run: completions,
};

pub(super) const LICENCES: Command = Command {
    name: "licences",
    about: "Names every crate that the program is made with, and its licence",
    arguments: Vec::new,
    run: |_, page| {
        page.print(licences::OF_CRATES);
        EXIT_SOUND
    },
};

fn manual(_: &ArgMatches, page: &mut Page<'_>) -> u8 {
    let mut roff = Vec::new();
    let written = Man::new(program()).render(&mut roff);
    written.expect("memory takes what is written to it");
    page.print(&String::from_utf8_lossy(&roff));
    EXIT_SOUND
}

fn completions(matches: &ArgMatches, page: &mut Page<'_>) -> u8 {
    let shell = *matches.get_one::<Shell>("SHELL").expect("it is asked for");
    let mut script = Vec::new();
    let mut program = program().no_binary_name(false);
    clap_complete::generate(shell, &mut program, "loftwright", &mut script);
    page.print(&String::from_utf8_lossy(&script));
    EXIT_SOUND
}
