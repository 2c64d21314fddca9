//! How a sheet is divided: border, staff on the left, the drawing's field, legend, strip of the scale, title block.
//!
//! Margins, grid reference and marks after ISO 5457, the breadth of the title block after ISO 7200; every figure of both
//! is from memory. A3 lies, with the legend beside the drawing. A4 stands, with the legend below it and the title block
//! along its whole short side.

use glam::{DVec2, dvec2};

use super::Paper;

/// From the edge of the paper to the frame; on the left a sheet is filed.
const FILING_MM: f64 = 20.0;
const MARGIN_MM: f64 = 10.0;
/// Breadth of the border that holds the grid reference, outside the frame.
pub(super) const BORDER_MM: f64 = 5.0;
/// Fields of the grid reference are so long, counted from the middle of the sheet; those in the corners take the rest.
const ZONE_MM: f64 = 50.0;
const TITLE_MM: DVec2 = dvec2(180.0, 28.0);
const STAFF_MM: f64 = 13.0;
/// The legend beside the drawing.
const COLUMN_MM: f64 = 62.0;
/// The legend below the drawing, in so many columns, and the strip of the scale between it and the title block.
const BAND_MM: f64 = 72.0;
const COLUMNS: u32 = 3;
const STRIP_MM: f64 = 8.0;

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

    pub fn grown(self, by: f64) -> Self {
        Self { low: self.low - by, high: self.high + by }
    }
}

/// A divided sheet.
pub(super) struct Frame {
    pub paper: Paper,
    /// Within the frame.
    pub inside: Field,
}

impl Frame {
    pub fn on(paper: Paper) -> Self {
        let (width, height) = paper.size_mm();
        let low = dvec2(FILING_MM, MARGIN_MM);
        Self { paper, inside: Field { low, high: dvec2(width, height) - MARGIN_MM } }
    }

    /// Where the grid reference is parted, across and down, mm from the edge of the paper.
    pub fn zones(&self) -> (Vec<f64>, Vec<f64>) {
        let (width, height) = self.paper.size_mm();
        let parted = |whole: f64, low: f64, high: f64| -> Vec<f64> {
            let from_middle = (-8..=8).map(|number| whole / 2.0 + ZONE_MM * f64::from(number));
            from_middle.filter(|at| *at > low && *at < high).collect()
        };
        let Field { low, high } = self.inside;
        (parted(width, low.x, high.x), parted(height, low.y, high.y))
    }

    /// Where the staff stands.
    pub fn staff(&self) -> Field {
        Field { low: self.inside.low, high: dvec2(self.inside.low.x + STAFF_MM, self.floor()) }
    }

    /// Where the drawing stands.
    pub fn field(&self) -> Field {
        let right = match self.paper {
            Paper::A3 => self.inside.high.x - COLUMN_MM,
            Paper::A4 => self.inside.high.x,
        };
        Field { low: dvec2(self.inside.low.x + STAFF_MM, self.inside.low.y), high: dvec2(right, self.floor()) }
    }

    /// Where the legend stands, column by column.
    pub fn legend(&self) -> Vec<Field> {
        let Field { low, high } = self.inside;
        match self.paper {
            Paper::A3 => vec![Field { low: dvec2(high.x - COLUMN_MM, low.y), high: dvec2(high.x, self.title().low.y) }],
            Paper::A4 => {
                let wide = (high.x - low.x) / f64::from(COLUMNS);
                let column = |number: u32| Field {
                    low: dvec2(low.x + wide * f64::from(number), self.floor()),
                    high: dvec2(low.x + wide * f64::from(number + 1), self.floor() + BAND_MM),
                };
                (0..COLUMNS).map(column).collect()
            }
        }
    }

    /// Where scale bar and caution stand.
    pub fn strip(&self) -> Field {
        let title = self.title();
        match self.paper {
            Paper::A3 => Field { low: dvec2(self.inside.low.x, title.low.y), high: dvec2(title.low.x, title.high.y) },
            Paper::A4 => {
                Field { low: dvec2(title.low.x, title.low.y - STRIP_MM), high: dvec2(title.high.x, title.low.y) }
            }
        }
    }

    /// The title block, in the lower right corner.
    pub fn title(&self) -> Field {
        Field { low: self.inside.high - TITLE_MM, high: self.inside.high }
    }

    /// The lower edge of staff and drawing.
    fn floor(&self) -> f64 {
        match self.paper {
            Paper::A3 => self.title().low.y,
            Paper::A4 => self.strip().low.y - BAND_MM,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Fields along the longer and the shorter side: 8 and 6 on A3, 6 and 4 on A4 (ISO 5457, from memory).
    #[test]
    fn the_grid_has_as_many_fields_as_the_standard_says() {
        let (across, down) = Frame::on(Paper::A3).zones();
        assert_eq!((across.len() + 1, down.len() + 1), (8, 6));
        let (across, down) = Frame::on(Paper::A4).zones();
        assert_eq!((across.len() + 1, down.len() + 1), (4, 6));
    }

    #[test]
    fn the_divisions_of_a_sheet_fill_its_frame() {
        for paper in [Paper::A4, Paper::A3] {
            let frame = Frame::on(paper);
            let area = |field: Field| field.size().x * field.size().y;
            let pieces = [frame.staff(), frame.field(), frame.strip(), frame.title()];
            let sum: f64 = pieces.into_iter().chain(frame.legend()).map(area).sum();
            assert!((sum - area(frame.inside)).abs() < 1e-6, "{paper:?}: {sum}");
        }
        // A4 of ISO 5457 has its title block along the whole short side.
        let frame = Frame::on(Paper::A4);
        assert_eq!(frame.title().size().x, frame.inside.size().x);
    }
}
