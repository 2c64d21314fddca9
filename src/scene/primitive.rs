//! What a scene is made of: shapes in section millimetres, pens and letters in paper millimetres, roles instead of colours.

use glam::DVec2;
use serde::{Deserialize, Serialize};

use super::dimensions::Dimension;
use crate::finding::FindingKey;
use crate::layout::{Id, Service};
use crate::measure::Axis;
use crate::rules::Verdict;

/// Everything that is drawn, back to front. Holds for every scale: see [`Scene::inked`].
#[derive(Debug, Clone, Default)]
pub struct Scene {
    /// The items, in painting order.
    pub items: Vec<Item>,
    /// The services of the runs that are drawn, in the order in which they are offered; for a legend.
    pub services: Vec<Service>,
    /// What has a level, and the level in mm above the datum, highest first; for a table. Empty until dimensions are drawn.
    pub levels: Vec<(String, f64)>,
    /// The tags that stand beside fittings; for a legend. Empty until tags are drawn.
    pub tags: Vec<String>,
}

/// A shape and where it comes from.
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

/// A shape. Positions are section millimetres; pen widths and letters are paper millimetres,
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
    /// A closed convex area: filled, outlined or both.
    Area {
        /// Vertices.
        points: Vec<DVec2>,
        /// What fills it.
        fill: Option<Ink>,
        /// Its outline.
        pen: Option<Pen>,
    },
    /// Parallel slanting lines across a closed convex area.
    Hatch {
        /// Vertices of the area.
        points: Vec<DVec2>,
        /// Which way the lines run.
        slant: Slant,
        /// From line to line on paper, mm.
        apart_mm: f64,
        /// How the lines are drawn.
        pen: Pen,
    },
    /// A pipe, or something that wraps one: a line as wide as the tube.
    Pipe {
        /// Vertices.
        points: Vec<DVec2>,
        /// How wide it is.
        width: PipeWidth,
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
    /// Words at a place of their own, which others keep clear of.
    Words {
        /// Where the foot line of the first line begins.
        at: DVec2,
        /// The lines, from the top.
        lines: Vec<String>,
        /// Height of the letters.
        size: TextSize,
        /// Colour of the letters.
        ink: Ink,
    },
    /// Words that look for a free place near what they name.
    Label(Label),
    /// A dimension that looks for a line.
    Dimension(Dimension),
    /// The mark of a finding with its note.
    Mark(Mark),
}

/// Which way hatching runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slant {
    /// Up to the right.
    Rising,
    /// Down to the right.
    Falling,
    /// Level.
    Level,
}

/// How wide a pipe is drawn: its own width, but no thinner than can be seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PipeWidth {
    /// Outside diameter in the section, mm.
    pub outside_mm: f64,
    /// The least it is drawn on paper, mm.
    pub least_mm: f64,
    /// What is added on paper, mm; less than nothing for what lies inside the tube.
    pub more_mm: f64,
}

/// Words that look for a place.
#[derive(Debug, Clone)]
pub struct Label {
    /// The lines, from the top.
    pub lines: Vec<String>,
    /// Height of the letters.
    pub size: TextSize,
    /// Colour of the letters.
    pub ink: Ink,
    /// What they name.
    pub about: About,
    /// Who chooses a place first.
    pub rank: Rank,
}

/// What a label names, and so where it would like to stand.
#[derive(Debug, Clone)]
pub enum About {
    /// Something with a box: inside it if there is room, else beside it.
    Thing {
        /// Lower left corner.
        low: DVec2,
        /// Upper right corner.
        high: DVec2,
    },
    /// A picture among others under each other: to its left or right, so that each reads across to its words.
    Picture {
        /// Lower left corner.
        low: DVec2,
        /// Upper right corner.
        high: DVec2,
    },
    /// A line: beside its longest stretches.
    Course(Vec<DVec2>),
    /// A level line right across, which is read as a level: close along it or at one of its ends, or nowhere.
    Floor {
        /// Its left end.
        from: DVec2,
        /// Its right end.
        to: DVec2,
    },
    /// A symbol at a point: close beside it.
    Spot(DVec2),
}

