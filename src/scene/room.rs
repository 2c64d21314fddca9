//! Where on the paper there is room: what is inked already, coarsely, and what must not be covered.

use glam::{DVec2, dvec2};

use super::inked::{Drawn, Stroke};
use super::lettering::width_mm;
use super::squares::{Lying, Squares};
use super::{Ink, TextAnchor, Turn};

/// Cells along each side of the grid at most; beyond that they grow.
const MOST_CELLS: f64 = 700.0;
/// Size of a cell on paper where the drawing is small enough, mm.
const CELL_MM: f64 = 1.0;
/// Paper kept around the drawing for labels and notes, mm.
const MARGIN_MM: f64 = 70.0;
/// From one place to the next when blank paper is looked for, mm.
const SEARCH_MM: f64 = 2.0;
/// A wide line counts as so many thin ones at most.
const MOST_LINES_ACROSS: f64 = 40.0;

/// A box on paper, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PaperBox {
    pub low: DVec2,
    pub high: DVec2,
}

/// The paper, in millimetres of paper: x right, y up, the section's origin at its origin.
#[derive(Clone)]
pub(super) struct Room {
    /// Section millimetres to a paper millimetre.
    pub scale: f64,
    limits: PaperBox,
    low: DVec2,
    cell_mm: f64,
    columns: usize,
    rows: usize,
    ink: Vec<f32>,
    taken: Squares<PaperBox>,
    /// The boxes of what labels name.
    named: Vec<PaperBox>,
    /// In the order in which they were drawn.
    leaders: Vec<(DVec2, DVec2)>,
    leaders_at: Squares<(DVec2, DVec2)>,
}

impl PaperBox {
    pub fn grown(self, by: f64) -> Self {
        Self { low: self.low - by, high: self.high + by }
    }

    pub fn middle(self) -> DVec2 {
        self.low.midpoint(self.high)
    }

    pub fn overlaps(self, other: Self) -> bool {
        self.low.x < other.high.x && other.low.x < self.high.x && self.low.y < other.high.y && other.low.y < self.high.y
    }

    fn holds(self, other: Self) -> bool {
        self.low.cmple(other.low).all() && self.high.cmpge(other.high).all()
    }

    /// Whether a straight line passes through.
    pub fn is_crossed(self, from: DVec2, to: DVec2) -> bool {
        self.shares_inside(from, to).is_some_and(|(enter, leave)| enter < leave)
    }

    /// The shares of a straight line at which it enters and leaves.
    fn shares_inside(self, from: DVec2, to: DVec2) -> Option<(f64, f64)> {
        let run = to - from;
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        for (start, run, low, high) in
            [(from.x, run.x, self.low.x, self.high.x), (from.y, run.y, self.low.y, self.high.y)]
        {
            if run.abs() < 1e-12 {
                if start <= low || start >= high {
                    return None;
                }
                continue;
            }
            let (a, b) = ((low - start) / run, (high - start) / run);
            enter = enter.max(a.min(b));
            leave = leave.min(a.max(b));
        }
        (enter <= leave).then_some((enter, leave))
    }
}

impl Room {
    /// The room around strokes, which all count as inked.
    pub fn around(strokes: &[Stroke], scale: f64, within: Option<(DVec2, DVec2)>) -> Self {
        let mut bounds: Option<(DVec2, DVec2)> = within.map(|(low, high)| (low / scale, high / scale));
        if bounds.is_none() {
            for point in strokes.iter().flat_map(|stroke| stroke.drawn.points()) {
                let point = *point / scale;
                bounds = Some(bounds.map_or((point, point), |(low, high)| (low.min(point), high.max(point))));
            }
            bounds = bounds.map(|(low, high)| (low - MARGIN_MM, high + MARGIN_MM));
        }
        let (low, high) = bounds.unwrap_or((DVec2::splat(-MARGIN_MM), DVec2::splat(MARGIN_MM)));
        let size = (high - low).max(DVec2::ONE);
        let cell_mm = (size.max_element() / MOST_CELLS).max(CELL_MM);
        let (columns, rows) = ((size.x / cell_mm).ceil() as usize + 1, (size.y / cell_mm).ceil() as usize + 1);
        let ink = vec![0.0; columns * rows];
        let limits = PaperBox { low, high };
        let mut room = Self {
            scale,
            limits,
            low,
            cell_mm,
            columns,
            rows,
            ink,
            taken: Squares::over(limits),
            named: Vec::new(),
            leaders: Vec::new(),
            leaders_at: Squares::over(limits),
        };
        for stroke in strokes {
            room.ink_stroke(&stroke.drawn);
            if let Some((low, high)) = stroke.drawn.words_box(scale) {
                room.take(PaperBox { low: low / scale, high: high / scale });
            }
        }
        room
    }

