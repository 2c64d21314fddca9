//! Faults planted in a sound layout by a seeded generator, each verified by the checker: exactly these, and no others.

use std::collections::BTreeMap;

use thiserror::Error;

use super::shift::{Grip, Shift, clearance_mm, shifts_of};
use super::slip::Slip;
use super::topic::Of;
use crate::finding::{Finding, FindingKey, Findings};
use crate::layout::{Edit, Layout, apply};
use crate::measure::Site;
use crate::num::SplitMix;
use crate::rules::{InForce, Profile, Verdict, table};

/// A near miss keeps its rule by no more than this, mm, beyond the margin of the measurement.
const NEAR_MM: f64 = 15.0;
/// So many ways to break one rule are tried before another rule is, and all of them once no other is left.
const TRIES: usize = 4;
/// A fault is short of its bound by this share of it, in hundredths, from and to.
const SHORT_HUNDREDTHS: (i32, i32) = (20, 45);
/// And by no less and no more than this, mm: what a tape shows, and what does not look absurd.
const SHORT_MM: (f64, f64) = (12.0, 90.0);
/// With this, mm, a way to break a rule is tried out.
const USUAL_SHORT_MM: f64 = 25.0;

/// What is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wish {
    /// How many faults.
    pub faults: usize,
    /// How many near misses, which are allowed, to distract from them.
    pub near_misses: usize,
}

/// Why no exercise is made.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PlantError {
    /// The layout has faults of its own.
    #[error("the layout has faults of its own, and an exercise needs a sound one; put these right first: {0}")]
    NotSound(String),
    /// Rules are named that nothing breaks alone.
    #[error("no way is found to break these rules alone on this layout; leave them out: {0}")]
    NotAlone(String),
    /// There is no way to break so many rules one by one.
    #[error(
        "{wanted} faults are asked for, and on this layout only {found} can be planted without breaking other rules; \
         ask for fewer, or for another rule, weight or topic"
    )]
    TooMany {
        /// How many are asked for.
        wanted: usize,
        /// How many there are.
        found: usize,
    },
}

/// What can be planted in a layout: found out once, drawn from for each seed.
pub struct Repertoire {
    layout: Layout,
    rules: Vec<InForce>,
    /// Those of them that may be broken: looked at first, since the whole table costs much more.
    asked: Vec<InForce>,
    /// The rules that are named.
    named: Vec<&'static str>,
    guard_factor: f64,
    unknown: Vec<FindingKey>,
    /// Ways to break each rule alone.
    ways: BTreeMap<&'static str, Vec<Way>>,
    /// What can be moved near to a bound.
    near: Vec<Shift>,
}

/// A way to break a rule.
#[derive(Debug, Clone)]
enum Way {
    Slip(Slip),
    Shift(Shift),
}

/// A layout with faults in it, and which they are.
pub struct Planted {
    /// The layout as the learner gets it.
    pub layout: Layout,
    /// What the checker finds in it.
    pub findings: Findings,
    /// The faults, in the order of the rule table.
    pub faults: Vec<(FindingKey, Finding)>,
    /// What is only just allowed, in the same order.
    pub near_misses: Vec<(FindingKey, Finding)>,
}

/// An exercise under way.
struct Growing<'a> {
    of: &'a Repertoire,
    layout: Layout,
    findings: Findings,
    broken: Vec<&'static str>,
    near: Vec<FindingKey>,
}

impl Repertoire {
    /// Finds out what can be planted.
    ///
    /// # Errors
    /// [`PlantError::NotSound`] when the layout has breaches or marginal findings of its own.
    pub fn of(layout: &Layout, profile: &Profile, of: &Of) -> Result<Self, PlantError> {
        let mut repertoire = Self {
            layout: layout.clone(),
            rules: profile.rules(),
            asked: profile.rules().into_iter().filter(|rule| of.allows(rule.rule, rule.weight)).collect(),
            named: of.rules.clone(),
            guard_factor: profile.guard_factor,
            unknown: Vec::new(),
            ways: BTreeMap::new(),
            near: Vec::new(),
        };
        let before = repertoire.check(layout);
        let faults: Vec<String> =
            before.iter().filter(|finding| is_fault(finding)).map(|f| f.rule.id.to_owned()).collect();
        if !faults.is_empty() {
            return Err(PlantError::NotSound(faults.join(", ")));
        }
        repertoire.unknown = keys_of(&before, Verdict::Unknown);
        for slip in Slip::all(layout) {
            repertoire.try_out(Way::Slip(slip), &before);
        }
        for grip in Grip::all(layout) {
            let Some(after) = grip.probe(layout).and_then(|edit| apply(layout, &edit).ok()) else { continue };
            for shift in shifts_of(&grip, &before, &repertoire.glance(&after)) {
                repertoire.near.push(shift.clone());
                repertoire.try_out(Way::Shift(shift), &before);
            }
        }
        Ok(repertoire)
    }

