//! Sums to practise: questions drawn from the table of sums with sensible numbers, marked with their units.

use thiserror::Error;

use super::mark::number;
use crate::num::SplitMix;
use crate::sum::{Given, sum};
use crate::takeoff::cutting::{Stock, cut};

/// Marks for the right number.
pub const NUMBER_MARKS: i32 = 2;
/// Marks for the unit behind it.
pub const UNIT_MARKS: i32 = 1;
/// A list of pieces whose least number of bars is not proven is drawn again, so often at most.
const DRAWS: u32 = 50;

/// What is practised.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Topic {
    /// How far a vent has to rise.
    VentRise,
    /// What a cistern holds.
    Capacity,
    /// What a full cistern weighs.
    Load,
    /// The pressure of a head of water.
    Head,
    /// How long a store takes to heat.
    Reheat,
    /// How much water grows while it is heated.
    Expansion,
    /// Tube from bars.
    CuttingList,
}

/// A question with its answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// What it is about.
    pub topic: Topic,
    /// The question.
    pub words: String,
    /// The unit that the answer is asked in.
    pub unit: &'static str,
    /// How far an answer may be off, in that unit; nothing where things are counted.
    pub tolerance: f64,
    /// The answer.
    pub answer: f64,
    /// Formula, values put in, result.
    pub working: Vec<String>,
    /// Where the formula stands.
    pub source: String,
}

/// What an answer earns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Earned {
    /// For the number.
    pub number: i32,
    /// For the unit.
    pub unit: i32,
}

/// There is no such topic.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("there is no topic '{0}'; the topics are {all}", all = Topic::ALL.map(Topic::name).join(", "))]
pub struct NoSuchTopic(String);

/// What a question draws: from, to, and in which steps, in whole parts of which so many make one.
struct Draw {
    input: &'static str,
    least: i32,
    greatest: i32,
    step: i32,
    parts: i32,
}

/// How a question of a topic is made from the table of sums.
struct Pattern {
    topic: Topic,
    sum: &'static str,
    draws: &'static [Draw],
    /// The question, with `{input}` for what is drawn.
    words: &'static str,
    output: &'static str,
    unit: &'static str,
    /// Tolerance as a share of the answer, in thousandths, and never less than this.
    thousandths: i32,
    least_tolerance: f64,
}

const fn draw(input: &'static str, (least, greatest): (i32, i32), step: i32, parts: i32) -> Draw {
    Draw { input, least, greatest, step, parts }
}

impl Topic {
    /// All of them.
    pub const ALL: [Self; 7] =
        [Self::VentRise, Self::Capacity, Self::Load, Self::Head, Self::Reheat, Self::Expansion, Self::CuttingList];

    /// What one types.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::VentRise => "vent-rise",
            Self::Capacity => "capacity",
            Self::Load => "load",
            Self::Head => "head",
            Self::Reheat => "reheat",
            Self::Expansion => "expansion",
            Self::CuttingList => "cutting-list",
        }
    }

    /// Its name as a heading.
    #[must_use]
    pub const fn heading(self) -> &'static str {
        match self {
            Self::VentRise => "Vent rise",
            Self::Capacity => "Capacity",
            Self::Load => "Load",
            Self::Head => "Head",
            Self::Reheat => "Reheat",
            Self::Expansion => "Expansion",
            Self::CuttingList => "Cutting list",
        }
    }

    /// The topic of a name.
    ///
    /// # Errors
    /// [`NoSuchTopic`] with the topics that there are.
    pub fn named(name: &str) -> Result<Self, NoSuchTopic> {
        let wanted = name.trim().to_lowercase().replace([' ', '_'], "-");
        Self::ALL.into_iter().find(|topic| topic.name() == wanted).ok_or_else(|| NoSuchTopic(name.to_owned()))
    }
}

