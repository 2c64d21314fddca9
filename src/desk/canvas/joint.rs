//! What the end of a pipe would join where the pointer is, in words, and the rings at the connections of a vessel.

use egui::{Painter, Stroke};
use glam::DVec2;

use super::View;
use super::anchor::Anchor;
use super::hit::extent;
use super::snap::Snapping;
use crate::desk::theme::Palette;
use crate::layout::{Layout, PartRef, Service, suits};

/// How near a vessel the pointer must be for its connections to show, in points.
const REACH: f32 = 14.0;
/// Radius of the ring at a connection, in points.
const RING: f32 = 6.0;

/// The cistern, cylinder or boiler at a point, or close by.
#[must_use]
pub fn vessel_at(layout: &Layout, at: DVec2, mm_per_point: f64) -> Option<PartRef<'_>> {
    let reach = f64::from(REACH) * mm_per_point;
    let is_vessel = |part: &PartRef<'_>| {
        matches!(part, PartRef::Cistern(_) | PartRef::Cylinder(_) | PartRef::Boiler(_)) && !part.ports().is_empty()
    };
    let is_there = |part: &PartRef<'_>| {
        extent(*part).is_some_and(|(low, high)| at.cmpge(low - reach).all() && at.cmple(high + reach).all())
    };
    layout.parts().filter(is_vessel).find(is_there)
}

/// What would be joined, and what Alt does about it; empty where nothing is.
#[must_use]
pub fn words(anchor: &Anchor, snapping: Snapping, vessel: Option<PartRef<'_>>) -> String {
    match (anchor, snapping) {
        (Anchor::Tee { .. }, Snapping::On) => format!("{}; Alt makes none", anchor.words()),
        (Anchor::Free { beside: Some(run), .. }, Snapping::On) => format!("no tee on {}; Alt makes one", run.spoken()),
        (Anchor::Free { beside: Some(run), .. }, Snapping::Suspended) => format!("no tee on {}", run.spoken()),
        (Anchor::Free { .. }, _) => match vessel {
            Some(PartRef::Cistern(cistern)) => {
                format!("join {} at a ring, or anywhere on its sides or base by a new hole", cistern.id.spoken())
            }
            Some(vessel) => format!("join {} at one of its connections, the rings", vessel.id().spoken()),
            None => String::new(),
        },
        (Anchor::Port { .. } | Anchor::Side { .. } | Anchor::Tee { .. }, _) => anchor.words(),
    }
}

/// Rings the connections of a vessel, the bolder those for which the service is meant.
pub fn rings(painter: &Painter, view: &View, vessel: PartRef<'_>, service: Service, palette: Palette) {
    for (port, at) in vessel.ports() {
        let colour = if suits(port.as_str(), service) { palette.guide } else { palette.faint };
        let place = view.screen_from_section(at.vector());
        painter.circle(place, RING, palette.paper.gamma_multiply(0.6), Stroke::new(2.0, colour));
    }
}
