//! Cisterns with their kit, cylinders, boilers and outlets.

use super::tally::{Entry, Tally};
use super::{Counted, Item, Trade, or_not_told};
use crate::layout::{
    Boiler, Cistern, CisternRole, Cylinder, DipTube, ImmersionPlace, Lid, Outlet, OutletKind, Screen, Service, Survey,
};
use crate::measure::{Site, cylinder_capacity_l, find_out, water_volume_l};
use crate::units::Temperature;

pub(super) fn take(tally: &mut Tally, site: &Site<'_>) {
    for cistern in &site.layout().cisterns {
        body(tally, site, cistern);
        lid(tally, cistern);
        jacket(tally, cistern);
        float_valve(tally, cistern);
        dip_tube(tally, site, cistern);
    }
    for cylinder in &site.layout().cylinders {
        cylinder_itself(tally, cylinder);
        immersions(tally, cylinder);
    }
    for boiler in &site.layout().boilers {
        boiler_itself(tally, boiler);
    }
    for outlet in &site.layout().outlets {
        outlet_itself(tally, outlet);
        mixing_valve(tally, site, outlet);
    }
}

fn kit(item: Item, what: &str, size: impl Into<String>) -> Entry {
    Entry::each(Trade::Cisterns, item, what, size)
}

fn body(tally: &mut Tally, site: &Site<'_>, cistern: &Cistern) {
    let what = match cistern.role {
        CisternRole::Storage => "storage cistern",
        CisternRole::FeedAndExpansion => "feed-and-expansion cistern",
    };
    let spoken = cistern.id.spoken();
    let sides = match cistern.width {
        Some(width) => format!("{} × {} × {} mm", cistern.length.to_mm(), width.to_mm(), cistern.height.to_mm()),
        None => format!("{} × ? × {} mm", cistern.length.to_mm(), cistern.height.to_mm()),
    };
    let untold_width = cistern.width.is_none().then(|| find_out::front_to_back(&cistern.id));
    let (size, working, untold_water) = match water_volume_l(site, cistern) {
        Ok((litres, how)) => (format!("{sides}, {:.0} L to the water line", litres.value), how, None),
        Err(find_out) => (sides, "its volume is not told".to_owned(), Some(find_out)),
    };
    let entry = kit(Item::Cistern, what, size).finding_out(untold_width.or(untold_water));
    tally.add(entry, 1.0, format!("{spoken}: {working}"), &cistern.id);
}

fn lid(tally: &mut Tally, cistern: &Cistern) {
    let spoken = cistern.id.spoken();
    let in_words = cistern.id.with_article();
    let size = cistern.width.map_or_else(
        || format!("for {} mm by what is not told", cistern.length.to_mm()),
        |width| format!("for {} × {} mm", cistern.length.to_mm(), width.to_mm()),
    );
    let what = "cistern lid, rigid and close-fitting";
    match cistern.lid {
        // A loose lid is no such lid: the check says so, and one is listed as drawn.
        Some(Lid::Loose) => {
            tally.add(kit(Item::Lid, "cistern lid, loose as drawn", size), 1.0, spoken.clone(), &cistern.id);
        }
        Some(Lid::Tight) => tally.add(kit(Item::Lid, what, size), 1.0, spoken.clone(), &cistern.id),
        Some(Lid::Missing) => return,
        None => {
            tally.untold(kit(Item::Lid, what, size), format!("see whether {in_words} has a lid"), &cistern.id);
            return;
        }
    }
    match cistern.lid_screen {
        Some(Screen::Mesh(opening)) => {
            let entry = kit(Item::LidScreen, "screened vent for a lid", format!("openings {} mm", opening.to_mm()));
            tally.add(entry, 1.0, spoken, &cistern.id);
        }
        Some(Screen::Missing) => {}
        None => {
            let find_out = format!("see whether the vent in the lid of {in_words} has a screen");
            tally.untold(kit(Item::LidScreen, "screened vent for a lid", ""), find_out, &cistern.id);
        }
    }
}

