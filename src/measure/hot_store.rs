//! Measures of hot stores and hot outlets: temperatures, cut-outs, head on the copper, bare hot pipe, shower head.

use foldhash::HashMap;

use super::driving::{DrivenSide, Drives};
use super::leg::length_mm;
use super::linked::highest_water;
use super::reading::{difference, tenths_mm, written_mm};
use super::{Axis, Feature, Leg, Place, Reading, Room, Site, find_out, room};
use crate::catalogue;
use crate::layout::{COLD, Cistern, CutOut, Cylinder, HOT, Id, Immersion, Outlet, OutletKind, Run};
use crate::units::{Measured, Size, Temperature, Unit};

fn degrees(subject: &Id, told: Option<Temperature>, find_out: &str) -> Reading {
    match told {
        Some(temperature) => Reading::amount(subject, Measured::exact(temperature.to_celsius()), Unit::Celsius),
        None => Reading::untold(subject, find_out),
    }
}

/// Temperature of the stored cold water.
#[must_use]
pub fn cold_store_temperature(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cistern: &Cistern| {
        degrees(&cistern.id, cistern.stored_temperature, "measure the stored water on a warm day, near the float valve")
            .at(Place::of(&cistern.id, Feature::WaterLine))
    };
    let storage = site.storage_cisterns();
    storage.map(reading).collect()
}

/// Temperature at which each cylinder stores hot water.
#[must_use]
pub fn hot_store_temperature(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cylinder: &Cylinder| degrees(&cylinder.id, cylinder.stored_temperature, find_out::THERMOSTAT);
    site.layout().cylinders.iter().map(reading).collect()
}

/// Temperature to which the hot supply of each bath is limited, whatever heats it.
#[must_use]
pub fn bath_temperature(site: &Site<'_>) -> Vec<Reading> {
    let baths = site.layout().outlets.iter().filter(|outlet| outlet.kind == OutletKind::Bath);
    let is_hot = |bath: &&Outlet| bath.supply_temperature.is_some() || site.has_pipe_on(&bath.id, HOT);
    baths
        .filter(is_hot)
        .map(|bath| degrees(&bath.id, bath.supply_temperature, "measure the hottest water that the bath tap gives"))
        .collect()
}

/// Temperature at which each basin or sink gets its hot water. Baths and showers are blended, machines heat their own.
#[must_use]
pub fn hot_outlet_temperature(site: &Site<'_>) -> Vec<Reading> {
    let taps =
        site.layout().outlets.iter().filter(|outlet| matches!(outlet.kind, OutletKind::Basin | OutletKind::Sink));
    let is_hot = |tap: &&Outlet| tap.supply_temperature.is_some() || site.has_pipe_on(&tap.id, HOT);
    let find_out = "let the hot tap run for a minute and measure the water";
    let read = |tap: &Outlet| match hotter_than_stored(site, tap) {
        Some(find_out) => Reading::untold(&tap.id, find_out),
        None => degrees(&tap.id, tap.supply_temperature, find_out),
    };
    taps.filter(is_hot).map(read).collect()
}

/// What to measure again where water is told to come hotter than all cylinders store it, and nothing else heats it.
fn hotter_than_stored(site: &Site<'_>, tap: &Outlet) -> Option<String> {
    let layout = site.layout();
    let is_heated_elsewhere =
        !layout.boilers.is_empty() || layout.outlets.iter().any(|outlet| outlet.kind == OutletKind::WaterHeater);
    let stored: Option<Vec<f64>> =
        layout.cylinders.iter().map(|cylinder| Some(cylinder.stored_temperature?.to_celsius())).collect();
    let hottest_c = stored?.into_iter().reduce(f64::max)?;
    let told_c = tap.supply_temperature?.to_celsius();
    (told_c > hottest_c && !is_heated_elsewhere).then(|| {
        format!(
            "measure again how hot the water at {} is: {told_c} °C are told, and no cylinder stores more than {hottest_c} °C",
            tap.id.with_article()
        )
    })
}

