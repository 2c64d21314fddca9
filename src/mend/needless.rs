//! What later proposals have made needless is left out again.

use std::cmp::Reverse;

use super::demand::spoilt;
use super::{Mending, Step};
use crate::layout::Layout;

impl Mending<'_> {
    /// Leaves out proposals, and then shifts beside a change, without which the others come to the same; what needs leave
    /// goes first.
    pub(super) fn leave_out_needless(&mut self, begun: &Layout) {
        let mut numbers: Vec<usize> = (0..self.proposals.len()).collect();
        numbers.sort_by_key(|number| Reverse(self.proposals[*number].consent));
        let mut kept: Vec<Vec<Step>> = self.proposals.iter().map(|proposal| proposal.steps.clone()).collect();
        for number in numbers {
            let whole = std::mem::take(&mut kept[number]);
            if !self.does_without(begun, &kept) {
                kept[number] = whole;
            }
        }
        for number in 0..kept.len() {
            self.leave_out_shifts(begun, &mut kept, number);
        }
    }

    fn leave_out_shifts(&mut self, begun: &Layout, kept: &mut [Vec<Step>], number: usize) {
        if !kept[number].iter().any(|step| matches!(step, Step::Change(_))) {
            return;
        }
        for at in (0..kept[number].len()).rev() {
            if matches!(kept[number][at], Step::Shift(_)) {
                let shift = kept[number].remove(at);
                if !self.does_without(begun, kept) {
                    kept[number].insert(at, shift);
                }
            }
        }
    }

    /// Goes over to these steps alone if they come to the same as all that is proposed now.
    fn does_without(&mut self, begun: &Layout, kept: &[Vec<Step>]) -> bool {
        if self.judge.effort().is_spent() {
            return false;
        }
        let mut without = Self::of(self.judge, self.wish, begun);
        let are_taken = kept.iter().filter(|steps| !steps.is_empty()).all(|steps| without.take(steps.clone()));
        let is_enough = are_taken && spoilt(&self.findings, &without.findings).is_empty();
        if is_enough {
            *self = without;
        }
        is_enough
    }
}
