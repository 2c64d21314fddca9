//! No label lies on another, on a mark or on a line of a part: every example, every view, three sizes of window.

use glam::DVec2;
use loftwright::finding::Findings;
use loftwright::heat::Warmth;
use loftwright::layout::{Edit, Id, Layout, apply};
use loftwright::measure::Site;
use loftwright::scene::{self, Drawn, Ink, Item, Marks, Origin, Pace, Scene, Shape, Standing, Stroke, View, Which};
use loftwright::timber::LoadPath;
use loftwright::units::Length;
use loftwright::water::circuit::{Circuit, Conditions, Open};

use crate::example::example;

const EXAMPLES: [&str; 6] =
    ["sound_indirect", "sound_direct", "low_loft", "level_connections", "feed_and_expansion", "half_described"];
/// What is left for the drawing of windows of 1024 × 700, 1400 × 900 and 2560 × 1440 points, mm of paper.
const PAPERS_MM: [(&str, f64, f64); 3] = [("small", 86.0, 102.0), ("usual", 125.0, 136.0), ("large", 300.0, 225.0)];
const ASPECTS: [&str; 4] = ["set out", "flow", "warmth", "timber"];
/// Letters may touch a line by so much, mm: their box is a little larger than they are.
const TOUCH_MM: f64 = 0.15;
/// The name of a storey is no further from its floor, mm: two rows may stand over each other.
const OFF_FLOOR_MM: f64 = 4.0;
/// Of all labels of all small drawings, so many at most are left out.
const MOST_LEFT_OUT: usize = 15;
/// Of all labels of all drawings, so many at most are numbers that are listed beside them.
const MOST_NUMBERED: usize = 16;

/// The scene that the window shows.
fn scene_of(layout: &Layout, aspect: &str) -> Scene {
    let site = Site::of(layout);
    if aspect == "set out" {
        let marks = Marks { which: Which::HeaviestWrittenOut, ..Marks::default() };
        return scene::draw(&site, &Findings::of(&site), &marks);
    }
    let mut drawn = scene::draw(&site, &Findings::default(), &Marks::none());
    drawn.leave_bare_names();
    match aspect {
        "flow" => {
            let circuit = Circuit::of(&site);
            let flows = circuit.flows(&Conditions::default());
            scene::draw_running(&mut drawn, &site, &circuit, &flows);
        }
        "warmth" => scene::draw_warmth(&mut drawn, &site, &Warmth::of(&site)),
        _ => {
            drawn.stand_back(|origin| match origin {
                Origin::Part(id) => {
                    !layout.cisterns.iter().any(|part| part.id == *id)
                        && !layout.platforms.iter().any(|part| part.id == *id)
                }
                Origin::Building | Origin::Mark(_) => false,
            });
            scene::timber::overlay(&mut drawn, &site, &LoadPath::of(&site));
        }
    }
    drawn
}

/// Everything in view, as the window fits it.
fn fitted(layout: &Layout, (wide, high): (f64, f64)) -> View {
    let bare = scene::draw(&Site::of(layout), &Findings::default(), &Marks::none());
    let (low, top) = scene::bounds(&bare).expect("something is drawn");
    let size = (top - low) * 1.12;
    let scale = (size.x / wide).max(size.y / high);
    let (middle, half) = ((low + top) / 2.0, DVec2::new(wide, high) * scale / 2.0);
    View { scale, within: Some((middle - half, middle + half)) }
}

struct Words<'a> {
    stroke: &'a Stroke,
    words: &'a str,
    low: DVec2,
    high: DVec2,
}

fn words_of(strokes: &[Stroke], scale: f64) -> Vec<Words<'_>> {
    let words = strokes.iter().filter_map(|stroke| {
        let Drawn::Words { words, .. } = &stroke.drawn else { return None };
        let (low, high) = stroke.drawn.words_box(scale)?;
        Some(Words { stroke, words, low: low / scale + TOUCH_MM, high: high / scale - TOUCH_MM })
    });
    words.collect()
}

