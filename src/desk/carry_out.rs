//! Where what was asked for is done: by panels and canvas, by commands, and as the answer to a question.

use std::path::Path;

use egui::{Context, Theme};

use super::action::Action;
use super::app::Desk;
use super::asking::Asking;
use super::commands::{Can, Command};
use super::dialogs::{Answer, Dialog, Then};
use super::guide::Guide;
use super::handing::Handing;
use super::starting::StartingPage;
use super::stepping::Step;
use super::variants::Variants;
use super::{Aspect, Playing, Shown, Tool};
use crate::layout::Edit;
use crate::outset::edits_as_usual;
use crate::rules::{Profile, Verdict};
use crate::session::settings::{Appearance, SidePanels};

/// By how many per cent one step makes everything larger.
const TEXT_STEP: i16 = 10;

impl Desk {
    /// Does what was asked.
    pub(super) fn carry_out(&mut self, ctx: &Context, action: Action) {
        if !matches!(action, Action::Nudge(_) | Action::Light(_) | Action::Say(_)) {
            self.work.finish_burst(&mut self.canvas.moves);
        }
        match action {
            Action::Command(command) => self.command(ctx, command),
            Action::Edit { label, edits } => self.make_step(&label, &edits),
            Action::BeginGesture(label) => self.work.session.begin_gesture(&label),
            Action::Gesture(edits) => {
                if let Err(error) = self.work.session.gesture_all(&edits) {
                    self.outlook.say_why_not(&error);
                }
            }
            Action::EndGesture => {
                self.work.session.end_gesture();
                self.canvas.moves.settle(&self.work.session.shared());
                self.outlook.said.clear();
            }
            Action::CancelGesture => self.work.session.cancel_gesture(),
            Action::Nudge(by) => self.nudge(ctx, by),
            Action::Select(part) => self.outlook.select(part),
            Action::SelectAll(parts) => self.outlook.select_all(parts),
            Action::SelectFitting(run, number) => self.outlook.select_fitting(run, number),
            Action::SelectPiece(piece) => self.outlook.select_piece(piece),
            Action::Choose(key) => self.choose(key),
            Action::Tell(told_of) => {
                self.outlook.let_go();
                self.outlook.piece = told_of.piece();
                self.beside.particulars.show(told_of);
            }
            Action::Light(key) => self.outlook.lit = key,
            Action::Take(tool) => self.take(tool),
            Action::Tube(tube) => self.outlook.tube = tube,
            Action::Clip(clipping) => self.outlook.clipping = clipping,
            Action::Fall(fall) => self.outlook.fall = fall,
            Action::Insulate(thickness, kind) => self.outlook.insulation = (thickness, kind),
            Action::Show(verdict, shown) => self.outlook.show(verdict, shown),
            Action::Say(words) => self.outlook.said = words,
            Action::AskFlow(question) => {
                self.outlook.playing = Playing::default();
                self.outlook.flow = question;
            }
            Action::Mend(ask) => self.mend(ask),
            Action::Play(playing) => self.outlook.playing = playing,
            Action::Lesson(action) => self.lessons.act(ctx, action, &self.work.session),
            Action::OpenPath(path) => self.leave_for(ctx, Then::Open(path)),
            Action::Hand(handing) => self.hand(ctx, handing),
            Action::SaveTo(path) => self.save_to(ctx, &path, None),
            Action::Explain(term) => self.front.ask(Dialog::Guide(Guide::on_words(Some(term)))),
        }
    }

    /// Makes changes that are one step of history.
    pub(super) fn make_step(&mut self, label: &str, edits: &[Edit]) {
        let made = self.work.session.edit_all(label, edits);
        self.outlook.said.clear();
        if let Err(error) = made {
            self.outlook.say_why_not(&error);
        }
    }

