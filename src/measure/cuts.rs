//! Runs cut where something joins them, and which of the cuts are one place.

use foldhash::HashMap;

use super::Site;
use crate::geom::SAME_PLACE_MM;

/// Some runs, cut at their ends and wherever something joins them.
pub(super) struct Cuts {
    /// The run and the place along it of each cut; those of a run one after the other, in order along it.
    pub(super) places: Vec<(usize, f64)>,
    /// Where the places of each run begin and end.
    of_run: HashMap<usize, (usize, usize)>,
}

impl Cuts {
    /// Cuts the runs that take part; one without length has no cuts.
    pub(super) fn of(site: &Site<'_>, takes_part: impl Fn(usize) -> bool) -> Self {
        let mut cuts = Self { places: Vec::new(), of_run: HashMap::default() };
        for run in (0..site.layout().runs.len()).filter(|run| takes_part(*run)) {
            let Some(line) = site.line(run) else { continue };
            let mut along: Vec<f64> = vec![0.0, line.length()];
            along.extend(site.joints(run).iter().map(|joint| joint.at_mm));
            along.sort_by(f64::total_cmp);
            along.dedup_by(|a, b| (*a - *b).abs() < SAME_PLACE_MM);
            let first = cuts.places.len();
            cuts.places.extend(along.into_iter().map(|at_mm| (run, at_mm)));
            cuts.of_run.insert(run, (first, cuts.places.len()));
        }
        cuts
    }

    /// The runs that are cut.
    pub(super) fn runs(&self) -> impl Iterator<Item = usize> + '_ {
        self.of_run.keys().copied()
    }

    /// The number of the cut at a place; none where that run is not cut.
    pub(super) fn number(&self, run: usize, at_mm: f64) -> Option<usize> {
        let (first, end) = *self.of_run.get(&run)?;
        let before = self.places[first..end].partition_point(|(_, along_mm)| *along_mm < at_mm - SAME_PLACE_MM);
        (first + before < end).then_some(first + before)
    }

    /// For each cut the first of those that are one place with it.
    pub(super) fn meeting(&self, site: &Site<'_>) -> Vec<usize> {
        let mut met_by: Vec<Vec<usize>> = vec![Vec::new(); self.places.len()];
        for run in self.runs() {
            for joint in site.joints(run) {
                let cuts = self.number(run, joint.at_mm).zip(self.number(joint.other, joint.other_at_mm));
                if let Some((here, there)) = cuts {
                    met_by[here].push(there);
                }
            }
        }
        one_number_each(&met_by)
    }
}

/// For each place the first of those that meet there.
fn one_number_each(met_by: &[Vec<usize>]) -> Vec<usize> {
    let mut numbers: Vec<Option<usize>> = vec![None; met_by.len()];
    for first in 0..met_by.len() {
        let mut to_follow = vec![first];
        while let Some(place) = to_follow.pop() {
            if numbers[place].is_none() {
                numbers[place] = Some(first);
                to_follow.extend(&met_by[place]);
            }
        }
    }
    numbers.into_iter().flatten().collect()
}
