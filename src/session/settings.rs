//! What a person has chosen for all layouts, in a small file beside the recovery copies.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use crate::file;
use crate::rules::Voice;

/// So many files that were open lately are remembered.
pub const MOST_RECENT: usize = 9;
/// The name of the file.
const NAME: &str = "settings.ron";
/// Between these the letters may be made smaller and larger, in per cent of their usual size.
const TEXT_PERCENT: (u16, u16) = (70, 250);
/// Fine enough for print, and between which a picture's resolution may be chosen, in pixels to the inch.
const USUAL_DPI: u16 = 300;
const DPI: (u16, u16) = (10, 1200);

/// What a person has chosen.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// Files that were open lately, the last one first.
    pub recent: Vec<PathBuf>,
    /// Whether the cards for a first look round have been shown.
    pub tour_seen: bool,
    /// Size of everything in the window, in per cent of its usual size.
    pub text_percent: u16,
    /// In which units numbers are shown.
    pub measures: Measures,
    /// Light or dark, where it has been chosen.
    pub appearance: Option<Appearance>,
    /// Whether panels stand beside the drawing.
    pub side_panels: SidePanels,
    /// How wide they have been drawn.
    pub panel_widths: PanelWidths,
    /// The reading in which findings speak.
    pub voice: Voice,
    /// How sheets are handed over.
    pub hand_over: HandOver,
    /// The window as it was when it was last closed.
    pub window: Option<WindowSize>,
}

/// How wide the panels beside the drawing have been drawn, in points; of one that nobody has drawn nothing.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct PanelWidths {
    /// The left one.
    pub left: Option<u16>,
    /// The right one.
    pub right: Option<u16>,
}

/// How large a window is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct WindowSize {
    /// In points at the usual size of letters; of one over the whole screen what it was before.
    pub width: u16,
    /// Likewise.
    pub height: u16,
    /// Whether it was over the whole screen.
    pub maximized: bool,
}

/// How sheets are handed over.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct HandOver {
    /// What is shown.
    pub handed: Handed,
    /// The paper of a drawing.
    pub paper: PaperSize,
    /// One to this; none for as large as it fits.
    pub scale: Option<u16>,
    /// Pixels to the inch of a picture.
    pub dpi: u16,
    /// Where the last file went.
    pub folder: Option<PathBuf>,
}

/// What is handed over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Handed {
    /// The drawing, with what is marked on it.
    Drawing,
    /// The whole report.
    Report,
}

/// Paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum PaperSize {
    /// 210 × 297 mm, standing.
    A4,
    /// 420 × 297 mm, lying.
    A3,
}

impl Default for HandOver {
    fn default() -> Self {
        Self { handed: Handed::Drawing, paper: PaperSize::A3, scale: None, dpi: USUAL_DPI, folder: None }
    }
}

/// In which units numbers are shown and typed where none is written.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Measures {
    /// Millimetres and litres.
    #[default]
    Metric,
    /// Inches and gallons.
    Imperial,
}

/// Light or dark paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Appearance {
    /// Ink on paper.
    Light,
    /// Chalk on a board.
    Dark,
}

/// Whether panels stand beside the drawing.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum SidePanels {
    /// They do.
    #[default]
    Shown,
    /// The drawing has the window to itself.
    Hidden,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            recent: Vec::new(),
            tour_seen: false,
            text_percent: 100,
            measures: Measures::Metric,
            appearance: None,
            side_panels: SidePanels::Shown,
            panel_widths: PanelWidths::default(),
            voice: Voice::Trade,
            hand_over: HandOver::default(),
            window: None,
        }
    }
}

impl Settings {
    /// The settings in a folder; those of the beginning where there are none or they cannot be read.
    #[must_use]
    pub fn read(folder: &Path) -> Self {
        let mut settings: Self = read_or_set_aside(&folder.join(NAME));
        settings.recent.truncate(MOST_RECENT);
        settings.hand_over.dpi = settings.hand_over.dpi.clamp(DPI.0, DPI.1);
        settings.hand_over.scale = settings.hand_over.scale.filter(|scale| *scale > 0);
        settings.text_percent = settings.text_percent.clamp(TEXT_PERCENT.0, TEXT_PERCENT.1);
        settings
    }

