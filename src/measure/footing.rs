//! Whether anything that is drawn carries a platform: how a load comes down through the air no drawing tells.

use super::reading::whole_mm;
use super::standing::joists_below;
use super::{Site, room};
use crate::geom::overlap;
use crate::layout::Platform;

/// Packing closes so small a gap below the foot of a platform, mm (common practice, no source).
const PACKED_MM: f64 = 10.0;
/// No board is thicker, mm (common practice, no source): so much lower the foot may be of one whose thickness nobody has told.
const THICKEST_BOARD_MM: f64 = 50.0;
/// A gap is there once it is more than so many standard uncertainties.
const COVERAGE: f64 = 2.0;

/// What to find out of a platform that stands clear above the joists, where nothing that is drawn carries it: neither
/// floor nor another platform. On what legs it stands, and on which joists those, is nowhere told.
#[must_use]
pub fn stands_clear(site: &Site<'_>, platform: &Platform) -> Option<String> {
    let mut lowest = platform;
    while !lies_on_joists_or_floor(site, lowest) {
        match platform_below(site, lowest) {
            Some(below) => lowest = below,
            None => {
                let clear_mm = room::over_joists_mm(site, platform)?;
                let is_told = platform.board.is_some_and(|board| board.thickness.is_some());
                let (clear_mm, at_least) =
                    if is_told { (clear_mm, "") } else { (clear_mm - THICKEST_BOARD_MM, "at least ") };
                return Some(format!(
                    "find what carries the {}: it stands {at_least}{} mm above the joists",
                    platform.id.spoken(),
                    whole_mm(clear_mm)
                ));
            }
        }
    }
    None
}

/// Whether its foot is so near to the joists, or to a floor, that it lies there; or no joists are drawn below it.
fn lies_on_joists_or_floor(site: &Site<'_>, platform: &Platform) -> bool {
    let Some(joists) = joists_below(site, platform) else { return true };
    let floors = site.building().storeys.iter().map(|storey| storey.floor);
    let floors = floors.filter(|floor| *floor <= platform.at.z);
    floors.chain([joists.top]).any(|level| reaches_down_to(site, platform, level.to_mm()))
}

/// The highest of the platforms on which it stands.
fn platform_below<'a>(site: &Site<'a>, platform: &Platform) -> Option<&'a Platform> {
    let carries = |other: &&Platform| {
        other.at.z < platform.at.z
            && overlap(other.span_mm(), platform.span_mm()).is_some()
            && !room::stand_behind(other.front_and_back_mm(), platform.front_and_back_mm())
            && reaches_down_to(site, platform, other.at.z.to_mm())
    };
    let below = site.layout().platforms.iter().filter(carries);
    below.max_by(|a, b| a.at.z.to_mm().total_cmp(&b.at.z.to_mm()))
}

fn reaches_down_to(site: &Site<'_>, platform: &Platform, level_mm: f64) -> bool {
    let gap = site.taped(room::foot_mm(platform) - level_mm);
    let untold_mm = match platform.board.and_then(|board| board.thickness) {
        Some(_) => 0.0,
        None => THICKEST_BOARD_MM,
    };
    gap.value <= PACKED_MM + untold_mm + COVERAGE * gap.standard_uncertainty()
}
