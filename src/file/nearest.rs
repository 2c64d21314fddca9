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
    let judged = known.into_iter().map(|candidate| (distance(&wanted, &fold(candidate)), candidate));
    judged.filter(|(slips, _)| *slips <= most).min_by_key(|(slips, _)| *slips).map(|(_, candidate)| candidate)
}

/// How many letters have to be put in, left out, changed or swapped with their neighbour (optimal string alignment).
fn distance(from: &str, to: &str) -> usize {
    let (from, to): (Vec<char>, Vec<char>) = (from.chars().collect(), to.chars().collect());
    let mut slips = vec![vec![0; to.len() + 1]; from.len() + 1];
    for row in 0..=from.len() {
        for column in 0..=to.len() {
            slips[row][column] = if row == 0 || column == 0 {
                row.max(column)
            } else {
                let changed = slips[row - 1][column - 1] + usize::from(from[row - 1] != to[column - 1]);
                let left_out = slips[row - 1][column] + 1;
                let put_in = slips[row][column - 1] + 1;
                let mut least = changed.min(left_out).min(put_in);
                if row > 1 && column > 1 && from[row - 1] == to[column - 2] && from[row - 2] == to[column - 1] {
                    least = least.min(slips[row - 2][column - 2] + 1);
                }
                least
            };
        }
    }
    slips[from.len()][to.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_out_of_place_are_counted() {
        for (from, to, slips) in [("", "abc", 3), ("abc", "", 3), ("cistern", "cistren", 1), ("bath", "bath", 0)] {
            assert_eq!(distance(from, to), slips, "{from} {to}");
        }
    }

    #[test]
    fn only_a_likely_word_is_offered() {
        let known = ["height", "length", "width"];
        assert_eq!(nearest("hieght", known), Some("height"));
        assert_eq!(nearest("Lenght", known), Some("length"));
        assert_eq!(nearest("colour", known), None);
    }
}
