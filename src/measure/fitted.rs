//! What sits in a run, as its water comes by it: within the pipe, in order along it.

use super::{Joint, Site};
use crate::geom::{Polyline, SAME_PLACE_MM, is_same_place};
use crate::layout::{InLineKind, Run};

/// How far a fitting is reckoned from a joint that is drawn in the same place, mm: far enough to be another place, and
/// nothing that is ever shown.
const BESIDE_JOINT_MM: f64 = 1e-5;

/// A fitting where it is reckoned to sit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted {
    /// What it is.
    pub kind: InLineKind,
    /// How far along the run, mm. What is told beyond an end sits at that end; what is told where another run joins sits
    /// just beyond the joint, and just before it where that is the end of the run.
    pub at_mm: f64,
    /// Which of the run's fittings it is, by its place in their list.
    pub number: usize,
}

impl Site<'_> {
    /// What sits in a run; `None` when nobody has told.
    #[must_use]
    pub fn fitted(&self, run: usize) -> Option<&[Fitted]> {
        self.fitted_in()[run].as_deref()
    }
}

/// What sits in a run that is drawn along a line, and is joined by others; at its beginning where it is not drawn.
pub(super) fn fitted(run: &Run, line: Option<&Polyline>, joints: &[Joint]) -> Option<Vec<Fitted>> {
    let length_mm = line.map_or(0.0, Polyline::length);
    let told = run.fittings.as_ref()?.iter().enumerate();
    let mut joints_mm: Vec<f64> = joints.iter().map(|joint| joint.at_mm).collect();
    joints_mm.sort_by(f64::total_cmp);
    let sits_at = |told_mm: f64| {
        let at_mm = told_mm.clamp(0.0, length_mm);
        let next = joints_mm.partition_point(|joint_mm| *joint_mm < at_mm - SAME_PLACE_MM);
        match joints_mm.get(next).filter(|joint_mm| is_same_place(**joint_mm, at_mm)) {
            // What joins the end lies beyond all that sits in the run.
            Some(joint_mm) if is_same_place(*joint_mm, length_mm) => (length_mm - BESIDE_JOINT_MM).max(0.0),
            Some(joint_mm) => joint_mm + BESIDE_JOINT_MM,
            None => at_mm,
        }
    };
    let mut fitted: Vec<Fitted> = told
        .map(|(number, fitting)| Fitted { kind: fitting.kind, at_mm: sits_at(fitting.at.to_mm()), number })
        .collect();
    fitted.sort_by(|a, b| a.at_mm.total_cmp(&b.at_mm));
    Some(fitted)
}
