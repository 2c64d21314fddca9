//! Measures of platforms: how far they stand out, what they are made of, what carries them and what they carry.

use foldhash::HashMap;

use super::reading::written_mm;
use super::{Axis, Feature, Place, Reading, Room, Site, find_out, rim_volume_l};
use crate::geom::overlap;
use crate::layout::{Board, BoardMaterial, Cistern, Cylinder, Id, Joists, Lie, Platform};
use crate::units::{Amount, Measured, STANDARD_GRAVITY_M_S2, Unit};

/// A part stands on a platform when its base is this near the platform's upper face.
const STANDS_ON_WITHIN_MM: f64 = 5.0;
/// A timber whose centre is this near the platform's edge is under the edge, whatever sums of fractions say, mm.
pub const ON_THE_EDGE_MM: f64 = 1e-6;
/// More timbers than this under one platform are a slip of the keyboard; no more are looked at.
const MOST_TIMBERS: usize = 10_000;
/// Mass of a litre of stored water, as the trade reckons it (common practice, no source).
pub const KG_PER_LITRE: f64 = 1.0;

/// The platforms below a part that spans `span_mm` and `deep_mm` front to back, with its base at `base_mm`: the
/// one with the largest share of it, and those that lie beside that one.
fn platforms_below<'a>(
    site: &Site<'a>,
    span_mm: (f64, f64),
    deep_mm: Option<(f64, f64)>,
    base_mm: f64,
) -> Vec<&'a Platform> {
    let clear_of_it = |platform: &Platform| super::room::stand_behind(platform.front_and_back_mm(), deep_mm);
    let shared_mm = |platform: &Platform| match overlap(platform.span_mm(), span_mm) {
        Some((from, to)) if !clear_of_it(platform) => to - from,
        _ => 0.0,
    };
    let level_with = |platform: &&Platform| (platform.at.z.to_mm() - base_mm).abs() <= STANDS_ON_WITHIN_MM;
    let mut below: Vec<&Platform> =
        site.layout().platforms.iter().filter(level_with).filter(|platform| shared_mm(platform) > 0.0).collect();
    // The sort is stable; of equals the last one counted, and does.
    below.reverse();
    below.sort_by(|a, b| shared_mm(b).total_cmp(&shared_mm(a)));
    if let Some((first, others)) = below.split_first() {
        let first: &Platform = first;
        let beside: Vec<&Platform> = others.iter().copied().filter(|other| lie_beside(first, other)).collect();
        below.truncate(1);
        below.extend(beside);
    }
    below
}

/// Whether two platforms lie beside each other or one behind the other, and not in the same place.
fn lie_beside(one: &Platform, other: &Platform) -> bool {
    let apart = |a, b| overlap(a, b).is_none_or(|(from, to)| to - from <= ON_THE_EDGE_MM);
    let in_depth = match (one.front_and_back_mm(), other.front_and_back_mm()) {
        (Some(one), Some(other)) => apart(one, other),
        _ => false,
    };
    apart(one.span_mm(), other.span_mm()) || in_depth
}

pub(super) fn platforms_of<'a>(site: &Site<'a>, cistern: &Cistern) -> Vec<&'a Platform> {
    platforms_below(site, cistern.span_mm(), cistern.front_and_back_mm(), cistern.at.z.to_mm())
}

/// What to find out of a cistern that stands on more than one platform: how much each of them bears hangs on how they
/// give way, and nothing tells that they are joined.
#[must_use]
pub fn stands_on_several(site: &Site<'_>, cistern: &Cistern) -> Option<String> {
    let platforms = platforms_of(site, cistern);
    (platforms.len() > 1).then(|| {
        let names: Vec<String> = platforms.iter().map(|platform| platform.id.spoken()).collect();
        format!("draw one platform under the {}, which stands on the {}", cistern.id.spoken(), names.join(" and the "))
    })
}

