//! What pipes and cisterns are wrapped in.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

static INSULANTS: LazyLock<Vec<InsulantRow>> =
    LazyLock::new(|| super::shipped(include_str!("../../assets/catalogue/insulants.ron")));

/// What insulation is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Insulant {
    /// Mineral wool or glass fibre.
    MineralWool,
    /// Foamed polyethylene, the usual grey tube.
    PolyethyleneFoam,
    /// Closed-cell rubber foam.
    RubberFoam,
    /// Boards of polystyrene.
    Polystyrene,
    /// Phenolic foam.
    PhenolicFoam,
}

impl Insulant {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 5] =
        [Self::PolyethyleneFoam, Self::MineralWool, Self::RubberFoam, Self::Polystyrene, Self::PhenolicFoam];

    /// The insulant in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::MineralWool => "mineral wool",
            Self::PolyethyleneFoam => "polyethylene foam",
            Self::RubberFoam => "rubber foam",
            Self::Polystyrene => "polystyrene",
            Self::PhenolicFoam => "phenolic foam",
        }
    }

    /// Conductivity, W/(m K).
    #[must_use]
    pub fn conductivity_w_m_k(self) -> f64 {
        let row = INSULANTS.iter().find(|row| row.insulant == self);
        row.expect("the table has a row for every insulant").conductivity_w_m_k
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(dead_code, reason = "source and seen stand in the table for the reader")]
struct InsulantRow {
    insulant: Insulant,
    conductivity_w_m_k: f64,
    source: String,
    seen: bool,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_insulant_has_its_row() {
        for insulant in Insulant::ALL {
            assert!((0.02..0.05).contains(&insulant.conductivity_w_m_k()), "{}", insulant.words());
        }
    }
}
