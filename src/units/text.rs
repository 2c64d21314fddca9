//! Amounts with their unit, as they are shown to people.

use std::fmt;

use serde::Serialize;

/// The unit of an [`Amount`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Unit {
    /// Millimetres.
    #[serde(rename = "mm")]
    Millimetre,
    /// Litres.
    #[serde(rename = "L")]
    Litre,
    /// Kilograms.
    #[serde(rename = "kg")]
    Kilogram,
    /// Kilonewtons.
    #[serde(rename = "kN")]
    Kilonewton,
    /// Degrees Celsius.
    #[serde(rename = "°C")]
    Celsius,
    /// Newtons.
    #[serde(rename = "N")]
    Newton,
    /// A share of what is allowed.
    #[serde(rename = "share")]
    Share,
    /// Watts.
    #[serde(rename = "W")]
    Watt,
    /// Hours.
    #[serde(rename = "h")]
    Hour,
    /// Litres per second.
    #[serde(rename = "L/s")]
    LitrePerSecond,
    /// Metres per second.
    #[serde(rename = "m/s")]
    MetrePerSecond,
    /// Metres of water column.
    #[serde(rename = "m head")]
    MetreHead,
    /// Minutes.
    #[serde(rename = "min")]
    Minute,
    /// Seconds.
    #[serde(rename = "s")]
    Second,
    /// A fall.
    #[serde(rename = "mm/m")]
    MillimetrePerMetre,
    /// A count of things.
    #[serde(rename = "count")]
    Count,
}

impl Unit {
    /// The sign that follows a number, with its space; empty for a count.
    #[must_use]
    pub const fn suffix(self) -> &'static str {
        match self {
            Self::Millimetre => " mm",
            Self::Litre => " L",
            Self::Kilogram => " kg",
            Self::Kilonewton => " kN",
            Self::Celsius => " °C",
            Self::Watt => " W",
            Self::Hour => " h",
            Self::LitrePerSecond => " L/s",
            Self::MetrePerSecond => " m/s",
            Self::MetreHead => " m head",
            Self::Minute => " min",
            Self::Second => " s",
            Self::Newton => " N",
            Self::MillimetrePerMetre => " mm/m",
            Self::Share | Self::Count => "",
        }
    }

    /// So much of it.
    #[must_use]
    pub const fn of(self, value: f64) -> Amount {
        Amount { value, unit: self }
    }

    /// How many decimals are worth showing.
    const fn decimals(self) -> usize {
        match self {
            Self::Millimetre
            | Self::Litre
            | Self::Kilogram
            | Self::Celsius
            | Self::Minute
            | Self::Watt
            | Self::Hour
            | Self::MillimetrePerMetre => 1,
            Self::Kilonewton | Self::MetrePerSecond | Self::MetreHead => 2,
            Self::LitrePerSecond | Self::Share => 3,
            Self::Newton | Self::Second | Self::Count => 0,
        }
    }
}

/// Below this every whole number is one that a float holds, and an `i64` as well.
const WHOLE_BELOW: f64 = 9e15;

/// No two amounts have to be told apart further than this.
const MOST_DECIMALS: usize = 6;

/// A number and its unit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Amount {
    /// The number.
    pub value: f64,
    /// Its unit.
    pub unit: Unit,
}

impl Amount {
    /// An amount in millimetres.
    #[must_use]
    pub const fn mm(value: f64) -> Self {
        Self { value, unit: Unit::Millimetre }
    }

    /// An amount in litres.
    #[must_use]
    pub const fn litres(value: f64) -> Self {
        Self { value, unit: Unit::Litre }
    }

    /// The least amount that is no less than this one and can be set out: whole millimetres, which is what a tape can do,
    /// and of all else the last decimal that is shown. What is less than `trace` above a step stays on it.
    #[must_use]
    pub fn up_to_a_step(self, trace: f64) -> Self {
        let in_a_unit = match self.unit {
            Unit::Millimetre => 1.0,
            other => 10_f64.powi(other.decimals() as i32),
        };
        Self { value: ((self.value - trace) * in_a_unit).ceil() / in_a_unit, ..self }
    }

