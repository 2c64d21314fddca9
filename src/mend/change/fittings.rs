//! Valves, drain cocks, screens and clips: what is put into a pipe, on it, or taken out of it.

use super::Change;
use super::broken::Broken;
use crate::layout::{
    Clips, Edit, End, INLET, Id, InLine, InLineKind, Layout, Part, Run, Screen, Service, Traces, WhichEnd,
};
use crate::measure::{Feature, Place};
use crate::mend::course::{at_end_words, by_height, end_words};
use crate::mend::handle::{Handle, end_on, length_mm};
use crate::units::{Length, Size};

/// A valve on a cistern's outlet sits so far along the pipe, mm: close to the cistern, and a spanner gets at it.
const BY_THE_CISTERN_MM: f64 = 250.0;
/// A valve before an appliance or a float valve sits so far from its end, mm.
const BEFORE_THE_END_MM: f64 = 150.0;
/// A pump is moved to so far beyond a bend, a tee or another fitting, mm, that a spanner gets at it; common practice, no
/// source.
const BESIDE_A_PUMP_MM: f64 = 150.0;
/// What is put into a run nearer to its end than this sits where that end is, mm.
const AT_ITS_END_MM: f64 = 1.0;

/// A change of what sits in a run or on it.
#[derive(Debug, Clone, PartialEq)]
pub enum FittingChange {
    /// Puts a valve or drain cock in.
    Fit(InLine),
    /// Takes fittings out.
    TakeOut(Vec<InLine>),
    /// Moves a pump along it.
    Move {
        /// The pump as it sits.
        pump: InLine,
        /// Where it comes to sit, along the run.
        to: Length,
    },
    /// A screen on its open end.
    Screen {
        /// The openings of its mesh, mm.
        mesh_mm: f64,
    },
    /// Clips as close as its tube asks.
    Clips,
}

impl FittingChange {
    pub(super) fn words(&self, layout: &Layout, id: &Id) -> String {
        let spoken = id.with_article();
        let run = layout.run(id);
        match self {
            Self::Fit(fitting) => {
                let place = run.map_or_else(String::new, |run| place_words(layout, run, fitting.at.to_mm()));
                format!("Fit a {} in {spoken}, {place}", fitting.kind.words())
            }
            Self::TakeOut(taken) => {
                let taken = run.map_or_else(String::new, |run| taken_words(layout, run, taken));
                format!("Take {taken} out of {spoken}")
            }
            Self::Move { pump, to } => {
                let by_mm = to.to_mm() - pump.at.to_mm();
                number_in(run, pump)
                    .map_or_else(String::new, |number| Handle::FittingAlong(id.clone(), number).words(layout, by_mm))
            }
            Self::Screen { mesh_mm } => format!("Fit a screen of {mesh_mm} mm to the open end of {spoken}"),
            Self::Clips => format!("Clip {spoken} as closely as its tube asks"),
        }
    }

    pub(super) fn edits(&self, layout: &Layout, id: &Id) -> Option<Vec<Edit>> {
        let mut run = layout.run(id)?.clone();
        match self {
            Self::Fit(fitting) => run = run.fitted(fitting.kind, fitting.at.to_mm()),
            Self::TakeOut(taken) => run.fittings.as_mut()?.retain(|fitting| !taken.contains(fitting)),
            Self::Move { pump, to } => {
                let number = number_in(Some(&run), pump)?;
                run.fittings.as_mut()?.get_mut(number)?.at = *to;
            }
            Self::Screen { mesh_mm } => run.screen = Some(Screen::Mesh(Size::mm(*mesh_mm))),
            Self::Clips => run.clips = Some(clips_as_asked(&run)?),
        }
        Some(vec![Edit::put(Part::Run(run))])
    }
}

/// The number of a fitting in a run.
fn number_in(run: Option<&Run>, fitting: &InLine) -> Option<usize> {
    run?.fittings.as_ref()?.iter().position(|own| own == fitting)
}

/// Clips as they are told, but no further apart than the tube allows.
pub(super) fn clips_as_asked(run: &Run) -> Option<Clips> {
    let allowed = run.clips_allowed()?;
    let told = run.clips.unwrap_or(allowed);
    let closer = |told: Option<Size>, allowed: Option<Size>| match told.zip(allowed) {
        Some((told, allowed)) if told > allowed => Some(allowed),
        _ => told.or(allowed),
    };
    Some(Clips { level: closer(told.level, allowed.level), upright: closer(told.upright, allowed.upright) })
}