    /// Writes them to a folder.
    ///
    /// # Errors
    /// When the folder cannot be made or written.
    pub fn write(&self, folder: &Path) -> io::Result<()> {
        fs::create_dir_all(folder)?;
        let text = ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::default()).map_err(io::Error::other)?;
        file::hand_over(&folder.join(NAME), text.as_bytes()).map_err(io::Error::other)
    }

    /// Puts a file first among those that were open lately.
    pub fn opened(&mut self, path: &Path) {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        self.recent.retain(|other| *other != path);
        self.recent.insert(0, path);
        self.recent.truncate(MOST_RECENT);
    }

    /// Hides the panels beside the drawing, or shows them again.
    pub const fn turn_side_panels(&mut self) {
        self.side_panels = match self.side_panels {
            SidePanels::Shown => SidePanels::Hidden,
            SidePanels::Hidden => SidePanels::Shown,
        };
    }

    /// Makes everything larger or smaller by so many per cent.
    pub fn resize_text(&mut self, by_percent: i16) {
        self.text_percent = self.text_percent.saturating_add_signed(by_percent).clamp(TEXT_PERCENT.0, TEXT_PERCENT.1);
    }
}

/// What is kept in a file; what is usual where there is none or it cannot be read. What cannot be read is kept beside it,
/// with `unreadable` before its ending, since the next change writes over it.
#[must_use]
pub fn read_or_set_aside<T: DeserializeOwned + Default>(path: &Path) -> T {
    let read = fs::read(path).and_then(|bytes| ron::de::from_bytes(&bytes).map_err(io::Error::other));
    read.unwrap_or_else(|error| {
        if error.kind() != io::ErrorKind::NotFound {
            let aside = path.with_extension("unreadable.ron");
            let outcome = fs::copy(path, &aside).map(|_| ());
            log::warn!("{} cannot be read ({error}); kept as {}: {outcome:?}", path.display(), aside.display());
        }
        T::default()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_written_is_read_again() {
        let place = tempfile::tempdir().expect("a folder");
        let folder = place.path().join("state");
        assert_eq!(Settings::read(&folder), Settings::default());
        let mut settings = Settings { measures: Measures::Imperial, voice: Voice::Plain, ..Settings::default() };
        settings.opened(Path::new("/a/house.loft.ron"));
        settings.write(&folder).expect("writes");
        settings.resize_text(25);
        settings.write(&folder).expect("writes over what was there");
        assert_eq!(Settings::read(&folder), settings);
    }

    #[test]
    fn a_damaged_file_and_wild_numbers_do_no_harm() {
        let place = tempfile::tempdir().expect("a folder");
        fs::write(place.path().join(NAME), "(text_percent: 9000, recent: [], unheard_of: 3)").expect("writes");
        assert_eq!(Settings::read(place.path()).text_percent, TEXT_PERCENT.1);
        fs::write(place.path().join(NAME), "what is this").expect("writes");
        assert_eq!(Settings::read(place.path()), Settings::default());
        assert_eq!(fs::read(place.path().join("settings.unreadable.ron")).expect("kept"), b"what is this");
    }

    #[test]
    fn the_last_file_comes_first_and_none_twice() {
        let mut settings = Settings::default();
        for number in 0..12 {
            settings.opened(&PathBuf::from(format!("/a/{number}.loft.ron")));
        }
        settings.opened(Path::new("/a/7.loft.ron"));
        assert_eq!(settings.recent.len(), MOST_RECENT);
        assert_eq!(settings.recent[0], Path::new("/a/7.loft.ron"));
        assert_eq!(settings.recent.iter().filter(|path| path.ends_with("7.loft.ron")).count(), 1);
    }
}
