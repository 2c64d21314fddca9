//! Measures of cisterns: what they hold, the room above them, their fittings and how clean and cold they keep water.

use super::beneath::{Height, SEE_INSULATION};
use super::linked::{filled_by_link, highest_water_line, linked_with, to_common_line};
use super::overflow_level::{Invert, highest_invert, leaves_by_base, lowest_invert};
use super::reading::{difference, tenths_mm, written_mm};
use super::{
    Axis, Feature, Place, Reading, Room, Site, believed_capacity_l, find_out, rim_volume_l, room, top_litres_per_mm,
    water_volume_l,
};
use crate::layout::{Cistern, DipTube, FloatValvePattern, INLET, Id, Lid, Screen, Service, Tapping, WhichEnd};
use crate::units::{Amount, Length, Level, Measured, Unit};

/// What is known of the pipes that storage cisterns feed.
#[derive(PartialEq, Eq)]
enum Duty {
    TapsAndCylinder,
    CylinderOnly,
    TapsOnly,
    Untold,
}

fn duty(site: &Site<'_>, group: &[&Cistern]) -> Duty {
    let feeds = |service| group.iter().any(|cistern| !site.ports_feeding(cistern, service).is_empty());
    match (feeds(Service::ColdDistribution), feeds(Service::ColdFeed)) {
        (true, true) => Duty::TapsAndCylinder,
        (false, true) if cold_taps_may_hang_on(site) => Duty::Untold,
        (false, true) => Duty::CylinderOnly,
        (true, false) => Duty::TapsOnly,
        (false, false) => Duty::Untold,
    }
}

/// Whether a cold distribution pipe goes on beyond the drawing that is drawn from no cistern: taps may hang on any of them.
fn cold_taps_may_hang_on(site: &Site<'_>) -> bool {
    site.bodies_of(&[Service::ColdDistribution]).iter().any(|body| {
        let mut ends = body.iter().flat_map(|run| site.run(*run).ends());
        !ends.any(|end| site.cistern_at(end).is_some()) && body.iter().any(|run| site.run(*run).goes_on())
    })
}

fn ids<'a>(group: &[&'a Cistern]) -> impl Iterator<Item = &'a Id> {
    group.iter().map(|cistern| &cistern.id)
}

/// The most that can stand in a cistern of which nobody has told how high its water stands.
fn most_l(site: &Site<'_>, cistern: &Cistern) -> Option<(Measured, String)> {
    let is_told = cistern.line_above_base().is_some() || cistern.water_volume.is_some();
    if is_told { None } else { rim_volume_l(site, cistern).ok() }
}

/// Litres to the water line of cisterns that share their water.
fn stored(site: &Site<'_>, group: &[&Cistern]) -> Reading {
    let subject = &group[0].id;
    let mut together = Measured::exact(0.0);
    let mut working = Vec::new();
    let mut rest = None;
    for cistern in group {
        let below_line = water_volume_l(site, cistern).and_then(|volume| to_common_line(site, cistern, volume));
        match (below_line, most_l(site, cistern)) {
            (Ok((litres, words)), _) => {
                together = together + litres;
                working.push(if group.len() > 1 { format!("{}: {words}", cistern.id.spoken()) } else { words });
                if let Ok((nominal, _)) = rim_volume_l(site, cistern) {
                    working.push(format!("nominal, to the brim: {:.0} L; the water line judges", nominal.value));
                }
            }
            (Err(find_out), Some((litres, words))) => {
                together = together + litres;
                working.push(format!("{}: at most what it holds, {words}", cistern.id.spoken()));
                rest.get_or_insert(find_out);
            }
            (Err(find_out), None) => return Reading::untold(subject, find_out).about_all(ids(group)),
        }
    }
    if group.len() > 1 {
        working.push(format!("together {:.1} L", together.value));
    }
    let places = ids(group).map(|id| Place::of(id, Feature::WaterLine));
    let reading = Reading::amount(subject, together, Unit::Litre).about_all(ids(group)).between(Axis::None, places);
    // Where one line comes down, no more than the lowest is sure of all of them.
    let of_line =
        |cistern: &&Cistern| top_litres_per_mm(site, cistern, cistern.surface()?.to_mm() - cistern.at.z.to_mm());
    let reading = reading.but_for(rest).with_litres_per_mm(group.iter().map(of_line).sum());
    reading.workings(working)
}

