//! What nobody has told of the pipes: by body of water, which taps hang on it, and how it spreads through open mixers.

use foldhash::{HashMap, HashSet};

use super::build::{Cut, STORED};
use super::{Circuit, Conditions, Feeds, Stretch, Tap};
use crate::layout::{End, HOT, Id, InLineKind, OutletKind, PartRef, Service, WhichEnd};
use crate::measure::find_out;
use crate::num::without_dead_ends;

/// So many reasons are told; a list of hundreds is read by nobody.
const MOST_TOLD: usize = 6;
/// Behind more pumps than this nobody looks which taps hang on each.
const MOST_PUMPS: usize = 100;

/// What is not told, by body of water.
#[derive(Default)]
pub(super) struct Untold {
    /// What is in doubt whatever is open, first reason first.
    always: HashMap<usize, Vec<String>>,
    /// What is in doubt only while water runs in a branch.
    branches: HashMap<usize, Vec<Branch>>,
}

/// A branch that leads to some taps and nowhere else: while those are shut, its water stands still.
struct Branch {
    /// The numbers of the taps.
    taps: Vec<usize>,
    words: String,
}

impl Untold {
    fn note(&mut self, body: usize, words: String) {
        self.always.entry(body).or_default().push(words);
    }

    /// What is in doubt in a body of water while some taps are open.
    fn reasons<'u>(&'u self, body: usize, is_open: impl Fn(usize) -> bool + 'u) -> impl Iterator<Item = &'u str> {
        let always = self.always.get(&body).into_iter().flatten();
        let runs = move |branch: &&Branch| branch.taps.iter().any(|tap| is_open(*tap));
        let branches = self.branches.get(&body).into_iter().flatten().filter(runs).map(|branch| &branch.words);
        always.chain(branches).map(String::as_str)
    }
}

impl<'s> Circuit<'s> {
    /// Whether enough is told of a body of water for what runs in it.
    pub(super) fn is_told(&self, body: usize, conditions: &Conditions) -> bool {
        self.untold.reasons(body, |tap| conditions.opens(tap, &self.taps[tap])).next().is_none()
    }

    /// Bodies of water that are not told enough of, by themselves or through an open mixer.
    pub(super) fn untold_bodies(&self, conditions: &Conditions) -> HashSet<usize> {
        let branched = self.untold.branches.keys().filter(|body| !self.is_told(**body, conditions));
        self.through_open_mixers(conditions, self.untold.always.keys().chain(branched).copied())
    }

    /// Some bodies, and those that open mixers join to them.
    pub(super) fn through_open_mixers(
        &self,
        conditions: &Conditions,
        bodies: impl Iterator<Item = usize>,
    ) -> HashSet<usize> {
        let mut spread: HashSet<usize> = bodies.collect();
        let open = self.taps.iter().enumerate().filter(|(number, tap)| conditions.opens(*number, tap));
        let mixers: Vec<[usize; 2]> = open
            .filter_map(|(_, tap)| match tap.feeds {
                Feeds::Mixed { hot, cold } => Some([self.body_of[hot], self.body_of[cold]]),
                _ => None,
            })
            .collect();
        while let Some(sides) = mixers.iter().find(|[a, b]| spread.contains(a) != spread.contains(b)) {
            spread.extend(sides);
        }
        spread
    }

    /// What has to be found out before flows can be reckoned in a body of water.
    pub(super) fn what_to_tell(&self, body: usize, conditions: &Conditions) -> String {
        let mut reasons = self.untold.reasons(body, |tap| conditions.opens(tap, &self.taps[tap]));
        let mut told: Vec<&str> = reasons.by_ref().take(MOST_TOLD).collect();
        let more = reasons.count();
        let further = format!("and {more} more of such");
        match (told.is_empty(), more) {
            (true, _) => return "the other side of an open mixer is not told enough of".to_owned(),
            (false, 0) => {}
            (false, _) => told.push(&further),
        }
        told.join("; ")
    }

