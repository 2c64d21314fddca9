//! Check sheets made from the layout: what to look at when the system is filled, and once a year after that.

use super::Block;
use crate::finding::capital;
use crate::layout::{Cistern, CisternRole, DipTube, HOT, InLineKind, Lid, Screen, Service, Tagged};
use crate::measure::Site;
use crate::rules::{Voice, said};

/// When the system is filled for the first time.
pub(super) fn commissioning(blocks: &mut Vec<Block>, site: &Site<'_>, voice: Voice) {
    blocks.push(Block::Chapter("Commissioning sheet".to_owned()));
    let layout = site.layout();
    let mut points = Vec::new();
    for cistern in &layout.cisterns {
        let spoken = cistern.id.with_article();
        points.push(format!("{spoken} is clean, and flushed before it is put to use"));
        points.push(match cistern.water_line {
            Some(line) => {
                format!("{spoken} fills to {} mm above its base and the valve shuts; found: ____ mm", line.to_mm())
            }
            None => format!("{spoken} fills and the valve shuts; water line found: ____ mm above its base"),
        });
        points.extend(kit(cistern));
        points.push(match (site.attached_of(&cistern.id, Service::WarningPipe).next(), cistern.role) {
            (Some(_), _) => format!("With the float held down, water of {spoken} runs from the warning pipe where it is seen, and from nowhere else"),
            (None, CisternRole::Storage) => format!("{spoken} has no warning pipe on the drawing: find where it would overflow"),
            (None, CisternRole::FeedAndExpansion) => format!("Find where {spoken} would overflow"),
        });
    }
    points.extend(layout.tagged_fittings().iter().map(fitting));
    for cylinder in &layout.cylinders {
        let spoken = cylinder.id.with_article();
        points.push(match cylinder.stored_temperature {
            Some(stored) => {
                format!("{spoken} heats to {} °C and its thermostat stops it; found: ____ °C", stored.to_celsius())
            }
            None => format!("{spoken} heats and its thermostat stops it; found: ____ °C"),
        });
    }
    for outlet in &layout.outlets {
        let told = outlet
            .supply_temperature
            .map_or_else(String::new, |told| format!(" ({} °C on the drawing)", told.to_celsius()));
        let is_piped_hot = site.has_pipe_on(&outlet.id, HOT);
        let hot = if is_piped_hot { ", hot after a minute ____ °C" } else { "" };
        let spoken = outlet.id.with_article();
        points.push(format!("Open {spoken}: steady, without air{told}; found: ____ L/min{hot}"));
    }
    for run in layout.runs.iter().filter(|run| run.service.is_vent()) {
        points.push(format!(
            "With every hot tap open and then shut, nothing comes from {}, and it draws no air",
            run.id.with_article()
        ));
    }
    blocks.push(Block::ToTick(points.iter().map(|point| said(capital(point), voice)).collect()));
}

/// Once a year.
pub(super) fn yearly(blocks: &mut Vec<Block>, site: &Site<'_>, voice: Voice) {
    blocks.push(Block::Chapter("Yearly sheet".to_owned()));
    let layout = site.layout();
    let mut points = Vec::new();
    for cistern in &layout.cisterns {
        let spoken = cistern.id.with_article();
        points.push(format!("The water of {spoken} is clear, without slime, rust or insects"));
        points.extend(kit(cistern));
        points.push(format!("Temperature of the water in {spoken} on a warm day: ____ °C"));
        points.push(format!("The float valve of {spoken} shuts tight; the water line is where it was marked"));
    }
    for platform in &layout.platforms {
        points
            .push(format!("{} is dry, level and not bent; no crack in the ceiling below", platform.id.with_article()));
    }
    let open_ends = layout.runs.iter().filter(|run| matches!(run.screen, Some(Screen::Mesh(_))));
    points.extend(open_ends.map(|run| format!("The screen of {} is whole and clear", run.id.with_article())));
    points.extend(layout.tagged_fittings().iter().map(fitting));
    for run in layout.runs.iter().filter(|run| run.insulation.as_ref().is_some_and(|stretches| !stretches.is_empty())) {
        points.push(format!("The insulation of {} is whole and dry", run.id.with_article()));
    }
    for cylinder in &layout.cylinders {
        points.push(format!("{} is dry below its connections; stored at ____ °C", cylinder.id.with_article()));
    }
    blocks.push(Block::ToTick(points.iter().map(|point| said(capital(point), voice)).collect()));
}

/// What belongs to a cistern and can be looked at from beside it.
fn kit(cistern: &Cistern) -> Vec<String> {
    let spoken = cistern.id.with_article();
    let mut points = vec![match cistern.lid {
        Some(Lid::Tight) => format!("The lid of {spoken} is on, close-fitting and fixed"),
        Some(Lid::Loose) => format!("The lid of {spoken} is loose on the drawing: see whether it has been fixed"),
        Some(Lid::Missing) => format!("{spoken} has no lid on the drawing: see whether it has got one"),
        None => format!("See whether {spoken} has a lid, and how it fits"),
    }];
    if let Some(Screen::Mesh(opening)) = cistern.lid_screen {
        points.push(format!("The screen of the lid of {spoken} is whole, openings {} mm", opening.to_mm()));
    }
    if let Some(DipTube::EndsAt(level)) = cistern.dip_tube {
        points.push(format!("The dip tube in {spoken} is in place, down to {} mm above the base", level.to_mm()));
    }
    if cistern.jacket.is_some() {
        points.push(format!("The jacket of {spoken} is on, and nothing lies below its base"));
    }
    points
}

/// A fitting, by the tag that it has on the drawing and should have in the house.
fn fitting(tagged: &Tagged<'_>) -> String {
    let kind = tagged.fitting.kind;
    let sound = match kind {
        InLineKind::DrainCock => "does not drip",
        InLineKind::Pump => "runs the right way and quietly",
        InLineKind::NonReturnValve => "lets water pass one way alone",
        InLineKind::GateValve | InLineKind::LeverValve | InLineKind::StopValve | InLineKind::ServiceValve => {
            "turns freely, stands open"
        }
    };
    format!("{}, the {} of {}: has its tag, {sound}", tagged.tag, kind.words(), tagged.run.id.with_article())
}
