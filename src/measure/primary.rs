//! Measures of the primary side: feed-and-expansion cistern, its feed and its vent, and where vents end.

use foldhash::HashSet;

use super::heatings::{CIRCUIT, HeatingWater};
use super::overflow_level::lowest_invert;
use super::reading::{difference, tenths_mm, written_mm};
use super::vent::{Top, VentWay};
use super::{
    Axis, Feature, Have, Place, Reading, Room, Site, back_boiler, between_l, find_out, room, top_litres_per_mm,
};
use crate::layout::{Boiler, Cistern, CisternRole, PartRef, Run, Service};
use crate::units::{Measured, Unit};

/// The cisterns over which a point may be: that whose base is nearest below it, and any that stands in front of or
/// behind that one, which a section cannot tell from it.
pub(super) fn cisterns_below<'a>(site: &Site<'a>, point: glam::DVec2) -> Vec<&'a Cistern> {
    let is_below = |cistern: &&Cistern| {
        let (left, right) = cistern.span_mm();
        point.x >= left && point.x <= right && point.y >= cistern.at.z.to_mm()
    };
    let base_mm = |cistern: &Cistern| cistern.at.z.to_mm();
    let below: Vec<&Cistern> = site.layout().cisterns.iter().filter(is_below).collect();
    let Some(highest_mm) = below.iter().map(|cistern| base_mm(cistern)).max_by(f64::total_cmp) else {
        return below;
    };
    below.into_iter().filter(|cistern| cistern.rim().to_mm() > highest_mm).collect()
}

/// Whether each vent of primary water ends elsewhere than over a storage cistern.
#[must_use]
pub fn primary_vent_clear_of_storage(site: &Site<'_>) -> Vec<Reading> {
    let (yes, no) = ("an open end clear of stored water", "an open end over stored water");
    let (_, primary) = vents_by_water(site);
    not_over(site, &primary, CisternRole::Storage, yes, no)
}

/// Whether each vent of stored water ends elsewhere than over a feed-and-expansion cistern.
#[must_use]
pub fn vent_clear_of_expansion(site: &Site<'_>) -> Vec<Reading> {
    let (yes, no) = ("an open end clear of primary water", "an open end over the feed-and-expansion cistern");
    let (stored, _) = vents_by_water(site);
    not_over(site, &stored, CisternRole::FeedAndExpansion, yes, no)
}

/// Vents of stored water, and those of primary water, by the water that they are joined to, whatever they are called: a
/// vent of the heating holds stored water where the boiler heats that itself. By their names where that is not known.
fn vents_by_water(site: &Site<'_>) -> (Vec<usize>, Vec<usize>) {
    let waters = site.waters();
    let cylinders = || site.layout().cylinders.iter();
    let stores = site.storage_cisterns().map(|cistern| &cistern.id).chain(cylinders().map(|cylinder| &cylinder.id));
    let stored: HashSet<usize> = stores.map(|part| waters.of_part(part)).collect();
    let coils = cylinders().filter(|cylinder| cylinder.coil != Some(false)).map(|own| waters.of_coil(&own.id));
    let expansion = site.expansion_cisterns().map(|cistern| waters.of_part(&cistern.id));
    let parted: HashSet<usize> = coils.chain(expansion).collect();
    let pipes = CIRCUIT.into_iter().flat_map(|service| site.runs_of(service));
    let circuits: HashSet<usize> = pipes.map(|(run, _)| waters.of_run(run)).collect();
    let holds_stored = |run: usize| {
        let water = waters.of_run(run);
        match (stored.contains(&water), parted.contains(&water), circuits.contains(&water)) {
            (true, false, _) => true,
            (false, true, _) | (false, false, true) => false,
            (true, true, _) | (false, false, false) => site.run(run).service == Service::OpenVent,
        }
    };
    let vents = site.layout().runs.iter().enumerate().filter(|(_, run)| run.service.is_vent());
    vents.map(|(number, _)| number).partition(|number| holds_stored(*number))
}

