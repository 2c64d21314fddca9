//! Mending: the smallest move that clears the breaches, or the smallest set of rules and facts that cannot hold together.
//!
//! What has a number is shifted: see `shift`. What has none is changed, one edit at a time: see `change`. Nothing is
//! proposed that spoils a finding that met, and nothing is proposed that has not been checked by the whole table.

mod alternative;
mod beside;
mod change;
mod conflict;
mod course;
mod demand;
mod effort;
mod handle;
mod lines;
mod needless;
mod overlaid;
mod program;
mod reach;
mod reason;
mod report;
mod shift;
mod sparing;
mod stepping_aside;
mod taking;
mod uprights;

pub use alternative::{Alternative, alternatives};
pub use change::{
    Change, CisternChange, CourseChange, CylinderChange, FittingChange, LaggingChange, MixingValve, PlatformChange,
    Span, TubeChange, why_not,
};
pub use conflict::{ConflictSet, Member, MemberKind};
pub use course::{end_words, free_end};
pub use demand::{Demand, Fact, Toward};
pub use effort::{MOST_JUDGED, Stop};
pub use handle::{Handle, with_end_raised};
pub use program::RowOf;
pub use report::{Outcome, Proposal, Refused, Report, Step};
pub use shift::Moved;
pub use taking::{Taking, edits_of};

use serde::Serialize;

use crate::finding::{FindingKey, Findings};
use crate::layout::{Id, Layout, apply_all};
use crate::measure::BroughtBy;
use crate::rules::{Measure, Profile, Weight, rule};
use beside::crowds;
use change::changes;
use demand::{Judge, broken, is_broken, is_clear, spoilt};
use effort::Effort;
use overlaid::lays_over;
use shift::{Shifting, Solved};

/// Whom a proposal has to be put to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Consent {
    /// Geometry of pipes and fittings alone: nothing is bought, nothing that carries or holds water is moved.
    Safe,
    /// Something is added, or something large is moved.
    NeedsDecision,
    /// It is shown; someone has to judge it on the spot.
    ShowOnly,
}

impl Consent {
    /// The consent in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Safe => "safe: pipes and fittings moved, nothing else",
            Self::NeedsDecision => "needs a decision",
            Self::ShowOnly => "to be judged on the spot before it is done",
        }
    }
}

/// What is to be mended, and what may not be touched.
#[derive(Debug, Clone, Default)]
pub struct Wish {
    /// The findings to clear; all that are broken when empty.
    pub only: Vec<FindingKey>,
    /// Parts that stay as they are.
    pub locked: Vec<Id>,
    /// What has been refused: another way is looked for.
    pub refused: Vec<Refused>,
    /// Gives up after so many layouts have been judged; [`MOST_JUDGED`] unless it is told.
    pub most_judged: Option<usize>,
    /// Calls it off.
    pub stop: Stop,
}

/// One shift may open the way for a change, and a change for a shift; after so many turns nothing new comes.
const TURNS: usize = 3;

/// Looks for the smallest changes that clear what is broken, and for the reason of what stays so.
#[must_use]
pub fn propose(layout: &Layout, profile: &Profile, wish: &Wish) -> Report {
    let judge = Judge::new(profile, wish.effort());
    let mut mending = Mending::of(&judge, wish, layout);
    let before = mending.findings.clone();
    let wanted = mending.wanted();
    mending.put_right(&wanted);
    let reasons = mending.reasons(&wanted);
    let left = mending.left(&wanted);
    let outcome = match (wanted.is_empty(), left.is_empty()) {
        (true, _) => Outcome::NothingToDo,
        (false, true) => Outcome::Mended,
        (false, false) if judge.effort().is_spent() => Outcome::GaveUp,
        (false, false) if reasons.is_at_a_loss && !reasons.conflicts.iter().any(|conflict| conflict.straight) => {
            Outcome::GaveUp
        }
        (false, false) => Outcome::CannotHold,
    };
    Report {
        outcome,
        proposals: mending.proposals,
        conflicts: reasons.conflicts,
        left,
        before,
        after: mending.findings,
        layout: mending.layout,
        judged: judge.effort().judged(),
    }
}

