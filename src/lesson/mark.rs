//! Marking: for each fault the right place, the right rule and the right number; wrong claims and hints cost marks.

use super::answers::{Claim, Sheet};
use super::key::{Exercise, Fault, Key, Need};
use crate::rules::chapter;
use crate::units::Entry;

/// Marks for the right place; half for a part that only takes part.
pub const PLACE: i32 = 2;
/// Marks for the right rule; half for another of the same topic.
pub const RULE: i32 = 2;
/// Marks for the right number; half within three times the tolerance.
pub const NUMBER: i32 = 2;
/// What a claim costs that is right in nothing.
pub const WRONG: i32 = 1;
/// What a hint costs.
pub const HINT: i32 = 1;

/// A point is at a place when it is no further from it than this, mm.
const AT_PLACE_MM: f64 = 150.0;
/// Half marks for a number within so many times the tolerance.
const NEAR_TOLERANCE: f64 = 3.0;

/// The marks for one fault.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Credit {
    /// For the place.
    pub place: i32,
    /// For the rule.
    pub rule: i32,
    /// For the number.
    pub number: i32,
}

impl Credit {
    /// All of it.
    #[must_use]
    pub const fn sum(self) -> i32 {
        self.place + self.rule + self.number
    }
}

/// A planted fault, marked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MarkedFault {
    /// The claim that it was matched with, by its place among the claims.
    pub claim: Option<usize>,
    /// What that earned.
    pub credit: Credit,
    /// What could be earned.
    pub out_of: i32,
}

/// A claim, marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MarkedClaim {
    /// It was matched with a fault, by its place in the key.
    Fault(usize),
    /// It accuses something that is only just allowed, by its place in the key.
    Allowed(usize),
    /// It is right in nothing.
    Wrong,
}

/// An exercise, marked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Marks {
    /// Each fault of the key.
    pub faults: Vec<MarkedFault>,
    /// Each claim.
    pub claims: Vec<MarkedClaim>,
    /// How many hints were taken.
    pub hints: i32,
    /// What was earned; never less than nothing.
    pub got: i32,
    /// What could be earned.
    pub out_of: i32,
}

impl Marks {
    /// The marks in hundredths of what could be earned, rounded down.
    #[must_use]
    pub const fn percent(&self) -> i32 {
        if self.out_of == 0 { 0 } else { self.got * 100 / self.out_of }
    }

    /// The faults that did not earn everything, by their place in the key.
    pub fn missed(&self) -> impl Iterator<Item = usize> + '_ {
        let not_all = |(_, fault): &(usize, &MarkedFault)| fault.credit.sum() < fault.out_of;
        self.faults.iter().enumerate().filter(not_all).map(|(number, _)| number)
    }
}

/// Marks the claims of one exercise. Each claim counts for one fault, so that together they earn as much as they can.
#[must_use]
pub fn mark(exercise: &Exercise, claims: &[Claim], hints: i32) -> Marks {
    let credit: Vec<Vec<Credit>> =
        claims.iter().map(|claim| exercise.faults.iter().map(|fault| credit_of(claim, fault)).collect()).collect();
    let matched = best_match(&credit, exercise.faults.len());
    let faults: Vec<MarkedFault> = (exercise.faults.iter().enumerate())
        .map(|(number, fault)| {
            let claim = matched.iter().position(|matched| *matched == Some(number));
            let credit = claim.map_or_else(Credit::default, |claim| credit[claim][number]);
            MarkedFault { claim, credit, out_of: out_of(fault) }
        })
        .collect();
    let claims: Vec<MarkedClaim> = (claims.iter().zip(&matched))
        .map(|(claim, matched)| match (matched, accused(exercise, claim)) {
            (Some(fault), _) => MarkedClaim::Fault(*fault),
            (None, Some(allowed)) => MarkedClaim::Allowed(allowed),
            (None, None) => MarkedClaim::Wrong,
        })
        .collect();
    let whole: i32 = faults.iter().map(|fault| fault.out_of).sum();
    let earned: i32 = faults.iter().map(|fault| fault.credit.sum()).sum();
    let wrong = claims.iter().filter(|claim| !matches!(claim, MarkedClaim::Fault(_))).fold(0, |sum, _| sum + WRONG);
    let got = (earned - wrong - hints * HINT).max(0);
    Marks { faults, claims, hints, got, out_of: whole }
}

/// A learner's paper, marked.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkedPaper {
    /// The exercise that was on it.
    pub exercise: Exercise,
    /// What came back.
    pub sheet: Sheet,
    /// Its marks.
    pub marks: Marks,
}