fn not_over(site: &Site<'_>, vents: &[usize], role: CisternRole, yes: &'static str, no: &'static str) -> Vec<Reading> {
    let reading = |number: usize| {
        let run = site.run(number);
        let end_mm = site.mouth_along(number)?;
        let below = cisterns_below(site, site.line(number)?.point_at(end_mm));
        let wrong = below.iter().filter(|cistern| cistern.role == role).count();
        let is_clear = match wrong {
            0 => Ok(true),
            _ if wrong == below.len() => Ok(false),
            _ => Err(format!("see over which cistern {} ends", run.id.with_article())),
        };
        let parts = below.iter().filter(|_| wrong > 0).map(|cistern| &cistern.id);
        Some(Reading::fact(&run.id, is_clear, yes, no).along_with(parts).at(Place::of(&run.id, Feature::Along(end_mm))))
    };
    vents.iter().copied().filter_map(reading).collect()
}

/// How far the top of each primary vent lies above the cold water line of the feed-and-expansion cistern; nothing where
/// some of the water is known to move by gravity. Where nobody has told what moves it, less than is asked of pumped water
/// may be enough.
#[must_use]
pub fn primary_vent_height(site: &Site<'_>) -> Vec<Reading> {
    let read = |(heating, reading): (&HeatingWater, Reading)| match heating.pumped {
        // Out of a top that is no higher than the water it runs at rest, whatever moves it.
        None if !runs_over_at_rest(&reading) => reading.unless(Some(find_out::WHETHER_PUMPED.to_owned())),
        _ => reading,
    };
    vent_heights(site, |heating| heating.pumped != Some(false)).into_iter().map(read).collect()
}

/// The same where the water moves by gravity, or where nobody has told what moves it, against the height of that line
/// above the lowest boiler's base.
#[must_use]
pub fn gravity_vent_height(site: &Site<'_>) -> Vec<Reading> {
    let read = |(heating, reading): (&HeatingWater, Reading)| {
        let is_told = heating.pumped.is_some();
        // Of a vent whose height is not known, and of one that runs over at rest, the rule of pumped water tells.
        if !is_told && (runs_over_at_rest(&reading) || !matches!(reading.have, Have::Amount(..))) {
            return None;
        }
        let reading = height_over(site, reading, lowest_boiler(site, heating));
        Some(if is_told { reading } else { reading.unless(Some(find_out::WHETHER_PUMPED.to_owned())) })
    };
    vent_heights(site, |heating| heating.pumped != Some(true)).into_iter().filter_map(read).collect()
}

fn runs_over_at_rest(height: &Reading) -> bool {
    matches!(&height.have, Have::Amount(height, _) if height.value <= 0.0)
}

/// The lowest boiler of a heating; of all that are drawn where none is drawn on its pipes.
fn lowest_boiler<'a>(site: &Site<'a>, heating: &'a HeatingWater) -> Option<&'a Boiler> {
    let by_level = |a: &&Boiler, b: &&Boiler| a.at.z.to_mm().total_cmp(&b.at.z.to_mm());
    heating.boilers(site).min_by(by_level).or_else(|| site.layout().boilers.iter().min_by(by_level))
}

fn height_over(site: &Site<'_>, reading: Reading, boiler: Option<&Boiler>) -> Reading {
    let water = reading.parts.iter().find_map(|part| match site.part(part)? {
        PartRef::Cistern(cistern) => cistern.surface(),
        _ => None,
    });
    let (Some(water), Have::Amount(..)) = (water, &reading.have) else { return reading };
    let Some(boiler) = boiler else {
        return Reading::untold(&reading.parts[0], "draw the boiler: the vent's height hangs on how far below it is");
    };
    let line = site.level(water);
    let head = line - site.level(boiler.at.z);
    reading.along_with([&boiler.id]).against_sharing(head, line).working(difference(
        ("cold water line", tenths_mm(water.to_mm())),
        ("base of boiler", tenths_mm(boiler.at.z.to_mm())),
        head,
    ))
}

