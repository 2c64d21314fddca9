//! The main is off and taps are drawn: when the hot stops, when the cold stops, and how much they give.

use super::brim::Brim;
use super::levels::litres_per_mm;
use super::{Event, Moment, Played, Total};
use crate::layout::Cistern;
use crate::measure::{Feature, Place, find_out};
use crate::units::{Amount, Unit};
use crate::water::circuit::{Circuit, Conditions, Given, Open, Outcome, Supply, Tap, assumptions};

/// The level moves no further than this in one step, mm.
const STEP_MM: f64 = 1.0;
/// A step is halved until no tap that runs loses more than this share of its flow in it: a tap above the holes then stops
/// with the water at its spout. A tap that stops at once would have it halved for ever, so there is a least step, mm.
const LOSES_AT_MOST: f64 = 0.1;
const LEAST_STEP_MM: f64 = 1e-5;
/// A flow less than this has stopped, L/s.
const STOPPED_L_S: f64 = 1e-6;
/// The longest that is played, s: half a day of dripping.
const LONGEST_S: f64 = 43_200.0;
/// A level this near a hole is at it, mm: below it the hole is dry, above it the hole is wet, whatever is rounded.
const AT_HOLE_MM: f64 = 1e-6;
/// What is left is told to this, mm.
const LEVEL_TOLD_TO_MM: f64 = 1e-3;

/// Draws taps with the main off until nothing runs.
///
/// Levels move as slowly as a cistern empties, so at each moment the flows are the steady ones (quasi-steady); each step
/// is Heun's. A hole gives water until the level is at its axis; in a real pipe a vortex draws air a little sooner.
///
/// # Errors
/// What to find out, when the layout does not tell enough.
pub fn mains_off(circuit: &Circuit<'_>, open: Open) -> Result<Played, String> {
    let mut play = Play::begin(circuit, open)?;
    while play.time_s < LONGEST_S && play.step()? {}
    Ok(play.end())
}

/// What is known in the course of the trial.
struct Play<'c, 's> {
    circuit: &'c Circuit<'s>,
    cisterns: Vec<&'s Cistern>,
    /// How high each can stand.
    brims: Vec<Brim<'s>>,
    open: Open,
    levels_mm: Vec<f64>,
    time_s: f64,
    /// How far the level may move in the next step, mm.
    stride_mm: f64,
    given_l: Vec<f64>,
    /// What of that came from the hot side.
    hot_l: Vec<f64>,
    /// Which mixers have been told to run on one side alone.
    one_sided: Vec<bool>,
    /// Whether each tap's hot side was fed at the moment before.
    hot_was_fed: Vec<bool>,
    /// When each tap stopped, s.
    stopped_s: Vec<Option<f64>>,
    /// Whether a vent has drawn air.
    aired: bool,
    moments: Vec<Moment>,
    events: Vec<Event>,
}

/// A step that has been tried.
struct Stride {
    step_s: f64,
    /// The cistern whose level comes down to a hole in it, and the level of the hole, mm.
    dry: Option<(usize, f64)>,
    /// The levels to which what runs at its beginning would bring them, mm.
    predicted_mm: Vec<f64>,
    /// What runs at those.
    later: Running,
}

/// Whether a tap that runs loses too much of its flow for one step.
fn stops_abruptly(now: &Running, later: &Running) -> bool {
    let flows = now.given.iter().zip(&later.given).map(|(now, later)| (now.flow_l_s, later.flow_l_s));
    flows.into_iter().any(|(now, later)| now > STOPPED_L_S && later < now * (1.0 - LOSES_AT_MOST))
}

/// What runs at one moment.
struct Running {
    drawn_l_s: Vec<f64>,
    given: Vec<Given>,
    /// What each open tap gives, where it is steady.
    taps_l_s: Vec<Option<f64>>,
    draws_air: bool,
}

