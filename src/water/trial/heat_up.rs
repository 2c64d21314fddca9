//! The cylinder heats up from cold: how much of its water goes back up the feed, and how high hot water stands in the vent.

use super::levels::litres_per_mm;
use super::{Event, Moment, Played, Total};
use crate::layout::{COLD_INLET, Cylinder, PartRef};
use crate::measure::{Feature, Place, cylinder_capacity_l, overflow_inverts};
use crate::units::{Amount, Level, Power, Temperature, Unit};
use crate::water::Water;
use crate::water::circuit::{COLD_ASSUMED_CELSIUS, Circuit, HOT_ASSUMED_CELSIUS, cold_water};
use crate::water::levels::{expansion_m3, rise_in_vent_m};

/// Power that heats it where no immersion heater's is told (assumption), kW.
const ASSUMED_KW: f64 = 3.0;
/// So many moments are shown.
const MOMENTS: u32 = 50;

/// Heats a cylinder from the cold water's temperature to that at which it stores.
///
/// # Errors
/// What to find out, when the layout does not tell enough.
pub fn heat_up(circuit: &Circuit<'_>, cylinder: &Cylinder) -> Result<Played, String> {
    let site = circuit.site();
    let cistern = site.cistern_of(cylinder).ok_or("draw the cold feed from the cistern to the cylinder")?;
    let line_mm = cistern.water_level().map(Level::to_mm).ok_or("measure the cistern's water line")?;
    let inlet = PartRef::Cylinder(cylinder).port(COLD_INLET).ok_or("draw the cylinder's cold inlet")?;
    let (capacity, capacity_words) = cylinder_capacity_l(cylinder);
    let hot_celsius =
        cylinder.stored_temperature.map_or(HOT_ASSUMED_CELSIUS, Temperature::to_celsius).clamp(0.0, 100.0);
    let cold = cold_water();
    let (power_kw, power_words) = power_kw(cylinder);
    let litres_per_mm = litres_per_mm(site, cistern, line_mm)?;
    let column_m = (line_mm - inlet.z.to_mm()) / 1000.0;
    let vent = circuit.flows(&crate::water::circuit::Conditions::default()).vents.into_iter().next();
    let mut moments = Vec::new();
    for number in 0..=MOMENTS {
        let celsius =
            COLD_ASSUMED_CELSIUS + (hot_celsius - COLD_ASSUMED_CELSIUS) * f64::from(number) / f64::from(MOMENTS);
        let hot = water(celsius);
        let expanded_l = expansion_m3(capacity.value, &cold, &hot);
        let mut levels_mm = vec![(cistern.id.clone(), line_mm + expanded_l / litres_per_mm)];
        if let Some(vent) = &vent {
            levels_mm.push((vent.run.clone(), line_mm + rise_in_vent_m(column_m, &cold, &hot) * 1000.0));
        }
        // Energy formula without losses: t = m c ΔT / P.
        let time_s = capacity.value * hot.heat_j_kg_k * (celsius - COLD_ASSUMED_CELSIUS) / (power_kw * 1000.0);
        moments.push(Moment { time_s, levels_mm, taps_l_s: Vec::new() });
    }
    let expanded_l = expansion_m3(capacity.value, &cold, &water(hot_celsius));
    let rise_mm = expanded_l / litres_per_mm;
    let mut totals = vec![
        Total::new("goes back up the feed", Amount::litres(expanded_l)),
        Total::new("the cistern rises by", Amount::mm(rise_mm)),
        Total::new(
            "hot water in the vent stands above the cistern's by",
            Amount::mm(rise_in_vent_m(column_m, &cold, &water(hot_celsius)) * 1000.0),
        ),
        Total::new(
            "after",
            Amount { value: moments.last().map_or(0.0, |moment| moment.time_s / 60.0), unit: Unit::Minute },
        ),
    ];
    let mut events = Vec::new();
    if let Ok(inverts) = overflow_inverts(site, cistern) {
        let invert_mm = cistern.at.z.to_mm() + inverts[0].height.value;
        let left_mm = invert_mm - (line_mm + rise_mm);
        totals.push(Total::new("overflow's invert above the risen water", Amount::mm(left_mm)));
        let place = Place::of(&cistern.id, Feature::WaterLine);
        events.extend(first_over(&moments, 0, invert_mm, "expanded water runs from the warning pipe", place));
    }
    if let Some((vent, top_mm)) = vent.as_ref().and_then(|vent| Some((vent, vent.top_mm?))) {
        events.extend(first_over(&moments, 1, top_mm, "hot water runs over from the vent", Place::middle(&vent.run)));
    }
    Ok(Played {
        title: format!("{} heats up from {COLD_ASSUMED_CELSIUS} to {hot_celsius} °C", cylinder.id.spoken()),
        assumptions: vec![
            format!("capacity: {capacity_words}"),
            format!("{power_words}, and no heat is lost"),
            "nobody draws water meanwhile, and the float valve has shut at the water line".to_owned(),
        ],
        moments,
        events,
        totals,
    })
}

/// The moment at which a level first passes another.
fn first_over(moments: &[Moment], which: usize, over_mm: f64, words: &str, place: Place) -> Option<Event> {
    let over = moments.iter().find(|moment| moment.levels_mm[which].1 > over_mm)?;
    Some(Event { time_s: over.time_s, words: words.to_owned(), place })
}

/// The power that heats it, kW, and in words.
fn power_kw(cylinder: &Cylinder) -> (f64, String) {
    let told =
        cylinder.immersions.iter().flatten().filter_map(|heater| heater.power.map(Power::to_kw)).reduce(f64::max);
    match told {
        Some(power_kw) => (power_kw, format!("heated by the immersion heater's {power_kw} kW")),
        None => (ASSUMED_KW, format!("heated by {ASSUMED_KW} kW")),
    }
}

fn water(celsius: f64) -> Water {
    Water::at_celsius(celsius.clamp(0.0, 100.0)).expect("held to the range of liquid water")
}
