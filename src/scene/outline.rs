//! Outlines made of points: boxes and arcs.

use glam::{DVec2, dvec2};

/// Pieces of a full turn; fine enough that none shows at 1:5.
const PIECES_OF_A_TURN: f64 = 48.0;

/// The four corners of a box, from the lower left.
pub(super) fn corners(low: DVec2, high: DVec2) -> Vec<DVec2> {
    vec![low, dvec2(high.x, low.y), high, dvec2(low.x, high.y)]
}

/// An arc of an ellipse around `middle`, from one angle to another in degrees, anticlockwise from the right.
pub(super) fn arc(middle: DVec2, radii: DVec2, from_deg: f64, to_deg: f64) -> Vec<DVec2> {
    let pieces = ((to_deg - from_deg).abs() / 360.0 * PIECES_OF_A_TURN).ceil().max(1.0) as u32;
    let at = |piece: u32| {
        let angle = (from_deg + (to_deg - from_deg) * f64::from(piece) / f64::from(pieces)).to_radians();
        middle + radii * dvec2(angle.cos(), angle.sin())
    };
    (0..=pieces).map(at).collect()
}

/// A whole circle, its last point next to its first.
pub(super) fn circle(middle: DVec2, radius: f64) -> Vec<DVec2> {
    let mut points = arc(middle, DVec2::splat(radius), 0.0, 360.0);
    points.pop();
    points
}
