//! Ways out where answers leave no room: which answer to change and by how much, each tried before it is told.

use super::answers::{Answers, CisternFor, Heating, Winter};
use super::attempt::{Met, Obstacle, attempt};
use super::choices::next_smaller_cylinder;
use crate::rules::Profile;
use crate::units::{Amount, Length, Mass, Pressure, Size, Unit};

/// No house has more things wrong with it than this; the search ends whatever comes.
const MOST_REASONS: usize = 24;
/// More ways out of one thing help nobody.
const MOST_WAYS: usize = 3;

/// Why answers cannot be set out.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// What is in the way, one after the other, each with ways out of it.
    pub reasons: Vec<Reason>,
    /// The answers with the first way out of everything taken: from these a sound layout follows.
    pub would_do: Option<Box<Answers>>,
}

/// One thing in the way.
#[derive(Debug, Clone, PartialEq)]
pub struct Reason {
    /// What it is.
    pub obstacle: Option<Obstacle>,
    /// In words, with how much is missing.
    pub words: String,
    /// What would do, best first.
    pub ways_out: Vec<WayOut>,
}

/// An answer changed so far that one thing is no longer in the way.
#[derive(Debug, Clone, PartialEq)]
pub struct WayOut {
    /// In words: which answer, by how much.
    pub words: String,
    /// By how much, where that is a number.
    pub by: Option<Amount>,
    /// The answers so changed.
    pub answers: Answers,
    /// What is wrong with the answer as it was, in words, where that is a number.
    complaint: Option<String>,
}

impl Refusal {
    /// The answers make no sense by themselves.
    pub(super) fn slip(words: String) -> Self {
        Self { reasons: vec![Reason { obstacle: None, words, ways_out: Vec::new() }], would_do: None }
    }

    /// All of it in lines to read.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let of_one = |reason: &Reason| {
            let ways = reason.ways_out.iter().enumerate();
            let ways = ways
                .map(|(number, way)| format!("{} {}", if number == 0 { "It fits with" } else { "Or with" }, way.words));
            std::iter::once(reason.words.clone()).chain(ways).collect::<Vec<_>>()
        };
        self.reasons.iter().flat_map(of_one).collect()
    }
}

/// An answer that is given anew.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Revision {
    HigherRidge,
    HigherEaves,
    WiderHouse,
    ShorterSpan,
    LongerSpan,
    DeeperJoists,
    CloserJoists,
    LargerHatch,
    MoreLoad,
    LessPressure,
    MorePressure,
    FewerOutlets,
    SmallerCylinder,
    LowerCylinder,
    HigherCylinder,
    LowerShowers,
    Indirect,
    ColdFromMain,
    Warmer,
}

/// Which answers may help against an obstacle, best first.
fn revisions_for(obstacle: Obstacle) -> &'static [Revision] {
    use Revision::{
        CloserJoists, ColdFromMain, DeeperJoists, FewerOutlets, HigherCylinder, HigherEaves, HigherRidge, Indirect,
        LargerHatch, LessPressure, LongerSpan, LowerCylinder, LowerShowers, MoreLoad, MorePressure, ShorterSpan,
        SmallerCylinder, Warmer, WiderHouse,
    };
    match obstacle {
        Obstacle::Vent => &[HigherRidge, LowerShowers, LowerCylinder, ColdFromMain, SmallerCylinder],
        Obstacle::Width => &[WiderHouse, ColdFromMain, SmallerCylinder],
        Obstacle::Span => &[LongerSpan, ColdFromMain],
        Obstacle::Cistern => &[SmallerCylinder],
        Obstacle::Eaves => &[HigherEaves],
        Obstacle::Rule(rule) => match rule {
            "headroom-too-low-at-float-valve" | "headroom-too-low-opposite" => {
                &[HigherRidge, LowerShowers, LowerCylinder, ColdFromMain, SmallerCylinder]
            }
            "joist-sags" | "joist-overstressed" | "joist-overstressed-in-shear" | "joist-span-too-long" => {
                &[ShorterSpan, DeeperJoists, CloserJoists, ColdFromMain, SmallerCylinder]
            }
            "too-few-joists" | "too-few-trusses" | "truss-node-overloaded" => {
                &[ColdFromMain, SmallerCylinder, CloserJoists]
            }
            "platform-overloaded" => &[MoreLoad, ColdFromMain, SmallerCylinder],
            "cylinder-too-heavy-for-floor" => &[SmallerCylinder, LowerCylinder],
            "cistern-turns-over-too-slowly" => &[SmallerCylinder, ColdFromMain, FewerOutlets],
            "reheat-too-slow" => &[Indirect, SmallerCylinder],
            "cistern-too-big-for-hatch" => &[LargerHatch, ColdFromMain],
            "cistern-freezes-too-soon" | "loft-pipe-freezes-too-soon" => &[Warmer],
            "cylinder-head-too-great" | "one-pipe-circulation" => &[HigherCylinder],
            "overflow-cannot-keep-up" => &[LessPressure],
            "cistern-fills-too-slowly" => &[MorePressure, ColdFromMain],
            "main-does-not-reach" => &[MorePressure],
            _ => &[FewerOutlets, SmallerCylinder, HigherRidge, HigherCylinder],
        },
    }
}

