//! Where what was asked for is done: the one place that changes the session and how it is looked at.

use std::path::Path;

use egui::{Context, Theme, ViewportCommand};

use super::action::{Action, Aspect, Grip, Outlook, Shown, Tool};
use super::app::Desk;
use super::asking::Asking;
use super::commands::Command;
use super::dialogs::{Answer, Dialog, PathQuestion, Purpose, Then};
use super::examples::EXAMPLES;
use super::guide::Guide;
use super::panels::{Particulars, WarmthPanel};
use super::starting::Page;
use super::tour::Tour;
use super::variants::Variants;
use super::{FlowQuestion, Playing};
use crate::file::SaveError;
use crate::finding::FindingKey;
use crate::layout::{EditError, Layout};
use crate::measure::Site;
use crate::rules::{Profile, Verdict};
use crate::scene;
use crate::session::Session;
use crate::session::settings::{Appearance, SidePanels};

/// How much nearer one step of zoom goes.
pub(super) const ZOOM_STEP: f64 = 1.25;
/// By how many per cent one step makes everything larger.
const TEXT_STEP: i16 = 10;

/// Which way through a list.
#[derive(Clone, Copy)]
enum Step {
    Onward,
    Back,
}

impl Desk {
    /// Does what was asked.
    pub(super) fn carry_out(&mut self, ctx: &Context, action: Action) {
        if !matches!(action, Action::Nudge(_) | Action::Light(_) | Action::Say(_)) {
            self.finish_burst();
        }
        match action {
            Action::Command(command) => self.command(ctx, command),
            Action::Edit { label, edits } => {
                let made = self.session.edit_all(&label, &edits);
                self.outlook.said.clear();
                self.say_why_not(made);
            }
            Action::BeginGesture(label) => self.session.begin_gesture(&label),
            Action::Gesture(edits) => {
                let made = self.session.gesture_all(&edits);
                self.say_why_not(made);
            }
            Action::EndGesture => {
                self.session.end_gesture();
                self.canvas.moves.settle(&self.session.shared());
                self.outlook.said.clear();
            }
            Action::CancelGesture => self.session.cancel_gesture(),
            Action::Nudge(by) => self.nudge(ctx, by),
            Action::Select(part) => {
                if self.outlook.selected != part {
                    self.outlook.said.clear();
                }
                self.outlook.let_go();
                self.outlook.selected = part;
            }
            Action::SelectAll(parts) => {
                self.outlook.said.clear();
                self.outlook.let_go();
                let mut parts = parts.into_iter();
                self.outlook.selected = parts.next();
                self.outlook.also = parts.collect();
            }
            Action::SelectFitting(id, number) => {
                let chosen = Grip::Fitting(id.clone(), number);
                if self.outlook.grip().as_ref() != Some(&chosen) {
                    self.outlook.said.clear();
                }
                self.outlook.let_go();
                (self.outlook.selected, self.outlook.fitting) = (Some(id), Some(number));
            }
            Action::SelectPiece(piece) => {
                if self.outlook.piece != Some(piece) {
                    self.outlook.said.clear();
                }
                self.outlook.let_go();
                self.outlook.piece = Some(piece);
            }
            Action::Choose(key) => self.choose(key),
            Action::Tell(told_of) => {
                self.outlook.let_go();
                self.outlook.piece = told_of.piece();
                self.particulars.show(told_of);
            }
            Action::Light(key) => self.outlook.lit = key,
            Action::Take(tool) => {
                self.canvas.give_up();
                self.outlook.said.clear();
                if tool != Tool::Pick {
                    self.outlook.let_go();
                    self.outlook.lit = None;
                }
                self.outlook.tool = tool;
            }
            Action::Tube(tube) => self.outlook.tube = tube,
            Action::Clip(clipping) => self.outlook.clipping = clipping,
            Action::Fall(fall) => self.outlook.fall = fall,
            Action::Insulate(thickness, kind) => self.outlook.insulation = (thickness, kind),
            Action::Show(verdict, shown) => self.show(verdict, shown),
            Action::Say(words) => self.outlook.said = words,
            Action::AskFlow(question) => {
                self.outlook.playing = Playing::default();
                self.outlook.flow = question;
            }
            Action::Mend(ask) => self.mend(ask),
            Action::Play(playing) => self.outlook.playing = playing,
            Action::Lesson(action) => self.lessons.act(ctx, action, &self.session),
            Action::OpenPath(path) => self.leave_for(ctx, Then::Open(path)),
            Action::Hand(handing) => self.hand(ctx, handing),
            Action::SaveTo(path) => self.save_to(ctx, &path, None),
            Action::Explain(term) => self.dialog = Some(Dialog::Guide(Guide::on_words(Some(term)))),
        }
    }

