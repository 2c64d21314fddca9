//! Verdicts: a reading held against a limit, with the margin of the measurement between.

use serde::Serialize;

use super::{Bound, Limit, Voice};
use crate::layout::TapeClass;
use crate::measure::{Have, Reading, Rest};
use crate::units::{Amount, Measured, Unit};

/// Sums of binary fractions err far below this; a hundredth of a micron never decides a verdict.
const ROUNDING: f64 = 1e-5;

const AS_IT_SHOULD_BE: &str = "as it should be";

/// How a reading stands to a limit. Heaviest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// It breaks the rule.
    Breach,
    /// The measurement is too coarse to tell.
    Marginal,
    /// Nobody has told enough.
    Unknown,
    /// It keeps the rule.
    Meets,
}

impl Verdict {
    /// All of them, heaviest first.
    pub const ALL: [Self; 4] = [Self::Breach, Self::Marginal, Self::Unknown, Self::Meets];

    /// The verdict in a word.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Breach => "breach",
            Self::Marginal => "marginal",
            Self::Unknown => "unknown",
            Self::Meets => "meets",
        }
    }

    /// The verdict in the words of a reading.
    #[must_use]
    pub const fn said(self, voice: Voice) -> &'static str {
        match (voice, self) {
            (Voice::Trade | Voice::Teaching, _) => self.words(),
            (Voice::Plain, Self::Breach) => "not right",
            (Voice::Plain, Self::Marginal) => "too close to tell",
            (Voice::Plain, Self::Unknown) => "not known",
            (Voice::Plain, Self::Meets) => AS_IT_SHOULD_BE,
        }
    }

    /// The verdict beside the title of a finding: that names a fault, and a fault is not met.
    #[must_use]
    pub const fn beside_title(self, voice: Voice) -> &'static str {
        match self {
            Self::Meets => AS_IT_SHOULD_BE,
            Self::Breach | Self::Marginal | Self::Unknown => self.said(voice),
        }
    }
}

/// A reading, judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// How it stands.
    pub verdict: Verdict,
    /// The bound that was asked, where the limit is a number.
    pub need: Option<Amount>,
    /// How much is missing to the bound, where it does not meet; 0 where only the margin is missing.
    pub short_by: Option<Amount>,
    /// What, done, makes it meet: what is missing with the margin, rounded up to what can be set out; nothing where it
    /// meets already or is no number.
    pub remedy: Option<Amount>,
    /// Guard band: the guard factor times the standard uncertainty of the difference between have and need.
    pub margin: f64,
}

impl Judged {
    /// How much of what is there can go with the limit still kept, less than nothing where it is not; `None` where that is
    /// no number.
    #[must_use]
    pub fn spare(&self, limit: Limit, reading: &Reading) -> Option<Amount> {
        let (Have::Amount(have, unit), Some(need)) = (&reading.have, self.need) else { return None };
        let clear = match limit {
            Limit::AtLeast(_) => have.value - need.value + ROUNDING,
            // To stand on a bound that has to be passed is not enough.
            Limit::MoreThan(_) => have.value - need.value - 2.0 * ROUNDING,
            Limit::AtMost(_) => need.value - have.value + ROUNDING,
            Limit::OneOf(_) | Limit::NoneOf(_) | Limit::Told | Limit::Yes | Limit::YesWithin(_) => return None,
        };
        Some(unit.of(clear - self.margin))
    }
}

/// Holds a reading against a limit.
///
/// Numbers: meets when clear of the bound by the margin, breach when short of it by the margin, marginal between
/// (decision rule of ISO 14253-1, with `guard_factor` standard uncertainties as guard band).
#[must_use]
pub fn judge(limit: Limit, guard_factor: f64, reading: &Reading) -> Judged {
    let plain = |verdict| Judged { verdict, need: need(limit, reading), short_by: None, remedy: None, margin: 0.0 };
    let number = |value: Measured, bound, sense| number(reading, value, bound, sense, guard_factor);
    match (&reading.have, limit) {
        (Have::Untold(_), _) => plain(Verdict::Unknown),
        (Have::Amount(value, _), Limit::AtLeast(bound)) => number(*value, bound, Sense::AtLeast),
        (Have::Amount(value, _), Limit::MoreThan(bound)) => number(*value, bound, Sense::MoreThan),
        (Have::Amount(value, _), Limit::AtMost(bound)) => number(*value, bound, Sense::AtMost),
        (Have::Choice(word), Limit::OneOf(words)) if words.contains(word) => plain(Verdict::Meets),
        (Have::Choice(word), Limit::NoneOf(words)) if !words.contains(word) => plain(Verdict::Meets),
        (Have::Choice(_), Limit::OneOf(_) | Limit::NoneOf(_)) => plain(Verdict::Breach),
        (Have::Yes(_), Limit::YesWithin(within_mm)) => plain(reading.against.map_or(Verdict::Meets, |away| {
            let margin_mm = guard_factor * away.standard_uncertainty();
            how_it_stands(within_mm - away.value, margin_mm, Sense::AtMost)
        })),
        (Have::Yes(_), _) | (Have::Choice(_) | Have::Amount(..), Limit::Told) => plain(Verdict::Meets),
        (Have::No(_), _) => plain(Verdict::Breach),
        // A measure and a limit of different kinds: the table's own test forbids it.
        (Have::Choice(_) | Have::Amount(..), _) => plain(Verdict::Unknown),
    }
}