    /// By stretch: whether water for a tap may come through it. That is what is left of its bodies of water without all that
    /// leads to other taps alone, or nowhere.
    pub(in crate::water) fn may_bring(&self, tap: usize) -> Vec<bool> {
        let own = self.taps[tap].nodes();
        let bodies: Vec<usize> = own.iter().map(|node| self.body_of[*node]).collect();
        let nodes: Vec<(usize, usize)> = self.stretches.iter().map(|stretch| stretch.nodes).collect();
        let is_in_them = nodes.iter().map(|(from, _)| bodies.contains(&self.body_of[*from])).collect();
        let mut leads_on = vec![false; self.node_mm.len()];
        let sources = self.sources.iter().map(|source| source.node);
        let vessels = self.vessels.iter().flat_map(|vessel| vessel.arms.iter().copied());
        let heaters = self.heaters.iter().flat_map(|(cold, hot)| [*cold, *hot]);
        let vents = self.vents.iter().map(|vent| vent.tee);
        sources.chain(vessels).chain(heaters).chain(vents).chain(own).for_each(|node| leads_on[node] = true);
        without_dead_ends(&nodes, is_in_them, &leads_on)
    }

    pub(super) fn note_what_is_untold(&mut self, cut: &Cut) {
        let mut untold = Untold::default();
        self.note_untold_sources(&mut untold);
        self.note_untold_pipes(&mut untold);
        self.note_holes_off_their_vessel(cut, &mut untold);
        self.note_what_goes_on(cut, &mut untold);
        self.note_pumps(cut, &mut untold);
        self.untold = untold;
        self.note_hot_water_from_elsewhere(cut);
    }

    fn note_untold_sources(&self, untold: &mut Untold) {
        let mut noted = HashSet::default();
        for source in self.sources.iter().filter(|source| source.surface_mm.is_none()) {
            let body = self.body_of[source.node];
            if noted.insert((body, &source.cistern.id)) {
                untold.note(body, find_out::water_line(&source.cistern.id));
            }
        }
        // Hot water that no cistern pushes comes from a feed that is not drawn.
        let fed: HashSet<usize> = self.sources.iter().map(|source| self.body_of[source.node]).collect();
        let stands_in = self.vessels.iter().flat_map(|vessel| vessel.arms.iter().map(|arm| self.body_of[*arm]));
        let mut unfed: Vec<usize> = stands_in.filter(|body| !fed.contains(body)).collect();
        unfed.sort_unstable();
        unfed.dedup();
        unfed.into_iter().for_each(|body| untold.note(body, find_out::COLD_FEED.to_owned()));
    }

    fn note_untold_pipes(&self, untold: &mut Untold) {
        let mut noted = HashSet::default();
        for stretch in &self.stretches {
            let (body, run) = (self.body_of[stretch.nodes.0], self.site.run(stretch.run));
            if !noted.insert((body, stretch.run)) {
                continue;
            }
            if stretch.tube.is_none() {
                untold.note(body, format!("{}, in which such tube is sold", find_out::material_and_size(&run.id)));
            }
            if run.fittings.is_none() {
                untold.note(body, find_out::valves(&run.id));
            }
        }
    }

    fn note_holes_off_their_vessel(&self, cut: &Cut, untold: &mut Untold) {
        for off in self.site.off_vessels() {
            let bodies = off.runs.iter().filter_map(|run| self.body_of_run(cut, *run));
            bodies.for_each(|body| untold.note(body, off.find_out.clone()));
        }
    }

    fn note_what_goes_on(&self, cut: &Cut, untold: &mut Untold) {
        for (number, run) in self.site.layout().runs.iter().enumerate() {
            let Some(body) = self.body_of_run(cut, number) else { continue };
            if self.site.joints(number).iter().any(|joint| self.site.run(joint.other).service == Service::RisingMain) {
                untold.note(
                    body,
                    format!("{} is joined to the main, whose pressure is not reckoned with", run.id.with_article()),
                );
            }
            if run.goes_on() && !run.service.is_vent() {
                untold.note(body, find_out::rest_of_run(&run.id));
            }
        }
    }

    /// The body of stored water in which a run lies.
    fn body_of_run(&self, cut: &Cut, number: usize) -> Option<usize> {
        let service = self.site.run(number).service;
        let node = if STORED.contains(&service) {
            cut.end(number, WhichEnd::From)
        } else {
            self.site.carrying_stretches(number).first().and_then(|(from_mm, _)| cut.node(number, *from_mm))
        };
        node.filter(|_| !service.is_primary()).map(|node| self.body_of[node])
    }

