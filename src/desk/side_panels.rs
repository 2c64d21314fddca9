//! The panels beside the drawing: how wide they may be, and how wide they have been drawn.

use egui::containers::panel::PanelState;
use egui::{Rangef, Ui, Vec2};

use crate::session::settings::PanelWidths;

/// The names of the left and the right panel.
pub(super) const LEFT: &str = "setting out";
pub(super) const RIGHT: &str = "judging";

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
pub(super) struct Allowed {
    /// How wide it is until somebody draws it wider or narrower.
    pub usual: f32,
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

/// Gives a panel that a smaller window held to its most its usual size again.
pub(super) fn let_out(ui: &Ui, panel: &'static str, held_to: &mut f32, most: f32, size: fn(Vec2) -> f32) {
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
