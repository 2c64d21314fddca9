//! `lesson`: exercises with planted faults for a class, their marking, sums to practise, the course record.

mod make;
mod marking;
mod sums;

use std::path::{Path, PathBuf};

use clap::{Arg, ArgAction, ArgMatches, value_parser};

use super::page::Page;
use super::{Command, profile};
use crate::file;

pub(super) const COMMAND: Command = Command {
    name: "lesson",
    about: "Makes and marks exercises with planted faults, draws sums to practise, exports the course record",
    arguments,
    run,
};

const TO_DO: [&str; 5] = ["make", "faults", "mark", "sums", "record"];
/// More faults than this make no exercise.
const MOST_FAULTS: i64 = 10;

fn arguments() -> Vec<Arg> {
    let value = |name: &'static str, sign: &'static str| Arg::new(name).long(name).value_name(sign);
    let path = |name: &'static str, sign: &'static str| value(name, sign).value_parser(value_parser!(PathBuf));
    vec![
        Arg::new("TO-DO").required(true).value_parser(TO_DO).help(
            "make FILE --out DIR: worksheets, answer sheets and their key; faults FILE: the rules of which faults can be \
             planted; mark ANSWERS.csv --key KEY.ron; sums --topic T; record FILE: the course record as CSV",
        ),
        Arg::new("FILE")
            .value_parser(value_parser!(PathBuf))
            .help("The sound layout, the answers, or the course record"),
        value("faults", "N")
            .value_parser(value_parser!(u32).range(1..=MOST_FAULTS))
            .help("How many faults: one of each rule that is named, or else three, unless this says more or fewer"),
        value("near-misses", "N")
            .value_parser(value_parser!(u32).range(0..=MOST_FAULTS))
            .default_value("2")
            .help("How many things that are only just allowed"),
        value("seed", "S")
            .value_parser(value_parser!(u64))
            .default_value("1")
            .help("The same seed gives the same sheets"),
        path("out", "DIR").help("The folder for the sheets"),
        path("names", "NAMES.csv").help("One exercise for each name in it"),
        value("rule", "RULE,...")
            .action(ArgAction::Append)
            .value_delimiter(',')
            .help("Only faults of these rules; 'lesson faults FILE' lists those that can be planted"),
        value("weight", "WEIGHT").value_parser(["must", "should", "advice"]).help("Only faults of this weight"),
        value("topic", "TOPIC").help("Only faults of this chapter of the rules; with sums, what is practised"),
        value("paper", "PAPER")
            .value_parser(["a3", "a4"])
            .default_value("a3")
            .help("The paper of drawings: a3, which lies, or a4, which stands"),
        profile::argument(),
        path("key", "KEY.ron").help("The key to mark by"),
        path("record", "COURSE.ron").help("Adds what is marked to this course record"),
        value("count", "N").value_parser(value_parser!(u32).range(1..=100)).default_value("5").help("How many sums"),
        Arg::new("json").long("json").action(ArgAction::SetTrue).help("With mark, prints one JSON object"),
    ]
}

fn run(matches: &ArgMatches, page: &mut Page<'_>) -> u8 {
    let done = match matches.get_one::<String>("TO-DO").map(String::as_str) {
        Some("make") => make::run(matches, page),
        Some("faults") => make::list(matches, page),
        Some("mark") => marking::run(matches, page),
        Some("sums") => sums::run(matches, page),
        _ => marking::export(matches, page),
    };
    done.unwrap_or_else(|complaint| page.unusable(&complaint))
}

/// The path of an argument that this needs.
fn needed<'a>(matches: &'a ArgMatches, name: &str, advice: &str) -> Result<&'a PathBuf, String> {
    matches.get_one::<PathBuf>(name).ok_or_else(|| advice.to_owned())
}

fn write(path: &Path, bytes: &[u8]) -> Result<(), String> {
    file::hand_over(path, bytes).map_err(|error| error.to_string())
}

/// A folder that is there; made when it is not.
fn folder(path: &Path) -> Result<(), String> {
    std::fs::create_dir_all(path).map_err(|error| format!("{} cannot be made: {error}", path.display()))
}
