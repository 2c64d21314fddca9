//! What is to be cleared, and the parts that it is about.

use super::Change;
use crate::finding::{Finding, FindingKey};
use crate::layout::{Cistern, Cylinder, Id, Layout, Platform, Run, Service};
use crate::measure::{Site, standing};
use crate::mend::demand::Judge;
use crate::mend::handle::end_on;

/// What is to be cleared, and on what.
pub(super) struct Broken<'a> {
    pub judge: &'a Judge,
    pub layout: &'a Layout,
    pub key: &'a FindingKey,
    pub finding: &'a Finding,
}

impl<'a> Broken<'a> {
    pub fn rule(&self) -> &'static str {
        self.finding.rule.id
    }

    pub fn is_about(&self, id: &Id) -> bool {
        self.key.parts.contains(id)
    }

    /// The number that the rule asks, where it asks the same for every layout.
    pub fn asked(&self) -> Option<f64> {
        self.finding.limit.constant().map(|asked| asked.value)
    }

    /// A change of the part that it is about first.
    pub fn on_subject(&self, make: impl Fn(Id) -> Change) -> Vec<Change> {
        self.key.parts.first().cloned().map(make).into_iter().collect()
    }

    pub fn runs(&self) -> impl Iterator<Item = &'a Run> + use<'a> {
        let layout = self.layout;
        self.key.parts.iter().filter_map(move |id| layout.run(id))
    }

    pub fn run_ids(&self) -> impl Iterator<Item = Id> + use<'a> {
        self.runs().map(|run| run.id.clone())
    }

    pub fn cisterns(&self) -> impl Iterator<Item = &'a Cistern> + use<'a> {
        let layout = self.layout;
        self.key.parts.iter().filter_map(move |id| layout.cistern(id))
    }

    pub fn cylinder(&self) -> Option<&'a Cylinder> {
        self.layout.cylinders.iter().find(|part| self.is_about(&part.id))
    }

    pub fn platform(&self) -> Option<&'a Platform> {
        self.key.parts.iter().find_map(|id| self.layout.platform(id))
    }

    /// The platform on which the cylinder stands that it is about.
    pub fn platform_of_cylinder(&self) -> Option<&'a Platform> {
        let site = Site::of(self.layout);
        let under = standing::platform_of_cylinder(&site, self.cylinder()?)?.id.clone();
        self.layout.platform(&under)
    }

    /// The warning pipes on the first cistern that it is about.
    pub fn warning_pipes(&self) -> Vec<Id> {
        self.cisterns().next().map(|cistern| warning_pipes(self.layout, cistern)).unwrap_or_default()
    }
}

pub(super) fn warning_pipes(layout: &Layout, cistern: &Cistern) -> Vec<Id> {
    let own = |run: &&Run| run.service == Service::WarningPipe && end_on(run, |part, _| *part == cistern.id).is_some();
    layout.runs.iter().filter(own).map(|run| run.id.clone()).collect()
}
