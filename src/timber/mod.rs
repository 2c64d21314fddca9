//! Timber: what carries the weight. Beams and strips, the checks of EN 1995-1-1, and the load path as drawn.

mod ceiling;
mod eurocode;
mod load;
mod span;
mod strip;

pub use ceiling::{SpanFrom, greatest_span_mm, reckoned_span_m};
pub use eurocode::{
    ALONE, Check, Combination, Duration, HELPED, Piece, Sag, Section, Shares, combinations, depth_factor,
};
pub use load::{Load, Loads};
pub use span::{Span, Stiffness};
pub use strip::{Strip, Unsupported};
