//! Which of the numbers of a line are of one thing that it names, where it names several: those that stand beside it.

use super::topics::Topic;
use super::words::{Place, Words, number};

/// How sizes of tube are told.
pub(super) const SIZES: &[&str] = &["mm"];
/// How volumes are told.
pub(super) const VOLUMES: &[&str] =
    &["l", "ltr", "ltrs", "lt", "litre", "litres", "liter", "liters", "gal", "gals", "gallon", "gallons", "gall"];
/// The tube that is sold where older houses have one by its bore in inches, mm (common practice, no source).
const BY_INCHES: &[(&str, f64)] = &[("1/2", 15.0), ("3/4", 22.0)];
/// The same where it is told in millimetres: no tube of 13 or 19 mm is sold (common practice, no source).
const BY_BORE_MM: &[(f64, f64)] = &[(13.0, 15.0), (19.0, 22.0)];
/// Tube is called by whole millimetres where it is not sold so: that of 21.5 mm for overflows is 22 mm.
const CALLED_WITHIN_MM: f64 = 0.5;
/// Of these a fraction is a share.
const SHARED: &[&str] = &["day", "days", "hour", "hours", "hr", "price", "rate", "cost", "of"];
/// Joins numbers that are of one thing: "15 mm and 22 mm gate valves".
const JOINING: &[&str] = &["and", "or"];

/// Before these one thing is named, and after them another.
const BEGINNING_ANOTHER: &[&str] = &["and", "or", "with", "plus"];

/// A number with its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Named<'w> {
    pub number: f64,
    pub unit: &'w str,
    /// Where it stands.
    at: usize,
}

/// The numbers of some units that a line gives to a thing. Where it has several that differ, those that stand nearest to
/// the name in the same clause, before it rather than after; all, where none does.
pub(super) fn beside<'w>(topic: &Topic, words: &'w Words, units: &[&str]) -> Vec<Named<'w>> {
    let all: Vec<Named<'w>> = (0..words.all().len()).filter_map(|at| named(words, at, units)).collect();
    let is_like = |one: &Named<'_>, other: &Named<'_>| one.number == other.number && one.unit == other.unit;
    if all.windows(2).all(|pair| is_like(&pair[0], &pair[1])) {
        return all;
    }
    // A size is no part of a name.
    let is_of_name = |place: &Place| !SIZES.contains(&words.word(place.start)) && tube_mm(words, place.start).is_none();
    let mut own: Vec<Named<'w>> = Vec::new();
    for places in topic.places(words) {
        let places: Vec<Place> = places.into_iter().filter(is_of_name).collect();
        let first = places.iter().map(|place| place.start).min().unwrap_or_default();
        let after = places.iter().map(|place| place.end).max().unwrap_or_default();
        for named in nearest(words, &all, first..after) {
            if !own.contains(&named) {
                own.push(named);
            }
        }
    }
    if own.is_empty() { all } else { own }
}

/// The sizes of tube that a line names anywhere, mm.
pub(super) fn sizes_mm(words: &Words) -> Vec<f64> {
    (0..words.all().len()).filter_map(|at| named(words, at, SIZES)).map(|named| named.number).collect()
}

/// The tube that is meant by a bore in inches at a place, mm.
fn tube_mm(words: &Words, at: usize) -> Option<f64> {
    let is_share = SHARED.contains(&words.word(at + 1)) || at.checked_sub(1).is_some_and(|at| is_whole(words.word(at)));
    let (_, mm) = BY_INCHES.iter().find(|(inches, _)| words.word(at) == *inches)?;
    (!is_share).then_some(*mm)
}

/// Whether a fraction after a word is that of a mixed number, for which there is other tube.
fn is_whole(word: &str) -> bool {
    number(word).is_some_and(|number| number.fract() == 0.0)
}

fn named<'w>(words: &'w Words, at: usize, units: &[&str]) -> Option<Named<'w>> {
    if units.contains(&SIZES[0])
        && let Some(mm) = tube_mm(words, at)
    {
        return Some(Named { number: mm, unit: SIZES[0], at });
    }
    let unit = words.word(at + 1);
    let number = number(words.word(at)).filter(|_| units.contains(&unit))?;
    let by_bore = || BY_BORE_MM.iter().find(|(bore_mm, _)| *bore_mm == number).filter(|_| SIZES.contains(&unit));
    Some(Named { number: by_bore().map_or(number, |(_, mm)| *mm), unit, at })
}

