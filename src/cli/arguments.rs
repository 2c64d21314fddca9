//! Arguments that several commands take, in one wording each.

use std::path::PathBuf;
use std::str::FromStr;

use clap::{Arg, ArgAction, ArgMatches, value_parser};

use crate::rules::Voice;

/// The one layout that a command is about.
pub(super) fn layout() -> Arg {
    Arg::new("FILE").required(true).value_parser(value_parser!(PathBuf)).help("The layout")
}

/// What was given as [`layout`].
pub(super) fn path_of_layout(matches: &ArgMatches) -> &PathBuf {
    matches.get_one("FILE").expect("it is asked for")
}

/// For whom a command writes.
pub(super) fn reading() -> Arg {
    Arg::new("reading")
        .long("reading")
        .value_name("READING")
        .value_parser(Voice::from_str)
        .default_value("trade")
        .help("For whom the words are: trade, teaching or plain")
}

/// What was given as [`reading`].
pub(super) fn voice(matches: &ArgMatches) -> Voice {
    *matches.get_one("reading").expect("it has a default")
}

/// Of every command that can print one JSON object in place of words.
pub(super) fn json() -> Arg {
    Arg::new("json").long("json").action(ArgAction::SetTrue).help("Prints one JSON object")
}
