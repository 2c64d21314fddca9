//! Numbers in order, for queues and sorting that ask for a whole order.

use std::cmp::Ordering;

/// A number that is ordered as `f64::total_cmp` has it.
#[derive(Debug, Clone, Copy)]
pub struct Ordered(pub f64);

impl PartialEq for Ordered {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Ordered {}

impl PartialOrd for Ordered {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Ordered {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.total_cmp(&other.0)
    }
}
