//! Questions and messages over the window: unsaved work, a path to open or save, what went wrong, the keys.

use std::future::Future;
use std::path::{Path, PathBuf};
use std::pin::pin;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::task::{Context as TaskContext, Poll, Wake, Waker};
use std::thread::{self, Thread};

use egui::text::{CCursor, CCursorRange};
use egui::{Align2, Context, Frame, Id, Key, Label, Modal, Response, RichText, TextEdit, Ui, vec2};

use super::asking::Asking;
use super::guide::Guide;
use super::handing::Sought;
use super::lessons::PaperFile;
use super::starting::Starting;
use super::typed_path::typed_path;
use super::variants::Variants;
use super::{Command, Outlook, Tool, gestures};
use crate::file::ENDING;
use crate::layout::Layout;
use crate::session::Session;
use crate::session::recovery::Recovered;

/// How wide a question is, and a form or a table, in points.
const USUAL: f32 = 560.0;
const WIDE: f32 = 860.0;
/// How far a form of several pages stands below the window's top, in points.
const BELOW_THE_TOP: f32 = 30.0;

/// What to go on with after a question.
#[derive(Debug, Clone, PartialEq)]
pub enum Then {
    /// A blank sheet.
    New,
    /// An example.
    Example(usize),
    /// A layout that has just been set out.
    TakeLayout(Box<Layout>),
    /// The question which file.
    AskWhich,
    /// A file.
    Open(PathBuf),
    /// The end.
    Quit,
}

/// Something that stands over the window until it is answered.
pub enum Dialog {
    /// There is unsaved work.
    Unsaved(Then),
    /// Which file?
    Path(PathQuestion),
    /// A file of that name is there, or somebody else has changed it.
    WriteOver {
        /// The file.
        path: PathBuf,
        /// What is the matter.
        words: String,
        /// What to go on with.
        then: Option<Then>,
    },
    /// Something went wrong.
    Message {
        /// In a few words.
        heading: &'static str,
        /// In full.
        words: String,
    },
    /// An earlier session left unsaved work behind.
    Recovered {
        /// What it left.
        left: Recovered,
        /// The title of what is in it.
        title: String,
        /// What one should know before taking it up.
        notes: Vec<&'static str>,
    },
    /// Somebody else has written the file of the open layout.
    Changed {
        /// The file.
        path: PathBuf,
        /// Whether there is work here that would be lost.
        loses_work: LosesWork,
    },
    /// What should be done?
    Ask(Asking),
    /// Rules, words of the trade, and what the program is.
    Guide(Guide),
    /// Where a layout begins.
    Starting(Box<Starting>),
    /// Variants side by side.
    Variants(Box<Variants>),
    /// What mouse and keyboard do.
    Keys,
}

/// Whether an answer loses work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LosesWork {
    /// It does.
    Yes,
    /// It does not.
    No,
}

/// The question for a path.
pub struct PathQuestion {
    /// What it is for.
    pub purpose: Purpose,
    text: String,
    note: String,
    /// The field has had the keyboard once.
    asked: bool,
    /// The file about which has been said that it is there already.
    asked_over: Option<PathBuf>,
    system: Option<Receiver<Option<PathBuf>>>,
}

/// What a path is asked for.
#[derive(Debug, Clone, PartialEq)]
pub enum Purpose {
    /// To read from.
    Open,
    /// To write to, and what to go on with then.
    Save(Option<Then>),
    /// For one of the files of take-off, sheets and lessons.
    For(Sought),
}

/// What was answered.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// Save, then go on.
    SaveFirst(Then),
    /// Let the work go, and go on.
    Discard(Then),
    /// Read this file.
    Open(PathBuf),
    /// Write this file, then go on.
    SaveTo(PathBuf, Option<Then>),
    /// Write this file whatever is there, then go on.
    WriteOver(PathBuf, Option<Then>),
    /// Take up what was left behind.
    TakeUp(Recovered),
    /// Throw away what was left behind.
    ThrowAway(Recovered),
    /// Go on with a layout that has just been set out.
    TakeLayout(Box<Layout>),
    /// Keep the open layout as a variant of this name, beside its file.
    KeepVariant(String),
    /// Go on with a variant.
    OpenVariant(PathBuf),
    /// Give a command.
    Give(Command),
    /// Take up a tool.
    Take(Tool),
    /// Choose another name.
    OtherName(Option<Then>),
    /// Take this file of take-off, sheets and lessons.
    Found(Sought, PathBuf),
    /// Leave everything as it is.
    Stay,
}

