//! Ways over hills: how high the lowest pass is on the way from each place to where ways end.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::Ordered;

/// For each place the highest level on that of its ways to an end which has the lowest such; infinite where none leads to
/// one. `levels` gives the level of each place, `beside` the places beside it (Dijkstra 1959, with the highest instead of
/// the sum).
pub fn lowest_passes<'p>(
    levels: &[f64],
    beside: impl Fn(usize) -> &'p [usize],
    ends: impl Iterator<Item = usize>,
) -> Vec<f64> {
    let mut highest = vec![f64::INFINITY; levels.len()];
    let mut waiting: BinaryHeap<Reverse<(Ordered, usize)>> =
        ends.map(|place| Reverse((Ordered(levels[place]), place))).collect();
    while let Some(Reverse((Ordered(level), place))) = waiting.pop() {
        if level >= highest[place] {
            continue;
        }
        highest[place] = level;
        for &next in beside(place) {
            let over = level.max(levels[next]);
            if over < highest[next] {
                waiting.push(Reverse((Ordered(over), next)));
            }
        }
    }
    highest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_two_ways_the_one_over_the_lower_pass_counts() {
        // 0 is the end; 2 is reached over 1 (5 high) or over 3 (4 high); 4 has no way.
        let levels = [0.0, 5.0, 1.0, 4.0, 2.0];
        let beside: [&[usize]; 5] = [&[1, 3], &[0, 2], &[1, 3], &[0, 2], &[]];
        let passes = lowest_passes(&levels, |place| beside[place], std::iter::once(0));
        assert_eq!(passes, [0.0, 5.0, 4.0, 4.0, f64::INFINITY]);
    }
}
