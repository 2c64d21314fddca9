//! Demand: what outlets are designed to give, and how much of it is drawn at one time, by loading units.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::catalogue::shipped;
use crate::layout::OutletKind;

static TABLES: LazyLock<Tables> = LazyLock::new(|| shipped(include_str!("../../assets/catalogue/demand.ron")));

/// Two ways of counting demand, which must not be mixed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Counting {
    /// BS 6700.
    #[default]
    Bs6700,
    /// EN 806-3.
    En806,
}

/// What an outlet of a kind is designed to give.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OutletDemand {
    /// The outlet.
    pub kind: OutletKind,
    /// How it counts among others.
    pub loading_units: f64,
    /// What it should give, L/s.
    pub design_l_s: f64,
    /// What it must give at least, L/s.
    pub least_l_s: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Tables {
    bs6700: Vec<OutletDemand>,
    bs6700_simultaneous: Vec<(f64, f64)>,
    en806: Vec<OutletDemand>,
    en806_copper: Vec<(f64, f64)>,
}

impl Counting {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Bs6700, Self::En806];

    /// The standard's name.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Bs6700 => "BS 6700",
            Self::En806 => "EN 806-3",
        }
    }

    /// What an outlet of a kind is designed to give.
    #[must_use]
    pub fn outlet(self, kind: OutletKind) -> &'static OutletDemand {
        let rows = match self {
            Self::Bs6700 => &TABLES.bs6700,
            Self::En806 => &TABLES.en806,
        };
        rows.iter().find(|row| row.kind == kind).expect("the tables name every kind of outlet")
    }

    /// Loading units of some outlets together.
    #[must_use]
    pub fn loading_units(self, kinds: impl IntoIterator<Item = OutletKind>) -> f64 {
        kinds.into_iter().map(|kind| self.outlet(kind).loading_units).sum()
    }
}

/// What some outlets are likely to draw at one time, L/s, by BS 6700: never less than the greediest of them alone,
/// and never more than all of them together.
///
/// Between the ticks of the figure, and beyond them, by straight lines on its logarithmic scales.
#[must_use]
pub fn simultaneous_l_s(kinds: &[OutletKind]) -> f64 {
    let design = |kind: &OutletKind| Counting::Bs6700.outlet(*kind).design_l_s;
    let together = kinds.iter().map(design).sum();
    let alone = kinds.iter().map(design).fold(0.0, f64::max);
    by_figure_l_s(Counting::Bs6700.loading_units(kinds.iter().copied())).clamp(alone, f64::max(alone, together))
}

fn by_figure_l_s(loading_units: f64) -> f64 {
    if loading_units <= 0.0 {
        return 0.0;
    }
    let ticks = &TABLES.bs6700_simultaneous;
    let after = ticks.iter().position(|(units, _)| loading_units <= *units).unwrap_or(ticks.len() - 1).max(1);
    let ((low_units, low_l_s), (high_units, high_l_s)) = (ticks[after - 1], ticks[after]);
    let share = (loading_units / low_units).ln() / (high_units / low_units).ln();
    low_l_s * (high_l_s / low_l_s).powf(share)
}

/// The outside diameter of the smallest copper tube that serves so many loading units by EN 806-3, mm; `None` beyond the
/// table.
#[must_use]
pub fn en806_copper_mm(loading_units: f64) -> Option<f64> {
    TABLES.en806_copper.iter().find(|(_, most)| loading_units <= *most).map(|(outside_mm, _)| *outside_mm)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_tables_name_every_kind_of_outlet() {
        for counting in Counting::ALL {
            for kind in OutletKind::ALL {
                let row = counting.outlet(kind);
                assert!(row.least_l_s > 0.0 && row.least_l_s <= row.design_l_s, "{kind:?}");
            }
        }
    }

    /// Ticks seen on the figure's scales: 10 units 0.3 L/s, 50 units 0.8 L/s, 200 units 2 L/s.
    #[test]
    fn the_figure_is_followed_at_its_ticks() {
        for (units, flow_l_s) in [(10.0, 0.3), (50.0, 0.8), (200.0, 2.0)] {
            assert!((by_figure_l_s(units) - flow_l_s).abs() < 1e-12);
        }
    }

    /// The two systems disagree, and each is kept to itself: a bath counts 10 units in one and 4 in the other.
    #[test]
    fn a_bath_counts_differently_in_each() {
        assert_eq!(Counting::Bs6700.loading_units([OutletKind::Bath]), 10.0);
        assert_eq!(Counting::En806.loading_units([OutletKind::Bath]), 4.0);
    }

    #[test]
    fn demand_lies_between_one_and_all() {
        let bathroom = [OutletKind::Bath, OutletKind::Basin, OutletKind::Wc];
        let demand_l_s = simultaneous_l_s(&bathroom);
        assert!((0.3..0.58).contains(&demand_l_s), "{demand_l_s}");
        assert_eq!(simultaneous_l_s(&[OutletKind::Basin]), 0.15);
        assert_eq!(simultaneous_l_s(&[]), 0.0);
    }
}
