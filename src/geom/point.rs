//! A point of the section, as it stands in a file: `(x, z)` in millimetres.

use glam::DVec2;
use serde::{Deserialize, Serialize};

use crate::units::{Length, Level, NotAQuantity};

/// A point of the section: x to the right and z upward from the datum, in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(from = "(Length, Level)", into = "(Length, Level)")]
pub struct Point {
    /// Distance to the right of the section's origin.
    pub x: Length,
    /// Height above the datum.
    pub z: Level,
}

impl Point {
    /// A point from raw millimetres.
    ///
    /// # Errors
    /// [`NotAQuantity`] when a number is not finite or beyond a kilometre.
    pub fn try_mm(x: f64, z: f64) -> Result<Self, NotAQuantity> {
        Ok(Self { x: Length::try_mm(x)?, z: Level::try_mm(z)? })
    }

    /// A point from millimetres that are known to be finite.
    #[must_use]
    pub fn mm(x: f64, z: f64) -> Self {
        Self { x: Length::mm(x), z: Level::mm(z) }
    }

    /// The point as a vector, for reckoning.
    #[must_use]
    pub const fn vector(self) -> DVec2 {
        DVec2::new(self.x.to_mm(), self.z.to_mm())
    }

    /// The point `by` further on.
    #[must_use]
    pub fn moved(self, by: DVec2) -> Self {
        Self::from(self.vector() + by)
    }
}

impl From<DVec2> for Point {
    fn from(vector: DVec2) -> Self {
        Self::mm(vector.x, vector.y)
    }
}

impl From<(Length, Level)> for Point {
    fn from((x, z): (Length, Level)) -> Self {
        Self { x, z }
    }
}

impl From<Point> for (Length, Level) {
    fn from(point: Point) -> Self {
        (point.x, point.z)
    }
}
