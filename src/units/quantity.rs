//! Finite, bounded numbers with a unit in their name; the only doors through which a raw number gets in.

use std::cmp::Ordering;
use std::ops::{Add, Mul, Neg, Sub};

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// The longest length, and the highest or lowest level, that a layout may hold: one kilometre.
/// Beyond it screen coordinates lose the millimetre and a slip of the keyboard is certain.
const GREATEST_MM: f64 = 1_000_000.0;
/// The largest volume (litres) or mass (kg) that a layout may hold.
const GREATEST_AMOUNT: f64 = 1_000_000.0;

/// Why a number is not accepted as a quantity.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NotAQuantity {
    /// NaN or infinity.
    #[error("{quantity} must be an ordinary number, not {value}")]
    NotFinite {
        /// What was wanted.
        quantity: &'static str,
        /// What came.
        value: f64,
    },
    /// Outside what the quantity can be.
    #[error("{quantity} must be {range} {unit}, got {value}")]
    OutOfRange {
        /// What was wanted.
        quantity: &'static str,
        /// The range in words.
        range: &'static str,
        /// The unit of the range.
        unit: &'static str,
        /// What came.
        value: f64,
    },
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $make:ident, $get:ident, $words:literal, $unit:literal, $range:literal, $accepts:expr) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
        #[serde(try_from = "f64", into = "f64")]
        pub struct $name(f64);

        impl $name {
            /// Takes a raw number in the unit of this door's name.
            ///
            /// # Errors
            /// [`NotAQuantity`] when the number is not finite or out of range.
            pub fn $make(value: f64) -> Result<Self, NotAQuantity> {
                let accepts: fn(f64) -> bool = $accepts;
                if !value.is_finite() {
                    Err(NotAQuantity::NotFinite { quantity: $words, value })
                } else if !accepts(value) {
                    Err(NotAQuantity::OutOfRange { quantity: $words, range: $range, unit: $unit, value })
                } else {
                    Ok(Self(value))
                }
            }

            /// The raw number in the unit of this door's name.
            #[must_use]
            pub const fn $get(self) -> f64 {
                self.0
            }
        }

        impl Eq for $name {}

        impl PartialOrd for $name {
            fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
                Some(self.cmp(other))
            }
        }

        // No NaN comes through the door.
        impl Ord for $name {
            fn cmp(&self, other: &Self) -> Ordering {
                self.0.partial_cmp(&other.0).unwrap_or(Ordering::Equal)
            }
        }

        impl TryFrom<f64> for $name {
            type Error = NotAQuantity;
            fn try_from(value: f64) -> Result<Self, NotAQuantity> {
                Self::$make(value)
            }
        }

        impl From<$name> for f64 {
            fn from(quantity: $name) -> f64 {
                quantity.0
            }
        }
    };
}

quantity!(
    /// A distance with a direction along its axis, in millimetres; may be negative.
    Length, try_mm, to_mm, "a length", "mm", "between -1000000 and 1000000", |mm| mm.abs() <= GREATEST_MM
);
quantity!(
    /// A dimension of a thing, in millimetres; always more than zero.
    Size, try_mm, to_mm, "a size", "mm", "more than 0 and at most 1000000", |mm| mm > 0.0 && mm <= GREATEST_MM
);
quantity!(
    /// A height above the datum (finished floor of the lowest storey), in millimetres.
    Level, try_mm, to_mm, "a level", "mm", "between -1000000 and 1000000", |mm| mm.abs() <= GREATEST_MM
);
quantity!(
    /// A volume in litres.
    Volume, try_litres, to_litres, "a volume", "L", "more than 0 and at most 1000000", |litres| litres > 0.0 && litres <= GREATEST_AMOUNT
);
quantity!(
    /// A mass in kilograms.
    Mass, try_kg, to_kg, "a mass", "kg", "at least 0 and at most 1000000", |kg| (0.0..=GREATEST_AMOUNT).contains(&kg)
);
quantity!(
    /// A load on a surface in kilonewtons per square metre.
    SurfaceLoad, try_kn_per_m2, to_kn_per_m2, "a load on a surface", "kN/m²", "at least 0 and at most 1000", |kn| (0.0..=1000.0).contains(&kn)
);
quantity!(
    /// A power in kilowatts.
    Power, try_kw, to_kw, "a power", "kW", "more than 0 and at most 1000", |kw| kw > 0.0 && kw <= 1000.0
);
quantity!(
    /// A temperature in degrees Celsius, within what water in a house can reach.
    Temperature,
    try_celsius,
    to_celsius,
    "a temperature",
    "°C",
    "between -50 and 150",
    |celsius| (-50.0..=150.0).contains(&celsius)
);

