//! The cylinder heats up from cold: how much of its water goes back up the feed, and how high hot water stands in the vent.

use super::cylinder_warmth::Heating;
use crate::layout::{COLD_INLET, Cylinder, Id, PartRef};
use crate::measure::{Feature, Place, Site, cylinder_capacity_l, find_out};
use crate::units::{Amount, Unit};
use crate::water::Water;
use crate::water::circuit::Circuit;
use crate::water::levels::{growth, rise_in_vent_m};
use crate::water::trial::{Event, Moment, OneWater, Played, Total};

/// Heats a cylinder from the temperature of the main to that at which it stores, by what heats it.
///
/// # Errors
/// What to find out, when the layout does not tell enough.
pub fn heat_up(circuit: &Circuit<'_>, cylinder: &Cylinder) -> Result<Played, String> {
    let site = circuit.site();
    let cistern = site.cistern_of(cylinder).ok_or(find_out::COLD_FEED)?;
    let one_water = OneWater::of(site, cistern);
    let base_mm = cistern.at.z.to_mm();
    let lowest = one_water.inverts(site).ok().and_then(|inverts| {
        let inverts = inverts.into_iter().map(|(cistern, height_mm, _)| (cistern, base_mm + height_mm));
        inverts.min_by(|a, b| a.1.total_cmp(&b.1))
    });
    let told_mm = base_mm + one_water.line_mm().ok_or_else(|| find_out::water_line(&cistern.id))?;
    // What stands higher has run out by then.
    let line_mm = lowest.map_or(told_mm, |(_, invert_mm)| told_mm.min(invert_mm));
    let inlet = PartRef::Cylinder(cylinder).port(COLD_INLET).ok_or("draw the cylinder's cold inlet")?;
    let (capacity, capacity_words) = cylinder_capacity_l(cylinder);
    let heating = Heating::of(site, cylinder)?;
    let swelling = Swelling {
        capacity_l: capacity.value,
        cold: water(heating.from_c),
        inlet_mm: inlet.z.to_mm(),
        line_mm,
        litres_per_mm: one_water.litres_per_mm(site, line_mm - base_mm)?,
    };
    let vent = Vent::of(site, cylinder);
    let moment = |heated: &super::Moment| {
        let Swollen { rise_mm, above_mm, .. } = swelling.at(heated.celsius);
        let mut levels_mm = one_water.levels_mm(line_mm + rise_mm - base_mm);
        levels_mm.extend(vent.iter().map(|vent| (vent.run.clone(), line_mm + rise_mm + above_mm)));
        Moment { time_s: heated.hour * 3600.0, levels_mm, taps_l_s: Vec::new() }
    };
    let moments: Vec<Moment> = heating.curve.iter().map(moment).collect();
    let Swollen { expanded_l, rise_mm, above_mm } = swelling.at(heating.to_c);
    let minutes = moments.last().map_or(0.0, |moment| moment.time_s / 60.0);
    let mut totals = vec![
        Total::new("goes back up the feed", Amount::litres(expanded_l)),
        Total::new("the cistern rises by", Amount::mm(rise_mm)),
        Total::new("hot water in the vent stands above the cistern's by", Amount::mm(above_mm)),
        Total::new("after", Unit::Minute.of(minutes)),
    ];
    let mut events = Vec::new();
    if let Some((overflowing, invert_mm)) = lowest {
        let left_mm = invert_mm - (line_mm + rise_mm);
        totals.push(Total::new("overflow's invert above the risen water", Amount::mm(left_mm)));
        let place = Place::of(&overflowing.id, Feature::WaterLine);
        events.extend(first_over(&moments, 0, invert_mm, "expanded water runs from the warning pipe", place));
    }
    if let Some(vent) = &vent {
        let (last, place) = (moments[0].levels_mm.len() - 1, Place::middle(vent.run));
        events.extend(first_over(&moments, last, vent.top_mm, "hot water runs over from the vent", place));
    }
    let title = format!("{} heats up from {} to {} °C", cylinder.id.spoken(), heating.from_c, heating.to_c);
    let mut assumptions = vec![format!("capacity: {capacity_words}")];
    assumptions.extend(heating.assumptions);
    assumptions.extend(one_water.assumption());
    assumptions.push("nobody draws water meanwhile, and the float valve has shut at the water line".to_owned());
    Ok(Played { title, assumptions, moments, events, totals })
}

/// Water that grows in a cylinder while it heats up.
struct Swelling {
    capacity_l: f64,
    cold: Water,
    /// Levels of the cylinder's cold inlet and of the cistern's water before, mm.
    inlet_mm: f64,
    line_mm: f64,
    /// What one millimetre of the cistern's water holds, L.
    litres_per_mm: f64,
}

/// How far it has grown.
struct Swollen {
    /// What has gone back up the feed, L.
    expanded_l: f64,
    /// How far that raises the cistern's water, mm.
    rise_mm: f64,
    /// How far the vent's water stands above the cistern's, mm.
    above_mm: f64,
}

impl Swelling {
    fn at(&self, celsius: f64) -> Swollen {
        let hot = water(celsius);
        let expanded_l = self.capacity_l * growth(&self.cold, &hot);
        let rise_mm = expanded_l / self.litres_per_mm;
        let column_m = (self.line_mm + rise_mm - self.inlet_mm) / 1000.0;
        Swollen { expanded_l, rise_mm, above_mm: rise_in_vent_m(column_m, &self.cold, &hot) * 1000.0 }
    }
}

/// A cylinder's own vent.
struct Vent<'s> {
    /// The run whose end is open.
    run: &'s Id,
    /// Level of the highest point of its way, mm.
    top_mm: f64,
}

impl<'s> Vent<'s> {
    fn of(site: &'s Site<'_>, cylinder: &Cylinder) -> Option<Self> {
        let path = site.vent_path(cylinder)?;
        let top_mm = site.points_of(path).iter().map(|point| point.y).reduce(f64::max)?;
        Some(Self { run: &site.run(path.last()?.run).id, top_mm })
    }
}

/// When a level first passes another, evenly between two moments.
fn first_over(moments: &[Moment], which: usize, over_mm: f64, words: &str, place: Place) -> Option<Event> {
    let number = moments.iter().position(|moment| moment.levels_mm[which].1 > over_mm)?;
    let (before, after) = (&moments[number.saturating_sub(1)], &moments[number]);
    let (from_mm, to_mm) = (before.levels_mm[which].1, after.levels_mm[which].1);
    let share = if to_mm > from_mm { (over_mm - from_mm) / (to_mm - from_mm) } else { 0.0 };
    Some(Event { time_s: before.time_s + share * (after.time_s - before.time_s), words: words.to_owned(), place })
}

fn water(celsius: f64) -> Water {
    Water::at_celsius(celsius.clamp(0.0, 100.0)).expect("held to the range of liquid water")
}