impl PathQuestion {
    /// Asks for a path, beginning from one that is likely.
    #[must_use]
    pub fn new(purpose: Purpose, likely: String) -> Self {
        Self::again(purpose, likely, String::new())
    }

    /// Asks once more, with what was typed and what is wrong with it.
    #[must_use]
    pub const fn again(purpose: Purpose, typed: String, note: String) -> Self {
        Self { purpose, text: typed, note, asked: false, asked_over: None, system: None }
    }
}

impl Dialog {
    /// Shows it; the answer, once there is one.
    pub fn ui(&mut self, ctx: &Context, session: &Session, outlook: &Outlook) -> Option<Answer> {
        let frame = Frame::popup(&ctx.global_style()).inner_margin(16.0);
        let id = Id::unique("dialog");
        let window = ctx.content_rect().width();
        let most = if matches!(self, Self::Starting(_) | Self::Variants(_)) { WIDE } else { USUAL };
        let width = (window - 60.0).min(most);
        let area = match self {
            // Its pages differ in size: held by its corner, the row from which they are chosen stays where it is.
            Self::Starting(_) => {
                let beside = (window - width - frame.total_margin().sum().x) / 2.0;
                Modal::default_area(id).anchor(Align2::LEFT_TOP, vec2(beside, BELOW_THE_TOP))
            }
            _ => Modal::default_area(id),
        };
        let modal = Modal::new(id).area(area).frame(frame).show(ctx, |ui| {
            ui.set_width(width);
            match self {
                Self::Unsaved(then) => unsaved(ui, then),
                Self::Path(question) => question.ui(ui),
                Self::WriteOver { path, words, then } => write_over(ui, path, words, then.as_ref()),
                Self::Message { heading, words } => message(ui, heading, words),
                Self::Recovered { left, title, notes } => recovered(ui, left, title, notes),
                Self::Changed { path, loses_work } => changed(ui, path, *loses_work),
                Self::Ask(asking) => asking.ui(ui, session, outlook),
                Self::Guide(guide) => guide.ui(ui, session, outlook),
                Self::Starting(starting) => starting.ui(ui, session),
                Self::Variants(variants) => variants.ui(ui, session),
                Self::Keys => gestures::keys(ui),
            }
        });
        let left = ctx.input(|input| input.key_pressed(Key::Escape));
        modal.inner.or_else(|| left.then_some(Answer::Stay))
    }
}

fn unsaved(ui: &mut Ui, then: &Then) -> Option<Answer> {
    ui.heading("There is unsaved work");
    ui.label("The layout has changes that are not in any file. What should become of them?");
    ui.add_space(8.0);
    let mut answer = None;
    ui.horizontal_wrapped(|ui| {
        if by_enter(ui.button("Save").on_hover_text("Save the changes, then go on")).clicked() {
            answer = Some(Answer::SaveFirst(then.clone()));
        }
        if ui.button("Discard changes").on_hover_text("Throw the changes away, then go on").clicked() {
            answer = Some(Answer::Discard(then.clone()));
        }
        if ui.button("Keep editing").on_hover_text("Go back to the drawing; the changes stay unsaved").clicked() {
            answer = Some(Answer::Stay);
        }
    });
    answer
}

fn recovered(ui: &mut Ui, left: &Recovered, title: &str, notes: &[&str]) -> Option<Answer> {
    ui.heading("Unsaved work was left behind");
    let what = match &left.original {
        Some(path) => format!("Changes to {} were not saved when the program last ended.", path.display()),
        None => "A layout that was never saved was open when the program last ended.".to_owned(),
    };
    ui.add(Label::new(what).wrap());
    if !title.is_empty() {
        ui.add(Label::new(RichText::new(title).strong()).wrap());
    }
    for note in notes {
        ui.add(Label::new(*note).wrap());
    }
    ui.add_space(8.0);
    let mut answer = None;
    ui.horizontal_wrapped(|ui| {
        let hint = "Go on with it, and undo what was done; no file changes until you save";
        if by_enter(ui.button("Take it up").on_hover_text(hint)).clicked() {
            answer = Some(Answer::TakeUp(left.clone()));
        }
        if ui.button("Throw it away").clicked() {
            answer = Some(Answer::ThrowAway(left.clone()));
        }
        if ui.button("Later").on_hover_text("Ask again next time").clicked() {
            answer = Some(Answer::Stay);
        }
    });
    answer
}

