//! Profiles: which rules are on, whose limits and weights differ, and in what words.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, LazyLock};

use serde::Deserialize;
use thiserror::Error;

use super::{Basis, Bound, Limit, Rule, Source, Weight, rule, table};
use crate::spelling::did_you_mean;

/// Profiles that ship inside the program: file stem and text.
const SHIPPED: [(&str, &str); 4] = [
    ("england-and-wales", include_str!("../../assets/profiles/england_and_wales.ron")),
    ("scotland", include_str!("../../assets/profiles/scotland.ron")),
    ("northern-ireland", include_str!("../../assets/profiles/northern_ireland.ron")),
    ("teaching", include_str!("../../assets/profiles/teaching.ron")),
];

/// The guard band is this many times the standard uncertainty unless a profile says otherwise
/// (JCGM 100:2008, 6.2: U = k u with k = 2).
const GUARD_FACTOR: f64 = 2.0;

/// Which rules are on, and how they differ from the table.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Profile {
    /// Its name.
    pub name: String,
    /// What it is, in a sentence.
    #[serde(default)]
    pub words: String,
    /// How many standard uncertainties the guard band is wide; 1.645 is a one-sided 95 %.
    #[serde(default = "usual_guard_factor")]
    pub guard_factor: f64,
    /// Only rules of these bases; all when empty.
    #[serde(default)]
    only: Vec<Basis>,
    /// The place for which the table's law and guidance were written, where that is another: rules that stand on them
    /// say so, unless they are given a source of their own.
    #[serde(default)]
    taken_over_from: Option<String>,
    /// Rules that are not asked.
    #[serde(default)]
    off: BTreeSet<String>,
    /// Rules whose limit, weight, source or words differ.
    #[serde(default)]
    change: BTreeMap<String, Change>,
}

/// How a rule differs from the table.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
struct Change {
    /// Another number in place of the table's, in the rule's unit; of a limit that scales with something its factor, or what
    /// it asks at least.
    #[serde(default)]
    limit: Option<f64>,
    /// Another weight.
    #[serde(default)]
    weight: Option<Weight>,
    /// Where it stands here, in place of the table's source.
    #[serde(default)]
    source: Option<Source>,
    /// Local wording, shown beside the rule's own.
    #[serde(default)]
    note: Option<String>,
}

/// Why a profile cannot be used.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum ProfileError {
    /// The text is no profile.
    #[error("the profile cannot be read: line {line}, column {column}: {reason}")]
    Unreadable {
        /// Line of the fault.
        line: usize,
        /// Column of the fault.
        column: usize,
        /// What is wrong.
        reason: String,
    },
    /// It names a rule that is not in the table.
    #[error("the profile names the rule '{id}', which is not in the table{hint}")]
    NoSuchRule {
        /// The id that was named.
        id: String,
        /// "; did you mean ..." or nothing.
        hint: String,
    },
    /// A layout asks for a profile that does not ship with the program.
    #[error("the heading asks to be judged by '{name}', and no such profile ships with the program; {hint}")]
    NoSuchProfile {
        /// The name that was asked for.
        name: String,
        /// "did you mean ...?", or all the names.
        hint: String,
    },
    /// It gives a number where none can stand.
    #[error("the profile gives '{id}' the limit {value}: {reason}")]
    NoSuchLimit {
        /// The rule.
        id: String,
        /// The number.
        value: f64,
        /// What is wrong with it.
        reason: &'static str,
    },
    /// The guard factor is no sensible number.
    #[error("the guard factor must be between 0 and 10, got {0}")]
    GuardFactor(f64),
}

/// A rule as a profile puts it in force.
#[derive(Clone)]
pub struct InForce {
    /// The table's entry.
    pub rule: &'static Rule,
    /// The limit that judges.
    pub limit: Limit,
    /// The weight that counts.
    pub weight: Weight,
    /// Where it stands, unless that is as the table has it.
    pub source: Option<Arc<Source>>,
    /// Local wording.
    pub note: Option<String>,
}

impl InForce {
    /// Whether the limit is not the table's.
    #[must_use]
    pub fn limit_is_changed(&self) -> bool {
        self.limit != self.rule.limit
    }
}

impl Default for Profile {
    /// The rule table as it stands.
    fn default() -> Self {
        Self::usual().clone()
    }
}