/// The same for a reading that may tell a part only: where that part does not decide, the whole is unknown.
#[must_use]
pub fn judge_as_told(limit: Limit, guard_factor: f64, mut reading: Reading) -> (Reading, Judged) {
    if let Some(find_out) = limit.find_out(&reading) {
        reading.have = Have::Untold(find_out);
    }
    let judged = judge(limit, guard_factor, &reading);
    let Some(rest) = &reading.rest else { return (reading, judged) };
    let is_open = match (&reading.have, limit, rest) {
        // What is missing may still come before it is too far off.
        (Have::No(_), Limit::YesWithin(within_mm), _) => {
            reading.against.is_some_and(|told| told.value < within_mm - ROUNDING)
        }
        (.., Rest::MayBreak(_) | Rest::AtWorst(..)) => judged.verdict == Verdict::Meets,
        (.., Rest::MayKeep(_)) => judged.verdict != Verdict::Meets,
    };
    if !is_open {
        return (reading, judged);
    }
    if let Rest::AtWorst(_, worst) = rest {
        let judged = judge(limit, guard_factor, worst);
        if judged.verdict == Verdict::Meets {
            return ((**worst).clone(), judged);
        }
    }
    let reading = reading.awaiting_the_rest();
    let judged = judge(limit, guard_factor, &reading);
    (reading, judged)
}

fn need(limit: Limit, reading: &Reading) -> Option<Amount> {
    match limit {
        Limit::AtLeast(bound) | Limit::MoreThan(bound) | Limit::AtMost(bound) => Some(bound.for_reading(reading)?.0),
        Limit::OneOf(_) | Limit::NoneOf(_) | Limit::Told | Limit::Yes | Limit::YesWithin(_) => None,
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Sense {
    AtLeast,
    MoreThan,
    AtMost,
}

fn number(reading: &Reading, have: Measured, bound: Bound, sense: Sense, guard_factor: f64) -> Judged {
    let Some((need, slope)) = bound.for_reading(reading) else {
        return Judged { verdict: Verdict::Unknown, need: None, short_by: None, remedy: None, margin: 0.0 };
    };
    let asked = reading.against.map_or(Measured::exact(0.0), |against| against.scaled(slope));
    // JCGM 100:2008, 5.2.2, equation 16.
    let variance = have.variance + asked.variance - 2.0 * slope * reading.covariance;
    let margin = guard_factor * variance.sqrt();
    // How far on the good side of the bound.
    let clear = match sense {
        Sense::AtLeast | Sense::MoreThan => have.value - need.value,
        Sense::AtMost => need.value - have.value,
    };
    let verdict = how_it_stands(clear, margin, sense);
    let open = verdict != Verdict::Meets;
    let short_by = open.then_some(need.unit.of((-clear).max(0.0)));
    let remedy = open.then(|| {
        let further = need.unit.of(margin - clear);
        to_be_done(further, sense, if margin > 0.0 { guard_factor } else { 0.0 })
    });
    Judged { verdict, need: Some(need), short_by, remedy, margin }
}

/// What is clear of a bound by so much, with such a margin.
fn how_it_stands(clear: f64, margin: f64, sense: Sense) -> Verdict {
    let enough = match sense {
        Sense::AtLeast | Sense::AtMost => clear >= margin - ROUNDING,
        Sense::MoreThan => clear > margin + ROUNDING,
    };
    if enough {
        Verdict::Meets
    } else if margin > 0.0 && clear > ROUNDING - margin {
        Verdict::Marginal
    } else {
        Verdict::Breach
    }
}

/// What has to be done to get `further` on the good side, in figures that can be set out. What is moved is measured
/// again, and a tape errs the more the further it is drawn out.
fn to_be_done(further: Amount, sense: Sense, guard_factor: f64) -> Amount {
    let blur = match further.unit {
        Unit::Millimetre => guard_factor * TapeClass::at_most_more_mm(further.value) / 3.0_f64.sqrt(),
        _ => 0.0,
    };
    // At a bound that has to be passed it is not enough to stand on it.
    let trace = if sense == Sense::MoreThan { -2.0 * ROUNDING } else { ROUNDING };
    Amount { value: further.value + blur, ..further }.up_to_a_step(trace)
}
