//! The window as a whole: carries out what was asked, then lays out panels and drawing.

use egui::{CentralPanel, Context, Frame, Margin, Panel, Ui, Visuals};

use super::action::Action;
use super::canvas::{Canvas, Touch};
use super::front::Front;
use super::habits::Habits;
use super::handing::HandedOver;
use super::lessons::Lessons;
use super::mending::Mending;
use super::panels::{self, OnDrawing};
use super::side_panels::{self, Allowed, Beside};
use super::views::Views;
use super::window::Window;
use super::work::Work;
use super::{Aspect, Outlook};
use crate::rules::Voice;
use crate::session::Session;
use crate::session::settings::SidePanels;

/// A trial is played in so long, s, whatever time it tells of; more slowly before a class.
const PLAYED_IN_S: f64 = 15.0;
const TAUGHT_IN_S: f64 = 45.0;

/// The lesson's panel takes this share of the window, and so many points at most: its words are read from afar.
const LESSON_SHARE: f32 = 0.32;
const LESSON_MOST: f32 = 520.0;

/// The window's state. Each part has its methods beside it, and takes of the others what it needs.
pub struct Desk {
    /// The open layout, and what is under way with it.
    pub(super) work: Work,
    /// How it is looked at.
    pub(super) outlook: Outlook,
    /// Where it is drawn.
    pub(super) canvas: Canvas,
    /// The panels beside the drawing.
    pub(super) beside: Beside,
    /// What the views tell of it.
    pub(super) views: Views,
    /// What stands in front of the drawing.
    pub(super) front: Front,
    /// What is handed over of it.
    pub(super) handed: HandedOver,
    /// The lesson under way.
    pub(super) lessons: Lessons,
    /// What is remembered from one start of the window to the next.
    pub(super) habits: Habits,
    /// What is remembered of the window itself.
    pub(super) window: Window,
    /// What was asked for in this frame, and is done before the next.
    pub(super) actions: Vec<Action>,
}

