//! One system played from full cisterns until nothing runs in it.

use super::running::{AT_HOLE_MM, Running, STOPPED_L_S, at_holes};
use super::step::{Course, Lean, Stride};
use crate::layout::{Cistern, Id};
use crate::measure::{Feature, Place};
use crate::water::circuit::{Circuit, Conditions, Open, Supply, System, Tap};
use crate::water::trial::Event;
use crate::water::trial::brim::Brim;
use crate::water::trial::levels::litres_per_mm;

/// The level moves no further than about this in one step, mm.
const STEP_MM: f64 = 1.0;
/// A tap that stops at once would have steps halved for ever, so there is a least step, mm.
const LEAST_STEP_MM: f64 = 1e-5;
/// The longest that is played, s: half a day of dripping.
const LONGEST_S: f64 = 43_200.0;
/// Steps after which a play is broken off as well: some thirty times what an emptying cistern takes.
const MOST_STEPS: usize = 20_000;
/// So often a step is set anew so that it ends where a level comes to a hole.
const MOST_CUTS: usize = 12;

/// A float valve stands wide open once the water is so far below its line, mm (assumption).
pub(super) const WIDE_OPEN_MM: f64 = 25.0;

/// How things stand at a moment.
struct Instant {
    time_s: f64,
    levels_mm: Vec<f64>,
    taps_l_s: Vec<Option<f64>>,
}

/// A step as it is taken.
struct Cut {
    seconds: f64,
    stride: Stride,
    /// The cistern whose level comes to a hole at its end, and the hole, mm.
    met: Option<(usize, f64)>,
}

/// A system in the course of the trial.
pub(super) struct Play<'c, 's> {
    circuit: &'c Circuit<'s>,
    system: System,
    pub(super) cisterns: Vec<&'s Cistern>,
    /// How high each can stand.
    pub(super) brims: Vec<Brim<'s>>,
    levels_mm: Vec<f64>,
    /// The hole at which each level rests, mm; none while it is free to move.
    resting_mm: Vec<Option<f64>>,
    pub(super) time_s: f64,
    /// How far the level may move in the next step, mm.
    stride_mm: f64,
    /// What each tap of the circuit has given, L.
    pub(super) given_l: Vec<f64>,
    /// What of that came from the hot side.
    pub(super) hot_l: Vec<f64>,
    /// Which mixers have been told to run on one side alone.
    one_sided: Vec<bool>,
    /// Whether each tap's hot side was fed at the moment before.
    hot_was_fed: Vec<bool>,
    /// When each tap stopped, if it has not run again since.
    pub(super) stopped: Vec<Option<Event>>,
    /// Whether a vent has drawn air.
    aired: bool,
    /// Which taps have been told to draw air in.
    pub(super) aired_by: Vec<bool>,
    instants: Vec<Instant>,
    pub(super) events: Vec<Event>,
    /// Whether it was broken off while water still ran.
    pub(super) runs_on: bool,
}

impl<'c, 's> Play<'c, 's> {
    /// Plays a system from the levels that are told, by cistern of the circuit.
    pub(super) fn of(circuit: &'c Circuit<'s>, system: System, told_mm: &[f64]) -> Result<Self, String> {
        let all: Vec<&'s Cistern> = circuit.cisterns().collect();
        let cisterns: Vec<&'s Cistern> = system.cisterns.iter().map(|cistern| all[*cistern]).collect();
        let brims: Vec<Brim<'s>> = cisterns.iter().map(|cistern| Brim::of(circuit.site(), cistern)).collect();
        // What stands higher has run out by then.
        let levels = system.cisterns.iter().zip(&brims);
        let levels_mm: Vec<f64> = levels.map(|(cistern, brim)| told_mm[*cistern].min(brim.level_mm)).collect();
        let at_hole = |(cistern, level_mm): (&&Cistern, &f64)| {
            circuit.holes_mm(cistern).into_iter().find(|hole_mm| (hole_mm - level_mm).abs() <= AT_HOLE_MM)
        };
        let resting_mm = cisterns.iter().zip(&levels_mm).map(at_hole).collect();
        let taps = circuit.taps().len();
        let mut play = Self {
            circuit,
            system,
            cisterns,
            brims,
            levels_mm,
            resting_mm,
            time_s: 0.0,
            stride_mm: STEP_MM,
            given_l: vec![0.0; taps],
            hot_l: vec![0.0; taps],
            one_sided: vec![false; taps],
            hot_was_fed: vec![false; taps],
            stopped: vec![None; taps],
            aired: false,
            aired_by: vec![false; taps],
            instants: Vec::new(),
            events: Vec::new(),
            runs_on: false,
        };
        while play.step()? {
            play.runs_on = play.time_s >= LONGEST_S || play.instants.len() >= MOST_STEPS;
            if play.runs_on {
                play.runs_on = play.note_moment();
                break;
            }
        }
        Ok(play)
    }

