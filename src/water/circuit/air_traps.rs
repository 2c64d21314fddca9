//! High points that hold air: where a pipe rises and falls again with no way up for the air.

use foldhash::HashSet;

use super::{Circuit, Stretch};
use crate::geom::ONE_JOINT_MM;
use crate::layout::{Cylinder, End, Id, Service, WhichEnd};
use crate::measure::air_pockets::narrowest_bore_mm;
use crate::num::lowest_passes;

/// A high point of a run and the air that stays in it.
#[derive(Debug, Clone, PartialEq)]
pub struct AirTrap {
    /// The run.
    pub run: Id,
    /// How far along it the high point is, mm.
    pub at_mm: f64,
    /// The other runs that meet there.
    pub met_by: Vec<Id>,
    /// How far the pipe has to fall, on the best way from here to where air can leave, mm; nothing where air gets away.
    pub depth_mm: f64,
    /// On what it hangs whether the air gets away.
    pub hangs_on: Option<HangsOn>,
}

/// What the drawing does not tell of ways by which air may get away.
#[derive(Debug, Clone, PartialEq)]
pub enum HangsOn {
    /// A pipe or a vent that goes on beyond the drawing: its run, and the high point if air gets away at its end.
    Beyond(Id, Box<AirTrap>),
    /// The vent of a cylinder, which is not drawn at all.
    NotDrawn,
}

/// A vertex of the drawing of pipes: its height, and the vertices beside it.
struct Vertex {
    z_mm: f64,
    beside: Vec<usize>,
    /// The runs that meet there, each with the place along it; none at a node that is no run's own.
    on: Vec<(usize, f64)>,
}

