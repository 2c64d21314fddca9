//! The window as a whole: carries out what was asked, then lays out panels and drawing.

use std::time::Duration;

use egui::{CentralPanel, Context, Event, Frame, Key, Margin, Panel, Ui, UiBuilder, ViewportCommand, Visuals};

use super::action::{Action, Aspect, Grip, Outlook, Tool};
use super::arranging::Copied;
use super::bearing::Bearing;
use super::canvas::{Canvas, begins_a_place};
use super::commands::{Command, shortcuts};
use super::dialogs::{Dialog, Then};
use super::flowing::Flowing;
use super::habits::Habits;
use super::handing::HandedOver;
use super::lessons::Lessons;
use super::letters::Letters;
use super::mending::{Mending, Scope};
use super::moves::Course;
use super::panels::{self, FindingsList, OnDrawing, Particulars, Stores, WarmthPanel};
use super::quotes::Quotes;
use super::side_panels::{self, let_out};
use super::starting::Starting;
use super::telling::Telling;
use super::tour::Tour;
use super::warming::Warming;
use crate::layout::Layout;
use crate::rules::Voice;
use crate::session::Session;
use crate::session::keeper::Keeper;
use crate::session::settings::SidePanels;

/// After so long without a further arrow key, a burst of them is one step of history.
const BURST: Duration = Duration::from_millis(900);

/// So high are Stores with everything in view, in points.
const USUAL_STORES: f32 = 470.0;
/// Stores leave at least so much to Particulars, in points.
const LEAST_PARTICULARS: f32 = 300.0;
/// A trial is played in so long, s, whatever time it tells of; more slowly before a class.
const PLAYED_IN_S: f64 = 15.0;
const TAUGHT_IN_S: f64 = 45.0;

/// The lesson's panel takes this share of the window, and so many points at most: its words are read from afar.
const LESSON_SHARE: f32 = 0.32;
const LESSON_MOST: f32 = 520.0;

/// The window's state.
pub struct Desk {
    pub(super) session: Session,
    pub(super) outlook: Outlook,
    pub(super) canvas: Canvas,
    pub(super) dialog: Option<Dialog>,
    pub(super) actions: Vec<Action>,
    pub(super) burst: Option<Burst>,
    /// The question about unsaved work has been answered: the next close goes through.
    pub(super) may_close: bool,
    pub(super) keeper: Option<Keeper>,
    /// The revision of which it is known, or soon will be, whether it is kept.
    pub(super) kept_revision: u64,
    /// What was copied last, and how often it has been put down since.
    pub(super) copied: Copied,
    pub(super) habits: Habits,
    pub(super) tour: Option<Tour>,
    stores: Stores,
    pub(super) particulars: Particulars,
    findings: FindingsList,
    pub(super) warmth: WarmthPanel,
    pub(super) flowing: Flowing,
    pub(super) warming: Warming,
    pub(super) bearing: Bearing,
    pub(super) telling: Telling,
    pub(super) starting: Starting,
    pub(super) quotes: Quotes,
    /// How much the left and right panels and Stores could take in the last frame, points.
    held_to: [f32; 3],
    pub(super) lessons: Lessons,
    letters: Letters,
    /// A text field had the keyboard in the frame before.
    was_typing: bool,
    pub(super) handed: HandedOver,
    pub(super) mending: Mending,
    title: String,
}

/// Arrow keys pressed one after the other.
pub(super) struct Burst {
    /// What they move.
    pub grip: Grip,
    /// The layout from before the first of them.
    pub before: std::sync::Arc<Layout>,
    /// From where its moves are reckoned.
    pub course: Course,
    /// How far in all, mm.
    pub by: glam::DVec2,
    /// When the last one was pressed, in the window's seconds.
    pub at: f64,
}

