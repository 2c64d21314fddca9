//! The open layout: its history, what is derived from it, and whether it is saved.

pub mod course;
mod disk;
mod history;
mod journal;
pub mod keeper;
pub mod licences;
pub mod recovery;
pub mod returned;
pub mod settings;
pub mod variants;

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use disk::OnDisk;
pub use history::History;
pub use journal::{Journal, Step};

use crate::finding::Findings;
use crate::layout::{Edit, EditError, Layout, apply_all};
use crate::measure::Site;
use crate::rules::Profile;

/// Counts the layouts that have been shown, whichever session shows them.
static LAST_REVISION: AtomicU64 = AtomicU64::new(0);

/// An open layout. Every change goes through [`Session::edit`] or a gesture; what is derived follows at once.
pub struct Session {
    history: History,
    journal: Journal,
    /// The layout as it stands: the newest of the history, or the gesture under way.
    layout: Arc<Layout>,
    gesture: Option<Gesture>,
    /// Chosen at the window; goes before what the layout names.
    chosen: Option<Profile>,
    profile: Profile,
    /// What the layout named when `profile` was looked up.
    named: Option<String>,
    /// Why the profile that the layout names is not the one that judges.
    profile_fault: Option<String>,
    findings: Findings,
    revision: u64,
    on_disk: Option<OnDisk>,
}

/// A drag under way: it becomes one step of history when it ends.
struct Gesture {
    label: String,
    before: Arc<Layout>,
    /// What leads from there to the layout as it stands.
    edits: Vec<Edit>,
}

impl Session {
    /// Opens a layout that is as it is on disk.
    #[must_use]
    pub fn new(layout: Layout) -> Self {
        let layout = Arc::new(layout);
        let mut session = Self {
            history: History::new(Arc::clone(&layout)),
            journal: Journal::begun_at(Arc::clone(&layout), None),
            layout,
            gesture: None,
            chosen: None,
            profile: Profile::default(),
            named: None,
            profile_fault: None,
            findings: Findings::default(),
            revision: next_revision(),
            on_disk: None,
        };
        session.derive();
        session
    }

    /// Takes up a layout that is in no file, such as one that was recovered.
    #[must_use]
    pub fn unsaved(layout: Layout) -> Self {
        let mut session = Self::new(layout);
        session.history.mark_unsaved();
        session
    }

    /// The layout as it stands.
    #[must_use]
    pub fn layout(&self) -> &Layout {
        &self.layout
    }

    /// The layout as it stands, shared: cheap to hand to a panic hook or another thread.
    #[must_use]
    pub fn shared(&self) -> Arc<Layout> {
        Arc::clone(&self.layout)
    }

    /// The findings on the layout as it stands.
    #[must_use]
    pub const fn findings(&self) -> &Findings {
        &self.findings
    }

    /// The profile that judges.
    #[must_use]
    pub const fn profile(&self) -> &Profile {
        &self.profile
    }

    /// Why the profile that the layout names does not judge, where it cannot.
    #[must_use]
    pub fn profile_fault(&self) -> Option<&str> {
        self.profile_fault.as_deref()
    }

    /// The profile that was chosen, whatever the layout names.
    #[must_use]
    pub const fn chosen_profile(&self) -> Option<&Profile> {
        self.chosen.as_ref()
    }

    /// Judges by this profile from now on, whatever the layout names; `None` leaves it to the layout.
    pub fn choose_profile(&mut self, profile: Option<Profile>) {
        self.chosen = profile;
        self.look_up_profile();
        self.revision = next_revision();
        self.derive();
    }

    fn look_up_profile(&mut self) {
        self.named.clone_from(&self.layout.heading.profile);
        let (profile, fault) = match (&self.chosen, Profile::named(self.named.as_deref())) {
            (Some(chosen), _) => (chosen.clone(), None),
            (None, Ok(profile)) => (profile, None),
            (None, Err(error)) => (Profile::default(), Some(error.to_string())),
        };
        (self.profile, self.profile_fault) = (profile, fault);
    }

    /// Another number after every change of the layout or of the profile, and for every session: what was derived from a
    /// layout is kept by it, and never taken for that of another.
    #[must_use]
    pub const fn revision(&self) -> u64 {
        self.revision
    }

