//! Whether pieces fit so many bars: a search that fills one bar after another, the fullest fillings first.

use std::collections::HashSet;

use super::{Pattern, Problem};

/// So many fillings are looked at before the search gives up.
const MOST_FILLINGS: u32 = 200_000;

/// What came of a search.
pub(super) enum Outcome {
    /// They fit; so.
    Found(Vec<Pattern>),
    /// They do not.
    Impossible,
    /// It took too long to tell.
    GaveUp,
}

/// Tries to cut all pieces from so many bars.
pub(super) fn into_bars(problem: &Problem, bars: usize) -> Outcome {
    let room = bars as u64 * u64::from(problem.capacity);
    let Some(waste) = room.checked_sub(problem.total()) else { return Outcome::Impossible };
    let mut search = Search { problem, left: MOST_FILLINGS, hopeless: HashSet::new(), plan: Vec::new() };
    let mut demand = problem.demand.clone();
    match search.fill(&mut demand, bars, waste) {
        Some(true) => Outcome::Found(search.plan),
        Some(false) => Outcome::Impossible,
        None => Outcome::GaveUp,
    }
}

struct Search<'a> {
    problem: &'a Problem,
    /// Fillings that may still be looked at.
    left: u32,
    /// What is known not to fit: pieces left, and bars for them.
    hopeless: HashSet<(Vec<u32>, usize)>,
    plan: Vec<Pattern>,
}

impl Search<'_> {
    /// Whether what is left fits the bars with no more waste than that; none when it takes too long to tell.
    fn fill(&mut self, demand: &mut Vec<u32>, bars: usize, waste: u64) -> Option<bool> {
        let Some(widest) = demand.iter().position(|count| *count > 0) else { return Some(true) };
        if bars == 0 || self.hopeless.contains(&(demand.clone(), bars)) {
            return Some(false);
        }
        let mut fillings = self.fillings(demand, widest, waste)?;
        fillings.sort_by(|a, b| a.1.cmp(&b.1).then_with(|| b.0.cmp(&a.0)));
        for (pattern, unused) in fillings {
            demand.iter_mut().zip(&pattern).for_each(|(left, count)| *left -= count);
            self.plan.push(pattern.clone());
            if self.fill(demand, bars - 1, waste - u64::from(unused))? {
                return Some(true);
            }
            self.plan.pop();
            demand.iter_mut().zip(&pattern).for_each(|(left, count)| *left += count);
        }
        self.hopeless.insert((demand.clone(), bars));
        Some(false)
    }

    /// The fillings of one bar that hold the widest piece, that no other piece could be added to, and that waste no more
    /// than that; each with what stays unused. Some bar holds the widest piece, and a bar with room for another piece is
    /// never better than the same with that piece in it.
    fn fillings(&mut self, demand: &[u32], widest: usize, waste: u64) -> Option<Vec<(Pattern, u32)>> {
        let mut found = Vec::new();
        let mut pattern = vec![0; demand.len()];
        pattern[widest] = 1;
        let room = self.problem.capacity - self.problem.widths[widest];
        self.extend(demand, widest, room, waste, &mut pattern, &mut found)?;
        Some(found)
    }

    fn extend(
        &mut self,
        demand: &[u32],
        kind: usize,
        room: u32,
        waste: u64,
        pattern: &mut Pattern,
        found: &mut Vec<(Pattern, u32)>,
    ) -> Option<()> {
        self.left = self.left.checked_sub(1)?;
        let widths = &self.problem.widths;
        let next = (kind..demand.len()).find(|kind| demand[*kind] > pattern[*kind] && widths[*kind] <= room);
        let Some(next) = next else {
            let could_be_added = |kind: usize| demand[kind] > pattern[kind] && self.problem.widths[kind] <= room;
            if u64::from(room) <= waste && !(0..demand.len()).any(could_be_added) {
                found.push((pattern.clone(), room));
            }
            return Some(());
        };
        let most = (demand[next] - pattern[next]).min(room / widths[next]);
        for count in (0..=most).rev() {
            let width = self.problem.widths[next];
            pattern[next] += count;
            self.extend(demand, next + 1, room - count * width, waste, pattern, found)?;
            pattern[next] -= count;
        }
        Some(())
    }
}
