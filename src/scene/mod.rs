//! The scene: drawing primitives in section millimetres, each with its origin. One scene feeds the window and every sheet.

use glam::DVec2;

use crate::finding::FindingKey;
use crate::layout::Id;
use crate::rules::Verdict;

/// Everything that is drawn, back to front.
#[derive(Debug, Clone, Default)]
pub struct Scene {
    /// The items, in painting order.
    pub items: Vec<Item>,
}

/// A primitive and where it comes from.
#[derive(Debug, Clone)]
pub struct Item {
    /// What it stands for.
    pub origin: Origin,
    /// What is drawn.
    pub shape: Shape,
}

/// What an item stands for.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Origin {
    /// The building.
    Building,
    /// A part.
    Part(Id),
    /// A finding's mark.
    Mark(FindingKey),
}

/// A primitive. Positions are section millimetres; pen widths and text heights are paper millimetres,
/// so that they stay the same at every scale.
#[derive(Debug, Clone)]
pub enum Shape {
    /// An open line.
    Line {
        /// Vertices.
        points: Vec<DVec2>,
        /// How it is drawn.
        pen: Pen,
    },
    /// A closed area: filled, outlined or both. Convex unless it only has a pen.
    Area {
        /// Vertices.
        points: Vec<DVec2>,
        /// What fills it.
        fill: Option<Ink>,
        /// Its outline.
        pen: Option<Pen>,
    },
    /// A pipe: a line as wide as the tube, in section millimetres.
    Pipe {
        /// Vertices.
        points: Vec<DVec2>,
        /// Outside diameter, mm.
        diameter_mm: f64,
        /// Its colour.
        ink: Ink,
    },
    /// A symbol of fixed size on paper.
    Symbol {
        /// Its middle.
        at: DVec2,
        /// Direction of the pipe that it sits in.
        along: DVec2,
        /// Which.
        symbol: Symbol,
        /// Its colour.
        ink: Ink,
    },
    /// Words.
    Text {
        /// Where they are anchored.
        at: DVec2,
        /// Offset from there, in paper millimetres, x right and y up.
        offset: DVec2,
        /// Which end of the words the anchor is.
        anchor: TextAnchor,
        /// The words.
        words: String,
        /// Their height.
        size: TextSize,
        /// Their colour.
        ink: Ink,
    },
    /// A dimension line between two points with its words.
    Dimension {
        /// From here.
        from: DVec2,
        /// To here.
        to: DVec2,
        /// Which way it is measured; the line runs parallel to this.
        upright: bool,
        /// Where the dimension line itself stands: x of an upright one, z of a level one.
        line_at: f64,
        /// The words on it.
        words: String,
        /// Its colour.
        ink: Ink,
    },
}

/// A pen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// Its colour.
    pub ink: Ink,
    /// Its width on paper.
    pub width: PenWidth,
    /// Whether it is broken.
    pub dashed: bool,
}

/// Pen widths of ISO 128-2.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PenWidth {
    /// 0.18 mm.
    Fine,
    /// 0.35 mm.
    Medium,
    /// 0.7 mm.
    Heavy,
}

/// Roles of colour; a theme says what each looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ink {
    /// The sheet.
    Paper,
    /// Outlines and words.
    Ink,
    /// What stands back: building, dimensions.
    Faint,
    /// Timber.
    Timber,
    /// Stored cold water.
    Water,
    /// Hot water.
    HotWater,
    /// Primary water.
    PrimaryWater,
    /// Insulation.
    Lagging,
    /// The red pencil of a breach.
    RedPencil,
    /// The pencil of what is marginal or unknown.
    GreyPencil,
}

/// Symbols that sit in or on pipes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Symbol {
    /// Full-way valve.
    FullWayValve,
    /// Stop or servicing valve.
    ServiceValve,
    /// Non-return valve.
    NonReturnValve,
    /// Drain cock.
    DrainCock,
    /// Pump.
    Pump,
    /// A tee.
    Tee,
    /// Water level triangle.
    WaterLevel,
    /// A verdict's badge.
    Verdict(Verdict),
}

/// Text heights on paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TextSize {
    /// 2.5 mm: dimensions, labels.
    Small,
    /// 3.5 mm: names, notes.
    Medium,
    /// 5 mm: titles.
    Large,
}

/// Which end of words stands at the anchor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TextAnchor {
    /// The words begin there.
    Start,
    /// They are centred on it.
    Middle,
    /// They end there.
    End,
}

impl PenWidth {
    /// Width in paper millimetres.
    #[must_use]
    pub const fn mm(self) -> f64 {
        match self {
            Self::Fine => 0.18,
            Self::Medium => 0.35,
            Self::Heavy => 0.7,
        }
    }
}

impl TextSize {
    /// Height in paper millimetres.
    #[must_use]
    pub const fn mm(self) -> f64 {
        match self {
            Self::Small => 2.5,
            Self::Medium => 3.5,
            Self::Large => 5.0,
        }
    }
}