    /// Makes one change, as one step of history.
    ///
    /// # Errors
    /// [`EditError`] when the edit does not fit; the layout is then unchanged.
    pub fn edit(&mut self, label: &str, edit: &Edit) -> Result<(), EditError> {
        self.edit_all(label, std::slice::from_ref(edit))
    }

    /// Makes several changes, as one step of history.
    ///
    /// # Errors
    /// [`EditError`] when one of them does not fit; the layout is then unchanged.
    pub fn edit_all(&mut self, label: &str, edits: &[Edit]) -> Result<(), EditError> {
        self.end_gesture();
        self.take(apply_all(&self.layout, edits)?);
        self.step(label, edits.to_vec());
        Ok(())
    }

    /// The layout as it stands is a step further in history, which these edits have led to.
    fn step(&mut self, label: &str, edits: Vec<Edit>) {
        self.history.push(label, Arc::clone(&self.layout));
        self.journal.made(label, edits);
    }

    /// Begins a gesture: what follows until its end becomes one step of history.
    pub fn begin_gesture(&mut self, label: &str) {
        self.end_gesture();
        let before = Arc::clone(&self.layout);
        self.gesture = Some(Gesture { label: label.to_owned(), before, edits: Vec::new() });
    }

    /// Shows the layout from before the gesture with `edit` made: each call replaces the one before.
    ///
    /// # Errors
    /// [`EditError`] when the edit does not fit; the layout is then as it was a moment ago.
    pub fn gesture(&mut self, edit: &Edit) -> Result<(), EditError> {
        self.gesture_all(std::slice::from_ref(edit))
    }

    /// The same with several edits, in order. Nothing is done once the gesture has been given up.
    ///
    /// # Errors
    /// [`EditError`] when one of them does not fit; the layout is then as it was a moment ago.
    pub fn gesture_all(&mut self, edits: &[Edit]) -> Result<(), EditError> {
        let Some(gesture) = &mut self.gesture else { return Ok(()) };
        let changed = apply_all(&gesture.before, edits)?;
        gesture.edits = edits.to_vec();
        if changed != *self.layout {
            self.take(changed);
        }
        Ok(())
    }

    /// Ends the gesture under way, if there is one, and keeps what it did.
    pub fn end_gesture(&mut self) {
        if let Some(gesture) = self.gesture.take()
            && *gesture.before != *self.layout
        {
            self.step(&gesture.label, gesture.edits);
        }
    }

    /// Gives up the gesture under way and goes back to before it.
    pub fn cancel_gesture(&mut self) {
        if let Some(gesture) = self.gesture.take() {
            self.show(gesture.before);
        }
    }

    /// Whether a gesture is under way.
    #[must_use]
    pub const fn in_gesture(&self) -> bool {
        self.gesture.is_some()
    }

    /// Takes back the last step.
    pub fn undo(&mut self) {
        self.end_gesture();
        if let Some(layout) = self.history.undo() {
            self.show(layout);
            if self.journal.undid().is_err() {
                self.begin_journal();
            }
        }
    }

    /// Makes again the step that was taken back last.
    pub fn redo(&mut self) {
        self.end_gesture();
        if let Some(layout) = self.history.redo() {
            self.show(layout);
            if self.journal.redid().is_err() {
                self.begin_journal();
            }
        }
    }

    /// What [`Session::undo`] would take back.
    #[must_use]
    pub fn undo_label(&self) -> Option<&str> {
        self.history.undo_label()
    }

    /// What [`Session::redo`] would make again.
    #[must_use]
    pub fn redo_label(&self) -> Option<&str> {
        self.history.redo_label()
    }

    /// Whether there is anything that is not on disk.
    #[must_use]
    pub fn is_dirty(&self) -> bool {
        self.gesture.is_some() || self.has_unsaved_steps()
    }

    /// The same, whatever the gesture under way does.
    pub(crate) fn has_unsaved_steps(&self) -> bool {
        !self.history.is_saved()
    }

    /// Takes note that the layout as it stands is on disk.
    pub fn mark_saved(&mut self) {
        self.end_gesture();
        self.history.mark_saved();
        self.begin_journal();
    }

