//! The quote of each layout, and what has been said of its lines, kept in a file from one start of the window to the next.

use std::path::{Path, PathBuf};
use std::{fs, io};

use egui::Context;
use serde::{Deserialize, Serialize};

use super::app::Desk;
use crate::file;
use crate::session::settings::read_or_set_aside;
use crate::takeoff::quote::Told;

/// So many quotes are kept, those that were changed last.
const MOST: usize = 30;
/// The name of the file.
const NAME: &str = "quotes.ron";

/// What is kept.
#[derive(Default)]
pub struct Quotes {
    folder: Option<PathBuf>,
    kept: Vec<Kept>,
}

/// The quote of one layout.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct Kept {
    layout: PathBuf,
    quote: String,
    told: Vec<Told>,
}

impl Quotes {
    fn read(folder: PathBuf) -> Self {
        Self { kept: read_or_set_aside(&folder.join(NAME)), folder: Some(folder) }
    }

    /// The quote of a layout, and what has been said of it.
    fn of(&self, layout: Option<&Path>) -> (String, Vec<Told>) {
        let layout = layout.map(whole);
        let kept = self.kept.iter().find(|kept| Some(&kept.layout) == layout.as_ref());
        kept.map(|kept| (kept.quote.clone(), kept.told.clone())).unwrap_or_default()
    }

    /// Keeps the quote of a layout, unless it is kept already.
    fn keep(&mut self, layout: &Path, quote: &str, told: &[Told]) -> io::Result<()> {
        let Some(folder) = &self.folder else { return Ok(()) };
        let now = Kept { layout: whole(layout), quote: quote.to_owned(), told: told.to_vec() };
        let before = self.kept.iter().position(|kept| kept.layout == now.layout);
        if before.map_or(quote.is_empty(), |before| self.kept[before] == now) {
            return Ok(());
        }
        before.map(|before| self.kept.remove(before));
        self.kept.insert(0, now);
        self.kept.truncate(MOST);
        fs::create_dir_all(folder)?;
        let text = ron::ser::to_string_pretty(&self.kept, ron::ser::PrettyConfig::default());
        file::hand_over(&folder.join(NAME), text.map_err(io::Error::other)?.as_bytes()).map_err(io::Error::other)
    }
}

fn whole(path: &Path) -> PathBuf {
    std::path::absolute(path).unwrap_or_else(|_| path.to_owned())
}

impl Desk {
    /// Keeps quotes in a folder from now on, and takes up that of the open layout.
    pub(super) fn keep_quotes_in(&mut self, folder: PathBuf) {
        self.quotes = Quotes::read(folder);
        self.take_up_quote();
    }

    /// Shows the quote of the layout that has been opened.
    pub(super) fn take_up_quote(&mut self) {
        let asked = &mut self.handed.taking.asked;
        (asked.quote, asked.told) = self.quotes.of(self.session.path());
    }

    /// Keeps the quote as it stands, once nobody is typing or the window closes.
    pub(super) fn keep_quote(&mut self, ctx: &Context) {
        let asked = &self.handed.taking.asked;
        let is_settled = !ctx.text_edit_focused() || ctx.input(|input| input.viewport().close_requested());
        if let Some(layout) = self.session.path().filter(|_| is_settled)
            && let Err(error) = self.quotes.keep(layout, &asked.quote, &asked.told)
        {
            log::warn!("the quote cannot be kept: {error}");
        }
    }
}