/// The proposals alone, what they lead to and what they leave broken of what is wished; for who asks for no reasons.
fn put_right(layout: &Layout, profile: &Profile, wish: &Wish) -> (Vec<Proposal>, Findings, Vec<FindingKey>) {
    let judge = Judge::new(profile, wish.effort());
    let mut mending = Mending::of(&judge, wish, layout);
    let wanted = mending.wanted();
    mending.put_right(&wanted);
    let left = mending.left(&wanted);
    (mending.proposals, mending.findings, left)
}

impl Wish {
    fn effort(&self) -> Effort {
        Effort::new(self.most_judged.unwrap_or(MOST_JUDGED), self.stop.clone())
    }
}

/// What is reached for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Reach {
    /// Pipes, fittings, connections and boards: before a cistern is moved, a valve is bought.
    OfSmallThings,
    /// Cisterns, platforms and cylinders as well, and what the house is made of after those.
    OfEverything,
}

/// A layout on its way to being mended.
struct Mending<'a> {
    judge: &'a Judge,
    wish: &'a Wish,
    layout: Layout,
    findings: Findings,
    proposals: Vec<Proposal>,
}

impl<'a> Mending<'a> {
    fn of(judge: &'a Judge, wish: &'a Wish, layout: &Layout) -> Self {
        let findings = judge.findings(layout);
        Self { judge, wish, layout: layout.clone(), findings, proposals: Vec::new() }
    }

    /// What is broken and is to be mended.
    fn wanted(&self) -> Vec<FindingKey> {
        let only = &self.wish.only;
        broken(&self.findings).into_iter().filter(|key| only.is_empty() || only.contains(key)).collect()
    }

    /// Shifts and changes what clears something, small things first, until nothing new comes.
    fn put_right(&mut self, wanted: &[FindingKey]) {
        let begun = self.layout.clone();
        self.shift(wanted, Reach::OfSmallThings);
        self.change(wanted, Reach::OfSmallThings);
        for _ in 0..TURNS {
            if self.left(wanted).is_empty() || self.judge.effort().is_spent() {
                break;
            }
            let taken = self.proposals.len();
            self.shift(wanted, Reach::OfEverything);
            self.change(wanted, Reach::OfEverything);
            if self.proposals.len() == taken {
                break;
            }
        }
        self.leave_out_needless(&begun);
    }

    /// What of the wanted is still broken.
    fn left(&self, wanted: &[FindingKey]) -> Vec<FindingKey> {
        broken(&self.findings).into_iter().filter(|key| wanted.contains(key)).collect()
    }

    /// Clears by shifts what can be cleared; what stands in a conflict is left out, the lightest first.
    fn shift(&mut self, wanted: &[FindingKey], reach: Reach) {
        let (judge, layout, findings) = (self.judge, self.layout.clone(), self.findings.clone());
        let mut targets = self.left(wanted);
        targets.retain(|key| is_cleared_by_shifting(&findings, key, reach));
        if targets.is_empty() {
            return;
        }
        let handles = self.handles_for(&targets, &layout, reach);
        let mut shifting = Shifting::new(judge, &layout, &findings, &handles);
        targets = shifting.within_reach(&targets);
        let mut curved = Vec::new();
        while !targets.is_empty() {
            match shifting.solve(&targets) {
                Solved::Held(groups) => {
                    self.take_groups(groups);
                    break;
                }
                Solved::Conflict(conflict) => {
                    let Some(conflict) = ConflictSet::new(&conflict, &targets, &findings) else { break };
                    targets.retain(|key| *key != conflict.wanted);
                    if !conflict.straight {
                        curved.push(conflict.wanted);
                    }
                }
                Solved::GaveUp => {
                    curved.extend(self.shift_one_by_one(&targets, reach));
                    break;
                }
            }
        }
        self.go_round_what_is_curved(&curved, reach);
    }

    /// Where a conflict hangs on something curved, one handle alone may clear it from further off.
    fn go_round_what_is_curved(&mut self, targets: &[FindingKey], reach: Reach) {
        for target in targets {
            let (judge, layout, findings) = (self.judge, self.layout.clone(), self.findings.clone());
            if is_broken(&findings, target) {
                let handles = self.handles_for(std::slice::from_ref(target), &layout, reach);
                if let Some(moved) = Shifting::new(judge, &layout, &findings, &handles).by_one_alone(target) {
                    self.take(vec![Step::Shift(moved)]);
                }
            }
        }
    }

