//! Vents as ways: where the open end of one is, and which stretches of it carry water like any other pipe.
//!
//! A draw-off may be teed from the vent that rises off a cylinder's crown. As far as that tee the vent is part of the way
//! to the taps; only what goes on from there to the open end is there for the air.

use foldhash::HashMap;

use super::cuts::{Cuts, Piece};
use super::leg::length_mm;
use super::overflow_way::CARRIED_ON_WITHIN_MM;
use super::{Joint, Leg, Site};
use crate::geom::{Polyline, SAME_PLACE_MM};
use crate::layout::{Cistern, CisternRole, Cylinder, End, INLET, Id, PartRef, Service, WhichEnd};
use crate::num::without_dead_ends;
use crate::units::Level;

/// By run: the stretches of a vent that carry water, from and to in mm along, in order.
pub(super) type Carrying = HashMap<usize, Vec<(f64, f64)>>;

/// The pieces of the vents of one service, and whether water comes or goes at each node.
fn pieces(site: &Site<'_>, service: Service) -> (Vec<Piece>, Vec<bool>) {
    let cuts = Cuts::of(site, |run| site.run(run).service == service);
    let mut wet = Vec::new();
    for run in cuts.runs() {
        // A feed makes good what is lost: nothing goes round through where it joins.
        let is_wet = |joint: &&Joint| {
            let other = site.run(joint.other).service;
            cuts.number(joint.other, joint.other_at_mm).is_none() && other != Service::PrimaryFeed
        };
        let joints = site.joints(run).iter().filter(is_wet);
        wet.extend(joints.filter_map(|joint| cuts.number(run, joint.at_mm)));
        for end in WhichEnd::BOTH {
            if matches!(site.part_at(site.run(run).end(end)), Some(PartRef::Cylinder(_) | PartRef::Boiler(_))) {
                wet.extend(site.end_along(run, end).and_then(|at_mm| cuts.number(run, at_mm)));
            }
        }
    }
    let node_of = cuts.meeting(site);
    let mut is_wet = vec![false; cuts.places.len()];
    wet.into_iter().for_each(|place| is_wet[node_of[place]] = true);
    let piece = |piece: Piece| Piece { nodes: (node_of[piece.nodes.0], node_of[piece.nodes.1]), ..piece };
    (cuts.pieces().map(piece).collect(), is_wet)
}

/// What carries water in the vents of a layout: what lies between places where water comes and goes, as far as it lies
/// below the water line. What leads to an open end, or nowhere, does not.
pub(super) fn carrying(site: &Site<'_>) -> Carrying {
    let mut carrying = Carrying::default();
    let kinds = [(Service::OpenVent, CisternRole::Storage), (Service::PrimaryVent, CisternRole::FeedAndExpansion)];
    for (service, role) in kinds {
        let (mut pieces, is_wet) = pieces(site, service);
        let highest_mm = highest_water_mm(site, role);
        pieces.retain(|piece| site.crest_mm(piece.run, piece.along_mm).is_none_or(|crest_mm| crest_mm < highest_mm));
        // What leads nowhere is there for the air.
        let nodes: Vec<(usize, usize)> = pieces.iter().map(|piece| piece.nodes).collect();
        let stays = without_dead_ends(&nodes, vec![true; nodes.len()], &is_wet);
        for (piece, _) in pieces.iter().zip(stays).filter(|(_, stays)| *stays) {
            carrying.entry(piece.run).or_default().push(piece.along_mm);
        }
    }
    carrying
}

/// The highest water line of the cisterns of a role; no bound where one of them is not told, or none is drawn.
pub(super) fn highest_water_mm(site: &Site<'_>, role: CisternRole) -> f64 {
    let cisterns = site.layout().cisterns.iter().filter(|cistern| cistern.role == role);
    let levels: Option<Vec<Level>> = cisterns.map(Cistern::surface).collect();
    levels.and_then(|levels| levels.into_iter().max()).map_or(f64::INFINITY, Level::to_mm)
}

