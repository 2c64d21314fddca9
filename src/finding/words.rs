//! Words of a finding: what is there, what is asked, what to do about it, in three readings.

use std::borrow::Cow;
use std::fmt::Write;

use super::Finding;
use crate::layout::ends_in_number;
use crate::measure::Have;
use crate::rules::{Lever, Limit, Verdict, Voice, said};
use crate::units::{Amount, Unit};

/// What is asked, how have and need stand, and the margin.
const MOST_LINES_OF_BOUND: usize = 3;

impl Finding {
    /// On whose authority its rule stands under the profile that judged, where that is written, and whether it was seen.
    #[must_use]
    pub fn authority(&self) -> String {
        self.source.as_ref().map_or_else(|| self.rule.authority(), |source| source.authority())
    }

    /// Whom it is about, as a reading says it: "cistern", "first cistern and second cistern".
    #[must_use]
    pub fn subject_words(&self, voice: Voice) -> String {
        let subjects = &self.reading.parts[..self.reading.subjects.min(self.reading.parts.len())];
        let Some((first, others)) = subjects.split_first() else { return String::new() };
        let mut words = said(first.spoken(), voice);
        for (number, part) in others.iter().enumerate() {
            words.push_str(if number + 1 == others.len() { " and " } else { ", " });
            words.push_str(&said(part.spoken(), voice));
        }
        words
    }

    /// The same as it stands in a sentence: with its article, unless a number ends it.
    #[must_use]
    pub fn subject_with_article(&self) -> String {
        let subject = self.subject_words(Voice::Trade);
        if ends_in_number(&subject) { subject } else { format!("the {subject}") }
    }

    /// What it is about, as it reads beside its verdict: the rule's title names a fault, which is there, asked about, or
    /// looked for and not found.
    #[must_use]
    pub fn title(&self, voice: Voice) -> String {
        let fault = self.rule.prose.title(voice);
        match self.judged.verdict {
            Verdict::Breach => fault.to_owned(),
            Verdict::Marginal | Verdict::Unknown => format!("{fault}?"),
            Verdict::Meets => opposite(fault).unwrap_or_else(|| format!("Not found: {}", uncapital(fault))),
        }
    }

