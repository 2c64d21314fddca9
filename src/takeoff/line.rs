//! A line of the take-off.

use serde::Serialize;

use crate::layout::{Id, InLineKind};

/// One thing to have, in one size.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Line {
    /// Who fits it.
    pub trade: Trade,
    /// What sort of thing it is.
    pub item: Item,
    /// What it is, in words.
    pub what: String,
    /// Its size, in words; empty where it has none.
    pub size: String,
    /// How much is drawn; none where the layout does not tell.
    pub quantity: Option<f64>,
    /// How much to order: as drawn, and the allowance where there is one.
    pub to_order: Option<f64>,
    /// What it is counted in.
    pub unit: Counted,
    /// What has to be found out before it can be ordered.
    pub find_out: Option<String>,
    /// How the quantity was come by, a line for each share of it.
    pub working: Vec<String>,
    /// The parts that it comes from.
    pub parts: Vec<Id>,
    /// The tags that valves, drain cocks and pumps have on the drawing.
    pub tags: Vec<String>,
}

/// Who fits it; also the order of the list, which is that of the work: what carries comes first, then what stands on it,
/// then what joins that.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Trade {
    /// Boards, frames and bearers.
    Platforms,
    /// Cisterns and what belongs to them.
    Cisterns,
    /// Cylinders, boilers, outlets.
    Vessels,
    /// Tube, fittings, valves and clips.
    Pipes,
    /// Insulation of pipes.
    Insulation,
    /// What things weigh: nothing to buy.
    Weights,
}

impl Trade {
    /// All of them, in order.
    pub const ALL: [Self; 6] =
        [Self::Platforms, Self::Cisterns, Self::Vessels, Self::Pipes, Self::Insulation, Self::Weights];

    /// Its heading.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Pipes => "Pipes and fittings",
            Self::Insulation => "Insulation of pipes",
            Self::Cisterns => "Cisterns",
            Self::Vessels => "Cylinders, boilers, outlets",
            Self::Platforms => "Platforms",
            Self::Weights => "Weights",
        }
    }
}

/// What sort of thing a line is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Item {
    /// Tube.
    Tube,
    /// A bend.
    Bend,
    /// A tee.
    Tee,
    /// A joint of two tubes in line.
    Coupling,
    /// Where a pipe goes through a cistern's wall.
    TankConnector,
    /// Where a pipe meets a cylinder or a boiler.
    VesselConnection,
    /// Where a pipe meets an outlet or a float valve.
    TapConnection,
    /// A valve, drain cock or pump.
    Valve(InLineKind),
    /// Clips.
    Clip,
    /// Insulation of pipes.
    Lagging,
    /// The screen over a pipe's open end.
    PipeScreen,
    /// A cistern.
    Cistern,
    /// Its lid.
    Lid,
    /// The screen over the lid's vent.
    LidScreen,
    /// Its jacket.
    Jacket,
    /// Its float valve.
    FloatValve,
    /// The tube inside the warning pipe's connection.
    DipTube,
    /// A cylinder.
    Cylinder,
    /// An immersion heater.
    Immersion,
    /// A boiler.
    Boiler,
    /// An outlet.
    Outlet,
    /// A thermostatic mixing valve before one.
    MixingValve,
    /// A board.
    Board,
    /// The frame between board and bearers.
    Frame,
    /// Bearers.
    Bearers,
    /// What something weighs.
    Weight,
}

impl Item {
    /// Its place among the lines of its trade: of pipes tube comes first, then what joins it, what sits in it, what holds
    /// it and what closes it. Other trades keep the order of the drawing.
    pub(super) const fn place(self) -> u8 {
        match self {
            Self::Bend | Self::Tee | Self::Coupling => 1,
            Self::TankConnector | Self::VesselConnection | Self::TapConnection => 2,
            Self::Valve(_) => 3,
            Self::Clip => 4,
            Self::PipeScreen => 5,
            _ => 0,
        }
    }
}

/// What a line is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum Counted {
    /// Pieces.
    #[serde(rename = "no")]
    Each,
    /// Metres.
    #[serde(rename = "m")]
    Metres,
    /// Square metres.
    #[serde(rename = "m2")]
    SquareMetres,
    /// Kilograms.
    #[serde(rename = "kg")]
    Kilograms,
}

impl Counted {
    /// The sign, as tables have it.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Each => "no",
            Self::Metres => "m",
            Self::SquareMetres => "m2",
            Self::Kilograms => "kg",
        }
    }

    /// The sign, as people write it.
    #[must_use]
    pub const fn written(self) -> &'static str {
        match self {
            Self::SquareMetres => "m²",
            _ => self.sign(),
        }
    }

    /// A quantity as tables have it: pieces whole, the rest to what is worth showing.
    #[must_use]
    pub fn digits(self, quantity: f64) -> String {
        match self {
            Self::Each => format!("{quantity:.0}"),
            Self::Metres | Self::SquareMetres => format!("{quantity:.2}"),
            Self::Kilograms => format!("{quantity:.1}"),
        }
    }
}

impl Line {
    /// What is drawn, as tables have it; "not told" where nothing is.
    #[must_use]
    pub fn quantity_words(&self) -> String {
        self.quantity.map_or_else(|| "not told".to_owned(), |quantity| self.unit.digits(quantity))
    }

    /// What to order, as tables have it.
    #[must_use]
    pub fn order_words(&self) -> String {
        self.to_order.map_or_else(|| "not told".to_owned(), |quantity| self.unit.digits(quantity))
    }

    /// How much of what, in words for someone who reads no tables.
    #[must_use]
    pub fn spoken(&self) -> String {
        let name = self.name();
        match (self.quantity, self.unit) {
            (Some(quantity), Counted::Each) => format!("{} × {name}", self.unit.digits(quantity)),
            (Some(quantity), unit) => format!("{} {} of {name}", unit.digits(quantity), unit.written()),
            (None, Counted::Each) => format!("{name}: how many is not told"),
            (None, _) => format!("{name}: how much is not told"),
        }
    }

    /// The tags by which it is found on the drawing, in brackets; empty where it has none.
    #[must_use]
    pub fn tag_words(&self) -> String {
        if self.tags.is_empty() { String::new() } else { format!(" ({})", self.tags.join(", ")) }
    }

    /// What and size together.
    #[must_use]
    pub fn name(&self) -> String {
        if self.size.is_empty() { self.what.clone() } else { format!("{}, {}", self.what, self.size) }
    }
}
