//! A bent line with distances along it: what a pipe run or a roof line is, reckoned.

use glam::DVec2;

/// What lies no further apart than this along a line is one place: more than rounding leaves, less than any tape shows.
pub const SAME_PLACE_MM: f64 = 1e-6;

/// What joins a line so near to one of its ends, or to a bend, joins it there, mm: distances are written to whole
/// millimetres (common practice, no source).
pub const ONE_JOINT_MM: f64 = 1.0;

/// Whether two distances along a line, mm, are one place.
#[must_use]
pub const fn is_same_place(a_mm: f64, b_mm: f64) -> bool {
    (a_mm - b_mm).abs() <= SAME_PLACE_MM
}

/// At least two vertices, and how far along the line each lies.
#[derive(Debug, Clone, PartialEq)]
pub struct Polyline {
    vertices: Vec<DVec2>,
    along: Vec<f64>,
}

impl Polyline {
    /// A line through `vertices`; vertices that repeat their forerunner are dropped.
    /// `None` when fewer than two distinct vertices are left.
    #[must_use]
    pub fn through(vertices: impl IntoIterator<Item = DVec2>) -> Option<Self> {
        let mut line = Self { vertices: Vec::new(), along: Vec::new() };
        for vertex in vertices {
            match line.vertices.last() {
                None => line.along.push(0.0),
                Some(last) if last.distance(vertex) < 1e-9 => continue,
                Some(last) => line.along.push(line.length() + last.distance(vertex)),
            }
            line.vertices.push(vertex);
        }
        (line.vertices.len() >= 2).then_some(line)
    }

    /// The vertices, in order.
    #[must_use]
    pub fn vertices(&self) -> &[DVec2] {
        &self.vertices
    }

    /// How far along the line each vertex lies, in mm.
    #[must_use]
    pub fn along(&self) -> &[f64] {
        &self.along
    }

    /// The whole length in mm.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.along.last().copied().unwrap_or(0.0)
    }

    /// How far along the line, mm, what is told to join it at a distance along it does so: within [`ONE_JOINT_MM`] of an
    /// end in that end, and beyond an end in it as well.
    #[must_use]
    pub fn joined_at(&self, told_mm: f64) -> f64 {
        let (length_mm, from_end_mm) = (self.length(), self.length() - told_mm);
        if from_end_mm < ONE_JOINT_MM && from_end_mm <= told_mm {
            length_mm
        } else if told_mm < ONE_JOINT_MM {
            0.0
        } else {
            told_mm
        }
    }

    /// The straight pieces as (start, end).
    pub fn segments(&self) -> impl Iterator<Item = (DVec2, DVec2)> + '_ {
        self.vertices.windows(2).map(|pair| (pair[0], pair[1]))
    }

    /// The point `distance` mm along, held within the line.
    #[must_use]
    pub fn point_at(&self, distance: f64) -> DVec2 {
        let (index, share) = self.locate(distance);
        self.vertices[index].lerp(self.vertices[index + 1], share)
    }

    /// The unit direction of travel `distance` mm along.
    #[must_use]
    pub fn direction_at(&self, distance: f64) -> DVec2 {
        let (index, _) = self.locate(distance);
        (self.vertices[index + 1] - self.vertices[index]).normalize_or_zero()
    }

    /// The piece between two distances, run backwards when `from` is the greater. A vertex at an end is that end: it is
    /// no corner of the piece, whichever way its distance was rounded.
    #[must_use]
    pub fn between(&self, from: f64, to: f64) -> Vec<DVec2> {
        let (low, high) = (from.min(to), from.max(to));
        let mut piece = vec![self.point_at(low)];
        let within = |along: f64| along > low + SAME_PLACE_MM && along < high - SAME_PLACE_MM;
        let inner = self.along.iter().zip(&self.vertices).filter(|(along, _)| within(**along));
        piece.extend(inner.map(|(_, vertex)| *vertex));
        piece.push(self.point_at(high));
        if from > to {
            piece.reverse();
        }
        piece
    }

    /// The nearest place on the line: its distance along, and how far off `point` is.
    #[must_use]
    pub fn nearest(&self, point: DVec2) -> (f64, f64) {
        let mut best = (0.0, f64::INFINITY);
        for (index, (start, end)) in self.segments().enumerate() {
            let run = end - start;
            let share = ((point - start).dot(run) / run.length_squared()).clamp(0.0, 1.0);
            let off = point.distance(start + run * share);
            if off < best.1 {
                best = (self.along[index] + run.length() * share, off);
            }
        }
        best
    }

    /// The lowest height of the line above `x`, where the line passes over it.
    #[must_use]
    pub fn height_at(&self, x: f64) -> Option<f64> {
        let over = |(start, end): (DVec2, DVec2)| {
            let (left, right) = if start.x <= end.x { (start, end) } else { (end, start) };
            if x < left.x || x > right.x {
                None
            } else if right.x - left.x < 1e-9 {
                Some(left.y.min(right.y))
            } else {
                Some(left.y + (right.y - left.y) * (x - left.x) / (right.x - left.x))
            }
        };
        self.segments().filter_map(over).min_by(f64::total_cmp)
    }

    /// Index of the segment that holds `distance`, and the share of it that lies before.
    fn locate(&self, distance: f64) -> (usize, f64) {
        let last = self.vertices.len() - 2;
        let index = self.along.partition_point(|along| *along <= distance).saturating_sub(1).min(last);
        let length = self.along[index + 1] - self.along[index];
        (index, ((distance - self.along[index]) / length).clamp(0.0, 1.0))
    }
}

