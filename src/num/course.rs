//! How a few quantities change in time, by an adaptive Runge-Kutta method that finds where an event falls.
//!
//! Dormand and Prince, J. Comput. Appl. Math. 6 (1980): fifth order, with a fourth order beside it that tells the
//! error; the continuous extension is Shampine's, as in Hairer, Nørsett and Wanner, "Solving Ordinary Differential
//! Equations I", II.6.

use super::zero_between;

const STAGES: usize = 7;
/// The times of the stages within a step.
const TIMES: [f64; STAGES] = [0.0, 1.0 / 5.0, 3.0 / 10.0, 4.0 / 5.0, 8.0 / 9.0, 1.0, 1.0];
/// What each stage takes of the slopes before it; the last is the step itself.
const PARTS: [&[f64]; STAGES] = [
    &[],
    &[1.0 / 5.0],
    &[3.0 / 40.0, 9.0 / 40.0],
    &[44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0],
    &[19_372.0 / 6_561.0, -25_360.0 / 2_187.0, 64_448.0 / 6_561.0, -212.0 / 729.0],
    &[9_017.0 / 3_168.0, -355.0 / 33.0, 46_732.0 / 5_247.0, 49.0 / 176.0, -5_103.0 / 18_656.0],
    &[35.0 / 384.0, 0.0, 500.0 / 1_113.0, 125.0 / 192.0, -2_187.0 / 6_784.0, 11.0 / 84.0],
];
/// The fifth order less the fourth.
const ERRORS: [f64; STAGES] =
    [71.0 / 57_600.0, 0.0, -71.0 / 16_695.0, 71.0 / 1_920.0, -17_253.0 / 339_200.0, 22.0 / 525.0, -1.0 / 40.0];
/// The last term of the continuous extension.
const BETWEEN: [f64; STAGES] = [
    -12_715_105_075.0 / 11_282_082_432.0,
    0.0,
    87_487_479_700.0 / 32_700_410_799.0,
    -10_690_763_975.0 / 1_880_347_072.0,
    701_980_252_875.0 / 199_316_789_632.0,
    -1_453_857_185.0 / 822_651_844.0,
    69_997_945.0 / 29_380_423.0,
];
/// Steps, taken or refused, after which we give up.
const MOST_STEPS: usize = 100_000;

/// How exact a course is to be: the error of a step in each quantity stays below the sum of both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    /// As a share of the quantity.
    pub relative: f64,
    /// In the unit of the quantity.
    pub absolute: f64,
}

/// What ended a course.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// Its time was up.
    InTime,
    /// This event, by its place in the list, fell below zero.
    ByEvent(usize),
    /// The steps became too small or too many.
    GaveUp,
}

/// Quantities over a stretch of time.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    pieces: Vec<Piece>,
    /// When it ended.
    pub end_time: f64,
    /// The quantities then.
    pub end: Vec<f64>,
    /// Why.
    pub ended: Ended,
}

/// One step: a polynomial in the share of the step for each quantity.
#[derive(Debug, Clone, PartialEq)]
struct Piece {
    start: f64,
    step: f64,
    terms: Vec<[f64; 5]>,
}

impl Piece {
    fn at(&self, time: f64) -> Vec<f64> {
        let (share, rest) = ((time - self.start) / self.step, 1.0 - (time - self.start) / self.step);
        let value = |[a, b, c, d, e]: &[f64; 5]| a + share * (b + rest * (c + share * (d + rest * e)));
        self.terms.iter().map(value).collect()
    }
}

impl Course {
    /// The quantities at a time; before the start those of the start, after the end those of the end.
    #[must_use]
    pub fn at(&self, time: f64) -> Vec<f64> {
        let after = self.pieces.partition_point(|piece| piece.start <= time);
        match after.checked_sub(1) {
            _ if time >= self.end_time => self.end.clone(),
            Some(piece) => self.pieces[piece].at(time),
            None => self.pieces.first().map_or_else(|| self.end.clone(), |piece| piece.at(piece.start)),
        }
    }

