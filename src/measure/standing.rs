//! What stands on what: the vessels that hold water, what they weigh filled, and the platforms that carry them.

use foldhash::HashMap;

use super::{Site, believed_capacity_l, rim_volume_l, water_volume_l};
use crate::geom::overlap;
use crate::layout::{Cistern, Cylinder, Id, Joists, Layout, Platform};
use crate::units::{Measured, Unit};

/// A part stands on a platform when its base is this near the platform's upper face.
pub(super) const STANDS_ON_WITHIN_MM: f64 = 5.0;
/// A timber whose centre is this near the platform's edge is under the edge, whatever sums of fractions say.
pub const ON_THE_EDGE_MM: f64 = 1e-6;
/// A deck with its floor this little above the top of the joists lies on them and hands its weights down, mm
/// (assumption).
const DECK_MM: f64 = 100.0;
/// Mass of a litre of stored water, as the trade reckons it (common practice, no source).
pub const KG_PER_LITRE: f64 = 1.0;

/// A vessel of stored water, which weighs on whatever it stands on. What a boiler weighs is nowhere told.
#[derive(Debug, Clone, Copy)]
pub enum Vessel<'a> {
    /// A cistern.
    Cistern(&'a Cistern),
    /// A cylinder.
    Cylinder(&'a Cylinder),
}

impl<'a> From<&'a Cistern> for Vessel<'a> {
    fn from(cistern: &'a Cistern) -> Self {
        Self::Cistern(cistern)
    }
}

impl<'a> From<&'a Cylinder> for Vessel<'a> {
    fn from(cylinder: &'a Cylinder) -> Self {
        Self::Cylinder(cylinder)
    }
}

impl<'a> Vessel<'a> {
    /// All of a layout, cisterns first.
    pub fn all(layout: &'a Layout) -> impl Iterator<Item = Self> + use<'a> {
        layout.cisterns.iter().map(Self::Cistern).chain(layout.cylinders.iter().map(Self::Cylinder))
    }

    /// Its id.
    #[must_use]
    pub const fn id(self) -> &'a Id {
        match self {
            Self::Cistern(cistern) => &cistern.id,
            Self::Cylinder(cylinder) => &cylinder.id,
        }
    }

    /// Left and right sides, mm.
    #[must_use]
    pub fn span_mm(self) -> (f64, f64) {
        match self {
            Self::Cistern(cistern) => cistern.span_mm(),
            Self::Cylinder(cylinder) => cylinder.span_mm(),
        }
    }

    /// Front and back, mm behind the section plane; `None` where that is not told.
    #[must_use]
    pub fn front_and_back_mm(self) -> Option<(f64, f64)> {
        match self {
            Self::Cistern(cistern) => cistern.front_and_back_mm(),
            Self::Cylinder(cylinder) => cylinder.front_and_back_mm(),
        }
    }

    /// How far in from its sides its base presses, mm: where a cistern's sides lean. A round base presses as a square
    /// one of the same area would.
    #[must_use]
    pub fn base_in_mm(self) -> f64 {
        match self {
            Self::Cistern(cistern) => cistern.draft_at_mm(0.0),
            Self::Cylinder(cylinder) => {
                let half_mm = cylinder.diameter.to_mm() / 2.0;
                half_mm * (1.0 - std::f64::consts::FRAC_PI_4.sqrt())
            }
        }
    }

    /// Level of its base, mm.
    #[must_use]
    pub fn base_mm(self) -> f64 {
        match self {
            Self::Cistern(cistern) => cistern.at.z.to_mm(),
            Self::Cylinder(cylinder) => cylinder.at.z.to_mm(),
        }
    }

    /// Level of its top, mm: of a cistern its rim.
    #[must_use]
    pub fn top_mm(self) -> f64 {
        match self {
            Self::Cistern(cistern) => cistern.rim().to_mm(),
            Self::Cylinder(cylinder) => cylinder.top().to_mm(),
        }
    }

    /// What it stores, litres: a cistern to its water line.
    ///
    /// # Errors
    /// What to find out, when the layout does not tell enough.
    pub fn stored_l(self, site: &Site<'_>) -> Result<Measured, String> {
        match self {
            Self::Cistern(cistern) => Ok(water_volume_l(site, cistern)?.0),
            Self::Cylinder(cylinder) => Ok(believed_capacity_l(site, cylinder)?.0),
        }
    }