    /// What stands before the words that speak of the rule's fault: it is there, or may be, or was looked for in vain.
    #[must_use]
    pub const fn before_why(&self) -> &'static str {
        match self.judged.verdict {
            Verdict::Breach => "Why",
            Verdict::Marginal | Verdict::Unknown => "If so",
            Verdict::Meets => "If not",
        }
    }

    /// What is there: "205 mm", "chipboard", "no gate valve", "not told".
    #[must_use]
    pub fn have_words(&self) -> String {
        let mut words = String::new();
        self.put_have(&mut words);
        words
    }

    fn put_have(&self, words: &mut String) {
        match &self.reading.have {
            Have::Amount(value, unit) => {
                self.put_beside(words, unit.of(value.value), self.judged.need);
                if let Some(side) = self.reading.side {
                    words.extend([" at the ", side]);
                }
            }
            Have::Choice(told) | Have::Yes(told) | Have::No(told) => words.push_str(told),
            Have::Untold(_) => words.push_str("not told"),
        }
        // What is there, and yet not enough, is too far off.
        if let (Have::Yes(_), Limit::YesWithin(within_mm), Some(away)) =
            (&self.reading.have, self.limit, self.reading.against)
            && self.judged.verdict != Verdict::Meets
        {
            words.push(' ');
            put(words, Amount::mm(away.value));
            words.push_str(" off, and none within ");
            put(words, Amount::mm(within_mm));
        }
    }

    /// What is there, where that is a number.
    fn have_amount(&self) -> Option<Amount> {
        match &self.reading.have {
            Have::Amount(value, unit) => Some(unit.of(value.value)),
            _ => None,
        }
    }

    /// What is there and what is asked, where both are numbers, so that they read alike only where the one is enough.
    #[must_use]
    pub fn have_and_need(&self) -> Option<[String; 2]> {
        let (have, need) = (self.have_amount()?, self.judged.need?);
        Some([(have, need), (need, have)].map(|(amount, other)| {
            let mut words = String::new();
            self.put_beside(&mut words, amount, Some(other));
            words
        }))
    }

    /// Writes an amount down: so that it does not read like the other, where that makes a difference.
    fn put_beside(&self, words: &mut String, amount: Amount, other: Option<Amount>) {
        match other {
            Some(other) if self.judged.verdict != Verdict::Meets => words.push_str(&amount.beside(other)),
            _ => put(words, amount),
        }
    }

    /// What is missing of a length that is less than nothing: a distance the other way, with its sign, is read as a slip.
    #[must_use]
    pub fn short_of_nothing(&self) -> Option<Amount> {
        match (&self.reading.have, self.judged.short_by) {
            (Have::Amount(way, Unit::Millimetre), Some(short)) if way.value < 0.0 && short.value > 0.0 => Some(short),
            _ => None,
        }
    }

    /// What is there, as a distance: "205 mm above", or "30 mm below" what it should be above.
    fn put_way(&self, words: &mut String, [onward, back]: [&str; 2]) {
        match &self.reading.have {
            Have::Amount(way, unit) => {
                put(words, unit.of(way.value.abs()));
                words.extend([" ", if way.value < 0.0 { back } else { onward }]);
            }
            _ => self.put_have(words),
        }
    }

    /// What is there, as a share of what can be taken: "0.82 of", or "2.2 times" where it is clearly more than all.
    fn put_share(&self, words: &mut String) {
        const CLEARLY_MORE: f64 = 1.05;
        match &self.reading.have {
            Have::Amount(share, Unit::Share) if share.value >= CLEARLY_MORE => {
                write!(words, "{:.1} times", share.value).expect("a text takes whatever is written");
            }
            _ => {
                self.put_have(words);
                words.push_str(" of");
            }
        }
    }

    /// What is asked: "at least 270 mm", "marine ply", "not chipboard"; empty when it speaks for itself.
    #[must_use]
    pub fn need_words(&self) -> String {
        let mut words = String::new();
        self.put_need(&mut words);
        words
    }

    fn put_need(&self, words: &mut String) {
        let bound = match self.limit {
            Limit::AtLeast(_) => "at least ",
            Limit::MoreThan(_) => "more than ",
            Limit::AtMost(_) => "at most ",
            Limit::OneOf(ones) => return words.push_str(&ones.join(" or ")),
            Limit::NoneOf(none) => return words.extend(["not ", none.join(", not ").as_str()]),
            Limit::Told | Limit::Yes | Limit::YesWithin(_) => return,
        };
        if let Some(need) = self.judged.need {
            words.push_str(bound);
            self.put_beside(words, need, self.have_amount());
        }
    }

    /// The bound by itself, where it is a number.
    fn put_bound(&self, words: &mut String) {
        match self.judged.need {
            Some(need) => self.put_beside(words, need, self.have_amount()),
            None => self.put_need(words),
        }
    }

    /// The finding in the words of one reading.
    #[must_use]
    pub fn words(&self, voice: Voice) -> String {
        let text = self.rule.prose.section(voice);
        if voice != Voice::Trade {
            return text.to_owned();
        }
        if let Have::Untold(find_out) = &self.reading.have {
            return format!("{}: not told; {find_out}.", capital(self.subject_words(Voice::Trade)));
        }
        capital(self.filled(text))
    }

    /// The text with what this finding has put where `{part}`, `{have}`, `{need}` and the like stand.
    fn filled(&self, text: &str) -> String {
        let mut words = String::with_capacity(2 * text.len());
        let mut rest = text;
        while let Some((before, (name, after))) =
            rest.split_once('{').and_then(|(before, after)| Some((before, after.split_once('}')?)))
        {
            words.push_str(before);
            match name {
                "part" => self.put_part(&mut words),
                "have" => self.put_have(&mut words),
                "have above" => self.put_way(&mut words, ["above", "below"]),
                "have below" => self.put_way(&mut words, ["below", "above"]),
                "have beyond" => self.put_way(&mut words, ["beyond", "inside"]),
                "have of" => self.put_share(&mut words),
                "have smaller" => self.put_way(&mut words, ["smaller", "larger"]),
                "at side" => self.reading.side.iter().for_each(|side| words.extend([" at the ", side])),
                "need" => self.put_bound(&mut words),
                "short" => self.judged.short_by.iter().for_each(|short| put(&mut words, *short)),
                other => words.extend(["{", other, "}"]),
            }
            rest = after;
        }
        words + rest
    }

    /// The part, with the article that stands before it in the text, unless a number ends its name.
    fn put_part(&self, words: &mut String) {
        let part = self.subject_words(Voice::Trade);
        let article = ["the ", "The "].into_iter().find(|article| words.ends_with(article));
        match article.filter(|_| ends_in_number(&part)) {
            Some(article) => {
                words.truncate(words.len() - article.len());
                words.push_str(&if article == "The " { capital(&part) } else { part });
            }
            None => words.push_str(&part),
        }
    }

    /// What would put it right, best first; what to find out when it is not told; nothing when it is met.
    #[must_use]
    pub fn remedies(&self) -> Vec<String> {
        match (&self.reading.have, self.judged.verdict) {
            (Have::Untold(find_out), _) => vec![capital(find_out)],
            (_, Verdict::Meets) => Vec::new(),
            (_, Verdict::Marginal) => {
                let mut remedies = vec!["Measure again with a finer tape".to_owned()];
                remedies.extend(self.levers());
                remedies
            }
            _ => self.levers(),
        }
    }

    fn levers(&self) -> Vec<String> {
        let side = self.reading.side.unwrap_or_default();
        let mut words = Vec::new();
        for lever in self.rule.levers.iter().filter(|lever| lever.serves(&self.reading, &self.judged)) {
            if !matches!(lever, Lever::Else(_)) || words.is_empty() {
                words.push(lever.words(side, self.judged.need, lever.amount(&self.reading, &self.judged)));
            }
            if matches!(lever, Lever::Only(..)) {
                break;
            }
        }
        words
    }

    /// The working: how it was measured, what is asked, how the two stand.
    #[must_use]
    pub fn working(&self) -> Vec<Cow<'_, str>> {
        let mut lines = Vec::with_capacity(self.reading.working.len() + MOST_LINES_OF_BOUND);
        lines.extend(self.reading.working.iter().map(Cow::from));
        if let (Some(have), Some(need)) = (self.have_amount(), self.judged.need) {
            if let Limit::AtLeast(bound) | Limit::MoreThan(bound) | Limit::AtMost(bound) = self.limit {
                let against = self.reading.against.map(|against| against.value);
                lines.extend(bound_working(bound, against, need).map(Cow::from));
            }
            let mut line = "have ".to_owned();
            self.put_beside(&mut line, have, Some(need));
            line.push_str(", need ");
            self.put_need(&mut line);
            lines.push(line.into());
            if self.judged.margin > 0.0 {
                let margin = have.unit.of(self.judged.margin);
                lines.push(format!("margin of the measurement ± {margin}").into());
            }
        }
        if let Some(rest) = self.reading.rest() {
            lines.push(format!("what is told decides; still to be found out: {rest}").into());
        }
        lines
    }
}