/// Marks the answers of a class, each by its exercise in the key.
#[must_use]
pub fn mark_all(key: &Key, sheets: Vec<Sheet>) -> Vec<MarkedPaper> {
    let marked = |sheet: Sheet| {
        let exercise = key.of_learner(&sheet.learner)?.clone();
        let marks = mark(&exercise, &sheet.claims, sheet.hints);
        Some(MarkedPaper { exercise, sheet, marks })
    };
    sheets.into_iter().filter_map(marked).collect()
}

/// What one fault can earn.
const fn out_of(fault: &Fault) -> i32 {
    PLACE + RULE + if fault.need.is_some() { NUMBER } else { 0 }
}

fn credit_of(claim: &Claim, fault: &Fault) -> Credit {
    let rule = match claim.rule {
        Some(id) if id == fault.rule => RULE,
        Some(id) if chapter(id).is_some_and(|own| chapter(&fault.rule).is_some_and(|other| own.name == other.name)) => {
            RULE / 2
        }
        _ => 0,
    };
    // A number without the rule that asks for it is chance.
    let number = fault.need.as_ref().filter(|_| rule == RULE).map_or(0, |need| number_credit(&claim.number, need));
    Credit { place: place_credit(claim, fault), rule, number }
}

fn place_credit(claim: &Claim, fault: &Fault) -> i32 {
    let near = |at: (f64, f64)| {
        let distance = |place: &(f64, f64)| (place.0 - at.0).hypot(place.1 - at.1);
        fault.places.iter().any(|place| distance(place) <= AT_PLACE_MM)
    };
    if claim.at.is_some_and(near) {
        return PLACE;
    }
    match fault.parts.iter().position(|part| *part == claim.part) {
        Some(place) if place < fault.subjects => PLACE,
        Some(_) => PLACE / 2,
        None => 0,
    }
}

fn number_credit(text: &str, need: &Need) -> i32 {
    let Some(value) = number(text, &need.unit) else { return 0 };
    let off = (value - need.value).abs();
    // Numbers are stated with one decimal: what is just on the tolerance is within it.
    let within = |tolerance: f64| off <= tolerance + 1e-6;
    match (within(need.tolerance), within(need.tolerance * NEAR_TOLERANCE)) {
        (true, _) => NUMBER,
        (false, true) => NUMBER / 2,
        (false, false) => 0,
    }
}

/// A typed number in a unit; another unit of the same kind may be typed, and none stands for the unit itself.
pub(super) fn number(text: &str, unit: &str) -> Option<f64> {
    let entry = match unit {
        "mm" => Entry::Length,
        "L" => Entry::Volume,
        "kg" => Entry::Mass,
        "°C" => Entry::Temperature,
        "kPa" => Entry::Pressure,
        "L/s" => Entry::Flow,
        "h" => Entry::Time,
        "W" => Entry::HeatLoss,
        _ => Entry::Number,
    };
    let text = match entry {
        // Some write what the sheet writes: the sign without °, or a unit that has only one name.
        Entry::Number => text.trim().trim_end_matches(unit),
        _ => text.trim(),
    };
    entry.parse(text.trim_start_matches("at least").trim_start_matches("at most").trim()).ok()
}

/// Which near miss a claim takes for a fault.
fn accused(exercise: &Exercise, claim: &Claim) -> Option<usize> {
    exercise.allowed.iter().position(|allowed| claim.rule == Some(allowed.rule.as_str()))
}

/// For each claim the fault that it counts for, so that the sum is greatest; among equals the earliest.
fn best_match(credit: &[Vec<Credit>], faults: usize) -> Vec<Option<usize>> {
    // The best sum for each set of faults that are still free, from the last claim back to the first.
    let sets = 1_usize << faults;
    let mut best = vec![vec![0_i32; sets]; credit.len() + 1];
    let with = |best: &[i32], claim: usize, fault: usize, taken: usize| {
        let free = taken & (1 << fault) == 0 && credit[claim][fault].sum() > 0;
        free.then(|| credit[claim][fault].sum() + best[taken | 1 << fault])
    };
    for claim in (0..credit.len()).rev() {
        for taken in 0..sets {
            let mut most = best[claim + 1][taken];
            for fault in 0..faults {
                most = most.max(with(&best[claim + 1], claim, fault, taken).unwrap_or(0));
            }
            best[claim][taken] = most;
        }
    }
    let mut taken = 0;
    let mut matched = Vec::new();
    for claim in 0..credit.len() {
        let most = best[claim][taken];
        let fault = (0..faults).find(|fault| with(&best[claim + 1], claim, *fault, taken) == Some(most));
        taken |= fault.map_or(0, |fault| 1 << fault);
        matched.push(fault);
    }
    matched
}
