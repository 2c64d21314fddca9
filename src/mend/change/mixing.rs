//! Mixing valves before outlets.

use super::Change;
use super::broken::Broken;
use crate::layout::{Edit, Id, Layout, Outlet, Part};
use crate::units::Temperature;

/// A mixing valve is set a little below the greatest that is allowed, °C.
const BELOW_ALLOWED_C: f64 = 2.0;

/// A thermostatic mixing valve before an outlet.
#[derive(Debug, Clone, PartialEq)]
pub struct MixingValve {
    /// What it is set to, °C.
    pub set_c: f64,
}

impl MixingValve {
    pub(super) fn words(&self, outlet: &Id) -> String {
        let Self { set_c } = self;
        format!("Have a thermostatic mixing valve fitted before {}, set to {set_c:.0} °C", outlet.with_article())
    }

    pub(super) fn edits(&self, layout: &Layout, id: &Id) -> Option<Vec<Edit>> {
        let outlet = layout.outlet(id)?;
        let supply_temperature = Some(Temperature::try_celsius(self.set_c).ok()?);
        Some(vec![Edit::put(Part::Outlet(Outlet { supply_temperature, ..outlet.clone() }))])
    }
}

pub(super) fn changes(broken: &Broken<'_>) -> Vec<Change> {
    match broken.rule() {
        "bath-too-hot" | "shower-warms-when-others-open" => mixing_valve(broken),
        _ => Vec::new(),
    }
}

fn mixing_valve(broken: &Broken<'_>) -> Vec<Change> {
    let Some(need) = broken.finding.judged.need else { return Vec::new() };
    let set_c = need.value - BELOW_ALLOWED_C;
    broken.on_subject(|outlet| Change::Mixing(outlet, MixingValve { set_c }))
}
