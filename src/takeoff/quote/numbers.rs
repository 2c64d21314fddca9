//! Where a line of a quote contradicts the layout or the rules: volumes, sizes, kinds, patterns, grades, counts.

use super::beside::{Named, beside};
use super::boards::other_board;
use super::counts::Count;
use super::dimensions::{other_sides, sides_of_cisterns, thinner_lagging};
use super::topics::{Covers, Topic};
use super::words::Words;
use crate::finding::Findings;
use crate::layout::{Cistern, CisternRole, CylinderGrade, FloatValvePattern, Layout};
use crate::measure::{Site, cylinder_capacity_l, water_volume_l};
use crate::rules::Voice;
use crate::takeoff::{Counted, Item, Line};
use crate::units::Unit;

const SIZES: &[&str] = &["mm"];
const VOLUMES: &[&str] =
    &["l", "ltr", "ltrs", "lt", "litre", "litres", "liter", "liters", "gal", "gals", "gallon", "gallons", "gall"];
/// Litres of an imperial gallon (exact: Units of Measurement Regulations).
const LITRES_IN_A_GALLON: f64 = 4.546_09;
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
    let contradictions = &mut said.contradictions;
    if let Covers::CisternsOf(role) = topic.covers {
        let litres = litres(beside(topic, words, VOLUMES));
        let of_role: Vec<&Cistern> = layout.cisterns.iter().filter(|cistern| cistern.role == role).collect();
        contradictions.extend(too_small_for_the_rules(topic, findings, &litres));
        contradictions.extend(smaller_than_the_cistern_drawn(layout, &of_role, &litres));
        contradictions.extend(other_sides(Item::Cistern, &sides_of_cisterns(&of_role), words));
    }
    if of(Item::Cylinder) {
        contradictions.extend(other_cylinder(layout, words, &litres(beside(topic, words, VOLUMES))));
        contradictions.extend(weaker_grade(layout, words));
        let sides = layout.cylinders.iter().map(|cylinder| vec![cylinder.diameter.to_mm(), cylinder.height.to_mm()]);
        contradictions.extend(other_sides(Item::Cylinder, &sides.collect::<Vec<_>>(), words));
    }
    if of(Item::FloatValve) {
        contradictions.extend(other_pattern(layout, words));
    }
    if of(Item::Lagging) {
        contradictions.extend(thinner_lagging(layout, words));
    }
    if of(Item::Tube) {
        contradictions.extend(other_size(lines, words.numbers_in(SIZES)));
    } else if matches!(topic.covers, Covers::TubeOf(_)) || lines.iter().any(|line| matches!(line.item, Item::Valve(_)))
    {
        contradictions
            .extend(other_size(lines, beside(topic, words, SIZES).iter().map(|named| named.number).collect()));
    }
    if of(Item::Board) {
        other_board(&mut said, layout, findings, words);
    }
    said
}

/// Volumes that a line names, litres.
fn litres(named: Vec<Named<'_>>) -> Vec<f64> {
    let in_litres =
        |named: Named<'_>| named.number * if named.unit.starts_with("gal") { LITRES_IN_A_GALLON } else { 1.0 };
    named.into_iter().map(in_litres).collect()
}

fn too_small_for_the_rules(topic: &Topic, findings: &Findings, named: &[f64]) -> Vec<String> {
    let where_to =
        if matches!(topic.covers, Covers::CisternsOf(CisternRole::Storage)) { " to the water line" } else { "" };
    let mut said = Vec::new();
    for finding in findings.iter().filter(|finding| topic.rules.contains(&finding.rule.id)) {
        let Some(need) = finding.judged.need.filter(|need| need.unit == Unit::Litre) else { continue };
        for litres in named.iter().filter(|litres| **litres < need.value * (1.0 - SAME)) {
            let title = finding.rule.prose.title(Voice::Plain);
            said.push(format!("{litres:.0} L, and this house needs at least {need}{where_to}: '{title}'"));
        }
    }
    said
}

fn smaller_than_the_cistern_drawn(layout: &Layout, cisterns: &[&Cistern], named: &[f64]) -> Vec<String> {
    let site = Site::of(layout);
    let drawn = cisterns.iter().filter_map(|cistern| water_volume_l(&site, cistern).ok());
    let drawn: Vec<f64> = drawn.map(|(litres, _)| litres.value).collect();
    // A volume at least as large as one that is drawn may be its nominal size.
    let smaller =
        named.iter().filter(|named| !drawn.is_empty() && drawn.iter().all(|drawn| **named < drawn * (1.0 - SAME)));
    let drawn_words: Vec<String> = drawn.iter().map(|litres| format!("{litres:.0} L")).collect();
    smaller
        .map(|named| format!("{named:.0} L, and the drawing has {} to the water line", drawn_words.join(" and ")))
        .collect()
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

/// Sizes of tube that a line names and none of the lines has.
fn other_size(lines: &[&Line], named_mm: Vec<f64>) -> Vec<String> {
    // What is wider is a length, and no tube of a house.
    const WIDEST_MM: f64 = 60.0;
    if lines.is_empty() || lines.iter().any(|line| line.size.contains("not told")) {
        return Vec::new();
    }
    let mut sizes: Vec<&str> = lines.iter().map(|line| line.size.as_str()).collect();
    sizes.dedup();
    let is_drawn = |mm: &f64| sizes.contains(&format!("{mm} mm").as_str());
    let named = named_mm.into_iter().filter(|mm| *mm <= WIDEST_MM && !is_drawn(mm));
    named.map(|mm| format!("{mm} mm, and the drawing has {}", sizes.join(", "))).collect()
}

/// Whether the quote counts fewer pieces than are drawn.
pub(super) fn too_few(lines: &[&Line], quoted: &[&Words]) -> Option<String> {
    let counted = |line: &&&Line| {
        line.unit == Counted::Each && matches!(line.item, Item::Valve(_) | Item::Cistern | Item::Cylinder)
    };
    let drawn: f64 = lines.iter().filter(counted).filter_map(|line| line.quantity).sum();
    let pieces = |words: &&Words| match words.count() {
        Count::Told(pieces) => Some(pieces),
        Count::One => Some(1.0),
        Count::Unclear => None,
    };
    // A line that may name any number of them leaves the rest open.
    let named: f64 = quoted.iter().map(pieces).sum::<Option<f64>>()?;
    (!quoted.is_empty() && named < drawn).then(|| format!("{named} in the quote, and the drawing has {drawn}"))
}
