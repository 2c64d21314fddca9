//! What is handed over: the drawing on a sheet, and tables.

mod border;
mod class;
mod column;
mod dxf;
mod frame;
mod furniture;
mod legend;
mod lesson;
mod marks;
mod page;
pub mod pages;
mod pdf;
mod picture;
pub mod report;
mod shaped;
mod table;
mod tiling;
mod title;
mod writer;

pub use class::{ClassPapers, FORM_FILE, KEY_FILE, file_stem};
pub use column::{harmless, paragraph};
pub use dxf::dxf;
pub use lesson::{
    answer_sheet, answers_form, record_csv, sums_answers, sums_answers_text, sums_sheet, sums_text, worksheet,
};
pub use marks::{marks_json, marks_text};
pub use picture::{Pixels, SheetError, pixels, png};
pub use table::{bill_json, price_list_csv, takeoff_csv};

use glam::DVec2;

use crate::layout::Heading;
use crate::rules::Voice;
use crate::scene::{Origin, Scene, Stroke, Theme, View, bounds};
use frame::{Field, Frame};
use page::PageItem;

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
    /// For whom its words are.
    pub voice: Voice,
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

/// Paper sizes of ISO 216, as drawings use them (ISO 5457, from memory).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 210 × 297 mm, standing.
    A4,
    /// 420 × 297 mm, lying.
    A3,
}

impl Paper {
    /// Width and height in mm.
    #[must_use]
    pub const fn size_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::A3 => (420.0, 297.0),
        }
    }
}

/// Which of how many sheets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct SheetNumber {
    number: usize,
    count: usize,
}

/// The scene on a sheet, as SVG. The same scene and sheet give the same bytes. A drawing that is larger than a sheet
/// takes several: this is the first.
#[must_use]
pub fn svg(scene: &Scene, sheet: &Sheet) -> String {
    svg_of(scene, sheet, 0)
}

/// One of the sheets that a drawing takes, from nought, as SVG.
#[must_use]
pub fn svg_of(scene: &Scene, sheet: &Sheet, number: usize) -> String {
    writer::svg(&laid_out(scene, sheet, number, 0), sheet.paper.size_mm(), &sheet.theme)
}

/// The scene on as many sheets as it takes, as PDF: lines, and words that can be selected, in typefaces that it brings
/// along. The same scene and sheet give the same bytes.
///
/// # Errors
/// [`SheetError::Pdf`] when the PDF cannot be written.
pub fn pdf(scene: &Scene, sheet: &Sheet) -> Result<Vec<u8>, SheetError> {
    pdf::pdf(&drawing(scene, sheet, 0), &sheet.theme, &sheet.heading.title)
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

/// How many sheets a drawing takes.
#[must_use]
pub fn count(scene: &Scene, sheet: &Sheet) -> usize {
    tiling::middles(bounds(scene), Frame::on(sheet.paper).field().size(), scale_on(scene, sheet)).len()
}

/// The sheets of a drawing, counted together with so many pages that follow.
fn drawing(scene: &Scene, sheet: &Sheet, pages_behind: usize) -> Vec<pdf::Leaf> {
    let leaf = |number: usize| {
        let mut items = laid_out(scene, sheet, number, pages_behind);
        if number == 0 {
            items.push(PageItem::Bookmark(DVec2::ZERO, 0, "Drawing".to_owned()));
        }
        pdf::Leaf { items, size_mm: sheet.paper.size_mm() }
    };
    (0..count(scene, sheet)).map(leaf).collect()
}

/// Everything on one of the sheets, in page millimetres.
fn laid_out(scene: &Scene, sheet: &Sheet, number: usize, pages_behind: usize) -> Vec<PageItem> {
    let frame = Frame::on(sheet.paper);
    let field = frame.field();
    let scale = scale_on(scene, sheet);
    let middles = tiling::middles(bounds(scene), field.size(), scale);
    let number = number.min(middles.len() - 1);
    let middle = middles[number];
    // Section millimetres of the field's middle, and of its corners.
    let half = field.size() / 2.0 * scale;
    let view = View { scale, within: Some((middle - half, middle + half)) };
    let strokes = if middles.len() > 1 {
        tiling::seen(scene, middle - half, middle + half).inked(&view)
    } else {
        scene.inked(&view)
    };
    let mut page = page::Page::default();
    let on_paper = |point: DVec2| field.middle() + (point - middle) * DVec2::new(1.0, -1.0) / scale;
    let links = links(&strokes, scale, &on_paper);
    page.clipped(field, strokes, &on_paper);
    links.into_iter().for_each(|item| page.push(item));
    let of_all = SheetNumber { number: number + 1, count: middles.len() + pages_behind };
    furniture::draw(&mut page, &frame, scene, sheet, scale, middle, of_all);
    page.finish()
}

/// The words of each mark lead to its entry, and its entry back to them.
fn links(strokes: &[Stroke], scale: f64, on_paper: &impl Fn(DVec2) -> DVec2) -> Vec<PageItem> {
    let mut items = Vec::new();
    let mut led: Vec<String> = Vec::new();
    for stroke in strokes {
        let (Origin::Mark(key), Some((low, high))) = (&stroke.origin, stroke.drawn.words_box(scale)) else { continue };
        let name = report::name_of(key);
        // The section counts upward and the page downward.
        let (a, b) = (on_paper(low), on_paper(high));
        let area = Field { low: a.min(b), high: a.max(b) };
        if !led.contains(&name) {
            items.push(PageItem::Target((area.low - 20.0).max(DVec2::ZERO), report::drawn_name(&name)));
            led.push(name.clone());
        }
        items.push(PageItem::Link(area, name));
    }
    items
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
