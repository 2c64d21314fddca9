//! Typed text to quantities: "450", "1.2 m", "1,2 m", "18 in", "2 ft 6½ in", "25 gal", "140 °F".

use std::borrow::Cow;

use thiserror::Error;

use super::{LITRES_IN_A_GALLON, MM_IN_A_METRE, MM_IN_AN_INCH, STANDARD_GRAVITY_M_S2};

/// Why typed text is not a quantity.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum EntryError {
    /// Nothing was typed.
    #[error("type a number, such as {example}")]
    Empty {
        /// An entry that would be taken.
        example: &'static str,
    },
    /// Something is not a number.
    #[error("'{text}' is not a number; type for example {example}")]
    NotANumber {
        /// What was typed.
        text: String,
        /// An entry that would be taken.
        example: &'static str,
    },
    /// A number stands behind a unit, without one of its own: "1 m 50" may be 1050 or 1500 mm.
    #[error("which unit is meant by {number} in '{text}'? Write it as well")]
    BareNumber {
        /// What was typed.
        text: String,
        /// The number without a unit.
        number: f64,
    },
    /// A comma with three digits behind it parts thousands or stands before decimals.
    #[error("'{text}' may mean {whole} or {decimal}; write it without a comma")]
    UnclearComma {
        /// The number as it was typed.
        text: String,
        /// What it is if the comma parts thousands.
        whole: String,
        /// What it is if the comma stands before decimals.
        decimal: String,
    },
    /// The unit is not one of this kind.
    #[error("'{unit}' is not a unit of this kind; use {known}")]
    UnknownUnit {
        /// What was typed.
        unit: String,
        /// The units that would be taken.
        known: String,
    },
}

/// A unit that people type: its names, how many base units it is worth, and where its nought stands, in itself.
struct TypedUnit {
    names: &'static [&'static str],
    worth: f64,
    nought: f64,
}

/// A unit that begins where the base unit does.
const fn unit(names: &'static [&'static str], worth: f64) -> TypedUnit {
    TypedUnit { names, worth, nought: 0.0 }
}

impl TypedUnit {
    fn in_base_units(&self, number: f64) -> f64 {
        (number - self.nought) * self.worth
    }
}

/// Exact by the agreement that makes the inch: 1 ft = 304.8 mm.
const LENGTH_UNITS: &[TypedUnit] = &[
    unit(&["mm", "millimetre", "millimetres", "millimeter", "millimeters"], 1.0),
    unit(&["cm", "centimetre", "centimetres", "centimeter", "centimeters"], 10.0),
    unit(&["m", "metre", "metres", "meter", "meters"], MM_IN_A_METRE),
    unit(&["in", "inch", "inches", "\"", "″", "”"], MM_IN_AN_INCH),
    unit(&["ft", "foot", "feet", "'", "′", "’"], 304.8),
];
const VOLUME_UNITS: &[TypedUnit] = &[
    unit(&["L", "litre", "litres", "liter", "liters"], 1.0),
    unit(&["gal", "gallon", "gallons"], LITRES_IN_A_GALLON),
    unit(&["m³", "m3"], 1000.0),
];
/// Exact by the international yard and pound agreement of 1959.
const KG_IN_A_POUND: f64 = 0.453_592_37;
const MASS_UNITS: &[TypedUnit] =
    &[unit(&["kg"], 1.0), unit(&["lb", "lbs"], KG_IN_A_POUND), unit(&["t", "tonne"], 1000.0)];

/// Exact: °C = (°F − 32) / 1.8.
const TEMPERATURE_UNITS: &[TypedUnit] =
    &[unit(&["°C", "C"], 1.0), TypedUnit { names: &["°F", "F"], worth: 1.0 / 1.8, nought: 32.0 }];
