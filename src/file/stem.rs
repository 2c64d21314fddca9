//! How a file is called: its ending, and what stands before that after words that people have given.

/// How the name of a layout's file ends.
pub const ENDING: &str = ".loft.ron";

/// Longer names are cut: a path has room for 255 bytes in all that stands behind the last stroke, endings included.
const MOST_LETTERS: usize = 48;

/// The words as the beginning of a file's name: small letters and digits, with hyphens between; nothing where they have
/// neither.
#[must_use]
pub fn stem_of(words: &str) -> Option<String> {
    let plain = |letter: char| if letter.is_alphanumeric() { letter.to_ascii_lowercase() } else { '-' };
    let plain: String = words.chars().map(plain).collect();
    let joined = plain.split('-').filter(|word| !word.is_empty()).collect::<Vec<_>>().join("-");
    let cut: String = joined.chars().take(MOST_LETTERS).collect();
    let stem = cut.trim_end_matches('-');
    (!stem.is_empty()).then(|| stem.to_owned())
}

#[cfg(test)]
mod tests {
    use super::stem_of;

    #[test]
    fn words_become_a_name_that_every_system_takes() {
        assert_eq!(stem_of("Low loft: no. 3 / rear").as_deref(), Some("low-loft-no-3-rear"));
        assert_eq!(stem_of("../..\u{0}"), None);
        assert_eq!(stem_of(""), None);
        assert_eq!(stem_of(&"ab ".repeat(40)).map(|stem| stem.len()), Some(47));
    }
}
