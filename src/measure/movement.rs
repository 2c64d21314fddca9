//! Measures of how water moves through cisterns: where it leaves, what shuts, what links, whether it fits the hatch.

use super::linked::{filled_by_link, highest_water, link_holes, linked_with, only_by_links};
use super::reading::{difference, tenths_mm, written_mm};
use super::{Axis, Feature, Place, Reading, Room, Site, find_out, room};
use crate::layout::{
    Cistern, CisternRole, End, INLET, Id, Joists, LoftHatch, MAINS, PartRef, Service, SupportKind, Tapping, WhichEnd,
};
use crate::units::{Length, Measured, Size};

/// Whether each pipe by which water leaves a storage cistern can be shut; a link is one.
#[must_use]
pub fn outlet_service_valve(site: &Site<'_>) -> Vec<Reading> {
    let of_cistern = |cistern: &Cistern| {
        let leaves = |service| Service::SHARED.contains(&service);
        let pipes = site.attached(&cistern.id).iter().filter(|pipe| leaves(site.run(pipe.run).service));
        let reading = |pipe: &super::Attachment<'_>| {
            let place = Place::of(&cistern.id, Feature::Port(pipe.port.clone()));
            super::distribution::outlet_valve(site, &cistern.id, *pipe).at(place)
        };
        pipes.map(reading).collect::<Vec<_>>()
    };
    site.storage_cisterns().flat_map(of_cistern).collect()
}

/// Which side of a cistern.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Left,
    Middle,
    Right,
}

fn side_of(cistern: &Cistern, port: &Id) -> Option<Side> {
    /// Holes nearer than this to the middle are in the middle.
    const MIDDLE_MM: f64 = 1e-6;
    let middle_mm = cistern.at.x.to_mm() + cistern.length.to_mm() / 2.0;
    let off_mm = PartRef::Cistern(cistern).port(port.as_str())?.x.to_mm() - middle_mm;
    Some(match off_mm {
        off_mm if off_mm.abs() <= MIDDLE_MM => Side::Middle,
        off_mm if off_mm < 0.0 => Side::Left,
        _ => Side::Right,
    })
}

/// Whether water leaves each storage cistern on the side away from its inlet. A link counts as outlet where nothing else
/// takes water out, or what is drawn off beyond it has no other way; as inlet where no float valve lets water in, or what
/// comes in beyond it has no other way. An inlet in the middle has no side.
#[must_use]
pub fn leaves_opposite(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        let (inlets, outlets) = ways_through(site, cistern);
        let side = |port: &Id| side_of(cistern, port);
        let sided: Vec<(&Id, Side)> = inlets.iter().filter_map(|port| Some((port, side(port)?))).collect();
        if !sided.is_empty() && sided.iter().all(|(_, side)| *side == Side::Middle) {
            return None;
        }
        let ways = || sided.iter().flat_map(|inlet| outlets.iter().map(move |outlet| (*inlet, outlet)));
        let mut ways = ways().filter(|((inlet, _), outlet)| inlet != outlet).peekable();
        let is_known = ways.peek().is_some();
        let opposite = ways.any(|((_, inlet), outlet)| {
            matches!((inlet, side(outlet)), (Side::Left, Some(Side::Right)) | (Side::Right, Some(Side::Left)))
        });
        let (yes, no) = ("an outlet connection opposite the inlet", "no outlet connection opposite the inlet");
        let holds = match is_known {
            true => Ok(opposite),
            false => Err("find where the float valve is, and where the pipes leave"),
        };
        Some(Reading::fact(&cistern.id, holds, yes, no))
    };
    site.storage_cisterns().filter_map(reading).collect()
}

/// The holes by which water comes into a cistern, and those by which it leaves.
fn ways_through(site: &Site<'_>, cistern: &Cistern) -> (Vec<Id>, Vec<Id>) {
    let holes = |wanted: fn(Service) -> bool| -> Vec<Id> {
        let pipes = site.attached(&cistern.id).iter().filter(|pipe| wanted(site.run(pipe.run).service));
        pipes.map(|pipe| pipe.port.clone()).collect()
    };
    let by_link = filled_by_link(site, cistern);
    let (in_by_links, out_by_links) = link_holes(site, cistern);
    let (only_in, only_out) = only_by_links(site, cistern);
    let inlets = match by_link {
        true => in_by_links.into_iter().cloned().collect(),
        false => std::iter::once(Id::of(INLET)).chain(only_in.into_iter().cloned()).collect(),
    };
    let outlets = match holes(|service| Service::STORED_COLD.contains(&service)) {
        outlets if !outlets.is_empty() => outlets.into_iter().chain(only_out.into_iter().cloned()).collect(),
        _ if by_link => out_by_links.into_iter().cloned().collect(),
        _ => holes(|service| service == Service::Link),
    };
    (inlets, outlets)
}

