//! Draining for a job: which valves to shut, what still runs, how many litres to let out, how long the drain cock takes.

use serde::Serialize;

use super::heated_by::{boiler_cock, boiler_words, coil_words, put_out};
use crate::geom::SAME_PLACE_MM;
use crate::layout::{COLD_INLET, Cistern, Cylinder, INLET, ImmersionPlace, PartRef};
use crate::measure::distribution::valve_in_main_to;
use crate::measure::{between_l, cylinder_capacity_l, water_volume_l};
use crate::units::{Amount, Measured};
use crate::water::circuit::{Circuit, Conditions, Outcome, Region, ShutValve, Tap, is_fed_from_store};
use crate::water::levels::{Orifice, Prism};

/// A drain cock with a hose on it passes as much as an opening of this bore and coefficient (assumption).
const DRAIN_COCK: Orifice = Orifice { coefficient: 0.6, bore_m: 0.010 };
/// The water is let down this far below the boss of a heater in the dome, mm (common practice, no source).
const BELOW_TOP_BOSS_MM: f64 = 100.0;
/// A heater low in the side sits about this far above the base, mm (common practice, no source).
const LOW_BOSS_MM: f64 = 150.0;

/// Work for which water has to be let out.
enum Task<'c> {
    /// A new washer in a tap.
    TapWasher(&'c Tap<'c>),
    /// Work on the float valve of a cistern.
    FloatValve(&'c Cistern),
    /// Another cistern, or a new hole in it.
    Cistern(&'c Cistern),
    /// Work on a cylinder.
    InCylinder(&'c Cylinder, CylinderWork),
}

/// Work for which a cylinder is drained, wholly or in part.
#[derive(Clone, Copy)]
enum CylinderWork {
    /// A heater in the dome.
    TopImmersion,
    /// A heater low in the side.
    BottomImmersion,
    /// Another cylinder.
    Exchange,
}

/// How a task is done on the system that is drawn.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Job {
    /// The task in words.
    pub task: String,
    /// What to shut, in order: "gate valve in cold feed, 500 mm along".
    pub shut: Vec<String>,
    /// Taps that still run with that shut.
    pub still_runs: Vec<String>,
    /// Litres to let out; none when the layout does not tell.
    pub drain_l: Option<f64>,
    /// Where they are let out.
    pub drain_by: String,
    /// How long a drain cock takes, min.
    pub minutes: Option<f64>,
    /// What is in the way, and what to look out for.
    pub notes: Vec<String>,
}

/// Every job that may be wanted on this system.
#[must_use]
pub fn jobs(circuit: &Circuit<'_>) -> Vec<Job> {
    tasks(circuit).iter().map(|task| job(circuit, task)).collect()
}

fn tasks<'c>(circuit: &'c Circuit<'_>) -> Vec<Task<'c>> {
    let stored = circuit.taps().iter().filter(|tap| !tap.is_on_main());
    let mut tasks: Vec<Task<'_>> = stored.map(Task::TapWasher).collect();
    for cistern in circuit.cisterns() {
        tasks.extend([Task::FloatValve(cistern), Task::Cistern(cistern)]);
    }
    for cylinder in circuit.cylinders() {
        let heaters = cylinder.immersions.iter().flatten().map(|heater| match heater.place {
            ImmersionPlace::Top => CylinderWork::TopImmersion,
            ImmersionPlace::Bottom => CylinderWork::BottomImmersion,
        });
        let works = heaters.chain([CylinderWork::Exchange]);
        tasks.extend(works.map(|work| Task::InCylinder(cylinder, work)));
    }
    tasks
}

fn job(circuit: &Circuit<'_>, task: &Task<'_>) -> Job {
    match *task {
        Task::TapWasher(tap) => washer(circuit, tap),
        Task::FloatValve(cistern) => float_valve(circuit, cistern),
        Task::Cistern(cistern) => whole_cistern(circuit, cistern),
        Task::InCylinder(cylinder, work) => in_cylinder(circuit, cylinder, work),
    }
}

impl Job {
    fn of(task: String) -> Self {
        Self {
            task,
            shut: Vec::new(),
            still_runs: Vec::new(),
            drain_l: None,
            drain_by: String::new(),
            minutes: None,
            notes: Vec::new(),
        }
    }

    /// Names the valves that part a region from the cisterns, and what still runs with them shut.
    fn shutting(mut self, circuit: &Circuit<'_>, region: &Region) -> Self {
        self.shut = region.valves.iter().map(|valve| valve_words(circuit, valve)).collect();
        if region.open_to_cistern {
            self.notes.push(
                "no valve parts this from the cistern: tie up the float, and let the whole cistern out first"
                    .to_owned(),
            );
        }
        self.still_runs = runs_with(circuit, &Conditions { shut: region.valves.clone(), ..Conditions::default() });
        self
    }

    /// Lets out what a cylinder holds down to a height above its base, and what runs into it from its pipes meanwhile.
    fn letting_out(mut self, circuit: &Circuit<'_>, (cylinder, region): (&Cylinder, &Region), down_to_mm: f64) -> Self {
        let (capacity, _) = cylinder_capacity_l(cylinder);
        let own_l = capacity.value * (1.0 - down_to_mm / cylinder.height.to_mm()).max(0.0);
        let level_mm = cylinder.at.z.to_mm() + down_to_mm;
        let inlet_mm = PartRef::Cylinder(cylinder).port(COLD_INLET).map(|point| point.z.to_mm());
        // Under its shut valve the water of the feed hangs until air comes to its lower end.
        let in_pipes_l = match inlet_mm.is_some_and(|inlet_mm| level_mm <= inlet_mm + SAME_PLACE_MM) {
            true => circuit.litres_above(region, level_mm),
            false => circuit.litres_over_cylinders(region, level_mm),
        };
        self.drain_l = Some(own_l + in_pipes_l.unwrap_or(0.0));
        match in_pipes_l {
            Some(_) => self,
            None => self.noting("what stands in the pipes above it comes as well: how much is not told"),
        }
    }

    fn noting(mut self, words: impl Into<String>) -> Self {
        self.notes.push(words.into());
        self
    }
}

fn washer(circuit: &Circuit<'_>, tap: &Tap<'_>) -> Job {
    let region = circuit.region_of_tap(tap);
    let mut job = Job::of(format!("a new washer in {}", tap.name())).shutting(circuit, &region);
    if !region.open_to_cistern {
        job.drain_l = circuit.litres_above(&region, tap.outlet.at.z.to_mm());
        job.drain_by = format!("the tap itself: what stands above it in the pipes ({})", tap.name());
    } else {
        job.drain_by = format!("the tap itself ({}), after the cistern", tap.name());
    }
    job
}

fn float_valve(circuit: &Circuit<'_>, cistern: &Cistern) -> Job {
    let mut job = Job::of(format!("work on the float valve of {}", cistern.id.spoken()));
    if is_fed_from_store(circuit.site(), cistern) {
        return stored_float_valve(circuit, cistern, job);
    }
    job.shut = inlet_valves(circuit, cistern).iter().map(|valve| valve_words(circuit, valve)).collect();
    if job.shut.is_empty() {
        job = job.noting("no valve is drawn in the pipe to it: shut the stop valve of the house");
    }
    job.drain_l = Some(0.0);
    job.still_runs = circuit.taps().iter().map(|tap| tap.name().to_string()).collect();
    job.noting("taps run until the cistern is empty; see the trial mains-off for how long")
}

/// A float valve on a pipe of stored water, which runs out of that pipe once the valve is off.
fn stored_float_valve(circuit: &Circuit<'_>, cistern: &Cistern, job: Job) -> Job {
    let region = circuit.region_of_port(&cistern.id, INLET);
    let mut job = job.shutting(circuit, &region);
    job.drain_by = "the float valve itself: what stands above it in the pipes".to_owned();
    if let (false, Some(inlet)) = (region.open_to_cistern, PartRef::Cistern(cistern).port(INLET)) {
        job.drain_l = circuit.litres_above(&region, inlet.z.to_mm());
    }
    job
}

/// Taps that run, or would if they were opened, under some conditions.
fn runs_with(circuit: &Circuit<'_>, conditions: &Conditions) -> Vec<String> {
    let flows = circuit.flows(conditions);
    let runs = circuit.taps().iter().zip(&flows.taps).filter(|(_, flow)| {
        matches!(flow.outcome, Outcome::Reckoned { residual_head_m, .. } if residual_head_m > 0.0)
            || flow.outcome == Outcome::OnMain
    });
    runs.map(|(tap, _)| tap.name().to_string()).collect()
}

/// Its pipes stand open meanwhile, and what no valve parts from them runs out as well.
fn whole_cistern<'s>(circuit: &Circuit<'s>, cistern: &'s Cistern) -> Job {
    let mut job = Job::of(format!("another cistern in place of {}", cistern.id.spoken()));
    let (region, emptied) = circuit.region_of_cistern(cistern);
    let mut shut: Vec<ShutValve> = emptied.iter().flat_map(|cistern| inlet_valves(circuit, cistern)).collect();
    shut.extend(region.valves);
    job.shut = shut.iter().map(|valve| valve_words(circuit, valve)).collect();
    let empty = |cistern: &&Cistern| (cistern.id.clone(), f64::NEG_INFINITY);
    let levels_mm = emptied.iter().map(empty).collect();
    let meanwhile = Conditions { shut, levels_mm, ..Conditions::default() };
    job.still_runs = runs_with(circuit, &meanwhile);
    job.drain_by = "the taps, down to the lowest hole".to_owned();
    match emptied.iter().map(|cistern| held_l(circuit, cistern)).collect::<Result<Vec<Held>, String>>() {
        Ok(held) => {
            job.drain_l = Some(held.iter().map(|held| held.above_l).sum());
            let below_l: f64 = held.iter().map(|held| held.below_l).sum();
            if below_l > 0.0 {
                job = job.noting(format!("{} stay below the lowest hole: bale them out", Amount::litres(below_l)));
            }
        }
        Err(find_out) => job = job.noting(format!("not known how much: {find_out}")),
    }
    for other in &emptied[1..] {
        job = job.noting(format!("no valve parts it from {}: its water goes as well", other.id.spoken()));
    }
    let cut_off: Vec<&Cylinder> = circuit.cylinders_cut_off(&meanwhile).collect();
    if !cut_off.is_empty() {
        let put_out = put_out(circuit.site(), cut_off);
        job = job
            .noting(format!("first {put_out}, and turn off immersion heaters: nothing feeds the cylinder meanwhile"));
    }
    job
}

