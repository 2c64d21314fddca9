//! What is put on a run where the pointer is: insulation by drag, bareness by drag, a valve by a click.

use egui::{CursorIcon, Painter, PointerButton, Ui};
use glam::DVec2;

use super::paint::{beside, cross};
use super::{Canvas, Pointing, pick};
use crate::desk::theme::Palette;
use crate::desk::{Action, Outlook, Tool};
use crate::layout::{Edit, Id, InLineKind, Part, Run};

/// Places along a run are taken in steps of this, mm.
const STEP_MM: f64 = 5.0;

/// A place on a run.
struct OnRun {
    run: Id,
    along_mm: f64,
    at: DVec2,
}

/// Insulation that is being put on or taken off.
#[derive(Debug)]
pub struct Wrapping {
    run: Run,
    from_mm: f64,
}

impl Canvas {
    /// The place on the nearest run within reach; bends and ends catch.
    fn on_run(&self, at: DVec2, pointing: &Pointing<'_>, only: Option<&Id>) -> Option<OnRun> {
        let reach = f64::from(pick::REACH) * self.view.mm_per_point;
        let Pointing { session, lines, .. } = pointing;
        let runs = session.layout().runs.iter().filter(|run| only.is_none_or(|id| run.id == *id));
        let near = runs.filter_map(|run| Some((lines.line(&run.id)?.nearest(at), &run.id)));
        let ((along, off), run) = near.min_by(|a, b| a.0.1.total_cmp(&b.0.1))?;
        if only.is_none() && off > reach {
            return None;
        }
        let line = lines.line(run)?;
        let vertex = line.along().iter().copied().find(|vertex| (vertex - along).abs() <= reach);
        let along_mm = vertex.unwrap_or_else(|| ((along / STEP_MM).round() * STEP_MM).clamp(0.0, line.length()));
        Some(OnRun { run: run.clone(), along_mm, at: line.point_at(along_mm) })
    }

    /// Carries on insulating or baring.
    pub(super) fn wrap(&mut self, ui: &Ui, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        let Pointing { session, outlook, .. } = *pointing;
        let response = &pointing.response;
        if response.hovered() {
            ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
        }
        let verb = if outlook.tool == Tool::Bare { "Bare" } else { "Insulate" };
        if response.drag_started_by(PointerButton::Primary)
            && let Some(place) = self.pressed_at(ui).and_then(|origin| self.on_run(origin, pointing, None))
            && let Some(run) = session.layout().run(&place.run)
        {
            self.wrapping = Some(Wrapping { run: run.clone(), from_mm: place.along_mm });
            actions.push(Action::BeginGesture(format!("{verb} {}", place.run.spoken())));
        }
        if let (Some(wrapping), Some(at)) = (&self.wrapping, pointing.at)
            && response.dragged_by(PointerButton::Primary)
            && let Some(place) = self.on_run(at, pointing, Some(&wrapping.run.id))
        {
            let wrapped = wrapped(&wrapping.run, outlook, wrapping.from_mm, place.along_mm);
            actions.push(Action::Gesture(vec![Edit::put(Part::Run(wrapped))]));
            let length_mm = (place.along_mm - wrapping.from_mm).abs().round();
            actions.push(Action::Say(format!("{verb}: {length_mm} mm of {}", wrapping.run.id.spoken())));
        }
        if response.drag_stopped() && self.wrapping.take().is_some() {
            actions.push(Action::EndGesture);
        }
        if response.clicked_by(PointerButton::Primary)
            && let Some(at) = pointing.at
        {
            self.wrap_stretch(at, verb, pointing, actions);
        }
    }

    /// A click takes the whole stretch from bend to bend.
    pub(super) fn wrap_stretch(&self, at: DVec2, verb: &str, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        let Some(place) = self.on_run(at, pointing, None) else { return };
        let Some(line) = pointing.lines.line(&place.run) else { return };
        let along_mm = line.nearest(at).0;
        let ends = line.along().windows(2).find(|pair| along_mm <= pair[1]);
        let run = pointing.session.layout().run(&place.run);
        if let (Some([from_mm, to_mm]), Some(run)) = (ends, run) {
            let wrapped = wrapped(run, pointing.outlook, *from_mm, *to_mm);
            actions.push(Action::edit(format!("{verb} {}", place.run.spoken()), Edit::put(Part::Run(wrapped))));
        }
    }

    /// Puts a valve, drain cock or pump on the run under the pointer.
    pub(super) fn fit_here(&self, kind: InLineKind, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        let Some(place) = pointing.at.and_then(|at| self.on_run(at, pointing, None)) else {
            actions.push(Action::Say(format!("A {} goes on a pipe: click on one", kind.words())));
            return;
        };
        let Some(run) = pointing.session.layout().run(&place.run) else { return };
        let fitted = Part::Run(run.fitted(kind, place.along_mm));
        actions.push(Action::edit(format!("Fit a {} in {}", kind.words(), place.run.spoken()), Edit::put(fitted)));
        if !pointing.adds() {
            actions.push(Action::Take(Tool::Pick));
        }
        actions.push(Action::Select(Some(place.run)));
    }

    /// Shows where on which run the tool would begin.
    pub(super) fn paint_on_run(&mut self, painter: &Painter, pointing: &Pointing<'_>, palette: Palette) {
        let only = self.wrapping.as_ref().map(|wrapping| wrapping.run.id.clone());
        let Some(place) = pointing.at.and_then(|at| self.on_run(at, pointing, only.as_ref())) else { return };
        cross(painter, self.view.screen_from_section(place.at), palette.guide);
        let mut words = format!("{} mm along {}", place.along_mm.round(), place.run.spoken());
        if let Some(wrapping) = &self.wrapping {
            words = format!("{} mm\n{words}", (place.along_mm - wrapping.from_mm).abs().round());
        }
        beside(painter, &self.view, place.at, &words, palette);
        self.snapped = words.replace('\n', ", ");
    }
}

fn wrapped(run: &Run, outlook: &Outlook, from_mm: f64, to_mm: f64) -> Run {
    if outlook.tool == Tool::Bare {
        run.stripped(from_mm, to_mm)
    } else {
        run.lagged(from_mm, to_mm, outlook.insulation.0, outlook.insulation.1)
    }
}
