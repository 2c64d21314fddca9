//! Where a line of a quote contradicts the layout or the rules: volumes, sizes, kinds, patterns, grades, counts.

use super::beside::{SIZES, VOLUMES, beside, goes_by, sizes_mm};
use super::boards::other_board;
use super::counts::Count;
use super::dimensions::{other_sides, sides_of_cisterns, thinner_lagging};
use super::lagged::thicknesses_mm;
use super::topics::{Covers, Topic};
use super::valves::out_of_place;
use super::volumes::{litres, other_volumes};
use super::words::{Words, is_form_of, number};
use crate::catalogue::TubeMaterial;
use crate::finding::Findings;
use crate::layout::{Cistern, CylinderGrade, FloatValvePattern, Layout, Lid};
use crate::measure::cylinder_capacity_l;
use crate::takeoff::{Counted, Item, Line};

/// A volume or length within this share of another is the same, rounded by someone.
pub(super) const SAME: f64 = 0.02;

/// What a line says against the layout or the rules.
#[derive(Default)]
pub(super) struct Against {
    /// What contradicts them.
    pub contradictions: Vec<String>,
    /// What is other than drawn, and none the worse.
    pub differences: Vec<String>,
}

/// What a line says against the layout or the rules.
pub(super) fn against(topic: &Topic, layout: &Layout, findings: &Findings, lines: &[&Line], words: &Words) -> Against {
    let of = |item: Item| matches!(topic.covers, Covers::Items(items) if items.contains(&item));
    let mut said = Against::default();
    if let Covers::CisternsOf(role) = topic.covers {
        let of_role: Vec<&Cistern> = layout.cisterns.iter().filter(|cistern| cistern.role == role).collect();
        other_volumes(&mut said, topic, layout, findings, &of_role, words);
        said.contradictions.extend(other_sides(Item::Cistern, &sides_of_cisterns(&of_role), words));
    }
    let contradictions = &mut said.contradictions;
    if of(Item::Cylinder) {
        contradictions.extend(other_cylinder(layout, words, &litres(beside(topic, words, VOLUMES))));
        contradictions.extend(weaker_grade(layout, words));
        let foam_mm = layout.cylinders.iter().filter_map(|cylinder| Some(cylinder.insulation?.to_mm()));
        contradictions.extend(thinner(foam_mm, words));
        let sides = layout.cylinders.iter().map(|cylinder| vec![cylinder.diameter.to_mm(), cylinder.height.to_mm()]);
        contradictions.extend(other_sides(Item::Cylinder, &sides.collect::<Vec<_>>(), words));
    }
    if of(Item::FloatValve) {
        contradictions.extend(other_pattern(layout, words));
        contradictions.extend(wider_seat(layout, words));
    }
    if of(Item::Jacket) {
        let jackets_mm = layout.cisterns.iter().filter_map(|cistern| Some(cistern.jacket?.thickness?.to_mm()));
        contradictions.extend(thinner(jackets_mm, words));
    }
    if of(Item::Lid) {
        contradictions.extend(looser_lid(layout, words));
    }
    if of(Item::Lagging) {
        contradictions.extend(thinner_lagging(layout, words));
    }
    if of(Item::Tube) {
        contradictions.extend(other_size(lines, sizes_mm(words)));
        contradictions.extend(one_size_for_all(lines, words));
        contradictions.extend(other_material(layout, words));
    } else if matches!(topic.covers, Covers::TubeOf(_)) || lines.iter().any(|line| matches!(line.item, Item::Valve(_)))
    {
        contradictions
            .extend(other_size(lines, beside(topic, words, SIZES).iter().map(|named| named.number).collect()));
    }
    said.contradictions.extend(out_of_place(topic, findings, words));
    if of(Item::Board) {
        other_board(&mut said, layout, findings, words);
    }
    said
}

