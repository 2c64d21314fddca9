//! Where something comes to stand: a vessel on a platform close below its base, a platform on bearers or under a vessel,
//! joists on the ceiling.

use glam::DVec2;

use super::hit::extent;
use crate::catalogue::bearer_depths_mm;
use crate::desk::Stock;
use crate::layout::{Id, Layout, PartRef, Piece, UNTOLD_BOARD_MM};
use crate::outset::usual_house::JOIST_DEPTH_MM;

/// How near its base must be to a platform below or above it for a vessel to come to stand on it, in points.
const REST_REACH: f32 = 12.0;
/// A vessel that is let go so far above a platform at most is let down on it, mm.
const LET_DOWN_MM: f64 = 250.0;
/// What lies no further above a platform than this is a part of it, mm.
const SAME_MM: f64 = 0.5;

/// The level at which something that is placed comes to stand, and what that is; none where it is left in the air.
#[must_use]
pub fn comes_to_stand(stock: Stock, layout: &Layout, at: DVec2, mm_per_point: f64) -> Option<(f64, String)> {
    let reach_mm = f64::from(REST_REACH) * mm_per_point;
    match stock {
        Stock::Storage(_) | Stock::FeedAndExpansion(_) | Stock::Cylinder(_) => {
            Rests::of(layout, &[]).under(at.x, at.y, mm_per_point)
        }
        Stock::Platform => under_vessel(layout, at, reach_mm).or_else(|| on_bearers(layout, at.y, reach_mm)),
        Stock::Joists => on_ceiling(layout, at.y, reach_mm),
        _ => None,
    }
}

/// The underside of a board whose upper face touches the base of a cistern or cylinder above it. One points at the board or
/// at the base.
fn under_vessel(layout: &Layout, at: DVec2, reach_mm: f64) -> Option<(f64, String)> {
    let off_mm = |level_mm: f64| (level_mm - at.y).abs();
    let vessels = layout.parts().filter(|part| matches!(part, PartRef::Cistern(_) | PartRef::Cylinder(_)));
    let below = vessels.filter_map(|vessel| {
        let (low, high) = extent(vessel)?;
        let level_mm = low.y - UNTOLD_BOARD_MM;
        let is_near = off_mm(level_mm) <= reach_mm || off_mm(low.y) <= reach_mm;
        let is_there = (low.x..=high.x).contains(&at.x) && is_near;
        is_there.then(|| (level_mm, format!("a board under {}", vessel.id().spoken())))
    });
    below.min_by(|a, b| off_mm(a.0).total_cmp(&off_mm(b.0)))
}

/// The joists, or bearers on them of the depth in which they are sold that comes nearest.
fn on_bearers(layout: &Layout, level_mm: f64, reach_mm: f64) -> Option<(f64, String)> {
    let top_mm = layout.building.joists.as_ref()?.top.to_mm();
    let up_mm = level_mm - top_mm;
    let depths_mm = bearer_depths_mm();
    let deepest_mm = depths_mm.iter().copied().fold(0.0, f64::max);
    if !(-reach_mm..=deepest_mm + reach_mm).contains(&up_mm) {
        return None;
    }
    let off_mm = |depth_mm: &f64| (depth_mm - up_mm).abs();
    let on_joists = std::iter::once(0.0);
    let depth_mm = on_joists.chain(depths_mm).min_by(|a, b| off_mm(a).total_cmp(&off_mm(b)))?;
    let words = if depth_mm > 0.0 {
        format!("the top of {depth_mm} mm bearers on the joists")
    } else {
        "the top of the joists".to_owned()
    };
    Some((top_mm + depth_mm, words))
}

/// The top of joists that stand on the ceiling, for a level at the ceiling or where such joists would be.
fn on_ceiling(layout: &Layout, level_mm: f64, reach_mm: f64) -> Option<(f64, String)> {
    let ceiling = layout.building.ceiling?;
    let underside_mm = ceiling.underside.to_mm();
    let top_mm = underside_mm + ceiling.thickness.to_mm() + JOIST_DEPTH_MM;
    let is_there = (underside_mm - reach_mm..=top_mm + reach_mm).contains(&level_mm);
    is_there.then(|| (top_mm, format!("the top of {JOIST_DEPTH_MM} mm joists that stand on the ceiling")))
}

