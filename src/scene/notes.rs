//! Marks on paper: where their dimension lines stand clear, and where their notes find room.

use glam::{DVec2, dvec2};

use super::inked::{Drawn, Outline, PlacedDimension, Stroke, Turn, arrowhead, ink_symbol};
use super::labels::{CLEAR_MM, block, block_size, directions};
use super::lettering::{width_mm, wrapped};
use super::outline::arc;
use super::pencil::Pencil;
use super::room::{PaperBox, Room};
use super::{Emphasis, Mark, MarkFigure, Origin, Symbol, TextAnchor, TextSize};
use crate::layout::Id;
use crate::measure::Axis;

/// Letter size of notes.
const SIZE: TextSize = TextSize::Small;
/// Notes are broken into lines no wider than this, mm.
const WIDEST_MM: f64 = 52.0;
/// Room that the badge takes before the words, mm.
const BADGE_MM: f64 = 3.4;
/// Distances from its place at which a note is tried, mm.
const DISTANCES_MM: [f64; 16] =
    [4.0, 7.0, 10.0, 13.0, 16.0, 20.0, 24.0, 28.0, 33.0, 39.0, 46.0, 54.0, 63.0, 73.0, 86.0, 105.0];
/// How much a millimetre of leader is disliked, where a millimetre of thin line under a note counts about three.
const FAR_COST: f64 = 0.4;
/// How often each note may choose its place.
const ROUNDS: usize = 4;
/// Radius of the pencil ring, mm.
const RING_MM: f64 = 2.6;
/// Radius of the ring at which the leader of numbers ends, mm.
const DOT_MM: f64 = 0.8;
/// The numbers at one part stand in rows of so many; in others where these find no room.
const NUMBERS_IN_A_ROW: [usize; 6] = [5, 8, 3, 2, 13, 1];
/// A dimension shorter than this has its arrows outside, mm.
const ARROWS_INSIDE_MM: f64 = 7.0;

/// What a mark left on the spot: where its leader may start, and whether the words stand on the line already.
struct OnTheSpot {
    leaders_from: Vec<DVec2>,
    words_done: bool,
}

