//! The words of a rule: its titles and three readings, from its file in `assets/rules`.

use std::str::FromStr;

use serde::{Deserialize, Serialize};

/// For whom words are meant.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Voice {
    /// One line with numbers, for people of the trade.
    #[default]
    Trade,
    /// Why the rule exists, for a class.
    Teaching,
    /// What it means at home, and what to ask.
    Plain,
}

impl Voice {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Trade, Self::Teaching, Self::Plain];

    /// Its name, as a heading.
    #[must_use]
    pub const fn heading(self) -> &'static str {
        match self {
            Self::Trade => "Trade",
            Self::Teaching => "Teaching",
            Self::Plain => "Plain",
        }
    }
}

impl FromStr for Voice {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        let same = |voice: &Self| voice.heading().eq_ignore_ascii_case(text);
        Self::ALL
            .into_iter()
            .find(same)
            .ok_or_else(|| format!("'{text}' is not a reading; use trade, teaching or plain"))
    }
}

/// The text of a prose file, taken apart when the program is built: a file that lacks a part does not build.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Prose {
    title: &'static str,
    plain_title: &'static str,
    trade: &'static str,
    teaching: &'static str,
    plain: &'static str,
    text: &'static str,
}

impl Prose {
    /// Takes a file apart: its two titles, then the readings.
    ///
    /// # Panics
    /// When a part is missing or out of order.
    #[must_use]
    pub const fn of(text: &'static str) -> Self {
        let (_, titles) = parted(text, "# ");
        let (title, titles) = parted(titles, "\n\nPlain: ");
        let (plain_title, readings) = parted(titles, "\n\n## Trade\n");
        let (trade, readings) = parted(readings, "\n\n## Teaching\n");
        let (teaching, plain) = parted(readings, "\n\n## Plain\n");
        Self { title, plain_title, trade, teaching, plain, text }
    }

    /// A short name of the fault, as a reading says it.
    #[must_use]
    pub const fn title(&self, voice: Voice) -> &'static str {
        match voice {
            Voice::Trade | Voice::Teaching => self.title,
            Voice::Plain => self.plain_title,
        }
    }

    /// The words of a reading.
    #[must_use]
    pub const fn section(&self, voice: Voice) -> &'static str {
        match voice {
            Voice::Trade => self.trade,
            Voice::Teaching => self.teaching,
            Voice::Plain => self.plain,
        }
    }

    /// The whole file.
    #[must_use]
    pub const fn text(&self) -> &'static str {
        self.text
    }
}

/// The text before a mark and after it, without blank ends.
const fn parted(text: &'static str, mark: &str) -> (&'static str, &'static str) {
    let mut at = 0;
    while !begins_with(text.as_bytes(), at, mark.as_bytes()) {
        at += 1;
        assert!(at < text.len(), "a prose file lacks a title or a reading, or has them in another order");
    }
    let (before, rest) = text.split_at(at);
    let (_, after) = rest.split_at(mark.len());
    (before.trim_ascii(), after.trim_ascii())
}

/// Whether a text goes on with a mark from a place on.
const fn begins_with(text: &[u8], at: usize, mark: &[u8]) -> bool {
    let mut same = 0;
    while same < mark.len() && at + same < text.len() && text[at + same] == mark[same] {
        same += 1;
    }
    same == mark.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_prose_file_has_two_titles_and_three_readings() {
        let prose = Prose::of(
            "# Vent too low\n\nPlain: Pipe too low\n\n## Trade\n\nOne.\n\n## Teaching\n\nTwo.\nThree.\n\n## Plain\n\nFour.\n",
        );
        assert_eq!(prose.title(Voice::Trade), "Vent too low");
        assert_eq!(prose.title(Voice::Teaching), "Vent too low");
        assert_eq!(prose.title(Voice::Plain), "Pipe too low");
        assert_eq!(prose.section(Voice::Trade), "One.");
        assert_eq!(prose.section(Voice::Teaching), "Two.\nThree.");
        assert_eq!(prose.section(Voice::Plain), "Four.");
        assert_eq!("plain".parse(), Ok(Voice::Plain));
    }
}