#[cfg(test)]
mod tests {
    use glam::dvec2;

    use super::*;

    fn bent() -> Polyline {
        Polyline::through([dvec2(0.0, 0.0), dvec2(0.0, 0.0), dvec2(100.0, 0.0), dvec2(100.0, 50.0)])
            .expect("three vertices")
    }

    #[test]
    fn distances_run_along_the_line() {
        let line = bent();
        assert_eq!(line.length(), 150.0);
        assert_eq!(line.point_at(120.0), dvec2(100.0, 20.0));
        assert_eq!(line.point_at(900.0), dvec2(100.0, 50.0));
        assert_eq!(line.nearest(dvec2(60.0, -5.0)), (60.0, 5.0));
        assert_eq!(line.between(120.0, 80.0), vec![dvec2(100.0, 20.0), dvec2(100.0, 0.0), dvec2(80.0, 0.0)]);
    }

    #[test]
    fn a_vertex_at_an_end_of_a_piece_is_no_corner_of_it() {
        let line = bent();
        for end in [100.0_f64, 100.0_f64.next_up(), 100.0_f64.next_down()] {
            assert_eq!(line.between(0.0, end).len(), 2, "{end}");
            assert_eq!(line.between(end, 150.0).len(), 2, "{end}");
        }
        assert_eq!(line.between(0.0, 100.001).len(), 3);
    }

    #[test]
    fn what_is_told_to_join_within_a_millimetre_of_an_end_joins_in_it() {
        let line = bent();
        let told = [-5.0, 0.0, 0.9, 1.0, 75.0, 149.0, 149.5, 150.4, 900.0];
        assert_eq!(told.map(|told| line.joined_at(told)), [0.0, 0.0, 0.0, 1.0, 75.0, 149.0, 150.0, 150.0, 150.0]);
        let short = Polyline::through([dvec2(0.0, 0.0), dvec2(0.8, 0.0)]).expect("two vertices");
        assert_eq!([0.3, 0.5].map(|told| short.joined_at(told)), [0.0, 0.8]);
    }

    #[test]
    fn a_roof_line_has_a_height_over_each_x() {
        let roof = Polyline::through([dvec2(0.0, 2500.0), dvec2(2000.0, 4500.0), dvec2(4000.0, 2500.0)]).expect("roof");
        assert_eq!(roof.height_at(500.0), Some(3000.0));
        assert_eq!(roof.height_at(4001.0), None);
    }

    #[test]
    fn one_point_is_no_line() {
        assert!(Polyline::through([dvec2(1.0, 1.0), dvec2(1.0, 1.0)]).is_none());
    }
}
