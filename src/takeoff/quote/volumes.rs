//! Volumes of cisterns that a line of a quote names, against the rules and what is drawn.

use super::beside::{Named, VOLUMES, beside};
use super::counts::Count;
use super::dimensions::{missed, sides_of_cisterns};
use super::numbers::{Against, SAME};
use super::topics::{Covers, Topic};
use super::words::{Words, is_form_of, number};
use crate::catalogue::{CisternSize, cisterns};
use crate::finding::Findings;
use crate::layout::{Cistern, CisternRole, Layout};
use crate::measure::{Site, water_volume_l};
use crate::rules::{Verdict, Voice};
use crate::units::{LITRES_IN_A_GALLON, Unit};

/// Beside these stands what a cistern holds to its water line; what it is called or holds to the rim is more.
const ACTUAL: &[&str] = &["actual", "effective", "usable", "useable", "working"];
/// What may stand between such a word and the volume.
const CAPACITY: &[&str] = &["capacity", "volume", "content", "contents", "of"];

/// The volumes that a line names of one cistern, and how many such it offers.
struct Offered {
    each_l: Vec<f64>,
    pieces: f64,
    /// By what they are called.
    by: By,
}

/// What a volume tells of a cistern.
#[derive(Clone, Copy, PartialEq)]
enum By {
    /// What it holds to the water line.
    WaterLine,
    /// As which size it is sold, as far as anybody can tell.
    Name,
}

/// A cistern as drawn.
struct Drawn {
    to_line_l: f64,
    /// The size as which one with such sides is sold.
    nominal_l: Option<f64>,
}

/// Sets the volumes that a line names against what the rules ask of the cisterns, and against those of a role as drawn.
pub(super) fn other_volumes(
    said: &mut Against,
    topic: &Topic,
    layout: &Layout,
    findings: &Findings,
    of_role: &[&Cistern],
    words: &Words,
) {
    let actual = actual_l(words);
    let (each_l, by) =
        if actual.is_empty() { (litres(beside(topic, words, VOLUMES)), By::Name) } else { (actual, By::WaterLine) };
    let offered = Offered { each_l, pieces: pieces(words), by };
    let drawn = Drawn::all(layout, of_role);
    said.contradictions.extend(too_small_for_the_rules(topic, findings, &drawn, &offered));
    said.contradictions.extend(smaller_than_drawn(&drawn, &offered));
    if offered.pieces > 1.0 && (of_role.len() as f64) < offered.pieces && !of_role.is_empty() {
        said.differences.push(format!("{} cisterns, and the drawing has {}", offered.pieces, of_role.len()));
    }
}

/// Volumes that a line names, litres.
pub(super) fn litres(named: Vec<Named<'_>>) -> Vec<f64> {
    named.into_iter().map(|named| in_litres(named.number, named.unit)).collect()
}

fn in_litres(number: f64, unit: &str) -> f64 {
    number * if unit.starts_with("gal") { LITRES_IN_A_GALLON } else { 1.0 }
}

/// The volumes of which a line says that they are those to the water line, litres.
fn actual_l(words: &Words) -> Vec<f64> {
    let named = |at: usize| {
        let number = number(words.word(at))?;
        let has_unit = VOLUMES.contains(&words.word(at + 1));
        // "50 gallon (42 actual)": the second is in gallons as well.
        let before = || (0..at).rev().map(|before| words.word(before)).find(|word| VOLUMES.contains(word));
        let unit = if has_unit { words.word(at + 1) } else { before()? };
        let after = at + 1 + usize::from(has_unit);
        (is_actual_before(words, at) || is_actual_after(words, after)).then(|| in_litres(number, unit))
    };
    (0..words.all().len()).filter_map(named).collect()
}

fn is_actual_before(words: &Words, at: usize) -> bool {
    let mut at = at;
    while at > 0 && !words.breaks_before(at) {
        at -= 1;
        if !CAPACITY.contains(&words.word(at)) {
            return ACTUAL.contains(&words.word(at));
        }
    }
    false
}

fn is_actual_after(words: &Words, at: usize) -> bool {
    let line = at + 1 + usize::from(words.word(at + 1) == "the");
    let is_line = words.word(line) == "waterline"
        || (words.word(line) == "water" && matches!(words.word(line + 1), "line" | "level"));
    !words.breaks_before(at) && (ACTUAL.contains(&words.word(at)) || (words.word(at) == "to" && is_line))
}

/// How many cisterns of the volume that it names a line offers: those that it counts, where it speaks of several.
fn pieces(words: &Words) -> f64 {
    let is_several = |word: &String| {
        ["tank", "cistern", "polytank"].iter().any(|stem| is_form_of(word, stem) && word.ends_with('s'))
    };
    match words.count() {
        Count::Told(pieces) if words.all().iter().any(is_several) => pieces,
        _ => 1.0,
    }
}

impl Drawn {
    /// The cisterns of which enough is told.
    fn all(layout: &Layout, cisterns: &[&Cistern]) -> Vec<Self> {
        let site = Site::of(layout);
        let drawn = |cistern: &&Cistern| {
            let (litres, _) = water_volume_l(&site, cistern).ok()?;
            Some(Self { to_line_l: litres.value, nominal_l: nominal_l(cistern) })
        };
        cisterns.iter().filter_map(drawn).collect()
    }