    pub(super) fn times_s(&self) -> impl Iterator<Item = f64> {
        self.instants.iter().map(|instant| instant.time_s)
    }

    /// Writes its levels and what its taps give at a time among those of all cisterns and taps: levels evenly between
    /// moments, and what runs as at the moment before.
    pub(super) fn show(&self, time_s: f64, levels_mm: &mut [f64], taps_l_s: &mut [Option<f64>]) {
        let later = self.instants.partition_point(|instant| instant.time_s <= time_s);
        let before = &self.instants[later.saturating_sub(1)];
        let share = |after: &Instant| (time_s - before.time_s) / (after.time_s - before.time_s);
        let after = self.instants.get(later).map(|after| (after, share(after)));
        for (number, cistern) in self.system.cisterns.iter().enumerate() {
            let from_mm = before.levels_mm[number];
            levels_mm[*cistern] =
                after.map_or(from_mm, |(after, share)| from_mm + share * (after.levels_mm[number] - from_mm));
        }
        for tap in &self.system.taps {
            taps_l_s[*tap] = before.taps_l_s[*tap];
        }
    }

    /// How far float valves on pipes of stored water stand open at some levels: evenly more until they are wide open.
    fn filling(&self, levels_mm: &[(Id, f64)]) -> Vec<(Id, f64)> {
        let open = |(cistern, (id, level_mm)): (&&Cistern, &(Id, f64))| {
            let below_mm = cistern.surface()?.to_mm() - level_mm;
            Some((id.clone(), (below_mm / WIDE_OPEN_MM).clamp(0.0, 1.0)))
        };
        self.cisterns.iter().zip(levels_mm).filter_map(open).collect()
    }

    fn running(&self, levels_mm: &[f64]) -> Running {
        let at_levels = |levels_mm: &[f64]| {
            let levels = self.cisterns.iter().zip(levels_mm);
            let levels_mm: Vec<(Id, f64)> = levels.map(|(cistern, level_mm)| (cistern.id.clone(), *level_mm)).collect();
            let open = Open::Numbered(self.system.taps.clone());
            let filling = self.filling(&levels_mm);
            Running::of(self.circuit, &self.system, &Conditions { open, levels_mm, filling, ..Conditions::default() })
        };
        let rest = self.resting_mm.iter().enumerate();
        let rest: Vec<(usize, f64)> = rest.filter_map(|(cistern, hole_mm)| Some((cistern, (*hole_mm)?))).collect();
        at_holes(&mut levels_mm.to_vec(), &rest, at_levels)
    }

    /// Notes how things stand. Whether anything runs.
    fn note_moment(&mut self) -> bool {
        let now = self.running(&self.levels_mm);
        self.note(&now);
        runs(&now)
    }