/// Whether a straight line passes through a box (Liang and Barsky).
pub(super) fn crosses(from: DVec2, to: DVec2, low: DVec2, high: DVec2) -> bool {
    let run = to - from;
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (run, start, low, high) in [(run.x, from.x, low.x, high.x), (run.y, from.y, low.y, high.y)] {
        if run.abs() < 1e-12 {
            if start <= low || start >= high {
                return false;
            }
        } else {
            let (a, b) = ((low - start) / run, (high - start) / run);
            (enter, leave) = (enter.max(a.min(b)), leave.min(a.max(b)));
        }
    }
    enter < leave
}

/// The lines that are seen, on paper.
fn lines_of(stroke: &Stroke, scale: f64) -> Vec<(DVec2, DVec2)> {
    let points: Vec<DVec2> = match &stroke.drawn {
        Drawn::Line { points, outline } if outline.ink != Ink::Paper => points.clone(),
        Drawn::Area { points, outline: Some(_), .. } => points.iter().chain(points.first()).copied().collect(),
        _ => Vec::new(),
    };
    points.windows(2).map(|pair| (pair[0] / scale, pair[1] / scale)).collect()
}

fn faults(name: &str, strokes: &[Stroke], scale: f64) -> Vec<String> {
    let words = words_of(strokes, scale);
    let mut faults = Vec::new();
    for (number, a) in words.iter().enumerate() {
        for b in &words[number + 1..] {
            if a.low.cmplt(b.high).all() && b.low.cmplt(a.high).all() {
                faults.push(format!("{name}: '{}' lies on '{}'", a.words, b.words));
            }
        }
        let crossed = strokes
            .iter()
            .find(|stroke| lines_of(stroke, scale).into_iter().any(|(from, to)| crosses(from, to, a.low, a.high)));
        if let Some(stroke) = crossed {
            faults.push(format!("{name}: '{}' of {:?} lies on {:?}", a.words, a.stroke.origin, stroke.origin));
        }
    }
    faults
}

#[test]
fn no_label_lies_on_another_or_on_a_line() {
    let mut all = Vec::new();
    let mut lost = Vec::new();
    for house in EXAMPLES {
        let layout = example(house);
        for aspect in ASPECTS {
            let scene = scene_of(&layout, aspect);
            for (size, wide, high) in PAPERS_MM {
                let fitted = fitted(&layout, (wide, high));
                for near in [1.0, 2.5] {
                    let middle = fitted.within.map(|(low, high)| (low + high) / 2.0).expect("a window");
                    let half = DVec2::new(wide, high) * fitted.scale / near / 2.0;
                    let view = View { scale: fitted.scale / near, within: Some((middle - half, middle + half)) };
                    let strokes = scene.inked(&view);
                    all.extend(faults(&format!("{house}, {aspect}, {size}, {near} times"), &strokes, view.scale));
                    if near == 1.0 {
                        lost.extend(labels_lost(&format!("{house}, {aspect}, {size}: "), &scene, &strokes));
                    }
                }
            }
        }
    }
    // A drawing as small as a hand may leave out words that stand in its panel as well; no other does.
    let (small, larger): (Vec<String>, Vec<String>) = lost.into_iter().partition(|name| name.contains(", small: "));
    assert_eq!(larger, Vec::<String>::new());
    assert!(small.len() <= MOST_LEFT_OUT, "{} are left out:\n{}", small.len(), small.join("\n"));
    assert!(all.is_empty(), "{} faults:\n{}", all.len(), all.join("\n"));
}

/// The name of a storey stands along its floor or at an end of it, or nowhere: elsewhere it is read as another level.
#[test]
fn storeys_are_named_at_their_floors() {
    let mut named = 0;
    for house in EXAMPLES {
        let layout = example(house);
        for (aspect, (size, wide, high)) in ASPECTS.iter().flat_map(|aspect| PAPERS_MM.map(|paper| (*aspect, paper))) {
            let view = fitted(&layout, (wide, high));
            let strokes = scene_of(&layout, aspect).inked(&view);
            for storey in &layout.building.storeys {
                let name = storey.id.spoken();
                let level = storey.floor.to_mm() / view.scale;
                for words in words_of(&strokes, view.scale).iter().filter(|words| words.words.contains(&name)) {
                    let off = (level - words.high.y).max(words.low.y - level);
                    assert!(off < OFF_FLOOR_MM, "{house}, {aspect}, {size}: {} is {off:.1} mm off", words.words);
                    named += 1;
                }
            }
        }
    }
    assert!(named > 60, "only {named} are named");
}

