//! Parts turned about from left to right, about the middle of the box around them.

use glam::{DVec2, dvec2};

use super::anchoring::ON_THE_RUN_MM;
use super::following::{FarEnd, STILL_MM, carry_first, carry_last};
use super::{
    COIL_FLOW, COIL_RETURN, COLD_INLET, Connection, Cylinder, DRAW_OFF, Edit, End, Id, Layout, Lie, PRIMARY_FLOW,
    PRIMARY_RETURN, Part, PartRef, Run, Tapping, Traces, WhichEnd, apply, extent,
};
use crate::geom::{Point, Polyline};
use crate::units::Length;

impl Layout {
    /// The change that mirrors parts left to right; none when they have no place. Pipes among them are mirrored with
    /// them, and those that join them follow.
    #[must_use]
    pub fn mirrored(&self, ids: &[Id]) -> Option<Edit> {
        let ids = self.with_all_that_stands_on(ids);
        let boxes =
            ids.iter().filter(|id| !matches!(self.part(id), Some(PartRef::Run(_)))).cloned().collect::<Vec<_>>();
        let (low, high) = self.extent_of_all(if boxes.is_empty() { &ids } else { &boxes })?;
        let about = low.x + high.x;
        let turned: Vec<Part> = boxes.iter().filter_map(|id| Some(mirrored_part(self.part(id)?, about))).collect();
        // Pipes that are not mirrored follow first: some that are may stand on them.
        let mut mirrored = apply(self, &Edit::Arrange(turned.clone())).unwrap_or_else(|_| self.clone());
        for part in turned {
            mirrored.replace_or_add(&part.id().clone(), part);
        }
        // Runs come after what they stand on.
        let old = Traces::of(self);
        for number in old.order(&self.runs) {
            let run = &self.runs[number];
            if ids.contains(&run.id)
                && let Some(vertices) = old.vertices(number, run)
            {
                let turned = mirrored_run(run, vertices, about, &mirrored);
                mirrored.replace_or_add(&run.id, Part::Run(turned));
            }
        }
        let parts = ids.iter().filter_map(|id| mirrored.part(id)).map(|part| part.to_part());
        Some(Edit::Arrange(parts.collect()))
    }
}

/// A part other than a run, turned about the upright line at half of `about`.
fn mirrored_part(part: PartRef<'_>, about: f64) -> Part {
    let mut turned = part.to_part();
    if let (Some((low, high)), Some(at)) = (extent(part), turned.at_mut()) {
        // An outlet stands at its middle, everything else at its left side.
        let off_mm = at.x.to_mm() - low.x;
        let left = about - high.x;
        *at = Point::mm(if matches!(part, PartRef::Outlet(_)) { left + off_mm } else { left }, at.z.to_mm());
    }
    match &mut turned {
        Part::Cistern(cistern) => {
            let length = cistern.length.to_mm();
            for hole in &mut cistern.connections {
                hole.on = turned_tapping(hole.on, length);
            }
            if let Some(valve) = &mut cistern.float_valve {
                valve.shank = turned_tapping(valve.shank, length);
            }
        }
        Part::Cylinder(cylinder) => turn_cylinder(cylinder),
        Part::Platform(platform) => {
            let length = platform.length.to_mm();
            for bearers in platform.bearers.iter_mut().filter(|bearers| bearers.lie == Lie::EndOn) {
                let last_mm =
                    bearers.first.to_mm() + f64::from(bearers.count.saturating_sub(1)) * bearers.spacing.to_mm();
                bearers.first = Length::mm(length - last_mm);
            }
        }
        Part::Note(note) => {
            note.points_at = note.points_at.map(|point| Point::mm(about - point.x.to_mm(), point.z.to_mm()));
        }
        Part::Boiler(_) | Part::Outlet(_) | Part::Run(_) => {}
    }
    turned
}

fn turned_tapping(on: Tapping, length_mm: f64) -> Tapping {
    let across = |along: Length| Length::mm(length_mm - along.to_mm());
    match on {
        Tapping::Left(up) => Tapping::Right(up),
        Tapping::Right(up) => Tapping::Left(up),
        Tapping::Base(along) => Tapping::Base(across(along)),
        Tapping::Top(along) => Tapping::Top(across(along)),
    }
}

/// Turns every connection, stated or usual; what then stands where most makers put it need not be stated.
fn turn_cylinder(cylinder: &mut Cylinder) {
    let diameter = cylinder.diameter.to_mm();
    let usual = [COLD_INLET, DRAW_OFF, COIL_FLOW, COIL_RETURN, PRIMARY_FLOW, PRIMARY_RETURN];
    let unstated =
        usual.into_iter().filter(|name| !cylinder.connections.iter().any(|hole| hole.port.as_str() == *name));
    let unstated: Vec<Connection> = unstated
        .filter_map(|name| Some(Connection { port: Id::of(name), on: cylinder.usual_tapping(name)? }))
        .collect();
    cylinder.connections.extend(unstated);
    for hole in &mut cylinder.connections {
        hole.on = turned_tapping(hole.on, diameter);
    }
    let kept: Vec<Connection> = (cylinder.connections.iter())
        .filter(|hole| cylinder.usual_tapping(hole.port.as_str()) != Some(hole.on))
        .cloned()
        .collect();
    cylinder.connections = kept;
}

/// A run turned about; where a port has not gone to the other side, the run follows it.
fn mirrored_run(run: &Run, vertices: Vec<DVec2>, about: f64, now: &Layout) -> Run {
    let mut changed = run.clone();
    let mut line: Vec<DVec2> = vertices.into_iter().map(|point| dvec2(about - point.x, point.y)).collect();
    let traces = Traces::of(now);
    let host_of = |end: &End| traces.of_run(end.teed_on()?);
    for which in WhichEnd::BOTH {
        let now_at = match which {
            WhichEnd::From => line[0],
            WhichEnd::To => line[line.len() - 1],
        };
        let wanted = match changed.end(which) {
            End::Open(_) | End::Onward(_) => Some(now_at),
            End::Port(part, port) => now.part(part).and_then(|part| part.port(port.as_str())).map(Point::vector),
            End::Tee(_, along) => host_of(changed.end(which)).map(|host| host.point_at(along.to_mm())),
        };
        let by = wanted.unwrap_or(now_at) - now_at;
        if by.abs().max_element() >= STILL_MM {
            let far = which.other();
            let hosts = host_of(changed.end(far));
            line = carried(&line, which, by, changed.end_mut(far), hosts);
        }
    }
    changed.put_through(&line);
    changed
}

/// The line with one end carried along; the other end goes too where it is free, or is a tee that can slide.
fn carried(line: &[DVec2], which: WhichEnd, by: DVec2, far: &mut End, host: Option<&Polyline>) -> Vec<DVec2> {
    let carry = |far_end: FarEnd| {
        let mut line = line.to_vec();
        match which {
            WhichEnd::From => carry_first(&mut line, by, far_end),
            WhichEnd::To => carry_last(&mut line, by, far_end),
        };
        line
    };
    let loose = carry(FarEnd::Loose);
    let place = match which {
        WhichEnd::From => loose[loose.len() - 1],
        WhichEnd::To => loose[0],
    };
    match (far, host) {
        (End::Open(_) | End::Onward(_), _) => loose,
        (End::Tee(_, along), Some(host)) if host.nearest(place).1 < ON_THE_RUN_MM => {
            *along = Length::mm(host.nearest(place).0);
            loose
        }
        _ => carry(FarEnd::Fast),
    }
}
