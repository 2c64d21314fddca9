//! Whether a conflict is one: for each member shifts with which all the others hold, drawn and judged.

use super::demand::{Demand, Fact, is_broken, spoilt};
use super::lines::{Lines, carry_out};
use super::program::RowOf;
use super::shift::{Asked, Conflict, Ends, HELD_WITHIN, Moved, ROUNDS, STILL_MM, Shifting};
use crate::finding::FindingKey;
use crate::layout::Layout;
use crate::measure::Site;

/// By how many handles it is tried, and from where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Gait {
    /// The least from rest by as few as will do.
    Few,
    /// The least from rest by all of them, each by a little: where few would go past a kink.
    All,
    /// The least step onward from what has been reached, each handle seen the way that it is to go before it goes: where
    /// a reading gains up to a kink, or one way alone.
    Onward,
}

/// Which way each handle is looked at.
struct Looks {
    steps_mm: Vec<f64>,
    has_turned: Vec<bool>,
}

impl Looks {
    fn of(steps_mm: Vec<f64>) -> Self {
        Self { has_turned: vec![false; steps_mm.len()], steps_mm }
    }

    /// Turns to where handles are to go; whether any had to, each once.
    fn turn(&mut self, from: &[f64], to: &[f64]) -> bool {
        let mut turns = false;
        for (number, step_mm) in self.steps_mm.iter_mut().enumerate() {
            let goes_mm = to[number] - from[number];
            if goes_mm.abs() > STILL_MM && goes_mm * *step_mm < 0.0 && !self.has_turned[number] {
                *step_mm = -*step_mm;
                self.has_turned[number] = true;
                turns = true;
            }
        }
        turns
    }
}

/// What came of sparing a member.
pub(super) enum Spared {
    /// With these shifts all the others hold.
    Drawn(Vec<Moved>),
    /// The others cannot hold together without it either, as far as anything can be drawn.
    Clash(Conflict),
    /// Neither.
    AtALoss,
}

/// How a member is spared, what is likeliest first.
const WAYS: [(Ends, Gait); 7] = [
    (Ends::Usual, Gait::Few),
    (Ends::Usual, Gait::All),
    (Ends::Usual, Gait::Onward),
    (Ends::OfMembers, Gait::Few),
    (Ends::OfMembers, Gait::All),
    (Ends::OfMembers, Gait::Onward),
    (Ends::OfMembersAtLast, Gait::Onward),
];
/// Twice as many rounds where every other one only looks.
const ROUNDS_OF_LOOKING: usize = 2 * ROUNDS;

impl Shifting<'_> {
    /// Shifts with which all members of a conflict hold but the one that is spared, or why there are none.
    pub fn holding_all_but(&mut self, members: &[RowOf], spared: Option<usize>, targets: &[FindingKey]) -> Spared {
        let mut clash = None;
        for (ends, gait) in WAYS {
            match self.drawn_by(gait, Asked::Members(members, spared, ends), targets) {
                Spared::Drawn(moved) => return Spared::Drawn(moved),
                // What was found by looking both ways is the surest.
                Spared::Clash(found) if ends == Ends::OfMembers => clash = Some(found),
                Spared::Clash(_) | Spared::AtALoss => {}
            }
        }
        clash.map_or(Spared::AtALoss, Spared::Clash)
    }

    fn drawn_by(&mut self, gait: Gait, asked: Asked<'_>, targets: &[FindingKey]) -> Spared {
        let count = self.handles.len();
        let free = vec![true; count];
        let mut by_mm = vec![0.0; count];
        let mut looks = Looks::of(self.steps_mm(&by_mm));
        let rounds = if gait == Gait::Onward { ROUNDS_OF_LOOKING } else { ROUNDS };
        for _ in 0..rounds {
            if self.judge.effort().is_spent() {
                return Spared::AtALoss;
            }
            // First of all it is asked whether they hold as they are.
            let moved = self.as_moved(&by_mm);
            if let Some(layout) = drawn(self.layout, &moved)
                && moved.iter().all(|moved| moved.handle.is_drawable(&layout))
                && self.hold_on(&layout, asked.members(), targets)
            {
                return Spared::Drawn(moved);
            }
            let steps_mm = if gait == Gait::Onward { looks.steps_mm.clone() } else { self.steps_mm(&by_mm) };
            let lines = self.lines_of(asked, &by_mm, &steps_mm);
            let program = self.program(&lines, &by_mm, targets, asked);
            let (program, from) = match gait {
                Gait::Onward => (program.onward_from(&by_mm), by_mm.clone()),
                Gait::Few | Gait::All => (program, vec![0.0; count]),
            };
            let found = program.least(&free);
            let holds = found.is_some();
            let step = match (found, gait) {
                (Some(found), Gait::Few) => program.with_fewest(&mut free.clone(), found).by_mm,
                (Some(found), Gait::All | Gait::Onward) => found.by_mm,
                (None, _) => program.nearest(),
            };
            let next: Vec<f64> = step.iter().zip(&from).map(|(step, from)| step + from).collect();
            if gait == Gait::Onward && looks.turn(&by_mm, &next) {
                continue;
            }
            if next.iter().zip(&by_mm).all(|(a, b)| (a - b).abs() <= HELD_WITHIN) {
                let clash = if holds { None } else { program.conflict() };
                return clash.map_or(Spared::AtALoss, |clash| Spared::Clash(self.named(clash)));
            }
            looks = Looks::of(looks.steps_mm);
            by_mm = next;
        }
        Spared::AtALoss
    }

    /// The lines of what is asked for alone.
    fn lines_of(&self, asked: Asked<'_>, by_mm: &[f64], steps_mm: &[f64]) -> Lines {
        let rule = |row: &RowOf| match row {
            RowOf::Demand(Demand::Rule(key)) => Some(key.rule),
            _ => None,
        };
        let rules: Vec<&str> = asked.members().filter_map(rule).collect();
        self.lines(by_mm, &vec![true; by_mm.len()], steps_mm, &self.judge.only(&rules))
    }

    fn as_moved(&self, by_mm: &[f64]) -> Vec<Moved> {
        let moves = self.handles.iter().zip(by_mm).filter(|(_, by)| by.abs() > STILL_MM);
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
            RowOf::End(..) | RowOf::Edge(..) => true,
        })
    }
}

/// The layout with everything moved; `None` when something cannot be.
pub(super) fn drawn(layout: &Layout, moved: &[Moved]) -> Option<Layout> {
    moved.iter().try_fold(layout.clone(), |layout, moved| carry_out(&layout, &moved.handle, moved.by_mm))
}
