//! What an exercise earned, fault by fault, with what each missed one teaches; and the claims that cost a mark.

use egui::{RichText, Ui};

use super::wrapped;
use crate::desk::panels::words::worded;
use crate::desk::theme::Palette;
use crate::finding::capital;
use crate::lesson::{Claim, Exercise, HINT, MarkedClaim, Marks, WRONG};
use crate::rules::{Verdict, Voice, rule};

/// Shows all of it.
pub(super) fn ui(ui: &mut Ui, exercise: &Exercise, claims: &[Claim], marks: &Marks, voice: Voice) {
    let palette = Palette::of(ui.visuals());
    for (fault, marked) in exercise.faults.iter().zip(&marks.faults) {
        ui.add_space(6.0);
        let whole = marked.credit.sum() == marked.out_of;
        let colour = palette.verdict(if whole { Verdict::Meets } else { Verdict::Breach });
        let line = format!("{}: {} of {}", fault.title(voice), marked.credit.sum(), marked.out_of);
        wrapped(ui, RichText::new(line).strong().color(colour));
        let number = if fault.need.is_some() { marked.credit.number.to_string() } else { "not asked".to_owned() };
        wrapped(ui, format!("Place {}, fault {}, number {number}", marked.credit.place, marked.credit.rule));
        wrapped(ui, worded(ui, &fault.words));
        if let Some(need) = &fault.need {
            wrapped(ui, worded(ui, &format!("It should be {}.", need.words)));
        }
        if !whole {
            wrapped(ui, RichText::new(worded(ui, fault.teaching())).italics());
        }
    }
    for (claim, marked) in claims.iter().zip(&marks.claims) {
        let why = match marked {
            MarkedClaim::Fault(_) => continue,
            MarkedClaim::Allowed(place) => format!("only just allowed ({})", exercise.allowed[*place].words),
            MarkedClaim::Wrong => "right in nothing".to_owned(),
        };
        ui.add_space(6.0);
        let line = format!("−{WRONG}: {}", claim_words(claim, voice));
        wrapped(ui, RichText::new(line).color(palette.verdict(Verdict::Breach)));
        wrapped(ui, worded(ui, &capital(&why)));
    }
    if marks.hints > 0 {
        ui.add_space(6.0);
        wrapped(ui, format!("−{}: hints", marks.hints * HINT));
    }
}

/// A claim in words.
pub(super) fn claim_words(claim: &Claim, voice: Voice) -> String {
    let part = if claim.part.is_empty() { "the marked place".to_owned() } else { claim.part.replace('-', " ") };
    let title = claim.rule.and_then(rule).map_or("no known fault", |rule| rule.prose.title(voice));
    let number = if claim.number.is_empty() { String::new() } else { format!(", it should be {}", claim.number) };
    format!("{}: {title}{number}", capital(&part))
}
