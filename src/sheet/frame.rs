//! How a sheet is divided: border, staff on the left, the drawing's field, a column on the right.

use glam::{DVec2, dvec2};

use super::Paper;

const BORDER_MM: f64 = 7.0;
const STAFF_MM: f64 = 13.0;
const COLUMN_MM: f64 = 62.0;

/// A box on the sheet in mm; y runs down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Field {
    pub low: DVec2,
    pub high: DVec2,
}

impl Field {
    pub fn size(self) -> DVec2 {
        self.high - self.low
    }

    pub fn middle(self) -> DVec2 {
        self.low.midpoint(self.high)
    }
}

/// A divided sheet.
pub(super) struct Frame {
    /// Inside the border.
    pub inside: Field,
}

impl Frame {
    pub fn on(paper: Paper) -> Self {
        let (width, height) = paper.size_mm();
        Self { inside: Field { low: DVec2::splat(BORDER_MM), high: dvec2(width, height) - BORDER_MM } }
    }

    /// Where the staff stands.
    pub fn staff(&self) -> Field {
        Field { low: self.inside.low, high: dvec2(self.inside.low.x + STAFF_MM, self.inside.high.y) }
    }

    /// Where the drawing stands.
    pub fn field(&self) -> Field {
        Field {
            low: dvec2(self.inside.low.x + STAFF_MM, self.inside.low.y),
            high: dvec2(self.column().low.x, self.inside.high.y),
        }
    }

    /// Where legend and title block stand.
    pub fn column(&self) -> Field {
        Field { low: dvec2(self.inside.high.x - COLUMN_MM, self.inside.low.y), high: self.inside.high }
    }
}
