//! Selecting and dragging: parts, stretches and bends of runs, ends, fittings, pieces of the building.

use std::sync::Arc;

use glam::{DVec2, dvec2};

use super::anchor::{Anchor, Sought, Way};
use super::closing::joined_by;
use super::hit::{Handle, Lines, extent};
use super::snap::{BoxSnap, Marks, Snapping, Standing, line_words};
use super::{joint, pieces, stretch};
use crate::desk::moves::{Course, Moves};
use crate::desk::{Action, Grip, Outlook, ways};
use crate::layout::{Edit, Id, Layout, Note, Part, PartRef, Run, Side};
use crate::units::Length;

/// How near the pointer must come to something to catch it, in points.
pub const REACH: f32 = 7.0;
/// How near the pointer must come to the handle on a side, in points: all around it the part itself is moved.
const SIDE_REACH: f32 = 5.0;
/// A drag that strays less than this from one axis is meant along the other, in points.
const SLIP: f32 = 4.0;
/// How much further than that a handle or the symbol of a fitting reaches.
const HANDLE_REACH: f64 = 1.3;
/// Fittings are set out in steps of this, mm.
const FITTING_STEP_MM: f64 = 5.0;

/// What the pointer took hold of, as it was then.
#[derive(Debug)]
pub struct Hold {
    /// Where.
    from: DVec2,
    /// Of what.
    grip: Grip,
    /// Which piece of it.
    piece: Piece,
    /// The layout from before it was moved.
    before: Arc<Layout>,
    /// From where its moves are reckoned, and how far this one has gone, mm.
    course: Course,
    by: DVec2,
    /// What there is to snap to.
    marks: Marks,
    /// Where the pointer was when it was last moved, and how it snapped.
    last: Option<(DVec2, Snapping)>,
    /// To what it snapped last.
    pub words: String,
    /// The level and the upright line that it shares with something else, to be shown as lines.
    pub guides: (Option<f64>, Option<f64>),
    /// The equal gaps in which it stands, from edge to edge.
    pub gaps: Vec<(DVec2, DVec2)>,
}

#[derive(Debug, Clone, Copy)]
enum Piece {
    Whole,
    Side(Side),
    Stretch(usize),
    Handle(Handle),
    /// The end of a note's leader.
    Pointer,
}

/// Takes hold of what is under a point: a handle of the selected run, the selected part, the nearest part, or what of
/// the building is there.
#[must_use]
pub fn take_hold(layout: &Arc<Layout>, outlook: &Outlook, at: DVec2, mm_per_point: f64, moves: &Moves) -> Option<Hold> {
    let reach = f64::from(REACH) * mm_per_point;
    let selected = outlook.selected.as_ref();
    let lines = Lines::of(layout);
    let under = lines.under(at, reach);
    // Of a run of which one fitting is chosen, no other handle is shown.
    let whole = selected.filter(|_| outlook.fitting.is_none());
    let selected_run = whole.and_then(|id| layout.runs.iter().find(|run| run.id == *id));
    let handle = selected_run.and_then(|run| Some((run.id.clone(), lines.handle(run, at, HANDLE_REACH * reach)?)));
    // A valve can be slid at once, whatever is selected; nobody would look for one that moves only with its pipe.
    let handle = handle.or_else(|| lines.fitting_at(at, reach));
    let side = side_at(layout, outlook, at, f64::from(SIDE_REACH) * mm_per_point);
    let on_building = || pieces::under(&layout.building, outlook.piece, at, reach);
    let held_before = selected.filter(|id| under.contains(id)).or(under.first());
    let group =
        outlook.grip().filter(|grip| matches!(grip, Grip::Group(ids) if under.iter().any(|id| ids.contains(id))));
    let (grip, piece) = match (handle, held_before) {
        _ if points_at(layout, outlook, at, reach) => (Grip::Part(selected?.clone()), Piece::Pointer),
        _ if side.is_some() => (Grip::Part(selected?.clone()), Piece::Side(side?)),
        _ if group.is_some() => (group?, Piece::Whole),
        (Some((id, Handle::Fitting(number))), _) => (Grip::Fitting(id, number), Piece::Handle(Handle::Fitting(number))),
        (Some((id, handle)), _) => (Grip::Part(id), Piece::Handle(handle)),
        // The handles of a selected piece of the building stand before what lies over them.
        (None, _) if outlook.piece.is_some() && on_building().is_some_and(|piece| piece != piece.whole()) => {
            (Grip::Piece(on_building()?), Piece::Whole)
        }
        (None, Some(id)) => {
            let stretch = layout.runs.iter().find(|run| run.id == *id).map(|run| nearest_stretch(run, &lines, at));
            (Grip::Part(id.clone()), stretch.map_or(Piece::Whole, Piece::Stretch))
        }
        (None, None) => (Grip::Piece(on_building()?), Piece::Whole),
    };
    let mut marks = match &grip {
        Grip::Part(id) | Grip::Fitting(id, _) => {
            let moved = layout.with_what_stands_on(id);
            let marks = Marks::of(layout, &moved);
            match layout.part(id) {
                Some(PartRef::Outlet(outlet)) => marks.for_outlet(outlet.kind),
                Some(PartRef::Cistern(_) | PartRef::Cylinder(_)) => marks.for_vessel(layout, &moved),
                _ => marks,
            }
        }
        Grip::Group(ids) => Marks::of(layout, &layout.with_all_that_stands_on(ids)),
        Grip::Piece(piece) => {
            let rest = Layout { building: layout.building.without(*piece), ..(**layout).clone() };
            Marks::of(&rest, &[])
        }
    };
    if let (Some(run), Piece::Handle(Handle::Bend(number))) = (selected_run, piece) {
        neighbours(run, number, &lines).into_iter().for_each(|place| marks.add(place, "the next bend"));
    }
    Some(Hold {
        from: at,
        course: moves.course_of(&grip, layout),
        by: DVec2::ZERO,
        grip,
        piece,
        before: Arc::clone(layout),
        marks,
        last: None,
        words: String::new(),
        guides: (None, None),
        gaps: Vec::new(),
    })
}

