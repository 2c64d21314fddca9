//! Keeps valves, lagging and tees where they are on a run when an edit bends or stretches it.

use std::collections::HashMap;

use super::{End, Id, Layout, Traces, WhichEnd};
use crate::geom::Polyline;
use crate::units::Length;

/// Slides what sits on runs along with the bends of the runs that an edit has moved.
///
/// Each thing keeps its distance from the nearer end of the straight stretch that it sits on: a valve below the cistern
/// stays below it, and a drain cock at the foot of a pipe stays at its foot, however long the pipe between becomes.
/// Runs whose fittings the edit itself has changed, or whose number of bends, are left as the edit has them.
pub(super) fn keep_in_place(before: &Layout, after: &mut Layout) {
    let old_lines = Traces::of(before);
    let old_numbers: HashMap<&Id, usize> = before.runs.iter().enumerate().map(|(n, run)| (&run.id, n)).collect();
    slide_tees(after, &old_lines, &old_numbers);
    let new_lines = Traces::of(after);
    for (number, run) in after.runs.iter_mut().enumerate() {
        let Some(&old_number) = old_numbers.get(&run.id) else { continue };
        let old = &before.runs[old_number];
        let Some(stretch) = Stretch::between(old_lines.line(old_number), new_lines.line(number)) else { continue };
        if run.fittings == old.fittings {
            for fitting in run.fittings.iter_mut().flatten() {
                fitting.at = stretch.slide(fitting.at);
            }
        }
        if run.insulation == old.insulation {
            for lagging in run.insulation.iter_mut().flatten() {
                lagging.from = stretch.slide(lagging.from);
                lagging.to = stretch.slide(lagging.to);
            }
        }
    }
}

fn slide_tees(after: &mut Layout, old_lines: &Traces, old_numbers: &HashMap<&Id, usize>) {
    let new_lines = Traces::of(after);
    let numbers: HashMap<Id, usize> = after.runs.iter().enumerate().map(|(n, run)| (run.id.clone(), n)).collect();
    for run in &mut after.runs {
        for which in [WhichEnd::From, WhichEnd::To] {
            if let End::Tee(on, at) = run.end_mut(which)
                && let (Some(old), Some(new)) = (old_numbers.get(on), numbers.get(on))
                && let Some(stretch) = Stretch::between(old_lines.line(*old), new_lines.line(*new))
            {
                *at = stretch.slide(*at);
            }
        }
    }
}

/// A run's line before and after it was bent.
struct Stretch<'a> {
    old: &'a [f64],
    new: &'a [f64],
}

impl<'a> Stretch<'a> {
    /// `None` when nothing has changed, or when the lines have not the same number of vertices.
    fn between(old: Option<&'a Polyline>, new: Option<&'a Polyline>) -> Option<Self> {
        let (old, new) = (old?, new?);
        (old != new && old.along().len() == new.along().len()).then_some(Self { old: old.along(), new: new.along() })
    }

    /// Where on the new line stands what stood at a distance along the old.
    fn slide(&self, at: Length) -> Length {
        let at_mm = at.to_mm();
        let last = self.old.len() - 1;
        if at_mm >= self.old[last] {
            return Length::mm(self.new[last] + at_mm - self.old[last]);
        }
        let end = self.old.partition_point(|along| *along <= at_mm).clamp(1, last);
        let (from_start_mm, from_end_mm) = (at_mm - self.old[end - 1], self.old[end] - at_mm);
        let (start_mm, end_mm) = (self.new[end - 1], self.new[end]);
        Length::mm(if from_start_mm <= from_end_mm {
            (start_mm + from_start_mm).min(end_mm)
        } else {
            (end_mm - from_end_mm).max(start_mm)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn things_keep_their_distance_from_the_nearer_bend() {
        let stretch = Stretch { old: &[0.0, 300.0, 2800.0, 3000.0], new: &[0.0, 300.0, 3300.0, 3500.0] };
        let slide = |mm: f64| stretch.slide(Length::mm(mm)).to_mm();
        assert_eq!(slide(100.0), 100.0);
        assert_eq!(slide(500.0), 500.0);
        assert_eq!(slide(2750.0), 3250.0);
        assert_eq!(slide(2900.0), 3400.0);
        assert_eq!(slide(3000.0), 3500.0);
        assert_eq!(slide(3100.0), 3600.0);
    }

    #[test]
    fn a_stretch_that_shrinks_holds_things_within_it() {
        let stretch = Stretch { old: &[0.0, 1000.0, 1100.0], new: &[0.0, 200.0, 300.0] };
        assert_eq!(stretch.slide(Length::mm(400.0)).to_mm(), 200.0);
        assert_eq!(stretch.slide(Length::mm(600.0)).to_mm(), 0.0);
    }
}
