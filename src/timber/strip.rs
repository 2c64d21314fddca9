//! A strip or beam that runs on over many supports, by the equation of three moments; it may lift off, and stand out.

use super::Load;
use super::span::{Span, Stiffness};

/// Supports nearer to each other than this are one, m.
const ONE_SUPPORT_M: f64 = 1e-3;
/// Forces that pull a strip down onto a support by more than this share of its load do not exist: it lifts off.
const LIFTS_OFF_AT: f64 = 1e-9;

/// A strip, solved. Supports are stiff; the strip is of one section throughout.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// Forces up from each support that was given, N; nothing where the strip lifts off.
    pub reactions_n: Vec<f64>,
    /// The supports on which it lies, m.
    pub on_m: Vec<f64>,
    /// Forces up from those, N.
    pub on_n: Vec<f64>,
    /// The spans between them, from the left.
    pub spans: Vec<Span>,
    /// What stands out beyond the first and the last support, with loads measured outward from the support.
    pub overhangs: [Vec<Load>; 2],
}

/// Why a strip cannot be solved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unsupported {
    /// Fewer than two supports.
    TooFewSupports,
    /// It tips over its outermost support.
    Tips,
    /// Its sizes or loads are beyond all sums.
    Lost,
}

impl Strip {
    /// Solves a strip over supports at these places, from the left, under loads that push down.
    ///
    /// # Errors
    /// When fewer than two supports are left to lie on.
    pub fn over(supports_m: &[f64], loads: &[Load]) -> Result<Self, Unsupported> {
        let total: f64 = loads.iter().map(Load::total_n).sum();
        let mut on: Vec<usize> = (0..supports_m.len()).collect();
        on.dedup_by(|a, b| supports_m[*a] - supports_m[*b] < ONE_SUPPORT_M);
        if on.len() < 2 {
            return Err(Unsupported::TooFewSupports);
        }
        loop {
            let places: Vec<f64> = on.iter().map(|number| supports_m[*number]).collect();
            let (spans, overhangs) = held(&places, loads);
            let reactions = reactions(&spans, &overhangs);
            // A support cannot hold a strip down: leave out the one that would have to pull hardest.
            let lifted = (0..reactions.len()).min_by(|a, b| reactions[*a].total_cmp(&reactions[*b]));
            match lifted.filter(|number| reactions[*number] < -LIFTS_OFF_AT * total) {
                Some(_) if on.len() == 2 => return Err(Unsupported::Tips),
                Some(number) => drop(on.remove(number)),
                None => {
                    let mut reactions_n = vec![0.0; supports_m.len()];
                    on.iter().zip(&reactions).for_each(|(number, force)| reactions_n[*number] = *force);
                    return Ok(Self { reactions_n, on_m: places, on_n: reactions, spans, overhangs });
                }
            }
        }
    }

