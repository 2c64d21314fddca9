//! The least shifts that bring readings to where their rules want them, while everything that holds goes on to hold.
//!
//! Readings are very nearly piecewise linear in what can be moved. So each is taken for a line by a small shift of each
//! handle, the least weighted sum of squares is found for the lines, and both are done again from there until it holds.

use std::sync::Arc;

use super::Consent;
use super::demand::{Demand, Fact, Judge, Sought, Toward, broken, clear_of, demands, is_broken, spoilt};
use super::handle::{FLOAT_ARM_MM, Handle};
use super::lines::{Lines, carry_out};
use super::overlaid::lays_over;
use super::program::{Clash, Program, RowOf};
use super::reach::ANYWHERE_MM;
use crate::finding::{FindingKey, Findings};
use crate::layout::{Id, Layout, Lock};
use crate::measure::Site;
use crate::num::Row;

/// More rounds than this are a circle.
pub(super) const ROUNDS: usize = 8;
/// What moves by less than this does not move, mm.
pub(super) const STILL_MM: f64 = 0.05;
/// A dimension that is held may come out different by so much, mm: what a lock takes for the same.
const SAME_MM: f64 = 1e-3;
/// A demand counts as held when it is broken by no more than this, in its own unit.
pub(super) const HELD_WITHIN: f64 = 1e-6;

/// A handle, and how far it is moved.
#[derive(Debug, Clone, PartialEq)]
pub struct Moved {
    /// What is moved.
    pub handle: Handle,
    /// By how much, in whole millimetres where that holds as well, mm.
    pub by_mm: f64,
    /// The least that holds, of all that moves together; the same where it was found by trying further off, mm.
    pub least_mm: f64,
}

impl Moved {
    /// Whom it has to be put to: a water line that is lowered far gives away more of the store than anybody would unasked.
    #[must_use]
    pub fn consent(&self) -> Consent {
        match self.handle {
            Handle::WaterLine(_) if self.by_mm < -FLOAT_ARM_MM => Consent::NeedsDecision,
            _ => self.handle.consent(),
        }
    }
}

/// What came of it.
pub(super) enum Solved {
    /// It holds; shifts that hang together stand together.
    Held(Vec<Vec<Moved>>),
    /// Of these targets, so many as hold in the lines, no shift clears all: rows of one such conflict.
    Conflict(Conflict),
    /// The lines led it astray.
    GaveUp,
}

/// A row of a conflict, why it is there where it is the end of a handle, and by how much it alone would have to give.
pub(super) type Limiting = (RowOf, Option<Nearer>, f64);

/// Rows that cannot hold together, none of which can be spared.
pub(super) struct Conflict {
    pub members: Vec<Limiting>,
    pub rows: Vec<Row>,
    pub weights: Vec<f64>,
}

/// Why a handle ends nearer than its own end.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Nearer {
    /// Further off it was found to spoil this.
    Spoils(FindingKey),
    /// This part is to stay as it is.
    Kept(Id),
}

/// A layout whose targets are to be cleared by shifts.
pub(super) struct Shifting<'a> {
    pub(super) judge: &'a Judge,
    pub(super) layout: &'a Layout,
    pub(super) before: &'a Findings,
    pub(super) handles: Vec<Handle>,
    costs: Vec<f64>,
    pub(super) bounds: Vec<(f64, f64)>,
    /// Which way each handle is looked at first.
    pub(super) looks: Vec<Toward>,
    /// What makes a bound narrower than the handle itself does.
    nearer: Vec<(usize, Toward, Nearer)>,
    pub(super) sought: Sought,
    /// Rules that take long to work out, and are watched all the same.
    pub(super) besides: Vec<&'static str>,
    /// Those of them that the lines at rest do not tell of yet.
    pub(super) unlooked: Vec<&'static str>,
    /// The lines where nothing is moved.
    pub(super) at_rest: Option<Arc<Lines>>,
}

/// How shifts are rounded: so many steps to a millimetre, and which way.
type Rounding = (f64, fn(f64) -> f64);

/// The coarsest and farthest from rest first.
const ROUNDINGS: [Rounding; 5] =
    [(1.0, f64::ceil), (1.0, f64::round), (10.0, f64::ceil), (10.0, f64::round), (1000.0, f64::round)];

