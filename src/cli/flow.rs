//! `flow`: what runs at each tap, as a table or as JSON.

use clap::{Arg, ArgAction, ArgMatches};

use super::page::{Page, harmless, paragraph};
use super::{Command, EXIT_SOUND, EXIT_UNUSABLE, arguments, read};
use crate::layout::{Id, Layout};
use crate::measure::Site;
use crate::spelling::did_you_mean;
use crate::units::Amount;
use crate::water::circuit::{Circuit, Conditions, Open, ShutValve, Supply, TapName};
use crate::water::sizing::{RunSize, sizes};
use crate::water::{DemandReport, FlowReport, Spread, TapReport, VentReport};

pub(super) const COMMAND: Command =
    Command { name: "flow", about: "Reckons what runs at each tap, and whether the vent draws air", arguments, run };

fn arguments() -> Vec<Arg> {
    let names = |name: &'static str, value: &'static str, help: &'static str| {
        Arg::new(name).long(name).value_name(value).value_delimiter(',').help(help)
    };
    vec![
        arguments::layout(),
        names("open", "TAP,...", "Taps that are open together: bath, or 'bath hot'; all of them when not given"),
        names("shut", "RUN,...", "Runs whose valves are shut: cold-feed, or cold-feed/2 for its second fitting"),
        Arg::new("sizes")
            .long("sizes")
            .action(ArgAction::SetTrue)
            .help("Tells for each run the smallest copper tube that serves; the rest as drawn"),
        arguments::json(),
    ]
}

fn run(matches: &ArgMatches, page: &mut Page<'_>) -> u8 {
    let path = arguments::path_of_layout(matches);
    let Some(layout) = read(path, page) else { return EXIT_UNUSABLE };
    let site = Site::of(&layout);
    let circuit = Circuit::of(&site);
    let conditions = match conditions(matches, &circuit, &layout) {
        Ok(conditions) => conditions,
        Err(complaint) => return page.unusable(&complaint),
    };
    if matches.get_flag("sizes") {
        let sizes = sizes(&layout);
        if matches.get_flag("json") {
            page.print_json(&sizes);
        } else {
            print_sizes(&sizes, page);
        }
        return EXIT_SOUND;
    }
    let report = FlowReport::new(&path.display().to_string(), &circuit, &conditions);
    if matches.get_flag("json") {
        page.print_json(&report);
    } else {
        print(&report, page);
    }
    EXIT_SOUND
}

/// What is open and shut; a complaint when something is named that is not there.
fn conditions(matches: &ArgMatches, circuit: &Circuit<'_>, layout: &Layout) -> Result<Conditions, String> {
    let mut shut = Vec::new();
    for text in matches.get_many::<String>("shut").into_iter().flatten() {
        let with_valves = layout.runs.iter().filter(|run| shut_valve(run.id.as_str(), layout).is_some());
        let known: Vec<String> = with_valves.map(|run| run.id.to_string()).collect();
        shut.push(shut_valve(text, layout).ok_or_else(|| not_there("run with a valve", text, &known))?);
    }
    let open = open_taps(matches, circuit)?.unwrap_or(Open::Everything);
    Ok(Conditions { open, shut, ..Conditions::default() })
}

/// The taps that are named; none when no tap is.
pub(super) fn open_taps(matches: &ArgMatches, circuit: &Circuit<'_>) -> Result<Option<Open>, String> {
    let Some(texts) = matches.get_many::<String>("open") else { return Ok(None) };
    let mut open = Vec::new();
    for text in texts {
        let known: Vec<String> = circuit.taps().iter().map(|tap| tap.name().to_string()).collect();
        let name = text.parse::<TapName>().ok().filter(|name| circuit.taps().iter().any(|tap| name.names(tap)));
        open.push(name.ok_or_else(|| not_there("tap", text, &known))?);
    }
    Ok(Some(Open::These(open)))
}

/// `cold-feed` or `cold-feed/2`.
fn shut_valve(text: &str, layout: &Layout) -> Option<ShutValve> {
    let (run, place) = match text.split_once('/') {
        Some((run, place)) => (run, Some(place.trim().parse::<usize>().ok()?.checked_sub(1)?)),
        None => (text, None),
    };
    let run = Id::new(run.trim()).ok()?;
    let fittings = layout.run(&run)?.fittings.as_ref()?;
    let shuts = match place {
        Some(place) => fittings.get(place)?.kind.shuts(),
        None => fittings.iter().any(|fitting| fitting.kind.shuts()),
    };
    shuts.then_some(ShutValve { run, number: place })
}

