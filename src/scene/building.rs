//! The building behind the system: walls, floors, ceiling, joists and roof.

use glam::{DVec2, dvec2};

use super::outline::corners;
use super::parts::{THIN, small};
use super::{About, Ink, Origin, Pen, PenWidth, Rank, Scene, Shape, Slant};
use crate::layout::{Building, Ceiling, Joists, Layout, Lie, PartRef, Roof};
use crate::measure::Site;

/// The layout tells only the underside of the roof; this much of its thickness is shown (a rafter's depth).
const ROOF_BAND_MM: f64 = 125.0;
/// Thickness at which a floor is shown whose deck is not told.
const SHOWN_DECK_MM: f64 = 18.0;
/// How far floors reach beyond the outermost parts where there are no walls.
const MARGIN_MM: f64 = 300.0;
/// More timbers than this cannot be told apart on any sheet.
const MOST_TIMBERS: usize = 400;

const OUTLINE: Pen = Pen::solid(Ink::Faint, PenWidth::Fine);
const GRAIN: Pen = Pen::solid(Ink::Faint, PenWidth::Hair);

pub(super) fn draw(scene: &mut Scene, site: &Site<'_>) {
    let building = site.building();
    if let Some((left, right)) = reach(site.layout()) {
        floors(scene, building, left, right);
        if let Some(ceiling) = building.ceiling {
            draw_ceiling(scene, building, ceiling, left, right);
        }
        if let Some(joists) = &building.joists {
            draw_joists(scene, building, joists, left, right);
        }
    } else if let Some(joists) = building.joists.as_ref().filter(|joists| joists.lie == Lie::EndOn) {
        // They tell themselves from where to where they lie.
        joist_ends(scene, building, joists);
    }
    roof(scene, site);
    for wall in &building.walls {
        let low = dvec2(wall.x.to_mm(), wall.foot.to_mm().min(wall.head.to_mm()));
        let high = dvec2(wall.x.to_mm() + wall.thickness.to_mm(), wall.foot.to_mm().max(wall.head.to_mm()));
        scene.area(&Origin::Building, corners(low, high), Some(Ink::Masonry), None);
        hatch(scene, corners(low, high), Slant::Rising, 1.6);
        scene.area(&Origin::Building, corners(low, high), None, Some(OUTLINE));
    }
}

/// From the left of the building to its right, mm: between its walls, else under its roof, else below its parts and to the
/// wall that stands alone; none where nothing of these is drawn.
#[must_use]
pub fn reach(layout: &Layout) -> Option<(f64, f64)> {
    let building = &layout.building;
    let of_walls = building.walls.iter().flat_map(|wall| [wall.x.to_mm(), wall.x.to_mm() + wall.thickness.to_mm()]);
    let roof = building.roof.as_ref().and_then(Roof::line);
    let of_roof = roof.iter().flat_map(|roof| roof.vertices().iter().map(|vertex| vertex.x));
    let of_parts = || {
        let places = layout.parts().filter_map(|part| match part {
            PartRef::Platform(part) => Some(part.span_mm()),
            PartRef::Cistern(part) => Some(part.span_mm()),
            PartRef::Cylinder(part) => Some(part.span_mm()),
            PartRef::Boiler(part) => Some((part.at.x.to_mm(), part.at.x.to_mm() + part.length.to_mm())),
            PartRef::Outlet(part) => Some((part.at.x.to_mm(), part.at.x.to_mm())),
            PartRef::Run(_) | PartRef::Note(_) => None,
        });
        let (left, right) = span(places.flat_map(|(left, right)| [left - MARGIN_MM, right + MARGIN_MM]))?;
        span([left, right].into_iter().chain(of_walls.clone()))
    };
    let between_walls = if building.walls.len() > 1 { span(of_walls.clone()) } else { None };
    between_walls.filter(|(left, right)| right > left).or_else(|| span(of_roof)).or_else(of_parts)
}

fn span(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.fold(None, |span, x| Some(span.map_or((x, x), |(left, right): (f64, f64)| (left.min(x), right.max(x)))))
}

fn floors(scene: &mut Scene, building: &Building, left: f64, right: f64) {
    for storey in &building.storeys {
        let floor = storey.floor.to_mm();
        let thickness = storey.deck.and_then(|deck| deck.thickness).map_or(SHOWN_DECK_MM, crate::units::Size::to_mm);
        let deck = corners(dvec2(left, floor - thickness), dvec2(right, floor));
        let fill = storey.deck.map(|deck| match deck.material {
            crate::layout::BoardMaterial::Concrete => Ink::Masonry,
            _ => Ink::Timber,
        });
        scene.area(&Origin::Building, deck, fill, None);
        let top = [dvec2(left, floor), dvec2(right, floor)];
        scene.line(&Origin::Building, top, Pen::solid(Ink::Faint, PenWidth::Medium));
        let under = [dvec2(left, floor - thickness), dvec2(right, floor - thickness)];
        scene.line(&Origin::Building, under, GRAIN);
        let words = format!("{} {:+.2} m", storey.id.spoken(), floor / 1000.0);
        let about = About::Floor { from: top[0], to: top[1] };
        small(scene, &Origin::Building, vec![words], Ink::Ink, about, Rank::Building);
    }
}

