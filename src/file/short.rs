//! Short texts that a person gives beside a layout: a price list, a quote.

use std::path::Path;

/// A longer file is not read.
const GREATEST_BYTES: u64 = 5_000_000;

/// The text of a file that is not long.
///
/// # Errors
/// In words for people: what is the matter, without the name of the file.
pub fn short_text(path: &Path) -> Result<String, String> {
    let wrong = |error: std::io::Error| format!("it cannot be read: {error}");
    if std::fs::metadata(path).map_err(wrong)?.len() > GREATEST_BYTES {
        return Err("it is larger than 5 MB; give a shorter one".to_owned());
    }
    let bytes = std::fs::read(path).map_err(wrong)?;
    String::from_utf8(bytes).map_err(|_| "it is no plain text in UTF-8; save it as that".to_owned())
}
