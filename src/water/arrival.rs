//! How long hot water takes to reach each outlet: the water that stands in the pipes has to run out first.

use std::f64::consts::FRAC_PI_4;

use super::Running;
use super::circuit::{Outcome, TOO_MANY_TAPS};
use super::running::STILL_L_S;
use crate::layout::{Id, Outlet};
use crate::measure::{Leg, Place, Reading, Site, find_out, shortest_hot_paths};
use crate::units::{Measured, Unit};

/// For each hot outlet that a cistern feeds: the time until hot water comes with it alone open, s.
///
/// The content of the pipes over the flow; what it takes to warm the pipes themselves is left out, so that the true time
/// is a little longer. Of a mixer only what its hot side draws empties the hot pipe.
#[must_use]
pub fn waiting_time(running: &Running<'_>) -> Vec<Reading> {
    let site = running.circuit.site();
    let read = |(source, outlet, path): (&Id, &Outlet, Vec<Leg>)| {
        let flow_l_s = match hot_flow_l_s(running, outlet)? {
            Ok(flow_l_s) => flow_l_s,
            Err(find_out) => return Some(Reading::untold(&outlet.id, find_out)),
        };
        let litres = match content_l(site, &path) {
            Ok(litres) => litres,
            Err(find_out) => return Some(Reading::untold(&outlet.id, find_out)),
        };
        if flow_l_s <= STILL_L_S {
            return None;
        }
        let seconds = litres / flow_l_s;
        Some(
            Reading::amount(&outlet.id, Measured::exact(seconds), Unit::Second)
                .along_with(path.iter().map(|leg| &site.run(leg.run).id))
                .at(Place::middle(&outlet.id))
                .working(format!("{litres:.2} L stand in the pipes on the way from {}", source.with_article()))
                .working(format!(
                    "{litres:.2} L / {flow_l_s:.3} L/s of hot water = {seconds:.0} s, the pipes not warmed"
                )),
        )
    };
    shortest_hot_paths(site).into_iter().filter_map(read).collect()
}

/// The hot water that an outlet draws when it alone is open, L/s; nothing where another rule has the word: no hot side, on
/// the main, or not running.
fn hot_flow_l_s(running: &Running<'_>, outlet: &Outlet) -> Option<Result<f64, String>> {
    let circuit = &running.circuit;
    let gives_its_hot = |number: &usize| circuit.taps()[*number].outlet.id == outlet.id && circuit.gives_hot(*number);
    let number = (0..circuit.taps().len()).find(gives_its_hot)?;
    let Some(alone) = &running.alone else {
        return Some(Err(TOO_MANY_TAPS.to_owned()));
    };
    match &alone[number].outcome {
        Outcome::Reckoned { flow_l_s, hot_l_s, .. } => Some(Ok(circuit.hot_of_flow_l_s(number, *flow_l_s, *hot_l_s))),
        Outcome::Untold(find_out) => Some(Err(find_out.clone())),
        Outcome::AirDrawn(_) | Outcome::CutOff | Outcome::Dry(_) | Outcome::OnMain | Outcome::NotFound => None,
    }
}

/// What a way holds, L.
fn content_l(site: &Site<'_>, path: &[Leg]) -> Result<f64, String> {
    let of_leg = |leg: &Leg| {
        let run = site.run(leg.run);
        let bore = run.bore().ok_or_else(|| find_out::material_and_size(&run.id))?;
        let length_dm = leg.length_mm() / 100.0;
        Ok(FRAC_PI_4 * (bore.to_mm() / 100.0).powi(2) * length_dm)
    };
    path.iter().map(of_leg).sum()
}
