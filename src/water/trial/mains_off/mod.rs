//! The main is off and taps are drawn: when the hot stops, when the cold stops, and how much they give.

mod play;
mod running;
mod step;

use self::play::{Play, WIDE_OPEN_MM};
use self::running::AT_HOLE_MM;
use super::{Event, Moment, Played, Total};
use crate::layout::Cistern;
use crate::measure::{Place, find_out};
use crate::units::{Amount, Level, Unit};
use crate::water::circuit::{
    Circuit, Conditions, MOST_WORK, NOT_FOUND, Open, Outcome, Supply, Tap, TapFlow, assumptions,
};
use crate::water::readings::KEPT_BACK;

/// Beyond so many cisterns in one system it is not played: each is leant on by itself in every step.
const MOST_JOINED: usize = 20;
/// What is left is told to this, mm.
const LEVEL_TOLD_TO_MM: f64 = 1e-3;

/// Draws taps with the main off until nothing runs.
///
/// Levels move as slowly as a cistern empties, so at each moment the flows are the steady ones (quasi-steady). A hole gives
/// water until the level is at its axis; in a real pipe a vortex draws air a little sooner. Systems that are not joined are
/// played each by itself.
///
/// # Errors
/// What to find out, when the layout does not tell enough.
pub fn mains_off(circuit: &Circuit<'_>, open: Open) -> Result<Played, String> {
    let conditions = Conditions::with(open);
    let told_mm = told_levels_mm(circuit)?;
    refuse_what_is_untold(circuit, &conditions)?;
    let systems = circuit.systems(&conditions);
    let joined = systems.iter().map(|system| system.cisterns.len()).max().unwrap_or(0);
    if joined > MOST_JOINED || systems.len() * circuit.stretches().len() > MOST_WORK {
        return Err("draw fewer cisterns and pipes in one drawing: these are too many to play one by one".to_owned());
    }
    let plays =
        systems.into_iter().map(|system| Play::of(circuit, system, &told_mm)).collect::<Result<Vec<_>, String>>()?;
    let whole = Whole { circuit, conditions, plays };
    Ok(Played {
        title: format!("Main off, drawing {}", whole.drawn_in_words()),
        assumptions: whole.assumptions(),
        moments: whole.moments(),
        events: whole.events(),
        totals: whole.totals(),
    })
}

/// The level in each cistern, mm above the datum.
fn told_levels_mm(circuit: &Circuit<'_>) -> Result<Vec<f64>, String> {
    let level =
        |cistern: &Cistern| cistern.surface().map(Level::to_mm).ok_or_else(|| find_out::water_line(&cistern.id));
    let told_mm = circuit.cisterns().map(level).collect::<Result<Vec<f64>, String>>()?;
    if told_mm.is_empty() {
        return Err("no storage cistern feeds a pipe on this drawing".to_owned());
    }
    Ok(told_mm)
}

/// Also of float valves on pipes of stored water: by these cisterns fill each other while the main is off.
fn refuse_what_is_untold(circuit: &Circuit<'_>, conditions: &Conditions) -> Result<(), String> {
    let filled = filled_meanwhile(circuit, conditions);
    if !filled.is_empty() {
        circuit.let_in_from_store(&filled)?;
    }
    let flows = circuit.flows(conditions);
    let untold = flows.taps.iter().filter(|tap| tap.open).find_map(|tap| match &tap.outcome {
        Outcome::Untold(what) => Some(what.clone()),
        Outcome::NotFound => Some(NOT_FOUND.to_owned()),
        _ => None,
    });
    untold.map_or(Ok(()), Err)
}

/// The cisterns that others fill through their float valves while open taps draw on them.
fn filled_meanwhile<'s>(circuit: &Circuit<'s>, conditions: &Conditions) -> Vec<&'s Cistern> {
    let cisterns: Vec<&'s Cistern> = circuit.cisterns().collect();
    let drawn = circuit.systems(conditions).into_iter().filter(|system| !system.taps.is_empty());
    let drawn = drawn.flat_map(|system| system.cisterns).map(|cistern| cisterns[cistern]);
    drawn.filter(|cistern| circuit.is_filled_from_store(cistern)).collect()
}

/// The systems of a drawing, each played to its end.
struct Whole<'c, 's> {
    circuit: &'c Circuit<'s>,
    conditions: Conditions,
    plays: Vec<Play<'c, 's>>,
}

impl Whole<'_, '_> {
    /// How things stand at each moment of any of the plays.
    fn moments(&self) -> Vec<Moment> {
        let mut times_s: Vec<f64> = self.plays.iter().flat_map(Play::times_s).collect();
        times_s.sort_by(f64::total_cmp);
        times_s.dedup();
        let taps = self.circuit.taps().len();
        let moment = |time_s: f64| {
            let mut levels_mm = vec![0.0; self.circuit.cisterns().count()];
            let mut taps_l_s = vec![None; taps];
            for play in &self.plays {
                play.show(time_s, &mut levels_mm, &mut taps_l_s);
            }
            let levels = self.circuit.cisterns().zip(levels_mm);
            let levels_mm = levels.map(|(cistern, level_mm)| (cistern.id.clone(), level_mm)).collect();
            Moment { time_s, levels_mm, taps_l_s }
        };
        times_s.into_iter().map(moment).collect()
    }