    /// Counts a stroke as inked.
    pub fn ink_stroke(&mut self, drawn: &Drawn) {
        match drawn {
            Drawn::Line { points, outline } if outline.ink != Ink::Paper => {
                self.ink_line(points, (0.3 + outline.width_mm) as f32, outline.ink);
                self.ink_edges(points, outline.width_mm, outline.ink);
            }
            Drawn::Area { points, outline: Some(outline), .. } => {
                let closed: Vec<DVec2> = points.iter().chain(points.first()).copied().collect();
                self.ink_line(&closed, (0.3 + outline.width_mm) as f32, outline.ink);
            }
            Drawn::Area { points, fill: Some(ink), outline: None } if !is_tint(*ink) => {
                let closed: Vec<DVec2> = points.iter().chain(points.first()).copied().collect();
                self.ink_line(&closed, 0.3, *ink);
            }
            Drawn::Line { .. } | Drawn::Area { .. } | Drawn::Words { .. } => {}
        }
    }

    /// What is wider than a cell covers more than its middle line.
    fn ink_edges(&mut self, points: &[DVec2], width_mm: f64, ink: Ink) {
        let lines = (width_mm / self.cell_mm).ceil().min(MOST_LINES_ACROSS);
        if lines < 2.0 {
            return;
        }
        for pair in points.windows(2) {
            let across = (pair[1] - pair[0]).normalize_or_zero().perp() * width_mm * self.scale;
            for line in 0..=lines as u32 {
                let off = across * (f64::from(line) / lines - 0.5);
                self.ink_line(&[pair[0] + off, pair[1] + off], 0.3, ink);
            }
        }
    }

    fn ink_line(&mut self, points: &[DVec2], weight: f32, ink: Ink) {
        let weight = match ink {
            Ink::Faint | Ink::Lagging => weight * 0.7,
            Ink::RedPencil | Ink::GreyPencil => weight * 6.0,
            _ => weight,
        };
        for pair in points.windows(2) {
            self.sweep(pair[0] / self.scale, pair[1] / self.scale, |cell| *cell += weight);
        }
    }

    /// Visits the cells along a line on paper, as far as it runs over the grid.
    fn sweep(&mut self, from: DVec2, to: DVec2, mut visit: impl FnMut(&mut f32)) {
        let Some((from, to)) = self.clipped(from, to) else { return };
        let steps = ((to - from).abs().max_element() / self.cell_mm).ceil().max(1.0) as u32;
        let mut last = None;
        for step in 0..=steps {
            let cell = self.cell(from.lerp(to, f64::from(step) / f64::from(steps)));
            if cell != last
                && let Some(cell) = cell
            {
                visit(&mut self.ink[cell]);
            }
            last = cell;
        }
    }

    /// The piece of a line that lies over the grid.
    fn clipped(&self, from: DVec2, to: DVec2) -> Option<(DVec2, DVec2)> {
        let (enter, leave) = self.limits.shares_inside(from, to)?;
        Some((from.lerp(to, enter), from.lerp(to, leave)))
    }

    fn cell(&self, at: DVec2) -> Option<usize> {
        let place = (at - self.low) / self.cell_mm;
        if place.x < 0.0 || place.y < 0.0 {
            return None;
        }
        let (column, row) = (place.x as usize, place.y as usize);
        (column < self.columns && row < self.rows).then_some(row * self.columns + column)
    }

    /// How much ink a box would cover.
    pub fn covered(&self, area: PaperBox) -> f64 {
        let last = dvec2((self.columns - 1) as f64, (self.rows - 1) as f64);
        let from = ((area.low - self.low) / self.cell_mm).clamp(DVec2::ZERO, last);
        let to = ((area.high - self.low) / self.cell_mm).clamp(DVec2::ZERO, last);
        let mut sum = 0.0;
        for row in from.y as usize..=to.y as usize {
            let row = row * self.columns;
            sum += self.ink[row + from.x as usize..=row + to.x as usize].iter().map(|ink| f64::from(*ink)).sum::<f64>();
        }
        sum
    }

