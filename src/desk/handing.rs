//! What the views *Take-off* and *Sheet* hold: the list, prices and quote; the pages; a file under way.

use std::path::{Path, PathBuf};

use egui::{CentralPanel, Context, Frame, Margin, Panel, ScrollArea, Ui};

use super::Aspect;
use super::app::Desk;
use super::dialogs::{Dialog, PathQuestion, Purpose};
use super::exporting::{Export, Form, Job, Unmade};
use super::panels::{self, Preview};
use crate::file;
use crate::rules::{Profile, Voice};
use crate::session::Session;
use crate::session::settings::{HandOver, PaperSize, Settings};
use crate::sheet::pages::Terms as PageTerms;
use crate::sheet::{Paper, SheetScale};
use crate::takeoff::cutting::Stock;
use crate::takeoff::prices::PriceList;
use crate::takeoff::quote::{Told, following, lines_of_csv, lines_of_text, with_their_numbers};
use crate::takeoff::{Bill, Reckoning, Terms};

/// A file that is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sought {
    /// A price list.
    Prices,
    /// A quote.
    Quote,
    /// Where something that is handed over goes.
    Export(Form),
}

/// What the two views ask for.
#[derive(Debug, Clone)]
pub enum Handing {
    /// Other choices of paper, scale and so on.
    Choose(HandOver),
    /// Ask for a file.
    Seek(Sought),
    /// A file was named.
    Found(Sought, PathBuf),
    /// Call off the file that is being made.
    CallOff,
}

/// What the take-off is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// More to order of tube and insulation, in per cent.
    pub allowance_percent: f64,
    /// Bars of tube.
    pub stock: Stock,
    /// The user's prices.
    pub prices: Option<PriceList>,
    /// The quote, a line for each thing.
    pub quote: String,
    /// What has been said of its lines.
    pub told: Vec<Told>,
}

impl Default for Asked {
    fn default() -> Self {
        let allowance_percent = Terms::default().allowance * 100.0;
        Self { allowance_percent, stock: Stock::default(), prices: None, quote: String::new(), told: Vec::new() }
    }
}

impl Asked {
    fn reckoning(&self) -> Reckoning {
        Reckoning {
            terms: Terms { allowance: self.allowance_percent / 100.0 },
            stock: self.stock,
            prices: self.prices.clone(),
            quote: lines_of_text(&self.quote),
            told: self.told.clone(),
            ..Reckoning::default()
        }
    }
}

/// The take-off, found anew only when the layout, the rules or what is asked have changed.
#[derive(Default)]
pub struct Taking {
    /// What is asked.
    pub asked: Asked,
    /// Where the prices came from.
    pub prices_from: Option<PathBuf>,
    bill: Option<(u64, Profile, Asked, Bill)>,
}

impl Taking {
    /// The bill of the layout as it stands, and what is asked for the panels to change.
    pub fn bill(&mut self, session: &Session) -> (&Bill, &mut Asked) {
        let (revision, profile) = (session.revision(), session.profile());
        let stands = self
            .bill
            .as_ref()
            .is_some_and(|(of, by, asked, _)| *of == revision && by == profile && *asked == self.asked);
        if !stands {
            let site = crate::measure::Site::of(session.layout());
            let bill = Bill::of(&site, session.findings(), &self.asked.reckoning());
            self.bill = Some((revision, profile.clone(), self.asked.clone(), bill));
        }
        let (.., bill) = self.bill.as_ref().expect("it has just been reckoned");
        (bill, &mut self.asked)
    }
}

/// Both views together.
#[derive(Default)]
pub struct HandedOver {
    /// The take-off.
    pub taking: Taking,
    /// The pages.
    pub preview: Preview,
    /// A file under way.
    pub export: Option<Export>,
}

/// Paper, scale and reading as the library has them.
#[must_use]
pub fn page_terms(settings: &Settings, voice: Voice) -> PageTerms {
    let chosen = &settings.hand_over;
    PageTerms {
        paper: match chosen.paper {
            PaperSize::A4 => Paper::A4,
            PaperSize::A3 => Paper::A3,
        },
        scale: chosen.scale.map_or(SheetScale::Fit, |scale| SheetScale::OneTo(f64::from(scale))),
        voice,
    }
}

impl Desk {
    /// Does what the two views ask for.
    pub(super) fn hand(&mut self, ctx: &Context, handing: Handing) {
        match handing {
            Handing::Choose(chosen) => self.outlook.settings.hand_over = chosen,
            Handing::Seek(sought) => {
                let likely = self.likely_path(sought);
                self.dialog = Some(Dialog::Path(PathQuestion::new(Purpose::For(sought), likely)));
            }
            Handing::Found(sought, path) => self.take_file(ctx, sought, path),
            Handing::CallOff => self.call_off(),
        }
    }

    fn take_file(&mut self, ctx: &Context, sought: Sought, path: PathBuf) {
        let taken = match sought {
            Sought::Prices => self.read_prices(&path),
            Sought::Quote => self.read_quote(&path),
            Sought::Export(form) => {
                self.export(ctx, form, path);
                return;
            }
        };
        match taken {
            Ok(words) => self.outlook.said = words,
            Err(words) => {
                let words = format!("{}: {words}", path.display());
                self.dialog = Some(Dialog::Message { heading: "The file cannot be used".to_owned(), words });
            }
        }
    }

