//! What water loses where pipes meet: straight on or off at a tee, and in the bend and the change of bore that two of them
//! make.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use foldhash::HashMap;

use super::build::in_square_bends;
use super::meeting::Through;
use super::{Circuit, Fitting, Stretch};
use crate::geom::SAME_PLACE_MM;
use crate::layout::WhichEnd;
use crate::measure::pipe_joints::{JointKind, PipeJoint, PipeLeg};
use crate::num::Ordered;

/// A way of the water from a hole of a cistern.
#[derive(Clone)]
struct Way {
    /// The node of the hole.
    hole: usize,
    /// How long it is, mm.
    length_mm: f64,
}

impl Circuit<'_> {
    /// Adds to the stretches what water loses where pipes meet. It lies on the legs by which water leaves a joint. Where it
    /// comes from is told by the shortest way from each hole of a cistern; where none leads there, or several by unlike legs,
    /// what is straight on is shared by the two legs in line.
    pub(super) fn add_losses_of_joints(&mut self) {
        let nearest = self.nearest_holes();
        for joint in self.site.pipe_joints() {
            let stretches: Vec<Option<usize>> = joint.legs.iter().map(|leg| self.stretch_of(leg)).collect();
            if stretches.iter().all(Option::is_none) {
                continue;
            }
            let comes_by = |leg: &usize| {
                stretches[*leg].is_some_and(|stretch| self.comes_by(stretch, joint.legs[*leg].toward, &nearest))
            };
            let mut coming = (0..joint.legs.len()).filter(comes_by);
            let from = coming.next().filter(|_| coming.next().is_none());
            let of_bores = self.losses_of_bores(&joint, &stretches, from);
            for (leg, fitting, many) in self.losses(&joint, from).into_iter().chain(of_bores) {
                if let Some(stretch) = stretches[leg] {
                    self.stretches[stretch].fittings.push((fitting, many));
                }
            }
        }
    }

    /// What each leg of a joint takes, by its number, and how many of it; by one of them water comes.
    fn losses(&self, joint: &PipeJoint, from: Option<usize>) -> Vec<(usize, Fitting, f64)> {
        let legs = 0..joint.legs.len();
        if joint.is_on_port {
            // The port is one of the legs, and what is teed beside it turns off.
            let teed = legs.filter(|leg| joint.legs[*leg].is_teed(self.site));
            return teed.map(|leg| (leg, Fitting::TeeBranch, 1.0)).collect();
        }
        let leaving = legs.clone().filter(|leg| Some(*leg) != from);
        match (joint.kind(), from) {
            (JointKind::EndToEnd { turns_degrees }, _) => {
                let share = in_square_bends(turns_degrees) / leaving.clone().count() as f64;
                leaving.map(|leg| (leg, Fitting::Bend, share)).collect()
            }
            (JointKind::Tees { .. }, Some(from)) => {
                let ahead = joint.straight_on(from);
                let fitting = |leg| if ahead == Some(leg) { Fitting::TeeThrough } else { Fitting::TeeBranch };
                leaving.map(|leg| (leg, fitting(leg), 1.0)).collect()
            }
            (JointKind::Tees { in_line: Some((a, b)) }, None) => {
                let of =
                    |leg| if leg == a || leg == b { (Fitting::TeeThrough, 0.5) } else { (Fitting::TeeBranch, 1.0) };
                legs.map(|leg| (leg, of(leg).0, of(leg).1)).collect()
            }
            // Whichever two of them water takes, it turns once.
            (JointKind::Tees { in_line: None }, None) => legs.map(|leg| (leg, Fitting::TeeBranch, 0.5)).collect(),
        }
    }

    /// What a change of bore takes where one pipe goes on from the end of another, on the narrower of the two. Where nothing
    /// tells from which side water comes, half of what it takes either way.
    fn losses_of_bores(
        &self,
        joint: &PipeJoint,
        stretches: &[Option<usize>],
        from: Option<usize>,
    ) -> Vec<(usize, Fitting, f64)> {
        let bore_m = |leg: usize| Some(self.stretches[(*stretches.get(leg)?)?].tube?.bore_m);
        let (JointKind::EndToEnd { .. }, Some(first_m), Some(other_m)) = (joint.kind(), bore_m(0), bore_m(1)) else {
            return Vec::new();
        };
        let (narrower, share_of_area) = match first_m < other_m {
            true => (0, (first_m / other_m).powi(2)),
            false => (1, (other_m / first_m).powi(2)),
        };
        let lost = 1.0 - share_of_area;
        if lost <= 0.0 {
            return Vec::new();
        }
        let (narrows, widens) = match from {
            Some(from) if from == narrower => (0.0, 1.0),
            Some(_) => (1.0, 0.0),
            None => (0.5, 0.5),
        };
        vec![(narrower, Fitting::Contraction, narrows * lost), (narrower, Fitting::Enlargement, widens * lost * lost)]
    }

    /// The stretch that begins at a joint toward an end of its run; none where that piece carries no water.
    fn stretch_of(&self, leg: &PipeLeg) -> Option<usize> {
        let end_mm = |stretch: &Stretch| match leg.toward {
            WhichEnd::To => stretch.along_mm.0,
            WhichEnd::From => stretch.along_mm.1,
        };
        let is_before = |stretch: &Stretch| {
            stretch.run < leg.run || (stretch.run == leg.run && end_mm(stretch) < leg.at_mm - 2.0 * SAME_PLACE_MM)
        };
        // Stretches stand in the order of the runs and along them.
        let number = self.stretches.partition_point(is_before);
        let is_it =
            |stretch: &&Stretch| stretch.run == leg.run && (end_mm(stretch) - leg.at_mm).abs() < 2.0 * SAME_PLACE_MM;
        self.stretches.get(number).filter(is_it).map(|_| number)
    }

    /// Whether the shortest way from a hole to an end of a stretch leads through the stretch, which goes on from there toward
    /// an end of its run.
    fn comes_by(&self, stretch: usize, toward: WhichEnd, nearest: &[Vec<Way>]) -> bool {
        let stretch = &self.stretches[stretch];
        let (here, there) = match toward {
            WhichEnd::To => stretch.nodes,
            WhichEnd::From => (stretch.nodes.1, stretch.nodes.0),
        };
        let length_mm = stretch.along_mm.1 - stretch.along_mm.0;
        // Non-return valves let water pass along the run only.
        let passes = !stretch.one_way || toward == WhichEnd::From;
        let leads_through = |way: &Way| {
            let mut before = nearest[there].iter().filter(|before| before.hole == way.hole);
            before.any(|before| before.length_mm + length_mm <= way.length_mm + SAME_PLACE_MM)
        };
        passes && nearest[here].iter().any(leads_through)
    }

    /// By node: the shortest ways of the water from the two holes that are nearest to it, the nearer first (Dijkstra 1959).
    /// Two are enough to know that water comes from more than one side. Through a cylinder or a heater no length is counted.
    fn nearest_holes(&self) -> Vec<Vec<Way>> {
        let mut through_parts: HashMap<usize, Vec<usize>> = HashMap::default();
        for vessel in &self.vessels {
            vessel.arms.iter().for_each(|arm| through_parts.entry(*arm).or_default().extend(&vessel.arms));
        }
        for (cold, hot) in &self.heaters {
            through_parts.entry(*cold).or_default().push(*hot);
        }
        let mut nearest: Vec<Vec<Way>> = vec![Vec::new(); self.node_mm.len()];
        let mut waiting: BinaryHeap<Reverse<(Ordered, usize, usize)>> =
            self.sources.iter().map(|source| Reverse((Ordered(0.0), source.node, source.node))).collect();
        let is_new = |ways: &[Way], hole: usize| ways.len() < 2 && ways.iter().all(|way| way.hole != hole);
        while let Some(Reverse((Ordered(length_mm), node, hole))) = waiting.pop() {
            if !is_new(&nearest[node], hole) {
                continue;
            }
            nearest[node].push(Way { hole, length_mm });
            let passes = |way: &Through<'_>| !way.stretch.one_way || way.stretch.nodes.0 == node;
            let pipes = self.through_pipes(node).filter(passes);
            let pipes = pipes.map(|way| (way.next, way.stretch.along_mm.1 - way.stretch.along_mm.0));
            let parts = through_parts.get(&node).into_iter().flatten().map(|next| (*next, 0.0));
            for (next, further_mm) in pipes.chain(parts) {
                if is_new(&nearest[next], hole) {
                    waiting.push(Reverse((Ordered(length_mm + further_mm), next, hole)));
                }
            }
        }
        nearest
    }
}
