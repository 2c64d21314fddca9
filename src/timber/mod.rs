//! Timber: what carries the weight. Beams and strips, the checks of EN 1995-1-1, and the load path as drawn.

mod borne;
mod ceiling;
mod eurocode;
mod filling;
mod floor;
mod load;
mod path;
mod plan;
pub mod readings;
mod span;
mod strip;
mod trusses;
mod worked;

pub use borne::Borne;
pub use ceiling::{SpanFrom, greatest_span_mm, reckoned_span_m};
pub use eurocode::{
    ALONE, Check, Combination, Duration, HELPED, Piece, Sag, Section, Shares, combinations, depth_factor,
};
pub use floor::{FloorWeight, OnFloor};
pub use load::{Load, Loads};
pub use path::{LoadPath, Member, Members, OnPlatform};
pub use span::{Span, Stiffness};
pub use strip::{Strip, Unsupported};
pub use trusses::{NODES_PER_TRUSS, SharedTrusses, Trusses, node_n};
pub use worked::{Kind, Worked};