/// The platforms that carry cisterns, in their order, each with the cisterns on it.
#[must_use]
pub fn carrying<'a>(site: &Site<'a>) -> Vec<(&'a Platform, Vec<&'a Cistern>)> {
    let mut on: HashMap<&Id, Vec<&Cistern>> = HashMap::default();
    for cistern in &site.layout().cisterns {
        for platform in platforms_of(site, cistern) {
            on.entry(&platform.id).or_default().push(cistern);
        }
    }
    site.layout().platforms.iter().filter_map(|platform| Some((platform, on.remove(&platform.id)?))).collect()
}

/// How far the platform stands out beyond each cistern: left, right, front and back.
#[must_use]
pub fn overhang(site: &Site<'_>) -> Vec<Reading> {
    let readings = |cistern: &Cistern| match platforms_of(site, cistern).as_slice() {
        [] => vec![
            Reading::untold(&cistern.id, "draw the platform that it stands on")
                .at(Place::of(&cistern.id, Feature::Base)),
        ],
        platforms @ [_, _, ..] => vec![
            Reading::untold(&cistern.id, stands_on_several(site, cistern).unwrap_or_default())
                .along_with(platforms.iter().map(|platform| &platform.id))
                .at(Place::of(&cistern.id, Feature::Base)),
        ],
        [platform] => {
            let mut sides = vec![left_overhang(site, cistern, platform), right_overhang(site, cistern, platform)];
            sides.extend(front_and_back_overhang(site, cistern, platform));
            sides
        }
    };
    site.layout().cisterns.iter().flat_map(readings).collect()
}

fn left_overhang(site: &Site<'_>, cistern: &Cistern, platform: &Platform) -> Reading {
    let out = site.taped(cistern.span_mm().0 - platform.span_mm().0);
    let places = [Place::of(&platform.id, Feature::Left), Place::of(&cistern.id, Feature::Left)];
    let working = format!(
        "cistern at {} − platform at {} = {:.1} mm",
        written_mm(cistern.span_mm().0),
        written_mm(platform.span_mm().0),
        out.value
    );
    held(Reading::mm(&platform.id, out).on_side("left").along_with([&cistern.id]), out.value)
        .with_room(Room::Opposite, Some(free_at_right_mm(site, cistern, platform)))
        .between(Axis::Level, places)
        .working(working)
}

fn right_overhang(site: &Site<'_>, cistern: &Cistern, platform: &Platform) -> Reading {
    let out = site.taped(platform.span_mm().1 - cistern.span_mm().1);
    let places = [Place::of(&cistern.id, Feature::Right), Place::of(&platform.id, Feature::Right)];
    let working = format!(
        "platform at {} − cistern at {} = {:.1} mm",
        written_mm(platform.span_mm().1),
        written_mm(cistern.span_mm().1),
        out.value
    );
    held(Reading::mm(&platform.id, out).on_side("right").along_with([&cistern.id]), out.value)
        .with_room(Room::Opposite, Some(free_at_left_mm(site, cistern, platform)))
        .between(Axis::Level, places)
        .working(working)
}

/// How much board is free at the left of a cistern, up to its end or to what else stands there, mm.
fn free_at_left_mm(site: &Site<'_>, cistern: &Cistern, platform: &Platform) -> f64 {
    let (left, middle) = (cistern.span_mm().0, cistern.at.x.to_mm());
    let beside = others_on(site, cistern, platform).filter(|other| other.at.x.to_mm() < middle);
    left - beside.map(|other| other.span_mm().1).fold(platform.span_mm().0, f64::max)
}

/// The same at its right.
fn free_at_right_mm(site: &Site<'_>, cistern: &Cistern, platform: &Platform) -> f64 {
    let (right, middle) = (cistern.span_mm().1, cistern.at.x.to_mm());
    let beside = others_on(site, cistern, platform).filter(|other| other.at.x.to_mm() > middle);
    beside.map(|other| other.span_mm().0).fold(platform.span_mm().1, f64::min) - right
}

