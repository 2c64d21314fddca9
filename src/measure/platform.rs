//! Measures of platforms: how far they stand out, what they are made of, what carries them and what they carry.

use super::footing::footing_in_doubt;
use super::reading::{difference, tenths_mm, whole_mm, written_mm};
use super::standing::{
    ON_THE_EDGE_MM, STANDS_ON_WITHIN_MM, Vessel, full_weight, joists_below, laden_platforms, over_joists,
    platform_of_cylinder, platforms_of, stands_on_several, under_cisterns,
};
use super::{Axis, Feature, Place, Reading, Room, Site, find_out};
use crate::geom::overlap;
use crate::layout::{Board, BoardMaterial, Cistern, Cylinder, Id, Joists, Lie, Platform};
use crate::units::{Measured, STANDARD_GRAVITY_M_S2, Unit};

/// More timbers than this under one platform are a slip of the keyboard; no more are looked at.
const MOST_TIMBERS: usize = 10_000;

/// How far the platform stands out beyond each cistern: left, right, front and back.
#[must_use]
pub fn overhang(site: &Site<'_>) -> Vec<Reading> {
    let readings = |cistern: &Cistern| match platforms_of(site, cistern.into()).as_slice() {
        [] => vec![
            Reading::untold(&cistern.id, "draw the platform that it stands on")
                .at(Place::of(&cistern.id, Feature::Base)),
        ],
        platforms @ [_, _, ..] => vec![
            Reading::untold(&cistern.id, stands_on_several(site, cistern.into()).unwrap_or_default())
                .along_with(platforms.iter().map(|platform| &platform.id))
                .at(Place::of(&cistern.id, Feature::Base)),
        ],
        [platform] => {
            let mut sides = end_overhangs(site, cistern, platform).to_vec();
            sides.extend(front_and_back_overhang(site, cistern, platform));
            sides
        }
    };
    site.layout().cisterns.iter().flat_map(readings).collect()
}

/// The same at its left and its right end, each with how much board is free at the other.
fn end_overhangs(site: &Site<'_>, cistern: &Cistern, platform: &Platform) -> [Reading; 2] {
    let ((left, right), (from, to)) = (cistern.span_mm(), platform.span_mm());
    let others: Vec<(f64, f64)> = others_on(site, cistern, platform).map(Vessel::span_mm).collect();
    let to_the_left = others.iter().filter(|other| other.0 < left);
    let free_left_mm = left - to_the_left.map(|other| other.1).fold(from, f64::max);
    let to_the_right = others.iter().filter(|other| other.0 > left);
    let free_right_mm = to_the_right.map(|other| other.0).fold(to, f64::min) - right;
    let (cistern_at, platform_at) = (("cistern at", &cistern.id), ("platform at", &platform.id));
    let reading = |side, feature: Feature, upper: ((&str, &Id), f64), lower: ((&str, &Id), f64)| {
        let out = site.taped(upper.1 - lower.1);
        let [(upper, above), (lower, below)] = [upper, lower].map(|((name, id), mm)| ((name, written_mm(mm)), id));
        held(Reading::mm(&platform.id, out).on_side(side).along_with([&cistern.id]), out.value)
            .between(Axis::Level, [below, above].map(|id| Place::of(id, feature.clone())))
            .working(difference(upper, lower, out))
    };
    let at_left = reading("left", Feature::Left, (cistern_at, left), (platform_at, from));
    let at_right = reading("right", Feature::Right, (platform_at, to), (cistern_at, right));
    [at_left.with_room(Room::Opposite, Some(free_right_mm)), at_right.with_room(Room::Opposite, Some(free_left_mm))]
}

fn others_on<'a>(site: &Site<'a>, cistern: &Cistern, platform: &Platform) -> impl Iterator<Item = Vessel<'a>> {
    let may_stand = |vessel: &Vessel<'_>| overlap(vessel.span_mm(), platform.span_mm()).is_some();
    let stands = |vessel: &Vessel<'_>| platforms_of(site, *vessel).iter().any(|own| own.id == platform.id);
    let others = Vessel::all(site.layout()).filter(|other| *other.id() != cistern.id);
    others.filter(|other| may_stand(other) && stands(other)).collect::<Vec<_>>().into_iter()
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
            .working(format!("{working} = {} mm", tenths_mm(out_mm)))
    };
    let (front_mm, back_mm) = (faces.0 - board.0, board.1 - faces.1);
    let to_front = format!("cistern's face at {} − board's edge at {}", written_mm(faces.0), written_mm(board.0));
    let to_back = format!("board's edge at {} − cistern's face at {}", written_mm(board.1), written_mm(faces.1));
    vec![side("front", front_mm, back_mm, to_front), side("back", back_mm, front_mm, to_back)]
}