/// A shift in whole steps; one that only stands for rest is none.
fn round_shift(by_mm: f64, per_mm: f64, round: fn(f64) -> f64) -> f64 {
    if by_mm.abs() <= STILL_MM { 0.0 } else { by_mm.signum() * round((by_mm.abs() - 1e-6) * per_mm) / per_mm }
}

/// Which of the rows a round asks for.
#[derive(Clone, Copy)]
pub(super) enum Asked<'a> {
    /// The targets, that all else that holds goes on to hold, and all ends.
    Everything,
    /// The members of a conflict but one, and ends.
    Members(&'a [RowOf], Option<usize>, Ends),
}

/// Which ends of handles are kept where only the members of a conflict are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ends {
    /// All, but for the member that is spared.
    Usual,
    /// Those that are members; everything else goes as far as it can be drawn as things stand.
    OfMembers,
    /// The same; everything else goes anywhere, and what comes of it has to be such as can be drawn.
    OfMembersAtLast,
}

/// What becomes of an end of a handle.
#[derive(Clone, Copy)]
enum EndIs {
    Kept,
    /// It is the member that is spared.
    Spared,
    /// It is no member.
    Passed,
}

impl Asked<'_> {
    fn has(self, demand: &Demand) -> bool {
        let is_it = |row: &RowOf| matches!(row, RowOf::Demand(own) if own == demand);
        match self {
            Self::Everything => true,
            Self::Members(members, but, _) => {
                members.iter().enumerate().any(|(number, row)| but != Some(number) && is_it(row))
            }
        }
    }

    /// The members that are asked for.
    pub fn members(&self) -> impl Iterator<Item = &RowOf> {
        let (members, but) = match *self {
            Self::Everything => (&[][..], None),
            Self::Members(members, but, _) => (members, but),
        };
        members.iter().enumerate().filter(move |(number, _)| but != Some(*number)).map(|(_, row)| row)
    }

    const fn goes_anywhere(self) -> bool {
        matches!(self, Self::Members(_, _, Ends::OfMembersAtLast))
    }

    /// What becomes of an end of a handle.
    fn end(self, handle: &Handle, toward: Toward) -> EndIs {
        let Self::Members(members, but, ends) = self else { return EndIs::Kept };
        let is_it = |row: &RowOf| matches!(row, RowOf::End(own, way) if own == handle && *way == toward);
        match members.iter().position(is_it) {
            Some(number) if but == Some(number) => EndIs::Spared,
            Some(_) => EndIs::Kept,
            None if ends == Ends::Usual => EndIs::Kept,
            None => EndIs::Passed,
        }
    }
}

impl<'a> Shifting<'a> {
    pub fn new(judge: &'a Judge, layout: &'a Layout, before: &'a Findings, handles: &[Handle]) -> Self {
        let bounds = |handle: &Handle| handle.bounds_mm(layout);
        let moves = |handle: &&Handle| bounds(handle) != (0.0, 0.0);
        let handles: Vec<Handle> = handles.iter().filter(moves).cloned().collect();
        Self {
            judge,
            layout,
            before,
            costs: handles.iter().map(|handle| handle.cost_per_mm(layout)).collect(),
            bounds: handles.iter().map(bounds).collect(),
            looks: handles.iter().map(|handle| handle.first_looked(layout)).collect(),
            nearer: Vec::new(),
            sought: Sought::new(demands(layout, before)),
            besides: Vec::new(),
            unlooked: Vec::new(),
            at_rest: None,
            handles,
        }
    }

    /// Holds dimensions and keeps parts by rows instead of by leaving their handles out, so that they can be told when
    /// they are what is in the way. The layout itself holds nothing.
    pub fn holding(mut self, locks: &[Lock], kept: &[Id]) -> Self {
        let both = |lock: &Lock| [Toward::Back, Toward::Forth].map(|way| Demand::Fact(Fact::Held(lock.clone(), way)));
        let held = locks.iter().flat_map(both);
        self.sought = Sought::new(self.sought.demands.into_iter().chain(held).collect());
        for (number, handle) in self.handles.iter().enumerate() {
            if let Some(id) = kept.iter().find(|id| handle.moves(self.layout, id)) {
                self.bounds[number] = (0.0, 0.0);
                let kept = |way| (number, way, Nearer::Kept(id.clone()));
                self.nearer.extend([Toward::Back, Toward::Forth].map(kept));
            }
        }
        self
    }

