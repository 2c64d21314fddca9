//! One span of a beam between two supports: shear, moment and deflection under any loads, with moments at its ends.

use super::Load;
use crate::num::zero_between;

/// Stretches into which a span is cut to look for its greatest deflection: a beam bends too smoothly to hide a hollow
/// in one of them.
const STRETCHES: usize = 16;
/// The place of the greatest deflection is found to this share of the span; the deflection, which is level there, far
/// better.
const PLACE_FOUND_TO: f64 = 1e-5;

/// A span with its own origin at the left support. Sagging moments and deflections downward are positive.
#[derive(Debug, Clone, PartialEq)]
pub struct Span {
    /// From support to support, m.
    pub length_m: f64,
    /// Loads on it, within its length.
    pub loads: Vec<Load>,
    /// Moment over the left support, N·m.
    pub left_n_m: f64,
    /// Moment over the right support, N·m.
    pub right_n_m: f64,
}

/// How stiff a beam is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stiffness {
    /// Against bending, E I, N·m².
    pub bending_n_m2: f64,
    /// Against shear, G A / κ, N; infinite where shear is not reckoned.
    pub shear_n: f64,
}

impl Span {
    /// A span that is free to turn on both supports.
    #[must_use]
    pub const fn free(length_m: f64, loads: Vec<Load>) -> Self {
        Self { length_m, loads, left_n_m: 0.0, right_n_m: 0.0 }
    }

    /// Forces up from the left and the right support, N.
    #[must_use]
    pub fn reactions_n(&self) -> (f64, f64) {
        let total: f64 = self.loads.iter().map(Load::total_n).sum();
        let about_left: f64 = self.loads.iter().map(Load::about_origin_n_m).sum();
        let right = (about_left + self.left_n_m - self.right_n_m) / self.length_m;
        (total - right, right)
    }

    /// Shear just right of a place, N.
    #[must_use]
    pub fn shear_n(&self, x_m: f64) -> f64 {
        self.shear_from_n(self.reactions_n().0, x_m)
    }

    fn shear_from_n(&self, left_n: f64, x_m: f64) -> f64 {
        left_n - self.loads.iter().map(|load| load_left_of(load, x_m)).sum::<f64>()
    }

    /// Moment at a place, N·m.
    #[must_use]
    pub fn moment_n_m(&self, x_m: f64) -> f64 {
        self.moment_from_n_m(self.reactions_n().0, x_m)
    }

    fn moment_from_n_m(&self, left_n: f64, x_m: f64) -> f64 {
        let from_loads: f64 = self.loads.iter().map(|load| macaulay(load, x_m, 1)).sum();
        self.left_n_m + left_n * x_m - from_loads
    }

