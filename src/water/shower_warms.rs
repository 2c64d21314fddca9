//! How warm a shower gets when somebody opens a cold tap on its cold pipe.

use super::Running;
use super::circuit::{COLD_ASSUMED_CELSIUS, Circuit, Conditions, Flows, Open, Outcome, Supply, TOO_MANY_TAPS};
use super::mixers::USED_AT_CELSIUS;
use crate::layout::OutletKind;
use crate::measure::Reading;
use crate::units::{Measured, Temperature, Unit};

/// Of the cold taps on its pipe so many are tried, those that draw most alone before the others.
const MOST_TRIED: usize = 3;
/// Of a shower that draws air, by itself or with another tap open.
const AIR_DRAWN: &str = "keep air out of the pipes of the shower: how warm it then runs is not reckoned";

/// For each shower that mixes stored water: how warm it gets at most with one cold tap open beside it that draws through the
/// same cold pipe, °C. It stands at the warmth at which people use it while it runs alone, and nobody turns it meanwhile:
/// each side then gives its share as much more or less as it gives in all with both sides open (assumption). What is told
/// to be limited before it gets no warmer than that. Nothing where its cold water
/// comes from the main, or by a pipe of its own.
#[must_use]
pub fn with_a_cold_tap(running: &Running<'_>) -> Vec<Reading> {
    let circuit = &running.circuit;
    let taps = circuit.taps().iter().enumerate();
    let showers = taps.filter(|(_, tap)| tap.supply == Supply::Mixed && tap.outlet.kind == OutletKind::Shower);
    let read = |shower: usize| {
        let id = &circuit.taps()[shower].outlet.id;
        let Some(alone) = &running.alone else {
            return Some(Reading::untold(id, TOO_MANY_TAPS));
        };
        let outcome_l_s = |tap: usize| match &alone[tap].outcome {
            Outcome::Reckoned { flow_l_s, .. } => *flow_l_s,
            _ => 0.0,
        };
        let mut others = cold_taps_on_its_pipe(circuit, shower);
        if others.is_empty() {
            return None;
        }
        others.sort_by(|a, b| outcome_l_s(*b).total_cmp(&outcome_l_s(*a)));
        others.truncate(MOST_TRIED);
        let open = |taps: Vec<usize>| circuit.flows(&Conditions::with(Open::Numbered(taps)));
        let sides = |flows: &Flows| {
            let given = flows.given[shower];
            let is_steady = matches!(flows.taps[shower].outcome, Outcome::Reckoned { .. });
            is_steady.then_some((given.hot_l_s, given.flow_l_s - given.hot_l_s))
        };
        let by_itself = open(vec![shower]);
        let (hot_l_s, cold_l_s) = match (&by_itself.taps[shower].outcome, sides(&by_itself)) {
            (Outcome::Untold(what), _) => return Some(Reading::untold(id, what.clone())),
            (Outcome::AirDrawn(_), _) => return Some(Reading::untold(id, AIR_DRAWN)),
            (_, Some((hot_l_s, cold_l_s))) if hot_l_s > 0.0 && cold_l_s > 0.0 => (hot_l_s, cold_l_s),
            // That a side gives nothing by itself is another rule's fault.
            _ => return None,
        };
        let told = circuit.taps()[shower].outlet.supply_temperature.map(Temperature::to_celsius);
        let stored_celsius = circuit.hot_celsius_before(shower);
        let hot_celsius = told.map_or(stored_celsius, |told| told.min(stored_celsius));
        if hot_celsius <= USED_AT_CELSIUS {
            return None;
        }
        let share = (USED_AT_CELSIUS - COLD_ASSUMED_CELSIUS) / (hot_celsius - COLD_ASSUMED_CELSIUS);
        let celsius_with = |tap: usize| {
            let (hot_then_l_s, cold_then_l_s) = sides(&open(vec![shower, tap]))?;
            let hot = share * hot_then_l_s / hot_l_s;
            let cold = (1.0 - share) * cold_then_l_s.max(0.0) / cold_l_s;
            (hot + cold > 0.0).then(|| (hot * hot_celsius + cold * COLD_ASSUMED_CELSIUS) / (hot + cold))
        };
        let found = others.iter().filter_map(|tap| Some((*tap, celsius_with(*tap)?)));
        Some(match found.max_by(|a, b| a.1.total_cmp(&b.1)) {
            Some((tap, celsius)) => {
                let other = &circuit.taps()[tap];
                Reading::amount(id, Measured::exact(celsius), Unit::Celsius).along_with([&other.outlet.id]).working(
                    format!(
                        "set to {USED_AT_CELSIUS} °C by itself, of {hot_celsius:.0} °C and {COLD_ASSUMED_CELSIUS} °C; with {} open: {celsius:.1} °C",
                        other.name()
                    ),
                )
            }
            None => Reading::untold(id, AIR_DRAWN),
        })
    };
    showers.filter_map(|(number, _)| read(number)).collect()
}

/// The cold taps of other outlets to which water comes through a pipe that brings it to a shower as well.
fn cold_taps_on_its_pipe(circuit: &Circuit<'_>, shower: usize) -> Vec<usize> {
    let brings = circuit.may_bring(shower);
    let others = circuit.taps().iter().enumerate();
    let others = others.filter(|(number, tap)| *number != shower && tap.supply == Supply::Cold && !tap.is_on_main());
    let shares = |number: usize| {
        let mut both = circuit.may_bring(number).into_iter().zip(&brings);
        both.any(|(own, of_shower)| own && *of_shower)
    };
    others.map(|(number, _)| number).filter(|number| shares(*number)).collect()
}