impl Desk {
    /// The window on a layout.
    #[must_use]
    pub fn new(session: Session) -> Self {
        Self {
            kept_revision: session.revision(),
            session,
            outlook: Outlook::default(),
            canvas: Canvas::default(),
            dialog: None,
            actions: Vec::new(),
            burst: None,
            may_close: false,
            keeper: None,
            copied: Copied::default(),
            habits: Habits::default(),
            tour: None,
            stores: Stores::default(),
            particulars: Particulars::default(),
            findings: FindingsList::default(),
            warmth: WarmthPanel::default(),
            flowing: Flowing::default(),
            warming: Warming::default(),
            bearing: Bearing::default(),
            telling: Telling::default(),
            starting: Starting::default(),
            quotes: Quotes::default(),
            held_to: [f32::INFINITY; 3],
            lessons: Lessons::default(),
            letters: Letters::default(),
            was_typing: false,
            handed: HandedOver::default(),
            mending: Mending::default(),
            title: String::new(),
        }
    }

    /// Keeps the course record in a file from now on.
    pub fn keep_record_in(&mut self, path: std::path::PathBuf) {
        self.lessons.keep_record_in(path);
    }

    /// The lesson under way.
    #[must_use]
    pub const fn lessons(&self) -> &Lessons {
        &self.lessons
    }

    /// The open layout.
    #[must_use]
    pub const fn session(&self) -> &Session {
        &self.session
    }

    /// How it is looked at.
    #[must_use]
    pub const fn outlook(&self) -> &Outlook {
        &self.outlook
    }

    /// What came of mending, while it is looked at.
    #[must_use]
    pub const fn mending(&self) -> &Mending {
        &self.mending
    }

    /// Where a point of the section is on the screen.
    #[must_use]
    pub fn screen_from_section(&self, point: glam::DVec2) -> egui::Pos2 {
        self.canvas.view.screen_from_section(point)
    }

    /// Asks for something, to be done before the next frame is painted.
    pub fn push(&mut self, action: Action) {
        self.actions.push(action);
    }

    /// Takes what is asked by keys, by the window and by the frame before, and carries it out. Paints nothing.
    pub fn logic(&mut self, ctx: &Context) {
        self.leave_field_that_was_clicked_away_from(ctx);
        self.hear_window(ctx);
        self.hear_dropped_files(ctx);
        self.hear_keys(ctx);
        self.end_burst(ctx);
        for action in std::mem::take(&mut self.actions) {
            self.carry_out(ctx, action);
        }
        self.hear_export();
        self.forget_what_is_gone();
        self.mending.tend(ctx, &self.session, self.outlook.mend.as_ref());
        self.keep_habits(ctx);
        self.show_title(ctx);
        self.keep_unsaved_work(ctx);
        self.play_on(ctx);
        if self.outlook.aspect == Aspect::Lesson {
            self.lessons.tick(ctx);
        }
    }

    /// A trial that plays goes on a little in each frame, and stops at its end.
    fn play_on(&mut self, ctx: &Context) {
        let playing = &mut self.outlook.playing;
        if playing.runs && self.outlook.aspect == Aspect::Flow {
            let frame_s = ctx.input(|input| f64::from(input.stable_dt));
            let lasts_s = if self.outlook.voice == Voice::Teaching { TAUGHT_IN_S } else { PLAYED_IN_S };
            playing.share = (playing.share + frame_s / lasts_s).min(1.0);
            playing.runs = playing.share < 1.0;
            ctx.request_repaint();
        }
    }