/// The platforms that carry cisterns, each with what stands on it; a slab of concrete is no board, and lies on no timbers.
fn boards_under_cisterns<'a>(site: &Site<'a>) -> impl Iterator<Item = (&'a Platform, Vec<Vessel<'a>>)> + use<'a> {
    let is_slab = |platform: &Platform| platform.board.is_some_and(|board| board.material == BoardMaterial::Concrete);
    under_cisterns(site).filter(move |(platform, _)| !is_slab(platform))
}

/// Thickness of the board of each platform under a cistern.
#[must_use]
pub fn board_thickness(site: &Site<'_>) -> Vec<Reading> {
    let reading = |platform: &Platform| match platform.board.and_then(|board| board.thickness) {
        // Board is sold by thickness; a tape does not decide it.
        Some(thickness) => Reading::mm(&platform.id, Measured::exact(thickness.to_mm())),
        None => Reading::untold(&platform.id, find_out::BOARD_THICKNESS),
    };
    let boards = boards_under_cisterns(site);
    boards.map(|(platform, _)| reading(platform).at(Place::of(&platform.id, Feature::Left))).collect()
}

/// What the board of each platform under a cistern is made of.
#[must_use]
pub fn board_material(site: &Site<'_>) -> Vec<Reading> {
    let reading = |(platform, _): (&Platform, _)| {
        let board = platform.board.ok_or("see what the board is made of");
        Reading::choice(&platform.id, board.map(|board| board.material.words()))
            .at(Place::of(&platform.id, Feature::Right))
    };
    boards_under_cisterns(site).map(reading).collect()
}

/// What each cylinder stands on.
#[must_use]
pub fn below_cylinder(site: &Site<'_>) -> Vec<Reading> {
    let reading = |cylinder: &Cylinder| {
        let board = board_below(site, cylinder).ok_or("see what board the cylinder stands on");
        Reading::choice(&cylinder.id, board.map(|board| board.material.words()))
            .at(Place::of(&cylinder.id, Feature::Base))
    };
    site.layout().cylinders.iter().map(reading).collect()
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

/// What to find out of joists that cannot be as they are told.
#[must_use]
pub fn joists_in_doubt(joists: &Joists) -> Option<String> {
    find_out::timbers_in_one_another("joists", joists.count, (joists.breadth, joists.spacing))
}

/// The timbers on which the board of a platform lies.
pub struct TimbersUnder {
    /// Which way they run.
    pub lie: Lie,
    /// Their centre lines, mm: along the section, or behind it where they run along it.
    pub centres_mm: Vec<f64>,
}

/// The timbers on which the board of a platform lies.
///
/// # Errors
/// What to find out, when the layout does not tell enough.
pub fn timbers_under(site: &Site<'_>, platform: &Platform) -> Result<TimbersUnder, String> {
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
            let told = (bearers.breadth, bearers.spacing);
            if let Some(find_out) = find_out::timbers_in_one_another("bearers", bearers.count, told) {
                return Err(find_out);
            }
            let (edge_mm, from_mm, to_mm) = reach(bearers.lie)?;
            let centres = bearers.centres_between_mm(from_mm - edge_mm, to_mm - edge_mm).take(MOST_TIMBERS);
            Ok(TimbersUnder { lie: bearers.lie, centres_mm: centres.map(|centre| edge_mm + centre).collect() })
        }
        (None, Some(joists)) => {
            if let Some(find_out) = footing_in_doubt(site, platform).or_else(|| joists_in_doubt(joists)) {
                return Err(find_out);
            }
            let (_, from_mm, to_mm) = reach(joists.lie)?;
            let centres = joists.centres_between_mm(from_mm, to_mm).take(MOST_TIMBERS);
            Ok(TimbersUnder { lie: joists.lie, centres_mm: centres.map(|(_, centre)| centre).collect() })
        }
        (None, None) => Err("find the joists or bearers under the platform: how many, how far apart".to_owned()),
    }
}

