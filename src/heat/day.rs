//! A cistern through one of many like days: the loft swings between night and afternoon, and water is drawn and made up.

use std::f64::consts::TAU;

/// Steps in a day. At a quarter of an hour the error against a tenth of that is below a hundredth of a kelvin.
const STEPS: usize = 96;
const STEP_S: f64 = 86_400.0 / 96.0;
/// When a loft is hottest: in the afternoon, some hours after the sun stood highest (common practice, no source).
const HOTTEST_AT_H: f64 = 16.0;
/// Hours in which water is drawn.
pub const DRAWN_BETWEEN_H: (f64, f64) = (7.0, 22.0);

/// What acts on a cistern on each of many like days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Day {
    /// Heat capacity of the stored water, J/K.
    pub capacity_j_k: f64,
    /// Conductance to the loft, W/K.
    pub to_loft_w_k: f64,
    /// The loft at its coolest and at its hottest, °C; it swings between them as a cosine.
    pub loft_c: (f64, f64),
    /// Conductance through the base to the room below, W/K.
    pub to_room_w_k: f64,
    /// The room below, °C.
    pub room_c: f64,
    /// Heat capacity of the water that is drawn and made up in a day, J/K.
    pub drawn_j_k: f64,
    /// Temperature of the water that makes it up, °C.
    pub make_up_c: f64,
}

/// A moment of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Hours from its beginning.
    pub hour: f64,
    /// Temperature, °C.
    pub celsius: f64,
}

impl Day {
    /// The loft at an hour of the day, °C.
    #[must_use]
    pub fn loft_at_c(&self, hour: f64) -> f64 {
        let (low, high) = self.loft_c;
        let swing = ((hour - HOTTEST_AT_H) / 24.0 * TAU).cos();
        f64::midpoint(low, high) + (high - low) / 2.0 * swing
    }

    /// The stored water from midnight to midnight once every day is like the one before.
    ///
    /// C dT/dt = U_l (T_loft − T) + U_r (T_room − T) + ṁ c (T_make-up − T), each step solved exactly for the means
    /// within it. A day turns T into a T + b, so the day that ends as it began has T = b / (1 − a). Without any exchange
    /// the water keeps the temperature with which it came.
    #[must_use]
    pub fn settled(&self) -> Vec<Moment> {
        let (kept, gained) = self
            .steps()
            .fold((1.0, 0.0), |(kept, gained), (share, goal_c)| (kept * share, goal_c + (gained - goal_c) * share));
        let begin_c = if kept < 1.0 { gained / (1.0 - kept) } else { self.make_up_c };
        self.following(begin_c)
    }

    /// The stored water through a day that it begins at a temperature.
    #[must_use]
    pub fn following(&self, begin_c: f64) -> Vec<Moment> {
        let mut moments = Vec::with_capacity(STEPS + 1);
        let mut celsius = begin_c;
        moments.push(Moment { hour: 0.0, celsius });
        for (number, (share, goal_c)) in self.steps().enumerate() {
            celsius = goal_c + (celsius - goal_c) * share;
            moments.push(Moment { hour: hour_of(number + 1), celsius });
        }
        moments
    }

    /// For each step of the day: the share of the difference that is left after it, and the temperature it tends to.
    fn steps(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        let drawn_for_s = (DRAWN_BETWEEN_H.1 - DRAWN_BETWEEN_H.0) * 3600.0;
        (0..STEPS).map(move |number| {
            let middle_h = f64::midpoint(hour_of(number), hour_of(number + 1));
            let is_drawn = (DRAWN_BETWEEN_H.0..DRAWN_BETWEEN_H.1).contains(&middle_h);
            let drawn_w_k = if is_drawn { self.drawn_j_k / drawn_for_s } else { 0.0 };
            let pull_w_k = self.to_loft_w_k + self.to_room_w_k + drawn_w_k;
            let goal_w = self.to_loft_w_k * self.loft_at_c(middle_h)
                + self.to_room_w_k * self.room_c
                + drawn_w_k * self.make_up_c;
            let share = (-pull_w_k * STEP_S / self.capacity_j_k).exp();
            (share, if pull_w_k > 0.0 { goal_w / pull_w_k } else { self.make_up_c })
        })
    }
}

fn hour_of(step: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a day has under a hundred steps")]
    let step = step as f64;
    step * STEP_S / 3600.0
}

/// The warmest moment of a curve, °C.
#[must_use]
pub fn peak_c(curve: &[Moment]) -> f64 {
    curve.iter().map(|moment| moment.celsius).fold(f64::NEG_INFINITY, f64::max)
}

/// Hours that a curve spends above a temperature, straight between its moments.
#[must_use]
pub fn hours_above(curve: &[Moment], celsius: f64) -> f64 {
    let above = |pair: &[Moment]| {
        let (first, last) = (pair[0].celsius - celsius, pair[1].celsius - celsius);
        let hours = pair[1].hour - pair[0].hour;
        match (first > 0.0, last > 0.0) {
            (true, true) => hours,
            (false, false) => 0.0,
            _ => hours * first.max(last) / (first - last).abs(),
        }
    };
    curve.windows(2).map(above).sum()
}
