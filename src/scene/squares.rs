//! Things on paper by the squares that they touch, so that only what lies near has to be looked at.

use glam::DVec2;

use super::room::PaperBox;

/// Side of a square on paper where that is small enough, mm: about as long as a label.
const SQUARE_MM: f64 = 10.0;
/// Squares along each side of the paper at most; beyond that they grow.
const MOST_SQUARES: f64 = 100.0;
/// What is asked for is looked for so far around as well, mm: rounding is less.
const HAIR_MM: f64 = 1e-6;

/// Something that lies on paper.
pub(super) trait Lying: Copy + PartialEq {
    /// The box around it.
    fn bounds(&self) -> PaperBox;
}

impl Lying for PaperBox {
    fn bounds(&self) -> PaperBox {
        *self
    }
}

/// A straight line between two points.
impl Lying for (DVec2, DVec2) {
    fn bounds(&self) -> PaperBox {
        PaperBox { low: self.0.min(self.1), high: self.0.max(self.1) }
    }
}

/// Things on paper. What lies beyond the paper counts as on the squares at its edge.
#[derive(Clone)]
pub(super) struct Squares<T> {
    low: DVec2,
    side_mm: f64,
    columns: usize,
    rows: usize,
    /// Row by row: what touches each square, with the first square that it touches.
    on: Vec<Vec<(T, Square)>>,
}

/// A square by its column and row.
type Square = (usize, usize);

impl<T: Lying> Squares<T> {
    /// Paper with nothing on it.
    pub fn over(paper: PaperBox) -> Self {
        let size = paper.high - paper.low;
        let side_mm = (size.max_element() / MOST_SQUARES).max(SQUARE_MM);
        let (columns, rows) = ((size.x / side_mm) as usize + 1, (size.y / side_mm) as usize + 1);
        Self { low: paper.low, side_mm, columns, rows, on: vec![Vec::new(); columns * rows] }
    }

    /// Lays a thing down.
    pub fn put(&mut self, thing: T) {
        let (first, last) = self.touched(thing.bounds());
        for number in self.numbers(first, last) {
            self.on[number].push((thing, first));
        }
    }

    /// Takes a thing away, and all that are equal to it.
    pub fn remove(&mut self, thing: T) {
        let (first, last) = self.touched(thing.bounds());
        for number in self.numbers(first, last) {
            self.on[number].retain(|(other, _)| *other != thing);
        }
    }

    /// Everything that may touch a box, each thing once.
    pub fn near(&self, area: PaperBox) -> impl Iterator<Item = T> {
        let (first, last) = self.touched(area.grown(HAIR_MM));
        self.numbers(first, last).flat_map(move |number| {
            let here = (number % self.columns, number / self.columns);
            // What touches several of these squares is taken on the first of them.
            let is_first = move |begins: Square| (begins.0.max(first.0), begins.1.max(first.1)) == here;
            self.on[number].iter().filter(move |(_, begins)| is_first(*begins)).map(|(thing, _)| *thing)
        })
    }

    /// The first and the last square that a box touches.
    fn touched(&self, area: PaperBox) -> (Square, Square) {
        let square = |at: DVec2| {
            let at = (at - self.low) / self.side_mm;
            // What is below nothing becomes nothing.
            ((at.x as usize).min(self.columns - 1), (at.y as usize).min(self.rows - 1))
        };
        (square(area.low), square(area.high))
    }

    /// The numbers of the squares between two corners.
    fn numbers(&self, first: Square, last: Square) -> impl Iterator<Item = usize> + use<T> {
        let columns = self.columns;
        (first.1..=last.1).flat_map(move |row| (row * columns + first.0)..=(row * columns + last.0))
    }
}

#[cfg(test)]
mod tests {
    use glam::dvec2;

    use super::*;

    /// Boxes strewn about: some lie beyond the paper, and some are larger than a square.
    fn strewn(from: u32, to: u32) -> impl Iterator<Item = PaperBox> {
        let strew = |number: u32, step: u32, span: u32| f64::from(number * step % span);
        (from..to).map(move |number| {
            let low = dvec2(strew(number, 37, 200) - 80.0, strew(number, 53, 180) - 70.0);
            PaperBox { low, high: low + dvec2(1.0 + strew(number, 17, 45), 1.0 + strew(number, 11, 25)) }
        })
    }

    #[test]
    fn nothing_near_is_missed_and_nothing_comes_twice() {
        let mut squares = Squares::over(PaperBox { low: dvec2(-40.0, -30.0), high: dvec2(90.0, 75.0) });
        strewn(0, 300).for_each(|thing| squares.put(thing));
        strewn(250, 300).for_each(|thing| squares.remove(thing));
        let by_place = |a: &PaperBox, b: &PaperBox| {
            a.low.x.total_cmp(&b.low.x).then(a.low.y.total_cmp(&b.low.y)).then(a.high.x.total_cmp(&b.high.x))
        };
        let mut found_any = 0;
        for asked in strewn(1000, 1300) {
            let overlaps = |thing: &PaperBox| thing.overlaps(asked);
            let mut found: Vec<PaperBox> = squares.near(asked).filter(overlaps).collect();
            let mut expected: Vec<PaperBox> = strewn(0, 250).filter(overlaps).collect();
            found.sort_by(by_place);
            expected.sort_by(by_place);
            found_any += found.len();
            assert_eq!(found, expected);
        }
        assert!(found_any > 1000, "{found_any}");
    }
}
