//! From where water can come to a port past non-return valves.

use foldhash::HashMap;

use super::Site;
use crate::layout::{Id, InLineKind, Service, WhichEnd};

impl Site<'_> {
    /// Whether non-return valves keep the water that comes in at an end of a run from a port to which pipes of some services
    /// join it: each lets water pass from the beginning of its run to the end alone.
    #[must_use]
    pub fn is_kept_from(&self, (part, port): (&Id, &str), (run, end): (usize, WhichEnd), through: &[Service]) -> bool {
        if !self.runs_from(part, port, through).contains(&run) {
            return false;
        }
        let comes_from_mm = self.comes_from(part, port, through);
        let is_free = |end_mm: f64| comes_from_mm.get(&run).is_some_and(|up_to_mm| end_mm <= *up_to_mm);
        self.end_along(run, end).is_some_and(|end_mm| !is_free(end_mm))
    }

    /// By run: from its beginning up to which place along it water can come to a port, mm.
    fn comes_from(&self, part: &Id, port: &str, through: &[Service]) -> HashMap<usize, f64> {
        let mut up_to_mm: HashMap<usize, f64> = HashMap::default();
        let pipes = self.attached(part).iter().filter(|pipe| pipe.port.as_str() == port);
        let mut to_follow: Vec<(usize, f64)> = pipes.filter_map(|pipe| self.end_of(pipe)).collect();
        while let Some((run, at_mm)) = to_follow.pop() {
            let fittings = self.fitted(run).unwrap_or_default().iter();
            let valves = fittings.filter(|fitting| fitting.kind == InLineKind::NonReturnValve);
            let next_mm = valves.map(|valve| valve.at_mm).filter(|valve_mm| *valve_mm >= at_mm);
            let limit_mm = next_mm.fold(f64::INFINITY, f64::min);
            let is_known = up_to_mm.get(&run).is_some_and(|known_mm| *known_mm >= limit_mm);
            if is_known || !self.leads_through(run, through) {
                continue;
            }
            up_to_mm.insert(run, limit_mm);
            let joints = self.joints(run).iter().filter(|joint| joint.at_mm <= limit_mm);
            to_follow.extend(joints.map(|joint| (joint.other, joint.other_at_mm)));
        }
        up_to_mm
    }
}