impl Circuit<'_> {
    /// For each run of stored water its worst high point, in the order of the runs; none of a draw-off that only lacks its
    /// vent.
    ///
    /// Air goes along pipes as long as it need not go down. From a vent, a cistern, a float valve or a tap the highest ways are followed
    /// backward: a vertex is as well aired as the lowest point of its best way out.
    #[must_use]
    pub fn air_traps(&self) -> Vec<AirTrap> {
        let vertices = self.vertices();
        let mut traps = self.worst_traps(&vertices, &self.lowest_on_best_way(&vertices, &[]));
        let beyond = self.ends_beyond();
        if !beyond.is_empty() {
            let ends: Vec<usize> = beyond.iter().map(|(node, _)| *node).collect();
            let if_aired = self.worst_traps(&vertices, &self.lowest_on_best_way(&vertices, &ends));
            for (trap, if_aired) in
                traps.iter_mut().zip(if_aired).filter(|(trap, aired)| trap.depth_mm != aired.depth_mm)
            {
                let run = self.beyond_for(trap, &beyond).clone();
                trap.hangs_on = Some(HangsOn::Beyond(run, Box::new(if_aired)));
            }
        }
        let is_on = |trap: &AirTrap, pipes: &[&Id]| {
            trap.depth_mm > 0.0 && std::iter::once(&trap.run).chain(&trap.met_by).any(|run| pipes.contains(&run))
        };
        let without_vent = |cylinder: &Cylinder| self.site.without_vent().contains(&cylinder.id);
        let certain = self.draw_offs_without_vent(without_vent);
        traps.retain(|trap| !is_on(trap, &certain));
        let not_drawn = self.draw_offs_without_vent(|cylinder| !without_vent(cylinder));
        for trap in traps.iter_mut().filter(|trap| is_on(trap, &not_drawn)) {
            trap.hangs_on.get_or_insert(HangsOn::NotDrawn);
        }
        traps
    }

    /// Where vents and pipes go on beyond the drawing, maybe up to where air gets away: the node, and the run.
    fn ends_beyond(&self) -> Vec<(usize, &Id)> {
        let vents = self.vents.iter().filter(|vent| vent.goes_on).map(|vent| (vent.tee, vent.run));
        let pipes = self.stretches.iter().flat_map(|stretch| {
            let run = self.site.run(stretch.run);
            let ends = [(stretch.nodes.0, stretch.along_mm.0), (stretch.nodes.1, stretch.along_mm.1)];
            let goes_on = |at_mm: f64| {
                let mut here =
                    WhichEnd::BOTH.into_iter().filter(|end| self.site.end_along(stretch.run, *end) == Some(at_mm));
                here.any(|end| matches!(run.end(end), End::Onward(_)) && !self.site.is_joined_at_end(stretch.run, end))
            };
            ends.into_iter().filter(move |(_, at_mm)| goes_on(*at_mm)).map(|(node, _)| (node, &run.id))
        });
        vents.chain(pipes).collect()
    }

    /// The run of those that go on that is most likely to air a high point: its own, or one in the same water.
    fn beyond_for<'b>(&self, trap: &AirTrap, beyond: &[(usize, &'b Id)]) -> &'b Id {
        let is_of_it = |stretch: &&Stretch| self.site.run(stretch.run).id == trap.run;
        let body = self.stretches.iter().find(is_of_it).map(|stretch| self.body_of[stretch.nodes.0]);
        let own = beyond.iter().find(|(_, run)| **run == trap.run);
        let joined = || beyond.iter().find(|(node, _)| Some(self.body_of[*node]) == body);
        own.or_else(joined).unwrap_or(&beyond[0]).1
    }

    /// The hot pipes on cylinders of a sort whose vents are not drawn, in however many runs they are: any high point of them
    /// may be where the vent leaves.
    fn draw_offs_without_vent(&self, is_of_sort: impl Fn(&Cylinder) -> bool) -> Vec<&Id> {
        let vented: HashSet<usize> = self.vents.iter().map(|vent| self.body_of[vent.tee]).collect();
        let is_vented =
            |vessel: &&super::Vessel<'_>| vessel.arms.iter().any(|arm| vented.contains(&self.body_of[*arm]));
        let pipes = self.vessels.iter().filter(|vessel| is_of_sort(vessel.cylinder) && !is_vented(vessel));
        let pipes = pipes.flat_map(|vessel| self.site.attached(&vessel.cylinder.id));
        let is_hot = |run: &usize| self.site.run(*run).service == Service::HotDistribution;
        let mut begin = pipes.map(|pipe| pipe.run).filter(is_hot).peekable();
        if begin.peek().is_none() {
            return Vec::new();
        }
        let pipe_of = self.site.pipe_of_runs();
        let pipes: HashSet<usize> = begin.map(|run| pipe_of[run]).collect();
        let runs = self.site.layout().runs.iter().zip(&pipe_of);
        runs.filter(|(_, pipe)| pipes.contains(pipe)).map(|(run, _)| &run.id).collect()
    }

    fn worst_traps(&self, vertices: &[Vertex], out_mm: &[f64]) -> Vec<AirTrap> {
        // By run: how deep its worst pocket is against the bore there, and that pocket.
        let mut worst: Vec<Option<(f64, AirTrap)>> = vec![None; self.site.layout().runs.len()];
        for (vertex, out_mm) in vertices.iter().zip(out_mm) {
            let is_high = vertex.beside.iter().all(|beside| vertices[*beside].z_mm <= vertex.z_mm);
            let depth_mm = if is_high && out_mm.is_finite() { (vertex.z_mm - out_mm).max(0.0) } else { 0.0 };
            let bore_mm = narrowest_bore_mm(self.site, vertex.on.iter().map(|(run, _)| *run));
            let depth_in_bores = depth_mm / bore_mm.unwrap_or(1.0);
            for &(run, at_mm) in &vertex.on {
                let is_worse = |(known, trap): &(f64, AirTrap)| {
                    depth_in_bores > *known || (depth_in_bores == *known && at_mm < trap.at_mm)
                };
                if worst[run].as_ref().is_none_or(is_worse) {
                    let id_of = |run: usize| self.site.run(run).id.clone();
                    let others = vertex.on.iter().filter(|(other, _)| *other != run);
                    let met_by = others.map(|(other, _)| id_of(*other)).collect();
                    let trap = AirTrap { run: id_of(run), at_mm, met_by, depth_mm, hangs_on: None };
                    worst[run] = Some((depth_in_bores, trap));
                }
            }
        }
        worst.into_iter().flatten().map(|(_, trap)| trap).collect()
    }

    /// Nodes first, then the bends of each stretch.
    fn vertices(&self) -> Vec<Vertex> {
        let node = |z_mm: &f64| Vertex { z_mm: *z_mm, beside: Vec::new(), on: Vec::new() };
        let mut vertices: Vec<Vertex> = self.node_mm.iter().map(node).collect();
        for stretch in &self.stretches {
            for (node, at_mm) in [(stretch.nodes.0, stretch.along_mm.0), (stretch.nodes.1, stretch.along_mm.1)] {
                if vertices[node].on.iter().all(|(run, _)| *run != stretch.run) {
                    vertices[node].on.push((stretch.run, at_mm));
                }
            }
        }
        let join = |vertices: &mut Vec<Vertex>, a: usize, b: usize| {
            vertices[a].beside.push(b);
            vertices[b].beside.push(a);
        };
        for stretch in &self.stretches {
            let Some(line) = self.site.line(stretch.run) else { continue };
            let (from_mm, to_mm) = stretch.along_mm;
            let mut before = stretch.nodes.0;
            for (along_mm, bend) in line.along().iter().zip(line.vertices()) {
                if *along_mm <= from_mm || *along_mm >= to_mm {
                    continue;
                }
                let mut on = vec![(stretch.run, *along_mm)];
                // A tee that is written a little beside the bend in which it sits is in it.
                for (node, at_mm) in [(stretch.nodes.0, from_mm), (stretch.nodes.1, to_mm)] {
                    if (along_mm - at_mm).abs() < ONE_JOINT_MM {
                        on.extend(vertices[node].on.iter().filter(|(run, _)| *run != stretch.run));
                    }
                }
                vertices.push(Vertex { z_mm: bend.y, beside: Vec::new(), on });
                let next = vertices.len() - 1;
                join(&mut vertices, before, next);
                before = next;
            }
            join(&mut vertices, before, stretch.nodes.1);
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
        let taps = self.taps.iter().flat_map(super::Tap::nodes);
        let vents = self.vents.iter().filter(|vent| vent.top_mm.is_some()).map(|vent| vent.tee);
        let float_valves = self.inlets.iter().map(|inlet| inlet.node);
        let holes = self.sources.iter().map(|source| source.node);
        let ends = holes.chain(float_valves).chain(vents).chain(taps).chain(also.iter().copied());
        // Turned upside down, the lowest point of a way is its highest.
        let depths_mm: Vec<f64> = vertices.iter().map(|vertex| -vertex.z_mm).collect();
        let lowest_mm = lowest_passes(&depths_mm, |vertex| &vertices[vertex].beside, ends);
        lowest_mm.into_iter().map(|depth_mm| -depth_mm).collect()
    }
}