/// Height above the base of each connection in the side of a storage cistern that takes water out.
#[must_use]
pub fn side_outlet_height(site: &Site<'_>) -> Vec<Reading> {
    let of_cistern = |cistern: &Cistern| {
        let reading = |connection: &crate::layout::Connection| {
            let (Tapping::Left(height) | Tapping::Right(height)) = connection.on else { return None };
            let mut pipes = site.on_port(&cistern.id, connection.port.as_str());
            let takes = pipes.any(|pipe| Service::STORED_COLD.contains(&site.run(pipe.run).service));
            let port = Place::of(&cistern.id, Feature::Port(connection.port.clone()));
            takes.then(|| {
                let above = site.length(height);
                Reading::mm(&cistern.id, above)
                    .between(Axis::Upright, [Place::of(&cistern.id, Feature::Base), port])
                    .working(format!("{}: {} mm above the base", connection.port.spoken(), written_mm(height.to_mm())))
            })
        };
        cistern.connections.iter().filter_map(reading).collect::<Vec<_>>()
    };
    site.storage_cisterns().flat_map(of_cistern).collect()
}

/// How far the water stands over each hole in the side of a cistern by which it leaves: to the taps, to the cylinder, or to
/// the heating.
#[must_use]
pub fn water_over_outlet(site: &Site<'_>) -> Vec<Reading> {
    let of_cistern = |cistern: &Cistern| {
        let leaves = |service| Service::STORED_COLD.contains(&service) || service == Service::PrimaryFeed;
        let reading = |hole: &crate::layout::Connection| {
            let (Tapping::Left(height) | Tapping::Right(height)) = hole.on else { return None };
            let mut pipes = site.on_port(&cistern.id, hole.port.as_str());
            pipes.find(|pipe| leaves(site.run(pipe.run).service))?;
            Some(over_hole(site, cistern, &hole.port, height))
        };
        cistern.connections.iter().filter_map(reading).collect::<Vec<_>>()
    };
    site.layout().cisterns.iter().flat_map(of_cistern).collect()
}

fn over_hole(site: &Site<'_>, cistern: &Cistern, port: &Id, height: Length) -> Reading {
    let hole = Place::of(&cistern.id, Feature::Port(port.clone()));
    let Some((standing, water)) = highest_water(&linked_with(site, cistern)) else {
        let find_out = match cistern.role {
            CisternRole::Storage => find_out::water_line(&cistern.id),
            CisternRole::FeedAndExpansion => find_out::cold_water_line(&cistern.id),
        };
        return Reading::untold(&cistern.id, find_out).at(hole);
    };
    let over = if standing.id == cistern.id {
        site.length(water - cistern.at.z) - site.length(height)
    } else {
        site.level(water) - site.level(cistern.at.z + height)
    };
    Reading::mm(&cistern.id, over)
        .along_with([&standing.id])
        .with_room(Room::Rise, Some(standing.rim().to_mm() - water.to_mm()))
        .with_room(Room::Sink, Some(height.to_mm()))
        .between(Axis::Upright, [hole, Place::of(&standing.id, Feature::WaterLine)])
        .working(difference(
            ("water line", tenths_mm(water.to_mm())),
            (&format!("centre of the hole of {}", port.spoken()), tenths_mm((cistern.at.z + height).to_mm())),
            over,
        ))
}

/// Storage cisterns above the loft ceiling and under its roof; all of them where neither is told.
fn in_loft<'a>(site: &Site<'a>) -> impl Iterator<Item = &'a Cistern> {
    let ceiling = site.building().ceiling.map(|ceiling| ceiling.underside);
    let is_over = move |cistern: &&Cistern| ceiling.is_none_or(|underside| cistern.at.z >= underside);
    site.storage_cisterns().filter(is_over).filter(move |cistern| !room::stands_outside(site, cistern))
}

