//! Parts as widgets with names, for keyboard and screen reader, and the outline of what is selected.

use egui::accesskit;
use egui::{
    Align2, Context, EventFilter, FontId, Id as WidgetId, Painter, Pos2, Rect, Sense, Shape, Stroke, StrokeKind, Ui,
    Vec2,
};
use glam::DVec2;

use super::hit::{Handle, Lines, pointer};
use super::paint::{POINTS_PER_PAPER_MM, handle};
use super::{Pointing, View};
use crate::desk::theme::Palette;
use crate::desk::{Action, Command, Tool};
use crate::layout::{CisternRole, Id, PartRef};
use crate::rules::{Voice, said};
use crate::scene::run_width;
use crate::session::Session;

/// With more parts than this only the selected one can be reached by Tab; PageDown and PageUp reach them all.
const WIDGETS_AT_MOST: usize = 60;
/// The box about a chosen fitting, in points.
const CHOSEN_FITTING: Vec2 = Vec2::splat(26.0);
/// So far beside a pipe run the lines by which it is selected, in points.
const BESIDE_PIPE: f32 = 2.5;

/// Makes each part a widget that can have the keyboard; the pointer is the canvas's own business.
pub fn widgets(ui: &Ui, view: &View, pointing: &Pointing<'_>, actions: &mut Vec<Action>) {
    let Pointing { session, outlook, lines, .. } = pointing;
    let layout = session.layout();
    let many = layout.parts().count() > WIDGETS_AT_MOST;
    for part in layout.parts() {
        let selected = outlook.is_selected(part.id());
        if many && !selected {
            continue;
        }
        let Some(rect) = screen_box(view, lines.extent(part)).map(|rect| rect.intersect(view.rect)) else { continue };
        if !rect.is_positive() {
            continue;
        }
        let widget = widget_id(ui, part.id());
        let response = ui.interact(rect, widget, Sense::focusable_noninteractive());
        let name = name(part, outlook.voice);
        response.widget_info(|| egui::WidgetInfo::selected(egui::Role::GraphicsObject, true, selected, &name));
        ui.ctx().accesskit_node_builder(widget, |node| node.add_action(accesskit::Action::Click));
        let clicked = ui.input(|input| input.has_accesskit_action_request(widget, accesskit::Action::Click));
        if (response.gained_focus() || clicked) && !selected {
            actions.push(Action::Select(Some(part.id().clone())));
        }
        if response.has_focus() {
            keep_arrows(ui, widget);
        }
    }
    if let Some(selected) = outlook.selected.as_ref()
        && outlook.tool == Tool::Pick
        && ui.memory(|memory| memory.focused() == Some(ui.scope_id().with("sheet")))
    {
        ui.memory_mut(|memory| memory.request_focus(widget_id(ui, selected)));
    }
}

/// Arrow keys move the part, not the focus.
pub fn keep_arrows(ui: &Ui, widget: WidgetId) {
    let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(widget, filter));
}

/// The widget of a part.
#[must_use]
pub fn widget_id(ui: &Ui, part: &Id) -> WidgetId {
    ui.scope_id().with(("part", part.as_str()))
}

/// What a screen reader says of a part.
#[must_use]
pub fn name(part: PartRef<'_>, voice: Voice) -> String {
    let id = said(part.id().spoken(), voice);
    let kind = match part {
        PartRef::Platform(_) => "platform",
        PartRef::Cistern(cistern) => match cistern.role {
            CisternRole::Storage => "storage cistern",
            CisternRole::FeedAndExpansion => "feed-and-expansion cistern",
        },
        PartRef::Cylinder(_) => "hot-water cylinder",
        PartRef::Boiler(_) => "boiler",
        PartRef::Outlet(outlet) => outlet.kind.words(),
        PartRef::Run(run) => run.service.words(),
        PartRef::Note(note) => return format!("note: {}", note.words.replace('\n', " ")),
    };
    let kind = said(kind, voice);
    if id == kind { id } else { format!("{id}, {kind}") }
}

fn screen_box(view: &View, extent: Option<(DVec2, DVec2)>) -> Option<Rect> {
    let (low, high) = extent?;
    Some(Rect::from_two_pos(view.screen_from_section(low), view.screen_from_section(high)).expand(3.0))
}

