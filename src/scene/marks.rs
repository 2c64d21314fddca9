//! Which findings are marked on the drawing, and with what: a dimension line, a stretch of pipe or a ring, and a note.

use glam::DVec2;

use super::{Emphasis, Mark, MarkFigure, Origin, Scene, Shape};
use crate::finding::{Finding, FindingKey, Findings};
use crate::measure::{Axis, Feature, Have, Place, Site};
use crate::rules::{Limit, Verdict, Voice, said};
use crate::units::Amount;

/// Points nearer than this make no dimension line, mm.
const NO_LINE_MM: f64 = 0.5;
/// More marks than this hide the drawing; the heaviest come first.
const MOST_MARKS: usize = 80;
/// So many of the heaviest are written out where the rest are numbers.
const WRITTEN_OUT: usize = 6;

/// Which marks are drawn.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Marks {
    /// Which findings by their verdict.
    pub which: Which,
    /// One finding that is drawn heavier, whatever its verdict.
    pub chosen: Option<FindingKey>,
    /// How many of those that are marked by their verdict are shown, heaviest first; all when none is said.
    pub first: Option<usize>,
    /// In which words they are written out.
    pub voice: Voice,
}

/// Which findings are marked by their verdict.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Which {
    /// None.
    None,
    /// All that are broken or too near to tell.
    #[default]
    BreachesAndMarginals,
    /// The same, but only the heaviest few are written out; the rest are small and numbered as in the list.
    HeaviestWrittenOut,
}

/// The findings that are marked by their verdict, heaviest first. Their numbers count from 1 in this order.
pub fn marked(findings: &Findings) -> impl Iterator<Item = (&FindingKey, &Finding)> {
    findings.keyed().filter(|(_, finding)| matches!(finding.judged.verdict, Verdict::Breach | Verdict::Marginal))
}

impl Marks {
    /// No marks at all.
    #[must_use]
    pub const fn none() -> Self {
        Self { which: Which::None, chosen: None, first: None, voice: Voice::Trade }
    }

    /// How a finding is marked that is the `place`th of those marked by their verdict, or none of them.
    fn emphasis(&self, key: &FindingKey, place: Option<usize>) -> Option<Emphasis> {
        if self.chosen.as_ref() == Some(key) {
            return Some(Emphasis::Chosen);
        }
        let place = place.filter(|place| self.first.is_none_or(|first| *place < first))?;
        match (self.which, place) {
            (Which::None, _) => None,
            (Which::HeaviestWrittenOut, place) if place >= WRITTEN_OUT => Some(Emphasis::Small(place + 1)),
            (Which::BreachesAndMarginals | Which::HeaviestWrittenOut, _) => Some(Emphasis::Plain),
        }
    }

    /// Whether a finding is marked with its number alone.
    #[must_use]
    pub fn is_small(&self, findings: &Findings, key: &FindingKey) -> bool {
        let place = marked(findings).position(|(other, _)| other == key);
        matches!(self.emphasis(key, place), Some(Emphasis::Small(_)))
    }
}

pub(super) fn draw(scene: &mut Scene, site: &Site<'_>, findings: &Findings, marks: &Marks) {
    let mut place = 0;
    let mut shown: Vec<(&FindingKey, &Finding, Emphasis, Option<usize>)> = findings
        .keyed()
        .filter_map(|(key, finding)| {
            let counts = matches!(finding.judged.verdict, Verdict::Breach | Verdict::Marginal);
            let number = counts.then_some(place + 1);
            let emphasis = marks.emphasis(key, counts.then_some(place));
            place += usize::from(counts);
            Some((key, finding, emphasis?, number))
        })
        .collect();
    // The chosen one finds its place first.
    shown.sort_by_key(|(_, _, emphasis, _)| *emphasis != Emphasis::Chosen);
    for (key, finding, emphasis, number) in shown.into_iter().take(MOST_MARKS) {
        if let Some(mark) = mark(site, finding, emphasis, number, marks.voice) {
            scene.add(&Origin::Mark(key.clone()), Shape::Mark(mark));
        }
    }
}

/// The mark of a finding; none when it has no place.
pub(super) fn mark(
    site: &Site<'_>,
    finding: &Finding,
    emphasis: Emphasis,
    number: Option<usize>,
    voice: Voice,
) -> Option<Mark> {
    let figure = figure(site, finding)?;
    let (title, words) = (title(finding, voice), words(finding, voice));
    Some(Mark { figure, verdict: finding.judged.verdict, title, words, emphasis, number })
}