    /// The targets that any handle moves at all.
    pub fn within_reach(&mut self, targets: &[FindingKey]) -> Vec<FindingKey> {
        self.watch(targets.iter().map(|key| key.rule).collect());
        let lines = self.rest();
        let moved = |key: &&FindingKey| {
            let number = self.sought.number_of(key);
            number.is_some_and(|number| lines.slopes.iter().any(|slopes| slopes[number].abs() > HELD_WITHIN))
        };
        targets.iter().filter(moved).cloned().collect()
    }

    fn watch(&mut self, rules: Vec<&'static str>) {
        for rule in rules {
            if !self.judge.is_watched(rule, &self.besides) {
                self.besides.push(rule);
                self.unlooked.push(rule);
            }
        }
    }

    /// The lines where handles are moved so far.
    pub fn lines_at(&mut self, by_mm: &[f64], free: &[bool]) -> Arc<Lines> {
        if by_mm.iter().all(|by| *by == 0.0) {
            return self.rest();
        }
        Arc::new(self.lines(by_mm, free, &self.steps_mm(by_mm), &self.judge.watching(&self.besides)))
    }

    /// The least shifts that clear all targets.
    pub fn solve(&mut self, targets: &[FindingKey]) -> Solved {
        let count = self.handles.len();
        let mut free = vec![true; count];
        let mut by_mm = vec![0.0; count];
        let mut loosened = false;
        let mut may_hold_fast = true;
        for _ in 0..ROUNDS {
            if self.judge.effort().is_spent() {
                break;
            }
            let lines = self.lines_at(&by_mm, &free);
            let program = self.program(&lines, &by_mm, targets, Asked::Everything);
            let Some(found) = program.least(&free) else {
                if free.contains(&false) {
                    // What was held fast for cheapness' sake is let go before anything is given up.
                    free = vec![true; count];
                    by_mm = vec![0.0; count];
                    may_hold_fast = false;
                    continue;
                }
                let nearest = program.nearest();
                let moves_on = nearest.iter().zip(&by_mm).any(|(a, b)| (a - b).abs() > STILL_MM);
                if loosened || !moves_on {
                    return program.conflict().map_or(Solved::GaveUp, |clash| Solved::Conflict(self.named(clash)));
                }
                loosened = true;
                by_mm = nearest;
                continue;
            };
            let found = if may_hold_fast && free.iter().all(|free| *free) {
                program.with_fewest(&mut free, found)
            } else {
                found
            };
            let settled = found.by_mm.iter().zip(&by_mm).all(|(a, b)| (a - b).abs() <= STILL_MM);
            by_mm.clone_from(&found.by_mm);
            let layout = self.moved(&by_mm);
            let after = self.judge.findings(&layout);
            let spoils = spoilt(self.before, &after);
            let is_cleared = !targets.iter().any(|target| is_broken(&after, target));
            if spoils.is_empty() && is_cleared && self.leaves_room(&layout) {
                return Solved::Held(match self.stepped_aside(&by_mm, targets) {
                    // What has gone further for the sake of another is taken with it or not at all.
                    Some(aside) => self.grouped(&[(0..count).collect()], &aside, targets),
                    None => self.grouped(&program.together(&found), &by_mm, targets),
                });
            }
            if !spoils.is_empty() && (settled || !self.lines_tell(&spoils)) && self.learn(&spoils, &by_mm) {
                free = vec![true; count];
                by_mm = vec![0.0; count];
            }
        }
        Solved::GaveUp
    }

