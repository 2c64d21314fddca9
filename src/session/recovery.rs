//! Recovery: what is kept of an open layout, in files of its own, for when the program ends before it is saved.
//!
//! These are a journal, to which each step is added at once, and a whole copy, which is made now and then and stands in
//! where the journal is damaged or could not be written.

use std::env;
use std::ffi::OsString;
use std::fs::{self, File, TryLockError};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::Session;
use super::journal::{Beginning, Followed, Step, follow};
use crate::file::{self, ReadError, SaveError};
use crate::layout::Layout;

/// The whole copy.
const COPY: &str = file::ENDING;
/// The whole copy before it, which saving leaves.
const OLDER_COPY: &str = ".loft.ron~";
/// The steps since the layout was last on disk.
const JOURNAL: &str = ".journal";
/// The path of the file that the layout came from.
const ORIGINAL: &str = ".original";
/// Locked as long as the program that keeps the others runs.
const HELD: &str = ".held";

/// Where recoveries are kept: `$XDG_STATE_HOME/loftwright/recovery`, or the same below `~/.local/state`.
#[must_use]
pub fn folder() -> Option<PathBuf> {
    let absolute = |name| env::var_os(name).map(PathBuf::from).filter(|path| path.is_absolute());
    let state = absolute("XDG_STATE_HOME").or_else(|| Some(absolute("HOME")?.join(".local/state")))?;
    Some(state.join("loftwright").join("recovery"))
}

/// Files of one name, apart from their endings.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Place(PathBuf);

impl Place {
    fn file(&self, ending: &str) -> PathBuf {
        let mut name = OsString::from(self.0.as_os_str());
        name.push(ending);
        PathBuf::from(name)
    }

    fn holds_work(&self) -> bool {
        self.file(JOURNAL).exists() || self.file(COPY).exists()
    }

    fn clear(&self) -> io::Result<()> {
        for ending in [JOURNAL, COPY, OLDER_COPY, ORIGINAL, HELD] {
            match fs::remove_file(self.file(ending)) {
                Err(error) if error.kind() != ErrorKind::NotFound => return Err(error),
                _ => {}
            }
        }
        Ok(())
    }
}

/// What this program keeps of one open layout. Nobody else touches it until it is let go or the program ends.
pub struct Kept {
    place: Place,
    /// Locked; the system lets go of it however the program ends.
    _held: File,
    journal: Option<File>,
}

impl Kept {
    /// Claims files in a folder for a layout that came from `original`, or from nowhere yet.
    ///
    /// # Errors
    /// [`SaveError`] when the folder cannot be made or written.
    pub fn claim(folder: &Path, original: Option<&Path>) -> Result<Self, SaveError> {
        let in_words = |cause: io::Error| SaveError::of(folder, cause);
        fs::create_dir_all(folder).map_err(in_words)?;
        let original = original.map(|path| std::path::absolute(path).unwrap_or_else(|_| path.to_owned()));
        let name = name_of(original.as_deref());
        let (place, held) = free_place(folder, &name).map_err(in_words)?;
        let kept = Self { place, _held: held, journal: None };
        let noted = original
            .map_or(Ok(()), |original| fs::write(kept.place.file(ORIGINAL), original.as_os_str().as_encoded_bytes()));
        match noted {
            Ok(()) => Ok(kept),
            Err(cause) => {
                let _ = kept.let_go();
                Err(in_words(cause))
            }
        }
    }

    /// Writes a journal from its beginning, in place of the one there is. Its length in bytes.
    ///
    /// # Errors
    /// [`SaveError`]; the journal is then as it was.
    pub fn begin_journal(&mut self, beginning: &Beginning, steps: &[Arc<Step>]) -> Result<u64, SaveError> {
        let path = self.place.file(JOURNAL);
        let mut text = beginning.text();
        text.extend(steps.iter().map(|step| step.line()));
        file::hand_over(&path, text.as_bytes())?;
        self.journal = Some(File::options().append(true).open(&path).map_err(|cause| SaveError::of(&path, cause))?);
        Ok(text.len() as u64)
    }