/// The opening into the loft, from left to right.
fn opening(building: &Building) -> Option<(f64, f64)> {
    let hatch = building.opening()?;
    Some((hatch.x.to_mm(), hatch.x.to_mm() + hatch.length.to_mm()))
}

fn draw_ceiling(scene: &mut Scene, building: &Building, ceiling: Ceiling, left: f64, right: f64) {
    let (low, high) = (ceiling.underside.to_mm(), ceiling.underside.to_mm() + ceiling.thickness.to_mm());
    let pieces = match opening(building) {
        Some((from, to)) => vec![(left, from.clamp(left, right)), (to.clamp(left, right), right)],
        None => vec![(left, right)],
    };
    for (from, to) in pieces.into_iter().filter(|(from, to)| to > from) {
        let board = corners(dvec2(from, low), dvec2(to, high));
        scene.area(&Origin::Building, board, Some(Ink::Paper), Some(OUTLINE));
    }
    if let Some((from, to)) = opening(building) {
        let top = building.joists.as_ref().map_or(high, |joists| joists.top.to_mm());
        for x in [from, to] {
            scene.line(&Origin::Building, [dvec2(x, low), dvec2(x, top)], OUTLINE);
        }
        let closed = [dvec2(from, low), dvec2(to, low)];
        scene.line(&Origin::Building, closed, Pen::dashed(Ink::Faint, PenWidth::Fine));
        let about = About::Course(closed.to_vec());
        small(scene, &Origin::Building, vec!["hatch".to_owned()], Ink::Ink, about, Rank::Building);
    }
}

fn draw_joists(scene: &mut Scene, building: &Building, joists: &Joists, left: f64, right: f64) {
    let (low, high) = (joists.top.to_mm() - joists.depth.to_mm(), joists.top.to_mm());
    if joists.lie == Lie::Along {
        return timber(scene, &Origin::Building, dvec2(left, low), dvec2(right, high), Seen::Along);
    }
    joist_ends(scene, building, joists);
}

/// Joists that are seen end-on.
fn joist_ends(scene: &mut Scene, building: &Building, joists: &Joists) {
    let (low, high) = (joists.top.to_mm() - joists.depth.to_mm(), joists.top.to_mm());
    let half = joists.breadth.to_mm() / 2.0;
    let in_opening = |x: f64| opening(building).is_some_and(|(from, to)| x + half > from && x - half < to);
    for x in joists.centres_mm().take(MOST_TIMBERS) {
        let (low, high) = (dvec2(x - half, low), dvec2(x + half, high));
        if in_opening(x) {
            // Trimmed around the opening: seen behind it.
            scene.area(&Origin::Building, corners(low, high), None, Some(Pen::dashed(Ink::Faint, PenWidth::Hair)));
        } else {
            timber(scene, &Origin::Building, low, high, Seen::EndOn);
        }
    }
}

/// How a timber lies to the eye, which shows in its grain.
pub(super) enum Seen {
    /// From its end.
    EndOn,
    /// From its side.
    Along,
    /// Standing.
    Upright,
}

pub(super) fn timber(scene: &mut Scene, origin: &Origin, low: DVec2, high: DVec2, seen: Seen) {
    scene.area(origin, corners(low, high), Some(Ink::Timber), None);
    let hatch = |slant, apart_mm| Shape::Hatch { points: corners(low, high), slant, apart_mm, pen: GRAIN };
    match seen {
        Seen::EndOn => scene.add(origin, hatch(Slant::Rising, 0.7)),
        Seen::Along => scene.add(origin, hatch(Slant::Level, 0.8)),
        Seen::Upright => {
            let middle = (low.x + high.x) / 2.0;
            scene.line(origin, [dvec2(middle, low.y), dvec2(middle, high.y)], GRAIN);
        }
    }
    scene.area(origin, corners(low, high), None, Some(THIN));
}

fn roof(scene: &mut Scene, site: &Site<'_>) {
    let Some(roof) = site.roof() else { return };
    let up = dvec2(0.0, ROOF_BAND_MM);
    for (from, to) in roof.segments() {
        let band = vec![from, to, to + up, from + up];
        scene.area(&Origin::Building, band.clone(), Some(Ink::Timber), None);
        // Across the rafter on both slopes.
        hatch(scene, band, if to.y >= from.y { Slant::Falling } else { Slant::Rising }, 2.4);
    }
    let over: Vec<DVec2> = roof.vertices().iter().map(|vertex| *vertex + up).collect();
    scene.line(&Origin::Building, over, OUTLINE);
    scene.line(&Origin::Building, roof.vertices(), Pen::solid(Ink::Faint, PenWidth::Medium));
}

fn hatch(scene: &mut Scene, points: Vec<DVec2>, slant: Slant, apart_mm: f64) {
    scene.add(&Origin::Building, Shape::Hatch { points, slant, apart_mm, pen: GRAIN });
}