fn others_on<'s>(site: &'s Site<'_>, cistern: &Cistern, platform: &Platform) -> impl Iterator<Item = &'s Cistern> {
    let cisterns = site.layout().cisterns.iter().filter(|other| other.id != cistern.id);
    cisterns.filter(|other| platforms_of(site, other).iter().any(|own| own.id == platform.id))
}

/// Says so where a platform ends short of what stands on it. All of that weighs on the platform none the less.
fn held(reading: Reading, out_mm: f64) -> Reading {
    if out_mm >= 0.0 {
        return reading;
    }
    reading
        .working(format!("the platform ends {:.1} mm short of the cistern's side: its base is not held there", -out_mm))
}

fn front_and_back_overhang(site: &Site<'_>, cistern: &Cistern, platform: &Platform) -> Vec<Reading> {
    let place = Place::of(&platform.id, Feature::Middle);
    let (Some(faces), Some(board)) = (cistern.front_and_back_mm(), platform.front_and_back_mm()) else {
        let find_out = "measure platform and cistern front to back, and how they stand to each other";
        return vec![Reading::untold(&platform.id, find_out).along_with([&cistern.id]).at(place)];
    };
    let side = |name: &'static str, out_mm: f64, opposite_mm: f64, working: String| {
        let out = site.taped(out_mm);
        held(Reading::mm(&platform.id, out).on_side(name).along_with([&cistern.id]), out_mm)
            .with_room(Room::Opposite, Some(opposite_mm))
            .at(place.clone())
            .working(format!("{working} = {out_mm:.1} mm"))
    };
    let (front_mm, back_mm) = (faces.0 - board.0, board.1 - faces.1);
    let to_front = format!("cistern's face at {:.1} − board's edge at {:.1}", faces.0, board.0);
    let to_back = format!("board's edge at {:.1} − cistern's face at {:.1}", board.1, faces.1);
    vec![side("front", front_mm, back_mm, to_front), side("back", back_mm, front_mm, to_back)]
}

/// Thickness of the board of each platform under a cistern.
#[must_use]
pub fn board_thickness(site: &Site<'_>) -> Vec<Reading> {
    let reading = |platform: &Platform| match platform.board.and_then(|board| board.thickness) {
        // Board is sold by thickness; a tape does not decide it.
        Some(thickness) => Reading::mm(&platform.id, Measured::exact(thickness.to_mm())),
        None => Reading::untold(&platform.id, find_out::BOARD_THICKNESS),
    };
    let carrying = carrying(site).into_iter();
    carrying.map(|(platform, _)| reading(platform).at(Place::of(&platform.id, Feature::Left))).collect()
}

/// What the board of each platform under a cistern is made of.
#[must_use]
pub fn board_material(site: &Site<'_>) -> Vec<Reading> {
    let reading = |platform: &Platform| {
        let words = platform.board.map(|board| board.material.words());
        Reading::choice(&platform.id, words, "see what the board is made of")
            .at(Place::of(&platform.id, Feature::Right))
    };
    carrying(site).into_iter().map(|(platform, _)| reading(platform)).collect()
}

/// What each cylinder stands on.
#[must_use]
pub fn below_cylinder(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cylinder: &Cylinder| {
        let words = board_below(site, cylinder).map(|board| board.material.words());
        Reading::choice(&cylinder.id, words, "see what board the cylinder stands on")
            .at(Place::of(&cylinder.id, Feature::Base))
    };
    site.layout().cylinders.iter().map(reading).collect()
}

/// The platform that a cylinder stands on.
#[must_use]
pub fn platform_of_cylinder<'a>(site: &Site<'a>, cylinder: &Cylinder) -> Option<&'a Platform> {
    platforms_below(site, cylinder.span_mm(), cylinder.front_and_back_mm(), cylinder.at.z.to_mm()).first().copied()
}