/// One reading for each open end of the vents of some heatings; what to find out where none is drawn.
fn vent_heights<'s>(site: &'s Site<'_>, wanted: impl Fn(&HeatingWater) -> bool) -> Vec<(&'s HeatingWater, Reading)> {
    let (ways, bodies) = (site.primary_vents(), site.bodies_of(&[Service::PrimaryVent]));
    let of_body = |body: &Vec<usize>, cistern: Option<&Cistern>| -> Vec<Reading> {
        let own = ways.iter().filter(|way| way.last_run().is_some_and(|run| body.binary_search(&run).is_ok()));
        let readings: Vec<Reading> = own.filter_map(|way| height_of(site, way, cistern)).collect();
        if readings.is_empty() {
            let id = &site.run(body[0]).id;
            return vec![Reading::untold(id, format!("draw {} to its open end", id.with_article()))];
        }
        readings
    };
    let of_heating = |heating: &'s HeatingWater| {
        let cistern = heating.cistern(site);
        let vents: Vec<&Vec<usize>> = bodies.iter().filter(|body| heating.holds(body[0])).collect();
        let stored = || {
            let first = vents.first().map(|body| body[0]);
            site.storage_cisterns_of(first.as_slice()).into_iter().flatten().next()
        };
        let surely_has_none =
            || heating.boilers(site).any(|boiler| back_boiler::without_vent(site).contains(&&boiler.id));
        let readings = match cistern {
            Some(_) if vents.is_empty() && surely_has_none() => Vec::new(),
            Some(cistern) if vents.is_empty() && !heating.circuit(site).is_empty() => {
                vec![Reading::untold(&cistern.id, find_out_vent(site, heating))]
            }
            _ => {
                let cistern = cistern.or_else(stored);
                vents.iter().flat_map(|body| of_body(body, cistern)).collect()
            }
        };
        readings.into_iter().map(move |reading| (heating, reading))
    };
    site.heatings().iter().filter(|heating| wanted(heating)).flat_map(of_heating).collect()
}

/// What to find out of a heating on which no vent of its own is drawn, though one that is called otherwise may be.
fn find_out_vent(site: &Site<'_>, heating: &HeatingWater) -> String {
    let waters = site.waters();
    let own: HashSet<usize> = heating.circuit(site).into_iter().map(|run| waters.of_run(run)).collect();
    let mut others = site.runs_of(Service::OpenVent).filter(|(number, _)| own.contains(&waters.of_run(*number)));
    others.next().map_or_else(
        || "draw the primary vent, from the pipes of the heating to its open end".to_owned(),
        |(_, vent)| format!("draw {} as a primary vent: it is joined to the heating", vent.id.with_article()),
    )
}

fn height_of(site: &Site<'_>, way: &VentWay<'_>, cistern: Option<&Cistern>) -> Option<Reading> {
    let id = &site.run(way.last_run()?).id;
    let Some(cistern) = cistern else {
        return Some(Reading::untold(id, find_out::EXPANSION_CISTERN));
    };
    let Some(water) = cistern.surface() else {
        return Some(Reading::untold(id, find_out::cold_water_line(&cistern.id)).along_with([&cistern.id]));
    };
    let Top { level_mm, place, room_mm } = way.top(site)?;
    let height = site.taped(level_mm) - site.level(water);
    Some(
        Reading::mm(id, height)
            .along_with([&cistern.id])
            .with_room(Room::Above, room_mm)
            .with_room(Room::Water, room::under_surface_mm(site, cistern))
            .between(Axis::Upright, [Place::of(&cistern.id, Feature::WaterLine), place])
            .working(difference(
                ("top of vent", tenths_mm(level_mm)),
                ("cold water line", tenths_mm(water.to_mm())),
                height,
            )),
    )
}

/// Litres to the overflow of each feed-and-expansion cistern.
#[must_use]
pub fn expansion_capacity(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        let base = Measured::exact(0.0);
        let litres = lowest_invert(site, cistern).and_then(|invert| between_l(site, cistern, base, invert.height));
        match litres {
            Ok(litres) => Reading::amount(&cistern.id, litres, Unit::Litre)
                .working(format!("filled to the overflow: {:.1} L", litres.value)),
            Err(find_out) => Reading::untold(&cistern.id, find_out),
        }
    };
    with_overflow(site).map(reading).collect()
}

