//! What the window's own views and panels are called in each reading.

use super::Aspect;
use crate::finding::ToldOf;
use crate::rules::Voice;

/// A panel with a name of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Name {
    /// What can be placed.
    Stores,
    /// The numbers of what is selected.
    Particulars,
    /// The list of findings.
    Findings,
    /// How a finding was reckoned.
    Working,
    /// What would put it right.
    Mend,
}

impl Name {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Stores, Self::Particulars, Self::Findings, Self::Working, Self::Mend];

    /// Its name, as a reading says it.
    #[must_use]
    pub const fn said(self, voice: Voice) -> &'static str {
        let (name, plain) = match self {
            Self::Stores => ("Stores", "Things to place"),
            Self::Particulars => ("Particulars", "Details"),
            Self::Findings => ("Findings", "Results"),
            Self::Working => ("Working", "How we know"),
            Self::Mend => ("Mend", "Put it right"),
        };
        in_reading(voice, name, plain)
    }
}

impl Aspect {
    /// Its name, as a reading says it.
    #[must_use]
    pub const fn name(self, voice: Voice) -> &'static str {
        let (name, plain) = match self {
            Self::SetOut => ("Set out", "Heights"),
            Self::Flow => ("Flow", "Water"),
            Self::Warmth => ("Warmth", "Warmth"),
            Self::Timber => ("Timber", "Weight"),
            Self::TakeOff => ("Take-off", "Shopping list"),
            Self::Lesson => ("Lesson", "Lesson"),
            Self::Sheet => ("Sheet", "Print"),
        };
        in_reading(voice, name, plain)
    }
}

impl ToldOf {
    /// The heading under which it is told.
    #[must_use]
    pub const fn heading(self) -> &'static str {
        match self {
            Self::Main => "Rising main",
            Self::Storey(_) => "Storeys",
            Self::Joists => "Joists",
            Self::Hatch => "Loft hatch",
            Self::Climate => "Climate",
        }
    }
}

/// A text that names views and panels, with the names that they have in a reading.
#[must_use]
pub fn in_words_of(voice: Voice, text: &str) -> String {
    let views = Aspect::ALL.map(|aspect| (aspect.name(Voice::Trade), aspect.name(voice)));
    let panels = Name::ALL.map(|name| (name.said(Voice::Trade), name.said(voice)));
    views.into_iter().chain(panels).fold(text.to_owned(), |text, (name, said)| text.replace(name, said))
}

const fn in_reading(voice: Voice, name: &'static str, plain: &'static str) -> &'static str {
    match voice {
        Voice::Trade | Voice::Teaching => name,
        Voice::Plain => plain,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::{Piece, pieces};

    #[test]
    fn names_differ_and_plain_ones_need_no_explaining() {
        for voice in Voice::ALL {
            let views = Aspect::ALL.map(|aspect| aspect.name(voice));
            let all: Vec<&str> = views.into_iter().chain(Name::ALL.map(|name| name.said(voice))).collect();
            for (place, name) in all.iter().enumerate() {
                assert!(!all[..place].contains(name), "two are called {name} in {voice:?}");
                let of_the_trade = |piece: Piece<'_>| matches!(piece, Piece::Term(_, term) if !term.is_everyday());
                assert!(voice != Voice::Plain || !pieces(name).into_iter().any(of_the_trade), "{name}");
            }
        }
    }
}