impl<'c, 's> Play<'c, 's> {
    fn begin(circuit: &'c Circuit<'s>, open: Open) -> Result<Self, String> {
        let cisterns: Vec<&Cistern> = circuit.cisterns().collect();
        if cisterns.is_empty() {
            return Err("no storage cistern feeds a pipe on this drawing".to_owned());
        }
        let level = |cistern: &&Cistern| {
            let level = cistern.surface().map(crate::units::Level::to_mm);
            level.ok_or_else(|| find_out::water_line(&cistern.id))
        };
        let brims: Vec<Brim<'s>> = cisterns.iter().map(|cistern| Brim::of(circuit.site(), cistern)).collect();
        let told_mm = cisterns.iter().map(level).collect::<Result<Vec<f64>, String>>()?;
        // What stands higher has run out by then.
        let levels_mm = told_mm.iter().zip(&brims).map(|(told_mm, brim)| told_mm.min(brim.level_mm)).collect();
        let taps = circuit.taps().len();
        let play = Self {
            circuit,
            cisterns,
            brims,
            open,
            levels_mm,
            time_s: 0.0,
            stride_mm: STEP_MM,
            given_l: vec![0.0; taps],
            hot_l: vec![0.0; taps],
            one_sided: vec![false; taps],
            hot_was_fed: vec![false; taps],
            stopped_s: vec![None; taps],
            aired: false,
            moments: Vec::new(),
            events: Vec::new(),
        };
        play.refuse_what_is_untold()?;
        Ok(play)
    }

    fn conditions(&self, levels_mm: &[f64]) -> Conditions {
        let levels = self.cisterns.iter().zip(levels_mm).map(|(cistern, level_mm)| (cistern.id.clone(), *level_mm));
        Conditions { open: self.open.clone(), levels_mm: levels.collect(), ..Conditions::default() }
    }

    fn refuse_what_is_untold(&self) -> Result<(), String> {
        let flows = self.circuit.flows(&self.conditions(&self.levels_mm));
        let untold = flows.taps.iter().filter(|tap| tap.open).find_map(|tap| match &tap.outcome {
            Outcome::Untold(what) => Some(what.clone()),
            Outcome::NotFound => Some("the flows of this circuit were not found".to_owned()),
            _ => None,
        });
        untold.map_or(Ok(()), Err)
    }

    fn running(&self, levels_mm: &[f64]) -> Running {
        let flows = self.circuit.flows(&self.conditions(levels_mm));
        Running {
            taps_l_s: flows.taps.iter().map(|tap| tap.flow_l_s().filter(|_| tap.open)).collect(),
            draws_air: flows.vents.iter().any(|vent| vent.draws_air),
            drawn_l_s: flows.drawn_l_s,
            given: flows.given,
        }
    }

    /// Rate at which each level falls, mm/s.
    fn fall_mm_s(&self, running: &Running, levels_mm: &[f64]) -> Result<Vec<f64>, String> {
        let site = self.circuit.site();
        let rates = self.cisterns.iter().zip(levels_mm).zip(&running.drawn_l_s);
        rates.map(|((cistern, level_mm), drawn)| Ok(drawn / litres_per_mm(site, cistern, *level_mm)?)).collect()
    }

    /// One step of Heun's method. False when nothing runs any more.
    fn step(&mut self) -> Result<bool, String> {
        let now = self.running(&self.levels_mm);
        self.note(&now);
        let fall = self.fall_mm_s(&now, &self.levels_mm)?;
        let fastest = fall.iter().map(|fall| fall.abs()).fold(0.0, f64::max);
        if now.drawn_l_s.iter().all(|drawn| drawn.abs() < STOPPED_L_S) || fastest <= 0.0 {
            return Ok(false);
        }
        let mut stride = self.stride(&fall, self.stride_mm / fastest);
        while self.stride_mm > LEAST_STEP_MM && stops_abruptly(&now, &stride.later) {
            self.stride_mm /= 2.0;
            stride = self.stride(&fall, self.stride_mm / fastest);
        }
        self.stride_mm = (self.stride_mm * 2.0).min(STEP_MM);
        let Stride { step_s, dry, predicted_mm, later } = stride;
        let later_fall = self.fall_mm_s(&later, &predicted_mm)?;
        for ((level, now), later) in self.levels_mm.iter_mut().zip(&fall).zip(&later_fall) {
            *level -= f64::midpoint(*now, *later) * step_s;
        }
        if let Some((cistern, hole_mm)) = dry {
            self.levels_mm[cistern] = hole_mm - AT_HOLE_MM;
        }
        for (number, (now, later)) in now.given.iter().zip(&later.given).enumerate() {
            self.given_l[number] += f64::midpoint(now.flow_l_s, later.flow_l_s) * step_s;
            self.hot_l[number] += f64::midpoint(now.hot_l_s, later.hot_l_s) * step_s;
        }
        self.time_s += step_s;
        for (brim, level_mm) in self.brims.iter_mut().zip(&mut self.levels_mm) {
            self.events.extend(brim.skim(self.circuit.site(), level_mm, self.time_s)?);
        }
        Ok(true)
    }