/// Fittings of a run, in words: "every gate valve", unless some of their kind are to stay.
fn taken_words(layout: &Layout, run: &Run, taken: &[InLine]) -> String {
    let mut others = run.fittings.iter().flatten().filter(|fitting| !taken.contains(fitting));
    if others.any(|other| taken.iter().any(|fitting| fitting.kind == other.kind)) {
        let words =
            |fitting: &InLine| format!("the {} {}", fitting.kind.words(), place_words(layout, run, fitting.at.to_mm()));
        return taken.iter().map(words).collect::<Vec<_>>().join(" and ");
    }
    let mut kinds: Vec<&str> = Vec::new();
    for fitting in taken {
        if !kinds.contains(&fitting.kind.words()) {
            kinds.push(fitting.kind.words());
        }
    }
    format!("every {}", kinds.join(" and "))
}

/// A place along a run, told from what its nearer end joins, in words.
fn place_words(layout: &Layout, run: &Run, at_mm: f64) -> String {
    let before_end_mm = length_mm(layout, &run.id).map_or(f64::INFINITY, |length_mm| length_mm - at_mm);
    let (end, away_mm) = if before_end_mm < at_mm { (WhichEnd::To, before_end_mm) } else { (WhichEnd::From, at_mm) };
    if away_mm < AT_ITS_END_MM {
        at_end_words(run, end)
    } else {
        format!("{away_mm:.0} mm from {}", end_words(run, end))
    }
}

pub(super) fn changes(broken: &Broken<'_>) -> Vec<Change> {
    let layout = broken.layout;
    match broken.rule() {
        "warning-pipe-unscreened" => {
            let pipes = broken.run_ids().chain(broken.warning_pipes());
            pipes
                .filter_map(|id| Some(Change::Fitting(id, FittingChange::Screen { mesh_mm: broken.asked()? })))
                .collect()
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
        "vent-valved"
        | "warning-pipe-valved"
        | "primary-vent-valved"
        | "primary-feed-valved"
        | "back-boiler-without-gravity-circuit" => broken.runs().flat_map(|run| in_the_way(broken, run)).collect(),
        "secondary-return-without-non-return-valve" => {
            // It lets water pass the way its run is drawn.
            let is_drawn_toward = |run: &&Run| end_on(run, |part, _| broken.is_about(part)) == Some(WhichEnd::To);
            let before_cylinder =
                |run: &Run| fitted(layout, run, InLineKind::NonReturnValve, WhichEnd::To, BEFORE_THE_END_MM);
            broken.runs().filter(is_drawn_toward).filter_map(before_cylinder).collect()
        }
        "cold-feed-non-return" => broken.runs().map(without_non_return).collect(),
        "linked-cistern-without-inlet" => {
            let keeps_back = |run: &&Run| {
                let mut fittings = run.fittings.iter().flatten();
                run.service == Service::Link && fittings.any(|fitting| fitting.kind == InLineKind::NonReturnValve)
            };
            layout.runs.iter().filter(keeps_back).map(without_non_return).collect()
        }
        "pump-between-feed-and-vent" => layout.runs.iter().flat_map(|run| pumps_elsewhere(layout, run)).collect(),
        "clips-too-far-apart-level" | "clips-too-far-apart-upright" => {
            broken.run_ids().map(|id| Change::Fitting(id, FittingChange::Clips)).collect()
        }
        _ => Vec::new(),
    }
}

/// Gate valves near the cistern in pipes that lead from one to be used.
fn gate_valves(broken: &Broken<'_>, is_meant: impl Fn(&Run) -> bool) -> Vec<Change> {
    let layout = broken.layout;
    let of_service = |run: &&Run| matches!(run.service, Service::ColdFeed | Service::ColdDistribution | Service::Link);
    let on_cistern = |run: &Run| end_on(run, |part, _| layout.cistern(part).is_some());
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
    Some(fit(&run.id, kind, at_mm))
}

/// A drain cock at the lowest vertex of a run; of several as low the nearest to its higher end.
fn at_lowest(layout: &Layout, id: &Id) -> Option<Change> {
    let traces = Traces::of(layout);
    let line = traces.of_run(id)?;
    let mut downward: Vec<usize> = (0..line.vertices().len()).collect();
    if by_height(layout, layout.run(id)?)?[0] == WhichEnd::To {
        downward.reverse();
    }
    let lowest = downward.into_iter().min_by(|a, b| line.vertices()[*a].y.total_cmp(&line.vertices()[*b].y))?;
    Some(fit(id, InLineKind::DrainCock, line.along()[lowest]))
}

/// Fitting something so far along a run, to the whole millimetre below, mm.
fn fit(run: &Id, kind: InLineKind, at_mm: f64) -> Change {
    Change::Fitting(run.clone(), FittingChange::Fit(InLine { kind, at: Length::mm(at_mm.floor()) }))
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
        let away_mm = |number: &usize| (all[*number].at.to_mm() - found_mm).abs();
        (0..all.len()).min_by(|a, b| away_mm(a).total_cmp(&away_mm(b)))
    });
    let onward = found.into_iter().flat_map(|found| (found..all.len()).map(move |last| found..last + 1));
    let back = found.into_iter().flat_map(|found| (0..found).rev().map(move |first| first..found + 1));
    let some = onward.chain(back).map(|some| all[some].to_vec()).chain([all.clone()]);
    some.filter(|some| !some.is_empty()).map(|some| take_out(run, some)).collect()
}

