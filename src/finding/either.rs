//! Of two rules nobody has told which holds: what breaks both is broken by the one that asks less.

use super::Finding;
use crate::measure::Reading;
use crate::rules::{EITHER_HOLDS, Judged, Verdict, judge};

/// What two rules of which either may hold have read, as long as it is not settled.
#[derive(Default)]
pub(super) struct Either {
    open: Vec<Open>,
}

/// A finding that is unknown only because the other rule may hold.
struct Open {
    number: usize,
    /// What was read, with nothing left to find out.
    told: Reading,
    judged: Judged,
}

impl Either {
    /// What a reading of such a rule tells by itself; nothing of other rules, and of readings that hang on nothing else.
    pub(super) fn told(rule: &str, reading: &Reading) -> Option<Reading> {
        let is_open = reading.rest().is_some() && EITHER_HOLDS.contains(&rule);
        is_open.then(|| Reading { rest: None, ..reading.clone() })
    }

    /// Takes down a finding that came out unknown, by its number, with what it told by itself.
    pub(super) fn note(&mut self, finding: &Finding, guard_factor: f64, told: Reading) {
        if finding.judged.verdict == Verdict::Unknown {
            let judged = judge(finding.limit, guard_factor, &told);
            self.open.push(Open { number: finding.number, told, judged });
        }
    }

    /// Settles what neither rule is sure to let pass.
    pub(super) fn settle(mut self, list: &mut [Finding]) {
        while let Some(first) = self.open.pop() {
            let is_of_same = |other: &Open| {
                other.told.places == first.told.places && list[other.number].rule.id != list[first.number].rule.id
            };
            let Some(second) = self.open.iter().position(is_of_same) else { continue };
            let second = self.open.swap_remove(second);
            let milder = if is_milder(&second.judged, &first.judged) { second } else { first };
            let finding = &mut list[milder.number];
            (finding.reading, finding.judged) = (milder.told, milder.judged);
        }
    }
}

/// Whether one is nearer to being met than another: by verdict, and of two alike by what is asked.
fn is_milder(one: &Judged, other: &Judged) -> bool {
    let need = |judged: &Judged| judged.need.map_or(f64::INFINITY, |need| need.value);
    (one.verdict, need(other)) > (other.verdict, need(one))
}