impl Revision {
    /// By how much at a time, and how many times at most; choices are made once.
    const fn step(self) -> (f64, Option<Unit>, u32) {
        match self {
            Self::HigherRidge | Self::HigherEaves => (10.0, Some(Unit::Millimetre), 600),
            Self::WiderHouse => (50.0, Some(Unit::Millimetre), 200),
            Self::ShorterSpan | Self::LongerSpan => (25.0, Some(Unit::Millimetre), 200),
            Self::DeeperJoists | Self::LargerHatch => (5.0, Some(Unit::Millimetre), 200),
            Self::CloserJoists => (10.0, Some(Unit::Millimetre), 60),
            Self::MoreLoad => (5.0, Some(Unit::Kilogram), 400),
            Self::LessPressure | Self::MorePressure => (10.0, None, 200),
            Self::FewerOutlets => (1.0, None, 15),
            Self::SmallerCylinder => (1.0, None, 12),
            Self::LowerCylinder | Self::HigherCylinder | Self::LowerShowers => (1.0, None, 2),
            Self::Indirect | Self::ColdFromMain => (1.0, None, 1),
            Self::Warmer => (1.0, None, 2),
        }
    }

    /// The answers changed by so many steps; `None` where they cannot be.
    fn made(self, answers: &Answers, times: u32) -> Option<Answers> {
        let by = self.step().0 * f64::from(times);
        let mut changed = answers.clone();
        let size = |mm: f64| (mm > 0.0).then(|| Size::mm(mm));
        match self {
            Self::HigherRidge => changed.loft.ridge = size(answers.loft.ridge.to_mm() + by)?,
            Self::HigherEaves => {
                changed.loft.eaves = Length::try_mm(answers.loft.eaves.to_mm() + by).ok()?;
            }
            Self::WiderHouse => changed.loft.width = size(answers.loft.width.to_mm() + by)?,
            Self::ShorterSpan => changed.joists.span = size(answers.joists.span.to_mm() - by)?,
            Self::LongerSpan => changed.joists.span = size(answers.joists.span.to_mm() + by)?,
            Self::DeeperJoists => changed.joists.depth = size(answers.joists.depth.to_mm() + by)?,
            Self::CloserJoists => {
                changed.joists.spacing = size(answers.joists.spacing.to_mm() - by).filter(|s| s.to_mm() >= 200.0)?
            }
            Self::LargerHatch => {
                changed.loft.hatch_length = size(answers.loft.hatch_length.to_mm() + by)?;
                changed.loft.hatch_width = size(answers.loft.hatch_width.to_mm() + by)?;
            }
            Self::MoreLoad => {
                let load_kg = answers.joists.confirmed_load?.to_kg() + by;
                changed.joists.confirmed_load = Some(Mass::try_kg(load_kg).ok()?);
            }
            Self::LessPressure => {
                let kpa = answers.mains_pressure.to_kpa() - by;
                changed.mains_pressure = Pressure::try_kpa(kpa).ok().filter(|_| kpa > 0.0)?;
            }
            Self::MorePressure => {
                changed.mains_pressure = Pressure::try_kpa(answers.mains_pressure.to_kpa() + by).ok()?
            }
            Self::FewerOutlets => {
                let left = answers.outlets.len().checked_sub(usize::try_from(times).ok()?)?;
                changed.outlets.truncate(left);
            }
            Self::SmallerCylinder => {
                for _ in 0..times {
                    changed.cylinder.size = Some(next_smaller_cylinder(&changed)?.to_owned());
                }
            }
            Self::LowerCylinder => changed.cylinder.storey = answers.cylinder.storey.checked_sub(times)?,
            Self::HigherCylinder => changed.cylinder.storey = answers.cylinder.storey + times,
            Self::LowerShowers => {
                let top = answers.storeys.checked_sub(1 + times)?;
                let is_above = |kind, storey| kind == crate::layout::OutletKind::Shower && storey > top;
                let above = changed.outlets.iter_mut().filter(|draw| is_above(draw.kind, draw.storey));
                above.for_each(|draw| draw.storey = top);
            }
            Self::Indirect => changed.cylinder.heated = Heating::Indirect,
            Self::ColdFromMain => changed.cold_taps = CisternFor::CylinderOnly,
            Self::Warmer => {
                let now = Winter::ALL.iter().position(|winter| *winter == answers.winter)?;
                changed.winter = *Winter::ALL.get(now.checked_sub(usize::try_from(times).ok()?)?)?;
            }
        }
        (changed != *answers && changed.slip().is_none()).then_some(changed)
    }

