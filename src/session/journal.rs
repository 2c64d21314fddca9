//! The journal: each step since the layout was last on disk, one line of text for each, and how they are taken again.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::disk::OnDisk;
use super::{History, Session};
use crate::file::{self, ReadError};
use crate::layout::{Edit, Layout, apply_all};

/// The form of journals that is written and read here.
const FORM: u32 = 1;

/// One thing that was done to the open layout.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Step {
    /// Changes, as one step of history.
    Made {
        /// What it is called.
        label: String,
        /// In the order in which they were made.
        edits: Vec<Edit>,
    },
    /// The last step was taken back.
    Undid,
    /// The step that was taken back last was made again.
    Redid,
}

/// Where a journal begins. Each journal has one of its own, by which it is told from others.
pub struct Beginning {
    layout: Arc<Layout>,
    on_disk: Option<OnDisk>,
}

/// A layout, and what has been done to it since.
pub struct Journal {
    beginning: Arc<Beginning>,
    steps: Vec<Arc<Step>>,
    /// So many steps can be taken back without going behind the beginning, and so many made again.
    back: usize,
    onward: usize,
}

/// The journal does not reach so far.
pub(super) struct OutOfReach;

impl Journal {
    /// A journal in which nothing stands yet.
    pub(super) fn begun_at(layout: Arc<Layout>, on_disk: Option<OnDisk>) -> Self {
        Self { beginning: Arc::new(Beginning { layout, on_disk }), steps: Vec::new(), back: 0, onward: 0 }
    }

    /// Where it begins.
    #[must_use]
    pub const fn beginning(&self) -> &Arc<Beginning> {
        &self.beginning
    }

    /// What has been done, in order.
    #[must_use]
    pub fn steps(&self) -> &[Arc<Step>] {
        &self.steps
    }

    pub(super) fn made(&mut self, label: &str, edits: Vec<Edit>) {
        self.steps.push(Arc::new(Step::Made { label: label.to_owned(), edits }));
        (self.back, self.onward) = (self.back + 1, 0);
    }

    pub(super) fn undid(&mut self) -> Result<(), OutOfReach> {
        self.back = self.back.checked_sub(1).ok_or(OutOfReach)?;
        self.onward += 1;
        self.steps.push(Arc::new(Step::Undid));
        Ok(())
    }

    pub(super) fn redid(&mut self) -> Result<(), OutOfReach> {
        self.onward = self.onward.checked_sub(1).ok_or(OutOfReach)?;
        self.back += 1;
        self.steps.push(Arc::new(Step::Redid));
        Ok(())
    }
}

/// What a journal's text begins with.
#[derive(Serialize, Deserialize)]
struct Head {
    journal: u32,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    on_disk: Option<OnDisk>,
}

impl Beginning {
    /// Two lines: where the layout was on disk, and the layout.
    ///
    /// # Panics
    /// Never: a head without a path, and everything a layout can hold, have a RON form.
    #[must_use]
    pub fn text(&self) -> String {
        let head = Head { journal: FORM, on_disk: self.on_disk.clone() };
        // A path that is no text cannot be written down, and the layout is taken up without it.
        let head = file::write_line(&head).or_else(|_| file::write_line(&Head { journal: FORM, on_disk: None }));
        let layout = file::write_line(&*self.layout);
        format!("{}\n{}\n", head.expect("numbers and words only"), layout.expect("numbers, words and lists only"))
    }
}

impl Step {
    /// One line, its end included.
    ///
    /// # Panics
    /// Never: everything an edit can hold has a RON form.
    #[must_use]
    pub fn line(&self) -> String {
        format!("{}\n", file::write_line(self).expect("an edit holds numbers, words and lists only"))
    }
}

/// How far the text of a journal could be followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Followed {
    /// To its end, but for a last line that was never written to its own end.
    Wholly,
    /// To a line in its middle that is damaged, or cannot be done.
    InPart,
}

/// The open layout that the text of a journal leads to, not saved. `name` stands for the journal in messages.
///
/// # Errors
/// [`ReadError`] when not even its beginning can be read.
pub(super) fn follow(text: &str, name: &str) -> Result<(Session, Followed), ReadError> {
    let mut lines = text.lines();
    let head: Head = file::parse_ron(lines.next().unwrap_or_default(), name)?;
    let layout = Arc::new(file::parse(lines.next().unwrap_or_default(), name)?);
    let mut session = Session::new(Layout::default());
    session.on_disk = head.on_disk.filter(|_| head.journal == FORM);
    session.journal = Journal::begun_at(Arc::clone(&layout), session.on_disk.clone());
    session.history = History::new(Arc::clone(&layout));
    session.history.mark_unsaved();
    session.layout = layout;
    // Steps of another form may read as today's and mean something else.
    let mut followed = if head.journal == FORM { Followed::Wholly } else { Followed::InPart };
    let mut lines = lines.filter(|_| head.journal == FORM).peekable();
    while let Some(line) = lines.next() {
        let is_torn = lines.peek().is_none() && !text.ends_with('\n');
        let taken = file::parse_ron(line, name).ok().and_then(|step| session.take_again(step));
        if taken.is_none() {
            followed = if is_torn { Followed::Wholly } else { Followed::InPart };
            break;
        }
    }
    session.derive();
    Ok((session, followed))
}

