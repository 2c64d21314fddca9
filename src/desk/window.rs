//! The window itself, from one frame to the next: its title, the picture of its letters, whether it may close.

use egui::{Context, RawInput, ViewportCommand};

use super::letters::Letters;
use super::panels;
use crate::session::Session;

/// What is remembered of it.
#[derive(Default)]
pub struct Window {
    title: String,
    letters: Letters,
    /// A text field had the keyboard in the frame before.
    pub was_typing: bool,
    /// The question about unsaved work has been answered: the next close goes through.
    pub may_close: bool,
}

impl Window {
    /// Has the title name the open layout, and mark it where it is not saved.
    pub fn show_title(&mut self, ctx: &Context, session: &Session) {
        let name = session.file_name().unwrap_or_else(|| "not saved yet".to_owned());
        let marker = if session.is_dirty() { panels::NOT_SAVED } else { "" };
        let title = format!("{marker}{name} — Loftwright");
        if title != self.title {
            ctx.send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }

    /// Keeps the picture of letters small, before the frame begins.
    pub fn before_frame(&mut self, ctx: &Context, raw_input: &mut RawInput) {
        self.letters.keep_small(ctx.zoom_factor(), raw_input);
    }
}
