//! Whether the words of a line mean a thing of which a quote may speak, and where and how often they do.

use super::heating::beginning_of_name;
use super::lagged::is_only_lagged;
use super::topics::{Covers, Topic};
use super::words::{Place, Words, is_form_of};
use crate::takeoff::Item;

/// Words by which a line says that it names a thing with others that belong to it.
const TOGETHER: &[&str] = &["with", "including", "incl", "complete", "cw", "and", "plus", "or"];

/// What belongs to a thing, where it stands right after it: a tank stand is no tank.
const BELONGING: &[&str] = &[
    "stand",
    "platform",
    "base",
    "frame",
    "support",
    "lid",
    "cover",
    "jacket",
    "screen",
    "insul",
    "lagging",
    "connector",
    "connection",
    "overflow",
    "valve",
    "vent",
    "feed",
    "outlet",
    "inlet",
    "thermostat",
    "stat",
    "immersion",
    "cupboard",
    "room",
    "hatch",
    "clip",
    "bracket",
    "handle",
    "washer",
];
/// What is made of boards and is no platform.
const OF_BOARDS: &[&str] = &["lid", "cover", "hatch", "box", "boxing", "casing", "door", "panel"];
/// Words of which tube is made, so that "copper pipe for open vent" is the vent.
const OF_TUBE: &[&str] = &["tube", "pipe", "pipework", "tubing"];

impl Topic {
    /// Why a line seems to be about this; none when it does not.
    pub fn named_by(&self, words: &Words) -> Option<String> {
        let places = self.places(words).into_iter().next()?;
        let found: Vec<String> = places.iter().map(|place| format!("'{}'", words.spoken(place.clone()))).collect();
        Some(format!("it says {}", found.join(" and ")))
    }

    /// Where a line names it: of each time the places of the words by which it does. Empty when it does not.
    pub fn places(&self, words: &Words) -> Vec<Vec<Place>> {
        if words.hold_any(self.unless) && !words.hold_any(TOGETHER) {
            return Vec::new();
        }
        let meant = |stems: &&[&str]| -> Vec<Vec<Place>> {
            words.holding(stems).into_iter().filter(|places| self.is_meant(words, places)).collect()
        };
        let found = self.named.iter().map(meant).find(|found| !found.is_empty());
        found.or_else(|| self.by_where_it_ends(words)).unwrap_or_default()
    }

    /// How often a line names it, each time by words of their own.
    pub fn times_named(&self, words: &Words) -> usize {
        let (mut times, mut after) = (0, 0);
        for places in self.places(words) {
            let first = places.iter().map(|place| place.start).min().unwrap_or_default();
            if first >= after {
                times += 1;
                after = places.iter().map(|place| place.end).max().unwrap_or_default();
            }
        }
        times
    }

    /// Whether some words mean the thing, and not what belongs to it or where something goes.
    fn is_meant(&self, words: &Words, places: &[Place]) -> bool {
        let after = places.iter().map(|place| place.end).max().unwrap_or_default();
        let holds = |at: usize, stems: &[&str]| {
            words.all().get(at).is_some_and(|word| stems.iter().any(|stem| is_form_of(word, stem)))
        };
        if self.is_all_tube() {
            return !places.iter().any(|place| is_only_lagged(words, place));
        }
        if matches!(self.covers, Covers::Items(&[Item::Board])) {
            return words.breaks_before(after) || !holds(after, OF_BOARDS);
        }
        if !self.is_of_one_place() {
            return true;
        }
        let first = places.iter().map(|place| beginning_of_name(words, place.start)).min().unwrap_or_default();
        let has_after = !words.breaks_before(after) && holds(after, BELONGING);
        // "Hot water tank", "wc cistern".
        let kind_at = first.checked_sub(1).map(|at| if holds(at, &["water"]) { at.saturating_sub(1) } else { at });
        let is_other_kind = !words.breaks_before(first) && kind_at.is_some_and(|at| holds(at, self.unless));
        let is_tube = matches!(self.covers, Covers::TubeOf(_)) && words.between(0, first).hold_any(OF_TUBE);
        let is_of_heating = places.iter().any(|place| self.is_that_of_the_heating(words, place));
        !has_after && !is_other_kind && !is_of_heating && (is_tube || !words.is_a_place(first))
    }

    /// Whether it is tube of all runs.
    pub fn is_all_tube(&self) -> bool {
        matches!(self.covers, Covers::Items(&[Item::Tube]))
    }

    /// Whether other things lead to it or belong to it, so that naming it may only say where those go.
    fn is_of_one_place(&self) -> bool {
        let is_work = |item: &Item| {
            matches!(item, Item::Board | Item::Frame | Item::Bearers | Item::Tube | Item::Lagging | Item::Clip)
        };
        match &self.covers {
            Covers::Items(items) => !items.iter().any(is_work),
            Covers::TubeOf(_) | Covers::CisternsOf(_) => true,
            Covers::Nothing => false,
        }
    }
}
