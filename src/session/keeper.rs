//! Keeps what is not saved on a thread of its own, so that nobody who draws waits for the disk: each step in a journal at
//! once, and a whole copy a little later.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError, Sender};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

use super::Session;
use super::journal::{Beginning, Step};
use super::recovery::{Kept, Recovered};
use crate::file::SaveError;
use crate::layout::Layout;

/// How long after a step the whole copy is made; steps in between share one.
const AFTER: Duration = Duration::from_secs(2);
/// A failing program waits so long for the disk.
const LAST_WAIT: Duration = Duration::from_secs(5);
/// A journal that has grown beyond this begins anew: it would take long to follow. In bytes.
const LONG: u64 = 4 * 1024 * 1024;

/// Keeps the open layout in a folder. When it is dropped, everything asked of it is done first.
pub struct Keeper {
    folder: PathBuf,
    jobs: Sender<Job>,
    thread: Option<JoinHandle<()>>,
    /// What has been handed to the thread: a journal, and how many of its steps.
    handed: Option<(Arc<Beginning>, usize)>,
    heard: Arc<Heard>,
}

/// What the thread tells.
#[derive(Default)]
struct Heard {
    trouble: Mutex<Option<String>>,
    journal_is_long: AtomicBool,
}

enum Job {
    Keep(Work),
    LetGo,
    Clear(Recovered),
    /// Answers with where the work is, once everything asked before is done; with nothing when there is none.
    Finish(Sender<Option<PathBuf>>),
    End,
}

/// The steps that are new, and the layout that they lead to.
struct Work {
    beginning: Arc<Beginning>,
    original: Option<PathBuf>,
    steps: Vec<Arc<Step>>,
    layout: Arc<Layout>,
}

/// Can have the work finished from another place, such as a panic.
pub struct Finisher(Sender<Job>);

impl Finisher {
    /// Waits until what was asked is done, though not for ever; where the work is then, if there is any.
    #[must_use]
    pub fn finish(&self) -> Option<PathBuf> {
        let (answer, done) = mpsc::channel();
        self.0.send(Job::Finish(answer)).ok()?;
        done.recv_timeout(LAST_WAIT).ok()?
    }
}

impl Keeper {
    /// Begins keeping in a folder, which is made when there is something to keep.
    #[must_use]
    pub fn begin(folder: PathBuf) -> Self {
        let (jobs, asked) = mpsc::channel();
        let heard = Arc::new(Heard::default());
        let writer = Writer::new(folder.clone(), Arc::clone(&heard));
        let thread = Some(thread::spawn(move || writer.work(&asked)));
        Self { folder, jobs, thread, handed: None, heard }
    }

    /// Where it keeps.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Hands over what has been done since the last call. Cheap; for every frame.
    pub fn keep(&mut self, session: &mut Session) {
        if self.heard.journal_is_long.swap(false, Ordering::Relaxed) && !session.in_gesture() {
            session.begin_journal();
        }
        let journal = session.journal();
        if !session.has_unsaved_steps() {
            return self.let_go();
        }
        let same = self.handed.as_ref().filter(|(beginning, _)| Arc::ptr_eq(beginning, journal.beginning()));
        let known = same.map(|(_, steps)| *steps);
        if known == Some(journal.steps().len()) {
            return;
        }
        self.handed = Some((Arc::clone(journal.beginning()), journal.steps().len()));
        self.ask(Job::Keep(Work {
            beginning: Arc::clone(journal.beginning()),
            original: session.path().map(PathBuf::from),
            steps: journal.steps()[known.unwrap_or(0)..].to_vec(),
            layout: session.shared(),
        }));
    }

    /// The work is saved or given up: nothing needs to be kept.
    pub fn let_go(&mut self) {
        if self.handed.take().is_some() {
            self.ask(Job::LetGo);
        }
    }

    /// Takes away what was left behind and has been taken up, once it is kept here.
    pub fn clear(&self, left: Recovered) {
        self.ask(Job::Clear(left));
    }

    /// Why nothing can be kept, in words; once for each time that it begins.
    #[must_use]
    pub fn trouble(&self) -> Option<String> {
        self.heard.trouble.lock().unwrap_or_else(PoisonError::into_inner).take()
    }

    /// For whoever has to see the work finished without having the keeper.
    #[must_use]
    pub fn finisher(&self) -> Finisher {
        Finisher(self.jobs.clone())
    }

    fn ask(&self, job: Job) {
        // The thread ends when this does, or has failed and told so.
        let _ = self.jobs.send(job);
    }
}

impl Drop for Keeper {
    fn drop(&mut self) {
        self.ask(Job::End);
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

/// What the thread works with.
struct Writer {
    folder: PathBuf,
    heard: Arc<Heard>,
    kept: Option<Kept>,
    /// The journal under way, all its steps, and the layout that they lead to.
    work: Option<Work>,
    journal: Written,
    copy_due: Option<Instant>,
    /// Trouble has been told, and has not ended since.
    told: bool,
}

/// It could not be done, and that has been told.
struct Told;

/// How the journal on disk stands to the one under way.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Written {
    /// It holds all steps.
    Whole,
    /// It is of another layout, ends too early, or is not there.
    Behind,
}

impl Writer {
    fn new(folder: PathBuf, heard: Arc<Heard>) -> Self {
        Self { folder, heard, kept: None, work: None, journal: Written::Behind, copy_due: None, told: false }
    }

