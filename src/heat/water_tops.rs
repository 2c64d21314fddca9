//! Up to which level pipes hold water at rest.

use foldhash::HashMap;

use super::hot_pipe::cylinder_on;
use crate::layout::{Cistern, CisternRole, Run, Service};
use crate::measure::Site;

/// The water lines that stand in vents: of each that of the cistern whose water it holds, and where the pipes lead to
/// none the highest of its kind. Without any, vents count as full, which errs on the safe side.
pub(super) struct WaterTops {
    /// By run: the level in a vent whose cistern is found, mm.
    own_mm: HashMap<usize, f64>,
    stored_mm: f64,
    primary_mm: f64,
}

/// Where the water of a cistern is taken to stand whose water line nobody has told.
#[derive(Clone, Copy)]
pub(super) enum UntoldLine {
    /// As high as it can.
    AtRim,
    /// As low as it can.
    AtBase,
}

impl UntoldLine {
    fn level_mm(self, cistern: &Cistern) -> f64 {
        let untold = || match self {
            Self::AtRim => cistern.rim(),
            Self::AtBase => cistern.at.z,
        };
        cistern.surface().unwrap_or_else(untold).to_mm()
    }

    fn highest_mm<'c>(self, cisterns: impl Iterator<Item = &'c Cistern>) -> Option<f64> {
        cisterns.map(|cistern| self.level_mm(cistern)).max_by(f64::total_cmp)
    }
}

impl WaterTops {
    pub(super) fn of(site: &Site<'_>, untold: UntoldLine) -> Self {
        let of_role = |role: CisternRole| site.layout().cisterns.iter().filter(move |cistern| cistern.role == role);
        let top = |role: CisternRole| untold.highest_mm(of_role(role)).unwrap_or(f64::INFINITY);
        let mut own_mm = HashMap::default();
        // Where there is but one cistern of a kind, it is the highest.
        if of_role(CisternRole::Storage).count() > 1 {
            own_mm.extend(in_stored_water(site, untold));
        }
        if of_role(CisternRole::FeedAndExpansion).count() > 1 {
            let runs = site.layout().runs.iter().enumerate();
            let vents: Vec<usize> =
                runs.filter(|(_, run)| run.service == Service::PrimaryVent).map(|(number, _)| number).collect();
            let cisterns = site.expansion_cisterns_of(&vents);
            own_mm.extend(vents.into_iter().zip(cisterns).filter_map(|(run, own)| Some((run, untold.level_mm(own?)))));
        }
        Self { own_mm, stored_mm: top(CisternRole::Storage), primary_mm: top(CisternRole::FeedAndExpansion) }
    }

    /// The level in a run by its number, mm; `None` for a pipe that holds no water at rest.
    pub(super) fn of_run(&self, number: usize, run: &Run) -> Option<f64> {
        let own_or = |highest_mm: f64| Some(self.own_mm.get(&number).copied().unwrap_or(highest_mm));
        match run.service {
            Service::WarningPipe => None,
            Service::OpenVent => own_or(self.stored_mm),
            Service::PrimaryVent => own_or(self.primary_mm),
            _ => Some(f64::INFINITY),
        }
    }
}

/// Runs of stored hot water, each with the highest water line of the cisterns that feed the cylinders on it, mm.
fn in_stored_water(site: &Site<'_>, untold: UntoldLine) -> Vec<(usize, f64)> {
    let mut levels = Vec::new();
    for body in site.bodies_of(&[Service::HotDistribution, Service::OpenVent]) {
        let cylinders = body.iter().filter_map(|run| cylinder_on(site, site.run(*run)));
        let feeding: Vec<&Cistern> = cylinders.flat_map(|cylinder| site.cisterns_of(cylinder)).collect();
        if let Some(top_mm) = untold.highest_mm(feeding.into_iter()) {
            levels.extend(body.into_iter().map(|run| (run, top_mm)));
        }
    }
    levels
}
