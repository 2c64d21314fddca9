//! The panels beside the drawing: what stands in them, how wide they may be, and how wide they have been drawn.

use egui::containers::panel::PanelState;
use egui::{Frame, Margin, Panel, Rangef, Ui, UiBuilder, Vec2};

use super::panels::{self, FindingsList, Particulars, Stores, WarmthPanel};
use super::views::Views;
use super::{Action, Aspect, Outlook};
use crate::session::Session;
use crate::session::settings::PanelWidths;

/// The names of the left and the right panel, and of the upper half of the left one.
const LEFT: &str = "setting out";
const RIGHT: &str = "judging";
const STORES: &str = "stores";

/// So high are Stores with everything in view, in points.
const USUAL_STORES: f32 = 470.0;
/// Stores leave at least so much to Particulars, in points.
const LEAST_PARTICULARS: f32 = 300.0;

/// What is typed, folded and held in the panels beside the drawing.
pub struct Beside {
    stores: Stores,
    /// The numbers of what is selected.
    pub particulars: Particulars,
    findings: FindingsList,
    warmth: WarmthPanel,
    /// How much the left and right panels and Stores could take in the last frame, points.
    held_to: [f32; 3],
}

impl Default for Beside {
    fn default() -> Self {
        Self {
            stores: Stores::default(),
            particulars: Particulars::default(),
            findings: FindingsList::default(),
            warmth: WarmthPanel::default(),
            held_to: [f32::INFINITY; 3],
        }
    }
}

impl Beside {
    /// Another layout is open: what was typed and not taken belongs to the last one.
    pub fn forget_layout(&mut self) {
        (self.particulars, self.warmth) = (Particulars::default(), WarmthPanel::default());
    }

    /// Gives the left and right panels their usual widths again, where a smaller window held them to less.
    pub fn let_out(&mut self, ui: &Ui, [left, right]: &[Allowed; 2]) {
        let [held_left, held_right, _] = &mut self.held_to;
        let_out(ui, LEFT, held_left, left.range.max, |size| size.x);
        let_out(ui, RIGHT, held_right, right.range.max, |size| size.x);
    }

    /// Where the layout is set out: Stores need so much and no more; Particulars have the rest.
    pub fn setting_out_ui(&mut self, ui: &mut Ui, session: &Session, outlook: &Outlook, actions: &mut Vec<Action>) {
        let most = (ui.available_height() - LEAST_PARTICULARS).max(120.0);
        let_out(ui, STORES, &mut self.held_to[2], most, |size| size.y);
        let room = Frame::NONE.inner_margin(Margin { bottom: 8, ..Margin::ZERO });
        Panel::top(STORES)
            .frame(room)
            .resizable(true)
            .default_size(USUAL_STORES.min(most))
            .size_range(120.0..=most)
            .show(ui, |ui| self.stores.ui(ui, outlook, actions));
        ui.add_space(8.0);
        // A place of fixed size: what is too wide for it must not widen the panel around it.
        let rest = ui.available_rect_before_wrap();
        let mut below = ui.new_child(UiBuilder::new().max_rect(rest));
        self.particulars.ui(&mut below, session, outlook, actions);
        ui.advance_cursor_after_rect(rest);
    }

    /// What the view tells of the drawing.
    pub fn judging_ui(
        &mut self,
        ui: &mut Ui,
        session: &Session,
        outlook: &Outlook,
        views: &mut Views,
        actions: &mut Vec<Action>,
    ) {
        match outlook.aspect {
            Aspect::Flow => panels::flow(ui, session.layout(), views.flow(session, &outlook.flow), outlook, actions),
            Aspect::Warmth => self.warmth.ui(ui, session, views.warmth(session), outlook, actions),
            Aspect::Timber => panels::timber(ui, session, views.timber(session), outlook.voice),
            Aspect::SetOut | Aspect::TakeOff | Aspect::Lesson | Aspect::Sheet => {
                self.findings_or_mending(ui, session, outlook, views, actions);
            }
        }
    }

