//! How steeply a pipe runs: typed as "1:40", "25 mm/m" or "2.5 %", shown both ways.

use super::{Entry, EntryError};

/// A pipe that changes by less than this over a metre is level, mm.
const LEVEL_MM_PER_M: f64 = 0.05;
/// Beyond this a pipe is no longer near-level, and a fall says little, mm for each metre.
const STEEPEST_MM_PER_M: f64 = 200.0;

/// A fall or a rise, in millimetres for each metre that a pipe goes aside. Falls are positive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gradient(f64);

impl Gradient {
    /// A fall of so many millimetres for each metre; less than nothing for a rise. `None` beyond 200 mm per metre.
    #[must_use]
    pub fn falling(mm_per_m: f64) -> Option<Self> {
        (mm_per_m.is_finite() && mm_per_m.abs() <= STEEPEST_MM_PER_M).then_some(Self(mm_per_m))
    }

    /// The fall in millimetres for each metre; less than nothing for a rise.
    #[must_use]
    pub const fn fall_mm_per_m(self) -> f64 {
        self.0
    }

    /// How far down a pipe has come after going aside by so much, mm.
    #[must_use]
    pub fn drop_mm(self, aside_mm: f64) -> f64 {
        self.0 * aside_mm.abs() / 1000.0
    }

    /// Reads "1:40", "1 in 40", "25 mm/m", "25 mm per m", "2.5 %" or "level"; "rising" or a minus before it turns it about.
    ///
    /// # Errors
    /// [`EntryError`] with an example of what would be taken.
    pub fn parse(text: &str) -> Result<Self, EntryError> {
        const EXAMPLE: &str = "1:40, 25 mm/m or 2.5 %";
        let bad = || EntryError::NotANumber { text: text.trim().to_owned(), example: EXAMPLE };
        let lower = text.trim().to_lowercase();
        if lower.is_empty() {
            return Err(EntryError::Empty { example: EXAMPLE });
        }
        if lower == "level" {
            return Ok(Self(0.0));
        }
        let stripped = |words: &[&str]| words.iter().find_map(|word| lower.strip_prefix(word));
        let (falls, body) = match stripped(&["rising", "rises", "-", "−"]) {
            Some(body) => (-1.0, body),
            None => (1.0, stripped(&["falling", "falls"]).unwrap_or(&lower)),
        };
        // What `words` says is read back.
        let body = body.split('(').next().unwrap_or_default().trim();
        let number = |text: &str| {
            Entry::Number.parse(text).map_err(|error| match error {
                EntryError::UnclearComma { .. } => error,
                _ => bad(),
            })
        };
        let ratio = body.split_once(':').or_else(|| body.split_once(" in "));
        let mm_per_m = if let Some((one, many)) = ratio {
            1000.0 * number(one)? / number(many)?
        } else if let Some(share) = body.strip_suffix('%') {
            10.0 * number(share)?
        } else {
            let plain = body.strip_suffix("mm/m").or_else(|| body.strip_suffix("mm per m")).unwrap_or(body);
            number(plain)?
        };
        Self::falling(falls * mm_per_m).ok_or_else(bad)
    }

    /// The fall in words, from where the pipe begins: "falls 1:40 (25 mm per m)".
    #[must_use]
    pub fn words(self) -> String {
        let size = self.0.abs();
        if size < LEVEL_MM_PER_M {
            return "level".to_owned();
        }
        let verb = if self.0 < 0.0 { "rises" } else { "falls" };
        format!("{verb} 1:{} ({} mm per m)", tenths(1000.0 / size), tenths(size))
    }

    /// The ratio alone, as it is typed: "1:40", "rises 1:40", "level".
    #[must_use]
    pub fn typed(self) -> String {
        let words = self.words();
        let ratio = words.split(" (").next().unwrap_or_default();
        ratio.strip_prefix("falls ").unwrap_or(ratio).to_owned()
    }
}

/// A number to a tenth where it is small, else whole.
fn tenths(number: f64) -> String {
    let rounded = if number < 20.0 { (number * 10.0).round() / 10.0 } else { number.round() };
    format!("{rounded}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn falls_people_type() {
        let check = |text: &str, fall: f64| {
            let read = Gradient::parse(text).unwrap_or_else(|error| panic!("{text}: {error}"));
            assert!((read.fall_mm_per_m() - fall).abs() < 1e-9, "{text}: {read:?}");
        };
        check("1:40", 25.0);
        check("1 in 80", 12.5);
        check("25 mm/m", 25.0);
        check("12,5 mm per m", 12.5);
        check("2.5 %", 25.0);
        check("10", 10.0);
        check("-1:200", -5.0);
        check("rising 1:200", -5.0);
        check("level", 0.0);
        check("falls 1:40 (25 mm per m)", 25.0);
        check("rises 1:200 (5 mm per m)", -5.0);
    }

    #[test]
    fn what_is_no_fall_is_refused() {
        for text in ["", "steep", "1:0", "1:2", "50 %", "1:40:2", "NaN"] {
            assert!(Gradient::parse(text).is_err(), "{text}");
        }
        let unclear = Gradient::parse("2,125 %").expect_err("a thousand or so");
        assert!(unclear.to_string().contains("may mean 2125 or 2.125"), "{unclear}");
    }

    #[test]
    fn a_fall_is_told_both_ways() {
        assert_eq!(Gradient(25.0).words(), "falls 1:40 (25 mm per m)");
        assert_eq!(Gradient(-5.0).words(), "rises 1:200 (5 mm per m)");
        assert_eq!(Gradient(0.0).words(), "level");
        for (fall, typed) in [(25.0, "1:40"), (-5.0, "rises 1:200"), (0.0, "level")] {
            assert_eq!(Gradient(fall).typed(), typed);
            assert_eq!(Gradient::parse(typed), Ok(Gradient(fall)));
        }
    }
}