    /// Lays out the panels and the drawing.
    pub fn ui(&mut self, ui: &mut Ui) {
        panels::speak(ui.ctx(), self.outlook.voice);
        // The window is cleared to the colour of panels: to paint it again is most of what a frame without a card costs.
        let frame = Frame::NONE.inner_margin(Margin::symmetric(8, 4));
        Panel::top("menu")
            .frame(frame)
            .show(ui, |ui| panels::menu(ui, &self.session, &self.outlook, &mut self.actions));
        let status = Frame::NONE.inner_margin(Margin::symmetric(8, 2));
        Panel::bottom("status").frame(status).show(ui, |ui| {
            let pointer = OnDrawing { at: self.canvas.at, snapped: self.canvas.snapped(), joint: self.canvas.joint() };
            let pointer = self.shows_drawing().then_some(&pointer);
            panels::status(ui, &self.session, &self.outlook, pointer, &mut self.actions);
        });
        match self.outlook.aspect {
            Aspect::TakeOff | Aspect::Sheet => self.hand_over_ui(ui, frame),
            _ => self.drawing_ui(ui, frame.inner_margin(Margin::symmetric(8, 8))),
        }
        self.windows_over_all(ui.ctx());
        self.was_typing = ui.ctx().text_edit_focused();
    }

    /// Whether the drawing that can be changed is in view.
    pub(super) const fn shows_drawing(&self) -> bool {
        match self.outlook.aspect {
            Aspect::SetOut | Aspect::Flow | Aspect::Warmth | Aspect::Timber => true,
            Aspect::Lesson => !self.lessons.has_drawing(),
            Aspect::TakeOff | Aspect::Sheet => false,
        }
    }

    /// The drawing, and the panels at its sides.
    fn drawing_ui(&mut self, ui: &mut Ui, side: Frame) {
        let [left, right] = side_panels::allowed(ui.available_width(), self.outlook.settings.panel_widths);
        let [held_left, held_right, _] = &mut self.held_to;
        let_out(ui, side_panels::LEFT, held_left, left.range.max, |size| size.x);
        let_out(ui, side_panels::RIGHT, held_right, right.range.max, |size| size.x);
        let widths = side_panels::widths(ui);
        let is_lesson = self.outlook.aspect == Aspect::Lesson;
        if is_lesson {
            let width = (ui.available_width() * LESSON_SHARE).clamp(right.range.min, LESSON_MOST);
            let range = right.range.min..=LESSON_MOST;
            Panel::right("lesson").frame(side).default_size(width).size_range(range).show(ui, |ui| {
                panels::lesson(ui, &mut self.lessons, &self.session, self.outlook.voice, &mut self.actions);
            });
            if self.lessons.has_drawing() {
                CentralPanel::no_frame().show(ui, |ui| self.lessons.drawing(ui));
                return;
            }
        }
        if self.telling.looks_anew(&self.session, &self.outlook) {
            self.particulars.ask_for(&self.telling.found().fields);
        }
        let has_panels = self.outlook.settings.side_panels == SidePanels::Shown;
        if has_panels {
            Panel::left(side_panels::LEFT)
                .frame(side)
                .default_size(left.usual)
                .size_range(left.range)
                .show(ui, |ui| self.setting_out_ui(ui));
        }
        if has_panels && !is_lesson {
            Panel::right(side_panels::RIGHT)
                .frame(side)
                .default_size(right.usual)
                .size_range(right.range)
                .show(ui, |ui| self.judging_ui(ui));
        }
        side_panels::note_drawn(ui, widths, &mut self.outlook.settings.panel_widths);
        CentralPanel::no_frame().show(ui, |ui| {
            let Self { session, outlook, canvas, actions, flowing, mending, .. } = self;
            let played = match outlook.aspect {
                Aspect::Flow => flowing.found(session, &outlook.flow).played.as_ref(),
                _ => None,
            };
            canvas.show_ghost(mending.ghost());
            canvas.ui(ui, session, outlook, played.and_then(|played| played.as_ref().ok()), actions);
        });
    }

