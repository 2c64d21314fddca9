//! Vessels on trussed rafters, which are not joists: what comes on each node of their ties.

use super::plan::{Plan, PlatformPlan};
use crate::layout::Id;
use crate::measure::Site;
use crate::measure::standing::{KG_PER_LITRE, full_weight, stands_on_several};
use crate::units::{Measured, STANDARD_GRAVITY_M_S2};

/// Bearers of a cistern rest near two nodes of each tie (as in the printed details for trussed rafters).
pub const NODES_PER_TRUSS: f64 = 2.0;

/// Litres that differ by less are the same, whatever sums of fractions say.
const A_DROP_L: f64 = 1e-6;

/// What comes on each node with so much water and so much besides over some trusses, N.
#[must_use]
pub fn node_n(litres: f64, dry_n: f64, trusses: f64) -> f64 {
    (litres * KG_PER_LITRE * STANDARD_GRAVITY_M_S2 + dry_n) / (trusses * NODES_PER_TRUSS)
}

/// A platform on trussed rafters, some of which other platforms may share with it.
#[derive(Debug, Clone, PartialEq)]
pub struct Trusses {
    /// How many are below the platform.
    pub count: usize,
    /// What the platform itself stores, to the water line, litres.
    pub own_l: f64,
    /// What is stored over them, to the water line, litres: by this printed tables count. Of platforms that share some of
    /// them all of it; or as many times what the hardest loaded one bears as there are trusses, where that is less.
    pub stored_l: Measured,
    /// What the hardest loaded one bears of it, litres, where that decides.
    pub hardest_l: Option<f64>,
    /// What comes on each node from the platform itself with that water, N.
    pub own_node_n: f64,
    /// What comes on the hardest loaded node with that water, N.
    pub node_n: Measured,
    /// What would come on it with the vessels filled to the rim, N.
    pub node_to_rim_n: f64,
    /// The other platforms on some of them.
    pub shared: Vec<SharedTrusses>,
    /// What to find out of water that is missing from this.
    pub rest_of_water: Option<String>,
    /// What to find out of other weights that are missing from this.
    pub rest_of_weight: Option<String>,
}

impl Trusses {
    /// Where its load comes, in words.
    #[must_use]
    pub const fn node_words(&self) -> &'static str {
        if self.shared.is_empty() { "on each node" } else { "on the hardest loaded node" }
    }
}

/// Another platform on some of the same trusses.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedTrusses {
    /// The platform.
    pub platform: Id,
    /// How many trusses are below it.
    pub count: usize,
    /// How many of them are the same.
    pub common: usize,
    /// What it stores, to the water line, litres.
    pub stored_l: f64,
    /// What comes on each node from it, N.
    pub node_n: f64,
}

/// What one platform puts on the trusses below it, as far as it is told: on each the same.
pub(super) struct HandedDown {
    numbers: Vec<usize>,
    stored_l: Measured,
    dry_n: f64,
    to_rim_n: f64,
    rest_of_water: Option<String>,
    rest_of_weight: Option<String>,
}

impl HandedDown {
    fn count(&self) -> f64 {
        self.numbers.len() as f64
    }

    fn node_n(&self) -> Measured {
        let dry_n = Measured::exact(node_n(0.0, self.dry_n, self.count()));
        self.stored_l.scaled(node_n(1.0, 0.0, self.count())) + dry_n
    }
}

/// What a platform puts on the trusses below it; or what to find out first.
pub(super) fn handed_down(site: &Site<'_>, on: &PlatformPlan<'_>) -> Result<HandedDown, String> {
    let under = on.joists_under.as_ref().map_err(Clone::clone)?;
    let outline = on.outline.as_ref().map_err(Clone::clone)?;
    if under.centres_m.is_empty() {
        return Err("find the trussed rafters under the platform: none is drawn below it".to_owned());
    }
    let (mut rest_of_water, mut rest_of_weight) = (None, None);
    let board_n = on.board_n_m2.as_ref().map(|n_m2| n_m2 * outline.area_m2());
    let bearers_n = match (&on.bearers, &on.rests) {
        (Some(bearers), Ok(rests)) => {
            let (from_m, to_m) = outline.along(rests.lie);
            Ok(bearers.own_n_per_m * (to_m - from_m) * rests.centres_m.len() as f64)
        }
        (Some(_), Err(find_out)) => Err(find_out),
        (None, _) => Ok(0.0),
    };
    let mut dry_n = 0.0;
    for timber_n in [board_n, bearers_n] {
        match timber_n {
            Ok(force_n) => dry_n += force_n,
            Err(find_out) => drop(rest_of_weight.get_or_insert_with(|| find_out.clone())),
        }
    }
    let (mut stored_l, mut to_rim_n) = (Measured::exact(0.0), dry_n);
    for vessel in &on.vessels {
        if let Some(find_out) = stands_on_several(site, *vessel) {
            rest_of_water.get_or_insert(find_out);
            continue;
        }
        match vessel.stored_l(site) {
            Ok(litres) => stored_l = stored_l + litres,
            Err(find_out) => drop(rest_of_water.get_or_insert(find_out)),
        }
        match vessel.empty_kg() {
            Ok(empty_kg) => dry_n += empty_kg * STANDARD_GRAVITY_M_S2,
            Err(find_out) => drop(rest_of_weight.get_or_insert(find_out)),
        }
        if let Ok(full) = full_weight(site, *vessel) {
            to_rim_n += (full.water_kg.value + full.empty_kg) * STANDARD_GRAVITY_M_S2;
        }
    }
    let numbers = under.centres_m.iter().map(|(number, _)| *number).collect();
    Ok(HandedDown { numbers, stored_l, dry_n, to_rim_n, rest_of_water, rest_of_weight })
}