/// What to find out where all timbers lie to one side of the middle of a vessel: on those alone the board would tip.
fn beside_what_stands_there(
    platform: &Platform,
    on_it: &[Vessel<'_>],
    TimbersUnder { lie, centres_mm }: &TimbersUnder,
) -> Option<String> {
    let (first_mm, last_mm) = (*centres_mm.first()?, *centres_mm.last()?);
    let is_beside = |vessel: &&Vessel<'_>| {
        let across = match lie {
            Lie::EndOn => Some(vessel.span_mm()),
            Lie::Along => vessel.front_and_back_mm(),
        };
        across.is_some_and(|(from, to)| !(first_mm..=last_mm).contains(&f64::midpoint(from, to)))
    };
    let vessel = on_it.iter().find(is_beside)?;
    Some(format!(
        "find what holds up {}: all timbers below it lie to one side of the middle of {}",
        platform.id.with_article(),
        vessel.id().with_article()
    ))
}

/// How many joists or bearers lie under each platform that carries a cistern.
#[must_use]
pub fn timber_count(site: &Site<'_>) -> Vec<Reading> {
    let reading = |(platform, on_it): (&Platform, Vec<Vessel<'_>>)| match timbers_under(site, platform) {
        Err(find_out) => Reading::untold(&platform.id, find_out),
        Ok(timbers) => {
            let count = u32::try_from(timbers.centres_mm.len()).unwrap_or(u32::MAX);
            let listed =
                timbers.centres_mm.iter().take(12).map(|centre| whole_mm(*centre)).collect::<Vec<_>>().join(", ");
            Reading::amount(&platform.id, Measured::exact(f64::from(count)), Unit::Count)
                .but_for(beside_what_stands_there(platform, &on_it, &timbers))
                .at(Place::of(&platform.id, Feature::Middle))
                .working(format!("centre lines below the platform: {listed}"))
        }
    };
    boards_under_cisterns(site).map(reading).collect()
}

/// The greatest distance between neighbouring joists or bearers under each platform that carries a cistern.
#[must_use]
pub fn timber_spacing(site: &Site<'_>) -> Vec<Reading> {
    let reading = |(platform, on_it): (&Platform, Vec<Vessel<'_>>)| {
        let timbers = match timbers_under(site, platform) {
            Err(find_out) => return Reading::untold(&platform.id, find_out),
            Ok(found) => found,
        };
        let Some(widest) = timbers.centres_mm.windows(2).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0]))) else {
            let find_out = format!(
                "see what the ends of {} lie on: fewer than two timbers are below it, and two make a spacing",
                platform.id.with_article()
            );
            return Reading::untold(&platform.id, find_out);
        };
        let spacing = site.taped(widest[1] - widest[0]);
        let reading = Reading::mm(&platform.id, spacing)
            .but_for(beside_what_stands_there(platform, &on_it, &timbers))
            .working(format!(
                "{} − {} = {:.1} mm, centre to centre",
                whole_mm(widest[1]),
                whole_mm(widest[0]),
                spacing.value
            ));
        let timber = |x| Place::of(&platform.id, Feature::Timber(x));
        match timbers.lie {
            Lie::EndOn => reading.between(Axis::Level, [timber(widest[0]), timber(widest[1])]),
            Lie::Along => reading.at(Place::of(&platform.id, Feature::Middle)),
        }
    };
    boards_under_cisterns(site).map(reading).collect()
}

/// Mass on each platform with all that stands on it filled, cisterns to the rim, against the load confirmed for it. A
/// cylinder's platform on the floor of a storey is asked only where somebody has confirmed a load for it.
#[must_use]
pub fn load(site: &Site<'_>) -> Vec<Reading> {
    let asked = over_joists(site);
    let is_asked = |platform: &Platform| {
        platform.confirmed_load.is_some() || asked.iter().any(|(other, _)| other.id == platform.id)
    };
    let laden = laden_platforms(site).into_iter().filter(|(platform, _)| is_asked(platform));
    laden.map(|(platform, on_it)| load_on(site, platform, &on_it)).collect()
}

