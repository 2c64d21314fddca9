//! What figures of warming and frost hang on beside the drawing: told by the user, or assumed and named as assumed.

use crate::layout::Climate;
use crate::units::Unit;

/// Something that the weather, the household or a maker decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Condition {
    /// The loft on a summer afternoon.
    LoftPeak,
    /// The loft in a night between such days.
    LoftSummerLow,
    /// The room below the loft on such days.
    RoomSummer,
    /// Water from the main on such days.
    MainSummer,
    /// The loft in a frost.
    LoftWinterLow,
    /// How long such a frost lasts.
    FrostLasts,
    /// Water from the main in winter.
    MainWinter,
    /// Heated rooms.
    Room,
    /// Water drawn from the cistern in a day.
    DailyDraw,
    /// Conductivity of insulation whose kind nobody told.
    Conductivity,
    /// Primary water as it comes to a coil.
    Primary,
}

impl Condition {
    /// What is taken where nobody has told: from memory or unfavourable on purpose, never a fact about the house.
    #[must_use]
    pub const fn assumed(self) -> f64 {
        match self {
            Self::LoftPeak => 35.0,
            Self::LoftSummerLow => 18.0,
            Self::RoomSummer => 25.0,
            Self::MainSummer => 18.0,
            Self::LoftWinterLow => -6.0,
            Self::FrostLasts => 8.0,
            Self::MainWinter => 7.0,
            Self::Room => 20.0,
            Self::DailyDraw => 0.0,
            Self::Conductivity => 0.040,
            Self::Primary => 75.0,
        }
    }

    /// Stands over a list of assumptions.
    pub const HEADING: &str = "Assumed, because nobody has told:";

    /// The assumption in words.
    #[must_use]
    pub fn assumption(self) -> String {
        let amount = |unit: Unit| unit.of(self.assumed());
        let celsius = amount(Unit::Celsius);
        match self {
            Self::LoftPeak => format!("a loft at {celsius} on a summer afternoon"),
            Self::LoftSummerLow => format!("a loft at {celsius} in a summer night"),
            Self::RoomSummer => format!("the room below at {celsius} in summer"),
            Self::MainSummer => format!("the main at {celsius} in summer"),
            Self::LoftWinterLow => format!("a loft at {celsius} in frost"),
            Self::FrostLasts => format!("a frost of {}", amount(Unit::Hour)),
            Self::MainWinter => format!("the main at {celsius} in winter"),
            Self::Room => format!("heated rooms at {celsius}"),
            Self::DailyDraw => "no water drawn".to_owned(),
            Self::Conductivity => format!("insulation that conducts {} W/mK", self.assumed()),
            Self::Primary => format!("primary water at {celsius}"),
        }
    }

    /// What to tell, so that nothing has to be assumed.
    #[must_use]
    pub const fn find_out(self) -> &'static str {
        match self {
            Self::LoftPeak => "how hot the loft gets on a summer afternoon",
            Self::LoftSummerLow => "how cool the loft gets in a summer night",
            Self::RoomSummer => "how warm the room below is in summer",
            Self::MainSummer => "how warm the main comes in summer",
            Self::LoftWinterLow => "how cold the loft gets in a frost",
            Self::FrostLasts => "how long a frost lasts",
            Self::MainWinter => "how cold the main comes in winter",
            Self::Room => "how warm the rooms are",
            Self::DailyDraw => "how much water is drawn in a day",
            Self::Conductivity => "what the insulation is made of",
            Self::Primary => "how hot the primary water comes",
        }
    }

    fn told(self, climate: &Climate) -> Option<f64> {
        let temperature = match self {
            Self::LoftPeak => climate.loft_summer_peak,
            Self::LoftSummerLow => climate.loft_summer_low,
            Self::RoomSummer => climate.room_summer,
            Self::MainSummer => climate.main_summer,
            Self::LoftWinterLow => climate.loft_winter_low,
            Self::MainWinter => climate.main_winter,
            Self::Room => climate.room,
            Self::FrostLasts => return climate.frost_lasts.map(crate::units::Duration::to_hours),
            Self::DailyDraw | Self::Conductivity | Self::Primary => None,
        };
        temperature.map(crate::units::Temperature::to_celsius)
    }
}

/// A figure, and what was assumed for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Reckoned<T> {
    /// The figure.
    pub value: T,
    /// What nobody has told and was assumed; empty when all was told.
    pub assumed: Vec<Condition>,
}

/// A figure, or what to find out before there is one.
pub type Outcome<T> = Result<Reckoned<T>, String>;

/// Collects what a figure has to assume while it is reckoned.
#[derive(Clone)]
pub(super) struct Grounds<'a> {
    climate: &'a Climate,
    assumed: Vec<Condition>,
}

impl<'a> Grounds<'a> {
    pub(super) const fn of(climate: &'a Climate) -> Self {
        Self { climate, assumed: Vec::new() }
    }

    /// A condition as the climate tells it, or as it is assumed.
    pub(super) fn take(&mut self, condition: Condition) -> f64 {
        self.or_assume(condition, condition.told(self.climate))
    }

    /// What is told elsewhere, or what is assumed for it.
    pub(super) fn or_assume(&mut self, condition: Condition, told: Option<f64>) -> f64 {
        told.unwrap_or_else(|| {
            if !self.assumed.contains(&condition) {
                self.assumed.push(condition);
            }
            condition.assumed()
        })
    }

    /// Takes over what another figure had to assume.
    pub(super) fn with<T>(&mut self, other: Reckoned<T>) -> T {
        for condition in other.assumed {
            if !self.assumed.contains(&condition) {
                self.assumed.push(condition);
            }
        }
        other.value
    }

    pub(super) fn reckon<T>(mut self, value: T) -> Reckoned<T> {
        self.assumed.sort_unstable();
        Reckoned { value, assumed: self.assumed }
    }
}
