//! What the pointer does with the tool in hand: picks and drags, places, draws pipe runs.

use egui::{CursorIcon, Painter, PointerButton, Shape, Stroke, Ui};
use glam::DVec2;

use super::anchor::{Anchor, Sought};
use super::drawing::{Angles, Drawing};
use super::hold::Pull;
use super::in_hand::push_run;
use super::paint::{Brush, Target, beside, cross};
use super::resting::comes_to_stand;
use super::snap::{Snapped, Snapping};
use super::typing::begun_words;
use super::{Canvas, Pointing, Touch, View, band, joint, pick, sheet};
use crate::desk::theme::Palette;
use crate::desk::{Action, Command, Grip, Stock, Tool};
use crate::finding::FindingKey;
use crate::layout::{Edit, Part, Service};

/// Half the stroke across the end of a gap, in points.
const GAP_END: f32 = 4.0;
/// A click this near to the one before is one on the same place, in points.
const CLICKED_AGAIN: f32 = 3.0;

impl Canvas {
    /// Carries on with the tool in hand.
    pub(super) fn point(&mut self, ui: &Ui, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        if pointing.response.clicked_by(PointerButton::Primary) || pointing.response.drag_started() {
            pointing.response.request_focus();
        }
        if pointing.panning {
            ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
            return;
        }
        if self.touch == Touch::LooksOnly {
            return self.point_to_look(ui, pointing, actions);
        }
        let cursor = if pointing.response.hovered() { CursorIcon::Crosshair } else { CursorIcon::Default };
        match &pointing.outlook.tool {
            Tool::Pick => self.point_pick(ui, pointing, actions),
            Tool::Place(stock) => {
                ui.ctx().set_cursor_icon(cursor);
                if pointing.response.clicked_by(PointerButton::Primary) {
                    self.place(*stock, pointing, actions);
                }
            }
            Tool::Insulate | Tool::Bare => self.wrap(ui, pointing, actions),
            Tool::Fit(kind) => {
                if pointing.response.clicked_by(PointerButton::Primary) {
                    self.fit_here(*kind, pointing, actions);
                }
            }
            Tool::Tape => self.point_tape(ui, pointing, actions),
            Tool::Pipe(service) => {
                ui.ctx().set_cursor_icon(cursor);
                if pointing.response.double_clicked_by(PointerButton::Primary) {
                    self.finish_here(pointing, actions);
                } else if pointing.response.clicked_by(PointerButton::Primary) {
                    self.pipe_click(*service, pointing, actions);
                }
            }
        }
    }

    fn point_pick(&mut self, ui: &Ui, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        let mark = self.mark_at_pointer(ui, pointing);
        self.light(mark.as_ref(), pointing, actions);
        self.drag_what_is_picked(ui, pointing, actions);
        let Some(at) = pointing.at else { return };
        if pointing.response.double_clicked_by(PointerButton::Primary) {
            self.bend_here(at, pointing, actions);
        } else if pointing.response.clicked_by(PointerButton::Primary) && pointing.adds() {
            self.add_or_let_go(at, pointing, actions);
        } else if pointing.response.clicked_by(PointerButton::Primary) {
            self.select_here(at, mark, pointing, actions);
        }
    }

    /// Where the drawing is only looked at, a drag moves the view, and a click selects.
    fn point_to_look(&mut self, ui: &Ui, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        let mark = self.mark_at_pointer(ui, pointing);
        self.light(mark.as_ref(), pointing, actions);
        if pointing.response.dragged_by(PointerButton::Primary) {
            ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
            self.view.pan(pointing.response.drag_delta());
            self.fitted_for = None;
        } else if let Some(at) = pointing.at.filter(|_| pointing.response.clicked_by(PointerButton::Primary)) {
            self.select_here(at, mark, pointing, actions);
        }
    }

    /// Chooses the finding whose mark is clicked, or selects what is under the pointer.
    fn select_here(&self, at: DVec2, mark: Option<FindingKey>, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        if let Some(key) = mark {
            actions.push(Action::Choose(Some(key)));
            return;
        }
        let (next, words) = pick::next_under(pointing, at, self.view.mm_per_point);
        actions.push(next.map_or(Action::Select(None), |grip| grip.select()));
        actions.push(Action::Say(words));
    }

    /// The finding whose mark is pointed at.
    fn mark_at_pointer(&self, ui: &Ui, pointing: &Pointing<'_>) -> Option<FindingKey> {
        let pointer = ui.ctx().pointer_hover_pos().filter(|_| pointing.response.hovered())?;
        let is_on_part = || {
            let (at, reach) = (self.view.section_from_screen(pointer), f64::from(pick::REACH));
            !pointing.lines.under(at, reach * self.view.mm_per_point).is_empty()
        };
        let takes = |target: &Target| match target {
            Target::Box(_) | Target::Line(_) => target.is_at(pointer),
            Target::Leader(_) => target.is_at(pointer) && !is_on_part(),
        };
        self.targets.iter().rev().find(|(target, _)| takes(target)).map(|(_, key)| key.clone())
    }

