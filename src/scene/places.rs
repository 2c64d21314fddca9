//! Places that are tried for a label, and how little each is liked.

use std::sync::LazyLock;

use glam::{DVec2, dvec2};

use super::labels::nearest_on;
use super::room::{PaperBox, Room};
use super::{About, Label};
use crate::geom::Polyline;

/// Shares of a stretch of pipe at which its label may stand, and of a run at which a leader may begin, best first.
const ALONG: [f64; 7] = [0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92];
/// A symbol reaches so far from its point, mm, and its tag stands so far beyond that.
const SYMBOL_REACH_MM: f64 = 2.0;
const BESIDE_MM: [f64; 3] = [0.2, 1.0, 2.0];
/// How many of the longest stretches of a run are tried.
const STRETCHES: usize = 4;
/// Distances at which a label with a leader is tried, mm.
const LEADERS_MM: [f64; 8] = [4.0, 8.0, 13.0, 20.0, 28.0, 38.0, 50.0, 64.0];
/// Beside a picture words are tried in so many steps of so many mm, and so many times their height up or down.
const ASIDE_STEPS: u32 = 18;
const ASIDE_MM: f64 = 2.0;
const LIFTS: [f64; 7] = [0.0, -0.25, 0.25, -0.5, 0.5, -1.0, 1.0];
/// How much more each millimetre is disliked beyond this distance, mm: the eye loses a longer leader among others.
const LONG_MM: f64 = 30.0;
const FAR_COST: f64 = 2.0;
/// Words of a picture that would stand farther off than this, mm, are numbered.
const LONGEST_MM: f64 = 36.0;
/// How much it is disliked that the words of a picture stand anywhere else, in halves of a millimetre of leader.
const ELSEWHERE_COST: f64 = 12.0;
/// Where nothing is free nearby, places so far apart are tried all over the paper, mm, but no more than so many across
/// it.
const APART_MM: f64 = 3.0;
const MOST_ACROSS: f64 = 40.0;
/// How much it is disliked that a label stands anywhere.
const FAR_OFF_COST: f64 = 6.0;

/// Steps in which places along a floor are tried, mm; how much its ends are disliked against its middle, and places
/// beyond them.
const ALONG_FLOOR_MM: f64 = 3.0;
const ASIDE_COST: f64 = 2.0;
const AT_END_COST: f64 = 4.0;
/// How far words stand off a floor, mm, and how much that is disliked. The farther place is for a floor whose line lies at the
/// edge of its cell of ink, so that the nearer one lies in the same cell.
const OFF_FLOOR: [(f64, f64); 2] = [(0.9, 0.0), (1.9, 0.5)];

/// Directions in which a label with a leader is tried.
static AROUND: LazyLock<Vec<DVec2>> = LazyLock::new(|| directions(16));

/// A place for a label, and how little it is liked.
pub(super) struct Candidate {
    pub area: PaperBox,
    pub dislike: f64,
    /// Where a leader starts, when the label stands off.
    pub leader: Option<DVec2>,
}

fn around(middle: DVec2, size: DVec2) -> PaperBox {
    PaperBox { low: middle - size / 2.0, high: middle + size / 2.0 }
}

/// Places at and around what a label names.
pub(super) fn nearby(room: &Room, label: &Label, size: DVec2) -> Vec<Candidate> {
    match &label.about {
        About::Thing { low, high } => about_thing(*low / room.scale, *high / room.scale, size),
        About::Picture { low, high } => about_picture(*low / room.scale, *high / room.scale, size),
        About::Course(points) => about_course(points, room.scale, size),
        About::Floor { from, to } => about_floor(room, (*from / room.scale, *to / room.scale), size),
        About::Spot(at) => about_spot(*at / room.scale, size),
    }
}

