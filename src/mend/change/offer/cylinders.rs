//! Changes of cylinders, and of how hot the water comes.

use super::Broken;
use crate::layout::CylinderGrade;
use crate::mend::change::Change;

/// A mixing valve at a bath is set a little below the greatest that is allowed, °C.
const BELOW_ALLOWED_C: f64 = 2.0;

pub(super) fn changes(broken: &Broken<'_>) -> Vec<Change> {
    match broken.rule() {
        "cylinder-head-too-great" => stronger_cylinders(broken),
        "immersion-without-cut-out" => {
            broken.cylinder().map(|part| Change::CutOut(part.id.clone())).into_iter().collect()
        }
        "store-too-cool" => {
            let asked = broken.cylinder().zip(broken.finding.judged.need);
            asked.map(|(part, need)| Change::Thermostat(part.id.clone(), need.value)).into_iter().collect()
        }
        "bath-too-hot" => mixing_valves(broken),
        _ => Vec::new(),
    }
}

/// Cylinders of the next higher grades; none where nobody has told the grade.
fn stronger_cylinders(broken: &Broken<'_>) -> Vec<Change> {
    let graded = broken.cylinder().and_then(|part| Some((&part.id, part.grade?)));
    let Some((id, grade)) = graded else { return Vec::new() };
    let now = CylinderGrade::ALL.iter().position(|other| *other == grade).unwrap_or(0);
    CylinderGrade::ALL[..now].iter().rev().map(|grade| Change::StrongerCylinder(id.clone(), *grade)).collect()
}

fn mixing_valves(broken: &Broken<'_>) -> Vec<Change> {
    let Some(need) = broken.finding.judged.need else { return Vec::new() };
    let set_c = need.value - BELOW_ALLOWED_C;
    let baths = broken.layout.outlets.iter().filter(|outlet| broken.is_about(&outlet.id));
    baths.map(|bath| Change::MixingValve(bath.id.clone(), set_c)).collect()
}
