//! What is filled in for an exercise, here or on paper: how many faults, of what, for whom.

use crate::lesson::{Of, Wish};
use crate::rules::CHAPTERS;

/// So much beside the faults is only just allowed.
const NEAR_MISSES: usize = 2;
/// More faults than this make no exercise.
const MOST_FAULTS: u32 = 10;

/// What is filled in for an exercise.
#[derive(Debug, Clone)]
pub struct ExerciseForm {
    /// How many faults.
    pub faults: u32,
    /// The number that chance starts from, as it was typed.
    pub seed: String,
    /// Who; empty for nobody in particular.
    pub name: String,
    /// Whether time is shown and kept.
    pub timed: bool,
    /// Place of the topic among the chapters of the rules; any when there is none.
    pub topic: Option<usize>,
    /// The rules of which alone faults are planted, whatever the topic; any when there is none.
    pub rules: Vec<&'static str>,
}

impl Default for ExerciseForm {
    fn default() -> Self {
        Self {
            faults: usual_faults(&Of::default()),
            seed: "1".to_owned(),
            name: String::new(),
            timed: true,
            topic: None,
            rules: Vec::new(),
        }
    }
}

impl ExerciseForm {
    pub(super) fn wanted(&self) -> (Of, Wish) {
        let topic = self.topic.and_then(|place| CHAPTERS.get(place)).map(|topic| topic.name);
        let of = match &self.rules[..] {
            [] => Of { topic, ..Of::default() },
            rules => Of { rules: rules.to_vec(), ..Of::default() },
        };
        (of, Wish { faults: self.faults as usize, near_misses: NEAR_MISSES })
    }

    /// Chooses a rule, or no longer; as many faults are planted as are chosen, until somebody asks for fewer.
    pub fn turn(&mut self, rule: &'static str) {
        match self.rules.iter().position(|chosen| *chosen == rule) {
            Some(place) => {
                self.rules.remove(place);
            }
            None => self.rules.push(rule),
        }
        self.faults = usual_faults(&self.wanted().0);
    }

    /// Chooses none: chance takes any of the topic.
    pub fn choose_any(&mut self) {
        self.rules.clear();
        self.faults = usual_faults(&self.wanted().0);
    }

    /// So many faults can be asked for.
    #[must_use]
    pub fn most_faults(&self) -> u32 {
        match self.rules.len() {
            0 => MOST_FAULTS,
            count => u32::try_from(count).map_or(MOST_FAULTS, |count| count.min(MOST_FAULTS)),
        }
    }
}

fn usual_faults(of: &Of) -> u32 {
    u32::try_from(of.usual_faults()).map_or(MOST_FAULTS, |count| count.min(MOST_FAULTS))
}