    fn command(&mut self, ctx: &Context, command: Command) {
        if self.outlook.aspect == Aspect::Lesson && self.lessons.takes(command) {
            return;
        }
        match command {
            Command::New => self.leave_for(ctx, Then::New),
            Command::Start => self.begin_at(Page::Answers),
            Command::EnterSurvey => self.begin_at(Page::Survey),
            Command::Variants => {
                self.dialog = Some(Dialog::Variants(Box::new(Variants::of(&self.session, self.outlook.voice))))
            }
            Command::Example(number) => self.leave_for(ctx, Then::Example(number)),
            Command::Open => self.leave_for(ctx, Then::AskWhich),
            Command::Recent(place) => {
                if let Some(path) = self.outlook.settings.recent.get(place).cloned() {
                    self.leave_for(ctx, Then::Open(path));
                }
            }
            Command::Reload => {
                if let Some(path) = self.session.path().map(Path::to_owned) {
                    self.leave_for(ctx, Then::Open(path));
                }
            }
            Command::Save => self.save(ctx, None),
            Command::SaveAs => self.ask_where(None),
            Command::Quit => self.leave_for(ctx, Then::Quit),
            Command::Undo => self.session.undo(),
            Command::Redo => self.session.redo(),
            Command::Delete => self.delete(),
            Command::Arrange(arrange) => self.arrange(ctx, arrange),
            Command::Escape => self.escape(),
            Command::NextPart => self.step_part(Step::Onward),
            Command::PreviousPart => self.step_part(Step::Back),
            Command::Numbers => {
                self.outlook.settings.side_panels = SidePanels::Shown;
                self.particulars.take_keyboard();
            }
            Command::Fit => self.canvas.fit_wanted = true,
            Command::ZoomIn => self.canvas.zoom(ZOOM_STEP),
            Command::ZoomOut => self.canvas.zoom(1.0 / ZOOM_STEP),
            Command::Panels => self.outlook.settings.turn_side_panels(),
            Command::MendAll | Command::MendFinding | Command::MendSelection => self.mend_what_is_at_hand(command),
            Command::Look(aspect) => {
                self.outlook.said.clear();
                self.outlook.aspect = aspect;
            }
            Command::Appearance => {
                let dark = ctx.theme() != Theme::Dark;
                self.outlook.settings.appearance = Some(if dark { Appearance::Dark } else { Appearance::Light });
            }
            Command::LargerText => self.outlook.settings.resize_text(TEXT_STEP),
            Command::SmallerText => self.outlook.settings.resize_text(-TEXT_STEP),
            Command::UsualText => self.outlook.settings.text_percent = 100,
            Command::Units(measures) => self.outlook.settings.measures = measures,
            Command::Reading(voice) => {
                self.outlook.voice = voice;
                self.outlook.settings.voice = voice;
                self.outlook.revealed = None;
            }
            Command::RevealMore => self.reveal(Step::Onward),
            Command::RevealLess => self.reveal(Step::Back),
            Command::Judge(number) => self.judge_by(number),
            Command::NextFinding => self.step_finding(Step::Onward),
            Command::PreviousFinding => self.step_finding(Step::Back),
            Command::Keys => self.dialog = Some(Dialog::Keys),
            Command::Ask => self.dialog = Some(Dialog::Ask(Asking::default())),
            Command::Rules => {
                let rule = self.outlook.chosen.as_ref().map(|key| key.rule);
                self.dialog = Some(Dialog::Guide(Guide::on_rules(rule)));
            }
            Command::Glossary => self.dialog = Some(Dialog::Guide(Guide::on_words(None))),
            Command::About => self.dialog = Some(Dialog::Guide(Guide::on_the_program())),
            Command::Tour => self.tour = Some(Tour::default()),
        }
        if matches!(command, Command::Undo | Command::Redo) {
            self.outlook.said.clear();
        }
    }

    /// Judges by one of the profiles that ship with the program.
    fn judge_by(&mut self, number: usize) {
        if let Some(profile) = Profile::shipped_names().nth(number).and_then(Profile::shipped) {
            self.outlook.said = profile.judged_by().join("; ");
            self.session.choose_profile(Some(profile));
        }
    }

    pub(super) fn say_why_not(&mut self, made: Result<(), EditError>) {
        if let Err(error) = made {
            self.outlook.said = format!("Not done: {error}");
        }
    }

