//! Changes of platforms: their boards, their bearers, and the joists below.

use glam::dvec2;

use super::Change;
use super::broken::Broken;
use crate::catalogue::{BEARER_BREADTH_MM, MARINE_PLY_MM, StrengthClass, bearer_depths_mm};
use crate::layout::{Bearers, Board, BoardMaterial, Edit, Id, Layout, Part, Platform};
use crate::mend::demand::Judge;
use crate::units::{Amount, Length, Size};

/// A board lies on two bearers at least, whatever the rules ask.
const BEARERS_THAT_CARRY: u32 = 2;
/// More bearers than this are no platform any more.
const MOST_BEARERS: u32 = 22;

/// A change of a platform.
#[derive(Debug, Clone, PartialEq)]
pub enum PlatformChange {
    /// Marine ply for a board.
    MarinePly {
        /// How thick, mm.
        thickness_mm: f64,
    },
    /// Its bearers, so many and spread evenly.
    Bearers {
        /// How many.
        count: u32,
    },
    /// Bearers below one that has none; what stands on it is raised as far as they need.
    FirstBearers {
        /// How many.
        count: u32,
        /// How deep they are, mm.
        depth_mm: f64,
    },
    /// Deeper bearers; what stands on them is raised by as much.
    DeeperBearers {
        /// How deep they are then, mm.
        depth_mm: f64,
    },
    /// Bearers of a stronger class.
    StrongerBearers(StrengthClass),
    /// Joists beside each other below it, where there is one now.
    JoistsBeside {
        /// How many for each.
        count: u32,
    },
}

impl PlatformChange {
    pub(super) fn words(&self, layout: &Layout, id: &Id) -> String {
        let spoken = id.with_article();
        match self {
            Self::MarinePly { thickness_mm } => format!("Board {spoken} with marine ply of {thickness_mm:.0} mm"),
            Self::Bearers { count } => {
                let told_mm = layout.platform(id).and_then(|platform| spacing_mm(platform, *count));
                format!("Lay {count} bearers below {spoken}, {:.0} mm apart", told_mm.unwrap_or(0.0))
            }
            Self::FirstBearers { count, depth_mm } => {
                let up_mm =
                    layout.platform(id).and_then(|platform| first_bearers_raise_mm(layout, platform, *depth_mm));
                let raised = match up_mm {
                    Some(up_mm) if up_mm > 0.0 => format!(", which raises what stands on it by {up_mm:.0} mm"),
                    _ => String::new(),
                };
                format!(
                    "Lay {count} bearers of {BEARER_BREADTH_MM:.0} × {depth_mm:.0} mm across the joists below {spoken}{raised}"
                )
            }
            Self::DeeperBearers { depth_mm } => format!("Lay bearers {depth_mm:.0} mm deep below {spoken}"),
            Self::StrongerBearers(class) => format!("Lay bearers of {} below {spoken}", class.words()),
            Self::JoistsBeside { count } => {
                let beside = if *count == 2 { "a second joist" } else { "two more joists" };
                let one_mm = layout.building.joists.as_ref().map_or(0.0, |joists| joists.breadth.to_mm());
                let together = Amount::mm(one_mm * f64::from(*count));
                format!("Bolt {beside} of the same section to each joist below {spoken}, {together} broad together")
            }
        }
    }

    pub(super) fn edits(&self, layout: &Layout, id: &Id) -> Option<Vec<Edit>> {
        let mut platform = layout.platform(id)?.clone();
        match self {
            Self::MarinePly { thickness_mm } => {
                let class = platform.board.and_then(|board| board.class);
                let thickness = Some(Size::mm(*thickness_mm));
                platform.board = Some(Board { material: BoardMaterial::MarinePly, thickness, class });
            }
            Self::Bearers { count } => {
                let spacing = Size::mm(spacing_mm(&platform, *count)?);
                let bearers = platform.bearers.as_mut()?;
                (bearers.count, bearers.spacing) = (*count, spacing);
                bearers.first = Length::mm(bearers.breadth.to_mm());
            }
            Self::StrongerBearers(class) => platform.bearers.as_mut()?.grade = Some(*class),
            Self::FirstBearers { count, depth_mm } => {
                let up = Length::try_mm(first_bearers_raise_mm(layout, &platform, *depth_mm)?).ok()?;
                platform.bearers = Some(first_bearers(layout, &platform, *count, *depth_mm)?);
                return Some(raised_on(layout, platform, up));
            }
            Self::DeeperBearers { depth_mm } => {
                // Their feet stay where they are.
                let bearers = platform.bearers.as_mut()?;
                let up = Length::mm(depth_mm - bearers.depth.to_mm());
                bearers.depth = Size::mm(*depth_mm);
                return Some(raised_on(layout, platform, up));
            }
            Self::JoistsBeside { count } => return Some(vec![joists_beside(layout, *count)?]),
        }
        Some(vec![Edit::put(Part::Platform(platform))])
    }
}