pub(super) fn place_marks(
    strokes: &mut Vec<Stroke>,
    dimensions: &mut Vec<PlacedDimension>,
    room: &mut Room,
    marks: &[(&Origin, &Mark)],
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
    let mut notes = Note::of_all(marks, &spots, room.scale);
    let mut places: Vec<Option<NotePlace>> = vec![None; notes.len()];
    // Each note chooses again once it sees where the others went.
    for _ in 0..ROUNDS {
        for (note, place) in notes.iter_mut().zip(&mut places) {
            if let Some(old) = place {
                room.release(old.kept(), (old.from, old.to));
            }
            *place = note.place_on_blank(room);
            if place.is_none() && note.shorten() {
                *place = note.place_on_blank(room);
            }
            *place = place.or_else(|| note.place(room, Ground::Free)).or_else(|| note.place(room, Ground::Any));
            if let Some(new) = place {
                room.take(new.kept());
                room.lead(new.from, new.to);
            }
        }
    }
    for (note, place) in notes.iter().zip(&places) {
        let Some(place) = place else { continue };
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

fn draw_figure(drawn: &mut Vec<Drawn>, room: &mut Room, mark: &Mark) -> OnTheSpot {
    let pencil = Pencil::of(mark);
    if let Emphasis::Small(_) = mark.emphasis {
        return OnTheSpot { leaders_from: vec![middle_of(&mark.figure)], words_done: false };
    }
    match &mark.figure {
        MarkFigure::Ring(at) => ring(drawn, room, &pencil, *at),
        MarkFigure::Stretch(points) => stretch(drawn, room, &pencil, points),
        MarkFigure::Dimension { from, to, axis } => dimension(drawn, room, mark, &pencil, (*from, *to), *axis),
    }
}

/// A ring as a pencil draws it: it overshoots its own beginning.
fn ring(drawn: &mut Vec<Drawn>, room: &Room, pencil: &Pencil, at: DVec2) -> OnTheSpot {
    drawn.push(circle(pencil, RING_MM * room.scale, at));
    OnTheSpot { leaders_from: vec![at], words_done: false }
}

fn circle(pencil: &Pencil, radius: f64, at: DVec2) -> Drawn {
    let turn = arc(DVec2::ZERO, DVec2::splat(1.0), 70.0, 470.0);
    let last = (turn.len() - 1) as f64;
    let spiral = |(number, point): (usize, DVec2)| at + point * radius * (0.94 + 0.14 * number as f64 / last);
    let points = turn.into_iter().enumerate().map(spiral).collect();
    Drawn::Line { points, outline: pencil.outline() }
}

/// Where a mark stands that is only a number.
fn middle_of(figure: &MarkFigure) -> DVec2 {
    match figure {
        MarkFigure::Ring(at) => *at,
        MarkFigure::Dimension { from, to, .. } => from.midpoint(*to),
        MarkFigure::Stretch(points) => points.get(points.len() / 2).copied().unwrap_or_default(),
    }
}

/// A pencil line on both sides of a pipe would hide it: one broad stroke beside it, and bars at its ends.
fn stretch(drawn: &mut Vec<Drawn>, room: &Room, pencil: &Pencil, points: &[DVec2]) -> OnTheSpot {
    let line = crate::geom::Polyline::through(points.iter().copied());
    let Some(line) = line else {
        return ring(drawn, room, pencil, points.first().copied().unwrap_or(DVec2::ZERO));
    };
    for (at, inward) in [(0.0, 1.0), (line.length(), -1.0)] {
        let (foot, along) = (line.point_at(at), line.direction_at(at) * inward);
        let bar = along.perp() * 2.0 * room.scale;
        drawn.push(Drawn::Line { points: vec![foot - bar, foot + bar], outline: pencil.solid() });
    }
    let heavy = Outline { width_mm: pencil.width_mm + 0.15, ..pencil.outline() };
    drawn.push(Drawn::Line { points: line.vertices().to_vec(), outline: heavy });
    let shares = [0.5, 0.25, 0.75];
    let leaders_from = shares.iter().map(|share| line.point_at(line.length() * share)).collect();
    OnTheSpot { leaders_from, words_done: false }
}

/// A dimension line that stands clear, with extension lines from the places to it (arrangement of ISO 129-1, from memory).
fn dimension(
    drawn: &mut Vec<Drawn>,
    room: &mut Room,
    mark: &Mark,
    pencil: &Pencil,
    (from, to): (DVec2, DVec2),
    axis: Axis,
) -> OnTheSpot {
    let scale = room.scale;
    let upright = axis == Axis::Upright;
    // Reckoned as if upright: `across` is the free coordinate, `along` the measured one.
    let turned = |point: DVec2| if upright { point / scale } else { dvec2(point.y, point.x) / scale };
    let back =
        |across: f64, along: f64| if upright { dvec2(across, along) * scale } else { dvec2(along, across) * scale };
    let (mut low, mut high) = (turned(from), turned(to));
    if low.y > high.y {
        std::mem::swap(&mut low, &mut high);
    }
    let length = high.y - low.y;
    let outside = if length < ARROWS_INSIDE_MM { 4.5 } else { 0.0 };
    let across = free_line(room, (low, high), outside, &back);
    let mut line = |points: Vec<DVec2>, outline: Outline| drawn.push(Drawn::Line { points, outline });
    for end in [low, high] {
        let reach = (across - end.x).signum();
        if (across - end.x).abs() > 0.6 {
            line(vec![back(end.x + reach * 0.5, end.y), back(across + reach * 1.2, end.y)], pencil.solid());
        }
    }
    line(vec![back(across, low.y - outside), back(across, high.y + outside)], pencil.outline());
    let up = (back(0.0, 1.0) - back(0.0, 0.0)).normalize_or_zero();
    let inward = if outside > 0.0 { -1.0 } else { 1.0 };
    drawn.push(arrowhead(back(across, low.y), -up * inward, pencil.ink, scale));
    drawn.push(arrowhead(back(across, high.y), up * inward, pencil.ink, scale));
    let width = width_mm(&mark.words, SIZE.mm());
    let words_fit = length > width + 7.0;
    if words_fit {
        // Above the line, which for an upright one is its left side.
        let middle = f64::midpoint(low.y, high.y);
        let foot = if upright { back(across - 0.9, middle) } else { back(across + 0.9, middle) };
        let words = Drawn::Words {
            at: foot,
            anchor: TextAnchor::Middle,
            words: mark.words.clone(),
            size_mm: SIZE.mm(),
            ink: pencil.ink,
            turn: if upright { Turn::Upward } else { Turn::Level },
        };
        if let Some((low, high)) = words.words_box(scale) {
            room.take(PaperBox { low: low / scale, high: high / scale });
        }
        drawn.push(words);
    }
    let hold = 1.2;
    let (a, b) = (back(across - hold, low.y - outside) / scale, back(across + hold, high.y + outside) / scale);
    room.take(PaperBox { low: a.min(b), high: a.max(b) });
    let starts = if outside > 0.0 {
        // From the tails of the arrows, where nothing hides it.
        vec![high.y + outside, low.y - outside]
    } else if words_fit {
        vec![low.y + 2.0, high.y - 2.0]
    } else {
        vec![f64::midpoint(low.y, high.y), low.y + length * 0.25, low.y + length * 0.75]
    };
    OnTheSpot { leaders_from: starts.into_iter().map(|along| back(across, along)).collect(), words_done: words_fit }
}

/// Where across the section a dimension line covers least and is not far from its places.
fn free_line(room: &Room, (low, high): (DVec2, DVec2), outside: f64, back: &impl Fn(f64, f64) -> DVec2) -> f64 {
    let (least, most) = (low.x.min(high.x), low.x.max(high.x));
    let mut candidates = vec![f64::midpoint(least, most), least, most];
    for step in 1..=18 {
        let off = 2.5 * f64::from(step);
        candidates.extend([least - off, most + off]);
        if off < most - least {
            candidates.extend([least + off, most - off]);
        }
    }
    let paper = |across: f64, along: f64| back(across, along) / room.scale;
    let cost = |across: f64| {
        let ends = (paper(across - 1.0, low.y - outside), paper(across + 1.0, high.y + outside));
        let strip = PaperBox { low: ends.0.min(ends.1), high: ends.0.max(ends.1) };
        let extensions: f64 =
            [low, high].iter().map(|end| room.crossed(paper(end.x, end.y), paper(across, end.y))).sum();
        let reach = (across - least).abs().max((across - most).abs());
        let hidden = if room.is_free(strip) { 0.0 } else { 60.0 };
        let between = if across > least + 1.0 && across < most - 1.0 { 8.0 } else { 0.0 };
        // Right on an end there is no room to see the arrow.
        let tight = [low, high].iter().filter(|end| (across - end.x).abs() < 2.0).count() as f64;
        let span = (strip.high - strip.low).max_element().max(1.0);
        hidden + between + 6.0 * room.covered(strip) / span + 0.25 * extensions + 0.35 * reach + 1.5 * tight
    };
    let best = candidates.into_iter().map(|across| (cost(across), across)).min_by(|a, b| a.0.total_cmp(&b.0));
    best.map_or(least, |(_, across)| across)
}

/// A place for a note, with its leader, in paper millimetres.
#[derive(Debug, Clone, Copy)]
struct NotePlace {
    area: PaperBox,
    from: DVec2,
    to: DVec2,
}

impl NotePlace {
    /// The box that nothing else may cover.
    fn kept(&self) -> PaperBox {
        self.area.grown(0.6)
    }
}

/// Badge, title and words of the marks of one spot, before they have a place. Left out where there is no room at all.
struct Note<'a> {
    entries: Vec<Entry<'a>>,
    in_a_row: usize,
    size: DVec2,
    starts: Vec<DVec2>,
}

/// One mark's lines in a note.
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
            let shared = notes.iter_mut().find(|note| note.entries[0].joins(&entry, note.starts == starts));
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
        notes.sort_by_key(|note| (note.entries[0].is_small(), note.entries[0].rings()));
        notes
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
    fn shorten(&mut self) -> bool {
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
        let in_a_row = if self.entries[0].is_small() { self.in_a_row } else { 1 };
        self.entries.chunks(in_a_row).collect()
    }

    fn drawn(&self, NotePlace { area, from, to }: &NotePlace, scale: f64) -> Vec<(&'a Origin, Drawn)> {
        let side = if from.x >= area.middle().x { Side::Right } else { Side::Left };
        let mut drawn = Vec::new();
        let mut top = area.high.y;
        let first = &self.entries[0];
        let points = vec![*from * scale, *to * scale];
        let pencil = Pencil::of(first.mark);
        drawn.push((first.origin, Drawn::Line { points, outline: pencil.solid() }));
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

    /// A place on blank paper; numbers are put into other rows where that helps.
    fn place_on_blank(&mut self, room: &Room) -> Option<NotePlace> {
        let shapes = if self.entries.len() > 1 && self.entries[0].is_small() { &NUMBERS_IN_A_ROW[..] } else { &[1] };
        shapes.iter().find_map(|in_a_row| {
            self.in_a_row = *in_a_row;
            self.measure();
            self.place(room, Ground::Blank)
        })
    }

    fn place(&self, room: &Room, ground: Ground) -> Option<NotePlace> {
        let mut best: Option<(f64, NotePlace)> = None;
        for distance in DISTANCES_MM {
            // Nothing further off can be better.
            if best.as_ref().is_some_and(|(cost, _)| *cost < FAR_COST * distance) {
                break;
            }
            for (start, direction) in self.starts.iter().flat_map(|start| directions(36).map(move |way| (*start, way)))
            {
                let middle = start + direction * (self.size / 2.0 + distance);
                let area = PaperBox { low: middle - self.size / 2.0, high: middle + self.size / 2.0 };
                let (from, to) = self.leader(area, start);
                // The box kept around the figure holds the leader's own start.
                let away = from + (to - from).clamp_length_max(2.0);
                let will_do = match ground {
                    Ground::Blank => room.is_blank(area) && room.is_clear(away, to),
                    Ground::Free => room.is_free(area) && room.is_clear(away, to),
                    Ground::Any => room.is_free(area),
                };
                if !will_do {
                    continue;
                }
                let tangled = room.leaders_crossed(from, to) + 2 * room.leaders_under(area);
                let cost = FAR_COST * from.distance(to).max(distance)
                    + 3.0 * room.covered(area)
                    + 0.6 * room.crossed(away, to)
                    + 12.0 * tangled as f64;
                if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                    best = Some((cost, NotePlace { area, from, to }));
                }
            }
        }
        best.map(|(_, place)| place)
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

    /// Whether both may share a note.
    fn joins(&self, other: &Self, same_spot: bool) -> bool {
        match (self.is_small(), other.is_small()) {
            (true, true) => self.part() == other.part(),
            (false, false) => self.rings() && other.rings() && same_spot,
            _ => false,
        }
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
#[derive(Clone, Copy, PartialEq, Eq)]
enum Ground {
    /// Paper on which nothing is drawn, with a leader that crosses nothing that is kept clear.
    Blank,
    /// The same over thin lines.
    Free,
    /// With any leader, where there is no better way to say it at all.
    Any,
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
