//! How far what a remedy moves can go before it takes from another rule more than that has to spare.

use foldhash::{HashMap, HashMapExt as _};

use super::Finding;
use crate::layout::Id;
use crate::measure::{Axis, Feature, Place, Reading, Room};
use crate::rules::{Lever, Limit, Verdict};
use crate::units::Unit;

/// Something of a cistern that is raised or lowered by itself.
#[derive(PartialEq, Eq)]
enum Moved<'r> {
    Hole(&'r Id, &'r Id),
    Overflow(&'r Id),
    FloatValve(&'r Id),
    WaterLine(&'r Id),
}

impl<'r> Moved<'r> {
    /// The cistern that it is of.
    const fn part(&self) -> &'r Id {
        match self {
            Self::Hole(part, _) | Self::Overflow(part) | Self::FloatValve(part) | Self::WaterLine(part) => part,
        }
    }
}

/// Tells each finding that is open how much room others leave for its levers.
pub(super) fn tell(list: &mut [Finding]) {
    let others = Others::among(list);
    let told: Vec<(usize, Room, f64)> = list
        .iter()
        .enumerate()
        .flat_map(|(number, finding)| others.rooms(finding).into_iter().map(move |(room, mm)| (number, room, mm)))
        .collect();
    for (number, room, spare_mm) in told {
        list[number].reading.leave_room(room, spare_mm);
    }
}

/// The findings from which a move may take, by the cistern of what they are measured between: of a thousand houses only
/// those of one are looked at.
struct Others<'f>(HashMap<&'f Id, Vec<&'f Finding>>);

impl<'f> Others<'f> {
    fn among(list: &'f [Finding]) -> Self {
        let mut by_part: HashMap<&Id, Vec<&Finding>> = HashMap::new();
        for finding in list {
            let places = finding.reading.places.iter();
            for part in places.filter_map(|place| Some(moved(&finding.reading, place)?.part())) {
                let of_part = by_part.entry(part).or_default();
                if of_part.last().is_none_or(|last| !std::ptr::eq(*last, finding)) {
                    of_part.push(finding);
                }
            }
        }
        Self(by_part)
    }

    /// The rooms into which levers of a finding go, with what others have to spare of them, mm.
    fn rooms(&self, finding: &Finding) -> Vec<(Room, f64)> {
        if !matches!(finding.judged.verdict, Verdict::Breach | Verdict::Marginal) {
            return Vec::new();
        }
        let goes_into = |lever: &Lever| if let Lever::Into(room, _) = lever { Some(*room) } else { None };
        let rooms = finding.rule.levers.iter().filter_map(goes_into);
        let spare = |room: Room| {
            let (moved, up) = moved_into(finding, room)?;
            let others = self.0.get(moved.part())?.iter();
            Some((room, others.filter_map(|other| spare_mm(other, &moved, up)).reduce(f64::min)?))
        };
        rooms.filter_map(spare).collect()
    }
}

/// What is moved into a room, and which way: 1 for up, −1 for down.
fn moved_into(finding: &Finding, room: Room) -> Option<(Moved<'_>, f64)> {
    let reading = &finding.reading;
    let [lower, upper] = upright(reading)?;
    match room {
        Room::Rise => Some((moved(reading, upper)?, 1.0)),
        Room::Sink => Some((moved(reading, lower)?, -1.0)),
        Room::Water => {
            // Of two water lines the one that stands too high over the other.
            let line = if matches!(finding.limit, Limit::AtMost(_)) { upper } else { lower };
            moved(reading, line).filter(|moved| matches!(moved, Moved::WaterLine(_))).map(|line| (line, -1.0))
        }
        Room::Above | Room::Below | Room::Opposite | Room::Instead | Room::Then => None,
    }
}

/// The lower and the upper place between which a reading was measured.
fn upright(reading: &Reading) -> Option<[&Place; 2]> {
    match (reading.axis, reading.places.as_slice()) {
        (Axis::Upright, [lower, upper, ..]) => Some([lower, upper]),
        _ => None,
    }
}

fn moved<'r>(reading: &'r Reading, place: &'r Place) -> Option<Moved<'r>> {
    let part = place.part.as_ref()?;
    match &place.feature {
        Feature::Port(port) => Some(Moved::Hole(part, port)),
        Feature::Invert(..) => Some(Moved::Overflow(part)),
        // Somewhere on the way out: the reading is about the cistern.
        Feature::InvertAlong(..) => Some(Moved::Overflow(&reading.parts[0])),
        Feature::FloatValveOutlet => Some(Moved::FloatValve(part)),
        Feature::WaterLine => Some(Moved::WaterLine(part)),
        _ => None,
    }
}

/// What another finding has to spare of what such a move takes from it, mm; nothing where it takes nothing.
fn spare_mm(other: &Finding, goes: &Moved<'_>, up: f64) -> Option<f64> {
    let is_it = |place: &Place| moved(&other.reading, place).is_some_and(|own| own == *goes);
    let widens = match upright(&other.reading) {
        Some([lower, upper]) => up * (f64::from(is_it(upper)) - f64::from(is_it(lower))),
        // Litres are counted from the base.
        None => up * f64::from(other.reading.places.iter().any(is_it)),
    };
    let takes = match other.limit {
        Limit::AtLeast(_) | Limit::MoreThan(_) => widens < 0.0,
        Limit::AtMost(_) => widens > 0.0,
        _ => false,
    };
    let spare = other.judged.spare(other.limit, &other.reading).filter(|_| takes)?;
    match spare.unit {
        Unit::Millimetre => upright(&other.reading).map(|_| spare.value),
        Unit::Litre => Some(spare.value / other.reading.litres_per_mm?),
        _ => None,
    }
}
