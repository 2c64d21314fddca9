//! High points that hold air: where a pipe rises and falls again with no way up for the air.

use std::collections::BinaryHeap;

use foldhash::HashSet;

use super::Circuit;
use crate::layout::{Id, Service};

/// A high point of a run and the air that stays in it.
#[derive(Debug, Clone, PartialEq)]
pub struct AirTrap {
    /// The run.
    pub run: Id,
    /// How far along it the high point is, mm.
    pub at_mm: f64,
    /// How far the pipe has to fall, on the best way from here to where air can leave, mm; nothing where air gets away.
    pub depth_mm: f64,
    /// On what it hangs whether the air gets away.
    pub hangs_on: Option<HangsOn>,
}

/// A vent of which the drawing does not tell whether air gets away by it.
#[derive(Debug, Clone, PartialEq)]
pub enum HangsOn {
    /// One that goes on beyond the drawing: its run.
    Beyond(Id),
    /// That of a cylinder, which is not drawn at all.
    NotDrawn,
}

/// A vertex of the drawing of pipes: its height, and the vertices beside it.
struct Vertex {
    z_mm: f64,
    beside: Vec<usize>,
    /// The run and the place along it; none at a node that is no run's own.
    on: Option<(usize, f64)>,
}

impl Circuit<'_> {
    /// For each run of stored water its worst high point, in the order of the runs.
    ///
    /// Air goes along pipes as long as it need not go down. From a vent, a cistern or a tap the highest ways are followed
    /// backward: a vertex is as well aired as the lowest point of its best way out.
    #[must_use]
    pub fn air_traps(&self) -> Vec<AirTrap> {
        let vertices = self.vertices();
        let mut traps = self.worst_traps(&vertices, &self.lowest_on_best_way(&vertices, &[]));
        let beyond: Vec<&super::Vent<'_>> = self.vents.iter().filter(|vent| vent.goes_on).collect();
        if let Some(vent) = beyond.first() {
            let tees: Vec<usize> = beyond.iter().map(|vent| vent.tee).collect();
            let if_aired = self.worst_traps(&vertices, &self.lowest_on_best_way(&vertices, &tees));
            for (trap, if_aired) in traps.iter_mut().zip(if_aired) {
                trap.hangs_on = (trap.depth_mm != if_aired.depth_mm).then(|| HangsOn::Beyond(vent.run.clone()));
            }
        }
        let unvented = self.draw_offs_without_vent();
        for trap in traps.iter_mut().filter(|trap| trap.depth_mm > 0.0 && unvented.contains(&&trap.run)) {
            trap.hangs_on.get_or_insert(HangsOn::NotDrawn);
        }
        traps
    }

    /// The hot pipes on cylinders whose vents are not drawn: any high point of them may be where the vent leaves.
    fn draw_offs_without_vent(&self) -> Vec<&Id> {
        let vented: HashSet<usize> = self.vents.iter().map(|vent| self.body_of[vent.tee]).collect();
        let is_vented =
            |vessel: &&super::Vessel<'_>| vessel.arms.iter().any(|arm| vented.contains(&self.body_of[*arm]));
        let pipes = self.vessels.iter().filter(|vessel| !is_vented(vessel));
        let pipes = pipes.flat_map(|vessel| self.site.attached(&vessel.cylinder.id));
        let runs = pipes.map(|pipe| self.site.run(pipe.run));
        runs.filter(|run| run.service == Service::HotDistribution).map(|run| &run.id).collect()
    }

    fn worst_traps(&self, vertices: &[Vertex], out_mm: &[f64]) -> Vec<AirTrap> {
        let mut worst: Vec<Option<AirTrap>> = vec![None; self.site.layout().runs.len()];
        for (vertex, out_mm) in vertices.iter().zip(out_mm) {
            let Some((run, at_mm)) = vertex.on else { continue };
            let is_high = vertex.beside.iter().all(|beside| vertices[*beside].z_mm <= vertex.z_mm);
            let depth_mm = if is_high && out_mm.is_finite() { (vertex.z_mm - out_mm).max(0.0) } else { 0.0 };
            let id = &self.site.run(run).id;
            let trap = AirTrap { run: id.clone(), at_mm, depth_mm, hangs_on: None };
            let known = worst[run].get_or_insert_with(|| trap.clone());
            if depth_mm > known.depth_mm {
                *known = trap;
            }
        }
        worst.into_iter().flatten().collect()
    }

    /// Nodes first, then the bends of each stretch.
    fn vertices(&self) -> Vec<Vertex> {
        let node = |z_mm: &f64| Vertex { z_mm: *z_mm, beside: Vec::new(), on: None };
        let mut vertices: Vec<Vertex> = self.node_mm.iter().map(node).collect();
        let join = |vertices: &mut Vec<Vertex>, a: usize, b: usize| {
            vertices[a].beside.push(b);
            vertices[b].beside.push(a);
        };
        for stretch in &self.stretches {
            let Some(line) = self.site.line(stretch.run) else { continue };
            let mut before = stretch.nodes.0;
            vertices[before].on.get_or_insert((stretch.run, stretch.along_mm.0));
            let bends = line.along().iter().zip(line.vertices());
            for (along_mm, bend) in
                bends.filter(|(along, _)| stretch.along_mm.0 < **along && **along < stretch.along_mm.1)
            {
                let on = Some((stretch.run, *along_mm));
                vertices.push(Vertex { z_mm: bend.y, beside: Vec::new(), on });
                let next = vertices.len() - 1;
                join(&mut vertices, before, next);
                before = next;
            }
            join(&mut vertices, before, stretch.nodes.1);
            vertices[stretch.nodes.1].on.get_or_insert((stretch.run, stretch.along_mm.1));
        }
        for vessel in &self.vessels {
            // Air rises through a cylinder to its highest pipe.
            let highest = vessel.arms.iter().copied().max_by(|a, b| self.node_mm[*a].total_cmp(&self.node_mm[*b]));
            for arm in vessel.arms.iter().filter(|arm| Some(**arm) != highest) {
                join(&mut vertices, *arm, highest.expect("there is at least this arm"));
            }
        }
        vertices
    }

    /// For each vertex the lowest point, mm, of the way out that goes least far down; -∞ where no way leads out. Air may
    /// leave at some more nodes.
    fn lowest_on_best_way(&self, vertices: &[Vertex], also: &[usize]) -> Vec<f64> {
        let mut out_mm = vec![f64::NEG_INFINITY; vertices.len()];
        let mut waiting: BinaryHeap<Waiting> = BinaryHeap::new();
        let taps = self.taps.iter().flat_map(super::Tap::nodes);
        let vents = self.vents.iter().filter(|vent| vent.top_mm.is_some()).map(|vent| vent.tee);
        for vertex in self.sources.iter().map(|source| source.node).chain(vents).chain(taps).chain(also.iter().copied())
        {
            waiting.push(Waiting { lowest_mm: vertices[vertex].z_mm, vertex });
        }
        while let Some(Waiting { lowest_mm, vertex }) = waiting.pop() {
            if lowest_mm <= out_mm[vertex] {
                continue;
            }
            out_mm[vertex] = lowest_mm;
            for &beside in &vertices[vertex].beside {
                let lowest_mm = lowest_mm.min(vertices[beside].z_mm);
                if lowest_mm > out_mm[beside] {
                    waiting.push(Waiting { lowest_mm, vertex: beside });
                }
            }
        }
        out_mm
    }
}

/// A vertex that waits to be settled; the one with the highest way out comes first.
#[derive(PartialEq)]
struct Waiting {
    lowest_mm: f64,
    vertex: usize,
}

impl Eq for Waiting {}

impl PartialOrd for Waiting {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Waiting {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.lowest_mm.total_cmp(&other.lowest_mm).then(other.vertex.cmp(&self.vertex))
    }
}
