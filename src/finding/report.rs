//! Findings as data: what `check --json` prints.

use std::borrow::Cow;
use std::sync::LazyLock;

use foldhash::HashMap;
use serde::{Serialize, Serializer};
use serde_json::value::{RawValue, to_raw_value};

use super::{Counts, Finding, Findings};
use crate::layout::Id;
use crate::measure::{Have, Site};
use crate::rules::{self, Basis, Profile, Rule, Verdict, Voice, Weight};
use crate::units::{Amount, Unit};

/// One file's findings.
#[derive(Serialize)]
pub struct FileReport<'a> {
    /// Path as it was given.
    pub file: &'a str,
    /// Title of the layout.
    pub title: &'a str,
    /// The profile that judged.
    pub profile: &'a str,
    /// How that profile differs from the rule table.
    pub differences: Vec<String>,
    /// How many findings there are of each verdict.
    pub counts: Counts,
    /// The findings, heaviest first.
    pub findings: FindingReports<'a>,
}

/// The findings of one file, each put into words only when it is written down.
pub struct FindingReports<'a> {
    site: &'a Site<'a>,
    findings: &'a Findings,
    voice: Voice,
}

/// One finding.
#[derive(Debug, Serialize)]
pub struct FindingReport<'a> {
    /// Id of the rule.
    pub rule: &'static str,
    /// How it stands.
    pub verdict: Verdict,
    /// How much hangs on it.
    pub weight: Weight,
    /// On whose authority.
    pub basis: Basis,
    /// Where that stands.
    pub source: Cow<'static, RawValue>,
    /// Whether the source was seen.
    pub seen: bool,
    /// What other sources say.
    pub others_say: &'static RawValue,
    /// Local wording of the profile.
    pub note: Option<&'a str>,
    /// Ids of the parts, the subject first.
    pub parts: Vec<&'a str>,
    /// What is there.
    pub have: Value,
    /// What is asked, where it is a number.
    pub need: Option<Amount>,
    /// What is missing.
    pub short_by: Option<Amount>,
    /// The places, in section millimetres.
    pub anchors: Vec<[f64; 2]>,
    /// The finding in words.
    pub words: String,
    /// What would put it right.
    pub remedies: Vec<String>,
    /// How it was reckoned.
    pub working: Vec<Cow<'a, str>>,
}

/// A number with its unit, or words.
#[derive(Debug, Serialize)]
#[serde(untagged)]
pub enum Value {
    /// A number.
    Amount {
        /// The number.
        value: f64,
        /// Its unit.
        unit: Unit,
        /// Guard band between have and need.
        margin: f64,
    },
    /// Words.
    Words {
        /// The words.
        value: String,
        /// Always "words".
        unit: &'static str,
    },
}

impl<'a> FileReport<'a> {
    /// Puts the findings of one file together.
    #[must_use]
    pub fn new(file: &'a str, site: &'a Site<'a>, profile: &'a Profile, findings: &'a Findings, voice: Voice) -> Self {
        Self {
            file,
            title: &site.layout().heading.title,
            profile: &profile.name,
            differences: profile.differences(),
            counts: findings.counts(),
            findings: FindingReports { site, findings, voice },
        }
    }
}

impl Serialize for FindingReports<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.findings.iter().map(|finding| FindingReport::new(self.site, finding, self.voice)))
    }
}

/// What of a rule goes into every report in the same letters: a fifth of one, and written down once.
struct Written {
    source: Box<RawValue>,
    others_say: Box<RawValue>,
}

impl Written {
    fn of(rule: &Rule) -> &'static Self {
        static BY_RULE: LazyLock<HashMap<&'static str, Written>> = LazyLock::new(|| {
            rules::table().iter().map(|rule| (rule.id, Written::down(rule).expect("words can be written"))).collect()
        });
        &BY_RULE[rule.id]
    }

    fn down(rule: &Rule) -> serde_json::Result<Self> {
        Ok(Self { source: to_raw_value(rule.source)?, others_say: to_raw_value(rule.others_say)? })
    }
}

impl<'a> FindingReport<'a> {
    fn new(site: &Site<'_>, finding: &'a Finding, voice: Voice) -> Self {
        let have = match &finding.reading.have {
            Have::Amount(value, unit) => {
                Value::Amount { value: value.value, unit: *unit, margin: finding.judged.margin }
            }
            _ => Value::Words { value: finding.have_words(), unit: "words" },
        };
        let (written, own) = (Written::of(finding.rule), finding.source.as_deref());
        let anchors = finding.reading.places.iter().filter_map(|place| site.locate(place));
        Self {
            rule: finding.rule.id,
            verdict: finding.judged.verdict,
            weight: finding.weight,
            basis: own.map_or(finding.rule.basis, |own| own.basis),
            source: match own {
                Some(own) => Cow::Owned(to_raw_value(&own.words).expect("words can be written")),
                None => Cow::Borrowed(&*written.source),
            },
            seen: own.map_or(finding.rule.seen, |own| own.seen),
            others_say: &written.others_say,
            note: finding.note.as_deref(),
            parts: finding.reading.parts.iter().map(Id::as_str).collect(),
            have,
            need: finding.judged.need,
            short_by: finding.judged.short_by,
            anchors: anchors.map(|point| [point.x, point.y]).collect(),
            words: finding.words(voice),
            remedies: finding.remedies(),
            working: finding.working(),
        }
    }
}