    /// Lights the mark that is pointed at; what was lit here goes out once the pointer leaves the drawing.
    fn light(&mut self, mark: Option<&FindingKey>, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        let lit = pointing.outlook.lit.as_ref();
        if pointing.response.hovered() && self.hold.is_none() {
            self.lit_here = mark.cloned();
            if lit != mark {
                actions.push(Action::Light(mark.cloned()));
            }
        } else if !pointing.response.hovered()
            && let Some(left) = self.lit_here.take()
            && lit == Some(&left)
        {
            actions.push(Action::Light(None));
        }
    }

    /// Takes hold of what is under the pointer, or draws a band where nothing is, and lets go of it again.
    fn drag_what_is_picked(&mut self, ui: &Ui, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        let response = &pointing.response;
        let mm_per_point = self.view.mm_per_point;
        if response.drag_started_by(PointerButton::Primary) {
            let origin = self.pressed_at(ui);
            let hold = |origin| pick::take_hold(pointing, origin, mm_per_point, &self.moves);
            if let Some(hold) = origin.filter(|_| !pointing.adds()).and_then(hold) {
                actions.push(hold.grip().select());
                actions.push(Action::BeginGesture(hold.label()));
                self.hold = Some(hold);
            } else if let Some(origin) = origin {
                self.begin_band(origin);
            }
        }
        if let (Some(hold), Some(at)) = (self.hold.as_mut(), pointing.at) {
            ui.ctx().set_cursor_icon(CursorIcon::Grabbing);
            if response.dragged_by(PointerButton::Primary) && hold.has_moved(at, pointing.snapping) {
                let edits = hold.drag_to(Pull { at, mm_per_point, snapping: pointing.snapping });
                actions.extend(edits.map(Action::Gesture));
                actions.push(Action::Say(hold.words.clone()));
            }
        }
        self.draw_band(pointing);
        if !response.drag_stopped() {
            return;
        }
        if let Some(hold) = self.hold.take() {
            hold.note(&mut self.moves);
            actions.push(Action::EndGesture);
        } else if self.band.is_some() {
            self.end_band(pointing, actions);
        }
    }

    /// A bend in the run under a place.
    fn bend_here(&self, at: DVec2, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        let layout = pointing.session.layout();
        let under = pointing.lines.under(at, f64::from(pick::REACH) * self.view.mm_per_point);
        let run = under.iter().find(|id| layout.run(id).is_some());
        if let Some(action) = run.and_then(|run| pick::insert_bend(layout, run, at)) {
            actions.push(Action::Select(run.cloned()));
            actions.push(action);
        }
    }

    /// Where something would be placed.
    fn place_at(&mut self, stock: Stock, pointing: &Pointing<'_>) -> Option<Snapped> {
        let at = pointing.at?;
        let mm_per_point = self.view.mm_per_point;
        let outlet = match stock {
            Stock::Outlet(kind) => Some(kind),
            _ => None,
        };
        let marks = self.snaps(pointing.session, outlet);
        Some(match pointing.snapping {
            Snapping::Suspended => marks.snap(at, mm_per_point, Snapping::Suspended),
            Snapping::On => {
                let mut snapped = marks.snap_lines(at, mm_per_point);
                let is_across = matches!(stock, Stock::Storey | Stock::Ceiling | Stock::Joists | Stock::Roof);
                if is_across || matches!(stock, Stock::House | Stock::Bungalow) {
                    snapped.upright = None;
                }
                let layout = pointing.session.layout();
                if let Some((level, name)) = comes_to_stand(stock, layout, at, mm_per_point) {
                    snapped.at.y = level;
                    snapped.level = Some(name);
                }
                snapped
            }
        })
    }

    pub(super) fn place(&mut self, stock: Stock, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        let Some(snapped) = self.place_at(stock, pointing) else { return };
        let edits = stock.placed(pointing.session.layout(), snapped.at, pointing.session.profile());
        let placed = match edits.first() {
            Some(Edit::Put(part)) => Some(Grip::Part(part.id().clone())),
            Some(Edit::Building(after)) => stock.piece(&pointing.session.layout().building, after).map(Grip::Piece),
            _ => None,
        };
        let widened = edits.iter().skip(1).find_map(widened_words);
        actions.push(Action::Edit { label: format!("Place {}", stock.name()), edits });
        actions.push(placed.map_or(Action::Select(None), |grip| grip.select()));
        match stock {
            Stock::House | Stock::Bungalow => actions.push(Action::Command(Command::Fit)),
            // What is typed next are its words.
            Stock::Note if pointing.angles == Angles::Square => actions.push(Action::Command(Command::Numbers)),
            _ => {}
        }
        // Shift keeps the tool, to place several.
        if pointing.angles == Angles::Square {
            actions.push(Action::Take(Tool::Pick));
        }
        // Taking up a tool leaves nothing said.
        actions.extend(widened.map(Action::Say));
    }

