//! What joins runs to each other and to parts: tees, couplings, tank connectors, connections of vessels and taps.

use std::collections::BTreeMap;

use super::pipes::{SIZE_NOT_TOLD, bend, size_words, untold_size};
use super::tally::{Entry, Tally};
use super::{Item, Trade};
use crate::layout::{Cistern, End, INLET, Id, OutletKind, PartRef, Run, WhichEnd};
use crate::measure::Site;
use crate::measure::pipe_joints::{JointKind, LEAST_BEND_DEGREES, PipeJoint};
use crate::units::Size;

pub(super) fn take(tally: &mut Tally, site: &Site<'_>) {
    let mut first_at: BTreeMap<(&Id, &Id), &Run> = BTreeMap::new();
    let mut joints = Joints::of(site);
    for (number, run) in site.layout().runs.iter().enumerate() {
        for which in WhichEnd::BOTH {
            match run.end(which) {
                End::Tee(..) => joints.list(tally, site, number, which),
                End::Port(part, port) => {
                    if let Some(&first) = first_at.get(&(part, port)) {
                        let working = format!("{} and {} on one port", first.id.spoken(), run.id.spoken());
                        tee(tally, [first, first], run, (working, &run.id));
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

/// Where runs meet, each place to be listed once, at the first run that is told to begin or end there.
struct Joints {
    joints: Vec<Option<PipeJoint>>,
    /// By the ends of runs that are told to be there.
    of_end: BTreeMap<(usize, WhichEnd), usize>,
}

/// How something was counted, and the run that it comes from.
type Working<'a> = (String, &'a Id);

impl Joints {
    fn of(site: &Site<'_>) -> Self {
        let joints = site.pipe_joints();
        let mut of_end = BTreeMap::new();
        for (number, joint) in joints.iter().enumerate() {
            of_end.extend(joint.legs.iter().filter_map(|leg| Some(((leg.run, leg.end_here(site)?), number))));
        }
        Self { joints: joints.into_iter().map(Some).collect(), of_end }
    }

    /// Lists what joins the end of a run to another, unless that is listed.
    fn list(&mut self, tally: &mut Tally, site: &Site<'_>, run: usize, end: WhichEnd) {
        if let Some(joint) = self.of_end.get(&(run, end)) {
            if let Some(joint) = self.joints[*joint].take() {
                of_joint(tally, site, &joint);
            }
        } else if let Some((main, working)) = told(site, run, end) {
            // Of one of the two nothing is drawn that would tell more.
            tee(tally, [main, main], site.run(run), working);
        }
    }
}

/// The run on which another is told to begin or end, and that in words.
fn told<'a>(site: &Site<'a>, run: usize, end: WhichEnd) -> Option<(&'a Run, Working<'a>)> {
    let run = site.run(run);
    let End::Tee(other, at) = run.end(end) else { return None };
    let Some(PartRef::Run(main)) = site.part(other) else { return None };
    let words = format!("{} on {} at {:.0} mm", run.id.spoken(), main.id.with_article(), at.to_mm());
    Some((main, (words, &run.id)))
}

fn of_joint(tally: &mut Tally, site: &Site<'_>, joint: &PipeJoint) {
    let run = |leg: usize| site.run(joint.legs[leg].run);
    let told_at = |leg: usize| told(site, joint.legs[leg].run, joint.legs[leg].end_here(site)?);
    let all = || 0..joint.legs.len();
    let working = |leg: usize| std::iter::once(leg).chain(all()).find_map(told_at).map(|(_, working)| working);
    match joint.kind() {
        JointKind::EndToEnd { turns_degrees } => {
            if let Some(working) = working(0) {
                end_to_end(tally, [run(0), run(1)], turns_degrees, working);
            }
        }
        JointKind::Tees { .. } if joint.is_on_port => {
            for (leg, (main, working)) in all().filter_map(|leg| Some((leg, told_at(leg)?))) {
                tee(tally, [main, main], run(leg), working);
            }
        }
        JointKind::Tees { in_line } => {
            let mut widest_first: Vec<usize> = all().collect();
            let mm = |leg: &usize| run(*leg).size.map_or(0.0, Size::to_mm);
            widest_first.sort_by(|a, b| mm(b).total_cmp(&mm(a)));
            let through = in_line.unwrap_or((widest_first[0], widest_first[1]));
            for branch in all().filter(|leg| *leg != through.0 && *leg != through.1) {
                if let Some(working) = working(branch) {
                    tee(tally, [run(through.0), run(through.1)], run(branch), working);
                }
            }
        }
    }
}

/// One run goes on from the end of another: by a bend where they turn, and by a coupling where they do not or are not alike.
fn end_to_end(tally: &mut Tally, runs: [&Run; 2], turns_degrees: f64, (working, part): Working<'_>) {
    let [wider, narrower] = wider_first(runs);
    let is_bend = turns_degrees >= LEAST_BEND_DEGREES;
    let are_alike = wider.size == narrower.size && wider.material == narrower.material;
    if is_bend {
        let entry = bend(turns_degrees, size_words(wider)).finding_out(untold_size(wider));
        tally.add(entry, 1.0, format!("{working}: turns {turns_degrees:.0}°"), part);
    }
    if !is_bend || !are_alike {
        let size = match (wider.size, narrower.size) {
            (Some(wide), Some(narrow)) if wide != narrow => format!("{} mm to {} mm", wide.to_mm(), narrow.to_mm()),
            (Some(_), Some(_)) => size_words(wider),
            _ => SIZE_NOT_TOLD.to_owned(),
        };
        let entry = Entry::each(Trade::Pipes, Item::Coupling, "joint end to end", size);
        tally.add(entry.finding_out(runs.into_iter().find_map(untold_size)), 1.0, working, part);
    }
}

/// A tee of two legs in line and a branch.
fn tee(tally: &mut Tally, through: [&Run; 2], branch: &Run, (working, part): Working<'_>) {
    let [wider, narrower] = wider_first(through);
    let size = match (wider.size, narrower.size, branch.size) {
        (Some(wide), Some(narrow), Some(off)) => {
            let [wide, narrow, off] = [wide, narrow, off].map(|size| format!("{} mm", size.to_mm()));
            let through = if wide == narrow { wide } else { format!("{wide} and {narrow}") };
            if through == off { through } else { format!("{through} to {off}") }
        }
        _ => SIZE_NOT_TOLD.to_owned(),
    };
    let find_out = [through[0], through[1], branch].into_iter().find_map(untold_size);
    tally.add(Entry::each(Trade::Pipes, Item::Tee, "tee", size).finding_out(find_out), 1.0, working, part);
}

fn wider_first([a, b]: [&Run; 2]) -> [&Run; 2] {
    if b.size.map(Size::to_mm) > a.size.map(Size::to_mm) { [b, a] } else { [a, b] }
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
    let working = format!("{} at the {} of {}", run.id.spoken(), port.spoken(), part.with_article());
    let entry = Entry::each(Trade::Pipes, item, what, size_words(run));
    tally.add(entry.finding_out(untold_size(run)), 1.0, working, &run.id);
}

/// Holes in a cistern from which no pipe is drawn.
fn blank_holes(tally: &mut Tally, cistern: &Cistern, joined: &BTreeMap<(&Id, &Id), &Run>) {
    for hole in cistern.connections.iter().filter(|hole| !joined.contains_key(&(&cistern.id, &hole.port))) {
        let entry = Entry::each(Trade::Pipes, Item::TankConnector, "tank connector", SIZE_NOT_TOLD);
        let find_out = format!("see what leaves {} by its hole '{}'", cistern.id.with_article(), hole.port.spoken());
        tally.untold(entry, find_out, &cistern.id);
    }
}
