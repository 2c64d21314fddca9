//! Where a function of one number passes zero, between two places at which its signs differ.

/// Halvings after which no f64 is left between the ends.
const MOST_STEPS: usize = 200;

/// A place between `low` and `high` where `function` passes zero, to within `accuracy` or as near as numbers lie.
/// `None` if the signs at the ends do not differ or a value is no number.
///
/// The method of Oliveira and Takahashi, ACM Trans. Math. Softw. 47 (2020): interpolate, truncate, project; no slower
/// than halving, and mostly as fast as chords.
#[must_use]
pub fn zero_between(low: f64, high: f64, accuracy: f64, function: impl Fn(f64) -> f64) -> Option<f64> {
    let (mut low, mut high) = (low.min(high), low.max(high));
    let (mut at_low, mut at_high) = (function(low), function(high));
    if at_low == 0.0 {
        return Some(low);
    }
    if at_high == 0.0 {
        return Some(high);
    }
    if at_low.is_nan() || at_high.is_nan() || at_low.is_sign_negative() == at_high.is_sign_negative() {
        return None;
    }
    let accuracy = accuracy.max(f64::MIN_POSITIVE);
    let pull = 0.2 / (high - low);
    let halvings = ((high - low) / (2.0 * accuracy)).log2().ceil().max(0.0);
    for step in 0..MOST_STEPS {
        let middle = f64::midpoint(low, high);
        if high - low <= 2.0 * accuracy || middle <= low || middle >= high {
            return Some(middle);
        }
        let chord = low + (high - low) * at_low / (at_low - at_high);
        let truncation = pull * (high - low) * (high - low);
        let towards_middle = (middle - chord).signum();
        let truncated = if truncation <= (middle - chord).abs() { chord + towards_middle * truncation } else { middle };
        let slack = f64::from(u32::try_from(step).unwrap_or(u32::MAX));
        let reach = accuracy * (halvings + 1.0 - slack).exp2() - (high - low) / 2.0;
        let tried =
            if (truncated - middle).abs() <= reach { truncated } else { middle - towards_middle * reach.max(0.0) };
        // Rounding may put what is tried on an end.
        let tried = if tried > low && tried < high { tried } else { middle };
        let value = function(tried);
        if value == 0.0 {
            return Some(tried);
        }
        if value.is_nan() {
            return None;
        }
        if value.is_sign_negative() == at_low.is_sign_negative() {
            (low, at_low) = (tried, value);
        } else {
            (high, at_high) = (tried, value);
        }
    }
    Some(f64::midpoint(low, high))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::cell::Cell;

    #[test]
    fn zeros_are_found_in_few_steps() {
        type Case = (fn(f64) -> f64, f64, f64, f64);
        let cases: [Case; 4] = [
            (|x| x * x - 2.0, 0.0, 2.0, 2.0_f64.sqrt()),
            (|x| x.cos() - x, 0.0, 1.0, 0.739_085_133_215_160_6),
            (|x| x.powi(9) - 1e-9, 0.0, 1.0, 0.1),
            (|x| (x - 3.0).cbrt(), 10.0, -5.0, 3.0),
        ];
        for (function, low, high, zero) in cases {
            let calls = Cell::new(0);
            let counted = |x| {
                calls.set(calls.get() + 1);
                function(x)
            };
            let found = zero_between(low, high, 1e-14, counted).expect("the signs differ");
            assert!((found - zero).abs() < 1e-13, "{found}, not {zero}");
            assert!(calls.get() <= 55, "{} calls", calls.get());
        }
    }

    #[test]
    fn without_a_change_of_sign_there_is_none() {
        assert_eq!(zero_between(1.0, 2.0, 1e-9, |x| x), None);
        assert_eq!(zero_between(-1.0, 2.0, 1e-9, |_| f64::NAN), None);
        assert_eq!(zero_between(0.0, 2.0, 1e-9, |x| x), Some(0.0));
    }
}
