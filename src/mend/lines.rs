//! Readings taken for lines: where each demand stands on a shifted layout, and how far a small shift of each handle
//! takes it.

use std::sync::{Arc, Mutex, PoisonError};

use super::demand::{Demand, Toward};
use super::handle::Handle;
use super::shift::Shifting;
use crate::layout::{Layout, apply};
use crate::rules::InForce;

/// A shift by which the slope of a reading is taken, mm: readings are piecewise linear, so it may be seen with the eye.
const SMALL_MM: f64 = 1.0;
/// So many threads reckon slopes side by side at most; each column is the same whoever reckons it.
const ABREAST: usize = 4;
/// With fewer handles than this a thread takes longer to begin than to end.
const FEWEST_FOR_A_THREAD: usize = 4;
/// Sums of binary fractions leave traces of slopes where there are none.
const NO_SLOPE: f64 = 1e-7;

/// Every demand as a line in the shifts.
pub(super) struct Lines {
    pub clear: Vec<Option<f64>>,
    /// For each handle, how far each demand gains by a millimetre.
    pub slopes: Vec<Vec<f64>>,
}

/// The lines at rest that were worked out last: where nothing has been taken since, the same are asked for again.
#[derive(Default)]
pub(super) struct Rests(Mutex<Vec<Rest>>);

struct Rest {
    layout: Layout,
    handles: Vec<Handle>,
    demands: Vec<Demand>,
    besides: Vec<&'static str>,
    lines: Arc<Lines>,
}

/// So many are remembered: of small things, and of everything.
const REMEMBERED: usize = 2;

impl Rests {
    fn of(&self, shifting: &Shifting<'_>) -> Option<Arc<Lines>> {
        let is_it = |rest: &&Rest| {
            rest.layout == *shifting.layout
                && rest.handles == shifting.handles
                && rest.demands == shifting.sought.demands
                && rest.besides == shifting.besides
        };
        let rests = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        rests.iter().find(is_it).map(|rest| Arc::clone(&rest.lines))
    }

    fn keep(&self, shifting: &Shifting<'_>, lines: &Arc<Lines>) {
        let mut rests = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if rests.len() == REMEMBERED {
            rests.remove(0);
        }
        rests.push(Rest {
            layout: shifting.layout.clone(),
            handles: shifting.handles.clone(),
            demands: shifting.sought.demands.clone(),
            besides: shifting.besides.clone(),
            lines: Arc::clone(lines),
        });
    }
}

impl Lines {
    /// These lines, with those of some demands in place of what was not known of them.
    fn with(&self, more: &Self, is_new: &[bool]) -> Self {
        let choose =
            |number: usize, own: &Vec<f64>, new: &Vec<f64>| if is_new[number] { new[number] } else { own[number] };
        let columns = self.slopes.iter().zip(&more.slopes);
        Self {
            clear: (0..is_new.len())
                .map(|number| if is_new[number] { more.clear[number] } else { self.clear[number] })
                .collect(),
            slopes: columns
                .map(|(own, new)| (0..is_new.len()).map(|number| choose(number, own, new)).collect())
                .collect(),
        }
    }
}

impl Shifting<'_> {
    /// The lines where nothing is moved.
    pub fn rest(&mut self) -> Arc<Lines> {
        if let Some(lines) = self.at_rest.as_ref().filter(|_| self.unlooked.is_empty()) {
            return Arc::clone(lines);
        }
        let unlooked = std::mem::take(&mut self.unlooked);
        let rules = self.judge.watching(&self.besides);
        self.sought.see(self.judge, self.layout, &rules);
        let count = self.handles.len();
        let (still, free) = (vec![0.0; count], vec![true; count]);
        let lines = match (self.at_rest.take(), self.judge.rests().of(self)) {
            (_, Some(lines)) => lines,
            (None, None) => Arc::new(self.lines(&still, &free, &self.steps_mm(&still), &rules)),
            // Only what is newly watched has to be worked out.
            (Some(known), None) => {
                let is_new = |demand: &Demand| matches!(demand, Demand::Rule(key) if unlooked.contains(&key.rule));
                let is_new: Vec<bool> = self.sought.demands.iter().map(is_new).collect();
                let more = self.lines(&still, &free, &self.steps_mm(&still), &self.judge.only(&unlooked));
                Arc::new(known.with(&more, &is_new))
            }
        };
        // What was worked out after everything was spent holds no slopes.
        if !self.judge.effort().is_spent() {
            self.judge.rests().keep(self, &lines);
        }
        self.at_rest = Some(Arc::clone(&lines));
        lines
    }

    /// The step of each handle by which slopes are taken where handles are moved so far: the way that it is
    /// looked at first, where there is room.
    pub fn steps_mm(&self, by_mm: &[f64]) -> Vec<f64> {
        let step = |((by, (back, forth)), first): ((&f64, &(f64, f64)), &Toward)| match first {
            Toward::Forth if by + SMALL_MM <= *forth => SMALL_MM,
            Toward::Back if by - SMALL_MM < *back => SMALL_MM,
            Toward::Forth | Toward::Back => -SMALL_MM,
        };
        by_mm.iter().zip(&self.bounds).zip(&self.looks).map(step).collect()
    }

    /// The lines where handles are moved so far, as they look by a step of each; those that are not free are taken to
    /// move nothing.
    pub fn lines(&self, by_mm: &[f64], free: &[bool], steps_mm: &[f64], rules: &[InForce]) -> Lines {
        let here = self.moved(by_mm);
        let at = |layout: &Layout| self.judge.clearances(layout, rules, &self.sought);
        let clear = at(&here);
        // Asked once, so that all columns are reckoned or none, however many threads there are.
        let spent = self.judge.effort().is_spent();
        let slope = |number: usize| {
            if !free[number] || spent {
                return vec![0.0; clear.len()];
            }
            let by_mm = steps_mm[number];
            let Some(further) = carry_out(&here, &self.handles[number], by_mm) else { return vec![0.0; clear.len()] };
            let gained = at(&further);
            let slope =
                |(now, then): (&Option<f64>, &Option<f64>)| now.zip(*then).map_or(0.0, |(a, b)| (b - a) / by_mm);
            let clean = |slope: f64| if slope.abs() < NO_SLOPE { 0.0 } else { slope };
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
        Lines { clear, slopes }
    }

    /// The layout with everything moved by so much; what cannot be moved stays.
    pub fn moved(&self, by_mm: &[f64]) -> Layout {
        let shifts = self.handles.iter().zip(by_mm).filter(|(_, by)| **by != 0.0);
        shifts.fold(self.layout.clone(), |layout, (handle, by)| carry_out(&layout, handle, *by).unwrap_or(layout))
    }
}

/// The layout with a handle moved; `None` when it cannot be.
pub(super) fn carry_out(layout: &Layout, handle: &Handle, by_mm: f64) -> Option<Layout> {
    apply(layout, &handle.edit(layout, by_mm)?).ok()
}
