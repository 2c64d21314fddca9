//! Measures of how water moves through cisterns: where it leaves, what shuts, what links, whether it fits the hatch.

use super::{Axis, Feature, Place, Reading, Site};
use crate::layout::{Cistern, CisternRole, INLET, Id, PartRef, Service, Tapping};

fn storage<'a>(site: &Site<'a>) -> impl Iterator<Item = &'a Cistern> {
    site.layout().cisterns.iter().filter(|cistern| cistern.role == CisternRole::Storage)
}

/// Whether a service takes stored water out of a cistern.
const fn takes_water(service: Service) -> bool {
    matches!(service, Service::ColdFeed | Service::ColdDistribution)
}

/// Whether each pipe that takes water out of a storage cistern can be shut.
#[must_use]
pub fn outlet_service_valve(site: &Site<'_>) -> Vec<Reading> {
    let of_cistern = |cistern: &Cistern| {
        let pipes = site.attached(&cistern.id).iter().filter(|pipe| takes_water(site.run(pipe.run).service));
        let reading = |pipe: &super::Attachment<'_>| {
            let place = Place::of(&cistern.id, Feature::Port(pipe.port.clone()));
            let run = &site.run(pipe.run).id;
            super::distribution::service_valve(site, run, Some(*pipe)).along_with([&cistern.id]).at(place)
        };
        pipes.map(reading).collect::<Vec<_>>()
    };
    storage(site).flat_map(of_cistern).collect()
}

/// Whether water leaves each storage cistern on the side away from its inlet.
#[must_use]
pub fn leaves_opposite(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        let middle = cistern.at.x.to_mm() + cistern.length.to_mm() / 2.0;
        let side_of = |port: &Id| {
            let point = PartRef::Cistern(cistern).port(port.as_str())?;
            Some(point.x.to_mm() > middle)
        };
        let find_out = "find where the float valve is, and where the pipes leave";
        let Some(inlet_right) = side_of(&Id::of(INLET)) else {
            return Reading::untold(&cistern.id, find_out);
        };
        let takers = site.attached(&cistern.id).iter().filter(|pipe| takes_water(site.run(pipe.run).service));
        let sides: Vec<bool> = takers.filter_map(|pipe| side_of(pipe.port)).collect();
        let holds = (!sides.is_empty()).then(|| sides.iter().any(|right| *right != inlet_right));
        let (yes, no) = ("an outlet opposite the inlet", "inlet and outlets on one side");
        Reading::fact(&cistern.id, holds, yes, no, find_out)
    };
    storage(site).map(reading).collect()
}

/// Height above the base of each connection in the side of a storage cistern that takes water out.
#[must_use]
pub fn side_outlet_height(site: &Site<'_>) -> Vec<Reading> {
    let of_cistern = |cistern: &Cistern| {
        let reading = |connection: &crate::layout::Connection| {
            let (Tapping::Left(height) | Tapping::Right(height)) = connection.on else { return None };
            let takes = site
                .attached(&cistern.id)
                .iter()
                .any(|pipe| *pipe.port == connection.port && takes_water(site.run(pipe.run).service));
            let port = Place::of(&cistern.id, Feature::Port(connection.port.clone()));
            takes.then(|| {
                let above = site.length(height);
                Reading::mm(&cistern.id, above)
                    .between(Axis::Upright, [Place::of(&cistern.id, Feature::Base), port])
                    .working(format!("{}: {} mm above the base", connection.port.spoken(), height.to_mm()))
            })
        };
        cistern.connections.iter().filter_map(reading).collect::<Vec<_>>()
    };
    storage(site).flat_map(of_cistern).collect()
}

