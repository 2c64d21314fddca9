//! The quote of each layout, and what has been said of its lines, kept in a file from one start of the window to the next.

use std::path::{Path, PathBuf};
use std::{fs, io};

use serde::{Deserialize, Serialize};

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
    /// The quotes that are kept in a folder.
    #[must_use]
    pub fn read(folder: PathBuf) -> Self {
        Self { kept: read_or_set_aside(&folder.join(NAME)), folder: Some(folder) }
    }

    /// The quote of a layout, and what has been said of it.
    #[must_use]
    pub fn of(&self, layout: Option<&Path>) -> (String, Vec<Told>) {
        let layout = layout.map(whole);
        let kept = self.kept.iter().find(|kept| Some(&kept.layout) == layout.as_ref());
        kept.map(|kept| (kept.quote.clone(), kept.told.clone())).unwrap_or_default()
    }

    /// Keeps the quote of a layout, unless it is kept already.
    ///
    /// # Errors
    /// When the file cannot be written.
    pub fn keep(&mut self, layout: &Path, quote: &str, told: &[Told]) -> io::Result<()> {
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