    /// Adds steps to the journal that has been begun. Its length in bytes.
    ///
    /// # Errors
    /// [`SaveError`]; the journal then ends where it did, and has to be begun anew.
    pub fn add_to_journal(&mut self, steps: &[Arc<Step>]) -> Result<u64, SaveError> {
        let in_words = |cause: io::Error| SaveError::of(&self.place.file(JOURNAL), cause);
        let mut journal = self.journal.take().ok_or_else(|| in_words(ErrorKind::NotFound.into()))?;
        let length = journal.metadata().map_err(in_words)?.len();
        let text: String = steps.iter().map(|step| step.line()).collect();
        if let Err(cause) = journal.write_all(text.as_bytes()).and_then(|()| journal.sync_data()) {
            // Half a line in the middle would hide what comes behind it.
            let _ = journal.set_len(length);
            return Err(in_words(cause));
        }
        self.journal = Some(journal);
        Ok(length + text.len() as u64)
    }

    /// Takes away a journal that no longer leads to the layout as it stands; the whole copy remains.
    pub fn drop_journal(&mut self) {
        self.journal = None;
        let _ = fs::remove_file(self.place.file(JOURNAL));
    }

    /// Writes the whole copy.
    ///
    /// # Errors
    /// [`SaveError`]; the copy is then as it was.
    pub fn copy(&self, layout: &Layout) -> Result<(), SaveError> {
        file::save(&self.place.file(COPY), layout).map(|_| ())
    }

    /// Where it is, without the endings of its files.
    #[must_use]
    pub fn place(&self) -> &Path {
        &self.place.0
    }

    /// The work is saved or given up: takes everything away.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn let_go(self) -> io::Result<()> {
        self.place.clear()
    }
}

/// A name in the folder that nobody uses, and its locked file.
fn free_place(folder: &Path, name: &str) -> io::Result<(Place, File)> {
    let numbered = (2..).map(|number: u32| format!("{name}-{number}"));
    for name in std::iter::once(name.to_owned()).chain(numbered) {
        let place = Place(folder.join(name));
        if place.holds_work() {
            continue;
        }
        match File::create_new(place.file(HELD)) {
            Ok(held) => {
                // Where the system knows no locks, other programs offer this work as left behind while it is open here.
                let _ = held.try_lock();
                return Ok((place, held));
            }
            Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error),
        }
    }
    unreachable!("numbers do not end before the folder is full")
}

/// Work that a program left behind when it ended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recovered {
    place: Place,
    /// The file that the layout came from; none when it had never been saved.
    pub original: Option<PathBuf>,
}

/// Work that was left behind, taken up again.
pub struct TakenUp {
    /// The open layout; it is not saved.
    pub session: Session,
    /// What is missing from it, in words.
    pub missing: Option<&'static str>,
}

/// What has been left behind by programs that no longer run, by name.
#[must_use]
pub fn list(folder: &Path) -> Vec<Recovered> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let place_of = |path: PathBuf| {
        let name = path.file_name()?.to_str()?;
        let place = name.strip_suffix(JOURNAL).or_else(|| name.strip_suffix(COPY))?;
        Some(path.with_file_name(place))
    };
    let mut places: Vec<PathBuf> = entries.filter_map(|entry| place_of(entry.path())).collect();
    places.sort();
    places.dedup();
    let left = places.into_iter().map(Place).filter(|place| !is_held(place));
    left.map(|place| Recovered { original: read_original(&place), place }).collect()
}

fn is_held(place: &Place) -> bool {
    File::open(place.file(HELD)).is_ok_and(|held| matches!(held.try_lock(), Err(TryLockError::WouldBlock)))
}

impl Recovered {
    /// Where it is, without the endings of its files.
    #[must_use]
    pub fn place(&self) -> &Path {
        &self.place.0
    }

    /// The open layout as it last stood: by its journal, or by its whole copy where the journal is damaged.
    ///
    /// # Errors
    /// [`ReadError`] when neither can be read.
    pub fn take_up(&self) -> Result<TakenUp, ReadError> {
        let path = self.place.file(JOURNAL);
        let followed = journal_text(&path).and_then(|text| follow(&text, &path.display().to_string()));
        if let Ok((session, Followed::Wholly)) = followed {
            return Ok(TakenUp { session, missing: None });
        }
        match (file::read(&self.place.file(COPY)), followed) {
            (Ok(layout), Err(ReadError::NotFound { .. })) => {
                Ok(TakenUp { session: Session::unsaved(layout), missing: None })
            }
            (Ok(layout), _) => {
                let missing = "Its journal is damaged; this is the last whole copy, made within seconds of the end.";
                Ok(TakenUp { session: Session::unsaved(layout), missing: Some(missing) })
            }
            (Err(_), Ok((session, _))) => {
                let missing = "Its journal is damaged; what was done last is missing.";
                Ok(TakenUp { session, missing: Some(missing) })
            }
            (Err(error), Err(ReadError::NotFound { .. })) => Err(error),
            (Err(_), Err(error)) => Err(error),
        }
    }

