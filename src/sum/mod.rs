//! Sums: formulas by name, each with its inputs, units, range, source and working, to be shown one at a time.

mod carrying;
mod given;
mod heat;
mod levels;
mod setting_out;
mod timber;
mod water;

use std::sync::LazyLock;

pub use given::{Given, Quantity, SumError};

/// A formula that can be asked for by name.
pub struct Sum {
    /// What one types: "vent-rise".
    pub name: &'static str,
    /// What it answers.
    pub title: &'static str,
    /// What it needs.
    pub inputs: &'static [Input],
    /// Does it. Outputs carry their units; working is one line for each step.
    pub reckon: fn(&Given) -> Result<Reckoned, SumError>,
    /// Where the formula stands.
    pub source: &'static str,
    /// Whether that was seen; otherwise it is from memory or common practice.
    pub seen: bool,
}

/// Something that a sum needs.
#[derive(Debug, Clone, Copy)]
pub struct Input {
    /// What one types: "height".
    pub name: &'static str,
    /// What it is.
    pub words: &'static str,
    /// Its unit.
    pub quantity: Quantity,
    /// Taken when nothing is given.
    pub usual: Option<f64>,
    /// The least that makes sense.
    pub least: f64,
    /// The greatest that makes sense.
    pub greatest: f64,
}

/// What a sum comes to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reckoned {
    /// Results by name.
    pub outputs: Vec<Output>,
    /// Formula, values put in, result.
    pub working: Vec<String>,
}

/// One result of a sum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Output {
    /// Its name.
    pub name: &'static str,
    /// Its value.
    pub value: f64,
    /// Its unit.
    pub unit: &'static str,
}

impl Input {
    /// An input without a usual value.
    const fn needed(
        name: &'static str,
        words: &'static str,
        quantity: Quantity,
        (least, greatest): (f64, f64),
    ) -> Self {
        Self { name, words, quantity, usual: None, least, greatest }
    }

    /// The same, with a usual value.
    const fn usually(mut self, usual: f64) -> Self {
        self.usual = Some(usual);
        self
    }
}

impl Reckoned {
    /// Adds a line of working.
    #[must_use]
    fn step(mut self, line: impl Into<String>) -> Self {
        self.working.push(line.into());
        self
    }

    /// Adds a result.
    #[must_use]
    fn gives(mut self, name: &'static str, value: f64, unit: &'static str) -> Self {
        self.outputs.push(Output { name, value, unit });
        self
    }

    /// The value of a result.
    #[must_use]
    pub fn value(&self, name: &str) -> Option<f64> {
        self.outputs.iter().find(|output| output.name == name).map(|output| output.value)
    }
}

impl Sum {
    /// On whose authority it stands, and whether that was seen.
    #[must_use]
    pub fn authority(&self) -> String {
        match (self.seen, self.source.contains("no source") || self.source.contains("memory")) {
            (true, _) => format!("{} (seen)", self.source),
            (false, true) => self.source.to_owned(),
            (false, false) => format!("{} (from memory)", self.source),
        }
    }
}

/// Every sum, in the order of the way of the water.
#[must_use]
pub fn table() -> &'static [&'static Sum] {
    static TABLE: LazyLock<Vec<&'static Sum>> = LazyLock::new(|| {
        [setting_out::SUMS, water::SUMS, levels::SUMS, heat::SUMS, carrying::SUMS, timber::SUMS]
            .into_iter()
            .flatten()
            .collect()
    });
    &TABLE
}

/// The sum of a name.
#[must_use]
pub fn sum(name: &str) -> Option<&'static Sum> {
    table().iter().find(|sum| sum.name == name).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sum_has_a_name_of_its_own_and_a_source() {
        let mut names: Vec<&str> = table().iter().map(|sum| sum.name).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), table().len());
        assert!(table().iter().all(|sum| !sum.source.is_empty() && !sum.title.is_empty()));
        let both = |sum: &&&Sum| sum.source.contains("from memory") && sum.authority().ends_with("(seen)");
        assert_eq!(table().iter().find(both).map(|sum| sum.name), None);
    }

    /// In the (geometric) middle of its range every sum gives finite results, and says how.
    #[test]
    fn every_sum_works_in_the_middle_of_its_range() {
        for sum in table() {
            let values: Vec<(&str, f64)> = (sum.inputs.iter())
                .map(|input| {
                    let middle = (input.least * input.greatest).sqrt().max(input.least);
                    let whole = input.quantity.is_whole();
                    (input.name, input.usual.unwrap_or(if whole { middle.round() } else { middle }))
                })
                .collect();
            let given = Given::of(sum, &values).unwrap_or_else(|error| panic!("{}: {error}", sum.name));
            let reckoned = (sum.reckon)(&given).unwrap_or_else(|error| panic!("{}: {error}", sum.name));
            assert!(!reckoned.outputs.is_empty() && !reckoned.working.is_empty(), "{}", sum.name);
            assert!(reckoned.outputs.iter().all(|output| output.value.is_finite()), "{}", sum.name);
        }
    }
}
