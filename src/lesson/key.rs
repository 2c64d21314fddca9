//! The key: what was planted in each learner's exercise, where it is, what it should be; written and read as RON.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};

use super::class::Learner;
use super::plant::{Planted, Repertoire};
use super::ron_text;
use crate::file::{ReadError, parse_ron};
use crate::finding::{Finding, Findings};
use crate::layout::{Id, Layout, Run};
use crate::measure::{Have, Site};
use crate::num::SplitMix;
use crate::rules::{Measure, Profile, Rule, Verdict, Voice, rule, table};
use crate::scene::{run_words, service_words};
use crate::units::{Amount, Unit};

/// The format of keys that this program writes.
pub const KEY_FORMAT: u32 = 1;
/// So many names of faults are offered to choose from.
const CHOICES: usize = 14;
/// An answer is right within this share of the number, and within so many mm for lengths.
const TOLERANCE_SHARE: f64 = 0.05;
const TOLERANCE_MM: f64 = 5.0;

/// The key to a set of exercises.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Key {
    /// Version of the format.
    pub format: u32,
    /// Title of the layout.
    pub title: String,
    /// The profile that judged.
    pub profile: String,
    /// One for each learner.
    pub exercises: Vec<Exercise>,
}

/// One learner's exercise.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Exercise {
    /// Whose it is; empty when it is nobody's in particular.
    #[serde(default)]
    pub learner: String,
    /// The number of the exercise, which the whole class has: chance starts from this and the name ([`Learner::new`]).
    pub seed: u64,
    /// What is wrong.
    pub faults: Vec<Fault>,
    /// What is only just allowed.
    #[serde(default)]
    pub allowed: Vec<Allowed>,
    /// Ids of the rules that are offered to choose from.
    #[serde(default)]
    pub choices: Vec<String>,
    /// What the drawing calls one part alone, where that is not its name, with the id of the part.
    #[serde(default)]
    pub labels: Vec<(String, String)>,
}

/// A planted fault.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fault {
    /// Id of the rule.
    pub rule: String,
    /// Ids of the parts: those that it is about, then whatever else takes part.
    pub parts: Vec<String>,
    /// How many of the parts, from the first, it is about.
    pub subjects: usize,
    /// Places on the drawing, section mm.
    pub places: Vec<(f64, f64)>,
    /// The fault with its numbers.
    pub words: String,
    /// What it should be, where that is a number that is asked for.
    #[serde(default)]
    pub need: Option<Need>,
    /// How it was reckoned.
    #[serde(default)]
    pub working: Vec<String>,
    /// What would put it right.
    #[serde(default)]
    pub remedies: Vec<String>,
}

/// A number that is asked for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Need {
    /// The number.
    pub value: f64,
    /// Its unit: mm, L, kg, °C and so on.
    pub unit: String,
    /// How far an answer may be off.
    pub tolerance: f64,
    /// The whole of it in words: "at least 270 mm".
    pub words: String,
}

/// Something that is only just allowed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Allowed {
    /// Id of the rule that is kept.
    pub rule: String,
    /// Ids of the parts.
    pub parts: Vec<String>,
    /// What is there, and what is asked.
    pub words: String,
}

impl Key {
    /// A key without exercises yet.
    #[must_use]
    pub fn new(title: &str, profile: &Profile) -> Self {
        let (title, profile) = (title.to_owned(), profile.name.clone());
        Self { format: KEY_FORMAT, title, profile, exercises: Vec::new() }
    }

    /// The key as RON text. The same key gives the same bytes.
    #[must_use]
    pub fn text(&self) -> String {
        ron_text(self)
    }

    /// Reads a key; `name` stands for the file in messages.
    ///
    /// # Errors
    /// [`ReadError`] with line and column.
    pub fn parse(text: &str, name: &str) -> Result<Self, ReadError> {
        parse_ron(text, name)
    }

    /// The exercise of a learner, by name; the only one there is when no name is given.
    #[must_use]
    pub fn of_learner(&self, name: &str) -> Option<&Exercise> {
        let same = |exercise: &&Exercise| exercise.learner.trim().to_lowercase() == name.trim().to_lowercase();
        match &self.exercises[..] {
            [only] if name.trim().is_empty() || only.learner.is_empty() => Some(only),
            all => all.iter().find(same),
        }
    }
}

impl Exercise {
    /// The key to what was planted.
    #[must_use]
    pub fn of(planted: &Planted, learner: &Learner, repertoire: &Repertoire) -> Self {
        let site = Site::of(&planted.layout);
        let faults: Vec<Fault> = planted.faults.iter().map(|(_, finding)| Fault::of(&site, finding)).collect();
        let allowed: Vec<Allowed> = planted.near_misses.iter().map(|(_, finding)| Allowed::of(finding)).collect();
        let mut exercise = Self {
            learner: learner.name.clone(),
            seed: learner.class_seed,
            faults,
            allowed,
            choices: Vec::new(),
            labels: labels(&planted.layout),
        };
        exercise.choices = exercise.choose_from(&planted.findings, repertoire, learner);
        exercise
    }

