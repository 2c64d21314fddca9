//! Why something stays broken: what cannot hold together on the layout as it was left, each member proven to be needed.

use super::conflict::ConflictSet;
use super::handle::Handle;
use super::program::RowOf;
use super::shift::{Shifting, Solved};
use super::sparing::Spared;
use super::{Mending, Reach, is_cleared_by_shifting};
use crate::finding::FindingKey;
use crate::layout::{Id, Layout};

/// What was found out about what stays broken.
pub(super) struct Reasons {
    /// What cannot hold together, one set for each finding that has such.
    pub conflicts: Vec<ConflictSet>,
    /// Whether there was something for which neither an answer nor a sure reason was found.
    pub is_at_a_loss: bool,
}

/// What a search for the reason has come to.
enum Answer {
    /// It can be cleared after all, and was.
    Cleared,
    /// This is in its way.
    Reason(ConflictSet),
    /// Nothing that may be moved reaches it.
    OutOfReach,
    /// Neither an answer nor a reason.
    AtALoss,
}

impl Mending<'_> {
    /// Looks for the reason of whatever is left; takes what turns out to hold after all.
    pub(super) fn reasons(&mut self, wanted: &[FindingKey]) -> Reasons {
        loop {
            let mut reasons = Reasons { conflicts: Vec::new(), is_at_a_loss: self.judge.effort().is_spent() };
            let mut cleared = false;
            let mut left = self.left(wanted);
            left.retain(|key| is_cleared_by_shifting(&self.findings, key, Reach::OfEverything));
            for key in left {
                if self.judge.effort().is_spent() {
                    reasons.is_at_a_loss = true;
                    return reasons;
                }
                match self.reason(&key) {
                    Answer::Cleared => cleared = true,
                    Answer::Reason(conflict) => {
                        reasons.is_at_a_loss |= !conflict.straight;
                        reasons.conflicts.push(conflict);
                    }
                    Answer::OutOfReach => {}
                    Answer::AtALoss => reasons.is_at_a_loss = true,
                }
            }
            // What was cleared has changed the layout that the other reasons were found on.
            if !cleared {
                return reasons;
            }
        }
    }

    fn reason(&mut self, key: &FindingKey) -> Answer {
        if self.is_anything_held()
            && let Some(conflict) = self.with_what_is_held(key)
        {
            return Answer::Reason(conflict);
        }
        let (judge, layout, findings) = (self.judge, self.layout.clone(), self.findings.clone());
        let handles = self.handles(&layout, Reach::OfEverything);
        let mut shifting = Shifting::new(judge, &layout, &findings, &handles);
        let alone = std::slice::from_ref(key);
        if shifting.within_reach(alone).is_empty() {
            return Answer::OutOfReach;
        }
        match shifting.solve(alone) {
            Solved::Held(groups) => {
                self.take_groups(groups);
                if super::is_broken(&self.findings, key) { Answer::AtALoss } else { Answer::Cleared }
            }
            Solved::Conflict(conflict) => {
                let conflict = ConflictSet::new(&conflict, alone, &findings);
                conflict.and_then(|conflict| proven(conflict, &mut shifting)).map_or(Answer::AtALoss, Answer::Reason)
            }
            Solved::GaveUp => Answer::AtALoss,
        }
    }

    fn is_anything_held(&self) -> bool {
        !self.layout.locks.is_empty() || !self.wish.locked.is_empty()
    }

    /// The conflict with what is held and kept among its members, where that is in the way.
    fn with_what_is_held(&self, key: &FindingKey) -> Option<ConflictSet> {
        // On paper both parts of a held distance could move by as much; mending moves one, and the other stands still.
        let distances: Vec<(&Id, &Id)> =
            self.layout.locks.iter().filter_map(|lock| Some((&lock.part, lock.holds.other()?))).collect();
        let turned: Vec<(&Id, &Id)> = distances.iter().map(|(part, other)| (*other, *part)).collect();
        let second = (!turned.is_empty()).then_some(turned);
        std::iter::once(distances).chain(second).find_map(|pairs| self.with_what_is_held_while(key, &pairs))
    }

    /// The same, while of each pair of parts the second moves with the first alone.
    fn with_what_is_held_while(&self, key: &FindingKey, pairs: &[(&Id, &Id)]) -> Option<ConflictSet> {
        let freed = Layout { locks: Vec::new(), ..self.layout.clone() };
        let mut handles = Handle::all(&freed, &[]);
        handles.retain(|handle| !self.wish.refused.contains(&handle.clone().into()));
        let stands_still =
            |handle: &Handle, (moves, still): &(&Id, &Id)| handle.moves(&freed, still) && !handle.moves(&freed, moves);
        handles.retain(|handle| !pairs.iter().any(|pair| stands_still(handle, pair)));
        let shifting = Shifting::new(self.judge, &freed, &self.findings, &handles);
        let mut shifting = shifting.holding(&self.layout.locks, &self.wish.locked);
        let alone = std::slice::from_ref(key);
        if shifting.within_reach(alone).is_empty() {
            return None;
        }
        match shifting.solve(alone) {
            Solved::Conflict(conflict) => {
                ConflictSet::new(&conflict, alone, &self.findings).and_then(|conflict| proven(conflict, &mut shifting))
            }
            Solved::Held(_) | Solved::GaveUp => None,
        }
    }
}

