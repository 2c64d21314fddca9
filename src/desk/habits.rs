//! What the window does unasked: remembers what was chosen, sizes its letters, notices a file that changed on disk.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, SystemTime};

use egui::{Context, ThemePreference};

use super::app::Desk;
use super::dialogs::{Dialog, LosesWork};
use super::quotes::Quotes;
use crate::rules::Voice;
use crate::session::Session;
use crate::session::settings::{Appearance, Settings, WindowSize};

/// From one look at the open file to the next, s.
const LOOK_EVERY_S: f64 = 1.0;
/// How often the file is looked at while the window rests.
const WATCH_EVERY: Duration = Duration::from_millis(1500);
/// Before a class everything is larger by this, as long as the window stays wide enough.
const PROJECTED: f32 = 1.25;
/// So wide is a window in which all panels find room, in points.
const ROOMY: f32 = 1080.0;

/// When a file was last written.
type Written = Option<SystemTime>;

/// What is remembered between frames and between sessions.
#[derive(Default)]
pub struct Habits {
    /// Where the settings are kept; nowhere in a window that is not to keep anything.
    folder: Option<PathBuf>,
    /// The settings as they are on disk.
    kept: Settings,
    looked_s: f64,
    /// The state of the file about which has been asked already.
    asked_about: Option<(PathBuf, Written)>,
    watching: Watching,
    /// The quote of each layout.
    pub quotes: Quotes,
}

/// The file that a thread looks at while the window rests; the thread ends with the window.
#[derive(Default)]
struct Watching {
    file: Arc<Mutex<Option<PathBuf>>>,
    begun: bool,
}

fn written(path: &Path) -> Written {
    std::fs::metadata(path).and_then(|metadata| metadata.modified()).ok()
}

impl Watching {
    /// Looks at this file from now on. A change asks for a frame, in which the window looks for itself.
    fn watch(&mut self, ctx: &Context, path: Option<&Path>) {
        let mut file = self.file.lock().unwrap_or_else(PoisonError::into_inner);
        if file.as_deref() != path {
            *file = path.map(Path::to_owned);
        }
        drop(file);
        if self.begun || path.is_none() {
            return;
        }
        self.begun = true;
        let (file, ctx) = (Arc::downgrade(&self.file), ctx.clone());
        thread::spawn(move || {
            let mut last: Option<(PathBuf, Written)> = None;
            while let Some(file) = file.upgrade() {
                let now = file.lock().unwrap_or_else(PoisonError::into_inner).clone();
                drop(file);
                let seen = now.map(|path| (path.clone(), written(&path)));
                let same_file = matches!((&last, &seen), (Some((a, _)), Some((b, _))) if a == b);
                if same_file && last != seen {
                    ctx.request_repaint();
                }
                last = seen;
                thread::sleep(WATCH_EVERY);
            }
        });
    }
}

impl Habits {
    /// Writes the settings down, where they have changed.
    fn keep(&mut self, settings: &Settings) {
        if self.kept == *settings {
            return;
        }
        self.kept = settings.clone();
        if let Some(folder) = &self.folder
            && let Err(error) = self.kept.write(folder)
        {
            log::warn!("what was chosen cannot be kept in {}: {error}", folder.display());
        }
    }

    /// The file of the open layout, where another program has written it since it was read, or was last asked about.
    fn changed_file(&mut self, session: &Session, now_s: f64) -> Option<PathBuf> {
        if now_s - self.looked_s < LOOK_EVERY_S {
            return None;
        }
        self.looked_s = now_s;
        let path = session.path().filter(|_| session.looks_changed_on_disk())?;
        let seen = (path.to_owned(), written(path));
        // A file that has gone can be saved again; there is nothing to read.
        if seen.1.is_none() || self.asked_about.as_ref() == Some(&seen) {
            return None;
        }
        self.asked_about = Some(seen);
        Some(path.to_owned())
    }
}