/// Whether the one selected part is a note that points at a place.
fn points_at(layout: &Layout, outlook: &Outlook, at: DVec2, reach_mm: f64) -> bool {
    let Some(Grip::Part(id)) = outlook.grip() else { return false };
    let pointer = layout.part(&id).and_then(super::hit::pointer);
    pointer.is_some_and(|place| place.distance(at) <= reach_mm)
}

/// The side of the one selected part that can be caught at a point.
fn side_at(layout: &Layout, outlook: &Outlook, at: DVec2, reach_mm: f64) -> Option<Side> {
    let Some(Grip::Part(id)) = outlook.grip() else { return None };
    let sides = layout.part(&id)?.sides();
    let near = sides.into_iter().filter(|(_, place)| place.distance(at) <= reach_mm);
    near.min_by(|a, b| a.1.distance(at).total_cmp(&b.1.distance(at))).map(|(side, _)| side)
}

/// What to select when something is clicked: repeated clicks go through all that lies there.
#[must_use]
pub fn next_under(layout: &Layout, outlook: &Outlook, at: DVec2, mm_per_point: f64) -> (Option<Grip>, String) {
    let reach = f64::from(REACH) * mm_per_point;
    let lines = Lines::of(layout);
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
    let run = layout.runs.iter().find(|run| run.id == *id)?;
    let lines = Lines::of(layout);
    let line = lines.line(id)?;
    let stretch = nearest_stretch(run, &lines, at);
    let mut changed = run.clone();
    let place = line.point_at(line.nearest(at).0).round();
    changed.via.insert(stretch.min(changed.via.len()), place.into());
    Some(Action::edit(format!("Add a bend to {}", id.spoken()), Edit::Put(Box::new(Part::Run(changed)))))
}