    /// Takes it away.
    ///
    /// # Errors
    /// When the system refuses; what is gone already is no error.
    pub fn clear(&self) -> io::Result<()> {
        self.place.clear()
    }
}

/// The text of a journal. Bytes that are none, such as a disk leaves that lost its power, are damage like any other.
fn journal_text(path: &Path) -> Result<String, ReadError> {
    match fs::read(path) {
        Ok(bytes) => Ok(String::from_utf8_lossy(&bytes).into_owned()),
        Err(error) if error.kind() == ErrorKind::NotFound => {
            Err(ReadError::NotFound { file: path.display().to_string() })
        }
        Err(cause) => Err(ReadError::Unreadable { file: path.display().to_string(), cause }),
    }
}

/// A name that tells originals apart.
fn name_of(original: Option<&Path>) -> String {
    let Some(original) = original else { return "unsaved".to_owned() };
    let mut hasher = DefaultHasher::new();
    original.hash(&mut hasher);
    let stem = original.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    format!("{}-{:016x}", stem.trim_end_matches(COPY), hasher.finish())
}

fn read_original(place: &Place) -> Option<PathBuf> {
    path_of_bytes(fs::read(place.file(ORIGINAL)).ok()?)
}

/// A path as it was noted, whatever its bytes.
#[cfg(unix)]
fn path_of_bytes(bytes: Vec<u8>) -> Option<PathBuf> {
    Some(std::os::unix::ffi::OsStringExt::from_vec(bytes)).map(|path: std::ffi::OsString| path.into())
}