quantity!(
    /// A span of time in hours.
    Duration, try_hours, to_hours, "a span of time", "h", "more than 0 and at most 10000", |hours| hours > 0.0 && hours <= 10_000.0
);
quantity!(
    /// Heat that is lost steadily, in watts.
    HeatLoss, try_watts, to_watts, "a heat loss", "W", "more than 0 and at most 10000", |watts| watts > 0.0 && watts <= 10_000.0
);
quantity!(
    /// Heat that passes for each kelvin of difference, in watts per kelvin.
    Conductance, try_w_k, to_w_k, "a conductance", "W/K", "more than 0 and at most 10000", |w_k| w_k > 0.0 && w_k <= 10_000.0
);
quantity!(
    /// A flow of water in litres per second.
    Flow, try_l_s, to_l_s, "a flow", "L/s", "more than 0 and at most 1000", |l_s| l_s > 0.0 && l_s <= 1000.0
);
quantity!(
    /// A pressure above that of the air, in kilopascals.
    Pressure, try_kpa, to_kpa, "a pressure", "kPa", "at least 0 and at most 10000", |kpa| (0.0..=10_000.0).contains(&kpa)
);

quantity!(
    /// A loss coefficient K: how many velocity heads a fitting takes.
    LossCoefficient, try_k, to_k, "a loss coefficient", "velocity heads", "at least 0 and at most 10000", |k| (0.0..=10_000.0).contains(&k)
);

impl Length {
    /// Nothing at all.
    pub const ZERO: Self = Self(0.0);

    /// A length from millimetres that are known to be in range; out of range is drawn in to the bound,
    /// which only a drag beyond the edge of the world can reach.
    #[must_use]
    pub fn mm(value: f64) -> Self {
        debug_assert!(value.is_finite());
        Self(value.clamp(-GREATEST_MM, GREATEST_MM))
    }
}

impl Level {
    /// The datum itself.
    pub const DATUM: Self = Self(0.0);

    /// A level from millimetres above the datum, drawn in to the bound like [`Length::mm`].
    #[must_use]
    pub fn mm(value: f64) -> Self {
        debug_assert!(value.is_finite());
        Self(value.clamp(-GREATEST_MM, GREATEST_MM))
    }
}

impl Size {
    /// A size from millimetres that are known to be positive; less than a tenth of a millimetre becomes that.
    #[must_use]
    pub fn mm(value: f64) -> Self {
        debug_assert!(value.is_finite());
        Self(value.clamp(0.1, GREATEST_MM))
    }
}

impl From<Size> for Length {
    fn from(size: Size) -> Self {
        Self(size.0)
    }
}

impl Sub for Level {
    type Output = Length;
    fn sub(self, below: Self) -> Length {
        Length::mm(self.0 - below.0)
    }
}

impl Add<Length> for Level {
    type Output = Self;
    fn add(self, rise: Length) -> Self {
        Self::mm(self.0 + rise.0)
    }
}

impl Add<Size> for Level {
    type Output = Self;
    fn add(self, rise: Size) -> Self {
        Self::mm(self.0 + rise.0)
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::mm(self.0 + other.0)
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::mm(self.0 - other.0)
    }
}

impl Mul<f64> for Length {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::mm(self.0 * factor)
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nan_and_infinity_are_refused_at_every_door() {
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert!(Length::try_mm(bad).is_err());
            assert!(Level::try_mm(bad).is_err());
            assert!(Size::try_mm(bad).is_err());
            assert!(Volume::try_litres(bad).is_err());
            assert!(Mass::try_kg(bad).is_err());
        }
    }

    #[test]
    fn a_size_is_more_than_nothing() {
        assert!(Size::try_mm(0.0).is_err());
        let error = Size::try_mm(-3.0).expect_err("negative");
        assert_eq!(error.to_string(), "a size must be more than 0 and at most 1000000 mm, got -3");
    }

    #[test]
    fn the_difference_of_levels_is_a_length() {
        let rise: Length = Level::mm(5310.0) - Level::mm(5000.0);
        assert_eq!(rise.to_mm(), 310.0);
        assert_eq!((Level::mm(100.0) + rise).to_mm(), 410.0);
    }
}
