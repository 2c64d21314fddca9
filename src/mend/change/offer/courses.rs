//! Where pipes lead: over which cistern a vent ends, and laid rising or falling throughout.

use super::{Broken, warning_pipes};
use crate::layout::{CisternRole, Layout, Run, Service, WhichEnd};
use crate::mend::change::Change;
use crate::mend::course::{by_flow, by_height};

pub(super) fn changes(broken: &Broken<'_>) -> Vec<Change> {
    let layout = broken.layout;
    match broken.rule() {
        "vent-ends-elsewhere" if broken.runs().any(|run| run.service == Service::PrimaryVent) => {
            over(layout, Service::PrimaryVent, CisternRole::FeedAndExpansion)
        }
        "vent-ends-elsewhere" | "vent-over-feed-and-expansion" => over(layout, Service::OpenVent, CisternRole::Storage),
        "primary-vent-over-storage" => over(layout, Service::PrimaryVent, CisternRole::FeedAndExpansion),
        "vent-falls" => rising(broken),
        "warning-pipe-rises" => {
            let falling = |run: &Run, first: WhichEnd| Change::LaidFalling(run.id.clone(), first);
            broken.runs().flat_map(|run| by_flow(layout, run).map(|first| falling(run, first))).collect()
        }
        "pipe-holds-air" => broken.runs().flat_map(|run| laid_one_way(layout, run)).collect(),
        "warning-pipe-hidden" => {
            let own = broken.cisterns().flat_map(|part| warning_pipes(layout, part));
            broken.run_ids().chain(own).map(Change::Conspicuous).collect()
        }
        _ => Vec::new(),
    }
}

/// The way of hot water to the vent's end laid rising: in the pipes that the finding names, or any where it names none.
fn rising(broken: &Broken<'_>) -> Vec<Change> {
    let layout = broken.layout;
    let of_hot =
        |run: &&Run| matches!(run.service, Service::OpenVent | Service::HotDistribution | Service::PrimaryVent);
    let named: Vec<&Run> = broken.runs().filter(of_hot).collect();
    let all = if named.is_empty() { layout.runs.iter().filter(of_hot).collect() } else { named };
    let rising = |run: &Run, first: WhichEnd| Change::LaidRising(run.id.clone(), first);
    all.into_iter().flat_map(|run| by_flow(layout, run).map(|first| rising(run, first))).collect()
}

/// Vents of a service over the cisterns over which they belong.
fn over(layout: &Layout, service: Service, role: CisternRole) -> Vec<Change> {
    let vents = layout.runs.iter().filter(|run| run.service == service);
    let cisterns = || layout.cisterns.iter().filter(|part| part.role == role);
    vents.flat_map(|vent| cisterns().map(|part| Change::EndOver(vent.id.clone(), part.id.clone()))).collect()
}

/// A run laid without a high or a low point between its ends, the likeliest way first: down from its higher end.
fn laid_one_way(layout: &Layout, run: &Run) -> Vec<Change> {
    let Some([higher, lower]) = by_height(layout, run) else { return Vec::new() };
    let id = || run.id.clone();
    vec![
        Change::LaidFalling(id(), higher),
        Change::LaidRising(id(), lower),
        Change::LaidRising(id(), higher),
        Change::LaidFalling(id(), lower),
    ]
}
