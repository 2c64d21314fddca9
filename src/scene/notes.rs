//! Marks on paper: where their notes find room.

use std::sync::LazyLock;

use glam::{DVec2, dvec2};

use super::figures::{OnTheSpot, RING_MM, SIZE, circle, draw_figure};
use super::inked::{Drawn, Pace, PlacedDimension, Stroke, ink_symbol};
use super::labels::{CLEAR_MM, block, block_size};
use super::lettering::wrapped;
use super::pencil::Pencil;
use super::places::directions;
use super::room::{PaperBox, Room};
use super::standing::{NoteStood, Standing};
use super::turns::take_turns;
use super::{Emphasis, Mark, MarkFigure, Origin, Symbol, TextAnchor};
use crate::layout::Id;

/// Notes are broken into lines no wider than this, mm.
const WIDEST_MM: f64 = 52.0;
/// Room that the badge takes before the words, mm.
const BADGE_MM: f64 = 3.4;
/// Distances from its place at which a note is tried, mm.
const DISTANCES_MM: [f64; 16] =
    [4.0, 7.0, 10.0, 13.0, 16.0, 20.0, 24.0, 28.0, 33.0, 39.0, 46.0, 54.0, 63.0, 73.0, 86.0, 105.0];
/// How much a millimetre of leader is disliked, where a millimetre of thin line under a note counts about three.
const FAR_COST: f64 = 0.4;
/// The box kept around a figure holds so much of its own leader, mm.
const LEAVING_MM: f64 = 2.0;
/// Directions in which a note is tried.
static AROUND: LazyLock<Vec<DVec2>> = LazyLock::new(|| directions(36));
/// Radius of the ring at which the leader of numbers ends, mm.
const DOT_MM: f64 = 0.8;
/// The numbers at one part stand in rows of so many, whichever find the best place; the first of them where that is even.
const NUMBERS_IN_A_ROW: [usize; 6] = [5, 8, 3, 2, 13, 1];

pub(super) fn place_marks(
    strokes: &mut Vec<Stroke>,
    dimensions: &mut Vec<PlacedDimension>,
    room: &mut Room,
    marks: &[(&Origin, &Mark)],
    (pace, before, standing): (Pace, &Standing, &mut Standing),
) {
    // All figures first, so that no note covers one.
    let spots: Vec<OnTheSpot> = marks
        .iter()
        .map(|(origin, mark)| {
            let mut drawn = Vec::new();
            let spot = draw_figure(&mut drawn, room, mark);
            let begin = strokes.len();
            for drawn in drawn {
                room.ink_stroke(&drawn);
                strokes.push(Stroke { origin: (*origin).clone(), drawn });
            }
            dimensions.extend(kept_dimension(origin, mark, &spot, &strokes[begin..], begin));
            spot
        })
        .collect();
    let notes = Note::of_all(marks, &spots, room.scale);
    let (notes, places) = take_turns(notes, room, pace, before.at_scale(room.scale));
    for (note, place) in notes.iter().zip(&places) {
        let Some(place) = place else { continue };
        standing.keep_note(note.marks(), note.stands_at(place));
        for (origin, drawn) in note.drawn(place, room.scale) {
            room.ink_stroke(&drawn);
            strokes.push(Stroke { origin: origin.clone(), drawn });
        }
    }
}

/// A mark that is a dimension, for whoever keeps dimensions as such.
fn kept_dimension(
    origin: &Origin,
    mark: &Mark,
    spot: &OnTheSpot,
    strokes: &[Stroke],
    begin: usize,
) -> Option<PlacedDimension> {
    let MarkFigure::Dimension { from, to, axis } = mark.figure else { return None };
    if is_small(mark) {
        return None;
    }
    let on_line = *spot.leaders_from.first()?;
    let words_at = strokes.iter().find_map(|stroke| match &stroke.drawn {
        Drawn::Words { at, .. } => Some(*at),
        _ => None,
    });
    Some(PlacedDimension {
        origin: origin.clone(),
        from,
        to,
        axis,
        on_line,
        words_at: words_at.unwrap_or(on_line),
        words: mark.words.clone(),
        strokes: begin..begin + strokes.len(),
    })
}

/// A place for a note, with its leader, in paper millimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct NotePlace {
    area: PaperBox,
    pub from: DVec2,
    pub to: DVec2,
    pub ground: Ground,
}

impl NotePlace {
    /// The box that nothing else may cover.
    fn kept(&self) -> PaperBox {
        self.area.grown(0.6)
    }

    /// Keeps others from standing there, and their leaders from crossing.
    pub(super) fn take(&self, room: &mut Room) {
        room.take(self.kept());
        room.lead(self.from, self.to);
    }

