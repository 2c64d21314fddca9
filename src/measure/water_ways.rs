//! Which way water can go: paths through joined runs, what feeds what, and what is joined to the main.

use std::collections::VecDeque;

use foldhash::{HashMap, HashSet};
use glam::DVec2;

use super::linked::giving_like_the_first;
use super::shortest::Ways;
use super::{Leg, Site};
use crate::layout::{
    COIL_FLOW, COIL_RETURN, COLD_INLET, Cistern, CisternRole, Cylinder, End, HOT, INLET, Id, Outlet, OutletKind,
    PRIMARY_FLOW, PRIMARY_RETURN, PartRef, Service, WhichEnd,
};

/// What heats a cylinder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Heating {
    /// The stored water itself: by immersion heater, or by a boiler on direct tappings.
    Direct,
    /// Through a coil.
    Indirect,
    /// Both.
    Both,
}

impl Heating {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Direct => "direct",
            Self::Indirect => "indirect",
            Self::Both => "direct and indirect",
        }
    }
}

/// Whether pipes lead to a cylinder's coil, and nobody has told whether there is one: they may as well heat the stored
/// water itself.
#[must_use]
pub fn has_untold_coil(site: &Site<'_>, cylinder: &Cylinder) -> bool {
    let on_coil = |port: &Id| matches!(port.as_str(), COIL_FLOW | COIL_RETURN);
    cylinder.coil.is_none() && site.attached(&cylinder.id).iter().any(|attachment| on_coil(attachment.port))
}

/// What heats a cylinder, told from its immersion heaters and from the pipes on its coil and tappings;
/// `None` when nothing that is told heats it, or not all of it.
#[must_use]
pub fn heating_of(site: &Site<'_>, cylinder: &Cylinder) -> Option<Heating> {
    if has_untold_coil(site, cylinder) {
        return None;
    }
    let on = |port: &str| site.has_pipe_on(&cylinder.id, port);
    let immersion = cylinder.immersions.as_ref().is_some_and(|heaters| !heaters.is_empty());
    let direct = immersion || on(PRIMARY_FLOW) || on(PRIMARY_RETURN);
    let indirect = cylinder.coil == Some(true) && (on(COIL_FLOW) || on(COIL_RETURN));
    match (direct, indirect) {
        (true, true) => Some(Heating::Both),
        (true, false) => Some(Heating::Direct),
        (false, true) => Some(Heating::Indirect),
        (false, false) => None,
    }
}

/// Runs that can be reached from a beginning, each with the joint by which it was entered.
pub(super) struct Reach {
    entered: HashMap<usize, Entry>,
    /// Nearest first.
    pub order: Vec<usize>,
}

#[derive(Clone, Copy)]
struct Entry {
    at_mm: f64,
    /// The run before, and where it was left.
    before: Option<(usize, f64)>,
}

