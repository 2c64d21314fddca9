//! Insulation of pipes.

use super::Change;
use super::broken::Broken;
use crate::catalogue::Insulant;
use crate::heat::parts_in_loft;
use crate::layout::{Edit, End, Id, Layout, Part, Run, Service, WhichEnd};
use crate::measure::Site;
use crate::mend::handle::{end_on, length_mm};
use crate::units::Size;

/// Thicknesses of insulation that are offered, mm.
pub(super) const INSULATION_MM: [f64; 4] = [25.0, 32.0, 50.0, 80.0];

/// Insulation on stretches of runs.
#[derive(Debug, Clone, PartialEq)]
pub struct LaggingChange {
    /// The stretches, one at least.
    pub spans: Vec<Span>,
    /// How thick, mm.
    pub thickness_mm: f64,
}

/// A stretch of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Span {
    /// The run.
    pub run: Id,
    /// Where it begins, mm along the run.
    pub from_mm: f64,
    /// Where it ends, mm along the run.
    pub to_mm: f64,
}

impl LaggingChange {
    pub(super) fn words(&self) -> String {
        let Self { spans, thickness_mm } = self;
        let words = |Span { run, from_mm, to_mm }: &Span| {
            format!("{} from {from_mm:.0} to {to_mm:.0} mm along it", run.with_article())
        };
        let spans: Vec<String> = spans.iter().map(words).collect();
        format!("Insulate {}, {thickness_mm:.0} mm thick", spans.join(", and "))
    }

    pub(super) fn edits(&self, layout: &Layout) -> Vec<Edit> {
        // An edit puts a run as a whole: of two stretches of one run the second is laid on what came of the first.
        let mut lagged: Vec<Run> = Vec::new();
        for span in &self.spans {
            match lagged.iter_mut().find(|run| run.id == span.run) {
                Some(run) => *run = self.lagged(run, span),
                None => lagged.extend(layout.run(&span.run).map(|run| self.lagged(run, span))),
            }
        }
        lagged.into_iter().map(|run| Edit::put(Part::Run(run))).collect()
    }

    /// A run with one more insulated stretch, in place of what lay there.
    fn lagged(&self, run: &Run, span: &Span) -> Run {
        let told = run.insulation.as_ref().and_then(|insulation| insulation.first()?.kind);
        let kind = told.or(Some(Insulant::PolyethyleneFoam));
        run.lagged(span.from_mm, span.to_mm, Some(Size::mm(self.thickness_mm)), kind)
    }
}

pub(super) fn changes(broken: &Broken<'_>) -> Vec<Change> {
    match broken.rule() {
        "cylinder-pipe-uninsulated" => first_metre(broken.layout, &broken.key.parts),
        "loft-pipe-freezes-too-soon" => in_loft(broken.layout, &broken.key.parts),
        "dead-leg-too-long" => throughout(broken.layout, broken.runs()),
        "one-pipe-circulation" => {
            let vent_or_feed = |run: &&Run| matches!(run.service, Service::OpenVent | Service::ColdFeed);
            throughout(broken.layout, broken.layout.runs.iter().filter(vent_or_feed))
        }
        _ => Vec::new(),
    }
}

/// Runs insulated from end to end.
fn throughout<'a>(layout: &Layout, runs: impl Iterator<Item = &'a Run>) -> Vec<Change> {
    let whole = |run: &Run| Some(Span { run: run.id.clone(), from_mm: 0.0, to_mm: length_mm(layout, &run.id)? });
    in_each_thickness(runs.filter_map(whole).collect())
}

/// Runs insulated where they have water in the loft, to the whole millimetre beyond it.
fn in_loft(layout: &Layout, parts: &[Id]) -> Vec<Change> {
    let site = Site::of(layout);
    let is_meant = |(number, _): &(usize, Vec<(f64, f64)>)| parts.contains(&layout.runs[*number].id);
    let of_run = |(number, spans): (usize, Vec<(f64, f64)>)| {
        let id = &layout.runs[number].id;
        let most = length_mm(layout, id).unwrap_or_default();
        let span =
            move |(from, to): (f64, f64)| Span { run: id.clone(), from_mm: from.floor(), to_mm: to.ceil().min(most) };
        spans.into_iter().map(span)
    };
    in_each_thickness(parts_in_loft(&site).into_iter().filter(is_meant).flat_map(of_run).collect())
}

fn in_each_thickness(spans: Vec<Span>) -> Vec<Change> {
    INSULATION_MM.into_iter().filter_map(|mm| lag(spans.clone(), mm)).collect()
}

/// Insulation on stretches of runs, where there are any.
fn lag(spans: Vec<Span>, thickness_mm: f64) -> Option<Change> {
    (!spans.is_empty()).then_some(Change::Lagging(LaggingChange { spans, thickness_mm }))
}

/// The first metre of a run, and of what begins on it there.
fn first_metre(layout: &Layout, parts: &[Id]) -> Vec<Change> {
    const METRE_MM: f64 = 1000.0;
    let mut spans = Vec::new();
    for id in parts {
        let (Some(run), Some(length)) = (layout.run(id), length_mm(layout, id)) else { continue };
        // What is bare may be a branch, which is lagged with the pipe on the cylinder.
        let Some(first) = end_on(run, |part, _| parts.contains(part)) else { continue };
        spans.push(beginning(id, length, first, METRE_MM));
        for branch in &layout.runs {
            for which in WhichEnd::BOTH {
                let End::Tee(on, at) = branch.end(which) else { continue };
                let away_mm = match first {
                    WhichEnd::From => at.to_mm(),
                    WhichEnd::To => length - at.to_mm(),
                };
                if on == id
                    && away_mm < METRE_MM
                    && let Some(own) = length_mm(layout, &branch.id)
                {
                    spans.push(beginning(&branch.id, own, which, METRE_MM - away_mm));
                }
            }
        }
    }
    lag(spans, INSULATION_MM[0]).into_iter().collect()
}

/// So much of a run from one of its ends on, mm, as far as it goes.
fn beginning(run: &Id, length_mm: f64, first: WhichEnd, most_mm: f64) -> Span {
    let (from_mm, to_mm) = match first {
        WhichEnd::From => (0.0, most_mm.min(length_mm)),
        WhichEnd::To => ((length_mm - most_mm).max(0.0), length_mm),
    };
    Span { run: run.clone(), from_mm, to_mm }
}
