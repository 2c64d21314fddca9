//! Files that are handed over: each is made in a thread of its own, which tells how far it is.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::thread;

use egui::Context;

use crate::file;
use crate::finding::Findings;
use crate::layout::Layout;
use crate::measure::Site;
use crate::rules::Profile;
use crate::sheet::pages::{Pages, Terms, What, drawn};
use crate::sheet::{self, report, takeoff_csv};
use crate::takeoff::Takeoff;
use crate::takeoff::prices::Priced;

/// Millimetres in an inch.
const MM_IN_AN_INCH: f64 = 25.4;

/// What is handed over, and as what.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// The drawing with its entries.
    DrawingPdf,
    /// One sheet of the drawing.
    DrawingSvg,
    /// One sheet of the drawing.
    DrawingPng,
    /// The drawing without a sheet.
    DrawingDxf,
    /// The drawing and the report.
    ReportPdf,
    /// The report in one file.
    ReportHtml,
    /// The report as plain text.
    ReportMarkdown,
    /// The list of the take-off.
    TakeoffCsv,
}

impl Form {
    /// What a button calls it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::DrawingPdf => "Drawing as PDF…",
            Self::DrawingSvg => "Drawing as SVG…",
            Self::DrawingPng => "Drawing as PNG…",
            Self::DrawingDxf => "Drawing as DXF…",
            Self::ReportPdf => "Report as PDF…",
            Self::ReportHtml => "Report as HTML…",
            Self::ReportMarkdown => "Report as Markdown…",
            Self::TakeoffCsv => "List as CSV…",
        }
    }

    /// How its file's name ends.
    #[must_use]
    pub const fn ending(self) -> &'static str {
        match self {
            Self::DrawingPdf | Self::ReportPdf => "pdf",
            Self::DrawingSvg => "svg",
            Self::DrawingPng => "png",
            Self::DrawingDxf => "dxf",
            Self::ReportHtml => "html",
            Self::ReportMarkdown => "md",
            Self::TakeoffCsv => "csv",
        }
    }

    /// What its file is likely to be called, behind the layout's name.
    #[must_use]
    pub const fn stem(self) -> &'static str {
        match self {
            Self::DrawingPdf | Self::DrawingSvg | Self::DrawingPng | Self::DrawingDxf => "drawing",
            Self::ReportPdf | Self::ReportHtml | Self::ReportMarkdown => "report",
            Self::TakeoffCsv => "take-off",
        }
    }
}

/// All that a file is made from.
pub struct Job {
    /// What it is.
    pub form: Form,
    /// The layout.
    pub layout: Arc<Layout>,
    /// The rules in force.
    pub profile: Profile,
    /// Paper, scale and reading.
    pub terms: Terms,
    /// Which sheet, from nought, where only one fits into a file.
    pub sheet: usize,
    /// Pixels to the inch of a picture.
    pub dpi: u16,
    /// The list with its prices.
    pub list: Option<(Takeoff, Option<Priced>)>,
}

/// A file under way.
pub struct Export {
    heard: Receiver<Step>,
    /// How far it is, from 0 to 1.
    pub share: f32,
    /// What is being done.
    pub doing: &'static str,
}

enum Step {
    At(f32, &'static str),
    Done(Result<PathBuf, String>),
}

impl Export {
    /// Begins to make a file and write it.
    #[must_use]
    pub fn begin(job: Job, path: PathBuf, ctx: &Context) -> Self {
        let (tell, heard) = channel();
        let ctx = ctx.clone();
        thread::spawn(move || {
            // The window may have closed meanwhile; then nobody listens.
            let say = |step: Step| {
                let _ = tell.send(step);
                ctx.request_repaint();
            };
            let made = job.made(&|share, doing| say(Step::At(share, doing)));
            let written = made.and_then(|bytes| {
                say(Step::At(0.9, "Writing the file"));
                file::hand_over(&path, &bytes).map_err(|error| error.to_string())
            });
            say(Step::Done(written.map(|()| path)));
        });
        Self { heard, share: 0.0, doing: "Beginning" }
    }

    /// Listens; what came of it, once it is done.
    pub fn hear(&mut self) -> Option<Result<PathBuf, String>> {
        loop {
            match self.heard.try_recv() {
                Ok(Step::At(share, doing)) => (self.share, self.doing) = (share, doing),
                Ok(Step::Done(outcome)) => return Some(outcome),
                Err(TryRecvError::Empty) => return None,
                Err(TryRecvError::Disconnected) => return Some(Err("the file could not be made".to_owned())),
            }
        }
    }
}

impl Job {
    fn made(&self, say: &impl Fn(f32, &'static str)) -> Result<Vec<u8>, String> {
        say(0.1, "Checking the layout");
        let (layout, profile, terms) = (&*self.layout, &self.profile, self.terms);
        let site = Site::of(layout);
        let findings = || Findings::under(&site, profile);
        let drawing = || {
            let found = findings();
            say(0.4, "Drawing");
            drawn(&site, profile, &found, terms)
        };
        let pages = |what: What| {
            let pages = Pages::of(layout, profile, what, terms);
            say(0.7, "Setting the pages");
            pages.pdf().map_err(|error| error.to_string())
        };
        let document = || report::report(&site, profile, &findings(), terms.voice);
        match self.form {
            Form::DrawingPdf => pages(What::Drawing),
            Form::ReportPdf => pages(What::Report),
            Form::DrawingSvg => {
                let (scene, sheet) = drawing();
                Ok(sheet::svg_of(&scene, &sheet, self.sheet).into_bytes())
            }
            Form::DrawingPng => {
                let (scene, sheet) = drawing();
                let svg = sheet::svg_of(&scene, &sheet, self.sheet);
                say(0.6, "Painting");
                sheet::png(&svg, f64::from(self.dpi) / MM_IN_AN_INCH).map_err(|error| error.to_string())
            }
            Form::DrawingDxf => {
                let (scene, sheet) = drawing();
                let scale = sheet::scale_on(&scene, &sheet);
                Ok(sheet::dxf(layout, &scene, scale, &profile.differences()).into_bytes())
            }
            Form::ReportHtml => Ok(report::html(&document()).into_bytes()),
            Form::ReportMarkdown => Ok(report::markdown(&document()).into_bytes()),
            Form::TakeoffCsv => match &self.list {
                Some((takeoff, priced)) => Ok(takeoff_csv(takeoff, priced.as_ref()).into_bytes()),
                None => Err("there is no list yet".to_owned()),
            },
        }
    }
}
