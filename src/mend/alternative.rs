//! Other ways that differ in kind: another thing moved, a lower cistern, two linked ones.

use super::demand::{Judge, broken, spoilt, stays_broken};
use super::{Change, CisternChange, Consent, Proposal, Report, Step, Wish, edits_of, put_right};
use crate::catalogue::cisterns;
use crate::finding::{FindingKey, Findings};
use crate::layout::{Edit, Id, Layout};
use crate::measure::{Site, water_volume_l};
use crate::rules::Profile;

/// No more than this many are offered: beyond it is a list and no choice.
const MOST: usize = 6;
/// So many sizes that clear something are followed up: of one cistern the largest, of two the smallest
/// that hold as much.
const SIZES_TRIED: usize = 2;
/// Rules for which another cistern is another way.
const OF_THE_CISTERN: [&str; 7] = [
    "headroom-too-low-at-float-valve",
    "headroom-too-low-opposite",
    "storage-too-small-for-taps",
    "storage-too-small-for-cylinder",
    "storage-less-than-cylinder",
    "cistern-too-big-for-hatch",
    "cylinder-too-near-cistern",
];

/// Another way to clear something.
#[derive(Debug, Clone)]
pub struct Alternative {
    /// What it clears.
    pub clears: Vec<FindingKey>,
    /// The steps, each a proposal; taken together.
    pub proposals: Vec<Proposal>,
    /// What is newly broken or unknown with it, and has to be settled: empty when it can be taken as it is.
    pub leaves: Vec<FindingKey>,
    /// Whom it has to be put to.
    pub consent: Consent,
    /// What it costs, in millimetres of an open vent's top; parts that are exchanged come on top of that.
    cost: f64,
}

impl Alternative {
    /// The edits that carry it out.
    #[must_use]
    pub fn edits(&self, layout: &Layout) -> Option<Vec<Edit>> {
        Some(self.whole(layout)?.0)
    }

    /// The layout with it.
    #[must_use]
    pub fn after(&self, layout: &Layout) -> Option<Layout> {
        Some(self.whole(layout)?.1)
    }

    /// What is done, a sentence each.
    pub fn words(&self) -> impl Iterator<Item = &str> {
        self.proposals.iter().flat_map(|proposal| proposal.words.iter().map(String::as_str))
    }

    fn whole(&self, layout: &Layout) -> Option<(Vec<Edit>, Layout)> {
        let all: Vec<usize> = (0..self.proposals.len()).collect();
        edits_of(&self.proposals, &all, layout)
    }
}

/// Ways that differ in kind from those of a report, those first that need least asking and cost least.
#[must_use]
pub fn alternatives(layout: &Layout, profile: &Profile, wish: &Wish, report: &Report) -> Vec<Alternative> {
    let mut found: Vec<Alternative> = Vec::new();
    for proposal in &report.proposals {
        let moves = proposal.steps.iter().any(|step| matches!(step, Step::Shift(_)));
        if !moves || proposal.clears.is_empty() || wish.stop.is_pulled() {
            continue;
        }
        let mut refused = wish.refused.clone();
        refused.extend(proposal.steps.iter().map(Step::refused));
        let other = Wish { only: proposal.clears.clone(), refused, ..wish.clone() };
        let (proposals, _, left) = put_right(layout, profile, &other);
        if left.is_empty() && !proposals.is_empty() {
            found.push(Alternative {
                clears: proposal.clears.clone(),
                cost: proposals.iter().map(|proposal| cost(proposal, layout)).sum(),
                consent: proposals.iter().map(|proposal| proposal.consent).max().unwrap_or(Consent::Safe),
                leaves: Vec::new(),
                proposals,
            });
        }
    }
    let judge = Judge::new(profile, wish.effort());
    found.extend(of_cisterns(layout, profile, &judge, wish, report));
    let key = |way: &Alternative| (!way.leaves.is_empty(), way.consent);
    found.sort_by(|a, b| key(a).cmp(&key(b)).then(a.cost.total_cmp(&b.cost)));
    let mut kinds: Vec<Vec<String>> = Vec::new();
    found.retain(|way| {
        let kind: Vec<String> = way.words().map(str::to_owned).collect();
        let is_new = !kinds.contains(&kind);
        kinds.push(kind);
        is_new
    });
    found.truncate(MOST);
    found
}

/// What the shifts of a proposal cost.
fn cost(proposal: &Proposal, layout: &Layout) -> f64 {
    let shifts = proposal.steps.iter().filter_map(|step| match step {
        Step::Shift(moved) => Some((moved.handle.cost_per_mm(layout) * moved.by_mm).powi(2)),
        Step::Change(_) => None,
    });
    shifts.sum::<f64>().sqrt()
}

