//! What outlets are counted for when pipe is sized: loading units and flows, by two standards that are never mixed.

use std::sync::LazyLock;

use serde::Deserialize;

use super::shipped;

static DEMANDS: LazyLock<Vec<Demands>> = LazyLock::new(|| shipped(include_str!("../../assets/catalogue/demand.ron")));

/// A standard that says what outlets count for. Units of one are never added to units of the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub enum DemandStandard {
    /// BS 6700, superseded and still quoted.
    Bs6700,
    /// EN 806-3.
    En806,
}

impl DemandStandard {
    /// Both of them.
    pub const ALL: [Self; 2] = [Self::Bs6700, Self::En806];

    /// What it says of an outlet of its usual size, by the outlet's words ("basin"); `None` where it lists none.
    #[must_use]
    pub fn demand(self, outlet: &str) -> Option<&'static Demand> {
        self.demands().rows.iter().find(|row| row.outlet == outlet)
    }

    /// All that it says, the usual size of each outlet first.
    ///
    /// # Panics
    /// Never: the shipped table has both standards.
    #[must_use]
    pub fn demands(self) -> &'static Demands {
        DEMANDS.iter().find(|table| table.standard == self).expect("both standards are in the table")
    }
}

/// What one standard says.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Demands {
    standard: DemandStandard,
    /// Where the loading units stand.
    pub source: String,
    /// Outlets, the usual size of each first.
    pub rows: Vec<Demand>,
}

/// What an outlet is counted for.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Demand {
    /// The outlet, in words.
    pub outlet: String,
    /// Size of its connection, where several are listed.
    #[serde(default)]
    pub size: Option<String>,
    /// Loading units, and whether they were seen in print; `None` where the standard lists no units for it.
    #[serde(default)]
    pub units: Option<(f64, bool)>,
    /// Flow that it is designed for, L/s.
    pub design_l_s: f64,
    /// Least flow with which it still serves, L/s.
    pub least_l_s: f64,
    /// Whether the flows were seen in print; otherwise they are from memory.
    pub flows_seen: bool,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_outlet_serves_with_more_than_it_is_designed_for() {
        for row in DemandStandard::ALL.iter().flat_map(|standard| &standard.demands().rows) {
            assert!(row.least_l_s > 0.0 && row.least_l_s <= row.design_l_s, "{}", row.outlet);
        }
    }
}
