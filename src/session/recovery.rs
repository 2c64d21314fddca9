//! Recovery: a copy of an open layout in a folder of its own, for when the program ends before it is saved.

use std::env;
use std::fs;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io;
use std::path::{Path, PathBuf};

use crate::file::{self, ReadError, SaveError};
use crate::layout::Layout;

const ENDING: &str = ".loft.ron";
/// Beside each copy stands the path of the file that it is a copy of.
const ORIGINAL_ENDING: &str = ".original";

/// A copy that was kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recovered {
    /// The copy.
    pub copy: PathBuf,
    /// The file that the layout came from; none when it had never been saved.
    pub original: Option<PathBuf>,
}

/// Where recoveries are kept: `$XDG_STATE_HOME/loftwright/recovery`, or the same below `~/.local/state`.
#[must_use]
pub fn folder() -> Option<PathBuf> {
    let absolute = |name| env::var_os(name).map(PathBuf::from).filter(|path| path.is_absolute());
    let state = absolute("XDG_STATE_HOME").or_else(|| Some(absolute("HOME")?.join(".local/state")))?;
    Some(state.join("loftwright").join("recovery"))
}

/// Keeps a copy of a layout; a copy of the same original, or of this program's unsaved layout, is replaced.
///
/// # Errors
/// [`SaveError`] when the folder cannot be made or written.
pub fn keep(folder: &Path, original: Option<&Path>, layout: &Layout) -> Result<Recovered, SaveError> {
    let unwritable = |cause| SaveError::Unwritable { file: folder.display().to_string(), cause };
    fs::create_dir_all(folder).map_err(unwritable)?;
    let recovered = Recovered {
        copy: folder.join(format!("{}{ENDING}", name_of(original))),
        original: original.map(|path| std::path::absolute(path).unwrap_or_else(|_| path.to_owned())),
    };
    file::save(&recovered.copy, layout)?;
    if let Some(original) = &recovered.original {
        fs::write(original_note(&recovered.copy), original.as_os_str().as_encoded_bytes()).map_err(unwritable)?;
    }
    Ok(recovered)
}

/// The copies that are kept, by name.
#[must_use]
pub fn list(folder: &Path) -> Vec<Recovered> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let is_copy = |path: &PathBuf| path.file_name().is_some_and(|name| name.to_string_lossy().ends_with(ENDING));
    let mut copies: Vec<PathBuf> = entries.map(|entry| entry.path()).filter(is_copy).collect();
    copies.sort();
    copies.into_iter().map(|copy| Recovered { original: read_original(&copy), copy }).collect()
}

impl Recovered {
    /// The layout that was kept.
    ///
    /// # Errors
    /// [`ReadError`] when the copy is damaged.
    pub fn layout(&self) -> Result<Layout, ReadError> {
        file::read(&self.copy)
    }

    /// Takes the copy away.
    ///
    /// # Errors
    /// When the system refuses; a copy that is gone already is no error.
    pub fn clear(&self) -> io::Result<()> {
        let mut older = self.copy.clone().into_os_string();
        older.push("~");
        for path in [self.copy.clone(), PathBuf::from(older), original_note(&self.copy)] {
            match fs::remove_file(path) {
                Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
                _ => {}
            }
        }
        Ok(())
    }
}

/// A name that tells originals apart; unsaved layouts are told apart by the process that has them open.
fn name_of(original: Option<&Path>) -> String {
    let Some(original) = original else { return format!("unsaved-{}", std::process::id()) };
    let mut hasher = DefaultHasher::new();
    std::path::absolute(original).unwrap_or_else(|_| original.to_owned()).hash(&mut hasher);
    let stem = original.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    format!("{}-{:016x}", stem.trim_end_matches(ENDING), hasher.finish())
}

fn original_note(copy: &Path) -> PathBuf {
    copy.with_extension(ORIGINAL_ENDING.trim_start_matches('.'))
}

fn read_original(copy: &Path) -> Option<PathBuf> {
    fs::read_to_string(original_note(copy)).ok().map(PathBuf::from)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::Heading;

    fn titled(title: &str) -> Layout {
        Layout { heading: Heading { title: title.to_owned(), ..Heading::default() }, ..Layout::default() }
    }

    #[test]
    fn a_copy_is_kept_listed_and_cleared() {
        let place = tempfile::tempdir().expect("a folder");
        let folder = place.path().join("state/recovery");
        let original = place.path().join("house.loft.ron");
        assert_eq!(list(&folder), []);
        keep(&folder, Some(&original), &titled("One")).expect("keeps");
        let kept = keep(&folder, Some(&original), &titled("Two")).expect("keeps");
        let unsaved = keep(&folder, None, &titled("Three")).expect("keeps");
        assert_eq!(list(&folder), [kept.clone(), unsaved.clone()]);
        assert_eq!(kept.original, Some(original));
        assert_eq!(kept.layout().expect("reads").heading.title, "Two");
        kept.clear().expect("clears");
        kept.clear().expect("nothing left is no error");
        assert_eq!(list(&folder), std::slice::from_ref(&unsaved));
        unsaved.clear().expect("clears");
        assert_eq!(fs::read_dir(&folder).expect("there").count(), 0);
    }

    #[test]
    fn files_of_one_name_in_two_folders_are_told_apart() {
        let folder = tempfile::tempdir().expect("a folder");
        for original in ["/a/house.loft.ron", "/b/house.loft.ron"] {
            keep(folder.path(), Some(Path::new(original)), &titled(original)).expect("keeps");
        }
        assert_eq!(list(folder.path()).len(), 2);
    }
}
