//! What a cylinder puts on the floor of its cupboard.

use crate::layout::{BoardMaterial, Cylinder, Id, Storey};
use crate::measure::standing;
use crate::measure::{Site, find_out};
use crate::units::{Measured, STANDARD_GRAVITY_M_S2};

/// A floor is below a part when it lies no further beneath its base, mm: the height of a plinth.
const PLINTH_MM: f64 = 500.0;

/// A cylinder on a floor of timber.
#[derive(Debug, Clone)]
pub struct OnFloor {
    /// The cylinder.
    pub cylinder: Id,
    /// What stands on the floor, or what to find out first.
    pub weight: Result<FloorWeight, String>,
}

/// What a cylinder puts on a floor.
#[derive(Debug, Clone, PartialEq)]
pub struct FloorWeight {
    /// Water, cylinder and plinth together, kN.
    pub force_kn: Measured,
    /// That over the area on which it stands, kN/m².
    pub pressure_kn_m2: f64,
    /// What it is made of: water, and the cylinder empty.
    pub made_of: String,
    /// What to find out, where what the cylinder weighs empty is not in it.
    pub rest: Option<String>,
    /// How it was come by.
    pub working: Vec<String>,
}

pub(super) fn below_cylinders(site: &Site<'_>) -> Vec<OnFloor> {
    let bare = standing::without_platform(site);
    let below = |cylinder: &Cylinder| match floor_below(site, cylinder) {
        // A deck that is not told may be timber.
        Some(storey) if storey.deck.is_some_and(|deck| deck.material == BoardMaterial::Concrete) => None,
        // Whoever has confirmed a load for its platform, and for what is below that, has answered for the floor.
        Some(_) if is_confirmed(site, cylinder) => None,
        Some(_) => Some(OnFloor { cylinder: cylinder.id.clone(), weight: weigh(site, cylinder) }),
        // In the loft its platform hands it down to the joists; elsewhere, where no floor is drawn, nothing is asked.
        None => bare.iter().any(|vessel| *vessel.id() == cylinder.id).then(|| {
            let find_out = format!("draw the platform that {} stands on", cylinder.id.with_article());
            OnFloor { cylinder: cylinder.id.clone(), weight: Err(find_out) }
        }),
    };
    site.layout().cylinders.iter().filter_map(below).collect()
}

fn is_confirmed(site: &Site<'_>, cylinder: &Cylinder) -> bool {
    standing::platform_of_cylinder(site, cylinder).is_some_and(|platform| platform.confirmed_load.is_some())
}

fn floor_below<'a>(site: &Site<'a>, cylinder: &Cylinder) -> Option<&'a Storey> {
    let base_mm = cylinder.at.z.to_mm();
    let below = |storey: &&Storey| (-1.0..=PLINTH_MM).contains(&(base_mm - storey.floor.to_mm()));
    let storeys = site.building().storeys.iter().filter(below);
    storeys.max_by_key(|storey| storey.floor)
}

fn weigh(site: &Site<'_>, cylinder: &Cylinder) -> Result<FloorWeight, String> {
    let full = standing::full_weight(site, cylinder)?;
    let kilograms = full.water_kg + Measured::exact(full.empty_kg);
    let force_kn = kilograms.scaled(STANDARD_GRAVITY_M_S2 / 1000.0);
    let (area_m2, stands_on) = match standing::platform_of_cylinder(site, cylinder) {
        Some(platform) => match platform.depth {
            Some(depth) => (platform.length.to_mm() * depth.to_mm() / 1e6, "its platform"),
            None => return Err(find_out::front_to_back(&platform.id)),
        },
        None => (std::f64::consts::FRAC_PI_4 * (cylinder.diameter.to_mm() / 1000.0).powi(2), "its base"),
    };
    let pressure_kn_m2 = force_kn.value / area_m2;
    let [how, sum] = full.working;
    let working = vec![
        how,
        format!("{sum} = {:.2} kN", force_kn.value),
        format!("over the {area_m2:.3} m² of {stands_on}: {pressure_kn_m2:.1} kN/m²"),
    ];
    Ok(FloorWeight { force_kn, pressure_kn_m2, made_of: sum, rest: full.rest, working })
}
