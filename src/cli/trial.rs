//! `trial`: what happens in time with the main off, the float valve stuck, the cylinder heating, in frost, or for a job.

use clap::{Arg, ArgMatches};
use serde::Serialize;

use super::frost::{FrostReport, frost, print_frost};
use super::page::{Page, harmless, paragraph};
use super::{Command, EXIT_SOUND, EXIT_UNUSABLE, arguments, flow, read};
use crate::heat::heat_up;
use crate::measure::Site;
use crate::units::Amount;
use crate::water::circuit::{Circuit, Open};
use crate::water::trial::{Job, Played, Total, jobs, mains_off, may_stick, valve_stuck};

pub(super) const COMMAND: Command =
    Command { name: "trial", about: "Plays what happens in time when something fails or work is done", arguments, run };

/// Moments that a text shows of a trial.
const SHOWN: usize = 12;

const TRIALS: [&str; 5] = ["mains-off", "valve-stuck", "heat-up", "frost", "drain"];

fn arguments() -> Vec<Arg> {
    vec![
        arguments::layout(),
        Arg::new("TRIAL").required(true).value_parser(TRIALS).help(
            "What is tried: the main off, a float valve stuck open, heating from cold, a frost, draining for a job",
        ),
        Arg::new("open")
            .long("open")
            .value_name("TAP,...")
            .value_delimiter(',')
            .help("With mains-off, the taps that are drawn; all of them when not given"),
        arguments::json(),
    ]
}

fn run(matches: &ArgMatches, page: &mut Page<'_>) -> u8 {
    let path = arguments::path_of_layout(matches);
    let Some(layout) = read(path, page) else { return EXIT_UNUSABLE };
    let site = Site::of(&layout);
    let circuit = Circuit::of(&site);
    let trial = matches.get_one::<String>("TRIAL").expect("it is asked for").as_str();
    let tried = match trial {
        "mains-off" => match flow::open_taps(matches, &circuit) {
            Ok(open) => Tried::Played(vec![mains_off(&circuit, open.unwrap_or(Open::Everything))]),
            Err(complaint) => return page.unusable(&complaint),
        },
        "valve-stuck" => Tried::Played(may_stick(&circuit).map(|(_, cistern)| valve_stuck(&site, cistern)).collect()),
        "heat-up" => Tried::Played(circuit.cylinders().map(|cylinder| heat_up(&circuit, cylinder)).collect()),
        "frost" => Tried::Frost(frost(&site)),
        _ => Tried::Jobs(jobs(&circuit)),
    };
    if matches.get_flag("json") {
        let report = TrialReport::new(&path.display().to_string(), &layout.heading.title, trial, tried);
        page.print_json(&report);
    } else {
        page.print(&paragraph(&format!("{}: ", harmless(&path.display().to_string())), &layout.heading.title));
        tried.print(page);
    }
    EXIT_SOUND
}

/// What came of it.
enum Tried {
    /// One for each vessel that it was tried on.
    Played(Vec<Result<Played, String>>),
    /// How long each cistern and pipe of the loft lasts.
    Frost(Vec<FrostReport>),
    /// How each job is done.
    Jobs(Vec<Job>),
}

impl Tried {
    fn print(&self, page: &mut Page<'_>) {
        match self {
            Self::Played(all) if all.is_empty() => page.print("Nothing on this drawing to try it on.\n"),
            Self::Played(all) => all.iter().for_each(|played| match played {
                Ok(played) => print_played(played, page),
                Err(find_out) => page.print(&paragraph("\nnot known: ", find_out)),
            }),
            Self::Frost(all) => print_frost(all, page),
            Self::Jobs(all) => all.iter().for_each(|job| print_job(job, page)),
        }
    }
}