    /// Goes through the parts, then through the pieces of the building.
    fn step_part(&mut self, step: Step) {
        let layout = self.session.layout();
        let parts = layout.parts().map(|part| Grip::Part(part.id().clone()));
        let all: Vec<Grip> = parts.chain(layout.building.pieces().map(Grip::Piece)).collect();
        let single = self.outlook.selected.clone().map(Grip::Part).or_else(|| self.outlook.grip());
        let now = single.and_then(|grip| all.iter().position(|other| *other == grip));
        if let Some(next) = stepped(now, all.len(), step) {
            self.outlook.let_go();
            match all[next].clone() {
                Grip::Part(id) => self.outlook.selected = Some(id),
                Grip::Piece(piece) => self.outlook.piece = Some(piece),
                Grip::Group(_) | Grip::Fitting(..) => {}
            }
        }
    }

    fn step_finding(&mut self, step: Step) {
        let shown = &self.outlook.shown;
        let listed = self.session.findings().keyed().filter(|(_, finding)| shown.contains(&finding.judged.verdict));
        let keys: Vec<FindingKey> = listed.map(|(key, _)| key).collect();
        let now = self.outlook.chosen.as_ref().and_then(|key| keys.iter().position(|other| other == key));
        match stepped(now, keys.len(), step) {
            Some(next) => self.choose(Some(keys[next].clone())),
            None => "No finding is listed: choose above the list which are".clone_into(&mut self.outlook.said),
        }
    }

    /// Shows a class one mark more or one less; once all are shown, it begins anew with none.
    fn reveal(&mut self, step: Step) {
        let marked: Vec<FindingKey> = scene::marked(self.session.findings()).map(|(key, _)| key).collect();
        let shown = match (self.outlook.revealed, step) {
            (None, Step::Onward) => 0,
            (None, Step::Back) => marked.len().saturating_sub(1),
            (Some(shown), Step::Onward) => shown + 1,
            (Some(shown), Step::Back) => shown.saturating_sub(1),
        };
        self.outlook.revealed = (shown < marked.len()).then_some(shown);
        self.choose(shown.checked_sub(1).and_then(|last| marked.get(last).cloned()));
        self.outlook.said =
            format!("{} of {} marks shown; . shows one more, , one less", shown.min(marked.len()), marked.len());
    }

    /// Chooses a finding, and brings its place into view.
    fn choose(&mut self, key: Option<FindingKey>) {
        if let Some(wanted) = &key {
            let site = Site::of(self.session.layout());
            let found = self.session.findings().find(wanted);
            let places = found.map(|finding| finding.reading.places.clone()).unwrap_or_default();
            self.canvas.show_wanted = places.iter().find_map(|place| site.locate(place));
            // Its particulars are where it is put right.
            if let Some(part) = wanted.parts.first().filter(|id| self.session.layout().part(id).is_some()) {
                self.outlook.let_go();
                self.outlook.selected = Some(part.clone());
            }
        }
        self.outlook.chosen = key;
    }

    fn show(&mut self, verdict: Verdict, shown: Shown) {
        self.outlook.shown.retain(|other| *other != verdict);
        if shown == Shown::Yes {
            self.outlook.shown.push(verdict);
        }
    }

    /// Goes on to something else, once unsaved work is saved or let go.
    fn leave_for(&mut self, ctx: &Context, then: Then) {
        if self.session.is_dirty() {
            self.dialog = Some(Dialog::Unsaved(then));
        } else {
            self.go_on(ctx, then);
        }
    }