impl Session {
    /// Takes a step of a journal, and leaves the findings for later; `None` when it cannot be taken.
    fn take_again(&mut self, step: Step) -> Option<()> {
        match step {
            Step::Made { label, edits } => {
                self.layout = Arc::new(apply_all(&self.layout, &edits).ok()?);
                self.step(&label, edits);
            }
            Step::Undid => {
                self.layout = self.history.undo()?;
                self.journal.undid().ok()?;
            }
            Step::Redid => {
                self.layout = self.history.redo()?;
                self.journal.redid().ok()?;
            }
        }
        Some(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::Heading;

    fn titled(session: &mut Session, title: &str) {
        let heading = Heading { title: title.to_owned(), ..session.layout().heading.clone() };
        session.edit(&format!("Call it {title}"), &Edit::Heading(heading)).expect("fits");
    }

    fn text_of(session: &Session) -> String {
        let lines = session.journal().steps().iter().map(|step| step.line());
        std::iter::once(session.journal().beginning().text()).chain(lines).collect()
    }

    #[track_caller]
    fn followed(text: &str) -> (Session, Followed) {
        follow(text, "journal").unwrap_or_else(|error| panic!("{error}\n{}", error.caret()))
    }

    /// Two titles, one of them taken back and made again, and a further one.
    fn busy() -> Session {
        let mut session = Session::new(Layout::default());
        titled(&mut session, "One\n\"quoted\"");
        titled(&mut session, "Two");
        session.undo();
        session.redo();
        titled(&mut session, "Three");
        session
    }

    #[test]
    fn steps_are_taken_again_with_their_history() {
        let session = busy();
        let (mut again, how) = followed(&text_of(&session));
        assert_eq!((again.layout(), how), (session.layout(), Followed::Wholly));
        assert!(again.is_dirty());
        assert_eq!(again.undo_label(), Some("Call it Three"));
        again.undo();
        again.undo();
        assert_eq!(again.layout().heading.title, "One\n\"quoted\"");
        assert_eq!(again.redo_label(), Some("Call it Two"));
    }

    #[test]
    fn a_journal_that_was_taken_up_leads_on() {
        let (mut again, _) = followed(&text_of(&busy()));
        again.undo();
        titled(&mut again, "Four");
        let (third, how) = followed(&text_of(&again));
        assert_eq!((third.layout(), how), (again.layout(), Followed::Wholly));
    }

    #[test]
    fn wherever_the_last_line_is_torn_the_steps_before_it_are_taken() {
        let session = busy();
        let text = text_of(&session);
        let last = text.trim_end().rfind('\n').expect("several lines") + 1;
        for end in last..text.len() - 1 {
            let (again, how) = followed(&text[..end]);
            assert_eq!((again.layout().heading.title.as_str(), how), ("Two", Followed::Wholly), "cut at {end}");
        }
        assert_eq!(followed(&text[..text.len() - 1]).0.layout(), session.layout(), "only the end of the line is gone");
    }

    #[test]
    fn damage_in_the_middle_is_told() {
        let text = text_of(&busy());
        for (from, to) in [("Undid", "Undone"), ("Redid", "\0\0\0\0\0"), ("Redid", "Redid\nRedid")] {
            let (again, how) = followed(&text.replacen(from, to, 1));
            assert_eq!(how, Followed::InPart, "{to}");
            assert_ne!(again.layout().heading.title, "Three");
        }
        assert!(follow(&text[..20], "journal").is_err());
    }

    #[test]
    fn of_a_journal_of_another_form_the_beginning_alone_is_taken() {
        let (again, how) = followed(&text_of(&busy()).replacen("journal:1", "journal:2", 1));
        assert_eq!((again.layout(), how), (&Layout::default(), Followed::InPart));
    }

    #[test]
    fn a_step_back_behind_the_beginning_begins_anew() {
        let mut session = busy();
        session.mark_saved();
        assert!(session.journal().steps().is_empty());
        session.undo();
        let (again, how) = followed(&text_of(&session));
        assert_eq!((again.layout().heading.title.as_str(), how), ("Two", Followed::Wholly));
        session.redo();
        assert_eq!(followed(&text_of(&session)).0.layout().heading.title, "Three");
    }

    #[test]
    fn a_drag_is_one_line_and_one_given_up_is_none() {
        let mut session = busy();
        let before = session.journal().steps().len();
        let title = |title: &str| Edit::Heading(Heading { title: title.to_owned(), ..Heading::default() });
        session.begin_gesture("Drag");
        session.gesture(&title("a")).expect("fits");
        session.gesture(&title("b")).expect("fits");
        session.end_gesture();
        assert_eq!(session.journal().steps().len(), before + 1);
        session.begin_gesture("Drag");
        session.gesture(&title("c")).expect("fits");
        session.cancel_gesture();
        session.gesture(&title("d")).expect("is no longer heard");
        assert_eq!(followed(&text_of(&session)).0.layout().heading.title, "b");
        assert_eq!(session.layout().heading.title, "b");
    }
}
