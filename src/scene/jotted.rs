//! What is jotted on the drawing by hand: notes with what they point at, and the sign of a dimension that is held.

use glam::{DVec2, dvec2};

use super::{Ink, Origin, Pen, PenWidth, Scene, Shape, Symbol, TextSize};
use crate::geom::Point;
use crate::layout::{Held, Id, Layout, Lock, Note, PartRef, Traces, extent};

/// A note without words is shown as this, or nobody would find it.
const EMPTY: &str = "…";
/// A note's leader begins this far before its words and at half the height of its letters, mm of the section.
const BEFORE_WORDS_MM: f64 = 40.0;

pub(super) fn note(scene: &mut Scene, note: &Note) {
    let origin = Origin::Part(note.id.clone());
    let at = note.at.vector();
    if let Some(to) = note.points_at {
        let from = dvec2(at.x - BEFORE_WORDS_MM, at.y);
        scene.line(&origin, [from, to.vector()], Pen::solid(Ink::Ink, PenWidth::Fine));
        scene.add(&origin, Shape::Symbol { at: to.vector(), along: DVec2::X, symbol: Symbol::Tee, ink: Ink::Ink });
    }
    let words = if note.words.trim().is_empty() { EMPTY } else { &note.words };
    let lines = words.lines().map(str::to_owned).collect();
    scene.add(&origin, Shape::Words { at, lines, size: TextSize::Small, ink: Ink::Ink });
}

/// A bar with feet beside each dimension that is held; a distance has a line from part to part.
pub(super) fn held(scene: &mut Scene, layout: &Layout) {
    for lock in &layout.locks {
        if let Some((from, to)) = apart(layout, lock) {
            scene.line(&Origin::Part(lock.part.clone()), [from, to], Pen::solid(Ink::Ink, PenWidth::Fine));
        }
        if let Some((at, along)) = place(layout, lock) {
            let symbol = Shape::Symbol { at, along, symbol: Symbol::Held, ink: Ink::Ink };
            scene.add(&Origin::Part(lock.part.clone()), symbol);
        }
    }
}

/// From where to where a distance is held: along the level, or the upright line, of the part that keeps it.
fn apart(layout: &Layout, lock: &Lock) -> Option<(DVec2, DVec2)> {
    let place = |id: &Id| layout.part(id)?.at().map(Point::vector);
    let (to, from) = (place(&lock.part)?, place(lock.holds.other()?)?);
    Some(match lock.holds {
        Held::UpFrom(_) => (dvec2(to.x, from.y), to),
        _ => (dvec2(from.x, to.y), to),
    })
}

/// Where the sign of a lock stands, and the direction of what it holds.
fn place(layout: &Layout, lock: &Lock) -> Option<(DVec2, DVec2)> {
    let part = layout.part(&lock.part)?;
    if let (Held::Fall, PartRef::Run(run)) = (&lock.holds, part) {
        let traces = Traces::of(layout);
        let stretches = traces.of_run(&run.id)?.segments();
        let (from, to) = stretches.max_by(|a, b| (a.1 - a.0).x.abs().total_cmp(&(b.1 - b.0).x.abs()))?;
        return Some((from.midpoint(to), to - from));
    }
    if let Some((from, to)) = apart(layout, lock) {
        let along = if matches!(lock.holds, Held::UpFrom(_)) { DVec2::Y } else { DVec2::X };
        return Some((from.midpoint(to), along));
    }
    let (low, high) = extent(part)?;
    let share = |x: f64, z: f64| dvec2(low.x + (high.x - low.x) * x, low.y + (high.y - low.y) * z);
    Some(match &lock.holds {
        Held::Level => match part {
            PartRef::Outlet(outlet) => (dvec2(share(0.25, 0.0).x, outlet.at.z.to_mm()), DVec2::X),
            PartRef::Platform(_) => (share(0.25, 1.0), DVec2::X),
            _ => (share(0.25, 0.0), DVec2::X),
        },
        Held::Length => (share(0.75, 0.0), DVec2::X),
        Held::Across => (share(0.0, 0.25), DVec2::Y),
        Held::Height => (share(1.0, 0.75), DVec2::Y),
        Held::WaterLine => match part {
            PartRef::Cistern(cistern) => (dvec2(share(0.75, 0.0).x, cistern.water_level()?.to_mm()), DVec2::X),
            _ => return None,
        },
        Held::Port(port) => (part.port(port.as_str())?.vector(), DVec2::X),
        Held::Fall | Held::AcrossFrom(_) | Held::UpFrom(_) => return None,
    })
}
