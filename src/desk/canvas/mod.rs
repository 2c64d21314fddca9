//! The drawing: the section in side elevation, where parts are placed, moved, joined and marked.

mod along;
mod anchor;
mod band;
mod closing;
mod drawing;
mod gaps;
mod hit;
mod hold;
mod in_hand;
mod joint;
mod keys;
mod paint;
mod parts;
mod pick;
mod pieces;
mod pointer;
mod resting;
mod sheet;
mod snap;
mod staff;
mod stretch;
mod tape;
mod typing;
mod view;

use std::rc::Rc;

use egui::{Rect, Response, Sense, Ui, pos2};
use glam::DVec2;

pub use drawing::usual_fall;
pub use in_hand::Unbent;
pub use paint::badge;
pub use parts::name;
pub use typing::begins_a_place;
pub use view::View;

use self::along::Wrapping;
use self::band::Band;
use self::drawing::{Angles, Drawing};
use self::hit::Lines;
use self::hold::Hold;
use self::paint::{Brush, Target};
use self::sheet::{LitFrom, Sheet};
use self::snap::{SnapMarks, Snapping};
use self::tape::Tape;
use self::typing::Typing;
use super::latest::Latest;
use super::mending::Ghost;
use super::moves::Moves;
use super::theme::Palette;
use super::{Action, Outlook, Tool};
use crate::finding::FindingKey;
use crate::layout::{Id, Layout, OutletKind, PartRef, Traces};
use crate::session::Session;
use crate::water::trial::Played;

/// A layout with nothing in it is shown as if it held a house of this size, mm.
const BLANK_HOUSE_MM: (DVec2, DVec2) = (DVec2::new(-600.0, -400.0), DVec2::new(7600.0, 6000.0));

/// How much nearer one step of zoom goes.
const ZOOM_STEP: f64 = 1.25;
/// How strongly marks are painted while something is being placed or drawn.
const MARKS_BEHIND_TOOL: f32 = 0.3;

/// What pointer and keys may do to what is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Touch {
    /// They change it.
    #[default]
    Changes,
    /// They select, and move the view over it.
    LooksOnly,
}

/// The canvas: where it looks, and what the pointer is doing.
#[derive(Default)]
pub struct Canvas {
    /// Whether what is drawn may be changed on it.
    pub touch: Touch,
    /// Where the section lies on the screen.
    pub view: View,
    /// Everything is to be brought into view.
    pub fit_wanted: bool,
    /// A place is to be brought into view.
    pub show_wanted: Option<DVec2>,
    /// What lies within a box of the section is to fill the view, but for what is needed to see where it is.
    pub near_wanted: Option<(DVec2, DVec2)>,
    /// The section point under the pointer or the keyboard's cross.
    pub at: Option<DVec2>,
    /// To what the tool in hand has snapped.
    snapped: String,
    /// What the pipe in hand would join.
    joint: String,
    sheet: Sheet,
    targets: Vec<(Target, FindingKey)>,
    /// The finding whose mark was pointed at last.
    lit_here: Option<FindingKey>,
    hold: Option<Hold>,
    /// What the last drag or arrow keys have moved.
    pub(in crate::desk) moves: Moves,
    drawing: Option<Drawing>,
    /// What is typed of the run that is drawn.
    typing: Typing,
    /// Length and fall of the stretch to the pointer.
    live: String,
    /// The box that is drawn to select what lies in it.
    band: Option<Band>,
    wrapping: Option<Wrapping>,
    tape: Tape,
    /// The cross that arrow keys move while a tool is in hand.
    cross: Option<DVec2>,
    /// What there is to snap to, for a revision of the layout and an outlet that is placed.
    snaps: Latest<(u64, Option<OutletKind>), SnapMarks>,
    /// Where the runs of a revision run.
    traces: Latest<u64, Rc<Traces>>,
    /// Where it looked in the frame before.
    seen: Option<View>,
    /// The box around everything that is drawn, for a revision of the layout.
    bounds: Latest<u64, (DVec2, DVec2)>,
    /// The size of the window for which everything was fitted; none once somebody has looked elsewhere.
    fitted_for: Option<egui::Vec2>,
    fitted_once: bool,
}