impl Site<'_> {
    /// Runs in reach of a port through runs of some services: first those to which the way leads over the fewest joints,
    /// however long it is.
    pub(super) fn reach(&self, part: &Id, port: &str, through: &[Service]) -> Reach {
        self.reach_from(self.begin_on(part, port, through), through)
    }

    /// Where ways through runs of some services begin on a port: the run, and how far along it.
    fn begin_on(&self, part: &Id, port: &str, through: &[Service]) -> impl Iterator<Item = (usize, f64)> {
        let pipes = self.on_port(part, port).filter(|pipe| self.leads_through(pipe.run, through));
        pipes.filter_map(|pipe| self.end_of(pipe))
    }

    /// The same from some places along runs: each run from the place that the fewest joints part from it.
    pub(super) fn reach_from(&self, begin: impl Iterator<Item = (usize, f64)>, through: &[Service]) -> Reach {
        let mut reach = Reach { entered: HashMap::default(), order: Vec::new() };
        let mut queue: VecDeque<(usize, Entry)> =
            begin.map(|(run, at_mm)| (run, Entry { at_mm, before: None })).collect();
        while let Some((run, entry)) = queue.pop_front() {
            if reach.entered.contains_key(&run) {
                continue;
            }
            reach.entered.insert(run, entry);
            reach.order.push(run);
            for joint in self.joints(run) {
                if self.leads_through(joint.other, through) {
                    queue
                        .push_back((joint.other, Entry { at_mm: joint.other_at_mm, before: Some((run, joint.at_mm)) }));
                }
            }
        }
        reach
    }

    /// The shortest paths from a port of a cylinder to the open ends of vents, through runs of some services, the ends over
    /// the fewest joints first.
    pub(super) fn vent_paths_from(&self, cylinder: &Cylinder, port: &str, through: &[Service]) -> Vec<Vec<Leg>> {
        let reach = self.reach(&cylinder.id, port, through);
        let vents: Vec<usize> =
            reach.order.iter().copied().filter(|run| self.run(*run).service == Service::OpenVent).collect();
        if vents.is_empty() {
            return Vec::new();
        }
        let ways = Ways::from(self, self.begin_on(&cylinder.id, port, through).collect(), through);
        vents.into_iter().filter_map(|run| ways.to(run, self.mouth_along(run)?)).collect()
    }

    /// Cold feed runs that branch off a stretch of a cylinder's cold feed, or off such a branch: for each the way from the
    /// stretch to both of its ends, its own legs last.
    #[must_use]
    pub fn branches_of_feed(&self, cylinder: &Cylinder, path: &[Leg]) -> Vec<Vec<Leg>> {
        let on_path = |run: usize| path.iter().any(|leg| leg.run == run);
        let reach = self.reach(&cylinder.id, COLD_INLET, &[Service::ColdFeed]);
        let branches = reach.order.iter().filter(|run| !on_path(**run)).filter_map(|&run| {
            let ends_mm = [0.0, self.line(run)?.length()];
            let ways = ends_mm.map(|to_mm| reach.path_to(run, to_mm));
            let leaves = |way: &Vec<Leg>| {
                let off = way.iter().position(|leg| !on_path(leg.run))?;
                let stem = way[off.checked_sub(1)?];
                let on_stretch = path.iter().any(|leg| leg.run == stem.run && leg.holds(stem.to_mm));
                on_stretch.then(|| way[off..].to_vec())
            };
            Some(ways.iter().filter_map(leaves).collect::<Vec<_>>())
        });
        branches.flatten().collect()
    }

    /// The storage cistern that feeds a cylinder.
    #[must_use]
    pub fn cistern_of(&self, cylinder: &Cylinder) -> Option<&Cistern> {
        self.cold_feed_path(cylinder).map(|(cistern, _, _)| cistern)
    }

    /// The cistern that feeds a cylinder, and then those that share its water.
    #[must_use]
    pub fn cisterns_of(&self, cylinder: &Cylinder) -> Vec<&Cistern> {
        self.cistern_of(cylinder).map_or_else(Vec::new, |nearest| self.sharing_with(nearest))
    }

    /// Cylinders that a cistern feeds.
    #[must_use]
    pub fn cylinders_fed_by(&self, cistern: &Cistern) -> Vec<&Cylinder> {
        let fed = |cylinder: &&Cylinder| self.cistern_of(cylinder).is_some_and(|feeding| feeding.id == cistern.id);
        self.layout().cylinders.iter().filter(fed).collect()
    }

    /// The ports of a cistern from which water of a service is taken, also where its pipe is teed off that of another.
    #[must_use]
    pub fn ports_feeding(&self, cistern: &Cistern, service: Service) -> Vec<&Id> {
        let feeds = |port: &&Id| {
            let reach = self.reach(&cistern.id, port.as_str(), &Service::STORED_COLD);
            reach.order.iter().any(|run| self.run(*run).service == service)
        };
        let mut ports: Vec<&Id> = self.out_of(&cistern.id).map(|pipe| pipe.port).collect();
        ports.sort_unstable();
        ports.dedup();
        ports.into_iter().filter(feeds).collect()
    }

    /// The runs from one port through all that is joined, those over the fewest joints first.
    #[must_use]
    pub fn runs_from(&self, part: &Id, port: &str, through: &[Service]) -> Vec<usize> {
        self.reach(part, port, through).order
    }

    /// Where hot water comes from: a cylinder by each of its hot ports, or the hot port of a combination boiler or a water
    /// heater.
    fn hot_sources(&self) -> impl Iterator<Item = (&Id, &str)> {
        let layout = self.layout();
        let ports = |cylinder| self.hot_ports(cylinder).into_iter().map(Id::as_str);
        let cylinders =
            layout.cylinders.iter().flat_map(move |cylinder| ports(cylinder).map(|port| (&cylinder.id, port)));
        let boilers = layout.boilers.iter().map(|boiler| (&boiler.id, HOT));
        let heaters = layout.outlets.iter().filter(|outlet| outlet.kind == OutletKind::WaterHeater);
        cylinders.chain(boilers).chain(heaters.map(|heater| (&heater.id, HOT)))
    }

    /// For each source of hot water the shortest path to each outlet that it reaches.
    #[must_use]
    pub fn hot_paths(&self) -> Vec<(&Id, &Outlet, Vec<Leg>)> {
        self.hot_sources().flat_map(|(source, port)| self.hot_paths_from(source, port)).collect()
    }

    fn hot_paths_from<'s>(&'s self, source: &'s Id, port: &str) -> Vec<(&'s Id, &'s Outlet, Vec<Leg>)> {
        const HOT_WATER: [Service; 1] = [Service::HotDistribution];
        let ways = Ways::from(self, self.begin_on(source, port, &HOT_WATER).collect(), &HOT_WATER);
        let mut paths = Vec::new();
        for run in self.runs_from(source, port, &HOT_WATER) {
            for end in WhichEnd::BOTH {
                if let Some(PartRef::Outlet(outlet)) = self.part_at(self.run(run).end(end))
                    && let Some(path) = self.end_along(run, end).and_then(|at_mm| ways.to(run, at_mm))
                    && outlet.kind != OutletKind::WaterHeater
                {
                    paths.push((source, outlet, path));
                }
            }
        }
        paths
    }

    /// The points of a path, in order.
    #[must_use]
    pub fn points_of(&self, path: &[Leg]) -> Vec<DVec2> {
        let mut points: Vec<DVec2> = Vec::new();
        for leg in path {
            let Some(line) = self.line(leg.run) else { continue };
            for point in line.between(leg.from_mm, leg.to_mm) {
                if points.last().is_none_or(|last| last.distance(point) > 1e-6) {
                    points.push(point);
                }
            }
        }
        points
    }

    /// Cisterns and cylinders in the bodies of water that pipes make of them, storage cisterns first, each with the rising
    /// mains that are joined to it.
    pub(super) fn mains_in_stored_water(&self) -> Vec<(Vec<&Id>, Vec<usize>)> {
        let waters = self.waters();
        let mut bodies: Vec<(usize, Vec<&Id>)> = Vec::new();
        let cisterns = self.storage_cisterns().chain(self.expansion_cisterns()).map(|cistern| &cistern.id);
        for id in cisterns.chain(self.layout().cylinders.iter().map(|cylinder| &cylinder.id)) {
            let body = waters.of_part(id);
            match bodies.iter_mut().find(|(known, _)| *known == body) {
                Some((_, parts)) => parts.push(id),
                None => bodies.push((body, vec![id])),
            }
        }
        let mut mains_in: HashMap<usize, Vec<usize>> = HashMap::default();
        for (number, _) in self.runs_of(Service::RisingMain) {
            mains_in.entry(waters.of_run(number)).or_default().push(number);
        }
        bodies.into_iter().map(|(body, parts)| (parts, mains_in.remove(&body).unwrap_or_default())).collect()
    }

    /// A storage cistern and those that share its water: joined by links, or feeding the same pipes. One whose water a
    /// non-return valve keeps from all that is drawn shares it with none that gives any.
    fn sharing_with<'s>(&'s self, cistern: &'s Cistern) -> Vec<&'s Cistern> {
        let mut group = vec![cistern];
        let mut seen: HashSet<usize> = HashSet::default();
        let mut asked = 0;
        while let Some(cistern) = group.get(asked) {
            asked += 1;
            let mut to_follow: Vec<usize> = self.out_of(&cistern.id).map(|pipe| pipe.run).collect();
            while let Some(run) = to_follow.pop() {
                if !Service::SHARED.contains(&self.run(run).service) || !seen.insert(run) {
                    continue;
                }
                to_follow.extend(self.joints(run).iter().map(|joint| joint.other));
                for end in self.run(run).ends() {
                    if let End::Port(part, port) = end
                        && let Some(PartRef::Cistern(other)) = self.part(part)
                        && other.role == CisternRole::Storage
                        && port.as_str() != INLET
                        && group.iter().all(|known| known.id != other.id)
                    {
                        group.push(other);
                    }
                }
            }
        }
        giving_like_the_first(self, group)
    }

    /// Storage cisterns in groups that share their water.
    #[must_use]
    pub fn storage_groups(&self) -> Vec<Vec<&Cistern>> {
        let mut seen: HashSet<&Id> = HashSet::default();
        let mut groups = Vec::new();
        for cistern in self.storage_cisterns() {
            if !seen.contains(&cistern.id) {
                let group = self.sharing_with(cistern);
                seen.extend(group.iter().map(|cistern| &cistern.id));
                groups.push(group);
            }
        }
        groups
    }

    /// Runs of some services in bodies that are joined, each in order.
    #[must_use]
    pub fn bodies_of(&self, services: &[Service]) -> Vec<Vec<usize>> {
        let mut seen = vec![false; self.layout().runs.len()];
        let mut bodies = Vec::new();
        for first in 0..seen.len() {
            let (mut body, mut to_follow) = (Vec::new(), vec![first]);
            while let Some(run) = to_follow.pop() {
                if self.leads_through(run, services) && !std::mem::replace(&mut seen[run], true) {
                    body.push(run);
                    to_follow.extend(self.joints(run).iter().map(|joint| joint.other));
                }
            }
            if !body.is_empty() {
                body.sort_unstable();
                bodies.push(body);
            }
        }
        bodies
    }
}

impl Reach {
    /// The path from the beginning to a distance along a run; empty where that was not reached.
    pub(super) fn path_to(&self, run: usize, to_mm: f64) -> Vec<Leg> {
        let mut legs = Vec::new();
        let (mut run, mut to_mm) = (run, to_mm);
        while let Some(entry) = self.entered.get(&run) {
            legs.push(Leg { run, from_mm: entry.at_mm, to_mm });
            match entry.before {
                Some((before, left_at_mm)) => (run, to_mm) = (before, left_at_mm),
                None => break,
            }
        }
        legs.reverse();
        legs
    }
}