    fn anchor(&mut self, service: Service, pointing: &Pointing<'_>) -> Option<Anchor> {
        let at = pointing.at?;
        let mm_per_point = self.view.mm_per_point;
        let layout = pointing.session.layout();
        let last = self.drawing.as_ref().map(Drawing::last);
        let begun_on = self.drawing.as_ref().and_then(|drawing| drawing.start.on().cloned());
        let marks = self.snaps(pointing.session, None);
        let other_end_on = begun_on.as_ref();
        let sought = Sought { service, snapping: pointing.snapping, other_end_on, in_hand: None };
        let mut found = Anchor::find(layout, &pointing.lines, marks, at, mm_per_point, sought);
        // What has just been begun on a pipe lies beside it still, and nobody has to be told.
        if let (Anchor::Free { beside, .. }, Some(drawing)) = (&mut found, &self.drawing)
            && drawing.bends.is_empty()
            && beside.as_ref() == drawing.start.on()
        {
            *beside = None;
        }
        Some(match (last, pointing.angles) {
            (Some(last), Angles::Square) => found.squared(last),
            _ => found,
        })
    }

    pub(super) fn pipe_click(&mut self, service: Service, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
        let Pointing { outlook, .. } = *pointing;
        let Some(anchor) = self.anchor(service, pointing) else { return };
        let Some(mut drawing) = self.drawing.take() else {
            actions.push(Action::Say(begun_words(service, &anchor)));
            self.drawing = Some(Drawing::begin(service, anchor));
            return;
        };
        let again_mm = f64::from(CLICKED_AGAIN) * self.view.mm_per_point;
        let is_again = |at: DVec2| drawing.clicked.is_some_and(|clicked| clicked.distance(at) <= again_mm);
        if matches!(anchor, Anchor::Free { .. }) && pointing.at.is_some_and(is_again) {
            self.drawing = Some(drawing);
            self.finish_here(pointing, actions);
        } else if matches!(anchor, Anchor::Free { .. }) {
            drawing.bend(&anchor, pointing.angles, outlook.fall);
            drawing.clicked = pointing.at;
            self.drawing = Some(drawing);
        } else {
            let made = drawing.finish(
                &anchor,
                (pointing.angles, outlook.fall),
                pointing.session.layout(),
                outlook.new_run(service),
            );
            push_run(made, service, actions);
        }
    }

    /// Paints the ghost of what would be placed, or the run under way.
    pub(super) fn paint_tool(&mut self, painter: &Painter, pointing: &Pointing<'_>, palette: Palette) {
        let shown = pointing.response.hovered() || self.cross.is_some();
        match &pointing.outlook.tool {
            Tool::Place(stock) if shown => self.paint_ghost(painter, *stock, pointing, palette),
            Tool::Pipe(service) if shown => {
                if let Some(anchor) = self.anchor(*service, pointing) {
                    let vessel = pointing
                        .at
                        .and_then(|at| joint::vessel_at(pointing.session.layout(), at, self.view.mm_per_point));
                    self.joint = joint::words(&anchor, *service, pointing.snapping, vessel);
                    self.paint_run(painter, (*service, &anchor), pointing, palette);
                    if let Some(vessel) = vessel {
                        joint::rings(painter, &self.view, vessel, *service, palette);
                    }
                }
            }
            Tool::Pick => {
                if let Some(hold) = &self.hold {
                    guide_lines(painter, &self.view, hold.guides, palette);
                    gap_lines(painter, &self.view, &hold.gaps, palette);
                    if let Some(at) = pointing.at {
                        beside(painter, &self.view, at, &hold.words, palette);
                    }
                } else if let Some(band) = self.band {
                    band::paint(painter, &self.view, band, palette);
                }
            }
            Tool::Insulate | Tool::Bare | Tool::Fit(_) if shown => {
                self.paint_on_run(painter, pointing, palette);
            }
            Tool::Tape => self.paint_tape(painter, pointing, palette),
            Tool::Place(_) | Tool::Pipe(_) | Tool::Insulate | Tool::Bare | Tool::Fit(_) => {}
        }
    }

