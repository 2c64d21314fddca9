//! From a finding that asks for something to where that can be told.

use super::*;
use loftwright::finding::{Findings, ToldOf};
use loftwright::measure::Site;
use loftwright::rules::{Profile, Verdict};

/// The house of an example in which something is not told.
fn without(take_away: fn(&mut Layout)) -> Layout {
    let mut layout = example("sound_indirect");
    take_away(&mut layout);
    layout
}

fn undamped(layout: &mut Layout) {
    layout.building.joists.as_mut().expect("there").service_class = None;
}

/// Where each unknown of a rule can be told.
fn answering(rule: &str, layout: &Layout) -> Vec<Vec<ToldOf>> {
    let findings = Findings::of(&Site::of(layout));
    let unknown = findings.keyed().filter(|(_, finding)| finding.judged.verdict == Verdict::Unknown);
    let of_rule = unknown.map(|(key, _)| key).filter(|key| key.rule == rule);
    of_rule.map(|key| ToldOf::answering(key, layout, Profile::usual())).collect()
}

#[test]
fn what_the_building_tells_is_found_by_telling_it() {
    assert_eq!(answering("board-overstressed", &without(undamped)), [[ToldOf::Joists]]);
    let unseen = without(|layout| layout.building.hatch = None);
    assert_eq!(answering("cistern-too-big-for-hatch", &unseen), [[ToldOf::Hatch]]);
    let open = without(|layout| layout.cisterns[0].lid = None);
    assert_eq!(answering("cistern-lid-not-tight", &open), [[] as [ToldOf; 0]], "the cistern itself tells");
}

#[test]
fn a_finding_that_asks_how_damp_the_loft_is_leads_to_the_joists() {
    let mut harness = window(without(undamped));
    let findings = harness.state().session().findings();
    let key = findings.keyed().find(|(key, _)| key.rule == "board-overstressed").expect("judged").0.clone();
    ask(&mut harness, Action::Choose(Some(key)));
    assert_eq!(harness.state().outlook().selected, Some(Id::of("cistern-platform")));
    harness.get_by_label("Tell it under Joists").click();
    harness.run();
    assert_eq!(harness.state().outlook().piece, Some(Piece::Joists));
    assert!(harness.query_all_by_label("How damp").next().is_some() && harness.state().outlook().chosen.is_some());
}

/// The lowest edge of a field of Particulars, points.
fn bottom_of(harness: &Harness<'_, Desk>, role: Role, name: &str) -> f32 {
    let named = harness.query_all_by_role_and_label(role, name).next();
    named.unwrap_or_else(|| panic!("there is a field '{name}'")).rect().bottom()
}

#[test]
fn a_finding_that_asks_something_of_a_part_brings_its_field_into_view() {
    let unscreened = without(|layout| {
        let warning = layout.runs.iter_mut().find(|run| run.service == Service::WarningPipe).expect("there");
        warning.screen = None;
        layout.cisterns[0].opaque = None;
    });
    for (rule, part, field) in
        [("cistern-not-opaque", "cistern", "Keeps light out"), ("warning-pipe-unscreened", "warning-pipe", "Screen")]
    {
        let mut harness = window(unscreened.clone());
        ask(&mut harness, Action::Select(Some(Id::of(part))));
        let foot = harness.ctx.content_rect().bottom() - 40.0;
        assert!(bottom_of(&harness, Role::ComboBox, field) > foot, "'{field}' is far down");
        let findings = harness.state().session().findings();
        let key = findings.keyed().find(|(key, _)| key.rule == rule).expect("judged").0.clone();
        ask(&mut harness, Action::Choose(Some(key)));
        harness.run();
        assert!(bottom_of(&harness, Role::ComboBox, field) < foot, "'{field}' is in view");
    }
}

#[test]
fn a_finding_that_asks_something_of_another_part_leads_to_that() {
    let mut harness = window(without(|layout| {
        let warning = layout.runs.iter_mut().find(|run| run.service == Service::WarningPipe).expect("there");
        (warning.material, warning.size) = (None, None);
    }));
    let findings = harness.state().session().findings();
    let key = findings.keyed().find(|(key, _)| key.rule == "water-line-too-near-overflow").expect("judged").0.clone();
    ask(&mut harness, Action::Choose(Some(key)));
    assert_eq!(harness.state().outlook().selected, Some(Id::of("cistern")));
    harness.get_by_label("Tell it of the warning pipe").click();
    harness.run();
    assert_eq!(harness.state().outlook().selected, Some(Id::of("warning-pipe")));
    assert!(harness.query_by_label("Tell it of the warning pipe").is_none(), "its field is in view");
}