/// Whether tube that is listed by a size goes by a number of millimetres as well.
pub(super) fn goes_by(size: &str, named_mm: f64) -> bool {
    let listed_mm = size.strip_suffix(" mm").and_then(number);
    listed_mm.is_some_and(|listed_mm| (listed_mm - named_mm).abs() <= CALLED_WITHIN_MM)
}

/// The number nearest to a name in its clause, with those that "and" joins to it.
fn nearest<'w>(words: &Words, all: &[Named<'w>], name: Place) -> Vec<Named<'w>> {
    // Whether another thing is begun between, and how many words stand there; none in another clause.
    let away = |named: &Named<'_>| {
        let between = if named.at < name.start { named.at + 2..name.start } else { name.end..named.at };
        let is_parted = (between.start..=between.end).any(|at| words.breaks_before(at));
        let begins_another = between.clone().any(|at| BEGINNING_ANOTHER.contains(&words.word(at)));
        (!is_parted).then_some((begins_another, between.len()))
    };
    let within = (0..all.len()).filter_map(|number| Some((away(&all[number])?, number)));
    let Some((_, nearest)) = within.min() else { return Vec::new() };
    let are_joined =
        |one: &Named<'_>, other: &Named<'_>| other.at == one.at + 3 && JOINING.contains(&words.word(one.at + 2));
    let mut first = nearest;
    while first > 0 && are_joined(&all[first - 1], &all[first]) {
        first -= 1;
    }
    let mut last = nearest;
    while last + 1 < all.len() && are_joined(&all[last], &all[last + 1]) {
        last += 1;
    }
    all[first..=last].to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::takeoff::quote::topics::TOPICS;

    fn sizes(name: &str, text: &str) -> Vec<f64> {
        let topic = TOPICS.iter().find(|topic| topic.name == name).expect("a topic");
        beside(topic, &Words::of(text), &["mm"]).iter().map(|named| named.number).collect()
    }

    #[test]
    fn a_size_is_of_the_thing_that_it_stands_beside() {
        for text in [
            "15 mm primary feed, 22 mm primary vent",
            "primary feed 15 mm and primary vent 22 mm",
            "15mm primary feed and 22mm open primary vent over tank",
            "primary vent in 22 mm, primary feed in 15 mm",
            "15 mm copper primary feed and 22 mm copper primary vent",
        ] {
            assert_eq!(sizes("primary vent", text), [22.0], "{text}");
            assert_eq!(sizes("primary feed", text), [15.0], "{text}");
        }
        assert_eq!(sizes("open vent", "15 mm feed and 22 mm open vent"), [22.0]);
        assert_eq!(sizes("open vent", "22 mm copper pipe for open vent, 15 mm for basin"), [22.0]);
        assert_eq!(sizes("gate or full-bore valves", "15 mm and 22 mm gate valves, 15 mm drain cock"), [15.0, 22.0]);
    }

    #[test]
    fn where_no_size_stands_beside_the_thing_any_may_be_its_own() {
        assert_eq!(sizes("open vent", "Open vent, 22 mm, feed, 15 mm"), [22.0, 15.0]);
        assert_eq!(sizes("open vent", "open vent (15 mm)"), [15.0]);
    }

    #[test]
    fn tube_goes_by_whole_millimetres_and_by_its_old_bore() {
        assert!(goes_by("21.5 mm", 22.0) && goes_by("22 mm", 21.5) && goes_by("22 mm", 22.0));
        assert!(!goes_by("22 mm", 28.0) && !goes_by("15 mm", 22.0) && !goes_by("size not told", 22.0));
        assert_eq!(sizes("warning pipe", "19 mm overflow"), [22.0]);
        assert_eq!(sizes("open vent", "19mm open vent, 13 mm feed"), [22.0]);
    }

    #[test]
    fn a_bore_in_inches_is_told_as_the_tube_that_is_sold_for_it() {
        assert_eq!(sizes("open vent", "Vent: 3/4 in"), [22.0]);
        assert_eq!(sizes("open vent", "1/2 inch open vent"), [15.0]);
        for text in ["open vent, 1/2 day", "open vent 1 1/2 in"] {
            assert_eq!(sizes("open vent", text), [0.0; 0], "{text}");
        }
    }
}
