//! A drawing that is larger than one sheet, shared out over several that overlap a little.

use glam::{DVec2, dvec2};

use crate::scene::{Scene, Shape};

/// Paper that neighbouring sheets have in common, mm.
const OVERLAP_MM: f64 = 10.0;
/// Paper left free around the drawing, mm.
const FREE_MM: f64 = 2.0;
/// A drawing is shared out over no more sheets than this along each side.
const MOST_ALONG: f64 = 12.0;

/// The middle of each sheet in the section, from the upper left one, row by row.
pub(super) fn middles(bounds: Option<(DVec2, DVec2)>, field_mm: DVec2, scale: f64) -> Vec<DVec2> {
    let Some((low, high)) = bounds else { return vec![DVec2::ZERO] };
    let (size, middle) = (high - low + 2.0 * FREE_MM * scale, low.midpoint(high));
    let step = (field_mm - OVERLAP_MM).max(DVec2::ONE) * scale;
    let count = ((size - field_mm * scale) / step).ceil().clamp(DVec2::ZERO, DVec2::splat(MOST_ALONG - 1.0)) + 1.0;
    let place = |number: f64, count: f64| number - (count - 1.0) / 2.0;
    let mut middles = Vec::new();
    for row in 0..count.y as u32 {
        for column in 0..count.x as u32 {
            let off = dvec2(place(f64::from(column), count.x), -place(f64::from(row), count.y));
            middles.push(middle + off * step);
        }
    }
    middles
}

/// The scene for one sheet: marks, dimensions and labels whose place lies on another sheet are left to that one.
pub(super) fn seen(scene: &Scene, low: DVec2, high: DVec2) -> Scene {
    let is_seen = |point: &DVec2| point.cmpge(low).all() && point.cmple(high).all();
    let mut scene = scene.clone();
    scene.items.retain(|item| match &item.shape {
        Shape::Mark(_) => item.shape.points().iter().any(is_seen),
        Shape::Dimension(_) => item.shape.points().iter().all(is_seen),
        _ => true,
    });
    scene
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sheets_cover_the_whole_drawing() {
        let (low, high) = (dvec2(-500.0, 0.0), dvec2(7800.0, 8557.0));
        let field = dvec2(207.0, 196.0);
        for scale in [10.0, 20.0, 50.0] {
            let sheets = middles(Some((low, high)), field, scale);
            let half = field / 2.0 * scale;
            let least = sheets.iter().map(|middle| *middle - half).reduce(DVec2::min).expect("a sheet");
            let most = sheets.iter().map(|middle| *middle + half).reduce(DVec2::max).expect("a sheet");
            assert!(least.cmple(low).all() && most.cmpge(high).all(), "1:{scale}");
        }
        assert_eq!(middles(Some((low, high)), field, 50.0).len(), 1);
        // Two sheets with their overlap reach 8080 mm across and 7640 mm up: three are needed either way.
        assert_eq!(middles(Some((low, high)), field, 20.0).len(), 9);
        assert_eq!(middles(None, field, 20.0), [DVec2::ZERO]);
    }
}