    /// The least volume by which somebody may call it, litres.
    fn least_l(&self, by: By) -> f64 {
        match by {
            By::WaterLine => self.to_line_l,
            By::Name => self.nominal_l.map_or(self.to_line_l, |nominal_l| nominal_l.min(self.to_line_l)),
        }
    }
}

/// The volume by which cisterns with the sides of this one are sold, litres.
fn nominal_l(cistern: &Cistern) -> Option<f64> {
    let drawn = sides_of_cisterns(&[cistern]).pop()?;
    let has_its_sides = |size: &&CisternSize| {
        let sides = [size.length, size.width, size.height].map(|side| side.to_mm());
        drawn.len() == sides.len() && missed(&drawn, &sides) == 0
    };
    cisterns().sizes.iter().find(has_its_sides).map(|size| size.water.to_litres())
}

impl Offered {
    /// Whether so many of one of its volumes are no less than others, but for rounding.
    fn reaches(&self, each_l: f64, litres: f64) -> bool {
        each_l * self.pieces >= litres * (1.0 - SAME)
    }

    fn shown(&self, each_l: f64) -> String {
        if self.pieces > 1.0 { format!("{} × {each_l:.0} L", self.pieces) } else { format!("{each_l:.0} L") }
    }
}

fn too_small_for_the_rules(topic: &Topic, findings: &Findings, drawn: &[Drawn], offered: &Offered) -> Vec<String> {
    let where_to =
        if matches!(topic.covers, Covers::CisternsOf(CisternRole::Storage)) { " to the water line" } else { "" };
    let mut said = Vec::new();
    for finding in findings.iter().filter(|finding| topic.rules.contains(&finding.rule.id)) {
        let Some(need) = finding.judged.need.filter(|need| need.unit == Unit::Litre) else { continue };
        // What is drawn keeps the rule, and so does the same by its name.
        let all_drawn_l: f64 = drawn.iter().map(|drawn| drawn.least_l(offered.by)).sum();
        let is_kept_as_drawn = finding.judged.verdict == Verdict::Meets && !drawn.is_empty();
        let is_as_drawn = |each_l: f64| is_kept_as_drawn && offered.reaches(each_l, all_drawn_l);
        let is_short = |each_l: &&f64| !offered.reaches(**each_l, need.value) && !is_as_drawn(**each_l);
        for each_l in offered.each_l.iter().filter(is_short) {
            let (title, shown) = (finding.rule.prose.title(Voice::Plain), offered.shown(*each_l));
            said.push(format!("{shown}, and this house needs at least {need}{where_to}: '{title}'"));
        }
    }
    said
}

fn smaller_than_drawn(drawn: &[Drawn], offered: &Offered) -> Vec<String> {
    // One is held against the smallest that is drawn, several against all of them.
    let by_name = drawn.iter().map(|drawn| drawn.least_l(offered.by));
    let held_against =
        if offered.pieces > 1.0 { by_name.reduce(|all, one| all + one) } else { by_name.reduce(f64::min) };
    let Some(against_l) = held_against else { return Vec::new() };
    let is_smaller = |each_l: &&f64| !offered.reaches(**each_l, against_l);
    let drawn_words: Vec<String> = drawn.iter().map(|drawn| format!("{:.0} L", drawn.to_line_l)).collect();
    let said = |each_l: &f64| {
        format!("{}, and the drawing has {} to the water line", offered.shown(*each_l), drawn_words.join(" and "))
    };
    offered.each_l.iter().filter(is_smaller).map(said).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_cistern_holds_to_its_water_line_goes_before_its_name() {
        for (text, litres) in [
            ("tank nominal 50 gallon, 42 gallon to waterline", vec![42.0 * LITRES_IN_A_GALLON]),
            ("227 ltr nominal tank, 180 ltr actual", vec![180.0]),
            ("Tank 60 gallon nominal, 190 litres to the water line", vec![190.0]),
            ("tank effective capacity 190 litres, nominal 270 litres", vec![190.0]),
            ("50 gallon tank (42 actual)", vec![42.0 * LITRES_IN_A_GALLON]),
            ("227 litre actual, 300 litre nominal", vec![227.0]),
            ("50 gallon tank, 227 litres", vec![]),
            ("227 l to water tank in loft", vec![]),
        ] {
            assert_eq!(actual_l(&Words::of(text)), litres, "{text}");
        }
    }

    #[test]
    fn several_cisterns_are_counted_where_the_line_speaks_of_several() {
        for (text, several) in [
            ("2 x 114 litre cisterns", 2.0),
            ("two linked 25 gallon tanks", 2.0),
            ("twin 25 gallon tanks, linked", 2.0),
            ("a pair of 25 gallon tanks coupled together", 2.0),
            ("2 no gate valves and a 25 gallon tank", 1.0),
            ("25 gallon tanks", 1.0),
        ] {
            assert_eq!(pieces(&Words::of(text)), several, "{text}");
        }
    }
}
