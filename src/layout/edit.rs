//! Edits: the only way in which a layout changes.

use std::mem::discriminant;

use glam::{DVec2, dvec2};
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::anchoring::{SetOut, carry_along};
use super::{
    BrokenReference, Building, Climate, End, Heading, Id, Layout, Lock, Part, PartRef, Run, Survey, Traces, WhichEnd,
};
use crate::units::Length;

/// One change of a layout.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Edit {
    /// Adds a part, or replaces the part of its kind and id.
    Put(Box<Part>),
    /// Adds or replaces several parts at once. They stand as they are given; only other pipes follow.
    Arrange(Vec<Part>),
    /// Takes a part away; pipes that ended on it end in the open where they were.
    Remove(Id),
    /// Moves parts; pipes on their ports follow, and the frame of a platform that goes up stays on its foot.
    Shift {
        /// What moves.
        parts: Vec<Id>,
        /// To the right, mm.
        right: Length,
        /// Upward, mm.
        up: Length,
    },
    /// Gives a part another id, and lets pipes know.
    Rename {
        /// The id it has.
        from: Id,
        /// The id it gets.
        to: Id,
    },
    /// Replaces what is known of the building.
    Building(Box<Building>),
    /// Replaces the title block.
    Heading(Heading),
    /// Says how the dimensions came about.
    Survey(Survey),
    /// Replaces what warming and frost are reckoned with.
    Climate(Climate),
    /// Holds a dimension as it is.
    Hold(Lock),
    /// Lets a held dimension go.
    LetGo(Lock),
}

impl Edit {
    /// Adds a part, or replaces the part of its kind and id.
    #[must_use]
    pub fn put(part: Part) -> Self {
        Self::Put(Box::new(part))
    }
}

/// Why an edit is not made.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum EditError {
    /// The part is not there.
    #[error("there is no part called '{0}'")]
    NoSuchPart(Id),
    /// Another part is called so.
    #[error("'{0}' is the name of another part; choose a different one")]
    IdTaken(Id),
    /// A dimension is held.
    #[error("{0} is held; let it go first (Hold in Particulars)")]
    Held(String),
    /// The layout would hold a reference that leads nowhere.
    #[error("that cannot be: {0}")]
    Breaks(#[from] BrokenReference),
}

/// The layout after several edits, one after another.
///
/// # Errors
/// [`EditError`] when one of them does not fit what those before it have made.
pub fn apply_all(layout: &Layout, edits: &[Edit]) -> Result<Layout, EditError> {
    let [first, rest @ ..] = edits else { return Ok(layout.clone()) };
    rest.iter().try_fold(apply(layout, first)?, |now, edit| apply(&now, edit))
}

/// The layout after an edit.
///
/// # Errors
/// [`EditError`] when the edit does not fit the layout, which is then unchanged.
pub fn apply(layout: &Layout, edit: &Edit) -> Result<Layout, EditError> {
    let mut changed = layout.clone();
    let mut set_out = SetOut::default();
    match edit {
        Edit::Put(part) => {
            put(&mut changed, part)?;
            set_out.as_put.insert(part.id());
        }
        Edit::Arrange(parts) => {
            for part in parts {
                put(&mut changed, part)?;
            }
            set_out.arranged = parts.iter().map(Part::id).collect();
        }
        Edit::Remove(id) => remove(&mut changed, id)?,
        Edit::Shift { parts, right, up } => {
            set_out.moved = parts.iter().collect();
            set_out.by = dvec2(right.to_mm(), up.to_mm());
            shift(&mut changed, parts, set_out.by)?;
        }
        Edit::Rename { from, to } => rename(&mut changed, from, to)?,
        Edit::Building(building) => changed.building = (**building).clone(),
        Edit::Heading(heading) => changed.heading = heading.clone(),
        Edit::Survey(survey) => changed.survey = *survey,
        Edit::Climate(climate) => changed.climate = *climate,
        Edit::Hold(lock) => {
            changed.locks.retain(|other| !other.is_same_as(lock));
            changed.locks.push(lock.clone());
        }
        Edit::LetGo(lock) => changed.locks.retain(|other| other != lock),
    }
    if matches!(edit, Edit::Put(_) | Edit::Arrange(_) | Edit::Shift { .. }) {
        carry_along(layout, &mut changed, &set_out);
    }
    if !matches!(edit, Edit::Hold(_) | Edit::LetGo(_)) {
        changed.forget_idle_locks();
        if let Some(lock) = changed.first_lock_broken_since(layout) {
            return Err(EditError::Held(lock.words()));
        }
    }
    match changed.broken_references().into_iter().next() {
        Some(broken) => Err(broken.into()),
        None => Ok(changed),
    }
}

