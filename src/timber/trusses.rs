//! Cisterns on trussed rafters, which are not joists: what comes on each node of their ties.

use super::plan::PlatformPlan;
use crate::measure::platform::KG_PER_LITRE;
use crate::measure::{Site, water_volume_l};
use crate::units::{Measured, STANDARD_GRAVITY_M_S2};

/// Bearers of a cistern rest near two nodes of each tie (as in the printed details for trussed rafters).
pub const NODES_PER_TRUSS: f64 = 2.0;

/// What comes on each node with so much water and so much besides over some trusses, N.
#[must_use]
pub fn node_n(litres: f64, dry_n: f64, trusses: f64) -> f64 {
    (litres * KG_PER_LITRE * STANDARD_GRAVITY_M_S2 + dry_n) / (trusses * NODES_PER_TRUSS)
}

/// A platform on trussed rafters.
#[derive(Debug, Clone, PartialEq)]
pub struct Trusses {
    /// How many are below the platform.
    pub count: usize,
    /// What is stored, to the water line, litres: by this printed tables count.
    pub stored_l: Measured,
    /// What comes on each node with that water, N.
    pub node_n: Measured,
    /// What would come on each node with the cistern filled to the rim, N.
    pub node_to_rim_n: f64,
}

pub(super) fn below(site: &Site<'_>, on: &PlatformPlan<'_>) -> Result<Trusses, String> {
    let under = on.joists_under.as_ref().map_err(Clone::clone)?;
    let outline = on.outline.as_ref().map_err(Clone::clone)?;
    let feet = on.feet.as_ref().map_err(Clone::clone)?;
    let board_n = on.board_n_m2.as_ref().map_err(Clone::clone)? * outline.area_m2();
    if under.centres_m.is_empty() {
        return Err("find the trussed rafters under the platform: none is drawn below it".to_owned());
    }
    let bearers_n = match (&on.bearers, &on.rests) {
        (Some(bearers), Ok(rests)) => {
            let (from_m, to_m) = outline.along(rests.lie);
            bearers.own_n_per_m * (to_m - from_m) * rests.centres_m.len() as f64
        }
        (Some(_), Err(find_out)) => return Err(find_out.clone()),
        (None, _) => 0.0,
    };
    let (mut stored_l, mut dry_n) = (Measured::exact(0.0), board_n + bearers_n);
    for cistern in &on.cisterns {
        stored_l = stored_l + water_volume_l(site, cistern)?.0;
        dry_n += cistern.empty_mass.map_or(0.0, |mass| mass.to_kg()) * STANDARD_GRAVITY_M_S2;
    }
    let trusses = under.centres_m.len() as f64;
    let of_water = node_n(1.0, 0.0, trusses);
    let load_n = stored_l.scaled(of_water) + Measured::exact(node_n(0.0, dry_n, trusses));
    let to_rim_n: f64 = feet.iter().map(|foot| foot.force_n).sum::<f64>() + board_n + bearers_n;
    let node_to_rim_n = node_n(0.0, to_rim_n, trusses);
    Ok(Trusses { count: under.centres_m.len(), stored_l, node_n: load_n, node_to_rim_n })
}
