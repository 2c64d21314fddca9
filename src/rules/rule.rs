//! What a rule is.

use std::fmt;

use serde::Serialize;

use super::Prose;
use crate::measure::{Reading, Site};
use crate::units::{Amount, Unit};

/// An entry of the rule table.
pub struct Rule {
    /// Names the fault in trade words.
    pub id: &'static str,
    /// What is looked at, from the whole site.
    pub measure: fn(&Site<'_>) -> Vec<Reading>,
    /// What is asked of it.
    pub limit: Limit,
    /// How much hangs on it.
    pub weight: Weight,
    /// On whose authority.
    pub basis: Basis,
    /// Where that stands.
    pub source: &'static str,
    /// Whether the source was seen; otherwise the value is from memory or from practice.
    pub seen: bool,
    /// What may be moved to put it right, best first.
    pub levers: &'static [Lever],
    /// The prose file: title and three readings.
    pub prose: Prose,
}

/// What is asked of a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// No less than the bound.
    AtLeast(Bound),
    /// More than the bound.
    MoreThan(Bound),
    /// No more than the bound.
    AtMost(Bound),
    /// One of these words.
    OneOf(&'static [&'static str]),
    /// None of these words.
    NoneOf(&'static [&'static str]),
    /// That it is told at all.
    Told,
    /// That it is so.
    Yes,
}

/// A bound on a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bound {
    /// The same for every layout.
    Constant(f64, Unit),
    /// So much, and more for each metre of what the reading is set against; mm.
    PerMetre {
        /// What is asked in any case, mm.
        constant_mm: f64,
        /// What is asked for each metre, mm.
        per_metre_mm: f64,
    },
    /// So many times what the reading is set against.
    Times(f64, Unit),
}

impl Bound {
    /// The bound for a reading: value, and how strongly it hangs on what the reading is set against.
    #[must_use]
    pub fn for_reading(&self, reading: &Reading) -> Option<(Amount, f64)> {
        match *self {
            Self::Constant(value, unit) => Some((Amount { value, unit }, 0.0)),
            Self::PerMetre { constant_mm, per_metre_mm } => {
                let slope = per_metre_mm / 1000.0;
                let value = constant_mm + slope * reading.against?.value;
                Some((Amount::mm(value), slope))
            }
            Self::Times(factor, unit) => Some((Amount { value: factor * reading.against?.value, unit }, factor)),
        }
    }
}

impl fmt::Display for Bound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Constant(value, unit) => write!(f, "{}", Amount { value, unit }),
            Self::PerMetre { constant_mm, per_metre_mm } => {
                write!(f, "{constant_mm} mm + {per_metre_mm} mm per metre")
            }
            Self::Times(1.0, _) => write!(f, "what it is set against"),
            Self::Times(factor, _) => write!(f, "{factor} times what it is set against"),
        }
    }
}

impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::AtLeast(bound) => write!(f, "at least {bound}"),
            Self::MoreThan(bound) => write!(f, "more than {bound}"),
            Self::AtMost(bound) => write!(f, "at most {bound}"),
            Self::OneOf(words) => write!(f, "{}", words.join(" or ")),
            Self::NoneOf(words) => write!(f, "neither {}", words.join(" nor ")),
            Self::Told => write!(f, "told"),
            Self::Yes => write!(f, "yes"),
        }
    }
}

/// How much hangs on a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Weight {
    /// Danger, damage or foul water if broken.
    Must,
    /// Trouble sooner or later if broken.
    Should,
    /// Better so.
    Advice,
}

impl Weight {
    /// The weight in a word.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Must => "must",
            Self::Should => "should",
            Self::Advice => "advice",
        }
    }
}

/// On whose authority a rule stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Basis {
    /// Statute.
    Law,
    /// Official or water-industry guidance.
    Guidance,
    /// A British or European standard.
    Standard,
    /// A maker's requirement.
    Maker,
    /// Common practice of the trade.
    Practice,
}

impl Basis {
    /// The basis in a word or two.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Law => "law",
            Self::Guidance => "guidance",
            Self::Standard => "standard",
            Self::Maker => "maker's requirement",
            Self::Practice => "common practice",
        }
    }
}

/// Something that may be moved or changed to put a fault right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lever {
    /// Moving something by the shortfall: "raise the open end of the vent by {short}".
    By(&'static str),
    /// Doing something that has no number: "fit a full-way gate valve in the cold feed".
    Do(&'static str),
}

impl Lever {
    /// What to do, in words, with the shortfall put in. Begins with a capital.
    #[must_use]
    pub fn words(&self, short_by: Option<Amount>) -> String {
        match (self, short_by) {
            // At a bound that has to be passed, or within the margin, nothing is missing and yet it is not enough.
            (Self::By(words), Some(short)) if short.shows_as_nothing() => format!("{words} by a little"),
            (Self::By(words), Some(short)) => format!("{words} by {short}"),
            (Self::By(words) | Self::Do(words), _) => (*words).to_owned(),
        }
    }
}

/// The source of a rule that stands on practice alone.
pub(super) const NO_SOURCE: &str = "common practice, no source";
