//! The least shifts that bring readings to where their rules want them, while everything that holds goes on to hold.
//!
//! Readings are very nearly piecewise linear in what can be moved. So each is taken for a line by a small shift of each
//! handle, the least weighted sum of squares is found for the lines, and both are done again from there until it holds.

use super::demand::{Demand, Judge, Toward, broken, demands, spoilt};
use super::handle::Handle;
use super::program::{Clash, Program, RowOf};
use crate::finding::{FindingKey, Findings};
use crate::layout::{Edit, Layout, apply};
use crate::num::Row;
use crate::rules::InForce;

/// A shift by which the slope of a reading is taken, mm: readings are piecewise linear, so it may be seen with the eye.
const SMALL_MM: f64 = 1.0;
/// So many threads reckon slopes side by side at most; each column is the same whoever reckons it.
const ABREAST: usize = 4;
/// With fewer handles than this a thread takes longer to begin than to end.
const FEWEST_FOR_A_THREAD: usize = 4;
/// More rounds than this are a circle.
const ROUNDS: usize = 8;
/// What moves by less than this does not move, mm.
const STILL_MM: f64 = 0.05;
/// A demand counts as held when it is broken by no more than this, in its own unit.
const HELD_WITHIN: f64 = 1e-6;

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

/// What came of it.
pub(super) enum Solved {
    /// It holds; shifts that hang together stand together.
    Held(Vec<Vec<Moved>>),
    /// Of these targets, so many as hold in the lines, no shift clears all: rows of one such conflict.
    Conflict(Conflict),
    /// The lines led it astray.
    GaveUp,
}

/// Rows that cannot hold together, none of which can be spared.
pub(super) struct Conflict {
    /// Each row, and by how much it alone would have to give.
    pub members: Vec<(RowOf, Option<FindingKey>, f64)>,
    pub rows: Vec<Row>,
    pub weights: Vec<f64>,
}

impl Conflict {
    /// Whether the end of a handle is where something was found to be spoilt, and not its own.
    pub fn is_narrowed(&self, handle: &Handle, toward: Toward) -> bool {
        let is_it = |row: &RowOf| matches!(row, RowOf::End(own, way) if own == handle && *way == toward);
        self.members.iter().any(|(row, why, _)| is_it(row) && why.is_some())
    }
}

/// A layout whose targets are to be cleared by shifts.
pub(super) struct Shifting<'a> {
    judge: &'a Judge,
    layout: &'a Layout,
    before: &'a Findings,
    handles: Vec<Handle>,
    costs: Vec<f64>,
    bounds: Vec<(f64, f64)>,
    /// What makes a bound narrower than the handle itself does.
    narrowed: Vec<(usize, Toward, FindingKey)>,
    demands: Vec<Demand>,
    /// Rules that take long to work out, and are watched all the same.
    besides: Vec<&'static str>,
    /// The lines where nothing is moved, as long as nothing is watched anew.
    at_rest: Option<Lines>,
}

