//! What lies under a point of the section: parts, smallest first, and the handles of a run.

use std::rc::Rc;

use glam::DVec2;

use crate::geom::Polyline;
pub use crate::layout::extent;
use crate::layout::{End, Id, Layout, PartRef, Run, Traces, WhichEnd};

/// A place on a selected run that can be dragged by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Handle {
    /// A bend, by its number.
    Bend(usize),
    /// An end.
    End(WhichEnd),
    /// A fitting, by its number.
    Fitting(usize),
}

/// The end of a note's leader, which can be dragged by itself.
#[must_use]
pub fn pointer(part: PartRef<'_>) -> Option<DVec2> {
    match part {
        PartRef::Note(note) => note.points_at.map(|point| point.vector()),
        _ => None,
    }
}

/// The lines of all runs, beside the layout in which they run.
pub struct Lines<'a> {
    layout: &'a Layout,
    traces: Rc<Traces>,
}

impl<'a> Lines<'a> {
    /// Follows every run of a layout.
    #[must_use]
    pub fn of(layout: &'a Layout) -> Self {
        Self::along(layout, Rc::new(Traces::of(layout)))
    }

    /// The same for a layout whose runs have been followed already.
    #[must_use]
    pub const fn along(layout: &'a Layout, traces: Rc<Traces>) -> Self {
        Self { layout, traces }
    }

    /// The line of a run.
    #[must_use]
    pub fn line(&self, id: &Id) -> Option<&Polyline> {
        self.traces.of_run(id)
    }

    /// Parts under a point, nearest first: runs before boxes, small boxes before large ones.
    #[must_use]
    pub fn under(&self, point: DVec2, reach_mm: f64) -> Vec<Id> {
        let mut found: Vec<(f64, Id)> = Vec::new();
        for part in self.layout.parts() {
            if let PartRef::Run(run) = part {
                let off = self.line(&run.id).map(|line| line.nearest(point).1);
                if let Some(off) = off.filter(|off| *off <= reach_mm) {
                    found.push((off, run.id.clone()));
                }
            } else if let Some((low, high)) = extent(part) {
                let within = point.cmpge(low - reach_mm / 2.0).all() && point.cmple(high + reach_mm / 2.0).all();
                if within {
                    found.push((reach_mm + (high - low).element_product(), part.id().clone()));
                }
            }
        }
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        found.into_iter().map(|(_, id)| id).collect()
    }

    /// The handle of a run under a point. Where handles lie on one another an end goes before a fitting, and that before
    /// a bend: the others can be had once the end has been drawn aside.
    #[must_use]
    pub fn handle(&self, run: &Run, point: DVec2, reach_mm: f64) -> Option<Handle> {
        let handles = self.handles(run).into_iter().map(|(handle, place)| (handle, place.distance(point)));
        let near = handles.filter(|(_, off_mm)| *off_mm <= reach_mm);
        let cost = |(handle, off_mm): &(Handle, f64)| match handle {
            Handle::End(_) => *off_mm,
            Handle::Fitting(_) => off_mm + reach_mm / 4.0,
            Handle::Bend(_) => off_mm + reach_mm / 2.0,
        };
        near.min_by(|a, b| cost(a).total_cmp(&cost(b))).map(|(handle, _)| handle)
    }

    /// All handles of a run, with their places.
    #[must_use]
    pub fn handles(&self, run: &Run) -> Vec<(Handle, DVec2)> {
        let mut handles: Vec<(Handle, DVec2)> = Vec::new();
        if let Some(line) = self.line(&run.id) {
            for (number, fitting) in run.fittings.iter().flatten().enumerate() {
                handles.push((Handle::Fitting(number), line.point_at(fitting.at.to_mm())));
            }
        }
        handles.extend(run.via.iter().enumerate().map(|(number, bend)| (Handle::Bend(number), bend.vector())));
        for which in WhichEnd::BOTH {
            match run.end(which) {
                End::Open(point) | End::Onward(point) => handles.push((Handle::End(which), point.vector())),
                End::Tee(other, along) => {
                    if let Some(line) = self.line(other) {
                        handles.push((Handle::End(which), line.point_at(along.to_mm())));
                    }
                }
                End::Port(part, port) => {
                    let place = self.layout.part(part).and_then(|part| part.port(port.as_str()));
                    handles.extend(place.map(|place| (Handle::End(which), place.vector())));
                }
            }
        }
        handles
    }

    /// The valve, drain cock or pump at a point, and the run that it is in.
    #[must_use]
    pub fn fitting_at(&self, point: DVec2, reach_mm: f64) -> Option<(Id, Handle)> {
        let near = self.layout.runs.iter().flat_map(|run| {
            let fittings = self.handles(run).into_iter().filter(|(handle, _)| matches!(handle, Handle::Fitting(_)));
            fittings.map(move |(handle, place)| (place.distance(point), run.id.clone(), handle))
        });
        let nearest = near.filter(|(off, ..)| *off <= reach_mm).min_by(|a, b| a.0.total_cmp(&b.0))?;
        Some((nearest.1, nearest.2))
    }

    /// The box around any part.
    #[must_use]
    pub fn extent(&self, part: PartRef<'_>) -> Option<(DVec2, DVec2)> {
        match part {
            PartRef::Run(run) => {
                let vertices = self.line(&run.id)?.vertices();
                let low = vertices.iter().copied().reduce(DVec2::min)?;
                Some((low, vertices.iter().copied().reduce(DVec2::max)?))
            }
            other => extent(other),
        }
    }
}
