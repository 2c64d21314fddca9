//! What things weigh, empty and full: nothing to buy, but to be carried and to be borne.

use super::tally::{Entry, Tally};
use super::{Counted, Item, Trade};
use crate::layout::{Cistern, Cylinder};
use crate::measure::standing::{KG_PER_LITRE, Vessel, full_weight};
use crate::measure::{Site, cylinder_capacity_l, water_volume_l};

pub(super) fn take(tally: &mut Tally, site: &Site<'_>) {
    for cistern in &site.layout().cisterns {
        of_cistern(tally, site, cistern);
    }
    for cylinder in &site.layout().cylinders {
        of_cylinder(tally, cylinder);
    }
    of_tube(tally, site);
}

fn weight(what: String, state: &str) -> Entry {
    Entry::each(Trade::Weights, Item::Weight, what, state).counted_in(Counted::Kilograms)
}

fn of_cistern(tally: &mut Tally, site: &Site<'_>, cistern: &Cistern) {
    let spoken = cistern.id.spoken();
    let empty_kg = match Vessel::Cistern(cistern).empty_kg() {
        Ok(empty_kg) => empty_kg,
        Err(find_out) => return tally.untold(weight(spoken, "empty and full"), find_out, &cistern.id),
    };
    tally.add(weight(spoken.clone(), "empty"), empty_kg, "as told".to_owned(), &cistern.id);
    match water_volume_l(site, cistern) {
        Ok((litres, how)) => {
            let kg = litres.value * KG_PER_LITRE + empty_kg;
            let working = format!("{how}; {KG_PER_LITRE} kg a litre + {empty_kg} kg empty");
            tally.add(weight(spoken.clone(), "filled to the water line"), kg, working, &cistern.id);
        }
        Err(find_out) => tally.untold(weight(spoken.clone(), "filled to the water line"), find_out, &cistern.id),
    }
    match full_weight(site, cistern) {
        Ok(full) => {
            let working = full.working.join("; ");
            let kg = full.water_kg.value + full.empty_kg;
            tally.add(weight(spoken, "filled to the rim"), kg, working, &cistern.id);
        }
        Err(find_out) => tally.untold(weight(spoken, "filled to the rim"), find_out, &cistern.id),
    }
}

fn of_cylinder(tally: &mut Tally, cylinder: &Cylinder) {
    let spoken = cylinder.id.spoken();
    let empty_kg = match Vessel::Cylinder(cylinder).empty_kg() {
        Ok(empty_kg) => empty_kg,
        Err(find_out) => return tally.untold(weight(spoken, "empty and full"), find_out, &cylinder.id),
    };
    tally.add(weight(spoken.clone(), "empty"), empty_kg, "as told".to_owned(), &cylinder.id);
    let (litres, how) = cylinder_capacity_l(cylinder);
    let kg = litres.value * KG_PER_LITRE + empty_kg;
    let working = format!("{how}; {KG_PER_LITRE} kg a litre + {empty_kg} kg empty");
    tally.add(weight(spoken, "full"), kg, working, &cylinder.id);
}

/// Tube as drawn, by itself; runs whose tube is not told are named by the lines of tube.
fn of_tube(tally: &mut Tally, site: &Site<'_>) {
    for (number, run) in site.layout().runs.iter().enumerate() {
        let (Some(line), Some(material), Some(size)) = (site.line(number), run.material, run.size) else { continue };
        let Some(kg_per_m) = material.mass_kg_per_m(size) else { continue };
        let metres = line.length() / 1000.0;
        let working = format!("{}: {metres:.2} m × {kg_per_m:.3} kg/m", run.id.spoken());
        let what = format!("{} tube, {} mm", material.words(), size.to_mm());
        tally.add(weight(what, "empty, as drawn"), metres * kg_per_m, working, &run.id);
    }
}