/// Platforms that a vessel may stand on, and what may lie between it and one of them.
#[derive(Debug, Default)]
pub struct Rests {
    platforms: Vec<Rest>,
    /// Boxes of what else would have to be passed on the way down.
    between: Vec<(DVec2, DVec2)>,
}

#[derive(Debug)]
struct Rest {
    from_mm: f64,
    to_mm: f64,
    top_mm: f64,
    name: String,
}

impl Rests {
    /// The platforms of a layout and what lies over them, without parts that are moved themselves.
    #[must_use]
    pub fn of(layout: &Layout, without: &[Id]) -> Self {
        let is_vessel =
            |part: &PartRef<'_>| matches!(part, PartRef::Cistern(_) | PartRef::Cylinder(_) | PartRef::Boiler(_));
        let vessels = layout.parts().filter(|part| is_vessel(part) && !without.contains(part.id())).filter_map(extent);
        let across = |(low, high): (DVec2, DVec2)| (low.with_x(f64::NEG_INFINITY), high.with_x(f64::INFINITY));
        let is_across = |piece: &Piece| matches!(piece, Piece::Storey(_) | Piece::Ceiling | Piece::Joists);
        let pieces = layout.building.pieces().filter(is_across);
        let pieces = pieces.filter_map(|piece| layout.building.extent(piece)).map(across);
        let platforms = layout.platforms.iter().filter(|platform| !without.contains(&platform.id));
        let rest = |platform| {
            let part = PartRef::Platform(platform);
            let (low, high) = extent(part)?;
            let name = format!("the upper face of {}", part.id().spoken());
            Some(Rest { from_mm: low.x, to_mm: high.x, top_mm: high.y, name })
        };
        Self { platforms: platforms.filter_map(rest).collect(), between: vessels.chain(pieces).collect() }
    }

    /// The level on which something comes to stand whose base has its middle at a point, and what that is: a platform close
    /// to it, else the highest below it that it would fall on.
    #[must_use]
    pub fn under(&self, middle_mm: f64, base_mm: f64, mm_per_point: f64) -> Option<(f64, String)> {
        let reach_mm = f64::from(REST_REACH) * mm_per_point;
        let off_mm = |rest: &Rest| (base_mm - rest.top_mm).abs();
        let lets_down = |rest: &Rest| {
            (0.0..=LET_DOWN_MM).contains(&(base_mm - rest.top_mm)) && self.is_free(middle_mm, (rest.top_mm, base_mm))
        };
        let within = |rest: &&Rest| {
            (rest.from_mm..=rest.to_mm).contains(&middle_mm) && (off_mm(rest) <= reach_mm || lets_down(rest))
        };
        let nearest = self.platforms.iter().filter(within).min_by(|a, b| off_mm(a).total_cmp(&off_mm(b)))?;
        Some((nearest.top_mm, nearest.name.clone()))
    }

    /// Whether nothing lies between two levels below a point.
    fn is_free(&self, x_mm: f64, (foot_mm, head_mm): (f64, f64)) -> bool {
        let is_between = |(low, high): &(DVec2, DVec2)| {
            (low.x..=high.x).contains(&x_mm) && high.y > foot_mm + SAME_MM && low.y < head_mm - SAME_MM
        };
        !self.between.iter().any(is_between)
    }
}

#[cfg(test)]
mod tests {
    use glam::dvec2;