    /// Does what a command says.
    pub(super) fn command(&mut self, ctx: &Context, command: Command) {
        if self.outlook.aspect == Aspect::Lesson && self.lessons.takes(command) {
            return;
        }
        let Self { work, outlook, canvas, beside, front, .. } = self;
        match command {
            Command::New => self.leave_for(ctx, Then::New),
            Command::Start => front.begin_at(StartingPage::Answers),
            Command::EnterSurvey => front.begin_at(StartingPage::Survey),
            Command::Variants => {
                front.ask(Dialog::Variants(Box::new(Variants::of(&work.session, outlook.voice))));
            }
            Command::Example(number) => self.leave_for(ctx, Then::Example(number)),
            Command::Open => self.leave_for(ctx, Then::AskWhich),
            Command::Recent(place) => {
                if let Some(path) = outlook.settings.recent.get(place).cloned() {
                    self.leave_for(ctx, Then::Open(path));
                }
            }
            Command::Reload => {
                if let Some(path) = work.session.path().map(Path::to_owned) {
                    self.leave_for(ctx, Then::Open(path));
                }
            }
            Command::Save => self.save(ctx, None),
            Command::SaveAs => self.ask_where(None),
            Command::Quit => self.leave_for(ctx, Then::Quit),
            Command::Undo => self.undo(),
            Command::Redo => {
                work.session.redo();
                outlook.said.clear();
            }
            Command::Delete => self.delete(),
            Command::Arrange(arrange) => self.arrange(ctx, arrange),
            Command::Escape => self.escape(),
            Command::NextPart => outlook.step_part(work.session.layout(), Step::Onward),
            Command::PreviousPart => outlook.step_part(work.session.layout(), Step::Back),
            Command::Numbers => {
                outlook.settings.side_panels = SidePanels::Shown;
                beside.particulars.take_keyboard();
            }
            Command::Fit => canvas.fit_wanted = true,
            Command::ZoomIn => canvas.zoom_in(),
            Command::ZoomOut => canvas.zoom_out(),
            Command::Panels => outlook.settings.turn_side_panels(),
            Command::MendAll | Command::MendFinding | Command::MendSelection => self.mend_what_is_at_hand(command),
            Command::TellUsual => self.tell_what_is_usual(),
            Command::Look(aspect) => self.look_at(aspect),
            Command::Appearance => {
                let other = if ctx.theme() == Theme::Dark { Appearance::Light } else { Appearance::Dark };
                outlook.settings.appearance = Some(other);
            }
            Command::LargerText => outlook.settings.resize_text(TEXT_STEP),
            Command::SmallerText => outlook.settings.resize_text(-TEXT_STEP),
            Command::UsualText => outlook.settings.text_percent = 100,
            Command::Units(measures) => outlook.settings.measures = measures,
            Command::Reading(voice) => {
                (outlook.voice, outlook.settings.voice) = (voice, voice);
                outlook.revealed = None;
            }
            Command::RevealMore => self.reveal(Step::Onward),
            Command::RevealLess => self.reveal(Step::Back),
            Command::Judge(number) => self.judge_by(number),
            Command::NextFinding => self.step_finding(Step::Onward),
            Command::PreviousFinding => self.step_finding(Step::Back),
            Command::Keys => front.ask(Dialog::Keys),
            Command::Ask => front.ask(Dialog::Ask(Asking::default())),
            Command::Rules => {
                let rule = outlook.chosen.as_ref().map(|key| key.rule);
                front.ask(Dialog::Guide(Guide::on_rules(rule)));
            }
            Command::Glossary => front.ask(Dialog::Guide(Guide::on_words(None))),
            Command::About => front.ask(Dialog::Guide(Guide::on_the_program())),
            Command::Tour => front.begin_tour(),
        }
    }

    /// Shows another view. What a lesson shows is only looked at, with no tool in hand.
    fn look_at(&mut self, aspect: Aspect) {
        self.outlook.said.clear();
        if aspect == Aspect::Lesson {
            self.work.session.cancel_gesture();
            self.take(Tool::Pick);
        }
        self.outlook.aspect = aspect;
    }

    /// Tells what nobody has told, as one step.
    fn tell_what_is_usual(&mut self) {
        let session = &self.work.session;
        let offered = Command::TellUsual.offered(session, &self.outlook);
        if offered.can == Can::NotNow {
            offered.why_not.clone_into(&mut self.outlook.said);
            return;
        }
        let untold = session.findings().counts().unknown;
        let edits = edits_as_usual(session.layout(), session.profile());
        if edits.is_empty() {
            "Nothing that is asked has a usual answer".clone_into(&mut self.outlook.said);
            return;
        }
        self.make_step("Tell what is usual", &edits);
        let open = self.work.session.findings().counts().unknown;
        self.outlook.show(Verdict::Unknown, Shown::Yes);
        let answered = untold.saturating_sub(open);
        self.outlook.said = match (answered, open) {
            (_, 0) => format!("All {untold} unknown are answered as usual, see Notes. Undo takes it back"),
            (0, _) => format!("What nobody told is told as usual; {open} unknown stay in the list. Undo takes it back"),
            _ => format!(
                "{answered} of {untold} unknown are answered as usual, see Notes; {open} stay in the list. Undo takes it back"
            ),
        };
    }

    /// Judges by one of the profiles that ship with the program.
    fn judge_by(&mut self, number: usize) {
        if let Some(profile) = Profile::shipped_names().nth(number).and_then(Profile::shipped) {
            self.outlook.said = profile.judged_by().join("; ");
            self.work.session.choose_profile(Some(profile));
        }
    }

    /// Carries on after a question.
    pub(super) fn answered(&mut self, ctx: &Context, answer: Answer) {
        self.front.close();
        match answer {
            Answer::SaveFirst(then) => self.save(ctx, Some(then)),
            Answer::Discard(then) => self.go_on(ctx, then),
            Answer::TakeLayout(layout) => self.leave_for(ctx, Then::TakeLayout(layout)),
            Answer::OpenVariant(path) => self.leave_for(ctx, Then::Open(path)),
            Answer::KeepVariant(name) => self.keep_variant(&name),
            Answer::Open(path) => self.go_on(ctx, Then::Open(path)),
            Answer::SaveTo(path, then) => self.save_to(ctx, &path, then),
            Answer::WriteOver(path, then) => self.write_over(ctx, &path, then),
            Answer::OtherName(then) => self.ask_where(then),
            Answer::TakeUp(left) => self.take_up_what_was_left(ctx, left),
            Answer::ThrowAway(left) => self.throw_away_what_was_left(&left),
            Answer::Give(command) => self.command(ctx, command),
            Answer::Take(tool) => {
                if !self.shows_drawing() {
                    self.outlook.aspect = Aspect::SetOut;
                }
                self.carry_out(ctx, Action::Take(tool));
            }
            Answer::Found(sought, path) => self.hand(ctx, Handing::Found(sought, path)),
            Answer::Stay => {}
        }
        ctx.request_repaint();
    }
}
