//! Findings: the rule table run over a site, each reading judged, sorted, counted and put into words.

mod either;
mod kept;
mod report;
mod shaken;
mod spare;
mod telling;
mod words;

use std::cell::LazyCell;
use std::sync::{Arc, OnceLock};

use foldhash::HashMap;

use crate::heat::Warmth;
use crate::layout::Id;
use crate::measure::{Reading, Site};
use crate::rules::{InForce, Judged, Limit, Measure, Profile, Rule, Source, Verdict, Voice, Weight, judge_as_told};
use crate::timber::LoadPath;
use crate::water::Running;

use either::Either;
pub use kept::Kept;
pub use report::{FileReport, FindingReport};
pub use telling::{Question, ToldOf};
pub use words::capital;

/// A rule, what was read, and how it stands.
#[derive(Clone)]
pub struct Finding {
    /// The rule.
    pub rule: &'static Rule,
    /// The limit in force.
    pub limit: Limit,
    /// The weight in force.
    pub weight: Weight,
    /// Where the rule stands under the profile, unless that is as the table has it.
    pub source: Option<Arc<Source>>,
    /// Local wording of the profile.
    pub note: Option<String>,
    /// What was read.
    pub reading: Reading,
    /// How it stands.
    pub judged: Judged,
    /// Its place in the order of the table and of the layout, whatever its verdict.
    number: usize,
}

/// All findings of a layout, heaviest first. Cheap to clone.
#[derive(Clone, Default)]
pub struct Findings {
    list: Arc<Vec<Finding>>,
    /// Their keys, in the same order; made when the first is asked for.
    keys: Arc<OnceLock<Vec<FindingKey>>>,
}

/// How many findings there are of each verdict.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, serde::Serialize)]
pub struct Counts {
    /// Broken rules.
    pub breach: usize,
    /// Too near to tell.
    pub marginal: usize,
    /// Not told.
    pub unknown: usize,
    /// Kept.
    pub meets: usize,
}

/// Tells a finding from all others of the same layout, and finds it again after an edit.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct FindingKey {
    /// The rule.
    pub rule: &'static str,
    /// The parts.
    pub parts: Vec<Id>,
    /// Which of several readings of one rule on the same parts.
    pub ordinal: usize,
}

impl Counts {
    /// The count of a verdict.
    #[must_use]
    pub const fn of(&self, verdict: Verdict) -> usize {
        match verdict {
            Verdict::Breach => self.breach,
            Verdict::Marginal => self.marginal,
            Verdict::Unknown => self.unknown,
            Verdict::Meets => self.meets,
        }
    }

    /// All four, in words.
    #[must_use]
    pub fn words(self) -> String {
        let Self { breach, marginal, unknown, meets } = self;
        format!("{breach} in breach, {marginal} marginal, {unknown} unknown, {meets} met")
    }

    /// All four, in the words of a reading.
    #[must_use]
    pub fn said(self, voice: Voice) -> String {
        if voice != Voice::Plain {
            return self.words();
        }
        let verdicts = [Verdict::Breach, Verdict::Marginal, Verdict::Unknown, Verdict::Meets];
        verdicts.map(|verdict| format!("{} {}", self.of(verdict), verdict.said(voice))).join(", ")
    }
}

impl Findings {
    /// Runs the rule table as it stands over a site.
    #[must_use]
    pub fn of(site: &Site<'_>) -> Self {
        Self::under(site, Profile::usual())
    }

    /// Runs the rules of a profile over a site. Never fails: what cannot be measured is unknown.
    #[must_use]
    pub fn under(site: &Site<'_>, profile: &Profile) -> Self {
        Self::by(site, &profile.rules(), profile.guard_factor)
    }

    /// Runs some rules over a site, with a guard factor.
    #[must_use]
    pub fn by(site: &Site<'_>, rules: &[InForce], guard_factor: f64) -> Self {
        let timber = LazyCell::new(|| LoadPath::of(site));
        let warmth = LazyCell::new(|| Warmth::of(site));
        let mut running = None;
        Self::collect(site, rules, guard_factor, |rule| match rule.measure {
            Measure::OfSite(measure) => measure(site),
            Measure::OfTimber(measure) => measure(&timber),
            Measure::OfHeat(measure) => measure(&warmth),
            Measure::OfWater(measure) => measure(running.get_or_insert_with(|| Running::of(site))),
        })
    }

    /// The same, with what takes long taken from what was kept where nothing that it looks at has changed. `kept` is of
    /// these rules, or of more.
    #[must_use]
    pub fn keeping(site: &Site<'_>, rules: &[InForce], guard_factor: f64, kept: &Kept) -> Self {
        let timber = LazyCell::new(|| kept.of_timber(site));
        let water = LazyCell::new(|| kept.of_water(site));
        let warmth = LazyCell::new(|| Warmth::of(site));
        let own = |kept: &[(&str, Vec<Reading>)], rule: &Rule| {
            kept.iter().find(|(id, _)| *id == rule.id).map(|(_, readings)| readings.clone()).unwrap_or_default()
        };
        Self::collect(site, rules, guard_factor, |rule| match rule.measure {
            Measure::OfSite(measure) => measure(site),
            Measure::OfTimber(_) => own(&timber, rule),
            Measure::OfHeat(measure) => measure(&warmth),
            Measure::OfWater(_) => own(&water, rule),
        })
    }