fn print_played(played: &Played, page: &mut Page<'_>) {
    page.print(&format!("\n{}\n", played.title));
    for assumption in &played.assumptions {
        page.print(&paragraph("assumed: ", assumption));
    }
    let every = played.moments.len().div_ceil(SHOWN).max(1);
    let levels = played.moments.iter().step_by(every).map(|moment| {
        let levels = moment.levels_mm.iter().map(|(id, level_mm)| format!("{} {level_mm:.0} mm", id.spoken()));
        (moment.time_s, levels.collect::<Vec<_>>().join("   "))
    });
    let events = played.events.iter().map(|event| (event.time_s, event.words.clone()));
    let mut course: Vec<(f64, String)> = levels.chain(events).collect();
    // The sort is stable: what happens at a time stands below the levels of that time.
    course.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (time_s, words) in course {
        page.print(&paragraph(&format!("  {:>7}  ", minutes(time_s)), &words));
    }
    for Total { words, amount } in &played.totals {
        page.print(&paragraph("  ", &format!("{words}: {amount}")));
    }
}

fn print_job(job: &Job, page: &mut Page<'_>) {
    page.print("\n");
    page.print(&paragraph("", &job.task));
    let shut = if job.shut.is_empty() { "nothing".to_owned() } else { job.shut.join("; ") };
    page.print(&paragraph("  shut:       ", &shut));
    let runs = if job.still_runs.is_empty() { "nothing".to_owned() } else { job.still_runs.join(", ") };
    page.print(&paragraph("  still runs: ", &runs));
    let time = job.minutes.map_or_else(String::new, |minutes| format!(", about {minutes:.0} min"));
    let litres = job.drain_l.map_or_else(|| "not known".to_owned(), |litres| Amount::litres(litres).to_string());
    let by =
        if job.drain_l == Some(0.0) { "nothing".to_owned() } else { format!("{litres} by {}{time}", job.drain_by) };
    page.print(&paragraph("  let out:    ", &by));
    for note in &job.notes {
        page.print(&paragraph("  mind:       ", note));
    }
}

/// `12:30`, minutes and seconds.
fn minutes(seconds: f64) -> String {
    let (whole, rest) = ((seconds / 60.0).floor(), seconds % 60.0);
    format!("{whole:.0}:{:02.0}", rest.floor())
}

#[derive(Serialize)]
struct TrialReport {
    file: String,
    title: String,
    trial: String,
    played: Vec<PlayedReport>,
    frost: Vec<FrostReport>,
    jobs: Vec<Job>,
}

#[derive(Serialize)]
struct PlayedReport {
    title: String,
    /// Why it could not be played; empty when it was.
    find_out: String,
    assumptions: Vec<String>,
    events: Vec<EventReport>,
    totals: Vec<Total>,
    moments: Vec<MomentReport>,
}

#[derive(Serialize)]
struct EventReport {
    time_s: f64,
    words: String,
}

#[derive(Serialize)]
struct MomentReport {
    time_s: f64,
    levels_mm: std::collections::BTreeMap<String, f64>,
    taps_l_s: Vec<Option<f64>>,
}

impl TrialReport {
    fn new(file: &str, title: &str, trial: &str, tried: Tried) -> Self {
        let (mut played, mut frost, mut jobs) = (Vec::new(), Vec::new(), Vec::new());
        match tried {
            Tried::Played(all) => played = all.into_iter().map(PlayedReport::from).collect(),
            Tried::Frost(all) => frost = all,
            Tried::Jobs(all) => jobs = all,
        }
        Self { file: file.to_owned(), title: title.to_owned(), trial: trial.to_owned(), played, frost, jobs }
    }
}

impl From<Result<Played, String>> for PlayedReport {
    fn from(played: Result<Played, String>) -> Self {
        match played {
            Err(find_out) => Self {
                title: String::new(),
                find_out,
                assumptions: Vec::new(),
                events: Vec::new(),
                totals: Vec::new(),
                moments: Vec::new(),
            },
            Ok(played) => Self {
                title: played.title,
                find_out: String::new(),
                assumptions: played.assumptions,
                events: (played.events.into_iter())
                    .map(|event| EventReport { time_s: event.time_s, words: event.words })
                    .collect(),
                totals: played.totals,
                moments: (played.moments.into_iter())
                    .map(|moment| MomentReport {
                        time_s: moment.time_s,
                        levels_mm: moment.levels_mm.into_iter().map(|(id, level)| (id.to_string(), level)).collect(),
                        taps_l_s: moment.taps_l_s,
                    })
                    .collect(),
            },
        }
    }
}