    /// One step. False when nothing runs any more.
    fn step(&mut self) -> Result<bool, String> {
        let now = self.running(&self.levels_mm);
        self.note(&now);
        self.leave_holes(&now);
        let litres_per_mm = self.litres_per_mm(&now)?;
        let free = |cistern: &usize| self.resting_mm[*cistern].is_none();
        let speeds = (0..self.cisterns.len()).filter(free);
        let fastest = speeds.map(|cistern| now.drawn_l_s[cistern].abs() / litres_per_mm[cistern]).fold(0.0, f64::max);
        if !runs(&now) || fastest <= 0.0 {
            return Ok(false);
        }
        let cut = loop {
            let leans = self.leans(&now);
            let course = Course { now: &now, leans, litres_per_mm: &litres_per_mm };
            let full_s = (self.stride_mm / fastest).min(LONGEST_S - self.time_s);
            let cut = self.cut_at_hole(&course, full_s).ok_or("how the levels move was not found")?;
            if self.stride_mm <= LEAST_STEP_MM || !cut.stride.stops_abruptly(&now) {
                break cut;
            }
            self.stride_mm /= 2.0;
        };
        self.stride_mm = (self.stride_mm * 2.0).min(STEP_MM);
        self.take(&cut)?;
        Ok(true)
    }

    /// Frees the levels that do not stay at their holes: another hole below takes more than comes in, or more comes in than
    /// the hole takes.
    fn leave_holes(&mut self, now: &Running) {
        for (cistern, drawn_l_s) in now.drawn_l_s.iter().enumerate() {
            if drawn_l_s.abs() >= STOPPED_L_S && self.resting_mm[cistern].take().is_some() {
                self.levels_mm[cistern] -= AT_HOLE_MM * drawn_l_s.signum();
            }
        }
    }

    /// Litres for each millimetre half way to where each level may move.
    fn litres_per_mm(&self, now: &Running) -> Result<Vec<f64>, String> {
        let levels = self.cisterns.iter().zip(&self.levels_mm).zip(&now.drawn_l_s);
        let of = |((cistern, level_mm), drawn_l_s): ((&&Cistern, &f64), &f64)| {
            litres_per_mm(self.circuit.site(), cistern, level_mm - self.stride_mm / 2.0 * drawn_l_s.signum())
        };
        levels.map(of).collect()
    }

    /// What would run with each free level a stride further on its way, or as far as there is no hole between; the other
    /// way where there is no room.
    fn leans(&self, now: &Running) -> Vec<Lean> {
        let lean = |cistern: usize| {
            let level_mm = self.levels_mm[cistern];
            let holes_mm = self.circuit.holes_mm(self.cisterns[cistern]);
            let room = |way: f64| {
                let holes = holes_mm.iter().map(|hole_mm| way * (hole_mm - level_mm)).filter(|away_mm| *away_mm > 0.0);
                let to_brim = if way > 0.0 { self.brims[cistern].level_mm - level_mm } else { f64::INFINITY };
                holes.map(|away_mm| away_mm - AT_HOLE_MM).fold(to_brim, f64::min).min(self.stride_mm)
            };
            let way = if now.drawn_l_s[cistern] < 0.0 { 1.0 } else { -1.0 };
            let way = if room(way) < self.stride_mm / 2.0 && room(-way) > room(way) { -way } else { way };
            let by_mm = way * room(way);
            (room(way) > AT_HOLE_MM).then(|| {
                let mut levels_mm = self.levels_mm.clone();
                levels_mm[cistern] += by_mm;
                Lean { cistern, by_mm, running: self.running(&levels_mm) }
            })
        };
        (0..self.cisterns.len()).filter(|cistern| self.resting_mm[*cistern].is_none()).filter_map(lean).collect()
    }

    /// A step of so many seconds, or one that ends when a level first comes to a hole.
    fn cut_at_hole(&self, course: &Course<'_>, full_s: f64) -> Option<Cut> {
        let mut seconds = full_s;
        let mut stride = course.stride(seconds)?;
        let mut met = None;
        for _ in 0..MOST_CUTS {
            met = self.first_hole(&stride.moves_mm).or(met);
            let Some((cistern, hole_mm)) = met else { break };
            let (away_mm, moved_mm) = (hole_mm - self.levels_mm[cistern], stride.moves_mm[cistern]);
            let times = away_mm / moved_mm;
            if (away_mm - moved_mm).abs() <= AT_HOLE_MM || !(times > 0.0 && times.is_finite()) {
                break;
            }
            seconds = (seconds * times).min(full_s);
            stride = course.stride(seconds)?;
        }
        Some(Cut { seconds, stride, met })
    }

