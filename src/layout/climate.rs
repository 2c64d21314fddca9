//! What the weather and the household do to the loft and the water: told by the user, never read off a drawing.

use serde::{Deserialize, Serialize};

use crate::units::{Duration, Temperature};

/// Temperatures that warming and frost are reckoned with. What is left out is assumed, and said to be so.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Climate {
    /// Hottest that the loft gets on a summer afternoon.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub loft_summer_peak: Option<Temperature>,
    /// Coolest that the loft gets in a night between such days.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub loft_summer_low: Option<Temperature>,
    /// The room below the loft on such days.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room_summer: Option<Temperature>,
    /// Water from the main on such days.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub main_summer: Option<Temperature>,
    /// Coldest that the loft gets in a frost.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub loft_winter_low: Option<Temperature>,
    /// How long such a frost lasts without a break.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub frost_lasts: Option<Duration>,
    /// Water from the main in winter.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub main_winter: Option<Temperature>,
    /// Heated rooms.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room: Option<Temperature>,
}

impl Climate {
    /// Whether nothing of it is told.
    #[must_use]
    pub fn is_untold(&self) -> bool {
        *self == Self::default()
    }

    /// Whether all of it is told.
    #[must_use]
    pub fn is_told(&self) -> bool {
        let temperatures = [
            self.loft_summer_peak,
            self.loft_summer_low,
            self.room_summer,
            self.main_summer,
            self.loft_winter_low,
            self.main_winter,
            self.room,
        ];
        self.frost_lasts.is_some() && temperatures.iter().all(Option::is_some)
    }
}
