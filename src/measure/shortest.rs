//! The shortest way of the water through joined runs, also where pipes form rings.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use foldhash::{HashMap, HashSet};

use super::site::Joint;
use super::{Leg, Site};
use crate::layout::Service;
use crate::num::Ordered;

/// A joint by the run that it is on, and its number along that run.
type Stop = (usize, usize);

/// Shortest ways from some places through runs of some services.
pub(super) struct Ways {
    /// Where the ways begin: run, and how far along.
    begin: Vec<(usize, f64)>,
    /// The joints of each run in reach, in order along it.
    joints: HashMap<usize, Vec<Joint>>,
    /// For each joint in reach how long the shortest way to it is, and where it comes from.
    reached: HashMap<Stop, (f64, Before)>,
}

/// Where a way comes from.
#[derive(Clone, Copy)]
enum Before {
    /// It begins on this run, so far along.
    Beginning(f64),
    /// Along the same run, or from the other side of a joint.
    Stop(Stop),
}

impl Ways {
    /// Finds the shortest ways from some places, each told by its run and how far along, through runs of some services;
    /// none from a place on another run (Dijkstra 1959).
    pub(super) fn from(site: &Site<'_>, mut begin: Vec<(usize, f64)>, services: &[Service]) -> Self {
        begin.retain(|(run, _)| site.leads_through(*run, services));
        let mut ways = Self { begin, joints: HashMap::default(), reached: HashMap::default() };
        let mut settled: HashSet<Stop> = HashSet::default();
        let mut waiting: BinaryHeap<Reverse<(Ordered, Stop)>> = BinaryHeap::new();
        for (run, begin_mm) in ways.begin.clone() {
            let stops: Vec<f64> = ways.joints_of(site, run, services).iter().map(|joint| joint.at_mm).collect();
            for (number, at_mm) in stops.into_iter().enumerate() {
                let before = Before::Beginning(begin_mm);
                ways.shorten((run, number), (at_mm - begin_mm).abs(), before, &mut waiting);
            }
        }
        while let Some(Reverse((Ordered(length_mm), stop))) = waiting.pop() {
            if !settled.insert(stop) {
                continue;
            }
            let (run, number) = stop;
            let joints = ways.joints_of(site, run, services);
            let joint = joints[number];
            let beside = [number.checked_sub(1), Some(number + 1)].into_iter().flatten();
            let beside: Vec<(usize, f64)> =
                beside.filter_map(|next| Some((next, (joints.get(next)?.at_mm - joint.at_mm).abs()))).collect();
            for (next, further_mm) in beside {
                ways.shorten((run, next), length_mm + further_mm, Before::Stop(stop), &mut waiting);
            }
            let across = ways.joints_of(site, joint.other, services);
            let other = across.partition_point(|there| there.at_mm < joint.other_at_mm);
            ways.shorten((joint.other, other), length_mm, Before::Stop(stop), &mut waiting);
        }
        ways
    }

    fn joints_of(&mut self, site: &Site<'_>, run: usize, services: &[Service]) -> &[Joint] {
        self.joints.entry(run).or_insert_with(|| {
            let wanted = site.joints(run).iter().filter(|joint| site.leads_through(joint.other, services));
            let mut joints: Vec<Joint> = wanted.copied().collect();
            joints.sort_by(|a, b| a.at_mm.total_cmp(&b.at_mm));
            joints
        })
    }

    fn shorten(
        &mut self,
        stop: Stop,
        length_mm: f64,
        from: Before,
        waiting: &mut BinaryHeap<Reverse<(Ordered, Stop)>>,
    ) {
        if self.reached.get(&stop).is_none_or(|(known_mm, _)| length_mm < *known_mm) {
            self.reached.insert(stop, (length_mm, from));
            waiting.push(Reverse((Ordered(length_mm), stop)));
        }
    }

    /// The shortest way to a distance along a run; `None` when it is out of reach.
    pub(super) fn to(&self, run: usize, to_mm: f64) -> Option<Vec<Leg>> {
        let straight = self.begin.iter().filter(|(begin, _)| *begin == run);
        let straight = straight.map(|(_, at_mm)| ((at_mm - to_mm).abs(), Before::Beginning(*at_mm)));
        let joints = self.joints.get(&run).map_or(&[][..], Vec::as_slice);
        let by_joint = joints.iter().enumerate().filter_map(|(number, joint)| {
            let (length_mm, _) = self.reached.get(&(run, number))?;
            Some((length_mm + (joint.at_mm - to_mm).abs(), Before::Stop((run, number))))
        });
        let (_, mut before) = straight.chain(by_joint).min_by(|a, b| a.0.total_cmp(&b.0))?;
        let mut legs = Vec::new();
        let mut leg = Leg { run, from_mm: to_mm, to_mm };
        loop {
            match before {
                Before::Beginning(at_mm) => {
                    legs.push(Leg { from_mm: at_mm, ..leg });
                    legs.reverse();
                    return Some(legs);
                }
                Before::Stop(stop) => {
                    let at_mm = self.joints[&stop.0][stop.1].at_mm;
                    if stop.0 == leg.run {
                        leg.from_mm = at_mm;
                    } else {
                        legs.push(leg);
                        leg = Leg { run: stop.0, from_mm: at_mm, to_mm: at_mm };
                    }
                    before = self.reached[&stop].1;
                }
            }
        }
    }
}
