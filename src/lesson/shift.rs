//! Something moved so far that a rule is broken, or so far that it is only just kept.

use crate::finding::{Finding, FindingKey, Findings};
use crate::layout::{Edit, Layout};
use crate::measure::Have;
use crate::mend::Handle;
use crate::rules::{Limit, Verdict};
use crate::units::Unit;

/// A handle, and a reading that moves with it.
#[derive(Debug, Clone)]
pub(super) struct Shift {
    pub handle: Handle,
    /// The finding whose reading moves.
    pub key: FindingKey,
    /// How much clearance a millimetre of shift gives, mm.
    slope: f64,
}

/// A reading that moves less than this for each millimetre hardly hangs on the handle.
const LEAST_SLOPE: f64 = 0.3;
/// How far a handle is moved to see what moves with it, mm.
const PROBE_MM: f64 = 1.0;
/// A vessel or board is moved no further than this, mm: beyond it the drawing looks like another house.
const FURTHEST_OF_VESSELS_MM: f64 = 500.0;
/// The same for pipes, mm.
const FURTHEST_OF_PIPES_MM: f64 = 1500.0;

/// How far a number is on the good side of its bound, mm, the margin of its measurement taken off; none where it is no
/// length that is measured.
pub(super) fn clearance_mm(finding: &Finding) -> Option<f64> {
    let need = finding.judged.need?;
    match (&finding.reading.have, finding.limit) {
        (Have::Amount(have, Unit::Millimetre), Limit::AtLeast(_) | Limit::MoreThan(_)) => {
            Some(have.value - need.value - finding.judged.margin)
        }
        (Have::Amount(have, Unit::Millimetre), Limit::AtMost(_)) => {
            Some(need.value - have.value - finding.judged.margin)
        }
        _ => None,
    }
}

/// What moves with a handle of a layout, by a small trial.
pub(super) fn shifts_of(handle: &Handle, before: &Findings, after: &Findings) -> Vec<Shift> {
    let moved = |(key, finding): (FindingKey, &Finding)| {
        let then = after.keyed().find(|(other, _)| *other == key)?;
        let slope = (clearance_mm(then.1)? - clearance_mm(finding)?) / PROBE_MM;
        let counts = finding.judged.verdict == Verdict::Meets && slope.abs() >= LEAST_SLOPE;
        counts.then(|| Shift { handle: handle.clone(), key, slope })
    };
    before.keyed().filter_map(moved).collect()
}

/// The small trial itself.
pub(super) fn probe(handle: &Handle, layout: &Layout) -> Option<Edit> {
    handle.edit(layout, PROBE_MM)
}

impl Shift {
    /// The edit that brings the clearance from `now_mm` to `wanted_mm` or, since whole millimetres are moved, further
    /// from the bound on the same side of it; none when that is further than the handle goes.
    pub fn edit(&self, layout: &Layout, now_mm: f64, wanted_mm: f64) -> Option<Edit> {
        let exact_mm = (wanted_mm - now_mm) / self.slope;
        // Away from the bound: more clearance for what is to be kept, less for what is to be broken.
        let rising = (self.slope > 0.0) == (wanted_mm > 0.0);
        let by_mm = if rising { exact_mm.ceil() } else { exact_mm.floor() };
        let (least_mm, greatest_mm) = self.reach_mm(layout);
        let moves = by_mm != 0.0 && (least_mm..=greatest_mm).contains(&by_mm);
        moves.then(|| self.handle.edit(layout, by_mm))?
    }

    fn reach_mm(&self, layout: &Layout) -> (f64, f64) {
        let (least_mm, greatest_mm) = self.handle.bounds_mm(layout);
        match self.handle {
            // Mending makes boards larger only; a fault may be a board that is too small.
            Handle::PlatformLeft(_) | Handle::PlatformRight(_) | Handle::PlatformDepth(_) => {
                (-FURTHEST_OF_VESSELS_MM, greatest_mm.min(FURTHEST_OF_VESSELS_MM))
            }
            Handle::PartRight(_) | Handle::PartUp(_) => {
                (least_mm.max(-FURTHEST_OF_VESSELS_MM), greatest_mm.min(FURTHEST_OF_VESSELS_MM))
            }
            _ => (least_mm.max(-FURTHEST_OF_PIPES_MM), greatest_mm.min(FURTHEST_OF_PIPES_MM)),
        }
    }
}
