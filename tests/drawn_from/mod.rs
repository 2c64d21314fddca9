//! Layouts drawn from text.

use loftwright::file;
use loftwright::layout::Layout;

/// The layout that the inner text of a file tells.
#[track_caller]
pub fn layout(text: &str) -> Layout {
    whole(&format!("(format: 1, {text})"))
}

/// The layout that a whole file tells.
#[track_caller]
pub fn whole(text: &str) -> Layout {
    file::parse(text, "a layout").unwrap_or_else(|error| panic!("{error}\n{}\n{text}", error.caret()))
}

/// The layout of a whole file in which each of some passages has been put in another's place.
#[track_caller]
pub fn with_passages(text: &str, passages: &[(&str, &str)]) -> Layout {
    let mut text = text.to_owned();
    for (before, after) in passages {
        assert_eq!(text.matches(before).count(), 1, "{before}");
        text = text.replace(before, after);
    }
    whole(&text)
}