    /// Where the moment is greatest in amount, and that moment with its sign: (m, N·m).
    ///
    /// It is greatest over a support, at an end of a load, or where the shear passes nothing below a spread load.
    #[must_use]
    pub fn greatest_moment(&self) -> (f64, f64) {
        let left_n = self.reactions_n().0;
        let mut places = Vec::with_capacity(2 * self.loads.len() + 2);
        places.extend([0.0, self.length_m]);
        for load in &self.loads {
            let (from, to) = load.ends_m();
            places.extend([from, to]);
        }
        places.sort_by(f64::total_cmp);
        places.dedup();
        let between = places.windows(2).filter_map(|pair| self.no_shear_between(left_n, pair[0], pair[1]));
        let at = |x: f64| (x, self.moment_from_n_m(left_n, x));
        let all = places.iter().copied().chain(between).map(at);
        all.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs())).unwrap_or((0.0, 0.0))
    }

    /// Where the shear passes nothing between two neighbouring ends of loads, between which it runs straight.
    fn no_shear_between(&self, left_n: f64, from_m: f64, to_m: f64) -> Option<f64> {
        let density: f64 = self.loads.iter().map(|load| density_at(load, f64::midpoint(from_m, to_m))).sum();
        if density == 0.0 {
            return None;
        }
        let x = from_m + self.shear_from_n(left_n, from_m) / density;
        (x > from_m && x < to_m).then_some(x)
    }

    /// The greatest shear in amount, N: at one of the supports, for loads that all push down.
    #[must_use]
    pub fn greatest_shear_n(&self) -> f64 {
        let (left, right) = self.reactions_n();
        left.abs().max(right.abs())
    }

    /// Deflection at a place by bending and by shear, m.
    #[must_use]
    pub fn deflection_m(&self, x_m: f64, stiffness: Stiffness) -> f64 {
        self.curve().deflection_m(x_m, stiffness)
    }

    /// Slope downward to the right by bending, times E I, at the left and the right support, N·m².
    #[must_use]
    pub fn end_slopes_n_m2(&self) -> (f64, f64) {
        let (curve, length) = (self.curve(), self.length_m);
        let from_loads: f64 = self.loads.iter().map(|load| macaulay(load, length, 2)).sum();
        let bent_back = curve.left_n * length * length / 2.0 + self.left_n_m * length;
        (curve.turn_n_m2, curve.turn_n_m2 + from_loads - bent_back)
    }

    fn curve(&self) -> Curve<'_> {
        let mut curve = Curve { span: self, left_n: self.reactions_n().0, turn_n_m2: 0.0 };
        // So that the right support does not sink.
        curve.turn_n_m2 = -curve.bent_n_m3(self.length_m) / self.length_m;
        curve
    }

    /// Where the deflection is greatest downward, and that deflection: (m, m).
    #[must_use]
    pub fn greatest_deflection(&self, stiffness: Stiffness) -> (f64, f64) {
        let (curve, step) = (self.curve(), self.length_m / STRETCHES as f64);
        let at = |x: f64| curve.deflection_m(x, stiffness);
        let cuts = (1..STRETCHES).map(|number| number as f64 * step).map(|x| (x, at(x)));
        let (deepest, _) =
            cuts.fold((0.0, f64::NEG_INFINITY), |deepest, cut| if cut.1 > deepest.1 { cut } else { deepest });
        // Between its neighbours the curve has one lowest point, where it is level.
        let (low, high) = (deepest - step, deepest + step);
        let level = zero_between(low, high, PLACE_FOUND_TO * self.length_m, |x| curve.slope(x, stiffness));
        let x = level.unwrap_or(deepest);
        (x, at(x))
    }
}

/// The bent line of a span, by Macaulay's method: E I y = θ x − R x³/6 − M x²/2 + Σ P⟨x − a⟩³/6 …
struct Curve<'a> {
    span: &'a Span,
    /// Force up from the left support.
    left_n: f64,
    /// Slope over the left support, times E I.
    turn_n_m2: f64,
}

impl Curve<'_> {
    fn deflection_m(&self, x_m: f64, stiffness: Stiffness) -> f64 {
        let bent_m = self.bent_n_m3(x_m) / stiffness.bending_n_m2;
        if stiffness.shear_n == f64::INFINITY {
            return bent_m;
        }
        bent_m + self.sheared_n_m(x_m) / stiffness.shear_n
    }

    /// Downward to the right: the derivative of the deflection.
    fn slope(&self, x_m: f64, stiffness: Stiffness) -> f64 {
        let span = self.span;
        let from_loads = |times| -> f64 { span.loads.iter().map(|load| macaulay(load, x_m, times)).sum() };
        let bent_n_m2 = self.turn_n_m2 + from_loads(2) - self.left_n * x_m * x_m / 2.0 - span.left_n_m * x_m;
        let bent = bent_n_m2 / stiffness.bending_n_m2;
        if stiffness.shear_n == f64::INFINITY {
            return bent;
        }
        let shear_n = span.shear_from_n(self.left_n, x_m) - (span.right_n_m - span.left_n_m) / span.length_m;
        bent + shear_n / stiffness.shear_n
    }

    fn bent_n_m3(&self, x_m: f64) -> f64 {
        let from_loads: f64 = self.span.loads.iter().map(|load| macaulay(load, x_m, 3)).sum();
        let supports = self.left_n * x_m * x_m * x_m / 6.0 + self.span.left_n_m * x_m * x_m / 2.0;
        from_loads + self.turn_n_m2 * x_m - supports
    }

    /// The moment of the loads alone: shear bends a span into this shape, κ M₀ / (G A).
    fn sheared_n_m(&self, x_m: f64) -> f64 {
        let span = self.span;
        let from_loads: f64 = span.loads.iter().map(|load| macaulay(load, x_m, 1)).sum();
        self.left_n * x_m - from_loads - (span.right_n_m - span.left_n_m) * x_m / span.length_m
    }
}

