//! The box around a part: what is caught, aligned, mirrored and selected by.

use glam::{DVec2, dvec2};

use super::{Id, Layout, PartRef, Platform, Traces};
use crate::geom::Point;

/// A letter of a note is about so wide, and a line so high, mm: at the scale of a whole house.
const LETTER_MM: (f64, f64) = (95.0, 190.0);

/// The box around a part that is not a run, mm.
#[must_use]
pub fn extent(part: PartRef<'_>) -> Option<(DVec2, DVec2)> {
    let sized = |at: Point, size: DVec2| Some((at.vector(), at.vector() + size));
    match part {
        PartRef::Cistern(cistern) => sized(cistern.at, dvec2(cistern.length.to_mm(), cistern.height.to_mm())),
        PartRef::Cylinder(cylinder) => sized(cylinder.at, dvec2(cylinder.diameter.to_mm(), cylinder.height.to_mm())),
        PartRef::Boiler(boiler) => sized(boiler.at, dvec2(boiler.length.to_mm(), boiler.height.to_mm())),
        PartRef::Platform(platform) => {
            let depth = platform_depth_mm(platform);
            Some((platform.at.vector() - dvec2(0.0, depth), platform.at.vector() + dvec2(platform.length.to_mm(), 0.0)))
        }
        PartRef::Outlet(outlet) => {
            let (low, high) = outlet.kind.figure_mm();
            Some((outlet.at.vector() + low, outlet.at.vector() + high))
        }
        PartRef::Note(note) => {
            let longest = note.words.lines().map(|line| line.chars().count()).max().unwrap_or(0).max(4);
            let lines = note.words.lines().count().max(1);
            let size = dvec2(longest as f64 * LETTER_MM.0, lines as f64 * LETTER_MM.1);
            let at = note.at.vector();
            Some((at + dvec2(0.0, LETTER_MM.1 - size.y), at + dvec2(size.x, LETTER_MM.1)))
        }
        PartRef::Run(_) => None,
    }
}

/// Board, frame and bearers, as far as they are told; never so thin that it cannot be caught.
fn platform_depth_mm(platform: &Platform) -> f64 {
    platform.drawn_board_mm() + platform.stands_up_mm()
}

impl Layout {
    /// The box around any part, mm; `None` when it is not there, or is a run without a place.
    #[must_use]
    pub fn extent(&self, id: &Id) -> Option<(DVec2, DVec2)> {
        match self.part(id)? {
            PartRef::Run(run) => {
                let traces = Traces::of(self);
                let vertices = traces.of_run(&run.id)?.vertices();
                let low = vertices.iter().copied().reduce(DVec2::min)?;
                Some((low, vertices.iter().copied().reduce(DVec2::max)?))
            }
            other => extent(other),
        }
    }

    /// The box around several parts, mm.
    #[must_use]
    pub fn extent_of_all(&self, ids: &[Id]) -> Option<(DVec2, DVec2)> {
        let boxes = ids.iter().filter_map(|id| self.extent(id));
        boxes.reduce(|(low, high), (other_low, other_high)| (low.min(other_low), high.max(other_high)))
    }

    /// The parts that lie wholly within a box, in painting order.
    #[must_use]
    pub fn within(&self, low: DVec2, high: DVec2) -> Vec<Id> {
        let inside = |id: &&Id| self.extent(id).is_some_and(|(from, to)| from.cmpge(low).all() && to.cmple(high).all());
        self.parts().map(|part| part.id()).filter(inside).cloned().collect()
    }
}
