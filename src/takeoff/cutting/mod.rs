//! The cutting list: tube from stock lengths with as few as can be, and how near that is proven to be the least.
//!
//! Each cut takes a kerf, so pieces of `l` fit a bar when Σ(l + kerf) ≤ stock + kerf. Simple packing comes first; where it
//! does not reach the lower bound, the relaxed problem over whole cutting patterns is solved (Gilmore and Gomory 1961, from
//! memory) and rounded, and at last a search tries to fill exactly as many bars as the bound asks.

mod bounds;
mod patterns;
mod search;
mod simple;

use serde::Serialize;

use search::Outcome;

/// Stock as it is sold, and what a cut takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Stock {
    /// Length of a bar, mm.
    pub length_mm: u32,
    /// What each cut takes, mm.
    pub kerf_mm: u32,
}

impl Default for Stock {
    /// Tube of three metres, and a saw of three millimetres (common practice, no source).
    fn default() -> Self {
        Self { length_mm: 3000, kerf_mm: 3 }
    }
}

/// How bars are cut.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Cutting {
    /// The pieces of each bar, longest first, mm.
    pub bars: Vec<Vec<u32>>,
    /// Fewer bars than this cannot do.
    pub at_least: usize,
    /// Pieces that no bar is long enough for, mm.
    pub too_long: Vec<u32>,
}

impl Cutting {
    /// Whether it is proven that fewer bars cannot do.
    #[must_use]
    pub fn is_proven(&self) -> bool {
        self.bars.len() == self.at_least
    }

    /// What of the bars is neither piece nor kerf, as a share.
    #[must_use]
    pub fn waste(&self, stock: Stock) -> f64 {
        let bought: u64 = self.bars.len() as u64 * u64::from(stock.length_mm);
        let used: u64 = self.bars.iter().flatten().map(|piece| u64::from(*piece)).sum();
        if bought == 0 { 0.0 } else { 1.0 - used as f64 / bought as f64 }
    }

    /// How many bars, and what is proven of that.
    #[must_use]
    pub fn words(&self) -> String {
        let count = self.bars.len();
        if self.is_proven() {
            format!("bars {count}; no fewer will do (proven by the lower bound)")
        } else {
            format!(
                "bars {count}; no fewer than {} will do, so at most {} too many",
                self.at_least,
                count - self.at_least
            )
        }
    }
}

/// Pieces by width, widest first. A width is a piece and its kerf.
#[derive(Debug, Clone)]
struct Problem {
    widths: Vec<u32>,
    demand: Vec<u32>,
    capacity: u32,
}

/// How many of each width come from one bar.
type Pattern = Vec<u32>;

impl Problem {
    fn of(pieces_mm: &[u32], stock: Stock) -> Self {
        let mut sorted: Vec<u32> = pieces_mm.iter().map(|piece| piece + stock.kerf_mm).collect();
        sorted.sort_unstable_by(|a, b| b.cmp(a));
        let mut problem = Self { widths: Vec::new(), demand: Vec::new(), capacity: stock.length_mm + stock.kerf_mm };
        for width in sorted {
            if problem.widths.last() == Some(&width) {
                if let Some(count) = problem.demand.last_mut() {
                    *count += 1;
                }
            } else {
                problem.widths.push(width);
                problem.demand.push(1);
            }
        }
        problem
    }

    fn with_demand(&self, demand: Vec<u32>) -> Self {
        Self { demand, ..self.clone() }
    }

    /// The width of all pieces together.
    fn total(&self) -> u64 {
        self.widths.iter().zip(&self.demand).map(|(width, count)| u64::from(*width) * u64::from(*count)).sum()
    }
}

