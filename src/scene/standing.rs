//! Where labels stood in the last placing, so that they stay there while what they name moves a little.

use glam::DVec2;

use super::labels::{Place, Reach};
use super::places::Candidate;
use super::{Label, Origin};

/// A place counts as the one of the last placing as far as this from it, mm of paper: places along a pipe move by a part
/// of what its end is moved.
const STANDS_WITHIN_MM: f64 = 3.0;
/// How much more a label may cost where it stood than at its best, in halves of a millimetre of leader: a leap takes the
/// eye longer to follow than a leader.
const STAYING: f64 = 40.0;

/// Where the labels of a placing stand, each relative to what it names, and the notes of its marks.
#[derive(Debug, Clone, Default)]
pub struct Standing {
    /// Section millimetres to a paper millimetre.
    scale: f64,
    labels: foldhash::HashMap<Key, Stood>,
    notes: foldhash::HashMap<Vec<Origin>, NoteStood>,
}

/// Where a note stood, and what it said.
#[derive(Debug, Clone, Copy)]
pub(super) struct NoteStood {
    /// Its numbers stood in rows of so many.
    pub in_a_row: usize,
    /// Whether it said numbers alone.
    pub is_small: bool,
    /// The middle of its box, mm of paper.
    pub at: DVec2,
}

/// Which label of which origin.
type Key = (Origin, usize);

/// Where a label stood, and in which form.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stood {
    /// The number of its form.
    pub form: usize,
    pub reach: Reach,
    has_leader: bool,
    /// The middle of its box, and that from the middle of what it names, mm of paper.
    at: DVec2,
    off: DVec2,
}

impl Standing {
    /// Nothing placed yet, at so many section millimetres to a paper millimetre.
    pub(super) fn at(scale: f64) -> Self {
        Self { scale, ..Self::default() }
    }

    /// What stood where; nothing of a placing at another scale, where words take another share of the drawing.
    pub(super) fn at_scale(&self, scale: f64) -> Option<&Self> {
        (self.scale == scale && !(self.labels.is_empty() && self.notes.is_empty())).then_some(self)
    }

    pub(super) fn note(&self, marks: &[Origin]) -> Option<NoteStood> {
        self.notes.get(marks).copied()
    }

    pub(super) fn keep_note(&mut self, marks: Vec<Origin>, stood: NoteStood) {
        self.notes.insert(marks, stood);
    }

    pub(super) fn of(&self, origin: &Origin, number: usize) -> Option<Stood> {
        self.labels.get(&(origin.clone(), number)).copied()
    }

    pub(super) fn keep(&mut self, origin: &Origin, number: usize, stood: Stood) {
        self.labels.insert((origin.clone(), number), stood);
    }
}

impl Stood {
    pub(super) fn new(form: usize, reach: Reach, label: &Label, place: &Place, scale: f64) -> Self {
        let at = place.area.middle();
        let off = at - label.about.middle() / scale;
        Self { form, reach, has_leader: place.leader.is_some(), at, off }
    }

    /// How much less a candidate is disliked for being where the label stood, on paper or beside what it names.
    pub(super) fn worth(&self, candidate: &Candidate, label: &Label, scale: f64) -> Option<f64> {
        let at = candidate.area.middle();
        let moved_mm = (at - label.about.middle() / scale).distance(self.off).min(at.distance(self.at));
        let is_same = candidate.leader.is_some() == self.has_leader && moved_mm <= STANDS_WITHIN_MM;
        is_same.then_some(STAYING - moved_mm)
    }
}
