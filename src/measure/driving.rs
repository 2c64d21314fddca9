//! What drives the water at outlets: the height of a cistern, the main, or a pump.

use super::free_ways::{Asked, FreeWays};
use super::unbranched::has_any;
use super::{Attachment, Site};
use crate::layout::{
    COLD, COLD_INLET, Cistern, CisternRole, End, HOT, INLET, Id, InLineKind, Outlet, OutletKind, PartRef, Service,
};

/// Services through which a cistern drives water.
const GRAVITY: [Service; 3] = [Service::ColdFeed, Service::ColdDistribution, Service::HotDistribution];

/// What drives each body of pipes, looked up once.
pub struct Drives<'s> {
    site: &'s Site<'s>,
    bodies: Vec<Drive<'s>>,
    /// The body of each run, by the run's number.
    body_of: Vec<Option<usize>>,
    /// Where water comes to from cisterns without a pump.
    unpumped: FreeWays,
}

/// What drives the water on one side of an outlet.
#[derive(Default)]
pub struct DrivenSide<'s> {
    /// Storage cisterns.
    pub cisterns: Vec<&'s Cistern>,
    /// Whether the main does.
    pub main: bool,
    /// Whether a pump sits on every way to it.
    pub pumped: bool,
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
    #[must_use]
    pub fn of(site: &'s Site<'s>) -> Self {
        let mut bodies = Vec::new();
        let mut body_of = vec![None; site.layout().runs.len()];
        for runs in site.bodies_of(&GRAVITY) {
            for run in &runs {
                body_of[*run] = Some(bodies.len());
            }
            bodies.push(drive_of(site, &runs));
        }
        Self { site, bodies, body_of, unpumped: unpumped(site) }
    }

    /// What drives the water at a port of an outlet; `None` where no pipe ends on it.
    #[must_use]
    pub fn at(&self, outlet: &'s Outlet, port: &'static str) -> Option<DrivenSide<'s>> {
        let pipes = || self.site.on_port(&outlet.id, port);
        pipes().next()?;
        let mut side = DrivenSide::default();
        let mut to_follow = vec![(&outlet.id, port)];
        let mut followed: Vec<usize> = Vec::new();
        while let Some((part, port)) = to_follow.pop() {
            for Attachment { run, .. } in self.site.on_port(part, port) {
                side.main |= self.site.run(*run).service == Service::RisingMain;
                let Some(body) = self.body_of[*run].filter(|body| !followed.contains(body)) else { continue };
                followed.push(body);
                let drive = &self.bodies[body];
                side.main |= drive.main;
                side.cisterns.extend(&drive.cisterns);
                to_follow.extend(&drive.beyond);
            }
        }
        let is_pumped = |pipe: &Attachment<'_>| {
            let from_cistern = !side.cisterns.is_empty();
            self.has_its_own_pump(pipe) || (from_cistern && self.unpumped.lead_to(pipe.run, pipe.end) == Some(false))
        };
        side.pumped = pipes().all(is_pumped);
        Some(side)
    }

    /// Whether a pump sits in a pipe before anything branches off.
    fn has_its_own_pump(&self, pipe: &Attachment<'_>) -> bool {
        let way = self.site.fittings_before_branch(pipe.run, pipe.end, |kind| kind == InLineKind::Pump);
        has_any(&way) == Some(true)
    }
}

/// Where water comes to from storage cisterns, also through cylinders and water heaters, without a pump.
fn unpumped(site: &Site<'_>) -> FreeWays {
    let begin: Vec<(usize, f64)> = site.out_of_storage().collect();
    let onward = |site: &Site<'_>, part: &Id, port: &Id| {
        let out: Vec<&str> = match (site.part(part), port.as_str()) {
            (Some(PartRef::Cylinder(cylinder)), COLD_INLET) => {
                site.hot_ports(cylinder).into_iter().map(Id::as_str).collect()
            }
            (Some(PartRef::Outlet(heater)), COLD) if heater.kind == OutletKind::WaterHeater => vec![HOT],
            _ => return Vec::new(),
        };
        let pipes = site.attached(part).iter().filter(|pipe| out.contains(&pipe.port.as_str()));
        pipes.map(|pipe| (pipe.run, pipe.end)).collect()
    };
    let asked = Asked { through: &GRAVITY, without: |kind| kind == InLineKind::Pump, onward };
    FreeWays::from(site, &begin, asked)
}

fn drive_of<'s>(site: &'s Site<'s>, runs: &[usize]) -> Drive<'s> {
    let mut drive = Drive::default();
    for &run in runs {
        drive.main |= site.joints(run).iter().any(|joint| site.run(joint.other).service == Service::RisingMain);
        for end in site.run(run).ends() {
            let End::Port(part, port) = end else { continue };
            match (site.part(part), port.as_str()) {
                (Some(PartRef::Cistern(cistern)), hole)
                    if hole != INLET
                        && cistern.role == CisternRole::Storage
                        && drive.cisterns.iter().all(|known| known.id != cistern.id) =>
                {
                    drive.cisterns.push(cistern);
                }
                (Some(PartRef::Cylinder(cylinder)), _) if site.lets_hot_water_out(cylinder, port) => {
                    drive.beyond.push((&cylinder.id, COLD_INLET));
                }
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
