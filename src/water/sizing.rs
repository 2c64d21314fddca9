//! For each run of stored water the smallest copper tube of the catalogue with which its taps get their design flow without rushing.

use serde::Serialize;

use super::circuit::{Circuit, Conditions, Flows, Open};
use super::demand::Counting;
use super::running::STILL_L_S;
use crate::catalogue::TubeMaterial;
use crate::layout::{Layout, Service};
use crate::measure::Site;
use crate::units::Size;

/// Greatest velocity, m/s (BS 6700, as printed in a pipe-sizing text).
pub const GREATEST_M_S: f64 = 3.0;

/// What was found for a run, everything else as it is drawn.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RunSize {
    /// Id of the run.
    pub run: String,
    /// The tube that is drawn, outside diameter, mm.
    pub drawn_mm: f64,
    /// The smallest that serves, mm; none when none does.
    pub smallest_mm: Option<f64>,
    /// Taps that draw through it.
    pub taps: Vec<String>,
    /// What holds it back, where no tube serves; empty otherwise.
    pub words: String,
}

/// Finds the smallest tube for every run that taps draw through. Runs whose flows are not known are left out; so are all
/// where there are too many taps to try each alone ([`TOO_MANY_TAPS`](super::circuit::TOO_MANY_TAPS)).
#[must_use]
pub fn sizes(layout: &Layout) -> Vec<RunSize> {
    let site = Site::of(layout);
    let circuit = Circuit::of(&site);
    if !circuit.has_few_taps() {
        return Vec::new();
    }
    let alone: Vec<Flows> =
        (0..circuit.taps().len()).map(|tap| circuit.flows(&Conditions::with(Open::Numbered(vec![tap])))).collect();
    let runs = layout.runs.iter().enumerate().filter(|(number, run)| {
        matches!(run.service, Service::ColdFeed | Service::ColdDistribution | Service::HotDistribution)
            || (run.service == Service::OpenVent && !site.carrying_stretches(*number).is_empty())
    });
    let size_of = |(number, run): (usize, &crate::layout::Run)| {
        let drawn_mm = run.size?.to_mm();
        let through: Vec<usize> = (0..alone.len()).filter(|tap| runs_through(&circuit, &alone[*tap], number)).collect();
        if through.is_empty() {
            return None;
        }
        let taps = through.iter().map(|tap| circuit.taps()[*tap].name().to_string()).collect();
        let (mut smallest_mm, mut words) = (None, String::new());
        // Every copper tube that is sold; the smallest come first.
        for size in TubeMaterial::Copper.sizes() {
            match what_is_short(layout, number, size, &through) {
                None => {
                    (smallest_mm, words) = (Some(size.to_mm()), String::new());
                    break;
                }
                Some(short) => words = format!("even with {} mm here {short}", size.to_mm()),
            }
        }
        Some(RunSize { run: run.id.to_string(), drawn_mm, smallest_mm, taps, words })
    };
    runs.filter_map(size_of).collect()
}

fn runs_through(circuit: &Circuit<'_>, flows: &Flows, run: usize) -> bool {
    flows.stretches[circuit.of_run(run)].iter().flatten().any(|flow| flow.flow_l_s.abs() > STILL_L_S)
}

/// What a tube in a run leaves short, in words; none when every tap gets its design flow alone, at no more than the
/// greatest velocity.
fn what_is_short(layout: &Layout, run: usize, size: Size, taps: &[usize]) -> Option<String> {
    let mut changed = layout.clone();
    changed.runs[run].material = Some(TubeMaterial::Copper);
    changed.runs[run].size = Some(size);
    let site = Site::of(&changed);
    let circuit = Circuit::of(&site);
    taps.iter().find_map(|tap| {
        let flows = circuit.flows(&Conditions::with(Open::Numbered(vec![*tap])));
        let tap_of = &circuit.taps()[*tap];
        let design_l_s = Counting::Bs6700.outlet(tap_of.outlet.kind).design_l_s;
        let flow_l_s = flows.taps[*tap].flow_l_s().unwrap_or(0.0);
        let in_run = flows.stretches[circuit.of_run(run)].iter().flatten();
        // Nobody draws more than the design flow on purpose, and a tap can be turned down to it.
        let share = (design_l_s / flow_l_s).min(1.0);
        let fastest_m_s = in_run.map(|flow| flow.velocity_m_s.abs() * share).fold(0.0, f64::max);
        if flow_l_s < design_l_s {
            Some(format!("{} gets {flow_l_s:.2} L/s of the {design_l_s} it is designed for", tap_of.name()))
        } else if fastest_m_s > GREATEST_M_S {
            Some(format!("water for {} runs at {fastest_m_s:.1} m/s", tap_of.name()))
        } else {
            None
        }
    })
}