/// Litres to the water line of the storage cisterns that feed cold outlets and a cylinder; those that share their water
/// count together.
#[must_use]
pub fn storage_for_taps_and_cylinder(site: &Site<'_>) -> Vec<Reading> {
    let reading = |group: &Vec<&Cistern>| match duty(site, group) {
        Duty::TapsAndCylinder => Some(stored(site, group)),
        Duty::CylinderOnly | Duty::TapsOnly => None,
        Duty::Untold => {
            let find_out = "draw which pipes leave it, and what they feed";
            Some(Reading::untold(&group[0].id, find_out).about_all(ids(group)))
        }
    };
    site.storage_groups().iter().filter_map(reading).collect()
}

/// Litres to the water line of the storage cisterns that feed only a cylinder.
#[must_use]
pub fn storage_for_cylinder_only(site: &Site<'_>) -> Vec<Reading> {
    let groups = site.storage_groups();
    let fed_only = groups.iter().filter(|group| duty(site, group) == Duty::CylinderOnly);
    fed_only.map(|group| stored(site, group)).collect()
}

/// Litres to the water line, against what the cylinders fed hold together.
#[must_use]
pub fn storage_against_cylinder(site: &Site<'_>) -> Vec<Reading> {
    let against = |group: &Vec<&Cistern>| {
        let fed: Vec<_> = group.iter().flat_map(|cistern| site.cylinders_fed_by(cistern)).collect();
        if fed.is_empty() {
            return None;
        }
        let mut reading = stored(site, group).along_with(fed.iter().map(|cylinder| &cylinder.id));
        let mut capacity = Measured::exact(0.0);
        for cylinder in fed {
            let (litres, working) = match believed_capacity_l(site, cylinder) {
                Ok(believed) => believed,
                Err(find_out) => {
                    return Some(Reading::untold(&cylinder.id, find_out).along_with(ids(group)));
                }
            };
            capacity = capacity + litres;
            reading = reading.working(format!("{}: {working}", cylinder.id.spoken()));
        }
        Some(reading.against(capacity))
    };
    site.storage_groups().iter().filter_map(against).collect()
}

/// What the jacket of each storage cistern covers.
#[must_use]
pub fn jacket(site: &Site<'_>) -> Vec<Reading> {
    let words = |cistern: &Cistern| {
        cistern.jacket.ok_or(find_out::JACKET).map(|jacket| match (jacket.sides, jacket.top) {
            (true, true) => JACKET_ALL_ROUND,
            (true, false) => "a jacket on the sides only",
            (false, true) => "a jacket on the top only",
            (false, false) => "no jacket",
        })
    };
    site.storage_cisterns().map(|cistern| Reading::choice(&cistern.id, words(cistern))).collect()
}

/// What a jacket that covers sides and top is called.
pub const JACKET_ALL_ROUND: &str = "a jacket on sides and top";

/// Whether the space below each storage cistern is free of loft insulation. Not asked of one that stands so high, or
/// outside, that no warmth comes to it from below.
#[must_use]
pub fn nothing_below(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        let may_be_high = match Height::of(site, cistern) {
            Height::Clear(..) | Height::Outside => return None,
            Height::Untold(find_out) => Some(find_out.to_owned()),
            Height::Close => None,
        };
        let insulated = cistern.loft_insulation_below.ok_or(SEE_INSULATION);
        let free = insulated.map(|insulated| !insulated);
        let reading = Reading::fact(&cistern.id, free, "no loft insulation below", "loft insulation below");
        Some(reading.at(Place::of(&cistern.id, Feature::Base)).unless(may_be_high))
    };
    site.storage_cisterns().filter_map(reading).collect()
}

/// Whether each storage cistern keeps light out.
#[must_use]
pub fn opaque(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        let opaque = cistern.opaque.ok_or("see whether light comes through the body");
        Reading::fact(&cistern.id, opaque, "an opaque body", "a body that lets light through")
    };
    site.storage_cisterns().map(reading).collect()
}

/// What a lid that shuts tightly is called.
pub const LID_TIGHT: &str = "a close-fitting lid";

/// What a lid that does not is called.
pub const LID_LOOSE: &str = "a loose lid";

/// How each storage cistern's lid fits.
#[must_use]
pub fn lid(site: &Site<'_>) -> Vec<Reading> {
    site.storage_cisterns().map(lid_of).collect()
}

/// How each feed-and-expansion cistern's lid fits.
#[must_use]
pub fn expansion_lid(site: &Site<'_>) -> Vec<Reading> {
    site.expansion_cisterns().map(lid_of).collect()
}

fn lid_of(cistern: &Cistern) -> Reading {
    let words = cistern.lid.ok_or(find_out::LID).map(|lid| match lid {
        Lid::Tight => LID_TIGHT,
        Lid::Loose => LID_LOOSE,
        Lid::Missing => "no lid",
    });
    Reading::choice(&cistern.id, words).at(Place::of(&cistern.id, Feature::Top))
}