    /// The number without its unit, rounded as it is shown.
    #[must_use]
    pub fn digits(&self) -> String {
        self.whole().map_or_else(|| self.rounded(), |whole| whole.to_string())
    }

    /// The amount in words, in as many decimals more as it takes to tell it from another: 19.96 beside 20 is not "20".
    #[must_use]
    pub fn beside(self, other: Self) -> String {
        let usual = self.to_string();
        if self.value == other.value || usual != other.to_string() {
            return usual;
        }
        let apart = |decimals: usize| {
            let [own, its] = [self, other].map(|amount| without_noughts(format!("{:.decimals$}", amount.value)));
            (own != its).then(|| own + self.unit.suffix())
        };
        (self.unit.decimals() + 1..=MOST_DECIMALS).find_map(apart).unwrap_or(usual)
    }

    /// The number where it is whole, as most are: those are written many times as fast without looking for decimals.
    fn whole(&self) -> Option<i64> {
        (self.value.fract() == 0.0 && self.value.abs() < WHOLE_BELOW).then_some(self.value as i64)
    }

    fn rounded(&self) -> String {
        let mut decimals = self.unit.decimals();
        if self.unit == Unit::Millimetre && self.value.abs() < 1.0 {
            decimals = 2;
        }
        without_noughts(format!("{:.decimals$}", self.value))
    }
}

/// Digits without the noughts at their end that tell nothing; a hair below nothing is nothing.
fn without_noughts(mut digits: String) -> String {
    if digits.contains('.') {
        digits.truncate(digits.trim_end_matches('0').trim_end_matches('.').len());
    }
    if digits == "-0" { "0".to_owned() } else { digits }
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.whole() {
            Some(whole) => write!(f, "{whole}")?,
            None => f.write_str(&self.rounded())?,
        }
        f.write_str(self.unit.suffix())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_decimals_that_tell_something_are_shown() {
        let check = |amount: Amount, expected: &str| assert_eq!(amount.to_string(), expected);
        check(Amount::mm(350.0), "350 mm");
        check(Amount::mm(27.2), "27.2 mm");
        check(Amount::mm(0.65), "0.65 mm");
        check(Amount::mm(-0.001), "0 mm");
        check(Amount::mm(-0.0), "0 mm");
        check(Amount::mm(-1250.0), "-1250 mm");
        check(Amount::mm(1e17), "100000000000000000 mm");
        check(Amount::litres(226.96), "227 L");
        check(Unit::Kilonewton.of(3.196), "3.2 kN");
        check(Unit::Count.of(100.0), "100");
    }

    #[test]
    fn what_differs_does_not_read_alike() {
        let flow = |value: f64| Unit::LitrePerSecond.of(value);
        assert_eq!(
            (flow(0.099_75).beside(flow(0.1)), flow(0.1).beside(flow(0.099_75))),
            ("0.0998 L/s".to_owned(), "0.1 L/s".to_owned())
        );
        assert_eq!(Amount::mm(149.999_9).beside(Amount::mm(150.0)), "149.9999 mm");
        assert_eq!(Amount::mm(140.0).beside(Amount::mm(150.0)), "140 mm");
        assert_eq!(Amount::mm(150.0).beside(Amount::mm(150.0)), "150 mm");
        assert_eq!(Amount::mm(150.000_000_000_1).beside(Amount::mm(150.0)), "150 mm");
    }

    #[test]
    fn what_is_set_out_is_never_less() {
        let check = |amount: Amount, expected: &str| assert_eq!(amount.up_to_a_step(1e-5).to_string(), expected);
        check(Amount::mm(77.52), "78 mm");
        check(Amount::mm(78.000_001), "78 mm");
        check(Amount::mm(0.01), "1 mm");
        check(Unit::Kilogram.of(41.603), "41.7 kg");
        check(Unit::LitrePerSecond.of(0.0301), "0.031 L/s");
    }
}