fn other_cylinder(layout: &Layout, words: &Words, litres: &[f64]) -> Vec<String> {
    let mut said = Vec::new();
    for cylinder in &layout.cylinders {
        let (drawn, _) = cylinder_capacity_l(cylinder);
        // An estimate is known only within its own margin.
        let least = drawn.value * (1.0 - SAME) - 2.0 * drawn.standard_uncertainty();
        for named in litres.iter().filter(|named| **named < least) {
            said.push(format!("{named:.0} L, and the drawing has a cylinder of {:.0} L", drawn.value));
        }
        match (cylinder.coil, words.hold_any(&["indirect"]), words.hold_any(&["direct"])) {
            (Some(true), false, true) => said.push("direct, and the drawing has a cylinder with a coil".to_owned()),
            (Some(false), true, _) => said.push("indirect, and the drawing has a cylinder without a coil".to_owned()),
            _ => {}
        }
    }
    if words.hold_any(&["unvented"]) && !layout.cylinders.is_empty() {
        said.push("unvented, and the drawing is of vented hot water".to_owned());
    }
    said
}

/// A grade that bears less than any that is drawn; a stouter one is none the worse.
fn weaker_grade(layout: &Layout, words: &Words) -> Option<String> {
    let number_of = |grade: CylinderGrade| CylinderGrade::ALL.iter().position(|other| *other == grade).map(|at| at + 1);
    let drawn: Option<Vec<CylinderGrade>> = layout.cylinders.iter().map(|cylinder| cylinder.grade).collect();
    let weakest = drawn?.into_iter().max_by_key(|grade| number_of(*grade))?;
    let least = number_of(weakest)? as f64;
    let named = words.numbers_after("grade");
    let is_weaker = !named.is_empty() && named.iter().all(|named| *named > least);
    is_weaker.then(|| format!("grade {}, and the drawing has {}", named[0], weakest.words()))
}

/// Patterns of float valve that a line names where none of them is drawn.
fn other_pattern(layout: &Layout, words: &Words) -> Option<String> {
    let valves = layout.cisterns.iter().filter_map(|cistern| cistern.float_valve);
    let drawn: Vec<FloatValvePattern> = valves.map(|valve| valve.pattern).collect::<Option<_>>()?;
    let of_number = |number: f64| match number {
        1.0 => Some(FloatValvePattern::Part1),
        2.0 => Some(FloatValvePattern::Part2),
        3.0 => Some(FloatValvePattern::Part3),
        4.0 => Some(FloatValvePattern::Part4),
        _ => None,
    };
    let named: Vec<FloatValvePattern> = words.numbers_after("part").into_iter().filter_map(of_number).collect();
    let first = named.first()?;
    let mut kinds: Vec<&str> = drawn.iter().map(|pattern| pattern.words()).collect();
    kinds.dedup();
    let is_other = !drawn.is_empty() && !named.iter().any(|named| drawn.contains(named));
    is_other.then(|| format!("{}, and the drawing has {}", first.words(), kinds.join(" and ")))
}

/// What is named thinner than any that is drawn.
fn thinner(drawn_mm: impl Iterator<Item = f64>, words: &Words) -> Vec<String> {
    let Some(least_mm) = drawn_mm.reduce(f64::min) else { return Vec::new() };
    let thin = thicknesses_mm(words).into_iter().filter(|named_mm| *named_mm < least_mm);
    thin.map(|named_mm| format!("{named_mm} mm thick, and the drawing has {least_mm} mm")).collect()
}

/// A seat of a float valve that lets in more than any that is drawn.
fn wider_seat(layout: &Layout, words: &Words) -> Option<String> {
    let seats_mm = layout.cisterns.iter().filter_map(|cistern| Some(cistern.float_valve?.seat?.to_mm()));
    let widest_mm = seats_mm.reduce(f64::max)?;
    let is_seat = |at: &usize| {
        let is = |at: usize| matches!(words.word(at), "seat" | "orifice");
        words.word(at + 1) == "mm" && (is(at + 2) || at.checked_sub(1).is_some_and(is))
    };
    let named_mm = (0..words.all().len()).filter(is_seat).filter_map(|at| number(words.word(at)));
    let wide_mm = named_mm.reduce(f64::max).filter(|named_mm| *named_mm > widest_mm)?;
    Some(format!("a seat of {wide_mm} mm, and the drawing has {widest_mm} mm"))
}