    fn collect(
        site: &Site<'_>,
        rules: &[InForce],
        guard_factor: f64,
        mut readings: impl FnMut(&Rule) -> Vec<Reading>,
    ) -> Self {
        // About one for each rule; they are large, and moving them takes time.
        let mut list = Vec::with_capacity(rules.len());
        let mut either = Either::default();
        for &InForce { rule, limit, weight, ref source, ref note } in rules {
            for reading in readings(rule) {
                let told = Either::told(rule.id, &reading);
                let (reading, judged) = judge_as_told(limit, guard_factor, reading);
                let (source, note) = (source.clone(), note.clone());
                let finding = Finding { rule, limit, weight, source, note, reading, judged, number: list.len() };
                told.into_iter().for_each(|told| either.note(&finding, guard_factor, told));
                list.push(finding);
            }
        }
        either.settle(&mut list);
        shaken::leave_open(site, &mut list);
        spare::tell(&mut list);
        // The sort is stable: equals stay in the order of the table and of the layout.
        list.sort_by_cached_key(|finding: &Finding| (finding.judged.verdict, finding.weight));
        Self { list: Arc::new(list), keys: Arc::default() }
    }

    /// All findings, heaviest first.
    pub fn iter(&self) -> impl Iterator<Item = &Finding> {
        self.list.iter()
    }

    /// All findings in the order of the table and of the layout, whatever their verdicts.
    #[must_use]
    pub fn in_order(&self) -> Vec<&Finding> {
        let mut in_order: Vec<&Finding> = self.list.iter().collect();
        in_order.sort_unstable_by_key(|finding| finding.number);
        in_order
    }

    /// Each finding with its key, heaviest first. Which of several alike it is does not hang on their verdicts.
    pub fn keyed(&self) -> impl Iterator<Item = (&FindingKey, &Finding)> {
        self.keys.get_or_init(|| self.made_keys()).iter().zip(self.list.iter())
    }

    fn made_keys(&self) -> Vec<FindingKey> {
        let mut seen = HashMap::default();
        let mut ordinals = vec![0; self.list.len()];
        for finding in self.in_order() {
            let alike = (finding.rule.id, finding.reading.parts.as_slice());
            let ordinal = seen.entry(alike).and_modify(|count| *count += 1).or_insert(0);
            ordinals[finding.number] = *ordinal;
        }
        let key = |finding: &Finding| {
            let (rule, parts) = (finding.rule.id, finding.reading.parts.clone());
            FindingKey { rule, parts, ordinal: ordinals[finding.number] }
        };
        self.list.iter().map(key).collect()
    }

    /// The finding of a key.
    #[must_use]
    pub fn find(&self, key: &FindingKey) -> Option<&Finding> {
        let is_alike = |finding: &&Finding| finding.rule.id == key.rule && finding.reading.parts == key.parts;
        let mut alike: Vec<&Finding> = self.list.iter().filter(is_alike).collect();
        alike.sort_unstable_by_key(|finding| finding.number);
        alike.get(key.ordinal).copied()
    }

    /// For each finding, in the order of the table and of the layout, the same finding of another layout.
    #[must_use]
    pub fn in_other<'a>(&self, other: &'a Self) -> Vec<Option<&'a Finding>> {
        let (own, others) = (self.in_order(), other.in_order());
        let alike = |(a, b): (&&Finding, &&Finding)| a.rule.id == b.rule.id && a.reading.parts == b.reading.parts;
        // Small edits change no order, and then nothing has to be looked up.
        if own.len() == others.len() && own.iter().zip(&others).all(alike) {
            return others.into_iter().map(Some).collect();
        }
        let by_key: HashMap<&FindingKey, &Finding> = other.keyed().collect();
        let mut found = vec![None; own.len()];
        for (key, finding) in self.keyed() {
            found[finding.number] = by_key.get(key).copied();
        }
        found
    }

    /// The finding of a place in the list.
    #[must_use]
    pub fn get(&self, number: usize) -> Option<&Finding> {
        self.list.get(number)
    }

    /// How many there are of each verdict.
    #[must_use]
    pub fn counts(&self) -> Counts {
        let mut counts = Counts::default();
        for finding in self.list.iter() {
            match finding.judged.verdict {
                Verdict::Breach => counts.breach += 1,
                Verdict::Marginal => counts.marginal += 1,
                Verdict::Unknown => counts.unknown += 1,
                Verdict::Meets => counts.meets += 1,
            }
        }
        counts
    }

    /// Whether a rule of weight `Must` is broken.
    #[must_use]
    pub fn breaks_a_must(&self) -> bool {
        self.list.iter().any(|finding| finding.judged.verdict == Verdict::Breach && finding.weight == Weight::Must)
    }
}

impl Finding {
    /// Its place in the order of the table and of the layout.
    #[must_use]
    pub const fn number(&self) -> usize {
        self.number
    }

    /// Whom it is about; the first of a group.
    #[must_use]
    pub fn subject(&self) -> &Id {
        &self.reading.parts[0]
    }
}
