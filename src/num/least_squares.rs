//! The least weighted sum of squares under linear inequalities, or the rows that cannot hold together.
//!
//! Dual active-set method of D. Goldfarb and A. Idnani, Mathematical Programming 27 (1983) 1-33, steps numbered as there.
//! It begins where nothing is asked and takes in one broken row after the other, so that what is active in the end is
//! what forced the answer. Where there is no answer, the row taken in last is a combination of active rows that are
//! independent of each other: those rows together are a conflict of which no member can be spared.

/// One inequality: `coefficients · x >= at_least`.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// A number for each variable.
    pub coefficients: Vec<f64>,
    /// The bound.
    pub at_least: f64,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq)]
pub enum Least {
    /// The one answer.
    At {
        /// The variables.
        x: Vec<f64>,
        /// The rows that hold it there, rising, each with its multiplier.
        pressed: Vec<(usize, f64)>,
    },
    /// These rows, rising, cannot hold together, and without any one of them the others can.
    Conflict(Vec<usize>),
    /// Rounding led it in a circle.
    GaveUp,
}

/// A row counts as kept when it is broken by no more than this, in units of the variables.
const KEPT_WITHIN: f64 = 1e-9;
/// A direction shorter than this, against the row that asks for it, is rounding.
const NO_DIRECTION: f64 = 1e-12;
/// A share of another row smaller than this is rounding.
const NO_SHARE: f64 = 1e-10;

/// The `x` with the least `Σ weights x²` that keeps all rows. Weights are positive.
#[must_use]
pub fn least_weighted_squares(weights: &[f64], rows: &[Row]) -> Least {
    let mut search = Search::from_rest(weights, rows);
    // Each pass takes in or lets go one row; a finite method needs few times as many as there are rows.
    let most = 50 * (rows.len() + weights.len() + 1);
    for _ in 0..most {
        let Some(broken) = search.most_broken() else { return search.found() };
        match search.take_in(broken, most) {
            TakenIn::Yes => {}
            TakenIn::Impossible(conflict) => return Least::Conflict(conflict),
            TakenIn::Lost => return Least::GaveUp,
        }
    }
    Least::GaveUp
}

enum TakenIn {
    Yes,
    Impossible(Vec<usize>),
    Lost,
}

struct Search<'a> {
    rows: &'a [Row],
    /// Euclidean length of each row.
    lengths: Vec<f64>,
    x: Vec<f64>,
    /// Columns of L⁻ᵀ turned so that the first ones span the active rows.
    basis: Vec<Vec<f64>>,
    /// Columns of the triangle R; column k has k + 1 entries.
    triangle: Vec<Vec<f64>>,
    active: Vec<usize>,
    multipliers: Vec<f64>,
}

impl<'a> Search<'a> {
    /// Step 0: the answer where nothing is asked.
    fn from_rest(weights: &[f64], rows: &'a [Row]) -> Self {
        let unit = |k: usize| {
            let mut column = vec![0.0; weights.len()];
            column[k] = 1.0 / weights[k].sqrt();
            column
        };
        Self {
            rows,
            lengths: rows.iter().map(|row| dot(&row.coefficients, &row.coefficients).sqrt()).collect(),
            x: vec![0.0; weights.len()],
            basis: (0..weights.len()).map(unit).collect(),
            triangle: Vec::new(),
            active: Vec::new(),
            multipliers: Vec::new(),
        }
    }

    fn found(mut self) -> Least {
        let mut pressed: Vec<(usize, f64)> = self.active.drain(..).zip(self.multipliers.drain(..)).collect();
        pressed.sort_unstable_by_key(|(row, _)| *row);
        Least::At { x: self.x, pressed }
    }

    fn slack(&self, row: usize) -> f64 {
        dot(&self.rows[row].coefficients, &self.x) - self.rows[row].at_least
    }

    /// Step 1: the row that is broken most, the first of equals.
    fn most_broken(&self) -> Option<usize> {
        let mut most = (-KEPT_WITHIN, None);
        for row in (0..self.rows.len()).filter(|row| !self.active.contains(row)) {
            // A row without coefficients holds or does not, whatever is moved.
            let slack = self.slack(row) / if self.lengths[row] > 0.0 { self.lengths[row] } else { 1.0 };
            if slack < most.0 {
                most = (slack, Some(row));
            }
        }
        most.1
    }