    /// Clears a target by one handle alone, tried at where its line says and further off: what holds, not the least. For
    /// where something curved stands in the way, such as the sag of a joist, which comes and goes with the joists.
    pub fn by_one_alone(&mut self, target: &FindingKey) -> Option<Moved> {
        const FURTHER: [f64; 6] = [1.0, 1.15, 1.4, 1.8, 2.5, 3.5];
        self.watch(vec![target.rule]);
        let lines = self.rest();
        let number = self.sought.number_of(target)?;
        let short = -lines.clear[number]?;
        let mut laid_over = None;
        for (handle, slopes) in self.handles.iter().zip(&lines.slopes) {
            if slopes[number].abs() <= HELD_WITHIN {
                continue;
            }
            let (back_mm, forth_mm) = handle.bounds_mm(self.layout);
            for further in FURTHER {
                if self.judge.effort().is_spent() {
                    return laid_over;
                }
                let by_mm = (short / slopes[number] * further).clamp(back_mm, forth_mm);
                let by_mm = by_mm.signum() * by_mm.abs().ceil();
                let Some(layout) = carry_out(self.layout, handle, by_mm) else { continue };
                let after = self.judge.findings(&layout);
                let is_cleared = !is_broken(&after, target) && self.leaves_room(&layout);
                if is_cleared && spoilt(self.before, &after).is_empty() {
                    let moved = Moved { handle: handle.clone(), by_mm, least_mm: by_mm };
                    if !lays_over(self.layout, &layout) {
                        return Some(moved);
                    }
                    laid_over.get_or_insert(moved);
                }
            }
        }
        laid_over
    }

    /// Whether all of these are demands that the lines hold already, so that the next round sees to them.
    fn lines_tell(&self, spoils: &[FindingKey]) -> bool {
        spoils.iter().all(|key| self.sought.number_of(key).is_some() && !self.is_dear(key))
    }

    /// Whether a rule takes long to work out and has not been watched.
    fn is_dear(&self, key: &FindingKey) -> bool {
        !self.judge.is_watched(key.rule, &self.besides)
    }

    /// Takes to heart what a shift has spoilt: watches it from now on, or goes half as far with what spoils it.
    fn learn(&mut self, spoils: &[FindingKey], by_mm: &[f64]) -> bool {
        let unwatched: Vec<&'static str> = (spoils.iter())
            .filter(|key| self.is_dear(key) && self.sought.number_of(key).is_some())
            .map(|key| key.rule)
            .collect();
        if !unwatched.is_empty() {
            self.watch(unwatched);
            return true;
        }
        let moved = (0..by_mm.len()).filter(|number| by_mm[*number].abs() > STILL_MM);
        let spoils_alone = |number: &usize| {
            let mut alone = vec![0.0; by_mm.len()];
            alone[*number] = by_mm[*number];
            !spoilt(self.before, &self.judge.findings(&self.moved(&alone))).is_empty()
        };
        let culprits: Vec<usize> = moved.filter(spoils_alone).collect();
        for number in &culprits {
            let (back, forth) = &mut self.bounds[*number];
            let toward = if by_mm[*number] < 0.0 { Toward::Back } else { Toward::Forth };
            match toward {
                Toward::Back => *back = by_mm[*number] / 2.0,
                Toward::Forth => *forth = by_mm[*number] / 2.0,
            }
            self.nearer.push((*number, toward, Nearer::Spoils(spoils[0].clone())));
        }
        !culprits.is_empty()
    }

    /// The lines as inequalities in the whole shifts, from rest.
    pub fn program(&self, lines: &Lines, by_mm: &[f64], targets: &[FindingKey], asked: Asked<'_>) -> Program {
        let mut program = Program::new(&self.costs);
        let untouched = broken(self.before);
        for (number, demand) in self.sought.demands.iter().enumerate() {
            let is_target = matches!(demand, Demand::Rule(key) if targets.contains(key));
            // What is broken and is not to be mended need not hold.
            let is_open = matches!(demand, Demand::Rule(key) if untouched.contains(key)) && !is_target;
            let Some(clear) = lines.clear[number].filter(|_| !is_open && asked.has(demand)) else { continue };
            let slopes: Vec<f64> = lines.slopes.iter().map(|slopes| slopes[number]).collect();
            let reached: f64 = slopes.iter().zip(by_mm).map(|(slope, by)| slope * by).sum();
            let of = RowOf::Demand(demand.clone());
            if is_target {
                program.mend(of, slopes, reached - clear);
            } else {
                program.keep(of, slopes, self.asked_of_kept(number) - clear + reached);
            }
        }
        for (number, handle) in self.handles.iter().enumerate() {
            for toward in [Toward::Back, Toward::Forth] {
                let (of, end_mm) = self.end(number, handle, toward, asked);
                program.end(number, of, toward, end_mm);
            }
        }
        program
    }

