//! Findings as data: what `check --json` prints.

use serde::Serialize;

use super::{Counts, Finding, Findings};
use crate::measure::{Have, Site};
use crate::rules::{Basis, Other, Profile, Verdict, Voice, Weight};
use crate::units::{Amount, Unit};

/// One file's findings.
#[derive(Debug, Serialize)]
pub struct FileReport {
    /// Path as it was given.
    pub file: String,
    /// Title of the layout.
    pub title: String,
    /// The profile that judged.
    pub profile: String,
    /// How that profile differs from the rule table.
    pub differences: Vec<String>,
    /// How many findings there are of each verdict.
    pub counts: Counts,
    /// The findings, heaviest first.
    pub findings: Vec<FindingReport>,
}

/// One finding.
#[derive(Debug, Serialize)]
pub struct FindingReport {
    /// Id of the rule.
    pub rule: &'static str,
    /// How it stands.
    pub verdict: Verdict,
    /// How much hangs on it.
    pub weight: Weight,
    /// On whose authority.
    pub basis: Basis,
    /// Where that stands.
    pub source: &'static str,
    /// Whether the source was seen.
    pub seen: bool,
    /// What other sources say.
    pub others_say: &'static [Other],
    /// Local wording of the profile.
    pub note: Option<String>,
    /// Ids of the parts, the subject first.
    pub parts: Vec<String>,
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
    pub working: Vec<String>,
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

impl FileReport {
    /// Puts the findings of one file together.
    #[must_use]
    pub fn new(file: &str, site: &Site<'_>, profile: &Profile, findings: &Findings, voice: Voice) -> Self {
        Self {
            file: file.to_owned(),
            title: site.layout().heading.title.clone(),
            profile: profile.name.clone(),
            differences: profile.differences(),
            counts: findings.counts(),
            findings: findings.iter().map(|finding| FindingReport::new(site, finding, voice)).collect(),
        }
    }
}

impl FindingReport {
    fn new(site: &Site<'_>, finding: &Finding, voice: Voice) -> Self {
        let have = match &finding.reading.have {
            Have::Amount(value, unit) => {
                Value::Amount { value: value.value, unit: *unit, margin: finding.judged.margin }
            }
            _ => Value::Words { value: finding.have_words(), unit: "words" },
        };
        let anchors = finding.reading.places.iter().filter_map(|place| site.locate(place));
        Self {
            rule: finding.rule.id,
            verdict: finding.judged.verdict,
            weight: finding.weight,
            basis: finding.rule.basis,
            source: finding.rule.source,
            seen: finding.rule.seen,
            others_say: finding.rule.others_say,
            note: finding.note.clone(),
            parts: finding.reading.parts.iter().map(|part| part.as_str().to_owned()).collect(),
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
