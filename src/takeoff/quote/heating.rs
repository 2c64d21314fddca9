//! What goes by one name in hot water and heating: which of the two a line of a quote means.

use super::topics::{Covers, Topic};
use super::words::{Place, Words, is_form_of};
use crate::layout::{CisternRole, Service};

/// What stands before a pipe of the heating.
const OF_HEATING: &[&str] = &["primary", "heating", "boiler"];
/// What stands right before "tank" where that is the feed-and-expansion cistern.
const EXPANSION: &[&str] = &["expansion", "e", "heating"];
/// Where one of these stands in a line, its "header tank" is that of the heating.
const HEATED: &[&str] = &["heating", "sealed"];
/// How a vent leads to the cistern over which it ends.
const OVER: &[&str] = &["over", "to", "above", "into"];
/// What may stand before the name of that.
const BEFORE_A_NAME: &[&str] = &["the", "a", "an", "new", "your", "feed", "f", "and"];

impl Topic {
    /// Whether words that name a cistern, a vent or a feed mean that of the heating, where this is that of the hot water.
    pub(super) fn is_that_of_the_heating(&self, words: &Words, place: &Place) -> bool {
        let Some(before) = place.start.checked_sub(1).filter(|_| !words.breaks_before(place.start)) else {
            return matches!(self.covers, Covers::TubeOf(Service::OpenVent)) && ends_over_expansion(words, place);
        };
        let before = words.word(before);
        match self.covers {
            Covers::CisternsOf(CisternRole::Storage) => {
                let is_header = before == "header" && words.hold_any(HEATED);
                is_header || EXPANSION.contains(&before)
            }
            Covers::TubeOf(Service::OpenVent) => OF_HEATING.contains(&before) || ends_over_expansion(words, place),
            Covers::TubeOf(Service::ColdFeed) => OF_HEATING.contains(&before),
            _ => false,
        }
    }

    /// Where a vent is named by ending over the feed-and-expansion cistern alone, and this is the vent of the heating.
    pub(super) fn by_where_it_ends(&self, words: &Words) -> Option<Vec<Vec<Place>>> {
        let is_it = matches!(self.covers, Covers::TubeOf(Service::PrimaryVent));
        let vents = words.holding(&["vent"]).into_iter().filter(|places| ends_over_expansion(words, &places[0]));
        is_it.then(|| vents.collect())
    }
}

/// Whether what is named leads to a feed-and-expansion cistern: "vent over the F&E tank".
fn ends_over_expansion(words: &Words, place: &Place) -> bool {
    let goes_on = |at: &usize| *at < words.all().len() && !words.breaks_before(*at);
    let is_it = |at: usize| {
        let is_vessel = ["tank", "cistern"].iter().any(|stem| is_form_of(words.word(at + 1), stem));
        is_vessel && EXPANSION.contains(&words.word(at))
    };
    let is_led = |over: usize| {
        let name = (over + 1..).take_while(goes_on).find(|at| !BEFORE_A_NAME.contains(&words.word(*at)));
        OVER.contains(&words.word(over)) && name.is_some_and(is_it)
    };
    (place.end..).take_while(goes_on).any(is_led)
}

/// Where the name of a feed-and-expansion cistern begins of which a word stands at a place: at "feed", where that goes
/// before.
pub(super) fn beginning_of_name(words: &Words, at: usize) -> usize {
    let before = |at: usize, names: &[&str]| at > 0 && !words.breaks_before(at) && names.contains(&words.word(at - 1));
    let joint = at - usize::from(before(at, &["and"]));
    if EXPANSION.contains(&words.word(at)) && before(joint, &["feed", "f"]) { joint - 1 } else { at }
}
