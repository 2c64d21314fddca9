//! What is given to a sum: typed text or numbers, held to the sum's inputs and their ranges.

use thiserror::Error;

use super::{Input, Sum};
use crate::catalogue::PlyClass;
use crate::spelling::did_you_mean;
use crate::units::{Entry, EntryError, MM_IN_A_METRE};

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
    /// A whole number of things.
    Count(&'static str),
    /// The number of a class for strength, with or without its letter before it: 24 or C24.
    Class(char),
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
            Self::Class('F') => "F",
            Self::Class(_) => "C",
        }
    }

    /// A value with its sign, as it may be typed: 80 °C, 3 spans, C16.
    #[must_use]
    pub fn words(self, value: f64) -> String {
        match self {
            Self::Class(_) => format!("{}{value}", self.sign()),
            _ => format!("{value} {}", self.sign()).trim_end().to_owned(),
        }
    }

    /// Whether it is told in whole numbers.
    pub(super) const fn is_whole(self) -> bool {
        matches!(self, Self::Count(_) | Self::Class(_))
    }

    /// Reads typed text in this unit.
    fn parse(self, text: &str) -> Result<f64, EntryError> {
        let bare = text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
        if let Some(number) = bare {
            return Ok(number);
        }
        match self {
            Self::Metre => Entry::Length.parse_with_bare(text, MM_IN_A_METRE).map(|mm| mm / MM_IN_A_METRE),
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
                let text = text.trim();
                // Few keyboards have a raised two.
                let number = text.strip_suffix(sign).or_else(|| text.strip_suffix(sign.replace('²', "2").as_str()));
                Entry::Number.parse(number.unwrap_or(text).trim())
            }
            Self::Class(letter) => {
                let stamped: String = text.to_uppercase().split_whitespace().collect();
                Entry::Number.parse(class_number(&stamped, letter).unwrap_or(text))
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
    /// An input was given more than once.
    #[error("--{name} is given more than once; give it once")]
    GivenTwice {
        /// The input.
        name: String,
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
    /// The inputs for which the usual value is taken.
    assumed: Vec<&'static str>,
}

impl Given {
    /// Takes numbers, and the usual values for what is not given.
    ///
    /// # Errors
    /// [`SumError`] when an input is missing, unknown, given twice or out of range.
    pub fn of(sum: &Sum, numbers: &[(&str, f64)]) -> Result<Self, SumError> {
        are_known(sum, &numbers.iter().map(|(name, _)| *name).collect::<Vec<_>>())?;
        let value = |input: &Input| numbers.iter().find(|(name, _)| *name == input.name).map(|(_, value)| *value);
        Self::collect(sum, |input| Ok(value(input)))
    }

    /// Takes typed text, and the usual values for what is not given.
    ///
    /// # Errors
    /// [`SumError`] when an input is missing, unknown, given twice, not readable or out of range.
    pub fn typed(sum: &Sum, texts: &[(String, String)]) -> Result<Self, SumError> {
        are_known(sum, &texts.iter().map(|(name, _)| name.as_str()).collect::<Vec<_>>())?;
        Self::collect(sum, |input| {
            let text = texts.iter().find(|(name, _)| name == input.name);
            text.map(|(_, text)| input.quantity.parse(text))
                .transpose()
                .map_err(|error| SumError::NotReadable { name: input.name, error })
        })
    }

    fn collect(sum: &Sum, find: impl Fn(&Input) -> Result<Option<f64>, SumError>) -> Result<Self, SumError> {
        let (mut values, mut assumed) = (Vec::new(), Vec::new());
        for input in sum.inputs {
            let &Input { name, words, quantity, usual, least, greatest } = input;
            let sign = quantity.sign();
            let told = find(input)?;
            if told.is_none() {
                assumed.push(name);
            }
            let value = told.or(usual).ok_or(SumError::Missing { sum: sum.name, name, words, sign })?;
            let value = without_rounding(value);
            if quantity.is_whole() && value.fract() != 0.0 {
                return Err(SumError::NotWhole { name, value });
            }
            if !(least..=greatest).contains(&value) {
                return Err(SumError::OutOfRange { name, value, least, greatest, sign });
            }
            values.push((name, value));
        }
        Ok(Self { values, assumed })
    }

    /// Whether nobody has given an input, so that its usual value is taken.
    #[must_use]
    pub fn is_assumed(&self, name: &str) -> bool {
        self.assumed.contains(&name)
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

/// The number for bending in a class as it is stamped, "C24" or "F20E40"; none in what is no such class.
fn class_number(stamped: &str, letter: char) -> Option<&str> {
    let number = stamped.strip_prefix(letter)?;
    let is_ply = PlyClass::ALL.iter().any(|class| class.words().replace(' ', "") == stamped);
    number.split_once('E').filter(|_| is_ply).map(|(bending, _)| bending).or(Some(number))
}

/// That a sum has all of some inputs, and each is given once.
fn are_known(sum: &Sum, names: &[&str]) -> Result<(), SumError> {
    for (number, name) in names.iter().enumerate() {
        known(sum, name)?;
        if names[..number].contains(name) {
            return Err(SumError::GivenTwice { name: (*name).to_owned() });
        }
    }
    Ok(())
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sum::{sum, table};

    fn typed(name: &str, texts: &[(&str, &str)]) -> Result<Given, SumError> {
        let texts: Vec<(String, String)> =
            texts.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
        Given::typed(sum(name).expect("in the table"), &texts)
    }

    #[test]
    fn an_input_is_given_once() {
        let twice = typed("pipe-loss", &[("flow", "0.2"), ("bore", "20.2"), ("bore", "13.6")]);
        assert_eq!(twice.expect_err("which of them?").to_string(), "--bore is given more than once; give it once");
        let twice = Given::of(sum("water").expect("in the table"), &[("temperature", 10.0), ("temperature", 20.0)]);
        assert_eq!(twice.expect_err("which?"), SumError::GivenTwice { name: "temperature".to_owned() });
    }

    #[test]
    fn a_bare_number_is_in_the_unit_of_its_input_however_it_is_written() {
        for sum in table() {
            for input in sum.inputs {
                for text in ["2.5", "2,5", "2 1/2", "5/2", " 2.50 ", "25e-1"] {
                    assert_eq!(input.quantity.parse(text), Ok(2.5), "{} --{} '{text}'", sum.name, input.name);
                }
            }
        }
        let rise = |height: &str| typed("vent-rise", &[("height", height)]).expect("a height").get("height");
        assert_eq!([rise("3.2"), rise("3,2"), rise("3200 mm"), rise("3 1/5")], [3.2; 4]);
        let unclear = typed("vent-rise", &[("height", "3,200")]).expect_err("3.2 m or 3200 m");
        assert!(unclear.to_string().contains("--height: '3,200' may mean 3200 or 3.200"), "{unclear}");
    }

    #[test]
    fn what_is_taken_without_being_given_is_known() {
        let given = typed("bearer", &[("breadth", "47"), ("depth", "97"), ("mass", "100"), ("class", "C16")]);
        let given = given.expect("enough");
        let inputs = sum("bearer").expect("in the table").inputs;
        let assumed = inputs.iter().filter(|input| given.is_assumed(input.name));
        let words: Vec<String> = assumed.map(|input| input.quantity.words(given.get(input.name))).collect();
        assert_eq!(words, ["400 mm", "3 spans", "0 m", "0.3 m", "0.05 kN/m"]);
        assert_eq!([Quantity::Class('C').words(16.0), Quantity::Plain("").words(0.6)], ["C16", "0.6"]);
    }

    #[test]
    fn a_class_is_taken_as_it_is_stamped() {
        let joist = |class: &str| {
            typed("joist", &[("span", "3"), ("breadth", "47"), ("depth", "147"), ("mass", "100"), ("class", class)])
        };
        for class in ["24", "C24", "c24", " C 24 "] {
            assert_eq!(joist(class).expect("a class").get("class"), 24.0, "{class}");
        }
        for class in ["F24", "D24", "C2x", "C"] {
            assert!(joist(class).is_err(), "{class}");
        }
        let board = |class: &str| typed("board-strip", &[("span", "400"), ("class", class)]);
        for class in ["25", "F25", "F25E50", "F25 E50"] {
            assert_eq!(board(class).expect("a class").get("class"), 25.0, "{class}");
        }
        assert!(board("F25 E40").is_err() && board("C25").is_err());
    }

    #[test]
    fn square_metres_are_typed_with_or_without_a_raised_two() {
        for area in ["0.3", "0.3 m²", "0.3m²", "0.3 m2", "0.3m2"] {
            let given = typed("emptying-time", &[("area", area), ("bore", "20"), ("from", "0.5")]);
            assert_eq!(given.expect("an area").get("area"), 0.3, "{area}");
        }
    }
}
