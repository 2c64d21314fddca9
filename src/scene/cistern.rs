//! A cistern cut open: body, water, lid, jacket, float valve and dip tube.

use glam::{DVec2, dvec2};

use super::outline::{circle, corners};
use super::parts::{BODY, THIN, name};
use super::{Ink, Origin, Pen, PenWidth, PipeWidth, Scene, Shape, Slant, Symbol};
use crate::layout::{Cistern, CisternRole, DipTube, FloatValve, INLET, Jacket, Lid, PartRef, Screen};
use crate::measure::{Feature, Place, Site};

const LID_MM: f64 = 22.0;
/// How far a lid stands out beyond the rim, and how high a loose one is shown above it.
const LID_LIP_MM: f64 = 14.0;
const LOOSE_GAP_MM: f64 = 24.0;
/// Thickness at which a jacket is shown whose thickness is not told.
const JACKET_MM: f64 = 60.0;
/// Radius of a float.
const FLOAT_MM: f64 = 48.0;

pub(super) fn draw(scene: &mut Scene, site: &Site<'_>, cistern: &Cistern) {
    let origin = Origin::Part(cistern.id.clone());
    if let Some(jacket) = cistern.jacket {
        draw_jacket(scene, &origin, cistern, jacket);
    }
    let rim = cistern.height.to_mm();
    scene.area(&origin, between(cistern, 0.0, rim), Some(Ink::Paper), None);
    water(scene, &origin, cistern);
    scene.area(&origin, between(cistern, 0.0, rim), None, Some(BODY));
    lid(scene, &origin, cistern);
    for connection in &cistern.connections {
        if let Some(at) = PartRef::Cistern(cistern).port(connection.port.as_str()) {
            let half = dvec2(9.0, 26.0);
            scene.area(&origin, corners(at.vector() - half, at.vector() + half), Some(Ink::Paper), Some(THIN));
        }
    }
    if let Some(valve) = cistern.float_valve {
        float_valve(scene, &origin, site, cistern, valve);
    }
    if let Some(end) = site.locate(&Place::of(&cistern.id, Feature::DipTubeEnd)) {
        dip_tube(scene, &origin, site, cistern, end);
    }
    let more = match cistern.role {
        CisternRole::Storage => None,
        CisternRole::FeedAndExpansion => Some("feed and expansion".to_owned()),
    };
    let low = cistern.at.vector();
    let water_top = cistern.water_line.map_or(rim, |line| line.to_mm().clamp(0.0, rim));
    name(scene, &cistern.id, more, low, low + dvec2(cistern.length.to_mm(), water_top.max(rim * 0.3)));
}

/// The inside between two heights above the base.
fn between(cistern: &Cistern, low_mm: f64, high_mm: f64) -> Vec<DVec2> {
    let (left, right) = cistern.span_mm();
    let middle = f64::midpoint(left, right);
    let base = cistern.at.z.to_mm();
    let side = |height: f64| {
        // Sides that would cross each other meet in the middle.
        let lean = cistern.draft_at_mm(height).min(middle - left);
        (dvec2(left + lean, base + height), dvec2(right - lean, base + height))
    };
    let (low, high) = (side(low_mm), side(high_mm));
    vec![low.0, low.1, high.1, high.0]
}

fn water(scene: &mut Scene, origin: &Origin, cistern: &Cistern) {
    let Some(line) = cistern.water_line else { return };
    let line = line.to_mm().clamp(0.0, cistern.height.to_mm());
    if line <= 0.0 {
        return;
    }
    let body = between(cistern, 0.0, line);
    let surface = [body[3], body[2]];
    scene.area(origin, body, Some(Ink::Water), None);
    scene.line(origin, surface, Pen::solid(Ink::ColdPipe, PenWidth::Fine));
    let at = surface[0].lerp(surface[1], 0.62);
    scene.add(origin, Shape::Symbol { at, along: DVec2::X, symbol: Symbol::WaterLevel, ink: Ink::ColdPipe });
}

fn lid(scene: &mut Scene, origin: &Origin, cistern: &Cistern) {
    let gap = match cistern.lid {
        Some(Lid::Tight) => 0.0,
        Some(Lid::Loose) => LOOSE_GAP_MM,
        Some(Lid::Missing) | None => return,
    };
    let (left, right) = cistern.span_mm();
    let low = dvec2(left - LID_LIP_MM, cistern.rim().to_mm() + gap);
    let high = dvec2(right + LID_LIP_MM, low.y + LID_MM);
    scene.area(origin, corners(low, high), Some(Ink::Paper), Some(THIN));
    if gap == 0.0 {
        for x in [left, right] {
            let lip = corners(dvec2(x - LID_LIP_MM, low.y - 20.0), dvec2(x + LID_LIP_MM, low.y));
            scene.area(origin, lip, Some(Ink::Paper), Some(THIN));
        }
    }
    if let Some(screen) = cistern.lid_screen {
        let at = dvec2(left + (right - left) * 0.36, high.y);
        let cap = corners(at - dvec2(30.0, 0.0), at + dvec2(30.0, 34.0));
        scene.area(origin, cap.clone(), Some(Ink::Paper), Some(THIN));
        if matches!(screen, Screen::Mesh(_)) {
            scene.add(origin, Shape::Hatch { points: cap, slant: Slant::Level, apart_mm: 0.3, pen: THIN });
        }
    }
}

