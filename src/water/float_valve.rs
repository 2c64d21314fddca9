//! What open float valves let in: of the main what their height leaves of its pressure, of stored water what the pipe brings.

use super::circuit::{Circuit, ThroughValve, cold_water, is_fed_from_store};
use super::levels::{FLOAT_VALVE_COEFFICIENT, orifice_m3_s};
use super::main_head::{MainPressure, is_kept_back, main_pressure};
use super::main_reach::pumped_up;
use crate::layout::{Cistern, INLET};
use crate::measure::{Feature, Place, Site, find_out};
use crate::units::{Amount, Length, Size};

/// What comes in by some float valves that stand wide open.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct LetIn {
    /// All together, L/s.
    pub l_s: f64,
    /// One line for each valve: formula, values, result.
    pub working: Vec<String>,
    /// What is taken for granted of what drives it.
    pub assumptions: Vec<String>,
    /// Why less may come in.
    pub less: Option<Less>,
}

/// Why less may come in by a float valve than the most that the main can bring there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Less {
    /// The main has several ends, at unlike levels.
    ByAnotherEnd,
    /// Nobody has drawn from where it comes up: what to find out.
    NotDrawn(String),
}

/// Which end of the main is taken, where it may come in by several.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum MainEnd {
    /// The one that leaves the most pressure at the valve.
    Best,
    /// The one that leaves the least.
    Worst,
}

/// What comes in by the float valves of some cisterns, all wide open.
///
/// # Errors
/// What to find out, when the layout does not tell enough.
pub(super) fn let_in(site: &Site<'_>, cisterns: &[&Cistern], end: MainEnd) -> Result<LetIn, String> {
    let (from_store, by_main): (Vec<&Cistern>, Vec<&Cistern>) =
        cisterns.iter().partition(|cistern| is_fed_from_store(site, cistern));
    let off = |cistern: &&Cistern| site.off_vessel(&Place::of(&cistern.id, Feature::FloatValveOutlet));
    if let Some(off) = cisterns.iter().find_map(off) {
        return Err(off.find_out.clone());
    }
    let mut let_in = LetIn::default();
    for cistern in by_main {
        let_in.add_main(site, cistern, end)?;
    }
    if !from_store.is_empty() {
        for (cistern, valve) in from_store.iter().zip(Circuit::of(site).let_in_from_store(&from_store)?) {
            let_in.add_stored(cistern, &valve)?;
        }
    }
    Ok(let_in)
}

impl LetIn {
    fn add_main(&mut self, site: &Site<'_>, cistern: &Cistern, end: MainEnd) -> Result<(), String> {
        if let Some(find_out) = pumped_up(site, cistern) {
            return Err(find_out);
        }
        let whole = site.building().mains_pressure.ok_or(find_out::MAIN_PRESSURE)?;
        let outlet = cistern.float_valve.and_then(|valve| valve.outlet);
        let valve_mm = cistern.at.z.to_mm() + outlet.map_or(cistern.height.to_mm(), Length::to_mm);
        let (pressure_kpa, assumption) = match main_pressure(site, (&cistern.id, INLET), valve_mm) {
            Ok(MainPressure { least_kpa, most_kpa }) => {
                if least_kpa < most_kpa {
                    self.less.get_or_insert(Less::ByAnotherEnd);
                }
                let kpa = if end == MainEnd::Best { most_kpa } else { least_kpa };
                let on_seat = match is_kept_back(site, (&cistern.id, INLET)) {
                    true => "a non-return valve keeps the main from the valve's seat",
                    false => "what the height leaves of the main's pressure stands on the valve's seat",
                };
                (kpa.max(0.0), on_seat)
            }
            // From wherever it comes up, it has no more than all of its pressure.
            Err(find_out) => {
                self.less = Some(Less::NotDrawn(find_out));
                (whole.to_kpa(), "the whole pressure of the main stands on the valve's seat")
            }
        };
        let seat_mm = seat_mm(cistern)?;
        let density_kg_m3 = cold_water().density_kg_m3;
        let through_m3_s =
            orifice_m3_s(FLOAT_VALVE_COEFFICIENT, seat_mm / 1000.0, pressure_kpa * 1000.0, density_kg_m3);
        self.add(through_m3_s * 1000.0, (seat_mm, pressure_kpa, ""));
        self.assumptions.push(format!("{assumption}: the pipe to it takes none"));
        Ok(())
    }

    fn add_stored(&mut self, cistern: &Cistern, valve: &ThroughValve) -> Result<(), String> {
        let from = format!(" of stored water, from {}", valve.from);
        self.add(valve.flow_l_s, (seat_mm(cistern)?, valve.pressure_kpa, &from));
        self.assumptions.push(format!("{} stays full meanwhile, and nobody draws from the pipe", valve.from));
        Ok(())
    }

    fn add(&mut self, through_l_s: f64, (seat_mm, pressure_kpa, from): (f64, f64, &str)) {
        let seat = Amount::mm(seat_mm);
        let digits = usize::from(pressure_kpa < 10.0);
        self.l_s += through_l_s;
        self.working.push(format!(
            "Q = C a √(2 Δp / ρ), seat {seat} at {pressure_kpa:.digits$} kPa{from}: {through_l_s:.3} L/s comes in"
        ));
    }
}

fn seat_mm(cistern: &Cistern) -> Result<f64, String> {
    let valve = cistern.float_valve.ok_or("see whether it has a float valve")?;
    Ok(valve.seat.map(Size::to_mm).ok_or(find_out::SEAT)?)
}
