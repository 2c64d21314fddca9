//! Pipe runs: what they carry, where they go, what sits in them and around them.

use serde::{Deserialize, Serialize};

use super::{Id, Screen};
use crate::catalogue::{Insulant, TubeMaterial};
use crate::geom::Point;
use crate::units::{Length, LossCoefficient, Size};

/// A pipe run from one end to the other, drawn in the direction of flow where there is one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Run {
    /// Readable id.
    pub id: Id,
    /// What it is for.
    pub service: Service,
    /// What the tube is made of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub material: Option<TubeMaterial>,
    /// Outside diameter by which tube is sold, such as 22.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<Size>,
    /// Where it begins.
    pub from: End,
    /// Bends on the way.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub via: Vec<Point>,
    /// Where it ends.
    pub to: End,
    /// Valves and drain cocks; an empty list says that there are none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fittings: Option<Vec<InLine>>,
    /// Stretches that are insulated; an empty list says that it is bare.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub insulation: Option<Vec<Lagging>>,
    /// The screen over its open end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub screen: Option<Screen>,
    /// Where a warning pipe lets its water go.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub discharge: Option<Discharge>,
    /// How far apart its clips are.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clips: Option<Clips>,
    /// Sum of the loss coefficients of its bends and valves, where that is known better than by the catalogue.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub loss_coefficient: Option<LossCoefficient>,
}

/// Where a warning pipe lets its water go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Discharge {
    /// Where people soon see it.
    Conspicuous,
    /// Where nobody sees it, or into another pipe.
    Hidden,
}

impl Discharge {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 2] = [Self::Conspicuous, Self::Hidden];

    /// The discharge in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Conspicuous => "a discharge where it is seen",
            Self::Hidden => "a hidden discharge",
        }
    }
}

/// The greatest distances between the clips of a run.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Clips {
    /// On level stretches.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub level: Option<Size>,
    /// On upright stretches.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub upright: Option<Size>,
}

/// What a run is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Service {
    /// Mains water to a float valve or appliance.
    RisingMain,
    /// Stored cold water to the cylinder and nothing else.
    ColdFeed,
    /// Stored cold water to cold outlets.
    ColdDistribution,
    /// Hot water from the cylinder to hot outlets; its first stretch is the draw-off.
    HotDistribution,
    /// From the cylinder's top, or from the draw-off, to above the storage cistern.
    OpenVent,
    /// From a cistern's overflow to where people see it run.
    WarningPipe,
    /// Primary water from boiler to cylinder.
    PrimaryFlow,
    /// Primary water back to the boiler.
    PrimaryReturn,
    /// Between two storage cisterns.
    Link,
    /// From the feed-and-expansion cistern to the primary circuit.
    PrimaryFeed,
    /// From the primary circuit to above the feed-and-expansion cistern.
    PrimaryVent,
}

impl Service {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 11] = [
        Self::ColdFeed,
        Self::ColdDistribution,
        Self::HotDistribution,
        Self::OpenVent,
        Self::WarningPipe,
        Self::RisingMain,
        Self::Link,
        Self::PrimaryFlow,
        Self::PrimaryReturn,
        Self::PrimaryFeed,
        Self::PrimaryVent,
    ];

    /// The service in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::RisingMain => "rising main",
            Self::ColdFeed => "cold feed",
            Self::ColdDistribution => "cold distribution",
            Self::HotDistribution => "hot draw-off and distribution",
            Self::OpenVent => "open vent",
            Self::WarningPipe => "warning pipe",
            Self::Link => "link between cisterns",
            Self::PrimaryFlow => "primary flow",
            Self::PrimaryReturn => "primary return",
            Self::PrimaryFeed => "primary feed",
            Self::PrimaryVent => "primary vent",
        }
    }

    /// Whether a tee between the two is an everyday joint.
    #[must_use]
    pub fn joins(self, other: Self) -> bool {
        let of_hot = |service| matches!(service, Self::HotDistribution | Self::OpenVent);
        self == other || (of_hot(self) && of_hot(other)) || (self.is_primary() && other.is_primary())
    }

    /// Whether it is there for air to come and go.
    #[must_use]
    pub const fn is_vent(self) -> bool {
        matches!(self, Self::OpenVent | Self::PrimaryVent)
    }

    /// Those of the heating's water.
    pub const PRIMARY: [Self; 4] = [Self::PrimaryFlow, Self::PrimaryReturn, Self::PrimaryVent, Self::PrimaryFeed];

    /// Those by which stored cold water leaves a cistern.
    pub const STORED_COLD: [Self; 2] = [Self::ColdFeed, Self::ColdDistribution];

    /// Those through which cisterns share their stored cold water.
    pub const SHARED: [Self; 3] = [Self::Link, Self::ColdFeed, Self::ColdDistribution];

    /// Whether the water in it belongs to the heating circuit.
    #[must_use]
    pub const fn is_primary(self) -> bool {
        matches!(self, Self::PrimaryFlow | Self::PrimaryReturn | Self::PrimaryFeed | Self::PrimaryVent)
    }
}