    /// The rules that can be broken alone.
    pub fn rules(&self) -> impl Iterator<Item = &'static str> {
        self.ways.keys().copied()
    }

    /// The same, in the order of the table.
    pub fn in_order(&self) -> impl Iterator<Item = &'static str> {
        table().iter().map(|rule| rule.id).filter(|id| self.ways.contains_key(id))
    }

    /// Plants faults. The same seed gives the same layout.
    ///
    /// # Errors
    /// [`PlantError::NotAlone`] when rules are named that cannot be broken alone, and without them there are not so many;
    /// [`PlantError::TooMany`] when there are not so many.
    pub fn plant(&self, wish: Wish, seed: u64) -> Result<Planted, PlantError> {
        let mut chance = SplitMix::seeded(seed);
        let mut growing = Growing {
            of: self,
            layout: self.layout.clone(),
            findings: self.check(&self.layout),
            broken: Vec::new(),
            near: Vec::new(),
        };
        let mut rules: Vec<(&'static str, &Vec<Way>)> = self.ways.iter().map(|(rule, ways)| (*rule, ways)).collect();
        chance.shuffle(&mut rules);
        for tries in [TRIES, usize::MAX] {
            for (rule, ways) in &rules {
                if growing.broken.len() < wish.faults && !growing.broken.contains(rule) {
                    growing.plant_one(rule, ways, tries, &mut chance);
                }
            }
        }
        if growing.broken.len() < wish.faults {
            return Err(self.too_few(wish.faults, growing.broken.len()));
        }
        let mut near: Vec<&Shift> = self.near.iter().collect();
        chance.shuffle(&mut near);
        for shift in near {
            if growing.near.len() == wish.near_misses {
                break;
            }
            growing.go_near(shift, &mut chance);
        }
        Ok(growing.done())
    }

    /// Why fewer are planted than are wanted.
    fn too_few(&self, wanted: usize, found: usize) -> PlantError {
        let stubborn: Vec<&str> = self.named.iter().copied().filter(|rule| !self.ways.contains_key(rule)).collect();
        if stubborn.is_empty() {
            PlantError::TooMany { wanted, found }
        } else {
            PlantError::NotAlone(stubborn.join(", "))
        }
    }

    /// What the rules that may be broken find.
    fn glance(&self, layout: &Layout) -> Findings {
        Findings::by(&Site::of(layout), &self.asked, self.guard_factor)
    }

    fn check(&self, layout: &Layout) -> Findings {
        Findings::by(&Site::of(layout), &self.rules, self.guard_factor)
    }

    /// Keeps a way to break a rule when it breaks that rule once, and does nothing else.
    fn try_out(&mut self, way: Way, before: &Findings) {
        let edit = match &way {
            Way::Slip(slip) => slip.edit(&self.layout),
            Way::Shift(shift) => {
                let now = before.find(&shift.key).and_then(clearance_mm);
                now.and_then(|now_mm| shift.edit(&self.layout, now_mm, -USUAL_SHORT_MM))
            }
        };
        let Some(layout) = edit.and_then(|edit| apply(&self.layout, &edit).ok()) else { return };
        // Most ways break nothing that is asked for, or too much: that shows at a glance.
        if self.glance(&layout).iter().filter(|finding| is_fault(finding)).count() != 1 {
            return;
        }
        let after = self.check(&layout);
        let broken: Vec<&Finding> = after.iter().filter(|finding| is_fault(finding)).collect();
        let [only] = broken[..] else { return };
        let id = only.rule.id;
        let wanted = match &way {
            Way::Slip(_) => true,
            Way::Shift(shift) => shift.key.rule == id,
        };
        if wanted && only.judged.verdict == Verdict::Breach && self.knows_all(&after) {
            self.ways.entry(id).or_default().push(way);
        }
    }

    /// Whether nothing has become unknown.
    fn knows_all(&self, findings: &Findings) -> bool {
        keys_of(findings, Verdict::Unknown).iter().all(|key| self.unknown.contains(key))
    }
}

