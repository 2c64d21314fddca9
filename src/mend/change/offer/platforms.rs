//! Changes of platforms: their boards, their bearers, and the joists below.

use super::Broken;
use crate::catalogue::{BEARER_BREADTH_MM, MARINE_PLY_MM, StrengthClass, bearer_depths_mm};
use crate::layout::{Lie, Platform};
use crate::mend::change::Change;
use crate::mend::change::make::across;
use crate::mend::demand::Judge;
use crate::units::Size;

/// A board lies on two bearers at least, whatever the rules ask.
const BEARERS_THAT_CARRY: u32 = 2;
/// More bearers than this are no platform any more.
const MOST_BEARERS: u32 = 22;

pub(super) fn changes(broken: &Broken<'_>) -> Vec<Change> {
    let Some(platform) = broken.platform().or_else(|| broken.platform_of_cylinder()) else { return Vec::new() };
    let judge = broken.judge;
    match broken.rule() {
        "platform-board-too-thin" | "platform-of-chipboard" | "platform-not-marine-ply" | "cylinder-on-chipboard" => {
            boards(judge, platform)
        }
        "board-overstressed" | "board-sags" => {
            let mut changes = boards(judge, platform);
            changes.extend(further_bearers(judge, platform));
            changes
        }
        "bearer-overstressed" | "bearer-sags" => stronger_bearers(judge, platform),
        "too-few-joists" | "joists-too-far-apart" if platform.bearers.is_none() => first_bearers(broken, platform),
        "too-few-joists" | "joists-too-far-apart" => enough_bearers(judge, platform),
        "joist-overstressed" | "joist-overstressed-in-shear" | "joist-sags" => {
            [2, 3].map(|many| Change::JoistsBeside(platform.id.clone(), many)).to_vec()
        }
        _ => Vec::new(),
    }
}

/// Marine ply as thick as the board that is there, where that is thick enough, and thicker.
fn boards(judge: &Judge, platform: &Platform) -> Vec<Change> {
    let now_mm = platform.board.and_then(|board| board.thickness).map(Size::to_mm);
    let is_enough = |mm: &f64| judge.asks("platform-board-too-thin").is_none_or(|least_mm| *mm >= least_mm);
    let thicker = MARINE_PLY_MM.into_iter().filter(|mm| now_mm.is_none_or(|now_mm| *mm > now_mm));
    let boards = now_mm.into_iter().chain(thicker).filter(is_enough);
    boards.map(|mm| Change::MarinePly(platform.id.clone(), mm)).collect()
}

/// Bearers of a stronger class, more of them, of the next depths.
fn stronger_bearers(judge: &Judge, platform: &Platform) -> Vec<Change> {
    let Some(bearers) = &platform.bearers else { return Vec::new() };
    let id = || platform.id.clone();
    let class = (bearers.grade != Some(StrengthClass::C24)).then(|| Change::StrongerBearers(id(), StrengthClass::C24));
    let deeper_mm = bearer_depths_mm().into_iter().filter(|mm| *mm > bearers.depth.to_mm());
    let deeper = deeper_mm.map(|mm| Change::DeeperBearers(id(), mm));
    class.into_iter().chain(further_bearers(judge, platform)).chain(deeper).collect()
}

/// One or two bearers beside those that are there.
fn further_bearers(judge: &Judge, platform: &Platform) -> Vec<Change> {
    let Some(count) = platform.bearers.as_ref().map(|bearers| bearers.count) else { return Vec::new() };
    if across(platform).is_none() {
        return Vec::new();
    }
    let fewest = fewest_bearers(judge, |_| 0.0).unwrap_or(BEARERS_THAT_CARRY);
    (count + 1..=count + 2).map(|count| Change::Bearers(platform.id.clone(), count.max(fewest))).collect()
}

/// As many bearers as the rules ask, and one more.
fn enough_bearers(judge: &Judge, platform: &Platform) -> Vec<Change> {
    let Some((across_mm, breadth_mm)) = across(platform) else { return Vec::new() };
    let apart_mm = |count: u32| (across_mm - 2.0 * breadth_mm) / f64::from(count - 1);
    let Some(fewest) = fewest_bearers(judge, apart_mm) else { return Vec::new() };
    [fewest, fewest + 1].map(|count| Change::Bearers(platform.id.clone(), count)).to_vec()
}

/// Bearers across the joists where there are none, the lowest first: as many as the rules ask.
fn first_bearers(broken: &Broken<'_>, platform: &Platform) -> Vec<Change> {
    let Some(joists) = &broken.layout.building.joists else { return Vec::new() };
    let across_mm = match joists.lie {
        Lie::EndOn => platform.depth.map(Size::to_mm),
        Lie::Along => Some(platform.length.to_mm()),
    };
    let Some(across_mm) = across_mm else { return Vec::new() };
    let apart_mm = |count: u32| (across_mm - 2.0 * BEARER_BREADTH_MM) / f64::from(count - 1);
    let fewest = fewest_bearers(broken.judge, apart_mm);
    let Some(count) = fewest.filter(|count| apart_mm(*count) > BEARER_BREADTH_MM) else { return Vec::new() };
    bearer_depths_mm().into_iter().map(|mm| Change::FirstBearers(platform.id.clone(), count, mm)).collect()
}

/// The fewest bearers that the rules in force allow, by how far so many would stand apart.
fn fewest_bearers(judge: &Judge, apart_mm: impl Fn(u32) -> f64) -> Option<u32> {
    let fewest = judge.asks("too-few-joists").unwrap_or(0.0);
    let widest_mm = judge.asks("joists-too-far-apart").unwrap_or(f64::INFINITY);
    (BEARERS_THAT_CARRY..=MOST_BEARERS).find(|count| f64::from(*count) >= fewest && apart_mm(*count) <= widest_mm)
}
