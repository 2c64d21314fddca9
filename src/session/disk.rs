//! Where an open layout is on disk, and how it gets there.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::Session;
use crate::file::{self, ReadError, SaveError, Stamp};

/// The file of an open layout.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OnDisk {
    pub(super) path: PathBuf,
    /// What it was like when it was last read or written here.
    stamp: Stamp,
    /// The comments at its head, as they were read; they go with the layout wherever it is saved.
    head: String,
}

impl Session {
    /// Opens the layout in a file.
    ///
    /// # Errors
    /// [`ReadError`]: what is wrong with the file, where, and what to do.
    pub fn open(path: &Path) -> Result<Self, ReadError> {
        let (layout, stamp, head) = file::read_stamped(path)?;
        let mut session = Self::new(layout);
        session.on_disk = Some(OnDisk { path: path.to_owned(), stamp, head });
        session.begin_journal();
        Ok(session)
    }

    /// The file of the layout; none when it has never been saved.
    #[must_use]
    pub fn path(&self) -> Option<&Path> {
        self.on_disk.as_ref().map(|on_disk| on_disk.path.as_path())
    }

    /// The name of that file, without its folders.
    #[must_use]
    pub fn file_name(&self) -> Option<String> {
        Some(self.path()?.file_name()?.to_string_lossy().into_owned())
    }

    /// Whether a glance at the file shows that somebody else has written it. Cheap; for looking every few seconds.
    #[must_use]
    pub fn looks_changed_on_disk(&self) -> bool {
        self.on_disk.as_ref().is_some_and(|on_disk| !on_disk.stamp.looks_current(&on_disk.path))
    }

    /// Saves to the file that the layout came from.
    ///
    /// # Errors
    /// [`SaveError::ChangedOnDisk`] when somebody else has written it since: ask, then [`Session::save_as`] or
    /// [`Session::overwrite`]. [`SaveError::NoName`] when there is no file yet. Others as the disk has it.
    pub fn save(&mut self) -> Result<(), SaveError> {
        self.end_gesture();
        let on_disk = self.on_disk.as_mut().ok_or(SaveError::NoName)?;
        on_disk.stamp = file::save_over(&on_disk.path, &on_disk.head, &self.layout, &on_disk.stamp)?;
        self.mark_saved();
        Ok(())
    }

    /// Saves under a name, which becomes the layout's file.
    ///
    /// # Errors
    /// [`SaveError::AlreadyThere`] when another file has that name: ask, then [`Session::overwrite`].
    /// Others as [`Session::save`].
    pub fn save_as(&mut self, path: &Path) -> Result<(), SaveError> {
        if self.path().is_some_and(|own| is_same_file(own, path)) {
            return self.save();
        }
        if path.exists() {
            return Err(SaveError::AlreadyThere { file: path.display().to_string() });
        }
        self.overwrite(path)
    }

    /// Saves under a name, which becomes the layout's file, whatever stands there; that is kept beside it with `~`.
    ///
    /// # Errors
    /// As the disk has it.
    pub fn overwrite(&mut self, path: &Path) -> Result<(), SaveError> {
        self.end_gesture();
        let head = self.on_disk.as_ref().map(|on_disk| on_disk.head.clone()).unwrap_or_default();
        let stamp = file::save_headed(path, &head, &self.layout)?;
        self.on_disk = Some(OnDisk { path: path.to_owned(), stamp, head });
        self.mark_saved();
        Ok(())
    }
}

