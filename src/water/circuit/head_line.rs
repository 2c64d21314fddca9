//! The line of heads along the way from a cistern to a tap: how much of the height is left at each place.

use super::meeting::Through;
use super::{Circuit, Flows, Tap};

/// A place on the way of the water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeadAt {
    /// From the cistern along the pipes, m.
    pub along_m: f64,
    /// Height of the pipe above the datum, m.
    pub pipe_m: f64,
    /// Level to which water would rise in an open tube here, m above the datum.
    pub head_m: f64,
}

/// Where two stretches meet, their ends are this near to each other, whatever is rounded, m.
const SAME_PLACE_M: f64 = 1e-6;

impl HeadAt {
    fn is_at(&self, other: &Self) -> bool {
        let apart_m = [self.along_m - other.along_m, self.pipe_m - other.pipe_m, self.head_m - other.head_m];
        apart_m.into_iter().all(|apart_m| apart_m.abs() < SAME_PLACE_M)
    }
}

impl Circuit<'_> {
    /// The heads along the way with the fewest joints from a cistern to a tap, the hot side of a mixer. Empty where no
    /// way leads there or nothing is reckoned.
    #[must_use]
    pub fn head_line(&self, tap: &Tap<'_>, flows: &Flows) -> Vec<HeadAt> {
        let Some(target) = tap.nodes().first().copied() else { return Vec::new() };
        let mut line: Vec<HeadAt> = Vec::new();
        let mut along_m = 0.0;
        for step in self.way_to(target) {
            let Step::Stretch { number, forward } = step else { continue };
            let (stretch, Some(flow)) = (&self.stretches[number], &flows.stretches[number]) else { return Vec::new() };
            let (first, last) = if forward { (flow.head_m.0, flow.head_m.1) } else { (flow.head_m.1, flow.head_m.0) };
            let (from, to) = if forward { stretch.nodes } else { (stretch.nodes.1, stretch.nodes.0) };
            let Some(run) = self.site.line(stretch.run) else { return Vec::new() };
            let mut points = run.between(stretch.along_mm.0, stretch.along_mm.1);
            if !forward {
                points.reverse();
            }
            let whole_m = (stretch.along_mm.1 - stretch.along_mm.0) / 1000.0;
            let (first_m, last_m) = (self.node_mm[from] / 1000.0 + first, self.node_mm[to] / 1000.0 + last);
            let mut gone_m = 0.0;
            for (number, point) in points.iter().enumerate() {
                if number > 0 {
                    gone_m += point.distance(points[number - 1]) / 1000.0;
                }
                // Along one stretch the head falls evenly.
                let head_m = first_m + (last_m - first_m) * gone_m / whole_m;
                let place = HeadAt { along_m: along_m + gone_m, pipe_m: point.y / 1000.0, head_m };
                if line.last().is_none_or(|last| !last.is_at(&place)) {
                    line.push(place);
                }
            }
            along_m += whole_m;
        }
        line
    }

    /// The steps from a cistern to a node, found outward from the node.
    fn way_to(&self, target: usize) -> Vec<Step> {
        let mut onward: Vec<Option<(usize, Step)>> = vec![None; self.node_mm.len()];
        let mut seen = vec![false; self.node_mm.len()];
        let mut queue = std::collections::VecDeque::from([target]);
        seen[target] = true;
        while let Some(node) = queue.pop_front() {
            if self.is_source(node) {
                return steps_from(node, &onward);
            }
            for (next, step) in self.steps_into(node) {
                if !std::mem::replace(&mut seen[next], true) {
                    onward[next] = Some((node, step));
                    queue.push_back(next);
                }
            }
        }
        Vec::new()
    }

    /// Nodes beside one, each with the step that leads from there to it.
    fn steps_into(&self, node: usize) -> Vec<(usize, Step)> {
        let through_pipes = self.through_pipes(node).map(|Through { number, stretch, next }| {
            let forward = stretch.nodes.0 != node;
            (next, Step::Stretch { number, forward })
        });
        through_pipes.chain(self.through_vessels(node).map(|arm| (arm, Step::Vessel))).collect()
    }
}

/// A step of a way.
#[derive(Debug, Clone, Copy)]
enum Step {
    /// Along a stretch, with or against the direction in which it is drawn.
    Stretch { number: usize, forward: bool },
    /// Through a cylinder.
    Vessel,
}

fn steps_from(source: usize, onward: &[Option<(usize, Step)>]) -> Vec<Step> {
    let (mut node, mut steps) = (source, Vec::new());
    while let Some((next, step)) = onward[node] {
        steps.push(step);
        node = next;
    }
    steps
}
