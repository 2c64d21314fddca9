//! Upright stretches that a step has laid along another pipe or through a vessel, led aside until they lie clear.

use super::change::{Change, CourseChange};
use super::demand::{broken, spoilt};
use super::overlaid::laid_over;
use super::{Mending, Step};
use crate::finding::{FindingKey, Findings};
use crate::geom::Point;
use crate::layout::{Id, Layout};

/// So far aside is tried, mm: beside a pipe, beside its lagging, and beside a cylinder.
const ASIDE_MM: [f64; 10] = [30.0, 45.0, 60.0, 90.0, 120.0, 150.0, 200.0, 300.0, 450.0, 600.0];

/// Steps with what comes of them.
pub(super) struct LedAside {
    pub steps: Vec<Step>,
    pub words: Vec<String>,
    pub layout: Layout,
    pub findings: Findings,
}

impl Mending<'_> {
    /// What leads uprights aside that lie on something on a layout and did not before, as far as that goes; nothing of
    /// what is cleared comes back by it, and nothing is spoilt.
    pub(super) fn led_aside(&self, layout: &Layout, findings: &Findings) -> Option<LedAside> {
        let mut led: Option<LedAside> = None;
        loop {
            let now = led.as_ref().map_or(layout, |led| &led.layout);
            let still = broken(led.as_ref().map_or(findings, |led| &led.findings));
            let Some((step, after, findings)) = self.one_led_aside(now, &still) else { return led };
            let words = step.words(now);
            let (mut steps, mut said) = led.map_or_else(Default::default, |led| (led.steps, led.words));
            steps.push(step);
            said.push(words);
            led = Some(LedAside { steps, words: said, layout: after, findings });
        }
    }

    /// What leads one upright aside so that least lies over something, and no further than it takes.
    fn one_led_aside(&self, layout: &Layout, still: &[FindingKey]) -> Option<(Step, Layout, Findings)> {
        let laid = laid_over(&self.layout, layout);
        let distances = ASIDE_MM.into_iter().flat_map(|mm| [mm, -mm]);
        let may_go: Vec<Id> = laid.iter().filter(|id| !self.wish.locked.contains(id)).cloned().collect();
        let uprights: Vec<(Id, usize)> = uprights_of(layout, &may_go);
        let ways = distances.flat_map(|by_mm| uprights.iter().map(move |(id, number)| (id, *number, by_mm)));
        let tried = ways.filter_map(|(id, number, by_mm)| {
            let step = Step::Change(Change::Course(id.clone(), CourseChange::UprightAside { bend: number, by_mm }));
            let is_open = !self.wish.refused.contains(&step.refused()) && !self.judge.effort().is_spent();
            let after = is_open.then(|| step.on(layout)).flatten()?;
            Some((step, after))
        });
        let lying = |(step, after): (Step, Layout)| (laid_over(&self.layout, &after).len(), step, after);
        let mut clearer: Vec<(usize, Step, Layout)> =
            tried.map(lying).filter(|(still, ..)| *still < laid.len()).collect();
        clearer.sort_by_key(|(still, ..)| *still);
        clearer.into_iter().find_map(|(_, step, after)| {
            let findings = self.judge.findings(&after);
            let is_kept =
                spoilt(&self.findings, &findings).is_empty() && broken(&findings).iter().all(|key| still.contains(key));
            is_kept.then_some((step, after, findings))
        })
    }
}

/// The upright stretches between two bends of some pipes, by the first of these bends: in an order that hangs on where
/// they stand and not on the end a pipe is drawn from.
fn uprights_of(layout: &Layout, of: &[Id]) -> Vec<(Id, usize)> {
    let mut uprights: Vec<(Id, usize, [f64; 2])> = Vec::new();
    for run in layout.runs.iter().filter(|run| of.contains(&run.id)) {
        let stands = |pair: &[Point]| (pair[0].x.to_mm() - pair[1].x.to_mm()).abs() < 1.0;
        let pairs = run.via.windows(2).enumerate().filter(|(_, pair)| stands(pair));
        let mut own: Vec<(Id, usize, [f64; 2])> = pairs
            .map(|(number, pair)| {
                let foot_mm = pair[0].z.to_mm().min(pair[1].z.to_mm());
                (run.id.clone(), number, [pair[0].x.to_mm(), foot_mm])
            })
            .collect();
        own.sort_by(|a, b| a.2[0].total_cmp(&b.2[0]).then(a.2[1].total_cmp(&b.2[1])));
        uprights.extend(own);
    }
    uprights.into_iter().map(|(id, number, _)| (id, number)).collect()
}
