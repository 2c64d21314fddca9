//! What a cylinder puts on the floor of its cupboard.

use crate::layout::{BoardMaterial, Cylinder, Id, Storey};
use crate::measure::{Site, cylinder_capacity_l, find_out, platform as measured};
use crate::units::{Amount, Measured, STANDARD_GRAVITY_M_S2, Unit};

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
    /// How it was come by.
    pub working: Vec<String>,
}

pub(super) fn below_cylinders(site: &Site<'_>) -> Vec<OnFloor> {
    let on_timber = |cylinder: &&Cylinder| {
        let floor = floor_below(site, cylinder);
        // Where no floor is drawn there is nothing to ask; a deck that is not told may be timber.
        floor.is_some_and(|storey| storey.deck.is_none_or(|deck| deck.material != BoardMaterial::Concrete))
    };
    let cylinders = site.layout().cylinders.iter().filter(on_timber);
    cylinders.map(|cylinder| OnFloor { cylinder: cylinder.id.clone(), weight: weigh(site, cylinder) }).collect()
}

fn floor_below<'a>(site: &Site<'a>, cylinder: &Cylinder) -> Option<&'a Storey> {
    let base_mm = cylinder.at.z.to_mm();
    let below = |storey: &&Storey| (-1.0..=PLINTH_MM).contains(&(base_mm - storey.floor.to_mm()));
    let storeys = site.building().storeys.iter().filter(below);
    storeys.max_by(|a, b| a.floor.to_mm().total_cmp(&b.floor.to_mm()))
}

fn weigh(site: &Site<'_>, cylinder: &Cylinder) -> Result<FloorWeight, String> {
    let spoken = cylinder.id.spoken();
    let (litres, how) = cylinder_capacity_l(cylinder);
    let Some(empty) = cylinder.empty_mass else {
        return Err(format!("find what the {spoken} weighs empty, from its label or its maker"));
    };
    let kilograms = litres.scaled(measured::KG_PER_LITRE) + Measured::exact(empty.to_kg());
    let force_kn = kilograms.scaled(STANDARD_GRAVITY_M_S2 / 1000.0);
    let (area_m2, stands_on) = match measured::platform_of_cylinder(site, cylinder) {
        Some(platform) => match platform.depth {
            Some(depth) => (platform.length.to_mm() * depth.to_mm() / 1e6, "its platform"),
            None => return Err(find_out::front_to_back(&platform.id)),
        },
        None => (std::f64::consts::FRAC_PI_4 * (cylinder.diameter.to_mm() / 1000.0).powi(2), "its base"),
    };
    let pressure_kn_m2 = force_kn.value / area_m2;
    let working = vec![
        how,
        format!(
            "{:.1} kg of water + {} empty = {:.2} kN",
            litres.value,
            Amount { value: empty.to_kg(), unit: Unit::Kilogram },
            force_kn.value
        ),
        format!("over the {area_m2:.3} m² of {stands_on}: {pressure_kn_m2:.1} kN/m²"),
    ];
    Ok(FloorWeight { force_kn, pressure_kn_m2, working })
}