    /// Lets others stand there.
    pub(super) fn release(&self, room: &mut Room) {
        room.release(self.kept(), Some((self.from, self.to)));
    }
}

/// Badge, title and words of the marks of one spot, before they have a place. Left out where there is no room at all.
#[derive(Clone)]
pub(super) struct Note<'a> {
    entries: Vec<Entry<'a>>,
    in_a_row: usize,
    size: DVec2,
    starts: Vec<DVec2>,
}

/// One mark's lines in a note.
#[derive(Clone)]
struct Entry<'a> {
    origin: &'a Origin,
    mark: &'a Mark,
    lines: Vec<String>,
    brevity: Brevity,
}

/// How much a mark says.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Brevity {
    /// Its words.
    Words,
    /// Its number in the list of findings.
    Number,
}

impl<'a> Note<'a> {
    /// Marks that ring the same spot share a note and a leader; so do all marks at one part that are only numbers.
    fn of_all(marks: &[(&'a Origin, &'a Mark)], spots: &[OnTheSpot], scale: f64) -> Vec<Self> {
        let mut notes: Vec<Self> = Vec::new();
        for ((origin, mark), spot) in marks.iter().zip(spots) {
            let mut lines = match mark.emphasis {
                Emphasis::Small(number) => vec![number.to_string()],
                Emphasis::Plain | Emphasis::Chosen => wrapped(&mark.title, SIZE.mm(), WIDEST_MM),
            };
            if !spot.words_done && !is_small(mark) {
                lines.extend(wrapped(&mark.words, SIZE.mm(), WIDEST_MM));
            }
            let brevity = if is_small(mark) { Brevity::Number } else { Brevity::Words };
            let entry = Entry { origin, mark, lines, brevity };
            let starts: Vec<DVec2> = spot.leaders_from.iter().map(|start| *start / scale).collect();
            let shared = notes.iter_mut().find(|note| note.may_take(&entry, &starts));
            match shared {
                Some(note) => {
                    note.entries.push(entry);
                    if !note.starts.contains(&starts[0]) {
                        note.starts.extend(starts);
                    }
                }
                None => {
                    notes.push(Self { size: DVec2::ZERO, entries: vec![entry], in_a_row: NUMBERS_IN_A_ROW[0], starts })
                }
            }
        }
        notes.iter_mut().for_each(Self::measure);
        // Rings can be left in any direction, dimension lines in few; a number fits nearly anywhere.
        notes.sort_by_key(|note| (note.is_small(), note.entries[0].rings()));
        notes
    }

    pub(super) fn is_small(&self) -> bool {
        self.entries[0].is_small()
    }

    /// Whether it is what the drawing is about for the moment.
    pub(super) fn is_chosen(&self) -> bool {
        self.entries.iter().any(|entry| entry.mark.emphasis == Emphasis::Chosen)
    }

    /// Its numbers in two notes.
    pub(super) fn halves(&self) -> Vec<Self> {
        let halves = self.entries.chunks(self.entries.len().div_ceil(2));
        let half = |entries: &[Entry<'a>]| {
            let mut half = Self { entries: entries.to_vec(), starts: self.starts.clone(), ..*self };
            half.measure();
            half
        };
        halves.map(half).collect()
    }

    /// Reckons how much room it takes.
    fn measure(&mut self) {
        let size = self.rows().iter().fold(DVec2::ZERO, |size, row| {
            let across: f64 = row.iter().map(|entry| entry.size().x).sum();
            let tall = row.iter().map(|entry| entry.size().y).fold(0.0, f64::max);
            dvec2(size.x.max(across), size.y + tall)
        });
        self.size = size;
    }

    /// Says the numbers alone, by which the list of findings knows them; the chosen mark keeps its words.
    pub(super) fn shorten(&mut self) -> bool {
        let can = |entry: &Entry<'_>| entry.brevity == Brevity::Words && entry.mark.emphasis != Emphasis::Chosen;
        if !self.entries.iter().all(|entry| can(entry) && entry.mark.number.is_some()) {
            return false;
        }
        for entry in &mut self.entries {
            entry.lines = entry.mark.number.iter().map(usize::to_string).collect();
            entry.brevity = Brevity::Number;
        }
        self.measure();
        true
    }

    /// Entries under each other; those that are only numbers, several in a row.
    fn rows(&self) -> Vec<&[Entry<'a>]> {
        let in_a_row = if self.is_small() { self.in_a_row } else { 1 };
        self.entries.chunks(in_a_row).collect()
    }

