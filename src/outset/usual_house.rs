//! The house as it usually is (common practice, no source): what is taken until somebody tells another.

/// From one outer wall's outside to the other's, across the ridge, mm.
pub const WIDTH_MM: f64 = 7000.0;
/// From a finished floor to the ceiling above it, mm.
pub const ROOM_MM: f64 = 2400.0;
/// From a ceiling to the finished floor above it, mm.
pub const FLOOR_MM: f64 = 200.0;
/// How thick the board of a ceiling is, mm.
pub const CEILING_BOARD_MM: f64 = 12.5;
/// How thick an outer wall is, mm.
pub const WALL_MM: f64 = 250.0;
/// Joists, middle to middle, mm.
pub const JOIST_SPACING_MM: f64 = 400.0;
/// How thick a joist is, mm.
pub const JOIST_BREADTH_MM: f64 = 47.0;
/// How high a joist is, mm.
pub const JOIST_DEPTH_MM: f64 = 147.0;
/// The middle of the first joist lies so far from the wall's inner face, mm.
pub const FIRST_JOIST_MM: f64 = 50.0;
/// The roof reaches so far beyond the wall's outer face, mm.
pub const EAVES_OUT_MM: f64 = 350.0;
/// How broad a boiler is, mm.
pub const BOILER_LENGTH_MM: f64 = 400.0;
