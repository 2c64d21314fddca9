//! Several parts at once: selected, moved, copied, aligned, and held at a distance.

use super::*;

#[test]
fn a_box_selects_what_lies_wholly_in_it_and_shift_adds() {
    let mut harness = window(two_basins());
    drag_mm(&mut harness, (2200.0, 1800.0), (4900.0, 50.0));
    assert_eq!(selection(&harness), ["basin", "bath-basin"]);
    assert!(says(&harness, "2 parts selected"));
    let feed = at(&harness, 4000.0, 3000.0);
    click_with(&mut harness, feed, Modifiers::SHIFT);
    assert_eq!(selection(&harness), ["basin", "bath-basin", "feed"]);
    let basin = at(&harness, 2500.0, 1000.0);
    click_with(&mut harness, basin, Modifiers::SHIFT);
    assert_eq!(selection(&harness), ["bath-basin", "feed"]);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
    assert_eq!(selection(&harness).len(), 3);
}

#[test]
fn several_parts_are_dragged_nudged_and_removed_as_one_step() {
    let mut harness = window(two_basins());
    arrange(&mut harness, Arrange::SelectEverything);
    let before = layout(&harness).clone();
    drag_mm(&mut harness, (2500.0, 1020.0), (2900.0, 1020.0));
    let by = layout(&harness).outlets[0].at.x - before.outlets[0].at.x;
    assert!(by.to_mm() > 300.0, "moved by {by:?}");
    assert_eq!(layout(&harness).outlets[1].at.x - before.outlets[1].at.x, by);
    assert_eq!(last_step(&harness), Some("Move 3 parts"));
    give(&mut harness, Command::Undo);
    assert_eq!(*layout(&harness), before);
    harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowUp);
    harness.run_steps(8);
    assert_eq!(layout(&harness).outlets[1].at.z.to_mm(), 1410.0);
    press(&mut harness, Key::Delete);
    assert!(layout(&harness).parts().next().is_none());
    give(&mut harness, Command::Undo);
    give(&mut harness, Command::Undo);
    assert_eq!(*layout(&harness), before);
}

#[test]
fn copy_and_paste_give_new_names_and_undo_leaves_nothing() {
    let mut harness = window(example("sound_indirect"));
    let before = layout(&harness).clone();
    harness.get_by_label("cistern, storage cistern").focus();
    harness.run();
    harness.event(Event::Copy);
    harness.run();
    harness.event(Event::Paste(String::new()));
    harness.run();
    assert_eq!(selection(&harness), ["cistern-2"]);
    assert_eq!(layout(&harness).cisterns.len(), before.cisterns.len() + 1);
    press(&mut harness, Key::Delete);
    assert_eq!(*layout(&harness), before);
    ask(&mut harness, Action::Select(Some(Id::of("cistern"))));
    harness.key_press_modifiers(Modifiers::COMMAND, Key::D);
    harness.run();
    assert_eq!(last_step(&harness), Some("Duplicate cistern 2"));
    harness.event(Event::Cut);
    harness.run();
    assert_eq!(*layout(&harness), before);
}

#[test]
fn parts_are_aligned_and_mirrored_by_the_buttons_of_the_panel() {
    let mut harness = window(two_basins());
    ask(&mut harness, Action::SelectAll(vec![Id::of("basin"), Id::of("bath-basin")]));
    harness.get_by_label("Bases level").click();
    harness.run();
    assert_eq!(layout(&harness).outlets[1].at.z.to_mm(), 1000.0);
    harness.get_by_label("Mirror left to right").click();
    harness.run();
    let places: Vec<f64> = layout(&harness).outlets.iter().map(|outlet| outlet.at.x.to_mm()).collect();
    assert_eq!(places, [4500.0, 2500.0]);
    harness.get_by_label("Mirror left to right").click();
    harness.run();
    assert_eq!(layout(&harness).outlets[0].at.x.to_mm(), 2500.0);
}

#[test]
fn a_distance_between_two_parts_is_held_from_particulars_and_let_go_there() {
    let mut harness = window(two_basins());
    ask(&mut harness, Action::SelectAll(vec![Id::of("basin"), Id::of("bath-basin")]));
    harness.get_by_label("Hold the distance across: 2000 mm").click_accesskit();
    harness.run();
    let lock = Lock { part: Id::of("bath-basin"), holds: Held::AcrossFrom(Id::of("basin")) };
    assert_eq!(layout(&harness).locks, std::slice::from_ref(&lock));
    ask(&mut harness, Action::Select(Some(Id::of("basin"))));
    // To the right it is held; up it goes.
    let (was, from) = (layout(&harness).outlets[0].at, at(&harness, 2500.0, 1000.0));
    begin_drag(&mut harness, from, from + vec2(60.0, -60.0));
    harness.run();
    assert!(says(&harness, "the distance across from basin of bath basin held"));
    harness.drop_at(from + vec2(60.0, -60.0));
    harness.run();
    let now = layout(&harness).outlets[0].at;
    assert_eq!(now.x, was.x);
    assert!(now.z > was.z);
    harness.get_by_label("Hold the distance across from basin of bath basin").click_accesskit();
    harness.run();
    assert!(layout(&harness).locks.is_empty());
    give(&mut harness, Command::Undo);
    assert_eq!(layout(&harness).locks, [lock]);
}

#[test]
fn a_level_that_is_held_keeps_a_drag_level() {
    let mut harness = window(example("sound_indirect"));
    harness.get_by_label("cistern, storage cistern").focus();
    harness.run();
    harness.get_by_label("Hold the level").click_accesskit();
    harness.run();
    assert!(layout(&harness).is_held(&Id::of("cistern"), &Held::Level));
    let (was, from) = (layout(&harness).cisterns[0].at, at(&harness, 1900.0, 5400.0));
    begin_drag(&mut harness, from, from + vec2(40.0, -60.0));
    harness.run();
    assert!(says(&harness, "the level of cistern held"));
    harness.drop_at(from + vec2(40.0, -60.0));
    harness.run();
    let now = layout(&harness).cisterns[0].at;
    assert_eq!(now.z, was.z);
    assert!(now.x > was.x);
    type_into(&mut harness, "Base level", "6000");
    assert_eq!(layout(&harness).cisterns[0].at.z, was.z);
    assert!(says(&harness, "the level of cistern is held"));
    harness.get_by_label("Hold the level").click_accesskit();
    harness.run();
    assert!(layout(&harness).locks.is_empty());
}