/// The leaders of labels on paper: each is drawn just before the words to which it leads.
fn leaders_of(strokes: &[Stroke], scale: f64) -> Vec<(DVec2, DVec2, &str)> {
    let pairs = strokes.windows(2).filter_map(|pair| {
        let [Drawn::Line { points, outline }, Drawn::Words { words, .. }] = [&pair[0].drawn, &pair[1].drawn] else {
            return None;
        };
        let ([from, to], Ink::Faint) = (points.as_slice(), outline.ink) else { return None };
        (pair[0].origin == pair[1].origin).then_some((*from / scale, *to / scale, words.as_str()))
    });
    pairs.collect()
}

/// Whether two leaders cross.
fn tangled(a: (DVec2, DVec2), b: (DVec2, DVec2)) -> bool {
    let sides = |line: (DVec2, DVec2), other: (DVec2, DVec2)| {
        let side = |point: DVec2| (line.1 - line.0).perp_dot(point - line.0);
        side(other.0) * side(other.1) < 0.0
    };
    sides(a, b) && sides(b, a)
}

#[test]
fn no_leader_crosses_another() {
    let mut faults = Vec::new();
    let (mut leaders, mut numbered) = (0, Vec::new());
    for house in EXAMPLES {
        let layout = example(house);
        for aspect in ASPECTS {
            let scene = scene_of(&layout, aspect);
            for (size, wide, high) in PAPERS_MM {
                let name = format!("{house}, {aspect}, {size}");
                let view = fitted(&layout, (wide, high));
                let inked = scene.inked_whole(&view);
                leaders += inked.leaders.len();
                for (number, a) in inked.leaders.iter().enumerate() {
                    let crossing = inked.leaders[number + 1..].iter().filter(|b| tangled(*a, **b));
                    faults.extend(crossing.map(|b| format!("{name}: {a:?} crosses {b:?}")));
                }
                let signs =
                    words_of(&inked.strokes, view.scale).into_iter().filter(|words| is_number_of_a_list(words.words));
                numbered.extend(signs.map(|sign| format!("{name}: {}", sign.words)));
            }
        }
    }
    eprintln!("{leaders} leaders, {} labels are numbers:\n{}", numbered.len(), numbered.join("\n"));
    assert!(leaders > 100, "only {leaders} leaders are drawn");
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
    assert!(numbered.len() <= MOST_NUMBERED, "{} labels are numbers", numbered.len());
}