/// Opening of the screen over the lid vent of each storage cistern that is not told to have no lid.
#[must_use]
pub fn lid_screen(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        screen(&cistern.id, cistern.lid_screen, "no screen on the lid's vent", "look for the screen in the lid's vent")
            .at(Place::of(&cistern.id, Feature::Top))
    };
    site.storage_cisterns().filter(|cistern| cistern.lid != Some(Lid::Missing)).map(reading).collect()
}

/// Opening of the screen on each warning pipe that lets its water go.
#[must_use]
pub fn warning_screen(site: &Site<'_>) -> Vec<Reading> {
    let reading = |number: usize| {
        let run = site.run(number);
        let out = match site.mouth(number) {
            Some(end) => end,
            // The screen is on the pipe that it runs into, or that carries it on.
            None if !site.joints(number).is_empty() => return None,
            None => WhichEnd::To,
        };
        let along_mm = site.end_along(number, out).unwrap_or(0.0);
        Some(
            screen(&run.id, run.screen, "no screen on the warning pipe", "look for the screen on the warning pipe")
                .at(Place::of(&run.id, Feature::Along(along_mm))),
        )
    };
    site.warning_pipes().filter_map(reading).collect()
}

/// Meshes are read off a label, not measured with a tape.
fn screen(subject: &Id, screen: Option<Screen>, missing: &'static str, find_out: &str) -> Reading {
    match screen {
        Some(Screen::Mesh(opening)) => Reading::mm(subject, Measured::exact(opening.to_mm())),
        Some(Screen::Missing) => Reading::no(subject, missing),
        None => Reading::untold(subject, find_out),
    }
}

/// How far each dip tube reaches below the water line.
#[must_use]
pub fn dip_tube_below_water(site: &Site<'_>) -> Vec<Reading> {
    let has_standpipe =
        |cistern: &&Cistern| site.warning_ports(cistern).into_iter().any(|port| leaves_by_base(cistern, port));
    let reading = |cistern: &Cistern| {
        match (cistern.dip_tube, cistern.line_above_base()) {
            (Some(DipTube::Missing), _) => Reading::no(&cistern.id, "no dip tube"),
            (Some(DipTube::EndsAt(end)), _) if end.to_mm() <= 0.0 => Reading::untold(
                &cistern.id,
                format!(
                    "measure the end of the dip tube above the base again: at {} no water gets into it",
                    Amount::mm(end.to_mm())
                ),
            ),
            (Some(DipTube::EndsAt(end)), Some(line)) => {
                let below = site.length(line) - site.length(end);
                Reading::mm(&cistern.id, below).working(difference(
                    ("water line", written_mm(line.to_mm())),
                    ("end of dip tube", written_mm(end.to_mm())),
                    below,
                ))
            }
            (Some(DipTube::EndsAt(_)), None) => Reading::untold(&cistern.id, find_out::water_line(&cistern.id)),
            (None, _) => Reading::untold(&cistern.id, find_out::DIP_TUBE),
        }
        .between(
            Axis::Upright,
            [Place::of(&cistern.id, Feature::DipTubeEnd), Place::of(&cistern.id, Feature::WaterLine)],
        )
    };
    let is_told = |cistern: &Cistern| matches!(cistern.dip_tube, Some(DipTube::EndsAt(_)));
    let asked = site.storage_cisterns().filter(|cistern| is_told(cistern) || !site.has_no_warning_pipe(cistern));
    asked.filter(|cistern| !has_standpipe(cistern)).map(reading).collect()
}

/// How far the lowest overflow's invert lies above each cistern's water line.
#[must_use]
pub fn overflow_above_water(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern| above_water(site, cistern, lowest_invert(site, cistern));
    let cisterns = site.layout().cisterns.iter();
    cisterns.filter(|cistern| !site.has_no_warning_pipe(cistern)).map(reading).collect()
}

/// How far an overflow's invert lies above its cistern's water line.
pub(super) fn above_water(site: &Site<'_>, cistern: &Cistern, invert: Result<Invert<'_>, String>) -> Reading {
    let invert = match invert {
        Ok(found) => found,
        Err(find_out) => return Reading::untold(&cistern.id, find_out),
    };
    let Some((standing, water)) = highest_water_line(&linked_with(site, cistern)) else {
        let find_out = find_out::water_line(&cistern.id);
        return Reading::untold(&cistern.id, find_out);
    };
    if standing.id != cistern.id {
        return overflow_above_linked_water(site, cistern, invert, standing, water);
    }
    let line = water - cistern.at.z;
    let gap = invert.height - site.length(line);
    let room_mm = below_rim_mm(cistern, &invert);
    let places = [Place::of(&cistern.id, Feature::WaterLine), invert.place];
    let reading = Reading::mm(&cistern.id, gap).with_room(Room::Rise, Some(room_mm));
    let reading = reading.with_room(Room::Water, room::under_water_line_mm(site, cistern));
    reading.between(Axis::Upright, places).working(difference(
        ("overflow invert", tenths_mm(invert.height.value)),
        ("water line", written_mm(line.to_mm())),
        gap,
    ))
}

