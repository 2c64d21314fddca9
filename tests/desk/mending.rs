//! Mending in the window, by accessible name: begun, looked at, taken one by one, refused, all taken, undone in one step.

use std::time::{Duration, Instant};

use egui::{Key, Modifiers, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use glam::dvec2;
use loftwright::desk::{Action, Command, Desk, Grip, MendAsk, MendView, Scope};
use loftwright::layout::{Held, Id, Lock};
use loftwright::mend::Outcome;
use loftwright::units::Level;

use crate::example::example;
use crate::level_roof::under_a_level_roof;
use crate::multiplied;
use crate::reading::{last_step, layout};
use crate::screen::{Window, window};

/// Longer than this nobody waits, even on a machine that does much else.
const LONGEST: Duration = Duration::from_secs(120);

/// So many times the pipes and outlets of the low loft are searched for minutes.
const TIMES_TO_GIVE_UP: usize = 40;

/// Lets frames pass until the answer for the layout as it stands has come.
fn wait(harness: &mut Harness<'_, Desk>) {
    let begun = Instant::now();
    harness.step();
    while harness.state().mending().is_busy() || !harness.state().mending().is_fresh(harness.state().session()) {
        assert!(begun.elapsed() < LONGEST, "no answer came");
        std::thread::sleep(Duration::from_millis(5));
        harness.step();
    }
    harness.step();
    harness.step();
}

/// A window on the low loft in which the answer for all of it has come.
fn answered() -> Window {
    let mut harness = window(example("low_loft"));
    harness.state_mut().push(Action::Mend(MendAsk::Begin(Scope::All)));
    harness.step();
    wait(&mut harness);
    harness
}

fn names(harness: &Harness<'_, Desk>, begin: &str) -> Vec<String> {
    let all = harness.query_all_by_role(Role::Button);
    let labels = all.filter_map(|node| node.accesskit_node().label());
    labels.filter(|label| label.starts_with(begin)).collect()
}

fn breaches(harness: &Harness<'_, Desk>) -> usize {
    harness.state().session().findings().counts().breach
}

#[test]
fn all_is_mended_by_a_key_and_undone_in_one_step() {
    let mut harness = window(example("low_loft"));
    let before = breaches(&harness);
    harness.key_press(Key::M);
    harness.step();
    wait(&mut harness);
    assert!(names(&harness, "Take 1: ").len() == 1 && names(&harness, "Refuse 1: ").len() == 1);
    harness.get_by_label("Take all").click();
    harness.step();
    wait(&mut harness);
    let after = breaches(&harness);
    assert!(after < before / 4, "{before} before, {after} after");
    harness.state_mut().push(Action::Command(Command::Undo));
    harness.step();
    assert_eq!(breaches(&harness), before);
    harness.key_press(Key::Escape);
    harness.step();
    assert!(harness.state().outlook().mend.is_none());
}

#[test]
fn one_proposal_is_taken_by_itself_and_one_refused_is_not_offered_again() {
    let mut harness = answered();
    let first = names(&harness, "Take 1: ").remove(0);
    let words = first.trim_start_matches("Take 1: ").to_owned();
    harness.get_by_label(&format!("Refuse 1: {words}")).click();
    harness.step();
    wait(&mut harness);
    assert!(!names(&harness, "Take ").iter().any(|name| name.ends_with(&words)), "{words} is offered again");
    harness.get_by_label("Offer what was refused again").click();
    harness.step();
    wait(&mut harness);
    let before = breaches(&harness);
    harness.get_by_label(&first).click();
    harness.step();
    wait(&mut harness);
    assert!(breaches(&harness) < before);
    assert!(last_step(&harness).is_some_and(|label| label.starts_with("Mend: ")));
}

#[test]
fn a_finding_and_a_part_are_mended_by_themselves() {
    let mut harness = window(example("low_loft"));
    let findings = harness.state().session().findings();
    let key =
        findings.keyed().map(|(key, _)| key).find(|key| key.rule == "vent-too-low").expect("it is too low").clone();
    harness.state_mut().push(Action::Choose(Some(key.clone())));
    harness.step();
    harness.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::M);
    harness.step();
    wait(&mut harness);
    let report = &harness.state().mending().found().expect("an answer").report;
    assert!(report.proposals.iter().all(|proposal| proposal.clears.contains(&key)));
    harness.state_mut().push(Action::Select(Some(Id::of("cistern"))));
    harness.step();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::M);
    harness.step();
    wait(&mut harness);
    let of_cistern = |keys: &[loftwright::finding::FindingKey]| {
        keys.iter().any(|key| key.parts.iter().any(|id| id.as_str() == "cistern"))
    };
    let report = &harness.state().mending().found().expect("an answer").report;
    assert!(report.proposals.iter().all(|proposal| of_cistern(&proposal.clears) || proposal.clears.is_empty()));
}

