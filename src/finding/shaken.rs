//! Numbers that hang on a place where its vessel is not: what they come to is open until that has been measured again.

use super::Finding;
use crate::measure::{Feature, Have, Off, Reading, Site};
use crate::rules::{Judged, Measure, Rule, Verdict};

/// Leaves open what is reckoned from a hole, or from the outlet of a float valve, that lies off its vessel.
pub(super) fn leave_open(site: &Site<'_>, list: &mut [Finding]) {
    let off_vessels = site.off_vessels();
    if off_vessels.is_empty() {
        return;
    }
    for Finding { rule, reading, judged, .. } in list {
        let off = off_vessels.iter().find(|off| hangs_on(rule, reading, off, site));
        if let Some(off) = off.filter(|_| judged.verdict != Verdict::Unknown) {
            reading.have = Have::Untold(off.find_out.clone());
            reading.rest = None;
            *judged = Judged { verdict: Verdict::Unknown, short_by: None, remedy: None, margin: 0.0, ..*judged };
        }
    }
}

/// Whether a number was measured from there, or along a pipe that ends there. What is told of a pipe as a whole, such as
/// its size, stands.
fn hangs_on(rule: &Rule, reading: &Reading, off: &Off, site: &Site<'_>) -> bool {
    let names = |run: &usize| reading.parts.contains(&site.run(*run).id);
    let is_told = || {
        matches!(rule.measure, Measure::OfSite(_))
            && reading.places.iter().all(|place| place.feature == Feature::Middle)
    };
    matches!(reading.have, Have::Amount(..))
        && (reading.places.contains(&off.place) || (off.runs.iter().any(names) && !is_told()))
}
