//! From a point by typed strides to the next points.

use glam::{DVec2, dvec2};

use crate::units::{Course, Gradient, Stride};

/// The points that strides lead to from a point. A stride without a way goes toward `toward`, along the axis that lies
/// nearer. A stride to the side has its own fall, else `fall`.
#[must_use]
pub fn walked(from: DVec2, toward: DVec2, strides: &[Stride], fall: Option<Gradient>) -> Vec<DVec2> {
    let mut at = from;
    let mut last = nearest_course(toward - from);
    let mut points = Vec::with_capacity(strides.len());
    for stride in strides {
        at += match *stride {
            Stride::To { right_mm, up_mm } => dvec2(right_mm, up_mm),
            Stride::Along { course, mm, fall: own } => {
                last = course.unwrap_or(last);
                let drop_mm = own.or(fall).map_or(0.0, |fall| fall.drop_mm(mm));
                match last {
                    Course::Left => dvec2(-mm, -drop_mm),
                    Course::Right => dvec2(mm, -drop_mm),
                    Course::Up => dvec2(0.0, mm),
                    Course::Down => dvec2(0.0, -mm),
                }
            }
        };
        points.push(at);
    }
    points
}

fn nearest_course(way: DVec2) -> Course {
    match (way.x.abs() >= way.y.abs(), way.x >= 0.0, way.y >= 0.0) {
        (true, true, _) => Course::Right,
        (true, false, _) => Course::Left,
        (false, _, true) => Course::Up,
        (false, _, false) => Course::Down,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::strides;

    fn points(text: &str, fall: Option<Gradient>) -> Vec<DVec2> {
        let strides = strides(text).expect("reads");
        walked(dvec2(100.0, 2000.0), dvec2(-500.0, 1900.0), &strides, fall)
    }

    #[test]
    fn a_stride_without_a_way_follows_the_pointer() {
        assert_eq!(points("1200, up 450", None), [dvec2(-1100.0, 2000.0), dvec2(-1100.0, 2450.0)]);
        assert_eq!(points("300, 400", None), [dvec2(400.0, 2400.0)]);
    }

    #[test]
    fn a_fall_is_held_on_strides_to_the_side_only() {
        let fall = Gradient::falling(25.0);
        assert_eq!(points("right 2000, down 300", fall), [dvec2(2100.0, 1950.0), dvec2(2100.0, 1650.0)]);
        assert_eq!(points("right 2000 rise 10 mm/m", fall), [dvec2(2100.0, 2020.0)]);
    }
}