/// What stands on a platform raised by so much, with the platform itself, which stands on more than before.
fn raised_on(layout: &Layout, mut platform: Platform, up: Length) -> Vec<Edit> {
    let raise = Edit::Shift { parts: layout.with_what_stands_on(&platform.id), right: Length::ZERO, up };
    platform.at = platform.at.moved(dvec2(0.0, up.to_mm()));
    vec![raise, Edit::put(Part::Platform(platform))]
}

/// Bearers across the joists for a platform that has none.
fn first_bearers(layout: &Layout, platform: &Platform, count: u32, depth_mm: f64) -> Option<Bearers> {
    let lie = layout.building.joists.as_ref()?.lie.crossing();
    let spacing_mm = spread_mm(platform.across_mm(lie)?, BEARER_BREADTH_MM, count);
    Some(Bearers {
        count,
        spacing: Size::try_mm(spacing_mm).ok()?,
        first: Length::mm(BEARER_BREADTH_MM),
        breadth: Size::mm(BEARER_BREADTH_MM),
        depth: Size::try_mm(depth_mm).ok()?,
        lie,
        grade: Some(StrengthClass::C16),
    })
}

/// By how much a platform without bearers has to go up for bearers of a depth to fit between joists and board, or the
/// frame below that, mm.
fn first_bearers_raise_mm(layout: &Layout, platform: &Platform, depth_mm: f64) -> Option<f64> {
    let room_mm = platform.underside_mm() - platform.frame_mm() - layout.building.joists.as_ref()?.top.to_mm();
    Some((depth_mm - room_mm).max(0.0))
}

/// Joists that are so many times as broad: bolted together they work as one.
fn joists_beside(layout: &Layout, count: u32) -> Option<Edit> {
    let mut building = layout.building.clone();
    let joists = building.joists.as_mut()?;
    joists.breadth = Size::try_mm(joists.breadth.to_mm() * f64::from(count)).ok()?;
    Some(Edit::Building(Box::new(building)))
}

/// What a platform measures across its bearers, and how thick one is, mm; `None` where that leaves no room between them.
fn across_bearers_mm(platform: &Platform) -> Option<(f64, f64)> {
    let bearers = platform.bearers.as_ref()?;
    let (across_mm, breadth_mm) = (platform.across_mm(bearers.lie)?, bearers.breadth.to_mm());
    (across_mm > 4.0 * breadth_mm).then_some((across_mm, breadth_mm))
}

/// How far apart so many bearers of a platform lie when they are spread evenly, mm.
fn spacing_mm(platform: &Platform, count: u32) -> Option<f64> {
    let (across_mm, breadth_mm) = across_bearers_mm(platform)?;
    Some(spread_mm(across_mm, breadth_mm, count))
}

/// How far apart the middles of so many bearers lie when the outer ones begin half a breadth from the edges, mm.
fn spread_mm(across_mm: f64, breadth_mm: f64, count: u32) -> f64 {
    (across_mm - 2.0 * breadth_mm) / f64::from(count.saturating_sub(1))
}

pub(super) fn changes(broken: &Broken<'_>) -> Vec<Change> {
    let Some(platform) = broken.platform().or_else(|| broken.platform_of_cylinder()) else { return Vec::new() };
    let judge = broken.judge;
    let changes = match broken.rule() {
        "platform-board-too-thin" | "platform-of-chipboard" | "platform-not-marine-ply" | "cylinder-on-chipboard" => {
            boards(judge, platform)
        }
        "board-overstressed" | "board-sags" => [boards(judge, platform), further_bearers(judge, platform)].concat(),
        "bearer-overstressed" | "bearer-sags" => stronger_bearers(judge, platform),
        "too-few-joists" | "joists-too-far-apart" if platform.bearers.is_none() => lowest_bearers(broken, platform),
        "too-few-joists" | "joists-too-far-apart" => enough_bearers(judge, platform),
        "joist-overstressed" | "joist-overstressed-in-shear" | "joist-sags" => {
            [2, 3].map(|count| PlatformChange::JoistsBeside { count }).to_vec()
        }
        _ => Vec::new(),
    };
    changes.into_iter().map(|change| Change::Platform(platform.id.clone(), change)).collect()
}

