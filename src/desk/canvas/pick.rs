//! Selecting and dragging: parts, stretches and bends of runs, open ends, fittings.

use glam::{DVec2, dvec2};

use super::anchor::{Anchor, Way};
use super::hit::{Handle, Lines, extent};
use super::snap::{Marks, Snapping};
use crate::desk::Action;
use crate::layout::{Edit, End, Id, Layout, Part, Run, WhichEnd};
use crate::units::Length;

/// How near the pointer must come to something to catch it, in points.
pub const REACH: f32 = 7.0;
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
    part: Part,
    /// Which piece of it.
    piece: Piece,
    /// What there is to snap to.
    marks: Marks,
    /// Where the pointer was when it was last moved, and how it snapped.
    last: Option<(DVec2, Snapping)>,
    /// To what it snapped last.
    pub words: String,
}

#[derive(Debug, Clone, Copy)]
enum Piece {
    Whole,
    Stretch(usize),
    Handle(Handle),
}

/// Takes hold of what is under a point: a handle of the selected run, the selected part, or the nearest part.
/// Returns the hold and the part that is to be selected.
#[must_use]
pub fn take_hold(layout: &Layout, selected: Option<&Id>, at: DVec2, mm_per_point: f64) -> Option<(Hold, Id)> {
    let reach = f64::from(REACH) * mm_per_point;
    let lines = Lines::of(layout);
    let under = lines.under(at, reach);
    let selected_run = selected.and_then(|id| layout.runs.iter().find(|run| run.id == *id));
    let handle = selected_run.and_then(|run| Some((run.id.clone(), lines.handle(run, at, reach * 1.3)?)));
    let (id, piece) = match handle {
        Some((id, handle)) => (id, Piece::Handle(handle)),
        None => {
            let id = selected.filter(|id| under.contains(id)).or(under.first())?.clone();
            let stretch = layout.runs.iter().find(|run| run.id == id).map(|run| nearest_stretch(run, &lines, at));
            (id, stretch.map_or(Piece::Whole, Piece::Stretch))
        }
    };
    let part = layout.part(&id)?.to_part();
    let marks = Marks::of(layout, Some(&id));
    Some((Hold { from: at, part, piece, marks, last: None, words: String::new() }, id))
}

/// The next part to select when something is clicked: repeated clicks go through all that lies there.
#[must_use]
pub fn next_under(layout: &Layout, selected: Option<&Id>, at: DVec2, mm_per_point: f64) -> (Option<Id>, String) {
    let under = Lines::of(layout).under(at, f64::from(REACH) * mm_per_point);
    let place = selected.and_then(|id| under.iter().position(|other| other == id));
    let next = match place {
        Some(place) => (place + 1) % under.len(),
        None => 0,
    };
    let words = match (under.get(next), under.len()) {
        (None, _) => String::new(),
        (Some(id), 1) => id.spoken(),
        (Some(id), count) => {
            format!("{}: {} of {count} under the pointer, click again for the next", id.spoken(), next + 1)
        }
    };
    (under.get(next).cloned(), words)
}

