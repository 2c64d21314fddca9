//! Tube of larger sizes for runs, and float valves that let less in.

use super::broken::{Broken, warning_pipes};
use super::fittings::clips_as_asked;
use super::{Change, CisternChange};
use crate::catalogue::{FLOAT_VALVE_SEATS_MM, TubeMaterial};
use crate::layout::{Edit, Id, Layout, Part, Run, Service};
use crate::units::Size;

/// A run is made larger by so many sizes at most: beyond it is another design.
const SIZES_TRIED: usize = 3;

/// Tube of another size for runs.
#[derive(Debug, Clone, PartialEq)]
pub struct TubeChange {
    /// The runs, one at least.
    pub runs: Vec<Id>,
    /// The size of their tube then, mm.
    pub size_mm: f64,
}

impl TubeChange {
    pub(super) fn words(&self) -> String {
        let runs: Vec<String> = self.runs.iter().map(Id::with_article).collect();
        format!("Take {:.0} mm tube for {}", self.size_mm, runs.join(" and "))
    }

    pub(super) fn edits(&self, layout: &Layout) -> Vec<Edit> {
        let runs = self.runs.iter().filter_map(|id| layout.run(id));
        runs.map(|run| Edit::put(Part::Run(self.laid_for(run)))).collect()
    }

    /// The run of tube of this size, clipped as that asks.
    fn laid_for(&self, run: &Run) -> Run {
        let mut run = Run { size: Some(Size::mm(self.size_mm)), ..run.clone() };
        run.clips = run.clips.and(clips_as_asked(&run));
        run
    }
}

pub(super) fn changes(broken: &Broken<'_>) -> Vec<Change> {
    let layout = broken.layout;
    match broken.rule() {
        "warning-pipe-too-narrow" | "warning-pipe-not-larger-than-inlet" => {
            let own = broken.warning_pipes();
            let way: Vec<Id> =
                broken.runs().filter(|run| run.service == Service::WarningPipe).map(|run| run.id.clone()).collect();
            let each = way.iter().chain(own.iter()).flat_map(|id| sizes_up(layout, id));
            each.chain(sizes_up_throughout(layout, &way)).collect()
        }
        "vent-draws-air" => {
            // It is the feed that brings too little.
            let feeds = layout.runs.iter().filter(|run| run.service == Service::ColdFeed).map(|run| run.id.clone());
            feeds.chain(broken.run_ids()).flat_map(|id| sizes_up(layout, &id)).collect()
        }
        "vent-too-narrow"
        | "primary-vent-too-narrow"
        | "cold-feed-narrower-than-vent"
        | "gravity-primaries-too-narrow" => {
            let narrow = too_narrow(broken);
            let each = narrow.iter().flat_map(|id| sizes_up(layout, id));
            each.chain(sizes_up_throughout(layout, &narrow)).collect()
        }
        "outlet-starved" | "pipe-too-fast" | "primary-feed-too-narrow" => {
            broken.run_ids().flat_map(|id| sizes_up(layout, &id)).collect()
        }
        "overflow-cannot-keep-up" => less_in_or_more_out(broken),
        _ => Vec::new(),
    }
}

/// The pipes on the way of a vent or a feed that are narrower than it asks, the narrowest first.
fn too_narrow(broken: &Broken<'_>) -> Vec<Id> {
    let need_mm = broken.finding.judged.need.map_or(f64::INFINITY, |need| need.value);
    let sizes = broken.runs().filter_map(|run| Some((run.id.clone(), run.size.map(Size::to_mm)?)));
    let mut narrow: Vec<(Id, f64)> = sizes.filter(|(_, size_mm)| *size_mm < need_mm).collect();
    narrow.sort_by(|a, b| a.1.total_cmp(&b.1));
    narrow.into_iter().map(|(id, _)| id).collect()
}

/// Narrower seats of the float valve, the widest first, or a wider warning pipe.
fn less_in_or_more_out(broken: &Broken<'_>) -> Vec<Change> {
    let Some(cistern) = broken.cisterns().next() else { return Vec::new() };
    let now_mm = cistern.float_valve.and_then(|valve| valve.seat).map_or(0.0, Size::to_mm);
    let narrower_mm = FLOAT_VALVE_SEATS_MM.into_iter().rev().filter(|mm| *mm < now_mm);
    let seats = narrower_mm.map(|mm| Change::Cistern(cistern.id.clone(), CisternChange::Seat { bore_mm: mm }));
    let wider = warning_pipes(broken.layout, cistern).into_iter().flat_map(|id| sizes_up(broken.layout, &id));
    seats.chain(wider).collect()
}

/// The larger sizes in which a run's tube is sold, the next first.
fn sizes_up(layout: &Layout, id: &Id) -> Vec<Change> {
    let of_size = |size_mm: f64| Change::Tube(TubeChange { runs: vec![id.clone()], size_mm });
    larger_mm(layout, id).into_iter().map(of_size).collect()
}

/// The same of the first of several runs, for all of them that are narrower; nothing where that is one alone.
fn sizes_up_throughout(layout: &Layout, runs: &[Id]) -> Vec<Change> {
    let own_mm = |id: &Id| layout.run(id).and_then(|run| run.size).map(Size::to_mm);
    let narrower = |mm: f64| runs.iter().filter(|id| own_mm(id).is_some_and(|own_mm| own_mm < mm)).cloned().collect();
    let sizes_mm = runs.first().map_or_else(Vec::new, |id| larger_mm(layout, id));
    let all = sizes_mm.into_iter().map(|size_mm| TubeChange { runs: narrower(size_mm), size_mm });
    all.filter(|change| change.runs.len() > 1).map(Change::Tube).collect()
}

/// The next sizes in mm in which a run's tube is sold, as many as are tried; of copper where nobody has told.
fn larger_mm(layout: &Layout, id: &Id) -> Vec<f64> {
    let Some(run) = layout.run(id) else { return Vec::new() };
    let sold = run.material.unwrap_or(TubeMaterial::Copper).sizes();
    let now_mm = run.size.map_or(f64::INFINITY, Size::to_mm);
    let mut larger: Vec<f64> = sold.into_iter().map(Size::to_mm).filter(|mm| *mm > now_mm).collect();
    larger.sort_by(f64::total_cmp);
    larger.truncate(SIZES_TRIED);
    larger
}
