//! Whether anything that is drawn or told carries a platform, or a vessel: how a load comes down through the air no drawing
//! tells.

use super::reading::whole_mm;
use super::standing::{Vessel, joists_below, platforms_of, weighs_on_joists};
use super::{Feature, Place, Reading, Site, room};
use crate::geom::overlap;
use crate::layout::{Id, Platform};
use crate::units::{Amount, Measured};

/// Packing closes so small a gap below the foot of a platform, mm (common practice, no source).
const PACKED_MM: f64 = 10.0;
/// No board is thicker, mm (common practice, no source): so much lower the foot may be of one whose thickness nobody has told.
const THICKEST_BOARD_MM: f64 = 50.0;
/// A cylinder, or the board under it, stands on bearers or a plinth of up to so much, which nobody draws, mm (common practice,
/// no source).
const PLINTH_MM: f64 = 150.0;
/// Lengths are written to a millimetre: so much too high a frame is not, mm.
const WRITTEN_MM: f64 = 1.0;
/// A gap is there once it is more than so many standard uncertainties.
const COVERAGE: f64 = 2.0;

/// What to find out of how a platform comes down to the joists, where that is not told: nothing that is drawn carries it,
/// neither floor nor another platform, and no frame fills the gap; or its frame is told higher than there is room for.
#[must_use]
pub fn footing_in_doubt(site: &Site<'_>, platform: &Platform) -> Option<String> {
    let mut lowest = platform;
    loop {
        if let Some(find_out) = frame_too_high(site, lowest) {
            return Some(find_out);
        }
        if lies_on_joists_or_floor(site, lowest) {
            return None;
        }
        let Some(below) = platform_below(site, lowest) else { return stands_clear(site, platform) };
        lowest = below;
    }
}

/// Of a platform in the air: on what legs it stands, and on which joists those, is nowhere told.
fn stands_clear(site: &Site<'_>, platform: &Platform) -> Option<String> {
    Some(clear_of(platform, room::over_joists_mm(site, platform)?, "the joists"))
}

fn clear_of(platform: &Platform, clear_mm: f64, below: &str) -> String {
    let is_told = platform.board.is_some_and(|board| board.thickness.is_some());
    let (clear_mm, at_least) = if is_told { (clear_mm, "") } else { (clear_mm - THICKEST_BOARD_MM, "at least ") };
    let on_its_frame = platform
        .frame
        .map_or_else(String::new, |frame| format!("on its frame of {} ", Amount::mm(frame.height.to_mm())));
    find_what_carries(
        &platform.id,
        &format!("{on_its_frame}it stands {at_least}{} mm above {below}", whole_mm(clear_mm)),
    )
}

fn find_what_carries(part: &Id, how: &str) -> String {
    format!("find what carries {}: {how}", part.with_article())
}

/// For each vessel over a floor, and not over the joists of the loft, where the load on those is asked: whether it stands on
/// that floor, or on a platform that comes down to it.
#[must_use]
pub fn stands_on_something(site: &Site<'_>) -> Vec<Reading> {
    let over_floors = Vessel::all(site.layout()).filter(|vessel| !weighs_on_joists(site, vessel.base_mm()));
    over_floors.filter_map(|vessel| on_floor(site, vessel)).collect()
}

fn on_floor(site: &Site<'_>, vessel: Vessel<'_>) -> Option<Reading> {
    let floor_mm = room::floor_below_mm(site, vessel.base_mm() + PACKED_MM)?;
    let platforms = platforms_of(site, vessel);
    let in_doubt = platforms.first().map_or_else(
        || vessel_in_doubt(site, vessel, floor_mm),
        |platform| platform_in_doubt(site, platform, floor_mm),
    );
    let reading = Reading::choice(vessel.id(), in_doubt.map_or(Ok("something that carries it"), Err));
    let reading = reading.along_with(platforms.iter().map(|platform| &platform.id));
    Some(reading.at(Place::of(vessel.id(), Feature::Base)))
}