    /// Stores need so much and no more; Particulars have the rest.
    fn setting_out_ui(&mut self, ui: &mut Ui) {
        let most = (ui.available_height() - LEAST_PARTICULARS).max(120.0);
        let_out(ui, "stores", &mut self.held_to[2], most, |size| size.y);
        let room = Frame::NONE.inner_margin(Margin { bottom: 8, ..Margin::ZERO });
        Panel::top("stores")
            .frame(room)
            .resizable(true)
            .default_size(USUAL_STORES.min(most))
            .size_range(120.0..=most)
            .show(ui, |ui| self.stores.ui(ui, &self.outlook, &mut self.actions));
        ui.add_space(8.0);
        // A place of fixed size: what is too wide for it must not widen the panel around it.
        let rest = ui.available_rect_before_wrap();
        let mut below = ui.new_child(UiBuilder::new().max_rect(rest));
        self.particulars.ui(&mut below, &self.session, &self.outlook, &mut self.actions);
        ui.advance_cursor_after_rect(rest);
    }

    /// What the view tells of the drawing.
    fn judging_ui(&mut self, ui: &mut Ui) {
        let Self { session, outlook, actions, .. } = self;
        match outlook.aspect {
            Aspect::SetOut | Aspect::TakeOff | Aspect::Lesson | Aspect::Sheet => {}
            Aspect::Flow => {
                let found = self.flowing.found(session, &outlook.flow);
                return panels::flow(ui, session.layout(), found, outlook, actions);
            }
            Aspect::Warmth => return self.warmth.ui(ui, session, self.warming.found(session), outlook, actions),
            Aspect::Timber => return panels::timber(ui, session, self.bearing.found(session), outlook.voice),
        }
        if let Some(look) = &outlook.mend {
            return panels::mend(ui, session, outlook, &self.mending, look, actions);
        }
        if outlook.chosen.is_some() {
            let below = Frame::NONE.inner_margin(Margin { top: 8, ..Margin::ZERO });
            let half = (ui.available_height() * 0.48).max(160.0);
            Panel::bottom("working")
                .frame(below)
                .resizable(true)
                .default_size(half)
                .size_range(120.0..=900.0)
                .show(ui, |ui| panels::working(ui, session, outlook, self.telling.found(), actions));
        }
        self.findings.ui(ui, session, outlook, actions);
    }

    /// Questions and the tour; and another frame where something was asked for.
    fn windows_over_all(&mut self, ctx: &Context) {
        if let Some(dialog) = &mut self.dialog
            && let Some(answer) = dialog.ui(ctx, &self.session, &self.outlook)
        {
            self.answered(ctx, answer);
        }
        self.show_tour(ctx);
        if !self.actions.is_empty() {
            ctx.request_repaint();
        }
    }

    /// A press beside a text field ends its typing before anything else happens.
    fn leave_field_that_was_clicked_away_from(&self, ctx: &Context) {
        if !ctx.text_edit_focused() || !ctx.input(|input| input.pointer.any_pressed()) {
            return;
        }
        let focused = ctx.memory(egui::Memory::focused);
        let at = ctx.input(|input| input.pointer.interact_pos());
        if let (Some(id), Some(at)) = (focused, at)
            && ctx.read_response(id).is_some_and(|field| !field.rect.contains(at))
        {
            ctx.memory_mut(|memory| memory.surrender_focus(id));
        }
    }

    /// The window's close button.
    fn hear_window(&mut self, ctx: &Context) {
        if ctx.input(|input| input.viewport().close_requested()) && self.session.is_dirty() && !self.may_close {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            self.close_dialog();
            self.dialog = Some(Dialog::Unsaved(Then::Quit));
        }
    }