/// What stands on a platform, filled, cisterns to the rim.
struct Standing {
    kg: Measured,
    /// What to find out of weights that are missing.
    rest: Option<String>,
    working: Vec<String>,
}

impl Standing {
    fn of(site: &Site<'_>, on_it: &[Vessel<'_>]) -> Self {
        let mut standing = Self { kg: Measured::exact(0.0), rest: None, working: Vec::new() };
        for vessel in on_it {
            let alone = stands_on_several(site, *vessel).map_or(Ok(()), Err);
            let untold = match alone.and_then(|()| full_weight(site, *vessel)) {
                Ok(weight) => {
                    standing.kg = standing.kg + weight.water_kg + Measured::exact(weight.empty_kg);
                    standing.working.extend(weight.working);
                    weight.rest
                }
                Err(find_out) => Some(find_out),
            };
            standing.rest = standing.rest.or(untold);
        }
        let (kg, kilonewtons) = (standing.kg.value, standing.kilonewtons());
        standing.working.push(format!("together {kg:.1} kg × {STANDARD_GRAVITY_M_S2} m/s² = {kilonewtons:.2} kN"));
        standing
    }

    fn kilonewtons(&self) -> f64 {
        self.kg.value * STANDARD_GRAVITY_M_S2 / 1000.0
    }

    /// In words for whoever is to confirm it.
    fn words(&self) -> String {
        format!("{:.0} kg ({:.2} kN)", self.kg.value.ceil(), self.kilonewtons())
    }

    /// A reading with what stands there and how it was reckoned.
    fn told_in(self, reading: Reading, platform: &Platform, on_it: &[Vessel<'_>]) -> Reading {
        let reading = reading.along_with(on_it.iter().map(|vessel| vessel.id()));
        reading.at(Place::of(&platform.id, Feature::Middle)).workings(self.working)
    }
}

fn load_on(site: &Site<'_>, platform: &Platform, on_it: &[Vessel<'_>]) -> Reading {
    let standing = Standing::of(site, on_it);
    let rest = standing.rest.clone();
    let reading = match (platform.confirmed_load, rest) {
        (Some(confirmed), rest) => {
            let confirmed = Measured::exact(confirmed.to_kg());
            Reading::amount(&platform.id, standing.kg, Unit::Kilogram).against(confirmed).but_for(rest)
        }
        (None, Some(find_out)) => Reading::untold(&platform.id, find_out),
        (None, None) => Reading::untold(
            &platform.id,
            format!("have a competent person confirm that platform and joists carry {}", standing.words()),
        ),
    };
    standing.told_in(reading, platform, on_it)
}

/// Whether the load that a competent person has confirmed covers what stands on each platform on a frame: what uprights,
/// rails and bracing bear is judged nowhere else.
#[must_use]
pub fn frame_confirmed(site: &Site<'_>) -> Vec<Reading> {
    let framed = laden_platforms(site).into_iter().filter(|(platform, _)| platform.frame.is_some());
    framed.map(|(platform, on_it)| frame_under(site, platform, &on_it)).collect()
}

fn frame_under(site: &Site<'_>, platform: &Platform, on_it: &[Vessel<'_>]) -> Reading {
    let standing = Standing::of(site, on_it);
    let is_covered = platform.confirmed_load.is_some_and(|confirmed| confirmed.to_kg() >= standing.kg.value);
    let reading = match footing_in_doubt(site, platform) {
        Some(find_out) => Reading::untold(&platform.id, find_out),
        None => {
            let find_out = format!(
                "have a competent person design the frame below {}, its uprights and bracing, and confirm that it \
                 carries {}",
                platform.id.with_article(),
                standing.words()
            );
            let covered = is_covered.then_some("a confirmed load that covers what stands on it");
            Reading::choice(&platform.id, covered.ok_or(find_out)).but_for(standing.rest.clone())
        }
    };
    standing
        .told_in(reading, platform, on_it)
        .working("what the frame itself weighs is left out: its timbers are not told")
}

/// What a reading calls a board of chipboard of any sort.
pub const CHIPBOARD: &[&str] = &[BoardMaterial::Chipboard.words(), BoardMaterial::ChipboardP5.words()];