/// Cuts pieces from bars. The same pieces give the same list.
#[must_use]
pub fn cut(pieces_mm: &[u32], stock: Stock) -> Cutting {
    let fits = |piece: &u32| *piece <= stock.length_mm;
    let (kept, too_long): (Vec<u32>, Vec<u32>) =
        pieces_mm.iter().filter(|piece| **piece > 0).copied().partition(|piece| fits(piece));
    let problem = Problem::of(&kept, stock);
    let (plan, at_least) = packed(&problem);
    let bar = |pattern: &Pattern| {
        let pieces = problem.widths.iter().zip(pattern);
        pieces.flat_map(|(width, count)| std::iter::repeat_n(width - stock.kerf_mm, *count as usize)).collect()
    };
    let mut bars: Vec<Vec<u32>> = plan.iter().map(bar).collect();
    bars.sort_by(|a, b| b.cmp(a));
    Cutting { bars, at_least, too_long }
}

/// The best packing found, and how many bars it takes at least.
fn packed(problem: &Problem) -> (Vec<Pattern>, usize) {
    let mut best = simple::packed(problem);
    let mut at_least = bounds::at_least(problem);
    if best.len() <= at_least {
        return (best, at_least);
    }
    let relaxed = patterns::relaxed(problem);
    at_least = at_least.max(relaxed.at_least);
    if best.len() > at_least {
        best = better(best, patterns::rounded(problem, &relaxed, at_least));
    }
    while best.len() > at_least {
        match search::into_bars(problem, at_least) {
            Outcome::Found(plan) => best = plan,
            Outcome::Impossible => at_least += 1,
            Outcome::GaveUp => break,
        }
    }
    (best, at_least)
}

/// The one with fewer bars; the first where they are alike.
fn better(first: Vec<Pattern>, second: Vec<Pattern>) -> Vec<Pattern> {
    if second.len() < first.len() { second } else { first }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bars(pieces: &[u32], stock: Stock) -> (usize, usize) {
        let cutting = cut(pieces, stock);
        (cutting.bars.len(), cutting.at_least)
    }

    #[test]
    fn nothing_takes_no_bars_and_what_is_too_long_is_told() {
        assert_eq!(bars(&[], Stock::default()), (0, 0));
        let cutting = cut(&[3001, 3000], Stock::default());
        assert_eq!((cutting.bars, cutting.too_long), (vec![vec![3000]], vec![3001]));
    }

    #[test]
    fn a_kerf_may_fall_beyond_the_end_of_a_bar() {
        // 1500 + 3 + 1497 = 3000: one cut between the two, none behind them.
        assert_eq!(bars(&[1500, 1497], Stock::default()), (1, 1));
        assert_eq!(bars(&[1500, 1498], Stock::default()), (2, 2));
    }

    /// Every packing of a few pieces, by trying each place for each piece.
    fn fewest_by_trying_everything(pieces: &[u32], stock: Stock) -> usize {
        fn place(pieces: &[u32], room: &mut Vec<u32>, stock: Stock, best: &mut usize) {
            if room.len() >= *best {
                return;
            }
            let Some((piece, rest)) = pieces.split_first() else {
                *best = room.len();
                return;
            };
            let width = piece + stock.kerf_mm;
            for number in 0..room.len() {
                if room[number] >= width {
                    room[number] -= width;
                    place(rest, room, stock, best);
                    room[number] += width;
                }
            }
            room.push(stock.length_mm + stock.kerf_mm - width);
            place(rest, room, stock, best);
            room.pop();
        }
        let mut best = pieces.len() + 1;
        place(pieces, &mut Vec::new(), stock, &mut best);
        best
    }

    proptest::proptest! {
        #[test]
        fn the_fewest_bars_are_found(pieces in proptest::collection::vec(200..2000_u32, 1..9)) {
            let stock = Stock::default();
            let cutting = cut(&pieces, stock);
            proptest::prop_assert_eq!(cutting.bars.len(), fewest_by_trying_everything(&pieces, stock));
            proptest::prop_assert!(cutting.is_proven());
            let mut cut_out: Vec<u32> = cutting.bars.concat();
            let mut asked = pieces.clone();
            cut_out.sort_unstable();
            asked.sort_unstable();
            proptest::prop_assert_eq!(cut_out, asked);
            for bar in &cutting.bars {
                let used: u32 = bar.iter().map(|piece| piece + stock.kerf_mm).sum();
                proptest::prop_assert!(used <= stock.length_mm + stock.kerf_mm);
            }
        }
    }
}