impl Desk {
    /// The window on a layout.
    #[must_use]
    pub fn new(session: Session) -> Self {
        Self {
            work: Work::on(session),
            outlook: Outlook::default(),
            canvas: Canvas::default(),
            beside: Beside::default(),
            views: Views::default(),
            front: Front::default(),
            handed: HandedOver::default(),
            lessons: Lessons::default(),
            habits: Habits::default(),
            window: Window::default(),
            actions: Vec::new(),
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
        &self.work.session
    }

    /// How it is looked at.
    #[must_use]
    pub const fn outlook(&self) -> &Outlook {
        &self.outlook
    }

    /// What came of mending, while it is looked at.
    #[must_use]
    pub const fn mending(&self) -> &Mending {
        &self.views.mending
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
        self.hear(ctx);
        for action in std::mem::take(&mut self.actions) {
            self.carry_out(ctx, action);
        }
        self.hear_export();
        self.outlook.forget_what_is_gone(&self.work.session);
        self.views.mending.tend(ctx, &self.work.session, self.outlook.mend.as_ref());
        self.keep_habits(ctx);
        self.window.show_title(ctx, &self.work.session);
        self.keep_unsaved_work(ctx);
        self.play_on(ctx);
        if self.outlook.aspect == Aspect::Lesson {
            self.lessons.tick(ctx);
        }
    }

    /// Keeps what has been done since the last frame, and says so where it cannot be kept.
    fn keep_unsaved_work(&mut self, ctx: &Context) {
        // What was let go on the way out must not be offered the next time as if the program had failed.
        if !self.window.may_close
            && let Some(trouble) = self.work.keep(ctx)
        {
            self.outlook.said = trouble;
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
        let shows_drawing = self.shows_drawing();
        let Self { work: Work { session, .. }, outlook, canvas, handed, actions, .. } = self;
        // The window is cleared to the colour of panels: to paint it again is most of what a frame without a card costs.
        let frame = Frame::NONE.inner_margin(Margin::symmetric(8, 4));
        Panel::top("menu").frame(frame).show(ui, |ui| panels::menu(ui, session, outlook, actions));
        let status = Frame::NONE.inner_margin(Margin::symmetric(8, 2));
        Panel::bottom("status").frame(status).show(ui, |ui| {
            let pointer = OnDrawing { at: canvas.at, snapped: canvas.snapped(), joint: canvas.joint() };
            panels::status(ui, session, outlook, shows_drawing.then_some(&pointer), actions);
        });
        match outlook.aspect {
            Aspect::TakeOff | Aspect::Sheet => handed.ui(ui, frame, session, outlook, actions),
            _ => self.drawing_ui(ui, frame.inner_margin(Margin::symmetric(8, 8))),
        }
        self.front_ui(ui.ctx());
        self.window.was_typing = ui.ctx().text_edit_focused();
    }

    /// Whether the drawing that can be changed is in view.
    pub(super) const fn shows_drawing(&self) -> bool {
        match self.outlook.aspect {
            Aspect::SetOut | Aspect::Flow | Aspect::Warmth | Aspect::Timber => true,
            Aspect::TakeOff | Aspect::Lesson | Aspect::Sheet => false,
        }
    }

    /// The drawing, and the panels at its sides.
    fn drawing_ui(&mut self, ui: &mut Ui, side: Frame) {
        let allowed = side_panels::allowed(ui.available_width(), self.outlook.settings.panel_widths);
        self.beside.let_out(ui, &allowed);
        let widths = side_panels::widths(ui);
        let is_lesson = self.outlook.aspect == Aspect::Lesson;
        if is_lesson {
            self.lesson_ui(ui, side, &allowed[1]);
            if self.lessons.has_drawing() {
                CentralPanel::no_frame().show(ui, |ui| self.lessons.drawing(ui));
                return;
            }
        }
        let Self { work: Work { session, .. }, outlook, canvas, beside, views, actions, .. } = self;
        if views.telling.looks_anew(session, outlook) {
            beside.particulars.ask_for(&views.telling.found().fields);
        }
        let has_panels = outlook.settings.side_panels == SidePanels::Shown && !is_lesson;
        if has_panels {
            let panel = side_panels::left(&allowed).frame(side);
            panel.show(ui, |ui| beside.setting_out_ui(ui, session, outlook, actions));
            let panel = side_panels::right(&allowed).frame(side);
            panel.show(ui, |ui| beside.judging_ui(ui, session, outlook, views, actions));
        }
        side_panels::note_drawn(ui, widths, &mut outlook.settings.panel_widths);
        CentralPanel::no_frame().show(ui, |ui| {
            canvas.show_ghost(views.mending.ghost());
            canvas.touch = if is_lesson { Touch::LooksOnly } else { Touch::Changes };
            let played = match outlook.aspect {
                Aspect::Flow => views.flow(session, &outlook.flow).played.as_ref(),
                _ => None,
            };
            // What is to be found in a lesson is not shown beforehand.
            let bare = is_lesson.then(|| Outlook { chosen: None, lit: None, ..outlook.clone() });
            let looked_at = bare.as_ref().unwrap_or(outlook);
            canvas.ui(ui, session, looked_at, played.and_then(|played| played.as_ref().ok()), actions);
        });
    }

    /// The panel of a lesson.
    fn lesson_ui(&mut self, ui: &mut Ui, side: Frame, allowed: &Allowed) {
        let width = (ui.available_width() * LESSON_SHARE).clamp(allowed.range.min, LESSON_MOST);
        let range = allowed.range.min..=LESSON_MOST;
        Panel::right("lesson").frame(side).default_size(width).size_range(range).show(ui, |ui| {
            panels::lesson(ui, &mut self.lessons, &self.work.session, self.outlook.voice, &mut self.actions);
        });
    }

    /// Questions and the tour; and another frame where something was asked for.
    fn front_ui(&mut self, ctx: &Context) {
        if let Some(answer) = self.front.dialog_ui(ctx, &self.work.session, &self.outlook) {
            self.answered(ctx, answer);
        }
        self.front.tour_ui(ctx, &mut self.outlook, &mut self.actions);
        if !self.actions.is_empty() {
            ctx.request_repaint();
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
        self.window.before_frame(ctx, raw_input);
    }

    fn clear_color(&self, visuals: &Visuals) -> [f32; 4] {
        visuals.panel_fill.to_normalized_gamma_f32()
    }
}
