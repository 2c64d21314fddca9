//! What is borne below a platform, and what that is made of.

use super::plan::{Foot, PlatformPlan};
use crate::layout::Id;
use crate::units::{STANDARD_GRAVITY_M_S2, Unit};

/// What is borne below a platform that carries vessels: they themselves, filled, cisterns to the rim, and what they stand on.
/// A frame is no timbers, and not in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Borne {
    /// The water, kg.
    pub water_kg: f64,
    /// The vessels empty, kg; of one whose own weight is not told there is nothing in it.
    pub empty_kg: f64,
    /// The board, kg; `None` where that is not told.
    pub board_kg: Option<f64>,
    /// The bearers, kg; `None` where there are none, or not enough is told of them.
    pub bearers_kg: Option<f64>,
    /// What to find out, where what a vessel weighs empty is not in it.
    pub rest: Option<String>,
}

impl Borne {
    pub(super) fn of(on: &PlatformPlan<'_>) -> Result<Self, String> {
        let feet = on.feet.as_ref().map_err(Clone::clone)?;
        let kg = |newtons: f64| newtons / STANDARD_GRAVITY_M_S2;
        let total_kg = |of: fn(&Foot) -> f64| kg(feet.iter().map(of).sum());
        let outline = on.outline.as_ref().ok();
        let board_n = outline.zip(on.board_n_m2.as_ref().ok()).map(|(outline, n_m2)| n_m2 * outline.area_m2());
        let bearers_n = || {
            let (bearers, rests) = (on.bearers.as_ref()?, on.rests.as_ref().ok()?);
            let (from_m, to_m) = outline?.along(rests.lie);
            Some(bearers.own_n_per_m * (to_m - from_m) * rests.centres_m.len() as f64)
        };
        Ok(Self {
            water_kg: total_kg(|foot| foot.water_n),
            empty_kg: total_kg(|foot| foot.force_n - foot.water_n),
            board_kg: board_n.map(kg),
            bearers_kg: bearers_n().map(kg),
            rest: on.rest().cloned(),
        })
    }

    /// All that is told of, kg.
    #[must_use]
    pub fn total_kg(&self) -> f64 {
        let below = [self.board_kg, self.bearers_kg].into_iter().flatten().sum::<f64>();
        self.water_kg + self.empty_kg + below
    }

    /// How much it is, and of what, with the names of the vessels: "363.1 kg, 3.56 kN: water 320 kg, …".
    #[must_use]
    pub fn words(&self, vessels: &[Id]) -> String {
        let kg = |value| Unit::Kilogram.of(value);
        let force = Unit::Kilonewton.of(self.total_kg() * STANDARD_GRAVITY_M_S2 / 1000.0);
        let mut parts = vec![format!("water {}, to the rim", kg(self.water_kg))];
        if self.empty_kg > 0.0 {
            let names: Vec<String> = vessels.iter().map(Id::spoken).collect();
            parts.push(format!("{} empty {}", names.join(" and "), kg(self.empty_kg)));
        }
        parts.push(self.board_kg.map_or_else(|| "board not told".to_owned(), |board| format!("board {}", kg(board))));
        parts.extend(self.bearers_kg.map(|bearers| format!("bearers {}", kg(bearers))));
        let (least, missing) = match &self.rest {
            Some(rest) => ("at least ", format!("; still to come: {rest}")),
            None => ("", String::new()),
        };
        format!("{least}{}, {force}: {}{missing}", kg(self.total_kg()), parts.join("; "))
    }
}