/// The change that puts a bend into a run where it was double-clicked.
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
    /// What the step in the history is called.
    #[must_use]
    pub fn label(&self) -> String {
        let name = self.part.id().spoken();
        match self.piece {
            Piece::Whole => format!("Move {name}"),
            Piece::Stretch(_) => format!("Move a stretch of {name}"),
            Piece::Handle(Handle::Bend(_)) => format!("Move a bend of {name}"),
            Piece::Handle(Handle::End(_)) => format!("Move an end of {name}"),
            Piece::Handle(Handle::Fitting(_)) => format!("Move a fitting of {name}"),
        }
    }

    /// Whether the pointer has moved since it was last asked; a still pointer asks for nothing.
    pub fn has_moved(&mut self, at: DVec2, snapping: Snapping) -> bool {
        let now = Some((at, snapping));
        let moved = self.last != now;
        self.last = now;
        moved
    }

    /// The change that brings what is held to where the pointer is; none when it is held fast.
    #[must_use]
    pub fn drag_to(&mut self, layout: &Layout, at: DVec2, mm_per_point: f64, snapping: Snapping) -> Option<Edit> {
        match (&self.part, self.piece) {
            (Part::Run(run), Piece::Stretch(number)) => {
                let run = run.clone();
                self.drag_stretch(&run, number, layout, at, mm_per_point, snapping)
            }
            (Part::Run(run), Piece::Handle(handle)) => {
                let mut run = run.clone();
                self.drag_handle(&mut run, handle, layout, at, mm_per_point, snapping)?;
                Some(Edit::Put(Box::new(Part::Run(run))))
            }
            _ => self.drag_whole(at, mm_per_point, snapping),
        }
    }

    fn drag_whole(&mut self, at: DVec2, mm_per_point: f64, snapping: Snapping) -> Option<Edit> {
        let (low, high) = extent(self.part.as_ref())?;
        let (low, high) = match &self.part {
            Part::Outlet(outlet) => (outlet.at.vector(), outlet.at.vector()),
            _ => (low, high),
        };
        let raw = at - self.from;
        let (by, words) = self.marks.snap_box(low + raw, high + raw, mm_per_point, snapping);
        // A drag along one axis leaves the other alone.
        let slip = f64::from(SLIP) * mm_per_point;
        let still = |raw: f64, by: f64| if raw.abs() < slip { 0.0 } else { raw + by };
        let by = dvec2(still(raw.x, by.x), still(raw.y, by.y));
        self.words = format!("{} to the right, {} up. {words}", signed(by.x), signed(by.y));
        let parts = vec![self.part.id().clone()];
        Some(Edit::Shift { parts, right: Length::mm(by.x), up: Length::mm(by.y) })
    }

    fn drag_stretch(
        &mut self,
        run: &Run,
        number: usize,
        layout: &Layout,
        at: DVec2,
        mm_per_point: f64,
        snapping: Snapping,
    ) -> Option<Edit> {
        let lines = Lines::of(layout);
        let points = vertices(run, &lines);
        let (start, end) = (*points.get(number)?, *points.get(number + 1)?);
        let raw = at - self.from;
        let (snapped, words) = self.marks.snap_box(start + raw, start + raw, mm_per_point, snapping);
        let by = match Way::of(end - start) {
            Way::Level => dvec2(0.0, raw.y + snapped.y),
            Way::Upright => dvec2(raw.x + snapped.x, 0.0),
        };
        let mut changed = run.clone();
        for vertex in [number, number + 1] {
            if !shift_vertex(&mut changed, vertex, by) {
                "This stretch is held by what it joins: move that part, or double-click to add a bend"
                    .clone_into(&mut self.words);
                return None;
            }
        }
        self.words = words;
        Some(Edit::Put(Box::new(Part::Run(changed))))
    }

    fn drag_handle(
        &mut self,
        run: &mut Run,
        handle: Handle,
        layout: &Layout,
        at: DVec2,
        mm_per_point: f64,
        snapping: Snapping,
    ) -> Option<()> {
        let lines = Lines::of(layout);
        match handle {
            Handle::Bend(number) => {
                for neighbour in neighbours(run, number, &lines) {
                    self.marks.add(neighbour, "the next bend");
                }
                let snapped = match snapping {
                    Snapping::On => self.marks.snap_lines(at, mm_per_point),
                    Snapping::Suspended => self.marks.snap(at, mm_per_point, snapping),
                };
                self.words = snapped.words();
                *run.via.get_mut(number)? = snapped.at.into();
            }
            Handle::End(which) => {
                let anchor = Anchor::find(layout, &lines, &self.marks, at, mm_per_point, snapping, run.service);
                self.words = anchor.words();
                *run.end_mut(which) = match &anchor {
                    Anchor::Side { at, .. } => End::Open((*at).into()),
                    Anchor::Tee { run: other, .. } if *other == run.id => End::Open(at.round().into()),
                    Anchor::Free { at, .. } if matches!(run.end(which), End::Onward(_)) => End::Onward((*at).into()),
                    other => other.end(layout, run.service).0,
                };
            }
            Handle::Fitting(number) => {
                let line = lines.line(&run.id)?;
                let along = (line.nearest(at).0 / FITTING_STEP_MM).round() * FITTING_STEP_MM;
                self.words = format!("{along} mm along {}", run.id.spoken());
                run.fittings.as_mut()?.get_mut(number)?.at = Length::mm(along.min(line.length()));
            }
        }
        Some(())
    }
}

/// Moves a vertex of a run, if it is a bend or an end in the open.
fn shift_vertex(run: &mut Run, vertex: usize, by: DVec2) -> bool {
    let which = if vertex == 0 { WhichEnd::From } else { WhichEnd::To };
    if vertex > 0
        && let Some(bend) = run.via.get_mut(vertex - 1)
    {
        *bend = bend.moved(by);
        return true;
    }
    match run.end_mut(which) {
        End::Open(point) | End::Onward(point) => {
            *point = point.moved(by);
            true
        }
        End::Port(..) | End::Tee(..) => false,
    }
}

fn neighbours(run: &Run, bend: usize, lines: &Lines<'_>) -> Vec<DVec2> {
    let points = vertices(run, lines);
    [points.get(bend), points.get(bend + 2)].into_iter().flatten().copied().collect()
}

fn signed(mm: f64) -> String {
    format!("{} mm", mm.round() + 0.0)
}