/// Shows what is selected: a box around it, or its line, and its handles.
pub fn outline_selected(painter: &Painter, view: &View, pointing: &Pointing<'_>, palette: Palette) {
    let Pointing { session, outlook, lines, .. } = pointing;
    let layout = session.layout();
    let parts: Vec<PartRef<'_>> = outlook.selection().iter().filter_map(|id| layout.part(id)).collect();
    let alone = parts.len() == 1;
    for part in parts {
        if let (PartRef::Run(run), Some(number)) = (part, outlook.fitting) {
            let chosen = lines.handles(run).into_iter().find(|(handle, _)| *handle == Handle::Fitting(number));
            if let Some((_, place)) = chosen {
                let about = Rect::from_center_size(view.screen_from_section(place), CHOSEN_FITTING);
                painter.rect_stroke(about, 2.0, Stroke::new(2.0, palette.select), StrokeKind::Outside);
            }
            continue;
        }
        outline(painter, view, lines, part, palette);
        if alone {
            if let PartRef::Run(run) = part {
                for (_, place) in lines.handles(run) {
                    handle(painter, view.screen_from_section(place), palette);
                }
            }
            for place in part.sides().into_iter().map(|(_, place)| place).chain(pointer(part)) {
                handle(painter, view.screen_from_section(place), palette);
            }
        }
    }
}

/// A line so far to one side of another, around its corners.
fn alongside(points: &[Pos2], off: f32) -> Vec<Pos2> {
    let across: Vec<Vec2> = points.windows(2).map(|pair| (pair[1] - pair[0]).normalized().rot90()).collect();
    let moved = |(number, point): (usize, &Pos2)| {
        let after = across.get(number).or(across.last()).copied().unwrap_or_default();
        let before = number.checked_sub(1).map_or(after, |number| across[number]);
        let corner = before + after;
        // Where a line turns back on itself its corner would be far away.
        *point + corner * (off / corner.dot(after).max(0.3))
    };
    points.iter().enumerate().map(moved).collect()
}

fn outline(painter: &Painter, view: &View, lines: &Lines<'_>, part: PartRef<'_>, palette: Palette) {
    if let PartRef::Run(run) = part {
        if let Some(line) = lines.line(&run.id) {
            let mut points: Vec<Pos2> =
                line.vertices().iter().map(|vertex| view.screen_from_section(*vertex)).collect();
            points.dedup();
            let wide_mm = run_width(run).on_paper_mm(view.mm_per_point * POINTS_PER_PAPER_MM);
            let off = (wide_mm * POINTS_PER_PAPER_MM / 2.0) as f32 + BESIDE_PIPE;
            // The pipe keeps its colour, which tells its service.
            for off in [off, -off] {
                painter.add(Shape::line(alongside(&points, off), Stroke::new(2.0, palette.select)));
            }
        }
    } else if let Some(rect) = screen_box(view, lines.extent(part)) {
        painter.rect_stroke(rect.expand(2.0), 2.0, Stroke::new(2.0, palette.select), StrokeKind::Outside);
    }
}

/// The datum, the floors and the ceiling, as lines right across: until parts or two walls stand there is nothing else to see them by.
pub fn levels(painter: &Painter, view: &View, session: &Session, palette: Palette) {
    let datum = (0.0, "0: the datum, finished floor of the lowest storey".to_owned());
    let floors = session.layout().building.storeys.iter().map(|storey| (storey.floor.to_mm(), storey.id.spoken()));
    let mut lines: Vec<(f64, String)> = floors.collect();
    if lines.iter().all(|(level, _)| level.abs() > 1.0) {
        lines.insert(0, datum);
    }
    let ceiling = session.layout().building.ceiling;
    lines.extend(ceiling.map(|ceiling| (ceiling.underside.to_mm(), "ceiling".to_owned())));
    for (level, words) in lines {
        let at = view.screen_from_section(glam::dvec2(0.0, level)).y;
        painter.hline(view.rect.x_range(), at, Stroke::new(1.0, palette.faint));
        let place = egui::pos2(view.rect.left() + 12.0, at + 3.0);
        painter.text(place, Align2::LEFT_TOP, words, FontId::proportional(13.0), palette.faint);
    }
}

/// What a blank sheet says.
pub fn blank_sheet_words(ctx: &Context) -> String {
    let start = Command::Start;
    format!(
        "A blank sheet.\n\nTake something from Stores on the left and click where it goes.\n\
         House or Bungalow gives floors, walls, ceiling, joists and roof in one click; \
         then platform, cistern and cylinder, then the pipes.\n\
         Or let a few answers lay out a whole system: File, {} ({}).\n\
         Or begin from an example: File, New from example.",
        start.about().name,
        start.shortcut_words(ctx)
    )
}

/// Writes in the middle of a blank sheet what it says.
pub fn write_on_blank_sheet(painter: &Painter, rect: Rect, palette: Palette) {
    let words = blank_sheet_words(painter.ctx());
    let galley = painter.layout(words, FontId::proportional(15.0), palette.faint, rect.width() - 60.0);
    let place = Align2::CENTER_CENTER.anchor_size(rect.center(), galley.size());
    painter.galley(place.min, galley, palette.faint);
}
