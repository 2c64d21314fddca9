//! What the window does out of habit: commands by name, files that come back, cards for newcomers, words explained.

use std::path::Path;
use std::sync::Arc;

use egui::{Key, Modifiers, Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;

use loftwright::desk::{Action, Aspect, Command, Desk};
use loftwright::rules::Voice;
use loftwright::session::settings::{Settings, SidePanels};
use loftwright::session::{Session, licences};

use crate::asking::ask;
use crate::example::example;
use crate::reading::layout;
use crate::screen::{self, Window, window_of};

fn window() -> Window {
    screen::window(example("low_loft"))
}

/// A window that keeps in a folder what it remembers.
fn remembering(folder: &Path) -> Window {
    let mut desk = Desk::new(Session::new(example("low_loft")));
    desk.remember_in(folder.to_owned());
    window_of(desk)
}

fn command(harness: &mut Harness<'_, Desk>, command: Command) {
    harness.state_mut().push(Action::Command(command));
    harness.run_steps(8);
}

fn key(harness: &mut Harness<'_, Desk>, modifiers: Modifiers, key: Key) {
    harness.key_press_modifiers(modifiers, key);
    // A page may need some frames to find its size.
    harness.run_steps(8);
}

#[test]
fn a_command_is_found_by_a_few_letters_and_given_with_enter() {
    let mut harness = window();
    key(&mut harness, Modifiers::NONE, Key::Slash);
    let field = harness.get_by_role_and_label(Role::TextInput, "A few letters of what should be done");
    field.type_text("wrmth");
    harness.run();
    key(&mut harness, Modifiers::NONE, Key::Enter);
    assert_eq!(harness.state().outlook().aspect, Aspect::Warmth);
    assert!(harness.query_by_label("What should be done?").is_none(), "the list stays open");
}

#[test]
fn arrow_keys_choose_among_what_is_offered_and_escape_changes_nothing() {
    let mut harness = window();
    key(&mut harness, Modifiers::COMMAND, Key::J);
    harness.get_by_role_and_label(Role::TextInput, "A few letters of what should be done").type_text("reading");
    harness.run();
    key(&mut harness, Modifiers::NONE, Key::ArrowDown);
    key(&mut harness, Modifiers::NONE, Key::Enter);
    assert_ne!(harness.state().outlook().voice, Voice::Trade);
    let before = harness.state().outlook().voice;
    key(&mut harness, Modifiers::NONE, Key::Slash);
    key(&mut harness, Modifiers::NONE, Key::Escape);
    assert!(harness.query_by_label("What should be done?").is_none());
    assert_eq!(harness.state().outlook().voice, before);
}

#[test]
fn the_title_marks_unsaved_work_and_a_saved_file_comes_back_from_the_list() {
    let place = tempfile::tempdir().expect("a folder");
    let path = place.path().join("house.loft.ron");
    let mut harness = remembering(&place.path().join("state"));
    key(&mut harness, Modifiers::NONE, Key::Escape);
    ask(&mut harness, Action::SaveTo(path.clone()));
    assert_eq!(harness.state().outlook().settings.recent, std::slice::from_ref(&path));
    command(&mut harness, Command::New);
    assert_eq!(harness.state().session().path(), None);
    command(&mut harness, Command::Recent(0));
    assert_eq!(harness.state().session().path(), Some(path.as_path()));
    let settings = Settings::read(&place.path().join("state"));
    assert_eq!(settings.recent, [path]);
    assert!(settings.tour_seen);
}

#[test]
fn a_file_that_is_dropped_on_the_window_is_opened() {
    #[derive(Debug)]
    struct Dropped(std::path::PathBuf);
    impl egui::DroppedFile for Dropped {
        fn path(&self) -> &Path {
            &self.0
        }
        fn bytes(&self) -> Result<Vec<u8>, String> {
            std::fs::read(&self.0).map_err(|error| error.to_string())
        }
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/sound_direct.loft.ron");
    let mut harness = window();
    harness.input_mut().dropped_files.push(Arc::new(Dropped(path.clone())));
    harness.run();
    assert_eq!(harness.state().session().path(), Some(path.as_path()));
}

#[test]
fn a_file_that_somebody_else_has_written_can_be_read_again() {
    let place = tempfile::tempdir().expect("a folder");
    let path = place.path().join("house.loft.ron");
    let mut session = Session::new(example("low_loft"));
    session.save_as(&path).expect("saves");
    let title = session.layout().heading.title.clone();
    let mut harness = window_of(Desk::new(session));
    let theirs = std::fs::read_to_string(&path).expect("reads").replace(&title, "Somebody else was here, and wrote");
    std::fs::write(&path, theirs).expect("writes");
    // A second of the window's time goes by.
    harness.run_steps(8);
    harness.get_by_label("Read it again").click();
    harness.run_steps(8);
    assert_eq!(layout(&harness).heading.title, "Somebody else was here, and wrote");
    std::fs::write(&path, "not a layout").expect("writes");
    harness.run_steps(8);
    harness.get_by_label("Keep what is here").click();
    harness.run_steps(8);
    assert!(harness.query_by_label("Keep what is here").is_none(), "it asks twice about one change");
    assert_eq!(layout(&harness).heading.title, "Somebody else was here, and wrote");
}

#[test]
fn newcomers_see_four_cards_once_and_can_have_them_again() {
    let place = tempfile::tempdir().expect("a folder");
    let newcomer = || remembering(place.path());
    let mut harness = newcomer();
    for number in 1..4 {
        assert!(harness.query_by_label(&format!("{number} of 4")).is_some(), "card {number}");
        harness.get_by_label("Next card").click();
        harness.run();
    }
    harness.get_by_label("Begin").click();
    harness.run();
    let mut again = newcomer();
    assert!(again.query_by_label("1 of 4").is_none());
    command(&mut again, Command::Tour);
    assert!(again.query_by_label("1 of 4").is_some());
    key(&mut again, Modifiers::NONE, Key::Escape);
    assert!(again.query_by_label("1 of 4").is_none());
}

#[test]
fn help_opens_the_prose_of_the_chosen_rule_and_a_word_in_it_opens_the_glossary() {
    let mut harness = window();
    command(&mut harness, Command::Reading(Voice::Plain));
    command(&mut harness, Command::NextFinding);
    let rule = harness.state().outlook().chosen.as_ref().expect("a finding").rule;
    let title = loftwright::rules::rule(rule).expect("a rule").prose.title(Voice::Plain);
    key(&mut harness, Modifiers::NONE, Key::F1);
    assert!(harness.get_all_by_label(title).count() > 1, "the guide does not show '{title}'");
    command(&mut harness, Command::Glossary);
    harness.get_by_role_and_label(Role::TextInput, "Letters of a word").type_text("open v");
    harness.run();
    harness.get_by_label("Open vent").click();
    harness.run();
    assert!(harness.query_by_label_contains("must never be shut").is_some());
    harness.get_all_by_role_and_label(Role::Link, "cylinder").next().expect("a word to open").click();
    harness.run_steps(8);
    assert!(harness.query_by_label_contains("hot tank").is_some());
}

#[test]
fn a_class_is_shown_one_mark_after_the_other_in_large_letters() {
    let mut harness = window();
    let usual = harness.ctx.zoom_factor();
    command(&mut harness, Command::Reading(Voice::Teaching));
    harness.run();
    assert!(harness.ctx.zoom_factor() > usual * 1.1, "{} against {usual}", harness.ctx.zoom_factor());
    let chosen = |harness: &Harness<'_, Desk>| harness.state().outlook().chosen.clone();
    key(&mut harness, Modifiers::NONE, Key::Period);
    assert_eq!((harness.state().outlook().revealed, chosen(&harness)), (Some(0), None));
    let listed = |harness: &Harness<'_, Desk>| harness.query_all_by_label_contains("breach: ").count();
    assert_eq!(listed(&harness), 0);
    key(&mut harness, Modifiers::NONE, Key::Period);
    assert_eq!((harness.state().outlook().revealed, listed(&harness)), (Some(1), 1));
    assert!(chosen(&harness).is_some());
    key(&mut harness, Modifiers::NONE, Key::Comma);
    assert_eq!((harness.state().outlook().revealed, chosen(&harness)), (Some(0), None));
    command(&mut harness, Command::Reading(Voice::Trade));
    harness.run();
    assert_eq!(harness.ctx.zoom_factor(), usual);
}

#[test]
fn letters_can_be_made_larger_and_smaller() {
    let mut harness = window();
    key(&mut harness, Modifiers::COMMAND, Key::Plus);
    harness.run();
    assert!((harness.ctx.zoom_factor() - 1.1).abs() < 1e-3);
    key(&mut harness, Modifiers::COMMAND, Key::Num0);
    harness.run();
    assert!((harness.ctx.zoom_factor() - 1.0).abs() < 1e-3);
}

#[test]
fn every_rule_can_be_looked_up_in_the_guide() {
    let mut harness = window();
    for rule in loftwright::rules::table().iter().step_by(7) {
        let title = rule.prose.title(Voice::Trade);
        command(&mut harness, Command::Rules);
        harness.get_by_role_and_label(Role::TextInput, "Letters of a rule").type_text(title);
        harness.run_steps(8);
        let listed = harness.get_all_by_role_and_label(Role::Button, title).last().expect("it is listed");
        listed.click();
        harness.run_steps(8);
        assert!(harness.query_by_label_contains("On whose authority: ").is_some(), "no page for {title}");
        key(&mut harness, Modifiers::NONE, Key::Escape);
    }
}

#[test]
fn the_licence_of_each_crate_is_found_by_letters_and_only_what_is_seen_is_laid_out() {
    let mut harness = window();
    command(&mut harness, Command::About);
    harness.get_by_role_and_label(Role::Button, "Licences").click();
    harness.run_steps(8);
    let all = licences::OF_CRATES.lines().filter(|line| line.contains(" v")).count();
    assert!(harness.query_by_label(&format!("{all} crates")).is_some(), "all {all} crates are listed");
    let shown = licences::OF_CRATES.lines().filter(|line| harness.query_by_label(line).is_some()).count();
    assert!((5..80).contains(&shown), "{shown} lines are laid out");
    let field = harness.get_by_role_and_label(Role::TextInput, "Letters of a crate or licence");
    field.type_text("RESVG");
    harness.run_steps(8);
    assert!(harness.query_by_label_contains("resvg v").is_some());
    assert!(harness.query_by_label_contains("accesskit v").is_none());
}

#[test]
fn side_panels_are_hidden_by_a_key_come_back_by_a_button_and_stay_as_they_were_left() {
    let place = tempfile::tempdir().expect("a folder");
    let open = || remembering(place.path());
    let mut harness = open();
    key(&mut harness, Modifiers::NONE, Key::Escape);
    let drawing = |harness: &Harness<'_, Desk>| harness.get_by_label("Section drawing").rect().width();
    let narrow = drawing(&harness);
    key(&mut harness, Modifiers::NONE, Key::F9);
    assert!(drawing(&harness) > narrow + 400.0, "{} and {narrow} wide", drawing(&harness));
    assert!(harness.query_by_label("Particulars").is_none());
    let mut again = open();
    assert_eq!(again.state().outlook().settings.side_panels, SidePanels::Hidden);
    again.get_by_label("Show panels").click();
    again.run_steps(8);
    assert!(again.query_by_label("Particulars").is_some() && again.query_by_label("Show panels").is_none());
    assert_eq!(Settings::read(place.path()).side_panels, SidePanels::Shown);
}

#[test]
fn a_panel_comes_back_as_wide_as_it_was_drawn() {
    let place = tempfile::tempdir().expect("a folder");
    let open = || remembering(place.path());
    let edge = |harness: &Harness<'_, Desk>| harness.get_by_label("Section drawing").rect().right_center();
    let mut harness = open();
    key(&mut harness, Modifiers::NONE, Key::Escape);
    let before = edge(&harness);
    // Beside the drawing, which is taken hold of itself.
    let (grip, narrower) = (before + vec2(2.0, 60.0), before + vec2(42.0, 60.0));
    harness.hover_at(grip);
    harness.run_steps(2);
    harness.drag_at(grip);
    harness.run_steps(2);
    harness.hover_at(narrower);
    harness.run_steps(2);
    harness.drop_at(narrower);
    harness.run_steps(8);
    let drawn = edge(&harness);
    assert!((before.x + 40.0 - drawn.x).abs() < 8.0, "from {before} to {drawn}");
    let kept = Settings::read(place.path()).panel_widths;
    assert!(kept.right.is_some() && kept.left.is_none(), "{kept:?}");
    let mut again = open();
    again.run_steps(8);
    assert!((edge(&again).x - drawn.x).abs() <= 1.0, "{} and {drawn}", edge(&again));
    // What is clicked elsewhere is no width.
    key(&mut again, Modifiers::NONE, Key::F9);
    again.get_by_label("Show panels").click();
    again.run_steps(8);
    assert_eq!(Settings::read(place.path()).panel_widths, kept);
}

#[test]
fn what_stands_in_a_panel_brings_the_panels_back() {
    let mut harness = window();
    for asked in [Command::Numbers, Command::MendAll] {
        command(&mut harness, Command::Panels);
        assert!(harness.query_by_label("Particulars").is_none());
        command(&mut harness, asked);
        assert!(harness.query_by_label("Particulars").is_some(), "{asked:?}");
    }
}

#[test]
fn a_list_that_drops_down_closes_once_something_is_chosen_by_key() {
    let mut harness = window();
    let field = |harness: &Harness<'_, Desk>| harness.get_by_role_and_label(Role::ComboBox, "Clips of new runs").rect();
    let is_open = |harness: &Harness<'_, Desk>| harness.query_by_role_and_label(Role::Button, "as allowed").is_some();
    for opened_by in ["key", "mouse"] {
        if opened_by == "key" {
            harness.get_by_role_and_label(Role::ComboBox, "Clips of new runs").focus();
            harness.run();
            key(&mut harness, Modifiers::NONE, Key::Enter);
        } else {
            let at = field(&harness).center();
            harness.hover_at(at);
            harness.step();
            harness.drag_at(at);
            harness.drop_at(at);
            harness.run_steps(8);
        }
        assert!(is_open(&harness), "opened by {opened_by}");
        harness.get_by_role_and_label(Role::Button, "as allowed").focus();
        harness.run();
        key(&mut harness, Modifiers::NONE, Key::Enter);
        assert!(!is_open(&harness), "opened by {opened_by} it stays open");
        assert_eq!(harness.state().outlook().clipping, loftwright::desk::Clipping::AsAllowed);
    }
}

#[test]
fn a_rule_and_a_word_are_opened_from_the_field_with_arrow_and_enter() {
    let mut harness = window();
    let of_vents: Vec<&str> = loftwright::rules::table()
        .iter()
        .filter(|rule| Voice::ALL.iter().any(|voice| rule.prose.title(*voice).to_lowercase().contains("vent")))
        .map(|rule| rule.prose.title(Voice::Trade))
        .collect();
    command(&mut harness, Command::Rules);
    harness.get_by_role_and_label(Role::TextInput, "Letters of a rule").type_text("vent");
    harness.run_steps(8);
    key(&mut harness, Modifiers::NONE, Key::ArrowDown);
    key(&mut harness, Modifiers::NONE, Key::Enter);
    assert!(harness.query_by_label_contains("On whose authority: ").is_some(), "no page is opened");
    assert!(harness.query_all_by_label(of_vents[1]).next().is_some(), "not the second, {}", of_vents[1]);
    key(&mut harness, Modifiers::NONE, Key::Escape);
    command(&mut harness, Command::Glossary);
    harness.get_by_role_and_label(Role::TextInput, "Letters of a word").type_text("bearer");
    harness.run_steps(8);
    key(&mut harness, Modifiers::NONE, Key::Enter);
    assert!(harness.query_by_label("All words").is_some(), "no word is opened");
}

#[test]
fn an_arrow_in_a_list_that_was_opened_goes_on_from_what_is_chosen() {
    let mut harness = window();
    command(&mut harness, Command::Start);
    let basins = "Basin, ground";
    let shown =
        |harness: &Harness<'_, Desk>| harness.get_by_role_and_label(Role::ComboBox, basins).value().unwrap_or_default();
    assert_eq!(shown(&harness), "none");
    harness.get_by_role_and_label(Role::ComboBox, basins).focus();
    harness.run();
    for pressed in [Key::Enter, Key::ArrowDown, Key::Enter] {
        key(&mut harness, Modifiers::NONE, pressed);
    }
    assert_eq!(shown(&harness), "1");
}
