//! The layouts that are meant when files and folders are named.

use std::path::{Path, PathBuf};

use walkdir::WalkDir;

use crate::file::ENDING;

/// Each file that is named, and each layout below each folder that is named, by name; or a complaint.
///
/// Folders are read as one goes, so that a large stock of layouts takes no more memory than a small one. Links to
/// folders are not followed.
pub(super) fn layouts(named: &[PathBuf]) -> impl Iterator<Item = Result<PathBuf, String>> {
    named.iter().flat_map(|path| if path.is_dir() { below(path) } else { Box::new(std::iter::once(Ok(path.clone()))) })
}

type Found<'a> = Box<dyn Iterator<Item = Result<PathBuf, String>> + 'a>;

fn below(folder: &Path) -> Found<'_> {
    let entries = WalkDir::new(folder).sort_by_file_name().into_iter();
    Box::new(entries.filter_map(move |entry| match entry {
        Ok(entry) => {
            let is_layout = !entry.file_type().is_dir() && entry.file_name().to_string_lossy().ends_with(ENDING);
            is_layout.then(|| Ok(entry.into_path()))
        }
        Err(error) => {
            let place = error.path().unwrap_or(folder).display().to_string();
            let cause = error.io_error().map_or_else(|| "it leads back to itself".to_owned(), ToString::to_string);
            Some(Err(format!("{place}: the folder cannot be looked through ({cause}); see that it may be read")))
        }
    }))
}
