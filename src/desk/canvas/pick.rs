//! What is under the pointer: what it takes hold of, what a click selects, and where a bend goes into a run.

use glam::DVec2;

use super::hit::{Handle, Lines};
use super::hold::{Held, Hold};
use super::snap::SnapMarks;
use super::{Pointing, pieces};
use crate::desk::moves::Moves;
use crate::desk::{Action, Grip, Outlook};
use crate::layout::{Edit, Id, Layout, Part, PartRef, Run, Side};

/// How near the pointer must come to something to catch it, in points.
pub const REACH: f32 = 7.0;
/// How near the pointer must come to the handle on a side, in points: all around it the part itself is moved.
const SIDE_REACH: f32 = 5.0;
/// How much further than that a handle or the symbol of a fitting reaches.
const HANDLE_REACH: f64 = 1.3;

/// Takes hold of what is under a point: a handle of the selected run, the selected part, the nearest part, or what of
/// the building is there.
#[must_use]
pub fn take_hold(pointing: &Pointing<'_>, at: DVec2, mm_per_point: f64, moves: &Moves) -> Option<Hold> {
    let Pointing { session, outlook, lines, .. } = pointing;
    let layout = session.shared();
    let (grip, held) = grasped(&layout, lines, outlook, at, mm_per_point)?;
    let mut marks = marks_for(&layout, &grip);
    if let (Grip::Part(id), Held::Handle(Handle::Bend(number))) = (&grip, held) {
        let run = layout.run(id)?;
        neighbours(run, number, lines).into_iter().for_each(|place| marks.add(place, "the next bend"));
    }
    let so_far = moves.so_far(&grip, &layout);
    Some(Hold::begun(at, (grip, held), layout, so_far, marks))
}

/// What is under a point to be held, and which piece of it.
fn grasped(
    layout: &Layout,
    lines: &Lines<'_>,
    outlook: &Outlook,
    at: DVec2,
    mm_per_point: f64,
) -> Option<(Grip, Held)> {
    let reach = f64::from(REACH) * mm_per_point;
    let under = lines.under(at, reach);
    match outlook.grip() {
        Some(Grip::Part(id)) if points_at(layout, &id, at, reach) => return Some((Grip::Part(id), Held::Pointer)),
        Some(Grip::Part(id)) => {
            if let Some(side) = side_at(layout, &id, at, f64::from(SIDE_REACH) * mm_per_point) {
                return Some((Grip::Part(id), Held::Side(side)));
            }
        }
        Some(Grip::Group(ids)) if under.iter().any(|id| ids.contains(id)) => {
            return Some((Grip::Group(ids), Held::Whole));
        }
        _ => {}
    }
    if let Some((run, handle)) = handle_at(layout, lines, outlook, at, reach) {
        let grip = match handle {
            Handle::Fitting(number) => Grip::Fitting(run, number),
            Handle::Bend(_) | Handle::End(_) => Grip::Part(run),
        };
        return Some((grip, Held::Handle(handle)));
    }
    let on_building = pieces::under(&layout.building, outlook.piece, at, reach);
    // The handles of a selected piece of the building stand before what lies over them.
    let is_its_handle = outlook.piece.is_some() && on_building.is_some_and(|piece| piece != piece.whole());
    let part = outlook.selected.as_ref().filter(|id| under.contains(id)).or(under.first());
    match part.filter(|_| !is_its_handle) {
        Some(id) => {
            let run = layout.run(id);
            let stretch = run.map(|run| Held::Stretch(nearest_stretch(run, lines, at)));
            Some((Grip::Part(id.clone()), stretch.unwrap_or(Held::Whole)))
        }
        None => Some((Grip::Piece(on_building?), Held::Whole)),
    }
}

/// A handle of the selected run, or else a valve, which can be slid at once, whatever is selected: nobody would look for
/// one that moves only with its pipe.
fn handle_at(layout: &Layout, lines: &Lines<'_>, outlook: &Outlook, at: DVec2, reach_mm: f64) -> Option<(Id, Handle)> {
    // Of a run of which one fitting is chosen, no other handle is shown.
    let selected = outlook.selected.as_ref().filter(|_| outlook.fitting.is_none());
    let run = selected.and_then(|id| layout.run(id));
    let handle = run.and_then(|run| Some((run.id.clone(), lines.handle(run, at, HANDLE_REACH * reach_mm)?)));
    handle.or_else(|| lines.fitting_at(at, reach_mm))
}

/// What there is to snap to while something is moved: whatever does not move with it.
fn marks_for(layout: &Layout, grip: &Grip) -> SnapMarks {
    match grip {
        Grip::Part(id) | Grip::Fitting(id, _) => {
            let moved = layout.with_what_stands_on(id);
            let marks = SnapMarks::of(layout, &moved);
            match layout.part(id) {
                Some(PartRef::Outlet(outlet)) => marks.for_outlet(outlet.kind),
                Some(PartRef::Cistern(_) | PartRef::Cylinder(_)) => marks.for_vessel(layout, &moved),
                _ => marks,
            }
        }
        Grip::Group(ids) => SnapMarks::of(layout, &layout.with_all_that_stands_on(ids)),
        Grip::Piece(piece) => {
            let rest = Layout { building: layout.building.without(*piece), ..layout.clone() };
            SnapMarks::of(&rest, &[])
        }
    }
}