fn not_there(what: &str, text: &str, known: &[String]) -> String {
    let text = harmless(text);
    match did_you_mean(&text, known.iter().map(String::as_str)) {
        Some(question) => format!("there is no {what} '{text}'; {question}"),
        None if known.is_empty() => format!("there is no {what} '{text}'; the drawing has none"),
        None => format!("there is no {what} '{text}'; there are: {}", known.join(", ")),
    }
}

fn print_sizes(sizes: &[RunSize], page: &mut Page<'_>) {
    page.print("The smallest copper tube with which each tap gets its design flow (BS 6700) alone:\n");
    for size in sizes {
        let smallest = size.smallest_mm.map_or_else(|| "none".to_owned(), |mm| format!("{mm} mm"));
        let why = if size.words.is_empty() { format!("for {}", size.taps.join(", ")) } else { size.words.clone() };
        let lead = format!("  {:20} drawn {:>3} mm, smallest {smallest:>6}  ", size.run, size.drawn_mm);
        page.print(&paragraph(&lead, &why));
    }
}

fn print(report: &FlowReport, page: &mut Page<'_>) {
    page.print(&paragraph(&format!("{}: ", harmless(&report.file)), &report.title));
    for assumption in &report.assumptions {
        page.print(&paragraph("assumed: ", assumption));
    }
    page.print(&format!("\n{:24}{:>16}{:>26}{:>14}\n", "", "alone", "open together", "head there"));
    for tap in &report.outlets {
        page.print(&tap_line(tap));
    }
    page.print("\n");
    for demand in &report.demand {
        page.print(&paragraph("", &demand_words(demand)));
    }
    for vent in &report.vents {
        page.print("\n");
        page.print(&paragraph("", &vent_words(vent)));
    }
    if !report.transitional.is_empty() {
        let runs = report.transitional.join(", ");
        let words = "between Re 2000 and 4000 friction is least sure: usual and least flows take a blend of laminar and Colebrook, the greatest losses Colebrook";
        page.print("\n");
        page.print(&paragraph("", &format!("Flow is transitional in {runs}; {words}.")));
    }
    page.print(&format!("\nThe solver {} in {} steps.\n", report.report.outcome, report.report.steps));
}

fn tap_line(tap: &TapReport) -> String {
    let name = TapName { outlet: Id::of(&tap.id), supply: Some(tap.supply) };
    let name = if tap.supply == Supply::Mixed { tap.id.clone() } else { name.to_string() };
    let spread = |flow: Option<Spread>| flow.map_or_else(|| "-".to_owned(), |flow| litres(&flow));
    let together = if tap.open { spread(tap.flow) } else { "shut".to_owned() };
    let head = tap.residual_head.map_or_else(|| "-".to_owned(), |head| head.to_string());
    let mixed = tap.mixed.map_or_else(String::new, |mixed| format!("   at {mixed}"));
    let mut line = format!("{name:24}{:>16}{together:>26}{head:>14}{mixed}\n", spread(tap.alone));
    if !tap.words.is_empty() {
        line.push_str(&paragraph("    ", &tap.words));
    }
    line
}

/// `0.31 (0.29 to 0.34) L/s`.
fn litres(flow: &Spread) -> String {
    let [least, greatest] = flow.ends();
    format!("{:.2} ({least}-{greatest}) L/s", flow.value)
}

fn demand_words(demand: &DemandReport) -> String {
    let DemandReport { loading_units, flow, en806_loading_units, en806_tube, .. } = demand;
    let tube = en806_tube.map_or_else(|| "beyond its table".to_owned(), |tube| format!("copper tube of {tube}"));
    format!(
        "{} water likely at one time: {flow} by BS 6700 ({loading_units} loading units); by EN 806-3, which counts otherwise, {en806_loading_units} loading units: {tube}",
        demand.supply.words()
    )
}

fn vent_words(vent: &VentReport) -> String {
    let threshold = |amount: Amount| format!(" It draws air once more than {amount} of hot water is drawn together.");
    let threshold = vent.threshold.map_or_else(String::new, threshold);
    let state = match (vent.draws_air, vent.level) {
        (true, _) => "draws air in: more hot water is asked for than the cold feed brings.".to_owned(),
        (false, Some(level)) => format!("stands full to {level} above the datum."),
        (false, None) => "has no level that can be told.".to_owned(),
    };
    format!("The vent {} {state}{threshold}", vent.id)
}
