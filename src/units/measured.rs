//! A value with the standard uncertainty it was measured to, carried through sums as the GUM does.

/// A value and its variance, both in the same unit (and its square).
///
/// Inputs are taken as independent (JCGM 100:2008, 5.1.2): u_c² = Σ(c_i u_i)².
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// The best estimate.
    pub value: f64,
    /// The square of the standard uncertainty.
    pub variance: f64,
}

impl Measured {
    /// A value that is exact: designed, counted or taken from a table.
    #[must_use]
    pub const fn exact(value: f64) -> Self {
        Self { value, variance: 0.0 }
    }

    /// A value known only to lie within `half_width` of the estimate (rectangular: u = a/√3, JCGM 100:2008, 4.3.7).
    #[must_use]
    pub fn within(value: f64, half_width: f64) -> Self {
        Self { value, variance: half_width * half_width / 3.0 }
    }

    /// Adds a further independent rectangular source of doubt.
    #[must_use]
    pub fn blurred(self, half_width: f64) -> Self {
        Self { value: self.value, variance: self.variance + half_width * half_width / 3.0 }
    }

    /// The standard uncertainty u.
    #[must_use]
    pub fn standard_uncertainty(self) -> f64 {
        self.variance.sqrt()
    }

    /// The value times an exact factor.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self { value: self.value * factor, variance: self.variance * factor * factor }
    }

    /// The product of two measured values, by first-order propagation.
    #[must_use]
    pub fn times(self, other: Self) -> Self {
        Self {
            value: self.value * other.value,
            variance: self.variance * other.value * other.value + other.variance * self.value * self.value,
        }
    }

    /// The smaller of two.
    #[must_use]
    pub fn min(self, other: Self) -> Self {
        if other.value < self.value { other } else { self }
    }

    /// The greater of two.
    #[must_use]
    pub fn max(self, other: Self) -> Self {
        if other.value > self.value { other } else { self }
    }
}

impl std::ops::Add for Measured {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { value: self.value + other.value, variance: self.variance + other.variance }
    }
}

impl std::ops::Sub for Measured {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { value: self.value - other.value, variance: self.variance + other.variance }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// JCGM 100 budget of a difference of two levels by class II tape (0.9 and 0.7 mm) read to 0.5 mm:
    /// u = 0.774597, as computed with GTC 1.5.1 and uncertainties 3.2.3.
    #[test]
    fn a_difference_of_two_tape_readings() {
        let upper = Measured::within(2310.0, 0.9).blurred(0.5);
        let lower = Measured::within(1875.0, 0.7).blurred(0.5);
        let difference = upper - lower;
        assert_eq!(difference.value, 435.0);
        assert!((difference.standard_uncertainty() - 0.774_597).abs() < 1e-6);
    }
}
