//! A layout with its roof too low.

use loftwright::geom::Point;
use loftwright::layout::Layout;

/// A layout below a level roof, this far over the rim of its first cistern: nothing is gained by moving aside.
pub fn under_a_level_roof(mut layout: Layout, over_the_rim_mm: f64) -> Layout {
    let at_mm = layout.cisterns[0].rim().to_mm() + over_the_rim_mm;
    let roof = layout.building.roof.as_mut().expect("a roof");
    roof.underside = vec![Point::mm(-2000.0, at_mm), Point::mm(9000.0, at_mm)];
    layout
}
