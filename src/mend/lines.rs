//! Readings taken for lines: where each demand stands on a shifted layout, and how far a small shift of each handle
//! takes it.

use std::sync::Arc;

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

impl Shifting<'_> {
    /// The lines where nothing is moved.
    pub fn rest(&mut self) -> Arc<Lines> {
        if let Some(lines) = &self.at_rest {
            return Arc::clone(lines);
        }
        let rules = self.judge.watching(&self.besides);
        self.sought.see(self.judge, self.layout, &rules);
        let count = self.handles.len();
        let lines = Arc::new(self.lines(&vec![0.0; count], &vec![true; count], &rules));
        self.at_rest = Some(Arc::clone(&lines));
        lines
    }

    /// The lines where handles are moved by `x`; those that are not free are taken to move nothing.
    pub fn lines(&self, x: &[f64], free: &[bool], rules: &[InForce]) -> Lines {
        let here = self.moved(x);
        let at = |layout: &Layout| self.judge.clearances(layout, rules, &self.sought);
        let clear = at(&here);
        // Asked once, so that all columns are reckoned or none, however many threads there are.
        let spent = self.judge.effort().is_spent();
        let slope = |number: usize| {
            if !free[number] || spent {
                return vec![0.0; clear.len()];
            }
            let by_mm = if x[number] + SMALL_MM <= self.bounds[number].1 { SMALL_MM } else { -SMALL_MM };
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
    pub fn moved(&self, x: &[f64]) -> Layout {
        let shifts = self.handles.iter().zip(x).filter(|(_, by)| **by != 0.0);
        shifts.fold(self.layout.clone(), |layout, (handle, by)| carry_out(&layout, handle, *by).unwrap_or(layout))
    }
}

/// The layout with a handle moved; `None` when it cannot be.
pub(super) fn carry_out(layout: &Layout, handle: &Handle, by_mm: f64) -> Option<Layout> {
    apply(layout, &handle.edit(layout, by_mm)?).ok()
}
