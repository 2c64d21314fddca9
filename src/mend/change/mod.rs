//! Changes that have no number to move: a valve, a screen, a lid, a jacket, a board, a tube; one part each.

mod exchange;
mod fall;
mod make;
mod offer;
mod twins;
mod why_not;

pub(in crate::mend) use offer::changes;
pub use why_not::why_not;

use super::Consent;
use super::course::{at_end_words, end_words};
use super::handle::{length_mm, platform, run};
use crate::catalogue::{BEARER_BREADTH_MM, StrengthClass, cisterns};
use crate::layout::{CylinderGrade, FloatValvePattern, Id, InLine, InLineKind, Layout, Run, WhichEnd};
use make::{apart_mm, first_bearers_raise_mm};

/// What is put into a run nearer to its end than this sits where that end is, mm.
const AT_ITS_END_MM: f64 = 1.0;

/// One change of one part.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Puts a valve or drain cock into a run, so far along it, mm.
    Fit(Id, InLineKind, f64),
    /// Takes fittings out of a run: what each is, and how far along it, mm.
    TakeOut(Id, Vec<(InLineKind, f64)>),
    /// A close-fitting lid.
    TightLid(Id),
    /// A screen on the vent of a cistern's lid, with openings of so many mm.
    LidScreen(Id, f64),
    /// A screen on the open end of a run, with openings of so many mm.
    EndScreen(Id, f64),
    /// A jacket on sides and top, so thick, mm.
    JacketAllRound(Id, f64),
    /// Takes the loft insulation out from below a cistern.
    ClearBelow(Id),
    /// A float valve of the pattern that keeps mains and stored water apart best.
    DiaphragmValve(Id),
    /// A float valve with a seat of this bore, mm.
    Seat(Id, f64),
    /// A dip tube that ends so far above the base, mm.
    DipTube(Id, f64),
    /// Marine ply of this thickness, mm.
    MarinePly(Id, f64),
    /// So many bearers, spread evenly below a platform.
    Bearers(Id, u32),
    /// So many bearers of this depth, mm, below a platform that has none; what stands on it is raised as far as they need.
    FirstBearers(Id, u32, f64),
    /// So many joists beside each other, below a platform, where there is one now.
    JoistsBeside(Id, u32),
    /// Clips as close as the tube asks.
    Clips(Id),
    /// Insulation on runs, each from one distance along it to another, mm; and how thick, mm.
    Lag(Vec<(Id, f64, f64)>, f64),
    /// Tube of another size for runs, mm.
    Tube(Vec<Id>, f64),
    /// A run laid so that it rises, or at least does not fall, from one of its ends on.
    LaidRising(Id, WhichEnd),
    /// A run laid so that it falls, or at least does not rise, from one of its ends on.
    LaidFalling(Id, WhichEnd),
    /// The upright stretch of a run that begins at one of its bends, by the bend's number, so far to the right, mm.
    UprightAside(Id, usize, f64),
    /// The open end of a vent over the middle of a cistern.
    EndOver(Id, Id),
    /// The end of a warning pipe where people see it run.
    Conspicuous(Id),
    /// A cistern of a size that is sold, by its place in the catalogue, in place of this one.
    OtherCistern(Id, usize),
    /// Two linked cisterns, one behind the other, in place of one.
    TwoCisterns {
        /// The one in whose place they stand.
        cistern: Id,
        /// The size of each, by its place in the catalogue.
        size: usize,
        /// So far their platform stands out beyond them, mm.
        overhang_mm: f64,
    },
    /// A cistern of the same size with an opaque body.
    Opaque(Id),
    /// A connection or the float valve in the opposite side of a cistern.
    OppositeSide(Id, Id),
    /// Bearers of the next depth, mm; what stands on them is raised by as much.
    DeeperBearers(Id, f64),
    /// Bearers of a stronger class.
    StrongerBearers(Id, StrengthClass),
    /// A jacket of this thickness round a cylinder, mm.
    CylinderJacket(Id, f64),
    /// A cylinder of a stronger grade.
    StrongerCylinder(Id, CylinderGrade),
    /// Immersion heaters with a cut-out that has to be reset by hand.
    CutOut(Id),
    /// The cylinder thermostat at so many degrees Celsius.
    Thermostat(Id, f64),
    /// A mixing valve before an outlet, set to so many degrees Celsius.
    MixingValve(Id, f64),
}

