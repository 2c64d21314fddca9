//! The part of the circuit that shutting the nearest valves cuts off: what for, how much water stands in it, where it drains.

use std::f64::consts::FRAC_PI_4;

use glam::DVec2;

use super::meeting::Through;
use super::{Circuit, ShutValve, Source, Stretch, Tap};
use crate::geom::is_same_place;
use crate::layout::{Cistern, Id, InLineKind};

/// What lies between a place and the nearest valves around it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Region {
    /// The valves that part it from the rest, in the order in which they are met.
    pub valves: Vec<ShutValve>,
    /// Whether an open way without a valve leads to a cistern.
    pub open_to_cistern: bool,
    pieces: Vec<Piece>,
    /// Vents that leave it, by their number, and the level below which their water does not drain to the place, mm.
    vents: Vec<(usize, f64)>,
}

/// A piece of a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Piece {
    stretch: usize,
    /// Where it begins and ends along the run, mm.
    along_mm: (f64, f64),
    /// The level below which its water does not drain to the place, mm.
    floor_mm: f64,
    /// Whether air gets in for what runs out.
    air: Air,
}

/// Whether air gets to the water of a pipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Air {
    /// From the place, in which it rises, or from an open vent.
    GetsIn,
    /// Only from inside a cylinder, by a pipe below its highest: air stays in the crown, and what stands in the pipe under
    /// a shut valve hangs there.
    StaysInCrown,
}

/// A node that is to be followed.
#[derive(Clone, Copy)]
struct Onward {
    node: usize,
    floor_mm: f64,
    air: Air,
}

impl<'s> Circuit<'s> {
    /// What the nearest valves around a tap cut off.
    #[must_use]
    pub fn region_of_tap(&self, tap: &Tap<'_>) -> Region {
        self.region(&tap.nodes(), tap.outlet.at.z.to_mm()).0
    }

    /// What the nearest valves around a part's port cut off.
    #[must_use]
    pub fn region_of_port(&self, part: &Id, port: &str) -> Region {
        let nodes: Vec<usize> = (self.site.on_port(part, port))
            .filter_map(|pipe| {
                let end_mm = self.site.end_along(pipe.run, pipe.end)?;
                self.stretches[self.of_run(pipe.run)].iter().find_map(|stretch| match stretch.along_mm {
                    (from_mm, _) if is_same_place(from_mm, end_mm) => Some(stretch.nodes.0),
                    (_, to_mm) if is_same_place(to_mm, end_mm) => Some(stretch.nodes.1),
                    _ => None,
                })
            })
            .collect();
        self.region(&nodes, f64::NEG_INFINITY).0
    }

