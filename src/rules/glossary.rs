//! Words of the trade in everyday words, from `assets/glossary.ron`, and where they stand in a text.

use std::borrow::Cow;
use std::sync::LazyLock;

use serde::Deserialize;

use super::Voice;

static TERMS: LazyLock<Vec<Term>> = LazyLock::new(|| {
    let mut terms: Vec<Term> =
        ron::from_str(include_str!("../../assets/glossary.ron")).expect("the glossary that ships can be read");
    terms.sort_by(|a, b| a.term.cmp(&b.term));
    terms
});

/// A word of the trade.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Term {
    /// The word, or several that belong together.
    pub term: String,
    /// Other words for the same.
    pub also: Vec<String>,
    /// What stands in its place in the Plain reading: the term itself where everybody says it, none where there is no
    /// everyday word.
    pub plain: Option<String>,
    /// What it means, in everyday words.
    pub words: String,
}

impl Term {
    /// Whether everybody says it.
    #[must_use]
    pub fn is_everyday(&self) -> bool {
        self.plain.as_ref() == Some(&self.term)
    }
}

/// A piece of a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Piece<'a> {
    /// Words that need no explaining.
    Words(&'a str),
    /// A word of the trade as it stands in the text, and what it means.
    Term(&'a str, &'static Term),
}

/// All words of the trade, by the alphabet.
#[must_use]
pub fn glossary() -> &'static [Term] {
    &TERMS
}

/// The entry for a word, in any of its forms.
#[must_use]
pub fn term(word: &str) -> Option<&'static Term> {
    match pieces(word)[..] {
        [Piece::Term(_, term)] => Some(term),
        _ => None,
    }
}

/// A text in pieces, so that each word of the trade can be opened. What stands 'in quotes' are somebody's own words, or the
/// name of a file, and stay as they are; so does what is part of a name with hyphens.
#[must_use]
pub fn pieces(text: &str) -> Vec<Piece<'_>> {
    let lower = text.to_ascii_lowercase();
    let (mut pieces, mut done, mut at) = (Vec::new(), 0, 0);
    while at < text.len() {
        let begins = text.is_char_boundary(at) && !is_inside_a_word(&lower[..at]);
        if let Some(length) = begins.then(|| quoted(&text[at..])).flatten() {
            at += length;
            continue;
        }
        let found = if begins { longest_at(&lower[at..]) } else { None };
        match found {
            Some((length, term)) => {
                if done < at {
                    pieces.push(Piece::Words(&text[done..at]));
                }
                pieces.push(Piece::Term(&text[at..at + length], term));
                at += length;
                done = at;
            }
            None => at += 1,
        }
    }
    if done < text.len() {
        pieces.push(Piece::Words(&text[done..]));
    }
    pieces
}

/// Whether a text ends within a word that what follows may carry on.
fn is_inside_a_word(before: &str) -> bool {
    before.chars().next_back().is_some_and(|letter| letter.is_alphanumeric() || letter == '-')
}

/// How long what stands in quotes is with which a text begins.
fn quoted(text: &str) -> Option<usize> {
    let inside = text.strip_prefix('\'')?;
    let closes = |at: &usize| !inside[at + 1..].starts_with(|letter: char| letter.is_alphanumeric());
    inside.match_indices('\'').map(|(at, _)| at).find(closes).map(|at| at + 2)
}

/// A name or short line as a reading says it: in Plain, words of the trade give way to everyday ones where there are any.
#[must_use]
pub fn said<'a>(text: impl Into<Cow<'a, str>>, voice: Voice) -> String {
    let text = text.into();
    if voice != Voice::Plain {
        return text.into_owned();
    }
    pieces(&text).into_iter().fold(String::new(), |mut said, piece| {
        match piece {
            // "cold distribution pipe" is a "cold pipe", and no pipe of a pipe.
            Piece::Words(words) => match words.strip_prefix(" pipe") {
                Some(rest) if said.ends_with("pipe") => said.push_str(rest),
                _ => said.push_str(words),
            },
            Piece::Term(word, term) => push_with_article(&mut said, &in_its_place(word, term)),
        }
        said
    })
}

/// Sets a word down behind others: an article before it becomes the one that it asks for.
fn push_with_article(said: &mut String, word: &str) {
    let asks_for_an = word.starts_with(['a', 'e', 'i', 'o', 'u']);
    for (short, long) in [("a ", "an "), ("A ", "An ")] {
        let (wrong, right) = if asks_for_an { (short, long) } else { (long, short) };
        let before = said.strip_suffix(wrong).filter(|before| !before.ends_with(char::is_alphanumeric));
        if let Some(length) = before.map(str::len) {
            said.replace_range(length.., right);
        }
    }
    said.push_str(word);
}

/// The everyday word for one of the trade, with its capital and its plural.
fn in_its_place(word: &str, term: &Term) -> String {
    let Some(plain) = term.plain.as_ref().filter(|_| !term.is_everyday()) else { return word.to_owned() };
    let lower = word.to_ascii_lowercase();
    let is_plural = lower != term.term && !term.also.contains(&lower);
    let said = if is_plural { plural(plain) } else { plain.clone() };
    let mut letters = said.chars();
    match letters.next() {
        Some(first) if word.starts_with(char::is_uppercase) => first.to_uppercase().chain(letters).collect(),
        _ => said,
    }
}

