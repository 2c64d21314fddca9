//! How many bars there must be at least, reckoned without cutting any.

use super::Problem;

/// The greater of the bound by length and the bound by large pieces.
pub(super) fn at_least(problem: &Problem) -> usize {
    let by_length = problem.total().div_ceil(u64::from(problem.capacity)) as usize;
    by_length.max(by_large_pieces(problem))
}

/// Martello and Toth's second bound (1990, from memory): pieces wider than what a small one leaves have bars of their
/// own, those above half a bar as well, and what is left over of the latter may be filled by the rest.
fn by_large_pieces(problem: &Problem) -> usize {
    let capacity = u64::from(problem.capacity);
    let thresholds = problem.widths.iter().map(|width| u64::from(*width)).filter(|width| 2 * width <= capacity);
    let bound = |least: u64| {
        let (mut alone, mut halves, mut halves_total, mut rest_total) = (0, 0, 0, 0);
        for (width, count) in problem.widths.iter().zip(&problem.demand) {
            let (width, count) = (u64::from(*width), u64::from(*count));
            if width > capacity - least {
                alone += count;
            } else if 2 * width > capacity {
                halves += count;
                halves_total += width * count;
            } else if width >= least {
                rest_total += width * count;
            }
        }
        let left_over = halves * capacity - halves_total;
        (alone + halves + rest_total.saturating_sub(left_over).div_ceil(capacity)) as usize
    };
    thresholds.chain([0]).map(bound).max().unwrap_or(0)
}
