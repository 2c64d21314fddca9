//! How much is tried before mending gives up, and how it is called off while it runs.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// Calls mending off, also from another thread. Copies call off the same.
#[derive(Debug, Clone, Default)]
pub struct Stop(Arc<AtomicBool>);

impl Stop {
    /// Calls it off: it ends soon, with what it has found.
    pub fn pull(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Whether it has been called off.
    #[must_use]
    pub fn is_pulled(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// So many layouts are judged at most. The worst of the examples takes some hundreds; a count, and no clock, so that the
/// same layout is always mended alike.
pub const MOST_JUDGED: usize = 12_000;

/// What has been tried so far.
pub(super) struct Effort {
    judged: AtomicUsize,
    most: usize,
    stop: Stop,
}

impl Effort {
    pub fn new(most: usize, stop: Stop) -> Self {
        Self { judged: AtomicUsize::new(0), most, stop }
    }

    /// One more layout is judged.
    pub fn count(&self) {
        self.judged.fetch_add(1, Ordering::Relaxed);
    }

    pub fn judged(&self) -> usize {
        self.judged.load(Ordering::Relaxed)
    }

    /// Whether it has to end here.
    pub fn is_spent(&self) -> bool {
        self.judged.load(Ordering::Relaxed) >= self.most || self.stop.is_pulled()
    }
}
