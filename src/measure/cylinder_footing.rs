//! Measures of what a cylinder stands on: that its platform reaches under all of it.

use super::reading::{tenths_mm, written_mm};
use super::standing::platforms_of;
use super::{Axis, Feature, Place, Reading, Site};
use crate::layout::{Cylinder, Platform};

/// How far the platform of each cylinder reaches beyond it at the left and at the right; at the front and the back as well
/// where both say how they stand to each other. One that stands on a floor, or on several platforms, is not asked.
#[must_use]
pub fn reach(site: &Site<'_>) -> Vec<Reading> {
    let of = |cylinder| match platforms_of(site, Into::into(cylinder)).as_slice() {
        [platform] => sides(site, cylinder, platform),
        _ => Vec::new(),
    };
    site.layout().cylinders.iter().flat_map(of).collect()
}

fn sides(site: &Site<'_>, cylinder: &Cylinder, platform: &Platform) -> Vec<Reading> {
    let (own, board) = (cylinder.span_mm(), platform.span_mm());
    let side = |name: &'static str, from_mm: f64, to_mm: f64| {
        let out = site.taped(to_mm - from_mm);
        let working = format!("{} − {} = {} mm", written_mm(to_mm), written_mm(from_mm), tenths_mm(out.value));
        Reading::mm(&platform.id, out).on_side(name).along_with([&cylinder.id]).working(working)
    };
    let edge = |feature: fn() -> Feature| [Place::of(&platform.id, feature()), Place::of(&cylinder.id, feature())];
    let mut sides = vec![
        side("left", board.0, own.0).between(Axis::Level, edge(|| Feature::Left)),
        side("right", own.1, board.1).between(Axis::Level, edge(|| Feature::Right)),
    ];
    if let (Some(own), Some(board)) = (cylinder.front_and_back_mm(), platform.front_and_back_mm()) {
        let middle = || Place::of(&platform.id, Feature::Middle);
        sides.push(side("front", board.0, own.0).at(middle()));
        sides.push(side("back", own.1, board.1).at(middle()));
    }
    sides
}