/// A loose lid where a close-fitting one is drawn.
fn looser_lid(layout: &Layout, words: &Words) -> Option<String> {
    let is_tight = layout.cisterns.iter().any(|cistern| cistern.lid == Some(Lid::Tight));
    let is_loose = is_tight && words.hold_any(&["loose"]);
    is_loose.then(|| "a loose lid, and the drawing has a close-fitting one".to_owned())
}

/// A single size that a line gives to all pipes, where others are drawn.
fn one_size_for_all(lines: &[&Line], words: &Words) -> Option<String> {
    // As in "all hot and cold pipework".
    const WORDS_BETWEEN: usize = 4;
    let [named_mm] = sizes_mm(words)[..] else { return None };
    let is_pipes = |word: &String| ["pipework", "pipe", "tubing", "tube"].iter().any(|stem| is_form_of(word, stem));
    let is_all = words.places_of(&["all"]).any(|at| words.all().iter().skip(at + 1).take(WORDS_BETWEEN).any(is_pipes));
    let is_other = |line: &&&Line| line.item == Item::Tube && !goes_by(&line.size, named_mm);
    let others: Vec<&str> = lines.iter().filter(is_other).map(|line| line.size.as_str()).collect();
    (is_all && !others.is_empty())
        .then(|| format!("all in {named_mm} mm, and the drawing has {} as well", others.join(", ")))
}

/// Plastic tube where all that is drawn is of copper.
fn other_material(layout: &Layout, words: &Words) -> Option<String> {
    // What is of plastic as well, and no tube; and the pipe that may be (common practice, no source).
    const NO_TUBE: &[&str] = &["clip", "cap", "cover", "sleeve", "bag", "tank", "cistern", "lid"];
    const MAY_BE_PLASTIC: &[&str] = &["overflow", "warning", "copper"];
    let is_of_tube = |at: usize| !NO_TUBE.iter().any(|stem| is_form_of(words.word(at + 1), stem));
    let plastic =
        ["plastic", "polybutylene", "pex"].into_iter().find(|word| words.places_of(&[word]).any(is_of_tube))?;
    let is_all_copper = layout.runs.iter().all(|run| run.material == Some(TubeMaterial::Copper));
    (is_all_copper && !words.hold_any(MAY_BE_PLASTIC)).then(|| format!("{plastic}, and the drawing has copper tube"))
}

/// Sizes of tube that a line names and none of the lines has.
fn other_size(lines: &[&Line], named_mm: Vec<f64>) -> Vec<String> {
    // What is wider is a length, and no tube of a house.
    const WIDEST_MM: f64 = 60.0;
    if lines.is_empty() || lines.iter().any(|line| line.size.contains("not told")) {
        return Vec::new();
    }
    let mut sizes: Vec<&str> = lines.iter().map(|line| line.size.as_str()).collect();
    sizes.dedup();
    let is_drawn = |mm: &f64| sizes.iter().any(|size| goes_by(size, *mm));
    let named = named_mm.into_iter().filter(|mm| *mm <= WIDEST_MM && !is_drawn(mm));
    named.map(|mm| format!("{mm} mm, and the drawing has {}", sizes.join(", "))).collect()
}

/// How many pieces of a thing a line has: those that it counts, or one for each time that it names it.
pub(super) fn pieces(topic: &Topic, words: &Words) -> Option<f64> {
    let times = topic.times_named(words).max(1) as f64;
    match words.count() {
        Count::Told(pieces) if pieces > 1.0 => Some(pieces),
        // "1 no to the feed, 1 no to the supply".
        Count::Told(_) | Count::One => Some(times),
        Count::Unclear => None,
    }
}

/// Whether the quote counts fewer pieces than are drawn.
pub(super) fn too_few(topic: &Topic, lines: &[&Line], quoted: &[&Words]) -> Option<String> {
    let counted = |line: &&&Line| {
        line.unit == Counted::Each && matches!(line.item, Item::Valve(_) | Item::Cistern | Item::Cylinder)
    };
    let drawn: f64 = lines.iter().filter(counted).filter_map(|line| line.quantity).sum();
    // A line that may name any number of them leaves the rest open.
    let named: f64 = quoted.iter().map(|words| pieces(topic, words)).sum::<Option<f64>>()?;
    (!quoted.is_empty() && named < drawn).then(|| format!("{named} in the quote, and the drawing has {drawn}"))
}