/// The cut-out of each immersion heater.
#[must_use]
pub fn cut_outs(site: &Site<'_>) -> Vec<Reading> {
    let of_cylinder = |cylinder: &Cylinder| {
        let Some(heaters) = &cylinder.immersions else {
            return vec![Reading::untold(&cylinder.id, find_out::immersions(&cylinder.id))];
        };
        let find_out = "see whether the immersion heater has a cut-out, and whether it must be reset by hand";
        let reading =
            |heater: &Immersion| Reading::choice(&cylinder.id, heater.cut_out.map(CutOut::words).ok_or(find_out));
        heaters.iter().map(reading).collect()
    };
    site.layout().cylinders.iter().flat_map(of_cylinder).collect()
}

/// Height of the highest water line that stands over each cylinder above its base, against the head that its grade bears.
#[must_use]
pub fn head_on_cylinder(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cylinder: &Cylinder| {
        head_on(site, cylinder).unwrap_or_else(|find_out| Reading::untold(&cylinder.id, find_out))
    };
    site.layout().cylinders.iter().map(reading).collect()
}

fn head_on(site: &Site<'_>, cylinder: &Cylinder) -> Result<Reading, String> {
    let cisterns = site.cisterns_of(cylinder);
    let nearest = cisterns.first().ok_or_else(|| find_out::COLD_FEED.to_owned())?;
    // Water stands at least as high as the base on which it lies.
    let (cistern, water, rest) = match highest_water(&cisterns) {
        Some((cistern, water)) => (cistern, water, None),
        None => {
            let find_out = find_out::water_line(&nearest.id);
            (*nearest, nearest.at.z, Some(find_out))
        }
    };
    let grade = cylinder.grade.ok_or_else(|| "read the grade off the cylinder's label".to_owned())?;
    let bears = catalogue::greatest_head(grade.words()).ok_or_else(|| {
        format!("read the greatest working head off the label: no source seen lists {}", grade.words())
    })?;
    let head = site.level(water) - site.level(cylinder.at.z);
    let (top, top_feature) = match rest {
        Some(_) => ("base of cistern", Feature::Base),
        None => ("water line", Feature::WaterLine),
    };
    let from_base = cistern.at.z - cylinder.at.z;
    Ok(Reading::mm(&cylinder.id, head)
        .along_with([&cistern.id])
        .against(Measured::exact(bears.to_mm()))
        .but_for(rest)
        .with_room(Room::Below, room::below_cistern_mm(site, cistern))
        .between(Axis::Upright, [Place::of(&cylinder.id, Feature::Base), Place::of(&cistern.id, top_feature)])
        .working(difference(
            (top, tenths_mm(water.to_mm())),
            ("base of cylinder", tenths_mm(cylinder.at.z.to_mm())),
            head,
        ))
        .working(format!("from cistern base to cylinder base, as one maker takes it: {:.1} mm", from_base.to_mm()))
        .working(format!("{} bears {} mm", grade.words(), written_mm(bears.to_mm()))))
}

/// Length of bare hot pipe on the shortest way to each hot outlet, against the widest bare tube on that way.
#[must_use]
pub fn dead_legs(site: &Site<'_>) -> Vec<Reading> {
    let shortest = shortest_hot_paths(site).into_iter();
    shortest.map(|(source, outlet, path)| dead_leg(site, source, outlet, &path)).collect()
}

/// The shortest way of hot water to each outlet, with what heats it.
#[must_use]
pub fn shortest_hot_paths<'s>(site: &'s Site<'_>) -> Vec<(&'s Id, &'s Outlet, Vec<Leg>)> {
    let mut shortest: Vec<(&Id, &Outlet, Vec<Leg>)> = Vec::new();
    let mut numbers: HashMap<&Id, usize> = HashMap::default();
    for way in site.hot_paths() {
        let number = *numbers.entry(&way.1.id).or_insert(shortest.len());
        match shortest.get_mut(number) {
            None => shortest.push(way),
            // From another source, or by another pipe.
            Some(known) if length_mm(&way.2) < length_mm(&known.2) => *known = way,
            Some(_) => {}
        }
    }
    shortest
}

/// Bare hot pipe on a way: how much, and the widest tube of it.
#[derive(Clone, Copy, Default)]
struct Bare {
    length_mm: f64,
    widest: Option<Size>,
}

