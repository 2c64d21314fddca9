//! What the water does under the questions that are always asked: each tap alone, all together, what is likely at once.

use super::circuit::{Circuit, Conditions, Flows, Open, TapFlow};
use crate::measure::Site;

/// Beyond this many stretches times taps, taps are not tried one by one: a whole street's worth of them.
const MOST_WORK: usize = 50_000;

/// The answers, reckoned once for a layout.
pub struct Running<'s> {
    /// The circuit.
    pub circuit: Circuit<'s>,
    /// Each tap with no other open; none when there are too many taps to try.
    pub alone: Option<Vec<TapFlow>>,
    /// All taps open.
    pub together: Flows,
    /// By stretch, the greatest velocity that any tap alone causes in it, m/s, and that tap's place in the list.
    pub fastest: Vec<Option<(f64, usize)>>,
    /// By vent, the hot water beyond which it draws air, L/s; or why that cannot be told.
    pub air_limits_l_s: Vec<Result<f64, String>>,
}

impl<'s> Running<'s> {
    /// Reckons them.
    #[must_use]
    pub fn of(site: &'s Site<'s>) -> Self {
        let circuit = Circuit::of(site);
        let together = circuit.flows(&Conditions::with(Open::Everything));
        let mut fastest: Vec<Option<(f64, usize)>> = vec![None; circuit.stretches().len()];
        let (taps, stretches) = (circuit.taps().len(), circuit.stretches().len());
        let alone = (taps * stretches <= MOST_WORK).then(|| {
            let open_alone = |tap: usize| {
                let flows = circuit.flows(&Conditions::with(Open::Numbered(vec![tap])));
                keep_fastest(&mut fastest, &flows, tap);
                flows.taps[tap].clone()
            };
            (0..taps).map(open_alone).collect()
        });
        let air_limits_l_s = circuit.air_limits_l_s(&Conditions::default());
        Self { circuit, alone, together, fastest, air_limits_l_s }
    }
}

fn keep_fastest(fastest: &mut [Option<(f64, usize)>], flows: &Flows, tap: usize) {
    for (fastest, stretch) in fastest.iter_mut().zip(&flows.stretches) {
        let Some(stretch) = stretch else { continue };
        let velocity_m_s = stretch.velocity_m_s.abs();
        if fastest.is_none_or(|(before_m_s, _)| velocity_m_s > before_m_s) {
            *fastest = Some((velocity_m_s, tap));
        }
    }
}
