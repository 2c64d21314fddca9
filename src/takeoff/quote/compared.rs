//! How one topic stands: the lines of a quote that speak of it, against what is drawn and what the rules ask.

use super::matching::Matched;
use super::numbers::{self, Against};
use super::standing::Standing;
use super::topics::Topic;
use super::words::Words;
use super::{AskedBy, Compared, Match, State, doubles, lengths};
use crate::finding::Findings;
use crate::layout::Layout;
use crate::rules::Voice;
use crate::takeoff::{Line, Takeoff, Trade};

/// How a topic stands; none when neither the layout nor a rule nor the quote knows of it.
pub(super) fn compared(
    topic: &Topic,
    layout: &Layout,
    takeoff: &Takeoff,
    findings: &Findings,
    matched: &[Matched<'_>],
) -> Option<Compared> {
    let lines: Vec<&Line> =
        takeoff.lines.iter().filter(|line| line.trade != Trade::Weights && topic.covers.holds(layout, line)).collect();
    let wanted = Wanted { topic, layout, findings, lines: &lines, asked_by: &asked_by(topic, findings) };
    let is_drawn = !lines.is_empty() && !topic.need_not_be_named();
    if !is_drawn && wanted.asked_by.is_empty() && matched.is_empty() {
        return None;
    }
    let Against { contradictions, differences } = wanted.against(matched);
    let drawn = lines.iter().flat_map(|line| topic.covers.drawn(layout, line));
    let matches = matched.iter().map(|matched| Match {
        line: matched.line.number,
        text: matched.line.text.clone(),
        why: matched.standing.said().map_or_else(|| matched.why.clone(), |said| format!("{}; {said}", matched.why)),
        confirmed: false,
    });
    Some(Compared {
        topic: topic.name,
        state: if contradictions.is_empty() { wanted.state(matched) } else { State::Contradicted },
        drawn: drawn.collect(),
        asked_by: wanted.asked_by.to_vec(),
        matches: matches.collect(),
        contradictions,
        differences,
    })
}

/// A topic, with what is drawn and asked of it.
struct Wanted<'a> {
    topic: &'a Topic,
    layout: &'a Layout,
    findings: &'a Findings,
    lines: &'a [&'a Line],
    asked_by: &'a [AskedBy],
}

impl Wanted<'_> {
    /// Whether the drawing has none and no rule asks for it.
    fn is_nowhere(&self) -> bool {
        self.lines.is_empty() && self.asked_by.is_empty()
    }

    /// What in the lines of a quote speaks against what is drawn and asked of it, or against each other.
    fn against(&self, matched: &[Matched<'_>]) -> Against {
        let Self { topic, layout, findings, lines, .. } = self;
        let kept: Vec<&Matched<'_>> = matched.iter().filter(|matched| matched.standing == Standing::Firm).collect();
        let (mut contradictions, mut differences) = (Vec::new(), Vec::new());
        let is_named = |matched: &&Matched<'_>| {
            matches!(matched.standing, Standing::Firm | Standing::WithoutMaterial | Standing::InPart)
        };
        for Matched { line, words, .. } in matched.iter().filter(is_named) {
            let said = numbers::against(topic, layout, findings, lines, words);
            let named = |said: String| format!("{}: {said}", line.spoken());
            contradictions.extend(said.contradictions.into_iter().map(named));
            differences.extend(said.differences.into_iter().map(named));
        }
        let is_out = |matched: &&Matched<'_>| matches!(matched.standing, Standing::LeftOut(_) | Standing::LeftToYou(_));
        if let (Some(named), Some(out)) = (kept.first(), matched.iter().find(is_out)) {
            let (named, line) = (named.line.spoken(), out.line.spoken());
            let leaves =
                if matches!(out.standing, Standing::LeftOut(_)) { "leaves it out" } else { "leaves it to others" };
            contradictions.push(format!("{named} seems to name it, and {line} {leaves}"));
        }
        if self.is_nowhere() && matched.iter().any(|matched| is_named(&matched)) {
            contradictions.push("the drawing has none, and no rule asks for it".to_owned());
        }
        contradictions.extend(doubles::doubles(topic, lines, &kept));
        let quoted: Vec<&Words> = kept.iter().map(|matched| &matched.words).collect();
        contradictions.extend(numbers::too_few(topic, lines, &quoted));
        if topic.is_all_tube() {
            let in_part = matched.iter().filter(|matched| matched.standing == Standing::InPart);
            let tube: Vec<&Words> = quoted.into_iter().chain(in_part.map(|matched| &matched.words)).collect();
            contradictions.extend(lengths::too_short(lines, &tube));
        }
        Against { contradictions, differences }
    }

    /// How it stands by the lines that speak of it, where none contradicts it.
    fn state(&self, matched: &[Matched<'_>]) -> State {
        let stands = |as_this: fn(&Standing) -> bool| matched.iter().any(|matched| as_this(&matched.standing));
        if stands(|standing| *standing == Standing::Firm) {
            State::Covered
        } else if stands(|standing| matches!(standing, Standing::LeftOut(_))) {
            if self.is_nowhere() { State::NoneEither } else { State::LeftOut }
        } else if stands(|standing| matches!(standing, Standing::LeftToYou(_))) {
            State::LeftToYou
        } else if stands(|standing| matches!(standing, Standing::OnlyAsExtra(_))) {
            State::OnlyAsExtra
        } else if stands(|standing| *standing == Standing::WithoutMaterial) {
            State::WithoutMaterial
        } else if stands(|standing| *standing == Standing::InPart) {
            State::InPart
        } else if stands(|standing| *standing == Standing::Reused) {
            State::Reused
        } else {
            State::NotMentioned
        }
    }
}

/// The rules that ask for a thing in this layout, heaviest first, each title with each way in which it stands once.
fn asked_by(topic: &Topic, findings: &Findings) -> Vec<AskedBy> {
    let mut rules: Vec<AskedBy> = Vec::new();
    for finding in findings.iter().filter(|finding| topic.rules.contains(&finding.rule.id)) {
        let asked_by = AskedBy { rule: finding.rule.id, weight: finding.weight, verdict: finding.judged.verdict };
        if !rules.iter().any(|known| known.spoken(Voice::Trade) == asked_by.spoken(Voice::Trade)) {
            rules.push(asked_by);
        }
    }
    rules.sort_by_key(|asked_by| asked_by.weight);
    rules
}