    /// The greatest moment in amount, with the place: (m, N·m).
    #[must_use]
    pub fn greatest_moment(&self) -> (f64, f64) {
        let moments = self.spans.iter().zip(&self.on_m).map(|(span, left)| {
            let (x, moment) = span.greatest_moment();
            (left + x, moment)
        });
        moments.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs())).unwrap_or((0.0, 0.0))
    }

    /// The moment at a place, N·m.
    #[must_use]
    pub fn moment_n_m(&self, x_m: f64) -> f64 {
        let hogging = |loads: &[Load], out_m: f64| {
            let beyond = loads.iter().filter_map(|load| load.within(out_m, f64::INFINITY));
            -beyond.map(|load| load.from_origin(out_m).about_origin_n_m()).sum::<f64>()
        };
        match (self.on_m.first(), self.on_m.last()) {
            (Some(first), _) if x_m < *first => hogging(&self.overhangs[0], first - x_m),
            (_, Some(last)) if x_m > *last => hogging(&self.overhangs[1], x_m - last),
            _ => self.span_at(x_m).map_or(0.0, |(left, span)| span.moment_n_m(x_m - left)),
        }
    }

    /// The deflection at a place between supports, m.
    #[must_use]
    pub fn deflection_m(&self, x_m: f64, stiffness: Stiffness) -> f64 {
        self.span_at(x_m).map_or(0.0, |(left, span)| span.deflection_m(x_m - left, stiffness))
    }

    fn span_at(&self, x_m: f64) -> Option<(f64, &Span)> {
        let mut spans = self.on_m.iter().copied().zip(&self.spans);
        spans.find(|(left, span)| x_m >= *left && x_m <= left + span.length_m)
    }

    /// How far it reaches to the left and right, as far as it is loaded or held, m.
    #[must_use]
    pub fn reach_m(&self) -> (f64, f64) {
        let out = |loads: &[Load]| loads.iter().map(|load| load.ends_m().1).fold(0.0, f64::max);
        let first = self.on_m.first().copied().unwrap_or_default();
        let last = self.on_m.last().copied().unwrap_or_default();
        (first - out(&self.overhangs[0]), last + out(&self.overhangs[1]))
    }

    /// The greatest shear in amount, N.
    #[must_use]
    pub fn greatest_shear_n(&self) -> f64 {
        let of_spans = self.spans.iter().map(Span::greatest_shear_n);
        let of_overhangs = self.overhangs.iter().map(|loads| loads.iter().map(Load::total_n).sum());
        of_spans.chain(of_overhangs).fold(0.0, f64::max)
    }

    /// The deflection that is greatest for the span in which it lies: (place m, deflection m, span m).
    ///
    /// An end that stands out counts as half a span, and is measured at its outermost load.
    #[must_use]
    pub fn greatest_deflection(&self, stiffness: Stiffness) -> (f64, f64, f64) {
        let of_spans = self.spans.iter().zip(&self.on_m).map(|(span, left)| {
            let (x, y) = span.greatest_deflection(stiffness);
            (left + x, y, span.length_m)
        });
        let of_overhangs = [Side::Left, Side::Right].into_iter().filter_map(|side| self.tip(side, stiffness));
        let for_its_span = |candidate: &(f64, f64, f64)| candidate.1 / candidate.2;
        let worst = of_spans.chain(of_overhangs).max_by(|a, b| for_its_span(a).total_cmp(&for_its_span(b)));
        worst.unwrap_or((0.0, 0.0, 1.0))
    }

    fn tip(&self, side: Side, stiffness: Stiffness) -> Option<(f64, f64, f64)> {
        let loads = &self.overhangs[side as usize];
        let out_m = loads.iter().map(|load| load.ends_m().1).fold(0.0, f64::max);
        if out_m <= 0.0 {
            return None;
        }
        let (support, slope) = match side {
            Side::Left => (self.on_m.first()?, -self.spans.first()?.end_slopes_n_m2().0),
            Side::Right => (self.on_m.last()?, self.spans.last()?.end_slopes_n_m2().1),
        };
        let bent: f64 = loads.iter().map(|load| cantilever_n_m3(load, out_m)).sum();
        let moment: f64 = loads.iter().map(Load::about_origin_n_m).sum();
        let down = (slope * out_m + bent) / stiffness.bending_n_m2 + moment / stiffness.shear_n;
        let outward = if side == Side::Left { -out_m } else { out_m };
        Some((support + outward, down, 2.0 * out_m))
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Left,
    Right,
}

/// Deflection times E I at `out_m` of a beam built in at nothing: P d² (3 a − d) / 6, integrated where it is spread.
fn cantilever_n_m3(load: &Load, out_m: f64) -> f64 {
    match *load {
        Load::Point { at_m, force_n } => force_n * at_m * at_m * (3.0 * out_m - at_m) / 6.0,
        Load::Spread { from_m, to_m, force_n_per_m } => {
            let upto = |d: f64| (out_m * d.powi(3) - d.powi(4) / 4.0) / 6.0;
            force_n_per_m * (upto(to_m) - upto(from_m))
        }
    }
}