    fn work(mut self, asked: &Receiver<Job>) {
        loop {
            let job = match self.copy_due {
                Some(due) => asked.recv_timeout(due.saturating_duration_since(Instant::now())),
                None => asked.recv().map_err(|_| RecvTimeoutError::Disconnected),
            };
            match job {
                Ok(Job::Keep(work)) => self.keep(work),
                Ok(Job::LetGo) => self.let_go(),
                Ok(Job::Clear(left)) => self.clear(&left),
                Ok(Job::Finish(answer)) => {
                    let safe = self.make_safe();
                    // Whoever asked may have ceased to wait.
                    let _ =
                        answer.send(self.kept.as_ref().filter(|_| safe.is_ok()).map(|kept| kept.place().to_owned()));
                }
                Err(RecvTimeoutError::Timeout) => {
                    let _ = self.copy();
                }
                Ok(Job::End) | Err(RecvTimeoutError::Disconnected) => {
                    let _ = self.make_safe();
                    return;
                }
            }
        }
    }

    fn keep(&mut self, new: Work) {
        let (steps, mut before) = (new.steps.clone(), None);
        match &mut self.work {
            Some(work) if Arc::ptr_eq(&work.beginning, &new.beginning) => {
                work.steps.extend(new.steps);
                work.layout = new.layout;
            }
            work => {
                if work.as_ref().is_some_and(|work| work.original != new.original) {
                    before = self.kept.take();
                }
                self.journal = Written::Behind;
                *work = Some(new);
            }
        }
        match self.write_journal(&steps) {
            Ok(length) => {
                (self.journal, self.told) = (Written::Whole, false);
                self.heard.journal_is_long.fetch_or(length > LONG, Ordering::Relaxed);
            }
            Err(error) => {
                self.journal = Written::Behind;
                self.tell(&error);
            }
        }
        // Not before the new is written.
        take_away(before);
        self.copy_due.get_or_insert_with(|| Instant::now() + AFTER);
    }

    /// Adds steps to the journal, or begins it with all of them. Its length in bytes.
    fn write_journal(&mut self, new: &[Arc<Step>]) -> Result<u64, SaveError> {
        let Some(work) = &self.work else { return Ok(0) };
        let kept = match &mut self.kept {
            Some(kept) => kept,
            none => none.insert(Kept::claim(&self.folder, work.original.as_deref())?),
        };
        match self.journal {
            Written::Whole => kept.add_to_journal(new),
            Written::Behind => kept.begin_journal(&work.beginning, &work.steps),
        }
    }

    /// Makes the whole copy; where it cannot be made, that is told.
    fn copy(&mut self) -> Result<(), Told> {
        self.copy_due = None;
        let Some(work) = &self.work else { return Ok(()) };
        let kept = match &mut self.kept {
            Some(kept) => Ok(kept),
            none => Kept::claim(&self.folder, work.original.as_deref()).map(|kept| none.insert(kept)),
        };
        match kept.and_then(|kept| kept.copy(&work.layout).map(|()| kept)) {
            Ok(kept) if self.journal == Written::Behind => kept.drop_journal(),
            Ok(_) => {}
            Err(error) => {
                self.tell(&error);
                return Err(Told);
            }
        }
        Ok(())
    }

    /// A whole journal says it all; otherwise the copy has to.
    fn make_safe(&mut self) -> Result<(), Told> {
        if self.journal == Written::Whole { Ok(()) } else { self.copy() }
    }

    fn let_go(&mut self) {
        (self.work, self.copy_due, self.journal) = (None, None, Written::Behind);
        take_away(self.kept.take());
    }

    fn clear(&mut self, left: &Recovered) {
        if self.make_safe().is_ok()
            && let Err(error) = left.clear()
        {
            log::warn!("{} cannot be taken away: {error}", left.place().display());
        }
    }

    fn tell(&mut self, error: &SaveError) {
        log::warn!("unsaved work cannot be kept: {error}");
        if !std::mem::replace(&mut self.told, true) {
            let words = format!("Unsaved work cannot be kept for a crash, so save often. {error}");
            *self.heard.trouble.lock().unwrap_or_else(PoisonError::into_inner) = Some(words);
        }
    }
}

fn take_away(kept: Option<Kept>) {
    if let Some(Err(error)) = kept.map(Kept::let_go) {
        log::warn!("what was kept of unsaved work cannot be taken away: {error}");
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::{Edit, Heading};
    use crate::session::recovery;

    #[test]
    fn what_is_in_no_file_stays_kept_while_something_is_dragged() {
        let folder = tempfile::tempdir().expect("a folder");
        let titled = |title: &str| Heading { title: title.to_owned(), ..Heading::default() };
        let mut session = Session::unsaved(Layout { heading: titled("Found again"), ..Layout::default() });
        let mut keeper = Keeper::begin(folder.path().to_owned());
        keeper.keep(&mut session);
        assert!(keeper.finisher().finish().is_some());
        session.begin_gesture("Drag");
        session.gesture(&Edit::Heading(titled("Dragged"))).expect("fits");
        keeper.keep(&mut session);
        assert!(keeper.finisher().finish().is_some(), "it is still in no file");
        drop(keeper);
        let left = recovery::list(folder.path());
        let taken = left[0].take_up().expect("it can be read");
        assert_eq!(taken.session.layout().heading.title, "Found again");
    }
}