/// The name of the fault, and what is there and what is asked, as a mark writes them out.
#[must_use]
pub fn written_out(finding: &Finding, voice: Voice) -> String {
    format!("{}\n{}", title(finding, voice), words(finding, voice))
}

fn figure(site: &Site<'_>, finding: &Finding) -> Option<MarkFigure> {
    let reading = &finding.reading;
    let mut located = reading.places.iter().filter_map(|place| site.locate(place));
    let Some(first) = located.next() else {
        return reading.parts.iter().find_map(|part| somewhere_on(site, part)).map(MarkFigure::Ring);
    };
    let figure = match (reading.axis, located.next()) {
        (axis @ Axis::Upright, Some(second)) if (first.y - second.y).abs() > NO_LINE_MM => {
            MarkFigure::Dimension { from: first, to: second, axis }
        }
        (axis @ Axis::Level, Some(second)) if (first.x - second.x).abs() > NO_LINE_MM => {
            MarkFigure::Dimension { from: first, to: second, axis }
        }
        (Axis::Along, Some(second)) => match stretch(site, &reading.places) {
            Some(points) => MarkFigure::Stretch(points),
            None => MarkFigure::Ring(second),
        },
        _ => MarkFigure::Ring(first),
    };
    Some(figure)
}

/// The piece of pipe between the first two places, where one of them is on a run and the other on the same or at its end.
fn stretch(site: &Site<'_>, places: &[Place]) -> Option<Vec<DVec2>> {
    let on_run = |place: &Place| {
        let number = site.run_number(place.part.as_ref()?)?;
        match place.feature {
            Feature::Along(along) => Some((number, along)),
            _ => None,
        }
    };
    let (first, second) = (places.first()?, places.get(1)?);
    let (number, to) = on_run(second).or_else(|| on_run(first))?;
    let line = site.line(number)?;
    let from = match (on_run(first), on_run(second)) {
        (Some((a, from)), Some((b, _))) if a == b => from,
        (Some(_), Some(_)) => return None,
        _ => {
            let other = if on_run(second).is_some() { first } else { second };
            line.nearest(site.locate(other)?).0
        }
    };
    ((from - to).abs() > NO_LINE_MM).then(|| line.between(from, to))
}

/// Any point of a part that has one.
fn somewhere_on(site: &Site<'_>, part: &crate::layout::Id) -> Option<DVec2> {
    site.locate(&Place::middle(part))
}

/// A note must not accuse where nothing is told: there it names the part.
fn title(finding: &Finding, voice: Voice) -> String {
    match finding.judged.verdict {
        Verdict::Unknown => finding.subject_words(voice),
        _ => finding.title(voice),
    }
}

/// What is there and what is asked, with the verdict in a word.
fn words(finding: &Finding, voice: Voice) -> String {
    said(words_of_the_trade(finding, voice), voice)
}

fn words_of_the_trade(finding: &Finding, voice: Voice) -> String {
    if let Have::Untold(find_out) = &finding.reading.have {
        return format!("not told: {find_out}");
    }
    let verdict = finding.judged.verdict.said(voice);
    let (Some([have, need]), Some(Amount { unit, .. })) = (finding.have_and_need(), finding.judged.need) else {
        return match (finding.limit, &finding.reading.have) {
            (Limit::OneOf(_), Have::Choice(have)) if finding.judged.verdict != Verdict::Meets => {
                format!("{verdict}: {have} · need {}", finding.need_words())
            }
            _ => format!("{verdict}: {}", finding.have_words()),
        };
    };
    let bound = match finding.limit {
        _ if voice == Voice::Plain => return plain_words(finding, verdict),
        Limit::MoreThan(_) => "need more than",
        Limit::AtMost(_) => "at most",
        _ => "need",
    };
    // The unit stands once, with the bound.
    let have = have.trim_end_matches(unit.suffix());
    let margin = match finding.judged.verdict {
        Verdict::Marginal => format!(" (± {})", unit.of(finding.judged.margin)),
        _ => String::new(),
    };
    format!("{verdict}: have {have} · {bound} {need}{margin}")
}

/// What is there and what there should be, in everyday words.
fn plain_words(finding: &Finding, verdict: &str) -> String {
    let need = finding.need_words();
    let asks_for_none = finding.judged.need.is_some_and(|need| need.value == 0.0);
    match finding.short_of_nothing() {
        // What is short is missing of nothing.
        Some(short) if asks_for_none => format!("{verdict}: it is short by {short}"),
        Some(short) => format!("{verdict}: it is short by {short}; it should be {need}"),
        None => format!("{verdict}: it is {}; it should be {need}", finding.have_words()),
    }
}