/// Whether the main is nowhere joined to stored water: a float valve's outlet over the water is no joint, and a valve that
/// is shut is one. One reading for each body of water that holds both, and for each cistern of which that is not so. Of a
/// heating without a cistern it is unknown: what fills it may be a loop that is taken off again.
#[must_use]
pub fn main_apart_from_stored(site: &Site<'_>) -> Vec<Reading> {
    if site.runs_of(Service::RisingMain).next().is_none() {
        return Vec::new();
    }
    let (yes, no) = ("stored water that no pipe joins to the main", "the main joined to the stored water");
    let no_heating = "the main joined to the water of the heating";
    let apart = |id: &Id| Reading::yes(id, yes);
    let leaves_anywhere = site.runs_of(Service::RisingMain).any(|(main, _)| leaves_the_main(site, main).is_some());
    let is_storage =
        |id: &Id| matches!(site.part(id), Some(PartRef::Cistern(cistern)) if cistern.role == CisternRole::Storage);
    if !leaves_anywhere {
        return site.storage_cisterns().map(|cistern| apart(&cistern.id)).collect();
    }
    let readings =
        |(parts, mains): (Vec<&Id>, Vec<usize>)| match mains.into_iter().find_map(|main| leaves_the_main(site, main)) {
            Some((main, at_mm, other)) => {
                let is_stored = parts.iter().any(|id| site.expansion_cisterns().all(|cistern| cistern.id != **id));
                let reading = Reading::no(parts[0], if is_stored { no } else { no_heating });
                let reading = if is_storage(parts[0]) {
                    reading.about_all(parts.into_iter().filter(|id| is_storage(id)))
                } else {
                    reading
                };
                vec![reading.along_with([main, other]).at(Place::of(main, Feature::Along(at_mm)))]
            }
            None => parts.into_iter().filter(|id| is_storage(id)).map(apart).collect(),
        };
    let sealed = site.heatings_on_the_main().into_iter().filter_map(|(heating, mains)| {
        let (main, at_mm, other) = mains.into_iter().find_map(|main| leaves_the_main(site, main))?;
        let subject = heating.boilers(site).next().map_or(other, |boiler| &boiler.id);
        let reading = Reading::untold(subject, find_out::FILLING_LOOP).along_with([main, other]);
        Some(reading.at(Place::of(main, Feature::Along(at_mm))))
    });
    site.mains_in_stored_water().into_iter().flat_map(readings).chain(sealed).collect()
}

/// Where a rising main goes over into a pipe of another service, or ends in a vessel or boiler: the main, how far along it,
/// and the other.
fn leaves_the_main<'a>(site: &Site<'a>, main: usize) -> Option<(&'a Id, f64, &'a Id)> {
    let run = site.run(main);
    let into_pipe = site.joints(main).iter().find(|joint| site.run(joint.other).service != run.service);
    let into_pipe = into_pipe.map(|joint| (joint.at_mm, &site.run(joint.other).id));
    let into_vessel = || {
        WhichEnd::BOTH.into_iter().find_map(|end| match run.end(end) {
            End::Port(part, port) if !matches!(port.as_str(), INLET | MAINS) => match site.part(part)? {
                PartRef::Cistern(_) | PartRef::Cylinder(_) | PartRef::Boiler(_) => {
                    Some((site.end_along(main, end)?, part))
                }
                _ => None,
            },
            _ => None,
        })
    };
    into_pipe.or_else(into_vessel).map(|(at_mm, other)| (&run.id, at_mm, other))
}

/// Whether there is a way into the loft that holds cisterns.
#[must_use]
pub fn way_in(site: &Site<'_>) -> Vec<Reading> {
    let hatch = site.building().hatch.ok_or("find the hatch: where it is, and its clear size");
    let opens = hatch.map(|hatch| matches!(hatch, LoftHatch::Opening(_)));
    in_loft(site).map(|cistern| Reading::fact(&cistern.id, opens, "a loft hatch", "no loft hatch")).collect()
}

/// How much the hatch leaves to spare on both of its sides when each storage cistern in the loft is turned the best way.
#[must_use]
pub fn through_hatch(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        if site.building().hatch == Some(LoftHatch::Missing) {
            // That there is no hatch at all is another rule's fault.
            return None;
        }
        let (Some(hatch), Some(width)) = (site.building().opening(), cistern.width) else {
            let find_out = "measure the clear opening of the hatch, and the cistern front to back";
            return Some(Reading::untold(&cistern.id, find_out));
        };
        let sides = [cistern.length, width, cistern.height];
        let opening = [hatch.length, hatch.width];
        let faces = [[sides[0], sides[1]], [sides[0], sides[2]], [sides[1], sides[2]]];
        let spared = faces.map(|face| to_spare(site, face, opening));
        let most = spared.into_iter().max_by(|a, b| a.value.total_cmp(&b.value))?;
        Some(Reading::mm(&cistern.id, most).working(format!(
            "{} × {} × {} mm through {} × {} mm, turned the best way: {:.1} mm to spare on both sides of the opening; room above the hatch is not looked at",
            written_mm(sides[0].to_mm()),
            written_mm(sides[1].to_mm()),
            written_mm(sides[2].to_mm()),
            written_mm(opening[0].to_mm()),
            written_mm(opening[1].to_mm()),
            most.value
        )))
    };
    in_loft(site).filter_map(reading).collect()
}