impl Profile {
    /// The rule table as it stands: the profile that judges unless another is chosen.
    #[must_use]
    pub fn usual() -> &'static Self {
        static USUAL: LazyLock<Profile> =
            LazyLock::new(|| Profile::shipped(SHIPPED[0].0).expect("the first profile ships with the program"));
        &USUAL
    }

    /// Names of the profiles that ship with the program, the usual one first.
    pub fn shipped_names() -> impl Iterator<Item = &'static str> {
        SHIPPED.iter().map(|(name, _)| *name)
    }

    /// The same, each with the name that it is called by.
    pub fn shipped_titles() -> &'static [(&'static str, String)] {
        static TITLES: LazyLock<Vec<(&'static str, String)>> = LazyLock::new(|| {
            let titled = |name| Some((name, Profile::shipped(name)?.name));
            Profile::shipped_names().filter_map(titled).collect()
        });
        &TITLES
    }

    /// A profile that ships with the program.
    #[must_use]
    pub fn shipped(name: &str) -> Option<Self> {
        let (_, text) = SHIPPED.iter().find(|(shipped, _)| *shipped == name)?;
        Some(Self::parse(text).expect("shipped profiles are tested"))
    }

    /// The profile that a layout names, by its shipped name; the usual one where it names none.
    ///
    /// # Errors
    /// [`ProfileError::NoSuchProfile`] with the name that is most likely meant.
    pub fn named(name: Option<&str>) -> Result<Self, ProfileError> {
        let Some(name) = name else { return Ok(Self::default()) };
        Self::shipped(name).ok_or_else(|| ProfileError::NoSuchProfile {
            name: name.to_owned(),
            hint: did_you_mean(name, Self::shipped_names())
                .unwrap_or_else(|| format!("the names are {}", Self::shipped_names().collect::<Vec<_>>().join(", "))),
        })
    }

    /// Reads a profile from RON text.
    ///
    /// # Errors
    /// [`ProfileError`] with the place, or with the rule that is meant.
    pub fn parse(text: &str) -> Result<Self, ProfileError> {
        let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
        let profile: Self = options.from_str(text).map_err(|error| ProfileError::Unreadable {
            line: error.span.start.line,
            column: error.span.start.col,
            reason: error.code.to_string(),
        })?;
        profile.checked()
    }

    fn checked(self) -> Result<Self, ProfileError> {
        if !(0.0..=10.0).contains(&self.guard_factor) {
            return Err(ProfileError::GuardFactor(self.guard_factor));
        }
        for id in self.off.iter().chain(self.change.keys()) {
            if rule(id).is_none() {
                return Err(ProfileError::NoSuchRule { id: id.clone(), hint: rule_hint(id) });
            }
        }
        for (id, change) in &self.change {
            if let (Some(value), Some(rule)) = (change.limit, rule(id)) {
                with_number(rule.limit, value).map_err(|reason| ProfileError::NoSuchLimit {
                    id: id.clone(),
                    value,
                    reason,
                })?;
            }
        }
        Ok(self)
    }

    /// The rules that are on, in the order of the table, as they are in force.
    #[must_use]
    pub fn rules(&self) -> Vec<InForce> {
        self.rules_that_are_on().map(|rule| self.in_force(rule)).collect()
    }

    fn rules_that_are_on(&self) -> impl Iterator<Item = &'static Rule> {
        let is_on =
            |rule: &&Rule| (self.only.is_empty() || self.only.contains(&rule.basis)) && !self.off.contains(rule.id);
        table().iter().copied().filter(is_on)
    }

    /// What differs from the table, one sentence each, in the order of the table; named on every sheet.
    #[must_use]
    pub fn differences(&self) -> Vec<String> {
        let mut differences = Vec::new();
        if !self.only.is_empty() {
            let bases: Vec<&str> = self.only.iter().map(|basis| basis.words()).collect();
            differences.push(format!("only rules that stand on {}", bases.join(" or ")));
        }
        differences.extend(self.off.iter().map(|id| format!("{id} is not asked")));
        if self.guard_factor != GUARD_FACTOR {
            differences.push(format!("the guard band is {} standard uncertainties", self.guard_factor));
        }
        let changed = self.rules_that_are_on().filter(|rule| self.change.contains_key(rule.id));
        for in_force in changed.map(|rule| self.in_force(rule)) {
            let id = in_force.rule.id;
            if in_force.limit_is_changed() {
                differences.push(format!("{id} asks {} instead of {}", in_force.limit, in_force.rule.limit));
            }
            if in_force.weight != in_force.rule.weight {
                let (now, before) = (in_force.weight.words(), in_force.rule.weight.words());
                differences.push(format!("{id} weighs as '{now}' instead of '{before}'"));
            }
        }
        differences
    }

    /// The profile's name and its differences from the table, a line each, as a sheet names them.
    #[must_use]
    pub fn judged_by(&self) -> Vec<String> {
        std::iter::once(format!("judged by: {}", self.name)).chain(self.differences()).collect()
    }

    fn in_force(&self, rule: &'static Rule) -> InForce {
        let change = self.change.get(rule.id);
        let limit = change.and_then(|change| with_number(rule.limit, change.limit?).ok()).unwrap_or(rule.limit);
        let weight = change.and_then(|change| change.weight).unwrap_or(rule.weight);
        let own = change.and_then(|change| change.source.clone());
        let source = own.or_else(|| self.taken_over(rule)).map(Arc::new);
        InForce { rule, limit, weight, source, note: change.and_then(|change| change.note.clone()) }
    }

    /// The table's source of a rule, named as taken over where it is the law or the guidance of another place.
    fn taken_over(&self, rule: &Rule) -> Option<Source> {
        let from = self.taken_over_from.as_ref().filter(|_| matches!(rule.basis, Basis::Law | Basis::Guidance))?;
        let words = format!("{}; taken over from the table for {from}", rule.source);
        Some(Source { basis: rule.basis, words, seen: rule.seen })
    }
}

