//! A cylinder cut open: domed body, the water in it, coil, immersion heaters and insulation.

use glam::{DVec2, dvec2};

use super::cistern::blanket;
use super::outline::{arc, corners};
use super::parts::{BODY, THIN, name};
use super::{Ink, Origin, Pen, PenWidth, Scene};
use crate::layout::{COIL_FLOW, COIL_RETURN, Cylinder, Immersion, ImmersionPlace, PartRef};

/// Rise of the dome as a share of the diameter.
const DOME_SHARE: f64 = 0.16;
/// Up to here the tint is that of cold water: what came in last.
const COLD_SHARE: f64 = 0.16;
/// Turns at which a coil is shown.
const TURNS: u32 = 5;

pub(super) fn draw(scene: &mut Scene, cylinder: &Cylinder) {
    let origin = Origin::Part(cylinder.id.clone());
    if let Some(thickness) = cylinder.insulation.map(crate::units::Length::to_mm).filter(|mm| *mm > 0.0) {
        insulation(scene, &origin, cylinder, thickness);
    }
    let low = cylinder.at.vector();
    let (width, height) = (cylinder.diameter.to_mm(), cylinder.height.to_mm());
    scene.area(&origin, body(cylinder, 0.0), Some(Ink::HotWater), None);
    let cold = corners(low, low + dvec2(width, height * COLD_SHARE));
    scene.area(&origin, cold, Some(Ink::Water), None);
    scene.area(&origin, body(cylinder, 0.0), None, Some(BODY));
    seam(scene, &origin, cylinder);
    if cylinder.coil == Some(true) {
        coil(scene, &origin, cylinder);
    }
    for (number, immersion) in (0_u32..).zip(cylinder.immersions.iter().flatten().take(8)) {
        heater(scene, &origin, cylinder, *immersion, f64::from(number));
    }
    let more = cylinder.reference.as_ref().map(|reference| format!("ref. {reference}"));
    name(scene, &cylinder.id, more, low, low + dvec2(width, height));
}

/// Rise of the dome in mm.
fn dome_mm(cylinder: &Cylinder) -> f64 {
    (cylinder.diameter.to_mm() * DOME_SHARE).min(cylinder.height.to_mm() / 2.0)
}

/// The outline, `out` mm outside the bare cylinder; the base stays where it is.
fn body(cylinder: &Cylinder, out: f64) -> Vec<DVec2> {
    let low = cylinder.at.vector();
    let (radius, rise) = (cylinder.diameter.to_mm() / 2.0, dome_mm(cylinder));
    let shoulder = low + dvec2(radius, cylinder.height.to_mm() - rise);
    let mut outline = vec![low - dvec2(out, 0.0), low + dvec2(2.0 * radius + out, 0.0)];
    outline.extend(arc(shoulder, dvec2(radius + out, rise + out), 0.0, 180.0));
    outline
}

fn seam(scene: &mut Scene, origin: &Origin, cylinder: &Cylinder) {
    let (left, right) = cylinder.span_mm();
    let z = cylinder.top().to_mm() - dome_mm(cylinder);
    scene.line(origin, [dvec2(left, z), dvec2(right, z)], Pen::solid(Ink::Faint, PenWidth::Fine));
}

/// The band between the bare outline and the lagged one, in convex pieces.
fn insulation(scene: &mut Scene, origin: &Origin, cylinder: &Cylinder, thickness: f64) {
    blanket(scene, origin, body(cylinder, thickness));
}

fn coil(scene: &mut Scene, origin: &Origin, cylinder: &Cylinder) {
    let part = PartRef::Cylinder(cylinder);
    let (Some(flow), Some(back)) = (part.port(COIL_FLOW), part.port(COIL_RETURN)) else { return };
    let (flow, back) = (flow.vector(), back.vector());
    let (left, right) = cylinder.span_mm();
    let inset = (right - left) * 0.2;
    let pen = Pen::solid(Ink::PrimaryPipe, PenWidth::Medium);
    let mut course = vec![flow];
    for turn in 0..TURNS {
        let z = |half: f64| flow.y + (back.y - flow.y) * (f64::from(turn) + half) / f64::from(TURNS);
        course.push(dvec2(right - inset, z(0.0)));
        course.push(dvec2(left + inset, z(0.5)));
    }
    course.extend([dvec2(right - inset, back.y), back]);
    scene.line(origin, course, pen);
}

fn heater(scene: &mut Scene, origin: &Origin, cylinder: &Cylinder, immersion: Immersion, number: f64) {
    let low = cylinder.at.vector();
    let (width, height) = (cylinder.diameter.to_mm(), cylinder.height.to_mm());
    let step = 0.12 * number;
    let (boss, tip, half) = match immersion.place {
        ImmersionPlace::Top => {
            let x = low.x + width * (0.3 - step).max(0.1);
            (dvec2(x, low.y + height * 0.97), dvec2(x, low.y + height * 0.45), dvec2(28.0, 18.0))
        }
        ImmersionPlace::Bottom => {
            let z = low.y + height * (0.2 + step).min(0.8);
            (dvec2(low.x, z), dvec2(low.x + width * 0.7, z), dvec2(18.0, 28.0))
        }
    };
    let aside = (tip - boss).normalize_or_zero().perp() * 9.0;
    let element = [boss + aside, tip + aside, tip - aside, boss - aside];
    scene.line(origin, element, Pen::solid(Ink::HotPipe, PenWidth::Fine));
    scene.area(origin, corners(boss - half, boss + half), Some(Ink::Paper), Some(THIN));
}
