//! Where a vessel that is moved comes to stand: a platform close below its base.

use super::hit::extent;
use crate::layout::{Id, Layout, PartRef};

/// How near its base must be to a platform for a vessel to be let down on it, in points.
const REST_REACH: f32 = 12.0;

/// Platforms that a vessel may stand on.
#[derive(Debug, Default)]
pub struct Rests(Vec<Rest>);

#[derive(Debug)]
struct Rest {
    from_mm: f64,
    to_mm: f64,
    top_mm: f64,
    name: String,
}

impl Rests {
    /// The platforms of a layout, without parts that are moved themselves.
    #[must_use]
    pub fn of(layout: &Layout, without: &[Id]) -> Self {
        let platforms = layout.platforms.iter().filter(|platform| !without.contains(&platform.id));
        let rest = |platform| {
            let part = PartRef::Platform(platform);
            let (low, high) = extent(part)?;
            let name = format!("the upper face of {}", part.id().spoken());
            Some(Rest { from_mm: low.x, to_mm: high.x, top_mm: high.y, name })
        };
        Self(platforms.filter_map(rest).collect())
    }

    /// The level on which something comes to stand whose base has its middle at a point, and what that is.
    #[must_use]
    pub fn under(&self, middle_mm: f64, base_mm: f64, mm_per_point: f64) -> Option<(f64, String)> {
        let reach_mm = f64::from(REST_REACH) * mm_per_point;
        let off_mm = |rest: &Rest| (base_mm - rest.top_mm).abs();
        let within = |rest: &&Rest| (rest.from_mm..=rest.to_mm).contains(&middle_mm) && off_mm(rest) <= reach_mm;
        let nearest = self.0.iter().filter(within).min_by(|a, b| off_mm(a).total_cmp(&off_mm(b)))?;
        Some((nearest.top_mm, nearest.name.clone()))
    }
}

#[cfg(test)]
mod tests {
    use glam::dvec2;

    use super::super::snap::{Footing, SnapMarks, Snapping};
    use super::*;

    /// A cistern of the example, 20 mm above its platform, with a level in its way that is nearer.
    #[test]
    fn a_cistern_close_above_a_platform_comes_to_stand_on_it() {
        let layout = crate::desk::examples::first();
        let cistern = layout.cisterns[0].id.clone();
        let (low, high) = extent(layout.part(&cistern).expect("there")).expect("a box");
        let moved = [cistern];
        let standing = || SnapMarks::of(&layout, &moved).for_vessel(&layout, &moved);
        let with_level = |mut marks: SnapMarks| {
            marks.add(low + 18.0, "something else");
            marks
        };
        let up = dvec2(0.0, 20.0);
        let snap = |marks: &SnapMarks, up, snapping| marks.snap_part(low + up, high + up, 8.0, snapping);
        let stood = snap(&with_level(standing()), up, Snapping::On);
        assert!((stood.by.y + 20.0).abs() < 1e-9, "{stood:?}");
        assert!(stood.words().contains("upper face"), "{}", stood.words());
        let elsewhere = snap(&with_level(SnapMarks::of(&layout, &moved)), up, Snapping::On);
        assert!((elsewhere.by.y + 2.0).abs() < 1e-9, "anything else snaps to what is nearest: {elsewhere:?}");
        let suspended = snap(&standing(), up, Snapping::Suspended);
        assert_eq!((suspended.by.y, suspended.footing), (0.0, Footing::Free));
        // Beyond 12 points, 96 mm here, and beside the platform it is left alone.
        assert_eq!(snap(&standing(), dvec2(0.0, 97.0), Snapping::On).footing, Footing::Free);
        assert_eq!(snap(&standing(), dvec2(3000.0, 20.0), Snapping::On).footing, Footing::Free);
    }
}