/// How the questions of each topic are made; the cutting list has a way of its own.
static PATTERNS: [Pattern; 6] = [
    Pattern {
        topic: Topic::VentRise,
        sum: "vent-rise",
        draws: &[draw("height", (12, 60), 1, 10)],
        words: "The water line stands {height} m above the base of the cylinder. How far above the water line \
                does the open vent have to rise?",
        output: "rise",
        unit: "mm",
        thousandths: 0,
        least_tolerance: 2.0,
    },
    Pattern {
        topic: Topic::Capacity,
        sum: "cistern-contents",
        draws: &[
            draw("length", (600, 1200), 10, 1),
            draw("width", (400, 800), 10, 1),
            draw("depth", (300, 500), 10, 1),
        ],
        words: "A cistern with upright sides is {length} mm long and {width} mm wide inside, and the water in \
                it stands {depth} mm deep. How much water is that?",
        output: "volume",
        unit: "L",
        thousandths: 10,
        least_tolerance: 0.5,
    },
    Pattern {
        topic: Topic::Load,
        sum: "cistern-load",
        draws: &[draw("volume", (120, 480), 5, 1), draw("empty", (8, 30), 1, 1)],
        words: "A cistern holds {volume} L to its rim and a good quarter less to its water line. Empty, with lid, \
                valve and fittings, it weighs {empty} kg. Which load does its platform have to carry?",
        output: "load",
        unit: "kN",
        thousandths: 20,
        least_tolerance: 0.02,
    },
    Pattern {
        topic: Topic::Head,
        sum: "head",
        draws: &[draw("height", (5, 80), 1, 10)],
        words: "The water line of a cistern stands {height} m above a tap that is shut. The water is at 10 °C. \
                What is the pressure at the tap?",
        output: "pressure",
        unit: "kPa",
        thousandths: 20,
        least_tolerance: 0.2,
    },
    Pattern {
        topic: Topic::Reheat,
        sum: "reheat",
        draws: &[
            draw("volume", (80, 210), 5, 1),
            draw("power", (6, 18), 1, 2),
            draw("from", (8, 15), 1, 1),
            draw("to", (55, 65), 5, 1),
        ],
        words: "A store of {volume} L is heated by {power} kW from {from} °C to {to} °C. It loses nothing \
                meanwhile. How long does that take?",
        output: "time",
        unit: "min",
        thousandths: 20,
        least_tolerance: 1.0,
    },
    Pattern {
        topic: Topic::Expansion,
        sum: "expansion",
        draws: &[draw("volume", (80, 210), 5, 1), draw("from", (5, 15), 1, 1), draw("to", (55, 70), 5, 1)],
        words: "A vented cylinder of {volume} L is heated from {from} °C to {to} °C. How much water goes back up \
                the cold feed? (Take the densities from a table.)",
        output: "water up the feed",
        unit: "L",
        thousandths: 50,
        least_tolerance: 0.1,
    },
];

/// Draws questions. The same topic, count and seed give the same questions.
#[must_use]
pub fn questions(topic: Topic, count: u32, seed: u64) -> Vec<Question> {
    let mut chance = SplitMix::seeded(seed);
    let pattern = PATTERNS.iter().find(|pattern| pattern.topic == topic);
    let one = |_| match pattern {
        Some(pattern) => drawn(pattern, &mut chance),
        None => cutting(&mut chance),
    };
    (0..count).filter_map(one).collect()
}

fn drawn(pattern: &Pattern, chance: &mut SplitMix) -> Option<Question> {
    let mut words = pattern.words.to_owned();
    let mut values = Vec::new();
    for draw in pattern.draws {
        let steps = (draw.greatest - draw.least) / draw.step;
        let value = f64::from(draw.least + draw.step * chance.between(0, steps)) / f64::from(draw.parts);
        words = words.replace(&format!("{{{}}}", draw.input), &value.to_string());
        values.push((draw.input, value));
    }
    let sum = sum(pattern.sum)?;
    let given = Given::of(sum, &values).ok()?;
    let reckoned = (sum.reckon)(&given).ok()?;
    let answer = reckoned.value(pattern.output)?;
    let share = answer.abs() * f64::from(pattern.thousandths) / 1000.0;
    let tolerance = stated(share.max(pattern.least_tolerance));
    let working = reckoned.working;
    Some(Question {
        topic: pattern.topic,
        words,
        unit: pattern.unit,
        tolerance,
        answer,
        working,
        source: sum.authority(),
    })
}

/// A tolerance in as many figures as are worth stating.
fn stated(tolerance: f64) -> f64 {
    let parts = match tolerance {
        small if small < 1.0 => 100.0,
        middling if middling < 10.0 => 10.0,
        _ => 1.0,
    };
    (tolerance * parts).round() / parts
}

