//! Flows as data: what `flow --json` prints.

use serde::Serialize;

use super::circuit::{AirBy, Circuit, Conditions, Flows, Losses, Outcome, Supply, TOO_MANY_TAPS, Tap};
use super::demand::{Counting, en806_copper_mm, simultaneous_l_s};
use super::friction::Regime;
use super::network::Report;
use super::running::SHOWN_AS_NONE_L_S;
use crate::layout::{Id, OutletKind};
use crate::units::{Amount, Unit};

/// What runs where in one layout.
#[derive(Debug, Serialize)]
pub struct FlowReport {
    /// Path as it was given.
    pub file: String,
    /// Title of the layout.
    pub title: String,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
    /// Every tap.
    pub outlets: Vec<TapReport>,
    /// What is likely to be drawn at one time.
    pub demand: Vec<DemandReport>,
    /// The vent; the first, where there are several.
    pub vent: Option<VentReport>,
    /// All vents, where there are several.
    pub vents: Vec<VentReport>,
    /// Runs in which flow is transitional somewhere: between the two formulas of friction, where it is least sure.
    pub transitional: Vec<String>,
    /// Every stretch of pipe that is reckoned.
    pub pipes: Vec<StretchReport>,
    /// How solving went.
    pub report: SolverReport,
}

/// One tap.
#[derive(Debug, Serialize)]
pub struct TapReport {
    /// Id of the outlet.
    pub id: String,
    /// Which of its taps: "hot", "cold" or "mixed".
    pub supply: Supply,
    /// Whether it is open.
    pub open: bool,
    /// What leaves it; none when that is not known or not steady.
    pub flow: Option<Spread>,
    /// Head in front of it.
    pub residual_head: Option<Amount>,
    /// Temperature of what leaves a mixer.
    pub mixed: Option<Amount>,
    /// What it gives when it alone is open.
    pub alone: Option<Spread>,
    /// Why there is no flow to tell, or none that is sure; empty when there is.
    pub words: String,
    /// Whether it is on the main: then there is no flow to tell, and nothing is wrong.
    #[serde(skip)]
    pub on_main: bool,
}

/// A value, and what the least and greatest losses in print make of it.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct Spread {
    /// With the usual losses.
    pub value: f64,
    /// The least with the usual, the least and the greatest losses; none where with the greatest air is drawn.
    pub least: Option<f64>,
    /// The greatest with them; none where with the least losses air is drawn.
    pub greatest: Option<f64>,
    /// Its unit.
    pub unit: Unit,
}

impl Spread {
    /// Its least and greatest in words: "0.29" and "0.34", or "air" where there is none.
    #[must_use]
    pub fn ends(&self) -> [String; 2] {
        [self.least, self.greatest].map(|end| end.map_or_else(|| "air".to_owned(), |value| format!("{value:.2}")))
    }
}

/// What the taps of one water are likely to draw at one time, by two ways of counting that are never mixed.
#[derive(Debug, Serialize)]
pub struct DemandReport {
    /// Which water: "hot" or "cold".
    pub supply: Supply,
    /// Loading units by BS 6700.
    pub loading_units: f64,
    /// What that comes to, by the figure of BS 6700.
    pub flow: Amount,
    /// Loading units by EN 806-3.
    pub en806_loading_units: f64,
    /// The copper tube that serves them by EN 806-3, outside diameter.
    pub en806_tube: Option<Amount>,
}

impl DemandReport {
    /// The demand of the taps that draw a water from a cistern; none when there is no such tap.
    fn of(circuit: &Circuit<'_>, supply: Supply) -> Option<Self> {
        let draws = |tap: &&Tap<'_>| !tap.is_on_main() && (tap.supply == supply || tap.supply == Supply::Mixed);
        let kinds: Vec<OutletKind> = circuit.taps().iter().filter(draws).map(|tap| tap.outlet.kind).collect();
        if kinds.is_empty() {
            return None;
        }
        let en806_loading_units = Counting::En806.loading_units(kinds.iter().copied());
        Some(Self {
            supply,
            loading_units: Counting::Bs6700.loading_units(kinds.iter().copied()),
            flow: Unit::LitrePerSecond.of(simultaneous_l_s(&kinds)),
            en806_loading_units,
            en806_tube: en806_copper_mm(en806_loading_units).map(Amount::mm),
        })
    }
}

