//! Keys on the drawing: arrows nudge, pan or move the cross; Enter, Space and Backspace work the tool in hand.

use egui::{Key, Ui};
use glam::{DVec2, dvec2};

use super::snap::grid_mm;
use super::{Canvas, Pointing, Touch, parts};
use crate::desk::{Action, Outlook, Tool};

/// How far an arrow key pans, in points.
const PAN_STEP: f32 = 40.0;

impl Canvas {
    /// Carries out what the keys of this frame mean on the drawing. Where it is only looked at they change nothing of it.
    pub(super) fn keys(&mut self, ui: &Ui, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        let Pointing { outlook, .. } = *pointing;
        if !self.has_keyboard(ui, pointing) {
            return;
        }
        if pointing.response.has_focus() {
            parts::keep_arrows(ui, pointing.response.id);
        }
        self.step_by_arrows(ui, outlook, actions);
        if self.touch == Touch::LooksOnly {
            return;
        }
        let pressed = |key| ui.input(|input| input.key_pressed(key));
        let enter = pressed(Key::Enter);
        let space = pressed(Key::Space) && self.cross.is_some();
        match &outlook.tool {
            Tool::Fit(kind) if enter || space => self.fit_here(*kind, pointing, actions),
            Tool::Tape if enter || space => self.tape_click(pointing, actions),
            Tool::Place(stock) if enter || space => self.place(*stock, pointing, actions),
            Tool::Pipe(_) if enter => self.finish_here(pointing, actions),
            Tool::Pipe(service) if space => self.pipe_click(*service, pointing, actions),
            Tool::Pipe(_) if pressed(Key::Backspace) => {
                self.unbend();
            }
            _ => {}
        }
    }

    /// Arrow keys move what is selected, or the view, where that is only looked at; with a tool in hand, the cross.
    fn step_by_arrows(&mut self, ui: &Ui, outlook: &Outlook, actions: &mut Vec<Action>) {
        let step = arrows(ui);
        if step == DVec2::ZERO {
            return;
        }
        match (&outlook.tool, outlook.grip()) {
            (Tool::Pick, Some(_)) if self.touch == Touch::Changes => actions.push(Action::Nudge(step * nudge_mm(ui))),
            (Tool::Pick, _) => {
                self.view.pan(egui::vec2(-step.x as f32, step.y as f32) * PAN_STEP);
                self.fitted_for = None;
            }
            _ => {
                let from = self.cross.or(self.at).unwrap_or(self.view.centre);
                let squares = if ui.input(|input| input.modifiers.command) { 10.0 } else { 1.0 };
                let grid = grid_mm(self.view.mm_per_point) * squares;
                self.cross = Some(((from / grid).round() + step) * grid);
            }
        }
    }

    /// Whether keys belong to the drawing: it or a part has the keyboard, or nothing has.
    fn has_keyboard(&self, ui: &Ui, pointing: &Pointing<'_>) -> bool {
        let focused = ui.memory(egui::Memory::focused);
        let on_selected = pointing.outlook.selected.as_ref().map(|part| parts::widget_id(ui, part));
        let ours = focused.is_none() || focused == Some(pointing.response.id) || focused == on_selected;
        ours && !egui::Popup::is_any_open(ui.ctx()) && ui.memory(|memory| memory.top_modal_layer().is_none())
    }
}

/// The step that arrow keys ask for in this frame: x right, z up.
fn arrows(ui: &Ui) -> DVec2 {
    ui.input(|input| {
        let presses = |key| input.num_presses(key) as f64;
        dvec2(presses(Key::ArrowRight) - presses(Key::ArrowLeft), presses(Key::ArrowUp) - presses(Key::ArrowDown))
    })
}

/// How far one press moves a part: 1 mm, 10 with Shift, 100 with Ctrl.
fn nudge_mm(ui: &Ui) -> f64 {
    let modifiers = ui.input(|input| input.modifiers);
    if modifiers.command {
        100.0
    } else if modifiers.shift {
        10.0
    } else {
        1.0
    }
}