const POWER_UNITS: &[TypedUnit] = &[unit(&["kW"], 1.0), unit(&["W"], 0.001)];
/// Exact: 1 bar = 100 kPa, and 1 psi is the weight of a pound on a square inch, 6.894757 kPa.
const PRESSURE_UNITS: &[TypedUnit] = &[
    unit(&["kPa"], 1.0),
    unit(&["bar"], 100.0),
    unit(&["mbar"], 0.1),
    unit(&["psi"], 1000.0 * KG_IN_A_POUND * STANDARD_GRAVITY_M_S2 / (MM_IN_AN_INCH * MM_IN_AN_INCH)),
];
const FLOW_UNITS: &[TypedUnit] =
    &[unit(&["L/s"], 1.0), unit(&["L/min"], 1.0 / 60.0), unit(&["gal/min", "gpm"], LITRES_IN_A_GALLON / 60.0)];
const TIME_UNITS: &[TypedUnit] = &[
    unit(&["h", "hour", "hours"], 1.0),
    unit(&["min", "minute", "minutes"], 1.0 / 60.0),
    unit(&["days", "day"], 24.0),
];
/// Labels of cylinders give watts, and older ones kilowatt-hours a day.
const HEAT_LOSS_UNITS: &[TypedUnit] = &[unit(&["W"], 1.0), unit(&["kWh/day", "kWh/d", "kWh/24h"], 1000.0 / 24.0)];
const CONDUCTANCE_UNITS: &[TypedUnit] = &[unit(&["W/K"], 1.0), unit(&["kW/K"], 1000.0)];
const NO_UNITS: &[TypedUnit] = &[];
const SURFACE_LOAD_UNITS: &[TypedUnit] = &[unit(&["kN/m²", "kN/m2"], 1.0)];

/// What kind of quantity a field takes: decides its units and its example.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Entry {
    /// Millimetres unless another unit is typed.
    Length,
    /// Litres unless another unit is typed.
    Volume,
    /// Kilograms unless another unit is typed.
    Mass,
    /// Degrees Celsius.
    Temperature,
    /// Kilowatts unless another unit is typed.
    Power,
    /// Kilopascals unless another unit is typed.
    Pressure,
    /// Litres per second unless another unit is typed.
    Flow,
    /// Hours unless another unit is typed.
    Time,
    /// Watts unless another unit is typed.
    HeatLoss,
    /// Watts per kelvin unless another unit is typed.
    Conductance,
    /// Kilonewtons per square metre.
    SurfaceLoad,
    /// A number without a unit.
    Number,
}

impl Entry {
    /// Reads typed text into the base unit (mm, L, kg, °C, kW, kPa, L/s, h, W, W/K, kN/m²).
    ///
    /// # Errors
    /// [`EntryError`] with an example of what would be taken.
    pub fn parse(self, text: &str) -> Result<f64, EntryError> {
        self.parse_with_bare(text, 1.0)
    }

    /// The same, where a number without a unit is worth so many base units: 1000 where metres are meant.
    ///
    /// # Errors
    /// As for [`Self::parse`].
    pub fn parse_with_bare(self, text: &str, bare_worth: f64) -> Result<f64, EntryError> {
        let (units, example) = match self {
            Self::Length => (LENGTH_UNITS, "450, 1.2 m or 18 in"),
            Self::Volume => (VOLUME_UNITS, "227 or 50 gal"),
            Self::Temperature => (TEMPERATURE_UNITS, "60"),
            Self::Mass => (MASS_UNITS, "14.5 or 32 lb"),
            Self::Power => (POWER_UNITS, "3 or 2700 W"),
            Self::Pressure => (PRESSURE_UNITS, "150 or 1.5 bar"),
            Self::Flow => (FLOW_UNITS, "0.15 or 9 L/min"),
            Self::Time => (TIME_UNITS, "8 or 2 days"),
            Self::HeatLoss => (HEAT_LOSS_UNITS, "75 or 1.8 kWh/day"),
            Self::Conductance => (CONDUCTANCE_UNITS, "400"),
            Self::SurfaceLoad => (SURFACE_LOAD_UNITS, "0.25"),
            Self::Number => (NO_UNITS, "1.5"),
        };
        parse_with(text, units, bare_worth, example)
    }
}