fn put(layout: &mut Layout, part: &Part) -> Result<(), EditError> {
    let is_of_another_kind = |there: PartRef<'_>| discriminant(&there) != discriminant(&part.as_ref());
    if layout.part(part.id()).is_some_and(is_of_another_kind) {
        return Err(EditError::IdTaken(part.id().clone()));
    }
    layout.replace_or_add(part.id(), part.clone());
    Ok(())
}

fn remove(layout: &mut Layout, id: &Id) -> Result<(), EditError> {
    if layout.part(id).is_none() {
        return Err(EditError::NoSuchPart(id.clone()));
    }
    let traces = Traces::of(layout);
    for number in 0..layout.runs.len() {
        for which in WhichEnd::BOTH {
            if refers_to(layout.runs[number].end(which), id) {
                let place = traces.end_point(number, which).unwrap_or_default();
                *layout.runs[number].end_mut(which) = End::Open(place.into());
            }
        }
    }
    layout.platforms.retain(|part| part.id != *id);
    layout.cisterns.retain(|part| part.id != *id);
    layout.cylinders.retain(|part| part.id != *id);
    layout.boilers.retain(|part| part.id != *id);
    layout.outlets.retain(|part| part.id != *id);
    layout.runs.retain(|part| part.id != *id);
    layout.notes.retain(|part| part.id != *id);
    layout.locks.retain(|lock| !lock.concerns(id));
    Ok(())
}

fn refers_to(end: &End, id: &Id) -> bool {
    match end {
        End::Port(part, _) => part == id,
        End::Tee(run, _) => run == id,
        End::Open(_) | End::Onward(_) => false,
    }
}

fn shift(layout: &mut Layout, ids: &[Id], by: DVec2) -> Result<(), EditError> {
    for id in ids {
        let mut part = layout.part(id).ok_or_else(|| EditError::NoSuchPart(id.clone()))?.to_part();
        match &mut part {
            Part::Run(run) => shift_free_ends(run, by),
            // The words of a note move by themselves; with other parts, what it points at moves too.
            Part::Note(note) => {
                note.at = note.at.moved(by);
                if ids.len() > 1 {
                    note.points_at = note.points_at.map(|point| point.moved(by));
                }
            }
            Part::Platform(platform) => platform.shift(by),
            other => {
                if let Some(at) = other.at_mut() {
                    *at = at.moved(by);
                }
            }
        }
        put(layout, &part)?;
    }
    Ok(())
}

/// Moves the ends of a run that have a place of their own; its bends and its joined ends follow.
fn shift_free_ends(run: &mut Run, by: DVec2) {
    for which in WhichEnd::BOTH {
        if let End::Open(point) | End::Onward(point) = run.end_mut(which) {
            *point = point.moved(by);
        }
    }
}

