//! Variants of a layout: files of their own that stand beside it, `house.raised.loft.ron` beside `house.loft.ron`.
//!
//! A variant is a whole layout. It opens, checks and prints by itself, and what belongs together is told by names alone,
//! so that nothing can be lost that the files hold.

use std::path::{Path, PathBuf};

use crate::file::{self, ENDING, SaveError};
use crate::layout::{Id, Layout};

/// A layout or a variant of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kin {
    /// What the variant is called; empty for the layout from which they all come.
    pub name: String,
    /// Where it is.
    pub path: PathBuf,
}

/// The name that a layout and its variants share; `None` where the file is not named as layouts are.
fn stem_of(path: &Path) -> Option<&str> {
    path.file_name()?.to_str()?.strip_suffix(ENDING)?.split('.').next()
}

/// A layout and its variants, in the order of their names; the one at the path among them.
#[must_use]
pub fn kin_of(path: &Path) -> Vec<Kin> {
    let Some(stem) = stem_of(path) else { return Vec::new() };
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or_else(|| Path::new("."));
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let kin = entries.filter_map(|entry| {
        let path = entry.ok()?.path();
        let rest = path.file_name()?.to_str()?.strip_suffix(ENDING)?.strip_prefix(stem)?.to_owned();
        let name = if rest.is_empty() { Some(String::new()) } else { rest.strip_prefix('.').map(str::to_owned) };
        Some(Kin { name: name?, path })
    });
    let mut kin: Vec<Kin> = kin.collect();
    kin.sort_by(|a, b| a.name.cmp(&b.name));
    kin
}

/// Writes a layout as a variant beside another. What stands there under that name already is not written over.
///
/// # Errors
/// Why it cannot be kept, in words.
pub fn keep_beside(path: &Path, name: &str, layout: &Layout) -> Result<PathBuf, String> {
    let word = name.trim().to_lowercase().replace(' ', "-");
    let id = Id::new(&word).map_err(|_| {
        format!(
            "'{}' cannot name a variant: use letters, digits and spaces, such as raised cistern",
            name.escape_debug()
        )
    })?;
    let stem = stem_of(path).ok_or_else(|| format!("variants are kept beside files that end in {ENDING}"))?;
    let kept = path.with_file_name(format!("{stem}.{id}{ENDING}"));
    if kept.exists() {
        return Err(format!("there is a variant called {id} already; choose another name"));
    }
    file::save(&kept, layout).map(|_| kept).map_err(|error: SaveError| error.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn variants_stand_beside_their_layout_and_are_found_again() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("house.loft.ron");
        file::save(&path, &Layout::default()).expect("saves");
        file::save(&folder.path().join("houses.loft.ron"), &Layout::default()).expect("saves");
        let kept = keep_beside(&path, "Raised cistern", &Layout::default()).expect("kept");
        assert!(kept.ends_with("house.raised-cistern.loft.ron"));
        let names = |path: &Path| kin_of(path).into_iter().map(|kin| kin.name).collect::<Vec<_>>();
        assert_eq!(names(&path), ["", "raised-cistern"]);
        assert_eq!(names(&kept), ["", "raised-cistern"], "from a variant the same are found");
        assert!(keep_beside(&path, "raised cistern", &Layout::default()).expect_err("there").contains("already"));
        assert!(keep_beside(&path, "../away", &Layout::default()).is_err());
    }
}
