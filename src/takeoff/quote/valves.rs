//! Valves that a line of a quote puts into a pipe in which a rule does not have them.

use super::boards::{asked, plain};
use super::topics::{Covers, Topic};
use super::words::{Words, number};
use crate::finding::Findings;
use crate::layout::InLineKind;
use crate::takeoff::Item;

/// A pipe in which some valves have no place.
struct Barred {
    /// The words by which it is known, the longest first.
    pipes: &'static [&'static [&'static str]],
    /// Those that have none; all of them, and a pump, where none are named.
    kinds: &'static [InLineKind],
    /// The rule against them.
    rule: &'static str,
}

const BARRED: &[Barred] = &[
    Barred {
        pipes: &[&["primary", "vent"], &["heating", "vent"], &["boiler", "vent"]],
        kinds: &[],
        rule: "primary-vent-valved",
    },
    Barred {
        pipes: &[&["primary", "feed"], &["heating", "feed"], &["boiler", "feed"]],
        kinds: &[],
        rule: "primary-feed-valved",
    },
    Barred { pipes: &[&["open", "vent"], &["vent", "pipe"], &["vent"]], kinds: &[], rule: "vent-valved" },
    Barred {
        pipes: &[&["warning", "pipe"], &["overflow", "pipe"], &["overflow"]],
        kinds: &[],
        rule: "warning-pipe-valved",
    },
    // What is not full-way holds back what drives the hot water.
    Barred {
        pipes: &[&["cold", "feed"]],
        kinds: &[InLineKind::StopValve, InLineKind::ServiceValve],
        rule: "cold-feed-without-valve",
    },
];
/// What stands between a valve and the pipe that it is put into.
const INTO: &[&str] = &["in", "into", "on", "onto", "to", "for"];
/// What may stand between that and the pipe, beside its size.
const DESCRIBING: &[&str] = &["the", "a", "an", "your", "our", "new", "mm", "copper"];

/// What a line says of valves in pipes where they have no place.
pub(super) fn out_of_place(topic: &Topic, findings: &Findings, words: &Words) -> Vec<String> {
    let Covers::Items(items) = topic.covers else { return Vec::new() };
    let kinds = items.iter().filter_map(|item| if let Item::Valve(kind) = item { Some(*kind) } else { None });
    let shuts: Vec<InLineKind> = kinds.filter(|kind| kind.hinders()).collect();
    let is_barred = |barred: &&Barred| shuts.iter().any(|kind| barred.kinds.is_empty() || barred.kinds.contains(kind));
    let said = |barred: &Barred| {
        let pipe = barred.pipes.iter().find(|pipe| words.places_of(pipe).any(|at| is_put_into(words, at)))?;
        let rule = asked(findings, barred.rule)?;
        let stands =
            if barred.kinds.is_empty() { "which a rule is against" } else { "where a rule asks for a full-way valve" };
        Some(format!("{} in the {}, {stands}: {}", topic.name, pipe.join(" "), plain(rule)))
    };
    BARRED.iter().filter(is_barred).find_map(said).into_iter().collect()
}

/// Whether something is put into the pipe that is named from a word on.
fn is_put_into(words: &Words, at: usize) -> bool {
    let describes = |at: &usize| DESCRIBING.contains(&words.word(*at)) || number(words.word(*at)).is_some();
    let before = (0..at).rev().find(|at| !describes(at));
    before.is_some_and(|before| INTO.contains(&words.word(before)))
}
