//! Pieces of the building on the drawing: what lies under the pointer, and the outline of what is selected.

use egui::{Painter, Rect, Shape, Stroke, StrokeKind, pos2};
use glam::DVec2;

use super::View;
use super::paint::handle;
use crate::desk::theme::Palette;
use crate::layout::{Building, Layout, Lie, Piece};
use crate::scene;

/// So far the outline of a row with no known ends goes beyond the window, in points.
const BEYOND: f32 = 8.0;

/// The piece under a point: handles of what is selected first, then lines, then whatever the point is within.
#[must_use]
pub fn under(building: &Building, selected: Option<Piece>, at: DVec2, reach_mm: f64) -> Option<Piece> {
    // The points of the roof can be caught at once: nobody would look for a ridge that only moves with its eaves.
    let held = selected.into_iter().chain([Piece::Roof]).flat_map(|piece| handles(building, piece));
    let near_handle = held.filter(|(_, place)| place.distance(at) <= 1.3 * reach_mm).map(|(piece, _)| piece).next();
    let on_roof = || {
        let line = building.roof.as_ref()?.line()?;
        (line.nearest(at).1 <= reach_mm).then_some(Piece::Roof)
    };
    near_handle.or_else(on_roof).or_else(|| {
        // The hatch lies in the ceiling, and the ceiling under the joists: the smaller goes first.
        let order = |piece: &Piece| match piece {
            Piece::Hatch => 0,
            Piece::Wall(_) => 1,
            Piece::Ceiling => 2,
            Piece::Storey(_) => 3,
            _ => 4,
        };
        let mut all: Vec<Piece> = building.pieces().filter(|piece| is_within(building, *piece, at, reach_mm)).collect();
        // What the point lies in goes before what is only near.
        all.sort_by_key(|piece| (!is_within(building, *piece, at, 0.0), order(piece)));
        all.first().copied()
    })
}

fn is_within(building: &Building, piece: Piece, at: DVec2, reach_mm: f64) -> bool {
    let Some((low, high)) = building.extent(piece) else { return false };
    let within = |value: f64, low: f64, high: f64| value >= low - reach_mm && value <= high + reach_mm;
    match piece {
        Piece::Storey(_) | Piece::Ceiling => within(at.y, low.y, high.y),
        Piece::Joists => within(at.y, low.y, high.y),
        Piece::Hatch => {
            within(at.x, low.x, high.x) && rows_of_hatch(building).is_some_and(|(low, high)| within(at.y, low, high))
        }
        Piece::Wall(number) => building.walls.get(number).is_some_and(|wall| {
            let (foot, head) = (wall.foot.to_mm().min(wall.head.to_mm()), wall.foot.to_mm().max(wall.head.to_mm()));
            within(at.x, low.x, high.x) && within(at.y, foot, head)
        }),
        _ => false,
    }
}

/// From where to where, upward, the hatch goes: through the ceiling, and the joists over it.
fn rows_of_hatch(building: &Building) -> Option<(f64, f64)> {
    let rows = || [Piece::Ceiling, Piece::Joists].into_iter().filter_map(|piece| building.extent(piece));
    let lowest = rows().map(|(foot, _)| foot.y).reduce(f64::min)?;
    Some((lowest, rows().map(|(_, head)| head.y).fold(lowest, f64::max)))
}

/// Places on a selected piece that can be dragged by themselves.
fn handles(building: &Building, piece: Piece) -> Vec<(Piece, DVec2)> {
    match piece.whole() {
        Piece::Roof => {
            let points = building.roof.iter().flat_map(|roof| &roof.underside);
            points.enumerate().map(|(number, point)| (Piece::RoofPoint(number), point.vector())).collect()
        }
        Piece::Wall(number) => building.walls.get(number).map_or_else(Vec::new, |wall| {
            let middle = wall.x.to_mm() + wall.thickness.to_mm() / 2.0;
            let half = wall.foot.to_mm().midpoint(wall.head.to_mm());
            vec![
                (Piece::WallHead(number), DVec2::new(middle, wall.head.to_mm())),
                (Piece::WallFoot(number), DVec2::new(middle, wall.foot.to_mm())),
                (Piece::WallFace(number), DVec2::new(wall.x.to_mm() + wall.thickness.to_mm(), half)),
            ]
        }),
        Piece::Hatch => {
            let middle = rows_of_hatch(building).map_or(0.0, |(low, high)| low.midpoint(high));
            let edge = |piece: Piece| Some((piece, DVec2::new(building.extent(piece)?.0.x, middle)));
            [Piece::HatchLeft, Piece::HatchRight].into_iter().filter_map(edge).collect()
        }
        Piece::Joists => {
            let first = building.joists.as_ref().map(|joists| joists.first.to_mm());
            let foot = building.extent(Piece::JoistsFoot).map(|(foot, _)| foot.y);
            first.zip(foot).map(|(x, z)| (Piece::JoistsFoot, DVec2::new(x, z))).into_iter().collect()
        }
        _ => Vec::new(),
    }
}