    fn hear_keys(&mut self, ctx: &Context) {
        if self.dialog.is_some() || egui::Popup::is_any_open(ctx) {
            return;
        }
        self.hear_clipboard(ctx);
        // Digits and letters are the length of the next stretch while a run is drawn.
        let drawing = self.canvas.takes_typing();
        // Before it is begun, digits are the place where it begins.
        let begins = self.shows_drawing() && matches!(self.outlook.tool, Tool::Pipe(_));
        // Esc has taken the keyboard from a field by now: it leaves the field, and nothing else with it.
        let leaves_field = self.was_typing && !drawing && ctx.input(|input| input.key_pressed(Key::Escape));
        let typing = ctx.text_edit_focused() || leaves_field;
        for (command, shortcut) in shortcuts() {
            let is_of_text =
                shortcut.modifiers.is_none() || matches!(command, Command::Undo | Command::Redo | Command::Arrange(_));
            let is_of_place = begins && begins_a_place(shortcut.logical_key);
            let is_text = (drawing || is_of_place) && shortcut.modifiers.is_none() && command != Command::Escape;
            let text_takes_it = is_text || (typing && is_of_text);
            if !text_takes_it && ctx.input_mut(|input| input.consume_shortcut(&shortcut)) {
                self.actions.push(Action::Command(command));
            }
        }
    }

    fn end_burst(&mut self, ctx: &Context) {
        let Some(burst) = &self.burst else { return };
        let since = ctx.input(|input| input.time) - burst.at;
        let further = self.actions.iter().any(|action| matches!(action, Action::Nudge(_)));
        let moved = ctx.input(|input| input.events.iter().any(|event| matches!(event, Event::PointerButton { .. })));
        if !further && (since >= BURST.as_secs_f64() || moved) {
            self.finish_burst();
        } else {
            ctx.request_repaint_after(BURST);
        }
    }

    /// A part that was undone away cannot stay selected.
    fn forget_what_is_gone(&mut self) {
        if self.outlook.selected.as_ref().is_some_and(|id| self.session.layout().part(id).is_none()) {
            self.outlook.selected = None;
        }
        let layout = self.session.layout();
        self.outlook.also.retain(|id| layout.part(id).is_some());
        if self.outlook.selected.is_none() && !self.outlook.also.is_empty() {
            self.outlook.selected = Some(self.outlook.also.remove(0));
        }
        let is_fitted = |number: usize| {
            let run = self.outlook.selected.as_ref().and_then(|id| layout.runs.iter().find(|run| run.id == *id));
            run.and_then(|run| run.fittings.as_ref()).is_some_and(|fittings| number < fittings.len())
        };
        self.outlook.fitting = self.outlook.fitting.filter(|number| is_fitted(*number));
        if self.outlook.piece.is_some_and(|piece| self.session.layout().building.extent(piece).is_none()) {
            self.outlook.piece = None;
        }
        let stands =
            |wanted: &crate::finding::FindingKey| self.session.findings().keyed().any(|(key, _)| key == *wanted);
        let gone = match self.outlook.mend.as_ref().map(|look| &look.scope) {
            Some(Scope::Parts(ids)) => ids.iter().any(|id| self.session.layout().part(id).is_none()),
            Some(Scope::Finding(key)) => !stands(key),
            Some(Scope::All) | None => false,
        };
        if gone {
            self.outlook.mend = None;
        }
        if self.outlook.chosen.as_ref().is_some_and(|key| !stands(key)) {
            self.outlook.chosen = None;
        }
    }

    fn show_title(&mut self, ctx: &Context) {
        let name = self.session.file_name().unwrap_or_else(|| "not saved yet".to_owned());
        let marker = if self.session.is_dirty() { panels::NOT_SAVED } else { "" };
        let title = format!("{marker}{name} — Loftwright");
        if title != self.title {
            ctx.send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }
}

impl eframe::App for Desk {
    fn logic(&mut self, ctx: &Context, _frame: &mut eframe::Frame) {
        Self::logic(self, ctx);
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        Self::ui(self, ui);
    }

    fn raw_input_hook(&mut self, ctx: &Context, raw_input: &mut egui::RawInput) {
        self.letters.keep_small(ctx.zoom_factor(), raw_input);
    }

    fn clear_color(&self, visuals: &Visuals) -> [f32; 4] {
        visuals.panel_fill.to_normalized_gamma_f32()
    }
}
