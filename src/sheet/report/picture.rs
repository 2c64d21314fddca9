//! Pictures of a report: cut-outs of the drawing around what some findings are about.

use glam::{DVec2, dvec2};

use super::super::fitting_scale;
use super::super::frame::Field;
use super::super::page::{Page, PageItem};
use super::super::writer::{inline_svg, number};
use crate::finding::{Finding, FindingKey};
use crate::measure::Site;
use crate::rules::Voice;
use crate::scene::{
    Detail, Emphasis, Ink, Outline, PenWidth, Scene, Stroke, TextAnchor, TextSize, Theme, Turn, View, detail,
    struck_through,
};

/// Paper left free around what is shown, mm.
const FREE_MM: f64 = 3.0;
/// Room for the line below a picture, mm.
const CAPTION_MM: f64 = 4.6;

/// So many scales are tried, each just larger than so many times the last.
const SCALES_TRIED: usize = 6;
const ONWARD: f64 = 1.001;

/// A picture, in page millimetres from its upper left corner.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    pub(super) size_mm: DVec2,
    pub(super) items: Vec<PageItem>,
    /// What it shows, for whoever does not see it.
    pub words: String,
}

impl Picture {
    /// What lies around the marks of some findings, as large as a round scale allows; none when none has a place.
    pub(super) fn of(
        parts: &Scene,
        site: &Site<'_>,
        of: &[(&FindingKey, &Finding, Emphasis)],
        size_mm: DVec2,
        words: &str,
        voice: Voice,
    ) -> Option<Self> {
        let cut = detail(parts, site, of, voice)?;
        let size = size_mm - dvec2(0.0, CAPTION_MM);
        let (scale, strokes) = inked(&cut, size)?;
        let field = Field { low: DVec2::ZERO, high: size };
        let mut page = Page::default();
        let on_page = |point: DVec2| size / 2.0 + (point - cut.middle) * dvec2(1.0, -1.0) / scale;
        page.clipped(field, strokes, &on_page);
        page.rectangle(field, None, Some(Outline::solid(Ink::Faint, PenWidth::Fine.mm())));
        let words = format!("{words}, 1 : {}", number(scale));
        let at = dvec2(0.0, size.y + 3.2);
        page.words(at, TextAnchor::Start, &words, TextSize::Small.mm(), Ink::GreyPencil, Turn::Level);
        Some(Self { size_mm, items: page.finish(), words })
    }

    /// The picture as SVG that stands in a page of HTML.
    pub(super) fn svg(&self) -> String {
        inline_svg(&self.items, (self.size_mm.x, self.size_mm.y), Theme::light())
    }
}

/// A cut-out inked for a picture, with its scale: the largest round one that shows all of it, or one of the next smaller where
/// only there the marks find blank paper for their words.
fn inked(cut: &Detail<'_>, size_mm: DVec2) -> Option<(f64, Vec<Stroke>)> {
    let room = size_mm - 2.0 * FREE_MM;
    let scale_for = |shown_mm: DVec2| fitting_scale(Some((DVec2::ZERO, shown_mm)), room);
    let smaller = |scale: &f64| Some(scale_for(room * *scale * ONWARD));
    let mut best: Option<(usize, f64, Vec<Stroke>)> = None;
    for scale in std::iter::successors(Some(scale_for(cut.size_mm)), smaller).take(SCALES_TRIED) {
        let shown = size_mm * scale;
        let view = View { scale, within: Some((cut.middle - shown / 2.0, cut.middle + shown / 2.0)) };
        let strokes = cut.scene(shown).inked(&view);
        let struck = struck_through(&strokes, scale);
        if best.as_ref().is_none_or(|(least, ..)| struck < *least) {
            best = Some((struck, scale, strokes));
        }
        if struck == 0 {
            break;
        }
    }
    best.map(|(_, scale, strokes)| (scale, strokes))
}