impl Desk {
    /// Keeps what is chosen in a folder from now on, begins with what stands there, and shows newcomers round.
    pub fn remember_in(&mut self, folder: PathBuf) {
        let settings = Settings::read(&folder);
        self.outlook.voice = settings.voice;
        if !settings.tour_seen {
            self.front.begin_tour();
        }
        self.outlook.settings = settings.clone();
        self.habits.kept = settings;
        self.habits.quotes = Quotes::read(folder.clone());
        self.handed.taking.take_up_quote(self.habits.quotes.of(self.work.session.path()));
        self.habits.folder = Some(folder);
    }

    /// What has to be seen to in each frame.
    pub(super) fn keep_habits(&mut self, ctx: &Context) {
        size_letters(ctx, self.outlook.settings.text_percent, self.outlook.voice);
        choose_theme(ctx, self.outlook.settings.appearance);
        self.look_at_file(ctx);
        self.keep_quote(ctx);
        if self.window.may_close || closes(ctx) {
            note_window(ctx, &mut self.outlook.settings.window);
        }
        self.habits.keep(&self.outlook.settings);
    }

    /// Asks what to do about the file of the open layout, once another program has written it.
    fn look_at_file(&mut self, ctx: &Context) {
        let session = &self.work.session;
        self.habits.watching.watch(ctx, session.path());
        if self.front.is_asking() || session.in_gesture() {
            return;
        }
        if let Some(path) = self.habits.changed_file(session, ctx.input(|input| input.time)) {
            let loses_work = if session.is_dirty() { LosesWork::Yes } else { LosesWork::No };
            self.front.ask(Dialog::Changed { path, loses_work });
        }
    }

    /// Keeps the quote as it stands, once nobody is typing or the window closes.
    fn keep_quote(&mut self, ctx: &Context) {
        let asked = &self.handed.taking.asked;
        let is_settled = !ctx.text_edit_focused() || closes(ctx);
        if let Some(layout) = self.work.session.path().filter(|_| is_settled)
            && let Err(error) = self.habits.quotes.keep(layout, &asked.quote, &asked.told)
        {
            log::warn!("the quote cannot be kept: {error}");
        }
    }
}

/// Whether the window has been asked to close.
fn closes(ctx: &Context) -> bool {
    ctx.input(|input| input.viewport().close_requested())
}

/// Light or dark, where somebody has chosen.
fn choose_theme(ctx: &Context, chosen: Option<Appearance>) {
    let wanted = match chosen {
        None => return,
        Some(Appearance::Light) => ThemePreference::Light,
        Some(Appearance::Dark) => ThemePreference::Dark,
    };
    if ctx.options(|options| options.theme_preference) != wanted {
        ctx.set_theme(wanted);
    }
}

/// How large the window is, noted when it closes: the next one is as large.
fn note_window(ctx: &Context, noted: &mut Option<WindowSize>) {
    let (inner, maximized) = ctx.input(|input| {
        let window = input.viewport();
        (window.inner_rect, window.maximized.unwrap_or(false))
    });
    // What is no number or beyond its range becomes the nearest that is.
    let points = |length: f32| (length * ctx.zoom_factor()).round() as u16;
    let now = inner.map(|inner| WindowSize { width: points(inner.width()), height: points(inner.height()), maximized });
    *noted = match (*noted, now) {
        (Some(before), Some(now)) if now.maximized => Some(WindowSize { maximized: true, ..before }),
        (before, now) => now.or(before),
    };
}

/// The size of everything: what was chosen, and larger before a class.
fn size_letters(ctx: &Context, text_percent: u16, voice: Voice) {
    let chosen = f32::from(text_percent) / 100.0;
    let width = ctx.content_rect().width() * ctx.zoom_factor();
    let projected = match voice {
        Voice::Teaching => (width / (chosen * ROOMY)).clamp(1.0, PROJECTED),
        Voice::Trade | Voice::Plain => 1.0,
    };
    let wanted = chosen * projected;
    if (ctx.zoom_factor() - wanted).abs() > 0.005 {
        ctx.set_zoom_factor(wanted);
    }
}