/// Whether each linked storage cistern is filled and drawn from by itself.
#[must_use]
pub fn linked_cisterns(site: &Site<'_>) -> Vec<Reading> {
    let linked = |cistern: &&Cistern| site.attached_of(&cistern.id, Service::Link).next().is_some();
    let reading = |cistern: &Cistern| {
        let has = |wanted: &dyn Fn(&super::Attachment<'_>) -> bool| site.attached(&cistern.id).iter().any(wanted);
        let filled = has(&|pipe| pipe.port.as_str() == INLET);
        let drawn_from = has(&|pipe| takes_water(site.run(pipe.run).service));
        let (yes, no) = ("an inlet and an outlet of its own", "no inlet, or no outlet, of its own");
        Reading::fact(&cistern.id, Some(filled && drawn_from), yes, no, "")
    };
    storage(site).filter(linked).map(reading).collect()
}

/// Whether there is a way into the loft that holds cisterns.
#[must_use]
pub fn way_in(site: &Site<'_>) -> Vec<Reading> {
    let hatch = site.building().hatch.map(|_| true);
    let find_out = "find the hatch: where it is, and its clear size";
    storage(site).map(|cistern| Reading::fact(&cistern.id, hatch, "a loft hatch", "no loft hatch", find_out)).collect()
}

/// Whether each storage cistern goes through the loft hatch in some orientation.
#[must_use]
pub fn through_hatch(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        let (Some(hatch), Some(width)) = (site.building().hatch, cistern.width) else {
            return Reading::untold(
                &cistern.id,
                "measure the clear opening of the hatch, and the cistern front to back",
            );
        };
        let sides = [cistern.length.to_mm(), width.to_mm(), cistern.height.to_mm()];
        let opening = (hatch.length.to_mm(), hatch.width.to_mm());
        let faces = [(sides[0], sides[1]), (sides[0], sides[2]), (sides[1], sides[2])];
        let goes = faces.into_iter().any(|face| fits_through(face, opening));
        let (yes, no) = ("a cistern that goes through the hatch", "a cistern too big for the hatch");
        Reading::fact(&cistern.id, Some(goes), yes, no, "").working(format!(
            "{} × {} × {} mm through {} × {} mm, in any orientation; room above the hatch is not looked at",
            sides[0], sides[1], sides[2], opening.0, opening.1
        ))
    };
    storage(site).map(reading).collect()
}

/// Whether a rectangle goes through another, turned in its plane if need be
/// (Carver 1957; Wetzel 2000: with p ≥ q in a ≥ b and p > a, b ≥ (2pqa + (p² − q²)√(p² + q² − a²)) / (p² + q²)).
fn fits_through(face: (f64, f64), opening: (f64, f64)) -> bool {
    let (p, q) = (face.0.max(face.1), face.0.min(face.1));
    let (a, b) = (opening.0.max(opening.1), opening.0.min(opening.1));
    if p <= a {
        return q <= b;
    }
    let square = p * p + q * q;
    q <= b && square > a * a && b >= (2.0 * p * q * a + (p * p - q * q) * (square - a * a).sqrt()) / square
}

/// Whether shallow joists under cisterns are whole.
#[must_use]
pub fn shallow_joists(site: &Site<'_>) -> Vec<Reading> {
    /// Joists of this depth or less are left whole (plumbing textbook, p. 336, seen).
    const SHALLOW_MM: f64 = 100.0;
    let Some(joists) = site.building().joists.as_ref().filter(|joists| joists.depth.to_mm() <= SHALLOW_MM) else {
        return Vec::new();
    };
    let find_out = "see whether joists near the platform are notched or drilled";
    let whole = joists.notched.map(|notched| !notched);
    storage(site)
        .map(|cistern| Reading::fact(&cistern.id, whole, "whole joists", "notched or drilled shallow joists", find_out))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_face_goes_through_straight_or_turned() {
        assert!(fits_through((600.0, 500.0), (500.0, 600.0)));
        assert!(!fits_through((600.0, 510.0), (500.0, 600.0)));
        // A thin strip passes on the diagonal: 1 × 0 in a unit square reaches √2.
        assert!(fits_through((1.4, 0.001), (1.0, 1.0)));
        assert!(!fits_through((1.42, 0.001), (1.0, 1.0)));
    }
}