/// Every demand as a line in the shifts.
#[derive(Clone)]
struct Lines {
    clear: Vec<Option<f64>>,
    /// For each handle, how far each demand gains by a millimetre.
    slopes: Vec<Vec<f64>>,
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
            narrowed: Vec::new(),
            demands: demands(layout, before),
            besides: Vec::new(),
            at_rest: None,
            handles,
        }
    }

    /// The targets that any handle moves at all.
    pub fn within_reach(&mut self, targets: &[FindingKey]) -> Vec<FindingKey> {
        self.watch(targets.iter().map(|key| key.rule).collect());
        let rules = self.judge.watching(&self.besides);
        let lines = self.rest(&rules);
        let moved = |key: &&FindingKey| {
            let number = self.demands.iter().position(|demand| matches!(demand, Demand::Rule(own) if own == *key));
            number.is_some_and(|number| lines.slopes.iter().any(|slopes| slopes[number].abs() > HELD_WITHIN))
        };
        targets.iter().filter(moved).cloned().collect()
    }

    fn watch(&mut self, rules: Vec<&'static str>) {
        for rule in rules {
            if !self.besides.contains(&rule) {
                self.besides.push(rule);
                self.at_rest = None;
            }
        }
    }

    /// The least shifts that clear all targets.
    pub fn solve(&mut self, targets: &[FindingKey]) -> Solved {
        let count = self.handles.len();
        let mut free = vec![true; count];
        let mut x = vec![0.0; count];
        let mut loosened = false;
        let mut may_hold_fast = true;
        for _ in 0..ROUNDS {
            if self.judge.effort().is_spent() {
                break;
            }
            let rules = self.judge.watching(&self.besides);
            let lines = if x.iter().all(|by| *by == 0.0) { self.rest(&rules) } else { self.lines(&x, &free, &rules) };
            let program = self.program(&lines, &x, targets);
            let Some(found) = program.least(&free) else {
                if free.contains(&false) {
                    // What was held fast for cheapness' sake is let go before anything is given up.
                    free = vec![true; count];
                    x = vec![0.0; count];
                    may_hold_fast = false;
                    continue;
                }
                let nearest = program.nearest();
                let moves_on = nearest.iter().zip(&x).any(|(a, b)| (a - b).abs() > STILL_MM);
                if loosened || !moves_on {
                    return program.conflict().map_or(Solved::GaveUp, |clash| Solved::Conflict(self.named(clash)));
                }
                loosened = true;
                x = nearest;
                continue;
            };
            let found = if may_hold_fast && free.iter().all(|free| *free) {
                program.with_fewest(&mut free, found)
            } else {
                found
            };
            let settled = found.x.iter().zip(&x).all(|(a, b)| (a - b).abs() <= STILL_MM);
            x.clone_from(&found.x);
            let after = self.judge.findings(&self.moved(&x));
            let spoils = spoilt(self.before, &after);
            let left = broken(&after);
            if spoils.is_empty() && !targets.iter().any(|target| left.contains(target)) {
                return Solved::Held(self.grouped(&program.together(&found), &x, targets));
            }
            if !spoils.is_empty() && (settled || !self.lines_tell(&spoils)) && self.learn(&spoils, &x) {
                free = vec![true; count];
                x = vec![0.0; count];
            }
        }
        Solved::GaveUp
    }

    /// Clears a target by one handle alone, tried at where its line says and further off: what holds, not the least. For
    /// where something curved stands in the way, such as the sag of a joist, which comes and goes with the joists.
    pub fn by_one_alone(&mut self, target: &FindingKey) -> Option<Moved> {
        const FURTHER: [f64; 6] = [1.0, 1.15, 1.4, 1.8, 2.5, 3.5];
        self.watch(vec![target.rule]);
        let lines = self.rest(&self.judge.watching(&self.besides));
        let number = self.demands.iter().position(|demand| matches!(demand, Demand::Rule(key) if key == target))?;
        let short = -lines.clear[number]?;
        for (handle, slopes) in self.handles.iter().zip(&lines.slopes) {
            if slopes[number].abs() <= HELD_WITHIN {
                continue;
            }
            let (back_mm, forth_mm) = handle.bounds_mm(self.layout);
            for further in FURTHER {
                if self.judge.effort().is_spent() {
                    return None;
                }
                let by_mm = (short / slopes[number] * further).clamp(back_mm, forth_mm);
                let by_mm = by_mm.signum() * by_mm.abs().ceil();
                let Some(layout) = carry_out(self.layout, handle, by_mm) else { continue };
                let after = self.judge.findings(&layout);
                if spoilt(self.before, &after).is_empty() && !broken(&after).contains(target) {
                    return Some(Moved { handle: handle.clone(), by_mm, least_mm: by_mm });
                }
            }
        }
        None
    }

    /// Whether all of these are demands that the lines hold already, so that the next round sees to them.
    fn lines_tell(&self, spoils: &[FindingKey]) -> bool {
        spoils.iter().all(|key| self.demands.contains(&Demand::Rule(key.clone())) && !self.is_dear(key))
    }

    /// Whether a rule takes long to work out and has not been watched.
    fn is_dear(&self, key: &FindingKey) -> bool {
        !self.judge.watching(&self.besides).iter().any(|rule| rule.rule.id == key.rule)
    }

    /// Takes to heart what a shift has spoilt: watches it from now on, or goes half as far with what spoils it.
    fn learn(&mut self, spoils: &[FindingKey], x: &[f64]) -> bool {
        let unwatched: Vec<&'static str> = (spoils.iter())
            .filter(|key| self.is_dear(key) && self.demands.contains(&Demand::Rule((*key).clone())))
            .map(|key| key.rule)
            .collect();
        if !unwatched.is_empty() {
            self.watch(unwatched);
            return true;
        }
        let moved = (0..x.len()).filter(|number| x[*number].abs() > STILL_MM);
        let spoils_alone = |number: &usize| {
            let mut alone = vec![0.0; x.len()];
            alone[*number] = x[*number];
            !spoilt(self.before, &self.judge.findings(&self.moved(&alone))).is_empty()
        };
        let culprits: Vec<usize> = moved.filter(spoils_alone).collect();
        for number in &culprits {
            let (back, forth) = &mut self.bounds[*number];
            let toward = if x[*number] < 0.0 { Toward::Back } else { Toward::Forth };
            match toward {
                Toward::Back => *back = x[*number] / 2.0,
                Toward::Forth => *forth = x[*number] / 2.0,
            }
            self.narrowed.push((*number, toward, spoils[0].clone()));
        }
        !culprits.is_empty()
    }

    fn rest(&mut self, rules: &[InForce]) -> Lines {
        if self.at_rest.is_none() {
            let count = self.handles.len();
            self.at_rest = Some(self.lines(&vec![0.0; count], &vec![true; count], rules));
        }
        self.at_rest.clone().expect("it has just been made")
    }

    /// The layout with everything moved by so much; what cannot be moved stays.
    fn moved(&self, x: &[f64]) -> Layout {
        let shifts = self.handles.iter().zip(x).filter(|(_, by)| **by != 0.0);
        shifts.fold(self.layout.clone(), |layout, (handle, by)| carry_out(&layout, handle, *by).unwrap_or(layout))
    }

    fn lines(&self, x: &[f64], free: &[bool], rules: &[InForce]) -> Lines {
        let at = |layout: &Layout| {
            let clearances = self.judge.clearances(layout, rules);
            self.demands.iter().map(|demand| clearances.of(demand)).collect::<Vec<_>>()
        };
        let clear = at(&self.moved(x));
        // Asked once, so that all columns are reckoned or none, however many threads there are.
        let spent = self.judge.effort().is_spent();
        let slope = |number: usize| {
            if !free[number] || spent {
                return vec![0.0; self.demands.len()];
            }
            let by_mm = if x[number] + SMALL_MM <= self.bounds[number].1 { SMALL_MM } else { -SMALL_MM };
            let mut further = x.to_vec();
            further[number] += by_mm;
            let gained = at(&self.moved(&further));
            let slope =
                |(now, then): (&Option<f64>, &Option<f64>)| now.zip(*then).map_or(0.0, |(a, b)| (b - a) / by_mm);
            // Sums of binary fractions leave traces of slopes where there are none.
            let clean = |slope: f64| if slope.abs() < 1e-7 { 0.0 } else { slope };
            clear.iter().zip(&gained).map(slope).map(clean).collect()
        };
        let numbers: Vec<usize> = (0..self.handles.len()).collect();
        let slopes = std::thread::scope(|scope| {
            let slope = &slope;
            let share = numbers.len().div_ceil(ABREAST).max(FEWEST_FOR_A_THREAD);
            let columns = move |chunk: &[usize]| chunk.iter().map(|number| slope(*number)).collect::<Vec<_>>();
            let (here, elsewhere) = numbers.split_at(share.min(numbers.len()));
            let begun: Vec<_> = elsewhere.chunks(share).map(|chunk| scope.spawn(move || columns(chunk))).collect();
            let mut slopes = columns(here);
            for thread in begun {
                slopes.extend(thread.join().expect("judging never panics"));
            }
            slopes
        });
        Lines { slopes, clear }
    }

    /// The lines as inequalities in the whole shifts, from rest.
    fn program(&self, lines: &Lines, x: &[f64], targets: &[FindingKey]) -> Program {
        let mut program = Program::new(&self.costs);
        let untouched = broken(self.before);
        for (number, demand) in self.demands.iter().enumerate() {
            let is_target = matches!(demand, Demand::Rule(key) if targets.contains(key));
            // What is broken and is not to be mended need not hold.
            let is_open = matches!(demand, Demand::Rule(key) if untouched.contains(key)) && !is_target;
            let Some(clear) = lines.clear[number].filter(|_| !is_open) else { continue };
            let slopes: Vec<f64> = lines.slopes.iter().map(|slopes| slopes[number]).collect();
            let held_mm = if is_target { 0.0 } else { self.asked_of_kept(number) };
            let reached: f64 = slopes.iter().zip(x).map(|(slope, by)| slope * by).sum();
            program.ask(RowOf::Demand(demand.clone()), is_target, slopes, held_mm - clear + reached);
        }
        for (number, (back, forth)) in self.bounds.iter().enumerate() {
            program.bound(number, &self.handles[number], *back, *forth);
        }
        program
    }

    /// What holds keeps holding; what is short of its bound by a margin, or by a slip of the drawing, gets no shorter.
    fn asked_of_kept(&self, number: usize) -> f64 {
        self.at_rest.as_ref().and_then(|rest| rest.clear[number]).unwrap_or(0.0).min(0.0)
    }

    fn named(&self, clash: Clash) -> Conflict {
        let why = |row: &RowOf| match row {
            RowOf::End(handle, toward) => (self.narrowed.iter())
                .find(|(number, way, _)| self.handles[*number] == *handle && way == toward)
                .map(|(_, _, key)| key.clone()),
            RowOf::Demand(_) => None,
        };
        let members = clash.members.into_iter().map(|(row, gives)| (row.clone(), why(&row), gives)).collect();
        Conflict { members, rows: clash.rows, weights: clash.weights }
    }

    /// Shifts in whole millimetres, away from rest, where that holds as well.
    fn grouped(&self, together: &[Vec<usize>], x: &[f64], targets: &[FindingKey]) -> Vec<Vec<Moved>> {
        let away = |by: f64| if by.abs() <= STILL_MM { 0.0 } else { by.signum() * (by.abs() - 1e-6).ceil() };
        let whole: Vec<f64> =
            x.iter().zip(&self.bounds).map(|(by, (back, forth))| away(*by).clamp(*back, *forth)).collect();
        let after = self.judge.findings(&self.moved(&whole));
        let left = broken(&after);
        let holds = spoilt(self.before, &after).is_empty() && !targets.iter().any(|target| left.contains(target));
        let by = if holds { &whole } else { x };
        let moved =
            |number: &usize| Moved { handle: self.handles[*number].clone(), by_mm: by[*number], least_mm: x[*number] };
        let in_group = |group: &Vec<usize>| group.iter().filter(|number| by[**number] != 0.0).map(moved).collect();
        together.iter().map(in_group).filter(|group: &Vec<Moved>| !group.is_empty()).collect()
    }
}

/// The layout with a handle moved; `None` when it cannot be.
pub(super) fn carry_out(layout: &Layout, handle: &Handle, by_mm: f64) -> Option<Layout> {
    let edit: Edit = handle.edit(layout, by_mm)?;
    apply(layout, &edit).ok()
}
