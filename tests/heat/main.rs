//! Heat against reference libraries, against print, and against what must hold for any numbers.

mod drawing;
#[path = "../example/mod.rs"]
mod example;
#[path = "../generated/mod.rs"]
mod generated;
mod oracle;
mod properties;
mod published;

/// Fails unless two numbers agree to a relative tolerance.
fn near(have: f64, expected: f64, relative: f64, what: &str) {
    assert!((have - expected).abs() <= relative * expected.abs(), "{what}: {have}, expected {expected}");
}