    /// What it weighs empty, kg.
    ///
    /// # Errors
    /// What to find out, when nobody has told.
    pub fn empty_kg(self) -> Result<f64, String> {
        let spoken = self.id().with_article();
        let (empty, find_out) = match self {
            Self::Cistern(cistern) => (cistern.empty_mass, "with lid, valve and fittings"),
            Self::Cylinder(cylinder) => (cylinder.empty_mass, "from its label or its maker"),
        };
        empty.map(crate::units::Mass::to_kg).ok_or_else(|| format!("find what {spoken} weighs empty, {find_out}"))
    }
}

/// What a vessel weighs that is filled, a cistern to the rim.
pub struct FullWeight {
    /// The water.
    pub water_kg: Measured,
    /// The vessel itself, a cistern with lid, valve and fittings; nothing where nobody has told.
    pub empty_kg: f64,
    /// What to find out, where the weight of the vessel itself is missing.
    pub rest: Option<String>,
    /// How it was come by.
    pub working: [String; 2],
}

/// What a vessel weighs that is filled, a cistern to the rim.
///
/// # Errors
/// What to find out, when the layout does not tell how much water it is.
pub fn full_weight<'a>(site: &Site<'_>, vessel: impl Into<Vessel<'a>>) -> Result<FullWeight, String> {
    let vessel = vessel.into();
    let (litres, how) = match vessel {
        Vessel::Cistern(cistern) => rim_volume_l(site, cistern)?,
        Vessel::Cylinder(cylinder) => believed_capacity_l(site, cylinder)?,
    };
    let water_kg = litres.scaled(KG_PER_LITRE);
    let (empty_kg, rest) = vessel.empty_kg().map_or_else(|find_out| (0.0, Some(find_out)), |kg| (kg, None));
    let and_empty = match rest {
        None => format!(" + {} empty", Unit::Kilogram.of(empty_kg)),
        Some(_) => ", without what it weighs empty".to_owned(),
    };
    let working = [format!("{}: {how}", vessel.id().spoken()), format!("{:.1} kg of water{and_empty}", water_kg.value)];
    Ok(FullWeight { water_kg, empty_kg, rest, working })
}

/// The platforms below a vessel: the one with the largest share of it, and those that lie beside that one.
pub(super) fn platforms_of<'a>(site: &Site<'a>, vessel: Vessel<'_>) -> Vec<&'a Platform> {
    let (span, deep, base_mm) = (vessel.span_mm(), vessel.front_and_back_mm(), vessel.base_mm());
    let clear_of_it = |platform: &Platform| super::room::stand_behind(platform.front_and_back_mm(), deep);
    let shared_mm = |platform: &Platform| match overlap(platform.span_mm(), span) {
        Some((from, to)) if !clear_of_it(platform) => to - from,
        _ => 0.0,
    };
    let level_with = |platform: &&Platform| (platform.at.z.to_mm() - base_mm).abs() <= STANDS_ON_WITHIN_MM;
    let mut below: Vec<&Platform> =
        site.layout().platforms.iter().filter(level_with).filter(|platform| shared_mm(platform) > 0.0).collect();
    // The sort is stable: of those that share it equally the last of the layout comes first.
    below.reverse();
    below.sort_by(|a, b| shared_mm(b).total_cmp(&shared_mm(a)));
    if let Some((first, others)) = below.split_first() {
        let first: &Platform = first;
        let beside: Vec<&Platform> = others.iter().copied().filter(|other| lie_beside(first, other)).collect();
        below.truncate(1);
        below.extend(beside);
    }
    below
}

/// Whether two platforms lie beside each other or one behind the other, and not in the same place.
fn lie_beside(one: &Platform, other: &Platform) -> bool {
    let apart = |a, b| overlap(a, b).is_none_or(|(from, to)| to - from <= ON_THE_EDGE_MM);
    let in_depth = match (one.front_and_back_mm(), other.front_and_back_mm()) {
        (Some(one), Some(other)) => apart(one, other),
        _ => false,
    };
    apart(one.span_mm(), other.span_mm()) || in_depth
}

