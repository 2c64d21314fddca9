//! Numerical methods that know no water.

mod bracket;
mod conductances;
mod dead_ends;
mod least_squares;
mod linear;
mod lowest_pass;
mod ordered;
mod quadrature;
mod splitmix;
mod union;

pub use bracket::zero_between;
pub use conductances::{Elimination, Sweep};
pub use dead_ends::without_dead_ends;
pub use least_squares::{Least, Row, least_weighted_squares};
pub use linear::linear_solution;
pub use lowest_pass::lowest_passes;
pub use ordered::Ordered;
pub use quadrature::{Place, integral};
pub use splitmix::{SplitMix, seed_of};
pub use union::Union;
