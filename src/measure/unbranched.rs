//! The way of the water from an end of a pipe to where the first branch leaves: what sits there serves that end alone.

use foldhash::HashSet;

use super::leg::length_mm;
use super::site::Joint;
use super::{Fitted, Leg, Site};
use crate::geom::{SAME_PLACE_MM, is_same_place};
use crate::layout::{End, InLineKind, WhichEnd};

/// What sits in one stretch of a way.
pub(super) struct Stretch {
    /// Which stretch, outward.
    pub leg: Leg,
    /// How far its beginning is from the beginning of the way.
    pub begins_mm: f64,
    /// The fittings that were asked for; `None` when nobody has told what is in this run.
    pub fittings: Option<Vec<Fitted>>,
}

impl Stretch {
    /// How far a fitting of this stretch is from the beginning of the way.
    pub(super) fn away_mm(&self, fitting: &Fitted) -> f64 {
        self.begins_mm + self.leg.away_mm(fitting.at_mm)
    }
}

/// Whether something sits on a way: one that is known of is enough; `None` when some of it is not told.
pub(super) fn has_any(way: &[Stretch]) -> Option<bool> {
    let any = way.iter().any(|stretch| stretch.fittings.as_ref().is_some_and(|fittings| !fittings.is_empty()));
    let all_told = !way.is_empty() && untold(way).is_none();
    if any { Some(true) } else { all_told.then_some(false) }
}

/// The first run on a way of which nobody has told what is in it.
pub(super) fn untold(way: &[Stretch]) -> Option<usize> {
    way.iter().find(|stretch| stretch.fittings.is_none()).map(|stretch| stretch.leg.run)
}

impl Site<'_> {
    /// Whether a way ends where other pipes leave it.
    pub(super) fn ends_in_branch(&self, way: &[Stretch]) -> bool {
        way.last().is_some_and(|last| self.joints_at(last.leg.run, last.leg.to_mm).next().is_some())
    }

    /// Fittings that answer `wanted` on the way from an end of a run to the first branch, stretch by stretch.
    pub(super) fn fittings_before_branch(
        &self,
        run: usize,
        end: WhichEnd,
        wanted: impl Fn(InLineKind) -> bool,
    ) -> Vec<Stretch> {
        let mut begins_mm = 0.0;
        let mut way = Vec::new();
        for leg in self.unbranched(run, end) {
            let asked = |fitting: &&Fitted| wanted(fitting.kind) && leg.holds(fitting.at_mm);
            let fittings = self.fitted(leg.run).map(|fittings| fittings.iter().filter(asked).copied().collect());
            way.push(Stretch { leg, begins_mm, fittings });
            begins_mm += leg.length_mm();
        }
        way
    }

    /// Where the way from an end of a run to the first branch goes on beyond the drawing: how much of it is drawn, mm,
    /// and what to find out.
    pub(super) fn goes_on_before_branch(&self, run: usize, end: WhichEnd) -> Option<(f64, String)> {
        let way = self.unbranched(run, end);
        let last = *way.last()?;
        let is_joined = self.joints_at(last.run, last.to_mm).next().is_some();
        let is_onward = |end: WhichEnd| matches!(self.run(last.run).end(end), End::Onward(_));
        let find_out = || format!("draw {} on to its first valve or branch", self.run(last.run).id.with_article());
        (!is_joined && self.ends_at(last.run, last.to_mm).any(is_onward)).then(|| (length_mm(&way), find_out()))
    }

    /// The stretches from an end of a run to the first branch, on over joints where one run just carries on another.
    fn unbranched(&self, run: usize, end: WhichEnd) -> Vec<Leg> {
        let mut legs: Vec<Leg> = Vec::new();
        let mut seen: HashSet<usize> = HashSet::default();
        let mut next = Some((run, end));
        while let Some((run, end)) = next.filter(|(run, _)| seen.insert(*run)) {
            let Some(from_mm) = self.end_along(run, end) else { break };
            let away_mm = |joint: &&Joint| (joint.at_mm - from_mm).abs();
            let tees = self.joints(run).iter().filter(|joint| away_mm(joint) > SAME_PLACE_MM);
            let first = tees.min_by(|a, b| away_mm(a).total_cmp(&away_mm(b)));
            let far = end.other();
            let far_mm = self.end_along(run, far).unwrap_or(from_mm);
            let to_mm = first.map_or(far_mm, |joint| joint.at_mm);
            legs.push(Leg { run, from_mm, to_mm });
            next = if is_same_place(to_mm, far_mm) { self.carried_on(run, far) } else { None };
        }
        legs
    }

    /// The run that carries on another past its end, and by which end it begins there; none where a part is, or where
    /// more than two pipes meet.
    pub(super) fn carried_on(&self, run: usize, end: WhichEnd) -> Option<(usize, WhichEnd)> {
        let only_joint_at = |run: usize, at_mm: f64| {
            let mut here = self.joints_at(run, at_mm);
            here.next().filter(|_| here.next().is_none())
        };
        if matches!(self.run(run).end(end), End::Port(..)) {
            return None;
        }
        let joint = only_joint_at(run, self.end_along(run, end)?)?;
        let begins = self.ends_at(joint.other, joint.other_at_mm).next()?;
        // Asked last, since many a run is met by very many others in between.
        only_joint_at(joint.other, joint.other_at_mm)?;
        let on_part = matches!(self.run(joint.other).end(begins), End::Port(..));
        (!on_part).then_some((joint.other, begins))
    }
}