/// A path as it was noted; none of one that is no text.
#[cfg(not(unix))]
fn path_of_bytes(bytes: Vec<u8>) -> Option<PathBuf> {
    String::from_utf8(bytes).ok().map(PathBuf::from)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::{Edit, Heading};

    fn title(title: &str) -> Edit {
        Edit::Heading(Heading { title: title.to_owned(), ..Heading::default() })
    }

    /// A layout with these titles, one after the other.
    fn titled(titles: &[&str]) -> Session {
        let mut session = Session::new(Layout::default());
        for name in titles {
            session.edit(name, &title(name)).expect("fits");
        }
        session
    }

    fn journalled(folder: &Path, original: Option<&Path>, session: &Session) -> Kept {
        let mut kept = Kept::claim(folder, original).expect("claims");
        kept.begin_journal(session.journal().beginning(), session.journal().steps()).expect("writes");
        kept
    }

    fn title_of(left: &Recovered) -> String {
        left.take_up().unwrap_or_else(|error| panic!("{error}")).session.layout().heading.title.clone()
    }

    #[test]
    fn what_a_program_left_is_listed_taken_up_and_cleared() {
        let outside = tempfile::tempdir().expect("a folder");
        let folder = outside.path().join("state/recovery");
        let original = outside.path().join("house.loft.ron");
        assert_eq!(list(&folder), []);
        let mut kept = journalled(&folder, Some(&original), &titled(&["One"]));
        assert_eq!(list(&folder), [], "it still runs");
        kept.add_to_journal(titled(&["One", "Two"]).journal().steps().get(1..).expect("two")).expect("adds");
        drop(kept);
        drop(journalled(&folder, None, &titled(&["Three"])));
        let left = list(&folder);
        assert_eq!(left.iter().map(title_of).collect::<Vec<_>>(), ["Two", "Three"]);
        assert_eq!(left.iter().map(|left| left.original.clone()).collect::<Vec<_>>(), [Some(original), None]);
        for left in &left {
            left.clear().expect("clears");
            left.clear().expect("nothing left is no error");
        }
        assert_eq!(fs::read_dir(&folder).expect("there").count(), 0);
    }

    #[test]
    fn nobody_writes_over_what_has_been_left_or_is_held() {
        let folder = tempfile::tempdir().expect("a folder");
        let folder = folder.path();
        drop(journalled(folder, None, &titled(&["Left"])));
        let held = journalled(folder, None, &titled(&["Held"]));
        let other = journalled(folder, None, &titled(&["Other"]));
        assert_eq!(list(folder).iter().map(title_of).collect::<Vec<_>>(), ["Left"]);
        held.let_go().expect("goes");
        drop(other);
        assert_eq!(list(folder).iter().map(title_of).collect::<Vec<_>>(), ["Left", "Other"]);
    }

    #[test]
    fn files_of_one_name_in_two_folders_are_told_apart() {
        let folder = tempfile::tempdir().expect("a folder");
        for original in ["/a/house.loft.ron", "/b/house.loft.ron"] {
            drop(journalled(folder.path(), Some(Path::new(original)), &titled(&[original])));
        }
        let mut titles: Vec<String> = list(folder.path()).iter().map(title_of).collect();
        titles.sort();
        assert_eq!(titles, ["/a/house.loft.ron", "/b/house.loft.ron"]);
    }

    #[test]
    #[cfg(unix)]
    fn work_is_found_whatever_the_folders_are_called() {
        use std::os::unix::ffi::OsStrExt;
        let within = tempfile::tempdir().expect("a folder");
        let folder = within.path().join(std::ffi::OsStr::from_bytes(b"h\xe4user"));
        let original = folder.join("house.loft.ron");
        drop(journalled(&folder, Some(&original), &titled(&["Left"])));
        let left = list(&folder);
        assert_eq!(left.iter().map(title_of).collect::<Vec<_>>(), ["Left"]);
        assert_eq!(left[0].original.as_ref(), Some(&original));
    }

    #[test]
    fn a_damaged_journal_gives_way_to_the_whole_copy() {
        let folder = tempfile::tempdir().expect("a folder");
        let kept = journalled(folder.path(), None, &titled(&["One", "Two", "Three"]));
        let journal = kept.place.file(JOURNAL);
        let whole = fs::read_to_string(&journal).expect("reads");
        let spoil = |from: &str, to: &str| fs::write(&journal, whole.replacen(from, to, 1)).expect("writes");
        drop(kept);
        let left = list(folder.path()).remove(0);
        spoil("Two", "Tw\u{0}");
        assert_eq!(title_of(&left), "Three", "a title may hold anything");
        spoil("edits", "\u{0}\u{0}\u{0}");
        let taken = left.take_up().expect("reads in part");
        assert_eq!(taken.session.layout(), &Layout::default());
        assert!(taken.missing.is_some_and(|words| words.contains("what was done last is missing")));
        file::save(&left.place.file(COPY), titled(&["Copy"]).layout()).expect("saves");
        let taken = left.take_up().expect("reads the copy");
        assert_eq!(taken.session.layout().heading.title, "Copy");
        assert!(taken.session.is_dirty() && taken.missing.is_some_and(|words| words.contains("last whole copy")));
        fs::write(&journal, whole).expect("writes");
        assert_eq!(title_of(&left), "Three", "a whole journal goes before the copy");
    }

    #[test]
    fn a_file_that_somebody_changed_meanwhile_is_not_written_over() {
        let outside = tempfile::tempdir().expect("a folder");
        let (folder, path) = (outside.path().join("recovery"), outside.path().join("house.loft.ron"));
        file::save(&path, titled(&["Saved"]).layout()).expect("saves");
        let mut session = Session::open(&path).expect("opens");
        session.edit("Call it", &title("Mine")).expect("fits");
        drop(journalled(&folder, Some(&path), &session));
        let take_up = || list(&folder)[0].take_up().expect("reads").session;
        let mut alone = take_up();
        assert!(!alone.looks_changed_on_disk());
        file::save(&path, titled(&["Somebody else's"]).layout()).expect("saves");
        assert!(alone.looks_changed_on_disk());
        assert!(matches!(alone.save(), Err(SaveError::ChangedOnDisk { .. })));
        assert_eq!(take_up().layout().heading.title, "Mine", "it begins from the layout as it was read");
        assert_eq!(file::read(&path).expect("reads").heading.title, "Somebody else's");
        file::save(&path, titled(&["Saved"]).layout()).expect("saves");
        take_up().save().expect("it is as it was read");
        assert_eq!(file::read(&path).expect("reads").heading.title, "Mine");
    }
}