fn write_over(ui: &mut Ui, path: &Path, words: &str, then: Option<&Then>) -> Option<Answer> {
    ui.heading("The file is there already");
    ui.add(Label::new(words).wrap());
    ui.add_space(8.0);
    let mut answer = None;
    ui.horizontal_wrapped(|ui| {
        if ui.button("Write over it").on_hover_text("What is there now is kept beside it, with ~").clicked() {
            answer = Some(Answer::WriteOver(path.to_owned(), then.cloned()));
        }
        if by_enter(ui.button("Choose another name")).clicked() {
            answer = Some(Answer::OtherName(then.cloned()));
        }
        if ui.button("Cancel").on_hover_text("Go back to the drawing; no file is written").clicked() {
            answer = Some(Answer::Stay);
        }
    });
    answer
}

fn changed(ui: &mut Ui, path: &Path, loses_work: LosesWork) -> Option<Answer> {
    ui.heading("The file has changed");
    ui.add(Label::new(format!("Another program has written {} since it was read here.", path.display())).wrap());
    if loses_work == LosesWork::Yes {
        ui.add(Label::new("Your own changes are not in it: reading it again lets them go.").wrap());
    }
    ui.add_space(8.0);
    let mut answer = None;
    ui.horizontal_wrapped(|ui| {
        if ui.button("Read it again").on_hover_text("Show what is in the file now").clicked() {
            answer = Some(Answer::Discard(Then::Open(path.to_owned())));
        }
        let hint = "Saving will ask before it writes over the file";
        if by_enter(ui.button("Keep what is here").on_hover_text(hint)).clicked() {
            answer = Some(Answer::Stay);
        }
    });
    answer
}

fn message(ui: &mut Ui, heading: &str, words: &str) -> Option<Answer> {
    ui.heading(heading);
    egui::ScrollArea::both().max_height(320.0).show(ui, |ui| {
        ui.add(Label::new(RichText::new(words).monospace()).wrap().selectable(true));
    });
    ui.add_space(8.0);
    by_enter(ui.button("Close")).clicked().then_some(Answer::Stay)
}

/// The answer of which nothing is lost: Enter gives it until another is chosen.
pub(super) fn by_enter(answer: Response) -> Response {
    if answer.ctx.memory(|memory| memory.focused().is_none()) {
        answer.request_focus();
    }
    answer
}

impl PathQuestion {
    fn ui(&mut self, ui: &mut Ui) -> Option<Answer> {
        let (heading, button) = match self.purpose {
            Purpose::Open => ("Open a layout", "Open"),
            Purpose::Save(_) => ("Save the layout", "Save"),
            Purpose::For(Sought::Prices) => ("Read prices", "Read"),
            Purpose::For(Sought::Quote) => ("Read a quote", "Read"),
            Purpose::For(Sought::Paper(PaperFile::Key)) => ("Read the key", "Read"),
            Purpose::For(Sought::Paper(PaperFile::Answers)) => ("Read the answers", "Read"),
            Purpose::For(Sought::Export(_) | Sought::Paper(PaperFile::Marks)) => ("Where should the file go?", "Write"),
        };
        self.hear_from_system(ui.ctx());
        ui.heading(heading);
        ui.label("Path of the file:");
        let edit = TextEdit::singleline(&mut self.text).desired_width(f32::INFINITY).id(Id::unique("path field"));
        let mut output = edit.show(ui);
        let field = output.response.response.accessible_name("Path of the file");
        if !self.asked && self.system.is_none() {
            self.asked = true;
            field.request_focus();
            let all = CCursorRange::two(CCursor::new(0), CCursor::new(self.text.chars().count()));
            output.state.cursor.set_char_range(Some(all));
            output.state.store(ui.ctx(), field.id);
        }
        let entered = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
        if !self.note.is_empty() {
            ui.add(Label::new(RichText::new(&self.note).color(ui.visuals().warn_fg_color)).wrap());
        }
        ui.add_space(8.0);
        let mut answer = None;
        ui.horizontal_wrapped(|ui| {
            let typed = !self.text.trim().is_empty();
            if ui.add_enabled(typed, egui::Button::new(button)).clicked() || (entered && typed) {
                answer = self.answer();
            }
            let waiting = self.system.is_some();
            let tip = "Choose the file in the desktop's own window";
            if ui.add_enabled(!waiting, egui::Button::new("Browse…")).on_hover_text(tip).clicked() {
                self.ask_system(ui.ctx());
            }
            if ui.button("Cancel").on_hover_text("Go back to the drawing").clicked() {
                answer = Some(Answer::Stay);
            }
        });
        answer
    }

