//! Keeps a copy of unsaved work: a little after each change, and at once when the program fails.

use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;
use std::{panic, thread};

use crate::layout::Layout;
use crate::session::Session;
use crate::session::recovery::{self, Recovered};

/// How long after a change its copy is made; changes in between share one.
const AFTER: Duration = Duration::from_secs(2);

/// What the panic hook can reach: the folder, the file that the layout came from, and the layout as it last stood.
type AtHand = Arc<Mutex<Option<(PathBuf, Option<PathBuf>, Arc<Layout>)>>>;

/// Where copies go, and which revision has one.
pub struct Keeping {
    folder: PathBuf,
    kept: Option<(u64, Option<PathBuf>)>,
    due: Option<f64>,
    at_hand: AtHand,
}

impl Keeping {
    /// Begins keeping in a folder, and lets a failing program keep what was open.
    #[must_use]
    pub fn begin(folder: PathBuf) -> Self {
        let at_hand = AtHand::default();
        let for_hook = Arc::clone(&at_hand);
        let before = panic::take_hook();
        panic::set_hook(Box::new(move |failure| {
            let held = for_hook.lock().unwrap_or_else(PoisonError::into_inner).take();
            if let Some((folder, original, layout)) = held
                && let Ok(kept) = recovery::keep(&folder, original.as_deref(), &layout)
            {
                eprintln!("The program failed. The open layout was kept in {}", kept.copy.display());
            }
            before(failure);
        }));
        Self { folder, kept: None, due: None, at_hand }
    }

    /// Copies of an earlier session that nobody has taken up yet, other than those of a program that still runs.
    #[must_use]
    pub fn left_behind(&self) -> Vec<Recovered> {
        recovery::list(&self.folder).into_iter().filter(|copy| !is_of_a_running_program(copy)).collect()
    }

    /// Makes a copy when one is due; says when to look again.
    pub fn tick(&mut self, session: &Session, now: f64) -> Option<Duration> {
        if !session.is_dirty() {
            self.let_go();
            return None;
        }
        let wanted = (session.revision(), session.path().map(PathBuf::from));
        if self.kept.as_ref() == Some(&wanted) || session.in_gesture() {
            return None;
        }
        let held = (self.folder.clone(), wanted.1.clone(), session.shared());
        *self.at_hand.lock().unwrap_or_else(PoisonError::into_inner) = Some(held.clone());
        let due = *self.due.get_or_insert(now + AFTER.as_secs_f64());
        if now < due {
            return Some(AFTER);
        }
        self.due = None;
        self.kept = Some(wanted);
        thread::spawn(move || {
            let (folder, original, layout) = held;
            if let Err(error) = recovery::keep(&folder, original.as_deref(), &layout) {
                log::warn!("no copy of the unsaved layout could be kept: {error}");
            }
        });
        None
    }

    /// The work is saved or let go: its copy is no longer needed.
    pub fn let_go(&mut self) {
        *self.at_hand.lock().unwrap_or_else(PoisonError::into_inner) = None;
        self.due = None;
        let Some((_, original)) = self.kept.take() else { return };
        let original = original.map(|path| std::path::absolute(&path).unwrap_or(path));
        let own = format!("unsaved-{}.", std::process::id());
        for copy in recovery::list(&self.folder) {
            let is_own = match &original {
                Some(_) => copy.original == original,
                None => copy.copy.file_name().is_some_and(|name| name.to_string_lossy().starts_with(&own)),
            };
            if is_own && let Err(error) = copy.clear() {
                log::warn!("{} cannot be taken away: {error}", copy.copy.display());
            }
        }
    }
}

/// Whether a copy of a layout that was never saved belongs to a program that still runs (told on Linux alone).
fn is_of_a_running_program(copy: &Recovered) -> bool {
    let name = copy.copy.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let number = name.strip_prefix("unsaved-").and_then(|rest| rest.split('.').next()?.parse::<u32>().ok());
    number.is_some_and(|number| PathBuf::from(format!("/proc/{number}")).exists())
}