fn board_below(site: &Site<'_>, cylinder: &Cylinder) -> Option<Board> {
    let base_mm = cylinder.at.z.to_mm();
    match platform_of_cylinder(site, cylinder) {
        Some(platform) => platform.board,
        None => {
            let storeys = site.building().storeys.iter();
            storeys
                .filter(|storey| (storey.floor.to_mm() - base_mm).abs() <= STANDS_ON_WITHIN_MM)
                .find_map(|storey| storey.deck)
        }
    }
}

/// Centre lines of the timbers on which the board of a platform lies, in mm, and whether they are seen end-on.
///
/// # Errors
/// What to find out, when the layout does not tell enough.
pub fn timbers_under(site: &Site<'_>, platform: &Platform) -> Result<(Vec<f64>, bool), String> {
    let (left, right) = platform.span_mm();
    let reach = |lie: Lie| {
        let (near_mm, far_mm) = match lie {
            Lie::EndOn => (left, right),
            Lie::Along => {
                platform.front_and_back_mm().ok_or_else(|| find_out::front_to_back_and_place(&platform.id))?
            }
        };
        Ok::<_, String>((near_mm, near_mm - ON_THE_EDGE_MM, far_mm + ON_THE_EDGE_MM))
    };
    match (&platform.bearers, joists_below(site, platform)) {
        (Some(bearers), _) => {
            let (edge_mm, from_mm, to_mm) = reach(bearers.lie)?;
            let centres = bearers.centres_between_mm(from_mm - edge_mm, to_mm - edge_mm).take(MOST_TIMBERS);
            Ok((centres.map(|centre| edge_mm + centre).collect(), bearers.lie == Lie::EndOn))
        }
        (None, Some(joists)) => {
            let (_, from_mm, to_mm) = reach(joists.lie)?;
            let centres = joists.centres_between_mm(from_mm, to_mm).take(MOST_TIMBERS);
            Ok((centres.map(|(_, centre)| centre).collect(), joists.lie == Lie::EndOn))
        }
        (None, None) => Err("find the joists or bearers under the platform: how many, how far apart".to_owned()),
    }
}

/// The loft's joists, where they lie below a platform: those overhead carry nothing of it.
#[must_use]
pub fn joists_below<'a>(site: &Site<'a>, platform: &Platform) -> Option<&'a Joists> {
    site.building().joists.as_ref().filter(|joists| joists.top <= platform.at.z)
}

/// How many joists or bearers lie under each platform that carries a cistern.
#[must_use]
pub fn timber_count(site: &Site<'_>) -> Vec<Reading> {
    let reading = |platform: &Platform| match timbers_under(site, platform) {
        Err(find_out) => Reading::untold(&platform.id, find_out),
        Ok((centres, _)) => {
            let count = u32::try_from(centres.len()).unwrap_or(u32::MAX);
            let listed = centres.iter().take(12).map(|centre| format!("{centre:.0}")).collect::<Vec<_>>().join(", ");
            Reading::amount(&platform.id, Measured::exact(f64::from(count)), Unit::Count)
                .at(Place::of(&platform.id, Feature::Middle))
                .working(format!("centre lines below the platform: {listed}"))
        }
    };
    carrying(site).into_iter().map(|(platform, _)| reading(platform)).collect()
}

/// The greatest distance between neighbouring joists or bearers under each platform that carries a cistern.
#[must_use]
pub fn timber_spacing(site: &Site<'_>) -> Vec<Reading> {
    let reading = |platform: &Platform| {
        let (centres, end_on) = match timbers_under(site, platform) {
            Err(find_out) => return Reading::untold(&platform.id, find_out),
            Ok(found) => found,
        };
        let Some(widest) = centres.windows(2).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0]))) else {
            let find_out = format!(
                "see what the ends of the {} lie on: fewer than two timbers are below it, and two make a spacing",
                platform.id.spoken()
            );
            return Reading::untold(&platform.id, find_out);
        };
        let spacing = site.taped(widest[1] - widest[0]);
        let reading = Reading::mm(&platform.id, spacing)
            .working(format!("{:.0} − {:.0} = {:.1} mm, centre to centre", widest[1], widest[0], spacing.value));
        let timber = |x| Place::of(&platform.id, Feature::Timber(x));
        if end_on {
            reading.between(Axis::Level, [timber(widest[0]), timber(widest[1])])
        } else {
            reading.at(Place::of(&platform.id, Feature::Middle))
        }
    };
    carrying(site).into_iter().map(|(platform, _)| reading(platform)).collect()
}

