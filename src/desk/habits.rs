//! What the window does unasked: remembers what was chosen, takes dropped files, notices a file that changed on disk.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, SystemTime};

use egui::{Align2, Area, Context, FontId, Id, Order, ThemePreference};

use super::action::Action;
use super::app::Desk;
use super::dialogs::{Dialog, LosesWork};
use super::theme::Palette;
use super::tour::Tour;
use crate::rules::Voice;
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

impl Desk {
    /// Keeps what is chosen in a folder from now on, begins with what stands there, and shows newcomers round.
    pub fn remember_in(&mut self, folder: PathBuf) {
        let settings = Settings::read(&folder);
        self.outlook.voice = settings.voice;
        if !settings.tour_seen {
            self.tour = Some(Tour::default());
        }
        self.outlook.settings = settings.clone();
        self.habits.kept = settings;
        self.keep_quotes_in(folder.clone());
        self.habits.folder = Some(folder);
    }

    /// What has to be seen to in each frame.
    pub(super) fn keep_habits(&mut self, ctx: &Context) {
        self.size_letters(ctx);
        let wanted = match self.outlook.settings.appearance {
            None => None,
            Some(Appearance::Light) => Some(ThemePreference::Light),
            Some(Appearance::Dark) => Some(ThemePreference::Dark),
        };
        if let Some(wanted) = wanted.filter(|wanted| ctx.options(|options| options.theme_preference) != *wanted) {
            ctx.set_theme(wanted);
        }
        self.look_at_file(ctx);
        self.keep_quote(ctx);
        self.note_window(ctx);
        if self.habits.kept != self.outlook.settings {
            self.habits.kept = self.outlook.settings.clone();
            if let Some(folder) = &self.habits.folder
                && let Err(error) = self.habits.kept.write(folder)
            {
                log::warn!("what was chosen cannot be kept in {}: {error}", folder.display());
            }
        }
    }

    /// How large the window is, noted when it closes: the next one is as large.
    fn note_window(&mut self, ctx: &Context) {
        let (closes, inner, maximized) = ctx.input(|input| {
            let window = input.viewport();
            (window.close_requested(), window.inner_rect, window.maximized.unwrap_or(false))
        });
        if !closes && !self.may_close {
            return;
        }
        let before = self.outlook.settings.window;
        // What is no number or beyond its range becomes the nearest that is.
        let points = |length: f32| (length * ctx.zoom_factor()).round() as u16;
        let now =
            inner.map(|inner| WindowSize { width: points(inner.width()), height: points(inner.height()), maximized });
        self.outlook.settings.window = match (before, now) {
            (Some(before), Some(now)) if now.maximized => Some(WindowSize { maximized: true, ..before }),
            (before, now) => now.or(before),
        };
    }

    /// The size of everything: what was chosen, and larger before a class.
    fn size_letters(&self, ctx: &Context) {
        let chosen = f32::from(self.outlook.settings.text_percent) / 100.0;
        let width = ctx.content_rect().width() * ctx.zoom_factor();
        let projected = match self.outlook.voice {
            Voice::Teaching => (width / (chosen * ROOMY)).clamp(1.0, PROJECTED),
            Voice::Trade | Voice::Plain => 1.0,
        };
        let wanted = chosen * projected;
        if (ctx.zoom_factor() - wanted).abs() > 0.005 {
            ctx.set_zoom_factor(wanted);
        }
    }

    fn look_at_file(&mut self, ctx: &Context) {
        self.habits.watching.watch(ctx, self.session.path());
        let now_s = ctx.input(|input| input.time);
        if now_s - self.habits.looked_s < LOOK_EVERY_S || self.dialog.is_some() || self.session.in_gesture() {
            return;
        }
        self.habits.looked_s = now_s;
        let Some(path) = self.session.path().filter(|_| self.session.looks_changed_on_disk()) else { return };
        let seen = (path.to_owned(), written(path));
        // A file that has gone can be saved again; there is nothing to read.
        if seen.1.is_none() || self.habits.asked_about.as_ref() == Some(&seen) {
            return;
        }
        let loses_work = if self.session.is_dirty() { LosesWork::Yes } else { LosesWork::No };
        self.dialog = Some(Dialog::Changed { path: path.to_owned(), loses_work });
        self.habits.asked_about = Some(seen);
    }

    /// Opens a file that was dropped on the window; says so while one is held over it.
    pub(super) fn hear_dropped_files(&mut self, ctx: &Context) {
        let (dropped, held) = ctx.input(|input| (input.raw.dropped_files.clone(), input.raw.hovered_files.len()));
        if self.dialog.is_none()
            && let Some(path) = dropped.into_iter().next().map(|file| file.path().to_owned())
        {
            self.actions.push(Action::OpenPath(path));
        }
        if held > 0 {
            let palette = Palette::of(&ctx.global_style().visuals);
            Area::new(Id::unique("held over")).order(Order::Foreground).fixed_pos(egui::Pos2::ZERO).show(ctx, |ui| {
                let whole = ui.ctx().content_rect();
                ui.painter().rect_filled(whole, 0.0, palette.paper.gamma_multiply(0.85));
                let words = "Let go to open the layout";
                ui.painter().text(
                    whole.center(),
                    Align2::CENTER_CENTER,
                    words,
                    FontId::proportional(24.0),
                    palette.ink,
                );
            });
        }
    }
}