    fn events(&self) -> Vec<Event> {
        let mut events: Vec<Event> = self.dry_taps();
        events.extend(self.plays.iter().flat_map(|play| play.events.iter().cloned()));
        if let Some(play) = self.runs_on() {
            let words = format!("reckoned for {:.0} h; it runs on", play.time_s / 3600.0);
            events.push(Event { time_s: play.time_s, words, place: Place::middle(&play.cisterns[0].id) });
        }
        events.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        events
    }

    /// Each open tap that never gives anything, and why; of one that draws air that is told as it begins.
    fn dry_taps(&self) -> Vec<Event> {
        let flows = self.circuit.flows(&self.conditions);
        let taps = self.circuit.taps().iter().zip(&flows.taps).enumerate();
        let dry = taps.filter(|(number, (_, flow))| flow.open && self.given_l(*number) <= 0.0);
        let dry = dry.filter(|(number, _)| !self.plays.iter().any(|play| play.aired_by[*number]));
        let event = |(number, (tap, flow)): (usize, (&Tap<'_>, &TapFlow))| {
            let why = match &flow.outcome {
                Outcome::Reckoned { .. } if self.circuit.valve_against(number).is_some() => KEPT_BACK.to_owned(),
                Outcome::Reckoned { .. } => "the water does not come up to it".to_owned(),
                Outcome::OnMain => "the main feeds it".to_owned(),
                other => other.words(),
            };
            let words = format!("{} gives nothing: {why}", tap.name());
            Event { time_s: 0.0, words, place: Place::middle(&tap.outlet.id) }
        };
        dry.map(event).collect()
    }

    /// What a tap gives in all, L.
    fn given_l(&self, tap: usize) -> f64 {
        self.plays.iter().map(|play| play.given_l[tap]).sum()
    }

    /// The first play that was broken off while water still ran.
    fn runs_on(&self) -> Option<&Play<'_, '_>> {
        self.plays.iter().find(|play| play.runs_on)
    }

    fn totals(&self) -> Vec<Total> {
        let minutes = |seconds: f64| Unit::Minute.of(seconds / 60.0);
        let mut totals = Vec::new();
        for (number, tap) in self.circuit.taps().iter().enumerate() {
            let Some(play) = self.plays.iter().find(|play| play.given_l[number] > 0.0) else {
                if self.conditions.opens(number, tap) {
                    totals.push(Total::new(format!("{} gives", tap.name()), Amount::litres(0.0)));
                }
                continue;
            };
            totals.push(Total::new(format!("{} gives", tap.name()), Amount::litres(play.given_l[number])));
            if tap.supply == Supply::Mixed {
                totals.push(Total::new(
                    format!("hot water in what {} gives", tap.name()),
                    Amount::litres(play.hot_l[number]),
                ));
            }
            if let Some(stop) = &play.stopped[number] {
                totals.push(Total::new(format!("{} stops after", tap.name()), minutes(stop.time_s)));
            }
        }
        for brim in self.plays.iter().flat_map(|play| &play.brims).filter(|brim| brim.lost_l > 0.0) {
            let words = format!("runs away {}, and out of no tap", brim.way);
            totals.push(Total::new(words, Amount::litres(brim.lost_l)));
        }
        let mut levels_mm = vec![0.0; self.circuit.cisterns().count()];
        let mut taps_l_s = vec![None; self.circuit.taps().len()];
        for play in &self.plays {
            play.show(f64::INFINITY, &mut levels_mm, &mut taps_l_s);
        }
        for (cistern, level_mm) in self.circuit.cisterns().zip(levels_mm) {
            let left_mm = (level_mm - cistern.at.z.to_mm() + AT_HOLE_MM).max(0.0);
            let left_mm = (left_mm / LEVEL_TOLD_TO_MM).round() * LEVEL_TOLD_TO_MM;
            totals.push(Total::new(
                format!("water left in {}, above its base", cistern.id.spoken()),
                Amount::mm(left_mm),
            ));
        }
        totals
    }

    fn assumptions(&self) -> Vec<String> {
        let mut assumptions = assumptions(self.circuit);
        assumptions.push("a hole in the cistern gives water until the level is at its axis".to_owned());
        if self.circuit.cylinders().next().is_some() {
            let words = "nothing heats the hot water meanwhile: cold water drives it out litre for litre";
            assumptions.push(words.to_owned());
        }
        let is_mixer =
            |(number, tap): (usize, &Tap<'_>)| tap.supply == Supply::Mixed && self.conditions.opens(number, tap);
        if self.circuit.taps().iter().enumerate().any(is_mixer) {
            let words = "as long as there is hot water, none crosses in a mixer from one side to the other; without non-return valves some does";
            assumptions.push(words.to_owned());
        }
        for cistern in filled_meanwhile(self.circuit, &self.conditions) {
            assumptions.push(format!(
                "stored water goes on filling {}: its float valve stands wide open once the water is {WIDE_OPEN_MM} mm below its line",
                cistern.id.spoken()
            ));
        }
        if let Some(play) = self.runs_on() {
            let hours = play.time_s / 3600.0;
            assumptions.push(format!("what runs on after {hours:.0} h is left out: it gives more than is told"));
        }
        assumptions
    }

    fn drawn_in_words(&self) -> String {
        let open = |(number, tap): &(usize, &Tap<'_>)| self.conditions.opens(*number, tap);
        let names: Vec<String> =
            self.circuit.taps().iter().enumerate().filter(open).map(|(_, tap)| tap.name().to_string()).collect();
        if names.is_empty() { "nothing".to_owned() } else { names.join(", ") }
    }
}
