//! The pipe in hand: how it ends, how it is taken back, and what becomes of it when something else is taken up.

use super::anchor::Anchor;
use super::drawing::Drawing;
use super::typing::begun_words;
use super::{Canvas, Pointing, joint};
use crate::desk::{Action, Outlook, Tool};
use crate::layout::{Edit, Id, Layout, Service};

/// What is left of the pipe in hand when a point of it is taken back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unbent {
    /// Its last bend is gone.
    Bend,
    /// Its beginning is gone, and nothing is in hand.
    Beginning,
}

/// A pipe that was in hand as it is drawn.
pub struct Ended {
    /// What the step in the history is called.
    pub label: String,
    /// The changes that make it.
    pub edits: Vec<Edit>,
    /// That it is drawn, and how it comes back.
    pub words: String,
}

impl Drawing {
    /// Draws on for another service. A tee on a pipe that carries other water becomes a beginning in the open.
    fn serve(&mut self, service: Service, layout: &Layout) {
        self.service = service;
        let teed_on = match &self.start {
            Anchor::Tee { run, .. } => layout.run(run),
            Anchor::Port { .. } | Anchor::Side { .. } | Anchor::Free { .. } => None,
        };
        if teed_on.is_some_and(|run| !service.joins(run.service)) {
            self.start = Anchor::free(self.start.at());
        }
    }
}

impl Canvas {
    /// Ends the pipe in hand in the open, at its last bend.
    pub(super) fn finish_here(&mut self, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        let Pointing { session, outlook, .. } = *pointing;
        if let Some(drawing) = self.drawing.take() {
            let (service, end) = (drawing.service, drawing.last());
            let made = drawing.finish_here(session.layout(), outlook.new_run(service));
            let unjoined = joint::unjoined_words(session.layout(), service, end, self.view.mm_per_point);
            let unjoined = unjoined.filter(|_| made.is_some());
            push_run(made, service, actions);
            actions.extend(unjoined.map(Action::Say));
        }
    }

    /// Lets go of a pipe in hand that has bends, as it ends in the open at the last of them; none where nothing would be
    /// lost.
    pub fn end_in_hand(&mut self, layout: &Layout, outlook: &Outlook) -> Option<Ended> {
        let drawing = self.drawing.take_if(|drawing| !drawing.bends.is_empty())?;
        self.typing.clear();
        let service = drawing.service;
        let (id, edits) = drawing.finish_here(layout, outlook.new_run(service))?;
        let words = format!("{} ends in the open at its last bend; Undo takes it back", id.spoken());
        Some(Ended { label: format!("Draw {}", service.words()), edits, words })
    }

    /// Draws on for a service, where the pipe in hand has no more than its beginning or serves that already; with it, what
    /// there is to say.
    pub fn draw_on_for(&mut self, service: Service, layout: &Layout) -> Option<String> {
        let drawing = self.drawing.as_mut().filter(|drawing| drawing.bends.is_empty() || drawing.service == service)?;
        if drawing.service == service {
            return Some(String::new());
        }
        drawing.serve(service, layout);
        Some(begun_words(service, &drawing.start))
    }

    /// Takes back the last bend of the pipe in hand, then its beginning; none where no pipe is in hand.
    pub fn unbend(&mut self) -> Option<Unbent> {
        let drawing = self.drawing.as_mut()?;
        drawing.clicked = None;
        self.typing.clear();
        if drawing.bends.pop().is_some() {
            return Some(Unbent::Bend);
        }
        self.drawing = None;
        Some(Unbent::Beginning)
    }
}

/// Draws a pipe and selects it, or says why there is none.
pub(super) fn push_run(made: Option<(Id, Vec<Edit>)>, service: Service, actions: &mut Vec<Action>) {
    match made {
        Some((id, edits)) => {
            actions.push(Action::Edit { label: format!("Draw {}", service.words()), edits });
            actions.push(Action::Take(Tool::Pick));
            actions.push(Action::Select(Some(id)));
        }
        None => actions.push(Action::Say("A run needs two different ends".to_owned())),
    }
}

#[cfg(test)]
mod tests {
    use glam::dvec2;

    use super::*;
    use crate::desk::examples;

    #[test]
    fn a_tee_on_other_water_is_none_for_another_service() {
        let layout = examples::first();
        let hot = layout.runs.iter().find(|run| run.service == Service::HotDistribution).expect("there");
        let way = super::super::anchor::Way::Upright;
        let tee = Anchor::Tee { run: hot.id.clone(), along_mm: 100.0, at: dvec2(100.0, 200.0), way };
        let begun_for = |service| {
            let drawing = Drawing::begin(Service::HotDistribution, tee.clone());
            let mut canvas = Canvas { drawing: Some(drawing), ..Canvas::default() };
            let words = canvas.draw_on_for(service, &layout).expect("it is drawn on");
            (words, canvas.drawing.expect("in hand").start)
        };
        let (words, start) = begun_for(Service::OpenVent);
        assert_eq!((words.contains("a tee on"), &start), (true, &tee));
        let (words, start) = begun_for(Service::ColdFeed);
        assert!(words.starts_with("cold feed begins at 100 right, 200 up"), "{words}");
        assert_eq!(start, Anchor::free(dvec2(100.0, 200.0)));
    }
}