fn vessel_in_doubt(site: &Site<'_>, vessel: Vessel<'_>, floor_mm: f64) -> Option<String> {
    let gap = site.taped(vessel.base_mm() - floor_mm);
    let how = || format!("it stands {} mm above the floor", whole_mm(gap.value));
    (!is_closed_by(PLINTH_MM, gap)).then(|| find_what_carries(vessel.id(), &how()))
}

/// What to find out of a platform over a floor to which neither it nor those on which it stands come down.
fn platform_in_doubt(site: &Site<'_>, platform: &Platform, floor_mm: f64) -> Option<String> {
    let mut lowest = platform;
    while !reaches_down_to(site, lowest, floor_mm, PLINTH_MM) {
        match platform_below(site, lowest) {
            Some(below) => lowest = below,
            None => return Some(clear_of(platform, platform.foot_mm() - floor_mm, "the floor")),
        }
    }
    None
}

/// Where the frame of a platform, high as it is told, would end below what it is to stand on, there is less room than
/// that: one of the two has been measured wrong.
fn frame_too_high(site: &Site<'_>, platform: &Platform) -> Option<String> {
    let frame = platform.frame?;
    let (level_mm, below) = match joists_below(site, platform) {
        Some(joists) => (joists.top.to_mm(), "the top of the joists"),
        None => (room::floor_below_mm(site, platform.at.z.to_mm())?, "the floor"),
    };
    let above = foot_above(site, platform, level_mm);
    let is_within = -above.value <= WRITTEN_MM + COVERAGE * above.standard_uncertainty();
    (!is_within).then(|| {
        format!(
            "measure the frame below {} again: {} high, as it is told, it would end {} mm below {below}",
            platform.id.with_article(),
            Amount::mm(frame.height.to_mm()),
            whole_mm(-above.value)
        )
    })
}

/// Whether its foot is so near to the joists, or to a floor, that it lies there; or no joists are drawn below it.
fn lies_on_joists_or_floor(site: &Site<'_>, platform: &Platform) -> bool {
    let Some(joists) = joists_below(site, platform) else { return true };
    let floors = site.building().storeys.iter().map(|storey| storey.floor);
    let floors = floors.filter(|floor| *floor <= platform.at.z);
    floors.chain([joists.top]).any(|level| reaches_down_to(site, platform, level.to_mm(), PACKED_MM))
}

/// The highest of the platforms on which it stands.
fn platform_below<'a>(site: &Site<'a>, platform: &Platform) -> Option<&'a Platform> {
    let carries = |other: &&Platform| {
        other.at.z < platform.at.z
            && overlap(other.span_mm(), platform.span_mm()).is_some()
            && !room::stand_behind(other.front_and_back_mm(), platform.front_and_back_mm())
            && reaches_down_to(site, platform, other.at.z.to_mm(), PACKED_MM)
    };
    let below = site.layout().platforms.iter().filter(carries);
    below.max_by_key(|other| other.at.z)
}

/// Whether the foot of a platform comes down to a level, but for so much that fills the gap, mm.
fn reaches_down_to(site: &Site<'_>, platform: &Platform, level_mm: f64, filled_mm: f64) -> bool {
    let gap = foot_above(site, platform, level_mm);
    let untold_mm = match platform.board.and_then(|board| board.thickness) {
        Some(_) => 0.0,
        None => THICKEST_BOARD_MM,
    };
    is_closed_by(filled_mm + untold_mm, gap)
}

/// Whether so much closes a gap, mm, as well as that was measured.
fn is_closed_by(filled_mm: f64, gap: Measured) -> bool {
    gap.value <= filled_mm + COVERAGE * gap.standard_uncertainty()
}

/// How far the foot of a platform stands above a level, mm. Where a frame is told, it and the room for it were measured
/// each by itself.
fn foot_above(site: &Site<'_>, platform: &Platform, level_mm: f64) -> Measured {
    let over_mm = platform.foot_mm() - level_mm;
    match platform.frame.map(|frame| frame.height.to_mm()) {
        None => site.taped(over_mm),
        Some(frame_mm) => site.taped(over_mm + frame_mm) - site.taped(frame_mm),
    }
}
