//! How much a layout file may hold, so that a wrong or hostile file is refused at once.

use crate::layout::Layout;

/// The largest file that is read. A house takes some ten kilobytes.
pub(super) const LARGEST_FILE: u64 = 16 * 1024 * 1024;
/// The most parts that a layout may hold.
pub(super) const MOST_PARTS: usize = 200_000;
/// The most cisterns, platforms, cylinders or boilers: each of them is looked at together with each other.
pub(super) const MOST_OF_A_KIND: usize = 1_000;
/// The most timbers that one row may hold: at the closest spacing anyone builds, a kilometre of them.
pub(super) const MOST_TIMBERS: u32 = 10_000;

/// What there is too much of: in words, how many there are, and how many there may be.
pub(super) struct Excess {
    pub things: &'static str,
    pub there_are: usize,
    pub at_most: usize,
}

/// The first thing that a layout holds too many of.
pub(super) fn excess(layout: &Layout) -> Option<Excess> {
    let parts = layout.parts().count();
    if parts > MOST_PARTS {
        return Some(Excess { things: "parts", there_are: parts, at_most: MOST_PARTS });
    }
    let large = [
        ("cisterns", layout.cisterns.len()),
        ("platforms", layout.platforms.len()),
        ("cylinders", layout.cylinders.len()),
        ("boilers", layout.boilers.len()),
    ];
    if let Some((things, there_are)) = large.into_iter().find(|(_, count)| *count > MOST_OF_A_KIND) {
        return Some(Excess { things, there_are, at_most: MOST_OF_A_KIND });
    }
    let joists = layout.building.joists.iter().map(|joists| ("joists in one row", joists.count));
    let bearers = layout.platforms.iter().filter_map(|platform| platform.bearers.as_ref());
    let bearers = bearers.map(|bearers| ("bearers under one platform", bearers.count));
    let (things, count) = joists.chain(bearers).find(|(_, count)| *count > MOST_TIMBERS)?;
    Some(Excess { things, there_are: count as usize, at_most: MOST_TIMBERS as usize })
}