    fn paint_ghost(&mut self, painter: &Painter, stock: Stock, pointing: &Pointing<'_>, palette: Palette) {
        let Some(snapped) = self.place_at(stock, pointing) else { return };
        guides(painter, &self.view, &snapped, stock, palette);
        let mut faint = painter.clone();
        faint.set_opacity(0.6);
        let edits = stock.placed(pointing.session.layout(), snapped.at, pointing.session.profile());
        let ghost = sheet::ghost(&edits, &self.view);
        Brush::new(&faint, &self.view, palette).strokes(&ghost);
        cross(painter, self.view.screen_from_section(snapped.at), palette.guide);
        self.snapped = snapped.words();
        beside(painter, &self.view, snapped.at, &place_words(&snapped), palette);
    }

    fn paint_run(
        &mut self,
        painter: &Painter,
        (service, anchor): (Service, &Anchor),
        pointing: &Pointing<'_>,
        palette: Palette,
    ) {
        let pointed =
            self.drawing.as_ref().map(|drawing| drawing.onward(anchor, pointing.angles, pointing.outlook.fall));
        let onward = self.typed_points(pointing).or(pointed);
        if let (Some(drawing), Some(onward)) = (&self.drawing, &onward) {
            let points: Vec<DVec2> = drawing.points().into_iter().chain(onward.iter().copied()).collect();
            let points = points.iter().map(|point| self.view.screen_from_section(*point)).collect();
            painter.add(Shape::line(points, Stroke::new(3.0, palette.guide)));
        }
        let end = onward.as_ref().and_then(|points| points.last().copied()).unwrap_or_else(|| anchor.at());
        cross(painter, self.view.screen_from_section(end), palette.guide);
        self.snapped = anchor.line_words();
        self.live = match (&self.drawing, &onward) {
            (Some(drawing), Some(onward)) => drawing.words(onward),
            _ => String::new(),
        };
        let here = joint::words(anchor, service, pointing.snapping, None);
        let words = [self.live.as_str(), here.as_str(), self.snapped.as_str()];
        let told: Vec<&str> = words.into_iter().filter(|words| !words.is_empty()).collect();
        beside(painter, &self.view, end, &told.join("\n"), palette);
    }
}

/// How large a platform has been made for what was placed.
fn widened_words(edit: &Edit) -> Option<String> {
    let Edit::Put(part) = edit else { return None };
    let Part::Platform(platform) = &**part else { return None };
    let across = platform.depth.map_or_else(String::new, |depth| format!(" × {}", depth.to_mm()));
    let size = format!("{}{across} mm", platform.length.to_mm());
    Some(format!("{} is now {size}, to stand out round the cistern as far as the rules ask", platform.id.spoken()))
}

fn place_words(snapped: &Snapped) -> String {
    let at = format!("{} right, {} up", snapped.at.x.round(), snapped.at.y.round());
    let words = snapped.words();
    if words.is_empty() { at } else { format!("{at}\n{words}") }
}

/// Broken lines along the level and the upright that were snapped to.
fn guides(painter: &Painter, view: &View, snapped: &Snapped, stock: Stock, palette: Palette) {
    let level = snapped.level.is_some() || matches!(stock, Stock::Storey | Stock::Ceiling);
    let lines = (level.then_some(snapped.at.y), snapped.upright.as_ref().map(|_| snapped.at.x));
    guide_lines(painter, view, lines, palette);
}

/// A broken line right across at a level, and one right down at a distance.
fn guide_lines(painter: &Painter, view: &View, (level, upright): (Option<f64>, Option<f64>), palette: Palette) {
    let stroke = Stroke::new(1.0, palette.guide);
    let at = view.screen_from_section(DVec2::new(upright.unwrap_or_default(), level.unwrap_or_default()));
    if level.is_some() {
        let line = [egui::pos2(view.rect.left(), at.y), egui::pos2(view.rect.right(), at.y)];
        painter.extend(Shape::dashed_line(&line, stroke, 6.0, 5.0));
    }
    if upright.is_some() {
        let line = [egui::pos2(at.x, view.rect.top()), egui::pos2(at.x, view.rect.bottom())];
        painter.extend(Shape::dashed_line(&line, stroke, 6.0, 5.0));
    }
}

/// Each gap as a line from edge to edge, with a stroke across it at both ends.
fn gap_lines(painter: &Painter, view: &View, gaps: &[(DVec2, DVec2)], palette: Palette) {
    let stroke = Stroke::new(1.5, palette.guide);
    for (from, to) in gaps {
        let [from, to] = [*from, *to].map(|point| view.screen_from_section(point));
        let across = (to - from).normalized().rot90() * GAP_END;
        for line in [[from, to], [from - across, from + across], [to - across, to + across]] {
            painter.line_segment(line, stroke);
        }
    }
}
