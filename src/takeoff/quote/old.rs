//! What a line of a quote says of things that were there before: taken out, kept, worked on.

use super::words::{Words, is_form_of};

/// Work on what is there already, each as it has to stand; the words are stems.
const WORK_ON_THE_OLD: &[&[&str]] = &[
    &["take", "out"],
    &["taking", "out"],
    &["take", "away"],
    &["take", "down"],
    &["remove"],
    &["removing"],
    &["removal"],
    &["strip", "out"],
    &["stripping", "out"],
    &["rip", "out"],
    &["cut", "out"],
    &["cut", "up"],
    &["break", "up"],
    &["cart", "away"],
    &["get", "rid"],
    &["clear", "away"],
    &["disconnect"],
    &["reconnect"],
    &["decommission"],
    &["dispose"],
    &["disposal"],
    &["disposing"],
    &["scrap"],
    &["drain", "down"],
    &["draining", "down"],
    &["drain", "and"],
    &["empty"],
    &["refill"],
    &["fill"],
    &["flush"],
    &["test"],
    &["testing"],
    &["commission"],
    &["relocate"],
    &["reposition"],
    &["move"],
    &["repair"],
    &["inspect"],
    &["isolate"],
    &["cap", "off"],
    &["leave"],
    &["keep"],
    &["retain"],
    &["reuse"],
    &["refit"],
];
/// Said after a thing, that it is taken away or stays.
const DONE_WITH: &[&[&str]] = &[
    &["removed"],
    &["taken", "out"],
    &["taken", "away"],
    &["stripped", "out"],
    &["disconnected"],
    &["disposed"],
    &["scrapped"],
    &["to", "remain"],
    &["remains"],
    &["remaining"],
    &["to", "stay"],
    &["stays"],
    &["retained"],
    &["reused"],
    &["kept"],
    &["to", "be", "left"],
    &["left", "in"],
    &["left", "as"],
    &["is", "there"],
    &["already", "there"],
    &["in", "place"],
];
/// What is said of a thing that is used again.
const USED_AGAIN: &[&str] = &["reuse", "reused", "reusing"];
/// What is said to be so was there before.
const OLD: &[&str] = &["old", "existing", "redundant"];
/// With one of these something new begins.
const FITTING: &[&str] = &[
    "fit",
    "fitting",
    "supply",
    "supplying",
    "install",
    "installing",
    "provide",
    "providing",
    "new",
    "replacement",
    "allow",
];
/// With these what is old makes way for what is named after "with", or is itself named anew.
const REPLACING: &[&str] = &["replace", "replacing", "renew", "renewing", "swap", "change", "changing", "upgrade"];

impl Words {
    /// The words without what they say of things that were there before, and by which words that is known.
    pub fn without_the_old(&self) -> (Self, Option<String>) {
        let mut is_old = vec![false; self.all().len()];
        let mut by = None;
        let holds = |at: usize, phrase: &&&[&str]| {
            let words = self.all().get(at..at + phrase.len()).unwrap_or_default();
            words.len() == phrase.len() && words.iter().zip(phrase.iter()).all(|(word, stem)| is_form_of(word, stem))
        };
        let mut note = |from: usize, to: usize, words: &[&str]| {
            is_old[from..to].fill(true);
            by.get_or_insert_with(|| words.join(" "));
        };
        for at in 0..self.all().len() {
            if let Some(phrase) = WORK_ON_THE_OLD.iter().find(|phrase| holds(at, phrase)) {
                // "Without removing the frame": what is not done is no part of it either.
                let from = at - usize::from(at > 0 && self.word(at - 1) == "without");
                note(from, self.begins_anew_after(at), phrase);
            }
            if let Some(phrase) = DONE_WITH.iter().find(|phrase| holds(at, phrase)) {
                note(self.begun_before(at), at + phrase.len(), phrase);
            }
            if OLD.contains(&self.word(at)) && !self.is_replaced(at) {
                note(at, self.clause_after(at).min(self.begins_anew_after(at)), &[self.word(at)]);
            }
        }
        (self.without(|at| is_old[at]), by)
    }

    /// The words of what was there before and is used again; nothing where nothing is.
    pub fn used_again(&self) -> Option<Self> {
        let at = (0..self.all().len()).find(|at| USED_AGAIN.contains(&self.word(*at)))?;
        // "Re-use the vent", and "the vent to be re-used".
        let after = at + 1..self.begins_anew_after(at);
        let named = if self.word(at) == "reused" { self.begun_before(at)..at } else { after };
        Some(self.without(|at| !named.contains(&at)))
    }

    /// The next place from which something new is named.
    fn begins_anew_after(&self, at: usize) -> usize {
        let is_replaced = self.all()[..at].iter().any(|word| REPLACING.contains(&word.as_str()));
        let begins =
            |after: &usize| FITTING.contains(&self.word(*after)) || (is_replaced && self.word(*after) == "with");
        (at + 1..self.all().len()).find(begins).unwrap_or(self.all().len())
    }

    /// Where the clause of a word ends.
    fn clause_after(&self, at: usize) -> usize {
        (at + 1..self.all().len()).find(|after| self.breaks_before(*after)).unwrap_or(self.all().len())
    }

    /// Where that begins of which it is said at a word that it is taken away or stays: with the line; with the clause where
    /// something new stands before it, or where the clause itself speaks of something old.
    fn begun_before(&self, at: usize) -> usize {
        let clause = (0..=at).rev().find(|before| self.breaks_before(*before)).unwrap_or(0);
        let holds = |from: usize, of: &[&str]| self.all()[from..at].iter().any(|word| of.contains(&word.as_str()));
        if holds(0, FITTING) || holds(clause, OLD) { clause } else { 0 }
    }

    /// Whether what is called old is replaced, so that the line is about the new one.
    fn is_replaced(&self, at: usize) -> bool {
        self.all()[..at].iter().any(|word| REPLACING.contains(&word.as_str()))
            && !self.all().iter().any(|w| w == "with")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_there_before_is_no_part_of_what_is_new() {
        let new = |text: &str| Words::of(text).without_the_old().0.all().join(" ");
        for (text, left) in [
            ("Take out old tank and leave in loft", ""),
            ("Remove tank, cylinder and pipework", ""),
            ("Remove tank and fit new cistern", "fit new cistern"),
            ("Replace old tank with cistern", "replace with cistern"),
            ("Replace existing tank", "replace existing tank"),
            ("Cylinder and tank removed", ""),
            ("Fit new tank, cylinder retained", "fit new tank"),
            ("Tank lifted into the loft without removing the hatch frame", "tank lifted into the loft"),
            ("Gate valve, existing immersion re-used", "gate valve"),
            ("Connect cold feed to existing cylinder, gate valve", "connect cold feed to gate valve"),
        ] {
            assert_eq!(new(text), left, "{text}");
        }
    }
}