    /// Planted faults, near misses and others, in the order of the table: the order tells nothing. Where few rules may be
    /// broken, others that the drawing keeps stand beside them, or the list would give the faults away.
    fn choose_from(&self, findings: &Findings, repertoire: &Repertoire, learner: &Learner) -> Vec<String> {
        let mut ids: Vec<String> = self.faults.iter().map(|fault| fault.rule.clone()).collect();
        ids.extend(self.allowed.iter().map(|allowed| allowed.rule.clone()));
        // Another stream than that of the faults, or the others would tell of them.
        let mut chance = SplitMix::seeded(!learner.seed);
        let kept = kept_on_the_drawing(findings);
        for mut others in [repertoire.rules().collect::<Vec<_>>(), kept] {
            others.retain(|id| !ids.iter().any(|known| known == id));
            chance.shuffle(&mut others);
            let more = CHOICES.saturating_sub(ids.len());
            ids.extend(others.into_iter().take(more).map(str::to_owned));
        }
        table().iter().map(|rule| rule.id.to_owned()).filter(|id| ids.contains(id)).collect()
    }

    /// The letter by which a rule is chosen.
    #[must_use]
    pub fn letter(&self, id: &str) -> Option<char> {
        let place = self.choices.iter().position(|choice| choice == id)?;
        ('A'..='Z').nth(place)
    }

    /// The rule that a letter, an id or a title stands for.
    #[must_use]
    pub fn meant(&self, text: &str) -> Option<&'static str> {
        let wanted = text.trim().trim_end_matches('.').to_lowercase();
        let mut letters = wanted.chars();
        if let (Some(letter), None) = (letters.next(), letters.next()) {
            let place = ('a'..='z').position(|other| other == letter)?;
            return rule(self.choices.get(place)?).map(|rule| rule.id);
        }
        let titled = |rule: &Rule| Voice::ALL.iter().any(|voice| rule.prose.title(*voice).to_lowercase() == wanted);
        let is_it = |rule: &&&Rule| rule.id == wanted.replace(' ', "-") || titled(rule);
        table().iter().find(is_it).map(|rule| rule.id)
    }
}

/// The rules that a drawing is seen or measured to keep, each once.
fn kept_on_the_drawing(findings: &Findings) -> Vec<&'static str> {
    let is_kept = |rule: &&&Rule| {
        let judged = |finding: &Finding| finding.rule.id == rule.id && finding.judged.verdict == Verdict::Meets;
        matches!(rule.measure, Measure::OfSite(_)) && findings.iter().any(judged)
    };
    table().iter().filter(is_kept).map(|rule| rule.id).collect()
}

/// What the drawing writes beside runs, with and without the size, where it means one part alone and is no part's name.
fn labels(layout: &Layout) -> Vec<(String, String)> {
    let written = |run: &Run| [run_words(run), service_words(run.service).to_owned()];
    let all: Vec<(String, &Id)> =
        layout.runs.iter().flat_map(|run| written(run).map(|words| (words, &run.id))).collect();
    let is_a_name = |words: &str| layout.parts().any(|part| part.id().spoken() == words);
    let is_alone = |words: &str| all.iter().filter(|(other, _)| other == words).count() == 1;
    let means = |(words, _): &&(String, &Id)| is_alone(words) && !is_a_name(words);
    all.iter().filter(means).map(|(words, id)| (words.clone(), id.to_string())).collect()
}

impl Fault {
    fn of(site: &Site<'_>, finding: &Finding) -> Self {
        let tenths = |mm: f64| (mm * 10.0).round() / 10.0;
        let places = finding.reading.places.iter().filter_map(|place| site.locate(place));
        Self {
            rule: finding.rule.id.to_owned(),
            parts: finding.reading.parts.iter().map(ToString::to_string).collect(),
            subjects: finding.reading.subjects,
            places: places.map(|point| (tenths(point.x), tenths(point.y))).collect(),
            words: finding.words(Voice::Trade),
            need: Need::of(finding),
            working: finding.working().into_iter().map(Cow::into_owned).collect(),
            remedies: finding.remedies(),
        }
    }

    /// The title of its rule, as a reading says it.
    #[must_use]
    pub fn title(&self, voice: Voice) -> &'static str {
        rule(&self.rule).map_or("", |rule| rule.prose.title(voice))
    }

    /// Why its rule exists, for a class.
    #[must_use]
    pub fn teaching(&self) -> &'static str {
        rule(&self.rule).map_or("", |rule| rule.prose.section(Voice::Teaching))
    }
}

impl Need {
    fn of(finding: &Finding) -> Option<Self> {
        let Amount { value, unit } =
            finding.judged.need.filter(|_| matches!(finding.reading.have, Have::Amount(..)))?;
        // A share of what is allowed, or a count, is no number that anybody would measure.
        let asked = !matches!(unit, Unit::Share | Unit::Count);
        let tenths = (value * 10.0).round() / 10.0;
        let share = (value.abs() * TOLERANCE_SHARE * 100.0).round() / 100.0;
        let tolerance = if unit == Unit::Millimetre { share.max(TOLERANCE_MM) } else { share };
        let words = finding.need_words();
        asked.then(|| Self { value: tenths, unit: unit.suffix().trim().to_owned(), tolerance, words })
    }
}

impl Allowed {
    fn of(finding: &Finding) -> Self {
        Self {
            rule: finding.rule.id.to_owned(),
            parts: finding.reading.parts.iter().map(ToString::to_string).collect(),
            words: format!(
                "{}: {}, {} is asked",
                finding.subject_words(Voice::Trade),
                finding.have_words(),
                finding.need_words()
            ),
        }
    }
}
