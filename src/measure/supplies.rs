//! What water the two sides of an outlet are given: hot on the hot side, cold on the cold one.

use super::{DrivenSide, Drives, Reading, Site};
use crate::layout::{
    COIL_FLOW, COIL_RETURN, COLD, CisternRole, End, FLOW, HOT, INLET, Id, Outlet, OutletKind, PartRef, RETURN, Service,
};
use crate::num::Union;

/// Services that lead water to outlets.
const TO_OUTLETS: [Service; 4] =
    [Service::ColdFeed, Service::ColdDistribution, Service::HotDistribution, Service::RisingMain];

/// What the drawn ways bring.
#[derive(Clone, Copy, Default)]
struct Brought {
    /// From where water is heated.
    hot: bool,
    /// From a storage cistern or the main.
    cold: bool,
    /// From the heating.
    primary: bool,
}

/// Whether a pipe is drawn to each outlet at all: nothing else is asked of one that stands by itself.
#[must_use]
pub fn pipe_to_outlet(site: &Site<'_>) -> Vec<Reading> {
    let reading = |outlet: &Outlet| {
        let pipes: Vec<&Id> = site.attached(&outlet.id).iter().map(|pipe| &site.run(pipe.run).id).collect();
        let drawn = match pipes.is_empty() {
            false => Ok("a pipe to it"),
            true => Err(format!("draw the pipe that brings water to {}", outlet.id.with_article())),
        };
        Reading::choice(&outlet.id, drawn).along_with(pipes)
    };
    site.layout().outlets.iter().map(reading).collect()
}

/// What is said of a WC, which has no hot side, on a hot pipe.
pub const HOT_TO_WC: &str = "hot water led to what takes cold water alone";

/// Whether each side of an outlet on which a pipe ends is given its own water. The way to what the water comes from
/// decides; where none is drawn, a pipe that is called what the side asks is taken at its word.
#[must_use]
pub fn own_water(site: &Site<'_>) -> Vec<Reading> {
    let outlets = site.layout().outlets.iter();
    // A heater of its own may be given water that is warm already, and its hot side is where the water leaves it.
    let outlets = outlets.filter(|outlet| outlet.kind != OutletKind::WaterHeater);
    let supplies = &Supplies::of(site);
    outlets
        .flat_map(|outlet| [HOT, COLD].into_iter().filter_map(move |port| of_side(site, supplies, outlet, port)))
        .collect()
}

fn of_side(site: &Site<'_>, supplies: &Supplies, outlet: &Outlet, port: &str) -> Option<Reading> {
    let pipes: Vec<usize> = site.on_port(&outlet.id, port).map(|pipe| pipe.run).collect();
    let first = site.run(*pipes.first()?);
    let is_hot_side = port == HOT;
    let called_right = || pipes.iter().all(|run| crate::layout::suits(port, site.run(*run).service));
    let Brought { hot, cold, primary } = supplies.through(&pipes);
    let (right, wrong) = if is_hot_side { (hot, cold) } else { (cold, hot) };
    let holds = match (right, wrong) {
        _ if primary => Ok(false),
        (true, false) => Ok(true),
        (false, true) => Ok(false),
        (true, true) => Err(format!(
            "see whether hot or cold water comes out of {}: pipes of both lead there",
            first.id.with_article()
        )),
        (false, false) if called_right() => Ok(true),
        (false, false) => Err(format!("draw {} back to where its water comes from", first.id.with_article())),
    };
    let (side, yes, no) = match is_hot_side {
        true if primary => ("hot side", "hot water on the hot side", "the heating's water led to the hot side"),
        true => ("hot side", "hot water on the hot side", "cold water led to the hot side"),
        false if primary => ("cold side", "cold water on the cold side", "the heating's water led to the cold side"),
        false if outlet.kind == OutletKind::Wc => ("cold side", "cold water led to it", HOT_TO_WC),
        false => ("cold side", "cold water on the cold side", "hot water led to the cold side"),
    };
    let runs = pipes.iter().map(|run| &site.run(*run).id);
    Some(Reading::fact(&outlet.id, holds, yes, no).along_with(runs).on_side(side))
}