fn rename(layout: &mut Layout, from: &Id, to: &Id) -> Result<(), EditError> {
    let mut part = layout.part(from).ok_or_else(|| EditError::NoSuchPart(from.clone()))?.to_part();
    if from == to {
        return Ok(());
    }
    if layout.part(to).is_some() {
        return Err(EditError::IdTaken(to.clone()));
    }
    part.id_mut().clone_from(to);
    for run in &mut layout.runs {
        for which in WhichEnd::BOTH {
            if let End::Port(id, _) | End::Tee(id, _) = run.end_mut(which)
                && id == from
            {
                *id = to.clone();
            }
        }
    }
    layout.locks.iter_mut().for_each(|lock| lock.rename(from, to));
    layout.replace_or_add(from, part);
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::layout::{COLD, InLine, InLineKind, Outlet, OutletKind, Service};

    fn basin_on_a_run() -> Layout {
        let basin = Outlet::new(Id::of("basin"), OutletKind::Basin, Point::mm(1000.0, 900.0));
        let (from, to) = (End::Onward(Point::mm(0.0, 2400.0)), End::Port(Id::of("basin"), Id::of(COLD)));
        let mut run = Run::new(Id::of("cold"), Service::ColdDistribution, from, to);
        run.via = vec![Point::mm(1040.0, 2400.0)];
        Layout { outlets: vec![basin], runs: vec![run], ..Layout::default() }
    }

    #[test]
    fn an_upright_stretch_follows_a_moved_part_and_stays_upright() {
        let edit = Edit::Shift { parts: vec![Id::of("basin")], right: Length::mm(200.0), up: Length::mm(50.0) };
        let moved = apply(&basin_on_a_run(), &edit).expect("moves");
        assert_eq!(moved.outlets[0].at, Point::mm(1200.0, 950.0));
        assert_eq!(moved.runs[0].via, vec![Point::mm(1240.0, 2400.0)]);
    }

    #[test]
    fn a_drain_cock_stays_at_the_foot_of_a_pipe_that_grows() {
        let mut layout = basin_on_a_run();
        layout.runs[0].fittings = Some(vec![
            InLine { kind: InLineKind::GateValve, at: Length::mm(100.0) },
            InLine { kind: InLineKind::DrainCock, at: Length::mm(2500.0) },
        ]);
        let edit = Edit::Shift { parts: vec![Id::of("basin")], right: Length::ZERO, up: Length::mm(-300.0) };
        let moved = apply(&layout, &edit).expect("moves");
        let along: Vec<f64> = moved.runs[0].fittings.iter().flatten().map(|fitting| fitting.at.to_mm()).collect();
        assert_eq!(along, [100.0, 2800.0]);
    }

    #[test]
    fn a_pipe_whose_part_is_removed_stays_where_it_was() {
        let left = apply(&basin_on_a_run(), &Edit::Remove(Id::of("basin"))).expect("removes");
        assert_eq!(left.runs[0].to, End::Open(Point::mm(1040.0, 900.0)));
        assert!(left.outlets.is_empty());
    }

    #[test]
    fn a_renamed_part_keeps_its_pipes_and_its_place() {
        let edit = Edit::Rename { from: Id::of("basin"), to: Id::of("washbasin") };
        let renamed = apply(&basin_on_a_run(), &edit).expect("renames");
        assert!(matches!(renamed.part(&Id::of("washbasin")), Some(PartRef::Outlet(_))));
        assert_eq!(renamed.runs[0].to, End::Port(Id::of("washbasin"), Id::of(COLD)));
    }

    #[test]
    fn an_edit_that_does_not_fit_is_refused() {
        let layout = basin_on_a_run();
        assert_eq!(apply(&layout, &Edit::Remove(Id::of("bath"))), Err(EditError::NoSuchPart(Id::of("bath"))));
        let taken = Edit::Rename { from: Id::of("basin"), to: Id::of("cold") };
        assert_eq!(apply(&layout, &taken), Err(EditError::IdTaken(Id::of("cold"))));
        let mut ring = layout.runs[0].clone();
        ring.from = End::Tee(Id::of("cold"), Length::mm(5.0));
        let error = apply(&layout, &Edit::put(Part::Run(ring))).expect_err("a ring");
        assert!(error.to_string().contains("starts on a run that starts on it"));
    }
}
