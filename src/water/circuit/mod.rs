//! The circuit of stored water as it is drawn: cisterns, runs cut where they join, cylinders, taps and vents.

mod air_by_taps;
mod air_limit;
mod air_traps;
mod blending;
mod build;
mod conditions;
mod flows;
mod giving;
mod head_line;
mod hot_pipes;
mod inlets;
mod kept_back;
mod meeting;
mod mouths;
mod questions;
mod ratings;
mod region;
mod siphon;
mod systems;
mod tees;
mod told_losses;
mod untold;
mod vents;

use std::ops::Range;
use std::sync::LazyLock;

use self::air_limit::Likely;
use self::hot_pipes::Blend;
use self::inlets::Inlet;
use self::meeting::Meeting;
use self::untold::Untold;
use super::Water;
use crate::layout::{Cistern, Cylinder, Id, Outlet};
use crate::measure::Site;

pub use air_by_taps::AirBy;
pub use air_traps::{AirTrap, HangsOn};
pub use build::{in_square_bends, square_bends};
pub use conditions::{Conditions, Open, ShutValve, Supply, TapName};
pub use flows::{Flows, Outcome, StretchFlow, TapFlow, VentState};
pub use giving::Given;
pub use head_line::HeadAt;
pub use inlets::{ThroughValve, is_fed_from_store};
pub use ratings::{Fitting, LossRow, Losses, OutletRow, losses, outlets, taps};
pub use region::Region;
pub use systems::System;

/// Temperature of cold water for flows (assumption: what a layout tells is the warmest that it gets), °C.
pub const COLD_ASSUMED_CELSIUS: f64 = 10.0;
/// A tap's tail: its rating is turned into a loss coefficient on this bore, m.
const TAIL_BORE_M: f64 = 0.0136;
/// Temperature of stored hot water where none is told (assumption), °C.
pub const HOT_ASSUMED_CELSIUS: f64 = 60.0;
/// Beyond this many stretches times taps, vents or systems, these are not tried one by one: a whole street's worth of them.
pub(super) const MOST_WORK: usize = 50_000;

/// Said where taps are not tried one by one.
pub const TOO_MANY_TAPS: &str = "there are too many taps on this drawing to try each alone";
/// Said where the solver gave up.
pub(super) const NOT_FOUND: &str = "the flows of this circuit were not found";

/// Cold water as it is taken for flows.
#[must_use]
pub fn cold_water() -> Water {
    static COLD: LazyLock<Water> =
        LazyLock::new(|| Water::at_celsius(COLD_ASSUMED_CELSIUS).expect("within the range of liquid water"));
    *COLD
}

/// The stored water of a layout, as a graph.
pub struct Circuit<'s> {
    site: &'s Site<'s>,
    /// Heights of the places where stretches meet, mm above the datum.
    node_mm: Vec<f64>,
    stretches: Vec<Stretch>,
    meeting: Meeting,
    vessels: Vec<Vessel<'s>>,
    sources: Vec<Source<'s>>,
    /// By node: which of the sources is there, by its number.
    source_at: Vec<Option<usize>>,
    /// Where stored water comes to float valves.
    inlets: Vec<Inlet<'s>>,
    /// Where water goes into a water heater, and where it comes out.
    heaters: Vec<(usize, usize)>,
    taps: Vec<Tap<'s>>,
    /// Where hot water of unlike temperatures comes together.
    blends: Vec<Blend<'s>>,
    vents: Vec<Vent<'s>>,
    /// By node: the pressure of water at rest, Pa; empty where no pipe lies above it.
    at_rest_pa: Vec<Option<f64>>,
    /// The body of water of each node.
    body_of: Vec<usize>,
    /// The hot side of each node: what hot pipes and cylinders join, without going through a cold feed.
    hot_side_of: Vec<usize>,
    likely: Likely,
    untold: Untold,
}

/// A stretch of a run from one place where water can part to the next.
#[derive(Debug, Clone)]
pub struct Stretch {
    /// The run, by its number.
    pub run: usize,
    /// Where the stretch begins and ends along it, mm.
    pub along_mm: (f64, f64),
    nodes: (usize, usize),
    tube: Option<Tube>,
    water: Water,
    /// Which of the blends runs in it, as warm as what comes makes it.
    blend: Option<usize>,
    /// What takes pressure in it, and how many of it.
    fittings: Vec<(Fitting, f64)>,
    /// Its share of the loss coefficient that the layout tells for the whole run.
    told_loss: Option<f64>,
    /// Its in-line fittings that can shut it, by their number in the run.
    valves: Vec<usize>,
    /// Non-return valves let water pass along the run only.
    one_way: bool,
    /// Some of it lies higher than water at rest would rise in it: no water gets through by itself.
    is_above_water: bool,
}

/// The inside of a tube.
#[derive(Debug, Clone, Copy)]
struct Tube {
    bore_m: f64,
    roughness_m: f64,
}

