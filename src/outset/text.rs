//! Answers as text: RON, with only what differs from the usual answers written.

use ron::extensions::Extensions;

use super::{Answers, BEGINNINGS, Beginning};

impl Answers {
    /// The answers in a text; what it leaves out takes the usual value.
    ///
    /// # Errors
    /// What is wrong, and where.
    pub fn parse(text: &str) -> Result<Self, String> {
        let options = ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME);
        options.from_str(text).map_err(|error| {
            let at = error.span.start;
            format!("line {}, column {}: {}", at.line, at.col, error.code)
        })
    }

    /// The text of the answers, to be changed and read again.
    ///
    /// # Panics
    /// Never: all that answers can hold has a RON form.
    #[must_use]
    pub fn text(&self) -> String {
        let options = ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME);
        let pretty = ron::ser::PrettyConfig::default().depth_limit(2);
        options.to_string_pretty(self, pretty).expect("answers hold numbers, words and lists only") + "\n"
    }
}

impl Beginning {
    /// Its name as one types it: small letters and hyphens.
    #[must_use]
    pub fn word(&self) -> String {
        self.name.to_lowercase().replace(' ', "-")
    }

    /// The beginning of a word.
    #[must_use]
    pub fn named(word: &str) -> Option<&'static Self> {
        BEGINNINGS.iter().find(|beginning| beginning.word() == word)
    }
}