/// The feed-and-expansion cisterns that have a warning pipe, drawn or not.
fn with_overflow<'a>(site: &Site<'a>) -> impl Iterator<Item = &'a Cistern> {
    site.expansion_cisterns().filter(|cistern| !site.has_no_warning_pipe(cistern))
}

/// Litres between cold water line and overflow of each feed-and-expansion cistern, against the water in the system.
#[must_use]
pub fn expansion_room(site: &Site<'_>) -> Vec<Reading> {
    with_overflow(site)
        .map(|cistern| room_in(site, cistern).unwrap_or_else(|find_out| Reading::untold(&cistern.id, find_out)))
        .collect()
}

fn room_in(site: &Site<'_>, cistern: &Cistern) -> Result<Reading, String> {
    let spoken = cistern.id.with_article();
    let line = cistern.line_above_base().ok_or_else(|| find_out::cold_water_line(&cistern.id))?;
    let invert = lowest_invert(site, cistern)?;
    let system =
        cistern.system_volume.ok_or_else(|| format!("find how much water the heating system of {spoken} holds"))?;
    let room = between_l(site, cistern, site.length(line), invert.height)?;
    let places = [Place::of(&cistern.id, Feature::WaterLine), invert.place];
    Ok(Reading::amount(&cistern.id, room, Unit::Litre)
        .against(Measured::exact(system.to_litres()))
        .with_litres_per_mm(top_litres_per_mm(site, cistern, invert.height.value))
        .between(Axis::Upright, places)
        .working(format!(
            "from {} to {:.1} mm above the base: {:.1} L",
            written_mm(line.to_mm()),
            invert.height.value,
            room.value
        )))
}

/// Outside diameter of the narrowest of some runs that follow each other, as far as sizes are told.
fn narrowest<'a>(runs: impl Iterator<Item = &'a Run>) -> Option<Reading> {
    let (told, untold): (Vec<&Run>, Vec<&Run>) = runs.partition(|run| run.size.is_some());
    let rest = untold.first().map(|run| find_out::size(&run.id));
    match told.into_iter().min_by(|a, b| tube_mm(a).total_cmp(&tube_mm(b))) {
        Some(run) => Some(size_of(run).but_for(rest)),
        None => untold.first().map(|run| size_of(run)),
    }
}

/// Outside diameter of each feed from a feed-and-expansion cistern.
#[must_use]
pub fn primary_feed_size(site: &Site<'_>) -> Vec<Reading> {
    site.runs_of(Service::PrimaryFeed).map(|(_, run)| size_of(run)).collect()
}

/// Tube is sold by size; a tape does not decide it.
fn size_of(run: &Run) -> Reading {
    match run.size {
        Some(size) => Reading::mm(&run.id, Measured::exact(size.to_mm())),
        None => Reading::untold(&run.id, find_out::size(&run.id)),
    }
}

/// Smallest tube of each cylinder's cold feed, against the vent's.
#[must_use]
pub fn feed_size_against_vent(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cylinder: &crate::layout::Cylinder| {
        let (_, _, feed) = site.cold_feed_path(cylinder)?;
        // Each has to be fed as wide as it is, so the widest asks the most.
        let vents = || site.vent_paths(cylinder).iter().filter_map(|path| Some(site.run(path.last()?.run)));
        let untold = vents().find(|vent| vent.size.is_none());
        let told = vents().filter_map(|vent| Some((vent, vent.size?)));
        let Some((vent, vent_size)) = told.max_by_key(|(_, size)| *size) else {
            return untold.map(size_of);
        };
        let pieces = || feed.iter().map(|leg| site.run(leg.run));
        let reading = narrowest(pieces())?
            .against(Measured::exact(vent_size.to_mm()))
            .but_for(untold.map(|vent| find_out::size(&vent.id)));
        Some(reading.along_with(pieces().map(|run| &run.id)).along_with([&vent.id, &cylinder.id]))
    };
    site.layout().cylinders.iter().filter_map(reading).collect()
}

fn tube_mm(run: &Run) -> f64 {
    run.size.map_or(f64::INFINITY, crate::units::Size::to_mm)
}
