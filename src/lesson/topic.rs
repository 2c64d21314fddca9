//! What faults may be of: a rule, a weight, a topic, or whatever can be seen and measured on the drawing.

use thiserror::Error;

use crate::rules::{CHAPTERS, Measure, Rule, Weight, chapter, rule, table};
use crate::spelling::did_you_mean;

/// Which faults are planted.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Of {
    /// Only these rules; any when empty.
    pub rules: Vec<&'static str>,
    /// Only rules of this weight.
    pub weight: Option<Weight>,
    /// Only rules of this chapter of the table.
    pub topic: Option<&'static str>,
}

/// Why a choice of faults is none.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum OfError {
    /// There is no such rule.
    #[error("there is no rule '{0}'; {1}")]
    NoSuchRule(String, String),
    /// There is no such topic.
    #[error("there is no topic '{0}'; the topics are {1}")]
    NoSuchTopic(String, String),
}

/// So many faults make an exercise where nobody says more of them.
const USUAL_FAULTS: usize = 3;

impl Of {
    /// Every rule of the table, also those that no eye sees on the drawing.
    #[must_use]
    pub fn whole_table() -> Self {
        Self { rules: table().iter().map(|rule| rule.id).collect(), ..Self::default() }
    }

    /// How many faults are planted where nobody says how many: each rule that is named, or else three.
    #[must_use]
    pub const fn usual_faults(&self) -> usize {
        if self.rules.is_empty() { USUAL_FAULTS } else { self.rules.len() }
    }

    /// Adds a rule by its id.
    ///
    /// # Errors
    /// [`OfError::NoSuchRule`] with the one that is likely meant.
    pub fn with_rule(mut self, id: &str) -> Result<Self, OfError> {
        let found = rule(id).ok_or_else(|| {
            let advice = did_you_mean(id, table().iter().map(|rule| rule.id))
                .unwrap_or_else(|| "the command 'rules' lists them".to_owned());
            OfError::NoSuchRule(id.to_owned(), advice)
        })?;
        if !self.rules.contains(&found.id) {
            self.rules.push(found.id);
        }
        Ok(self)
    }

    /// Keeps to a topic.
    ///
    /// # Errors
    /// [`OfError::NoSuchTopic`] with the topics that there are.
    pub fn with_topic(mut self, name: &str) -> Result<Self, OfError> {
        let wanted = name.trim().replace([' ', '_'], "-").to_lowercase();
        let found = CHAPTERS.iter().find(|chapter| chapter.name == wanted);
        let all = || CHAPTERS.iter().map(|chapter| chapter.name).collect::<Vec<_>>().join(", ");
        self.topic = Some(found.ok_or_else(|| OfError::NoSuchTopic(name.to_owned(), all()))?.name);
        Ok(self)
    }

    /// Whether a rule may be broken. Nothing being asked for, it is one of those that are seen or measured on the drawing.
    #[must_use]
    pub fn allows(&self, rule: &Rule, weight: Weight) -> bool {
        let is_asked_for = !self.rules.is_empty() || self.topic.is_some();
        (self.rules.is_empty() || self.rules.contains(&rule.id))
            && self.weight.is_none_or(|asked| asked == weight)
            && self.topic.is_none_or(|topic| chapter(rule.id).is_some_and(|chapter| chapter.name == topic))
            && (is_asked_for || matches!(rule.measure, Measure::OfSite(_)))
    }
}