/// The limit with another number in it.
fn with_number(limit: Limit, value: f64) -> Result<Limit, &'static str> {
    if !(value.is_finite() && value >= 0.0) {
        return Err("a limit is an ordinary number, not below zero");
    }
    let bound = |bound: Bound| match bound {
        Bound::Constant(_, unit) => Ok(Bound::Constant(value, unit)),
        Bound::Times { of, unit, .. } => Ok(Bound::Times { factor: value, of, unit }),
        Bound::PerMetre { per_metre_mm, of, .. } => Ok(Bound::PerMetre { constant_mm: value, per_metre_mm, of }),
        Bound::TimesButAtLeast { factor, of, .. } => Ok(Bound::TimesButAtLeast { factor, floor_mm: value, of }),
        Bound::BySize(_) => Err("this limit is a table by size and cannot be replaced by one number"),
        Bound::ByCount { .. } => Err("this limit is a table by count and cannot be replaced by one number"),
    };
    match limit {
        Limit::AtLeast(old) => Ok(Limit::AtLeast(bound(old)?)),
        Limit::MoreThan(old) => Ok(Limit::MoreThan(bound(old)?)),
        Limit::AtMost(old) => Ok(Limit::AtMost(bound(old)?)),
        Limit::OneOf(_) | Limit::NoneOf(_) | Limit::Told | Limit::Yes | Limit::YesWithin(_) => {
            Err("this rule asks no number")
        }
    }
}

/// The id of the table that a wrong one most likely means, as a question; empty when none is near.
fn rule_hint(id: &str) -> String {
    did_you_mean(id, table().iter().map(|rule| rule.id)).map_or_else(String::new, |question| format!("; {question}"))
}

const fn usual_guard_factor() -> f64 {
    GUARD_FACTOR
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Unit;

    #[test]
    fn every_shipped_profile_reads() {
        for name in Profile::shipped_names() {
            let profile = Profile::shipped(name).expect("shipped");
            assert!(!profile.name.is_empty() && !profile.words.is_empty());
        }
        assert_eq!(Profile::usual().rules().len(), table().len());
    }

    #[test]
    fn a_layout_names_its_profile_and_a_slip_is_met_with_the_name_that_is_meant() {
        assert_eq!(Profile::named(None).as_ref(), Ok(Profile::usual()));
        assert_eq!(Profile::named(Some("scotland")).expect("shipped").name, "Scotland");
        let error = |name: &str| Profile::named(Some(name)).expect_err("wrong").to_string();
        assert!(error("scotlnd").contains("did you mean 'scotland'?"));
        assert!(error("moon").contains("northern-ireland, teaching"));
    }

    #[test]
    fn the_teaching_profile_holds_practice_alone() {
        let rules = Profile::shipped("teaching").expect("shipped").rules();
        assert!(rules.len() > 20 && rules.iter().all(|in_force| in_force.rule.basis == Basis::Practice));
    }

    #[test]
    fn a_profile_switches_and_changes_rules() {
        let text = r#"(name: "ours", off: ["vent-falls"], guard_factor: 1.645, change: {
            "headroom-too-low-opposite": (limit: 450, weight: Must, note: "our own"),
        })"#;
        let rules = Profile::parse(text).expect("reads").rules();
        assert!(rules.iter().all(|in_force| in_force.rule.id != "vent-falls"));
        let changed = rules.iter().find(|in_force| in_force.limit_is_changed()).expect("changed");
        assert_eq!(changed.rule.id, "headroom-too-low-opposite");
        assert_eq!(changed.limit, Limit::AtLeast(Bound::Constant(450.0, Unit::Millimetre)));
        assert_eq!((changed.weight, changed.note.as_deref()), (Weight::Must, Some("our own")));
    }

    #[test]
    fn a_wrong_profile_says_what_is_wrong() {
        let error = |text: &str| Profile::parse(text).expect_err("wrong").to_string();
        assert!(error(r#"(name: "x", off: ["vent-too-lo"])"#).contains("did you mean 'vent-too-low'?"));
        assert!(error(r#"(name: "x", change: {"vent-valved": (limit: 3)})"#).contains("asks no number"));
        assert!(error(r#"(name: "x", change: {"vent-too-low": (limit: NaN)})"#).contains("ordinary number"));
        assert!(error(r#"(name: "x", guard_factor: inf)"#).contains("guard factor"));
        assert!(error("(name: \"x\",\n colour: 3)").contains("line 2"));
    }
}
