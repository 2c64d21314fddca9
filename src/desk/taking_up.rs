//! What becomes of the pipe in hand when something else is taken up: nothing that has been drawn of it is lost.

use super::action::Tool;
use super::app::Desk;
use super::canvas::Unbent;

impl Desk {
    /// Takes up a tool. A pipe in hand of which only the beginning is there is drawn on for another service; one with bends
    /// is drawn as far as it goes.
    pub(super) fn take(&mut self, tool: Tool) {
        if let Tool::Pipe(service) = tool
            && let Some(words) = self.canvas.draw_on_for(service, self.work.session.layout())
        {
            self.outlook.take(tool);
            self.outlook.said = words;
            return;
        }
        let said = self.end_pipe_in_hand();
        self.canvas.give_up();
        self.outlook.take(tool);
        self.outlook.said = said;
    }

    /// Draws the pipe in hand as far as it goes, as one step, and tells so; empty where it has no bend.
    pub(super) fn end_pipe_in_hand(&mut self) -> String {
        let Some(ended) = self.canvas.end_in_hand(self.work.session.layout(), &self.outlook) else {
            return String::new();
        };
        self.make_step(&ended.label, &ended.edits);
        if self.outlook.said.is_empty() {
            self.outlook.said = ended.words;
        }
        self.outlook.said.clone()
    }

    /// Takes back the last step; with a pipe in hand, that is the last point of it.
    pub(super) fn undo(&mut self) {
        if !self.take_point_back() {
            self.work.session.undo();
            self.outlook.said.clear();
        }
    }

    /// Takes back a point of the pipe in hand; says whether there is one.
    pub(super) fn take_point_back(&mut self) -> bool {
        let Some(unbent) = self.canvas.unbend() else { return false };
        match unbent {
            Unbent::Bend => "Took back the last bend",
            Unbent::Beginning => "Took back where the pipe begins",
        }
        .clone_into(&mut self.outlook.said);
        true
    }
}
