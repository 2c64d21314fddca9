//! The words and signs of RON text with their places; what stands in strings and comments is never mistaken for either.

/// What a token is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// A string, quotes included.
    Text,
    /// A name or a number.
    Word,
    /// `(`, `[` or `{`.
    Open,
    /// `)`, `]` or `}`.
    Close,
    /// Any other sign.
    Sign,
}

/// A piece of RON text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Token<'a> {
    /// What it is.
    pub kind: Kind,
    /// Its text.
    pub text: &'a str,
    /// Where it starts, in bytes.
    pub start: usize,
}

impl Token<'_> {
    /// What stands between the quotes of a plain string.
    pub fn quoted(&self) -> Option<&str> {
        (self.kind == Kind::Text).then(|| self.text.trim_matches('"'))
    }

    /// Whether it is this sign.
    pub fn is(&self, sign: &str) -> bool {
        self.kind != Kind::Text && self.text == sign
    }
}

/// The tokens of a text, in order. Broken text gives tokens as far as they can be told apart.
pub(super) fn tokens(text: &str) -> impl Iterator<Item = Token<'_>> {
    let mut at = 0;
    std::iter::from_fn(move || {
        at += blank(&text[at..]);
        let rest = &text[at..];
        let first = rest.chars().next()?;
        let (kind, length) = match first {
            '"' => (Kind::Text, string(rest)),
            'r' if rest.starts_with("r\"") || rest.starts_with("r#") => (Kind::Text, raw_string(rest)),
            '(' | '[' | '{' => (Kind::Open, 1),
            ')' | ']' | '}' => (Kind::Close, 1),
            _ if in_word(first) => (Kind::Word, rest.find(|c| !in_word(c)).unwrap_or(rest.len())),
            _ => (Kind::Sign, first.len_utf8()),
        };
        let token = Token { kind, text: &rest[..length], start: at };
        at += length;
        Some(token)
    })
}

fn in_word(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, '_' | '.' | '-' | '+')
}

/// Length of the blanks and comments that a text begins with.
pub(super) fn blank(text: &str) -> usize {
    let mut rest = text;
    loop {
        let trimmed = rest.trim_start();
        rest = if trimmed.starts_with("//") {
            trimmed.find('\n').map_or("", |end| &trimmed[end..])
        } else if let Some(inside) = trimmed.strip_prefix("/*") {
            inside.find("*/").map_or("", |end| &inside[end + 2..])
        } else {
            return text.len() - trimmed.len();
        };
    }
}

fn string(text: &str) -> usize {
    let mut escaped = false;
    for (index, c) in text.char_indices().skip(1) {
        match c {
            '"' if !escaped => return index + 1,
            '\\' => escaped = !escaped,
            _ => escaped = false,
        }
    }
    text.len()
}

fn raw_string(text: &str) -> usize {
    let hashes = text[1..].chars().take_while(|c| *c == '#').count();
    let end = format!("\"{}", "#".repeat(hashes));
    let body = (hashes + 2).min(text.len());
    text.get(body..).and_then(|rest| rest.find(&end)).map_or(text.len(), |at| body + at + end.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strings_and_comments_hide_what_is_in_them() {
        let text = "(a: \"x, \\\" (\", /* b: 1 */ c: r#\"y\"z\"#, // d\n e: -1.5)";
        let found: Vec<&str> = tokens(text).map(|token| token.text).collect();
        let expected = ["(", "a", ":", "\"x, \\\" (\"", ",", "c", ":", "r#\"y\"z\"#", ",", "e", ":", "-1.5", ")"];
        assert_eq!(found, expected);
    }

    #[test]
    fn broken_text_ends_somewhere() {
        for text in ["\"open", "r#\"open", "/* open", "r#", "\\", "é\"ß"] {
            assert!(tokens(text).count() <= 3, "{text}");
        }
    }
}
