//! Numerical methods that know no water.

mod conductances;

pub use conductances::Elimination;
