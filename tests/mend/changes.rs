//! What mending changes where no move alone is enough, or where a move takes with it what is told beside it.

use crate::mended::{layout, mended, nothing_worse, of_rule};
use loftwright::layout::{InLineKind, Layout, apply};
use loftwright::mend::{Change, Consent, LaggingChange, Outcome, Report, Span, Step};
use loftwright::units::Length;

/// A warning pipe 7 mm over the water line, a cold feed below the distribution, and a stated volume.
const HOLES: &str = include_str!("holes_too_near.loft.ron");
const HEATING: &str = include_str!("../../examples/feed_and_expansion.loft.ron");

fn is_left(report: &Report, rule: &str) -> bool {
    report.left.iter().any(|key| key.rule == rule)
}

fn words(report: &Report) -> Vec<&str> {
    report.proposals.iter().flat_map(|proposal| proposal.words.iter().map(String::as_str)).collect()
}

#[test]
fn a_stated_volume_goes_with_the_water_line_that_it_is_stated_to() {
    let report = mended(&layout(HOLES));
    assert!(!is_left(&report, "water-line-too-near-overflow"), "{:?}", words(&report));
    let cistern = &report.layout.cisterns[0];
    let line_mm = cistern.water_line.expect("a line").to_mm();
    assert!(line_mm < 438.0, "the line at {line_mm}");
    let litres = cistern.water_volume.expect("a volume").to_litres();
    assert!((litres - 264.0 * line_mm / 438.0).abs() < 0.01, "{litres} L below {line_mm} mm");
}

#[test]
fn connections_are_put_in_the_order_that_a_rule_asks_for() {
    let before = layout(HOLES);
    assert_eq!(of_rule(&before, "cold-feed-too-low").len(), 1);
    let report = mended(&before);
    assert!(!is_left(&report, "cold-feed-too-low"), "{:?}", words(&report));
    let exchange = "Exchange the heights of the cold feed and the distribution connections of the cistern";
    let proposal = report.proposals.iter().find(|proposal| proposal.words.contains(&exchange.to_owned()));
    assert_eq!(proposal.map(|proposal| proposal.consent), Some(Consent::Safe), "{:?}", words(&report));
    nothing_worse(&before, &report);
}

#[test]
fn what_is_left_without_a_reason_is_not_said_to_be_impossible() {
    let report = mended(&layout(HOLES));
    let left = report.left.iter().find(|key| key.rule == "vent-offset-too-short").expect("no move leads a vent aside");
    let why = report.why_left(left);
    let finding = report.after.find(left).expect("a finding");
    assert!(finding.remedies().iter().all(|remedy| why.contains(remedy.as_str())), "{why}");
    assert!(why.contains("was tried") || why.contains("before the search ended"), "{why}");
}

/// The example with its pump so far along the flow, between the vent's tee and the feed's.
fn with_pump_at(at_mm: f64) -> Layout {
    let mut layout = layout(HEATING);
    let flow = layout.runs.iter_mut().find(|run| run.id.as_str() == "primary-flow").expect("a flow");
    let pump = flow.fittings.iter_mut().flatten().find(|fitting| fitting.kind == InLineKind::Pump).expect("a pump");
    pump.at = Length::mm(at_mm);
    layout
}

#[test]
fn a_pump_between_feed_and_vent_is_moved_past_them() {
    let report = mended(&with_pump_at(360.0));
    assert_eq!(report.outcome, Outcome::Mended, "{:?}", words(&report));
    assert_eq!(words(&report), ["Move the pump in the primary flow by 210 mm, nearer to the cylinder"]);
    assert_eq!(report.proposals[0].consent, Consent::NeedsDecision);
}

#[test]
fn two_stretches_of_one_run_are_both_insulated() {
    let before = layout(HOLES);
    let run = before.runs.iter().find(|run| run.id.as_str() == "warning-pipe").expect("a warning pipe");
    let span = |from_mm, to_mm| Span { run: run.id.clone(), from_mm, to_mm };
    let change =
        Change::Lagging(LaggingChange { spans: vec![span(0.0, 300.0), span(500.0, 900.0)], thickness_mm: 25.0 });
    let after = Step::Change(change)
        .edits(&before)
        .iter()
        .fold(before.clone(), |layout, edit| apply(&layout, edit).expect("it can be done"));
    let lagged = after.runs.iter().find(|own| own.id == run.id).and_then(|run| run.insulation.clone());
    let spans: Vec<(f64, f64)> =
        lagged.iter().flatten().map(|lagging| (lagging.from.to_mm(), lagging.to.to_mm())).collect();
    assert_eq!(spans, [(0.0, 300.0), (500.0, 900.0)]);
}

#[test]
fn a_feed_too_far_from_the_vent_is_joined_nearer_to_it() {
    let feed = r#"via: [(4700, 5318), (4700, 2020)], to: Tee("primary-flow", 420)"#;
    assert_eq!(HEATING.matches(feed).count(), 1);
    let far = HEATING.replace(feed, r#"via: [(4700, 5318), (4700, 2100)], to: Tee("primary-flow", 500)"#);
    let before = layout(&far);
    assert_eq!(of_rule(&before, "primary-feed-too-far-from-vent").len(), 1);
    let report = mended(&before);
    assert_eq!(report.outcome, Outcome::Mended, "{:?}", words(&report));
    let run = report.layout.runs.iter().find(|run| run.id.as_str() == "primary-feed").expect("a feed");
    let [before_end, end] = [run.via[run.via.len() - 1], run.via[0]];
    assert!((end.x.to_mm() - before_end.x.to_mm()).abs() < 1e-6, "the feed still stands upright");
    nothing_worse(&before, &report);
}