    /// The times between which the steps were taken, from the start to the end.
    pub fn times(&self) -> impl Iterator<Item = f64> {
        self.pieces.iter().map(|piece| piece.start).chain([self.end_time])
    }
}

/// Something of the quantities at a time that ends the course when it falls from above zero to zero or below.
pub type Watch<'a> = dyn Fn(f64, &[f64]) -> f64 + 'a;

/// What is to be followed: how fast the quantities change, and what would end it.
pub struct Motion<'a> {
    /// Change per time of each quantity, at a time and with the quantities then.
    pub slopes: &'a dyn Fn(f64, &[f64]) -> Vec<f64>,
    /// What would end it.
    pub events: &'a [&'a Watch<'a>],
}

impl Motion<'_> {
    /// Follows the quantities from a start for some time.
    #[must_use]
    pub fn follow(&self, start_time: f64, start: Vec<f64>, duration: f64, tolerance: Tolerance) -> Course {
        let last = start_time + duration;
        let mut course = Course { pieces: Vec::new(), end_time: start_time, end: start, ended: Ended::InTime };
        let mut slope = (self.slopes)(start_time, &course.end);
        let mut step = first_step(&course.end, &slope, duration, tolerance);
        for _ in 0..MOST_STEPS {
            let (time, left) = (course.end_time, last - course.end_time);
            if left <= 0.0 {
                return course;
            }
            step = step.min(left);
            if step.is_nan() || time + step <= time {
                break;
            }
            let (stages, ahead) = self.stages(time, &course.end, &slope, step);
            let error = worst_error(&stages, &course.end, &ahead, step, tolerance);
            if error <= 1.0 {
                if let Some((event, step)) = self.first_event(time, step, &course.end, &slope, &ahead) {
                    let (stages, ahead) = self.stages(time, &course.end, &slope, step);
                    course.pieces.push(between(time, step, &course.end, &ahead, &stages));
                    (course.end_time, course.end, course.ended) = (time + step, ahead, Ended::ByEvent(event));
                    return course;
                }
                let piece = between(time, step, &course.end, &ahead, &stages);
                course.pieces.push(piece);
                // The last step ends on the last time itself, whatever rounding makes of the sum.
                course.end_time = if step >= left { last } else { time + step };
                course.end = ahead;
                slope.clone_from(&stages[STAGES - 1]);
            }
            let growth = if error > 0.0 { 0.9 * error.powf(-0.2) } else { 5.0 };
            step *= if growth.is_finite() { growth.clamp(0.2, 5.0) } else { 0.2 };
        }
        course.ended = Ended::GaveUp;
        course
    }

    /// The slopes at the stages of a step, and where it leads.
    fn stages(&self, time: f64, now: &[f64], slope: &[f64], step: f64) -> (Vec<Vec<f64>>, Vec<f64>) {
        let mut stages = vec![slope.to_vec()];
        let mut there = now.to_vec();
        for stage in 1..STAGES {
            for (quantity, there) in there.iter_mut().enumerate() {
                let parts = PARTS[stage].iter().zip(&stages).map(|(part, slopes)| part * slopes[quantity]);
                *there = now[quantity] + step * parts.sum::<f64>();
            }
            stages.push((self.slopes)(time + TIMES[stage] * step, &there));
        }
        (stages, there)
    }

    /// The earliest event within a step, and the shorter step that leads to it. Found by taking such steps, as what lies
    /// between the ends of one is less exact, the more so if the slopes have a corner at the event.
    fn first_event(&self, time: f64, step: f64, now: &[f64], slope: &[f64], ahead: &[f64]) -> Option<(usize, f64)> {
        let fall = |(which, event): (usize, &&Watch)| {
            if !(event(time, now) > 0.0 && event(time + step, ahead) <= 0.0) {
                return None;
            }
            let after = |step: f64| event(time + step, &self.stages(time, now, slope, step).1);
            Some((which, zero_between(0.0, step, 1e-12 * step, after).unwrap_or(step)))
        };
        self.events.iter().enumerate().filter_map(fall).min_by(|one, other| one.1.total_cmp(&other.1))
    }
}

