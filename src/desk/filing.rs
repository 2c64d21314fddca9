//! Which layout is open: taken up from a file, an example or a form, saved to a file, and left for another.

use std::path::Path;

use egui::{Context, ViewportCommand};

use super::Aspect;
use super::app::Desk;
use super::dialogs::{Dialog, PathQuestion, Purpose, Then};
use super::examples::EXAMPLES;
use super::handing::likely_path_to_save;
use crate::file::SaveError;
use crate::layout::Layout;
use crate::session::Session;

impl Desk {
    /// Goes on to something else, once unsaved work is saved or let go.
    pub(super) fn leave_for(&mut self, ctx: &Context, then: Then) {
        self.end_pipe_in_hand();
        if self.work.session.is_dirty() {
            self.front.ask(Dialog::Unsaved(then));
        } else {
            self.go_on(ctx, then);
        }
    }

    /// Goes on to something else, whatever becomes of unsaved work.
    pub(super) fn go_on(&mut self, ctx: &Context, then: Then) {
        match then {
            Then::New => self.take_up(ctx, Session::new(Layout::default())),
            Then::Example(number) => self.take_up(ctx, Session::new(EXAMPLES[number].layout())),
            Then::TakeLayout(layout) => self.take_up(ctx, Session::unsaved(*layout)),
            Then::AskWhich => {
                let likely = self.work.session.path().map(|path| path.display().to_string()).unwrap_or_default();
                self.front.ask_path(Purpose::Open, likely);
            }
            Then::Open(path) => self.open(ctx, &path),
            Then::Quit => {
                self.window.may_close = true;
                self.work.keeping.let_go();
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
        }
    }

    /// Opens a file; says why, where it cannot be.
    fn open(&mut self, ctx: &Context, path: &Path) {
        match Session::open(path) {
            Ok(session) => {
                self.outlook.settings.opened(path);
                self.take_up(ctx, session);
            }
            Err(error) => self.front.tell("The file cannot be opened", format!("{error}\n{}", error.caret())),
        }
    }

    /// Goes on with another layout, of which nothing has been looked at, asked or typed yet.
    pub(super) fn take_up(&mut self, ctx: &Context, session: Session) {
        self.work.take_up(session);
        let session = &self.work.session;
        self.outlook.forget_layout();
        // A lesson under way would hide the drawing, and a blank sheet has nothing to learn from.
        let is_blank = session.layout() == &Layout::default();
        if self.outlook.aspect == Aspect::Lesson && (is_blank || self.lessons.has_drawing()) {
            self.outlook.aspect = Aspect::SetOut;
        }
        self.beside.forget_layout();
        self.handed.preview.page = 0;
        // Each list begins at its top.
        ctx.data_mut(|data| data.remove_by_type::<egui::scroll_area::State>());
        self.handed.taking.take_up_quote(self.habits.quotes.of(session.path()));
        self.canvas.give_up();
        self.canvas.forget_layout();
        self.canvas.fit_wanted = true;
    }

    /// Saves to where the layout came from; asks where there is no such place, or another program has written there.
    pub(super) fn save(&mut self, ctx: &Context, then: Option<Then>) {
        let saved = self.work.session.save();
        let path = self.work.session.path().map(Path::to_owned).unwrap_or_default();
        self.after_saving(ctx, saved, &path, then);
    }

    /// Saves under another path; asks before it writes over what is there.
    pub(super) fn save_to(&mut self, ctx: &Context, path: &Path, then: Option<Then>) {
        match self.work.session.save_as(path) {
            Err(error) if is_of_the_name(&error) => {
                let again = PathQuestion::again(Purpose::Save(then), path.display().to_string(), error.to_string());
                self.front.ask(Dialog::Path(again));
            }
            saved => self.after_saving(ctx, saved, path, then),
        }
    }

    /// Saves under a path whatever is there.
    pub(super) fn write_over(&mut self, ctx: &Context, path: &Path, then: Option<Then>) {
        let saved = self.work.session.overwrite(path);
        self.after_saving(ctx, saved, path, then);
    }

    /// Goes on once the layout is saved; asks or says why, where it is not.
    fn after_saving(&mut self, ctx: &Context, saved: Result<(), SaveError>, path: &Path, then: Option<Then>) {
        match saved {
            Ok(()) => {
                if let Some(path) = self.work.session.path() {
                    self.outlook.settings.opened(path);
                    self.outlook.said = format!("Saved to '{}'", path.display());
                }
                if let Some(then) = then {
                    self.go_on(ctx, then);
                }
            }
            Err(SaveError::NoName) => self.ask_where(then),
            Err(error @ (SaveError::AlreadyThere { .. } | SaveError::ChangedOnDisk { .. })) => {
                let words = error.to_string();
                self.front.ask(Dialog::WriteOver { path: path.to_owned(), words, then });
            }
            Err(error) => self.front.tell("The layout is not saved", error.to_string()),
        }
    }

    /// Asks under which path to save.
    pub(super) fn ask_where(&mut self, then: Option<Then>) {
        let session = &self.work.session;
        let likely = session.path().map_or_else(|| likely_path_to_save(session), |path| path.display().to_string());
        self.front.ask_path(Purpose::Save(then), likely);
    }
}

/// Whether another name would do, so that the question for it is asked again.
const fn is_of_the_name(error: &SaveError) -> bool {
    match error {
        SaveError::FolderGone { .. } | SaveError::NotAFile { .. } | SaveError::ReadOnly { .. } => true,
        SaveError::NoName
        | SaveError::DiskFull { .. }
        | SaveError::ChangedOnDisk { .. }
        | SaveError::AlreadyThere { .. }
        | SaveError::Unwritable { .. } => false,
    }
}
