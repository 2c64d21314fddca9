//! Cisterns: storage, or feed-and-expansion.

use serde::{Deserialize, Serialize};

use super::{Connection, Id, Tapping};
use crate::catalogue::Insulant;
use crate::geom::Point;
use crate::units::{Length, Level, Mass, Size, Temperature, Volume};

/// A cistern.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cistern {
    /// Readable id.
    pub id: Id,
    /// What it is for.
    pub role: CisternRole,
    /// Left side at the rim, and level of the base.
    pub at: Point,
    /// Outside length at the rim, along the section.
    pub length: Size,
    /// Outside width at the rim, front to back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub width: Option<Size>,
    /// Base to rim.
    pub height: Size,
    /// How far each side leans in from rim to base.
    #[serde(default = "no_draft", skip_serializing_if = "is_nothing")]
    pub draft: Length,
    /// How far its middle lies behind the section plane.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub behind: Option<Length>,
    /// Stated volume to the rim; reckoned from the shape when not stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rim_volume: Option<Volume>,
    /// Stated volume to the water line; reckoned from the shape when not stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub water_volume: Option<Volume>,
    /// Base to the water line, filled and at rest.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub water_line: Option<Length>,
    /// The float valve.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub float_valve: Option<FloatValve>,
    /// Holes that pipes leave by.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub connections: Vec<Connection>,
    /// The tube on the inside of the warning pipe's connection; on a connection in the base it is a standpipe, whose
    /// mouth is the level at which the cistern overflows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dip_tube: Option<DipTube>,
    /// The lid.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lid: Option<Lid>,
    /// The screen over the lid's vent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lid_screen: Option<Screen>,
    /// Whether light is kept out by the body.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub opaque: Option<bool>,
    /// The insulating jacket.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub jacket: Option<Jacket>,
    /// Whether loft insulation lies beneath it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub loft_insulation_below: Option<bool>,
    /// Warmest that the stored water was found to be, or is designed for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stored_temperature: Option<Temperature>,
    /// Water drawn from it in a day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub daily_draw: Option<Volume>,
    /// Water in the heating system that a feed-and-expansion cistern serves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub system_volume: Option<Volume>,
    /// Mass of the empty cistern with lid, valve and fittings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub empty_mass: Option<Mass>,
}

/// What a cistern is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum CisternRole {
    /// Stored cold water for the cylinder and cold outlets.
    Storage,
    /// Keeps a primary (heating) circuit full and takes its expansion.
    FeedAndExpansion,
}

/// A float valve in a cistern's side.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FloatValve {
    /// Where its shank goes through the side.
    pub shank: Tapping,
    /// Base to the point where the water leaves it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outlet: Option<Length>,
    /// Its pattern.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pattern: Option<FloatValvePattern>,
    /// Bore of its seat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seat: Option<Size>,
}

impl FloatValve {
    /// A float valve of which nothing more is told than where its shank goes through.
    #[must_use]
    pub const fn new(shank: Tapping) -> Self {
        Self { shank, outlet: None, pattern: None, seat: None }
    }
}

/// Pattern of a float valve, by the parts of BS 1212.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum FloatValvePattern {
    /// BS 1212 part 1: piston.
    Part1,
    /// BS 1212 part 2: brass diaphragm, top discharge.
    Part2,
    /// BS 1212 part 3: plastic diaphragm, top discharge.
    Part3,
    /// BS 1212 part 4: compact, for WC cisterns.
    Part4,
}

impl FloatValvePattern {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 4] = [Self::Part2, Self::Part3, Self::Part4, Self::Part1];

    /// The pattern in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Part1 => "BS 1212 part 1 (piston)",
            Self::Part2 => "BS 1212 part 2 (diaphragm)",
            Self::Part3 => "BS 1212 part 3 (plastic diaphragm)",
            Self::Part4 => "BS 1212 part 4 (compact)",
        }
    }
}

/// The tube on the inside of a warning pipe's connection.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum DipTube {
    /// There is none.
    Missing,
    /// It ends this far above the base.
    EndsAt(Length),
}

/// How a lid fits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Lid {
    /// There is none.
    Missing,
    /// It lies on loosely or has gaps.
    Loose,
    /// Rigid, close-fitting and fixed.
    Tight,
}

/// An insect screen.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Screen {
    /// There is none.
    Missing,
    /// Its openings are this wide.
    Mesh(Size),
}

/// What a jacket covers.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Jacket {
    /// It covers the sides.
    pub sides: bool,
    /// It covers the top.
    pub top: bool,
    /// Thickness.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Size>,
    /// What it is made of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind: Option<Insulant>,
}

impl Cistern {
    /// A cistern of which nothing is told but where it stands and how large it is.
    #[must_use]
    pub const fn new(id: Id, role: CisternRole, at: Point, length: Size, height: Size) -> Self {
        Self {
            id,
            role,
            at,
            length,
            width: None,
            height,
            draft: Length::ZERO,
            behind: None,
            rim_volume: None,
            water_volume: None,
            water_line: None,
            float_valve: None,
            connections: Vec::new(),
            dip_tube: None,
            lid: None,
            lid_screen: None,
            opaque: None,
            jacket: None,
            loft_insulation_below: None,
            stored_temperature: None,
            daily_draw: None,
            system_volume: None,
            empty_mass: None,
        }
    }

    /// Level of the rim.
    #[must_use]
    pub fn rim(&self) -> Level {
        self.at.z + self.height
    }

    /// Height of the water line above the base, where told; one below the base cannot be, and tells nothing.
    #[must_use]
    pub fn line_above_base(&self) -> Option<Length> {
        self.water_line.filter(|line| line.to_mm() >= 0.0)
    }

    /// Level of the water line, where told.
    #[must_use]
    pub fn water_level(&self) -> Option<Level> {
        Some(self.at.z + self.line_above_base()?)
    }

    /// Level at which the water stands, where told: at the water line, and never over the rim, where it runs away.
    #[must_use]
    pub fn surface(&self) -> Option<Level> {
        self.water_level().map(|line| if line.to_mm() > self.rim().to_mm() { self.rim() } else { line })
    }

    /// Left and right sides at the rim in mm.
    #[must_use]
    pub fn span_mm(&self) -> (f64, f64) {
        let left = self.at.x.to_mm();
        (left, left + self.length.to_mm())
    }

    /// How far the sides have leaned in at a height above the base, in mm.
    #[must_use]
    pub fn draft_at_mm(&self, height_mm: f64) -> f64 {
        self.draft.to_mm() * (1.0 - (height_mm / self.height.to_mm()).clamp(0.0, 1.0))
    }

    /// Front and back faces at the rim as distances behind the section plane, where they are told.
    #[must_use]
    pub fn front_and_back_mm(&self) -> Option<(f64, f64)> {
        let half = self.width?.to_mm() / 2.0;
        let middle = self.behind?.to_mm();
        Some((middle - half, middle + half))
    }
}

fn no_draft() -> Length {
    Length::ZERO
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a reference")]
fn is_nothing(length: &Length) -> bool {
    *length == Length::ZERO
}