    /// Whether a box lies on paper that nothing is drawn on, and on no leader.
    pub fn is_blank(&self, area: PaperBox) -> bool {
        if !self.limits.holds(area) {
            return false;
        }
        let last = dvec2((self.columns - 1) as f64, (self.rows - 1) as f64);
        let from = ((area.low - self.low) / self.cell_mm).clamp(DVec2::ZERO, last);
        let to = ((area.high - self.low) / self.cell_mm).clamp(DVec2::ZERO, last);
        // Most boxes that are tried lie on ink: that is asked first.
        let bare = (from.y as usize..=to.y as usize).all(|row| {
            let row = row * self.columns;
            self.ink[row + from.x as usize..=row + to.x as usize].iter().all(|ink| *ink == 0.0)
        });
        bare && self.is_free(area) && self.leaders_under(area) == 0
    }

    /// The place of a box of a size on blank paper that is nearest to the lower left corner of what is seen.
    pub fn blank_corner(&self, size: DVec2) -> Option<PaperBox> {
        let free = self.limits.high - self.limits.low - size - 2.0 * SEARCH_MM;
        if free.min_element() < 0.0 {
            return None;
        }
        let (across, up) = ((free.x / SEARCH_MM) as u32, (free.y / SEARCH_MM) as u32);
        let places = (0..=up).flat_map(|row| (0..=across).map(move |column| dvec2(f64::from(column), f64::from(row))));
        let boxes = places.map(|place| {
            let low = self.limits.low + (place + 1.0) * SEARCH_MM;
            PaperBox { low, high: low + size }
        });
        boxes.into_iter().find(|area| self.is_blank(*area))
    }

    /// How much ink a line would cross.
    pub fn crossed(&self, from: DVec2, to: DVec2) -> f64 {
        let Some((from, to)) = self.clipped(from, to) else { return 0.0 };
        let steps = ((to - from).abs().max_element() / self.cell_mm).ceil().max(1.0) as u32;
        let at = |step: u32| self.cell(from.lerp(to, f64::from(step) / f64::from(steps)));
        (0..=steps).filter_map(at).map(|cell| f64::from(self.ink[cell])).sum()
    }

    /// Whether a box lies on the paper and covers nothing that must not be covered.
    pub fn is_free(&self, area: PaperBox) -> bool {
        self.limits.holds(area) && !self.taken.near(area).any(|taken| taken.overlaps(area))
    }

    /// Whether a line passes through nothing that must not be covered.
    pub fn is_clear(&self, from: DVec2, to: DVec2) -> bool {
        !self.taken.near((from, to).bounds()).any(|taken| taken.is_crossed(from, to))
    }

    /// Lets go of a box that was kept, and of the leader to it.
    pub fn release(&mut self, area: PaperBox, leader: Option<(DVec2, DVec2)>) {
        self.taken.remove(area);
        if let Some(leader) = leader {
            self.leaders.retain(|other| *other != leader);
            self.leaders_at.remove(leader);
        }
    }

    /// The low and high corner of the paper, mm.
    pub const fn limits(&self) -> (DVec2, DVec2) {
        (self.limits.low, self.limits.high)
    }

    /// Keeps a leader in mind, so that others do not cross it.
    pub fn lead(&mut self, from: DVec2, to: DVec2) {
        self.leaders.push((from, to));
        self.leaders_at.put((from, to));
    }

    /// From where to where leaders run, mm of paper.
    pub fn leaders(&self) -> impl Iterator<Item = (DVec2, DVec2)> {
        self.leaders.iter().copied()
    }

    /// How many leaders a new one would cross.
    pub fn leaders_crossed(&self, from: DVec2, to: DVec2) -> usize {
        self.leaders_at.near((from, to).bounds()).filter(|leader| cross(*leader, (from, to))).count()
    }

    /// How many leaders run through a box.
    pub fn leaders_under(&self, area: PaperBox) -> usize {
        self.leaders_at.near(area).filter(|(from, to)| area.is_crossed(*from, *to)).count()
    }