    fn read_prices(&mut self, path: &Path) -> Result<String, String> {
        let list = PriceList::parse(&file::short_text(path)?).map_err(|error| error.to_string())?;
        let taking = &mut self.handed.taking;
        (taking.asked.prices, taking.prices_from) = (Some(list), Some(path.to_owned()));
        Ok(format!("Prices from '{}'", path.display()))
    }

    fn read_quote(&mut self, path: &Path) -> Result<String, String> {
        let text = file::short_text(path)?;
        let is_csv = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
        let quote = if is_csv {
            with_their_numbers(&lines_of_csv(&text).map_err(|error| format!("{error}; save it as CSV again"))?)
        } else {
            text
        };
        let asked = &mut self.handed.taking.asked;
        asked.told = following(&asked.told, &lines_of_text(&quote));
        asked.quote = quote;
        Ok(format!("Quote from '{}'", path.display()))
    }

    /// A path to save a new layout under: in the folder the program was started in.
    pub(super) fn likely_path_to_save(&self) -> String {
        started_in().join(format!("{}{}", self.file_stem(), file::ENDING)).display().to_string()
    }

    /// How the files of the layout begin: like its own, or else like its title.
    fn file_stem(&self) -> String {
        let own =
            self.session.path().and_then(Path::file_name).map(|name| name.to_string_lossy().replace(file::ENDING, ""));
        own.or_else(|| file::stem_of(&self.session.layout().heading.title)).unwrap_or_else(|| "layout".to_owned())
    }

    /// Where a file is likely to be: beside the layout, or where the last one went.
    fn likely_path(&self, sought: Sought) -> String {
        let layout = self.session.path();
        let beside = layout.and_then(Path::parent).map(Path::to_owned);
        let folder = self.outlook.settings.hand_over.folder.clone().or(beside).unwrap_or_else(started_in);
        let name = match sought {
            Sought::Prices => "prices.csv".to_owned(),
            Sought::Quote => "quote.txt".to_owned(),
            Sought::Export(form) => {
                format!("{}-{}.{}", self.file_stem(), form.stem(), form.ending())
            }
        };
        folder.join(name).display().to_string()
    }

    fn export(&mut self, ctx: &Context, form: Form, path: PathBuf) {
        if self.handed.export.is_some() {
            "One file is being made already".clone_into(&mut self.outlook.said);
            return;
        }
        self.outlook.settings.hand_over.folder = path.parent().map(Path::to_owned);
        let settings = &self.outlook.settings;
        let file = self.session.path().map_or_else(String::new, |path| path.display().to_string());
        let job = Job {
            form,
            layout: self.session.shared(),
            profile: self.session.profile().clone(),
            terms: page_terms(settings, self.outlook.voice),
            sheet: self.handed.preview.page,
            dpi: settings.hand_over.dpi,
            file,
            bill: self.handed.taking.bill(&self.session).0.clone(),
        };
        self.handed.export = Some(Export::begin(job, path, ctx));
    }

    /// The panels of the two views, beside and on which nothing of the drawing stands.
    pub(super) fn hand_over_ui(&mut self, ui: &mut Ui, frame: Frame) {
        let Self { session, outlook, handed, actions, .. } = self;
        let HandedOver { taking, preview, export } = handed;
        let side = frame.inner_margin(Margin::symmetric(10, 8));
        let wide = ui.available_width();
        if outlook.aspect == Aspect::Sheet {
            Panel::left("choices").frame(side).exact_size((wide * 0.24).clamp(216.0, 300.0)).show(ui, |ui| {
                ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                    preview.choices(ui, session, outlook, export.as_ref(), actions);
                });
            });
            CentralPanel::no_frame().show(ui, |ui| preview.paper(ui, session, outlook));
            return;
        }
        Panel::right("quote").frame(side).exact_size((wide * 0.36).clamp(300.0, 480.0)).show(ui, |ui| {
            ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                panels::takeoff_terms(ui, taking, session, actions);
                panels::takeoff_write(ui, export.as_ref(), actions);
                ui.separator();
                panels::quote(ui, taking, session, actions);
            });
        });
        CentralPanel::default().frame(side).show(ui, |ui| panels::takeoff_list(ui, taking, session, outlook.voice));
    }

    /// Calls the file off that is being made, unless it is being written already.
    fn call_off(&mut self) {
        let Some(export) = &self.handed.export else { return };
        if export.call_off() {
            self.handed.export = None;
            "Cancelled: no file is written".clone_into(&mut self.outlook.said);
        } else {
            "It is too late to cancel: the file is being written".clone_into(&mut self.outlook.said);
        }
    }

    /// Listens to the file under way.
    pub(super) fn hear_export(&mut self) {
        let Some(outcome) = self.handed.export.as_mut().and_then(Export::hear) else { return };
        self.handed.export = None;
        match outcome {
            Ok(path) => self.outlook.said = format!("Written to '{}'", path.display()),
            Err(Unmade::CalledOff) => {}
            Err(Unmade::Failed(words)) => {
                self.dialog = Some(Dialog::Message { heading: "The file is not written".to_owned(), words });
            }
        }
    }
}

/// The folder that the program was started in.
fn started_in() -> PathBuf {
    std::env::current_dir().unwrap_or_else(|_| PathBuf::from("."))
}
