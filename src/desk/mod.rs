//! The window: the section is drawn, measured, judged and marked here. Nothing of the domain is reckoned in this room.

mod action;
mod app;
mod arranging;
mod asking;
mod canvas;
mod carry_out;
pub mod commands;
mod dialogs;
mod examples;
mod exporting;
mod filing;
mod flowing;
mod frames;
mod front;
mod gestures;
mod guide;
mod habits;
mod handing;
mod hearing;
mod icon;
mod keeping;
mod latest;
mod lessons;
mod letters;
mod mending;
mod moves;
mod naming;
mod outlook;
mod panels;
mod quotes;
mod selected;
mod side_panels;
mod starting;
mod stepping;
mod stock;
mod taking_up;
mod telling;
mod theme;
mod tools;
mod tour;
mod typed_path;
mod variants;
mod views;
mod warming;
mod ways;
mod window;
mod work;

use std::path::{Path, PathBuf};

pub use action::{Action, Grip, Tool};
pub use app::Desk;
pub use arranging::Arrange;
pub use commands::Command;
pub use exporting::Form;
pub use flowing::{FlowQuestion, Playing, Trial};
use frames::Watched;
pub use handing::{Handing, Sought};
pub use lessons::{LessonAction, Lessons, PaperFile};
pub use mending::{MendAsk, MendView, Mending, Scope};
pub use outlook::{Aspect, Clipping, Outlook, Shown};
pub use stock::Stock;

use crate::session::Session;
use crate::session::settings::Settings;

/// The window's size when it first opens, in points.
pub const FIRST_SIZE: [f32; 2] = [1360.0, 860.0];
/// Below this the panels leave no room for the drawing; a screen of 1366 × 768 at one and a half times its size holds it.
const LEAST_SIZE: [f32; 2] = [880.0, 460.0];
/// Half of the heap that is kept from frame to frame: more than the shapes of a large drawing take.
const KEPT_BYTES: usize = 8 << 20;

/// Opens the window on a file, or on the first example when there is none, and stays until it is closed. How long frames
/// take is written down in `frames`, if that is asked for.
///
/// # Errors
/// Says why no window can be shown, and what works without one.
pub fn open(file: Option<PathBuf>, frames: Option<PathBuf>) -> Result<(), String> {
    keep_the_heap();
    let viewport = egui::ViewportBuilder::default()
        .with_app_id("loftwright")
        .with_title("Loftwright")
        .with_min_inner_size(LEAST_SIZE);
    let viewport = as_it_was(viewport);
    let viewport = match icon::icon() {
        Some(icon) => viewport.with_icon(icon),
        None => viewport,
    };
    let options = eframe::NativeOptions { viewport, ..options() };
    let make = move |creation: &eframe::CreationContext<'_>| {
        theme::set_up(&creation.egui_ctx);
        let mut desk = Desk::new(Session::new(examples::first()));
        if let Some(folder) = crate::session::recovery::folder() {
            if let Some(folder) = folder.parent() {
                desk.remember_in(folder.to_owned());
            }
            desk.keep_in(folder);
        }
        if let Some(path) = crate::session::course::path() {
            desk.keep_record_in(path);
        }
        if let Some(path) = file {
            desk.push(Action::OpenPath(path));
        }
        match frames {
            Some(record) => Ok(Box::new(Watched::begin(desk, &record)?) as Box<dyn eframe::App>),
            None => Ok(Box::new(desk) as Box<dyn eframe::App>),
        }
    };
    eframe::run_native("loftwright", options, Box::new(make)).map_err(|error| {
        format!(
            "no window can be shown: {error}\nThe window needs a display with OpenGL 2 or later. \
             Without one, these work as well: loftwright check FILE, loftwright draw FILE --out X.svg"
        )
    })
}

/// As large as the window was when it was last closed.
fn as_it_was(viewport: egui::ViewportBuilder) -> egui::ViewportBuilder {
    let folder = crate::session::recovery::folder();
    let settings = folder.as_deref().and_then(Path::parent).map(Settings::read);
    match settings.and_then(|settings| settings.window) {
        Some(window) => viewport
            .with_inner_size([f32::from(window.width), f32::from(window.height)])
            .with_maximized(window.maximized),
        None => viewport.with_inner_size(FIRST_SIZE),
    }
}

/// How the window is painted. Nothing in it shades from one colour to another, so no noise has to hide steps of shade.
#[must_use]
pub fn options() -> eframe::NativeOptions {
    eframe::NativeOptions { dithering: false, ..eframe::NativeOptions::default() }
}

/// Has the allocator keep what a frame has used for the next one.
///
/// The system's usual one (glibc) gives the end of its heap back as soon as 128 KiB of it are free, and asks for it again in
/// the next frame: a thousand page faults each time. It takes twice the largest block that was ever mapped and let go for
/// its limit instead (mallopt(3), `M_MMAP_THRESHOLD`), so that such a block is taken and let go, untouched.
pub fn keep_the_heap() {
    drop(std::hint::black_box(Vec::<u8>::with_capacity(KEPT_BYTES)));
}

/// Gives a context the fonts and colours of the window; tests need the same.
pub fn set_up(ctx: &egui::Context) {
    theme::set_up(ctx);
}
