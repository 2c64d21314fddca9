//! Up to which level pipes hold water at rest.

use crate::layout::{CisternRole, Run, Service};
use crate::measure::Site;

/// The highest water lines. Without any, vents count as full, which errs on the safe side.
pub(super) struct WaterTops {
    stored_mm: f64,
    primary_mm: f64,
}

impl WaterTops {
    pub(super) fn of(site: &Site<'_>) -> Self {
        let top = |role: CisternRole| {
            let cisterns = site.layout().cisterns.iter().filter(|cistern| cistern.role == role);
            let levels = cisterns.map(|cistern| cistern.surface().unwrap_or_else(|| cistern.rim()).to_mm());
            levels.max_by(f64::total_cmp).unwrap_or(f64::INFINITY)
        };
        Self { stored_mm: top(CisternRole::Storage), primary_mm: top(CisternRole::FeedAndExpansion) }
    }

    /// The level in a run, mm; `None` for a pipe that holds no water at rest.
    pub(super) const fn of_run(&self, run: &Run) -> Option<f64> {
        match run.service {
            Service::WarningPipe => None,
            Service::OpenVent => Some(self.stored_mm),
            Service::PrimaryVent => Some(self.primary_mm),
            _ => Some(f64::INFINITY),
        }
    }
}