/// All over the paper with a leader, nearest first.
pub(super) fn anywhere(room: &Room, label: &Label, size: DVec2) -> Vec<Candidate> {
    let (low, high) = room.limits();
    let apart_mm = ((high - low).max_element() / MOST_ACROSS).max(APART_MM);
    let count = ((high - low - size) / apart_mm).max(DVec2::NEG_ONE).floor();
    let starts: Vec<DVec2> = match &label.about {
        About::Course(points) => Polyline::through(points.iter().map(|point| *point / room.scale))
            .map(|line| ALONG.map(|share| line.point_at(line.length() * share)).to_vec())
            .unwrap_or_default(),
        About::Spot(at) => vec![*at / room.scale],
        About::Thing { .. } | About::Picture { .. } => Vec::new(),
        About::Floor { .. } => return Vec::new(),
    };
    let start = |area: PaperBox| match &label.about {
        About::Thing { low, high } | About::Picture { low, high } => {
            Some(area.middle().clamp(*low / room.scale, *high / room.scale))
        }
        About::Course(_) | About::Spot(_) | About::Floor { .. } => {
            let off = |start: &DVec2| nearest_on(area, *start).distance(*start);
            starts.iter().copied().min_by(|a, b| off(a).total_cmp(&off(b)))
        }
    };
    let places = (0..=count.y as i32).flat_map(|row| (0..=count.x as i32).map(move |column| (column, row)));
    let candidate = |(column, row): (i32, i32)| {
        let low = low + dvec2(f64::from(column), f64::from(row)) * apart_mm;
        let area = PaperBox { low, high: low + size };
        let from = start(area)?;
        let off = nearest_on(area, from).distance(from);
        if matches!(label.about, About::Picture { .. }) && off > LONGEST_MM {
            return None;
        }
        Some(Candidate { area, dislike: FAR_OFF_COST + 0.5 * off, leader: (off > 0.0).then_some(from) })
    };
    let mut candidates: Vec<Candidate> = places.filter_map(candidate).collect();
    candidates.sort_by(|a, b| a.dislike.total_cmp(&b.dislike));
    candidates
}

/// Inside if it fits, then close beside, then off with a leader.
fn about_thing(low: DVec2, high: DVec2, size: DVec2) -> Vec<Candidate> {
    let (middle, half) = (low.midpoint(high), (high - low) / 2.0);
    let mut candidates = Vec::new();
    if (high - low).cmpge(size).all() {
        for share in [0.0, -0.45, 0.45, -0.8, 0.8] {
            let middle = middle + dvec2(0.0, share * (half.y - size.y / 2.0));
            candidates.push(Candidate { area: around(middle, size), dislike: share.abs(), leader: None });
        }
    }
    let out = half + size / 2.0;
    let aside = (half.x - size.x / 2.0).max(0.0);
    for (across, dislike) in [(0.0, 2.0), (-aside, 2.5), (aside, 2.5)] {
        for y in [-out.y, out.y] {
            candidates.push(Candidate { area: around(middle + dvec2(across, y), size), dislike, leader: None });
        }
    }
    let up = (half.y - size.y / 2.0).max(0.0);
    for (level, dislike) in [(0.0, 2.5), (-up, 3.0), (up, 3.0)] {
        for x in [-out.x, out.x] {
            candidates.push(Candidate { area: around(middle + dvec2(x, level), size), dislike, leader: None });
        }
    }
    for distance in LEADERS_MM {
        for direction in &*AROUND {
            let middle = middle + *direction * (out + distance);
            let area = around(middle, size);
            let from = area.middle().clamp(low, high);
            candidates.push(Candidate { area, dislike: 5.0 + distance * 0.5, leader: Some(from) });
        }
    }
    candidates
}

/// To the left or right with a leader as level as may be, then wherever a thing's words may stand.
fn about_picture(low: DVec2, high: DVec2, size: DVec2) -> Vec<Candidate> {
    let (middle, out) = (low.midpoint(high), (high.x - low.x + size.x) / 2.0);
    let mut candidates = Vec::new();
    for step in 0..ASIDE_STEPS {
        let distance = ASIDE_MM * f64::from(step + 1);
        for (side, lift) in [-1.0, 1.0].into_iter().flat_map(|side| LIFTS.map(|lift| (side, lift * size.y))) {
            let area = around(middle + dvec2(side * (out + distance), lift), size);
            let leader = (step > 0).then(|| area.middle().clamp(low, high));
            let dislike = 0.5 * distance + 0.2 * lift.abs() + FAR_COST * (distance - LONG_MM).max(0.0);
            candidates.push(Candidate { area, dislike, leader });
        }
    }
    let elsewhere = about_thing(low, high, size).into_iter();
    let is_near =
        |place: &Candidate| place.leader.is_none_or(|from| nearest_on(place.area, from).distance(from) <= LONGEST_MM);
    let elsewhere = elsewhere.filter(is_near);
    candidates.extend(elsewhere.map(|place| Candidate { dislike: place.dislike + ELSEWHERE_COST, ..place }));
    candidates
}