/// A piece of typed text.
enum Token {
    Number(f64),
    Word(String),
}

fn parse_with(text: &str, units: &[TypedUnit], bare_worth: f64, example: &'static str) -> Result<f64, EntryError> {
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(EntryError::Empty { example });
    }
    let not_a_number = || EntryError::NotANumber { text: trimmed.to_owned(), example };
    let (sign, body) = match trimmed.strip_prefix(['-', '−']) {
        Some(rest) => (-1.0, rest),
        None => (1.0, trimmed),
    };
    if let Some(number) = with_unclear_comma(body) {
        let (whole, decimal) = (number.replace(',', ""), number.replace(',', "."));
        return Err(EntryError::UnclearComma { text: number.to_owned(), whole, decimal });
    }
    let mut total = 0.0;
    let mut pending: Option<f64> = None;
    let mut has_units = false;
    for token in tokens(&with_plain_fractions(body), units).ok_or_else(not_a_number)? {
        match token {
            // "1 1/2 in": a whole number and a fraction stand side by side.
            Token::Number(number) => match pending {
                None => pending = Some(number),
                Some(whole) if whole.fract() == 0.0 && number < 1.0 => pending = Some(whole + number),
                Some(_) => return Err(not_a_number()),
            },
            Token::Word(word) => {
                let number = pending.take().ok_or_else(not_a_number)?;
                total += unit_named(&word, units)?.in_base_units(sign * number);
                has_units = true;
            }
        }
    }
    match pending {
        Some(number) if has_units => return Err(EntryError::BareNumber { text: trimmed.to_owned(), number }),
        _ => total += sign * pending.unwrap_or(0.0) * bare_worth,
    }
    if !total.is_finite() {
        return Err(not_a_number());
    }
    Ok(without_noise(total))
}

/// The text with fractions that are one letter written out: "1½" as "1 1/2".
fn with_plain_fractions(text: &str) -> Cow<'_, str> {
    const FRACTIONS: [(char, &str); 9] = [
        ('½', " 1/2"),
        ('¼', " 1/4"),
        ('¾', " 3/4"),
        ('⅓', " 1/3"),
        ('⅔', " 2/3"),
        ('⅛', " 1/8"),
        ('⅜', " 3/8"),
        ('⅝', " 5/8"),
        ('⅞', " 7/8"),
    ];
    FRACTIONS.iter().fold(Cow::Borrowed(text), |text, &(letter, plain)| match text.contains(letter) {
        true => Cow::Owned(text.replace(letter, plain)),
        false => text,
    })
}

/// The first number whose comma may part thousands as well as stand before decimals: "1,000" and "22,500", but neither
/// "0,125" nor "1,25".
fn with_unclear_comma(text: &str) -> Option<&str> {
    let are_digits = |piece: &str| piece.bytes().all(|byte| byte.is_ascii_digit());
    let mut numbers = text.split(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | ','));
    numbers.find(|number| {
        number.split_once(',').is_some_and(|(before, after)| {
            let parts_thousands = (1..=3).contains(&before.len()) && !before.starts_with('0') && after.len() == 3;
            parts_thousands && are_digits(before) && are_digits(after)
        })
    })
}

/// A sum of feet and inches without what binary fractions leave at its end.
fn without_noise(total: f64) -> f64 {
    const STEPS: f64 = 1e9;
    if total.abs() < 1e6 { (total * STEPS).round() / STEPS } else { total }
}

/// The unit that a word names.
fn names<'u>(word: &str, units: &'u [TypedUnit]) -> Option<&'u TypedUnit> {
    let lower = word.to_lowercase();
    units.iter().find(|unit| unit.names.iter().any(|name| name.to_lowercase() == lower))
}

fn unit_named<'u>(word: &str, units: &'u [TypedUnit]) -> Result<&'u TypedUnit, EntryError> {
    names(word, units).ok_or_else(|| EntryError::UnknownUnit {
        unit: word.to_owned(),
        known: match units {
            [] => "no unit".to_owned(),
            _ => units.iter().map(|unit| unit.names[0]).collect::<Vec<_>>().join(", "),
        },
    })
}

