//! The building around the system: storeys, loft ceiling, joists, roof line, hatch, walls.

use serde::{Deserialize, Serialize};

use super::{Board, Id};
use crate::geom::{Point, Polyline};
use crate::units::{Length, Level, Pressure, Size};

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
    /// The way into the loft.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hatch: Option<Hatch>,
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

/// What a row of timbers is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum SupportKind {
    /// Solid joists.
    Joist,
    /// The bottom ties of trussed rafters, which are not joists.
    TrussedRafter,
}

/// Strength class of solid timber, EN 338.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum StrengthClass {
    /// EN 338 class C14.
    C14,
    /// EN 338 class C16.
    C16,
    /// EN 338 class C24.
    C24,
}

/// The underside of the roof: rafters or boarding, as a bent line from left to right.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Roof {
    /// Vertices from left to right.
    pub underside: Vec<Point>,
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

impl Roof {
    /// The underside as a line; `None` when it has fewer than two different points.
    #[must_use]
    pub fn line(&self) -> Option<Polyline> {
        Polyline::through(self.underside.iter().map(|point| point.vector()))
    }
}

impl Joists {
    /// Centre lines, in order.
    pub fn centres_mm(&self) -> impl Iterator<Item = f64> + '_ {
        centre_lines_mm(self.first, self.spacing, self.count)
    }
}

/// Centre lines of evenly spaced timbers in mm.
pub(super) fn centre_lines_mm(first: Length, spacing: Size, count: u32) -> impl Iterator<Item = f64> {
    (0..count).map(move |index| first.to_mm() + f64::from(index) * spacing.to_mm())
}