    /// Step 2: moves until the row is kept, letting go of rows that no longer press.
    fn take_in(&mut self, row: usize, most: usize) -> TakenIn {
        let normal = &self.rows[row].coefficients;
        let mut multiplier = 0.0;
        for _ in 0..most {
            let held = self.active.len();
            let turned: Vec<f64> = self.basis.iter().map(|column| dot(column, normal)).collect();
            let direction = self.direction(&turned[held..]);
            let shares = self.shares(&turned[..held]);
            let along = dot(normal, &direction);
            let whole = (along > NO_DIRECTION * self.lengths[row].powi(2)).then(|| -self.slack(row) / along);
            let blocking = self.blocking(&shares);
            let step = match (whole, blocking) {
                (Some(whole), Some((partial, _))) => whole.min(partial),
                (Some(whole), None) => whole,
                (None, Some((partial, _))) => partial,
                (None, None) => return TakenIn::Impossible(self.conflict(row, &shares)),
            };
            self.multipliers.iter_mut().zip(&shares).for_each(|(own, share)| *own -= step * share);
            multiplier += step;
            if whole.is_some() {
                self.x.iter_mut().zip(&direction).for_each(|(x, by)| *x += step * by);
            }
            match blocking {
                Some((partial, position)) if whole.is_none_or(|whole| partial < whole) => self.let_go(position),
                _ => {
                    self.hold(row, turned, multiplier);
                    return TakenIn::Yes;
                }
            }
        }
        TakenIn::Lost
    }

    /// Step 2a: the way that leaves the active rows as they are.
    fn direction(&self, turned: &[f64]) -> Vec<f64> {
        let mut direction = vec![0.0; self.x.len()];
        for (column, share) in self.basis[self.active.len()..].iter().zip(turned) {
            direction.iter_mut().zip(column).for_each(|(sum, entry)| *sum += entry * share);
        }
        direction
    }

    /// Step 2a: the row as a combination of the active ones, by going back through the triangle.
    fn shares(&self, turned: &[f64]) -> Vec<f64> {
        let mut shares = turned.to_vec();
        for k in (0..shares.len()).rev() {
            shares[k] /= self.triangle[k][k];
            let share = shares[k];
            shares[..k].iter_mut().zip(&self.triangle[k]).for_each(|(rest, entry)| *rest -= entry * share);
        }
        shares
    }

    /// Step 2b: how far it may go before an active row no longer presses, and which.
    fn blocking(&self, shares: &[f64]) -> Option<(f64, usize)> {
        let mut first: Option<(f64, usize)> = None;
        for (position, share) in shares.iter().enumerate().filter(|(_, share)| **share > NO_SHARE) {
            let step = self.multipliers[position].max(0.0) / share;
            if first.is_none_or(|(least, _)| step < least) {
                first = Some((step, position));
            }
        }
        first
    }

    /// The row is a combination of active rows with no positive share: it and those with a share are the conflict.
    fn conflict(&self, row: usize, shares: &[f64]) -> Vec<usize> {
        let against = self.active.iter().zip(shares).filter(|(_, share)| share.abs() > NO_SHARE);
        let mut conflict: Vec<usize> = against.map(|(row, _)| *row).chain([row]).collect();
        conflict.sort_unstable();
        conflict
    }

    /// Adds a row to the active ones: turns the free columns of the basis until one alone meets it.
    fn hold(&mut self, row: usize, mut turned: Vec<f64>, multiplier: f64) {
        let held = self.active.len();
        for k in (held + 1..turned.len()).rev() {
            if turned[k] != 0.0 {
                let turn = Turn::to_first(turned[k - 1], turned[k]);
                turned[k - 1] = turned[k - 1].hypot(turned[k]);
                turn.columns(&mut self.basis, k - 1);
            }
        }
        turned.truncate(held + 1);
        self.triangle.push(turned);
        self.active.push(row);
        self.multipliers.push(multiplier);
    }

