//! What keys do with what is selected: move it a little, take it away, let it go.

use egui::Context;

use super::action::Tool;
use super::app::{Burst, Desk};
use super::ways;

impl Desk {
    /// Moves what is selected a little; a burst of that makes one step.
    pub(super) fn nudge(&mut self, ctx: &Context, by: glam::DVec2) {
        let Some(grip) = self.outlook.grip() else { return };
        let now = ctx.input(|input| input.time);
        match &mut self.burst {
            Some(burst) if burst.grip == grip => {
                burst.by += by;
                burst.at = now;
            }
            _ => {
                let before = self.session.shared();
                self.session.begin_gesture(&format!("Move {}", grip.name(&before)));
                let course = self.canvas.moves.course_of(&grip, &before);
                self.burst = Some(Burst { grip, before, course, by, at: now });
            }
        }
        let Some(burst) = &self.burst else { return };
        let by = burst.by * burst.grip.freedom(&burst.before);
        let made = self.session.gesture_all(&burst.course.edits(&burst.grip, &burst.before, by));
        let held = burst.grip.holding_words(&burst.before);
        let moved = match (by.x != 0.0, by.y != 0.0) {
            (true, true) => format!("Moved {}.", ways::both_ways(by)),
            (true, false) => format!("Moved {}.", ways::sideways(by.x)),
            (false, true) => format!("Moved {}.", ways::upright(by.y)),
            (false, false) => "It stands where it stood.".to_owned(),
        };
        self.outlook.said = format!("{moved} {held}").trim_end().to_owned();
        self.say_why_not(made);
    }

    /// Makes one step of the arrow keys pressed so far.
    pub(super) fn finish_burst(&mut self) {
        let Some(burst) = self.burst.take() else { return };
        let by = burst.by * burst.grip.freedom(&burst.before);
        self.session.end_gesture();
        self.canvas.moves.note(burst.grip, &burst.course, by);
        self.canvas.moves.settle(&self.session.shared());
    }

    /// Takes away what is selected.
    pub(super) fn delete(&mut self) {
        let Some(grip) = self.outlook.grip() else {
            "Nothing is selected".clone_into(&mut self.outlook.said);
            return;
        };
        self.outlook.let_go();
        let layout = self.session.shared();
        let made = self.session.edit_all(&format!("Remove {}", grip.name(&layout)), &grip.removed(&layout));
        self.outlook.said.clear();
        self.say_why_not(made);
    }

    /// Gives up the innermost thing: a drag, a run under way, the tool, a chosen fitting, the selection, the finding.
    pub(super) fn escape(&mut self) {
        self.outlook.said.clear();
        if self.tour.is_some() {
            self.leave_tour();
        } else if self.session.in_gesture() {
            self.session.cancel_gesture();
            self.canvas.give_up();
        } else if self.canvas.is_busy() {
            self.canvas.give_up();
        } else if self.outlook.tool != Tool::Pick {
            self.outlook.tool = Tool::Pick;
        } else if self.outlook.mend.is_some() {
            self.outlook.mend = None;
        } else if self.outlook.fitting.is_some() {
            self.outlook.fitting = None;
        } else if self.outlook.grip().is_some() {
            self.outlook.let_go();
        } else {
            (self.outlook.chosen, self.outlook.lit) = (None, None);
        }
    }
}