/// Splits into numbers (with fractions) and unit words; `None` when a number cannot be read. A digit belongs to the word
/// before it where that makes a unit: m3.
fn tokens(text: &str, units: &[TypedUnit]) -> Option<Vec<Token>> {
    let mut found = Vec::new();
    let mut rest = text.trim_start();
    while let Some(first) = rest.chars().next() {
        let is_number = first.is_ascii_digit() || first == '.' || first == ',';
        let part_of = |c: char| {
            if is_number {
                c.is_ascii_digit() || matches!(c, '.' | ',' | '/')
            } else {
                !c.is_ascii_digit() && !c.is_whitespace() && !matches!(c, '.' | ',')
            }
        };
        let mut end = rest.find(|c| !part_of(c)).unwrap_or(rest.len());
        let goes_on = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/');
        let stands_alone = !rest.get(end + 1..).is_some_and(|after| after.starts_with(goes_on));
        if !is_number && stands_alone && rest.get(..=end).is_some_and(|word| names(word, units).is_some()) {
            end += 1;
        }
        if end == 0 {
            return None;
        }
        let piece = &rest[..end];
        found.push(if is_number { Token::Number(number(piece)?) } else { Token::Word(piece.to_owned()) });
        rest = rest[end..].trim_start();
    }
    (!found.is_empty()).then_some(found)
}