    /// Takes a row out of the active ones and makes the triangle one again.
    fn let_go(&mut self, position: usize) {
        self.active.remove(position);
        self.multipliers.remove(position);
        self.triangle.remove(position);
        for k in position..self.triangle.len() {
            let turn = Turn::to_first(self.triangle[k][k], self.triangle[k][k + 1]);
            for column in &mut self.triangle[k..] {
                (column[k], column[k + 1]) = turn.pair(column[k], column[k + 1]);
            }
            self.triangle[k].truncate(k + 1);
            turn.columns(&mut self.basis, k);
        }
    }
}

/// A plane rotation.
struct Turn {
    cosine: f64,
    sine: f64,
}

impl Turn {
    /// Turns a pair so that the second becomes nothing.
    fn to_first(first: f64, second: f64) -> Self {
        let length = first.hypot(second);
        if length == 0.0 {
            Self { cosine: 1.0, sine: 0.0 }
        } else {
            Self { cosine: first / length, sine: second / length }
        }
    }

    fn pair(&self, first: f64, second: f64) -> (f64, f64) {
        (self.cosine * first + self.sine * second, self.cosine * second - self.sine * first)
    }

    /// Turns two neighbouring columns.
    fn columns(&self, columns: &mut [Vec<f64>], first: usize) {
        let (before, after) = columns.split_at_mut(first + 1);
        for (a, b) in before[first].iter_mut().zip(&mut after[0]) {
            (*a, *b) = self.pair(*a, *b);
        }
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(coefficients: &[f64], at_least: f64) -> Row {
        Row { coefficients: coefficients.to_vec(), at_least }
    }

    fn answer(weights: &[f64], rows: &[Row]) -> Vec<f64> {
        match least_weighted_squares(weights, rows) {
            Least::At { x, .. } => x,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn nothing_asked_moves_nothing() {
        assert_eq!(answer(&[1.0, 4.0], &[row(&[1.0, 1.0], -3.0)]), [0.0, 0.0]);
    }

    #[test]
    fn a_sum_is_shared_in_the_inverse_of_the_weights() {
        // Lagrange: w1 x1 = w2 x2 and x1 + x2 = 10, so x1 = 8 and x2 = 2 for weights 1 and 4.
        let x = answer(&[1.0, 4.0], &[row(&[1.0, 1.0], 10.0)]);
        assert!((x[0] - 8.0).abs() < 1e-12 && (x[1] - 2.0).abs() < 1e-12, "{x:?}");
        // Held to 5 at the most, the first leaves 5 to the second.
        let x = answer(&[1.0, 4.0], &[row(&[1.0, 1.0], 10.0), row(&[-1.0, 0.0], -5.0)]);
        assert!((x[0] - 5.0).abs() < 1e-12 && (x[1] - 5.0).abs() < 1e-12, "{x:?}");
    }

    #[test]
    fn a_row_that_was_taken_in_is_let_go_again() {
        // x >= 1 is broken most at first, and x + y >= 4 with y >= 0.5 x lets it go.
        let rows = [row(&[10.0, 0.0], 10.0), row(&[1.0, 1.0], 4.0), row(&[1.0, -1.0], -9.0)];
        let Least::At { x, pressed } = least_weighted_squares(&[1.0, 1.0], &rows) else { panic!("it has an answer") };
        assert!((x[0] - 2.0).abs() < 1e-12 && (x[1] - 2.0).abs() < 1e-12, "{x:?}");
        assert_eq!(pressed.iter().map(|(row, _)| *row).collect::<Vec<_>>(), [1]);
    }

    #[test]
    fn a_conflict_names_its_members_alone() {
        let rows = [row(&[0.0, 1.0], 2.0), row(&[1.0, 0.0], 5.0), row(&[-1.0, 0.0], -3.0), row(&[1.0, 1.0], -9.0)];
        assert_eq!(least_weighted_squares(&[1.0, 1.0], &rows), Least::Conflict(vec![1, 2]));
        let nothing_moves_it = [row(&[0.0], 1.0), row(&[1.0], 1.0)];
        assert_eq!(least_weighted_squares(&[1.0], &nothing_moves_it), Least::Conflict(vec![0]));
    }
}
