//! The building around the system: storeys, loft ceiling, joists, roof line, hatch, walls.

use std::fmt;

use serde::de::value::MapAccessDeserializer;
use serde::de::{Error as _, IgnoredAny, MapAccess, SeqAccess, Visitor};
use serde::ser::SerializeSeq;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::{Board, Id};
use crate::catalogue::StrengthClass;
use crate::geom::{Point, Polyline};
use crate::units::{Length, Level, Pressure, Size, SurfaceLoad};

/// What of the building is known.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Building {
    /// Floors, lowest first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub storeys: Vec<Storey>,
    /// The ceiling below the loft.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ceiling: Option<Ceiling>,
    /// What carries the loft.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub joists: Option<Joists>,
    /// The underside of the roof.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub roof: Option<Roof>,
    /// The way into the loft: an opening, or `[]` where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hatch: Option<LoftHatch>,
    /// Upright walls in the section.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub walls: Vec<Wall>,
    /// Pressure of the main where it comes in, kPa.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mains_pressure: Option<Pressure>,
}

/// A storey, by its finished floor.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Storey {
    /// Readable id.
    pub id: Id,
    /// Finished floor level.
    pub floor: Level,
    /// What the floor is decked with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub deck: Option<Board>,
}

impl Storey {
    /// Level of the underside of its deck, mm; that of the floor where no thickness is told.
    #[must_use]
    pub fn underside_mm(&self) -> f64 {
        self.floor.to_mm() - self.deck.and_then(|deck| deck.thickness).map_or(0.0, Size::to_mm)
    }
}

/// The ceiling below the loft.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ceiling {
    /// Level of its underside.
    pub underside: Level,
    /// Thickness of the board.
    pub thickness: Size,
}

/// A row of joists, bearers or trussed rafters under the loft.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Joists {
    /// Level of their top edge.
    pub top: Level,
    /// Centre line of the first: x where they are seen end-on, distance behind the section where they lie along it.
    pub first: Length,
    /// Centre to centre.
    pub spacing: Size,
    /// How many.
    pub count: u32,
    /// Thickness of one, across.
    pub breadth: Size,
    /// Height of one.
    pub depth: Size,
    /// Which way they run.
    #[serde(default)]
    pub lie: Lie,
    /// Joists or trussed rafters.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind: Option<SupportKind>,
    /// Strength class of the timber.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<StrengthClass>,
    /// Whether any is notched or drilled near the platform.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub notched: Option<bool>,
    /// From support to support, of the span in which the platform stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub span: Option<Size>,
    /// Where that span begins: distance behind the section where they are seen end-on, x where they lie along it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub span_from: Option<Length>,
    /// Ceiling and insulation that hang on them, without their own weight.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ceiling_load: Option<SurfaceLoad>,
    /// What may be stored on them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub storage_load: Option<SurfaceLoad>,
    /// How damp the loft is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub service_class: Option<ServiceClass>,
    /// As what cisterns are reckoned; untold, the harsher answer judges.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load_duration: Option<LoadDuration>,
}

/// Which way timbers run.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Lie {
    /// Away from the viewer: each is seen end-on.
    #[default]
    EndOn,
    /// Along the section: one is seen from its side, the others stand behind it.
    Along,
}

impl Lie {
    /// How timbers run that lie across those which run so.
    #[must_use]
    pub const fn crossing(self) -> Self {
        match self {
            Self::EndOn => Self::Along,
            Self::Along => Self::EndOn,
        }
    }
}

/// What a row of timbers is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum SupportKind {
    /// Solid joists.
    Joist,
    /// The bottom ties of trussed rafters, which are not joists.
    TrussedRafter,
}

/// How damp the air is in which timber stands, EN 1995-1-1 clause 2.3.1.3 (from memory).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum ServiceClass {
    /// Class 1: heated rooms.
    Dry,
    /// Class 2: under cover and ventilated, such as a cold loft.
    Covered,
    /// Class 3: in the weather, or in steam.
    Damp,
}

impl ServiceClass {
    /// All of them, driest first.
    pub const ALL: [Self; 3] = [Self::Dry, Self::Covered, Self::Damp];

    /// The class in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Dry => "service class 1, heated",
            Self::Covered => "service class 2, ventilated loft",
            Self::Damp => "service class 3, damp",
        }
    }
}

/// As what the load of a cistern is reckoned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum LoadDuration {
    /// Permanent: it is never lifted off the timber.
    Permanent,
    /// Long-term: a load that may be taken away, if seldom.
    LongTerm,
}

impl LoadDuration {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Permanent, Self::LongTerm];

    /// The duration in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Permanent => "permanent",
            Self::LongTerm => "long-term",
        }
    }
}