    /// What a step of some seconds would lead to, cut short where a level comes down to a hole.
    fn stride(&self, fall: &[f64], full_s: f64) -> Stride {
        let after = |seconds: f64| -> Vec<f64> {
            let levels = self.levels_mm.iter().zip(fall).zip(&self.brims);
            levels.map(|((level, fall), brim)| (level - fall * seconds).min(brim.level_mm)).collect()
        };
        let ahead_mm = after(full_s);
        let dry = self.first_hole(&ahead_mm);
        let step_s = dry.map_or(full_s, |(cistern, hole_mm)| {
            full_s * (self.levels_mm[cistern] - hole_mm) / (self.levels_mm[cistern] - ahead_mm[cistern])
        });
        let predicted_mm = after(step_s);
        // Up to the end of the step the hole is still wet.
        let mut just_wet_mm = predicted_mm.clone();
        if let Some((cistern, hole_mm)) = dry {
            just_wet_mm[cistern] = hole_mm + AT_HOLE_MM;
        }
        Stride { step_s, dry, later: self.running(&just_wet_mm), predicted_mm }
    }

    /// The hole that a falling level meets first on its way to where it would be, and its level.
    fn first_hole(&self, ahead_mm: &[f64]) -> Option<(usize, f64)> {
        let met = self.cisterns.iter().enumerate().flat_map(|(number, cistern)| {
            let (from_mm, to_mm) = (self.levels_mm[number], ahead_mm[number]);
            let holes = self.circuit.holes_mm(cistern);
            holes
                .into_iter()
                .filter(move |hole_mm| to_mm <= *hole_mm && *hole_mm < from_mm)
                .map(move |hole_mm| (number, hole_mm))
        });
        let share = |(number, hole_mm): &(usize, f64)| {
            (self.levels_mm[*number] - hole_mm) / (self.levels_mm[*number] - ahead_mm[*number])
        };
        met.min_by(|a, b| share(a).total_cmp(&share(b)))
    }

    /// Writes the moment down, and what has changed since the one before.
    fn note(&mut self, now: &Running) {
        let levels = self.cisterns.iter().zip(&self.levels_mm);
        self.moments.push(Moment {
            time_s: self.time_s,
            levels_mm: levels.map(|(cistern, level_mm)| (cistern.id.clone(), *level_mm)).collect(),
            taps_l_s: now.taps_l_s.clone(),
        });
        if now.draws_air && !self.aired {
            self.aired = true;
            let vents = self.circuit.vent_runs();
            let place = vents
                .first()
                .map_or_else(|| Place::middle(&self.cisterns[0].id), |vent| Place::of(vent, Feature::Along(0.0)));
            let words = "the vent draws air: the hot taps splutter and give what the feed still brings".to_owned();
            self.events.push(Event { time_s: self.time_s, words, place });
        }
        for (number, tap) in self.circuit.taps().iter().enumerate() {
            let ran = self.given_l[number] > 0.0;
            let dry = now.given[number].flow_l_s < STOPPED_L_S;
            if ran && dry && self.stopped_s[number].is_none() {
                self.stopped_s[number] = Some(self.time_s);
                self.events.push(Event {
                    time_s: self.time_s,
                    words: format!("{} stops after {:.1} L", tap.name(), self.given_l[number]),
                    place: Place::middle(&tap.outlet.id),
                });
            }
        }
        self.note_mixers(now);
    }

