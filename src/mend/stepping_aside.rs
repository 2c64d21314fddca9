//! Shifts that would lay a pipe over another one or through a cylinder, with one of them taken further until it lies clear.

use super::demand::{is_broken, spoilt};
use super::handle::Handle;
use super::overlaid::lays_over;
use super::shift::{STILL_MM, Shifting};
use crate::finding::FindingKey;

/// So much further is tried, mm: beside a pipe, and beside its lagging.
const FURTHER_MM: [f64; 6] = [15.0, 30.0, 45.0, 60.0, 90.0, 120.0];

impl Shifting<'_> {
    /// The shifts, with one of them or the end of a pipe taken further, so that no pipe comes to lie over another one;
    /// `None` where none does, or where nothing was found that holds: in a section one may lie behind the other.
    pub(super) fn stepped_aside(&self, by_mm: &[f64], targets: &[FindingKey]) -> Option<Vec<f64>> {
        if !lays_over(self.layout, &self.moved(by_mm)) {
            return None;
        }
        let numbers = || (0..by_mm.len()).flat_map(|number| [1.0, -1.0].map(|sign| (number, sign)));
        let may_go = |(number, sign): &(usize, f64)| {
            let by = by_mm[*number];
            let is_end = matches!(self.handles[*number], Handle::FreeEndUp(_) | Handle::FreeEndRight(_));
            if by.abs() > STILL_MM { by.signum() == *sign } else { is_end }
        };
        let ways: Vec<(usize, f64)> = numbers().filter(may_go).collect();
        let tried = FURTHER_MM
            .into_iter()
            .flat_map(|further_mm| ways.iter().map(move |(number, sign)| (*number, sign * further_mm)));
        let further = |(number, more_mm): (usize, f64)| {
            let (back_mm, forth_mm) = self.bounds[number];
            let mut further = by_mm.to_vec();
            further[number] += more_mm;
            (back_mm..=forth_mm).contains(&further[number]).then_some(further)
        };
        tried.filter_map(further).find(|further| {
            !self.judge.effort().is_spent()
                && !lays_over(self.layout, &self.moved(further))
                && self.holds_at(further, targets)
        })
    }

    /// Whether what is targeted is cleared by the shifts, nothing is spoilt, and the house leaves room.
    pub(super) fn holds_at(&self, by_mm: &[f64], targets: &[FindingKey]) -> bool {
        let layout = self.moved(by_mm);
        let after = self.judge.findings(&layout);
        let is_cleared = !targets.iter().any(|target| is_broken(&after, target));
        is_cleared && spoilt(self.before, &after).is_empty() && self.leaves_room(&layout)
    }
}
