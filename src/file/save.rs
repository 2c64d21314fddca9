//! Saving: whole or not at all, the version before kept beside it, nobody else's work written over.

use std::ffi::OsString;
use std::fs;
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use atomic_write_file::AtomicWriteFile;
use thiserror::Error;

use super::stamp::Stamp;
use super::write_text;
use crate::layout::Layout;

/// Why a layout is not saved. The file on disk is then as it was.
#[derive(Debug, Error)]
pub enum SaveError {
    /// It has never had a name.
    #[error("this layout has no file yet; choose a name to save it under")]
    NoName,
    /// The folder is not there.
    #[error("{folder}: there is no such folder; save under another name, or make the folder first")]
    FolderGone {
        /// The folder.
        folder: String,
    },
    /// A folder, a device or the like is in the way.
    #[error("{file}: this is not a file that can be replaced; save under another name")]
    NotAFile {
        /// What is in the way.
        file: String,
    },
    /// It may not be written.
    #[error("{file}: it may not be written; save under another name, or take the write protection away")]
    ReadOnly {
        /// The file.
        file: String,
    },
    /// There is no room.
    #[error("{file}: the disk is full; make room, or save on another disk")]
    DiskFull {
        /// The file.
        file: String,
    },
    /// Somebody else has written it since it was read.
    #[error(
        "{file}: somebody else has changed the file since it was opened; save under another name, or write over it"
    )]
    ChangedOnDisk {
        /// The file.
        file: String,
    },
    /// Another file has that name.
    #[error("{file}: there is a file of that name; choose another name, or write over it")]
    AlreadyThere {
        /// The file.
        file: String,
    },
    /// Anything else.
    #[error("{file}: it cannot be written ({cause}); save under another name")]
    Unwritable {
        /// The file.
        file: String,
        /// What the system says.
        cause: io::Error,
    },
}

impl SaveError {
    /// What the system says about a file or folder, in words.
    #[must_use]
    pub fn of(path: &Path, cause: io::Error) -> Self {
        let file = path.display().to_string();
        match cause.kind() {
            ErrorKind::NotFound | ErrorKind::NotADirectory => {
                Self::FolderGone { folder: folder_of(path).display().to_string() }
            }
            ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => Self::ReadOnly { file },
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded => Self::DiskFull { file },
            ErrorKind::IsADirectory => Self::NotAFile { file },
            _ => Self::Unwritable { file, cause },
        }
    }
}

/// Saves a layout, whatever stands there; that is kept beside it under its name with `~`.
///
/// # Errors
/// [`SaveError`]; the file is then as it was.
pub fn save(path: &Path, layout: &Layout) -> Result<Stamp, SaveError> {
    save_headed(path, "", layout)
}

/// The same with comments at its head.
///
/// # Errors
/// As [`save`].
pub fn save_headed(path: &Path, head: &str, layout: &Layout) -> Result<Stamp, SaveError> {
    let target = target_of(path)?;
    let previous = previous_bytes(&target)?;
    replace(&target, &headed(head, layout), previous.as_deref())
}

/// Saves a layout over the file that it was read from, unless somebody else has changed that since.
///
/// # Errors
/// [`SaveError`]; the file is then as it was.
pub fn save_over(path: &Path, head: &str, layout: &Layout, as_read: &Stamp) -> Result<Stamp, SaveError> {
    let target = target_of(path)?;
    let previous = previous_bytes(&target)?;
    // A file that is gone holds nobody's work.
    if previous.as_ref().is_some_and(|bytes| !as_read.is_of(bytes)) {
        return Err(SaveError::ChangedOnDisk { file: path.display().to_string() });
    }
    replace(&target, &headed(head, layout), previous.as_deref())
}

fn headed(head: &str, layout: &Layout) -> String {
    let text = write_text(layout);
    if head.is_empty() { text } else { format!("{head}\n{text}") }
}

/// Writes anything else that is handed over (a drawing, say), whole or not at all, whatever stands there.
///
/// # Errors
/// [`SaveError`]; the file is then as it was.
pub fn hand_over(path: &Path, bytes: &[u8]) -> Result<(), SaveError> {
    let target = target_of(path)?;
    previous_bytes(&target)?;
    let write = || -> io::Result<()> {
        let mut new = AtomicWriteFile::open(&target)?;
        new.write_all(bytes)?;
        new.commit()
    };
    write().map_err(|cause| SaveError::of(&target, cause))
}

/// The file itself when `path` is a link to it, so that the link stays a link.
fn target_of(path: &Path) -> Result<PathBuf, SaveError> {
    match fs::canonicalize(path) {
        Ok(target) => Ok(target),
        Err(error) if error.kind() == ErrorKind::NotFound => {
            let folder = folder_of(path);
            let name = path.file_name().ok_or_else(|| SaveError::NotAFile { file: path.display().to_string() })?;
            let folder =
                fs::canonicalize(folder).map_err(|_| SaveError::FolderGone { folder: folder.display().to_string() })?;
            Ok(folder.join(name))
        }
        Err(cause) => Err(SaveError::of(path, cause)),
    }
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

fn previous_bytes(target: &Path) -> Result<Option<Vec<u8>>, SaveError> {
    let file = || target.display().to_string();
    match fs::metadata(target) {
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        Err(cause) => Err(SaveError::of(target, cause)),
        Ok(metadata) if !metadata.is_file() => Err(SaveError::NotAFile { file: file() }),
        Ok(metadata) if metadata.permissions().readonly() => Err(SaveError::ReadOnly { file: file() }),
        Ok(_) => fs::read(target).map(Some).map_err(|cause| SaveError::of(target, cause)),
    }
}

fn replace(target: &Path, text: &str, previous: Option<&[u8]>) -> Result<Stamp, SaveError> {
    let write = || -> io::Result<Stamp> {
        let mut new = AtomicWriteFile::open(target)?;
        new.write_all(text.as_bytes())?;
        if let Some(previous) = previous {
            let mut kept = AtomicWriteFile::open(kept_beside(target))?;
            kept.write_all(previous)?;
            kept.commit()?;
        }
        new.commit()?;
        Ok(Stamp::new(&fs::metadata(target)?, text.as_bytes()))
    };
    write().map_err(|cause| SaveError::of(target, cause))
}

/// Where the version before is kept.
fn kept_beside(target: &Path) -> PathBuf {
    let mut name = OsString::from(target.as_os_str());
    name.push("~");
    PathBuf::from(name)
}
