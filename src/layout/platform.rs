//! Platforms: a board on bearers, on a frame over them, or straight on the joists, under a cistern or a cylinder.

use glam::DVec2;
use serde::{Deserialize, Serialize};

use super::building::{centre_lines_between_mm, centre_lines_mm};
use super::{Id, Layout, Lie};
use crate::catalogue::{PlyClass, StrengthClass};
use crate::geom::Point;
use crate::units::{Length, Level, Mass, Size};

/// What stands on a platform touches it within this, mm.
const TOUCHES_WITHIN_MM: f64 = 1.0;
/// A board whose thickness is not told is drawn this thick, mm: as the thinnest that is usual.
pub const UNTOLD_BOARD_MM: f64 = 18.0;

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
    /// The frame between board and bearers, or joists where there are no bearers; none stated means that there is none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub frame: Option<Frame>,
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

/// A braced timber frame that holds a board up: its uprights stand on the bearers, or on the joists where there are none,
/// directly below where the board would rest on those, and the board lies on its rails. Its timbers are not told.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Frame {
    /// From what its uprights stand on to the underside of the board.
    pub height: Size,
}

impl Bearers {
    /// Centre lines from the platform's edge, in order.
    pub fn centres_mm(&self) -> impl Iterator<Item = f64> + '_ {
        centre_lines_mm(self.first, self.spacing, self.count)
    }

    /// Centre lines from one place to another, from the platform's edge in mm.
    pub fn centres_between_mm(&self, from_mm: f64, to_mm: f64) -> impl Iterator<Item = f64> + '_ {
        centre_lines_between_mm(self.first, self.spacing, self.count, (from_mm, to_mm)).map(|(_, mm)| mm)
    }
}

impl Layout {
    /// A part, and whatever stands on it if it is a platform: what moves when it is moved.
    #[must_use]
    pub fn with_what_stands_on(&self, id: &Id) -> Vec<Id> {
        let mut moving = vec![id.clone()];
        if let Some(platform) = self.platform(id) {
            let cisterns = self.cisterns.iter().filter(|part| platform.bears(part.at.z, part.span_mm()));
            moving.extend(cisterns.map(|part| part.id.clone()));
            let cylinders = self.cylinders.iter().filter(|part| platform.bears(part.at.z, part.span_mm()));
            moving.extend(cylinders.map(|part| part.id.clone()));
        }
        moving
    }
}

impl Platform {
    /// A platform of which nothing is told but where it is and how long.
    #[must_use]
    pub const fn new(id: Id, at: Point, length: Size) -> Self {
        Self {
            id,
            at,
            length,
            depth: None,
            behind: None,
            board: None,
            bearers: None,
            frame: None,
            confirmed_load: None,
        }
    }

    /// How thick its board is drawn, mm.
    #[must_use]
    pub fn drawn_board_mm(&self) -> f64 {
        self.board.and_then(|board| board.thickness).map_or(UNTOLD_BOARD_MM, Size::to_mm)
    }

    /// Moves it. A frame goes on standing where it stands, and is made so much higher or lower; one of which nothing would
    /// be left stays as it is told.
    pub(super) fn shift(&mut self, by: DVec2) {
        self.at = self.at.moved(by);
        if let Some(frame) = &mut self.frame
            && let Ok(height) = Size::try_mm(frame.height.to_mm() + by.y)
        {
            frame.height = height;
        }
    }

    /// Level of the underside of its board, mm; of its upper face where nobody has told how thick it is.
    #[must_use]
    pub fn underside_mm(&self) -> f64 {
        self.at.z.to_mm() - self.board.and_then(|board| board.thickness).map_or(0.0, Size::to_mm)
    }

    /// Level of what it stands on: the underside of its bearers, or the foot of its frame, or the underside of its board,
    /// mm.
    #[must_use]
    pub fn foot_mm(&self) -> f64 {
        self.underside_mm() - self.stands_up_mm()
    }

    /// How high the frame below its board is, mm; nothing where there is none.
    #[must_use]
    pub fn frame_mm(&self) -> f64 {
        self.frame.map_or(0.0, |frame| frame.height.to_mm())
    }

    /// What it measures across bearers that run so, mm; `None` where that is its depth and nobody has told it.
    #[must_use]
    pub fn across_mm(&self, bearers: Lie) -> Option<f64> {
        match bearers {
            Lie::EndOn => Some(self.length.to_mm()),
            Lie::Along => self.depth.map(Size::to_mm),
        }
    }

    /// How far its frame and its bearers together reach down from the board, mm.
    #[must_use]
    pub fn stands_up_mm(&self) -> f64 {
        self.frame_mm() + self.bearers.as_ref().map_or(0.0, |bearers| bearers.depth.to_mm())
    }

    /// Whether something stands on it that spans `from_mm` to `to_mm` with its base at a level: more of it over the
    /// board than beside it.
    fn bears(&self, base: Level, (from_mm, to_mm): (f64, f64)) -> bool {
        let (left, right) = self.span_mm();
        let over_mm = to_mm.min(right) - from_mm.max(left);
        (self.at.z.to_mm() - base.to_mm()).abs() <= TOUCHES_WITHIN_MM && over_mm * 2.0 > to_mm - from_mm
    }

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