    fn drawn(&self, NotePlace { area, from, to, .. }: &NotePlace, scale: f64) -> Vec<(&'a Origin, Drawn)> {
        let side = if from.x >= area.middle().x { Side::Right } else { Side::Left };
        let mut drawn = Vec::new();
        let mut top = area.high.y;
        let first = &self.entries[0];
        let points = vec![*from * scale, *to * scale];
        let pencil = Pencil::of(first.mark);
        drawn.push((first.origin, Drawn::Line { points, outline: Pencil::leader(first.mark) }));
        if first.is_small() {
            let spot = *from + (*from - *to).normalize_or_zero() * DOT_MM;
            drawn.push((first.origin, circle(&pencil, DOT_MM * scale, spot * scale)));
        }
        for row in self.rows() {
            let tall = row.iter().map(|entry| entry.size().y).fold(0.0, f64::max);
            let mut left = area.low.x;
            for entry in row {
                // An entry that has its row to itself is ranged on the leader's side.
                let right = if row.len() == 1 && !entry.is_small() { area.high.x } else { left + entry.size().x };
                let cell = PaperBox { low: dvec2(left, top - tall), high: dvec2(right, top) };
                let side = if entry.is_small() { Side::Left } else { side };
                drawn.extend(entry.drawn(cell, side, scale).into_iter().map(|stroke| (entry.origin, stroke)));
                left = right;
            }
            top -= tall;
        }
        drawn
    }

    /// The marks of which it speaks.
    pub(super) fn marks(&self) -> Vec<Origin> {
        self.entries.iter().map(|entry| entry.origin.clone()).collect()
    }

    fn stands_at(&self, place: &NotePlace) -> NoteStood {
        NoteStood { in_a_row: self.in_a_row, is_small: self.is_small(), at: place.area.middle() }
    }

    /// The place where it stood, saying what it said, if that is blank paper still and no leader is crossed.
    pub(super) fn as_it_stood(&mut self, stood: NoteStood, room: &Room) -> Option<NotePlace> {
        if stood.is_small && !self.is_small() {
            self.shorten();
        }
        self.put_in_rows(stood.in_a_row);
        let area = PaperBox { low: stood.at - self.size / 2.0, high: stood.at + self.size / 2.0 };
        let places = self.starts.iter().map(|start| {
            let (from, to) = self.leader(area, *start);
            NotePlace { area, from, to, ground: Ground::Blank }
        });
        let nearest = places.min_by(|a, b| a.from.distance(a.to).total_cmp(&b.from.distance(b.to)))?;
        let away = nearest.from + (nearest.to - nearest.from).clamp_length_max(LEAVING_MM);
        let is_free = Ground::Blank.will_do(room, area, (away, nearest.to));
        (is_free && room.leaders_crossed(nearest.from, nearest.to) == 0).then_some(nearest)
    }

    /// A place on blank paper; numbers are put into the rows with which they find the best one.
    pub(super) fn place_on_blank(&mut self, room: &Room) -> Option<NotePlace> {
        let shapes = if self.entries.len() > 1 && self.is_small() { &NUMBERS_IN_A_ROW[..] } else { &[1] };
        let tried = shapes.iter().filter_map(|in_a_row| {
            self.put_in_rows(*in_a_row);
            let (cost, place) = self.best_place(room, Ground::Blank)?;
            Some((cost, place, *in_a_row))
        });
        let (_, place, in_a_row) = tried.min_by(|a, b| a.0.total_cmp(&b.0))?;
        self.put_in_rows(in_a_row);
        Some(place)
    }

    fn put_in_rows(&mut self, in_a_row: usize) {
        self.in_a_row = in_a_row;
        self.measure();
    }

    pub(super) fn place(&self, room: &Room, ground: Ground) -> Option<NotePlace> {
        self.best_place(room, ground).map(|(_, place)| place)
    }

    /// What the best place costs, and the place.
    fn best_place(&self, room: &Room, ground: Ground) -> Option<(f64, NotePlace)> {
        let mut best: Option<(f64, NotePlace)> = None;
        for distance in DISTANCES_MM {
            // Nothing further off can be better.
            if best.as_ref().is_some_and(|(cost, _)| *cost < FAR_COST * distance) {
                break;
            }
            for (start, direction) in self.starts.iter().flat_map(|start| AROUND.iter().map(move |way| (*start, *way)))
            {
                let middle = start + direction * (self.size / 2.0 + distance);
                let area = PaperBox { low: middle - self.size / 2.0, high: middle + self.size / 2.0 };
                let (from, to) = self.leader(area, start);
                // What a place costs by being so far off is the least that it costs.
                let far = FAR_COST * from.distance(to).max(distance);
                let is_worse = |cost: f64| best.as_ref().is_some_and(|(least, _)| cost >= *least);
                let away = from + (to - from).clamp_length_max(LEAVING_MM);
                if is_worse(far) || !ground.will_do(room, area, (away, to)) {
                    continue;
                }
                let tangled = room.leaders_crossed(from, to) + 2 * room.leaders_under(area);
                if ground == Ground::Blank && tangled > 0 {
                    continue;
                }
                let cost = far + 3.0 * room.covered(area) + 0.6 * room.crossed(away, to) + 12.0 * tangled as f64;
                if !is_worse(cost) {
                    best = Some((cost, NotePlace { area, from, to, ground }));
                }
            }
        }
        best
    }