    /// Whether a point is on the paper.
    pub fn sees(&self, at: DVec2) -> bool {
        self.limits.holds(PaperBox { low: at, high: at })
    }

    /// What is on the paper of a level line.
    pub fn stretch_in_view(&self, from: DVec2, to: DVec2) -> Option<(DVec2, DVec2)> {
        let (left, right) = (from.x.max(self.limits.low.x), to.x.min(self.limits.high.x));
        let is_seen = left < right && self.sees(dvec2(left, from.y));
        is_seen.then(|| (dvec2(left, from.y), dvec2(right, from.y)))
    }

    /// Keeps in mind where the things are that labels name.
    pub fn name(&mut self, things: impl IntoIterator<Item = PaperBox>) {
        self.named = things.into_iter().collect();
    }

    /// Whether a box reaches into something that is named, other than what fills a box of its own.
    pub fn is_in_another(&self, area: PaperBox, own: Option<PaperBox>) -> bool {
        self.named.iter().any(|thing| Some(*thing) != own && thing.overlaps(area))
    }

    /// Keeps a box from being covered.
    pub fn take(&mut self, area: PaperBox) {
        self.taken.put(area);
    }
}

/// Whether a colour fills areas that may be written on.
const fn is_tint(ink: Ink) -> bool {
    use Ink::{HotWater, Lagging, Masonry, Paper, PrimaryWater, Timber, Water};
    matches!(ink, Paper | Masonry | Timber | Water | HotWater | PrimaryWater | Lagging)
}

/// Whether two straight lines cross each other.
fn cross(a: (DVec2, DVec2), b: (DVec2, DVec2)) -> bool {
    let side = |line: (DVec2, DVec2), point: DVec2| (line.1 - line.0).perp_dot(point - line.0);
    side(a, b.0) * side(a, b.1) < 0.0 && side(b, a.0) * side(b, a.1) < 0.0
}

impl Drawn {
    /// The points that it is drawn through, in section millimetres.
    #[must_use]
    pub fn points(&self) -> &[DVec2] {
        match self {
            Self::Line { points, .. } | Self::Area { points, .. } => points,
            Self::Words { at, .. } => std::slice::from_ref(at),
        }
    }

    /// The box around words in section millimetres, at so many section millimetres to a paper millimetre.
    #[must_use]
    pub fn words_box(&self, scale: f64) -> Option<(DVec2, DVec2)> {
        let Self::Words { at, anchor, words, size_mm, turn, .. } = self else { return None };
        let width = width_mm(words, *size_mm);
        let before = match anchor {
            TextAnchor::Start => 0.0,
            TextAnchor::Middle => width / 2.0,
            TextAnchor::End => width,
        };
        let (low, high) = (dvec2(-before, -0.22 * size_mm), dvec2(width - before, 0.78 * size_mm));
        Some(match turn {
            Turn::Level => (*at + low * scale, *at + high * scale),
            Turn::Upward => (*at + dvec2(-high.y, low.x) * scale, *at + dvec2(-low.y, high.x) * scale),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_crosses_only_boxes_in_its_way() {
        let area = PaperBox { low: dvec2(10.0, 10.0), high: dvec2(20.0, 15.0) };
        assert!(area.is_crossed(dvec2(0.0, 12.0), dvec2(30.0, 12.0)));
        assert!(area.is_crossed(dvec2(12.0, 0.0), dvec2(12.0, 30.0)));
        assert!(!area.is_crossed(dvec2(0.0, 0.0), dvec2(30.0, 0.0)));
        assert!(!area.is_crossed(dvec2(0.0, 12.0), dvec2(9.0, 12.0)));
    }

    #[test]
    fn words_have_a_box_about_their_foot_line() {
        let words = |turn| Drawn::Words {
            at: DVec2::ZERO,
            anchor: TextAnchor::Middle,
            words: "cistern".to_owned(),
            size_mm: 2.5,
            ink: Ink::Ink,
            turn,
        };
        let level = words(Turn::Level).words_box(50.0).expect("words");
        let upward = words(Turn::Upward).words_box(50.0).expect("words");
        assert!((level.0.x + level.1.x).abs() < 1e-9 && level.0.y < 0.0 && level.1.y > 0.0);
        assert!((level.1.x - level.0.x - (upward.1.y - upward.0.y)).abs() < 1e-9);
    }
}
