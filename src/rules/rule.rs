//! What a rule is.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::{Judged, Prose};
use crate::heat::Warmth;
use crate::measure::{BroughtBy, Have, Reading, Room, Site};
use crate::timber::LoadPath;
use crate::units::{Amount, Unit};
use crate::water::Running;

/// An entry of the rule table.
pub struct Rule {
    /// Names the fault in trade words.
    pub id: &'static str,
    /// What is read.
    pub measure: Measure,
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
    /// What other sources say, and which: shown beside the limit, which judges.
    pub others_say: &'static [Other],
    /// What may be moved to put it right, best first.
    pub levers: &'static [Lever],
    /// The prose file: its titles and three readings.
    pub prose: Prose,
}

impl Rule {
    /// On whose authority the rule stands, where that is written, and whether it was seen there.
    #[must_use]
    pub fn authority(&self) -> String {
        authority(self.basis, self.source, self.seen)
    }
}

fn authority(basis: Basis, source: &str, seen: bool) -> String {
    let basis = basis.words();
    let source = if source.starts_with(basis) { source.to_owned() } else { format!("{basis}: {source}") };
    match (seen, source.contains("no source") || source.contains("memory")) {
        (true, _) => format!("{source} (seen)"),
        (false, true) => source,
        (false, false) => format!("{source} (from memory)"),
    }
}

/// Where a rule stands under a profile, where that is not as the table has it.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// On whose authority.
    pub basis: Basis,
    /// Where that stands.
    pub words: String,
    /// Whether the source was seen.
    #[serde(default)]
    pub seen: bool,
}

impl Source {
    /// On whose authority the rule stands, where that is written, and whether it was seen there.
    #[must_use]
    pub fn authority(&self) -> String {
        authority(self.basis, &self.words, self.seen)
    }
}

