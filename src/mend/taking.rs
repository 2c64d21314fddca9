//! Taking proposals: which can be taken by themselves, and the edits of several together.

use super::demand::{Judge, broken, spoilt};
use super::effort::{Effort, MOST_JUDGED};
use super::{Consent, Proposal, Report, Stop};
use crate::layout::{Edit, Layout, apply_all};
use crate::rules::Profile;

/// What can be taken of a report.
#[derive(Debug, Clone, Default)]
pub struct Taking {
    /// For each proposal, those that are taken with it, itself the last: itself alone where it holds by itself.
    pub with: Vec<Vec<usize>>,
    /// Those that may be done without asking and hold without the others.
    pub safe: Vec<usize>,
}

impl Taking {
    /// Finds out which proposals hold by themselves on a layout. Once it is called off, those that are left are taken to
    /// need all before them.
    #[must_use]
    pub fn of(report: &Report, layout: &Layout, profile: &Profile, stop: &Stop) -> Self {
        let judge = Judge::new(profile, Effort::new(MOST_JUDGED, stop.clone()));
        let holds = |numbers: &[usize]| {
            if judge.effort().is_spent() {
                return false;
            }
            let Some((_, after)) = edits_of(&report.proposals, numbers, layout) else { return false };
            let findings = judge.findings(&after);
            let last = numbers.last().map(|number| &report.proposals[*number].clears);
            let still = broken(&findings);
            spoilt(&report.before, &findings).is_empty()
                && last.is_none_or(|clears| !clears.iter().any(|key| still.contains(key)))
        };
        let with = |number: usize| {
            let mut needed: Vec<usize> = (0..=number).collect();
            if holds(&[number]) {
                return vec![number];
            }
            // Those before it that it can do without are left out, the last first.
            for before in (0..number).rev() {
                let fewer: Vec<usize> = needed.iter().copied().filter(|other| *other != before).collect();
                if holds(&fewer) {
                    needed = fewer;
                }
            }
            needed
        };
        let with: Vec<Vec<usize>> = (0..report.proposals.len()).map(with).collect();
        let mut safe = Vec::new();
        for (number, proposal) in report.proposals.iter().enumerate() {
            safe.push(number);
            if proposal.consent != Consent::Safe || !holds(&safe) {
                safe.pop();
            }
        }
        Self { with, safe }
    }
}

/// The edits that carry out some of the proposals in their order, and the layout after them; `None` when one no longer fits.
#[must_use]
pub fn edits_of(proposals: &[Proposal], numbers: &[usize], layout: &Layout) -> Option<(Vec<Edit>, Layout)> {
    let mut layout = layout.clone();
    let mut all = Vec::new();
    for number in numbers {
        let edits = proposals.get(*number)?.edits(&layout)?;
        layout = apply_all(&layout, &edits).ok()?;
        all.extend(edits);
    }
    Some((all, layout))
}
