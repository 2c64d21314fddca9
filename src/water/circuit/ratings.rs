//! What fittings and outlets take of the water's pressure: tables from `assets/catalogue`, each line with its source.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::catalogue::shipped;
use crate::layout::{InLineKind, Outlet, OutletKind, Taps};
use crate::water::friction::Transition;

static LOSSES: LazyLock<Vec<LossRow>> = LazyLock::new(|| shipped(include_str!("../../../assets/catalogue/losses.ron")));
static OUTLETS: LazyLock<Vec<OutletRow>> =
    LazyLock::new(|| shipped(include_str!("../../../assets/catalogue/outlets.ron")));

/// Something in a pipe's way that takes pressure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub enum Fitting {
    /// Out of a cistern or cylinder into the pipe.
    Entrance,
    /// Out of the pipe into a cistern or cylinder.
    Exit,
    /// A square bend.
    Bend,
    /// Straight on at a tee.
    TeeThrough,
    /// Off at a tee.
    TeeBranch,
    /// From a wider pipe into a narrower one, on the narrower; so many as 1 − A2/A1 (A2 the narrower).
    Contraction,
    /// From a narrower pipe into a wider one, on the narrower; so many as (1 − A1/A2)² (A1 the narrower).
    Enlargement,
    /// What sits in the run.
    InLine(InLineKind),
}

/// Which figure of a table with a spread is taken.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Losses {
    /// The least that tables give.
    Least,
    /// The usual figure.
    #[default]
    Usual,
    /// The greatest that tables give.
    Greatest,
}

impl Losses {
    /// By when flow is taken to be turbulent: the greatest losses go with the earliest.
    pub(super) const fn transition(self) -> Transition {
        match self {
            Self::Least | Self::Usual => Transition::Late,
            Self::Greatest => Transition::Early,
        }
    }
}

/// A fitting and what it takes.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LossRow {
    /// The fitting.
    pub fitting: Fitting,
    /// Usual loss coefficient, in velocity heads.
    pub usual: f64,
    /// The least in print.
    pub least: f64,
    /// The greatest in print.
    pub greatest: f64,
    /// Whether its source was seen.
    pub seen: bool,
    /// Where it stands.
    pub source: String,
}

/// An outlet and what it passes when fully open.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OutletRow {
    /// The outlet.
    pub kind: OutletKind,
    /// How hot and cold leave it, where nobody tells.
    pub taps: Taps,
    /// What it passes, L/s.
    pub flow_l_s: f64,
    /// The pressure before it that this takes, kPa.
    pub at_kpa: f64,
    /// Whether its source was seen.
    pub seen: bool,
    /// Where it stands.
    pub source: String,
}

/// The table of losses.
#[must_use]
pub fn losses() -> &'static [LossRow] {
    &LOSSES
}

/// The table of outlets.
#[must_use]
pub fn outlets() -> &'static [OutletRow] {
    &OUTLETS
}

impl Fitting {
    /// Its loss coefficient K.
    #[must_use]
    pub fn loss_coefficient(self, losses: Losses) -> f64 {
        let row = LOSSES.iter().find(|row| row.fitting == self).expect("the table of losses names every fitting");
        match losses {
            Losses::Least => row.least,
            Losses::Usual => row.usual,
            Losses::Greatest => row.greatest,
        }
    }
}

/// The row of a kind of outlet.
fn row(kind: OutletKind) -> &'static OutletRow {
    OUTLETS.iter().find(|row| row.kind == kind).expect("the table of outlets names every kind")
}

/// What an outlet passes when fully open, L/s, and the pressure before it that this takes, kPa.
#[must_use]
pub fn passes(outlet: &Outlet) -> (f64, f64) {
    match outlet.passes {
        Some(told) => (told.flow.to_l_s(), told.at.to_kpa()),
        None => (row(outlet.kind).flow_l_s, row(outlet.kind).at_kpa),
    }
}

/// How hot and cold leave an outlet.
#[must_use]
pub fn taps(outlet: &Outlet) -> Taps {
    outlet.taps.unwrap_or_else(|| row(outlet.kind).taps)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_fitting_and_every_outlet_has_its_row() {
        let plain = [
            Fitting::Entrance,
            Fitting::Exit,
            Fitting::Bend,
            Fitting::TeeThrough,
            Fitting::TeeBranch,
            Fitting::Contraction,
            Fitting::Enlargement,
        ];
        for fitting in plain.into_iter().chain(InLineKind::ALL.map(Fitting::InLine)) {
            let [least, usual, greatest] =
                [Losses::Least, Losses::Usual, Losses::Greatest].map(|losses| fitting.loss_coefficient(losses));
            assert!(least <= usual && usual <= greatest, "{fitting:?}");
        }
        for kind in OutletKind::ALL {
            assert!(row(kind).flow_l_s > 0.0 && row(kind).at_kpa > 0.0, "{kind:?}");
        }
    }
}