impl Change {
    /// The part that it changes.
    #[must_use]
    pub fn part(&self) -> &Id {
        match self {
            Self::Fit(id, ..)
            | Self::TakeOut(id, _)
            | Self::TightLid(id)
            | Self::LidScreen(id, _)
            | Self::EndScreen(id, _)
            | Self::JacketAllRound(id, _)
            | Self::ClearBelow(id)
            | Self::DiaphragmValve(id)
            | Self::Seat(id, _)
            | Self::DipTube(id, _)
            | Self::MarinePly(id, _)
            | Self::Bearers(id, _)
            | Self::FirstBearers(id, ..)
            | Self::JoistsBeside(id, _)
            | Self::Clips(id)
            | Self::LaidRising(id, _)
            | Self::LaidFalling(id, _)
            | Self::UprightAside(id, ..)
            | Self::EndOver(id, _)
            | Self::Conspicuous(id)
            | Self::OtherCistern(id, _)
            | Self::TwoCisterns { cistern: id, .. }
            | Self::Opaque(id)
            | Self::OppositeSide(id, _)
            | Self::DeeperBearers(id, _)
            | Self::StrongerBearers(id, _)
            | Self::CylinderJacket(id, _)
            | Self::StrongerCylinder(id, _)
            | Self::CutOut(id)
            | Self::Thermostat(id, _)
            | Self::MixingValve(id, _) => id,
            Self::Lag(spans, _) => &spans[0].0,
            Self::Tube(runs, _) => &runs[0],
        }
    }

    /// Whether it changes a part.
    #[must_use]
    pub fn touches(&self, id: &Id) -> bool {
        match self {
            Self::Lag(spans, _) => spans.iter().any(|span| span.0 == *id),
            Self::Tube(runs, _) => runs.contains(id),
            other => other.part() == id,
        }
    }

