//! Hot-water cylinders: vented, with domed heads.

use serde::{Deserialize, Serialize};

use super::{Connection, Id};
use crate::geom::Point;
use crate::units::{Conductance, Flow, HeatLoss, Length, Level, Mass, Power, Size, Temperature, Volume};

/// A vented hot-water cylinder. Whether it is direct, indirect or both is told from what heats it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cylinder {
    /// Readable id.
    pub id: Id,
    /// Left side, and level of the base.
    pub at: Point,
    /// Outside diameter of the bare cylinder.
    pub diameter: Size,
    /// Base to the top of the dome.
    pub height: Size,
    /// How far its middle lies behind the section plane.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub behind: Option<Length>,
    /// Reference in the printed size table, such as "7".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reference: Option<String>,
    /// Stated capacity; goes before the table.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub capacity: Option<Volume>,
    /// What it weighs empty.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub empty_mass: Option<Mass>,
    /// Grade of the copper, which limits the head on it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<CylinderGrade>,
    /// Whether there is a heating coil inside.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub coil: Option<bool>,
    /// Immersion heaters; an empty list says that there are none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub immersions: Option<Vec<Immersion>>,
    /// Temperature at which hot water is stored.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stored_temperature: Option<Temperature>,
    /// Thickness of the insulation around it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub insulation: Option<Length>,
    /// What that insulation is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cover: Option<CylinderCover>,
    /// Standing loss on its label, stated for water 45 K warmer than the room.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub standing_loss: Option<HeatLoss>,
    /// What its coil passes on, and what the primary brings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub coil_duty: Option<CoilDuty>,
    /// Connections that stand elsewhere than where most makers put them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub connections: Vec<Connection>,
}

/// What a cylinder is insulated with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum CylinderCover {
    /// Foam sprayed on in the works.
    SprayedFoam,
    /// A loose jacket.
    LooseJacket,
}

impl CylinderCover {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 2] = [Self::SprayedFoam, Self::LooseJacket];

    /// The cover in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::SprayedFoam => "sprayed foam",
            Self::LooseJacket => "a loose jacket",
        }
    }
}

/// What a coil passes on, and what the primary brings to it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct CoilDuty {
    /// Conductance of the coil from primary to stored water.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub conductance: Option<Conductance>,
    /// Temperature at which primary water comes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub primary: Option<Temperature>,
    /// Primary water that passes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub flow: Option<Flow>,
}

/// Grade of a copper cylinder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum CylinderGrade {
    /// Grade 1.
    G1,
    /// Grade 2.
    G2,
    /// Grade 3.
    G3,
    /// Grade 4.
    G4,
}

impl CylinderGrade {
    /// All of them, weakest last.
    pub const ALL: [Self; 4] = [Self::G1, Self::G2, Self::G3, Self::G4];

    /// The grade in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::G1 => "grade 1",
            Self::G2 => "grade 2",
            Self::G3 => "grade 3",
            Self::G4 => "grade 4",
        }
    }
}

/// An immersion heater.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Immersion {
    /// Where it is screwed in.
    pub place: ImmersionPlace,
    /// Rated power, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub power: Option<Power>,
    /// What stops it when its thermostat fails.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut_out: Option<CutOut>,
}

/// The energy cut-out of an immersion heater.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum CutOut {
    /// It stays off until someone resets it by hand.
    ResetByHand,
    /// It comes on again by itself.
    ResetsItself,
    /// There is none.
    Missing,
}

impl CutOut {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 3] = [Self::ResetByHand, Self::ResetsItself, Self::Missing];

    /// The cut-out in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::ResetByHand => "a cut-out that does not reset itself",
            Self::ResetsItself => "a cut-out that resets itself",
            Self::Missing => "no cut-out",
        }
    }
}

/// Where an immersion heater is screwed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum ImmersionPlace {
    /// Down through the dome.
    Top,
    /// Sideways, low down.
    Bottom,
}

impl Cylinder {
    /// A cylinder of which nothing is told but where it stands and how large it is.
    #[must_use]
    pub const fn new(id: Id, at: Point, diameter: Size, height: Size) -> Self {
        Self {
            id,
            at,
            diameter,
            height,
            behind: None,
            reference: None,
            capacity: None,
            empty_mass: None,
            grade: None,
            coil: None,
            immersions: None,
            stored_temperature: None,
            insulation: None,
            cover: None,
            standing_loss: None,
            coil_duty: None,
            connections: Vec::new(),
        }
    }

    /// Level of the top of the dome.
    #[must_use]
    pub fn top(&self) -> Level {
        self.at.z + self.height
    }

    /// Front and back as distances behind the section plane, where they are told.
    #[must_use]
    pub fn front_and_back_mm(&self) -> Option<(f64, f64)> {
        let half = self.diameter.to_mm() / 2.0;
        let middle = self.behind?.to_mm();
        Some((middle - half, middle + half))
    }

    /// Left and right sides in mm.
    #[must_use]
    pub fn span_mm(&self) -> (f64, f64) {
        let left = self.at.x.to_mm();
        (left, left + self.diameter.to_mm())
    }
}