/// What the pointer and the keys held with it tell about this frame, and what they are pointed at.
struct Pointing<'a> {
    session: &'a Session,
    outlook: &'a Outlook,
    lines: Lines<'a>,
    response: Response,
    at: Option<DVec2>,
    snapping: Snapping,
    angles: Angles,
    panning: bool,
}

impl Pointing<'_> {
    /// Whether what is pointed at is added to what is there: Shift is held.
    fn adds(&self) -> bool {
        self.angles == Angles::Free
    }
}

impl Canvas {
    /// A canvas on which so much may be done.
    #[must_use]
    pub fn with(touch: Touch) -> Self {
        Self { touch, ..Self::default() }
    }

    /// Shows the drawing, and asks for what the pointer and the keys want done.
    pub fn ui(
        &mut self,
        ui: &mut Ui,
        session: &Session,
        outlook: &Outlook,
        played: Option<&Played>,
        actions: &mut Vec<Action>,
    ) {
        let before = (self.at, self.snapped.clone());
        let joint_before = std::mem::take(&mut self.joint);
        self.snapped.clear();
        let palette = Palette::of(ui.visuals());
        let whole = ui.available_rect_before_wrap();
        let staff = Rect::from_min_max(whole.min, pos2(whole.left() + staff::WIDTH, whole.bottom()));
        self.view.rect = Rect::from_min_max(pos2(staff.right(), whole.top()), whole.max);
        self.settle_view(session);
        let response = ui.interact(self.view.rect, ui.scope_id().with("sheet"), Sense::click_and_drag());
        response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Canvas, true, "Section drawing"));
        if session.layout() == &Layout::default() {
            let words = parts::blank_sheet_words(ui.ctx());
            ui.ctx().accesskit_node_builder(response.id, |node| node.set_description(words));
        }
        ui.advance_cursor_after_rect(whole);
        let pointing = self.navigate(ui, response, session, outlook);
        self.forget_what_is_stale(session, outlook);
        parts::widgets(ui, &self.view, &pointing, actions);
        self.keys(ui, &pointing, actions);
        if self.seen != Some(self.view) {
            self.keep_something_in_view(session);
            self.seen = Some(self.view);
        }
        self.point(ui, &pointing, actions);
        self.sheet.show_trial(outlook, played);
        self.paint(ui, &pointing, palette);
        self.type_ui(ui, &pointing, actions);
        staff::paint(&ui.painter_at(staff), staff, &self.view, palette, self.at.map(|at| at.y));
        if pointing.response.has_focus() && (self.cross.is_some() || self.at.is_none()) {
            let edge = egui::Stroke::new(2.0, palette.select);
            ui.painter().rect_stroke(self.view.rect, 0.0, edge, egui::StrokeKind::Inside);
        }
        let comes_to_joint = self.joint != joint_before && !self.joint.is_empty();
        if comes_to_joint && !outlook.said.is_empty() {
            // What was said before would hide it.
            actions.push(Action::Say(String::new()));
        }
        if before != (self.at, self.snapped.clone()) || self.joint != joint_before {
            // The status line was painted before the pointer was looked at.
            ui.ctx().request_repaint();
        }
    }

    /// Where on the section the button went down that is held.
    fn pressed_at(&self, ui: &Ui) -> Option<DVec2> {
        let origin = ui.input(|input| input.pointer.press_origin());
        origin.map(|origin| self.view.section_from_screen(origin))
    }

    /// Lets the drawing show what would change, or no longer.
    pub fn show_ghost(&mut self, ghost: Option<&Ghost>) {
        self.sheet.show_ghost(ghost);
    }

    /// To what the tool in hand has snapped, in words; empty when to nothing.
    #[must_use]
    pub fn snapped(&self) -> &str {
        &self.snapped
    }

    /// What the pipe in hand would join, in words; empty when nothing.
    #[must_use]
    pub fn joint(&self) -> &str {
        &self.joint
    }

    /// Whether something is under way that Esc would give up.
    #[must_use]
    pub const fn is_busy(&self) -> bool {
        let drawing = self.drawing.is_some() || self.hold.is_some() || self.wrapping.is_some();
        drawing || self.band.is_some() || self.tape.is_held()
    }

    /// Gives up what is under way.
    pub fn give_up(&mut self) {
        self.drawing = None;
        self.hold = None;
        self.band = None;
        self.wrapping = None;
        self.tape = Tape::default();
        self.typing.clear();
    }

    /// Another layout has been taken up: nothing that was drawn or gathered from the last one holds.
    pub fn forget_layout(&mut self) {
        self.sheet = Sheet::default();
        (self.snaps, self.bounds) = (Latest::default(), Latest::default());
        self.targets.clear();
    }

    /// The change that puts a bend into a run, where the pointer is or midway along its longest stretch.
    #[must_use]
    pub fn added_bend(&self, layout: &Layout, run: &Id) -> Option<Action> {
        let reach_mm = f64::from(pick::REACH) * self.view.mm_per_point;
        pick::insert_bend(layout, run, pick::place_of_bend(layout, run, self.at, reach_mm)?)
    }

    /// Takes a step nearer to what is in the middle.
    pub fn zoom_in(&mut self) {
        self.zoom(ZOOM_STEP);
    }

    /// Takes a step farther from what is in the middle.
    pub fn zoom_out(&mut self) {
        self.zoom(1.0 / ZOOM_STEP);
    }

    fn zoom(&mut self, factor: f64) {
        let middle = self.view.rect.center();
        self.view.zoom_about(middle, factor);
        self.fitted_for = None;
    }

    fn settle_view(&mut self, session: &Session) {
        let resized = self.fitted_for.is_some_and(|size| size != self.view.rect.size());
        if self.fit_wanted || resized || !self.fitted_once {
            let (low, high) = Sheet::bounds(session).unwrap_or(BLANK_HOUSE_MM);
            self.view.fit(low, high);
            self.fit_wanted = false;
            self.fitted_for = Some(self.view.rect.size());
            self.fitted_once = true;
        }
        if let Some((low, high)) = self.near_wanted.take() {
            self.view.fit_near(low, high);
            self.fitted_for = None;
        }
        if let Some(place) = self.show_wanted.take()
            && !self.view.shows(place)
        {
            self.view.centre = place;
            self.fitted_for = None;
        }
    }

    /// Lets nobody move so far away that nothing of the drawing is left to be seen.
    fn keep_something_in_view(&mut self, session: &Session) {
        let bounds = || Sheet::bounds(session).unwrap_or(BLANK_HOUSE_MM);
        let (low, high) = *self.bounds.to(session.revision(), bounds);
        self.view.keep_in_view(low, high);
    }

    /// A run begun on a part that has since gone, or with a tool that was put down, is given up.
    fn forget_what_is_stale(&mut self, session: &Session, outlook: &Outlook) {
        if !matches!(outlook.tool, Tool::Pipe(_)) {
            self.drawing = None;
        }
        if outlook.tool == Tool::Pick {
            self.cross = None;
        }
        let gone = |drawing: &Drawing| drawing.start.on().is_some_and(|id| session.layout().part(id).is_none());
        if self.drawing.as_ref().is_some_and(gone) {
            self.drawing = None;
        }
    }

    /// Pan and zoom, and where the pointer is.
    fn navigate<'a>(
        &mut self,
        ui: &Ui,
        response: Response,
        session: &'a Session,
        outlook: &'a Outlook,
    ) -> Pointing<'a> {
        let held = ui.input(|input| input.key_down(egui::Key::Space)) && !ui.ctx().text_edit_focused();
        let panning = response.dragged_by(egui::PointerButton::Middle) || (held && response.dragged());
        if panning {
            self.view.pan(response.drag_delta());
            self.fitted_for = None;
        }
        if response.contains_pointer() && self.hold.is_none() {
            let (scroll, zoom) = ui.input(|input| (input.smooth_scroll_delta(), input.zoom_delta()));
            if let Some(at) = ui.ctx().pointer_hover_pos().filter(|_| (zoom - 1.0).abs() > 1e-4) {
                self.view.zoom_about(at, f64::from(zoom));
                self.fitted_for = None;
            } else if scroll != egui::Vec2::ZERO {
                self.view.pan(scroll);
                self.fitted_for = None;
            }
        }
        let inside = response.contains_pointer() || response.is_pointer_button_down_on();
        let pointer = ui.ctx().pointer_latest_pos().filter(|_| inside);
        if ui.input(|input| input.pointer.is_moving()) && pointer.is_some() {
            self.cross = None;
        }
        let at = self.cross.or_else(|| pointer.map(|pointer| self.view.section_from_screen(pointer)));
        self.at = at;
        let modifiers = ui.input(|input| input.modifiers);
        let traces = self.traces.to(session.revision(), || Rc::new(Traces::of(session.layout())));
        Pointing {
            session,
            outlook,
            lines: Lines::along(session.layout(), Rc::clone(traces)),
            at,
            snapping: if modifiers.alt { Snapping::Suspended } else { Snapping::On },
            angles: if modifiers.shift { Angles::Free } else { Angles::Square },
            panning,
            response,
        }
    }

    /// What there is to snap to in the layout as it stands, for an outlet that is placed or for anything else.
    fn snaps(&mut self, session: &Session, outlet: Option<OutletKind>) -> &SnapMarks {
        self.snaps.to((session.revision(), outlet), || {
            let marks = SnapMarks::of(session.layout(), &[]);
            outlet.into_iter().fold(marks, SnapMarks::for_outlet)
        })
    }

    fn paint(&mut self, ui: &Ui, pointing: &Pointing<'_>, palette: Palette) {
        let Pointing { session, outlook, .. } = *pointing;
        let painter = ui.painter_at(self.view.rect);
        painter.rect_filled(self.view.rect, 0.0, palette.paper);
        let mut brush = Brush::new(&painter, &self.view, palette);
        brush.lit = outlook.lit.as_ref();
        if outlook.tool != Tool::Pick {
            brush.marks_opacity = MARKS_BEHIND_TOOL;
        }
        let from = if pointing.response.hovered() { LitFrom::Drawing } else { LitFrom::List };
        brush.strokes(self.sheet.strokes(session, outlook, &self.view, from));
        if self.sheet.is_in_motion() && !session.in_gesture() {
            ui.ctx().request_repaint();
        }
        self.targets = std::mem::take(&mut brush.targets);
        paint::tell_leaders(&mut self.targets, self.sheet.leaders(), &self.view);
        let mut brush = Brush::new(&painter, &self.view, palette);
        brush.only_in = Some(palette.guide);
        brush.strokes(self.sheet.ghosts(session, outlook, &self.view));
        parts::outline_selected(&painter, &self.view, pointing, palette);
        if let Some(piece) = outlook.piece {
            pieces::outline(&painter, &self.view, session.layout(), piece, palette);
        }
        self.paint_tool(&painter, pointing, palette);
        // A tool in hand has words of its own at the pointer.
        let small = || sheet::words_of_small(session, outlook).filter(|_| outlook.tool == Tool::Pick);
        if let (LitFrom::Drawing, Some(at), Some(words)) = (from, self.at, small()) {
            paint::beside(&painter, &self.view, at, &words, palette);
        }
        let building = &session.layout().building;
        // One wall has no other side to which floors could reach, and pipes and notes stand on none.
        let holds_no_floor = |part: PartRef<'_>| matches!(part, PartRef::Run(_) | PartRef::Note(_));
        if session.layout().parts().all(holds_no_floor) && building.walls.len() < 2 && building.roof.is_none() {
            parts::levels(&painter, &self.view, session, palette);
            if outlook.tool == Tool::Pick && session.layout().building == crate::layout::Building::default() {
                parts::write_on_blank_sheet(&painter, self.view.rect, palette);
            }
        }
    }
}