    /// Clears one after the other, each from where the one before has left the layout; what stands in a conflict that
    /// hangs on something curved comes back.
    fn shift_one_by_one(&mut self, targets: &[FindingKey], reach: Reach) -> Vec<FindingKey> {
        let mut curved = Vec::new();
        for target in targets {
            let (judge, layout, findings) = (self.judge, self.layout.clone(), self.findings.clone());
            if !is_broken(&findings, target) {
                continue;
            }
            let alone = std::slice::from_ref(target);
            let handles = self.handles_for(alone, &layout, reach);
            let mut shifting = Shifting::new(judge, &layout, &findings, &handles);
            let reached = shifting.within_reach(alone);
            match (!reached.is_empty()).then(|| shifting.solve(alone)) {
                Some(Solved::Held(groups)) => self.take_groups(groups),
                Some(Solved::Conflict(conflict)) => {
                    let conflict = ConflictSet::new(&conflict, alone, &findings).filter(|conflict| !conflict.straight);
                    curved.extend(conflict.map(|conflict| conflict.wanted));
                }
                Some(Solved::GaveUp) | None => {}
            }
        }
        curved
    }

    /// Takes groups of shifts one by one, or all as one where a group alone would spoil something.
    fn take_groups(&mut self, groups: Vec<Vec<Moved>>) {
        let steps_of = |group: &[Moved]| group.iter().cloned().map(Step::Shift).collect::<Vec<_>>();
        let (layout, findings, taken) = (self.layout.clone(), self.findings.clone(), self.proposals.len());
        if groups.iter().all(|group| self.take(steps_of(group))) {
            return;
        }
        (self.layout, self.findings) = (layout, findings);
        self.proposals.truncate(taken);
        self.take(steps_of(&groups.concat()));
    }

    /// Clears by changes what can be cleared so, the heaviest first.
    fn change(&mut self, wanted: &[FindingKey], reach: Reach) {
        for key in self.left(wanted) {
            let Some(finding) = self.findings.find(&key).filter(|_| is_broken(&self.findings, &key)).cloned() else {
                continue;
            };
            let house_is_open = reach == Reach::OfEverything && !self.has_changed_the_house();
            let open = |change: &Change| {
                (house_is_open || !change.is_of_the_house())
                    && !self.wish.locked.iter().any(|id| change.touches(id))
                    && !self.wish.refused.contains(&change.clone().into())
            };
            let mut offered: Vec<Change> =
                changes(self.judge, &self.layout, &key, &finding).into_iter().filter(open).collect();
            offered.sort_by_cached_key(|change| (self.leaves_of_the_house(change, wanted), self.is_crowded_by(change)));
            for change in offered {
                if self.judge.effort().is_spent() {
                    return;
                }
                if self.take_if_clears(Step::Change(change), &key) {
                    break;
                }
            }
        }
    }

    /// Whether the house is changed already: what is bolted beside a joist is not bolted to twice.
    fn has_changed_the_house(&self) -> bool {
        let mut steps = self.proposals.iter().flat_map(|proposal| &proposal.steps);
        steps.any(|step| matches!(step, Step::Change(change) if change.is_of_the_house()))
    }

    /// How many of the wanted a change of the house leaves broken, since there is but one; none of another change.
    fn leaves_of_the_house(&self, change: &Change, wanted: &[FindingKey]) -> usize {
        if !change.is_of_the_house() {
            return 0;
        }
        let after = apply_all(&self.layout, &change.edits(&self.layout));
        let still = after.map_or_else(|_| Vec::new(), |after| broken(&self.judge.findings(&after)));
        still.iter().filter(|key| wanted.contains(key)).count()
    }

    /// Whether a change lays a pipe over another or through a vessel, or leaves fittings no room: it is tried last.
    fn is_crowded_by(&self, change: &Change) -> bool {
        let after = apply_all(&self.layout, &change.edits(&self.layout)).ok();
        after.is_some_and(|after| lays_over(&self.layout, &after) || crowds(&self.layout, &after))
    }

