//! The window, to come.

use std::path::PathBuf;

/// Opens the window on a file.
///
/// # Errors
/// Always, while there is no window.
pub fn open(_file: Option<PathBuf>) -> Result<(), String> {
    Err("there is no window yet; use 'loftwright check FILE'".to_owned())
}
