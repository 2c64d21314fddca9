//! Where in the text a reference stands that leads nowhere.

use std::ops::Range;

use super::tokens::{Kind, Token, tokens};
use crate::layout::BrokenReference;

/// The bytes to point at; `None` when the text writes the word in another way (with escapes, say).
pub(super) fn locate(broken: &BrokenReference, text: &str) -> Option<Range<usize>> {
    let tokens: Vec<Token<'_>> = tokens(text).collect();
    let word = broken.word();
    let found = match broken {
        // The later of the two is the one that came in addition.
        BrokenReference::Twice { .. } => named(&tokens, word).last(),
        BrokenReference::TeeCycle { .. } => named(&tokens, word).next(),
        BrokenReference::NothingToHold { part, .. } => {
            let locks = tokens.iter().position(|token| token.is(word))?;
            (locks..tokens.len()).find(|at| tokens[*at].quoted() == Some(part.as_str()))
        }
        BrokenReference::NoSuchPart { run, .. } => used_in(&tokens, run.as_str(), None, word),
        BrokenReference::NoSuchPort { run, part, .. } => used_in(&tokens, run.as_str(), Some(part.as_str()), word),
        BrokenReference::RoofIsNoLine => {
            let roof = tokens.iter().position(|token| token.is("roof"))?;
            (roof..tokens.len()).find(|at| tokens[*at].is(word))
        }
    }?;
    let token = tokens[found];
    Some(token.start..token.start + token.text.len())
}

/// The id in the group that a bracket at `close` ends, or else the bracket that begins it.
pub(super) fn subject_of_group(text: &str, close: usize) -> Range<usize> {
    let before: Vec<Token<'_>> = tokens(text).take_while(|token| token.start < close).collect();
    let group = group_around(&before, before.len());
    let bytes = |token: &Token<'_>| token.start..token.start + token.text.len();
    let mut depth = 0;
    let own_id = group.clone().find(|at| {
        depth += depth_change(&before[*at]);
        depth == 1 && *at >= 2 && before[at - 2].is("id") && before[at - 1].is(":")
    });
    own_id.or(Some(group.start)).and_then(|at| before.get(at)).map_or(close..close, bytes)
}

/// Where `id: "word"` stands.
fn named<'a>(tokens: &'a [Token<'_>], word: &'a str) -> impl Iterator<Item = usize> + 'a {
    (2..tokens.len())
        .filter(move |at| tokens[at - 2].is("id") && tokens[at - 1].is(":") && tokens[*at].quoted() == Some(word))
}

/// Where a run uses a word; behind the part's own, if one is named.
fn used_in(tokens: &[Token<'_>], run: &str, part: Option<&str>, word: &str) -> Option<usize> {
    named(tokens, run).find_map(|name| {
        group_around(tokens, name).filter(|at| *at != name).find(|at| {
            let behind_part = part.is_none_or(|part| *at >= 2 && tokens[at - 2].quoted() == Some(part));
            behind_part && tokens[*at].quoted() == Some(word)
        })
    })
}

/// The tokens of the innermost group that a token stands in.
fn group_around(tokens: &[Token<'_>], at: usize) -> Range<usize> {
    let mut depth = 0;
    let begin = (0..at).rev().find(|index| {
        depth += depth_change(&tokens[*index]);
        depth > 0
    });
    depth = 0;
    let end = (at..tokens.len()).find(|index| {
        depth += depth_change(&tokens[*index]);
        depth < 0
    });
    begin.unwrap_or(0)..end.unwrap_or(tokens.len())
}

fn depth_change(token: &Token<'_>) -> i32 {
    match token.kind {
        Kind::Open => 1,
        Kind::Close => -1,
        _ => 0,
    }
}