/// Marine ply as thick as the board that is there, where that is thick enough, and thicker.
fn boards(judge: &Judge, platform: &Platform) -> Vec<PlatformChange> {
    let now_mm = platform.board.and_then(|board| board.thickness).map(Size::to_mm);
    let is_enough = |mm: &f64| judge.asks("platform-board-too-thin").is_none_or(|least_mm| *mm >= least_mm);
    let thicker = MARINE_PLY_MM.into_iter().filter(|mm| now_mm.is_none_or(|now_mm| *mm > now_mm));
    let boards_mm = now_mm.into_iter().chain(thicker).filter(is_enough);
    boards_mm.map(|thickness_mm| PlatformChange::MarinePly { thickness_mm }).collect()
}

/// Bearers of a stronger class, more of them, of the next depths.
fn stronger_bearers(judge: &Judge, platform: &Platform) -> Vec<PlatformChange> {
    let Some(bearers) = &platform.bearers else { return Vec::new() };
    let strongest = StrengthClass::C24;
    let class = (bearers.grade != Some(strongest)).then_some(PlatformChange::StrongerBearers(strongest));
    let deeper_mm = bearer_depths_mm().into_iter().filter(|mm| *mm > bearers.depth.to_mm());
    let deeper = deeper_mm.map(|depth_mm| PlatformChange::DeeperBearers { depth_mm });
    class.into_iter().chain(further_bearers(judge, platform)).chain(deeper).collect()
}

/// One or two bearers beside those that are there.
fn further_bearers(judge: &Judge, platform: &Platform) -> Vec<PlatformChange> {
    let Some(now) = platform.bearers.as_ref().map(|bearers| bearers.count) else { return Vec::new() };
    if across_bearers_mm(platform).is_none() {
        return Vec::new();
    }
    let fewest = fewest_bearers(judge, |_| 0.0).unwrap_or(BEARERS_THAT_CARRY);
    (now + 1..=now + 2).map(|count| PlatformChange::Bearers { count: count.max(fewest) }).collect()
}

/// As many bearers as the rules ask, and one more.
fn enough_bearers(judge: &Judge, platform: &Platform) -> Vec<PlatformChange> {
    let Some((across_mm, breadth_mm)) = across_bearers_mm(platform) else { return Vec::new() };
    let Some(fewest) = fewest_bearers(judge, |count| spread_mm(across_mm, breadth_mm, count)) else {
        return Vec::new();
    };
    [fewest, fewest + 1].map(|count| PlatformChange::Bearers { count }).to_vec()
}

/// Bearers across the joists where there are none, the lowest first: as many as the rules ask.
fn lowest_bearers(broken: &Broken<'_>, platform: &Platform) -> Vec<PlatformChange> {
    let across_mm = broken.layout.building.joists.as_ref().and_then(|joists| platform.across_mm(joists.lie.crossing()));
    let Some(across_mm) = across_mm else { return Vec::new() };
    let apart_mm = |count: u32| spread_mm(across_mm, BEARER_BREADTH_MM, count);
    let fewest = fewest_bearers(broken.judge, apart_mm);
    let Some(count) = fewest.filter(|count| apart_mm(*count) > BEARER_BREADTH_MM) else { return Vec::new() };
    bearer_depths_mm().into_iter().map(|depth_mm| PlatformChange::FirstBearers { count, depth_mm }).collect()
}

/// The fewest bearers that the rules in force allow, by how far so many would stand apart.
fn fewest_bearers(judge: &Judge, apart_mm: impl Fn(u32) -> f64) -> Option<u32> {
    let fewest = judge.asks("too-few-joists").unwrap_or(0.0);
    let widest_mm = judge.asks("joists-too-far-apart").unwrap_or(f64::INFINITY);
    (BEARERS_THAT_CARRY..=MOST_BEARERS).find(|count| f64::from(*count) >= fewest && apart_mm(*count) <= widest_mm)
}
