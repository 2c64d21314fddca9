//! Where a line of a quote names pipes only for the insulation that goes around them, and how thick what insulates is.

use super::words::{Place, Words, is_form_of, number};

/// Work that is done to pipes.
const INSULATING: &[&str] = &["insulate", "insulating", "lag"];
/// What is put around them, where one of [`AROUND`] stands after it.
const INSULATION: &[&str] = &["insulation", "lagging"];
const AROUND: &[&str] = &["to", "for", "of", "on", "round", "around", "over", "all", "the"];
/// How they are when it is done.
const INSULATED: &[&str] = &["lagged", "insulated"];
/// With these something else is offered.
const OFFERING: &[&str] = &["fit", "supply", "install", "provide"];
/// What a thickness that stands before it is of.
const THICK: &[&str] = &["foam", "insulation", "lagging", "jacket", "thick"];
/// A thickness in a clause with one of these is of that, and not of what insulates a vessel.
const OF_ANOTHER: &[&str] = &["pipe", "pipework", "tube", "lid", "base", "board", "ply", "plywood", "platform"];

/// Whether pipes that are named at a place are named only for what goes around them: "lag all pipework".
pub(super) fn is_only_lagged(words: &Words, place: &Place) -> bool {
    let is = |at: usize, of: &[&str]| of.contains(&words.word(at));
    let puts_around = |at: &usize| is(*at, INSULATING) || (is(*at, INSULATION) && is(at + 1, AROUND));
    let before = (clause(words, place.start).start..place.start)
        .rev()
        .take_while(|at| !is(*at, OFFERING))
        .any(|at| puts_around(&at));
    let is_other = |at: &usize| is(*at, OFFERING) || is(*at, &["and", "with", "plus"]);
    let clause_ends = clause(words, place.end - 1).end;
    let after = (place.end..clause_ends).take_while(|at| !is_other(at)).any(|at| is(at, INSULATED));
    before || after
}

/// The words between the commas, brackets and the like around a word.
fn clause(words: &Words, at: usize) -> Place {
    let start = (0..=at).rev().find(|at| words.breaks_before(*at)).unwrap_or(0);
    let end = (at + 1..words.all().len()).find(|at| words.breaks_before(*at));
    start..end.unwrap_or(words.all().len())
}

/// The thicknesses that a line names of what insulates a vessel, mm: those before or after a word for it.
pub(super) fn thicknesses_mm(words: &Words) -> Vec<f64> {
    let is = |at: usize, of: &[&str]| of.contains(&words.word(at));
    // "50 mm foam", "50 mm sprayed foam".
    let names = |at: usize| !words.breaks_before(at + 2) && (is(at + 2, THICK) || is(at + 3, THICK));
    // "jacket 25 mm".
    let is_named = |at: usize| at > 0 && !words.breaks_before(at) && is(at - 1, THICK);
    let is_of_another = |at: usize| {
        let mut clause = words.all()[clause(words, at)].iter();
        clause.any(|word| OF_ANOTHER.iter().any(|stem| is_form_of(word, stem)))
    };
    let thick = |at: &usize| words.word(at + 1) == "mm" && (names(*at) || is_named(*at)) && !is_of_another(*at);
    (0..words.all().len()).filter(thick).filter_map(|at| number(words.word(at))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pipes_that_are_lagged_are_not_quoted_by_that() {
        let only_lagged = |text: &str| {
            let words = Words::of(text);
            let at = words.all().iter().position(|word| word.starts_with("pipe")).expect("pipes are named");
            is_only_lagged(&words, &(at..at + 1))
        };
        for text in [
            "All new pipework to be lagged",
            "Insulate all pipework in roof space with 25 mm foam",
            "Insulate all hot and cold pipework",
            "Lag and clip all pipework",
            "lagging to all pipework",
            "Pipes lagged",
        ] {
            assert!(only_lagged(text), "{text}");
        }
        for text in [
            "Copper pipework and lagging",
            "Lag the cylinder, 22 mm copper pipework",
            "Supply lagging and fit 22 mm pipe",
            "22 mm copper pipe, lagged",
            "Copper pipe with insulated cylinder",
        ] {
            assert!(!only_lagged(text), "{text}");
        }
    }

    #[test]
    fn a_thickness_stands_beside_what_is_thick() {
        for (text, thick) in [
            ("jacket 25 mm thick", vec![25.0]),
            ("indirect cylinder 140 litres, 50mm foam", vec![50.0]),
            ("cylinder with 35 mm sprayed foam, 450 mm wide", vec![35.0]),
            ("cylinder 1050 mm high, 450 mm wide", vec![]),
            ("50 gallon tank with jacket, pipes in 13 mm foam", vec![]),
        ] {
            assert_eq!(thicknesses_mm(&Words::of(text)), thick, "{text}");
        }
    }
}
