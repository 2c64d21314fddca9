//! Numbers held against others.

/// Fails unless two numbers agree to a relative tolerance.
#[track_caller]
pub fn near(have: f64, expected: f64, relative: f64, what: &str) {
    assert!((have - expected).abs() <= relative * expected.abs(), "{what}: {have}, expected {expected}");
}
