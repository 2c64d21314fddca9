//! The level of a cistern in time while water runs in and out, and when each outlet runs dry.

use crate::num::{Course, Ended, Motion, Tolerance, Watch};

/// The errors of a step: litres to a millionth of a litre.
const TOLERANCE: Tolerance = Tolerance { relative: 1e-9, absolute: 1e-9 };
/// An outlet that runs dry ever more slowly, as one in the very bottom does, is dry when this little stands over it.
const DRY_WITHIN_M: f64 = 1e-9;
/// Outlets that run dry and again more often than this are gulping, and there is no end to it.
const MOST_EVENTS: usize = 1000;

/// A cistern with what runs in and out of it. Heights are above any datum, the same for all.
pub struct Vessel<'a> {
    /// Area of the water's surface at a height, m²; above 0 wherever the level may come.
    pub plan_area_m2: &'a dyn Fn(f64) -> f64,
    /// What runs in at a level, m³/s; less what a warning pipe or anything else that never runs dry takes.
    pub inflow_m3_s: &'a dyn Fn(f64) -> f64,
    /// Where water is drawn.
    pub outlets: &'a [Outlet],
    /// What each outlet draws at a level while these run, m³/s. Those that do not run draw nothing, whatever is said.
    pub drawn_m3_s: &'a dyn Fn(f64, &[bool]) -> Vec<f64>,
    /// Heights that are events when the level falls or rises to them.
    pub marks_m: &'a [f64],
}

/// Where an outlet begins to draw air. A pipe's own vortex may draw air before its axis lies bare: whether axis, invert
/// or soffit is meant is for the asker to say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outlet {
    /// It stops when the level falls to this, m.
    pub dry_below_m: f64,
    /// It runs again when the level rises to this, m; not below the other.
    pub runs_again_at_m: f64,
}

/// Something that happens to a level.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Event {
    /// An outlet, by its place in the list, draws air and stops.
    RunsDry(usize),
    /// An outlet is covered again and runs.
    RunsAgain(usize),
    /// The level falls to a mark, by its place in the list.
    FallsTo(usize),
    /// The level rises to a mark.
    RisesTo(usize),
}

/// A level over a stretch of time.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelCourse {
    /// One for each stretch between events: the level, then what each outlet has drawn.
    stretches: Vec<Course>,
    /// What happened, and when, s.
    pub events: Vec<(f64, Event)>,
    /// Whether it was followed to the end of the time asked for.
    pub complete: bool,
}

impl LevelCourse {
    /// The level at a time, m.
    #[must_use]
    pub fn level_m(&self, seconds: f64) -> f64 {
        self.at(seconds)[0]
    }

    /// What an outlet has drawn by a time, m³.
    #[must_use]
    pub fn drawn_m3(&self, outlet: usize, seconds: f64) -> f64 {
        self.at(seconds)[outlet + 1]
    }

    /// When something first happens, s.
    #[must_use]
    pub fn first(&self, event: Event) -> Option<f64> {
        self.events.iter().find(|(_, happened)| *happened == event).map(|(seconds, _)| *seconds)
    }

    /// Times, s, that follow the course closely enough to draw it.
    pub fn times_s(&self) -> impl Iterator<Item = f64> {
        self.stretches.iter().flat_map(Course::times)
    }

    fn at(&self, seconds: f64) -> Vec<f64> {
        let later = self.stretches.iter().find(|stretch| seconds <= stretch.end_time);
        later.or(self.stretches.last()).map(|stretch| stretch.at(seconds)).expect("a course has a stretch")
    }
}

impl Vessel<'_> {
    /// Follows the level from a start for some time.
    #[must_use]
    pub fn follow(&self, start_m: f64, seconds: f64) -> LevelCourse {
        let mut running: Vec<bool> = self.outlets.iter().map(|outlet| start_m > outlet.dry_below_m).collect();
        let mut course = LevelCourse { stretches: Vec::new(), events: Vec::new(), complete: false };
        let mut state = vec![0.0; self.outlets.len() + 1];
        state[0] = start_m;
        let mut time = 0.0;
        while course.events.len() < MOST_EVENTS {
            let (stretch, event) = self.stretch(time, state, seconds - time, &running);
            (time, state) = (stretch.end_time, stretch.end.clone());
            let ended = stretch.ended;
            course.stretches.push(stretch);
            match event {
                None => {
                    course.complete = ended == Ended::InTime;
                    break;
                }
                Some(event) => course.events.push((time, event)),
            }
            match event {
                Some(Event::RunsDry(outlet)) => running[outlet] = false,
                Some(Event::RunsAgain(outlet)) => running[outlet] = true,
                _ => {}
            }
        }
        course
    }

    /// Follows until something happens.
    fn stretch(&self, time: f64, start: Vec<f64>, seconds: f64, running: &[bool]) -> (Course, Option<Event>) {
        let slopes = |_: f64, state: &[f64]| {
            let level = state[0];
            let mut drawn = (self.drawn_m3_s)(level, running);
            drawn.iter_mut().zip(running).filter(|(_, runs)| !**runs).for_each(|(drawn, _)| *drawn = 0.0);
            let gained = (self.inflow_m3_s)(level) - drawn.iter().sum::<f64>();
            let mut slopes = vec![gained / (self.plan_area_m2)(level)];
            slopes.append(&mut drawn);
            slopes
        };
        let mut watched: Vec<(Event, Box<Watch>)> = Vec::new();
        for (at, outlet) in self.outlets.iter().copied().enumerate() {
            if running[at] {
                let dry = outlet.dry_below_m + DRY_WITHIN_M;
                watched.push((Event::RunsDry(at), Box::new(move |_, state| state[0] - dry)));
            } else {
                watched.push((Event::RunsAgain(at), Box::new(move |_, state| outlet.runs_again_at_m - state[0])));
            }
        }
        for (at, mark) in self.marks_m.iter().copied().enumerate() {
            watched.push((Event::FallsTo(at), Box::new(move |_, state| state[0] - mark)));
            watched.push((Event::RisesTo(at), Box::new(move |_, state| mark - state[0])));
        }
        let events: Vec<&Watch> = watched.iter().map(|(_, fall)| &**fall).collect();
        let course = Motion { slopes: &slopes, events: &events }.follow(time, start, seconds, TOLERANCE);
        let event = if let Ended::ByEvent(which) = course.ended { Some(watched[which].0) } else { None };
        (course, event)
    }
}