#[test]
fn no_name_stands_in_a_thing_of_another_name() {
    let mut faults = Vec::new();
    let mut things = 0;
    for house in EXAMPLES {
        let layout = example(house);
        let scene = scene_of(&layout, "set out");
        let named: Vec<(&Origin, DVec2, DVec2)> = scene.items.iter().filter_map(named_thing).collect();
        for (size, wide, high) in &PAPERS_MM[1..] {
            let view = fitted(&layout, (*wide, *high));
            let strokes = scene.inked(&view);
            let is_label = |words: &Words<'_>| named.iter().any(|(origin, ..)| **origin == words.stroke.origin);
            for words in words_of(&strokes, view.scale).into_iter().filter(is_label) {
                let is_in = |low: DVec2, high: DVec2| {
                    words.low.cmplt(high / view.scale).all() && (low / view.scale).cmplt(words.high).all()
                };
                let others = named.iter().filter(|(origin, ..)| **origin != words.stroke.origin);
                things += 1;
                faults.extend(
                    others
                        .filter(|(_, low, high)| is_in(*low, *high))
                        .map(|(origin, ..)| format!("{house}, {size}: '{}' stands in {origin:?}", words.words)),
                );
            }
        }
    }
    assert!(things > 50, "only {things} names are looked at");
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

/// The box of what a label names, where it is a thing.
fn named_thing(item: &scene::Item) -> Option<(&Origin, DVec2, DVec2)> {
    match &item.shape {
        scene::Shape::Label(scene::Label { about: scene::About::Thing { low, high }, .. }) => {
            Some((&item.origin, *low, *high))
        }
        _ => None,
    }
}

/// Whether words are the number of a label that is listed beside the drawing.
fn is_number_of_a_list(words: &str) -> bool {
    let within = words.strip_prefix('(').and_then(|rest| rest.strip_suffix(')'));
    within.is_some_and(|number| number.parse::<usize>().is_ok())
}

/// A leader of the words of a picture is no longer than this in a usual or large window, mm.
const LONGEST_LEADER_MM: f64 = 36.0;

#[test]
fn words_of_the_load_path_stand_near_their_pictures_and_no_leader_crosses_another() {
    let mut faults = Vec::new();
    let mut leaders = 0;
    for house in EXAMPLES {
        let layout = example(house);
        let scene = scene_of(&layout, "timber");
        for (size, wide, high) in &PAPERS_MM[1..] {
            let view = fitted(&layout, (*wide, *high));
            let strokes = scene.inked(&view);
            let found = leaders_of(&strokes, view.scale);
            leaders += found.len();
            for (number, a) in found.iter().enumerate() {
                let crossing = found[number + 1..].iter().filter(|b| tangled((a.0, a.1), (b.0, b.1)));
                faults.extend(crossing.map(|b| format!("{house}, {size}: '{}' crosses '{}'", a.2, b.2)));
                let is_of_picture = ["board, ", "bearer, ", "joist, "].iter().any(|name| a.2.starts_with(name));
                let long_mm = a.0.distance(a.1);
                if is_of_picture && long_mm > LONGEST_LEADER_MM {
                    faults.push(format!("{house}, {size}: '{}' is led away by {long_mm:.0} mm", a.2));
                }
            }
        }
    }
    assert!(leaders > 30, "only {leaders} leaders are drawn");
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

/// The labels of a scene that are nowhere to be read.
fn labels_lost(name: &str, scene: &Scene, strokes: &[Stroke]) -> Vec<String> {
    let written = strokes.iter().filter_map(|stroke| match &stroke.drawn {
        Drawn::Words { words, .. } => Some(words.as_str()),
        _ => None,
    });
    let read = written.collect::<Vec<_>>().join(" ");
    // A storey is named at its floor or nowhere: in the view full of beams its level may have to be read off the staff.
    let is_spared = |label: &scene::Label| name.contains("timber") && matches!(label.about, scene::About::Floor { .. });
    let labels = scene.items.iter().filter_map(|item| match &item.shape {
        scene::Shape::Label(label) => Some(label).filter(|label| !is_spared(label)),
        _ => None,
    });
    let is_read = |line: &String| line.split_whitespace().all(|word| read.contains(word));
    let lost = labels.filter(|label| !label.lines.iter().all(is_read));
    lost.map(|label| format!("{name}{:?}", label.lines)).collect()
}

/// Words leap that move farther than this while a cistern moves by 20 mm, mm of paper.
const LEAP_MM: f64 = 3.0;
/// Of all labels of all drawings, so many at most leap: what stood on blank paper may stand in the way now.
const MOST_LEAPS: usize = 56;
/// Of the words that would leap if none knew where it stood, one of so many at most still does: else remembering is not
/// worth what it costs.
const ONE_OF: usize = 4;

/// The words of labels by which they are told apart, and where each stands, mm of paper.
fn standing_words(strokes: &[Stroke], scale: f64) -> Vec<(Origin, String, DVec2)> {
    let words = words_of(strokes, scale).into_iter().filter(|words| !matches!(words.stroke.origin, Origin::Mark(_)));
    words.map(|words| (words.stroke.origin.clone(), words.words.to_owned(), words.low)).collect()
}

/// How many words have leapt from one drawing to the next, of how many that are in both.
fn leaps(before: &[(Origin, String, DVec2)], after: &[(Origin, String, DVec2)]) -> (usize, usize) {
    let is_same = |a: &(Origin, String, DVec2), b: &(Origin, String, DVec2)| a.0 == b.0 && a.1 == b.1;
    let both: Vec<_> = before.iter().filter(|was| after.iter().any(|is| is_same(was, is))).collect();
    let stays =
        |was: &&(Origin, String, DVec2)| after.iter().any(|is| is_same(was, is) && is.2.distance(was.2) <= LEAP_MM);
    (both.iter().filter(|was| !stays(was)).count(), both.len())
}

#[test]
fn labels_stay_where_they_stand_while_a_cistern_is_moved_a_little() {
    let (mut kept, mut anew, mut of, mut faults) = (0, 0, 0, Vec::new());
    for house in EXAMPLES {
        let layout = example(house);
        let view = fitted(&layout, (PAPERS_MM[1].1, PAPERS_MM[1].2));
        let cistern = layout.cisterns[0].id.clone();
        let none = Standing::default();
        let was = scene_of(&layout, "set out").inked_clear_of(&view, &[], Pace::AtRest, &none);
        let words = standing_words(&was.strokes, view.scale);
        for (right_mm, up_mm) in [(20.0, 0.0), (-20.0, 0.0), (0.0, 20.0)] {
            let (right, up) = (Length::mm(right_mm), Length::mm(up_mm));
            let moved = apply(&layout, &Edit::Shift { parts: vec![cistern.clone()], right, up }).expect("moves");
            let scene = scene_of(&moved, "set out");
            for pace in [Pace::InMotion, Pace::AtRest] {
                let stays = scene.inked_clear_of(&view, &[], pace, &was.standing);
                let (leapt, both) = leaps(&words, &standing_words(&stays.strokes, view.scale));
                (kept, of) = (kept + leapt, of + both);
                let without = scene.inked_clear_of(&view, &[], pace, &none);
                anew += leaps(&words, &standing_words(&without.strokes, view.scale)).0;
                faults.extend(self::faults(&format!("{house}, {right_mm}, {up_mm}"), &stays.strokes, view.scale));
            }
        }
    }
    eprintln!("of {of} words {kept} leap, {anew} where none knows where it stood");
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
    assert!(kept <= MOST_LEAPS, "{kept} of {of} words leap");
    assert!(anew >= ONE_OF * kept, "{kept} leap, and no more than {anew} would if none knew where it stood");
}

/// What is told of a part in the view of flows.
fn told(scene: &Scene, part: &str) -> Vec<String> {
    let labels = scene.items.iter().filter(|item| item.origin == Origin::Part(Id::of(part)));
    let lines = labels.filter_map(|item| match &item.shape {
        Shape::Label(label) => Some(label.lines.clone()),
        _ => None,
    });
    lines.flatten().collect()
}

#[test]
fn what_runs_before_a_tap_is_told_at_the_tap_and_nothing_dry_is_named() {
    let layout = example("sound_indirect");
    let site = Site::of(&layout);
    let circuit = Circuit::of(&site);
    let mut scene = scene::draw(&site, &Findings::default(), &Marks::none());
    scene.leave_bare_names();
    scene::draw_running(&mut scene, &site, &circuit, &circuit.flows(&Conditions::with(Open::Everything)));
    assert_eq!(told(&scene, "basin"), ["basin", "hot 0.134 L/s 0.92 m/s", "cold 0.14 L/s 0.96 m/s"]);
    assert_eq!(told(&scene, "wc-cold"), Vec::<String>::new());
    // Before its branch a pipe carries more than its tap gives.
    assert_eq!(told(&scene, "cold-distribution"), ["0.582 L/s 1.82 m/s"]);
    assert_eq!(told(&scene, "basin-cold"), ["0.225 L/s 1.55 m/s"]);
    assert_eq!(told(&scene, "cistern-platform"), Vec::<String>::new());
    let is_name = |item: &Item| item.origin == Origin::Building && matches!(item.shape, Shape::Label(_));
    assert!(!scene.items.iter().any(is_name));
}