/// A cylinder with the pipes on it that its stored water flows through.
struct Vessel<'s> {
    cylinder: &'s Cylinder,
    water: Water,
    /// Height of its cold inlet, mm.
    inlet_mm: f64,
    arms: Vec<usize>,
    /// Those of them by which its hot water leaves.
    hot_arms: Vec<usize>,
}

/// A hole in a storage cistern from which water is taken.
struct Source<'s> {
    cistern: &'s Cistern,
    node: usize,
    /// Level of the water in the cistern, mm; `None` when it is not told.
    surface_mm: Option<f64>,
}

/// A tap: what a person opens.
#[derive(Debug, Clone)]
pub struct Tap<'s> {
    /// The outlet that it is on.
    pub outlet: &'s Outlet,
    /// What it gives.
    pub supply: Supply,
    feeds: Feeds,
}

/// Where a tap gets its water from.
#[derive(Debug, Clone, Copy)]
enum Feeds {
    /// From one pipe.
    One(usize),
    /// Hot and cold, mixed in it.
    Mixed { hot: usize, cold: usize },
    /// From the main.
    Main,
}

/// An open vent.
struct Vent<'s> {
    /// The run with the open end.
    run: &'s Id,
    /// Where it leaves the pipe or cylinder.
    tee: usize,
    /// Whether it goes on beyond the drawing, so that nobody knows where it leads.
    goes_on: bool,
    /// What of it no water is drawn through: the runs, and from and to along each, mm.
    dry: Vec<(usize, (f64, f64))>,
    /// Level of the highest point of its way to the open end, mm; `None` when no open end is drawn.
    top_mm: Option<f64>,
    water: Water,
}

impl<'s> Circuit<'s> {
    /// Its taps.
    #[must_use]
    pub fn taps(&self) -> &[Tap<'s>] {
        &self.taps
    }

    /// Whether its taps are few enough to try each alone.
    pub(super) const fn has_few_taps(&self) -> bool {
        self.taps.len() * self.stretches.len() <= MOST_WORK
    }

    /// Its stretches of pipe.
    #[must_use]
    pub fn stretches(&self) -> &[Stretch] {
        &self.stretches
    }

    /// The numbers of the stretches of a run; they stand run by run.
    #[must_use]
    pub fn of_run(&self, run: usize) -> Range<usize> {
        let first = self.stretches.partition_point(|stretch| stretch.run < run);
        first..self.stretches.partition_point(|stretch| stretch.run <= run)
    }

    /// Whether a hole of a storage cistern is at a node.
    fn is_source(&self, node: usize) -> bool {
        self.source_at[node].is_some()
    }

    /// The site that it was read from.
    #[must_use]
    pub const fn site(&self) -> &'s Site<'s> {
        self.site
    }

    /// The cisterns that feed it, each once.
    pub fn cisterns(&self) -> impl Iterator<Item = &'s Cistern> + '_ {
        let first = |(number, source): &(usize, &Source<'s>)| {
            self.sources[..*number].iter().all(|before| before.cistern.id != source.cistern.id)
        };
        self.sources.iter().enumerate().filter(first).map(|(_, source)| source.cistern)
    }

    /// The cylinders that its water goes through.
    pub fn cylinders(&self) -> impl Iterator<Item = &'s Cylinder> + '_ {
        self.vessels.iter().map(|vessel| vessel.cylinder)
    }
}

/// What was taken for granted, in words.
#[must_use]
pub fn assumptions(circuit: &Circuit<'_>) -> Vec<String> {
    let mut words = vec![
        format!("cold water at {COLD_ASSUMED_CELSIUS} °C; the cistern stands full to its water line"),
        "pipes as long as they are drawn; bends, tees, changes of bore and valves by the table of losses".to_owned(),
    ];
    for cylinder in circuit.cylinders().filter(|cylinder| cylinder.stored_temperature.is_none()) {
        words.push(format!("hot water in {} at {HOT_ASSUMED_CELSIUS} °C", cylinder.id.spoken()));
    }
    for Blend { of, celsius, .. } in &circuit.blends {
        let names: Vec<String> = of.iter().map(|cylinder| cylinder.spoken().to_string()).collect();
        words.push(format!(
            "hot water of {} comes together in joined pipes: there it is taken at the mean of their temperatures by how much each gives; {celsius:.1} °C, the plain mean, where nothing runs",
            names.join(" and ")
        ));
    }
    if circuit.taps().iter().any(|tap| tap.outlet.passes.is_none()) {
        words.push("outlets whose rating is not told pass what is usual for their kind".to_owned());
    }
    words
}

impl Tap<'_> {
    /// How a person calls it: the outlet, and which of its taps.
    #[must_use]
    pub fn name(&self) -> TapName {
        TapName { outlet: self.outlet.id.clone(), supply: Some(self.supply) }
    }
}