/// One vent.
#[derive(Debug, Clone, Serialize)]
pub struct VentReport {
    /// Id of the run with its open end.
    pub id: Id,
    /// Whether air is drawn in through it.
    pub draws_air: bool,
    /// Level of the water in it, whole mm above the datum: nobody knows how hot the water is to tell more.
    pub level: Option<Amount>,
    /// Hot water drawn together beyond which air is drawn in.
    pub threshold: Option<Amount>,
}

/// One stretch of pipe.
#[derive(Debug, Serialize)]
pub struct StretchReport {
    /// Id of the run.
    pub run: String,
    /// Where it begins along the run.
    pub from: Amount,
    /// Where it ends along the run.
    pub to: Amount,
    /// Flow along the run.
    pub flow: Amount,
    /// Velocity along the run.
    pub velocity: Amount,
    /// "laminar", "transitional" or "turbulent".
    pub regime: &'static str,
}

/// How solving went.
#[derive(Debug, Serialize)]
pub struct SolverReport {
    /// "converged", "gave up" or "asked wrongly".
    pub outcome: &'static str,
    /// Linear systems solved.
    pub steps: usize,
    /// The largest difference between what comes into a node and what leaves it, kg/s.
    pub worst_imbalance_kg_s: f64,
    /// What is wrong with what was asked; empty otherwise.
    pub words: String,
}

impl FlowReport {
    /// Reckons and puts together.
    #[must_use]
    pub fn new(file: &str, circuit: &Circuit<'_>, conditions: &Conditions) -> Self {
        let spread = Spreads::of(circuit, conditions);
        let vents: Vec<VentReport> = (spread.usual.vents.iter().zip(circuit.air_limits_l_s(conditions)))
            .map(|(state, limit_l_s)| {
                let litres = |value| Unit::LitrePerSecond.of(value);
                VentReport {
                    id: state.run.clone(),
                    draws_air: state.draws_air,
                    level: state.level_mm.map(|level_mm| Amount::mm(level_mm.round())),
                    threshold: limit_l_s.ok().map(litres),
                }
            })
            .collect();
        let pipes = stretches(circuit, &spread.usual);
        let is_transitional = |pipe: &&StretchReport| pipe.regime == Regime::Transitional.words();
        let mut transitional: Vec<String> = pipes.iter().filter(is_transitional).map(|pipe| pipe.run.clone()).collect();
        transitional.dedup();
        Self {
            file: file.to_owned(),
            title: circuit.site().layout().heading.title.clone(),
            assumptions: super::circuit::assumptions(circuit),
            outlets: (0..circuit.taps().len()).map(|number| spread.tap(circuit, number)).collect(),
            demand: [Supply::Hot, Supply::Cold]
                .into_iter()
                .filter_map(|supply| DemandReport::of(circuit, supply))
                .collect(),
            vent: vents.first().cloned(),
            vents,
            transitional,
            pipes,
            report: SolverReport::from(&spread.usual.report),
        }
    }
}

/// Flows with the usual, the least and the greatest losses.
struct Spreads<'c> {
    conditions: &'c Conditions,
    usual: Flows,
    eased: Flows,
    hindered: Flows,
}

impl<'c> Spreads<'c> {
    fn of(circuit: &Circuit<'_>, conditions: &'c Conditions) -> Self {
        let with = |losses| circuit.flows(&Conditions { losses, ..conditions.clone() });
        Self {
            conditions,
            usual: with(conditions.losses),
            eased: with(Losses::Least),
            hindered: with(Losses::Greatest),
        }
    }

    fn tap(&self, circuit: &Circuit<'_>, number: usize) -> TapReport {
        let (tap, flow) = (&circuit.taps()[number], &self.usual.taps[number]);
        let alone = Conditions { open: super::circuit::Open::Numbered(vec![number]), ..self.conditions.clone() };
        let opened_alone = circuit.has_few_taps().then(|| Spreads::of(circuit, &alone));
        let alone = opened_alone.as_ref().and_then(|spread| spread.flow_of(number));
        let together = self.flow_of(number);
        let air = self.air_in_doubt(number).filter(|_| flow.open);
        let doubt = match &opened_alone {
            Some(opened_alone) => in_doubt(air, opened_alone.air_in_doubt(number)),
            None => TOO_MANY_TAPS.to_owned(),
        };
        let words = [flow.outcome.words(), one_side_alone(&flow.outcome).to_owned(), doubt];
        let words: Vec<String> = words.into_iter().filter(|words| !words.is_empty()).collect();
        let words = words.join("; ");
        let (residual_head, mixed) = match flow.outcome {
            Outcome::Reckoned { residual_head_m, mixed_celsius, .. } => {
                (Some(Unit::MetreHead.of(residual_head_m)), mixed_celsius.map(|value| Unit::Celsius.of(value)))
            }
            _ => (None, None),
        };
        TapReport {
            id: tap.outlet.id.to_string(),
            supply: tap.supply,
            open: flow.open,
            flow: together,
            residual_head,
            mixed,
            alone,
            words,
            on_main: flow.outcome == Outcome::OnMain,
        }
    }

