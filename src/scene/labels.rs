//! Places for labels: each tries a fixed list of places and takes the free one that covers least.

use std::ops::Range;
use std::sync::LazyLock;

use glam::{DVec2, dvec2};

use super::inked::{Drawn, Outline, Stroke, Turn};
use super::lettering::width_mm;
use super::room::{PaperBox, Room};
use super::{About, Ink, Label, Origin, PenWidth, TextAnchor, TextSize};
use crate::geom::Polyline;

/// From foot line to foot line, as a share of the letter size.
pub(super) const LINE_PITCH: f64 = 1.15;
/// Clear paper around a label, mm.
pub(super) const CLEAR_MM: f64 = 0.5;
/// A drawing with more labels than this in view is not read but looked at; the rest stays off.
const MOST_LABELS: usize = 300;
/// Shares of a stretch of pipe at which its label may stand, best first.
const ALONG: [f64; 7] = [0.5, 0.35, 0.65, 0.2, 0.8, 0.08, 0.92];
/// A symbol reaches so far from its point, mm, and its tag stands so far beyond that.
const SYMBOL_REACH_MM: f64 = 2.0;
const BESIDE_MM: [f64; 3] = [0.2, 1.0, 2.0];
/// How many of the longest stretches of a run are tried.
const STRETCHES: usize = 4;
/// Distances at which a label with a leader is tried, mm.
const LEADERS_MM: [f64; 8] = [4.0, 8.0, 13.0, 20.0, 28.0, 38.0, 50.0, 64.0];
/// How much it is disliked that a leader crosses another, where a millimetre of leader counts a half.
const TANGLE_COST: f64 = 40.0;
/// Beside a picture words are tried in so many steps of so many mm, and so many times their height up or down.
const ASIDE_STEPS: u32 = 40;
const ASIDE_MM: f64 = 2.0;
const LIFTS: [f64; 7] = [0.0, -0.25, 0.25, -0.5, 0.5, -1.0, 1.0];
/// How much it is disliked that the words of a picture stand anywhere else, in halves of a millimetre of leader.
const ELSEWHERE_COST: f64 = 12.0;
/// So many labels are listed beside the drawing where they find no place on it.
const MOST_LISTED: usize = 20;
/// A label that finds no place is broken into lines of these widths, mm.
const NARROW_MM: [f64; 3] = [34.0, 27.0, 22.0];
/// The list beside the drawing is as wide as the first of these for which there is room, mm.
const LISTS_MM: [f64; 5] = [46.0, 30.0, 20.0, 70.0, 110.0];

/// Directions in which a label with a leader is tried.
static AROUND: LazyLock<Vec<DVec2>> = LazyLock::new(|| directions(16));

/// A place for a label, and how little it is liked.
struct Candidate {
    area: PaperBox,
    dislike: f64,
    /// Where a leader starts, when the label stands off.
    leader: Option<DVec2>,
}

pub(super) fn place_labels(strokes: &mut Vec<Stroke>, room: &mut Room, labels: &[(&Origin, &Label)]) {
    let mut in_view: Vec<&(&Origin, &Label)> = labels.iter().filter(|(_, label)| is_in_view(room, label)).collect();
    in_view.sort_by_key(|(_, label)| label.rank);
    let mut listed: Vec<String> = Vec::new();
    let mut numbers: Vec<Range<usize>> = Vec::new();
    for (origin, label) in in_view.into_iter().take(MOST_LABELS) {
        let narrower = || {
            NARROW_MM.iter().map(|width_mm| {
                let size_mm = label.size.mm();
                let lines = label.lines.iter().flat_map(|line| super::wrapped(line, size_mm, *width_mm)).collect();
                Label { lines, ..(*label).clone() }
            })
        };
        let written = put(strokes, room, origin, label)
            || narrower().any(|narrow| narrow.lines != label.lines && put(strokes, room, origin, &narrow));
        if written || listed.len() == MOST_LISTED {
            continue;
        }
        // A number in its place, and the words beside the drawing.
        let sign = format!("({})", listed.len() + 1);
        let short = Label { lines: vec![sign.clone()], size: TextSize::Tiny, ..(*label).clone() };
        let from = strokes.len();
        if put(strokes, room, origin, &short) {
            numbers.push(from..strokes.len());
            listed.push(format!("{sign} {}", label.lines.join(", ")));
        }
    }
    let unread = list(strokes, room, &listed);
    // A number without its words says nothing.
    for number in unread.into_iter().rev() {
        strokes.drain(numbers[number].clone());
    }
}

/// Writes the words of numbered labels on blank paper: all together, or each line where there is room for it.
/// Gives the places in the list of those that found none.
fn list(strokes: &mut Vec<Stroke>, room: &mut Room, listed: &[String]) -> Vec<usize> {
    let size_mm = TextSize::Tiny.mm();
    let find = |room: &Room, words: &[String]| {
        LISTS_MM.iter().find_map(|width_mm| {
            let lines: Vec<String> = words.iter().flat_map(|words| super::wrapped(words, size_mm, *width_mm)).collect();
            Some((room.blank_corner(block_size(&lines, size_mm))?, lines))
        })
    };
    let all_in_one = !listed.is_empty() && find(room, listed).is_some();
    let mut unread = Vec::new();
    for (number, words) in listed.chunks(if all_in_one { listed.len() } else { 1 }).enumerate() {
        let Some((area, lines)) = find(room, words) else {
            unread.push(number);
            continue;
        };
        room.take(area);
        for drawn in block(&lines, size_mm, Ink::Ink, area, room.scale, TextAnchor::Start) {
            strokes.push(Stroke { origin: Origin::Building, drawn });
        }
    }
    unread
}