    fn note_pumps(&self, cut: &Cut, untold: &mut Untold) {
        let mut tried = 0;
        for (number, run) in self.site.layout().runs.iter().enumerate() {
            let Some(body) = self.body_of_run(cut, number) else { continue };
            let fittings = self.site.fitted(number).unwrap_or_default().iter();
            let pumps = fittings.filter(|fitting| fitting.kind == InLineKind::Pump);
            for pump in pumps.filter(|pump| !run.service.is_vent() || self.site.carries_at(number, pump.at_mm)) {
                let words = format!("find what the pump in {} gives: it is not reckoned with", run.id.spoken());
                tried += 1;
                let at_mm = pump.at_mm;
                let is_there = |stretch: &Stretch| {
                    stretch.run == number && stretch.along_mm.0 <= at_mm && at_mm <= stretch.along_mm.1
                };
                let stretch = self.stretches.iter().position(is_there);
                match stretch.filter(|_| tried <= MOST_PUMPS).and_then(|stretch| self.taps_behind(stretch)) {
                    Some(taps) => untold.branches.entry(body).or_default().push(Branch { taps, words }),
                    None => untold.note(body, words),
                }
            }
        }
    }

    /// The taps to which a stretch leads, where one of its sides leads to taps and nowhere else.
    fn taps_behind(&self, stretch: usize) -> Option<Vec<usize>> {
        let (from, to) = self.stretches[stretch].nodes;
        [to, from].into_iter().find_map(|end| self.only_taps_beyond(stretch, end))
    }

    fn only_taps_beyond(&self, stretch: usize, end: usize) -> Option<Vec<usize>> {
        let is_open_to_more = |node: usize| {
            self.is_source(node)
                || self.vents.iter().any(|vent| vent.tee == node)
                || self.through_vessels(node).next().is_some()
        };
        let mut reached = HashSet::from_iter([end]);
        let mut to_follow = vec![end];
        while let Some(node) = to_follow.pop() {
            if is_open_to_more(node) {
                return None;
            }
            let further = self.through_pipes(node).filter(|way| way.number != stretch).map(|way| way.next);
            to_follow.extend(further.filter(|next| reached.insert(*next)));
        }
        let draws = |tap: &Tap<'_>| tap.nodes().iter().any(|node| reached.contains(node));
        Some(self.taps.iter().enumerate().filter(|(_, tap)| draws(tap)).map(|(number, _)| number).collect())
    }

    /// Hot water that comes out of a boiler, or out of a water heater on the main, is driven by the main; what another water
    /// heater takes of the pressure is not reckoned.
    fn note_hot_water_from_elsewhere(&mut self, cut: &Cut) {
        for (number, run) in self.site.layout().runs.iter().enumerate() {
            for end in WhichEnd::BOTH {
                let End::Port(part, port) = run.end(end) else { continue };
                let Some(node) = cut.end(number, end).filter(|_| port.as_str() == HOT) else { continue };
                let body = self.body_of[node];
                match self.site.part(part) {
                    Some(PartRef::Boiler(_)) => self.drive_by_main(body, part),
                    Some(PartRef::Outlet(heater)) if heater.kind == OutletKind::WaterHeater => {
                        if self.site.attached_of(part, Service::RisingMain).next().is_some() {
                            self.drive_by_main(body, part);
                        } else {
                            let spoken = part.with_article();
                            let words = format!(
                                "find what {spoken} lets through to the taps behind it: it is not reckoned with"
                            );
                            self.untold.note(body, words);
                        }
                    }
                    _ => {}
                }
            }
        }
    }

    fn drive_by_main(&mut self, body: usize, source: &Id) {
        let body_of = &self.body_of;
        let alone = self.taps.iter_mut().filter(|tap| matches!(tap.feeds, Feeds::One(_)));
        alone
            .filter(|tap| tap.nodes().iter().all(|node| body_of[*node] == body))
            .for_each(|tap| tap.feeds = Feeds::Main);
        self.untold.note(body, format!("its hot water comes from {}, driven by the main", source.spoken()));
    }
}