/// Whether a part is a note that points at a place.
fn points_at(layout: &Layout, id: &Id, at: DVec2, reach_mm: f64) -> bool {
    let pointer = layout.part(id).and_then(super::hit::pointer);
    pointer.is_some_and(|place| place.distance(at) <= reach_mm)
}

/// The side of a part that can be caught at a point.
fn side_at(layout: &Layout, id: &Id, at: DVec2, reach_mm: f64) -> Option<Side> {
    let sides = layout.part(id)?.sides();
    let near = sides.into_iter().filter(|(_, place)| place.distance(at) <= reach_mm);
    near.min_by(|a, b| a.1.distance(at).total_cmp(&b.1.distance(at))).map(|(side, _)| side)
}

/// What to select when something is clicked: repeated clicks go through all that lies there.
#[must_use]
pub fn next_under(pointing: &Pointing<'_>, at: DVec2, mm_per_point: f64) -> (Option<Grip>, String) {
    let Pointing { session, outlook, lines, .. } = pointing;
    let layout = session.layout();
    let reach = f64::from(REACH) * mm_per_point;
    let mut under: Vec<Grip> = lines.under(at, reach).into_iter().map(Grip::Part).collect();
    under.extend(pieces::under(&layout.building, None, at, reach).map(Grip::Piece));
    if let Some((run, Handle::Fitting(number))) = lines.fitting_at(at, HANDLE_REACH * reach) {
        // Its pipe comes last, so that it is chosen first though that is selected.
        let pipe = Grip::Part(run.clone());
        under.retain(|grip| *grip != pipe);
        under.insert(0, Grip::Fitting(run, number));
        under.push(pipe);
    }
    let now = match outlook.grip() {
        Some(Grip::Piece(piece)) => Some(Grip::Piece(piece.whole())),
        other => other,
    };
    let place = now.and_then(|grip| under.iter().position(|other| *other == grip));
    let next = match place {
        Some(place) => (place + 1) % under.len(),
        None => 0,
    };
    let words = match (under.get(next), under.len()) {
        (None, _) => String::new(),
        // What may be done with it is said as long as it is chosen.
        (Some(Grip::Fitting(..)), _) => String::new(),
        (Some(grip), 1) => grip.name(layout),
        (Some(grip), count) => {
            let name = grip.name(layout);
            format!("{name}: {} of {count} under the pointer, click again for the next", next + 1)
        }
    };
    (under.get(next).cloned(), words)
}

/// Where a bend goes into a run: near the pointer, where that is on it and clear of its bends and ends; else in the middle
/// of its longest stretch.
pub fn place_of_bend(layout: &Layout, id: &Id, pointer: Option<DVec2>, reach_mm: f64) -> Option<DVec2> {
    let lines = Lines::of(layout);
    let line = lines.line(id)?;
    let is_on = |at: &DVec2| {
        line.nearest(*at).1 <= reach_mm && line.vertices().iter().all(|vertex| vertex.distance(*at) > reach_mm)
    };
    let longer = |a: (DVec2, DVec2), b: (DVec2, DVec2)| if b.0.distance(b.1) > a.0.distance(a.1) { b } else { a };
    pointer.filter(is_on).or_else(|| line.segments().reduce(longer).map(|(from, to)| from.midpoint(to)))
}

/// The change that puts a bend into a run at a place.
#[must_use]
pub fn insert_bend(layout: &Layout, id: &Id, at: DVec2) -> Option<Action> {
    let run = layout.run(id)?;
    let lines = Lines::of(layout);
    let line = lines.line(id)?;
    let stretch = nearest_stretch(run, &lines, at);
    let mut changed = run.clone();
    let place = line.point_at(line.nearest(at).0).round();
    changed.via.insert(stretch.min(changed.via.len()), place.into());
    Some(Action::edit(format!("Add a bend to {}", id.spoken()), Edit::put(Part::Run(changed))))
}

/// The vertices of a run: its ends, and every bend between.
pub(super) fn vertices(run: &Run, lines: &Lines<'_>) -> Vec<DVec2> {
    let ends = lines.line(&run.id).map(|line| (line.point_at(0.0), line.point_at(line.length())));
    let (from, to) = ends.unwrap_or_default();
    run.vertices(from, to)
}

/// The number of the stretch nearest to a point: 0 runs from the beginning to the first bend.
fn nearest_stretch(run: &Run, lines: &Lines<'_>, at: DVec2) -> usize {
    let off = |pair: &[DVec2]| {
        let run = pair[1] - pair[0];
        let share = ((at - pair[0]).dot(run) / run.length_squared().max(1e-9)).clamp(0.0, 1.0);
        at.distance(pair[0] + run * share)
    };
    let vertices = vertices(run, lines);
    let numbered = vertices.windows(2).enumerate();
    numbered.min_by(|a, b| off(a.1).total_cmp(&off(b.1))).map_or(0, |(number, _)| number)
}

fn neighbours(run: &Run, bend: usize, lines: &Lines<'_>) -> Vec<DVec2> {
    let points = vertices(run, lines);
    [points.get(bend), points.get(bend + 2)].into_iter().flatten().copied().collect()
}