    /// Writes down which mixers begin to run on one side alone, and whether their cold water is all that can still come
    /// out of the hot taps.
    fn note_mixers(&mut self, now: &Running) {
        let circuit = self.circuit;
        for (number, tap) in circuit.taps().iter().enumerate().filter(|(_, tap)| tap.supply == Supply::Mixed) {
            let runs = now.given[number];
            let (hot_l, cold_l) = (self.hot_l[number], self.given_l[number] - self.hot_l[number]);
            let stopped = |gone_l: f64, flow_l_s: f64| gone_l > 0.0 && flow_l_s < STOPPED_L_S;
            let words = if self.one_sided[number] || runs.flow_l_s < STOPPED_L_S {
                None
            } else if stopped(hot_l, runs.hot_l_s) {
                Some(format!("{} runs cold alone, after {hot_l:.1} L of hot water", tap.name()))
            } else if stopped(cold_l, runs.flow_l_s - runs.hot_l_s) {
                Some(format!("{} runs hot alone, after {cold_l:.1} L of cold water", tap.name()))
            } else {
                None
            };
            self.one_sided[number] |= words.is_some();
            self.tell(words, tap);
            let bare = self.hot_was_fed[number] && !runs.hot_is_fed && runs.flow_l_s >= STOPPED_L_S;
            let words = bare.then(|| {
                format!(
                    "no more hot water: the level is down at the hole of the feed. What still comes out of the hot taps is cold water that crosses in {}, where no non-return valve holds it back",
                    tap.name()
                )
            });
            self.tell(words, tap);
        }
        self.hot_was_fed = now.given.iter().map(|given| given.hot_is_fed).collect();
    }

    fn tell(&mut self, words: Option<String>, tap: &Tap<'_>) {
        let place = Place::middle(&tap.outlet.id);
        self.events.extend(words.map(|words| Event { time_s: self.time_s, words, place }));
    }

    fn end(self) -> Played {
        let minutes = |seconds: f64| Amount { value: seconds / 60.0, unit: Unit::Minute };
        let mut totals = Vec::new();
        for (number, tap) in self.circuit.taps().iter().enumerate().filter(|(number, _)| self.given_l[*number] > 0.0) {
            totals.push(Total::new(format!("{} gives", tap.name()), Amount::litres(self.given_l[number])));
            if tap.supply == Supply::Mixed {
                totals.push(Total::new(
                    format!("hot water in what {} gives", tap.name()),
                    Amount::litres(self.hot_l[number]),
                ));
            }
            if let Some(stopped_s) = self.stopped_s[number] {
                totals.push(Total::new(format!("{} stops after", tap.name()), minutes(stopped_s)));
            }
        }
        for brim in self.brims.iter().filter(|brim| brim.lost_l > 0.0) {
            let words = format!("runs away {}, and out of no tap", brim.way);
            totals.push(Total::new(words, Amount::litres(brim.lost_l)));
        }
        for (cistern, level_mm) in self.cisterns.iter().zip(&self.levels_mm) {
            // A level that has come down to a hole is kept a hair below it.
            let left_mm = (level_mm - cistern.at.z.to_mm() + AT_HOLE_MM).max(0.0);
            let left_mm = (left_mm / LEVEL_TOLD_TO_MM).round() * LEVEL_TOLD_TO_MM;
            totals.push(Total::new(
                format!("water left in {}, above its base", cistern.id.spoken()),
                Amount::mm(left_mm),
            ));
        }
        let mut assumptions = assumptions(self.circuit);
        assumptions.push("a hole in the cistern gives water until the level is at its axis".to_owned());
        let conditions = self.conditions(&self.levels_mm);
        let is_mixer = |(number, tap): (usize, &Tap<'_>)| tap.supply == Supply::Mixed && conditions.opens(number, tap);
        if self.circuit.taps().iter().enumerate().any(is_mixer) {
            let words = "no water crosses in a mixer from one side to the other; without non-return valves some does";
            assumptions.push(words.to_owned());
        }
        Played {
            title: format!("Main off, drawing {}", self.drawn_in_words()),
            assumptions,
            moments: self.moments,
            events: self.events,
            totals,
        }
    }

    fn drawn_in_words(&self) -> String {
        let conditions = self.conditions(&self.levels_mm);
        let open = |(number, tap): &(usize, &Tap<'_>)| conditions.opens(*number, tap);
        let names: Vec<String> =
            self.circuit.taps().iter().enumerate().filter(open).map(|(_, tap)| tap.name().to_string()).collect();
        if names.is_empty() { "nothing".to_owned() } else { names.join(", ") }
    }
}
