//! What heat does to a layout as it is drawn: each cistern, each cylinder, each pipe.

use super::cistern_warmth::{self, CisternWarmth};
use super::cylinder_warmth::{self, CylinderWarmth};
use super::hot_pipe::{self, HotPipe};
use super::loft_pipe::{self, LoftPipe};
use super::stretch::loft_floor_mm;
use crate::layout::{Climate, End, Id, PartRef};
use crate::measure::Site;

/// What heat does to a layout. Derived once from a site, and thrown away with it.
#[derive(Debug, Clone, PartialEq)]
pub struct Warmth {
    /// What of the weather is told.
    pub climate: Climate,
    /// Cisterns in the loft.
    pub cisterns: Vec<CisternWarmth>,
    /// Cylinders.
    pub cylinders: Vec<CylinderWarmth>,
    /// Pipes with hot water.
    pub hot_pipes: Vec<HotPipe>,
    /// Pipes with water in the loft; nobody knows which they are where no ceiling is told.
    pub loft_pipes: Vec<LoftPipe>,
    /// Pipes that leave cisterns while no ceiling tells which of them are in the loft.
    pub homeless_pipes: Vec<Id>,
}

impl Warmth {
    /// Reckons everything. Takes time in proportion to the number of parts.
    #[must_use]
    pub fn of(site: &Site<'_>) -> Self {
        Self {
            climate: site.layout().climate,
            cisterns: cistern_warmth::of_all(site),
            cylinders: cylinder_warmth::of_all(site),
            hot_pipes: hot_pipe::of_all(site),
            loft_pipes: loft_pipe::of_all(site),
            homeless_pipes: homeless_pipes(site),
        }
    }
}

fn homeless_pipes(site: &Site<'_>) -> Vec<Id> {
    if loft_floor_mm(site).is_some() {
        return Vec::new();
    }
    let on_cistern = |end: &End| match end {
        End::Port(part, _) => matches!(site.part(part), Some(PartRef::Cistern(_))),
        _ => false,
    };
    let runs = site.layout().runs.iter();
    runs.filter(|run| on_cistern(&run.from) || on_cistern(&run.to)).map(|run| run.id.clone()).collect()
}
