//! How far a stretch of pipe goes on across joints under the same cover: where one run ends and the next begins tells the
//! frost nothing.

use foldhash::HashMap;

use super::stretch::Stretch;
use crate::measure::Site;

/// The stretches of the pipes in one air, by run.
pub(super) struct JoinedStretches<'s> {
    site: &'s Site<'s>,
    of_run: HashMap<usize, &'s [Stretch]>,
}

/// A place by which a way leaves a stretch: how far along its run, and how far it goes on from there, mm.
struct Exit {
    at_mm: f64,
    beyond_mm: f64,
}

impl<'s> JoinedStretches<'s> {
    pub(super) fn of(site: &'s Site<'s>, of_run: impl Iterator<Item = (usize, &'s [Stretch])>) -> Self {
        Self { site, of_run: of_run.collect() }
    }

    /// Whether a way along pipes that takes in some of a stretch of a run, all of it under the same cover, is so long, mm.
    pub(super) fn is_as_long_as(&self, least_mm: f64, run: usize, stretch: &Stretch) -> bool {
        if stretch.length_mm() >= least_mm {
            return true;
        }
        let exits = self.exits(run, stretch, &[run], least_mm);
        exits.iter().enumerate().any(|(number, first)| {
            let length_mm = |second: &Exit| (second.at_mm - first.at_mm).abs() + first.beyond_mm + second.beyond_mm;
            exits[..number].iter().any(|second| second.at_mm != first.at_mm && length_mm(second) >= least_mm)
        })
    }

    /// The ends of a stretch, and where others of the same cover join it; runs that were seen are not entered again, and
    /// nothing is followed further than matters.
    fn exits(&self, run: usize, stretch: &Stretch, seen: &[usize], least_mm: f64) -> Vec<Exit> {
        let joints = self.site.joints(run).iter();
        let joints = joints.filter(|joint| stretch.holds(joint.at_mm) && !seen.contains(&joint.other));
        let beyond = joints.filter_map(|joint| {
            let stretches = self.of_run.get(&joint.other)?.iter();
            let own = stretches.filter(|other| other.is_covered_like(stretch) && other.holds(joint.other_at_mm));
            let seen: Vec<usize> = seen.iter().copied().chain([joint.other]).collect();
            let onward = own.map(|other| self.onward_mm((joint.other, other), joint.other_at_mm, &seen, least_mm));
            Some(Exit { at_mm: joint.at_mm, beyond_mm: onward.reduce(f64::max)? })
        });
        let ends = [stretch.from_mm, stretch.to_mm].map(|at_mm| Exit { at_mm, beyond_mm: 0.0 });
        ends.into_iter().chain(beyond).collect()
    }

    /// How far a way goes on from a place on a stretch, mm.
    fn onward_mm(&self, (run, stretch): (usize, &Stretch), at_mm: f64, seen: &[usize], least_mm: f64) -> f64 {
        let own_mm = (stretch.to_mm - at_mm).max(at_mm - stretch.from_mm);
        if own_mm >= least_mm {
            return own_mm;
        }
        let exits = self.exits(run, stretch, seen, least_mm).into_iter();
        exits.map(|exit| (exit.at_mm - at_mm).abs() + exit.beyond_mm).fold(own_mm, f64::max)
    }
}
