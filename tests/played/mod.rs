//! What a trial tells at its end.

use loftwright::water::trial::Played;

/// The amount that a trial tells in these words.
pub fn total(played: &Played, words: &str) -> f64 {
    let found = played.totals.iter().find(|total| total.words == words);
    found.unwrap_or_else(|| panic!("{words} is missing: {:?}", played.totals)).amount.value
}