/// The water of a cistern above the lowest of its holes, and below it.
struct Held {
    above_l: f64,
    below_l: f64,
}

fn held_l(circuit: &Circuit<'_>, cistern: &Cistern) -> Result<Held, String> {
    let site = circuit.site();
    let (litres, _) = water_volume_l(site, cistern)?;
    let lowest_mm = circuit.holes_mm(cistern).into_iter().fold(f64::INFINITY, f64::min) - cistern.at.z.to_mm();
    let lowest = Measured::exact(lowest_mm.clamp(0.0, cistern.height.to_mm()));
    let below_l = between_l(site, cistern, Measured::exact(0.0), lowest)?.value.min(litres.value);
    Ok(Held { above_l: litres.value - below_l, below_l })
}

fn in_cylinder(circuit: &Circuit<'_>, cylinder: &Cylinder, work: CylinderWork) -> Job {
    let name = cylinder.id.spoken();
    let height_mm = cylinder.height.to_mm();
    let (words, keep_mm) = match work {
        CylinderWork::TopImmersion => {
            (format!("a new immersion heater in the dome of {name}"), height_mm - BELOW_TOP_BOSS_MM)
        }
        CylinderWork::BottomImmersion => (format!("a new immersion heater low in {name}"), LOW_BOSS_MM),
        CylinderWork::Exchange => (format!("another cylinder in place of {name}"), 0.0),
    };
    let keep_mm = keep_mm.clamp(0.0, height_mm);
    let (site, region) = (circuit.site(), circuit.region_of_port(&cylinder.id, COLD_INLET));
    let put_out = put_out(site, [cylinder]);
    let mut job = Job::of(words)
        .shutting(circuit, &region)
        .noting(format!(
            "first {put_out}, and turn off the electricity at the heater's switch; electrical work is for a competent person"
        ))
        .noting("the water is scalding hot: let it cool, or lead it away by a hose");
    if matches!(work, CylinderWork::Exchange) {
        let of_the_heating = [coil_words(site, cylinder), boiler_words(site, cylinder)];
        job = of_the_heating.into_iter().flatten().fold(job, Job::noting);
    }
    let (capacity, _) = cylinder_capacity_l(cylinder);
    let litres_per_mm = capacity.value / height_mm;
    // Heights above its base, as the levels to keep.
    let base_mm = cylinder.at.z.to_mm();
    let on_feed =
        circuit.lowest_drain_cock(&region).map(|(run, level_mm)| (run, level_mm - base_mm, level_mm - base_mm));
    let on_boiler =
        boiler_cock(site, cylinder).map(|cock| (cock.run, cock.level_mm - base_mm, cock.lowest_mm() - base_mm));
    let lowest = on_feed.into_iter().chain(on_boiler).reduce(|first, other| {
        let goes_on = other.2.max(keep_mm) < first.2.max(keep_mm);
        if goes_on { other } else { first }
    });
    let Some((run, cock_mm, lowest_mm)) = lowest else {
        job = job.letting_out(circuit, (cylinder, &region), keep_mm);
        job.drain_by = "no drain cock is drawn on the cold feed: siphon it out".to_owned();
        return job;
    };
    job.drain_by = format!("the drain cock in {}", run.spoken());
    job = job.letting_out(circuit, (cylinder, &region), lowest_mm.max(keep_mm));
    let down_to_mm = lowest_mm.clamp(keep_mm, height_mm);
    if down_to_mm > keep_mm {
        let stays_l = litres_per_mm * (down_to_mm - keep_mm);
        job = job.noting(format!(
            "{} that have to go stay in {name}, below the drain cock: siphon them out",
            Amount::litres(stays_l)
        ));
    }
    if down_to_mm >= height_mm {
        return job;
    }
    let prism = Prism {
        // A litre to the millimetre is a square metre.
        plan_area_m2: litres_per_mm,
        opening: DRAIN_COCK,
        inflow_m3_s: 0.0,
    };
    let head_m = |level_mm: f64| (level_mm - cock_mm) / 1000.0;
    job.minutes = prism.seconds_to_fall(head_m(height_mm), head_m(down_to_mm)).map(|seconds| seconds / 60.0);
    job.noting(format!(
        "a drain cock is taken as an opening of {} mm, coefficient {}; open a hot tap or the vent lets the air in",
        DRAIN_COCK.bore_m * 1000.0,
        DRAIN_COCK.coefficient
    ))
}

/// What shuts off a float valve.
fn inlet_valves(circuit: &Circuit<'_>, cistern: &Cistern) -> Vec<ShutValve> {
    let site = circuit.site();
    if is_fed_from_store(site, cistern) {
        return circuit.region_of_port(&cistern.id, INLET).valves;
    }
    let in_main = valve_in_main_to(site, &cistern.id);
    in_main.map(|(run, number)| ShutValve { run: site.run(run).id.clone(), number: Some(number) }).into_iter().collect()
}

fn valve_words(circuit: &Circuit<'_>, valve: &ShutValve) -> String {
    let site = circuit.site();
    let fitting =
        site.run_number(&valve.run).and_then(|run| site.run(run).fittings.as_ref()?.get(valve.number?).copied());
    match fitting {
        Some(fitting) => {
            format!("{} in {}, {:.0} mm along", fitting.kind.words(), valve.run.spoken(), fitting.at.to_mm())
        }
        None => format!("the valve in {}", valve.run.spoken()),
    }
}