/// Another cistern, or two linked ones, where a rule of the cistern was broken and neither is proposed already.
fn of_cisterns(layout: &Layout, profile: &Profile, judge: &Judge, wish: &Wish, report: &Report) -> Vec<Alternative> {
    let of_cistern = |key: &&FindingKey| OF_THE_CISTERN.contains(&key.rule);
    let wanted: Vec<FindingKey> = (broken(&report.before).iter())
        .filter(|key| wish.only.is_empty() || wish.only.contains(key))
        .filter(of_cistern)
        .cloned()
        .collect();
    let mut ids: Vec<&Id> = wanted.iter().flat_map(|key| &key.parts).collect();
    ids.retain(|id| layout.cistern(id).is_some() && !wish.locked.contains(id));
    ids.sort();
    ids.dedup();
    let exchange = Exchange { layout, profile, judge, wish, report, wanted: &wanted };
    let site = Site::of(layout);
    let overhang_mm = judge.asks("platform-overhang-too-small").unwrap_or(0.0);
    ids.into_iter()
        .flat_map(|id| {
            let of_cistern = |change: CisternChange| Change::Cistern(id.clone(), change);
            let largest_first = smallest_first().into_iter().rev();
            let exchanged = exchange.best(largest_first.map(CisternChange::OtherSize).map(of_cistern));
            let halves = halves(&site, id).into_iter();
            let linked =
                exchange.best(halves.map(|size| CisternChange::TwoLinked { size, overhang_mm }).map(of_cistern));
            [exchanged, linked]
        })
        .flatten()
        .collect()
}

/// Exchanging a cistern, and what it is to clear.
struct Exchange<'a> {
    layout: &'a Layout,
    profile: &'a Profile,
    judge: &'a Judge,
    wish: &'a Wish,
    report: &'a Report,
    wanted: &'a [FindingKey],
}

impl Exchange<'_> {
    /// Of several that are alike in kind the one that clears most and leaves least to settle, of the first that clear
    /// something.
    fn best(&self, changes: impl Iterator<Item = Change>) -> Option<Alternative> {
        let open = changes.filter(|change| !self.wish.refused.contains(&change.clone().into()));
        let clearing = open.filter_map(|change| self.try_one(change)).take(SIZES_TRIED);
        clearing.min_by_key(|way| (self.wanted.len() - way.clears.len(), way.leaves.len()))
    }

    fn try_one(&self, change: Change) -> Option<Alternative> {
        if self.judge.effort().is_spent() {
            return None;
        }
        let first = Proposal {
            words: vec![change.words(self.layout)],
            consent: Consent::ShowOnly,
            clears: Vec::new(),
            steps: vec![Step::Change(change)],
        };
        let (_, after) = edits_of(std::slice::from_ref(&first), &[0], self.layout)?;
        let findings = self.judge.findings(&after);
        if self.cleared(&findings).is_empty() {
            return None;
        }
        // What the exchange spoils is put right with it, as far as that goes.
        let only = spoilt(&self.report.before, &findings);
        let mut proposals = vec![first];
        let mut then = findings;
        if !only.is_empty() {
            let (more, findings, _) = put_right(&after, self.profile, &Wish { only, ..self.wish.clone() });
            proposals.extend(more);
            then = findings;
        }
        let leaves = spoilt(&self.report.before, &then);
        let clears = self.cleared(&then);
        (!clears.is_empty()).then(|| Alternative {
            cost: 1000.0 * f64::from(u32::try_from(leaves.len()).unwrap_or(u32::MAX)),
            clears,
            leaves,
            consent: Consent::ShowOnly,
            proposals,
        })
    }

    /// What of the wanted is broken no more.
    fn cleared(&self, findings: &Findings) -> Vec<FindingKey> {
        let (before, still) = (broken(&self.report.before), broken(findings));
        self.wanted.iter().filter(|key| !stays_broken(key, &before, &still)).cloned().collect()
    }
}

/// The places in the catalogue of all sizes of cistern, the one that holds least first.
fn smallest_first() -> Vec<usize> {
    let sizes = &cisterns().sizes;
    let mut all: Vec<usize> = (0..sizes.len()).collect();
    all.sort_by(|a, b| sizes[*a].water.to_litres().total_cmp(&sizes[*b].water.to_litres()));
    all
}

/// The same, those first of which two hold as much water as a cistern does; those that hold less come after them, the one
/// that holds most first.
fn halves(site: &Site<'_>, id: &Id) -> Vec<usize> {
    let old = site.layout().cistern(id);
    let held_l = old.and_then(|cistern| water_volume_l(site, cistern).ok()).map_or(0.0, |(litres, _)| litres.value);
    let is_enough = |number: &usize| 2.0 * cisterns().sizes[*number].water.to_litres() >= held_l;
    let (enough, less): (Vec<usize>, Vec<usize>) = smallest_first().into_iter().partition(is_enough);
    enough.into_iter().chain(less.into_iter().rev()).collect()
}