impl Bare {
    fn and(self, length_mm: f64, size: Size) -> Self {
        Self { length_mm: self.length_mm + length_mm, widest: self.widest.max(Some(size)) }
    }
}

fn dead_leg(site: &Site<'_>, source: &Id, outlet: &Outlet, path: &[Leg]) -> Reading {
    let mut told = Bare::default();
    let mut at_worst = Some(Bare::default());
    let mut rest = None;
    for leg in path {
        let run: &Run = site.run(leg.run);
        let bare_mm = run.bare_mm(leg.from_mm, leg.to_mm);
        if bare_mm == Some(0.0) {
            continue;
        }
        if let (Some(bare_mm), Some(size)) = (bare_mm, run.size) {
            told = told.and(bare_mm, size);
        } else {
            rest.get_or_insert_with(|| match bare_mm {
                Some(_) => find_out::size(&run.id),
                None => find_out::insulation(&run.id),
            });
        }
        // Of tube that may be of any size no length is sure to be short enough.
        at_worst = at_worst.zip(run.size).map(|(bare, size)| {
            let most_mm = bare_mm.unwrap_or_else(|| leg.length_mm());
            bare.and(most_mm, size)
        });
    }
    let reading = |bare: Bare, which: &str| {
        let reading = Reading::mm(&outlet.id, site.taped(bare.length_mm))
            .along_with(path.iter().map(|leg| &site.run(leg.run).id))
            .working(format!("{which} on the way from {}: {:.0} mm", source.with_article(), bare.length_mm));
        match bare.widest {
            Some(size) => reading
                .against(Measured::exact(size.to_mm()))
                .working(format!("widest bare tube: {} mm", written_mm(size.to_mm()))),
            None => reading.against(Measured::exact(0.0)),
        }
    };
    let of_told = reading(told, "bare hot pipe");
    match (rest, at_worst) {
        (Some(rest), Some(bare)) => {
            let worst = reading(bare, "hot pipe that is bare, or taken as bare where nobody has told,");
            of_told.at_worst(rest, worst)
        }
        (rest, _) => of_told.but_for(rest),
    }
}

/// Height of the feeding cistern's base above the rose of each shower, for the sides on which neither the main nor a pump
/// drives the water; of several cisterns the lowest counts.
#[must_use]
pub fn shower_head(site: &Site<'_>) -> Vec<Reading> {
    let showers: Vec<&Outlet> =
        site.layout().outlets.iter().filter(|outlet| outlet.kind == OutletKind::Shower).collect();
    if showers.is_empty() {
        return Vec::new();
    }
    let drives = Drives::of(site);
    let reading = |shower: &&Outlet| {
        let find_out = "draw the pipes to the shower, from the cistern or the main that feeds it";
        let untold = || Some(Reading::untold(&shower.id, find_out));
        let sides: Vec<DrivenSide<'_>> = [HOT, COLD].into_iter().filter_map(|port| drives.at(shower, port)).collect();
        if sides.is_empty() {
            return untold();
        }
        let by_gravity: Vec<&DrivenSide<'_>> = sides.iter().filter(|side| !side.pumped).collect();
        let cisterns = by_gravity.iter().flat_map(|side| &side.cisterns);
        let Some(cistern) = cisterns.min_by_key(|cistern| cistern.at.z) else {
            let driven_otherwise = by_gravity.is_empty() || by_gravity.iter().any(|side| side.main);
            return if driven_otherwise { None } else { untold() };
        };
        let head = site.level(cistern.at.z) - site.level(shower.at.z);
        let places = [Place::middle(&shower.id), Place::of(&cistern.id, Feature::Base)];
        Some(
            Reading::mm(&shower.id, head)
                .along_with([&cistern.id])
                .with_room(Room::Above, room::above_cistern_mm(site, cistern))
                .between(Axis::Upright, places)
                .working(difference(
                    ("base of cistern", written_mm(cistern.at.z.to_mm())),
                    ("rose", written_mm(shower.at.z.to_mm())),
                    head,
                )),
        )
    };
    showers.iter().filter_map(reading).collect()
}