/// Spans and overhangs of a strip that is held down on all of its supports.
fn held(supports_m: &[f64], loads: &[Load]) -> (Vec<Span>, [Vec<Load>; 2]) {
    let (first, last) = (supports_m[0], supports_m[supports_m.len() - 1]);
    let left = loads.iter().filter_map(|load| load.within(f64::NEG_INFINITY, first)).map(|load| match load {
        Load::Point { at_m, force_n } => Load::Point { at_m: first - at_m, force_n },
        Load::Spread { from_m, to_m, force_n_per_m } => {
            Load::Spread { from_m: first - to_m, to_m: first - from_m, force_n_per_m }
        }
    });
    let left: Vec<Load> = left.collect();
    let right = loads.iter().filter_map(|load| load.within(last, f64::INFINITY)).map(|load| load.from_origin(last));
    let right: Vec<Load> = right.collect();
    let mut spans: Vec<Span> = supports_m
        .windows(2)
        .map(|pair| {
            let own = loads.iter().filter_map(|load| load.within(pair[0], pair[1]));
            Span::free(pair[1] - pair[0], own.map(|load| load.from_origin(pair[0])).collect())
        })
        .collect();
    let hogging = |loads: &[Load]| -loads.iter().map(Load::about_origin_n_m).sum::<f64>();
    let moments = support_moments(&spans, hogging(&left), hogging(&right));
    for (span, pair) in spans.iter_mut().zip(moments.windows(2)) {
        (span.left_n_m, span.right_n_m) = (pair[0], pair[1]);
    }
    (spans, [left, right])
}

/// Clapeyron's equation of three moments over each inner support:
/// M₁ L₁ + 2 M₂ (L₁ + L₂) + M₃ L₂ = −6 (slopes that the loads alone would give there), by elimination.
fn support_moments(spans: &[Span], first_n_m: f64, last_n_m: f64) -> Vec<f64> {
    let inner = spans.len() - 1;
    if inner == 0 {
        return vec![first_n_m, last_n_m];
    }
    let mut moments = vec![0.0; spans.len() + 1];
    (moments[0], moments[spans.len()]) = (first_n_m, last_n_m);
    let slopes: Vec<(f64, f64)> = spans.iter().map(Span::end_slopes_n_m2).collect();
    let mut diagonal = vec![0.0; inner];
    let mut right_side = vec![0.0; inner];
    for row in 0..inner {
        let (before, after) = (&spans[row], &spans[row + 1]);
        diagonal[row] = 2.0 * (before.length_m + after.length_m);
        right_side[row] = -6.0 * (slopes[row + 1].0 - slopes[row].1);
        if row == 0 {
            right_side[row] -= first_n_m * before.length_m;
        } else {
            let factor = before.length_m / diagonal[row - 1];
            diagonal[row] -= factor * before.length_m;
            right_side[row] -= factor * right_side[row - 1];
        }
        if row == inner - 1 {
            right_side[row] -= last_n_m * after.length_m;
        }
    }
    for row in (0..inner).rev() {
        let known = if row + 1 < inner { spans[row + 1].length_m * moments[row + 2] } else { 0.0 };
        moments[row + 1] = (right_side[row] - known) / diagonal[row];
    }
    moments
}

fn reactions(spans: &[Span], overhangs: &[Vec<Load>; 2]) -> Vec<f64> {
    let mut forces = vec![0.0; spans.len() + 1];
    for (number, span) in spans.iter().enumerate() {
        let (left, right) = span.reactions_n();
        forces[number] += left;
        forces[number + 1] += right;
    }
    forces[0] += overhangs[0].iter().map(Load::total_n).sum::<f64>();
    forces[spans.len()] += overhangs[1].iter().map(Load::total_n).sum::<f64>();
    forces
}

#[cfg(test)]
mod tests {
    use super::*;