/// From where to where a piece is drawn that goes right across: floors, ceiling and joists.
fn row_across(layout: &Layout, piece: Piece) -> Option<(f64, f64)> {
    match (piece.whole(), &layout.building.joists) {
        (Piece::Joists, Some(joists)) if joists.lie == Lie::EndOn => {
            let (first_mm, half_mm) = (joists.first.to_mm(), joists.breadth.to_mm() / 2.0);
            let last_mm = first_mm + f64::from(joists.count.saturating_sub(1)) * joists.spacing.to_mm();
            Some((first_mm - half_mm, last_mm + half_mm))
        }
        _ => scene::reach(layout),
    }
}

/// Shows which piece is selected, and by what it can be held.
pub fn outline(painter: &Painter, view: &View, layout: &Layout, piece: Piece, palette: Palette) {
    let building = &layout.building;
    let stroke = Stroke::new(2.0, palette.select);
    let Some((low, high)) = building.extent(piece.whole()) else { return };
    let (foot, head) = (view.screen_from_section(low), view.screen_from_section(high));
    match piece.whole() {
        Piece::Roof => {
            let points = building.roof.iter().flat_map(|roof| &roof.underside);
            let points = points.map(|point| view.screen_from_section(point.vector())).collect();
            painter.add(Shape::line(points, stroke));
        }
        Piece::Wall(number) => {
            if let Some(wall) = building.walls.get(number) {
                let (top, bottom) = [wall.head, wall.foot].map(|level| DVec2::new(0.0, level.to_mm())).into();
                let (top, bottom) = (view.screen_from_section(top).y, view.screen_from_section(bottom).y);
                let rect = Rect::from_two_pos(pos2(foot.x, bottom), pos2(head.x, top));
                painter.rect_stroke(rect, 0.0, stroke, StrokeKind::Outside);
            }
        }
        Piece::Hatch => {
            let (under, over) = rows_of_hatch(building).unwrap_or_default();
            let [under, over] = [under, over].map(|level| view.screen_from_section(DVec2::new(0.0, level)).y);
            let rect = Rect::from_two_pos(pos2(foot.x, under), pos2(head.x, over));
            painter.rect_stroke(rect, 0.0, stroke, StrokeKind::Outside);
        }
        _ => {
            let (left, right) = row_across(layout, piece).map_or(
                (view.rect.left() - BEYOND, view.rect.right() + BEYOND),
                |(left, right)| {
                    let [left, right] = [left, right].map(|x| view.screen_from_section(DVec2::new(x, 0.0)).x);
                    (left, right)
                },
            );
            let row = Rect::from_two_pos(pos2(left, foot.y), pos2(right, head.y));
            painter.rect_stroke(row.expand2(egui::vec2(0.0, 2.0)), 0.0, stroke, StrokeKind::Outside);
        }
    }
    for (_, place) in handles(building, piece) {
        handle(painter, view.screen_from_section(place), palette);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_joist_that_is_pointed_at_goes_before_the_ceiling_near_by() {
        let building = crate::desk::examples::first().building;
        let (foot, _) = building.extent(Piece::Joists).expect("joists");
        let under_at = |z: f64| under(&building, None, DVec2::new(3000.0, z), 60.0);
        assert_eq!(under_at(foot.y + 40.0), Some(Piece::Joists));
        let ceiling = building.ceiling.expect("a ceiling");
        assert_eq!(under_at(ceiling.underside.to_mm() + 5.0), Some(Piece::Ceiling));
        assert_eq!(under_at(ceiling.underside.to_mm() - 30.0), Some(Piece::Ceiling));
    }
}
