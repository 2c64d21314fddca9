//! The relaxed problem over whole cutting patterns, solved by bringing in one pattern after another, and rounded.

use super::search::{self, Outcome};
use super::{Pattern, Problem, better, simple};

/// A pattern pays when its worth is above one by more than this; smaller gains are rounding.
const PAYS: f64 = 1e-9;
/// How far a bound may lie above a whole number by rounding alone.
const ROUNDING: f64 = 1e-6;
/// More patterns than this are not brought in: the bound so far stands.
const MOST_PATTERNS: usize = 2000;

/// What the relaxed problem says.
pub(super) struct Relaxed {
    /// Fewer bars than this cannot do.
    pub at_least: usize,
    /// The patterns in use, and how often, in broken numbers.
    used: Vec<(Pattern, f64)>,
}

/// Solves the relaxed problem by the revised simplex method with a dense inverse of the basis.
pub(super) fn relaxed(problem: &Problem) -> Relaxed {
    let kinds = problem.widths.len();
    let demand: Vec<f64> = problem.demand.iter().map(|count| f64::from(*count)).collect();
    let mut basis: Vec<Pattern> = (0..kinds).map(|kind| only(problem, kind)).collect();
    let mut inverse: Vec<Vec<f64>> = vec![vec![0.0; kinds]; kinds];
    let mut times = vec![0.0; kinds];
    for kind in 0..kinds {
        let count = f64::from(basis[kind][kind]);
        inverse[kind][kind] = 1.0 / count;
        times[kind] = demand[kind] / count;
    }
    let mut bound = 0.0_f64;
    for _ in 0..MOST_PATTERNS {
        let worth: Vec<f64> = (0..kinds).map(|kind| inverse.iter().map(|row| row[kind]).sum()).collect();
        let (pattern, value) = most_worth(problem, &worth);
        // Farley's bound (1990, from memory): worths divided by the most that a pattern is worth are worths that no
        // pattern exceeds, and so bound the number of bars from below.
        let together: f64 = worth.iter().zip(&demand).map(|(worth, count)| worth * count).sum();
        bound = bound.max(together / value.max(1.0));
        if value <= 1.0 + PAYS {
            break;
        }
        let change: Vec<f64> = inverse
            .iter()
            .map(|row| row.iter().zip(&pattern).map(|(entry, count)| entry * f64::from(*count)).sum())
            .collect();
        let ratios = (0..kinds).filter(|row| change[*row] > PAYS).map(|row| (times[row] / change[row], row));
        let Some((step, leaving)) = ratios.min_by(|a, b| a.0.total_cmp(&b.0)) else { break };
        pivot(&mut inverse, &mut times, &change, leaving, step);
        basis[leaving] = pattern;
    }
    let at_least = (bound - ROUNDING).ceil().max(0.0) as usize;
    Relaxed { at_least, used: basis.into_iter().zip(times).collect() }
}

/// As many of one kind as a bar gives, and no more than are asked.
fn only(problem: &Problem, kind: usize) -> Pattern {
    let mut pattern = vec![0; problem.widths.len()];
    pattern[kind] = (problem.capacity / problem.widths[kind]).min(problem.demand[kind]).max(1);
    pattern
}

fn pivot(inverse: &mut [Vec<f64>], times: &mut [f64], change: &[f64], leaving: usize, step: f64) {
    for (row, time) in times.iter_mut().enumerate() {
        *time = if row == leaving { step } else { (*time - step * change[row]).max(0.0) };
    }
    let scaled: Vec<f64> = inverse[leaving].iter().map(|entry| entry / change[leaving]).collect();
    for (row, entries) in inverse.iter_mut().enumerate() {
        if row == leaving {
            entries.clone_from(&scaled);
        } else {
            for (entry, pivot) in entries.iter_mut().zip(&scaled) {
                *entry -= change[row] * pivot;
            }
        }
    }
}

/// The pattern that is worth most: a knapsack with bounded counts, by dynamic programming over the bar's length.
fn most_worth(problem: &Problem, worth: &[f64]) -> (Pattern, f64) {
    let kinds = problem.widths.len();
    let lengths = problem.capacity as usize + 1;
    let mut best = vec![0.0_f64; lengths];
    // How many of each kind are taken at each length.
    let mut taken = vec![vec![0_u32; lengths]; kinds];
    for kind in 0..kinds {
        let width = problem.widths[kind] as usize;
        let most = (problem.capacity / problem.widths[kind]).min(problem.demand[kind]);
        if worth[kind] <= 0.0 || most == 0 {
            continue;
        }
        let before = best.clone();
        for length in width..lengths {
            for count in 1..=most.min((length / width) as u32) {
                let value = before[length - width * count as usize] + worth[kind] * f64::from(count);
                if value > best[length] + PAYS / 10.0 {
                    best[length] = value;
                    taken[kind][length] = count;
                }
            }
        }
    }
    let mut pattern = vec![0; kinds];
    let mut length = lengths - 1;
    for kind in (0..kinds).rev() {
        let count = taken[kind][length];
        pattern[kind] = count;
        length -= count as usize * problem.widths[kind] as usize;
    }
    (pattern, best[lengths - 1])
}

/// Whole bars from the relaxed answer: patterns as often as their whole part says, and the rest packed by itself, with
/// ever more of the whole bars given back where the rest does not pack well.
pub(super) fn rounded(problem: &Problem, relaxed: &Relaxed, at_least: usize) -> Vec<Pattern> {
    const GIVEN_BACK: u32 = 3;
    let mut best: Option<Vec<Pattern>> = None;
    for given_back in 0..=GIVEN_BACK {
        let plan = rounded_down(problem, relaxed, at_least, given_back);
        let is_enough = plan.len() <= at_least;
        best = Some(match best {
            Some(so_far) => better(so_far, plan),
            None => plan,
        });
        if is_enough {
            break;
        }
    }
    best.unwrap_or_default()
}

fn rounded_down(problem: &Problem, relaxed: &Relaxed, at_least: usize, given_back: u32) -> Vec<Pattern> {
    let mut left = problem.demand.clone();
    let mut plan: Vec<Pattern> = Vec::new();
    for (pattern, times) in &relaxed.used {
        let whole = (times + ROUNDING).floor().max(0.0) as u32;
        for _ in given_back..whole {
            if pattern.iter().zip(&left).all(|(count, left)| count <= left) {
                left.iter_mut().zip(pattern).for_each(|(left, count)| *left -= count);
                plan.push(pattern.clone());
            }
        }
    }
    let rest = problem.with_demand(left);
    let simple = simple::packed(&rest);
    let target = at_least.saturating_sub(plan.len());
    let packed = if simple.len() <= target {
        simple
    } else {
        match search::into_bars(&rest, target) {
            Outcome::Found(found) => found,
            Outcome::Impossible | Outcome::GaveUp => simple,
        }
    };
    plan.extend(packed);
    plan
}