    /// The hole that a free level meets first on its way, up or down: which cistern's, and its level.
    fn first_hole(&self, moves_mm: &[f64]) -> Option<(usize, f64)> {
        let free = |cistern: &usize| self.resting_mm[*cistern].is_none();
        let met = (0..self.cisterns.len()).filter(free).flat_map(|cistern| {
            let share = move |hole_mm: f64| (hole_mm - self.levels_mm[cistern]) / moves_mm[cistern];
            let holes = self.circuit.holes_mm(self.cisterns[cistern]).into_iter();
            holes.map(move |hole_mm| (cistern, hole_mm, share(hole_mm)))
        });
        let first = met.filter(|(_, _, share)| *share > 0.0 && *share <= 1.0).min_by(|a, b| a.2.total_cmp(&b.2));
        first.map(|(cistern, hole_mm, _)| (cistern, hole_mm))
    }

    fn take(&mut self, Cut { seconds: step_s, stride, met }: &Cut) -> Result<(), String> {
        for (cistern, moved_mm) in stride.moves_mm.iter().enumerate() {
            let leaves_hole = moved_mm.abs() > AT_HOLE_MM && stride.mean.drawn_l_s[cistern].abs() >= STOPPED_L_S;
            if self.resting_mm[cistern].is_none() || leaves_hole {
                self.levels_mm[cistern] += moved_mm;
                self.resting_mm[cistern] = None;
            }
        }
        if let Some((cistern, hole_mm)) = *met {
            self.levels_mm[cistern] = hole_mm;
            self.resting_mm[cistern] = Some(hole_mm);
        }
        for (number, given) in stride.mean.given.iter().enumerate() {
            self.given_l[number] += given.flow_l_s * step_s;
            self.hot_l[number] += given.hot_l_s * step_s;
        }
        self.time_s += step_s;
        for (brim, level_mm) in self.brims.iter_mut().zip(&mut self.levels_mm) {
            self.events.extend(brim.skim(self.circuit.site(), level_mm, self.time_s)?);
        }
        Ok(())
    }

    /// Writes the moment down, and what has changed since the one before.
    fn note(&mut self, now: &Running) {
        let (levels_mm, taps_l_s) = (self.levels_mm.clone(), now.taps_l_s.clone());
        self.instants.push(Instant { time_s: self.time_s, levels_mm, taps_l_s });
        if let Some(vent) = now.airy_vent.filter(|_| !self.aired) {
            self.aired = true;
            let place = Place::of(self.circuit.vent_runs()[vent], Feature::Along(0.0));
            let words = "the vent draws air: the hot taps splutter and give what the feed still brings".to_owned();
            self.events.push(Event { time_s: self.time_s, words, place });
        }
        for &number in &now.airy_taps {
            if !std::mem::replace(&mut self.aired_by[number], true) {
                let tap = &self.circuit.taps()[number];
                let words = format!(
                    "{} stands above the pressure in its pipe: it gives nothing and draws air, and what is drawn past it splutters",
                    tap.name()
                );
                self.tell(Some(words), tap);
            }
        }
        for (number, tap) in self.circuit.taps().iter().enumerate() {
            let is_dry = now.given[number].flow_l_s < STOPPED_L_S;
            match self.stopped[number].take_if(|_| !is_dry) {
                // It was no more than a pause.
                Some(stop) => self.events.retain(|event| *event != stop),
                None if is_dry && self.given_l[number] > 0.0 && self.stopped[number].is_none() => {
                    let words = format!("{} stops after {:.1} L", tap.name(), self.given_l[number]);
                    let stop = Event { time_s: self.time_s, words, place: Place::middle(&tap.outlet.id) };
                    self.events.push(stop.clone());
                    self.stopped[number] = Some(stop);
                }
                None => {}
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
}

/// Whether water leaves or enters any cistern.
fn runs(now: &Running) -> bool {
    now.drawn_l_s.iter().any(|drawn| drawn.abs() >= STOPPED_L_S)
}