    /// What is done, in words.
    #[must_use]
    pub fn words(&self, layout: &Layout) -> String {
        let spoken = self.part().spoken();
        let begins = |id: &Id, first: WhichEnd| run(layout, id).map_or_else(String::new, |run| end_words(run, first));
        match self {
            Self::Fit(id, kind, at_mm) => {
                let place = run(layout, id).map_or_else(String::new, |run| place_words(layout, run, *at_mm));
                format!("Fit a {} in the {spoken}, {place}", kind.words())
            }
            Self::TakeOut(id, taken) => {
                let taken = run(layout, id).map_or_else(String::new, |run| taken_words(layout, run, taken));
                format!("Take {taken} out of the {spoken}")
            }
            Self::TightLid(_) => format!("Fit a rigid, close-fitting lid to the {spoken} and fix it"),
            Self::LidScreen(_, mm) => format!("Fit a screen of {mm} mm to the vent in the lid of the {spoken}"),
            Self::EndScreen(_, mm) => format!("Fit a screen of {mm} mm to the open end of the {spoken}"),
            Self::JacketAllRound(_, mm) => format!("Insulate sides and top of the {spoken}, {mm:.0} mm thick"),
            Self::ClearBelow(_) => format!("Take the loft insulation out from under the {spoken}"),
            Self::DiaphragmValve(_) => {
                format!("Fit a float valve to {} in the {spoken}", FloatValvePattern::Part2.words())
            }
            Self::Seat(_, mm) => format!("Fit a seat of {mm} mm in the float valve of the {spoken}"),
            Self::DipTube(_, mm) => format!("Fit a dip tube in the {spoken} that ends {mm:.0} mm above its base"),
            Self::MarinePly(_, mm) => format!("Board the {spoken} with marine ply of {mm:.0} mm"),
            Self::Bearers(id, count) => {
                let apart_mm = platform(layout, id).and_then(|platform| apart_mm(platform, *count)).unwrap_or(0.0);
                format!("Lay {count} bearers below the {spoken}, {apart_mm:.0} mm apart")
            }
            Self::FirstBearers(id, count, depth_mm) => first_bearers_words(layout, id, *count, *depth_mm),
            Self::JoistsBeside(_, many) => {
                let beside = if *many == 2 { "a second joist" } else { "two more joists" };
                format!("Bolt {beside} of the same section to each joist below the {spoken}")
            }
            Self::Clips(_) => format!("Clip the {spoken} as closely as its tube asks"),
            Self::Lag(spans, mm) => format!("Insulate {}, {mm:.0} mm thick", spans_words(spans)),
            Self::Tube(runs, mm) => {
                let runs: Vec<String> = runs.iter().map(Id::spoken).collect();
                format!("Take {mm:.0} mm tube for the {}", runs.join(" and the "))
            }
            Self::LaidRising(id, first) => {
                format!("Lay the {spoken} so that it falls nowhere on its way from {}", begins(id, *first))
            }
            Self::LaidFalling(id, first) => {
                format!("Lay the {spoken} so that it rises nowhere on its way from {}", begins(id, *first))
            }
            Self::UprightAside(_, _, by_mm) => {
                let side = if *by_mm < 0.0 { "left" } else { "right" };
                format!("Lead the upright stretch of the {spoken} {:.0} mm further to the {side}", by_mm.abs())
            }
            Self::EndOver(_, cistern) => format!("Lead the open end of the {spoken} over the {}", cistern.spoken()),
            Self::Conspicuous(_) => format!("Lead the end of the {spoken} to where people see it run"),
            Self::OtherCistern(_, number) => format!("Set up a cistern {} in place of the {spoken}", sold(*number)),
            Self::TwoCisterns { size, .. } => {
                format!(
                    "Set up two linked cisterns, one behind the other, each {}, in place of the {spoken}",
                    sold(*size)
                )
            }
            Self::Opaque(_) => format!("Set up a cistern with an opaque body in place of the {spoken}"),
            Self::OppositeSide(_, port) => {
                format!("Move the {} connection of the {spoken} to its opposite side", port.spoken().to_lowercase())
            }
            Self::DeeperBearers(_, mm) => format!("Lay bearers {mm:.0} mm deep below the {spoken}"),
            Self::StrongerBearers(_, class) => format!("Lay bearers of {} below the {spoken}", class.words()),
            Self::CylinderJacket(_, mm) => format!("Put a jacket of {mm:.0} mm round the {spoken}"),
            Self::StrongerCylinder(_, grade) => {
                format!("Set up a cylinder of {} in place of the {spoken}", grade.words())
            }
            Self::CutOut(_) => {
                format!(
                    "Have an electrician fit cut-outs that are reset by hand to the immersion heaters of the {spoken}"
                )
            }
            Self::Thermostat(_, celsius) => format!("Set the thermostat of the {spoken} to {celsius:.0} °C"),
            Self::MixingValve(_, celsius) => {
                format!("Have a thermostatic mixing valve fitted before the {spoken}, set to {celsius:.0} °C")
            }
        }
    }

    /// Whether it changes the house: a cistern is moved before that.
    #[must_use]
    pub const fn is_of_the_house(&self) -> bool {
        matches!(self, Self::JoistsBeside(..))
    }

