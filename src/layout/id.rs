//! Readable names of parts and ports: "cistern", "cold-feed", "bath-2".

use std::fmt;
use std::sync::Arc;

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// The longest id; long enough for any phrase one would say on site.
const LONGEST: usize = 60;

/// Why a text is not an id.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("'{}' cannot be an id: use 1 to 60 small letters, digits and hyphens, such as cold-feed", .0.escape_debug())]
pub struct BadId(String);

/// A readable id, unique among the parts of a layout (or among the ports of a part). Cheap to clone.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Id(Arc<str>);

impl Id {
    /// Takes a readable word.
    ///
    /// # Errors
    /// [`BadId`] when it holds anything but small letters, digits and hyphens.
    pub fn new(text: &str) -> Result<Self, BadId> {
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if text.is_empty() || text.len() > LONGEST || !text.chars().all(plain) {
            return Err(BadId(text.chars().take(LONGEST).collect()));
        }
        Ok(Self(text.into()))
    }

    /// The id nearest to what somebody calls it: small letters and digits, with one hyphen for whatever lies between
    /// them. `None` when there is neither.
    #[must_use]
    pub fn nearest(text: &str) -> Option<Self> {
        let small = text.to_lowercase();
        let words = small.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
        let joined = words.collect::<Vec<_>>().join("-");
        Self::new(joined.get(..LONGEST).unwrap_or(&joined).trim_end_matches('-')).ok()
    }

    /// The id made from words known to be good.
    ///
    /// # Panics
    /// When they are not, which is a fault of the program.
    #[must_use]
    pub fn of(text: &str) -> Self {
        Self::new(text).expect("ids in the program's own text are readable words")
    }

    /// The word itself.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The word as people read it: hyphens become spaces.
    #[must_use]
    pub fn spoken(&self) -> String {
        self.0.replace('-', " ")
    }

    /// The name as it stands in a sentence: "the cistern", and without an article where a number ends it, "cistern 2".
    #[must_use]
    pub fn with_article(&self) -> String {
        let name = self.spoken();
        if ends_in_number(&name) { name } else { format!("the {name}") }
    }
}

/// Whether a name ends in a number, by which it stands without an article.
#[must_use]
pub fn ends_in_number(name: &str) -> bool {
    name.ends_with(|c: char| c.is_ascii_digit())
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl TryFrom<String> for Id {
    type Error = BadId;
    fn try_from(text: String) -> Result<Self, BadId> {
        Self::new(&text)
    }
}

impl From<Id> for String {
    fn from(id: Id) -> Self {
        id.0.as_ref().to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_at_the_end_of_a_name_takes_the_place_of_its_article() {
        for (id, in_words) in [("cistern", "the cistern"), ("platform-3", "platform 3"), ("hot-2-way", "the hot 2 way")]
        {
            assert_eq!(Id::of(id).with_article(), in_words);
        }
    }

    #[test]
    fn the_nearest_id_keeps_letters_and_digits() {
        let nearest = |text: &str| Id::nearest(text).map(|id| id.as_str().to_owned());
        for (text, id) in [("My Tank 1", "my-tank-1"), (" cold_feed!", "cold-feed"), ("WC — hall", "wc-hall")] {
            assert_eq!(nearest(text).as_deref(), Some(id));
        }
        assert_eq!(nearest(" ?! "), None);
        assert_eq!(nearest(&"ab ".repeat(40)).map(|id| id.len()), Some(59));
    }

    #[test]
    fn a_bad_id_is_named_on_one_line() {
        let error = Id::new("cold\nfeed").expect_err("a line break");
        assert_eq!(
            error.to_string(),
            "'cold\\nfeed' cannot be an id: use 1 to 60 small letters, digits and hyphens, such as cold-feed"
        );
    }
}
