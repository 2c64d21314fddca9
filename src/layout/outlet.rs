//! Where water is drawn, and boilers.

use glam::DVec2;
use serde::{Deserialize, Serialize};

use super::Id;
use crate::geom::Point;
use crate::units::{Flow, Power, Pressure, Size, Temperature};

/// An outlet or appliance. Its ports are `hot` and `cold`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Outlet {
    /// Readable id.
    pub id: Id,
    /// What it is.
    pub kind: OutletKind,
    /// The point where water leaves it (spout, rose, float valve).
    pub at: Point,
    /// Temperature to which its hot supply is limited, or that it was found to reach after a minute; of a basin or sink
    /// with a mixing valve before it, that of the water which comes to the valve.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub supply_temperature: Option<Temperature>,
    /// How hot and cold leave it; by its kind when not told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taps: Option<Taps>,
    /// What it passes when fully open; by its kind when not told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub passes: Option<Passes>,
}

impl Outlet {
    /// An outlet of which nothing more is told than what it is and where.
    #[must_use]
    pub const fn new(id: Id, kind: OutletKind, at: Point) -> Self {
        Self { id, kind, at, supply_temperature: None, taps: None, passes: None }
    }
}

/// How hot and cold water leave an outlet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Taps {
    /// Each by a tap of its own.
    Separate,
    /// Together by one spout or rose.
    Mixer,
}

impl Taps {
    /// Both, in the order in which they are offered.
    pub const ALL: [Self; 2] = [Self::Separate, Self::Mixer];

    /// The taps in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Separate => "separate taps",
            Self::Mixer => "a mixer",
        }
    }
}

/// What an outlet passes when fully open: a flow, and the pressure before it that this takes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Passes {
    /// The flow, L/s.
    pub flow: Flow,
    /// The pressure, kPa.
    pub at: Pressure,
}

/// What an outlet is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum OutletKind {
    /// Washbasin taps.
    Basin,
    /// Kitchen sink taps.
    Sink,
    /// Bath taps.
    Bath,
    /// A shower.
    Shower,
    /// A WC with its flushing cistern.
    Wc,
    /// A washing machine.
    WashingMachine,
    /// A dishwasher.
    Dishwasher,
    /// A water heater of its own.
    WaterHeater,
}

impl OutletKind {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 8] = [
        Self::Basin,
        Self::Sink,
        Self::Bath,
        Self::Shower,
        Self::Wc,
        Self::WashingMachine,
        Self::Dishwasher,
        Self::WaterHeater,
    ];

    /// The outlet in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Basin => "basin",
            Self::Sink => "sink",
            Self::Bath => "bath",
            Self::Shower => "shower",
            Self::Wc => "WC",
            Self::WashingMachine => "washing machine",
            Self::Dishwasher => "dishwasher",
            Self::WaterHeater => "water heater",
        }
    }

    /// Whether water leaves it by taps or by a mixer of its own.
    #[must_use]
    pub const fn has_taps(self) -> bool {
        matches!(self, Self::Basin | Self::Sink | Self::Bath | Self::Shower)
    }

    /// Height over its floor at which water usually leaves it, mm (common practice, no source).
    #[must_use]
    pub const fn usual_height_mm(self) -> f64 {
        match self {
            Self::Shower => 2000.0,
            Self::Bath => 600.0,
            Self::Sink => 1050.0,
            Self::Wc => 750.0,
            Self::Basin | Self::WashingMachine | Self::Dishwasher | Self::WaterHeater => 850.0,
        }
    }

    /// The box that its figure fills about the point where water leaves it, mm: low and high corner. What stands on a
    /// floor reaches down by its usual height.
    #[must_use]
    pub const fn figure_mm(self) -> (DVec2, DVec2) {
        const fn about(half_mm: f64, low_mm: f64, high_mm: f64) -> (DVec2, DVec2) {
            (DVec2::new(-half_mm, low_mm), DVec2::new(half_mm, high_mm))
        }
        let foot = -self.usual_height_mm();
        match self {
            Self::Basin => about(240.0, foot, 10.0),
            Self::Sink => about(420.0, foot, 10.0),
            Self::Bath => about(360.0, foot, 10.0),
            Self::Shower => about(105.0, -330.0, 60.0),
            Self::Wc => about(212.0, foot, 76.0),
            Self::WashingMachine | Self::Dishwasher => about(300.0, foot, 0.0),
            Self::WaterHeater => about(150.0, 0.0, 480.0),
        }
    }
}

/// A boiler. Its ports are `flow` and `return` on top, `mains` and `hot` below (combination boilers).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Boiler {
    /// Readable id.
    pub id: Id,
    /// Left side, and level of the underside.
    pub at: Point,
    /// Size along the section.
    pub length: Size,
    /// Size from underside to top.
    pub height: Size,
    /// What it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind: Option<BoilerKind>,
    /// Heat that it gives to the water.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub output: Option<Power>,
}

impl Boiler {
    /// A boiler of which nothing is told but where it is and how large.
    #[must_use]
    pub const fn new(id: Id, at: Point, length: Size, height: Size) -> Self {
        Self { id, at, length, height, kind: None, output: None }
    }
}

/// What a boiler is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum BoilerKind {
    /// Heats a primary circuit only.
    Regular,
    /// Heats water as it is drawn as well.
    Combination,
    /// Behind a fire or stove that cannot be turned off at once.
    BackBoiler,
}

impl BoilerKind {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 3] = [Self::Regular, Self::Combination, Self::BackBoiler];

    /// The boiler in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Regular => "regular boiler",
            Self::Combination => "combination boiler",
            Self::BackBoiler => "back boiler",
        }
    }
}
