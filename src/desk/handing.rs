//! What the views *Take-off* and *Sheet* hold: the list, prices and quote; the pages; a file under way.

use std::path::{Path, PathBuf};

use egui::{CentralPanel, Context, Frame, Margin, Panel, ScrollArea, Ui};

use super::app::Desk;
use super::dialogs::Purpose;
use super::exporting::{Export, ExportJob, Form, Unmade};
use super::latest::Latest;
use super::lessons::PaperFile;
use super::panels::{self, Preview};
use super::{Action, Aspect, Outlook};
use crate::file;
use crate::measure::Site;
use crate::rules::Voice;
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
    /// One of the files of papers that came back.
    Paper(PaperFile),
}

impl Sought {
    /// Under which ending it is written; nothing of what is read.
    #[must_use]
    pub const fn written_as(self) -> Option<&'static str> {
        match self {
            Self::Export(form) => Some(form.ending()),
            Self::Paper(PaperFile::Marks) => Some("txt"),
            Self::Prices | Self::Quote | Self::Paper(PaperFile::Key | PaperFile::Answers) => None,
        }
    }
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
    bill: Latest<(u64, Asked), Bill>,
}

impl Taking {
    /// The bill of the layout as it stands, and what is asked for the panels to change.
    pub fn bill(&mut self, session: &Session) -> (&Bill, &mut Asked) {
        // Another profile is another revision.
        let question = (session.revision(), self.asked.clone());
        let bill = self
            .bill
            .to(question, || Bill::of(&Site::of(session.layout()), session.findings(), &self.asked.reckoning()));
        (bill, &mut self.asked)
    }

    /// Shows the quote of the layout that has been opened, and what has been said of its lines.
    pub fn take_up_quote(&mut self, (quote, told): (String, Vec<Told>)) {
        (self.asked.quote, self.asked.told) = (quote, told);
    }

    /// Reads a price list. Says where the prices are from, or why it cannot be used.
    fn read_prices(&mut self, path: &Path) -> Result<String, String> {
        let list = PriceList::parse(&file::short_text(path)?).map_err(|error| error.to_string())?;
        (self.asked.prices, self.prices_from) = (Some(list), Some(path.to_owned()));
        Ok(format!("Prices from '{}'", path.display()))
    }

    /// Reads a quote. Says where it is from, or why it cannot be used.
    fn read_quote(&mut self, path: &Path) -> Result<String, String> {
        let text = file::short_text(path)?;
        let is_csv = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
        let quote = if is_csv {
            with_their_numbers(&lines_of_csv(&text).map_err(|error| format!("{error}; save it as CSV again"))?)
        } else {
            text
        };
        let told = following(&self.asked.told, &lines_of_text(&quote));
        self.take_up_quote((quote, told));
        Ok(format!("Quote from '{}'", path.display()))
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

impl HandedOver {
    /// The panels of the two views, beside and on which nothing of the drawing stands.
    pub fn ui(&mut self, ui: &mut Ui, frame: Frame, session: &Session, outlook: &Outlook, actions: &mut Vec<Action>) {
        let Self { taking, preview, export } = self;
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
                panels::quote(ui, taking, session, outlook.voice, actions);
            });
        });
        CentralPanel::default().frame(side).show(ui, |ui| panels::takeoff_list(ui, taking, session, outlook.voice));
    }

    /// Begins to make a file, unless one is being made; says so then.
    fn export(&mut self, ctx: &Context, form: Form, path: PathBuf, session: &Session, outlook: &mut Outlook) {
        if self.export.is_some() {
            "One file is being made already".clone_into(&mut outlook.said);
            return;
        }
        outlook.settings.hand_over.folder = path.parent().map(Path::to_owned);
        let job = ExportJob {
            form,
            layout: session.shared(),
            profile: session.profile().clone(),
            terms: page_terms(&outlook.settings, outlook.voice),
            page: self.preview.page,
            dpi: outlook.settings.hand_over.dpi,
            file: session.path().map_or_else(String::new, |path| path.display().to_string()),
            bill: self.taking.bill(session).0.clone(),
        };
        self.export = Some(Export::begin(job, path, ctx));
    }

    /// Calls the file off that is being made, unless it is being written already; what came of that, in words.
    fn call_off(&mut self) -> Option<&'static str> {
        if !self.export.as_ref()?.call_off() {
            return Some("It is too late to cancel: the file is being written");
        }
        self.export = None;
        Some("Cancelled: no file is written")
    }

    /// Listens to the file under way; what came of it, once it is made.
    fn hear(&mut self) -> Option<Result<PathBuf, Unmade>> {
        let outcome = self.export.as_mut()?.hear()?;
        self.export = None;
        Some(outcome)
    }
}

