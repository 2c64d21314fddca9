//! What the pointer holds, and where it is dragged: parts, stretches and bends of runs, ends, fittings, pieces of the building.

use std::sync::Arc;

use glam::{DVec2, dvec2};

use super::anchor::{Anchor, Sought, Way};
use super::closing::joined_by;
use super::hit::{Handle, Lines, extent};
use super::pick::vertices;
use super::snap::{BoxSnap, Footing, SnapMarks, Snapping, line_words};
use super::{joint, stretch};
use crate::desk::moves::{MoveSoFar, Moves};
use crate::desk::{Grip, ways};
use crate::layout::{Edit, Layout, Note, Part, PartRef, Run, Side};
use crate::units::Length;

/// A drag that strays less than this from one axis is meant along the other, in points.
const SLIP: f32 = 4.0;
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
    held: Held,
    /// The layout from before it was moved.
    before: Arc<Layout>,
    /// From where its moves are reckoned, and how far this one has gone, mm.
    so_far: MoveSoFar,
    by: DVec2,
    /// What there is to snap to.
    marks: SnapMarks,
    /// Where the pointer was when it was last moved, and how it snapped.
    last: Option<(DVec2, Snapping)>,
    /// To what it snapped last.
    pub words: String,
    /// The level and the upright line that it shares with something else, to be shown as lines.
    pub guides: (Option<f64>, Option<f64>),
    /// The equal gaps in which it stands, from edge to edge.
    pub gaps: Vec<(DVec2, DVec2)>,
}

/// Where the pointer pulls what is held, how large the drawing is there, and whether it snaps.
#[derive(Debug, Clone, Copy)]
pub struct Pull {
    /// Where the pointer is.
    pub at: DVec2,
    /// Millimetres of the section to a point of the screen.
    pub mm_per_point: f64,
    /// Whether it snaps.
    pub snapping: Snapping,
}

/// Which piece of something is held.
#[derive(Debug, Clone, Copy)]
pub enum Held {
    /// All of it.
    Whole,
    /// One of its sides.
    Side(Side),
    /// A stretch of a run, by its number.
    Stretch(usize),
    /// A handle of a run.
    Handle(Handle),
    /// The end of a note's leader.
    Pointer,
}

impl Hold {
    /// Takes hold of a piece of something at a point.
    #[must_use]
    pub fn begun(
        from: DVec2,
        (grip, held): (Grip, Held),
        before: Arc<Layout>,
        so_far: MoveSoFar,
        marks: SnapMarks,
    ) -> Self {
        Self {
            from,
            grip,
            held,
            before,
            so_far,
            by: DVec2::ZERO,
            marks,
            last: None,
            words: String::new(),
            guides: (None, None),
            gaps: Vec::new(),
        }
    }

    /// What is held.
    #[must_use]
    pub const fn grip(&self) -> &Grip {
        &self.grip
    }

    /// What the step in the history is called.
    #[must_use]
    pub fn label(&self) -> String {
        let name = self.grip.name(&self.before);
        match self.held {
            Held::Whole | Held::Handle(Handle::Fitting(_)) => format!("Move {name}"),
            Held::Side(side) => format!("Move the {} of {name}", side.words()),
            Held::Stretch(_) => format!("Move a stretch of {name}"),
            Held::Handle(Handle::Bend(_)) => format!("Move a bend of {name}"),
            Held::Handle(Handle::End(_)) => format!("Move an end of {name}"),
            Held::Pointer => format!("Move what {name} points at"),
        }
    }

    /// Has what was moved as a whole remembered, for the next move of the same.
    pub fn note(self, moves: &mut Moves) {
        if matches!(self.held, Held::Whole) {
            moves.note(self.grip, &self.so_far, self.by);
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
    pub fn drag_to(&mut self, pull: Pull) -> Option<Vec<Edit>> {
        let before = Arc::clone(&self.before);
        let run = match &self.grip {
            Grip::Part(id) | Grip::Fitting(id, _) => before.run(id),
            Grip::Group(_) | Grip::Piece(_) => None,
        };
        self.guides = (None, None);
        self.gaps.clear();
        match (run, self.held) {
            (None, Held::Pointer) => Some(vec![self.drag_pointer(&before, pull)?]),
            (None, Held::Side(side)) => Some(vec![self.drag_side(&before, side, pull)?]),
            (Some(run), Held::Stretch(number)) => self.drag_stretch(run, number, &before, pull),
            (Some(run), Held::Handle(handle)) => self.drag_handle(run.clone(), handle, &before, pull),
            _ => self.drag_whole(&before, pull),
        }
    }

    fn drag_whole(&mut self, before: &Layout, pull: Pull) -> Option<Vec<Edit>> {
        let Pull { at, mm_per_point, snapping } = pull;
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
        let is_let_down = snapped.footing == Footing::OnPlatform;
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
            footing: snapped.footing,
        };
        self.gaps = snapped.gaps().collect();
        self.guides = (snapped.level.as_ref().map(|line| line.0), snapped.upright.as_ref().map(|line| line.0));
        let held = self.grip.holding_words(before);
        self.words = said(&[&place, &snapped.words(), &held]);
        self.by = by;
        Some(self.so_far.edits(&self.grip, before, by))
    }

    fn drag_pointer(&mut self, before: &Layout, pull: Pull) -> Option<Edit> {
        let Pull { at, mm_per_point, snapping } = pull;
        let Grip::Part(id) = &self.grip else { return None };
        let PartRef::Note(note) = before.part(id)? else { return None };
        let snapped = self.marks.snap(at, mm_per_point, snapping);
        self.guides =
            (snapped.level.is_some().then_some(snapped.at.y), snapped.upright.is_some().then_some(snapped.at.x));
        self.words = snapped.words();
        Some(Edit::put(Part::Note(Note { points_at: Some(snapped.at.into()), ..note.clone() })))
    }

    fn drag_side(&mut self, before: &Layout, side: Side, pull: Pull) -> Option<Edit> {
        let Pull { at, mm_per_point, snapping } = pull;
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
        Some(Edit::put(part.with_side_moved(side, snapped.at_mm - edge_mm)))
    }

    fn drag_stretch(&mut self, run: &Run, number: usize, before: &Layout, pull: Pull) -> Option<Vec<Edit>> {
        let Pull { at, mm_per_point, snapping } = pull;
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

    fn drag_handle(&mut self, mut run: Run, handle: Handle, before: &Layout, pull: Pull) -> Option<Vec<Edit>> {
        let Pull { at, mm_per_point, snapping } = pull;
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
                self.words = said(&[&joint::words(&anchor, run.service, snapping, None), &anchor.line_words()]);
                return Some(stretch::rejoined(before, run, which, &anchor, at));
            }
            Handle::Fitting(number) => {
                let line = lines.line(&run.id)?;
                let along = (line.nearest(at).0 / FITTING_STEP_MM).round() * FITTING_STEP_MM;
                self.words = format!("{along} mm along {}", run.id.spoken());
                run.fittings.as_mut()?.get_mut(number)?.at = Length::mm(along.min(line.length()));
            }
        }
        Some(vec![Edit::put(Part::Run(run))])
    }
}

/// What there is to say, with commas between.
fn said(words: &[&str]) -> String {
    let told: Vec<&str> = words.iter().copied().filter(|words| !words.is_empty()).collect();
    told.join(", ")
}

fn millimetres(mm: f64) -> String {
    format!("{} mm", mm.round() + 0.0)
}
