//! Under what conditions water is to be reckoned: which taps are open, which valves are shut.

use std::fmt;
use std::str::FromStr;

use serde::Serialize;

use super::{Circuit, Losses, Tap};
use crate::layout::{BadId, Id};

/// Which taps are open, which valves are shut, and which loss figures are taken.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Conditions {
    /// Taps that are open.
    pub open: Open,
    /// Valves that are shut; all others are open.
    pub shut: Vec<ShutValve>,
    /// Which figures of the tables of losses.
    pub losses: Losses,
    /// Levels of the water in cisterns, mm above the datum, where it does not stand at the water line.
    pub levels_mm: Vec<(Id, f64)>,
    /// Float valves on pipes of stored water that stand open, by their cistern, each as a share of wide open; all others
    /// are shut.
    pub filling: Vec<(Id, f64)>,
}

/// Which taps are open.
#[derive(Debug, Clone, Default, PartialEq)]
pub enum Open {
    /// None.
    #[default]
    Nothing,
    /// Every one.
    Everything,
    /// These.
    These(Vec<TapName>),
    /// These, by their place among the circuit's taps.
    Numbered(Vec<usize>),
}

/// What a tap gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Supply {
    /// Hot water.
    Hot,
    /// Cold water.
    Cold,
    /// Both, by one spout or rose.
    Mixed,
}

impl Supply {
    /// In a word.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Hot => "hot",
            Self::Cold => "cold",
            Self::Mixed => "mixed",
        }
    }

    /// The tap that gives it.
    #[must_use]
    pub const fn tap_words(self) -> &'static str {
        match self {
            Self::Hot => "hot tap",
            Self::Cold => "cold tap",
            Self::Mixed => "mixer",
        }
    }
}

/// A tap by name: `bath` for all of the bath's taps, `bath hot` for one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TapName {
    /// The outlet.
    pub outlet: Id,
    /// Which of its taps; all of them when not said.
    pub supply: Option<Supply>,
}

/// A valve by name: the run it sits in, and its place among the run's fittings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShutValve {
    /// The run.
    pub run: Id,
    /// Which of its fittings, from 0; every valve of the run when not said.
    pub number: Option<usize>,
}

impl TapName {
    /// Whether a tap goes by this name.
    #[must_use]
    pub fn names(&self, tap: &Tap<'_>) -> bool {
        tap.outlet.id == self.outlet && self.supply.is_none_or(|supply| supply == tap.supply)
    }
}

impl fmt::Display for TapName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.supply {
            Some(supply) => write!(f, "{} {}", self.outlet, supply.words()),
            None => write!(f, "{}", self.outlet),
        }
    }
}

impl FromStr for TapName {
    type Err = BadId;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim();
        let endings = [Supply::Hot, Supply::Cold, Supply::Mixed];
        let named = endings
            .into_iter()
            .find_map(|supply| Some((text.strip_suffix(supply.words())?.strip_suffix(' ')?, supply)));
        match named {
            Some((outlet, supply)) => Ok(Self { outlet: Id::new(outlet.trim_end())?, supply: Some(supply) }),
            None => Ok(Self { outlet: Id::new(text)?, supply: None }),
        }
    }
}

impl Conditions {
    /// With some taps open, and every valve.
    #[must_use]
    pub fn with(open: Open) -> Self {
        Self { open, ..Self::default() }
    }

    /// Whether a tap is open.
    #[must_use]
    pub fn opens(&self, number: usize, tap: &Tap<'_>) -> bool {
        match &self.open {
            Open::Nothing => false,
            Open::Everything => true,
            Open::These(names) => names.iter().any(|name| name.names(tap)),
            Open::Numbered(numbers) => numbers.contains(&number),
        }
    }

    /// Whether an in-line fitting of a run is shut.
    #[must_use]
    pub fn shuts(&self, circuit: &Circuit<'_>, run: usize, fitting: usize) -> bool {
        let id = &circuit.site().run(run).id;
        self.shut.iter().any(|valve| valve.run == *id && valve.number.is_none_or(|number| number == fitting))
    }
}