    /// Whether it may be done without asking. Parts have to be bought, and someone has to agree to that.
    #[must_use]
    pub const fn consent(&self) -> Consent {
        match self {
            // What lies below a cistern, and what board, bearer or joist carries, is for a competent person who stands in
            // the loft to say.
            Self::Bearers(..)
            | Self::JoistsBeside(..)
            | Self::FirstBearers(..)
            | Self::MarinePly(..)
            | Self::DeeperBearers(..)
            | Self::StrongerBearers(..) => Consent::ShowOnly,
            // Whether what is told of the place is so, is seen there.
            Self::ClearBelow(_) | Self::Conspicuous(_) | Self::Thermostat(..) => Consent::ShowOnly,
            Self::LaidRising(..) | Self::LaidFalling(..) | Self::UprightAside(..) | Self::EndOver(..) => Consent::Safe,
            Self::Fit(..)
            | Self::TakeOut(..)
            | Self::TightLid(_)
            | Self::LidScreen(..)
            | Self::EndScreen(..)
            | Self::JacketAllRound(..)
            | Self::DiaphragmValve(_)
            | Self::Seat(..)
            | Self::DipTube(..)
            | Self::Clips(_)
            | Self::Lag(..)
            | Self::Tube(..)
            | Self::OtherCistern(..)
            | Self::TwoCisterns { .. }
            | Self::Opaque(_)
            | Self::OppositeSide(..)
            | Self::CylinderJacket(..)
            | Self::StrongerCylinder(..)
            | Self::CutOut(_)
            | Self::MixingValve(..) => Consent::NeedsDecision,
        }
    }
}

fn first_bearers_words(layout: &Layout, id: &Id, count: u32, depth_mm: f64) -> String {
    let raised = match first_bearers_raise_mm(layout, id, depth_mm) {
        Some(up_mm) if up_mm > 0.0 => format!(", which raises what stands on it by {up_mm:.0} mm"),
        _ => String::new(),
    };
    format!(
        "Lay {count} bearers of {BEARER_BREADTH_MM:.0} × {depth_mm:.0} mm across the joists below the {}{raised}",
        id.spoken()
    )
}

/// Stretches of runs, in words.
fn spans_words(spans: &[(Id, f64, f64)]) -> String {
    let span = |(id, from, to): &(Id, f64, f64)| format!("the {} from {from:.0} to {to:.0} mm along it", id.spoken());
    spans.iter().map(span).collect::<Vec<_>>().join(", and ")
}

/// Fittings of a run, in words: "every gate valve", unless some of their kind are to stay.
fn taken_words(layout: &Layout, run: &Run, taken: &[(InLineKind, f64)]) -> String {
    let is_taken = |fitting: &&InLine| taken.contains(&(fitting.kind, fitting.at.to_mm()));
    let mut others = run.fittings.iter().flatten().filter(|fitting| !is_taken(fitting));
    if others.any(|other| taken.iter().any(|(kind, _)| *kind == other.kind)) {
        let words =
            |(kind, at_mm): &(InLineKind, f64)| format!("the {} {}", kind.words(), place_words(layout, run, *at_mm));
        return taken.iter().map(words).collect::<Vec<_>>().join(" and ");
    }
    let mut kinds: Vec<&str> = Vec::new();
    for (kind, _) in taken {
        if !kinds.contains(&kind.words()) {
            kinds.push(kind.words());
        }
    }
    format!("every {}", kinds.join(" and "))
}

/// A place along a run, told from what its nearer end joins, in words.
fn place_words(layout: &Layout, run: &Run, at_mm: f64) -> String {
    let before_end_mm = length_mm(layout, &run.id).map_or(f64::INFINITY, |length_mm| length_mm - at_mm);
    let (end, away_mm) = if before_end_mm < at_mm { (WhichEnd::To, before_end_mm) } else { (WhichEnd::From, at_mm) };
    if away_mm < AT_ITS_END_MM {
        at_end_words(run, end)
    } else {
        format!("{away_mm:.0} mm from {}", end_words(run, end))
    }
}

/// A size of cistern that is sold, in words.
fn sold(number: usize) -> String {
    cisterns().sizes.get(number).map_or_else(
        || "of another size".to_owned(),
        |size| {
            let [length, width, height] = [size.length, size.width, size.height].map(crate::units::Size::to_mm);
            format!("of {length} × {width} mm, {height} mm high ({})", size.name)
        },
    )
}