/// What is so where a fault that names something missing was not found: that it is missing would be denied twice.
fn opposite(fault: &str) -> Option<String> {
    if let Some(there) = fault.strip_prefix("No ") {
        return Some(capital(there));
    }
    if let Some(done) = fault.strip_prefix("Nobody ") {
        return Some(format!("Somebody {done}"));
    }
    fault.contains(" not ").then(|| fault.replacen(" not ", " ", 1))
}

fn bound_working(bound: crate::rules::Bound, against: Option<f64>, need: Amount) -> Option<String> {
    match (bound, against?) {
        (crate::rules::Bound::Constant(..), _) => None,
        (crate::rules::Bound::PerMetre { constant_mm, per_metre_mm, .. }, head_mm) => {
            Some(format!("need: {constant_mm} + {per_metre_mm} × {:.3} m = {need}", head_mm / 1000.0))
        }
        (crate::rules::Bound::Times { factor, unit, .. }, against) => {
            let against = unit.of(against);
            (factor != 1.0).then(|| format!("need: {factor} × {against} = {need}"))
        }
        (crate::rules::Bound::TimesButAtLeast { factor, floor_mm, .. }, bore_mm) => {
            let (floor, bore) = (Amount::mm(floor_mm), Amount::mm(bore_mm));
            Some(format!("need: the greater of {floor} and {factor} × {bore} = {need}"))
        }
        (crate::rules::Bound::ByCount { of, .. }, count) => Some(format!("need: {need} over {count} {of}")),
        (crate::rules::Bound::BySize(_), size_mm) => Some(format!("need: {need} for {} tube", Amount::mm(size_mm))),
    }
}

/// The text with its first letter small; a name of letters alone, such as "WC", stays as it is.
fn uncapital(text: &str) -> String {
    let mut letters = text.chars();
    let Some(first) = letters.next() else { return String::new() };
    if letters.clone().next().is_some_and(char::is_uppercase) {
        return text.to_owned();
    }
    first.to_lowercase().chain(letters).collect()
}

/// The text with its first letter a capital; "wc", as a part is called by itself, is a word of capitals.
#[must_use]
pub fn capital(text: impl Into<String>) -> String {
    let mut words = text.into();
    if let Some(rest) = words.strip_prefix("wc").filter(|rest| !rest.starts_with(char::is_alphanumeric)) {
        return format!("WC{rest}");
    }
    let Some(first) = words.chars().next().filter(|first| first.is_lowercase()) else { return words };
    match words.get_mut(..1) {
        Some(letter) => letter.make_ascii_uppercase(),
        None => words.replace_range(..first.len_utf8(), &first.to_uppercase().to_string()),
    }
    words
}

/// Writes an amount down behind others, without a text of its own.
fn put(words: &mut String, amount: Amount) {
    write!(words, "{amount}").expect("a text takes whatever is written");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::Bound;

    #[test]
    fn what_a_sum_leaves_behind_is_not_written_into_the_working() {
        let (tenths, need) = (0.1 + 0.2, Amount::mm(20.0));
        let gap = Bound::TimesButAtLeast { factor: 2.0, floor_mm: 20.0, of: "the bore of the supply" };
        let worked = bound_working(gap, Some(tenths), need).expect("worked");
        assert_eq!(worked, "need: the greater of 20 mm and 2 × 0.3 mm = 20 mm");
        let worked = bound_working(Bound::BySize(&[]), Some(22.0 + tenths), need).expect("worked");
        assert_eq!(worked, "need: 20 mm for 22.3 mm tube");
    }
}