/// A set is followed to a smaller one so many times at most.
const FOLLOWED: usize = 12;

/// The conflict with a layout drawn for each member on which the others hold. Where they clash without one, that one is
/// no member, and what clashes is looked at instead. `None` when all of them hold together on some layout, so that it is
/// none, and when a member of a straight one is not shown to be needed.
fn proven(mut conflict: ConflictSet, shifting: &mut Shifting<'_>) -> Option<ConflictSet> {
    if holds_as_a_whole(&conflict, shifting) {
        return None;
    }
    for _ in 0..FOLLOWED {
        match spare_each(conflict, shifting) {
            Needed::All(proven) => return Some(proven),
            Needed::Other(other) => conflict = other,
            Needed::AtALoss => return None,
        }
    }
    None
}

fn holds_as_a_whole(conflict: &ConflictSet, shifting: &mut Shifting<'_>) -> bool {
    let targets = std::slice::from_ref(&conflict.wanted);
    matches!(shifting.holding_all_but(&rows_of(conflict), None, targets), Spared::Drawn(_))
}

/// Which members of a conflict are needed.
enum Needed {
    /// All of them, each with a layout drawn without it; where something curved takes part, not all may have one.
    All(ConflictSet),
    /// Not all: this is what clashes without one.
    Other(ConflictSet),
    /// It was not found out.
    AtALoss,
}

/// Spares each member in turn.
fn spare_each(mut conflict: ConflictSet, shifting: &mut Shifting<'_>) -> Needed {
    let rows = rows_of(&conflict);
    let targets = std::slice::from_ref(&conflict.wanted);
    for (number, member) in conflict.members.iter_mut().enumerate() {
        match shifting.holding_all_but(&rows, Some(number), targets) {
            Spared::Drawn(moved) => member.without = Some(moved),
            Spared::Clash(clash) => {
                let other = ConflictSet::new(&clash, targets, shifting.before);
                match other.filter(|other| !holds_as_a_whole(other, shifting)) {
                    Some(other) => return Needed::Other(other),
                    None if conflict.straight => return Needed::AtALoss,
                    None => {}
                }
            }
            Spared::AtALoss if conflict.straight => return Needed::AtALoss,
            Spared::AtALoss => {}
        }
    }
    Needed::All(conflict)
}

fn rows_of(conflict: &ConflictSet) -> Vec<RowOf> {
    conflict.members.iter().map(|member| member.row.clone()).collect()
}
