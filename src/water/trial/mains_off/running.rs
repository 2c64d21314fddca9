//! What runs at one moment, and on the mean of several.

use crate::water::circuit::{Circuit, Conditions, Given, System};

/// A flow less than this has stopped, L/s.
pub(super) const STOPPED_L_S: f64 = 1e-6;
/// A level this near a hole is at it, mm: below it the hole is dry, above it the hole is wet, whatever is rounded.
pub(super) const AT_HOLE_MM: f64 = 1e-6;

/// Shares of the time have settled when none changes by more.
const SETTLED: f64 = 1e-12;
/// Turns after which they are taken as they are.
const MOST_TURNS: usize = 1000;

/// What runs in a system at one moment.
#[derive(Clone)]
pub(super) struct Running {
    /// What leaves each of its cisterns, L/s; less than nothing where more comes in.
    pub(super) drawn_l_s: Vec<f64>,
    /// What each tap of the circuit gives.
    pub(super) given: Vec<Given>,
    /// What each open tap of the circuit gives, L/s, where it is steady.
    pub(super) taps_l_s: Vec<Option<f64>>,
    /// The first vent that draws air, by its place among the circuit's.
    pub(super) airy_vent: Option<usize>,
    /// The taps that draw air in, by their place among the circuit's.
    pub(super) airy_taps: Vec<usize>,
}

impl Running {
    pub(super) fn of(circuit: &Circuit<'_>, system: &System, conditions: &Conditions) -> Self {
        let flows = circuit.flows(conditions);
        let steady = flows.taps.iter().zip(&flows.given).map(|(tap, given)| {
            let is_steady = tap.open && tap.flow_l_s().is_some();
            is_steady.then_some(given.flow_l_s)
        });
        let airy = |vent: usize| flows.vents[vent].draws_air;
        Self {
            drawn_l_s: system.cisterns.iter().map(|cistern| flows.drawn_l_s[*cistern]).collect(),
            taps_l_s: steady.collect(),
            airy_vent: (0..flows.vents.len()).find(|vent| airy(*vent)),
            airy_taps: flows.air_at_taps,
            given: flows.given,
        }
    }

    /// Adds so many times what runs more in one than in another; what taps show of it stays as it is.
    pub(super) fn add(&mut self, times: f64, (more, less): (&Self, &Self)) {
        let add = |sum: &mut f64, more: f64, less: f64| *sum += times * (more - less);
        for (number, sum) in self.drawn_l_s.iter_mut().enumerate() {
            add(sum, more.drawn_l_s[number], less.drawn_l_s[number]);
        }
        for (number, sum) in self.given.iter_mut().enumerate() {
            let (more, less) = (more.given[number], less.given[number]);
            add(&mut sum.flow_l_s, more.flow_l_s, less.flow_l_s);
            add(&mut sum.hot_l_s, more.hot_l_s, less.hot_l_s);
        }
    }

    /// What runs at a hole that is wet for a share of the time shows as much.
    fn show_wet(&mut self, share: f64, wet: &Self) {
        for (given, wet) in self.given.iter_mut().zip(&wet.given) {
            given.hot_is_fed |= share > 0.0 && wet.hot_is_fed;
        }
        for (shown, wet) in self.taps_l_s.iter_mut().zip(&wet.taps_l_s) {
            *shown = wet.map(|wet| share * wet + (1.0 - share) * shown.unwrap_or(0.0));
        }
        self.airy_vent = self.airy_vent.or(wet.airy_vent.filter(|_| share > 0.0));
    }
}

/// What runs while the water of some cisterns rests at a hole: as much leaves by the hole as comes into the cistern.
///
/// `rest` are those cisterns by their place in the system, with the level of the hole, mm. With the hole wet the level would
/// fall, with it dry it would rise; it is wet for so much of the time that the level stays (Filippov's sliding mode). Where
/// nothing comes in, the hole is dry; where more comes in than it takes, it is wet and the level rises from it. Of several
/// holes each adds what it does alone, so that no water is made or lost.
pub(super) fn at_holes(levels_mm: &mut [f64], rest: &[(usize, f64)], running: impl Fn(&[f64]) -> Running) -> Running {
    for (cistern, hole_mm) in rest {
        levels_mm[*cistern] = hole_mm - AT_HOLE_MM;
    }
    let dry = running(levels_mm);
    if rest.iter().all(|(cistern, _)| -dry.drawn_l_s[*cistern] < STOPPED_L_S) {
        return dry;
    }
    let wet: Vec<Running> = rest
        .iter()
        .map(|(cistern, hole_mm)| {
            levels_mm[*cistern] = hole_mm + AT_HOLE_MM;
            let wet = running(levels_mm);
            levels_mm[*cistern] = hole_mm - AT_HOLE_MM;
            wet
        })
        .collect();
    let shares = wet_shares(rest, &dry, &wet);
    let mut mean = dry.clone();
    for (share, wet) in shares.into_iter().zip(&wet) {
        mean.add(share, (wet, &dry));
        mean.show_wet(share, wet);
    }
    mean
}

/// For how much of the time each hole is wet: each is set so that its level stays, in turn until all do.
fn wet_shares(rest: &[(usize, f64)], dry: &Running, wet: &[Running]) -> Vec<f64> {
    let mut shares = vec![0.0; rest.len()];
    for _ in 0..MOST_TURNS {
        let mut most_changed = 0.0_f64;
        for (hole, (cistern, _)) in rest.iter().enumerate() {
            let drawn = |running: &Running| running.drawn_l_s[*cistern];
            let by_others = (0..rest.len()).filter(|other| *other != hole);
            let by_others: f64 = by_others.map(|other| shares[other] * (drawn(&wet[other]) - drawn(dry))).sum();
            let comes_in_l_s = -drawn(dry) - by_others;
            let takes_l_s = drawn(&wet[hole]) - drawn(dry);
            let share = if comes_in_l_s < STOPPED_L_S {
                0.0
            } else if comes_in_l_s < takes_l_s {
                comes_in_l_s / takes_l_s
            } else {
                1.0
            };
            most_changed = most_changed.max((share - shares[hole]).abs());
            shares[hole] = share;
        }
        if most_changed < SETTLED {
            break;
        }
    }
    shares
}