impl Growing<'_> {
    fn plant_one(&mut self, rule: &'static str, ways: &[Way], tries: usize, chance: &mut SplitMix) {
        let mut ways: Vec<&Way> = ways.iter().collect();
        chance.shuffle(&mut ways);
        for way in ways.into_iter().take(tries) {
            let edit = match way {
                Way::Slip(slip) => slip.edit(&self.layout),
                Way::Shift(shift) => self.found(&shift.key).and_then(|finding| {
                    let need_mm = finding.judged.need?.value;
                    let share = f64::from(chance.between(SHORT_HUNDREDTHS.0, SHORT_HUNDREDTHS.1)) / 100.0;
                    let short_mm = (need_mm.abs() * share).clamp(SHORT_MM.0, SHORT_MM.1).round();
                    shift.edit(&self.layout, clearance_mm(finding)?, -short_mm)
                }),
            };
            let mut wanted = self.broken.clone();
            wanted.push(rule);
            if edit.is_some_and(|edit| self.takes(&edit, &wanted, &self.near.clone())) {
                self.broken = wanted;
                return;
            }
        }
    }

    fn go_near(&mut self, shift: &Shift, chance: &mut SplitMix) {
        let rule = shift.key.rule;
        if self.broken.contains(&rule) || self.near.iter().any(|key| key.rule == rule) {
            return;
        }
        let wanted_mm = f64::from(chance.between(2, 9));
        let edit =
            self.found(&shift.key).and_then(|finding| shift.edit(&self.layout, clearance_mm(finding)?, wanted_mm));
        let mut near = self.near.clone();
        near.push(shift.key.clone());
        if edit.is_some_and(|edit| self.takes(&edit, &self.broken.clone(), &near)) {
            self.near = near;
        }
    }

    fn found(&self, key: &FindingKey) -> Option<&Finding> {
        self.findings.find(key)
    }

    /// Makes an edit if the checker then finds exactly the wanted rules broken, each once, and what is near still near.
    fn takes(&mut self, edit: &Edit, broken: &[&str], near: &[FindingKey]) -> bool {
        let Ok(layout) = apply(&self.layout, edit) else { return false };
        if self.of.glance(&layout).iter().filter(|finding| is_fault(finding)).count() != broken.len() {
            return false;
        }
        let findings = self.of.check(&layout);
        let faults: Vec<&Finding> = findings.iter().filter(|finding| is_fault(finding)).collect();
        let exact = faults.len() == broken.len()
            && faults.iter().all(|finding| finding.judged.verdict == Verdict::Breach)
            && broken.iter().all(|id| faults.iter().any(|finding| finding.rule.id == *id));
        let is_near = |key: &FindingKey| {
            let found = findings.find(key);
            found.is_some_and(|finding| {
                finding.judged.verdict == Verdict::Meets
                    && clearance_mm(finding).is_some_and(|clear_mm| (0.0..=NEAR_MM).contains(&clear_mm))
            })
        };
        let holds = exact && self.of.knows_all(&findings) && near.iter().all(is_near);
        if holds {
            (self.layout, self.findings) = (layout, findings);
        }
        holds
    }

    fn done(self) -> Planted {
        let mut faults = Vec::new();
        let mut near_misses = Vec::new();
        for (key, finding) in self.findings.keyed() {
            if is_fault(finding) {
                faults.push((key.clone(), finding.clone()));
            } else if self.near.contains(key) {
                near_misses.push((key.clone(), finding.clone()));
            }
        }
        let order = |(key, _): &(FindingKey, Finding)| self.of.rules.iter().position(|other| other.rule.id == key.rule);
        faults.sort_by_key(order);
        near_misses.sort_by_key(order);
        Planted { layout: self.layout, findings: self.findings, faults, near_misses }
    }
}

fn is_fault(finding: &Finding) -> bool {
    matches!(finding.judged.verdict, Verdict::Breach | Verdict::Marginal)
}

fn keys_of(findings: &Findings, verdict: Verdict) -> Vec<FindingKey> {
    findings.keyed().filter(|(_, finding)| finding.judged.verdict == verdict).map(|(key, _)| key.clone()).collect()
}