/// Several of a thing: of what it is a thing of stays as it is.
fn plural(words: &str) -> String {
    let hisses = |word: &str| ["s", "sh", "ch"].iter().any(|end| word.ends_with(end));
    let ending = |word: &str| if hisses(word) { "es" } else { "s" };
    match words.find(" of ").or_else(|| words.find(" that ")) {
        Some(at) => format!("{}{}{}", &words[..at], ending(&words[..at]), &words[at..]),
        None => format!("{words}{}", ending(words)),
    }
}

/// The longest word of the trade with which a text in small letters begins, with a plural's ending.
fn longest_at(text: &str) -> Option<(usize, &'static Term)> {
    let forms =
        TERMS.iter().flat_map(|term| std::iter::once(&term.term).chain(&term.also).map(move |form| (form, term)));
    let fits = forms.filter_map(|(form, term)| {
        let rest = text.strip_prefix(form.as_str())?;
        let ended = |rest: &str| !rest.starts_with(|letter: char| letter.is_alphanumeric() || letter == '-');
        let ending = ["", "s", "es"].into_iter().find(|ending| rest.strip_prefix(ending).is_some_and(ended))?;
        Some((form.len() + ending.len(), term))
    });
    fits.max_by_key(|(length, _)| *length)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::{InLineKind, Service};

    fn marked(text: &str) -> String {
        let pieces = pieces(text).into_iter().map(|piece| match piece {
            Piece::Words(words) => words.to_owned(),
            Piece::Term(word, term) => format!("[{word}|{}]", term.term),
        });
        pieces.collect()
    }

    #[test]
    fn terms_are_found_whole_and_the_longest_first() {
        assert_eq!(marked("The open vents ventilate."), "The [open vents|open vent] ventilate.");
        assert_eq!(
            marked("A feed-and-expansion cistern, not a cistern"),
            "A [feed-and-expansion cistern|feed-and-expansion cistern], not a [cistern|cistern]"
        );
        assert_eq!(marked("If it runs low, run a pipe run"), "If it runs low, run a [pipe run|pipe run]");
        assert_eq!(marked("Ahead of the heads: 10 °C"), "Ahead of the [heads|head]: 10 °C");
        assert_eq!(
            marked("Saved to '/a/cistern vent.ron', the cylinder's 'tank'"),
            "Saved to '/a/cistern vent.ron', the [cylinder|cylinder]'s 'tank'"
        );
        assert_eq!(marked("cistern-lid-not-tight and full-bore"), "cistern-lid-not-tight and full-bore");
        assert_eq!(term("Lagging").map(|term| term.term.as_str()), Some("insulation"));
    }

    #[test]
    fn every_sort_of_pipe_and_of_what_is_fitted_in_one_can_be_opened() {
        let pipes = Service::ALL.map(Service::words);
        let fitted = InLineKind::ALL.map(InLineKind::words);
        for words in pipes.into_iter().chain(fitted) {
            assert!(pieces(words).iter().any(|piece| matches!(piece, Piece::Term(..))), "'{words}' is not explained");
        }
    }

    #[test]
    fn plain_speaks_of_pipes_and_fittings_in_everyday_words_that_differ() {
        let trade: Vec<&str> =
            Service::ALL.map(Service::words).into_iter().chain(InLineKind::ALL.map(InLineKind::words)).collect();
        let plain: Vec<String> = trade.iter().map(|words| said(*words, Voice::Plain)).collect();
        for (number, words) in plain.iter().enumerate() {
            let of_the_trade = |piece: &Piece<'_>| matches!(piece, Piece::Term(_, term) if !term.is_everyday());
            assert!(!pieces(words).iter().any(of_the_trade), "'{words}' is a word of the trade");
            assert!(!plain[..number].contains(words), "'{words}' stands for two things");
        }
        assert_eq!(said("Cisterns over the open vent", Voice::Plain), "Loft tanks over the safety pipe");
        assert_eq!(said("Heads at tees", Voice::Plain), "Heights of water at branches");
        assert_eq!(said("An outlet without a warning pipe", Voice::Plain), "A tap without an overflow pipe");
        assert_eq!(said("Cisterns", Voice::Teaching), "Cisterns");
        assert_eq!(said("the cold distribution pipe falls", Voice::Plain), "the cold pipe falls");
    }

    #[test]
    fn no_form_stands_for_two_terms_and_none_explains_itself() {
        let mut forms: Vec<&str> = Vec::new();
        for term in glossary() {
            for form in std::iter::once(&term.term).chain(&term.also) {
                assert!(!forms.contains(&form.as_str()), "'{form}' stands twice");
                assert_eq!(*form, form.to_ascii_lowercase());
                forms.push(form);
            }
            let plain = term.plain.as_deref().unwrap_or_default();
            let unexplained =
                pieces(plain).into_iter().any(|piece| matches!(piece, Piece::Term(_, other) if !other.is_everyday()));
            assert!(term.is_everyday() || !unexplained, "{}: '{plain}' is no everyday word", term.term);
            assert!(term.words.len() > 30 && term.words.ends_with('.'), "{}", term.term);
        }
    }
}