/// The underside of the roof: rafters or boarding, as a bent line from left to right.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Roof {
    /// Vertices from left to right.
    pub underside: Vec<Point>,
}

/// What is known of the way into the loft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LoftHatch {
    /// There is none; written `[]`, as every list that says that there is nothing in it.
    Missing,
    /// An opening.
    Opening(Hatch),
}

/// The clear opening into the loft.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hatch {
    /// Left edge of the opening.
    pub x: Length,
    /// Clear size along the section.
    pub length: Size,
    /// Clear size front to back.
    pub width: Size,
}

/// An upright wall.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wall {
    /// Left face.
    pub x: Length,
    /// Thickness.
    pub thickness: Size,
    /// Level of its foot.
    pub foot: Level,
    /// Level of its head.
    pub head: Level,
}

impl Building {
    /// The opening into the loft, where there is one and it is told.
    #[must_use]
    pub const fn opening(&self) -> Option<Hatch> {
        match self.hatch {
            Some(LoftHatch::Opening(hatch)) => Some(hatch),
            Some(LoftHatch::Missing) | None => None,
        }
    }
}

impl Serialize for LoftHatch {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Missing => serializer.serialize_seq(Some(0))?.end(),
            Self::Opening(hatch) => hatch.serialize(serializer),
        }
    }
}

impl<'de> Deserialize<'de> for LoftHatch {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct OpeningOrNone;
        impl<'de> Visitor<'de> for OpeningOrNone {
            type Value = LoftHatch;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a hatch (x: …, length: …, width: …), or [] where there is none")
            }
            fn visit_unit<E: serde::de::Error>(self) -> Result<LoftHatch, E> {
                // Any bare word arrives here.
                Err(E::custom("write [] where there is no hatch"))
            }
            fn visit_map<A: MapAccess<'de>>(self, fields: A) -> Result<LoftHatch, A::Error> {
                Hatch::deserialize(MapAccessDeserializer::new(fields)).map(LoftHatch::Opening)
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut entries: A) -> Result<LoftHatch, A::Error> {
                match entries.next_element::<IgnoredAny>()? {
                    None => Ok(LoftHatch::Missing),
                    Some(_) => Err(A::Error::custom("one hatch is written without the square brackets")),
                }
            }
        }
        deserializer.deserialize_any(OpeningOrNone)
    }
}

impl Roof {
    /// The underside as a line; `None` when it has fewer than two different points.
    #[must_use]
    pub fn line(&self) -> Option<Polyline> {
        Polyline::through(self.underside.iter().map(|point| point.vector()))
    }
}

impl Joists {
    /// Joists that are seen end-on, of which nothing is told but where they are and their section.
    #[must_use]
    pub const fn new(top: Level, first: Length, spacing: Size, count: u32, (breadth, depth): (Size, Size)) -> Self {
        Self {
            top,
            first,
            spacing,
            count,
            breadth,
            depth,
            lie: Lie::EndOn,
            kind: None,
            grade: None,
            notched: None,
            span: None,
            span_from: None,
            ceiling_load: None,
            storage_load: None,
            service_class: None,
            load_duration: None,
        }
    }

    /// Centre lines, in order.
    pub fn centres_mm(&self) -> impl Iterator<Item = f64> + '_ {
        centre_lines_mm(self.first, self.spacing, self.count)
    }

    /// Centre lines from one place to another in mm, each with its number in the row.
    pub fn centres_between_mm(&self, from_mm: f64, to_mm: f64) -> impl Iterator<Item = (usize, f64)> + '_ {
        centre_lines_between_mm(self.first, self.spacing, self.count, (from_mm, to_mm))
    }
}

/// Centre lines of evenly spaced timbers from one place to another in mm, each with its number in the row. However long
/// the row is, those before are not counted through.
pub(super) fn centre_lines_between_mm(
    first: Length,
    spacing: Size,
    count: u32,
    (from_mm, to_mm): (f64, f64),
) -> impl Iterator<Item = (usize, f64)> {
    let (first_mm, spacing_mm) = (first.to_mm(), spacing.to_mm());
    let before = ((from_mm - first_mm) / spacing_mm).ceil().clamp(0.0, f64::from(count));
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held between nothing and a u32")]
    let before = before as u32;
    (before..count)
        .map(move |number| (number as usize, first_mm + f64::from(number) * spacing_mm))
        .take_while(move |(_, mm)| *mm <= to_mm)
}

/// Centre lines of evenly spaced timbers in mm.
pub(super) fn centre_lines_mm(first: Length, spacing: Size, count: u32) -> impl Iterator<Item = f64> {
    (0..count).map(move |index| first.to_mm() + f64::from(index) * spacing.to_mm())
}