/// By how much both sides of a face may grow until it no longer goes through an opening; as well as the four were taped.
fn to_spare(site: &Site<'_>, face: [Size; 2], opening: [Size; 2]) -> Measured {
    /// Small against any tape's error, large against what halving leaves undecided.
    const STEP_MM: f64 = 1e-3;
    let taped = [face[0], face[1], opening[0], opening[1]].map(|size| site.size(size));
    let sides_mm = taped.map(|side| side.value);
    let value = spare_mm(sides_mm);
    let variance = (0..4).map(|number| {
        let mut other = sides_mm;
        other[number] += STEP_MM;
        let slope = (spare_mm(other) - value) / STEP_MM;
        slope * slope * taped[number].variance
    });
    Measured { value, variance: variance.sum() }
}

/// The same in mm, for face and opening, each by its two sides; found by halving.
fn spare_mm([p, q, a, b]: [f64; 4]) -> f64 {
    const HALVINGS: usize = 60;
    let (mut goes, mut sticks) = (-p.max(q), a.max(b));
    for _ in 0..HALVINGS {
        let grown = f64::midpoint(goes, sticks);
        if fits_through((p + grown, q + grown), (a, b)) {
            goes = grown;
        } else {
            sticks = grown;
        }
    }
    f64::midpoint(goes, sticks)
}

/// Whether a rectangle goes through another, turned in its plane if need be
/// (Carver 1957; Wetzel 2000: with p ≥ q in a ≥ b and p > a, b ≥ (2pqa + (p² − q²)√(p² + q² − a²)) / (p² + q²)).
fn fits_through(face_mm: (f64, f64), opening_mm: (f64, f64)) -> bool {
    let (p, q) = (face_mm.0.max(face_mm.1), face_mm.0.min(face_mm.1));
    let (a, b) = (opening_mm.0.max(opening_mm.1), opening_mm.0.min(opening_mm.1));
    if q <= 0.0 {
        // Nothing is left of it on one side at least.
        return p <= a.hypot(b);
    }
    if p <= a {
        return q <= b;
    }
    let square = p * p + q * q;
    q <= b && square > a * a && b >= (2.0 * p * q * a + (p * p - q * q) * (square - a * a).sqrt()) / square
}

/// Whether shallow joists under cisterns, of so many mm or less, are whole, and trussed rafters of any depth.
#[must_use]
pub fn shallow_joists(site: &Site<'_>, shallow_mm: f64) -> Vec<Reading> {
    let has_nothing_to_give =
        |joists: &&Joists| joists.depth.to_mm() <= shallow_mm || joists.kind == Some(SupportKind::TrussedRafter);
    let Some(joists) = site.building().joists.as_ref().filter(has_nothing_to_give) else { return Vec::new() };
    let notched = joists.notched.ok_or("see whether joists near the platform are notched or drilled");
    let whole = notched.map(|notched| !notched);
    site.storage_cisterns()
        .map(|cistern| Reading::fact(&cistern.id, whole, "whole timbers", "notched or drilled timbers"))
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

    #[test]
    fn what_is_to_spare_is_the_growth_that_just_fits() {
        // Straight: 600 − 590 and 500 − 480, whichever is less; too big by 10.
        assert!((spare_mm([480.0, 590.0, 600.0, 500.0]) - 10.0).abs() < 1e-6);
        assert!((spare_mm([600.0, 510.0, 500.0, 600.0]) + 10.0).abs() < 1e-6);
        // A strip of 1200 × 0 on the diagonal of a square of 1000 may grow to g with (1200 + g) + g = 1000 √2.
        let grown = (1000.0 * 2.0_f64.sqrt() - 1200.0) / 2.0;
        assert!((spare_mm([1200.0, 0.0, 1000.0, 1000.0]) - grown).abs() < 1e-6);
    }
}
