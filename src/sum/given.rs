//! What is given to a sum: typed text or numbers, held to the sum's inputs and their ranges.

use thiserror::Error;

use super::{Input, Sum};
use crate::spelling::did_you_mean;
use crate::units::{Entry, EntryError};

/// What an input is measured in: a bare number is taken in this unit, and some take others as well.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Metres; any length may be typed.
    Metre,
    /// Millimetres; any length may be typed.
    Millimetre,
    /// Litres; any volume may be typed.
    Litre,
    /// Kilograms; any mass may be typed.
    Kilogram,
    /// Degrees Celsius.
    Celsius,
    /// Litres per second; any flow may be typed.
    LitrePerSecond,
    /// Kilopascals; any pressure may be typed.
    Kilopascal,
    /// Kilowatts; any power may be typed.
    Kilowatt,
    /// Hours; any time may be typed.
    Hour,
    /// Watts per kelvin; any conductance may be typed.
    WattPerKelvin,
    /// Kilonewtons per square metre.
    SurfaceLoad,
    /// A number in a unit that has no other.
    Plain(&'static str),
    /// A whole number of things, or of a class.
    Count(&'static str),
}

impl Quantity {
    /// Its sign.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Metre => "m",
            Self::Millimetre => "mm",
            Self::Litre => "L",
            Self::Kilogram => "kg",
            Self::Celsius => "°C",
            Self::LitrePerSecond => "L/s",
            Self::Kilopascal => "kPa",
            Self::Kilowatt => "kW",
            Self::Hour => "h",
            Self::WattPerKelvin => "W/K",
            Self::SurfaceLoad => "kN/m²",
            Self::Plain(sign) | Self::Count(sign) => sign,
        }
    }

    /// Reads typed text in this unit.
    fn parse(self, text: &str) -> Result<f64, EntryError> {
        let bare = text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
        if let Some(number) = bare {
            return Ok(number);
        }
        match self {
            Self::Metre => Entry::Length.parse(text).map(|mm| mm / 1000.0),
            Self::Millimetre => Entry::Length.parse(text),
            Self::Litre => Entry::Volume.parse(text),
            Self::Kilogram => Entry::Mass.parse(text),
            Self::Celsius => Entry::Temperature.parse(text),
            Self::LitrePerSecond => Entry::Flow.parse(text),
            Self::Kilopascal => Entry::Pressure.parse(text),
            Self::Kilowatt => Entry::Power.parse(text),
            Self::Hour => Entry::Time.parse(text),
            Self::WattPerKelvin => Entry::Conductance.parse(text),
            Self::SurfaceLoad => Entry::SurfaceLoad.parse(text),
            Self::Plain(sign) | Self::Count(sign) => {
                let number = text.trim().strip_suffix(sign).unwrap_or(text).trim();
                Entry::Number.parse(number)
            }
        }
    }
}

/// Why a sum cannot be done.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum SumError {
    /// An input that the sum does not have.
    #[error("{sum} has no input '{name}'; {advice}")]
    NoSuchInput {
        /// The sum.
        sum: &'static str,
        /// What was given.
        name: String,
        /// What there is.
        advice: String,
    },
    /// Nothing was given for an input.
    #[error("{sum} needs {name}: {words}, in {sign}; give --{name} VALUE")]
    Missing {
        /// The sum.
        sum: &'static str,
        /// The input.
        name: &'static str,
        /// What it is.
        words: &'static str,
        /// Its unit.
        sign: &'static str,
    },
    /// The typed text is no such quantity.
    #[error("--{name}: {error}")]
    NotReadable {
        /// The input.
        name: &'static str,
        /// Why not.
        error: EntryError,
    },
    /// Outside the range in which the formula holds.
    #[error("{name} is {value} {sign}; the sum holds from {least} to {greatest} {sign}")]
    OutOfRange {
        /// The input.
        name: &'static str,
        /// What was given.
        value: f64,
        /// The least.
        least: f64,
        /// The greatest.
        greatest: f64,
        /// Its unit.
        sign: &'static str,
    },
    /// Things are counted in whole numbers.
    #[error("{name} is {value}; it has to be a whole number")]
    NotWhole {
        /// The input.
        name: &'static str,
        /// What was given.
        value: f64,
    },
    /// The values do not go together.
    #[error("{0}")]
    Impossible(String),
}

impl SumError {
    /// What was given cannot be, in words.
    pub(super) fn impossible(words: impl ToString) -> Self {
        Self::Impossible(words.to_string())
    }
}

/// Values for the inputs of a sum, each in its unit.
#[derive(Debug, Clone)]
pub struct Given {
    values: Vec<(&'static str, f64)>,
}

impl Given {
    /// Takes numbers, and the usual values for what is not given.
    ///
    /// # Errors
    /// [`SumError`] when an input is missing, unknown or out of range.
    pub fn of(sum: &Sum, numbers: &[(&str, f64)]) -> Result<Self, SumError> {
        for (name, _) in numbers {
            known(sum, name)?;
        }
        let value = |input: &Input| numbers.iter().find(|(name, _)| *name == input.name).map(|(_, value)| *value);
        Self::collect(sum, |input| Ok(value(input)))
    }

    /// Takes typed text, and the usual values for what is not given.
    ///
    /// # Errors
    /// [`SumError`] when an input is missing, unknown, not readable or out of range.
    pub fn typed(sum: &Sum, texts: &[(String, String)]) -> Result<Self, SumError> {
        for (name, _) in texts {
            known(sum, name)?;
        }
        Self::collect(sum, |input| {
            let text = texts.iter().find(|(name, _)| name == input.name);
            text.map(|(_, text)| input.quantity.parse(text))
                .transpose()
                .map_err(|error| SumError::NotReadable { name: input.name, error })
        })
    }

    fn collect(sum: &Sum, find: impl Fn(&Input) -> Result<Option<f64>, SumError>) -> Result<Self, SumError> {
        let mut values = Vec::new();
        for input in sum.inputs {
            let &Input { name, words, quantity, usual, least, greatest } = input;
            let sign = quantity.sign();
            let value = find(input)?.or(usual).ok_or(SumError::Missing { sum: sum.name, name, words, sign })?;
            let value = without_rounding(value);
            if matches!(quantity, Quantity::Count(_)) && value.fract() != 0.0 {
                return Err(SumError::NotWhole { name, value });
            }
            if !(least..=greatest).contains(&value) {
                return Err(SumError::OutOfRange { name, value, least, greatest, sign });
            }
            values.push((name, value));
        }
        Ok(Self { values })
    }

    /// The value of an input, in its unit.
    ///
    /// # Panics
    /// When the sum has no such input, which is a fault of the program.
    #[must_use]
    pub fn get(&self, name: &str) -> f64 {
        let found = self.values.iter().find(|(known, _)| *known == name);
        found.map(|(_, value)| *value).expect("a sum asks only for its own inputs")
    }
}

/// A number without what binary fractions have added to it: 2.8 for 2.2 + 0.6. Twelve digits are more than any input is
/// good for.
pub(super) fn without_rounding(value: f64) -> f64 {
    format!("{value:.11e}").parse().unwrap_or(value)
}

fn known(sum: &Sum, name: &str) -> Result<(), SumError> {
    if sum.inputs.iter().any(|input| input.name == name) {
        return Ok(());
    }
    let names: Vec<&str> = sum.inputs.iter().map(|input| input.name).collect();
    let advice =
        did_you_mean(name, names.iter().copied()).unwrap_or_else(|| format!("its inputs are {}", names.join(", ")));
    Err(SumError::NoSuchInput { sum: sum.name, name: name.to_owned(), advice })
}
