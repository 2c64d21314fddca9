//! Files that are handed over: each is made in a thread of its own, which tells how far it is.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicU8, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::thread;

use egui::Context;

use crate::file;
use crate::finding::Findings;
use crate::layout::Layout;
use crate::measure::Site;
use crate::rules::Profile;
use crate::sheet::pages::{Pages, Terms, What, drawn};
use crate::sheet::{self, bill_json, price_list_csv, report, takeoff_csv};
use crate::takeoff::Bill;
use crate::units::MM_IN_AN_INCH;

/// What is handed over, and as what.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// The drawing with its entries.
    DrawingPdf,
    /// The page of the drawing that is shown.
    DrawingSvg,
    /// The page of the drawing that is shown.
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
    /// The list, how it is cut, prices and quote.
    TakeoffJson,
    /// A price list to be filled in.
    PriceListCsv,
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
            Self::TakeoffJson => "List as JSON…",
            Self::PriceListCsv => "Prices to fill in…",
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
            Self::TakeoffCsv | Self::PriceListCsv => "csv",
            Self::TakeoffJson => "json",
        }
    }

    /// What its file is likely to be called, behind the layout's name.
    #[must_use]
    pub const fn stem(self) -> &'static str {
        match self {
            Self::DrawingPdf | Self::DrawingSvg | Self::DrawingPng | Self::DrawingDxf => "drawing",
            Self::ReportPdf | Self::ReportHtml | Self::ReportMarkdown => "report",
            Self::TakeoffCsv | Self::TakeoffJson => "take-off",
            Self::PriceListCsv => "prices",
        }
    }
}

/// All that a file is made from.
pub struct ExportJob {
    /// What it is.
    pub form: Form,
    /// The layout.
    pub layout: Arc<Layout>,
    /// The rules in force.
    pub profile: Profile,
    /// Paper, scale and reading.
    pub terms: Terms,
    /// Which page, from nought, where only one fits into a file.
    pub page: usize,
    /// Pixels to the inch of a picture.
    pub dpi: u16,
    /// The layout's own file, in words; empty when it has none.
    pub file: String,
    /// The take-off with what belongs to it.
    pub bill: Bill,
}

/// Why there is no file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unmade {
    /// Someone called it off.
    CalledOff,
    /// What went wrong, and what to do.
    Failed(String),
}

/// Whether a file may still be called off. Once it is being written it may not, so that no half of it is left behind.
#[derive(Default)]
struct Stage(AtomicU8);

impl Stage {
    const MAKING: u8 = 0;
    const CALLED_OFF: u8 = 1;
    const WRITING: u8 = 2;

    /// Goes on from making, unless that has happened already.
    fn go_on(&self, to: u8) -> bool {
        self.0.compare_exchange(Self::MAKING, to, Ordering::SeqCst, Ordering::SeqCst).is_ok()
    }

    fn still(&self) -> Result<(), Unmade> {
        if self.0.load(Ordering::SeqCst) == Self::CALLED_OFF { Err(Unmade::CalledOff) } else { Ok(()) }
    }
}

/// A file under way.
pub struct Export {
    heard: Receiver<Step>,
    stage: Arc<Stage>,
    /// How far it is, from 0 to 1.
    pub share: f32,
    /// What is being done.
    pub doing: &'static str,
}

enum Step {
    At(f32, &'static str),
    Done(Result<PathBuf, Unmade>),
}

impl Export {
    /// Begins to make a file and write it.
    #[must_use]
    pub fn begin(job: ExportJob, path: PathBuf, ctx: &Context) -> Self {
        let (tell, heard) = channel();
        let (ctx, stage) = (ctx.clone(), Arc::<Stage>::default());
        let watched = Arc::clone(&stage);
        thread::spawn(move || {
            // The window may have closed meanwhile; then nobody listens.
            let say = |step: Step| {
                let _ = tell.send(step);
                ctx.request_repaint();
            };
            let made = job.made(&|share, doing| {
                say(Step::At(share, doing));
                watched.still()
            });
            let written = made.and_then(|bytes| {
                if !watched.go_on(Stage::WRITING) {
                    return Err(Unmade::CalledOff);
                }
                say(Step::At(0.9, "Writing the file"));
                file::hand_over(&path, &bytes).map_err(|error| Unmade::Failed(error.to_string()))
            });
            say(Step::Done(written.map(|()| path)));
        });
        Self { heard, stage, share: 0.0, doing: "Beginning" }
    }

    /// Calls it off; whether that was still possible. Nothing is written then.
    pub fn call_off(&self) -> bool {
        self.stage.go_on(Stage::CALLED_OFF)
    }

