//! What is handed over as pages: the drawing with its entries, or the report. The same pages are shown, and written as PDF.

use super::pdf::{self, Leaf};
use super::report::{self, Document};
use super::{Paper, Sheet, SheetError, SheetScale, count, drawing, writer};
use crate::finding::Findings;
use crate::layout::Layout;
use crate::measure::Site;
use crate::rules::{Profile, Voice};
use crate::scene::{self, Marks, Scene, Theme, Which};
use crate::takeoff::quote::Comparison;

/// Where more marks than this crowd a sheet, most are numbers: those of the entries behind it.
const MOST_WRITTEN_OUT: usize = 14;

/// What is handed over as pages.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// The drawing to scale, and the findings that are marked on it.
    Drawing,
    /// The drawing as large as it fits, and the whole report.
    Report,
}

/// How it is handed over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Terms {
    /// The paper of the drawing.
    pub paper: Paper,
    /// How large it is drawn.
    pub scale: SheetScale,
    /// For whom the words are.
    pub voice: Voice,
}

/// Pages laid out.
pub struct Pages {
    leaves: Vec<Leaf>,
    title: String,
}

impl Pages {
    /// Lays out what is handed over of a layout under a profile.
    #[must_use]
    pub fn of(layout: &Layout, profile: &Profile, what: What, terms: Terms) -> Self {
        let site = Site::of(layout);
        let findings = Findings::under(&site, profile);
        let (scene, sheet) = drawn(&site, profile, &findings, terms);
        let document = match what {
            What::Drawing => Some(report::entries(&site, &findings, terms.voice)).filter(|of| !of.blocks.is_empty()),
            What::Report => Some(report::report(&site, profile, &findings, terms.voice)),
        };
        Self { leaves: bound(&scene, &sheet, document.as_ref()), title: sheet.heading.title }
    }

    /// Lays out the report, with a quote set against the layout.
    #[must_use]
    pub fn of_report(layout: &Layout, profile: &Profile, terms: Terms, quote: Option<&Comparison>) -> Self {
        let site = Site::of(layout);
        let findings = Findings::under(&site, profile);
        let (scene, sheet) = drawn(&site, profile, &findings, terms);
        let document = report::report_on_quote(&site, profile, &findings, terms.voice, quote);
        Self { leaves: bound(&scene, &sheet, Some(&document)), title: sheet.heading.title }
    }

    /// How many there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.leaves.len()
    }

    /// Width and height of a page, mm.
    #[must_use]
    pub fn size_mm(&self, number: usize) -> Option<(f64, f64)> {
        self.leaves.get(number).map(|leaf| leaf.size_mm)
    }

    /// A page as SVG.
    #[must_use]
    pub fn svg(&self, number: usize) -> Option<String> {
        self.leaves.get(number).map(|leaf| writer::svg(&leaf.items, leaf.size_mm, Theme::light()))
    }

    /// All of them as PDF; each mark leads to its entry, and each entry back to its mark.
    ///
    /// # Errors
    /// [`SheetError::Pdf`] when the PDF cannot be written.
    pub fn pdf(&self) -> Result<Vec<u8>, SheetError> {
        pdf::pdf(&self.leaves, Theme::light(), &self.title)
    }
}

/// The sheets of a drawing and the pages of a document behind them, all counted together.
pub(super) fn bound(scene: &Scene, sheet: &Sheet, document: Option<&Document>) -> Vec<Leaf> {
    let pages = document.map(|document| report::leaves(document, count(scene, sheet))).unwrap_or_default();
    let mut leaves = drawing(scene, sheet, pages.len());
    leaves.extend(pages);
    leaves
}

/// What is drawn of a site with its marks, dimensions and tags, and the sheet that it goes on.
#[must_use]
pub fn drawn(site: &Site<'_>, profile: &Profile, findings: &Findings, terms: Terms) -> (Scene, Sheet) {
    let crowded = scene::marked(findings).count() > MOST_WRITTEN_OUT;
    let which = if crowded { Which::HeaviestWrittenOut } else { Which::BreachesAndMarginals };
    let mut scene = scene::draw(site, findings, &Marks { which, voice: terms.voice, ..Marks::default() });
    scene::draw_dimensions(&mut scene, site);
    scene::draw_tags(&mut scene, site);
    let sheet = Sheet {
        theme: Theme::light().clone(),
        scale: terms.scale,
        paper: terms.paper,
        heading: site.layout().heading.clone(),
        voice: terms.voice,
        counts: findings.counts().said(terms.voice),
        judged_by: profile.judged_by(),
    };
    (scene, sheet)
}
