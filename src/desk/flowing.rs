//! What the view *Flow* asks about the water, and what is found.

use std::cell::OnceCell;

use crate::heat::heat_up;
use crate::layout::Layout;
use crate::measure::Site;
use crate::water::FlowReport;
use crate::water::circuit::{Circuit, Conditions, HeadAt, Open, ShutValve, Tap, TapName};
use crate::water::sizing::{RunSize, sizes};
use crate::water::trial::{Job, Played, jobs, mains_off, may_stick, valve_stuck};

/// What is asked about the water.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FlowQuestion {
    /// Taps that are open, by their place among the circuit's taps; none means every one.
    pub open: Option<Vec<usize>>,
    /// Valves that are shut.
    pub shut: Vec<ShutValve>,
    /// The tap whose line of heads is shown.
    pub head_at: usize,
    /// The trial that is played.
    pub trial: Option<Trial>,
}

/// A trial, by the part that it is tried on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trial {
    /// The main is off and the open taps are drawn.
    MainsOff,
    /// The float valve of a cistern, by its place among those of the circuit, sticks open.
    ValveStuck(usize),
    /// A cylinder heats up from cold.
    HeatUp(usize),
}

/// How far a trial has been played.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Playing {
    /// Share of its whole time, from 0 to 1.
    pub share: f64,
    /// Whether it runs on by itself.
    pub runs: bool,
}

/// What is found.
pub struct Flowing {
    /// Flows, heads and vents.
    pub report: FlowReport,
    /// Taps by name.
    pub taps: Vec<TapName>,
    /// Every valve that can be shut, and what it is called.
    pub valves: Vec<(ShutValve, String)>,
    /// Trials that this system can be put to.
    pub trials: Vec<(Trial, String)>,
    /// The line of heads to the chosen tap.
    pub head_line: Vec<HeadAt>,
    /// The chosen trial.
    pub played: Option<Result<Played, String>>,
    jobs: OnceCell<Vec<Job>>,
    sizes: OnceCell<Vec<RunSize>>,
}

impl Flowing {
    /// The answer to a question about a layout.
    #[must_use]
    pub fn of(layout: &Layout, question: &FlowQuestion) -> Self {
        let site = Site::of(layout);
        let circuit = Circuit::of(&site);
        let conditions = question.conditions();
        let flows = circuit.flows(&conditions);
        let tap = circuit.taps().get(question.head_at);
        Self {
            report: FlowReport::new("", &circuit, &conditions),
            taps: circuit.taps().iter().map(Tap::name).collect(),
            valves: valves(layout),
            trials: trials(&circuit),
            head_line: tap.map(|tap| circuit.head_line(tap, &flows)).unwrap_or_default(),
            played: question.trial.and_then(|trial| play(&circuit, trial, &conditions)),
            jobs: OnceCell::new(),
            sizes: OnceCell::new(),
        }
    }

    /// How each job is done on the layout that was asked about; found when it is first looked at.
    pub fn jobs(&self, layout: &Layout) -> &[Job] {
        self.jobs.get_or_init(|| jobs(&Circuit::of(&Site::of(layout))))
    }

    /// The smallest tubes that serve; found when they are first looked at, since every size is tried in every run.
    pub fn sizes(&self, layout: &Layout) -> &[RunSize] {
        self.sizes.get_or_init(|| sizes(layout))
    }
}

impl FlowQuestion {
    /// Whether the taps are those that a person has opened: nobody draws water while a valve sticks or a cylinder heats up.
    #[must_use]
    pub const fn leaves_taps_to_choose(&self) -> bool {
        !matches!(self.trial, Some(Trial::ValveStuck(_) | Trial::HeatUp(_)))
    }

    /// The conditions that it asks about.
    #[must_use]
    pub fn conditions(&self) -> Conditions {
        let open = match &self.open {
            _ if !self.leaves_taps_to_choose() => Open::Nothing,
            None => Open::Everything,
            Some(taps) => Open::Numbered(taps.clone()),
        };
        Conditions { open, shut: self.shut.clone(), ..Conditions::default() }
    }
}

fn valves(layout: &Layout) -> Vec<(ShutValve, String)> {
    let runs = layout.runs.iter().filter(|run| !run.service.is_primary());
    let in_run = runs.flat_map(|run| run.fittings.iter().flatten().enumerate().map(move |fitting| (run, fitting)));
    let shutting = in_run.filter(|(_, (_, fitting))| fitting.kind.shuts());
    shutting
        .map(|(run, (number, fitting))| {
            let valve = ShutValve { run: run.id.clone(), number: Some(number) };
            (valve, format!("{} in {}", fitting.kind.words(), run.id.spoken()))
        })
        .collect()
}

fn trials(circuit: &Circuit<'_>) -> Vec<(Trial, String)> {
    let mut trials = Vec::new();
    if circuit.cisterns().next().is_some() {
        trials.push((Trial::MainsOff, "Main off, open taps drawn".to_owned()));
    }
    for (number, cistern) in may_stick(circuit) {
        trials.push((Trial::ValveStuck(number), format!("Float valve of {} stuck open", cistern.id.spoken())));
    }
    for (number, cylinder) in circuit.cylinders().enumerate() {
        trials.push((Trial::HeatUp(number), format!("Heating {} from cold", cylinder.id.spoken())));
    }
    trials
}

fn play(circuit: &Circuit<'_>, trial: Trial, conditions: &Conditions) -> Option<Result<Played, String>> {
    match trial {
        Trial::MainsOff => Some(mains_off(circuit, conditions.open.clone())),
        Trial::ValveStuck(number) => circuit.cisterns().nth(number).map(|cistern| valve_stuck(circuit.site(), cistern)),
        Trial::HeatUp(number) => circuit.cylinders().nth(number).map(|cylinder| heat_up(circuit, cylinder)),
    }
}