fn draw_jacket(scene: &mut Scene, origin: &Origin, cistern: &Cistern, jacket: Jacket) {
    let thickness = jacket.thickness.map_or(JACKET_MM, crate::units::Size::to_mm);
    let (left, right) = cistern.span_mm();
    let (base, rim) = (cistern.at.z.to_mm(), cistern.rim().to_mm());
    let mut bands = Vec::new();
    if jacket.sides {
        let body = between(cistern, 0.0, cistern.height.to_mm());
        let out = dvec2(thickness, 0.0);
        bands.push(vec![body[0] - out, body[0], body[3], body[3] - out]);
        bands.push(vec![body[1], body[1] + out, body[2] + out, body[2]]);
    }
    if jacket.top {
        let side = if jacket.sides { thickness } else { 0.0 };
        let low = dvec2(left - side, rim);
        bands.push(corners(low, dvec2(right + side, rim + LID_MM + thickness)));
    }
    for band in bands {
        blanket(scene, origin, band);
    }
    if cistern.loft_insulation_below == Some(true) {
        blanket(scene, origin, corners(dvec2(left, base - thickness), dvec2(right, base)));
    }
}

/// Insulation: a soft band with open hatching.
pub(super) fn blanket(scene: &mut Scene, origin: &Origin, band: Vec<DVec2>) {
    scene.area(origin, band.clone(), Some(Ink::Lagging), None);
    let pen = Pen::solid(Ink::Faint, PenWidth::Hair);
    scene.add(origin, Shape::Hatch { points: band.clone(), slant: Slant::Rising, apart_mm: 0.9, pen });
    scene.add(origin, Shape::Hatch { points: band.clone(), slant: Slant::Falling, apart_mm: 0.9, pen });
    scene.area(origin, band, None, Some(Pen::solid(Ink::Faint, PenWidth::Fine)));
}

fn float_valve(scene: &mut Scene, origin: &Origin, site: &Site<'_>, cistern: &Cistern, valve: FloatValve) {
    let Some(shank) = PartRef::Cistern(cistern).port(INLET).map(crate::geom::Point::vector) else { return };
    let (left, right) = cistern.span_mm();
    let inward = if shank.x < f64::midpoint(left, right) { 1.0 } else { -1.0 };
    let body = shank + dvec2(60.0 * inward, 0.0);
    let base = cistern.at.z.to_mm();
    // The float rides half sunk; where no water line is told it hangs at the valve.
    let water = cistern.water_level().map_or(body.y - FLOAT_MM, crate::units::Level::to_mm);
    let reach = (cistern.length.to_mm() * 0.36).clamp(FLOAT_MM, 420.0);
    let float = dvec2(body.x + reach * inward, water.max(base + FLOAT_MM));
    scene.line(origin, [body, float], THIN);
    scene.area(origin, circle(float, FLOAT_MM), Some(Ink::Paper), Some(THIN));
    let seam = [float - dvec2(FLOAT_MM, 0.0), float + dvec2(FLOAT_MM, 0.0)];
    scene.line(origin, seam, Pen::solid(Ink::Faint, PenWidth::Hair));
    scene.line(origin, [shank, body], Pen::solid(Ink::Ink, PenWidth::Heavy));
    let half = dvec2(26.0, 20.0);
    scene.area(origin, corners(body - half, body + half), Some(Ink::Paper), Some(THIN));
    if valve.outlet.is_some()
        && let Some(spout) = site.locate(&Place::of(&cistern.id, Feature::FloatValveOutlet))
    {
        let half = dvec2(10.0, 0.0);
        scene.line(origin, [body, spout], THIN);
        scene.line(origin, [spout - half, spout + half], BODY);
    }
}

fn dip_tube(scene: &mut Scene, origin: &Origin, site: &Site<'_>, cistern: &Cistern, end: DVec2) {
    let from = site.warning_ports(cistern).into_iter().next();
    let Some(port) = from.and_then(|port| PartRef::Cistern(cistern).port(port.as_str())) else { return };
    if matches!(cistern.dip_tube, Some(DipTube::EndsAt(_))) {
        let points = vec![port.vector(), dvec2(end.x, port.z.to_mm()), end];
        let width = PipeWidth::tube(22.0);
        scene.add(origin, Shape::Pipe { points: points.clone(), width: width.with_more(0.3), ink: Ink::Ink });
        scene.add(origin, Shape::Pipe { points, width: width.with_more(-0.1), ink: Ink::Paper });
    }
}
