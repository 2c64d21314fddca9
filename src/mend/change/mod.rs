//! Changes that have no number to move: a valve, a screen, a lid, a jacket, a board, a tube; one part each.

mod broken;
mod cisterns;
mod courses;
mod cylinders;
mod exchange;
mod fall;
mod fittings;
mod lagging;
mod mixing;
mod platforms;
mod tubes;
mod twins;
mod why_not;

pub use cisterns::CisternChange;
pub use courses::CourseChange;
pub use cylinders::CylinderChange;
pub use fittings::FittingChange;
pub use lagging::{LaggingChange, Span};
pub use mixing::MixingValve;
pub use platforms::PlatformChange;
pub use tubes::TubeChange;
pub use why_not::why_not;

use super::Consent;
use super::demand::Judge;
use crate::finding::{Finding, FindingKey};
use crate::layout::{Edit, Id, Layout};
use broken::Broken;

/// One change of one part, or of runs that are changed alike.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Of what sits in a run or on it.
    Fitting(Id, FittingChange),
    /// Of the way that a run is led.
    Course(Id, CourseChange),
    /// Of the insulation of runs.
    Lagging(LaggingChange),
    /// Of the tube of runs.
    Tube(TubeChange),
    /// Of a cistern.
    Cistern(Id, CisternChange),
    /// Of a platform, or of the joists below it.
    Platform(Id, PlatformChange),
    /// Of a cylinder.
    Cylinder(Id, CylinderChange),
    /// A mixing valve before an outlet.
    Mixing(Id, MixingValve),
}

impl Change {
    /// Whether it changes a part.
    #[must_use]
    pub fn touches(&self, part: &Id) -> bool {
        match self {
            Self::Fitting(id, _)
            | Self::Course(id, _)
            | Self::Cistern(id, _)
            | Self::Platform(id, _)
            | Self::Cylinder(id, _)
            | Self::Mixing(id, _) => id == part,
            Self::Lagging(change) => change.spans.iter().any(|span| span.run == *part),
            Self::Tube(change) => change.runs.contains(part),
        }
    }

    /// What is done, in words.
    #[must_use]
    pub fn words(&self, layout: &Layout) -> String {
        match self {
            Self::Fitting(id, change) => change.words(layout, id),
            Self::Course(id, change) => change.words(layout, id),
            Self::Lagging(change) => change.words(),
            Self::Tube(change) => change.words(),
            Self::Cistern(id, change) => change.words(id),
            Self::Platform(id, change) => change.words(layout, id),
            Self::Cylinder(id, change) => change.words(id),
            Self::Mixing(id, valve) => valve.words(id),
        }
    }

    /// Whether it changes the house: a cistern is moved before that.
    #[must_use]
    pub const fn is_of_the_house(&self) -> bool {
        matches!(self, Self::Platform(_, PlatformChange::JoistsBeside { .. }))
    }

    /// Whether it may be done without asking. Parts have to be bought, and someone has to agree to that.
    #[must_use]
    pub const fn consent(&self) -> Consent {
        match self {
            Self::Course(_, change) => change.consent(),
            Self::Cistern(_, change) => change.consent(),
            Self::Cylinder(_, change) => change.consent(),
            // What board, bearer or joist carries is for a competent person who stands in the loft to say.
            Self::Platform(..) => Consent::ShowOnly,
            Self::Fitting(..) | Self::Lagging(_) | Self::Tube(_) | Self::Mixing(..) => Consent::NeedsDecision,
        }
    }

    /// The edits that make it; nothing when the layout no longer has what it changes.
    #[must_use]
    pub fn edits(&self, layout: &Layout) -> Vec<Edit> {
        match self {
            Self::Fitting(id, change) => change.edits(layout, id),
            Self::Course(id, change) => change.edits(layout, id),
            Self::Lagging(change) => Some(change.edits(layout)),
            Self::Tube(change) => Some(change.edits(layout)),
            Self::Cistern(id, change) => change.edits(layout, id),
            Self::Platform(id, change) => change.edits(layout, id),
            Self::Cylinder(id, change) => change.edits(layout, id),
            Self::Mixing(id, valve) => valve.edits(layout, id),
        }
        .unwrap_or_default()
    }
}

/// What may clear a broken finding, the least change first.
pub(in crate::mend) fn changes(judge: &Judge, layout: &Layout, key: &FindingKey, finding: &Finding) -> Vec<Change> {
    let broken = Broken { judge, layout, key, finding };
    // Each rule stands in one of these families alone.
    let families = [
        cisterns::changes,
        cylinders::changes,
        mixing::changes,
        platforms::changes,
        fittings::changes,
        tubes::changes,
        lagging::changes,
        courses::changes,
    ];
    families.into_iter().flat_map(|family| family(&broken)).collect()
}
