//! What keys do with what is selected: move it a little, take it away, let it go.

use egui::Context;
use glam::DVec2;

use super::action::Tool;
use super::app::Desk;

impl Desk {
    /// Moves what is selected a little; a burst of that makes one step.
    pub(super) fn nudge(&mut self, ctx: &Context, by: DVec2) {
        let Some(grip) = self.outlook.grip() else { return };
        let now_s = ctx.input(|input| input.time);
        match self.work.nudge(&self.canvas.moves, grip, by, now_s) {
            Ok(words) => self.outlook.said = words,
            Err(error) => self.outlook.say_why_not(&error),
        }
    }

    /// Takes away what is selected.
    pub(super) fn delete(&mut self) {
        let Some(grip) = self.outlook.grip() else {
            "Nothing is selected".clone_into(&mut self.outlook.said);
            return;
        };
        self.outlook.let_go();
        let layout = self.work.session.shared();
        self.make_step(&format!("Remove {}", grip.name(&layout)), &grip.removed(&layout));
    }

    /// Gives up the innermost thing: a drag, a run under way, the tool, a chosen fitting, the selection, the finding.
    pub(super) fn escape(&mut self) {
        let Self { work, outlook, canvas, front, .. } = self;
        outlook.said.clear();
        if front.is_on_tour() {
            front.leave_tour(&mut outlook.settings);
        } else if work.session.in_gesture() {
            work.session.cancel_gesture();
            canvas.give_up();
        } else if canvas.is_busy() {
            canvas.give_up();
        } else if outlook.tool != Tool::Pick {
            outlook.tool = Tool::Pick;
        } else if outlook.mend.is_some() {
            outlook.mend = None;
        } else if outlook.fitting.is_some() {
            outlook.fitting = None;
        } else if outlook.grip().is_some() {
            outlook.let_go();
        } else {
            (outlook.chosen, outlook.lit) = (None, None);
        }
    }
}