impl Site<'_> {
    /// The stretches of a vent that carry water, from and to in mm along, in order; none of other runs.
    #[must_use]
    pub fn carrying_stretches(&self, run: usize) -> &[(f64, f64)] {
        self.carrying().get(&run).map_or(&[], Vec::as_slice)
    }

    /// Whether a vent carries water at a distance along it, mm.
    #[must_use]
    pub fn carries_at(&self, run: usize, at_mm: f64) -> bool {
        self.line(run).is_some_and(|line| lies_in(line, at_mm, self.carrying_stretches(run)))
    }

    /// Whether a way of water through runs of some services may lead through a run: also through a vent where it carries
    /// the hot water of a draw-off, or the water of the heating.
    #[must_use]
    pub fn leads_through(&self, run: usize, services: &[Service]) -> bool {
        let service = self.run(run).service;
        let carries = match service {
            Service::OpenVent => services.contains(&Service::HotDistribution),
            Service::PrimaryVent => services.contains(&Service::PrimaryFlow),
            _ => false,
        };
        services.contains(&service) || (carries && !self.carrying_stretches(run).is_empty())
    }

    /// How far along a run its open end is, the upper one of two; an end on which another run is teed is none. In a hole
    /// of a cistern a vent is as open as the cistern.
    #[must_use]
    pub fn mouth_along(&self, run: usize) -> Option<f64> {
        let line = self.line(run)?;
        let is_open = |end: &WhichEnd| match self.run(run).end(*end) {
            End::Open(_) => true,
            end @ End::Port(_, port) => self.cistern_at(end).is_some() && port.as_str() != INLET,
            End::Tee(..) | End::Onward(_) => false,
        };
        let meets_mm = |joint: &Joint| match self.run(joint.other).service == self.run(run).service {
            true => CARRIED_ON_WITHIN_MM,
            false => SAME_PLACE_MM,
        };
        let is_joined = |at_mm: f64| self.joints(run).iter().any(|joint| (joint.at_mm - at_mm).abs() < meets_mm(joint));
        let open = WhichEnd::BOTH.into_iter().filter(is_open);
        let mouths = open.filter_map(|end| self.end_along(run, end)).filter(|at_mm| !is_joined(*at_mm));
        mouths.max_by(|a, b| line.point_at(*a).y.total_cmp(&line.point_at(*b).y))
    }

    /// The path from a cylinder's crown to the open end of its vent: by its draw-off, or by another tapping of the crown.
    /// Of several vents the first; `None` when none is drawn.
    #[must_use]
    pub fn vent_path(&self, cylinder: &Cylinder) -> Option<&[Leg]> {
        self.vent_paths(cylinder).first().map(Vec::as_slice)
    }

    /// The paths to all vents in reach of a cylinder, each vent once: by the draw-off, those over the fewest joints first,
    /// then by other tappings of the crown. Air and steam gather there, and find no way out by a tapping in the side.
    fn vents_in_reach(&self, cylinder: &Cylinder) -> Vec<Vec<Leg>> {
        let mut paths: Vec<Vec<Leg>> = Vec::new();
        for port in self.hot_ports(cylinder).into_iter().filter(|port| cylinder.gathers_air_at(port.as_str())) {
            let by_crown =
                self.vent_paths_from(cylinder, port.as_str(), &[Service::HotDistribution, Service::OpenVent]);
            let is_new = |path: &Vec<Leg>| paths.iter().all(|known| last_run(known) != last_run(path));
            let new: Vec<Vec<Leg>> = by_crown.into_iter().filter(is_new).collect();
            paths.extend(new);
        }
        paths
    }

    /// The port of a cylinder on which a path begins.
    #[must_use]
    pub fn port_of_path(&self, cylinder: &Cylinder, path: &[Leg]) -> Option<&Id> {
        let first = path.first()?;
        let begins = |pipe: &&super::Attachment<'_>| {
            pipe.run == first.run && self.end_along(pipe.run, pipe.end) == Some(first.from_mm)
        };
        self.attached(&cylinder.id).iter().find(begins).map(|pipe| pipe.port)
    }
}

/// By cylinder: the paths to the open ends of its vents.
pub(super) type Vents = HashMap<Id, Vec<Vec<Leg>>>;

/// The vents of each cylinder. Where the hot pipes of several are joined, a vent belongs to the one from which the way to
/// it is the shortest; a cylinder to which none belongs shares the one that is nearest to it.
pub(super) fn vents_of_cylinders(site: &Site<'_>) -> Vents {
    let cylinders = &site.layout().cylinders;
    let in_reach: Vec<Vec<Vec<Leg>>> = cylinders.iter().map(|cylinder| site.vents_in_reach(cylinder)).collect();
    let mut nearest: HashMap<Option<usize>, (f64, usize)> = HashMap::default();
    for (number, path) in
        in_reach.iter().enumerate().flat_map(|(number, paths)| paths.iter().map(move |path| (number, path)))
    {
        let way = (length_mm(path), number);
        let known = nearest.entry(last_run(path)).or_insert(way);
        if way.0 < known.0 {
            *known = way;
        }
    }
    let own = |(number, paths): (usize, Vec<Vec<Leg>>)| {
        let (own, others): (Vec<_>, Vec<_>) = paths.into_iter().partition(|path| nearest[&last_run(path)].1 == number);
        let shared = || others.into_iter().min_by(|a, b| length_mm(a).total_cmp(&length_mm(b))).into_iter().collect();
        (cylinders[number].id.clone(), if own.is_empty() { shared() } else { own })
    };
    in_reach.into_iter().enumerate().map(own).collect()
}

fn last_run(path: &[Leg]) -> Option<usize> {
    path.last().map(|leg| leg.run)
}

/// Whether a place along a line lies in a stretch.
pub(super) fn lies_in(line: &Polyline, at_mm: f64, stretches: &[(f64, f64)]) -> bool {
    let at_mm = at_mm.clamp(0.0, line.length());
    stretches.iter().any(|(from_mm, to_mm)| at_mm >= from_mm - SAME_PLACE_MM && at_mm <= to_mm + SAME_PLACE_MM)
}
