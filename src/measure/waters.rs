//! Which waters are one: those that pipes join, told once for a whole site.

use foldhash::HashMap;

use super::Site;
use crate::layout::{COIL_FLOW, COIL_RETURN, End, HOT, INLET, Id, MAINS, PartRef, Service};
use crate::num::Union;

/// Bodies of water by their numbers: what has one number is joined.
pub(super) struct Waters {
    of_runs: Vec<usize>,
    of_parts: HashMap<Id, usize>,
    of_coils: HashMap<Id, usize>,
}

impl Waters {
    /// All waters, joined where pipes join them. Warning pipes are dry, and join none.
    pub(super) fn of(site: &Site<'_>) -> Self {
        let mut joining = Joining::default();
        let is_dry = |number: usize| site.run(number).service == Service::WarningPipe;
        for (number, run) in site.layout().runs.iter().enumerate().filter(|(number, _)| !is_dry(*number)) {
            for joint in site.joints(number).iter().filter(|joint| !is_dry(joint.other)) {
                joining.join(Water::Run(number), Water::Run(joint.other));
            }
            for end in run.ends() {
                if let End::Port(part, port) = end {
                    joining.join(Water::Run(number), water_in(site, part, port));
                }
            }
        }
        let layout = site.layout();
        let cylinders = || layout.cylinders.iter().map(|cylinder| &cylinder.id);
        let parts = layout.cisterns.iter().map(|cistern| &cistern.id).chain(cylinders());
        Self {
            of_runs: (0..layout.runs.len()).map(|number| joining.body(Water::Run(number))).collect(),
            of_parts: parts.map(|id| (id.clone(), joining.body(Water::Part(id)))).collect(),
            of_coils: cylinders().map(|id| (id.clone(), joining.body(Water::Coil(id)))).collect(),
        }
    }

    /// The water in a run.
    pub(super) fn of_run(&self, number: usize) -> usize {
        self.of_runs[number]
    }

    /// The water that a cistern or a cylinder of the site stores.
    pub(super) fn of_part(&self, part: &Id) -> usize {
        self.of_parts[part]
    }

    /// The water in the coil of a cylinder of the site.
    pub(super) fn of_coil(&self, cylinder: &Id) -> usize {
        self.of_coils[cylinder]
    }
}

/// A body of water before it is known what it is joined to.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
enum Water<'a> {
    Run(usize),
    Part(&'a Id),
    Coil(&'a Id),
    Port(&'a Id, &'a Id),
}

/// Bodies of water, joined step by step.
#[derive(Default)]
struct Joining<'a> {
    numbers: HashMap<Water<'a>, usize>,
    sets: Union,
}

impl<'a> Joining<'a> {
    fn body(&mut self, water: Water<'a>) -> usize {
        let number = *self.numbers.entry(water).or_insert_with(|| self.sets.add());
        self.sets.root(number)
    }

    fn join(&mut self, a: Water<'a>, b: Water<'a>) {
        let (a, b) = (self.body(a), self.body(b));
        self.sets.join(a, b);
    }
}

/// Which water a port opens into.
fn water_in<'a>(site: &Site<'_>, part: &'a Id, port: &'a Id) -> Water<'a> {
    match site.part(part) {
        // Hot and cold meet only inside a mixer, and mains water does not mix with a boiler's own.
        Some(PartRef::Outlet(_)) => Water::Port(part, port),
        Some(PartRef::Boiler(_)) if matches!(port.as_str(), MAINS | HOT) => Water::Port(part, port),
        // A float valve's outlet is parted from the stored water by an air gap.
        Some(PartRef::Cistern(_)) if port.as_str() == INLET => Water::Port(part, port),
        Some(PartRef::Cylinder(_)) if matches!(port.as_str(), COIL_FLOW | COIL_RETURN) => Water::Coil(part),
        _ => Water::Part(part),
    }
}