fn number(piece: &str) -> Option<f64> {
    let decimal = |text: &str| text.replacen(',', ".", 1).parse::<f64>().ok();
    match piece.split_once('/') {
        Some((above, below)) => {
            let below = decimal(below)?;
            (below != 0.0).then_some(decimal(above)? / below)
        }
        None => decimal(piece),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_people_type() {
        let check = |text: &str, mm: f64| {
            let read = Entry::Length.parse(text).unwrap_or_else(|error| panic!("{text}: {error}"));
            assert!((read - mm).abs() < 1e-9, "{text}: {read} mm, expected {mm}");
        };
        check("450", 450.0);
        check(" 1.2 m ", 1200.0);
        check("1,2m", 1200.0);
        check("18 in", 457.2);
        check("2 ft 6 in", 762.0);
        check("2' 6\"", 762.0);
        check("1 1/2 in", 38.1);
        check("3/4 in", 19.05);
        assert_eq!(Entry::Length.parse("9 ft 6 in"), Ok(2895.6));
        check("-25", -25.0);
        check("-2 ft 6 in", -762.0);
        check("3 metres", 3000.0);
        check("1 metre", 1000.0);
        check("2 meters", 2000.0);
        check("1 meter", 1000.0);
        check("450 millimetres", 450.0);
        check("1 Millimetre", 1.0);
        check("45 centimetres", 450.0);
    }

    #[test]
    fn fractions_and_marks_of_printed_text_are_read_as_they_are_pasted() {
        for (text, mm) in [("½ in", 12.7), ("1½\"", 38.1), ("2′ 6¾″", 781.05), ("2’ 6”", 762.0), ("-⅛ in", -3.175)]
        {
            assert_eq!(Entry::Length.parse(text), Ok(mm), "{text}");
        }
        for text in ["½½ in", "1.5½ in", "½"] {
            assert_eq!(Entry::Length.parse(text).is_ok(), text == "½", "{text}");
        }
    }

    #[test]
    fn a_bare_number_is_worth_what_is_meant_by_it_however_it_is_written() {
        for text in ["3.5", "3,5", "3 1/2", "7/2", " 3.50 ", "03.5"] {
            assert_eq!(Entry::Length.parse_with_bare(text, MM_IN_A_METRE), Ok(3500.0), "{text}");
            assert_eq!(Entry::Length.parse(text), Ok(3.5), "{text}");
        }
        assert_eq!(Entry::Length.parse_with_bare("3,5 mm", MM_IN_A_METRE), Ok(3.5));
        assert_eq!(Entry::Length.parse_with_bare("-1,5", MM_IN_A_METRE), Ok(-1500.0));
        assert!(Entry::Length.parse_with_bare("1 m 50", MM_IN_A_METRE).is_err());
    }

    #[test]
    fn a_comma_that_may_part_thousands_is_asked_about() {
        for (text, words) in [
            ("1,000", "'1,000' may mean 1000 or 1.000; write it without a comma"),
            ("-22,500 mm", "'22,500' may mean 22500 or 22.500; write it without a comma"),
            ("1 ft 1,125 in", "'1,125' may mean 1125 or 1.125; write it without a comma"),
        ] {
            assert_eq!(Entry::Length.parse(text).expect_err(text).to_string(), words);
        }
        for (text, mm) in [("0,125", 0.125), ("1,25", 1.25), ("1,5000", 1.5), ("1200,125", 1200.125), (",125", 0.125)] {
            assert_eq!(Entry::Length.parse(text), Ok(mm), "{text}");
        }
        assert!(matches!(Entry::Length.parse("1,000,000"), Err(EntryError::NotANumber { .. })));
    }

    #[test]
    fn volumes_and_masses_people_type() {
        assert!((Entry::Volume.parse("25 gal").expect("gallons") - 113.652_25).abs() < 1e-9);
        assert!((Entry::Volume.parse("0.227 m³").expect("cubic metres") - 227.0).abs() < 1e-9);
        assert!((Entry::Volume.parse("1 m3").expect("cubic metres") - 1000.0).abs() < 1e-9);
        assert!(Entry::Volume.parse("1 m35").is_err());
        assert!((Entry::Mass.parse("32 lb").expect("pounds") - 14.514_955_84).abs() < 1e-9);
    }

    #[test]
    fn powers_flows_pressures_and_times_people_type() {
        let check = |entry: Entry, text: &str, worth: f64| {
            let read = entry.parse(text).unwrap_or_else(|error| panic!("{text}: {error}"));
            assert!((read - worth).abs() < 1e-9, "{text}: {read}, expected {worth}");
        };
        check(Entry::Power, "2700 W", 2.7);
        check(Entry::Power, "3kw", 3.0);
        check(Entry::Pressure, "1.5 bar", 150.0);
        check(Entry::Pressure, "1 psi", 6.894_757_293);
        check(Entry::Pressure, "200 mbar", 20.0);
        check(Entry::Flow, "9 L/min", 0.15);
        check(Entry::Flow, "6 gpm", 0.454_609);
        check(Entry::Temperature, "140 °F", 60.0);
        check(Entry::Temperature, "-40F", -40.0);
        check(Entry::Temperature, "-5 °C", -5.0);
        check(Entry::Time, "1 day 6 h", 30.0);
        check(Entry::HeatLoss, "2.4 kWh/day", 100.0);
        check(Entry::SurfaceLoad, "0,25 kN/m²", 0.25);
        check(Entry::Number, "1.5", 1.5);
        assert!(Entry::Number.parse("1.5 m").unwrap_err().to_string().contains("no unit"));
        assert!(Entry::Pressure.parse("10 L").unwrap_err().to_string().contains("kPa, bar"));
    }

    #[test]
    fn what_is_no_quantity_says_what_would_be() {
        assert!(Entry::Length.parse("").unwrap_err().to_string().contains("450"));
        assert!(Entry::Length.parse("twelve").is_err());
        assert!(Entry::Length.parse("12 kg").unwrap_err().to_string().contains("mm, cm, m"));
        assert!(Entry::Length.parse("1/0").is_err());
        assert!(Entry::Length.parse("1e999").is_err());
        assert!(Entry::Length.parse("12 34").is_err());
        assert!(Entry::Length.parse("NaN").is_err());
        for (entry, text) in [(Entry::Length, "9 ft 6"), (Entry::Length, "1 m 50"), (Entry::Time, "1 h 30")] {
            assert!(entry.parse(text).unwrap_err().to_string().contains("Write it as well"), "{text}");
        }
    }
}
