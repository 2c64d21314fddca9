//! Whether a conflict is one: for each member shifts with which all the others hold, drawn and judged.

use super::demand::{Demand, Fact, Toward, is_broken, spoilt};
use super::lines::carry_out;
use super::program::RowOf;
use super::shift::{Asked, HELD_WITHIN, Moved, ROUNDS, STILL_MM, Shifting};
use crate::finding::FindingKey;
use crate::layout::Layout;
use crate::measure::Site;

/// By how many handles it is tried.
#[derive(Clone, Copy)]
enum Spread {
    /// As few as will do.
    Few,
    /// All of them, each by a little: where few would go past a kink.
    All,
}

impl Shifting<'_> {
    /// Shifts with which all members of a conflict hold but the one that is spared; `None` where the lines lead to none.
    pub fn holding_all_but(
        &mut self,
        members: &[RowOf],
        spared: Option<usize>,
        targets: &[FindingKey],
    ) -> Option<Vec<Moved>> {
        [Spread::Few, Spread::All].into_iter().find_map(|spread| self.drawn_by(spread, members, spared, targets))
    }

    fn drawn_by(
        &mut self,
        spread: Spread,
        members: &[RowOf],
        spared: Option<usize>,
        targets: &[FindingKey],
    ) -> Option<Vec<Moved>> {
        let asked = Asked::Members(members, spared);
        let free = vec![true; self.handles.len()];
        let mut x = vec![0.0; self.handles.len()];
        for _ in 0..ROUNDS {
            if self.judge.effort().is_spent() {
                return None;
            }
            // First of all it is asked whether they hold as they are.
            let lines = self.lines_at(&x, &free);
            let moved = self.as_moved(&x);
            let others = members.iter().enumerate().filter(|(number, _)| spared != Some(*number)).map(|(_, row)| row);
            if let Some(layout) = drawn(self.layout, &moved)
                && self.hold_on(&layout, others, targets)
            {
                return Some(moved);
            }
            let program = self.program(&lines, &x, targets, asked);
            let found = program.least(&free).map(|found| match spread {
                Spread::Few => program.with_fewest(&mut free.clone(), found),
                Spread::All => found,
            });
            let next = found.map_or_else(|| program.nearest(), |found| found.x);
            if next.iter().zip(&x).all(|(a, b)| (a - b).abs() <= HELD_WITHIN) {
                return None;
            }
            x = next;
        }
        None
    }

    fn as_moved(&self, x: &[f64]) -> Vec<Moved> {
        let moves = self.handles.iter().zip(x).filter(|(_, by)| by.abs() > STILL_MM);
        moves.map(|(handle, by)| Moved { handle: handle.clone(), by_mm: *by, least_mm: *by }).collect()
    }

    /// Whether rules are met and facts leave room on a shifted layout; ends are kept by the shifts themselves.
    fn hold_on<'r>(&self, layout: &Layout, mut rows: impl Iterator<Item = &'r RowOf>, targets: &[FindingKey]) -> bool {
        let after = self.judge.findings(layout);
        let spoils = spoilt(self.before, &after);
        let site = Site::of(layout);
        let number = |fact: &Fact| {
            self.sought.demands.iter().position(|demand| matches!(demand, Demand::Fact(own) if own == fact))
        };
        let stays = |fact: &Fact| number(fact).is_none_or(|number| self.stays(number, fact, &site));
        rows.all(|row| match row {
            RowOf::Demand(Demand::Rule(key)) if targets.contains(key) => !is_broken(&after, key),
            RowOf::Demand(Demand::Rule(key)) => !spoils.contains(key),
            RowOf::Demand(Demand::Fact(fact)) => stays(fact),
            RowOf::End(_, Toward::Back | Toward::Forth) => true,
        })
    }
}

/// The layout with everything moved; `None` when something cannot be.
pub(super) fn drawn(layout: &Layout, moved: &[Moved]) -> Option<Layout> {
    moved.iter().try_fold(layout.clone(), |layout, moved| carry_out(&layout, &moved.handle, moved.by_mm))
}
