//! Platforms: a board on bearers or straight on the joists, under a cistern or a cylinder.

use serde::{Deserialize, Serialize};

use super::building::centre_lines_mm;
use super::{Id, Lie};
use crate::catalogue::{PlyClass, StrengthClass};
use crate::geom::Point;
use crate::units::{Length, Mass, Size};

/// A platform.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Platform {
    /// Readable id.
    pub id: Id,
    /// Left end and upper face: what stands on it stands at this level.
    pub at: Point,
    /// Size along the section.
    pub length: Size,
    /// Size front to back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth: Option<Size>,
    /// How far its middle lies behind the section plane.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub behind: Option<Length>,
    /// What it is boarded with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub board: Option<Board>,
    /// Bearers between board and joists; none stated means the board lies on the joists.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bearers: Option<Bearers>,
    /// The load which a competent person has confirmed that it and what is below it carry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub confirmed_load: Option<Mass>,
}

/// A board: material, thickness and class.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Board {
    /// What it is made of.
    pub material: BoardMaterial,
    /// Thickness.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Size>,
    /// Class that is stamped on plywood.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub class: Option<PlyClass>,
}

/// What a board is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum BoardMaterial {
    /// Marine plywood.
    MarinePly,
    /// Exterior plywood.
    ExteriorPly,
    /// Softwood boarding.
    Softwood,
    /// Plain chipboard.
    Chipboard,
    /// Moisture-resistant chipboard, class P5.
    ChipboardP5,
    /// Oriented strand board, class OSB/3.
    Osb3,
    /// A concrete or screeded floor.
    Concrete,
}

impl BoardMaterial {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 7] = [
        Self::MarinePly,
        Self::ExteriorPly,
        Self::Softwood,
        Self::Osb3,
        Self::ChipboardP5,
        Self::Chipboard,
        Self::Concrete,
    ];

    /// The material in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::MarinePly => "marine ply",
            Self::ExteriorPly => "exterior ply",
            Self::Softwood => "softwood boarding",
            Self::Chipboard => "chipboard",
            Self::ChipboardP5 => "P5 chipboard",
            Self::Osb3 => "OSB/3",
            Self::Concrete => "concrete",
        }
    }
}

/// Bearers laid across the joists below a platform.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bearers {
    /// How many.
    pub count: u32,
    /// Centre to centre.
    pub spacing: Size,
    /// From the platform's left end (end-on) or front edge (along) to the first centre line.
    pub first: Length,
    /// Thickness of one, across.
    pub breadth: Size,
    /// Height of one.
    pub depth: Size,
    /// Which way they run.
    #[serde(default)]
    pub lie: Lie,
    /// Strength class of the timber.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<StrengthClass>,
}

impl Bearers {
    /// Centre lines from the platform's edge, in order.
    pub fn centres_mm(&self) -> impl Iterator<Item = f64> + '_ {
        centre_lines_mm(self.first, self.spacing, self.count)
    }
}

impl Platform {
    /// Front and back faces as distances behind the section plane, where they are told.
    #[must_use]
    pub fn front_and_back_mm(&self) -> Option<(f64, f64)> {
        let half = self.depth?.to_mm() / 2.0;
        let middle = self.behind?.to_mm();
        Some((middle - half, middle + half))
    }

    /// Left and right ends in mm.
    #[must_use]
    pub fn span_mm(&self) -> (f64, f64) {
        let left = self.at.x.to_mm();
        (left, left + self.length.to_mm())
    }
}
