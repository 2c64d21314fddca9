//! The known word that an unknown one most likely means.

/// As much of a word as is looked at.
const LONGEST: usize = 64;

/// The word among `known` that is nearest to `word`, if any is near enough to be meant.
#[must_use]
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let fold = |text: &str| text.to_lowercase().replace('_', "-");
    // No name here is longer; a slip in a longer one is not worth the reckoning.
    let wanted: String = fold(word).chars().take(LONGEST).collect();
    // A third of the letters wrong is a slip; more is another word.
    let most = wanted.chars().count().max(3) / 3;
    let judged = known.into_iter().map(|candidate| (strsim::osa_distance(&wanted, &fold(candidate)), candidate));
    judged.filter(|(slips, _)| *slips <= most).min_by_key(|(slips, _)| *slips).map(|(_, candidate)| candidate)
}

/// The question after the word among `known` that is most likely meant; `None` where none is near.
#[must_use]
pub fn did_you_mean<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<String> {
    nearest(word, known).map(|near| format!("did you mean '{near}'?"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_likely_word_is_offered() {
        let known = ["height", "length", "width"];
        assert_eq!(nearest("hieght", known), Some("height"));
        assert_eq!(nearest("Lenght", known), Some("length"));
        assert_eq!(nearest("colour", known), None);
    }
}