/// How far an overflow can be raised until its tube comes to the rim, mm.
fn below_rim_mm(cistern: &Cistern, invert: &Invert<'_>) -> f64 {
    cistern.height.to_mm() - invert.height.value - 2.0 * invert.half_bore_mm
}

/// The same where the water of a linked cistern stands higher: that is how high it stands in this one as well.
fn overflow_above_linked_water(
    site: &Site<'_>,
    cistern: &Cistern,
    invert: Invert<'_>,
    standing: &Cistern,
    water: Level,
) -> Reading {
    let overflow = site.level(cistern.at.z) + invert.height;
    let gap = overflow - site.level(water);
    let room_mm = below_rim_mm(cistern, &invert);
    Reading::mm(&cistern.id, gap)
        .along_with([&standing.id])
        .with_room(Room::Rise, Some(room_mm))
        .with_room(Room::Water, room::under_water_line_mm(site, standing))
        .between(Axis::Upright, [Place::of(&standing.id, Feature::WaterLine), invert.place])
        .working(difference(
            ("overflow invert", tenths_mm(overflow.value)),
            (&format!("water line of the linked {}", standing.id.spoken()), tenths_mm(water.to_mm())),
            gap,
        ))
}

/// How far each float valve's outlet lies above the highest overflow's invert.
#[must_use]
pub fn float_valve_above_overflow(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        outlet_above_overflow(site, cistern).unwrap_or_else(|find_out| Reading::untold(&cistern.id, find_out))
    };
    with_float_valve(site).filter(|cistern| !site.has_no_warning_pipe(cistern)).map(reading).collect()
}

/// The same for one cistern.
///
/// # Errors
/// What to find out, when the layout does not tell.
pub(super) fn outlet_above_overflow(site: &Site<'_>, cistern: &Cistern) -> Result<Reading, String> {
    let outlet = outlet_height(cistern).ok_or_else(|| find_out::FLOAT_VALVE_OUTLET.to_owned())?;
    let invert = highest_invert(site, cistern)?;
    let gap = site.length(outlet) - invert.height;
    // What is drawn above the rim has to come down to it before that counts.
    let down_mm = if invert.place.feature == Feature::Top { 0.0 } else { invert.height.value };
    let places = [invert.place, Place::of(&cistern.id, Feature::FloatValveOutlet)];
    let reading = Reading::mm(&cistern.id, gap)
        .with_room(Room::Rise, shank_below_rim_mm(cistern))
        .with_room(Room::Sink, Some(down_mm))
        .between(Axis::Upright, places);
    Ok(reading.working(difference(
        ("float valve outlet", written_mm(outlet.to_mm())),
        ("overflow invert", tenths_mm(invert.height.value)),
        gap,
    )))
}

/// How far the shank of a float valve in the side lies below the rim, mm.
fn shank_below_rim_mm(cistern: &Cistern) -> Option<f64> {
    match cistern.float_valve?.shank {
        Tapping::Left(height) | Tapping::Right(height) => Some(cistern.height.to_mm() - height.to_mm()),
        Tapping::Base(_) | Tapping::Top(_) => None,
    }
}

/// Cisterns that a float valve fills, told or not; not those that are filled through a link.
pub(super) fn with_float_valve<'a>(site: &Site<'a>) -> impl Iterator<Item = &'a Cistern> {
    site.layout().cisterns.iter().filter(|cistern| !filled_by_link(site, cistern))
}

pub(super) fn outlet_height(cistern: &Cistern) -> Option<Length> {
    cistern.float_valve?.outlet
}

/// Pattern of each float valve.
#[must_use]
pub fn float_valve_pattern(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        let pattern = cistern.float_valve.and_then(|valve| valve.pattern).ok_or("read the pattern off the float valve");
        Reading::choice(&cistern.id, pattern.map(FloatValvePattern::words))
            .at(Place::of(&cistern.id, Feature::FloatValveOutlet))
    };
    with_float_valve(site).map(reading).collect()
}

/// Whether the pipe to each float valve can be shut.
#[must_use]
pub fn float_valve_service_valve(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        let pipe = site.on_port(&cistern.id, INLET).next();
        let place = Place::of(&cistern.id, Feature::Port(Id::of(INLET)));
        super::distribution::service_valve(site, &cistern.id, pipe.copied()).at(place)
    };
    with_float_valve(site).map(reading).collect()
}
