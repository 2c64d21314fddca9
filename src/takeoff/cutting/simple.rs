//! Packing by simple rules: pieces from the longest on, each where it fits first, or where it fits best.

use super::{Pattern, Problem, better};

/// The better of the two.
pub(super) fn packed(problem: &Problem) -> Vec<Pattern> {
    let first = |open: &[Bar], width: u32| open.iter().position(|bar| bar.room >= width);
    let best = |open: &[Bar], width: u32| {
        let fitting = open.iter().enumerate().filter(|(_, bar)| bar.room >= width);
        fitting.min_by_key(|(_, bar)| bar.room).map(|(number, _)| number)
    };
    better(by(problem, best), by(problem, first))
}

struct Bar {
    room: u32,
    pattern: Pattern,
}

fn by(problem: &Problem, choose: impl Fn(&[Bar], u32) -> Option<usize>) -> Vec<Pattern> {
    let mut bars: Vec<Bar> = Vec::new();
    for (kind, (width, count)) in problem.widths.iter().zip(&problem.demand).enumerate() {
        for _ in 0..*count {
            let number = choose(&bars, *width).unwrap_or_else(|| {
                bars.push(Bar { room: problem.capacity, pattern: vec![0; problem.widths.len()] });
                bars.len() - 1
            });
            bars[number].room -= width;
            bars[number].pattern[kind] += 1;
        }
    }
    bars.into_iter().map(|bar| bar.pattern).collect()
}

#[cfg(test)]
mod tests {
    use super::super::Stock;
    use super::*;

    /// The reference case that shows what simple rules miss: they take four bars where three do.
    #[test]
    fn simple_rules_are_not_always_enough() {
        let pieces = [340, 760, 1520, 1560, 1120, 900, 640, 460, 860, 740];
        assert_eq!(packed(&Problem::of(&pieces, Stock::default())).len(), 4);
    }
}
