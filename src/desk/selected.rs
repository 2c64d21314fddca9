//! What keys do with what is selected: move it a little, take it away, let it go.

use egui::Context;
use glam::DVec2;

use super::action::Tool;
use super::app::Desk;
use super::commands::NOTHING_SELECTED;
use crate::layout::{End, Layout, WhichEnd};

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
            NOTHING_SELECTED.clone_into(&mut self.outlook.said);
            return;
        };
        self.outlook.let_go();
        let layout = self.work.session.shared();
        let name = grip.name(&layout);
        self.make_step(&format!("Remove {name}"), &grip.removed(&layout));
        if self.outlook.said.is_empty() {
            self.outlook.said = removed_words(&name, ends_opened(&layout, self.work.session.layout()));
        }
    }

    /// Gives up the innermost thing: a drag, a run under way, the tool, a chosen fitting, the selection, the finding.
    /// What took several clicks goes back one by one.
    pub(super) fn escape(&mut self) {
        self.outlook.said.clear();
        if !self.front.is_on_tour() && self.take_point_back() {
            return;
        }
        let Self { work, outlook, canvas, front, .. } = self;
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

/// How many ends of pipes hung on something before, and end in the open after.
fn ends_opened(before: &Layout, after: &Layout) -> usize {
    let is_open = |end: &End| matches!(end, End::Open(_));
    let ends = after.runs.iter().flat_map(|run| WhichEnd::BOTH.map(|which| (run, which)));
    let opened = ends.filter(|(run, which)| {
        let hung = before.run(&run.id).is_some_and(|run| !is_open(run.end(*which)));
        hung && is_open(run.end(*which))
    });
    opened.count()
}

/// What was removed, and what that leaves.
fn removed_words(name: &str, opened: usize) -> String {
    match opened {
        0 => format!("Removed {name}"),
        1 => format!("Removed {name}; the end of one pipe is left open"),
        several => format!("Removed {name}; {several} ends of pipes are left open"),
    }
}