    /// Whether an entry to which leaders go from these places may share it.
    fn may_take(&self, entry: &Entry<'_>, starts: &[DVec2]) -> bool {
        let first = &self.entries[0];
        match (first.is_small(), entry.is_small()) {
            (true, true) => first.part() == entry.part(),
            (false, false) => first.rings() && entry.rings() && self.starts == starts,
            _ => false,
        }
    }

    /// From the figure to the note's first line, or to its lower or upper edge. A ring is left at its edge.
    fn leader(&self, area: PaperBox, start: DVec2) -> (DVec2, DVec2) {
        let to = if start.x < area.low.x {
            dvec2(area.low.x - 0.1, first_line(area))
        } else if start.x > area.high.x {
            dvec2(area.high.x + 0.1, first_line(area))
        } else {
            start.clamp(area.low, area.high)
        };
        let from = if self.entries[0].rings() {
            start + (to - start).clamp_length_max(self.entries[0].radius_mm())
        } else {
            start
        };
        (from, to)
    }
}

impl Entry<'_> {
    fn is_small(&self) -> bool {
        self.brevity == Brevity::Number
    }

    fn rings(&self) -> bool {
        self.is_small() || matches!(self.mark.figure, MarkFigure::Ring(_))
    }

    /// The part that is marked first.
    fn part(&self) -> Option<&Id> {
        match self.origin {
            Origin::Mark(key) => key.parts.first(),
            _ => None,
        }
    }

    fn radius_mm(&self) -> f64 {
        if self.is_small() { DOT_MM } else { RING_MM }
    }

    fn size(&self) -> DVec2 {
        block_size(&self.lines, SIZE.mm()) + dvec2(BADGE_MM, 0.0)
    }

    /// Badge and words, ranged on the side of the leader.
    fn drawn(&self, area: PaperBox, side: Side, scale: f64) -> Vec<Drawn> {
        let pencil = Pencil::of(self.mark);
        let (badge_x, shift, anchor) = match side {
            Side::Right => (area.high.x - BADGE_MM / 2.0, DVec2::ZERO, TextAnchor::End),
            Side::Left => (area.low.x + BADGE_MM / 2.0, dvec2(BADGE_MM, 0.0), TextAnchor::Start),
        };
        let words = PaperBox { low: area.low + shift, high: area.high - dvec2(BADGE_MM, 0.0) + shift };
        let mut drawn = Vec::new();
        let badge = dvec2(badge_x, first_line(area)) * scale;
        let symbol = Symbol::Verdict(self.mark.verdict);
        ink_symbol(symbol, badge, DVec2::X, pencil.ink, scale, &mut |stroke| drawn.push(stroke));
        drawn.extend(block(&self.lines, SIZE.mm(), pencil.ink, words, scale, anchor));
        drawn
    }
}

const fn is_small(mark: &Mark) -> bool {
    matches!(mark.emphasis, Emphasis::Small(_))
}

/// Which ground will do for a note.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ground {
    /// Paper on which nothing is drawn, with a leader that crosses no other and nothing that is kept clear.
    Blank,
    /// The same, though leaders may cross.
    BlankTangled,
    /// The same over thin lines.
    Free,
    /// With any leader, where there is no better way to say it at all.
    Any,
}

impl Ground {
    /// Whether a note may stand in a box, with a leader that runs so; whether leaders may cross is another question.
    fn will_do(self, room: &Room, area: PaperBox, (from, to): (DVec2, DVec2)) -> bool {
        match self {
            Self::Blank | Self::BlankTangled => room.is_blank(area) && room.is_clear(from, to),
            Self::Free => room.is_free(area) && room.is_clear(from, to),
            Self::Any => room.is_free(area),
        }
    }
}

/// The side of a note on which its leader ends.
#[derive(Clone, Copy)]
enum Side {
    Left,
    Right,
}

/// The level of a note's first line.
fn first_line(area: PaperBox) -> f64 {
    area.high.y - CLEAR_MM - SIZE.mm() / 2.0
}