    /// Takes a change that clears a finding; with small shifts beside it, where it would spoil something by itself.
    fn take_if_clears(&mut self, step: Step, key: &FindingKey) -> bool {
        let Some(layout) = step.on(&self.layout) else { return false };
        if !self.judge.clears(&layout, key) {
            return false;
        }
        let findings = self.judge.findings(&layout);
        let spoils = spoilt(&self.findings, &findings);
        if spoils.is_empty() {
            let words = vec![step.words(&self.layout)];
            self.accept(vec![step], words, layout, findings);
            return true;
        }
        let handles = self.handles(&layout, Reach::OfSmallThings);
        let mut shifting = Shifting::new(self.judge, &layout, &findings, &handles);
        let reached = shifting.within_reach(&spoils);
        match (reached.len() == spoils.len()).then(|| shifting.solve(&spoils)) {
            Some(Solved::Held(groups)) => {
                let shifts = groups.concat().into_iter().map(Step::Shift);
                self.take(std::iter::once(step).chain(shifts).collect())
            }
            _ => false,
        }
    }

    /// What may be moved to clear some findings: no stored water is given up for what is only advised.
    fn handles_for(&self, targets: &[FindingKey], layout: &Layout, reach: Reach) -> Vec<Handle> {
        let mut handles = self.handles(layout, reach);
        if targets.iter().all(|key| lightness(&self.findings, key) == Some(Weight::Advice)) {
            handles.retain(|handle| !matches!(handle, Handle::WaterLine(_)));
        }
        handles
    }

    fn handles(&self, layout: &Layout, reach: Reach) -> Vec<Handle> {
        let mut handles = Handle::all(layout, &self.wish.locked);
        handles.retain(|handle| reach == Reach::OfEverything || handle.consent() == Consent::Safe);
        handles.retain(|handle| !self.wish.refused.contains(&handle.clone().into()));
        handles.retain(|handle| handle.is_let_go(layout));
        handles
    }

    /// Takes steps as one proposal if they can be made and spoil nothing.
    fn take(&mut self, steps: Vec<Step>) -> bool {
        let mut layout = self.layout.clone();
        let mut words = Vec::new();
        for step in &steps {
            words.push(step.words(&layout));
            let Some(after) = step.on(&layout) else { return false };
            layout = after;
        }
        let findings = self.judge.findings(&layout);
        let holds = spoilt(&self.findings, &findings).is_empty();
        if holds {
            self.accept(steps, words, layout, findings);
        }
        holds
    }

    /// Goes on from a layout on which steps have been taken.
    fn accept(&mut self, mut steps: Vec<Step>, mut words: Vec<String>, mut layout: Layout, mut findings: Findings) {
        if let Some(led) = self.led_aside(&layout, &findings) {
            steps.extend(led.steps);
            words.extend(led.words);
            (layout, findings) = (led.layout, led.findings);
        }
        let clears = broken(&self.findings).into_iter().filter(|key| is_clear(&findings, key)).collect();
        let consent = steps.iter().map(Step::consent).max().unwrap_or(Consent::Safe);
        self.proposals.push(Proposal { steps, words, clears, consent });
        (self.layout, self.findings) = (layout, findings);
    }
}

/// Whether shifting is the way to clear a finding. What heat and timber do is cleared by lagging and boards, before
/// anything large is moved for it; a pipe is insulated, not moved out of sight; and no cistern is moved to stand as high as
/// the main drives.
fn is_cleared_by_shifting(findings: &Findings, key: &FindingKey, reach: Reach) -> bool {
    const BY_CHANGE_ALONE: [&str; 1] = ["cylinder-pipe-uninsulated"];
    let brought_by = findings.find(key).and_then(|finding| finding.reading.brought_by);
    let is_against_main = key.rule == "mixer-heads-differ" && brought_by == Some(BroughtBy::Main);
    match rule(key.rule).map(|rule| rule.measure) {
        None => false,
        Some(Measure::OfHeat(_) | Measure::OfTimber(_)) => reach == Reach::OfEverything,
        Some(Measure::OfSite(_) | Measure::OfWater(_)) => !BY_CHANGE_ALONE.contains(&key.rule) && !is_against_main,
    }
}

/// How light a target is: what gives way first when not everything can hold.
fn lightness(findings: &Findings, key: &FindingKey) -> Option<Weight> {
    findings.find(key).map(|finding| finding.weight)
}