    /// What the nearest valves around the holes of a cistern cut off from all others, and the cisterns whose water goes with
    /// its own, since no valve parts them: itself first.
    #[must_use]
    pub fn region_of_cistern(&self, cistern: &'s Cistern) -> (Region, Vec<&'s Cistern>) {
        let mut emptied = vec![cistern];
        loop {
            let is_emptied = |source: &Source<'_>| emptied.iter().any(|cistern| cistern.id == source.cistern.id);
            let (own, others): (Vec<&Source<'s>>, Vec<_>) = self.sources.iter().partition(|source| is_emptied(source));
            let nodes: Vec<usize> = own.iter().map(|source| source.node).collect();
            let (region, reached) = self.region(&nodes, f64::NEG_INFINITY);
            match others.into_iter().find(|source| reached[source.node]) {
                Some(other) => emptied.push(other.cistern),
                None => return (region, emptied),
            }
        }
    }

    /// The region around some nodes, and by node whether it belongs to it.
    fn region(&self, from: &[usize], floor_mm: f64) -> (Region, Vec<bool>) {
        let mut region = Region::default();
        let mut at_valves: Vec<(ShutValve, usize)> = Vec::new();
        let mut floors: Vec<Option<f64>> = vec![None; self.node_mm.len()];
        let mut to_follow: Vec<Onward> =
            from.iter().map(|node| Onward { node: *node, floor_mm, air: Air::GetsIn }).collect();
        // Followed last, so that what has air by another way is known to have it.
        let mut without_air: Vec<Onward> = Vec::new();
        while let Some(Onward { node, floor_mm, air }) = to_follow.pop().or_else(|| without_air.pop()) {
            if floors[node].is_some() {
                continue;
            }
            floors[node] = Some(floor_mm);
            region.open_to_cistern |= self.is_source(node);
            let vents = self.vents.iter().enumerate().filter(|(_, vent)| vent.tee == node);
            region.vents.extend(vents.map(|(number, _)| (number, floor_mm)));
            for Through { number, stretch, next } in self.through_pipes(node) {
                let Some((valve, at_mm)) = self.first_valve(stretch, node) else {
                    region.add(Piece { stretch: number, along_mm: stretch.along_mm, floor_mm, air });
                    let onward = Onward { node: next, floor_mm, air };
                    if air == Air::GetsIn {
                        to_follow.push(onward)
                    } else {
                        without_air.push(onward)
                    }
                    continue;
                };
                let along_mm =
                    if stretch.nodes.0 == node { (stretch.along_mm.0, at_mm) } else { (at_mm, stretch.along_mm.1) };
                region.add(Piece { stretch: number, along_mm, floor_mm, air });
                let valve = ShutValve { run: self.site.run(stretch.run).id.clone(), number: Some(valve) };
                at_valves.push((valve, next));
            }
            for vessel in self.vessels.iter().filter(|vessel| vessel.arms.contains(&node)) {
                // Through a cylinder water is pushed on only as long as it stands above its highest pipe.
                let crown_mm = vessel.arms.iter().map(|arm| self.node_mm[*arm]).fold(f64::NEG_INFINITY, f64::max);
                let floor_mm = crown_mm.max(floor_mm);
                for &node in &vessel.arms {
                    if self.node_mm[node] >= crown_mm && air == Air::GetsIn {
                        to_follow.push(Onward { node, floor_mm, air });
                    } else {
                        without_air.push(Onward { node, floor_mm, air: Air::StaysInCrown });
                    }
                }
            }
        }
        for (valve, beyond) in at_valves {
            // A valve with no cistern beyond it holds nothing back.
            if self.leads_to_cistern(beyond, |node| floors[node].is_some()) && !region.valves.contains(&valve) {
                region.valves.push(valve);
            }
        }
        (region, floors.iter().map(Option::is_some).collect())
    }

    /// Whether a cistern can be reached from a node without going through others, valves or not.
    fn leads_to_cistern(&self, from: usize, barred: impl Fn(usize) -> bool) -> bool {
        let mut seen = vec![false; self.node_mm.len()];
        let mut to_follow = vec![from];
        while let Some(node) = to_follow.pop() {
            if barred(node) || std::mem::replace(&mut seen[node], true) {
                continue;
            }
            if self.is_source(node) {
                return true;
            }
            to_follow.extend(self.through_pipes(node).map(|through| through.next));
            to_follow.extend(self.through_vessels(node));
        }
        false
    }

    /// The first valve that is met in a stretch from one of its nodes, and where it is along the run, mm.
    fn first_valve(&self, stretch: &Stretch, node: usize) -> Option<(usize, f64)> {
        let fittings = self.site.fitted(stretch.run)?.iter();
        let valves = fittings.filter(|fitting| stretch.valves.contains(&fitting.number));
        let placed = valves.map(|valve| (valve.number, valve.at_mm));
        if stretch.nodes.0 == node {
            placed.min_by(|a, b| a.1.total_cmp(&b.1))
        } else {
            placed.max_by(|a, b| a.1.total_cmp(&b.1))
        }
    }

    /// Water in a region that stands above a level and can leave there, L: that of its pipes to which air gets, and that of
    /// its vents, in which it stands as high as in the cistern. `None` where a tube or a water line is not told.
    #[must_use]
    pub fn litres_above(&self, region: &Region, level_mm: f64) -> Option<f64> {
        self.litres_in_some(region, level_mm, |_| true)
    }

    /// The same of what lies beyond cylinders, and of vents: what runs down into a cylinder as its water sinks.
    #[must_use]
    pub fn litres_over_cylinders(&self, region: &Region, level_mm: f64) -> Option<f64> {
        self.litres_in_some(region, level_mm, |piece| piece.floor_mm.is_finite())
    }

    fn litres_in_some(&self, region: &Region, level_mm: f64, wanted: impl Fn(&Piece) -> bool) -> Option<f64> {
        let mut litres = 0.0;
        for piece in region.pieces.iter().filter(|piece| wanted(piece) && self.has_air(region, piece)) {
            let stretch = &self.stretches[piece.stretch];
            let above_mm = self.length_above(stretch.run, piece.along_mm, piece.floor_mm.max(level_mm))?;
            litres += litres_in(stretch.tube?.bore_m, above_mm);
        }
        let mut counted: Vec<(usize, (f64, f64))> = Vec::new();
        for &(number, floor_mm) in &region.vents {
            let vent = &self.vents[number];
            let floor_mm = floor_mm.max(level_mm);
            let surface_mm = self.surface_over(vent.tee)?;
            for &(run, along_mm) in &vent.dry {
                if counted.contains(&(run, along_mm)) {
                    continue;
                }
                counted.push((run, along_mm));
                let above = |level_mm: f64| self.length_above(run, along_mm, level_mm);
                let wet_mm = above(floor_mm)? - above(surface_mm.max(floor_mm))?;
                if wet_mm > 0.0 {
                    litres += litres_in(self.site.run(run).bore()?.to_mm() / 1000.0, wet_mm);
                }
            }
        }
        Some(litres)
    }

    /// Whether air gets to a piece of a region: also by a vent that leaves the pipe it is of, or one joined to it.
    fn has_air(&self, region: &Region, piece: &Piece) -> bool {
        let mut seen: Vec<usize> = Vec::new();
        let mut to_follow = vec![self.stretches[piece.stretch].nodes.0, self.stretches[piece.stretch].nodes.1];
        let is_in = |number: usize| region.pieces.iter().any(|piece| piece.stretch == number);
        while let Some(node) = to_follow.pop().filter(|_| piece.air == Air::StaysInCrown) {
            if seen.contains(&node) {
                continue;
            }
            seen.push(node);
            if region.vents.iter().any(|(vent, _)| self.vents[*vent].tee == node) {
                return true;
            }
            let ways = self.through_pipes(node).filter(|way| way.stretch.valves.is_empty() && is_in(way.number));
            to_follow.extend(ways.map(|way| way.next));
        }
        piece.air == Air::GetsIn
    }

    /// The highest water of the cisterns on the body of water of a node, mm; `None` where it is not told.
    fn surface_over(&self, node: usize) -> Option<f64> {
        let sources = self.sources.iter().filter(|source| self.body_of[source.node] == self.body_of[node]);
        let surfaces: Option<Vec<f64>> = sources.map(|source| source.surface_mm).collect();
        surfaces?.into_iter().reduce(f64::max)
    }

    /// How much of a run between two places along it lies above a level, mm along it.
    fn length_above(&self, run: usize, along_mm: (f64, f64), level_mm: f64) -> Option<f64> {
        let points = self.site.line(run)?.between(along_mm.0, along_mm.1);
        let above = |pair: &[DVec2]| length_above(pair[0].y, pair[1].y, pair[0].distance(pair[1]), level_mm);
        Some(points.windows(2).map(above).sum())
    }

    /// The lowest drain cock in a region: its run, and its level in mm.
    #[must_use]
    pub fn lowest_drain_cock(&self, region: &Region) -> Option<(&Id, f64)> {
        // What lies beyond a cylinder drains no further down than the cylinder's highest pipe.
        let draining = region.pieces.iter().filter(|piece| piece.floor_mm.is_infinite());
        let cocks = draining.flat_map(|piece| {
            let run = self.stretches[piece.stretch].run;
            let (from_mm, to_mm) = piece.along_mm;
            let line = self.site.line(run);
            let fittings = self.site.fitted(run).unwrap_or_default().iter();
            fittings
                .filter(|fitting| fitting.kind == InLineKind::DrainCock)
                .map(|fitting| fitting.at_mm)
                .filter(move |at_mm| (from_mm..=to_mm).contains(at_mm))
                .filter_map(move |at_mm| Some((&self.site.run(run).id, line?.point_at(at_mm).y)))
        });
        cocks.min_by(|a, b| a.1.total_cmp(&b.1))
    }
}

impl Region {
    fn add(&mut self, piece: Piece) {
        if !self.pieces.contains(&piece) {
            self.pieces.push(piece);
        }
    }
}

fn litres_in(bore_m: f64, length_mm: f64) -> f64 {
    FRAC_PI_4 * bore_m * bore_m * length_mm
}

/// How much of a straight pipe lies above a level, mm along it.
fn length_above(from_mm: f64, to_mm: f64, length_mm: f64, level_mm: f64) -> f64 {
    let (low, high) = (from_mm.min(to_mm), from_mm.max(to_mm));
    if low >= level_mm {
        length_mm
    } else if high <= level_mm {
        0.0
    } else {
        length_mm * (high - level_mm) / (high - low)
    }
}