    /// What is wrong with the answer, in words.
    fn complaint(self, by: Amount) -> Option<String> {
        let words = match self {
            Self::HigherRidge => format!("The loft is {by} too low under the ridge."),
            Self::HigherEaves => format!("The rafters are {by} too low over the wall."),
            Self::WiderHouse => format!("The house is {by} too narrow."),
            Self::ShorterSpan => format!("The joists span {by} too far."),
            Self::LongerSpan => format!("The joists span {by} too little."),
            Self::LargerHatch => format!("The hatch is {by} too small both ways."),
            Self::MoreLoad => format!("The confirmed load is {by} too small."),
            _ => return None,
        };
        Some(words)
    }

    /// The change in words, after "It fits with".
    fn words(self, changed: &Answers, by: f64) -> String {
        let by = self.step().1.map_or_else(|| format!("{by:.0} kPa"), |unit| unit.of(by).to_string());
        let storey = |storey: u32| if storey == 0 { "the ground floor".to_owned() } else { format!("storey {storey}") };
        match self {
            Self::HigherRidge => {
                format!("a loft {by} higher: {:.0} mm from joists to ridge.", changed.loft.ridge.to_mm())
            }
            Self::HigherEaves => {
                format!("rafters {by} higher over the wall: {:.0} mm over the joists.", changed.loft.eaves.to_mm())
            }
            Self::WiderHouse => format!("a house {by} wider: {:.0} mm.", changed.loft.width.to_mm()),
            Self::ShorterSpan => {
                format!("a span of the joists {by} shorter: {:.0} mm.", changed.joists.span.to_mm())
            }
            Self::LongerSpan => format!("a span of the joists {by} longer: {:.0} mm.", changed.joists.span.to_mm()),
            Self::DeeperJoists => format!("joists {by} deeper: {:.0} mm.", changed.joists.depth.to_mm()),
            Self::CloserJoists => {
                format!("joists {by} closer: {:.0} mm centre to centre.", changed.joists.spacing.to_mm())
            }
            Self::LargerHatch => format!(
                "a hatch {by} larger both ways: {:.0} × {:.0} mm.",
                changed.loft.hatch_length.to_mm(),
                changed.loft.hatch_width.to_mm()
            ),
            Self::MoreLoad => format!(
                "a confirmed load {by} greater: {:.0} kg.",
                changed.joists.confirmed_load.map_or(0.0, Mass::to_kg)
            ),
            Self::LessPressure => {
                format!("a main {by} weaker: {:.0} kPa, by a pressure-reducing valve.", changed.mains_pressure.to_kpa())
            }
            Self::MorePressure => format!("a main {by} stronger: {:.0} kPa.", changed.mains_pressure.to_kpa()),
            Self::FewerOutlets => format!("only the first {} outlets.", changed.outlets.len()),
            Self::SmallerCylinder => {
                format!("a cylinder of reference {}.", changed.cylinder.size.as_deref().unwrap_or_default())
            }
            Self::LowerCylinder | Self::HigherCylinder => {
                format!("the cylinder on {}.", storey(changed.cylinder.storey))
            }
            Self::LowerShowers => {
                let lowest = changed.outlets.iter().filter(|draw| draw.kind == crate::layout::OutletKind::Shower);
                format!("showers no higher than {}.", storey(lowest.map(|draw| draw.storey).max().unwrap_or(0)))
            }
            Self::Indirect => "an indirect cylinder, heated by a boiler.".to_owned(),
            Self::ColdFromMain => "the cold taps on the main, so that a smaller cistern does.".to_owned(),
            Self::Warmer => format!("the house {}.", changed.winter.words()),
        }
    }
}