    /// The findings, with the working of the chosen one below; in their place what would put them right, once that is asked.
    fn findings_or_mending(
        &mut self,
        ui: &mut Ui,
        session: &Session,
        outlook: &Outlook,
        views: &Views,
        actions: &mut Vec<Action>,
    ) {
        if let Some(look) = &outlook.mend {
            return panels::mend(ui, session, outlook, &views.mending, look, actions);
        }
        if outlook.chosen.is_some() {
            let below = Frame::NONE.inner_margin(Margin { top: 8, ..Margin::ZERO });
            let half = (ui.available_height() * 0.48).max(160.0);
            Panel::bottom("working")
                .frame(below)
                .resizable(true)
                .default_size(half)
                .size_range(120.0..=900.0)
                .show(ui, |ui| panels::working(ui, session, outlook, views.telling.found(), actions));
        }
        self.findings.ui(ui, session, outlook, actions);
    }
}

/// How wide a panel beside the drawing may be, in points.
struct SidePanel {
    least: f32,
    usual: f32,
    greatest: f32,
    /// It never takes more of the window than this, unless that is less than its least.
    share: f32,
}

/// The left and right panels.
const PANELS: [SidePanel; 2] = [
    SidePanel { least: 216.0, usual: 276.0, greatest: 460.0, share: 0.225 },
    SidePanel { least: 250.0, usual: 320.0, greatest: 620.0, share: 0.26 },
];

/// What of that holds in a window, in points.
pub struct Allowed {
    /// How wide it is until somebody draws it wider or narrower.
    pub usual: f32,
    /// How wide it may be drawn.
    pub range: Rangef,
}

impl SidePanel {
    fn at(&self, window: f32, drawn: Option<u16>) -> Allowed {
        let most = (window * self.share).clamp(self.least, self.greatest);
        let wanted = drawn.map_or(self.usual, f32::from);
        Allowed { usual: wanted.clamp(self.least, most), range: Rangef::new(self.least, most) }
    }
}

/// What the left and right panels may take of a window of this width, in points.
pub(super) fn allowed(window: f32, drawn: PanelWidths) -> [Allowed; 2] {
    [PANELS[0].at(window, drawn.left), PANELS[1].at(window, drawn.right)]
}

/// The left panel, in which the layout is set out.
pub(super) fn left([left, _]: &[Allowed; 2]) -> Panel {
    Panel::left(LEFT).default_size(left.usual).size_range(left.range)
}

/// The right panel, which tells of the drawing.
pub(super) fn right([_, right]: &[Allowed; 2]) -> Panel {
    Panel::right(RIGHT).default_size(right.usual).size_range(right.range)
}

/// Gives a panel that a smaller window held to its most its usual size again.
fn let_out(ui: &Ui, panel: &'static str, held_to: &mut f32, most: f32, size: fn(Vec2) -> f32) {
    let id = ui.scope_id().with(panel);
    let held_to = std::mem::replace(held_to, most);
    let was_held = PanelState::load(ui.ctx(), id).is_some_and(|state| size(state.size()) >= held_to - 1.0);
    if most > held_to && was_held {
        ui.ctx().data_mut(|data| data.remove::<PanelState>(id));
    }
}

/// How wide the left and right panels are, in points; nothing of one that has not been shown.
pub(super) fn widths(ui: &Ui) -> [Option<f32>; 2] {
    [LEFT, RIGHT].map(|panel| Some(PanelState::load(ui.ctx(), ui.scope_id().with(panel))?.size().x))
}

/// Takes note of a panel that has been drawn wider or narrower: a panel tells its new width when the pointer lets it go.
pub(super) fn note_drawn(ui: &Ui, before: [Option<f32>; 2], drawn: &mut PanelWidths) {
    if !ui.input(|input| input.pointer.any_released()) {
        return;
    }
    let [left, right] = widths(ui);
    for (was, is, note) in [(before[0], left, &mut drawn.left), (before[1], right, &mut drawn.right)] {
        if let (Some(was), Some(is)) = (was, is)
            && (was - is).abs() >= 1.0
        {
            // What is beyond its range becomes the nearest that is not.
            *note = Some(is.round() as u16);
        }
    }
}