/// Mass on each platform with its cisterns filled to the rim, against the load confirmed for it.
#[must_use]
pub fn load(site: &Site<'_>) -> Vec<Reading> {
    carrying(site).into_iter().map(|(platform, cisterns)| load_on(site, platform, cisterns)).collect()
}

/// What a cistern weighs that is filled to the rim.
pub struct FullWeight {
    /// The water.
    pub water_kg: Measured,
    /// The cistern itself, with lid, valve and fittings.
    pub empty_kg: f64,
    /// How it was come by.
    pub working: [String; 2],
}

/// What a cistern weighs that is filled to the rim.
///
/// # Errors
/// What to find out, when the layout does not tell enough.
pub fn full_weight(site: &Site<'_>, cistern: &Cistern) -> Result<FullWeight, String> {
    let spoken = cistern.id.spoken();
    let (litres, how) = rim_volume_l(site, cistern)?;
    let Some(empty) = cistern.empty_mass else {
        return Err(format!("find what the {spoken} weighs empty, with lid, valve and fittings"));
    };
    let (water_kg, empty_kg) = (litres.scaled(KG_PER_LITRE), empty.to_kg());
    let empty = Amount { value: empty_kg, unit: Unit::Kilogram };
    let sum = format!("{:.1} kg of water + {empty} empty", water_kg.value);
    Ok(FullWeight { water_kg, empty_kg, working: [format!("{spoken}: {how}"), sum] })
}

fn load_on(site: &Site<'_>, platform: &Platform, cisterns: Vec<&Cistern>) -> Reading {
    let place = Place::of(&platform.id, Feature::Middle);
    let mut total = Measured::exact(0.0);
    let mut working = Vec::new();
    let mut rest = None;
    for cistern in &cisterns {
        let alone = stands_on_several(site, cistern).map_or(Ok(()), Err);
        match alone.and_then(|()| full_weight(site, cistern)) {
            Ok(weight) => {
                total = total + weight.water_kg + Measured::exact(weight.empty_kg);
                working.extend(weight.working);
            }
            Err(find_out) => {
                rest.get_or_insert(find_out);
            }
        }
    }
    let kilonewtons = total.value * STANDARD_GRAVITY_M_S2 / 1000.0;
    working.push(format!("together {:.1} kg × {STANDARD_GRAVITY_M_S2} m/s² = {kilonewtons:.2} kN", total.value));
    let reading = match (platform.confirmed_load, rest) {
        (Some(confirmed), rest) => {
            let confirmed = Measured::exact(confirmed.to_kg());
            Reading::amount(&platform.id, total, Unit::Kilogram).against(confirmed).but_for(rest)
        }
        (None, Some(find_out)) => Reading::untold(&platform.id, find_out),
        (None, None) => Reading::untold(
            &platform.id,
            format!(
                "have a competent person confirm that platform and joists carry {:.0} kg ({kilonewtons:.2} kN)",
                total.value.ceil()
            ),
        ),
    };
    let reading = reading.along_with(cisterns.iter().map(|cistern| &cistern.id)).at(place);
    working.into_iter().fold(reading, Reading::working)
}

/// What a reading calls a board of chipboard of any sort.
pub const CHIPBOARD: &[&str] = &[BoardMaterial::Chipboard.words(), BoardMaterial::ChipboardP5.words()];
