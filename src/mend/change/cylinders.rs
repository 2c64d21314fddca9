//! Changes of cylinders: their grade, their jacket, their thermostat, the cut-outs of their immersion heaters.

use super::Change;
use super::broken::Broken;
use crate::layout::{CutOut, CylinderCover, CylinderGrade, Edit, Id, Layout, Part};
use crate::mend::Consent;
use crate::units::{Length, Temperature};

/// The thickness of jacket that is offered, mm: what the rule of standing loss names.
const JACKET_MM: f64 = 80.0;

/// A change of a cylinder.
#[derive(Debug, Clone, PartialEq)]
pub enum CylinderChange {
    /// A jacket round it.
    Jacket {
        /// How thick, mm.
        thickness_mm: f64,
    },
    /// One of a stronger grade in its place.
    Stronger(CylinderGrade),
    /// Immersion heaters with a cut-out that has to be reset by hand.
    CutOuts,
    /// Its thermostat set anew.
    Thermostat {
        /// What it is set to, °C.
        set_c: f64,
    },
}

impl CylinderChange {
    pub(super) fn words(&self, cylinder: &Id) -> String {
        let spoken = cylinder.with_article();
        match self {
            Self::Jacket { thickness_mm } => format!("Put a jacket of {thickness_mm:.0} mm round {spoken}"),
            Self::Stronger(grade) => format!("Set up a cylinder of {} in place of {spoken}", grade.words()),
            Self::CutOuts => {
                format!("Have an electrician fit cut-outs that are reset by hand to the immersion heaters of {spoken}")
            }
            Self::Thermostat { set_c } => format!("Set the thermostat of {spoken} to {set_c:.0} °C"),
        }
    }

    pub(super) const fn consent(&self) -> Consent {
        match self {
            // Whether what is told of it is so, is seen there.
            Self::Thermostat { .. } => Consent::ShowOnly,
            Self::Jacket { .. } | Self::Stronger(_) | Self::CutOuts => Consent::NeedsDecision,
        }
    }

    pub(super) fn edits(&self, layout: &Layout, id: &Id) -> Option<Vec<Edit>> {
        let mut cylinder = layout.cylinder(id)?.clone();
        match self {
            Self::Jacket { thickness_mm } => {
                cylinder.insulation = Some(Length::mm(*thickness_mm));
                cylinder.cover = Some(CylinderCover::LooseJacket);
                // What was measured without the jacket no longer holds.
                cylinder.standing_loss = None;
            }
            Self::Stronger(grade) => cylinder.grade = Some(*grade),
            Self::CutOuts => {
                let heaters = cylinder.immersions.as_mut()?;
                heaters.iter_mut().for_each(|heater| heater.cut_out = Some(CutOut::ResetByHand));
            }
            Self::Thermostat { set_c } => {
                cylinder.stored_temperature = Some(Temperature::try_celsius(*set_c).ok()?);
            }
        }
        Some(vec![Edit::put(Part::Cylinder(cylinder))])
    }
}

pub(super) fn changes(broken: &Broken<'_>) -> Vec<Change> {
    match broken.rule() {
        "cylinder-loses-too-much" => {
            broken.on_subject(|id| Change::Cylinder(id, CylinderChange::Jacket { thickness_mm: JACKET_MM }))
        }
        "cylinder-head-too-great" => stronger_cylinders(broken),
        "immersion-without-cut-out" => {
            let cut_outs = broken.cylinder().map(|part| Change::Cylinder(part.id.clone(), CylinderChange::CutOuts));
            cut_outs.into_iter().collect()
        }
        "store-too-cool" | "store-hotter-than-needed" => {
            let asked = broken.cylinder().zip(broken.finding.judged.need);
            let set = asked.map(|(part, need)| {
                Change::Cylinder(part.id.clone(), CylinderChange::Thermostat { set_c: need.value })
            });
            set.into_iter().collect()
        }
        _ => Vec::new(),
    }
}

/// Cylinders of the next higher grades; none where nobody has told the grade.
fn stronger_cylinders(broken: &Broken<'_>) -> Vec<Change> {
    let graded = broken.cylinder().and_then(|part| Some((&part.id, part.grade?)));
    let Some((id, grade)) = graded else { return Vec::new() };
    let now = CylinderGrade::ALL.iter().position(|other| *other == grade).unwrap_or(0);
    let stronger = CylinderGrade::ALL[..now].iter().rev();
    stronger.map(|grade| Change::Cylinder(id.clone(), CylinderChange::Stronger(*grade))).collect()
}
