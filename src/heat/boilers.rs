//! Which boiler each primary flow comes from, and how many cylinders share what it gives.

use foldhash::HashMap;

use crate::layout::{Boiler, COIL_FLOW, End, Id, PRIMARY_FLOW, PartRef, Service};
use crate::measure::Site;
use crate::units::Power;

/// The boilers of a layout by the primary flows that come from them.
pub(super) struct Boilers<'s> {
    of_flow: HashMap<usize, &'s Boiler>,
    /// By boiler: how many cylinders it heats.
    heats: HashMap<&'s Id, usize>,
}

impl<'s> Boilers<'s> {
    pub fn of(site: &'s Site<'_>) -> Self {
        let mut of_flow = HashMap::default();
        for body in site.bodies_of(&[Service::PrimaryFlow]) {
            let mut ends = body.iter().flat_map(|run| [&site.run(*run).from, &site.run(*run).to]);
            let boiler = ends.find_map(|end| match end {
                End::Port(part, _) => match site.part(part)? {
                    PartRef::Boiler(boiler) => Some(boiler),
                    _ => None,
                },
                _ => None,
            });
            if let Some(boiler) = boiler {
                of_flow.extend(body.iter().map(|run| (*run, boiler)));
            }
        }
        let mut heats: HashMap<&Id, usize> = HashMap::default();
        for cylinder in &site.layout().cylinders {
            let flows = site.attached_of(&cylinder.id, Service::PrimaryFlow);
            let flows = flows.filter(|pipe| matches!(pipe.port.as_str(), COIL_FLOW | PRIMARY_FLOW));
            let mut boilers: Vec<&Id> = flows.filter_map(|pipe| Some(&of_flow.get(&pipe.run)?.id)).collect();
            boilers.sort_unstable();
            boilers.dedup();
            boilers.into_iter().for_each(|boiler| *heats.entry(boiler).or_default() += 1);
        }
        Self { of_flow, heats }
    }

    /// How many cylinders the boiler of a primary flow heats: all of them at once, when all are cold.
    pub fn shared_by(&self, flow: usize) -> usize {
        self.of_flow.get(&flow).and_then(|boiler| self.heats.get(&boiler.id)).copied().unwrap_or(1).max(1)
    }

    /// What a primary flow brings of its boiler's output, kW: an equal share, where several cylinders are heated
    /// (assumption).
    ///
    /// # Errors
    /// What to find out, when it is not told.
    pub fn share_kw(&self, flow: usize) -> Result<f64, String> {
        let boiler = self.of_flow.get(&flow).ok_or_else(|| "draw the primary flow from the boiler".to_owned())?;
        let output =
            boiler.output.map(Power::to_kw).ok_or_else(|| "read the boiler's output off its label".to_owned())?;
        Ok(output / self.shared_by(flow) as f64)
    }
}