    fn flow_of(&self, number: usize) -> Option<Spread> {
        let value = self.usual.taps[number].flow_l_s()?;
        // Where taps share a pipe, what hinders one lets more through to another.
        let [hindered, eased] = [&self.hindered, &self.eased].map(|flows| match flows.taps[number].outcome {
            Outcome::AirDrawn(_) => None,
            _ => Some(flows.taps[number].flow_l_s().unwrap_or(value)),
        });
        let tried = || [hindered, eased].into_iter().flatten();
        let least = hindered.map(|_| tried().fold(value, f64::min));
        let greatest = eased.map(|_| tried().fold(value, f64::max));
        Some(Spread { value, least, greatest, unit: Unit::LitrePerSecond })
    }

    /// With which losses air is drawn, and by what, though with the usual ones the tap runs steadily.
    fn air_in_doubt(&self, number: usize) -> Option<(&'static str, &AirBy)> {
        self.usual.taps[number].flow_l_s()?;
        [("greatest", &self.hindered), ("least", &self.eased)].into_iter().find_map(|(losses, flows)| {
            match &flows.taps[number].outcome {
                Outcome::AirDrawn(by) => Some((losses, by)),
                _ => None,
            }
        })
    }
}

/// What is to be said of a mixer that runs on one of its sides alone; empty where both give.
fn one_side_alone(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::Reckoned { flow_l_s, hot_l_s: Some(hot_l_s), .. } if *flow_l_s >= SHOWN_AS_NONE_L_S => {
            match (*hot_l_s < SHOWN_AS_NONE_L_S, flow_l_s - hot_l_s < SHOWN_AS_NONE_L_S) {
                (true, _) => "its hot side gives nothing: cold water alone comes",
                (_, true) => "its cold side gives nothing: hot water alone comes",
                _ => "",
            }
        }
        _ => "",
    }
}

/// What is to be said of air that is drawn with other losses than the usual; empty where none is.
fn in_doubt(together: Option<(&str, &AirBy)>, alone: Option<(&str, &AirBy)>) -> String {
    match (together, alone) {
        (Some((losses, by)), _) => format!("with the {losses} losses in print {}", by.words()),
        (None, Some((losses, AirBy::Vent))) => {
            format!("alone, with the {losses} losses in print, it makes the open vent draw air")
        }
        (None, Some((losses, by))) => format!("with it alone, and the {losses} losses in print, {}", by.words()),
        (None, None) => String::new(),
    }
}

fn stretches(circuit: &Circuit<'_>, flows: &Flows) -> Vec<StretchReport> {
    let reckoned = circuit.stretches().iter().zip(&flows.stretches);
    reckoned
        .filter_map(|(stretch, flow)| {
            let flow = (*flow)?;
            Some(StretchReport {
                run: circuit.site().run(stretch.run).id.to_string(),
                from: Amount::mm(stretch.along_mm.0),
                to: Amount::mm(stretch.along_mm.1),
                flow: Unit::LitrePerSecond.of(flow.flow_l_s),
                velocity: Unit::MetrePerSecond.of(flow.velocity_m_s),
                regime: Regime::of(flow.reynolds).words(),
            })
        })
        .collect()
}

impl From<&Report> for SolverReport {
    fn from(report: &Report) -> Self {
        match report {
            Report::Converged { steps, worst_imbalance_kg_s } => Self {
                outcome: "converged",
                steps: *steps,
                worst_imbalance_kg_s: *worst_imbalance_kg_s,
                words: String::new(),
            },
            Report::GaveUp { steps, worst_imbalance_kg_s } => Self {
                outcome: "gave up",
                steps: *steps,
                worst_imbalance_kg_s: *worst_imbalance_kg_s,
                words: String::new(),
            },
            Report::AskedWrongly { words } => {
                Self { outcome: "asked wrongly", steps: 0, worst_imbalance_kg_s: 0.0, words: words.clone() }
            }
        }
    }
}
