//! What came of mending: proposals one can take or refuse, what cannot hold, how the layout would stand.

use serde::Serialize;

use super::{Change, ConflictSet, Consent, Handle, Moved, why_not};
use crate::finding::{Finding, FindingKey, Findings};
use crate::layout::{Edit, Layout, apply_all};
use crate::measure::Site;
use crate::rules::Profile;

/// How mending ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// Nothing was broken.
    NothingToDo,
    /// All that was wanted is cleared.
    Mended,
    /// Some of it cannot hold, or nothing that may be moved reaches it.
    CannotHold,
    /// No answer was found, and no reason why there is none.
    GaveUp,
}

impl Outcome {
    /// The outcome in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::NothingToDo => "nothing to mend",
            Self::Mended => "mended",
            Self::CannotHold => "not everything can be mended",
            Self::GaveUp => "the search ended before all of it had an answer",
        }
    }

    /// What whoever asked can do next, where the search has ended without an answer and without a reason why there is none.
    #[must_use]
    pub const fn advice(self) -> Option<&'static str> {
        match self {
            Self::NothingToDo | Self::Mended | Self::CannotHold => None,
            Self::GaveUp => Some(
                "There may be a way, and none was found yet. Take what is proposed and look again; mend one finding or one part \
                 by itself, which leaves more to be tried for it; or move something by hand and look again.",
            ),
        }
    }
}

/// What came of mending.
pub struct Report {
    /// How it ended.
    pub outcome: Outcome,
    /// What to do, in the order in which it was tried; each holds on top of those before it.
    pub proposals: Vec<Proposal>,
    /// What cannot hold together, the first found first.
    pub conflicts: Vec<ConflictSet>,
    /// What stays broken of what was wanted.
    pub left: Vec<FindingKey>,
    /// The findings before.
    pub before: Findings,
    /// The findings with every proposal taken.
    pub after: Findings,
    /// The layout with every proposal taken.
    pub layout: Layout,
    /// How many layouts were judged on the way.
    pub judged: usize,
}

impl Report {
    /// The report on a layout of which nothing is wanted.
    #[must_use]
    pub fn nothing(layout: &Layout, profile: &Profile) -> Self {
        let findings = Findings::under(&Site::of(layout), profile);
        Self {
            outcome: Outcome::NothingToDo,
            proposals: Vec::new(),
            conflicts: Vec::new(),
            left: Vec::new(),
            before: findings.clone(),
            after: findings,
            layout: layout.clone(),
            judged: 0,
        }
    }

    /// Why something stays broken, in words.
    #[must_use]
    pub fn why_left(&self, key: &FindingKey) -> String {
        match (self.conflicts.iter().find(|conflict| conflict.wanted == *key), why_not(key.rule)) {
            (Some(conflict), _) => conflict.words(),
            (None, Some(why)) => why.to_owned(),
            (None, None) => {
                let tried = match self.outcome {
                    Outcome::GaveUp => "no answer was found before the search ended",
                    _ => "no move and no change that was tried clears it and keeps all else",
                };
                let remedies = self.after.find(key).map(Finding::remedies).unwrap_or_default();
                match remedies.as_slice() {
                    [] => format!("{tried}; there may be a way"),
                    ways => format!("{tried}; what would clear it by itself: {}", ways.join(", or: ")),
                }
            }
        }
    }
}

/// Steps that are taken together or not at all.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// The steps.
    pub steps: Vec<Step>,
    /// The same in words with numbers, a sentence each.
    pub words: Vec<String>,
    /// The broken findings that they clear.
    pub clears: Vec<FindingKey>,
    /// Whom they have to be put to.
    pub consent: Consent,
}

impl Proposal {
    /// The edits that carry it out on a layout as it is now; `None` when the layout no longer has what it changes.
    #[must_use]
    pub fn edits(&self, layout: &Layout) -> Option<Vec<Edit>> {
        let mut layout = layout.clone();
        let mut all = Vec::new();
        for step in &self.steps {
            let edits = step.edits(&layout);
            layout = (!edits.is_empty()).then(|| apply_all(&layout, &edits).ok()).flatten()?;
            all.extend(edits);
        }
        Some(all)
    }
}

/// Something that has been refused.
#[derive(Debug, Clone, PartialEq)]
pub enum Refused {
    /// Moving this.
    Shift(Handle),
    /// Making this change.
    Change(Change),
}

impl From<Handle> for Refused {
    fn from(handle: Handle) -> Self {
        Self::Shift(handle)
    }
}

impl From<Change> for Refused {
    fn from(change: Change) -> Self {
        Self::Change(change)
    }
}

/// One thing that is done.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// Something is moved.
    Shift(Moved),
    /// Something is added, taken away or replaced.
    Change(Change),
}

impl Step {
    /// The edits that carry it out on a layout.
    #[must_use]
    pub fn edits(&self, layout: &Layout) -> Vec<Edit> {
        match self {
            Self::Shift(moved) => moved.handle.edit(layout, moved.by_mm).into_iter().collect(),
            Self::Change(change) => change.edits(layout),
        }
    }

    /// What is done, in words.
    #[must_use]
    pub fn words(&self, layout: &Layout) -> String {
        match self {
            Self::Shift(moved) => moved.handle.words(layout, moved.by_mm),
            Self::Change(change) => change.words(layout),
        }
    }

    /// What is refused with it.
    #[must_use]
    pub fn refused(&self) -> Refused {
        match self {
            Self::Shift(moved) => moved.handle.clone().into(),
            Self::Change(change) => change.clone().into(),
        }
    }

    /// Whom it has to be put to.
    #[must_use]
    pub fn consent(&self) -> Consent {
        match self {
            Self::Shift(moved) => moved.consent(),
            Self::Change(change) => change.consent(),
        }
    }

    /// The layout with it done; `None` when that cannot be.
    pub(super) fn on(&self, layout: &Layout) -> Option<Layout> {
        let edits = self.edits(layout);
        (!edits.is_empty()).then(|| apply_all(layout, &edits).ok()).flatten()
    }
}