/// What comes on the trusses below a platform, from it and from the others that stand on some of them.
pub(super) fn below(
    plan: &Plan<'_>,
    number: usize,
    on_trusses: &[Result<HandedDown, String>],
) -> Result<Trusses, String> {
    let own = on_trusses[number].as_ref().map_err(Clone::clone)?;
    let Sharing { others, rest_of_water, rest_of_weight } = sharing(plan, number, own, on_trusses);
    let each: Vec<OnTruss> = own.numbers.iter().map(|truss| on_truss(*truss, own, &others)).collect();
    let most = |of: fn(&OnTruss) -> Measured| {
        each.iter().map(of).max_by(|a, b| a.value.total_cmp(&b.value)).unwrap_or(Measured::exact(0.0))
    };
    let shared = others.iter().map(|(id, handed)| SharedTrusses {
        platform: (*id).clone(),
        count: handed.numbers.len(),
        common: handed.numbers.iter().filter(|truss| own.numbers.contains(truss)).count(),
        stored_l: handed.stored_l.value,
        node_n: handed.node_n().value,
    });
    let together_l = others.iter().fold(own.stored_l, |sum, (_, handed)| sum + handed.stored_l);
    let hardest_l = most(|on| on.stored_l);
    let evenly_l = hardest_l.scaled(own.count());
    let is_less = evenly_l.value < together_l.value - A_DROP_L;
    Ok(Trusses {
        count: own.numbers.len(),
        own_l: own.stored_l.value,
        stored_l: if is_less { evenly_l } else { together_l },
        hardest_l: is_less.then_some(hardest_l.value),
        own_node_n: own.node_n().value,
        node_n: most(|on| on.node_n),
        node_to_rim_n: each.iter().map(|on| on.to_rim_n).fold(0.0, f64::max),
        shared: shared.collect(),
        rest_of_water,
        rest_of_weight,
    })
}

/// What else stands on trusses that a platform stands on, and what is still to be found out of all of it.
struct Sharing<'a> {
    others: Vec<(&'a Id, &'a HandedDown)>,
    rest_of_water: Option<String>,
    rest_of_weight: Option<String>,
}

fn sharing<'a>(
    plan: &'a Plan<'_>,
    number: usize,
    own: &HandedDown,
    on_trusses: &'a [Result<HandedDown, String>],
) -> Sharing<'a> {
    let on = &plan.platforms[number];
    let (mut rest_of_water, mut rest_of_weight) = (own.rest_of_water.clone(), own.rest_of_weight.clone());
    let mut others = Vec::new();
    for (at, (other, handed)) in plan.platforms.iter().zip(on_trusses).enumerate() {
        if at == number || !on.may_share_joists_with(other) {
            continue;
        }
        match handed {
            Ok(handed) => {
                rest_of_water = rest_of_water.or_else(|| handed.rest_of_water.clone());
                rest_of_weight = rest_of_weight.or_else(|| handed.rest_of_weight.clone());
                others.push((&other.platform.id, handed));
            }
            Err(find_out) => drop(rest_of_water.get_or_insert_with(|| find_out.clone())),
        }
    }
    let bare = || plan.bare_over(on.joists_under.as_ref().ok()?);
    Sharing { others, rest_of_water: rest_of_water.or_else(bare), rest_of_weight }
}

/// What comes on one truss.
struct OnTruss {
    /// Water, L.
    stored_l: Measured,
    /// On a node, N: as it stands, and with everything filled to the rim.
    node_n: Measured,
    to_rim_n: f64,
}

/// What each platform that stands on a truss brings there.
fn on_truss(truss: usize, own: &HandedDown, others: &[(&Id, &HandedDown)]) -> OnTruss {
    let standing = others.iter().map(|(_, handed)| *handed).filter(|handed| handed.numbers.contains(&truss));
    let nothing = OnTruss { stored_l: Measured::exact(0.0), node_n: Measured::exact(0.0), to_rim_n: 0.0 };
    std::iter::once(own).chain(standing).fold(nothing, |sum, handed| OnTruss {
        stored_l: sum.stored_l + handed.stored_l.scaled(handed.count().recip()),
        node_n: sum.node_n + handed.node_n(),
        to_rim_n: sum.to_rim_n + node_n(0.0, handed.to_rim_n, handed.count()),
    })
}