/// What a load brings to the shear at a place to the right of its beginning, N.
fn load_left_of(load: &Load, x_m: f64) -> f64 {
    match *load {
        Load::Point { at_m, force_n } => {
            if x_m >= at_m {
                force_n
            } else {
                0.0
            }
        }
        Load::Spread { .. } => macaulay(load, x_m, 0),
    }
}

/// A load, integrated `times` times more than into shear: ⟨x − a⟩ⁿ / n! for a point, one power more for a spread load.
///
/// Half of what timber takes to reckon is spent here, so that each caller gets the few products of its own power.
#[inline]
fn macaulay(load: &Load, x_m: f64, times: usize) -> f64 {
    match *load {
        Load::Point { at_m, force_n } => force_n * bracket(x_m - at_m, times),
        Load::Spread { from_m, to_m, force_n_per_m } => {
            force_n_per_m * (bracket(x_m - from_m, times + 1) - bracket(x_m - to_m, times + 1))
        }
    }
}

/// ⟨x − a⟩ⁿ / n! for n up to 4.
#[inline]
fn bracket(beyond_m: f64, power: usize) -> f64 {
    const FACTORIALS: [f64; 5] = [1.0, 1.0, 2.0, 6.0, 24.0];
    let beyond = beyond_m.max(0.0);
    let product = match power {
        0 => 1.0,
        1 => beyond,
        2 => beyond * beyond,
        3 => beyond * beyond * beyond,
        _ => beyond * beyond * beyond * beyond,
    };
    product / FACTORIALS[power]
}

fn density_at(load: &Load, x_m: f64) -> f64 {
    match *load {
        Load::Spread { from_m, to_m, force_n_per_m } if x_m > from_m && x_m < to_m => force_n_per_m,
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BENDING_ALONE: Stiffness = Stiffness { bending_n_m2: 1.0, shear_n: f64::INFINITY };

    fn near(have: f64, expected: f64) {
        assert!((have - expected).abs() <= 1e-6 * expected.abs().max(1e-9), "{have}, expected {expected}");
    }

    /// Textbook: 5 w L⁴ / 384 E I, w L² / 8.
    #[test]
    fn an_even_load_over_all_of_the_span() {
        let span = Span::free(3.0, vec![Load::Spread { from_m: 0.0, to_m: 3.0, force_n_per_m: 200.0 }]);
        near(span.greatest_moment().1, 200.0 * 9.0 / 8.0);
        near(span.greatest_moment().0, 1.5);
        near(span.greatest_deflection(BENDING_ALONE).1, 5.0 * 200.0 * 81.0 / 384.0);
    }

    /// Textbook: P a, P a (3 L² − 4 a²) / 24 E I.
    #[test]
    fn two_equal_loads_at_equal_distances() {
        let point = |at_m| Load::Point { at_m, force_n: 900.0 };
        let span = Span::free(3.0, vec![point(1.0), point(2.0)]);
        near(span.greatest_moment().1, 900.0);
        near(span.greatest_deflection(BENDING_ALONE).1, 900.0 * (27.0 - 4.0) / 24.0);
        near(span.reactions_n().0, 900.0);
    }

    /// Textbook: a load b from the right, greatest deflection P b (L² − b²)^1.5 / (9 √3 L) at √((L² − b²) / 3).
    #[test]
    fn a_load_out_of_the_middle() {
        let span = Span::free(4.0, vec![Load::Point { at_m: 3.0, force_n: 1000.0 }]);
        let (x, y) = span.greatest_deflection(BENDING_ALONE);
        assert!((x - (15.0_f64 / 3.0).sqrt()).abs() < 1e-4, "{x}");
        near(y, 1000.0 * 15.0_f64.powf(1.5) / (9.0 * 3.0_f64.sqrt() * 4.0));
    }

    /// Textbook, a beam turned at its left end by M: slopes M L / 3 and M L / 6.
    #[test]
    fn a_moment_at_one_end() {
        let span = Span { length_m: 2.0, loads: Vec::new(), left_n_m: 6.0, right_n_m: 0.0 };
        near(span.end_slopes_n_m2().0, 4.0);
        near(span.end_slopes_n_m2().1, -2.0);
    }
}
