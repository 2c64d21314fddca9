//! Plane geometry of the section on glam's f64 vectors: x runs right, z (the vector's y) runs up, in millimetres.

mod point;
mod polyline;
mod span;
mod walk;

pub use point::Point;
pub use polyline::{ONE_JOINT_MM, Polyline, SAME_PLACE_MM, is_same_place};
pub use span::Span;
pub use walk::walked;

/// The overlap of two closed intervals, if they have more than a point in common.
#[must_use]
pub fn overlap(a: (f64, f64), b: (f64, f64)) -> Option<(f64, f64)> {
    let (from, to) = (a.0.max(b.0), a.1.min(b.1));
    (from < to).then_some((from, to))
}
