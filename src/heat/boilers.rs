//! Which boiler each primary flow comes from, how many cylinders share what it gives, and to which its water may not come.

use foldhash::HashMap;

use crate::layout::{Boiler, COIL_FLOW, Cylinder, FLOW, Id, PRIMARY_FLOW, PartRef, RETURN, Service};
use crate::measure::{Attachment, Site, circulation};
use crate::units::Power;

/// The boilers of a layout by the primary flows that come from them.
pub(super) struct Boilers<'s> {
    of_flow: HashMap<usize, &'s Boiler>,
    /// By boiler: how many cylinders it heats.
    heats: HashMap<&'s Id, usize>,
    /// Boilers with coils to which their water may not rise, and what to find out.
    in_doubt: Vec<(&'s Boiler, &'s Cylinder, String)>,
}

impl<'s> Boilers<'s> {
    pub fn of(site: &'s Site<'_>) -> Self {
        let mut of_flow = HashMap::default();
        for body in site.bodies_of(&[Service::PrimaryFlow]) {
            let mut ends = body.iter().flat_map(|run| site.run(*run).ends());
            let boiler = ends.find_map(|end| match site.part_at(end)? {
                PartRef::Boiler(boiler) => Some(boiler),
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
        Self { of_flow, heats, in_doubt: circulation::coils_not_above(site) }
    }

    /// Whether non-return valves in the pipes keep the water of a primary flow's boiler from going out to a cylinder and
    /// coming back, each by a port of the cylinder.
    pub fn are_kept_back(&self, site: &Site<'_>, flow: usize, cylinder: &Id, [out, back]: [&str; 2]) -> bool {
        let Some(boiler) = self.of_flow.get(&flow) else { return false };
        let is_barred = |to: (&Id, &str), (part, port): (&Id, &str), service: Service| {
            let pipes = site.attached_of(part, service).filter(|pipe| pipe.port.as_str() == port);
            let drawn = site.runs_from(to.0, to.1, &[service]);
            let joined: Vec<_> = pipes.filter(|pipe| drawn.contains(&pipe.run)).collect();
            let is_kept = |pipe: &Attachment<'_>| site.is_kept_from(to, (pipe.run, pipe.end), &[service]);
            !joined.is_empty() && joined.iter().all(is_kept)
        };
        is_barred((cylinder, out), (&boiler.id, FLOW), Service::PrimaryFlow)
            || is_barred((&boiler.id, RETURN), (cylinder, back), Service::PrimaryReturn)
    }

    /// How many cylinders the boiler of a primary flow heats: all of them at once, when all are cold.
    pub fn shared_by(&self, flow: usize) -> usize {
        self.of_flow.get(&flow).and_then(|boiler| self.heats.get(&boiler.id)).copied().unwrap_or(1).max(1)
    }

    /// What to find out where it is not known whether the boiler of a primary flow heats a cylinder's coil at all.
    pub fn in_doubt(&self, flow: usize, coil_of: &Cylinder) -> Option<String> {
        let boiler = self.of_flow.get(&flow)?;
        let mut own =
            self.in_doubt.iter().filter(|(own, cylinder, _)| own.id == boiler.id && cylinder.id == coil_of.id);
        own.next().map(|(.., find_out)| find_out.clone())
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
