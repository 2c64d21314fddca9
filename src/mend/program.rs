//! The inequalities of one round: the least shifts, the fewest that will do, the nearest when none will, the conflict.

use super::demand::{Demand, Toward};
use super::handle::Handle;
use crate::num::{Least, Row, least_weighted_squares};

/// What an inequality stands for.
#[derive(Debug, Clone, PartialEq)]
pub enum RowOf {
    /// Something that has to hold.
    Demand(Demand),
    /// A handle goes no further that way.
    End(Handle, Toward),
    /// No drawing shows a handle further that way; a ground on which the others stand, and no member of a conflict.
    Edge(Handle, Toward),
}

/// A millimetre that is missing to a target weighs so much more than a shift of the dearest handle.
const MISSING_COST: f64 = 1e5;
/// The same where only what is missing counts.
const NEXT_TO_NOTHING: f64 = 1e-4;
/// A shift below this is none, mm.
const TRACE_SHIFT_MM: f64 = 1e-6;

/// Inequalities in the shifts of all handles.
pub(super) struct Program {
    weights: Vec<f64>,
    rows: Vec<Row>,
    of: Vec<RowOf>,
    targets: Vec<usize>,
}

/// Shifts that keep all inequalities.
pub(super) struct Found {
    pub by_mm: Vec<f64>,
    pressed: Vec<usize>,
}

/// Rows that cannot hold together.
pub(super) struct Clash {
    /// Each with what it alone would have to give.
    pub members: Vec<(RowOf, f64)>,
    pub rows: Vec<Row>,
    pub weights: Vec<f64>,
}

impl Program {
    pub fn new(costs: &[f64]) -> Self {
        let weights = costs.iter().map(|cost| cost * cost).collect();
        Self { weights, rows: Vec::new(), of: Vec::new(), targets: Vec::new() }
    }

    /// What is to be mended: it has to hold, whether or not anything moves it.
    pub fn mend(&mut self, of: RowOf, slopes: Vec<f64>, at_least: f64) {
        self.targets.push(self.rows.len());
        self.ask(of, slopes, at_least);
    }

    /// What holds and is to go on holding, unless nothing moves it.
    pub fn keep(&mut self, of: RowOf, slopes: Vec<f64>, at_least: f64) {
        if slopes.iter().any(|slope| *slope != 0.0) {
            self.ask(of, slopes, at_least);
        }
    }

    fn ask(&mut self, of: RowOf, coefficients: Vec<f64>, at_least: f64) {
        self.of.push(of);
        self.rows.push(Row { coefficients, at_least });
    }

    /// A handle, by its number, goes no further that way than this, mm.
    pub fn end(&mut self, number: usize, of: RowOf, toward: Toward, end_mm: f64) {
        let sign = match toward {
            Toward::Back => 1.0,
            Toward::Forth => -1.0,
        };
        let mut coefficients = vec![0.0; self.weights.len()];
        coefficients[number] = sign;
        self.ask(of, coefficients, sign * end_mm);
    }

    /// The least shifts of the handles that are free; `None` when they do not suffice.
    pub fn least(&self, free: &[bool]) -> Option<Found> {
        let numbers: Vec<usize> = (0..free.len()).filter(|number| free[*number]).collect();
        let weights: Vec<f64> = numbers.iter().map(|number| self.weights[*number]).collect();
        let narrow = |row: &Row| Row {
            coefficients: numbers.iter().map(|number| row.coefficients[*number]).collect(),
            at_least: row.at_least,
        };
        let rows: Vec<Row> = self.rows.iter().map(narrow).collect();
        let Least::At { x, pressed } = least_weighted_squares(&weights, &rows) else { return None };
        let mut all = vec![0.0; free.len()];
        numbers.iter().zip(x).for_each(|(number, by)| all[*number] = by);
        Some(Found { by_mm: all, pressed: pressed.into_iter().map(|(row, _)| row).collect() })
    }

    /// The same inequalities in steps from where handles have been moved to.
    pub fn onward_from(&self, by_mm: &[f64]) -> Self {
        let reached = |row: &Row| row.coefficients.iter().zip(by_mm).map(|(slope, by)| slope * by).sum::<f64>();
        let onward = |row: &Row| Row { coefficients: row.coefficients.clone(), at_least: row.at_least - reached(row) };
        Self {
            weights: self.weights.clone(),
            rows: self.rows.iter().map(onward).collect(),
            of: self.of.clone(),
            targets: self.targets.clone(),
        }
    }