/// Where a run begins or ends.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum End {
    /// On a port of a part: part id, port id.
    Port(Id, Id),
    /// On another run: its id, and the distance along it.
    Tee(Id, Length),
    /// Open to the air.
    Open(Point),
    /// Goes on beyond the drawing (the main in the street, a far outlet).
    Onward(Point),
}

/// One of the two ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum WhichEnd {
    /// Where it begins.
    From,
    /// Where it ends.
    To,
}

impl WhichEnd {
    /// Both ends, in the order of flow.
    pub const BOTH: [Self; 2] = [Self::From, Self::To];

    /// The other one.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::From => Self::To,
            Self::To => Self::From,
        }
    }

    /// Its place in [`WhichEnd::BOTH`].
    #[must_use]
    pub const fn number(self) -> usize {
        match self {
            Self::From => 0,
            Self::To => 1,
        }
    }
}

/// A valve, drain cock or pump in a run.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct InLine {
    /// What it is.
    pub kind: InLineKind,
    /// Distance along the run from its beginning.
    pub at: Length,
}

/// What sits in a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum InLineKind {
    /// Full-way gate valve.
    GateValve,
    /// Full-bore lever valve.
    LeverValve,
    /// Screw-down stop valve.
    StopValve,
    /// Small servicing valve.
    ServiceValve,
    /// Non-return (check) valve.
    NonReturnValve,
    /// Drain cock.
    DrainCock,
    /// Pump.
    Pump,
}

impl InLineKind {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 7] = [
        Self::GateValve,
        Self::LeverValve,
        Self::StopValve,
        Self::ServiceValve,
        Self::NonReturnValve,
        Self::DrainCock,
        Self::Pump,
    ];

    /// What it is, in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::GateValve => "gate valve",
            Self::LeverValve => "full-bore lever valve",
            Self::StopValve => "stop valve",
            Self::ServiceValve => "servicing valve",
            Self::NonReturnValve => "non-return valve",
            Self::DrainCock => "drain cock",
            Self::Pump => "pump",
        }
    }

    /// Whether it can shut the run.
    #[must_use]
    pub const fn shuts(self) -> bool {
        matches!(self, Self::GateValve | Self::LeverValve | Self::StopValve | Self::ServiceValve)
    }

    /// Whether it is a valve of any sort: something that can stop water going one way or both.
    #[must_use]
    pub const fn is_valve(self) -> bool {
        self.shuts() || matches!(self, Self::NonReturnValve)
    }

    /// Whether it can be in the way of the water: a valve of any sort, or a pump.
    #[must_use]
    pub const fn hinders(self) -> bool {
        self.is_valve() || matches!(self, Self::Pump)
    }

    /// Whether water passes it at the full bore of the pipe.
    #[must_use]
    pub const fn is_full_way(self) -> bool {
        matches!(self, Self::GateValve | Self::LeverValve)
    }
}

/// An insulated stretch of a run.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lagging {
    /// Where it begins, along the run.
    pub from: Length,
    /// Where it ends, along the run.
    pub to: Length,
    /// Thickness.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Size>,
    /// What it is made of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind: Option<Insulant>,
}

impl Run {
    /// A straight run of which nothing more is told than what it is for and where it begins and ends.
    #[must_use]
    pub const fn new(id: Id, service: Service, from: End, to: End) -> Self {
        Self {
            id,
            service,
            material: None,
            size: None,
            from,
            via: Vec::new(),
            to,
            fittings: None,
            insulation: None,
            screen: None,
            discharge: None,
            clips: None,
            loss_coefficient: None,
        }
    }

    /// Whether it goes on beyond the drawing.
    #[must_use]
    pub const fn goes_on(&self) -> bool {
        matches!(self.from, End::Onward(_)) || matches!(self.to, End::Onward(_))
    }

    /// Clips as far apart as its tube allows; `None` when the tube is not told, or the table lacks it.
    #[must_use]
    pub fn clips_allowed(&self) -> Option<Clips> {
        let support = self.material?.support(self.size?)?;
        Some(Clips { level: Some(support.level), upright: Some(support.upright) })
    }

    /// The bore of its tube; `None` when material or size is not told, or is not sold.
    #[must_use]
    pub fn bore(&self) -> Option<Size> {
        self.material?.bore(self.size?)
    }

    /// Half of its bore, mm; nothing as long as that is not told.
    #[must_use]
    pub fn half_bore_mm(&self) -> f64 {
        self.bore().map_or(0.0, |bore| bore.to_mm() / 2.0)
    }

    /// One of its ends.
    #[must_use]
    pub const fn end(&self, which: WhichEnd) -> &End {
        match which {
            WhichEnd::From => &self.from,
            WhichEnd::To => &self.to,
        }
    }

    /// Both of its ends, in the order in which it is drawn.
    #[must_use]
    pub const fn ends(&self) -> [&End; 2] {
        [&self.from, &self.to]
    }

    /// One of its ends, to change.
    pub const fn end_mut(&mut self, which: WhichEnd) -> &mut End {
        match which {
            WhichEnd::From => &mut self.from,
            WhichEnd::To => &mut self.to,
        }
    }
}
