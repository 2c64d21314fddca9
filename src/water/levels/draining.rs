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
    /// What each outlet draws at a level while these run, m³/s. Those that do not run draw nothing, whatever is said; and
    /// those of which nothing is said draw nothing either.
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
                Some(event) => {
                    course.events.push((time, event));
                    // The level stands at what it has come to; a rounding short of it, it would come to it once more.
                    state[0] = self.level_at_m(event);
                    match event {
                        Event::RunsDry(outlet) => running[outlet] = false,
                        Event::RunsAgain(outlet) => running[outlet] = true,
                        Event::FallsTo(_) | Event::RisesTo(_) => {}
                    }
                }
            }
        }
        course
    }

    fn level_at_m(&self, event: Event) -> f64 {
        match event {
            Event::RunsDry(outlet) => self.outlets[outlet].dry_below_m + DRY_WITHIN_M,
            Event::RunsAgain(outlet) => self.outlets[outlet].runs_again_at_m,
            Event::FallsTo(mark) | Event::RisesTo(mark) => self.marks_m[mark],
        }
    }

    /// Follows until something happens.
    fn stretch(&self, time: f64, start: Vec<f64>, seconds: f64, running: &[bool]) -> (Course, Option<Event>) {
        let slopes = |_: f64, state: &[f64]| {
            let level = state[0];
            let mut drawn = (self.drawn_m3_s)(level, running);
            drawn.resize(running.len(), 0.0);
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

#[cfg(test)]
mod tests {
    use super::super::Overflow;
    use super::*;

    #[test]
    fn a_cistern_filled_without_end_settles_where_its_overflow_carries_it_all() {
        let (overflow, inflow_m3_s, invert_m) = (Overflow::of_bore(0.019), 1.0e-4, 0.4);
        let vessel = Vessel {
            plan_area_m2: &|_| 0.3,
            inflow_m3_s: &|level_m| inflow_m3_s - overflow.carries_m3_s(level_m - invert_m),
            outlets: &[],
            drawn_m3_s: &|_, _| Vec::new(),
            marks_m: &[invert_m, 0.45],
        };
        let course = vessel.follow(0.25, 7200.0);
        let settles_m = invert_m + overflow.head_for_m(inflow_m3_s).expect("it carries so little");
        assert!((course.level_m(7200.0) - settles_m).abs() < 1e-6);
        assert_eq!(course.events.len(), 1);
        // Up to the invert nothing runs off: 0.15 m over 0.3 m² at a tenth of a litre a second. A billionth of the level is
        // a hundred-thousandth of a second here.
        let late_s = course.first(Event::RisesTo(0)).expect("it rises") - 450.0;
        assert!(late_s.abs() < 1e-5, "{late_s} s late");
    }

    #[test]
    fn an_outlet_gulps_while_less_runs_in_than_it_draws() {
        let vessel = Vessel {
            plan_area_m2: &|_| 0.3,
            inflow_m3_s: &|_| 1.0e-4,
            outlets: &[Outlet { dry_below_m: 0.05, runs_again_at_m: 0.07 }],
            drawn_m3_s: &|_, _| vec![3.0e-4],
            marks_m: &[],
        };
        let course = vessel.follow(0.07, 1000.0);
        // Down 20 mm at 0.2 l/s takes 30 s, up again at 0.1 l/s takes 60 s.
        let times: Vec<f64> = course.events.iter().take(4).map(|(seconds, _)| seconds.round()).collect();
        assert_eq!(times, [30.0, 90.0, 120.0, 180.0]);
        assert_eq!((course.events[0].1, course.events[1].1), (Event::RunsDry(0), Event::RunsAgain(0)));
        assert!(course.complete);
        // It is dry two thirds of the time, so in the end it draws what runs in.
        assert!((course.drawn_m3(0, 990.0) / (990.0 * 1.0e-4) - 1.0).abs() < 1e-6);
    }

    #[test]
    fn a_mark_that_the_level_passes_is_told_once() {
        let vessel = Vessel {
            plan_area_m2: &|_| 0.3,
            inflow_m3_s: &|_| 0.0,
            outlets: &[Outlet { dry_below_m: 0.0, runs_again_at_m: 0.01 }],
            drawn_m3_s: &|level_m, _| vec![1e-3 * (level_m + 0.2)],
            marks_m: &[0.1, 0.2, 0.3, 0.35, 0.375],
        };
        let course = vessel.follow(0.4, 3600.0);
        let happened: Vec<Event> = course.events.iter().map(|(_, event)| *event).collect();
        let falls = [4, 3, 2, 1, 0].map(Event::FallsTo);
        assert_eq!(happened, [&falls[..], &[Event::RunsDry(0)]].concat());
    }
}