    /// The least shifts of as few handles as will do: the dearest are held fast first, each that can be spared.
    pub fn with_fewest(&self, free: &mut [bool], mut found: Found) -> Found {
        let mut fewer = free.to_vec();
        let mut order: Vec<usize> = (0..fewer.len()).filter(|number| fewer[*number]).collect();
        order.sort_by(|a, b| self.weights[*b].total_cmp(&self.weights[*a]).then(b.cmp(a)));
        for number in order {
            fewer[number] = false;
            // What has not moved is spared without asking: the least stays the least.
            if found.by_mm[number].abs() <= TRACE_SHIFT_MM {
                continue;
            }
            match self.least(&fewer) {
                Some(less) => found = less,
                None => fewer[number] = true,
            }
        }
        free.copy_from_slice(&fewer);
        found
    }

    /// The shifts that come nearest when not everything can hold.
    pub fn nearest(&self) -> Vec<f64> {
        let count = self.weights.len();
        let dearest = self.weights.iter().copied().fold(1.0, f64::max);
        let mut weights = self.weights.clone();
        weights.extend(self.targets.iter().map(|_| dearest * MISSING_COST));
        let widened = |(number, row): (usize, &Row)| {
            let mut coefficients = row.coefficients.clone();
            coefficients.extend(self.targets.iter().map(|target| f64::from(u8::from(*target == number))));
            Row { coefficients, at_least: row.at_least }
        };
        let rows: Vec<Row> = self.rows.iter().enumerate().map(widened).collect();
        match least_weighted_squares(&weights, &rows) {
            Least::At { mut x, .. } => {
                x.truncate(count);
                x
            }
            Least::Conflict(_) | Least::GaveUp => vec![0.0; count],
        }
    }

    /// A smallest set of rows that cannot hold together, each with what it alone would have to give. Every member is
    /// tried for whether the others can hold without it.
    pub fn conflict(&self) -> Option<Clash> {
        let Least::Conflict(mut members) = least_weighted_squares(&self.weights, &self.rows) else { return None };
        let clash = |members: &[usize]| {
            let rows: Vec<Row> = members.iter().map(|row| self.rows[*row].clone()).collect();
            matches!(least_weighted_squares(&self.weights, &rows), Least::Conflict(_))
        };
        for row in members.clone() {
            let others: Vec<usize> = members.iter().copied().filter(|other| *other != row).collect();
            if clash(&others) {
                members = others;
            }
        }
        let gives = |row: &usize| (self.of[*row].clone(), self.missing(&members, *row));
        let rows = members.iter().map(|row| self.rows[*row].clone()).collect();
        Some(Clash { members: members.iter().map(gives).collect(), rows, weights: self.weights.clone() })
    }

    /// By how much one row would have to give for the others to hold.
    fn missing(&self, members: &[usize], giving: usize) -> f64 {
        let mut weights: Vec<f64> =
            self.weights.iter().map(|weight| weight * NEXT_TO_NOTHING * NEXT_TO_NOTHING).collect();
        weights.push(1e6);
        let widened = |number: &usize| {
            let mut row = self.rows[*number].clone();
            row.coefficients.push(f64::from(u8::from(*number == giving)));
            row
        };
        let rows: Vec<Row> = members.iter().map(widened).collect();
        match least_weighted_squares(&weights, &rows) {
            Least::At { x, .. } => x.last().copied().unwrap_or_default(),
            Least::Conflict(_) | Least::GaveUp => f64::INFINITY,
        }
    }

    /// Handles that move, by which of them press on one demand together.
    pub fn together(&self, found: &Found) -> Vec<Vec<usize>> {
        let moves: Vec<usize> =
            (0..found.by_mm.len()).filter(|number| found.by_mm[*number].abs() > TRACE_SHIFT_MM).collect();
        let mut group_of: Vec<usize> = (0..found.by_mm.len()).collect();
        for row in found.pressed.iter().filter(|row| matches!(self.of[**row], RowOf::Demand(_))) {
            let joined: Vec<usize> =
                moves.iter().copied().filter(|number| self.rows[*row].coefficients[*number] != 0.0).collect();
            for pair in joined.windows(2) {
                let (into, from) = (group_of[pair[0]], group_of[pair[1]]);
                group_of.iter_mut().filter(|group| **group == from).for_each(|group| *group = into);
            }
        }
        let mut groups: Vec<(usize, Vec<usize>)> = Vec::new();
        for number in moves {
            match groups.iter_mut().find(|(group, _)| *group == group_of[number]) {
                Some((_, members)) => members.push(number),
                None => groups.push((group_of[number], vec![number])),
            }
        }
        groups.into_iter().map(|(_, members)| members).collect()
    }
}
