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

/// The titles stand in so many lines at the head of a prose file.
const TITLE_LINES: usize = 3;

/// The text of a prose file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Prose(pub &'static str);

impl Prose {
    /// A short name of the fault, as a reading says it; empty when the file lacks it.
    #[must_use]
    pub fn title(&self, voice: Voice) -> &'static str {
        let begins = match voice {
            Voice::Trade | Voice::Teaching => "# ",
            Voice::Plain => "Plain: ",
        };
        self.0.lines().take(TITLE_LINES).find_map(|line| line.strip_prefix(begins)).unwrap_or_default().trim()
    }

    /// The words of a reading; empty when the file lacks it.
    #[must_use]
    pub fn section(&self, voice: Voice) -> &'static str {
        let (mut at, mut begins) = (0, None);
        // A line is found far sooner than a word within the text.
        for line in self.0.split_inclusive('\n') {
            match (line.strip_prefix("## "), begins) {
                (Some(_), Some(begins)) => return self.0[begins..at].trim(),
                (Some(heading), None) if heading.trim_end() == voice.heading() => begins = Some(at + line.len()),
                _ => {}
            }
            at += line.len();
        }
        begins.map_or("", |begins| self.0[begins..].trim())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_prose_file_has_two_titles_and_three_readings() {
        let prose = Prose(
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