    /// Listens; what came of it, once it is done.
    pub fn hear(&mut self) -> Option<Result<PathBuf, Unmade>> {
        loop {
            match self.heard.try_recv() {
                Ok(Step::At(share, doing)) => (self.share, self.doing) = (share, doing),
                Ok(Step::Done(outcome)) => return Some(outcome),
                Err(TryRecvError::Empty) => return None,
                Err(TryRecvError::Disconnected) => {
                    return Some(Err(Unmade::Failed("the file could not be made".to_owned())));
                }
            }
        }
    }
}

impl ExportJob {
    /// Makes the file; `step` is told how far it is, and may end it.
    fn made(&self, step: &impl Fn(f32, &'static str) -> Result<(), Unmade>) -> Result<Vec<u8>, Unmade> {
        step(0.1, "Checking the layout")?;
        let (layout, profile, terms) = (&*self.layout, &self.profile, self.terms);
        let site = Site::of(layout);
        let pages = |what: What| {
            let pages = Pages::of(layout, profile, what, terms);
            step(0.7, "Setting the pages")?;
            Ok(pages)
        };
        let page_shown = || {
            let pages = pages(What::Drawing)?;
            pages.svg(self.page).ok_or_else(|| Unmade::Failed(format!("there is no page {}", self.page + 1)))
        };
        let document = || {
            let findings = Findings::under(&site, profile);
            step(0.4, "Writing the report")?;
            Ok(report::report(&site, profile, &findings, terms.voice))
        };
        match self.form {
            Form::DrawingPdf => pages(What::Drawing)?.pdf().map_err(failed),
            Form::ReportPdf => pages(What::Report)?.pdf().map_err(failed),
            Form::DrawingSvg => Ok(page_shown()?.into_bytes()),
            Form::DrawingPng => {
                let svg = page_shown()?;
                step(0.8, "Painting")?;
                sheet::png(&svg, f64::from(self.dpi) / MM_IN_AN_INCH).map_err(failed)
            }
            Form::DrawingDxf => {
                let findings = Findings::under(&site, profile);
                step(0.4, "Drawing")?;
                let (scene, sheet) = drawn(&site, profile, &findings, terms);
                let scale = sheet::scale_on(&scene, &sheet);
                Ok(sheet::dxf(layout, &scene, scale, &profile.differences()).into_bytes())
            }
            Form::ReportHtml => Ok(report::html(&document()?).into_bytes()),
            Form::ReportMarkdown => Ok(report::markdown(&document()?).into_bytes()),
            Form::TakeoffCsv => Ok(takeoff_csv(&self.bill.takeoff, self.bill.prices.as_ref()).into_bytes()),
            Form::PriceListCsv => Ok(price_list_csv(&self.bill.takeoff, self.bill.prices.as_ref()).into_bytes()),
            Form::TakeoffJson => Ok(bill_json(&self.file, &self.bill).into_bytes()),
        }
    }
}

fn failed(error: sheet::SheetError) -> Unmade {
    Unmade::Failed(error.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::Voice;
    use crate::sheet::{Paper, SheetScale};
    use crate::takeoff::Reckoning;

    fn job() -> ExportJob {
        let layout = file::read(std::path::Path::new("examples/sound_indirect.loft.ron")).expect("an example reads");
        let (profile, site) = (Profile::usual().clone(), Site::of(&layout));
        let bill = Bill::of(&site, &Findings::under(&site, &profile), &Reckoning::default());
        ExportJob {
            form: Form::ReportPdf,
            layout: Arc::new(layout.clone()),
            profile,
            terms: Terms { paper: Paper::A4, scale: SheetScale::Fit, voice: Voice::Trade },
            page: 0,
            dpi: 96,
            file: String::new(),
            bill,
        }
    }

    fn outcome(export: &mut Export) -> Result<PathBuf, Unmade> {
        loop {
            match export.hear() {
                Some(outcome) => return outcome,
                None => thread::yield_now(),
            }
        }
    }

    #[test]
    fn what_is_called_off_is_not_written() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("report.pdf");
        let mut export = Export::begin(job(), path.clone(), &Context::default());
        assert!(export.call_off(), "a report is not made at once");
        assert_eq!(outcome(&mut export), Err(Unmade::CalledOff));
        assert!(!path.exists());
    }

    #[test]
    fn what_is_written_cannot_be_called_off() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("list.json");
        let mut export =
            Export::begin(ExportJob { form: Form::TakeoffJson, ..job() }, path.clone(), &Context::default());
        assert_eq!(outcome(&mut export), Ok(path.clone()));
        assert!(!export.call_off());
        assert!(path.exists());
    }

    #[test]
    fn each_step_may_end_it() {
        for (form, steps) in [(Form::DrawingPng, 3), (Form::ReportPdf, 2), (Form::ReportHtml, 2), (Form::DrawingSvg, 2)]
        {
            let job = ExportJob { form, ..job() };
            for last in 0..steps {
                let taken = std::cell::Cell::new(0);
                let made = job.made(&|_, _| {
                    taken.set(taken.get() + 1);
                    if taken.get() > last { Err(Unmade::CalledOff) } else { Ok(()) }
                });
                assert_eq!(made, Err(Unmade::CalledOff), "{form:?} after {last} steps");
            }
        }
    }
}
