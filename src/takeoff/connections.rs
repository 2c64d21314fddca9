//! What joins runs to each other and to parts: tees, couplings, tank connectors, connections of vessels and taps.

use std::collections::BTreeMap;

use super::pipes::{size_words, untold_size};
use super::tally::{Entry, Tally};
use super::{Item, Trade};
use crate::layout::{Cistern, End, INLET, Id, OutletKind, PartRef, Run, WhichEnd};
use crate::measure::Site;

pub(super) fn take(tally: &mut Tally, site: &Site<'_>) {
    let mut first_at: BTreeMap<(&Id, &Id), &Run> = BTreeMap::new();
    for run in &site.layout().runs {
        for which in WhichEnd::BOTH {
            match run.end(which) {
                End::Tee(other, at) => on_run(tally, site, run, other, at.to_mm()),
                End::Port(part, port) => {
                    if let Some(first) = first_at.get(&(part, port)) {
                        let working = format!("{} and {} on one port", first.id.spoken(), run.id.spoken());
                        tee(tally, first, run, working);
                    } else {
                        first_at.insert((part, port), run);
                        on_port(tally, site, run, part, port);
                    }
                }
                End::Open(_) => {}
                End::Onward(_) => {
                    let entry = Entry::each(
                        Trade::Pipes,
                        Item::Coupling,
                        "joint to what goes on beyond the drawing",
                        size_words(run),
                    );
                    tally.add(entry.finding_out(untold_size(run)), 1.0, run.id.spoken(), &run.id);
                }
            }
        }
    }
    for cistern in &site.layout().cisterns {
        blank_holes(tally, cistern, &first_at);
    }
}

/// A run that begins or ends on another: a tee, or a coupling where it goes on from the other's open end.
fn on_run(tally: &mut Tally, site: &Site<'_>, run: &Run, other: &Id, at_mm: f64) {
    let Some(PartRef::Run(main)) = site.part(other) else { return };
    let goes_on = site.run_number(other).is_some_and(|number| site.is_end_to_end(number, at_mm));
    let working = format!("{} on the {} at {at_mm:.0} mm", run.id.spoken(), main.id.spoken());
    if goes_on {
        let size = both_sizes(main, run);
        let entry = Entry::each(Trade::Pipes, Item::Coupling, "joint end to end", size);
        tally.add(entry.finding_out(untold_size(main).or_else(|| untold_size(run))), 1.0, working, &run.id);
    } else {
        tee(tally, main, run, working);
    }
}

fn tee(tally: &mut Tally, main: &Run, branch: &Run, working: String) {
    let size = both_sizes(main, branch);
    let find_out = untold_size(main).or_else(|| untold_size(branch));
    tally.add(Entry::each(Trade::Pipes, Item::Tee, "tee", size).finding_out(find_out), 1.0, working, &branch.id);
}

fn both_sizes(main: &Run, branch: &Run) -> String {
    match (main.size, branch.size) {
        (Some(through), Some(off)) if through == off => format!("{} mm", through.to_mm()),
        (Some(through), Some(off)) => format!("{} mm to {} mm", through.to_mm(), off.to_mm()),
        _ => "size not told".to_owned(),
    }
}

fn on_port(tally: &mut Tally, site: &Site<'_>, run: &Run, part: &Id, port: &Id) {
    let (item, what) = match site.part(part) {
        Some(PartRef::Cistern(_)) if port.as_str() == INLET => (Item::TapConnection, "connection to a float valve"),
        Some(PartRef::Cistern(_)) => (Item::TankConnector, "tank connector"),
        Some(PartRef::Cylinder(_)) => (Item::VesselConnection, "connection to a cylinder"),
        Some(PartRef::Boiler(_)) => (Item::VesselConnection, "connection to a boiler"),
        Some(PartRef::Outlet(outlet)) => match outlet.kind {
            OutletKind::Wc => (Item::TapConnection, "connection to a float valve"),
            OutletKind::WashingMachine | OutletKind::Dishwasher => (Item::TapConnection, "connection to an appliance"),
            OutletKind::WaterHeater => (Item::VesselConnection, "connection to a water heater"),
            _ => (Item::TapConnection, "connection to a tap or mixer"),
        },
        _ => return,
    };
    let working = format!("{} at the {} of the {}", run.id.spoken(), port.spoken(), part.spoken());
    let entry = Entry::each(Trade::Pipes, item, what, size_words(run));
    tally.add(entry.finding_out(untold_size(run)), 1.0, working, &run.id);
}

/// Holes in a cistern from which no pipe is drawn.
fn blank_holes(tally: &mut Tally, cistern: &Cistern, joined: &BTreeMap<(&Id, &Id), &Run>) {
    for hole in cistern.connections.iter().filter(|hole| !joined.contains_key(&(&cistern.id, &hole.port))) {
        let entry = Entry::each(Trade::Pipes, Item::TankConnector, "tank connector", "size not told");
        let find_out = format!("see what leaves the {} by its hole '{}'", cistern.id.spoken(), hole.port.spoken());
        tally.untold(entry, find_out, &cistern.id);
    }
}
