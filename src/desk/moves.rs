//! Moves of one thing that follow on each other: they are reckoned as one, so that what the first has pushed aside comes back
//! with the next.

use std::sync::Arc;

use glam::DVec2;

use super::Grip;
use crate::layout::{Edit, Layout, Part, apply};

/// Places that differ by less are the same, mm.
const SAME_MM: f64 = 1e-3;

/// The last move, as long as nothing else has been done since.
#[derive(Debug, Default)]
pub struct Moves {
    last: Option<Moved>,
}

#[derive(Debug)]
struct Moved {
    grip: Grip,
    so_far: MoveSoFar,
    /// What it has led to; none while it is being made.
    led_to: Option<Arc<Layout>>,
}

/// From where moves of one thing are reckoned.
#[derive(Debug, Clone)]
pub struct MoveSoFar {
    /// The layout from before the first of them.
    began: Arc<Layout>,
    /// How far they have gone, mm.
    gone: DVec2,
}

impl Moves {
    /// The course on which something is moved next: that of the last move where it was of the same thing, and the layout is
    /// still what it led to; else one that begins here.
    #[must_use]
    pub fn so_far(&self, grip: &Grip, layout: &Arc<Layout>) -> MoveSoFar {
        let goes_on = |moved: &&Moved| {
            moved.grip == *grip && moved.led_to.as_ref().is_some_and(|led_to| Arc::ptr_eq(led_to, layout))
        };
        let last = self.last.as_ref().filter(goes_on);
        last.map_or_else(|| MoveSoFar { began: Arc::clone(layout), gone: DVec2::ZERO }, |moved| moved.so_far.clone())
    }

    /// Takes note that something was moved further on its course.
    pub fn note(&mut self, grip: Grip, so_far: &MoveSoFar, by: DVec2) {
        let so_far = MoveSoFar { began: Arc::clone(&so_far.began), gone: so_far.gone + by };
        self.last = Some(Moved { grip, so_far, led_to: None });
    }

    /// Takes note of the layout to which the last move has led, once it is made.
    pub fn settle(&mut self, layout: &Arc<Layout>) {
        let Some(moved) = self.last.as_mut().filter(|moved| moved.led_to.is_none()) else { return };
        moved.led_to = Some(Arc::clone(layout));
        if !moved.has_come_to(layout) {
            self.last = None;
        }
    }
}

impl Moved {
    /// Whether it stands where the move would have it, and was not held up on the way.
    fn has_come_to(&self, layout: &Layout) -> bool {
        let place = |layout: &Layout| match &self.grip {
            Grip::Part(id) => layout.extent(id),
            Grip::Group(ids) => layout.extent_of_all(ids),
            Grip::Fitting(..) | Grip::Piece(_) => None,
        };
        let upper = |layout| place(layout).map(|(_, high)| high);
        match (upper(&self.so_far.began), upper(layout)) {
            (Some(began), Some(now)) => (began + self.so_far.gone).distance(now) < SAME_MM,
            _ => false,
        }
    }
}

impl MoveSoFar {
    /// The changes that move something further: pipes stand then as if all of the way had been gone at once.
    #[must_use]
    pub fn edits(&self, grip: &Grip, now: &Layout, by: DVec2) -> Vec<Edit> {
        let shift = grip.moved(now, by);
        let pipes = self.pipes_at_once(grip, now, by, &shift);
        std::iter::once(shift).chain(pipes).collect()
    }

    fn pipes_at_once(&self, grip: &Grip, now: &Layout, by: DVec2, shift: &Edit) -> Option<Edit> {
        if self.gone == DVec2::ZERO {
            return None;
        }
        let at_once = apply(&self.began, &grip.moved(&self.began, self.gone + by)).ok()?;
        let step_by_step = apply(now, shift).ok()?;
        let pairs = at_once.runs.iter().zip(&step_by_step.runs).filter(|(wanted, stands)| wanted != stands);
        let wanted: Vec<Part> = pairs.map(|(wanted, _)| Part::Run(wanted.clone())).collect();
        let edit = (!wanted.is_empty()).then_some(Edit::Arrange(wanted))?;
        let arranged = apply(&step_by_step, &edit).ok()?;
        (arranged.runs == at_once.runs).then_some(edit)
    }
}