fn jacket(tally: &mut Tally, cistern: &Cistern) {
    let spoken = cistern.id.spoken();
    let in_words = cistern.id.with_article();
    let Some(jacket) = cistern.jacket else {
        let find_out = format!("see whether {in_words} has a jacket");
        tally.untold(kit(Item::Jacket, "insulating jacket for a cistern", ""), find_out, &cistern.id);
        return;
    };
    let covers = match (jacket.sides, jacket.top) {
        (true, true) => "sides and top",
        (true, false) => "sides only",
        (false, true) => "top only",
        (false, false) => return,
    };
    let thick = or_not_told(jacket.thickness, "thickness", |thickness| format!("{} mm thick", thickness.to_mm()));
    let of = jacket.kind.map_or_else(String::new, |kind| format!(" of {}", kind.words()));
    let what = format!("insulating jacket for a cistern{of}, {covers}");
    let complete = jacket.thickness.is_some() && jacket.kind.is_some() && cistern.width.is_some();
    let find_out = (!complete).then(|| format!("see what the jacket of {in_words} is, how thick and how large"));
    let Some(width) = cistern.width else {
        tally.add(kit(Item::Jacket, &what, thick).finding_out(find_out), 1.0, spoken, &cistern.id);
        return;
    };
    let (length_mm, width_mm, height_mm) = (cistern.length.to_mm(), width.to_mm(), cistern.height.to_mm());
    let size = format!("for {length_mm} × {width_mm} × {height_mm} mm, {thick}");
    let mut area_m2 = 0.0;
    let mut shares = Vec::new();
    if jacket.sides {
        area_m2 += 2.0 * (length_mm + width_mm) * height_mm / 1e6;
        shares.push(format!("2 × ({length_mm} + {width_mm}) × {height_mm} mm"));
    }
    if jacket.top {
        area_m2 += length_mm * width_mm / 1e6;
        shares.push(format!("{length_mm} × {width_mm} mm"));
    }
    let working = format!("{spoken}: {} = {area_m2:.2} m² over the bare walls", shares.join(" + "));
    tally.add(kit(Item::Jacket, &what, size).finding_out(find_out), 1.0, working, &cistern.id);
}

fn float_valve(tally: &mut Tally, cistern: &Cistern) {
    let spoken = cistern.id.spoken();
    let in_words = cistern.id.with_article();
    let Some(valve) = cistern.float_valve else {
        let find_out = format!("see how {in_words} is filled");
        tally.untold(kit(Item::FloatValve, "float valve", ""), find_out, &cistern.id);
        return;
    };
    let pattern = or_not_told(valve.pattern, "pattern", |pattern| pattern.words().to_owned());
    let what = format!("float valve, {pattern}");
    let size = or_not_told(valve.seat, "seat", |seat| format!("seat {} mm", seat.to_mm()));
    let complete = valve.pattern.is_some() && valve.seat.is_some();
    let find_out = (!complete).then(|| format!("read pattern and seat off the float valve of {in_words}"));
    tally.add(kit(Item::FloatValve, &what, size).finding_out(find_out), 1.0, spoken, &cistern.id);
}

fn dip_tube(tally: &mut Tally, site: &Site<'_>, cistern: &Cistern) {
    let spoken = cistern.id.spoken();
    let in_words = cistern.id.with_article();
    let what = "dip tube inside the warning pipe's connection";
    match cistern.dip_tube {
        Some(DipTube::EndsAt(level)) => {
            let size = format!("down to {} mm above the base", level.to_mm());
            tally.add(kit(Item::DipTube, what, size), 1.0, spoken, &cistern.id);
        }
        Some(DipTube::Missing) => {}
        None => {
            if site.attached_of(&cistern.id, Service::WarningPipe).next().is_some() {
                let find_out = format!("look inside {in_words} for a tube on the warning pipe's connection");
                tally.untold(kit(Item::DipTube, what, ""), find_out, &cistern.id);
            }
        }
    }
}

fn cylinder_itself(tally: &mut Tally, cylinder: &Cylinder) {
    let spoken = cylinder.id.spoken();
    let in_words = cylinder.id.with_article();
    let (litres, how) = cylinder_capacity_l(cylinder);
    let mut what = match cylinder.coil {
        Some(true) => "vented cylinder with a coil".to_owned(),
        Some(false) => "vented cylinder without a coil".to_owned(),
        None => "vented cylinder, coil not told".to_owned(),
    };
    if let Some(grade) = cylinder.grade {
        what.push_str(&format!(", {}", grade.words()));
    }
    match (cylinder.cover, cylinder.insulation) {
        (Some(cover), Some(thickness)) => what.push_str(&format!(", {} {} mm", cover.words(), thickness.to_mm())),
        (Some(cover), None) => what.push_str(&format!(", {}", cover.words())),
        (None, _) => what.push_str(", insulation not told"),
    }
    let size = format!("{} × {} mm, {:.0} L", cylinder.diameter.to_mm(), cylinder.height.to_mm(), litres.value);
    let mut find_out = Vec::new();
    if cylinder.coil.is_none() {
        find_out.push("whether there is a coil inside");
    }
    if cylinder.grade.is_none() {
        find_out.push("its grade");
    }
    if cylinder.cover.is_none() || cylinder.insulation.is_none() {
        find_out.push("what it is insulated with");
    }
    let find_out = (!find_out.is_empty()).then(|| format!("find out of {in_words}: {}", find_out.join(", ")));
    let entry = Entry::each(Trade::Vessels, Item::Cylinder, what, size).finding_out(find_out);
    tally.add(entry, 1.0, format!("{spoken}: {how}"), &cylinder.id);
}