fn is_same_file(a: &Path, b: &Path) -> bool {
    match (a.canonicalize(), b.canonicalize()) {
        (Ok(a), Ok(b)) => a == b,
        _ => a == b,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::{Edit, Heading};

    fn titled(session: &mut Session, title: &str) {
        let heading = Heading { title: title.to_owned(), ..Heading::default() };
        session.edit("Change title", &Edit::Heading(heading)).expect("fits");
    }

    fn saved(folder: &tempfile::TempDir) -> (Session, PathBuf) {
        let path = folder.path().join("house.loft.ron");
        let mut session = Session::new(crate::layout::Layout::default());
        titled(&mut session, "First");
        assert!(matches!(session.save(), Err(SaveError::NoName)));
        session.save_as(&path).expect("saves");
        (session, path)
    }

    #[test]
    fn what_is_said_at_the_head_of_a_file_stays_there() {
        let folder = tempfile::tempdir().expect("a folder");
        let (session, path) = saved(&folder);
        let text = std::fs::read_to_string(&path).expect("reads");
        drop(session);
        std::fs::write(&path, format!("// Measured on a wet day.\n\n{text}")).expect("writes");
        let mut session = Session::open(&path).expect("opens");
        titled(&mut session, "Second");
        session.save().expect("saves");
        let other = folder.path().join("other.loft.ron");
        session.save_as(&other).expect("saves");
        for file in [&path, &other] {
            let text = std::fs::read_to_string(file).expect("reads");
            assert!(text.starts_with("// Measured on a wet day.\n(\n"), "{text}");
        }
        assert_eq!(Session::open(&other).expect("opens").layout(), session.layout());
    }

    #[test]
    fn what_is_saved_is_what_is_opened() {
        let folder = tempfile::tempdir().expect("a folder");
        let (session, path) = saved(&folder);
        assert!(!session.is_dirty());
        let opened = Session::open(&path).expect("opens");
        assert_eq!(opened.layout(), session.layout());
        assert_eq!(opened.path(), Some(path.as_path()));
        assert!(!opened.is_dirty());
    }

    #[test]
    fn the_version_before_is_kept_beside_it() {
        let folder = tempfile::tempdir().expect("a folder");
        let (mut session, path) = saved(&folder);
        titled(&mut session, "Second");
        session.save().expect("saves");
        let kept = folder.path().join("house.loft.ron~");
        assert_eq!(file::read(&kept).expect("reads").heading.title, "First");
        assert_eq!(file::read(&path).expect("reads").heading.title, "Second");
    }

    #[test]
    fn nobody_elses_change_is_written_over_unasked() {
        let folder = tempfile::tempdir().expect("a folder");
        let (mut session, path) = saved(&folder);
        let theirs = std::fs::read_to_string(&path).expect("reads").replace("First", "Their");
        std::fs::write(&path, &theirs).expect("writes");
        titled(&mut session, "Mine");
        assert!(matches!(session.save(), Err(SaveError::ChangedOnDisk { .. })));
        assert!(session.is_dirty());
        assert_eq!(std::fs::read_to_string(&path).expect("reads"), theirs);
        session.overwrite(&path).expect("saves");
        session.save().expect("saves again");
        assert_eq!(file::read(&path).expect("reads").heading.title, "Mine");
    }

    #[test]
    fn another_file_is_not_written_over_unasked() {
        let folder = tempfile::tempdir().expect("a folder");
        let (mut session, path) = saved(&folder);
        let other = folder.path().join("other.loft.ron");
        std::fs::write(&other, "precious").expect("writes");
        assert!(matches!(session.save_as(&other), Err(SaveError::AlreadyThere { .. })));
        assert_eq!(std::fs::read_to_string(&other).expect("reads"), "precious");
        assert_eq!(session.path(), Some(path.as_path()));
        session.save_as(&path).expect("its own file is no other");
    }

    #[test]
    fn a_folder_that_vanished_and_a_protected_file_are_told_apart() {
        let folder = tempfile::tempdir().expect("a folder");
        let (mut session, path) = saved(&folder);
        let mut protected = std::fs::metadata(&path).expect("there").permissions();
        protected.set_readonly(true);
        std::fs::set_permissions(&path, protected).expect("sets");
        assert!(matches!(session.save(), Err(SaveError::ReadOnly { .. })));
        assert!(matches!(session.overwrite(folder.path()), Err(SaveError::NotAFile { .. })));
        folder.close().expect("goes");
        assert!(matches!(session.save(), Err(SaveError::FolderGone { .. })));
    }

    #[cfg(unix)]
    #[test]
    fn a_link_stays_a_link() {
        let folder = tempfile::tempdir().expect("a folder");
        let (_, path) = saved(&folder);
        let link = folder.path().join("link.loft.ron");
        std::os::unix::fs::symlink(&path, &link).expect("links");
        let mut session = Session::open(&link).expect("opens");
        titled(&mut session, "Through the link");
        session.save().expect("saves");
        assert!(std::fs::symlink_metadata(&link).expect("there").is_symlink());
        assert_eq!(file::read(&path).expect("reads").heading.title, "Through the link");
    }
}
