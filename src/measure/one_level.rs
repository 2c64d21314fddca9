//! Cisterns whose water stands at one level although no link is drawn: the pipes that lead off from them meet.

use foldhash::HashMap;

use super::Site;
use super::cuts::{Cuts, Piece};
use super::link_ways::is_one_way;
use super::vent_ways::highest_water_mm;
use crate::layout::{Cistern, CisternRole, Id, InLineKind, Service};
use crate::num::Union;

/// Storage cisterns in groups that stand in one water, in the order of the layout.
pub(super) struct OneLevel {
    /// As far as it is sure that nothing parts them.
    pub surely: Groups,
    /// The same, where of some pipe between them nobody has told what sits in it.
    pub perhaps: Groups,
    /// Whether water passes some link one way alone.
    pub has_one_way_link: bool,
}

/// Groups of cisterns by their place in the layout, and the group of each.
#[derive(Default)]
pub(super) struct Groups {
    all: Vec<Vec<usize>>,
    of: HashMap<Id, usize>,
}

impl Groups {
    /// The cisterns that stand in one water with one, itself among them; none where it is no storage cistern.
    pub fn with<'a>(&self, site: &Site<'a>, cistern: &Id) -> impl Iterator<Item = &'a Cistern> {
        let group = self.of.get(cistern).map_or(&[][..], |group| &self.all[*group]);
        group.iter().map(|number| &site.layout().cisterns[*number])
    }
}

/// How a pipe counts of which nobody has told what sits in it.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Untold {
    Joins,
    Parts,
}

impl OneLevel {
    pub(super) fn of(site: &Site<'_>) -> Self {
        Self {
            surely: groups(site, Untold::Parts),
            perhaps: groups(site, Untold::Joins),
            has_one_way_link: site.runs_of(Service::Link).any(|(_, link)| is_one_way(link)),
        }
    }
}

/// Places on pipes at which water can part, and which of them have water pass between them.
struct Nodes {
    cuts: Cuts,
    joined: Union,
}

impl Nodes {
    /// A pipe joins what it meets, but where a non-return valve sits between, or it rises above all stored water. Links
    /// of which nobody has told what sits in them are taken to be open.
    fn of(site: &Site<'_>, untold: Untold) -> Self {
        let highest_mm = highest_water_mm(site, CisternRole::Storage);
        let cuts = Cuts::of(site, |run| Service::SHARED.contains(&site.run(run).service));
        let mut joined = cuts.joined(site);
        for piece in cuts.pieces().filter(|piece| lets_through(site, piece, untold, highest_mm)) {
            joined.join(piece.nodes.0, piece.nodes.1);
        }
        Self { cuts, joined }
    }

    fn holes_of(&self, site: &Site<'_>, cistern: &Cistern) -> Vec<usize> {
        site.out_of(&cistern.id)
            .filter_map(|pipe| self.cuts.number(pipe.run, site.end_along(pipe.run, pipe.end)?))
            .collect()
    }
}

fn groups(site: &Site<'_>, untold: Untold) -> Groups {
    let mut nodes = Nodes::of(site, untold);
    let mut first_holes = Vec::new();
    for (number, cistern) in site.layout().cisterns.iter().enumerate() {
        if cistern.role == CisternRole::Storage {
            // Through the cistern water passes from hole to hole.
            let holes = nodes.holes_of(site, cistern);
            holes.windows(2).for_each(|two| nodes.joined.join(two[0], two[1]));
            first_holes.push((number, cistern, holes.first().copied()));
        }
    }
    let roots = nodes.joined.roots();
    let mut groups = Groups::default();
    let mut by_root: HashMap<usize, usize> = HashMap::default();
    for (number, cistern, hole) in first_holes {
        let next = groups.all.len();
        let group = hole.map_or(next, |hole| *by_root.entry(roots[hole]).or_insert(next));
        if group == next {
            groups.all.push(Vec::new());
        }
        groups.all[group].push(number);
        groups.of.insert(cistern.id.clone(), group);
    }
    groups
}

fn lets_through(site: &Site<'_>, piece: &Piece, untold: Untold, highest_mm: f64) -> bool {
    let Piece { run, along_mm: piece_mm, .. } = *piece;
    let is_link = site.run(run).service == Service::Link;
    let Some(crest_mm) = site.crest_mm(run, piece_mm) else { return false };
    let is_full = is_link || crest_mm < highest_mm;
    let Some(fittings) = site.fitted(run) else { return is_full && (is_link || untold == Untold::Joins) };
    let mut valves = fittings.iter().filter(|fitting| fitting.kind == InLineKind::NonReturnValve);
    let holds_back = valves.any(|valve| (piece_mm.0..=piece_mm.1).contains(&valve.at_mm));
    !holds_back && is_full
}
