//! What the water does under the questions that are always asked: each tap alone, all together, what is likely at once.

use super::circuit::{AirBy, Circuit, Conditions, Flows, Open, Outcome, StretchFlow, TapFlow};
use super::demand::simultaneous_l_s;
use crate::layout::OutletKind;
use crate::measure::Site;

/// A flow less than this is none, L/s.
pub(super) const STILL_L_S: f64 = 1e-6;

/// A flow less than this is shown as none, L/s: half of the last digit that is shown.
pub const SHOWN_AS_NONE_L_S: f64 = 5e-4;

/// The answers, reckoned once for a layout.
pub struct Running<'s> {
    /// The circuit.
    pub circuit: Circuit<'s>,
    /// Each tap with no other open; none when there are too many taps to try.
    pub alone: Option<Vec<TapFlow>>,
    /// By tap: what it gives with no other open while air is drawn in, L/s as it leaves the cisterns; none where none does.
    pub with_air_l_s: Vec<Option<f64>>,
    /// By vent: the tap that takes the most past it of those that alone have it draw air, and what it would take of a full
    /// vent, L/s.
    pub airs_vent: Vec<Option<(usize, f64)>>,
    /// All taps open.
    pub together: Flows,
    /// By stretch, the greatest velocity that a tap alone causes in it, or what is likely to be drawn at one time.
    pub fastest: Vec<Option<Fastest>>,
    /// By stretch, how fast what is likely at one time may run in it at most, where a tap that draws air with all taps open
    /// leaves open how much of it comes; none where that is no faster than [`Self::fastest`].
    pub fastest_at_most: Vec<Option<Fastest>>,
    /// By stretch, what to find out first where more may run in it: a tap that it feeds gives what nobody knows, or has a
    /// vent draw air.
    pub more_untold: Vec<Option<String>>,
    /// By vent, the hot water beyond which it draws air, L/s; or why that cannot be told.
    pub air_limits_l_s: Vec<Result<f64, String>>,
}

/// The greatest velocity in a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fastest {
    /// How fast, m/s.
    pub velocity_m_s: f64,
    /// With what.
    pub with: Drawn,
}

/// What is drawn through a stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Drawn {
    /// Water for one tap, by its place in the list.
    Alone(usize),
    /// What the taps behind it are likely to draw at one time, as far as they get it, L/s.
    Together(f64),
}

impl<'s> Running<'s> {
    /// Reckons them.
    #[must_use]
    pub fn of(site: &'s Site<'s>) -> Self {
        let circuit = Circuit::of(site);
        let together = circuit.flows(&Conditions::with(Open::Everything));
        let mut drawn: Vec<DrawnThrough> = vec![DrawnThrough::default(); circuit.stretches().len()];
        let taps = circuit.taps().len();
        let mut with_air_l_s = vec![None; taps];
        let mut airs_vent: Vec<Option<(usize, f64)>> = vec![None; together.vents.len()];
        let alone = circuit.has_few_taps().then(|| {
            let open_alone = |tap: usize| {
                let flows = circuit.flows(&Conditions::with(Open::Numbered(vec![tap])));
                let kind = circuit.taps()[tap].outlet.kind;
                for (drawn, stretch) in drawn.iter_mut().zip(&flows.stretches) {
                    stretch.iter().for_each(|flow| drawn.by(tap, kind, flow));
                }
                if matches!(flows.taps[tap].outcome, Outcome::AirDrawn(_)) {
                    with_air_l_s[tap] = Some(flows.given[tap].flow_l_s);
                }
                for (greediest, vent) in airs_vent.iter_mut().zip(&flows.vents) {
                    let asked_l_s = vent.asked_l_s.filter(|asked| greediest.is_none_or(|(_, most)| *asked > most));
                    *greediest = asked_l_s.map(|asked_l_s| (tap, asked_l_s)).or(*greediest);
                }
                flows.taps[tap].clone()
            };
            (0..taps).map(open_alone).collect()
        });
        let more_untold = more_untold(&circuit, alone.iter().flatten());
        let fastest: Vec<Option<Fastest>> =
            drawn.iter().zip(&together.stretches).map(|(drawn, all)| drawn.fastest(*all)).collect();
        let is_airy = past_air_of_taps(&circuit, &together);
        let at_most = |((drawn, fastest), is_airy): ((&DrawnThrough, &Option<Fastest>), bool)| {
            drawn
                .likely()
                .filter(|likely| is_airy && fastest.is_none_or(|known| likely.velocity_m_s > known.velocity_m_s))
        };
        let fastest_at_most = drawn.iter().zip(&fastest).zip(is_airy).map(at_most).collect();
        let air_limits_l_s = circuit.air_limits_l_s(&Conditions::default());
        Self {
            circuit,
            alone,
            with_air_l_s,
            airs_vent,
            together,
            fastest,
            fastest_at_most,
            more_untold,
            air_limits_l_s,
        }
    }
}