/// Puts together why answers cannot be set out. Ways out are searched for, one thing in the way after the other.
pub(super) fn refuse(answers: &Answers, profile: &Profile, met: &[Met]) -> Refusal {
    let mut reasons = Vec::new();
    let mut now = answers.clone();
    let mut left = met.to_vec();
    // What one way out has cleared, the next must not bring back.
    let mut gone = Vec::new();
    while let Some(first) = left.first().cloned() {
        // What one answer would put right is one thing.
        let lead = revisions_for(first.obstacle).first();
        let together: Vec<Met> = left.into_iter().filter(|met| revisions_for(met.obstacle).first() == lead).collect();
        gone.extend(together.iter().map(|met| met.obstacle));
        let ways_out = ways_out(&now, profile, first.obstacle, &gone);
        let taken = ways_out.first().map(|way| way.answers.clone());
        let complaint = ways_out.first().and_then(|way| way.complaint.clone());
        let beside = besides(&now, first.obstacle, &ways_out);
        let met = together.into_iter().map(|met| met.words);
        let words: Vec<String> = complaint.into_iter().chain(met).chain(beside.map(str::to_owned)).collect();
        reasons.push(Reason { obstacle: Some(first.obstacle), words: words.join(" "), ways_out });
        let Some(taken) = taken.filter(|_| reasons.len() < MOST_REASONS) else {
            return Refusal { reasons, would_do: None };
        };
        left = attempt(&taken, profile).err().unwrap_or_default();
        now = taken;
    }
    Refusal { reasons, would_do: Some(Box::new(now)) }
}

/// What helps besides another answer, or that none helps.
fn besides(answers: &Answers, obstacle: Obstacle, ways_out: &[WayOut]) -> Option<&'static str> {
    const NONE: &str =
        "No answer that is asked for changes this: what the profile in force asks is more than can be set out.";
    let caution =
        (obstacle == Obstacle::Rule("loft-pipe-freezes-too-soon")).then(|| answers.winter.caution()).flatten();
    caution.or_else(|| ways_out.is_empty().then_some(NONE))
}

/// Ways out of an obstacle, after which it and all others of a list are gone.
fn ways_out(answers: &Answers, profile: &Profile, obstacle: Obstacle, gone: &[Obstacle]) -> Vec<WayOut> {
    let ways = revisions_for(obstacle).iter().filter_map(|revision| least(*revision, answers, profile, gone));
    ways.take(MOST_WAYS).collect()
}

/// The least change of an answer after which obstacles are gone; `None` where no change of it does that.
fn least(revision: Revision, answers: &Answers, profile: &Profile, gone: &[Obstacle]) -> Option<WayOut> {
    let (step, unit, most) = revision.step();
    let does = |times: u32| {
        let changed = revision.made(answers, times)?;
        let met = attempt(&changed, profile).err().unwrap_or_default();
        met.iter().all(|other| !gone.contains(&other.obstacle)).then_some(changed)
    };
    let (mut too_little, mut times) = (0, 1);
    let mut enough = loop {
        match does(times) {
            Some(changed) => break changed,
            None if times >= most => return None,
            None => {
                too_little = times;
                times = (times * 2).min(most);
            }
        }
    };
    while times - too_little > 1 {
        let middle = u32::midpoint(too_little, times);
        match does(middle) {
            Some(changed) => (enough, times) = (changed, middle),
            None => too_little = middle,
        }
    }
    let value = step * f64::from(times);
    let by = unit.map(|unit| unit.of(value));
    let complaint = by.and_then(|by| revision.complaint(by));
    Some(WayOut { words: revision.words(&enough, value), by, answers: enough, complaint })
}