/// What a rule reads: a pure function, by what it has to look at.
#[derive(Clone, Copy)]
pub enum Measure {
    /// Looks at what is drawn and told.
    OfSite(fn(&Site<'_>) -> Vec<Reading>),
    /// Looks at what carries the weight, worked out once.
    OfTimber(fn(&LoadPath) -> Vec<Reading>),
    /// Looks at what heat does to it.
    OfHeat(fn(&Warmth) -> Vec<Reading>),
    /// Looks at what runs where.
    OfWater(fn(&Running<'_>) -> Vec<Reading>),
}

/// What another source says of the same thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Other {
    /// What it says.
    pub words: &'static str,
    /// Where that stands.
    pub source: &'static str,
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
    /// That it is so within so many mm along a pipe: further off it is not, nor where so much is drawn without it.
    YesWithin(f64),
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
        /// What is counted in metres.
        of: &'static str,
    },
    /// So many times what the reading is set against.
    Times {
        /// The factor.
        factor: f64,
        /// What the reading is set against, in words.
        of: &'static str,
        /// The unit of both.
        unit: Unit,
    },
    /// So many times what the reading is set against, and never less than so much; mm.
    TimesButAtLeast {
        /// The factor.
        factor: f64,
        /// The floor, mm.
        floor_mm: f64,
        /// What the reading is set against, in words.
        of: &'static str,
    },
    /// By the outside diameter that the reading is set against: up to a diameter, so much; mm.
    BySize(&'static [(f64, f64)]),
    /// By how many there are of what the reading is set against: from a count on, so much; for fewer nothing at all.
    ByCount {
        /// Counts, rising, each with the bound from there on.
        rows: &'static [(f64, f64)],
        /// The count at which the table ends: over more, no more is known to be too much.
        known_to: f64,
        /// What is counted.
        of: &'static str,
        /// The unit of the bound.
        unit: Unit,
    },
}

impl Bound {
    /// The bound for a reading: value, and how strongly it hangs on what the reading is set against.
    #[must_use]
    pub fn for_reading(&self, reading: &Reading) -> Option<(Amount, f64)> {
        match *self {
            Self::Constant(value, unit) => Some((unit.of(value), 0.0)),
            Self::PerMetre { constant_mm, per_metre_mm, .. } => {
                let slope = per_metre_mm / 1000.0;
                let value = constant_mm + slope * reading.against?.value;
                Some((Amount::mm(value), slope))
            }
            Self::Times { factor, unit, .. } => Some((unit.of(factor * reading.against?.value), factor)),
            Self::TimesButAtLeast { factor, floor_mm, .. } => {
                let value = factor * reading.against?.value;
                Some(if value >= floor_mm { (Amount::mm(value), factor) } else { (Amount::mm(floor_mm), 0.0) })
            }
            Self::BySize(rows) => {
                let size_mm = reading.against?.value;
                let row = rows.iter().find(|(up_to_mm, _)| size_mm <= *up_to_mm).or(rows.last())?;
                Some((Amount::mm(row.1), 0.0))
            }
            Self::ByCount { rows, unit, .. } => {
                let count = reading.against?.value;
                let value = rows.iter().rev().find(|(from, _)| count >= *from).map_or(0.0, |row| row.1);
                Some((unit.of(value), 0.0))
            }
        }
    }

    /// What to find out where a reading is more than the last row of a table allows, and its count is beyond that row.
    fn beyond_its_rows(&self, reading: &Reading) -> Option<String> {
        let (need, _) = self.for_reading(reading)?;
        match (self, &reading.have, reading.against) {
            (Self::ByCount { known_to, of, .. }, Have::Amount(have, _), Some(count))
                if count.value > *known_to && have.value > need.value =>
            {
                Some(format!(
                    "have an engineer give a figure for {:.0} {of}: the source ends at {known_to:.0}, with {need}",
                    count.value
                ))
            }
            _ => None,
        }
    }
}

impl fmt::Display for Bound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Constant(value, unit) => write!(f, "{}", unit.of(value)),
            Self::PerMetre { constant_mm, per_metre_mm, of } => {
                write!(f, "{constant_mm} mm + {per_metre_mm} mm per metre of {of}")
            }
            Self::Times { factor: 1.0, of, .. } => write!(f, "{of}"),
            Self::Times { factor, of, .. } => write!(f, "{factor} × {of}"),
            Self::TimesButAtLeast { factor, floor_mm, of } => {
                write!(f, "the greater of {floor_mm} mm and {factor} × {of}")
            }
            Self::BySize(rows) => {
                let row = |(up_to_mm, mm): &(f64, f64)| match up_to_mm.is_finite() {
                    true => format!("{mm} mm up to {up_to_mm} mm tube"),
                    false => format!("{mm} mm for larger tube"),
                };
                write!(f, "{}", rows.iter().map(row).collect::<Vec<_>>().join(", "))
            }
            Self::ByCount { rows, of, unit, .. } => {
                let row = |(count, value): &(f64, f64)| format!("{} from {count} {of}", unit.of(*value));
                write!(f, "{}, nothing over fewer", rows.iter().map(row).collect::<Vec<_>>().join(", "))
            }
        }
    }
}

impl Limit {
    /// What to find out where it asks nothing definite of a reading.
    #[must_use]
    pub fn find_out(&self, reading: &Reading) -> Option<String> {
        match (self, &reading.have) {
            (Self::AtLeast(bound) | Self::MoreThan(bound) | Self::AtMost(bound), Have::Amount(..)) => {
                bound.beyond_its_rows(reading)
            }
            _ => None,
        }
    }

    /// The bound, where it is one number for all.
    #[must_use]
    pub const fn constant(&self) -> Option<Amount> {
        match *self {
            Self::AtLeast(Bound::Constant(value, unit))
            | Self::MoreThan(Bound::Constant(value, unit))
            | Self::AtMost(Bound::Constant(value, unit)) => Some(unit.of(value)),
            _ => None,
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
            Self::Yes | Self::YesWithin(_) => write!(f, "yes"),
        }
    }
}

