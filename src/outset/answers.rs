//! What is asked before a layout is set out: few questions, each of which somebody in the house can answer.

use serde::{Deserialize, Serialize};

use super::usual_house;
use crate::layout::{OutletKind, StrengthClass, SupportKind};
use crate::units::{Length, Mass, Pressure, Size};

/// The answers. Whatever is left out of a file takes the usual value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Answers {
    /// Bedrooms: how much water is wanted.
    pub bedrooms: u32,
    /// Storeys below the loft, one to three.
    pub storeys: u32,
    /// Where water is drawn.
    pub outlets: Vec<Draw>,
    /// What the cold taps are fed from.
    pub cold_taps: CisternFor,
    /// The loft.
    pub loft: LoftAnswers,
    /// What carries the loft.
    pub joists: JoistAnswers,
    /// The cylinder.
    pub cylinder: HotStore,
    /// How the house is heated in winter.
    pub winter: Winter,
    /// Pressure of the main where it comes in.
    pub mains_pressure: Pressure,
}

/// A place where water is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Draw {
    /// What it is.
    pub kind: OutletKind,
    /// On which storey, 0 the lowest.
    pub storey: u32,
}

/// What feeds the cold taps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum CisternFor {
    /// The cistern, but for the kitchen sink.
    ColdTaps,
    /// The main, but for showers, whose hot and cold come from one height.
    CylinderOnly,
}

/// The loft, by clear sizes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct LoftAnswers {
    /// Top of the joists to the underside of the ridge.
    pub ridge: Size,
    /// Top of the joists to the underside of the rafters over the outer face of the wall.
    pub eaves: Length,
    /// The house from outside to outside, across the ridge.
    pub width: Size,
    /// Clear opening of the hatch, one way.
    pub hatch_length: Size,
    /// Clear opening of the hatch, the other way.
    pub hatch_width: Size,
}

/// What carries the loft.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct JoistAnswers {
    /// Solid joists or trussed rafters.
    pub kind: SupportKind,
    /// Centre to centre.
    pub spacing: Size,
    /// Thickness of one.
    pub breadth: Size,
    /// Height of one.
    pub depth: Size,
    /// From support to support where the cistern is to stand.
    pub span: Size,
    /// Strength class.
    pub grade: StrengthClass,
    /// What a competent person has confirmed that the loft carries under the cistern; nobody has yet where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub confirmed_load: Option<Mass>,
}

/// The cylinder.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct HotStore {
    /// What heats it.
    pub heated: Heating,
    /// Its reference in the table of sizes; chosen by the bedrooms where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub size: Option<String>,
    /// The storey on which it stands, 0 the lowest.
    pub storey: u32,
}

/// What heats the cylinder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Heating {
    /// A boiler through a coil: an indirect cylinder.
    Indirect,
    /// Immersion heaters: a direct cylinder.
    Direct,
}

/// How the house is heated in winter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Winter {
    /// Day and night.
    Throughout,
    /// By day, and cool at night.
    ByDay,
    /// Hardly: it stands empty for days, just kept from freezing.
    KeptFromFrost,
}

impl Default for Answers {
    fn default() -> Self {
        let draw = |kind, storey| Draw { kind, storey };
        Self {
            bedrooms: 3,
            storeys: 2,
            outlets: vec![
                draw(OutletKind::Bath, 1),
                draw(OutletKind::Basin, 1),
                draw(OutletKind::Wc, 1),
                draw(OutletKind::Sink, 0),
            ],
            cold_taps: CisternFor::ColdTaps,
            loft: LoftAnswers::default(),
            joists: JoistAnswers::default(),
            cylinder: HotStore::default(),
            winter: Winter::Throughout,
            mains_pressure: Pressure::try_kpa(300.0).expect("a usual pressure"),
        }
    }
}

impl Default for LoftAnswers {
    fn default() -> Self {
        Self {
            ridge: Size::mm(2600.0),
            eaves: Length::mm(150.0),
            width: Size::mm(usual_house::WIDTH_MM),
            hatch_length: Size::mm(750.0),
            hatch_width: Size::mm(600.0),
        }
    }
}

impl Default for JoistAnswers {
    fn default() -> Self {
        Self {
            kind: SupportKind::Joist,
            spacing: Size::mm(usual_house::JOIST_SPACING_MM),
            breadth: Size::mm(usual_house::JOIST_BREADTH_MM),
            depth: Size::mm(usual_house::JOIST_DEPTH_MM),
            span: Size::mm(2800.0),
            grade: StrengthClass::C24,
            confirmed_load: None,
        }
    }
}