    fn answer(&mut self) -> Option<Answer> {
        let text = self.text.trim();
        Some(match &self.purpose {
            Purpose::Open => Answer::Open(typed_path(text)),
            Purpose::Save(then) => {
                let named = if text.ends_with(".ron") { text.to_owned() } else { format!("{text}{ENDING}") };
                Answer::SaveTo(typed_path(&named), then.clone())
            }
            Purpose::For(sought) => {
                let mut path = typed_path(text);
                if let Some(ending) = sought.written_as()
                    && path.extension().is_none()
                {
                    // Other programs know a file by its ending.
                    path.set_extension(ending);
                }
                if sought.written_as().is_some() && path.exists() && self.asked_over.as_ref() != Some(&path) {
                    "There is a file of this name already. Write once more to replace it.".clone_into(&mut self.note);
                    self.asked_over = Some(path);
                    return None;
                }
                Answer::Found(*sought, path)
            }
        })
    }

    /// Opens the desktop's own file window, and waits for it in a thread.
    fn ask_system(&mut self, ctx: &Context) {
        let (tell, heard) = channel();
        let dialog = rfd::AsyncFileDialog::new();
        let dialog = match self.purpose {
            Purpose::Open | Purpose::Save(_) => dialog.add_filter("Loftwright layout", &["ron"]),
            Purpose::For(Sought::Prices) => dialog.add_filter("Price list", &["csv"]),
            Purpose::For(Sought::Quote) => dialog.add_filter("Quote", &["txt", "csv"]),
            Purpose::For(Sought::Export(form)) => dialog.add_filter(form.stem(), &[form.ending()]),
            Purpose::For(Sought::Paper(PaperFile::Key)) => dialog.add_filter("Key", &["ron"]),
            Purpose::For(Sought::Paper(PaperFile::Answers)) => dialog.add_filter("Answers", &["csv"]),
            Purpose::For(Sought::Paper(PaperFile::Marks)) => dialog.add_filter("Marks", &["txt", "json"]),
        };
        let reads = match &self.purpose {
            Purpose::Open => true,
            Purpose::Save(_) => false,
            Purpose::For(sought) => sought.written_as().is_none(),
        };
        let (ctx, opens) = (ctx.clone(), reads);
        let name = PathBuf::from(&self.text).file_name().map(|name| name.to_string_lossy().into_owned());
        let dialog = match name {
            Some(name) if !opens => dialog.set_file_name(name),
            _ => dialog,
        };
        thread::spawn(move || {
            let picked = if opens { wait_for(dialog.pick_file()) } else { wait_for(dialog.save_file()) };
            // The question may have been answered otherwise meanwhile; then nobody listens.
            let _ = tell.send(picked.map(|file| file.path().to_owned()));
            ctx.request_repaint();
        });
        self.note = "Waiting for the desktop's file window.".to_owned();
        self.system = Some(heard);
    }

    fn hear_from_system(&mut self, ctx: &Context) {
        let Some(heard) = &self.system else { return };
        let picked = match heard.try_recv() {
            Ok(picked) => picked,
            Err(TryRecvError::Disconnected) => None,
            Err(TryRecvError::Empty) => return,
        };
        self.system = None;
        match picked {
            Some(path) => {
                self.text = path.display().to_string();
                self.note = String::new();
            }
            // A desktop without a file window answers like one whose window was closed.
            None => "No file was chosen. If no window appeared, type the path above.".clone_into(&mut self.note),
        }
        ctx.request_repaint();
    }
}

/// Runs a future to its end on this thread.
fn wait_for<T>(future: impl Future<Output = T>) -> T {
    struct Unpark(Thread);
    impl Wake for Unpark {
        fn wake(self: Arc<Self>) {
            self.0.unpark();
        }
    }
    let waker = Waker::from(Arc::new(Unpark(thread::current())));
    let mut context = TaskContext::from_waker(&waker);
    let mut future = pin!(future);
    loop {
        match future.as_mut().poll(&mut context) {
            Poll::Ready(done) => return done,
            Poll::Pending => thread::park(),
        }
    }
}