    /// What has been done since the layout was last on disk.
    #[must_use]
    pub const fn journal(&self) -> &Journal {
        &self.journal
    }

    /// Begins the journal anew at the layout as it stands.
    pub(crate) fn begin_journal(&mut self) {
        self.end_gesture();
        self.journal = Journal::begun_at(Arc::clone(&self.layout), self.on_disk.clone());
    }

    fn take(&mut self, layout: Layout) {
        self.show(Arc::new(layout));
    }

    fn show(&mut self, layout: Arc<Layout>) {
        self.layout = layout;
        self.revision = next_revision();
        self.derive();
    }

    fn derive(&mut self) {
        if self.named != self.layout.heading.profile {
            self.look_up_profile();
        }
        self.findings = Findings::under(&Site::of(&self.layout), &self.profile);
    }
}

fn next_revision() -> u64 {
    LAST_REVISION.fetch_add(1, Ordering::Relaxed) + 1
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::layout::{Id, Outlet, OutletKind, Part};
    use crate::units::Length;

    fn with_basin() -> Session {
        let mut session = Session::new(Layout::default());
        let basin = Outlet::new(Id::of("basin"), OutletKind::Basin, Point::mm(0.0, 900.0));
        session.edit("Place basin", &Edit::put(Part::Outlet(basin))).expect("fits");
        session
    }

    fn raise(mm: f64) -> Edit {
        Edit::Shift { parts: vec![Id::of("basin")], right: Length::ZERO, up: Length::mm(mm) }
    }

    #[test]
    fn a_drag_is_one_step() {
        let mut session = with_basin();
        session.begin_gesture("Move basin");
        for mm in [10.0, 20.0, 35.0] {
            session.gesture(&raise(mm)).expect("fits");
        }
        session.end_gesture();
        assert_eq!(session.layout().outlets[0].at, Point::mm(0.0, 935.0));
        assert_eq!(session.undo_label(), Some("Move basin"));
        session.undo();
        assert_eq!(session.layout().outlets[0].at, Point::mm(0.0, 900.0));
        session.redo();
        assert_eq!(session.layout().outlets[0].at, Point::mm(0.0, 935.0));
    }

    #[test]
    fn no_two_layouts_share_a_revision() {
        let mut session = Session::new(Layout::default());
        let at_first = session.revision();
        assert_ne!(Session::new(Layout::default()).revision(), at_first);
        session.choose_profile(None);
        assert_ne!(session.revision(), at_first);
    }

    #[test]
    fn a_drag_that_comes_back_leaves_no_step() {
        let mut session = with_basin();
        session.begin_gesture("Move basin");
        session.gesture(&raise(10.0)).expect("fits");
        session.gesture(&raise(0.0)).expect("fits");
        session.end_gesture();
        assert_eq!(session.undo_label(), Some("Place basin"));
    }

    #[test]
    fn the_layout_names_its_profile_and_a_choice_goes_before_it() {
        let named = |name: &str| {
            let mut layout = Layout::default();
            layout.heading.profile = Some(name.to_owned());
            layout
        };
        let mut session = Session::new(named("scotland"));
        assert_eq!((session.profile().name.as_str(), session.profile_fault()), ("Scotland", None));
        session.choose_profile(Profile::shipped("northern-ireland"));
        assert_eq!(session.profile().name, "Northern Ireland");
        session.choose_profile(None);
        assert_eq!(session.profile().name, "Scotland");
        session.edit("Change title", &Edit::Heading(crate::layout::Heading::default())).expect("fits");
        assert_eq!(session.profile(), Profile::usual());
        session.undo();
        assert_eq!(session.profile().name, "Scotland");
        let slip = Session::new(named("scotlnd"));
        assert_eq!(slip.profile(), Profile::usual());
        assert!(slip.profile_fault().is_some_and(|fault| fault.contains("did you mean 'scotland'?")));
    }

    #[test]
    fn saved_is_a_place_in_history() {
        let mut session = with_basin();
        assert!(session.is_dirty());
        session.mark_saved();
        assert!(!session.is_dirty());
        session.edit("Raise basin", &raise(5.0)).expect("fits");
        assert!(session.is_dirty());
        session.undo();
        assert!(!session.is_dirty());
    }
}
