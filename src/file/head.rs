//! The comments at the head of a file, which are kept when it is saved again.

use super::tokens::blank;

/// What stands before the layout where it is more than blanks: comments, with what lies between them.
pub(super) fn head(text: &str) -> &str {
    let before = text[..blank(text)].trim_end();
    before.trim_start_matches(['\n', '\r'])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_head_is_what_is_said_before_the_layout() {
        for (text, expected) in [
            ("(format: 1)", ""),
            ("\n \n(format: 1)", ""),
            ("// Loft of number 3.\n// Not to scale.\n\n(format: 1) // here", "// Loft of number 3.\n// Not to scale."),
            ("/* one\n two */ // three\n(format: 1)", "/* one\n two */ // three"),
        ] {
            assert_eq!(head(text), expected);
        }
    }
}