    /// Where a handle ends, mm. Beyond its end what ended nearer goes on to its own end, and all else as far as it can be
    /// drawn; parts that are to stay do not.
    fn end(&self, number: usize, handle: &Handle, toward: Toward, asked: Asked<'_>) -> (RowOf, f64) {
        let of = |(back, forth): (f64, f64)| match toward {
            Toward::Back => back,
            Toward::Forth => forth,
        };
        let end = RowOf::End(handle.clone(), toward);
        let edge = RowOf::Edge(handle.clone(), toward);
        match (asked.end(handle, toward), self.nearer_of(number, toward)) {
            (EndIs::Spared, Some(_)) => (end, of(handle.bounds_mm(self.layout))),
            (EndIs::Kept, _) | (EndIs::Passed, Some(_)) => (end, of(self.bounds[number])),
            (EndIs::Spared | EndIs::Passed, None) if asked.goes_anywhere() => (edge, of((-ANYWHERE_MM, ANYWHERE_MM))),
            (EndIs::Spared | EndIs::Passed, None) => (edge, of(handle.drawable_mm(self.layout))),
        }
    }

    fn nearer_of(&self, number: usize, toward: Toward) -> Option<&Nearer> {
        self.nearer.iter().find(|(own, way, _)| *own == number && *way == toward).map(|(_, _, nearer)| nearer)
    }

    /// What holds keeps holding; what is short of its bound by a margin, or by a slip of the drawing, gets no shorter.
    /// What is held stays where it is.
    pub fn asked_of_kept(&self, number: usize) -> f64 {
        let at_rest = self.at_rest.as_ref().and_then(|rest| rest.clear[number]).unwrap_or(0.0);
        match self.sought.demands[number] {
            Demand::Fact(Fact::Held(..)) => at_rest,
            _ => at_rest.min(0.0),
        }
    }

    /// Whether the house, and what is held, leave room on a shifted layout.
    pub(super) fn leaves_room(&self, layout: &Layout) -> bool {
        let site = Site::of(layout);
        self.sought.demands.iter().enumerate().all(|(number, demand)| match demand {
            Demand::Fact(fact) => self.stays(number, fact, &site),
            Demand::Rule(_) => true,
        })
    }

    /// Whether one fact does, by its number among the demands.
    pub fn stays(&self, number: usize, fact: &Fact, site: &Site<'_>) -> bool {
        let within = if matches!(fact, Fact::Held(..)) { SAME_MM } else { HELD_WITHIN };
        clear_of(fact, site).is_none_or(|clear| clear >= self.asked_of_kept(number) - within)
    }

    pub fn named(&self, clash: Clash) -> Conflict {
        let why = |row: &RowOf| match row {
            RowOf::End(handle, toward) => {
                let number = self.handles.iter().position(|own| own == handle)?;
                self.nearer_of(number, *toward).cloned()
            }
            RowOf::Demand(_) | RowOf::Edge(..) => None,
        };
        let members = clash.members.into_iter().map(|(row, gives)| (row.clone(), why(&row), gives)).collect();
        Conflict { members, rows: clash.rows, weights: clash.weights }
    }

    /// Shifts in whole millimetres, or in tenths, where that holds as well: nobody cuts a pipe finer.
    fn grouped(&self, together: &[Vec<usize>], by_mm: &[f64], targets: &[FindingKey]) -> Vec<Vec<Moved>> {
        let lays_over = |by_mm: &[f64]| lays_over(self.layout, &self.moved(by_mm));
        let is_clear = !lays_over(by_mm);
        let holds = |by_mm: &Vec<f64>| self.holds_at(by_mm, targets) && !(is_clear && lays_over(by_mm));
        let rounded = |(per_mm, round): Rounding| {
            let all = by_mm.iter().zip(&self.bounds);
            all.map(|(by, (back, forth))| round_shift(*by, per_mm, round).clamp(*back, *forth)).collect()
        };
        let by = &ROUNDINGS.into_iter().map(rounded).find(holds).unwrap_or_else(|| by_mm.to_vec());
        let moved = |number: &usize| Moved {
            handle: self.handles[*number].clone(),
            by_mm: by[*number],
            least_mm: by_mm[*number],
        };
        let in_group = |group: &Vec<usize>| group.iter().filter(|number| by[**number] != 0.0).map(moved).collect();
        together.iter().map(in_group).filter(|group: &Vec<Moved>| !group.is_empty()).collect()
    }
}
