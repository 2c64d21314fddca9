//! What is handed over: the drawing on a sheet, and tables.

mod dxf;
mod frame;
mod furniture;
mod handout;
mod lesson;
mod page;
mod pdf;
mod picture;
pub mod report;
mod table;
mod writer;

pub use dxf::dxf;
pub use lesson::{
    answer_sheet, answers_form, record_csv, sums_answers, sums_answers_text, sums_sheet, sums_text, worksheet,
};
pub use picture::{SheetError, png};
pub use table::takeoff_csv;

use glam::DVec2;

use crate::layout::Heading;
use crate::scene::{Scene, Theme, View, bounds};
use frame::Frame;

/// Scales that a drawing is given when it may choose, in section millimetres to a paper millimetre; then tenfold.
const SCALES: [f64; 9] = [10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 75.0];
/// Paper left free around what is drawn when the scale may be chosen, for labels and notes, mm.
const FREE_MM: f64 = 6.0;

/// How a drawing is put on paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The colours.
    pub theme: Theme,
    /// How large it is drawn.
    pub scale: SheetScale,
    /// The paper.
    pub paper: Paper,
    /// What the title block says.
    pub heading: Heading,
    /// How many findings there are, in words; empty to leave them out.
    pub counts: String,
    /// Which profile judged and how it differs from the rule table, a line each; empty to leave it out.
    pub judged_by: Vec<String>,
}

/// How large a drawing is put on paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SheetScale {
    /// As large as a round scale allows.
    Fit,
    /// One to this.
    OneTo(f64),
}

/// Paper sizes of ISO 216, lying.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 297 × 210 mm.
    A4,
    /// 420 × 297 mm.
    A3,
}

impl Paper {
    /// Width and height in mm.
    #[must_use]
    pub const fn size_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (297.0, 210.0),
            Self::A3 => (420.0, 297.0),
        }
    }
}

/// The scene on a sheet, as SVG. The same scene and sheet give the same bytes.
#[must_use]
pub fn svg(scene: &Scene, sheet: &Sheet) -> String {
    writer::svg(&laid_out(scene, sheet), sheet.paper.size_mm(), &sheet.theme)
}

/// The scene on a sheet, as PDF: lines, and words that can be selected, in typefaces that it brings along. The same scene
/// and sheet give the same bytes.
///
/// # Errors
/// [`SheetError::Pdf`] when the PDF cannot be written.
pub fn pdf(scene: &Scene, sheet: &Sheet) -> Result<Vec<u8>, SheetError> {
    pdf::pdf(&laid_out(scene, sheet), sheet.paper.size_mm(), &sheet.theme, &sheet.heading)
}

/// The scale at which a scene goes on a sheet, in section millimetres to a paper millimetre.
#[must_use]
pub fn scale_on(scene: &Scene, sheet: &Sheet) -> f64 {
    let field = Frame::on(sheet.paper).field();
    match sheet.scale {
        SheetScale::Fit => fitting_scale(bounds(scene), field.size() - 2.0 * FREE_MM),
        SheetScale::OneTo(scale) if scale.is_finite() && scale > 0.0 => scale,
        SheetScale::OneTo(_) => SCALES[0],
    }
}

/// Everything on the sheet, in page millimetres.
fn laid_out(scene: &Scene, sheet: &Sheet) -> Vec<page::PageItem> {
    let frame = Frame::on(sheet.paper);
    let field = frame.field();
    let bounds = bounds(scene);
    let scale = scale_on(scene, sheet);
    let middle = bounds.map_or(DVec2::ZERO, |(low, high)| low.midpoint(high));
    // Section millimetres of the field's middle, and of its corners.
    let half = field.size() / 2.0 * scale;
    let view = View { scale, within: Some((middle - half, middle + half)) };
    let mut page = page::Page::default();
    page.clipped(field, |page| {
        let on_paper = |point: DVec2| field.middle() + (point - middle) * DVec2::new(1.0, -1.0) / scale;
        for stroke in scene.inked(&view) {
            page.drawn(&stroke.drawn, &on_paper);
        }
    });
    furniture::draw(&mut page, &frame, scene, sheet, scale, middle);
    page.finish()
}

/// The largest of the round scales at which a drawing fits.
fn fitting_scale(bounds: Option<(DVec2, DVec2)>, room: DVec2) -> f64 {
    let Some((low, high)) = bounds else { return SCALES[0] };
    let asked = ((high - low) / room.max(DVec2::ONE)).max_element();
    let mut decade = 0.1;
    loop {
        if let Some(scale) = SCALES.iter().map(|scale| scale * decade).find(|scale| *scale >= asked) {
            return scale;
        }
        decade *= 10.0;
        if decade > 1e6 {
            return asked;
        }
    }
}

#[cfg(test)]
mod tests {
    use glam::dvec2;

    use super::*;

    #[test]
    fn a_drawing_gets_the_largest_round_scale_that_fits() {
        let bounds = Some((dvec2(0.0, 0.0), dvec2(7800.0, 8557.0)));
        assert_eq!(fitting_scale(bounds, dvec2(190.0, 180.0)), 50.0);
        assert_eq!(fitting_scale(Some((DVec2::ZERO, dvec2(1e6, 1e6))), dvec2(100.0, 100.0)), 10_000.0);
        assert_eq!(fitting_scale(None, dvec2(100.0, 100.0)), 10.0);
    }
}
