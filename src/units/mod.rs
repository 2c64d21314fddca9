//! Quantities with their units: what a number in the program may be, how people type it, how it is shown.

mod entry;
mod gradient;
mod measured;
mod quantity;
mod stride;
mod text;

pub use entry::{Entry, EntryError};
pub use gradient::Gradient;
pub use measured::Measured;
pub use quantity::{
    Conductance, Duration, Flow, HeatLoss, Length, Level, LossCoefficient, Mass, NotAQuantity, Power, Pressure, Size,
    SurfaceLoad, Temperature, Volume,
};
pub use stride::{Course, Stride, StrideError, strides};
pub use text::{Amount, Unit};

/// Millimetres in a metre.
pub const MM_IN_A_METRE: f64 = 1000.0;
/// Millimetres in an inch, exact by the international yard and pound agreement of 1959.
pub const MM_IN_AN_INCH: f64 = 25.4;
/// Litres in an imperial gallon, exact by the Weights and Measures Act 1985, Schedule 1.
pub const LITRES_IN_A_GALLON: f64 = 4.546_09;
/// Standard gravity in m/s², exact by definition (3rd CGPM, 1901).
pub const STANDARD_GRAVITY_M_S2: f64 = 9.80665;