/// Whether the main feeds the cold side of each sink on which a pipe ends.
#[must_use]
pub fn sink_on_main(site: &Site<'_>) -> Vec<Reading> {
    let sinks = || site.layout().outlets.iter().filter(|outlet| outlet.kind == OutletKind::Sink);
    if sinks().next().is_none() {
        return Vec::new();
    }
    let drives = Drives::of(site);
    let reading = |sink: &Outlet| {
        let runs: Vec<&Id> = site.on_port(&sink.id, COLD).map(|pipe| &site.run(pipe.run).id).collect();
        let DrivenSide { main, cisterns, .. } = drives.at(sink, COLD)?;
        let (yes, no) = ("cold water from the main", "cold water from a storage cistern");
        let holds = match (main, cisterns.is_empty()) {
            (true, true) => Ok(true),
            (false, false) => Ok(false),
            (true, false) => Err(format!(
                "see whether main or stored water comes out of {}: pipes of both lead there",
                runs[0].with_article()
            )),
            (false, true) => Err(format!("draw {} back to where its water comes from", runs[0].with_article())),
        };
        let fed_by = cisterns.iter().map(|cistern| &cistern.id);
        Some(Reading::fact(&sink.id, holds, yes, no).along_with(runs).along_with(fed_by))
    };
    sinks().filter_map(reading).collect()
}

/// What comes to the pipes that lead water to outlets.
struct Supplies {
    /// By run: the first of those that it is joined with.
    first: Vec<usize>,
    /// By run: what comes to those that it is the first of.
    brought: Vec<Brought>,
}

impl Supplies {
    /// Joins all pipes that meet, and looks what comes to them.
    fn of(site: &Site<'_>) -> Self {
        let count = site.layout().runs.len();
        let leading: Vec<usize> = (0..count).filter(|run| site.leads_through(*run, &TO_OUTLETS)).collect();
        let mut joined = Union::of(count);
        for &run in &leading {
            let others = site.joints(run).iter().map(|joint| joint.other);
            others.filter(|other| site.leads_through(*other, &TO_OUTLETS)).for_each(|other| joined.join(run, other));
        }
        let mut supplies = Self { first: joined.roots(), brought: vec![Brought::default(); count] };
        for run in leading {
            let brought = &mut supplies.brought[supplies.first[run]];
            let pipe = site.run(run);
            brought.cold |= pipe.service == Service::RisingMain;
            brought.primary |= site.joints(run).iter().any(|joint| site.run(joint.other).service.is_primary());
            for end in pipe.ends() {
                if let End::Port(part, port) = end {
                    brought.hot |= gives_hot(site, part, port);
                    brought.cold |= gives_cold(site, part, port);
                    brought.primary |= gives_primary(site, part, port);
                }
            }
        }
        supplies
    }

    /// What comes through some pipes.
    fn through(&self, pipes: &[usize]) -> Brought {
        let all = pipes.iter().map(|run| self.brought[self.first[*run]]);
        all.fold(Brought::default(), |all, one| Brought {
            hot: all.hot || one.hot,
            cold: all.cold || one.cold,
            primary: all.primary || one.primary,
        })
    }
}

fn gives_hot(site: &Site<'_>, part: &Id, port: &Id) -> bool {
    match site.part(part) {
        Some(PartRef::Cylinder(cylinder)) => site.lets_hot_water_out(cylinder, port),
        Some(PartRef::Boiler(_)) => port.as_str() == HOT,
        Some(PartRef::Outlet(heater)) => heater.kind == OutletKind::WaterHeater && port.as_str() == HOT,
        _ => false,
    }
}

fn gives_cold(site: &Site<'_>, part: &Id, port: &Id) -> bool {
    matches!(site.part(part), Some(PartRef::Cistern(cistern)) if cistern.role == CisternRole::Storage)
        && port.as_str() != INLET
}

fn gives_primary(site: &Site<'_>, part: &Id, port: &Id) -> bool {
    match site.part(part) {
        Some(PartRef::Cistern(cistern)) => cistern.role == CisternRole::FeedAndExpansion && port.as_str() != INLET,
        Some(PartRef::Boiler(_)) => matches!(port.as_str(), FLOW | RETURN),
        Some(PartRef::Cylinder(_)) => matches!(port.as_str(), COIL_FLOW | COIL_RETURN),
        _ => false,
    }
}
