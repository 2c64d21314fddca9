//! Something moved so far that a rule is broken, or so far that it is only just kept.

use crate::finding::{Finding, FindingKey, Findings};
use crate::layout::{Edit, End, Id, Layout, Part, Run, WhichEnd};
use crate::measure::Have;
use crate::mend::{Handle, free_end, with_end_raised};
use crate::rules::{Limit, Verdict};
use crate::units::Unit;

/// What is moved.
#[derive(Debug, Clone)]
pub(super) enum Grip {
    /// What mending moves.
    Handle(Handle),
    /// The top of a vent whose open end turns down from there and follows it by [`END_FOLLOWS`].
    VentTop(Id),
}

/// A grip, and a reading that moves with it.
#[derive(Debug, Clone)]
pub(super) struct Shift {
    grip: Grip,
    /// The finding whose reading moves.
    pub key: FindingKey,
    /// How much clearance a millimetre of shift gives, mm.
    slope: f64,
}

/// A reading that moves less than this for each millimetre hardly hangs on the handle.
const LEAST_SLOPE: f64 = 0.3;
/// How much of its top's way the open end of a vent follows: it is to stay below the top, and clear of the float valve.
const END_FOLLOWS: f64 = 0.6;
/// How far a grip is moved to see what moves with it, mm.
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

/// What moves with a grip of a layout, by a small trial.
pub(super) fn shifts_of(grip: &Grip, before: &Findings, after: &Findings) -> Vec<Shift> {
    let moved = |(key, finding): (&FindingKey, &Finding)| {
        let then = after.find(key)?;
        let slope = (clearance_mm(then)? - clearance_mm(finding)?) / PROBE_MM;
        let counts = finding.judged.verdict == Verdict::Meets && slope.abs() >= LEAST_SLOPE;
        counts.then(|| Shift { grip: grip.clone(), key: key.clone(), slope })
    };
    before.keyed().filter_map(moved).collect()
}

impl Grip {
    /// All that a layout has.
    pub(super) fn all(layout: &Layout) -> Vec<Self> {
        let tops = layout.runs.iter().filter(|run| run.service.is_vent() && turns_down_by_mm(run) > 0.0);
        let handles = Handle::all(layout, &[]).into_iter().map(Self::Handle);
        handles.chain(tops.map(|run| Self::VentTop(run.id.clone()))).collect()
    }

    /// A small trial of it.
    pub(super) fn probe(&self, layout: &Layout) -> Option<Edit> {
        self.edit(layout, PROBE_MM)
    }

    fn edit(&self, layout: &Layout, by_mm: f64) -> Option<Edit> {
        match self {
            Self::Handle(handle) => handle.edit(layout, by_mm),
            Self::VentTop(id) => {
                let vent = with_end_raised(layout, id, by_mm, by_mm * END_FOLLOWS)?;
                (turns_down_by_mm(&vent) >= 0.0).then(|| Edit::put(Part::Run(vent)))
            }
        }
    }
}

/// How far a pipe's open end lies below its last bend, mm; nothing where it has none.
fn turns_down_by_mm(run: &Run) -> f64 {
    let mouth = free_end(run);
    let bend = match mouth {
        Some(WhichEnd::From) => run.via.first(),
        _ => run.via.last(),
    };
    match (bend, mouth.map(|mouth| run.end(mouth))) {
        (Some(bend), Some(End::Open(end))) => bend.z.to_mm() - end.z.to_mm(),
        _ => 0.0,
    }
}

impl Shift {
    /// The edit that brings the clearance from `now_mm` to `wanted_mm` or, since whole millimetres are moved, further
    /// from the bound on the same side of it; none when that is further than the grip goes.
    pub fn edit(&self, layout: &Layout, now_mm: f64, wanted_mm: f64) -> Option<Edit> {
        let exact_mm = (wanted_mm - now_mm) / self.slope;
        // Away from the bound: more clearance for what is to be kept, less for what is to be broken.
        let rising = (self.slope > 0.0) == (wanted_mm > 0.0);
        let by_mm = if rising { exact_mm.ceil() } else { exact_mm.floor() };
        let (least_mm, greatest_mm) = self.reach_mm(layout);
        let moves = by_mm != 0.0 && (least_mm..=greatest_mm).contains(&by_mm);
        moves.then(|| self.grip.edit(layout, by_mm))?
    }

    fn reach_mm(&self, layout: &Layout) -> (f64, f64) {
        let Grip::Handle(handle) = &self.grip else { return (-FURTHEST_OF_PIPES_MM, FURTHEST_OF_PIPES_MM) };
        let (least_mm, greatest_mm) = handle.bounds_mm(layout);
        match handle {
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
