//! Short texts that a person gives beside a layout: a price list, a quote, a profile, answers.

use std::path::Path;

use super::read::BYTE_ORDER_MARK;

/// A longer file is not read.
const GREATEST_BYTES: u64 = 5_000_000;

/// The text of a file that is not long, without the mark that some editors set before it.
///
/// # Errors
/// In words for people: what is the matter, without the name of the file.
pub fn short_text(path: &Path) -> Result<String, String> {
    let wrong = |error: std::io::Error| format!("it cannot be read: {error}");
    if std::fs::metadata(path).map_err(wrong)?.len() > GREATEST_BYTES {
        return Err("it is larger than 5 MB; give a shorter one".to_owned());
    }
    let bytes = std::fs::read(path).map_err(wrong)?;
    let text = String::from_utf8(bytes).map_err(|_| "it is no plain text in UTF-8; save it as that".to_owned())?;
    Ok(text.strip_prefix(BYTE_ORDER_MARK).map(str::to_owned).unwrap_or(text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mark_before_a_text_is_no_part_of_it() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("answers.ron");
        for (bytes, text) in [(&b"\xef\xbb\xbf()"[..], "()"), (b"()", "()"), (b"\xef\xbb\xbf", "")] {
            std::fs::write(&path, bytes).expect("writes");
            assert_eq!(short_text(&path).as_deref(), Ok(text));
        }
    }
}