    fn even(from_m: f64, to_m: f64) -> Vec<Load> {
        vec![Load::Spread { from_m, to_m, force_n_per_m: 1.0 }]
    }

    fn near(have: f64, expected: f64) {
        assert!((have - expected).abs() < 1e-9, "{have}, expected {expected}");
    }

    /// Textbook: 0.4, 1.1, 1.1, 0.4 w L; moments 0.08 w L² in the end span and −0.1 w L² over inner supports.
    #[test]
    fn three_equal_spans() {
        let strip = Strip::over(&[0.0, 1.0, 2.0, 3.0], &even(0.0, 3.0)).expect("supported");
        for (force, expected) in strip.reactions_n.iter().zip([0.4, 1.1, 1.1, 0.4]) {
            near(*force, expected);
        }
        near(strip.greatest_moment().1, -0.1);
        near(strip.spans[0].greatest_moment().1, -0.1);
        near(strip.spans[0].moment_n_m(0.4), 0.08);
    }

    /// Textbook: 3/8, 10/8, 3/8 w L, −w L²/8.
    #[test]
    fn two_equal_spans() {
        let strip = Strip::over(&[2.0, 3.0, 4.0], &even(2.0, 4.0)).expect("supported");
        for (force, expected) in strip.reactions_n.iter().zip([0.375, 1.25, 0.375]) {
            near(*force, expected);
        }
        near(strip.greatest_moment().1, -0.125);
    }

    /// Statics: w (L + a)² / 2 L on the right, tip by the textbook w a (4 a² L − L³ + 3 a³) / 24 E I.
    #[test]
    fn one_end_that_stands_out() {
        let strip = Strip::over(&[0.0, 2.0], &even(0.0, 3.0)).expect("supported");
        near(strip.reactions_n[1], 9.0 / 4.0);
        near(strip.greatest_moment().1, -0.5);
        let stiff = Stiffness { bending_n_m2: 1.0, shear_n: f64::INFINITY };
        near(strip.tip(Side::Right, stiff).expect("a tip").1, (8.0 - 8.0 + 3.0) / 24.0);
    }

    /// Textbook: P a² (L + a) / 3 E I under a load at the tip, and w a (4 a² L + 3 a³) / 24 E I where only the end bears.
    #[test]
    fn loads_on_the_end_that_stands_out_alone() {
        let stiff = Stiffness { bending_n_m2: 1.0, shear_n: f64::INFINITY };
        let down = |load: Load| {
            // So heavy a load between the supports that nothing tips, and whose slope at the right one is known.
            let strip = Strip::over(&[0.0, 2.0], &[load, Load::Point { at_m: 1.0, force_n: 8.0 }]).expect("supported");
            // Textbook: it turns the end up by P L² / 16 E I.
            strip.tip(Side::Right, stiff).expect("a tip").1 + 8.0 * 4.0 / 16.0 * 0.5
        };
        near(down(Load::Point { at_m: 2.5, force_n: 3.0 }), 3.0 * 0.25 * 2.5 / 3.0);
        let even = Load::Spread { from_m: 2.0, to_m: 2.5, force_n_per_m: 3.0 };
        near(down(even), 3.0 * 0.5 * (4.0 * 0.25 * 2.0 + 3.0 * 0.125) / 24.0);
    }

    #[test]
    fn a_strip_lifts_off_and_tips_rather_than_being_held_down() {
        let load = [Load::Point { at_m: 0.5, force_n: 1.0 }];
        let strip = Strip::over(&[0.0, 1.0, 2.0], &load).expect("supported");
        assert_eq!(strip.reactions_n, [0.5, 0.5, 0.0]);
        let beyond = [Load::Point { at_m: 3.0, force_n: 1.0 }];
        assert_eq!(Strip::over(&[0.0, 1.0], &beyond), Err(Unsupported::Tips));
        assert_eq!(Strip::over(&[0.0], &load), Err(Unsupported::TooFewSupports));
    }
}
