//! The words of a rule where no finding fills them: they speak of any part, and of any amount.

use super::{Bound, Limit, Rule, Voice};
use crate::units::Unit;

/// What stands where a drawing shows one thing or the other.
const EITHER: &str = "this or that";

impl Rule {
    /// The words of a reading, with what holds for every layout in the gaps that a finding would fill. Begins with a
    /// capital.
    #[must_use]
    pub fn words_in_general(&self, voice: Voice) -> String {
        let text = self.prose.section(voice);
        let whole = text.strip_prefix("{part}: ").or_else(|| text.strip_prefix("{part}, ")).unwrap_or(text);
        let whole = match (self.limit.unit(), whole.strip_prefix("{have}; ")) {
            // Without a number nothing is left of what was found.
            (None, Some(asked)) => asked,
            _ => whole,
        };
        let have = self.any_amount();
        let need = self.limit.bound().map_or_else(|| self.limit.to_string(), ToString::to_string);
        let onward = |words: String, way: &str| words.replace(&format!("{{have {way}}}"), &format!("{have} {way}"));
        let words = ["of", "above", "below", "beyond", "smaller"].into_iter().fold(whole.to_owned(), onward);
        let words = words
            .replace("the {part}", "the part")
            .replace("The {part}", "The part")
            .replace("{part}", "the part")
            .replace("{at side}", "")
            .replace("{have}", &have)
            .replace("{need}", &need);
        let mut letters = words.chars();
        letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
    }

    /// What stands for whatever is found.
    fn any_amount(&self) -> String {
        match (self.limit.unit(), self.limit) {
            (Some(Unit::Share), _) => "so much".to_owned(),
            (Some(unit), _) => format!("so many{}", unit.suffix()),
            (None, Limit::NoneOf(words)) => words.join(" or "),
            (None, _) => EITHER.to_owned(),
        }
    }
}

impl Limit {
    const fn bound(&self) -> Option<&Bound> {
        match self {
            Self::AtLeast(bound) | Self::MoreThan(bound) | Self::AtMost(bound) => Some(bound),
            Self::OneOf(_) | Self::NoneOf(_) | Self::Told | Self::Yes | Self::YesWithin(_) => None,
        }
    }

    /// The unit of its number; none where it asks for no number.
    fn unit(&self) -> Option<Unit> {
        self.bound().map(|bound| match *bound {
            Bound::Constant(_, unit) | Bound::Times { unit, .. } | Bound::ByCount { unit, .. } => unit,
            Bound::PerMetre { .. } | Bound::TimesButAtLeast { .. } | Bound::BySize(_) => Unit::Millimetre,
        })
    }
}