/// Close beside a symbol, then off with a leader that begins at its edge: marks may have taken the symbol itself.
fn about_spot(at: DVec2, size: DVec2) -> Vec<Candidate> {
    let off = |distance: f64, direction: DVec2| around(at + direction * (size / 2.0 + distance), size);
    let mut candidates = Vec::new();
    for beside in BESIDE_MM {
        candidates.extend(AROUND.iter().map(|direction| {
            let area = off(SYMBOL_REACH_MM + beside, *direction);
            Candidate { area, dislike: beside, leader: None }
        }));
    }
    for distance in LEADERS_MM.iter().flat_map(|step| [*step, step * 1.3]) {
        candidates.extend(AROUND.iter().map(|direction| Candidate {
            area: off(distance, *direction),
            dislike: 4.0 + distance * 0.5,
            leader: Some(at + *direction * SYMBOL_REACH_MM),
        }));
    }
    candidates
}

/// Beside the longest stretches, then off with a leader.
fn about_course(points: &[DVec2], scale: f64, size: DVec2) -> Vec<Candidate> {
    let Some(line) = Polyline::through(points.iter().map(|point| *point / scale)) else { return Vec::new() };
    let mut stretches: Vec<(DVec2, DVec2)> = line.segments().collect();
    stretches.sort_by(|a, b| b.0.distance_squared(b.1).total_cmp(&a.0.distance_squared(a.1)));
    stretches.truncate(STRETCHES);
    let mut candidates = Vec::new();
    for (rank, (start, end)) in stretches.iter().enumerate() {
        let run = *end - *start;
        let lies = run.x.abs() >= run.y.abs();
        for (place, share) in ALONG.iter().enumerate() {
            let at = start.lerp(*end, *share);
            // Words that are longer than their stretch are liked less.
            let room_along = if lies { run.x.abs() - size.x } else { run.y.abs() - size.y };
            let dislike = rank as f64 * 1.5 + place as f64 * 0.4 + (-room_along).max(0.0) * 0.3;
            let off = if lies { dvec2(0.0, size.y / 2.0 + 0.9) } else { dvec2(size.x / 2.0 + 0.9, 0.0) };
            for off in [off, -off] {
                candidates.push(Candidate { area: around(at + off, size), dislike, leader: None });
            }
        }
    }
    for share in ALONG {
        let at = line.point_at(line.length() * share);
        for distance in LEADERS_MM {
            for direction in &*AROUND {
                let area = around(at + *direction * (size / 2.0 + distance), size);
                candidates.push(Candidate { area, dislike: 6.0 + distance * 0.5, leader: Some(at) });
            }
        }
    }
    candidates
}

/// Close over or under a level line, nearest to the middle of what is seen of it first, then level with it at one of its
/// ends.
fn about_floor(room: &Room, (from, to): (DVec2, DVec2), size: DVec2) -> Vec<Candidate> {
    let Some((left, right)) = room.stretch_in_view(from, to) else { return Vec::new() };
    let (middle, half) = (left.midpoint(right), (right.x - left.x) / 2.0);
    let steps = ((half - size.x / 2.0) / ALONG_FLOOR_MM).max(0.0) as u32;
    let mut candidates = Vec::new();
    for aside in (0..=steps).flat_map(|step| [-1.0, 1.0].map(|side| side * f64::from(step) * ALONG_FLOOR_MM)) {
        for ((off_mm, off_cost), upward) in OFF_FLOOR.into_iter().flat_map(|off| [1.0, -1.0].map(|way| (off, way))) {
            let off = dvec2(aside, upward * (size.y / 2.0 + off_mm));
            let dislike = ASIDE_COST * aside.abs() / half.max(1.0) + off_cost;
            candidates.push(Candidate { area: around(middle + off, size), dislike, leader: None });
        }
    }
    for (end, side) in [(from, -1.0), (to, 1.0)] {
        let area = around(end + dvec2(side * (size.x / 2.0 + OFF_FLOOR[0].0), 0.0), size);
        candidates.push(Candidate { area, dislike: AT_END_COST, leader: None });
    }
    candidates
}

/// Evenly spread directions, from the right anticlockwise.
pub(super) fn directions(count: u32) -> Vec<DVec2> {
    let direction = |number: u32| {
        let angle = std::f64::consts::TAU * f64::from(number) / f64::from(count);
        dvec2(angle.cos(), angle.sin())
    };
    (0..count).map(direction).collect()
}
