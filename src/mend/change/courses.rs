//! Where pipes lead: over which cistern a vent ends, uprights led aside, and laid rising or falling throughout.

use super::Change;
use super::broken::{Broken, warning_pipes};
use super::fall::{ended_over, laid};
use crate::layout::{CisternRole, Discharge, Edit, End, Id, Layout, Part, Run, Service, Traces, WhichEnd};
use crate::mend::Consent;
use crate::mend::course::{by_flow, by_height, end_point, end_words};
use crate::mend::demand::Toward;
use crate::units::Length;

/// A change of the way that a run is led.
#[derive(Debug, Clone, PartialEq)]
pub enum CourseChange {
    /// Laid so that it rises, or at least does not fall, from this of its ends on.
    Rising(WhichEnd),
    /// Laid so that it falls, or at least does not rise, from this of its ends on.
    Falling(WhichEnd),
    /// An upright stretch led aside.
    UprightAside {
        /// The number of the bend at which the stretch begins.
        bend: usize,
        /// How far to the right, mm.
        by_mm: f64,
    },
    /// The open end of a vent over the middle of this cistern.
    EndOver(Id),
    /// One of its ends, teed on another run, joined to that so far along it.
    JoinedAt(WhichEnd, Length),
    /// The end of a warning pipe where people see it run.
    Conspicuous,
}

impl CourseChange {
    pub(super) fn words(&self, layout: &Layout, id: &Id) -> String {
        let spoken = id.with_article();
        let beginning = |first: WhichEnd| layout.run(id).map_or_else(String::new, |run| end_words(run, first));
        match self {
            Self::Rising(first) => {
                format!("Lay {spoken} so that it falls nowhere on its way from {}", beginning(*first))
            }
            Self::Falling(first) => {
                format!("Lay {spoken} so that it rises nowhere on its way from {}", beginning(*first))
            }
            Self::UprightAside { by_mm, .. } => {
                let side = if *by_mm < 0.0 { "left" } else { "right" };
                format!("Lead the upright stretch of {spoken} {:.0} mm further to the {side}", by_mm.abs())
            }
            Self::EndOver(cistern) => format!("Lead the open end of {spoken} over {}", cistern.with_article()),
            Self::JoinedAt(which, at) => match layout.run(id).map(|run| run.end(*which)) {
                Some(End::Tee(host, was)) => {
                    let by_mm = (at.to_mm() - was.to_mm()).abs();
                    format!("Join {spoken} to {} {by_mm:.0} mm from where it joins it now", host.with_article())
                }
                _ => String::new(),
            },
            Self::Conspicuous => format!("Lead the end of {spoken} to where people see it run"),
        }
    }

    pub(super) const fn consent(&self) -> Consent {
        match self {
            // Whether people see it is found out there.
            Self::Conspicuous => Consent::ShowOnly,
            Self::Rising(_) | Self::Falling(_) | Self::UprightAside { .. } | Self::EndOver(_) | Self::JoinedAt(..) => {
                Consent::Safe
            }
        }
    }

    pub(super) fn edits(&self, layout: &Layout, id: &Id) -> Option<Vec<Edit>> {
        let run = layout.run(id)?;
        let led = match self {
            Self::Rising(first) => laid(layout, id, *first, Toward::Forth)?,
            Self::Falling(first) => laid(layout, id, *first, Toward::Back)?,
            Self::UprightAside { bend, by_mm } => aside(layout, run, *bend, *by_mm)?,
            Self::EndOver(over) => return Some(vec![ended_over(layout, id, over)?]),
            Self::JoinedAt(which, at) => joined_at(layout, run, *which, *at)?,
            Self::Conspicuous => Run { discharge: Some(Discharge::Conspicuous), ..run.clone() },
        };
        Some(vec![Edit::put(Part::Run(led))])
    }
}

pub(super) fn changes(broken: &Broken<'_>) -> Vec<Change> {
    let layout = broken.layout;
    match broken.rule() {
        "vent-ends-elsewhere" if broken.runs().any(|run| run.service == Service::PrimaryVent) => {
            over(layout, Service::PrimaryVent, CisternRole::FeedAndExpansion)
        }
        "vent-ends-elsewhere" | "vent-over-feed-and-expansion" => over(layout, Service::OpenVent, CisternRole::Storage),
        "primary-vent-over-storage" => over(layout, Service::PrimaryVent, CisternRole::FeedAndExpansion),
        "vent-falls" => hot_water_rising(broken),
        "primary-feed-too-far-from-vent" => joined_nearer(broken),
        "warning-pipe-rises" => {
            broken.runs().flat_map(|run| by_flow(layout, run).map(|first| falling(run, first))).collect()
        }
        "pipe-holds-air" => broken.runs().flat_map(|run| laid_one_way(layout, run)).collect(),
        "warning-pipe-hidden" => {
            let own = broken.cisterns().flat_map(|part| warning_pipes(layout, part));
            broken.run_ids().chain(own).map(|id| Change::Course(id, CourseChange::Conspicuous)).collect()
        }
        _ => Vec::new(),
    }
}

