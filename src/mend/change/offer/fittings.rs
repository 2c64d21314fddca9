//! Valves, drain cocks, screens and clips: what is put into a pipe, on it, or taken out of it.

use super::Broken;
use crate::layout::{INLET, Id, InLineKind, Layout, Run, Service, Traces, WhichEnd};
use crate::measure::{Feature, Place};
use crate::mend::change::Change;
use crate::mend::course::by_height;
use crate::mend::handle::{cistern, end_on, length_mm, number_of, run};

/// A valve on a cistern's outlet sits so far along the pipe, mm: close to the cistern, and a spanner gets at it.
const BY_THE_CISTERN_MM: f64 = 250.0;
/// A valve before an appliance or a float valve sits so far from its end, mm.
const BEFORE_THE_END_MM: f64 = 150.0;

pub(super) fn changes(broken: &Broken<'_>) -> Vec<Change> {
    let layout = broken.layout;
    match broken.rule() {
        "warning-pipe-unscreened" => {
            let pipes = broken.run_ids().chain(broken.warning_pipes());
            pipes.filter_map(|id| Some(Change::EndScreen(id, broken.asked()?))).collect()
        }
        "float-valve-without-service-valve" | "float-valve-service-valve-too-far" => {
            let into = |run: &Run| end_on(run, |part, port| broken.is_about(part) && port.as_str() == INLET);
            let before = |run: &Run| fitted(layout, run, InLineKind::ServiceValve, into(run)?, BEFORE_THE_END_MM);
            layout.runs.iter().filter_map(before).collect()
        }
        "appliance-without-service-valve" => {
            let onto = |run: &Run| end_on(run, |part, _| broken.is_about(part));
            let before = |run: &Run| fitted(layout, run, InLineKind::ServiceValve, onto(run)?, BEFORE_THE_END_MM);
            broken.runs().filter_map(before).collect()
        }
        "cold-feed-without-valve"
        | "cold-distribution-without-valve"
        | "outlet-without-service-valve"
        | "cold-distribution-valve-too-far" => gate_valves(broken, |run| broken.is_about(&run.id)),
        "tap-cannot-be-shut-off" => gate_valves(broken, |_| true),
        "cold-feed-without-drain" | "distribution-without-drain" => {
            broken.run_ids().filter_map(|id| at_lowest(layout, &id)).collect()
        }
        "vent-valved" | "warning-pipe-valved" | "primary-vent-valved" | "primary-feed-valved" => {
            broken.runs().flat_map(|run| in_the_way(broken, run)).collect()
        }
        "cold-feed-non-return" => broken.runs().map(without_non_return).collect(),
        "linked-cistern-without-inlet" => {
            let keeps_back = |run: &&Run| {
                let mut fittings = run.fittings.iter().flatten();
                run.service == Service::Link && fittings.any(|fitting| fitting.kind == InLineKind::NonReturnValve)
            };
            layout.runs.iter().filter(keeps_back).map(without_non_return).collect()
        }
        "clips-too-far-apart-level" | "clips-too-far-apart-upright" => broken.run_ids().map(Change::Clips).collect(),
        _ => Vec::new(),
    }
}

/// Gate valves near the cistern in pipes that lead from one to be used.
fn gate_valves(broken: &Broken<'_>, is_meant: impl Fn(&Run) -> bool) -> Vec<Change> {
    let layout = broken.layout;
    let of_service = |run: &&Run| matches!(run.service, Service::ColdFeed | Service::ColdDistribution | Service::Link);
    let on_cistern = |run: &Run| end_on(run, |part, _| cistern(layout, part).is_some());
    let near = |run: &Run| fitted(layout, run, InLineKind::GateValve, on_cistern(run)?, BY_THE_CISTERN_MM);
    layout.runs.iter().filter(of_service).filter(|run| is_meant(run)).filter_map(near).collect()
}

/// A valve in a run so far from one of its ends, mm, or in its middle where it is short.
fn fitted(layout: &Layout, run: &Run, kind: InLineKind, end: WhichEnd, away_mm: f64) -> Option<Change> {
    let length_mm = length_mm(layout, &run.id)?;
    let away_mm = away_mm.min(length_mm / 2.0);
    let at_mm = match end {
        WhichEnd::From => away_mm,
        WhichEnd::To => length_mm - away_mm,
    };
    Some(Change::Fit(run.id.clone(), kind, at_mm.floor()))
}

/// A drain cock at the lowest vertex of a run; of several as low the nearest to its higher end.
fn at_lowest(layout: &Layout, id: &Id) -> Option<Change> {
    let traces = Traces::of(layout);
    let line = traces.line(number_of(layout, id)?)?;
    let mut downward: Vec<usize> = (0..line.vertices().len()).collect();
    if by_height(layout, run(layout, id)?)?[0] == WhichEnd::To {
        downward.reverse();
    }
    let lowest = downward.into_iter().min_by(|a, b| line.vertices()[*a].y.total_cmp(&line.vertices()[*b].y))?;
    Some(Change::Fit(id.clone(), InLineKind::DrainCock, line.along()[lowest].floor()))
}

/// Taking out of a run what is in the way of a vent, a feed or an overflow: what was found, then with it what sits next to
/// it, toward either end, and at last all. A pump may stay where others need it.
fn in_the_way(broken: &Broken<'_>, run: &Run) -> Vec<Change> {
    let needs_no_pump =
        matches!(run.service, Service::OpenVent | Service::PrimaryVent | Service::PrimaryFeed | Service::WarningPipe);
    let all = sitting(run, |kind| if needs_no_pump { kind.hinders() } else { kind.is_valve() });
    let is_of_run = |place: &&Place| place.part.as_ref() == Some(&run.id);
    let found_mm = broken.finding.reading.places.iter().filter(is_of_run).find_map(|place| match place.feature {
        Feature::Along(at_mm) => Some(at_mm),
        _ => None,
    });
    let found = found_mm.and_then(|found_mm| {
        (0..all.len()).min_by(|a, b| (all[*a].1 - found_mm).abs().total_cmp(&(all[*b].1 - found_mm).abs()))
    });
    let onward = found.into_iter().flat_map(|found| (found..all.len()).map(move |last| found..last + 1));
    let back = found.into_iter().flat_map(|found| (0..found).rev().map(move |first| first..found + 1));
    let some = onward.chain(back).map(|some| all[some].to_vec()).chain([all.clone()]);
    some.filter(|some| !some.is_empty()).map(|some| Change::TakeOut(run.id.clone(), some)).collect()
}

/// Taking all non-return valves out of a run.
fn without_non_return(run: &Run) -> Change {
    Change::TakeOut(run.id.clone(), sitting(run, |kind| kind == InLineKind::NonReturnValve))
}

/// What of some kinds sits in a run, in order, and how far along it, mm.
fn sitting(run: &Run, is_meant: impl Fn(InLineKind) -> bool) -> Vec<(InLineKind, f64)> {
    let fittings = run.fittings.iter().flatten().filter(|fitting| is_meant(fitting.kind));
    let mut sitting: Vec<(InLineKind, f64)> = fittings.map(|fitting| (fitting.kind, fitting.at.to_mm())).collect();
    sitting.sort_by(|a, b| a.1.total_cmp(&b.1));
    sitting
}