/// Pieces of tube from bars of three metres.
fn cutting(chance: &mut SplitMix) -> Option<Question> {
    let stock = Stock::default();
    for _ in 0..DRAWS {
        let count = chance.between(5, 9);
        let mut pieces: Vec<u32> = (0..count).map(|_| 50 * u32::try_from(chance.between(5, 42)).unwrap_or(5)).collect();
        pieces.sort_unstable_by(|a, b| b.cmp(a));
        let cutting = cut(&pieces, stock);
        if !cutting.is_proven() || cutting.bars.len() < 2 {
            continue;
        }
        let listed = |pieces: &[u32]| pieces.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
        let mut working: Vec<String> = (cutting.bars.iter().enumerate())
            .map(|(number, bar)| {
                let used: u32 = bar.iter().map(|piece| piece + stock.kerf_mm).sum::<u32>() - stock.kerf_mm;
                format!("bar {}: {} mm, with the cuts {used} of {} mm", number + 1, listed(bar), stock.length_mm)
            })
            .collect();
        working.push(cutting.words());
        let words = format!(
            "Tube comes in bars of {} mm, and each cut takes {} mm. These pieces are wanted, in mm: {}. \
             How many bars have to be bought at least?",
            stock.length_mm,
            stock.kerf_mm,
            listed(&pieces)
        );
        let answer = u32::try_from(cutting.bars.len()).map_or(0.0, f64::from);
        let source = "common practice, no source: bars of three metres and a saw of three millimetres".to_owned();
        return Some(Question {
            topic: Topic::CuttingList,
            words,
            unit: "bars",
            tolerance: 0.0,
            answer,
            working,
            source,
        });
    }
    None
}

impl Question {
    /// In which unit and how closely the answer is asked.
    #[must_use]
    pub fn asked(&self) -> String {
        if self.tolerance > 0.0 {
            format!("Answer in {} with its unit; right within ± {} {}.", self.unit, self.tolerance, self.unit)
        } else {
            format!("Answer in {}; they are counted, so nothing is let pass.", self.unit)
        }
    }

    /// The answer with its unit.
    #[must_use]
    pub fn answer_words(&self) -> String {
        let decimals = if self.tolerance == 0.0 || self.tolerance >= 2.0 {
            0
        } else if self.tolerance >= 0.2 {
            1
        } else {
            2
        };
        format!("{:.decimals$} {}", self.answer, self.unit)
    }

    /// What an answer earns: the number, which may be in another unit of the same kind, and the unit behind it.
    #[must_use]
    pub fn mark(&self, text: &str) -> Earned {
        let right = number(text, self.unit).is_some_and(|value| (value - self.answer).abs() <= self.tolerance + 1e-9);
        let has_unit = text.trim().chars().last().is_some_and(|last| !last.is_ascii_digit() && last != '.');
        Earned { number: if right { NUMBER_MARKS } else { 0 }, unit: if right && has_unit { UNIT_MARKS } else { 0 } }
    }
}

impl Earned {
    /// All of it.
    #[must_use]
    pub const fn sum(self) -> i32 {
        self.number + self.unit
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_topic_gives_so_many_questions_with_answers_that_mark_themselves_full() {
        for topic in Topic::ALL {
            for seed in 0..40 {
                let asked = questions(topic, 5, seed);
                assert_eq!(asked.len(), 5, "{}", topic.name());
                for question in &asked {
                    assert!(!question.words.contains('{') && !question.working.is_empty(), "{question:?}");
                    assert_eq!(
                        question.mark(&question.answer_words()).sum(),
                        NUMBER_MARKS + UNIT_MARKS,
                        "{question:?}"
                    );
                    let bare = question.answer_words().replace(question.unit, "");
                    assert_eq!(question.mark(&bare), Earned { number: NUMBER_MARKS, unit: 0 }, "{question:?}");
                    let off = format!("{} {}", question.answer + question.tolerance * 1.1 + 1.0, question.unit);
                    assert_eq!(question.mark(&off).sum(), 0, "{question:?}");
                }
            }
        }
    }

    #[test]
    fn the_same_seed_gives_the_same_questions() {
        let asked = questions(Topic::VentRise, 3, 11);
        assert_eq!(asked, questions(Topic::VentRise, 3, 11));
        assert_ne!(asked, questions(Topic::VentRise, 3, 12));
        assert!(asked[0].answer > 150.0);
    }

    #[test]
    fn another_unit_of_the_same_kind_is_taken() {
        let question = &questions(Topic::VentRise, 1, 3)[0];
        assert_eq!(question.mark(&format!("{} m", question.answer / 1000.0)).sum(), 3);
        assert!(Topic::named("vent rise").is_ok() && Topic::named("heat").is_err());
    }
}