fn immersions(tally: &mut Tally, cylinder: &Cylinder) {
    let spoken = cylinder.id.spoken();
    let in_words = cylinder.id.with_article();
    let Some(immersions) = &cylinder.immersions else {
        let entry = Entry::each(Trade::Vessels, Item::Immersion, "immersion heater", "");
        tally.untold(entry, find_out::immersions(&cylinder.id), &cylinder.id);
        return;
    };
    for immersion in immersions {
        let place = match immersion.place {
            ImmersionPlace::Top => "from the top",
            ImmersionPlace::Bottom => "from the side, low down",
        };
        let cut_out = immersion.cut_out.map_or("cut-out not told", |cut_out| cut_out.words());
        let what = format!("immersion heater {place}, with {cut_out}");
        let size = or_not_told(immersion.power, "power", |power| format!("{} kW", power.to_kw()));
        let complete = immersion.cut_out.is_some() && immersion.power.is_some();
        let find_out = (!complete).then(|| format!("read power and cut-out off the immersion heater of {in_words}"));
        let entry = Entry::each(Trade::Vessels, Item::Immersion, what, size).finding_out(find_out);
        tally.add(entry, 1.0, spoken.clone(), &cylinder.id);
    }
}

fn boiler_itself(tally: &mut Tally, boiler: &Boiler) {
    let spoken = boiler.id.spoken();
    let in_words = boiler.id.with_article();
    let what = or_not_told(boiler.kind, "boiler, kind", |kind| kind.words().to_owned());
    let size = or_not_told(boiler.output, "output", |output| format!("{} kW", output.to_kw()));
    let complete = boiler.kind.is_some() && boiler.output.is_some();
    let find_out = (!complete).then(|| format!("read kind and output off the plate of {in_words}"));
    let entry = Entry::each(Trade::Vessels, Item::Boiler, what, size).finding_out(find_out);
    tally.add(entry, 1.0, spoken, &boiler.id);
}

/// Of what is designed: water that is to come to a bath cooler than any cylinder stores it is mixed before.
fn mixing_valve(tally: &mut Tally, site: &Site<'_>, outlet: &Outlet) {
    let stored = site.layout().cylinders.iter().filter_map(|cylinder| cylinder.stored_temperature);
    let coolest_c = stored.map(Temperature::to_celsius).reduce(f64::min);
    let limited_c = outlet.supply_temperature.map(Temperature::to_celsius);
    let is_designed_bath = outlet.kind == OutletKind::Bath && site.layout().survey == Survey::Designed;
    if let (true, Some(limited_c), Some(coolest_c)) = (is_designed_bath, limited_c, coolest_c)
        && limited_c < coolest_c
    {
        let what = format!("thermostatic mixing valve, set to {limited_c} °C");
        let entry = Entry::each(Trade::Vessels, Item::MixingValve, what, "");
        tally.add(entry, 1.0, format!("before {}", outlet.id.with_article()), &outlet.id);
    }
}

fn outlet_itself(tally: &mut Tally, outlet: &Outlet) {
    let (what, find_out) = match (outlet.kind.has_taps(), outlet.taps) {
        (true, Some(taps)) => (format!("{} with {}", outlet.kind.words(), taps.words()), None),
        (true, None) => (
            format!("{}, taps not told", outlet.kind.words()),
            Some(format!("see whether {} has separate taps or a mixer", outlet.id.with_article())),
        ),
        (false, _) => (outlet.kind.words().to_owned(), None),
    };
    let entry = Entry::each(Trade::Vessels, Item::Outlet, what, "").counted_in(Counted::Each).finding_out(find_out);
    tally.add(entry, 1.0, outlet.id.spoken(), &outlet.id);
}