    use crate::geom::Point;
    use crate::layout::{Ceiling, Cistern, CisternRole, Cylinder, Joists, Part};
    use crate::units::{Length, Level, Size};

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
        // Beyond 250 mm, far below its upper face, and beside the platform it is left alone.
        assert_eq!(snap(&standing(), dvec2(0.0, 249.0), Snapping::On).footing, Footing::OnPlatform);
        assert_eq!(snap(&standing(), dvec2(0.0, 251.0), Snapping::On).footing, Footing::Free);
        assert_eq!(snap(&standing(), dvec2(0.0, -97.0), Snapping::On).footing, Footing::Free);
        assert_eq!(snap(&standing(), dvec2(3000.0, 20.0), Snapping::On).footing, Footing::Free);
    }

    #[test]
    fn a_vessel_is_let_down_on_a_platform_only_where_nothing_lies_between() {
        let mut layout = crate::desk::examples::first();
        let cistern = layout.cisterns.remove(0);
        let (low, high) = extent(PartRef::Cistern(&cistern)).expect("a box");
        let middle_mm = f64::midpoint(low.x, high.x);
        let stands = |layout: &Layout| Rests::of(layout, &[]).under(middle_mm, low.y + 200.0, 1.0).map(|rest| rest.0);
        assert_eq!(stands(&layout), Some(low.y));
        let mut with_other = layout.clone();
        let (length, height) = (Size::mm(300.0), Size::mm(150.0));
        let at = Point::mm(middle_mm - 150.0, low.y);
        with_other.cisterns.push(Cistern::new(Id::of("other"), CisternRole::FeedAndExpansion, at, length, height));
        assert_eq!(stands(&with_other), None, "a cistern stands there");
        let mut floored = layout.clone();
        floored.building.ceiling = Some(Ceiling { underside: Level::mm(low.y + 100.0), thickness: Size::mm(13.0) });
        assert_eq!(stands(&floored), None, "a ceiling lies between");
    }

    /// A ceiling at 5000 mm, its joists on it, and a cistern in the air.
    fn loft() -> Layout {
        let mut layout = Layout::default();
        layout.building.ceiling = Some(Ceiling { underside: Level::mm(5000.0), thickness: Size::mm(13.0) });
        let section = (Size::mm(47.0), Size::mm(147.0));
        layout.building.joists = Some(Joists::new(Level::mm(5160.0), Length::mm(300.0), Size::mm(400.0), 17, section));
        let (length, height) = (Size::mm(900.0), Size::mm(600.0));
        let cistern = Cistern::new(Id::of("cistern"), CisternRole::Storage, Point::mm(1000.0, 6000.0), length, height);
        layout.cisterns.push(cistern);
        layout
    }

    #[test]
    fn a_platform_lands_on_the_joists_or_on_bearers_that_are_sold_or_under_a_cistern() {
        let layout = loft();
        let level = |x: f64, y: f64| comes_to_stand(Stock::Platform, &layout, dvec2(x, y), 4.0).map(|rest| rest.0);
        for (clicked, stands) in
            [(5150.0, Some(5160.0)), (5230.0, Some(5232.0)), (5260.0, Some(5257.0)), (4000.0, None), (6500.0, None)]
        {
            assert_eq!(level(2500.0, clicked), stands, "clicked at {clicked}");
        }
        assert_eq!((level(1400.0, 5990.0), level(2500.0, 5990.0)), (Some(5982.0), None));
    }

    #[test]
    fn a_platform_meets_the_base_of_a_cylinder_that_is_pointed_at() {
        let mut layout = loft();
        let (length, height) = (Size::mm(450.0), Size::mm(900.0));
        layout.cylinders.push(Cylinder::new(Id::of("cylinder"), Point::mm(3000.0, 2800.0), length, height));
        for mm_per_point in [0.5, 4.0] {
            let rest = comes_to_stand(Stock::Platform, &layout, dvec2(3200.0, 2800.0), mm_per_point);
            assert_eq!(rest, Some((2782.0, "a board under cylinder".to_owned())), "at {mm_per_point} mm to a point");
            let Some(Part::Platform(platform)) = Stock::Platform.part(&layout, dvec2(3200.0, 2782.0)) else {
                panic!("no platform")
            };
            assert_eq!(platform.at.z.to_mm(), 2800.0, "its upper face");
        }
    }

    #[test]
    fn joists_stand_on_the_ceiling_that_is_clicked() {
        let layout = loft();
        let level = |y: f64| comes_to_stand(Stock::Joists, &layout, dvec2(0.0, y), 4.0);
        for clicked in [4960.0, 5000.0, 5013.0, 5100.0, 5200.0] {
            assert_eq!(level(clicked).map(|rest| rest.0), Some(5160.0), "clicked at {clicked}");
        }
        assert_eq!([level(4800.0), level(5400.0)], [None, None]);
        assert!(level(5000.0).is_some_and(|rest| rest.1.contains("on the ceiling")));
    }
}