/// Who chooses a place first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rank {
    /// Parts by name.
    Part,
    /// Tags of fittings.
    Tag,
    /// Pipe runs.
    Run,
    /// The building.
    Building,
}

/// The mark of a finding.
#[derive(Debug, Clone)]
pub struct Mark {
    /// What is drawn on the spot.
    pub figure: MarkFigure,
    /// How the finding stands.
    pub verdict: Verdict,
    /// Short name of the fault.
    pub title: String,
    /// What is there and what is asked: "have 205 · need 270 mm".
    pub words: String,
    /// Whether it is the chosen one.
    pub emphasis: Emphasis,
    /// Its number in the list of findings, by which it is known where its words find no room.
    pub number: Option<usize>,
}

/// How strongly a mark is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Emphasis {
    /// As one of many.
    Plain,
    /// As its number alone, where there are many.
    Small(usize),
    /// The chosen one.
    Chosen,
}

/// What a mark draws on the spot.
#[derive(Debug, Clone)]
pub enum MarkFigure {
    /// A dimension line between two places; runs upright or level, never along a pipe.
    Dimension {
        /// From here.
        from: DVec2,
        /// To here.
        to: DVec2,
        /// Which way it is measured.
        axis: Axis,
    },
    /// A stretch of pipe.
    Stretch(Vec<DVec2>),
    /// A ring around one place.
    Ring(DVec2),
}

/// A pen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// Its colour.
    pub ink: Ink,
    /// Its width on paper.
    pub width: PenWidth,
    /// How the line runs.
    pub stroke: LineStyle,
}

/// How a line runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineStyle {
    /// Without a break.
    Solid,
    /// In dashes: hidden, or loose.
    Dashed,
}

/// Pen widths of ISO 128-2 (from memory).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PenWidth {
    /// 0.13 mm.
    Hair,
    /// 0.18 mm.
    Fine,
    /// 0.35 mm.
    Medium,
    /// 0.7 mm.
    Heavy,
}

/// Roles of colour; a theme says what each looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Ink {
    /// The sheet.
    Paper,
    /// Outlines and words.
    Ink,
    /// What stands back: building, hatching.
    Faint,
    /// Walls cut through.
    Masonry,
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
    /// A pipe of stored cold water.
    ColdPipe,
    /// A pipe of hot water.
    HotPipe,
    /// A pipe of the primary circuit.
    PrimaryPipe,
    /// A pipe of mains water.
    MainsPipe,
    /// A pipe that is open to the air: vent or warning pipe.
    OpenPipe,
    /// The red pencil of a breach.
    RedPencil,
    /// The pencil of what is marginal, unknown or merely shown.
    GreyPencil,
}

/// Symbols that sit in or on pipes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Symbol {
    /// Full-way gate valve.
    GateValve,
    /// Full-bore lever valve.
    LeverValve,
    /// Screw-down stop valve.
    StopValve,
    /// Small servicing valve.
    ServiceValve,
    /// Non-return valve; points the way water goes.
    NonReturnValve,
    /// Drain cock.
    DrainCock,
    /// Pump; points the way water goes.
    Pump,
    /// A tee.
    Tee,
    /// An end open to the air.
    OpenEnd,
    /// A screened end.
    Screen,
    /// The pipe goes on beyond the drawing.
    Onward,
    /// A bar with feet: a dimension that is held.
    Held,
    /// Water level triangle.
    WaterLevel,
    /// A verdict's badge.
    Verdict(Verdict),
}

/// Letter sizes on paper, from the foot of a p to the head of a d.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TextSize {
    /// 2 mm: levels, pipe labels.
    Tiny,
    /// 2.5 mm: names, notes.
    Small,
    /// 3.5 mm: headings.
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

impl Pen {
    /// A solid pen.
    #[must_use]
    pub const fn solid(ink: Ink, width: PenWidth) -> Self {
        Self { ink, width, stroke: LineStyle::Solid }
    }

    /// A dashed pen.
    #[must_use]
    pub const fn dashed(ink: Ink, width: PenWidth) -> Self {
        Self { ink, width, stroke: LineStyle::Dashed }
    }
}