impl Default for HotStore {
    fn default() -> Self {
        Self { heated: Heating::Indirect, size: None, storey: 1 }
    }
}

impl CisternFor {
    /// Both, in the order in which they are offered.
    pub const ALL: [Self; 2] = [Self::ColdTaps, Self::CylinderOnly];

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::ColdTaps => "the cistern in the loft",
            Self::CylinderOnly => "the main",
        }
    }
}

impl Heating {
    /// Both, in the order in which they are offered.
    pub const ALL: [Self; 2] = [Self::Indirect, Self::Direct];

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Indirect => "indirect: a boiler, through a coil",
            Self::Direct => "direct: immersion heaters",
        }
    }
}

impl Winter {
    /// All of them, warmest first.
    pub const ALL: [Self; 3] = [Self::Throughout, Self::ByDay, Self::KeptFromFrost];

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Throughout => "heated day and night",
            Self::ByDay => "heated by day, cool at night",
            Self::KeptFromFrost => "empty for days, only kept from frost: pipes in the loft freeze",
        }
    }

    /// What to know before it is answered so, where no layout by itself does enough.
    #[must_use]
    pub const fn caution(self) -> Option<&'static str> {
        match self {
            Self::Throughout | Self::ByDay => None,
            Self::KeptFromFrost => Some(
                "No insulation that is sold for pipes keeps them from freezing in a loft for two days: have them and the \
                 cistern drained down before the house stands empty, or trace heating fitted, and answer how it is heated while people live in it.",
            ),
        }
    }

    /// How warm the rooms are, °C, and how long a frost may hold the loft without a break, h
    /// (common practice, no source).
    pub(super) const fn room_c_and_frost_h(self) -> (f64, f64) {
        match self {
            Self::Throughout => (20.0, 8.0),
            Self::ByDay => (16.0, 10.0),
            Self::KeptFromFrost => (7.0, 48.0),
        }
    }
}

impl Answers {
    /// The outlets that there may be.
    pub const KINDS: [OutletKind; 5] =
        [OutletKind::Bath, OutletKind::Basin, OutletKind::Shower, OutletKind::Wc, OutletKind::Sink];

    /// What makes no sense about the answers by themselves, in words; `None` where they can be tried.
    #[must_use]
    pub fn slip(&self) -> Option<String> {
        let (least, most) = (1, 3);
        if !(least..=most).contains(&self.storeys) {
            return Some(format!("The house has {} storeys; between {least} and {most} can be set out.", self.storeys));
        }
        if !(1..=8).contains(&self.bedrooms) {
            return Some(format!("The house has {} bedrooms; between 1 and 8 can be set out.", self.bedrooms));
        }
        if self.outlets.len() > 16 {
            return Some(format!(
                "There are {} outlets; up to 16 can be set out in one elevation.",
                self.outlets.len()
            ));
        }
        let top = self.storeys - 1;
        if self.cylinder.storey > top {
            return Some(format!(
                "The cylinder stands on storey {}, but the highest is storey {top} (0 is the ground floor).",
                self.cylinder.storey
            ));
        }
        if let Some(draw) = self.outlets.iter().find(|draw| draw.storey > top) {
            return Some(format!(
                "There is a {} on storey {}, but the highest is storey {top} (0 is the ground floor).",
                draw.kind.words(),
                draw.storey
            ));
        }
        if let Some(draw) = self.outlets.iter().find(|draw| !Self::KINDS.contains(&draw.kind)) {
            return Some(format!("A {} is not among the outlets that are set out from answers.", draw.kind.words()));
        }
        if !self.outlets.iter().any(|draw| draw.kind != OutletKind::Wc) {
            return Some("No outlet takes hot water; name at least a bath, basin, shower or sink.".to_owned());
        }
        let size = self.cylinder.size.as_deref();
        if let Some(size) = size.filter(|size| crate::catalogue::cylinder(size).is_none()) {
            let known: Vec<&str> =
                crate::catalogue::cylinders().sizes.iter().map(|size| size.reference.as_str()).collect();
            return Some(format!("There is no cylinder of reference {size}; the table has {}.", known.join(", ")));
        }
        None
    }
}
