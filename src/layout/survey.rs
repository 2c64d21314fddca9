//! The title block, and how the dimensions came about: designed, or measured with a tape.

use serde::{Deserialize, Serialize};

/// The title block of a layout. Every line may be empty.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Heading {
    /// What the drawing shows.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub title: String,
    /// Where the system is, or is to be.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub address: String,
    /// Who drew it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub drawn_by: String,
    /// When, as the drawer writes dates.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub date: String,
    /// Which state of the drawing this is, such as B or 2.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub revision: String,
    /// What a reader should know of the scale, such as "do not scale".
    #[serde(skip_serializing_if = "String::is_empty")]
    pub scale_note: String,
    /// The shipped profile under which it is to be judged; none stated means the usual one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub profile: Option<String>,
    /// Anything else that a reader should know.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub notes: String,
}

/// How the dimensions of a layout came about; decides the margin of every measure.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Survey {
    /// Set out on paper: dimensions are exact.
    #[default]
    Designed,
    /// Measured on site with a tape of this class.
    Surveyed(TapeClass),
}

/// Accuracy class of a measuring tape, SI 2016/1153 Schedule 1I (seen).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum TapeClass {
    /// Class I: 0.1 + 0.1 L mm.
    I,
    /// Class II: 0.3 + 0.2 L mm.
    II,
    /// Class III: 0.6 + 0.4 L mm.
    III,
}

impl TapeClass {
    /// Greatest permitted error in mm of a length measured with this tape, L in metres rounded up
    /// (SI 2016/1153 Schedule 1I, instrument-specific requirements for material measures of length).
    #[must_use]
    pub fn greatest_error_mm(self, length_mm: f64) -> f64 {
        let (constant, per_metre) = match self {
            Self::I => (0.1, 0.1),
            Self::II => (0.3, 0.2),
            Self::III => (0.6, 0.4),
        };
        constant + per_metre * (length_mm.abs() / 1000.0).ceil()
    }

    /// By how much more any of these tapes may err when a length grows by `by_mm`: class III, and a metre begun.
    #[must_use]
    pub fn at_most_more_mm(by_mm: f64) -> f64 {
        let per_metre = Self::III.greatest_error_mm(1000.0) - Self::III.greatest_error_mm(0.0);
        per_metre * (1.0 + by_mm / 1000.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// SI 2016/1153 Schedule 1I, class II; 1.3 and 2.3 mm also stand in trade pages.
    #[test]
    fn class_two_tape() {
        for (metres, error_mm) in [(0.4, 0.5), (2.3, 0.9), (5.0, 1.3), (10.0, 2.3)] {
            assert!((TapeClass::II.greatest_error_mm(metres * 1000.0) - error_mm).abs() < 1e-12);
        }
    }
}
