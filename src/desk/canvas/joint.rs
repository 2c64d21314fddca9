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
pub fn words(anchor: &Anchor, service: Service, snapping: Snapping, vessel: Option<PartRef<'_>>) -> String {
    match (anchor, snapping) {
        (Anchor::Tee { .. }, Snapping::On) => format!("{}; Alt makes none", anchor.words()),
        (Anchor::Free { beside: Some(run), .. }, Snapping::On) => format!("no tee on {}; Alt makes one", run.spoken()),
        (Anchor::Free { beside: Some(run), .. }, Snapping::Suspended) => format!("no tee on {}", run.spoken()),
        (Anchor::Free { .. }, _) => match vessel {
            Some(PartRef::Cistern(cistern)) if service.is_vent() => {
                format!("end it in the open over {}: Enter, or a second click on the same place", cistern.id.spoken())
            }
            Some(PartRef::Cistern(cistern)) => {
                format!("join {} at a ring, or anywhere on its sides or base by a new hole", cistern.id.spoken())
            }
            Some(vessel) => format!("join {} at one of its connections, the rings", vessel.id().spoken()),
            None => String::new(),
        },
        (Anchor::Port { .. } | Anchor::Side { .. } | Anchor::Tee { .. }, _) => anchor.words(),
    }
}

/// That an end in the open at a vessel does not join it, where it looks as if it did. A vent ends so over a cistern.
#[must_use]
pub fn unjoined_words(layout: &Layout, service: Service, end: DVec2, mm_per_point: f64) -> Option<String> {
    let vessel = vessel_at(layout, end, mm_per_point)?;
    if service.is_vent() && matches!(vessel, PartRef::Cistern(_)) {
        return None;
    }
    let name = vessel.id().spoken();
    Some(format!("It ends in the open, and is not joined to {name}: drag its end onto a ring to join it"))
}

/// Rings the connections of a vessel, the bolder those for which the service is meant.
pub fn rings(painter: &Painter, view: &View, vessel: PartRef<'_>, service: Service, palette: Palette) {
    for (port, at) in vessel.ports() {
        let colour = if suits(port.as_str(), service) { palette.guide } else { palette.faint };
        let place = view.screen_from_section(at.vector());
        painter.circle(place, RING, palette.paper.gamma_multiply(0.6), Stroke::new(2.0, colour));
    }
}

#[cfg(test)]
mod tests {
    use glam::dvec2;

    use super::*;
    use crate::desk::examples;
    use crate::layout::Id;

    #[test]
    fn a_vent_is_told_to_end_over_a_cistern_and_anything_else_to_join_it() {
        let layout = examples::first();
        let cistern = layout.part(&layout.cisterns[0].id).expect("there");
        let free = Anchor::free(DVec2::ZERO);
        let told = |service| words(&free, service, Snapping::On, Some(cistern));
        assert!(told(Service::OpenVent).contains("end it in the open over"), "{}", told(Service::OpenVent));
        assert!(told(Service::ColdFeed).contains("join cistern at a ring"), "{}", told(Service::ColdFeed));
    }

    #[test]
    fn an_end_beside_a_ring_is_said_to_be_none() {
        let layout = examples::first();
        let cylinder = layout.part(&Id::of("cylinder")).expect("there");
        let (low, high) = extent(cylinder).expect("a box");
        let beside = dvec2(high.x + 5.0, f64::midpoint(low.y, high.y));
        let said = unjoined_words(&layout, Service::ColdFeed, beside, 1.0).expect("something to say");
        assert!(said.contains("is not joined to cylinder"), "{said}");
        assert_eq!(unjoined_words(&layout, Service::ColdFeed, beside + 2000.0, 1.0), None);
        let over = layout.cisterns[0].at.vector() + dvec2(300.0, 500.0);
        assert_eq!(unjoined_words(&layout, Service::OpenVent, over, 1.0), None);
    }
}