impl PipeWidth {
    /// The width of a tube: a thicker tube stays thicker on paper even where both are too thin to be drawn true.
    #[must_use]
    pub fn tube(outside_mm: f64) -> Self {
        Self { outside_mm, least_mm: (0.35 + 0.02 * outside_mm).min(1.6), more_mm: 0.0 }
    }

    /// The same with something added on paper.
    #[must_use]
    pub fn with_more(self, more_mm: f64) -> Self {
        Self { more_mm, ..self }
    }

    /// Width on paper in mm, at so many section millimetres to a paper millimetre.
    #[must_use]
    pub fn on_paper_mm(self, scale: f64) -> f64 {
        (self.outside_mm / scale).max(self.least_mm) + self.more_mm
    }
}

impl PenWidth {
    /// Width in paper millimetres.
    #[must_use]
    pub const fn mm(self) -> f64 {
        match self {
            Self::Hair => 0.13,
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
            Self::Tiny => 2.0,
            Self::Small => 2.5,
            Self::Medium => 3.5,
            Self::Large => 5.0,
        }
    }
}

impl Ink {
    /// All of them.
    pub const ALL: [Self; 16] = [
        Self::Paper,
        Self::Ink,
        Self::Faint,
        Self::Masonry,
        Self::Timber,
        Self::Water,
        Self::HotWater,
        Self::PrimaryWater,
        Self::Lagging,
        Self::ColdPipe,
        Self::HotPipe,
        Self::PrimaryPipe,
        Self::MainsPipe,
        Self::OpenPipe,
        Self::RedPencil,
        Self::GreyPencil,
    ];
}

impl Scene {
    /// Makes room for other words: runs lose their names, and parts keep theirs alone, in small letters.
    pub fn leave_bare_names(&mut self) {
        self.items.retain(|item| !matches!(&item.shape, Shape::Label(label) if label.rank == Rank::Run));
        for item in &mut self.items {
            if let Shape::Label(label) = &mut item.shape {
                label.lines.truncate(1);
                label.size = TextSize::Tiny;
            }
        }
    }

    /// Takes the words of what has some origins away, to make room for others.
    pub fn leave_unnamed(&mut self, is_unnamed: impl Fn(&Origin) -> bool) {
        self.items.retain(|item| !(matches!(item.shape, Shape::Label(_)) && is_unnamed(&item.origin)));
    }

    /// Lets what has some origins stand back, in faint lines and without words, to make room for something else.
    pub fn stand_back(&mut self, is_behind: impl Fn(&Origin) -> bool) {
        let faint = Pen::solid(Ink::Faint, PenWidth::Fine);
        self.leave_unnamed(&is_behind);
        for item in self.items.iter_mut().filter(|item| is_behind(&item.origin)) {
            match &mut item.shape {
                Shape::Line { pen, .. } | Shape::Hatch { pen, .. } => *pen = faint,
                Shape::Area { fill, pen, .. } => {
                    *fill = fill.filter(|ink| *ink == Ink::Paper);
                    *pen = pen.map(|_| faint);
                }
                Shape::Pipe { points, .. } => {
                    item.shape = Shape::Line { points: std::mem::take(points), pen: faint };
                }
                Shape::Symbol { ink, .. } | Shape::Words { ink, .. } => *ink = Ink::Faint,
                Shape::Label(_) | Shape::Dimension(_) | Shape::Mark(_) => {}
            }
        }
    }

    pub(super) fn add(&mut self, origin: &Origin, shape: Shape) {
        self.items.push(Item { origin: origin.clone(), shape });
    }

    pub(super) fn line(&mut self, origin: &Origin, points: impl Into<Vec<DVec2>>, pen: Pen) {
        self.add(origin, Shape::Line { points: points.into(), pen });
    }

    pub(super) fn area(&mut self, origin: &Origin, points: impl Into<Vec<DVec2>>, fill: Option<Ink>, pen: Option<Pen>) {
        self.add(origin, Shape::Area { points: points.into(), fill, pen });
    }
}
