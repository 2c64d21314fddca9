//! Runs cut where something joins them, and which of the cuts are one place.

use std::ops::Range;

use super::Site;
use crate::geom::SAME_PLACE_MM;
use crate::num::Union;

/// Some runs, cut at their ends and wherever something joins them.
pub struct Cuts {
    /// The run and the place along it, mm, of each cut; those of a run one after the other, in order along it.
    pub places: Vec<(usize, f64)>,
    /// By run: the numbers of its cuts.
    of_run: Vec<Range<usize>>,
}

/// A piece of a run between two cuts that follow each other.
pub(super) struct Piece {
    /// The run, by its number.
    pub run: usize,
    /// From where to where along it, mm.
    pub along_mm: (f64, f64),
    /// The nodes between which it lies: the numbers of its cuts, until those that are one place are made one.
    pub nodes: (usize, usize),
}

impl Cuts {
    /// Cuts the runs that take part; one without length has no cuts.
    #[must_use]
    pub fn of(site: &Site<'_>, takes_part: impl Fn(usize) -> bool) -> Self {
        let mut cuts = Self { places: Vec::new(), of_run: Vec::new() };
        for run in 0..site.layout().runs.len() {
            let along_mm = if takes_part(run) { cut_at_mm(site, run, []) } else { Vec::new() };
            let first = cuts.places.len();
            cuts.places.extend(along_mm.into_iter().map(|at_mm| (run, at_mm)));
            cuts.of_run.push(first..cuts.places.len());
        }
        cuts
    }

    /// The runs that are cut.
    pub(super) fn runs(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.of_run.len()).filter(|run| !self.of_run[*run].is_empty())
    }

    /// Their pieces.
    pub(super) fn pieces(&self) -> impl Iterator<Item = Piece> + '_ {
        let pairs = self.places.windows(2).enumerate().filter(|(_, pair)| pair[0].0 == pair[1].0);
        pairs.map(|(first, pair)| Piece { run: pair[0].0, along_mm: (pair[0].1, pair[1].1), nodes: (first, first + 1) })
    }

    /// The number of the cut at a place; none where that run is not cut.
    pub(super) fn number(&self, run: usize, at_mm: f64) -> Option<usize> {
        let Range { start, end } = self.of_run[run];
        let before = self.places[start..end].partition_point(|(_, along_mm)| *along_mm < at_mm - SAME_PLACE_MM);
        (start + before < end).then_some(start + before)
    }

    /// The cuts, each together with those that are one place with it.
    pub(super) fn joined(&self, site: &Site<'_>) -> Union {
        let mut joined = Union::of(self.places.len());
        for run in self.runs() {
            for joint in site.joints(run) {
                let here = self.number(run, joint.at_mm);
                if let Some((here, there)) = here.zip(self.number(joint.other, joint.other_at_mm)) {
                    joined.join(here, there);
                }
            }
        }
        joined
    }

    /// For each cut the first of those that are one place with it.
    #[must_use]
    pub fn meeting(&self, site: &Site<'_>) -> Vec<usize> {
        self.joined(site).roots()
    }
}

/// Where a run begins, ends and is met, and some places more, mm along it, in order and each once; nowhere where it has no
/// length.
pub(super) fn cut_at_mm(site: &Site<'_>, run: usize, besides_mm: impl IntoIterator<Item = f64>) -> Vec<f64> {
    let Some(line) = site.line(run) else { return Vec::new() };
    let mut along_mm = vec![0.0, line.length()];
    along_mm.extend(site.joints(run).iter().map(|joint| joint.at_mm));
    along_mm.extend(besides_mm);
    along_mm.sort_by(f64::total_cmp);
    along_mm.dedup_by(|a, b| (*a - *b).abs() < SAME_PLACE_MM);
    along_mm
}
