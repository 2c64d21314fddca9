//! The window's beginnings and variants, by accessible names.

use egui::Role;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use loftwright::desk::{Command, Desk};
use loftwright::layout::{Layout, Survey, TapeClass};
use loftwright::session::Session;

use crate::asking::{give, press_button};
use crate::reading::{layout, says};
use crate::screen;
use crate::typing::type_into;

fn window(session: Session) -> Harness<'static, Desk> {
    screen::show(Desk::new(session), [1024.0, 700.0])
}

#[test]
fn answers_become_a_sound_layout_that_is_not_saved_yet() {
    let mut harness = window(Session::new(Layout::default()));
    give(&mut harness, Command::Start);
    press_button(&mut harness, "Draw the system");
    let session = harness.state().session();
    assert!(session.is_dirty() && session.layout().runs.len() > 8);
    assert_eq!(session.findings().counts().breach, 0);
    assert!(harness.query_by_role_and_label(Role::Button, "Draw the system").is_none(), "the form has gone");
}

#[test]
fn a_loft_that_is_too_low_is_refused_with_a_way_out_that_can_be_taken() {
    let mut harness = window(Session::new(Layout::default()));
    give(&mut harness, Command::Start);
    type_into(&mut harness, "Ridge", "1100");
    press_button(&mut harness, "Draw the system");
    harness.get_by_label("This does not fit");
    assert!(layout(&harness).cisterns.is_empty(), "nothing has been drawn");
    press_button(&mut harness, "Take the first way out of each");
    press_button(&mut harness, "Draw the system");
    assert_eq!(layout(&harness).cisterns.len(), 1);
    assert_eq!(harness.state().session().findings().counts().breach, 0);
}

#[test]
fn nothing_is_drawn_while_an_answer_is_not_taken() {
    let mut harness = window(Session::new(Layout::default()));
    give(&mut harness, Command::Start);
    for (field, right) in [("Bedrooms", "3"), ("Ridge", "2600")] {
        type_into(&mut harness, field, "abc");
        press_button(&mut harness, "Draw the system");
        assert!(says(&harness, "Not taken: "), "{field}: it says why");
        assert!(harness.get_by_role_and_label(Role::TextInput, field).is_focused(), "{field} is shown");
        assert_eq!(layout(&harness), &Layout::default());
        type_into(&mut harness, field, right);
    }
    press_button(&mut harness, "Draw the system");
    assert_eq!(layout(&harness).cisterns.len(), 1);
}

#[test]
fn a_beginning_fills_in_the_answers() {
    let mut harness = window(Session::new(Layout::default()));
    give(&mut harness, Command::Start);
    press_button(&mut harness, "Bungalow with immersion heaters");
    press_button(&mut harness, "Draw the system");
    let layout = layout(&harness);
    assert_eq!((layout.building.storeys.len(), layout.boilers.len()), (1, 0));
}

#[test]
fn what_was_found_is_drawn_and_what_was_not_stays_unknown() {
    let mut harness = window(Session::new(Layout::default()));
    give(&mut harness, Command::EnterSurvey);
    for (name, text) in [
        ("Top floor", "2600"),
        ("Cylinder base", "100"),
        ("Cylinder height", "900"),
        ("Cylinder diameter", "450"),
        ("Ceiling", "2400"),
        ("Top of joists", "160"),
        ("Platform", "118"),
        ("Cistern length", "914"),
        ("Cistern height", "584"),
        ("Water line", "410"),
    ] {
        type_into(&mut harness, name, text);
    }
    press_button(&mut harness, "Draw what was found");
    let session = harness.state().session();
    let layout = session.layout();
    assert_eq!(layout.survey, Survey::Surveyed(TapeClass::II));
    assert_eq!(layout.cisterns[0].at.z.to_mm(), 2600.0 + 2400.0 + 160.0 + 118.0);
    assert_eq!((layout.cisterns[0].width, layout.cisterns[0].lid), (None, None));
    assert!(session.findings().counts().unknown > 10);
}

#[test]
fn what_was_filled_in_is_there_when_the_form_is_opened_again() {
    let mut harness = window(Session::new(Layout::default()));
    give(&mut harness, Command::EnterSurvey);
    type_into(&mut harness, "Cistern length", "914");
    harness.key_press(egui::Key::Escape);
    harness.run();
    assert!(harness.query_by_label("Cistern length").is_none(), "the form has gone");
    give(&mut harness, Command::Start);
    press_button(&mut harness, "Found on site");
    let field = harness.get_by_role_and_label(Role::TextInput, "Cistern length");
    assert_eq!(field.value().as_deref(), Some("914"));
}

#[test]
fn a_blank_sheet_is_offered_beside_the_examples() {
    let mut harness = window(Session::new(loftwright::layout::Layout::default()));
    give(&mut harness, Command::Start);
    press_button(&mut harness, "Sheet or example");
    press_button(&mut harness, "Sound direct system");
    assert_eq!(layout(&harness).cylinders.len(), 1);
    give(&mut harness, Command::Start);
    press_button(&mut harness, "Sheet or example");
    press_button(&mut harness, "Blank sheet");
    assert!(layout(&harness).cylinders.is_empty());
}

#[test]
fn variants_are_kept_beside_the_file_and_compared() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("house.loft.ron");
    std::fs::copy("examples/sound_indirect.loft.ron", &path).expect("copies");
    let mut harness = window(Session::open(&path).expect("opens"));
    give(&mut harness, Command::Variants);
    harness.get_by_label_contains("There is no variant yet");
    type_into(&mut harness, "Keep this layout as", "Other tube");
    press_button(&mut harness, "Keep as a variant");
    assert!(folder.path().join("house.other-tube.loft.ron").exists());
    harness.get_by_label("other tube");
    harness.get_by_label("open now");
    press_button(&mut harness, "Open");
    assert!(harness.state().session().path().expect("a file").ends_with("house.other-tube.loft.ron"));
}

#[test]
fn variants_of_a_layout_without_a_file_ask_for_one() {
    let mut harness = window(Session::new(Layout::default()));
    give(&mut harness, Command::Variants);
    harness.get_by_label_contains("Save this layout first");
    press_button(&mut harness, "Close");
}