/// A feed that is teed on the run on which the vent is, joined to it no further from the vent than is asked.
fn joined_nearer(broken: &Broken<'_>) -> Vec<Change> {
    let tees = |service: Service| {
        let runs = broken.runs().filter(move |run| run.service == service);
        runs.flat_map(|run| WhichEnd::BOTH.map(|which| (run, which))).filter_map(|(run, which)| match run.end(which) {
            End::Tee(host, at) => Some((run, which, host, at.to_mm())),
            _ => None,
        })
    };
    let Some(asked_mm) = broken.asked() else { return Vec::new() };
    let nearer = |(run, which, host, at_mm): (&Run, WhichEnd, &Id, f64)| {
        let (.., vent_mm) = tees(Service::PrimaryVent).find(|(_, _, of_vent, _)| *of_vent == host)?;
        let near_mm = vent_mm + asked_mm.min((at_mm - vent_mm).abs()).copysign(at_mm - vent_mm);
        let at = Length::try_mm(near_mm).ok()?;
        Some(Change::Course(run.id.clone(), CourseChange::JoinedAt(which, at)))
    };
    tees(Service::PrimaryFeed).filter_map(nearer).collect()
}

/// The way of hot water to the vent's end laid rising: in the pipes that the finding names, or any where it names none.
fn hot_water_rising(broken: &Broken<'_>) -> Vec<Change> {
    let layout = broken.layout;
    let of_hot =
        |run: &&Run| matches!(run.service, Service::OpenVent | Service::HotDistribution | Service::PrimaryVent);
    let named: Vec<&Run> = broken.runs().filter(of_hot).collect();
    let all = if named.is_empty() { layout.runs.iter().filter(of_hot).collect() } else { named };
    all.into_iter().flat_map(|run| by_flow(layout, run).map(|first| rising(run, first))).collect()
}

/// Vents of a service over the cisterns over which they belong.
fn over(layout: &Layout, service: Service, role: CisternRole) -> Vec<Change> {
    let vents = layout.runs.iter().filter(|run| run.service == service);
    let cisterns = || layout.cisterns.iter().filter(|part| part.role == role);
    let led = |vent: &Run, cistern: &Id| Change::Course(vent.id.clone(), CourseChange::EndOver(cistern.clone()));
    vents.flat_map(|vent| cisterns().map(move |cistern| led(vent, &cistern.id))).collect()
}

/// A run laid without a high or a low point between its ends, the likeliest way first: down from its higher end.
fn laid_one_way(layout: &Layout, run: &Run) -> Vec<Change> {
    let Some([higher, lower]) = by_height(layout, run) else { return Vec::new() };
    vec![falling(run, higher), rising(run, lower), rising(run, higher), falling(run, lower)]
}

fn rising(run: &Run, first: WhichEnd) -> Change {
    Change::Course(run.id.clone(), CourseChange::Rising(first))
}

fn falling(run: &Run, first: WhichEnd) -> Change {
    Change::Course(run.id.clone(), CourseChange::Falling(first))
}

/// A run joined elsewhere to the one on which it is teed; its last stretch goes along as it lies.
fn joined_at(layout: &Layout, run: &Run, which: WhichEnd, at: Length) -> Option<Run> {
    let End::Tee(host, was) = run.end(which) else { return None };
    let traces = Traces::of(layout);
    let line = traces.of_run(host)?;
    let [was, now] = [*was, at].map(|along| line.point_at(line.joined_at(along.to_mm())));
    let mut joined = run.clone();
    *joined.end_mut(which) = End::Tee(host.clone(), at);
    let bend = match which {
        WhichEnd::From => joined.via.first_mut(),
        WhichEnd::To => joined.via.last_mut(),
    };
    if let Some(bend) = bend {
        let way = (was - bend.vector()).normalize_or_zero();
        let by = now - was;
        *bend = bend.moved(by - way * by.dot(way));
    }
    Some(joined)
}

/// A run with the upright stretch from one of its bends to the next led aside; nothing where the stretch that comes to it or
/// the one that leaves it would turn back on itself.
fn aside(layout: &Layout, run: &Run, number: usize, by_mm: f64) -> Option<Run> {
    let mut run = run.clone();
    let ends_mm = WhichEnd::BOTH.map(|which| Some(end_point(layout, &run, which)?.x));
    let across_mm: Option<Vec<f64>> = std::iter::once(ends_mm[0])
        .chain(run.via.iter().map(|bend| Some(bend.x.to_mm())))
        .chain([ends_mm[1]])
        .collect();
    let across_mm = across_mm?;
    let upright_mm = *across_mm.get(number + 1)?;
    let turns_back = |other_mm: f64| {
        let was_mm = upright_mm - other_mm;
        was_mm * (was_mm + by_mm) < 0.0
    };
    if turns_back(*across_mm.get(number)?) || turns_back(*across_mm.get(number + 3)?) {
        return None;
    }
    let by = Length::try_mm(by_mm).ok()?;
    for bend in run.via.iter_mut().skip(number).take(2) {
        bend.x = bend.x + by;
    }
    Some(run)
}
