//! What heat does to a layout as it is drawn: each cistern, each cylinder, each pipe.

use super::cistern_warmth::{self, CisternWarmth};
use super::conditions::{Condition, Outcome};
use super::cylinder_warmth::{self, CylinderWarmth};
use super::hot_pipe::{self, HotPipe};
use super::loft_pipe::{self, LoftPipe};
use super::stretch::loft_floor_mm;
use crate::layout::{Climate, Id, Run};
use crate::measure::Site;

/// What heat does to a layout. Derived once from a site, and thrown away with it.
#[derive(Debug, Clone, PartialEq)]
pub struct Warmth {
    /// What of the weather is told.
    pub climate: Climate,
    /// Cisterns in the loft.
    pub cisterns: Vec<CisternWarmth>,
    /// Cylinders.
    pub cylinders: Vec<CylinderWarmth>,
    /// Pipes with hot water.
    pub hot_pipes: Vec<HotPipe>,
    /// Pipes with water in the loft; nobody knows which they are where no ceiling is told.
    pub loft_pipes: Vec<LoftPipe>,
    /// Pipes that leave cisterns while no ceiling tells which of them are in the loft.
    pub homeless_pipes: Vec<Id>,
}

impl Warmth {
    /// Reckons everything. Takes time in proportion to the number of parts.
    #[must_use]
    pub fn of(site: &Site<'_>) -> Self {
        Self {
            climate: site.layout().climate,
            cisterns: cistern_warmth::of_all(site),
            cylinders: cylinder_warmth::of_all(site),
            hot_pipes: hot_pipe::of_all(site),
            loft_pipes: loft_pipe::of_all(site),
            homeless_pipes: homeless_pipes(site),
        }
    }
}

impl Warmth {
    /// Hot pipes, those that lose most for their length first, those of which too little is told last.
    #[must_use]
    pub fn hot_pipes_worst_first(&self) -> Vec<&HotPipe> {
        let mut pipes: Vec<&HotPipe> = self.hot_pipes.iter().collect();
        let loses = |pipe: &HotPipe| {
            let worst = pipe.loss.as_ref().ok().and_then(|loss| loss.value.worst());
            worst.map_or(f64::NEG_INFINITY, |(_, per_m_w)| *per_m_w)
        };
        pipes.sort_by(|a, b| loses(b).total_cmp(&loses(a)));
        pipes
    }

    /// Pipes in the loft, the first to freeze first, then those that do not, then those of which too little is told.
    #[must_use]
    pub fn loft_pipes_worst_first(&self) -> Vec<&LoftPipe> {
        let mut pipes: Vec<&LoftPipe> = self.loft_pipes.iter().collect();
        let lasts = |pipe: &LoftPipe| match &pipe.worst {
            Ok(exposure) => (0, exposure.value.to_half_ice_h.unwrap_or(f64::INFINITY)),
            Err(_) => (1, 0.0),
        };
        pipes.sort_by(|a, b| {
            let (a, b) = (lasts(a), lasts(b));
            a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        pipes
    }

    /// Everything that some figure had to assume, each once, in order.
    #[must_use]
    pub fn assumed(&self) -> Vec<Condition> {
        fn of<T>(outcome: &Outcome<T>) -> &[Condition] {
            outcome.as_ref().map_or(&[], |reckoned| &reckoned.assumed)
        }
        let cisterns = self.cisterns.iter().flat_map(|cistern| [of(&cistern.summer), of(&cistern.frost)]);
        let cylinders = self.cylinders.iter().flat_map(|cylinder| {
            let heated = cylinder.reheats.iter().map(|way| of(&way.hours));
            heated.chain([of(&cylinder.vent), of(&cylinder.feed), of(&cylinder.next_day_c), of(&cylinder.expansion_l)])
        });
        let pipes = self.hot_pipes.iter().map(|pipe| of(&pipe.loss));
        let loft = self.loft_pipes.iter().map(|pipe| of(&pipe.worst));
        let mut all: Vec<Condition> = cisterns.chain(cylinders).chain(pipes).chain(loft).flatten().copied().collect();
        all.sort_unstable();
        all.dedup();
        all
    }
}

fn homeless_pipes(site: &Site<'_>) -> Vec<Id> {
    if loft_floor_mm(site).is_some() {
        return Vec::new();
    }
    let on_cistern = |run: &&Run| run.ends().into_iter().any(|end| site.cistern_at(end).is_some());
    site.layout().runs.iter().filter(on_cistern).map(|run| run.id.clone()).collect()
}