    fn go_on(&mut self, ctx: &Context, then: Then) {
        match then {
            Then::New => self.take_up(Session::new(Layout::default())),
            Then::Example(number) => self.take_up(Session::new(EXAMPLES[number].layout())),
            Then::TakeLayout(layout) => self.take_up(Session::unsaved(*layout)),
            Then::AskWhich => {
                let likely = self.session.path().map(|path| path.display().to_string()).unwrap_or_default();
                self.dialog = Some(Dialog::Path(PathQuestion::new(Purpose::Open, likely)));
            }
            Then::Open(path) => match Session::open(&path) {
                Ok(session) => {
                    self.outlook.settings.opened(&path);
                    self.take_up(session);
                }
                Err(error) => {
                    let words = format!("{error}\n{}", error.caret());
                    self.dialog = Some(Dialog::Message { heading: "The file cannot be opened".to_owned(), words });
                }
            },
            Then::Quit => {
                self.may_close = true;
                self.let_go_of_unsaved_work();
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
        }
    }

    pub(super) fn take_up(&mut self, session: Session) {
        self.let_go_of_unsaved_work();
        let chosen = self.session.chosen_profile().cloned();
        self.session = session;
        self.session.choose_profile(chosen);
        self.outlook.let_go();
        self.outlook.chosen = None;
        self.outlook.shown = Outlook::default().shown;
        (self.outlook.lit, self.outlook.mend) = (None, None);
        self.outlook.tool = Tool::Pick;
        // A lesson under way would hide the drawing, and a blank sheet has nothing to learn from.
        let is_blank = self.session.layout() == &Layout::default();
        if self.outlook.aspect == Aspect::Lesson && (is_blank || self.lessons.has_drawing()) {
            self.outlook.aspect = Aspect::SetOut;
        }
        // Taps are asked about by their place in the layout.
        (self.outlook.flow, self.outlook.playing) = (FlowQuestion::default(), Playing::default());
        // What was typed and not taken belongs to the last layout.
        (self.particulars, self.warmth) = (Particulars::default(), WarmthPanel::default());
        self.take_up_quote();
        self.outlook.said.clear();
        self.canvas.give_up();
        self.canvas.forget_layout();
        self.canvas.fit_wanted = true;
    }

    fn save(&mut self, ctx: &Context, then: Option<Then>) {
        match self.session.save() {
            Ok(()) => self.saved(ctx, then),
            Err(SaveError::NoName) => self.ask_where(then),
            Err(error @ SaveError::ChangedOnDisk { .. }) => {
                let path = self.session.path().map(Path::to_owned).unwrap_or_default();
                self.dialog = Some(Dialog::WriteOver { path, words: error.to_string(), then });
            }
            Err(error) => self.cannot_save(&error),
        }
    }

    fn save_to(&mut self, ctx: &Context, path: &Path, then: Option<Then>) {
        match self.session.save_as(path) {
            Ok(()) => self.saved(ctx, then),
            Err(error @ (SaveError::AlreadyThere { .. } | SaveError::ChangedOnDisk { .. })) => {
                self.dialog = Some(Dialog::WriteOver { path: path.to_owned(), words: error.to_string(), then });
            }
            Err(error) => self.cannot_save(&error),
        }
    }

    fn saved(&mut self, ctx: &Context, then: Option<Then>) {
        if let Some(path) = self.session.path() {
            self.outlook.settings.opened(path);
            self.outlook.said = format!("Saved to '{}'", path.display());
        }
        if let Some(then) = then {
            self.go_on(ctx, then);
        }
    }

    fn cannot_save(&mut self, error: &SaveError) {
        let heading = "The layout is not saved".to_owned();
        self.dialog = Some(Dialog::Message { heading, words: error.to_string() });
    }

    fn ask_where(&mut self, then: Option<Then>) {
        let likely = self.session.path().map_or_else(|| self.likely_path_to_save(), |path| path.display().to_string());
        self.dialog = Some(Dialog::Path(PathQuestion::new(Purpose::Save(then), likely)));
    }

    /// Carries on after a question.
    pub(super) fn answered(&mut self, ctx: &Context, answer: Answer) {
        self.close_dialog();
        match answer {
            Answer::SaveFirst(then) => self.save(ctx, Some(then)),
            Answer::Discard(then) => self.go_on(ctx, then),
            Answer::TakeLayout(layout) => self.leave_for(ctx, Then::TakeLayout(layout)),
            Answer::OpenVariant(path) => self.leave_for(ctx, Then::Open(path)),
            Answer::KeepVariant(name) => self.keep_variant(&name),
            Answer::Open(path) => self.go_on(ctx, Then::Open(path)),
            Answer::SaveTo(path, then) => self.save_to(ctx, &path, then),
            Answer::WriteOver(path, then) => match self.session.overwrite(&path) {
                Ok(()) => self.saved(ctx, then),
                Err(error) => self.cannot_save(&error),
            },
            Answer::OtherName(then) => self.ask_where(then),
            Answer::TakeUp(left) => self.take_up_what_was_left(left),
            Answer::ThrowAway(left) => self.throw_away_what_was_left(&left),
            Answer::Give(command) => self.command(ctx, command),
            Answer::Take(tool) => {
                if !self.shows_drawing() {
                    self.outlook.aspect = Aspect::SetOut;
                }
                self.carry_out(ctx, Action::Take(tool));
            }
            Answer::Found(sought, path) => self.hand(ctx, super::Handing::Found(sought, path)),
            Answer::Stay => {}
        }
        ctx.request_repaint();
    }
}

/// The place after or before another in a list that goes round.
fn stepped(now: Option<usize>, count: usize, step: Step) -> Option<usize> {
    let last = count.checked_sub(1)?;
    Some(match (now, step) {
        (None, Step::Onward) => 0,
        (None, Step::Back) => last,
        (Some(now), Step::Onward) => (now + 1) % count,
        (Some(now), Step::Back) => now.checked_sub(1).unwrap_or(last),
    })
}