/// Writes a label where it stands best on blank paper, if there is such a place.
fn put(strokes: &mut Vec<Stroke>, room: &mut Room, origin: &Origin, label: &Label) -> bool {
    let size = block_size(&label.lines, label.size.mm());
    let cost = |candidate: &Candidate| {
        let Some(from) = candidate.leader else { return candidate.dislike };
        let to = nearest_on(candidate.area, from);
        candidate.dislike + 0.8 * room.crossed(from, to) + TANGLE_COST * room.leaders_crossed(from, to) as f64
    };
    let will_do = |candidate: &Candidate| {
        let clear = |from: DVec2| room.is_clear(from, nearest_on(candidate.area, from));
        room.is_blank(candidate.area) && candidate.leader.is_none_or(clear)
    };
    let mut best: Option<(f64, Candidate)> = None;
    for candidate in candidates(room, label, size) {
        // What a place is disliked for by itself is the least that it costs.
        let is_worse = |cost: f64| best.as_ref().is_some_and(|(least, _)| cost >= *least);
        if is_worse(candidate.dislike) || !will_do(&candidate) {
            continue;
        }
        let cost = cost(&candidate);
        if !is_worse(cost) {
            best = Some((cost, candidate));
        }
    }
    let Some((_, best)) = best else { return false };
    room.take(best.area);
    if let Some(from) = best.leader {
        let to = nearest_on(best.area, from);
        let points = vec![from * room.scale, to * room.scale];
        let drawn = Drawn::Line { points, outline: Outline::solid(Ink::Faint, PenWidth::Fine.mm()) };
        room.ink_stroke(&drawn);
        room.lead(from, to);
        strokes.push(Stroke { origin: origin.clone(), drawn });
    }
    for drawn in block(&label.lines, label.size.mm(), label.ink, best.area, room.scale, TextAnchor::Middle) {
        strokes.push(Stroke { origin: origin.clone(), drawn });
    }
    true
}

fn is_in_view(room: &Room, label: &Label) -> bool {
    match &label.about {
        About::Thing { low, high } | About::Picture { low, high } => room.sees(low.midpoint(*high) / room.scale),
        About::Course(points) => points.iter().any(|point| room.sees(*point / room.scale)),
        About::Spot(at) => room.sees(*at / room.scale),
    }
}

/// Width and height of lines under each other, mm.
pub(super) fn block_size(lines: &[String], size_mm: f64) -> DVec2 {
    let width = lines.iter().map(|line| width_mm(line, size_mm)).fold(0.0, f64::max);
    dvec2(width, size_mm * (1.0 + LINE_PITCH * (lines.len().max(1) - 1) as f64)) + 2.0 * CLEAR_MM
}

/// Lines of words in a box on paper, ranged as the anchor says.
pub(super) fn block(
    lines: &[String],
    size_mm: f64,
    ink: Ink,
    area: PaperBox,
    scale: f64,
    anchor: TextAnchor,
) -> Vec<Drawn> {
    let x = match anchor {
        TextAnchor::Start => area.low.x + CLEAR_MM,
        TextAnchor::Middle => area.middle().x,
        TextAnchor::End => area.high.x - CLEAR_MM,
    };
    let foot = |number: usize| area.high.y - CLEAR_MM - size_mm * (0.78 + LINE_PITCH * number as f64);
    let line = |(number, words): (usize, &String)| Drawn::Words {
        at: dvec2(x, foot(number)) * scale,
        anchor,
        words: words.clone(),
        size_mm,
        ink,
        turn: Turn::Level,
    };
    lines.iter().enumerate().map(line).collect()
}

/// The point of a box that is nearest to another.
pub(super) fn nearest_on(area: PaperBox, to: DVec2) -> DVec2 {
    to.clamp(area.low, area.high)
}

fn around(middle: DVec2, size: DVec2) -> PaperBox {
    PaperBox { low: middle - size / 2.0, high: middle + size / 2.0 }
}

fn candidates(room: &Room, label: &Label, size: DVec2) -> Vec<Candidate> {
    match &label.about {
        About::Thing { low, high } => about_thing(*low / room.scale, *high / room.scale, size),
        About::Picture { low, high } => about_picture(*low / room.scale, *high / room.scale, size),
        About::Course(points) => about_course(points, room.scale, size),
        About::Spot(at) => about_spot(*at / room.scale, size),
    }
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
            candidates.push(Candidate { area, dislike: 0.5 * distance + 0.2 * lift.abs(), leader });
        }
    }
    let elsewhere = about_thing(low, high, size).into_iter();
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
    for share in [0.5, 0.3, 0.7] {
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

/// Evenly spread directions, from the right anticlockwise.
pub(super) fn directions(count: u32) -> Vec<DVec2> {
    let direction = |number: u32| {
        let angle = std::f64::consts::TAU * f64::from(number) / f64::from(count);
        dvec2(angle.cos(), angle.sin())
    };
    (0..count).map(direction).collect()
}
