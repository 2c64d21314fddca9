//! What the window says and shows while nothing is changed: the status line, marks, the view, and what can be mended.

use super::*;
use loftwright::desk::commands::Can;
use loftwright::desk::{Aspect, LessonAction};
use loftwright::finding::FindingKey;
use loftwright::rules::Verdict;

fn first(harness: &Harness<'_, Desk>, verdict: Verdict) -> FindingKey {
    let findings = harness.state().session().findings();
    let found = findings.keyed().find(|(_, finding)| finding.judged.verdict == verdict);
    found.expect("there is one").0.clone()
}

fn can(harness: &Harness<'_, Desk>, command: Command) -> Can {
    command.offered(harness.state().session(), harness.state().outlook()).can
}

#[test]
fn the_status_line_tells_of_the_view_that_is_shown() {
    let mut harness = window(example("sound_indirect"));
    let place = at(&harness, 3000.0, 4000.0);
    harness.hover_at(place);
    harness.run();
    assert!(says(&harness, " right, ") && says(&harness, "Click a part to select it"));
    for (aspect, words) in [
        (Aspect::TakeOff, "What has to be bought"),
        (Aspect::Sheet, "The pages that are handed over"),
        (Aspect::Lesson, "Learning to see what is wrong"),
    ] {
        give(&mut harness, Command::Look(aspect));
        ask(&mut harness, Action::Lesson(LessonAction::Begin));
        assert!(says(&harness, words), "{aspect:?}");
        assert!(!says(&harness, " right, ") && !says(&harness, "Click a part to select it"), "{aspect:?}");
    }
}

#[test]
fn a_card_that_was_pointed_at_is_left_alone_once_the_pointer_has_gone() {
    let mut harness = window(example("low_loft"));
    let card = harness.get_all_by_label_contains("breach: ").next().expect("a card").rect();
    harness.hover_at(card.center());
    harness.run();
    assert!(harness.state().outlook().lit.is_some());
    let status = harness.get_by_label_contains("Click a part to select it").rect();
    harness.hover_at(status.center());
    harness.run();
    assert_eq!(harness.state().outlook().lit, None);
}

#[test]
fn a_tool_that_is_taken_up_lets_go_of_the_finding_that_was_pointed_at() {
    let mut harness = window(example("low_loft"));
    for (action, left) in [
        (Action::Take(Tool::Pipe(Service::ColdFeed)), "a tool"),
        (Action::Command(Command::Escape), "Esc"),
        (Action::Command(Command::Escape), "Esc once more"),
    ] {
        let key = first(&harness, Verdict::Breach);
        ask(&mut harness, Action::Light(Some(key)));
        ask(&mut harness, action);
        if left != "Esc" {
            assert_eq!(harness.state().outlook().lit, None, "after {left}");
        }
    }
}

#[test]
fn only_what_is_broken_can_be_mended() {
    let mut harness = window(example("low_loft"));
    for (verdict, stands) in [(Verdict::Breach, Can::Yes), (Verdict::Meets, Can::NotNow)] {
        let key = first(&harness, verdict);
        ask(&mut harness, Action::Choose(Some(key)));
        assert_eq!(can(&harness, Command::MendFinding), stands, "{verdict:?}");
    }
    let mut harness = window(Layout::default());
    ask(&mut harness, Action::Take(Tool::Place(Stock::Outlet(OutletKind::Basin))));
    let place = at(&harness, 3000.0, 1000.0);
    click(&mut harness, place);
    assert_eq!(harness.state().outlook().selected, Some(Id::of("basin")));
    assert_eq!(can(&harness, Command::MendSelection), Can::NotNow);
    give(&mut harness, Command::MendSelection);
    assert!(harness.state().outlook().mend.is_none() && says(&harness, "Nothing is broken about what is selected"));
}

#[test]
fn a_new_sheet_leaves_a_demonstration_for_the_drawing() {
    let mut harness = window(example("sound_indirect"));
    give(&mut harness, Command::Look(Aspect::Lesson));
    ask(&mut harness, Action::Lesson(LessonAction::Show(0)));
    give(&mut harness, Command::New);
    assert_eq!(harness.state().outlook().aspect, Aspect::SetOut);
    assert!(says(&harness, "There is nothing to judge yet"));
}

#[test]
fn the_wheel_leaves_something_of_the_drawing_in_view() {
    let mut harness = window(example("sound_indirect"));
    let canvas = harness.get_by_label("Section drawing").rect();
    harness.hover_at(canvas.center());
    harness.run();
    for _ in 0..60 {
        let wheel = egui::Event::MouseWheel {
            source: egui::MouseWheelSource::Unknown,
            unit: egui::MouseWheelUnit::Line,
            delta: vec2(0.0, 20.0),
            phase: egui::TouchPhase::Move,
            modifiers: Modifiers::NONE,
        };
        harness.event(wheel);
        harness.step();
    }
    harness.run_steps(30);
    let ridge = at(&harness, 3500.0, 8432.0);
    assert!(canvas.contains(ridge), "the ridge is at {ridge:?}");
}

#[test]
fn the_pages_of_a_beginning_are_chosen_in_one_place() {
    let mut harness = window(Layout::default());
    give(&mut harness, Command::Start);
    harness.run_steps(3);
    let tab = |harness: &Harness<'_, Desk>| harness.get_by_label("Found on site").rect();
    let before = tab(&harness);
    for page in ["Found on site", "Sheet or example", "Answers"] {
        harness.get_by_label(page).click();
        harness.run();
        harness.run_steps(3);
        assert_eq!(tab(&harness), before, "on {page}");
    }
}

#[test]
fn enter_takes_up_what_was_left_behind() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut session = Session::new(example("sound_indirect"));
    session.edit("Remove basin", &Edit::Remove(Id::of("basin"))).expect("fits");
    let mut keeper = Keeper::begin(folder.path().to_owned());
    keeper.keep(&mut session);
    drop(keeper);
    let mut desk = Desk::new(Session::new(Layout::default()));
    desk.keep_in(folder.path().to_owned());
    let mut harness = window_of(desk);
    assert!(says(&harness, "Unsaved work was left behind"));
    press(&mut harness, Key::Enter);
    assert_eq!(last_step(&harness), Some("Remove basin"));
}
