//! Plane geometry of the section on glam's f64 vectors: x runs right, z (the vector's y) runs up, in millimetres.

mod point;
mod polyline;
mod span;
mod walk;

pub use point::Point;
pub use polyline::Polyline;
pub use span::Span;
pub use walk::walked;

/// The overlap of two closed intervals, if they have more than a point in common.
#[must_use]
pub fn overlap(a: (f64, f64), b: (f64, f64)) -> Option<(f64, f64)> {
    let (from, to) = (a.0.max(b.0), a.1.min(b.1));
    (from < to).then_some((from, to))
}

/// What of `span` is covered by `covers`, as a length.
#[must_use]
pub fn covered_length(span: (f64, f64), covers: &[(f64, f64)]) -> f64 {
    let mut parts: Vec<(f64, f64)> = covers.iter().filter_map(|cover| overlap(span, *cover)).collect();
    parts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut reached = span.0;
    let mut total = 0.0;
    for (from, to) in parts {
        let from = from.max(reached);
        if to > from {
            total += to - from;
            reached = to;
        }
    }
    total
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn covers_that_overlap_count_once() {
        assert_eq!(covered_length((0.0, 100.0), &[(50.0, 70.0), (-10.0, 60.0), (90.0, 200.0)]), 80.0);
        assert_eq!(covered_length((0.0, 100.0), &[]), 0.0);
    }
}