/// How much hangs on a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all(serialize = "lowercase"))]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all(serialize = "lowercase"))]
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
    /// Moving something by what is missing: "Raise the open end of the vent", to which "by 85 mm" is added.
    /// In all of them `{side}` stands for the side that the reading is about, and `{need}` for what the rule asks.
    By(&'static str),
    /// The same, where it takes from room that the reading tells, and only as far as that goes.
    Into(Room, &'static str),
    /// Moving something else by what the reading tells, where that puts it right as well.
    Instead(&'static str),
    /// Doing something that has no number: "fit a full-way gate valve in the cold feed".
    Do(&'static str),
    /// The same, where it eases what is there and does nothing where there is none: a larger tube.
    Ease(&'static str),
    /// The same, where none of the levers before it can be done.
    Else(&'static str),
    /// The same, where what is missing is said in the first words: there nothing else helps.
    Only(&'static str, &'static str),
    /// The same, unless something else brings the water.
    Where(BroughtBy, &'static str),
    /// Moving something by what is missing, unless something else brings the water.
    WhereBy(BroughtBy, &'static str),
}

impl Lever {
    /// What to do, in words, with the side, the bound and the amount put in. Begins with a capital.
    #[must_use]
    pub fn words(&self, side: &str, need: Option<Amount>, by: Option<Amount>) -> String {
        let (Self::By(words)
        | Self::Into(_, words)
        | Self::Instead(words)
        | Self::Do(words)
        | Self::Ease(words)
        | Self::Else(words)
        | Self::Only(_, words)
        | Self::Where(_, words)
        | Self::WhereBy(_, words)) = self;
        let need = need.map(|need| need.to_string()).unwrap_or_default();
        let words = words.replace("{side}", side).replace("{need}", &need);
        match (self, by) {
            (Self::By(_) | Self::Into(..) | Self::Instead(_) | Self::WhereBy(..), Some(by)) => {
                format!("{words} by {by}")
            }
            (_, None) | (Self::Do(_) | Self::Ease(_) | Self::Else(_) | Self::Only(..) | Self::Where(..), _) => words,
        }
    }

    /// How far something is moved for a reading, and so judged, where it has a number.
    #[must_use]
    pub fn amount(&self, reading: &Reading, judged: &Judged) -> Option<Amount> {
        match self {
            Self::Instead(_) => reading.room_mm(Room::Instead).map(Amount::mm),
            _ => judged.remedy,
        }
    }

    /// Whether it can be done for a reading, and so judged.
    #[must_use]
    pub fn serves(&self, reading: &Reading, judged: &Judged) -> bool {
        let room = match (self, &reading.have) {
            (Self::Only(missing, _), have) => return matches!(have, Have::No(said) if said == missing),
            (Self::Do(_) | Self::Else(_), _) => return true,
            (Self::Where(brought_by, _) | Self::WhereBy(brought_by, _), _) => {
                return reading.brought_by.is_none_or(|told| told == *brought_by);
            }
            // What is missing altogether is fitted, not moved or eased.
            (_, Have::No(_)) => return false,
            // Wide tubes make more of a flow, and none of none.
            (Self::Ease(_), Have::Amount(have, _)) => return have.value > 0.0,
            (Self::By(_) | Self::Ease(_), _) => return true,
            (Self::Instead(_), _) => {
                let then_mm = reading.room_mm(Room::Then);
                return then_mm.zip(judged.need).is_some_and(|(mm, need)| mm >= need.value + judged.margin);
            }
            (Self::Into(room, _), _) => *room,
        };
        let Some(by) = judged.remedy else { return true };
        // The opposite side keeps to the same limit; of what is free nothing has to be left.
        let keeps = match room {
            Room::Opposite => judged.need.map_or(0.0, |need| need.value) + judged.margin,
            Room::Above | Room::Below | Room::Water | Room::Rise | Room::Sink | Room::Instead | Room::Then => 0.0,
        };
        reading.room_mm(room).is_none_or(|has_mm| has_mm - by.value >= keeps)
    }
}

/// The source of a rule that stands on practice alone.
pub(super) const NO_SOURCE: &str = "common practice, no source";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::Id;
    use crate::rules::judge;
    use crate::units::Measured;

    #[test]
    fn wider_tubes_make_more_of_a_flow_and_none_of_none() {
        let wider = Lever::Ease("Take a larger tube");
        let serves = |flow_l_s: f64| {
            let reading = Reading::amount(&Id::of("tap"), Measured::exact(flow_l_s), Unit::LitrePerSecond);
            wider.serves(&reading, &judge(Limit::AtLeast(Bound::Constant(0.1, Unit::LitrePerSecond)), 2.0, &reading))
        };
        assert!(serves(0.05));
        assert!(!serves(0.0));
    }
}