impl Desk {
    /// Does what the two views ask for.
    pub(super) fn hand(&mut self, ctx: &Context, handing: Handing) {
        let Self { work, outlook, front, handed, lessons, .. } = self;
        match handing {
            Handing::Choose(chosen) => outlook.settings.hand_over = chosen,
            Handing::Seek(sought) => {
                let of_papers = lessons.folder_of_papers().filter(|_| matches!(sought, Sought::Paper(_)));
                let folder = of_papers.as_deref().or(outlook.settings.hand_over.folder.as_deref());
                front.ask_path(Purpose::For(sought), likely_path(sought, &work.session, folder));
            }
            Handing::Found(Sought::Prices, path) => self.say_what_was_read(&path, Taking::read_prices),
            Handing::Found(Sought::Quote, path) => self.say_what_was_read(&path, Taking::read_quote),
            Handing::Found(Sought::Export(form), path) => handed.export(ctx, form, path, &work.session, outlook),
            Handing::Found(Sought::Paper(file), path) => match lessons.marking.take(file, path) {
                Ok(words) => outlook.said = words,
                Err(words) => front.tell("The file cannot be used", words),
            },
            Handing::CallOff => {
                if let Some(words) = handed.call_off() {
                    words.clone_into(&mut outlook.said);
                }
            }
        }
    }

    fn say_what_was_read(&mut self, path: &Path, read: fn(&mut Taking, &Path) -> Result<String, String>) {
        match read(&mut self.handed.taking, path) {
            Ok(words) => self.outlook.said = words,
            Err(words) => self.front.tell("The file cannot be used", format!("{}: {words}", path.display())),
        }
    }

    /// Listens to the file under way, and says what came of it.
    pub(super) fn hear_export(&mut self) {
        match self.handed.hear() {
            Some(Ok(path)) => self.outlook.said = format!("Written to '{}'", path.display()),
            Some(Err(Unmade::Failed(words))) => self.front.tell("The file is not written", words),
            Some(Err(Unmade::CalledOff)) | None => {}
        }
    }
}

/// A path to save a new layout under: in the folder the program was started in.
pub(super) fn likely_path_to_save(session: &Session) -> String {
    started_in().join(format!("{}{}", file_stem(session), file::ENDING)).display().to_string()
}

/// Where a file is likely to be: where the last one went, or beside the layout.
fn likely_path(sought: Sought, session: &Session, last_folder: Option<&Path>) -> String {
    let beside = session.path().and_then(Path::parent);
    let folder = last_folder.or(beside).map_or_else(started_in, Path::to_owned);
    let name = match sought {
        Sought::Prices => "prices.csv".to_owned(),
        Sought::Quote => "quote.txt".to_owned(),
        Sought::Paper(file) => file.usual_name().to_owned(),
        Sought::Export(form) => format!("{}-{}.{}", file_stem(session), form.stem(), form.ending()),
    };
    folder.join(name).display().to_string()
}

/// How the files of the layout begin: like its own, or else like its title.
fn file_stem(session: &Session) -> String {
    let own = session.path().and_then(Path::file_name).map(|name| name.to_string_lossy().replace(file::ENDING, ""));
    own.or_else(|| file::stem_of(&session.layout().heading.title)).unwrap_or_else(|| "layout".to_owned())
}

/// The folder that the program was started in.
fn started_in() -> PathBuf {
    std::env::current_dir().unwrap_or_else(|_| PathBuf::from("."))
}