fn first_step(start: &[f64], slope: &[f64], duration: f64, tolerance: Tolerance) -> f64 {
    let allowed = |value: &f64| tolerance.absolute + tolerance.relative * value.abs();
    let fastest = start.iter().zip(slope).map(|(value, slope)| slope.abs() / allowed(value)).fold(0.0, f64::max);
    if fastest > 0.0 { (1.0 / fastest.sqrt()).min(duration / 100.0).min(100.0 / fastest) } else { duration / 100.0 }
}

/// The error of a step as a share of what is allowed; no number counts as far too much.
fn worst_error(stages: &[Vec<f64>], now: &[f64], ahead: &[f64], step: f64, tolerance: Tolerance) -> f64 {
    let share = |quantity: usize| {
        let error: f64 = ERRORS.iter().zip(stages).map(|(part, slopes)| part * slopes[quantity]).sum();
        let size = now[quantity].abs().max(ahead[quantity].abs());
        (step * error).abs() / (tolerance.absolute + tolerance.relative * size)
    };
    let worst = (0..now.len())
        .map(share)
        .fold(0.0, |worst, error| if error >= worst || error.is_nan() { error } else { worst });
    if worst.is_nan() { f64::INFINITY } else { worst }
}

fn between(start: f64, step: f64, now: &[f64], ahead: &[f64], stages: &[Vec<f64>]) -> Piece {
    let terms = |quantity: usize| {
        let change = ahead[quantity] - now[quantity];
        let bend = step * stages[0][quantity] - change;
        let last: f64 = BETWEEN.iter().zip(stages).map(|(part, slopes)| part * slopes[quantity]).sum();
        [now[quantity], change, bend, change - step * stages[STAGES - 1][quantity] - bend, step * last]
    };
    Piece { start, step, terms: (0..now.len()).map(terms).collect() }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FINE: Tolerance = Tolerance { relative: 1e-10, absolute: 1e-12 };

    /// A swing: place and speed.
    fn swing(_: f64, state: &[f64]) -> Vec<f64> {
        vec![state[1], -state[0]]
    }

    #[test]
    fn a_swing_is_a_cosine_at_and_between_the_steps() {
        let course = Motion { slopes: &swing, events: &[] }.follow(0.0, vec![1.0, 0.0], 10.0, FINE);
        assert_eq!((course.ended, course.end_time), (Ended::InTime, 10.0));
        for hundredth in 0..=1000 {
            let time = f64::from(hundredth) / 100.0;
            assert!((course.at(time)[0] - time.cos()).abs() < 1e-8, "at {time}");
        }
        assert!(course.times().count() < 500);
    }

    #[test]
    fn the_first_event_ends_it() {
        let (low, high): (&Watch, &Watch) = (&|_, state| state[0], &|_, state| state[0] - 0.5);
        let course = Motion { slopes: &swing, events: &[low, high] }.follow(0.0, vec![1.0, 0.0], 10.0, FINE);
        assert_eq!(course.ended, Ended::ByEvent(1));
        assert!((course.end_time - std::f64::consts::FRAC_PI_3).abs() < 1e-9);
    }

    #[test]
    fn what_runs_off_to_infinity_is_given_up() {
        let course =
            Motion { slopes: &|_, y: &[f64]| vec![y[0] * y[0]], events: &[] }.follow(0.0, vec![1.0], 2.0, FINE);
        assert_eq!(course.ended, Ended::GaveUp);
        assert!((course.end_time - 1.0).abs() < 1e-3);
    }
}