/// The vertices of a run: its ends, and every bend between.
fn vertices(run: &Run, lines: &Lines<'_>) -> Vec<DVec2> {
    let ends = lines.line(&run.id).map(|line| (line.point_at(0.0), line.point_at(line.length())));
    let (from, to) = ends.unwrap_or_default();
    std::iter::once(from).chain(run.via.iter().map(|bend| bend.vector())).chain(std::iter::once(to)).collect()
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

impl Hold {
    /// What is held.
    #[must_use]
    pub const fn grip(&self) -> &Grip {
        &self.grip
    }

    /// What the step in the history is called.
    #[must_use]
    pub fn label(&self) -> String {
        let name = self.grip.name(&self.before);
        match self.piece {
            Piece::Whole | Piece::Handle(Handle::Fitting(_)) => format!("Move {name}"),
            Piece::Side(side) => format!("Move the {} of {name}", side.words()),
            Piece::Stretch(_) => format!("Move a stretch of {name}"),
            Piece::Handle(Handle::Bend(_)) => format!("Move a bend of {name}"),
            Piece::Handle(Handle::End(_)) => format!("Move an end of {name}"),
            Piece::Pointer => format!("Move what {name} points at"),
        }
    }

    /// Has what was moved as a whole remembered, for the next move of the same.
    pub fn note(self, moves: &mut Moves) {
        if matches!(self.piece, Piece::Whole) {
            moves.note(self.grip, &self.course, self.by);
        }
    }

    /// Whether the pointer has moved since it was last asked; a still pointer asks for nothing.
    pub fn has_moved(&mut self, at: DVec2, snapping: Snapping) -> bool {
        let now = Some((at, snapping));
        let moved = self.last != now;
        self.last = now;
        moved
    }

    /// The changes that bring what is held to where the pointer is, reckoned from before; none when it is held fast.
    #[must_use]
    pub fn drag_to(&mut self, at: DVec2, mm_per_point: f64, snapping: Snapping) -> Option<Vec<Edit>> {
        let before = Arc::clone(&self.before);
        let run = match &self.grip {
            Grip::Part(id) | Grip::Fitting(id, _) => before.runs.iter().find(|run| run.id == *id),
            Grip::Group(_) | Grip::Piece(_) => None,
        };
        self.guides = (None, None);
        self.gaps.clear();
        match (run, self.piece) {
            (None, Piece::Pointer) => Some(vec![self.drag_pointer(&before, at, mm_per_point, snapping)?]),
            (None, Piece::Side(side)) => Some(vec![self.drag_side(&before, side, at, mm_per_point, snapping)?]),
            (Some(run), Piece::Stretch(number)) => self.drag_stretch(run, number, &before, at, mm_per_point, snapping),
            (Some(run), Piece::Handle(handle)) => {
                self.drag_handle(run.clone(), handle, &before, at, mm_per_point, snapping)
            }
            _ => self.drag_whole(&before, at, mm_per_point, snapping),
        }
    }

    fn drag_whole(&mut self, before: &Layout, at: DVec2, mm_per_point: f64, snapping: Snapping) -> Option<Vec<Edit>> {
        let (low, high) = match &self.grip {
            Grip::Part(id) => match before.part(id)? {
                PartRef::Outlet(outlet) => (outlet.at.vector(), outlet.at.vector()),
                PartRef::Note(note) => (note.at.vector(), note.at.vector()),
                part => extent(part)?,
            },
            Grip::Group(ids) => before.extent_of_all(ids)?,
            Grip::Fitting(..) => return None,
            Grip::Piece(piece) => before.building.extent(*piece)?,
        };
        let freedom = self.grip.freedom(before);
        let raw = (at - self.from) * freedom;
        let snapped = self.marks.snap_part(low + raw, high + raw, mm_per_point, snapping);
        let by = snapped.by;
        // A drag along one axis leaves the other alone.
        let slip = f64::from(SLIP) * mm_per_point;
        let still = |raw: f64, by: f64| if raw.abs() < slip { 0.0 } else { raw + by };
        let is_let_down = snapped.standing == Standing::OnPlatform;
        let up = if is_let_down { raw.y + by.y } else { still(raw.y, by.y) };
        let by = dvec2(still(raw.x, by.x), up) * freedom;
        let place = match (&self.grip, freedom.x == 0.0) {
            (Grip::Piece(_), true) => format!("{}, now at {}", ways::upright(by.y), millimetres(high.y + by.y)),
            (Grip::Piece(_), false) if freedom.y == 0.0 => {
                format!("{}, now at {}", ways::sideways(by.x), millimetres(low.x + by.x))
            }
            _ => ways::both_ways(by),
        };
        // A snap across the way in which it moves says nothing, and neither does one that the drag has let alone.
        let [moves_across, moves_up] =
            [(raw.x, freedom.x), (raw.y, freedom.y)].map(|(raw, free): (f64, f64)| free != 0.0 && raw.abs() >= slip);
        let snapped = BoxSnap {
            by,
            level: snapped.level.filter(|_| moves_up || is_let_down),
            upright: snapped.upright.filter(|_| moves_across),
            across: snapped.across.filter(|_| moves_across),
            upward: snapped.upward.filter(|_| moves_up),
            standing: snapped.standing,
        };
        self.gaps = snapped.gaps().collect();
        self.guides = (snapped.level.as_ref().map(|line| line.0), snapped.upright.as_ref().map(|line| line.0));
        let held = self.grip.holding_words(before);
        self.words = said(&[&place, &snapped.words(), &held]);
        self.by = by;
        Some(self.course.edits(&self.grip, before, by))
    }

    fn drag_pointer(&mut self, before: &Layout, at: DVec2, mm_per_point: f64, snapping: Snapping) -> Option<Edit> {
        let Grip::Part(id) = &self.grip else { return None };
        let PartRef::Note(note) = before.part(id)? else { return None };
        let snapped = self.marks.snap(at, mm_per_point, snapping);
        self.guides =
            (snapped.level.is_some().then_some(snapped.at.y), snapped.upright.is_some().then_some(snapped.at.x));
        self.words = snapped.words();
        Some(Edit::Put(Box::new(Part::Note(Note { points_at: Some(snapped.at.into()), ..note.clone() }))))
    }

    fn drag_side(
        &mut self,
        before: &Layout,
        side: Side,
        at: DVec2,
        mm_per_point: f64,
        snapping: Snapping,
    ) -> Option<Edit> {
        let Grip::Part(id) = &self.grip else { return None };
        let part = before.part(id)?;
        let (low, high) = extent(part)?;
        let (way, edge_mm, other_mm, raw_mm) = match side {
            Side::Left => (Way::Level, low.x, high.x, at.x - self.from.x),
            Side::Right => (Way::Level, high.x, low.x, at.x - self.from.x),
            Side::Top => (Way::Upright, high.y, low.y, at.y - self.from.y),
            Side::Base => (Way::Upright, low.y, high.y, at.y - self.from.y),
        };
        let snapped = self.marks.snap_side(way, edge_mm + raw_mm, other_mm, mm_per_point, snapping);
        if snapped.line {
            self.guides = if way == Way::Upright { (Some(snapped.at_mm), None) } else { (None, Some(snapped.at_mm)) };
        }
        let size = if way == Way::Upright { "high" } else { "long" };
        let now = millimetres((snapped.at_mm - other_mm).abs());
        self.words = said(&[&format!("{now} {size}"), &snapped.words]);
        Some(Edit::Put(Box::new(part.with_side_moved(side, snapped.at_mm - edge_mm))))
    }

    fn drag_stretch(
        &mut self,
        run: &Run,
        number: usize,
        before: &Layout,
        at: DVec2,
        mm_per_point: f64,
        snapping: Snapping,
    ) -> Option<Vec<Edit>> {
        let lines = Lines::of(before);
        let points = vertices(run, &lines);
        let (start, end) = (*points.get(number)?, *points.get(number + 1)?);
        let raw = at - self.from;
        let snapped = self.marks.snap_box(start + raw, start + raw, mm_per_point, snapping);
        let place = |line: Option<(f64, String)>| line.unzip();
        let (by, words) = match Way::of(end - start) {
            Way::Level => {
                let (at_mm, name) = place(snapped.level);
                self.guides = (at_mm, None);
                (dvec2(0.0, raw.y + snapped.by.y), line_words(name.as_ref(), None))
            }
            Way::Upright => {
                let (at_mm, name) = place(snapped.upright);
                self.guides = (None, at_mm);
                (dvec2(raw.x + snapped.by.x, 0.0), line_words(None, name.as_ref()))
            }
        };
        let (edits, held) = stretch::moved(before, &lines, run, number, (start, end), by);
        self.words = format!("{held}{words}");
        Some(edits)
    }

    fn drag_handle(
        &mut self,
        mut run: Run,
        handle: Handle,
        before: &Layout,
        at: DVec2,
        mm_per_point: f64,
        snapping: Snapping,
    ) -> Option<Vec<Edit>> {
        let lines = Lines::of(before);
        match handle {
            Handle::Bend(number) => {
                let snapped = match snapping {
                    Snapping::On => self.marks.snap_lines(at, mm_per_point),
                    Snapping::Suspended => self.marks.snap(at, mm_per_point, snapping),
                };
                let shown = |line: &Option<String>, at: f64| line.as_ref().map(|_| at);
                self.guides = (shown(&snapped.level, snapped.at.y), shown(&snapped.upright, snapped.at.x));
                self.words = snapped.words();
                *run.via.get_mut(number)? = snapped.at.into();
            }
            Handle::End(which) => {
                let other_end_on = joined_by(run.end(which.other()));
                let sought = Sought { service: run.service, snapping, other_end_on, in_hand: Some(&run) };
                let anchor = Anchor::find(before, &lines, &self.marks, at, mm_per_point, sought);
                self.words = said(&[&joint::words(&anchor, snapping, None), &anchor.line_words()]);
                return Some(stretch::rejoined(before, run, which, &anchor, at));
            }
            Handle::Fitting(number) => {
                let line = lines.line(&run.id)?;
                let along = (line.nearest(at).0 / FITTING_STEP_MM).round() * FITTING_STEP_MM;
                self.words = format!("{along} mm along {}", run.id.spoken());
                run.fittings.as_mut()?.get_mut(number)?.at = Length::mm(along.min(line.length()));
            }
        }
        Some(vec![Edit::Put(Box::new(Part::Run(run)))])
    }
}

fn neighbours(run: &Run, bend: usize, lines: &Lines<'_>) -> Vec<DVec2> {
    let points = vertices(run, lines);
    [points.get(bend), points.get(bend + 2)].into_iter().flatten().copied().collect()
}

/// What there is to say, with commas between.
fn said(words: &[&str]) -> String {
    let told: Vec<&str> = words.iter().copied().filter(|words| !words.is_empty()).collect();
    told.join(", ")
}

fn millimetres(mm: f64) -> String {
    format!("{} mm", mm.round() + 0.0)
}