/// The pumps of a run, each moved past what it stands between: into each stretch between bends, tees and other fittings,
/// the nearest first. In a pipe of a boiler only away from that, since the vent belongs between boiler and pump.
fn pumps_elsewhere(layout: &Layout, run: &Run) -> Vec<Change> {
    let traces = Traces::of(layout);
    let Some(line) = traces.of_run(&run.id) else { return Vec::new() };
    let tee = |end: &End| match end {
        End::Tee(on, at) if *on == run.id => Some(at.to_mm()),
        _ => None,
    };
    let on_boiler = end_on(run, |part, _| layout.boilers.iter().any(|boiler| boiler.id == *part));
    let tees_mm: Vec<f64> = layout.runs.iter().flat_map(|other| other.ends().map(tee)).flatten().collect();
    let elsewhere = |pump: &InLine| {
        let others = run.fittings.iter().flatten().filter(|other| *other != pump).map(|other| other.at.to_mm());
        let mut marks_mm: Vec<f64> = line.along().iter().copied().chain(tees_mm.clone()).chain(others).collect();
        marks_mm.sort_by(f64::total_cmp);
        let now_mm = pump.at.to_mm();
        let nearest_mm = |pair: &[f64]| {
            let beside_mm = BESIDE_A_PUMP_MM.min((pair[1] - pair[0]) / 2.0);
            (pair[0] + beside_mm, pair[1] - beside_mm)
        };
        let mut places_mm: Vec<f64> = (marks_mm.windows(2))
            .filter(|pair| pair[1] - pair[0] >= BESIDE_A_PUMP_MM && !(pair[0]..=pair[1]).contains(&now_mm))
            .map(nearest_mm)
            .map(|(from_mm, to_mm)| if to_mm < now_mm { to_mm.floor() } else { from_mm.ceil() })
            .filter(|to_mm| match on_boiler {
                Some(WhichEnd::From) => *to_mm > now_mm,
                Some(WhichEnd::To) => *to_mm < now_mm,
                None => true,
            })
            .collect();
        places_mm.sort_by(|a, b| (a - now_mm).abs().total_cmp(&(b - now_mm).abs()));
        let moved = |to_mm: f64| FittingChange::Move { pump: *pump, to: Length::mm(to_mm) };
        places_mm.into_iter().map(|to_mm| Change::Fitting(run.id.clone(), moved(to_mm))).collect::<Vec<_>>()
    };
    sitting(run, |kind| kind == InLineKind::Pump).iter().flat_map(elsewhere).collect()
}

/// Taking all non-return valves out of a run.
fn without_non_return(run: &Run) -> Change {
    take_out(run, sitting(run, |kind| kind == InLineKind::NonReturnValve))
}

fn take_out(run: &Run, taken: Vec<InLine>) -> Change {
    Change::Fitting(run.id.clone(), FittingChange::TakeOut(taken))
}

/// What of some kinds sits in a run, in order.
fn sitting(run: &Run, is_meant: impl Fn(InLineKind) -> bool) -> Vec<InLine> {
    let mut sitting: Vec<InLine> =
        run.fittings.iter().flatten().filter(|fitting| is_meant(fitting.kind)).copied().collect();
    sitting.sort_by_key(|fitting| fitting.at);
    sitting
}