fn more_untold<'t>(circuit: &Circuit<'_>, alone: impl Iterator<Item = &'t TapFlow>) -> Vec<Option<String>> {
    let mut untold: Vec<Option<String>> = vec![None; circuit.stretches().len()];
    for (tap, flow) in alone.enumerate() {
        let what = match &flow.outcome {
            Outcome::Untold(what) => what.clone(),
            Outcome::AirDrawn(by) => {
                let name = circuit.taps()[tap].name();
                let keep = match by {
                    AirBy::Vent => "keep the vent from drawing air".to_owned(),
                    AirBy::Tap { name, .. } => format!("bring {name} below the pressure in its pipe"),
                };
                format!("{keep} with {name} alone open: how fast water then runs is not reckoned")
            }
            _ => continue,
        };
        let brings = untold.iter_mut().zip(circuit.may_bring(tap)).filter(|(_, brings)| *brings);
        brings.for_each(|(untold, _)| _ = untold.get_or_insert_with(|| what.clone()));
    }
    untold
}

/// By stretch: whether it may bring water to a tap whose flow is not steady since another tap draws air.
fn past_air_of_taps(circuit: &Circuit<'_>, flows: &Flows) -> Vec<bool> {
    let mut is_airy = vec![false; circuit.stretches().len()];
    let airy = (0..flows.taps.len()).filter(|tap| flows.taps[*tap].outcome.air_of_tap().is_some());
    for tap in airy {
        is_airy.iter_mut().zip(circuit.may_bring(tap)).for_each(|(airy, brings)| *airy |= brings);
    }
    is_airy
}

/// What taps draw through a stretch, each open alone.
#[derive(Clone, Default)]
struct DrawnThrough {
    kinds: Vec<OutletKind>,
    fastest: Option<Fastest>,
    /// What all of them draw, each alone, L/s: together they get no more.
    alone_l_s: f64,
    /// m/s for each L/s.
    velocity_per_l_s: f64,
}

impl DrawnThrough {
    fn by(&mut self, tap: usize, kind: OutletKind, flow: &StretchFlow) {
        if flow.flow_l_s.abs() > STILL_L_S {
            self.kinds.push(kind);
            self.alone_l_s += flow.flow_l_s.abs();
            self.velocity_per_l_s = (flow.velocity_m_s / flow.flow_l_s).abs();
        }
        let alone = Fastest { velocity_m_s: flow.velocity_m_s.abs(), with: Drawn::Alone(tap) };
        if self.fastest.is_none_or(|known| alone.velocity_m_s > known.velocity_m_s) {
            self.fastest = Some(alone);
        }
    }

    /// The greatest velocity, where `all` runs through it with every tap open: nobody draws more than is likely on
    /// purpose, and no more comes than that.
    fn fastest(&self, all: Option<StretchFlow>) -> Option<Fastest> {
        let alone = self.fastest?;
        let likely_l_s = simultaneous_l_s(&self.kinds);
        let together = all.filter(|all| all.flow_l_s.abs() > STILL_L_S).map(|all| {
            let most_l_s = all.flow_l_s.abs();
            let drawn_l_s = likely_l_s.min(most_l_s);
            Fastest { velocity_m_s: all.velocity_m_s.abs() * drawn_l_s / most_l_s, with: Drawn::Together(drawn_l_s) }
        });
        Some(together.filter(|together| together.velocity_m_s > alone.velocity_m_s).unwrap_or(alone))
    }

    /// How fast what is likely at one time runs, if as much of it comes as may.
    fn likely(&self) -> Option<Fastest> {
        let likely_l_s = simultaneous_l_s(&self.kinds).min(self.alone_l_s);
        let with = Drawn::Together(likely_l_s);
        (!self.kinds.is_empty()).then_some(Fastest { velocity_m_s: likely_l_s * self.velocity_per_l_s, with })
    }
}
