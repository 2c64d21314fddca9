//! Loads on a beam: at a point, or spread evenly over a stretch.

/// A load that pushes down; positions are measured along the beam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Load {
    /// At one point.
    Point {
        /// Where, m.
        at_m: f64,
        /// How much, N.
        force_n: f64,
    },
    /// Even over a stretch.
    Spread {
        /// Where it begins, m.
        from_m: f64,
        /// Where it ends, m.
        to_m: f64,
        /// How much on each metre, N/m.
        force_n_per_m: f64,
    },
}

impl Load {
    /// All of it, N.
    #[must_use]
    pub fn total_n(&self) -> f64 {
        match *self {
            Self::Point { force_n, .. } => force_n,
            Self::Spread { from_m, to_m, force_n_per_m } => force_n_per_m * (to_m - from_m),
        }
    }

    /// Its moment about the origin, N·m.
    #[must_use]
    pub fn about_origin_n_m(&self) -> f64 {
        match *self {
            Self::Point { at_m, force_n } => force_n * at_m,
            Self::Spread { from_m, to_m, .. } => self.total_n() * f64::midpoint(from_m, to_m),
        }
    }

    /// So many times as much.
    #[must_use]
    pub fn times(&self, factor: f64) -> Self {
        match *self {
            Self::Point { at_m, force_n } => Self::Point { at_m, force_n: force_n * factor },
            Self::Spread { from_m, to_m, force_n_per_m } => {
                Self::Spread { from_m, to_m, force_n_per_m: force_n_per_m * factor }
            }
        }
    }

    /// The same load measured from another origin.
    #[must_use]
    pub fn from_origin(&self, origin_m: f64) -> Self {
        match *self {
            Self::Point { at_m, force_n } => Self::Point { at_m: at_m - origin_m, force_n },
            Self::Spread { from_m, to_m, force_n_per_m } => {
                Self::Spread { from_m: from_m - origin_m, to_m: to_m - origin_m, force_n_per_m }
            }
        }
    }

    /// What of it lies between two positions; a point on the upper one belongs to what follows.
    #[must_use]
    pub fn within(&self, low_m: f64, high_m: f64) -> Option<Self> {
        match *self {
            Self::Point { at_m, .. } => (at_m >= low_m && at_m < high_m).then_some(*self),
            Self::Spread { from_m, to_m, force_n_per_m } => {
                let (from_m, to_m) = (from_m.max(low_m), to_m.min(high_m));
                (to_m > from_m).then_some(Self::Spread { from_m, to_m, force_n_per_m })
            }
        }
    }

    /// Where it begins and ends, m.
    #[must_use]
    pub const fn ends_m(&self) -> (f64, f64) {
        match *self {
            Self::Point { at_m, .. } => (at_m, at_m),
            Self::Spread { from_m, to_m, .. } => (from_m, to_m),
        }
    }
}

/// Loads on one beam by how long they last.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Loads {
    /// What never goes away: timber, board, ceiling.
    pub dead: Vec<Load>,
    /// Cisterns and cylinders with their water.
    pub water: Vec<Load>,
    /// What people put beside them.
    pub storage: Vec<Load>,
}

impl Loads {
    /// Dead load and vessels together, N.
    #[must_use]
    pub fn from_above_n(&self) -> f64 {
        self.dead.iter().chain(&self.water).map(Load::total_n).sum()
    }

    /// All loads, each kind times its factor.
    #[must_use]
    pub fn factored(&self, dead: f64, water: f64, storage: f64) -> Vec<Load> {
        let mut all = Vec::with_capacity(self.dead.len() + self.water.len() + self.storage.len());
        for (loads, factor) in [(&self.dead, dead), (&self.water, water), (&self.storage, storage)] {
            if factor != 0.0 {
                all.extend(loads.iter().map(|load| load.times(factor)));
            }
        }
        all
    }
}