#[test]
fn ghosts_are_shown_and_the_drawing_as_mended() {
    let mut harness = answered();
    for showing in MendView::ALL {
        harness.get_by_label(showing.words()).click();
        harness.step();
        harness.step();
        let ghost = harness.state().mending().ghost().expect("there is one");
        assert_eq!(ghost.showing, showing);
        assert_ne!(*ghost.after, *layout(&harness));
    }
}

#[test]
fn ghosts_stay_while_a_part_is_dragged_and_follow_it() {
    let mut harness = answered();
    harness.state_mut().push(Action::BeginGesture("Move cistern".to_owned()));
    let before = harness.state().mending().ghost().expect("there is one").clone();
    for up_mm in [10.0, 20.0, 30.0] {
        let edit = Grip::Part(Id::of("cistern")).moved(layout(&harness), dvec2(0.0, up_mm));
        harness.state_mut().push(Action::Gesture(vec![edit]));
        harness.step();
        assert!(harness.state().mending().ghost().is_some(), "{up_mm} mm up");
    }
    wait(&mut harness);
    let after = harness.state().mending().ghost().expect("there is one");
    assert_ne!(after.tag, before.tag, "it is of the cistern where it is now");
}

#[test]
fn a_search_can_be_given_up_and_what_it_has_found_is_shown() {
    // So large that no machine has the answer before the button is pressed.
    let mut harness = window(multiplied::multiplied(&example("low_loft"), TIMES_TO_GIVE_UP));
    harness.state_mut().push(Action::Mend(MendAsk::Begin(Scope::All)));
    harness.step();
    harness.step();
    harness.get_by_label("Stop searching").click();
    wait(&mut harness);
    let report = &harness.state().mending().found().expect("an answer").report;
    assert_eq!(report.outcome, Outcome::GaveUp);
    let told = harness.query_all_by_label_contains("The search ended before all of it had an answer").count();
    assert_eq!((told, harness.query_all_by_label_contains("move something by hand and look again").count()), (1, 1));
    assert!(report.after.counts().breach <= report.before.counts().breach);
    assert!(harness.query_by_label("Stop searching").is_none());
}

#[test]
fn what_is_held_and_in_the_way_can_be_let_go_in_the_panel() {
    let mut low = under_a_level_roof(example("sound_indirect"), 300.0);
    low.building.joists.as_mut().expect("joists").top = Level::mm(5080.0);
    low.locks.push(Lock { part: Id::of("cistern"), holds: Held::Level });
    let mut harness = window(low);
    let findings = harness.state().session().findings();
    let key = findings.keyed().map(|(key, _)| key).find(|key| key.rule == "headroom-too-low-at-float-valve").cloned();
    harness.state_mut().push(Action::Mend(MendAsk::Begin(Scope::Finding(key.expect("it is too low")))));
    harness.step();
    wait(&mut harness);
    // It may lie further down the panel than is shown.
    harness.get_by_label("Let go the level of cistern").click_accesskit();
    harness.step();
    wait(&mut harness);
    assert!(layout(&harness).locks.is_empty());
    let report = &harness.state().mending().found().expect("an answer").report;
    assert_eq!(report.outcome, Outcome::Mended);
}
