//! What drives the water at outlets: the height of a cistern, or the main.

use super::{Attachment, Site};
use crate::layout::{
    COLD, COLD_INLET, Cistern, CisternRole, DRAW_OFF, End, HOT, Id, Outlet, OutletKind, PartRef, Service,
};

/// Services through which a cistern drives water.
const GRAVITY: [Service; 3] = [Service::ColdFeed, Service::ColdDistribution, Service::HotDistribution];

/// What drives each body of pipes, looked up once.
pub(super) struct Drives<'s> {
    site: &'s Site<'s>,
    bodies: Vec<Drive<'s>>,
    /// The body of each run, by the run's number.
    body_of: Vec<Option<usize>>,
}

/// What drives a body of pipes.
#[derive(Default)]
struct Drive<'s> {
    cisterns: Vec<&'s Cistern>,
    main: bool,
    /// Ports that hand on what drives it: a cylinder's cold inlet, a water heater's cold supply.
    beyond: Vec<(&'s Id, &'static str)>,
}

impl<'s> Drives<'s> {
    /// Looks at every body of pipes.
    pub(super) fn of(site: &'s Site<'s>) -> Self {
        let mut drives = Self { site, bodies: Vec::new(), body_of: vec![None; site.layout().runs.len()] };
        for runs in site.bodies_of(&GRAVITY) {
            for run in &runs {
                drives.body_of[*run] = Some(drives.bodies.len());
            }
            drives.bodies.push(drive_of(site, &runs));
        }
        drives
    }

    /// The storage cisterns that drive the water at an outlet, and whether the main does.
    pub(super) fn at(&self, outlet: &'s Outlet) -> (Vec<&'s Cistern>, bool) {
        let (mut cisterns, mut main): (Vec<&Cistern>, bool) = (Vec::new(), false);
        let mut to_follow = vec![(&outlet.id, HOT), (&outlet.id, COLD)];
        let mut followed: Vec<usize> = Vec::new();
        while let Some((part, port)) = to_follow.pop() {
            for Attachment { run, .. } in self.site.attached(part).iter().filter(|pipe| pipe.port.as_str() == port) {
                main |= self.site.run(*run).service == Service::RisingMain;
                let Some(body) = self.body_of[*run].filter(|body| !followed.contains(body)) else { continue };
                followed.push(body);
                let drive = &self.bodies[body];
                main |= drive.main;
                cisterns.extend(&drive.cisterns);
                to_follow.extend(&drive.beyond);
            }
        }
        (cisterns, main)
    }
}

fn drive_of<'s>(site: &'s Site<'s>, runs: &[usize]) -> Drive<'s> {
    let mut drive = Drive::default();
    for &run in runs {
        drive.main |= site.joints(run).iter().any(|joint| site.run(joint.other).service == Service::RisingMain);
        for end in [&site.run(run).from, &site.run(run).to] {
            let End::Port(part, port) = end else { continue };
            match (site.part(part), port.as_str()) {
                (Some(PartRef::Cistern(cistern)), _)
                    if cistern.role == CisternRole::Storage
                        && drive.cisterns.iter().all(|known| known.id != cistern.id) =>
                {
                    drive.cisterns.push(cistern);
                }
                (Some(PartRef::Cylinder(cylinder)), DRAW_OFF) => drive.beyond.push((&cylinder.id, COLD_INLET)),
                (Some(PartRef::Outlet(heater)), HOT) if heater.kind == OutletKind::WaterHeater => {
                    drive.beyond.push((&heater.id, COLD));
                }
                // A combination boiler.
                (Some(PartRef::Boiler(_)), HOT) => drive.main = true,
                _ => {}
            }
        }
    }
    drive.beyond.sort_unstable();
    drive.beyond.dedup();
    drive
}