/// What to find out of a vessel that stands on more than one platform: how much each of them bears hangs on how they
/// give way, and nothing tells that they are joined.
#[must_use]
pub fn stands_on_several(site: &Site<'_>, vessel: Vessel<'_>) -> Option<String> {
    let platforms = platforms_of(site, vessel);
    (platforms.len() > 1).then(|| {
        let names: Vec<String> = platforms.iter().map(|platform| platform.id.with_article()).collect();
        let spoken = vessel.id().with_article();
        format!("draw one platform under {spoken}, which stands on {}", names.join(" and "))
    })
}

/// The platform that a cylinder stands on.
#[must_use]
pub fn platform_of_cylinder<'a>(site: &Site<'a>, cylinder: &Cylinder) -> Option<&'a Platform> {
    platforms_of(site, cylinder.into()).first().copied()
}

/// The platforms that carry vessels, in their order, each with the vessels on it.
#[must_use]
pub fn laden_platforms<'a>(site: &Site<'a>) -> Vec<(&'a Platform, Vec<Vessel<'a>>)> {
    let mut on: HashMap<&Id, Vec<Vessel<'_>>> = HashMap::default();
    for vessel in Vessel::all(site.layout()) {
        for platform in platforms_of(site, vessel) {
            on.entry(&platform.id).or_default().push(vessel);
        }
    }
    site.layout().platforms.iter().filter_map(|platform| Some((platform, on.remove(&platform.id)?))).collect()
}

fn carries_a_cistern(on_it: &[Vessel<'_>]) -> bool {
    on_it.iter().any(|vessel| matches!(vessel, Vessel::Cistern(_)))
}

/// The platforms that carry cisterns, in their order, each with the vessels on it.
pub(super) fn under_cisterns<'a>(site: &Site<'a>) -> impl Iterator<Item = (&'a Platform, Vec<Vessel<'a>>)> + use<'a> {
    laden_platforms(site).into_iter().filter(|(_, on_it)| carries_a_cistern(on_it))
}

/// The platforms that carry cisterns, and those of the loft that carry cylinders. A cylinder's platform that stands on
/// the floor of a storey is not among them: that floor is asked by itself.
#[must_use]
pub fn over_joists<'a>(site: &Site<'a>) -> Vec<(&'a Platform, Vec<Vessel<'a>>)> {
    let mut laden = laden_platforms(site);
    laden.retain(|(platform, on_it)| carries_a_cistern(on_it) || weighs_on_joists(site, platform.at.z.to_mm()));
    laden
}

/// Whether what stands at a level weighs on the joists of the loft, or on what carries its ceiling where none are
/// drawn: no floor lies between that does not itself lie on them.
pub(super) fn weighs_on_joists(site: &Site<'_>, base_mm: f64) -> bool {
    let building = site.building();
    let joists_mm = building.joists.as_ref().map(|joists| joists.top.to_mm());
    let Some(top_mm) = joists_mm.or(building.ceiling.map(|ceiling| ceiling.underside.to_mm())) else { return false };
    let between = (top_mm + DECK_MM)..=(base_mm + STANDS_ON_WITHIN_MM);
    let mut floors = building.storeys.iter().map(|storey| storey.floor.to_mm());
    base_mm >= top_mm && !floors.any(|floor_mm| between.contains(&floor_mm))
}

/// The vessels in the loft below which no platform is drawn: what they weigh comes on joists, and nothing tells how.
#[must_use]
pub fn without_platform<'a>(site: &Site<'a>) -> Vec<Vessel<'a>> {
    let stands_bare =
        |vessel: &Vessel<'_>| weighs_on_joists(site, vessel.base_mm()) && platforms_of(site, *vessel).is_empty();
    Vessel::all(site.layout()).filter(stands_bare).collect()
}

/// The loft's joists, where they lie below a platform: those overhead carry nothing of it.
#[must_use]
pub fn joists_below<'a>(site: &Site<'a>, platform: &Platform) -> Option<&'a Joists> {
    site.building().joists.as_ref().filter(|joists| joists.top <= platform.at.z)
}
