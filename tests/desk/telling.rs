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
    of_rule.map(|key| ToldOf::answering(&key, layout, Profile::usual())).collect()
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
    let (key, _) = findings.keyed().find(|(key, _)| key.rule == "board-overstressed").expect("judged");
    ask(&mut harness, Action::Choose(Some(key)));
    assert_eq!(harness.state().outlook().selected, Some(Id::of("cistern-platform")));
    harness.get_by_label("Tell it under Joists").click();
    harness.run();
    assert_eq!(harness.state().outlook().piece, Some(Piece::Joists));
    assert!(harness.query_all_by_label("How damp").next().is_some() && harness.state().outlook().chosen.is_some());
}
