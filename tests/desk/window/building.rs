//! Pieces of the building, and what follows when parts and the ends of pipes are moved.

use super::*;

#[test]
fn the_ceiling_is_dragged_and_typed_like_a_part() {
    let mut harness = window(example("sound_indirect"));
    let (from, to) = (at(&harness, 6100.0, 5006.0), at(&harness, 6100.0, 4800.0));
    drag(&mut harness, from, to);
    let underside =
        |harness: &Harness<'_, Desk>| layout(harness).building.ceiling.map(|ceiling| ceiling.underside.to_mm());
    assert!(underside(&harness).is_some_and(|up| up < 4900.0), "it is at {:?}", underside(&harness));
    assert_eq!(last_step(&harness), Some("Move ceiling"));
    assert_eq!(harness.state().outlook().piece, Some(Piece::Ceiling));
    type_into(&mut harness, "Underside", "4.95 m");
    assert_eq!(underside(&harness), Some(4950.0));
    press(&mut harness, Key::Escape);
    assert_eq!(harness.state().outlook().piece, None);
}

#[test]
fn a_ridge_is_dragged_by_itself_and_judged() {
    let mut harness = window(example("sound_indirect"));
    let (from, to) = (at(&harness, 3500.0, 8432.0), at(&harness, 3500.0, 6300.0));
    drag(&mut harness, from, to);
    let layout = layout(&harness);
    let roof = layout.building.roof.as_ref().expect("there");
    assert!(roof.underside[1].z.to_mm() < 6500.0 && roof.underside[0].z.to_mm() == 5160.0);
    assert!(harness.state().session().findings().counts().breach > 0);
}

#[test]
fn a_selected_wall_is_removed_with_delete() {
    let mut harness = window(example("sound_indirect"));
    let place = at(&harness, 6870.0, 1800.0);
    click(&mut harness, place);
    assert_eq!(harness.state().outlook().piece, Some(Piece::Wall(1)));
    press(&mut harness, Key::Delete);
    assert_eq!(layout(&harness).building.walls.len(), 1);
    assert_eq!(harness.state().outlook().piece, None);
}

#[test]
fn page_down_reaches_the_pieces_of_the_building_and_arrows_move_them() {
    let mut harness = window(example("sound_indirect"));
    ask(&mut harness, Action::Select(Some(Id::of("primary-return"))));
    press(&mut harness, Key::PageDown);
    assert_eq!(harness.state().outlook().piece, Some(Piece::Storey(0)));
    ask(&mut harness, Action::SelectPiece(Piece::Joists));
    harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowUp);
    harness.step();
    let joists = layout(&harness).building.joists.as_ref().expect("there");
    assert_eq!(joists.top.to_mm(), 5170.0);
}

#[test]
fn a_dragged_platform_takes_its_cistern_along() {
    let mut harness = window(example("sound_indirect"));
    let (from, to) = (at(&harness, 1400.0, 5270.0), at(&harness, 1400.0, 5800.0));
    ask(&mut harness, Action::Select(Some(Id::of("cistern-platform"))));
    drag(&mut harness, from, to);
    let layout = layout(&harness);
    assert!(layout.platforms[0].at.z.to_mm() > 5600.0, "it is at {}", layout.platforms[0].at.z.to_mm());
    assert_eq!(layout.platforms[0].at.z, layout.cisterns[0].at.z);
}

#[test]
fn a_stretch_that_starts_at_a_cistern_takes_its_hole_along() {
    let mut harness = window(example("sound_indirect"));
    let hole = |harness: &Harness<'_, Desk>| layout(harness).cisterns[0].connections[1].on.distance().to_mm();
    let before = hole(&harness);
    ask(&mut harness, Action::Select(Some(Id::of("cold-feed"))));
    let (from, to) = (at(&harness, 2560.0, 5358.0), at(&harness, 2560.0, 5500.0));
    drag(&mut harness, from, to);
    let after = hole(&harness);
    assert!(after > before + 80.0, "the hole was {before} up and is {after} up");
    let bend = layout(&harness).runs[2].via[0];
    assert_eq!(bend.z.to_mm(), 5278.0 + after);
}

#[test]
fn an_open_end_dropped_on_a_cistern_makes_its_hole() {
    let mut harness = window(example("sound_indirect"));
    ask(&mut harness, Action::Select(Some(Id::of("open-vent"))));
    let before = layout(&harness).cisterns[0].connections.len();
    let (from, to) = (at(&harness, 2300.0, 6000.0), at(&harness, 2414.0, 5678.0));
    drag(&mut harness, from, to);
    let after = layout(&harness);
    let vent = after.runs.iter().find(|run| run.id.as_str() == "open-vent").expect("there");
    assert_eq!(vent.to, End::Port(Id::of("cistern"), Id::of("vent")));
    assert_eq!(after.cisterns[0].connections.len(), before + 1);
    assert_eq!(last_step(&harness), Some("Move an end of open vent"));
    give(&mut harness, Command::Undo);
    assert_eq!(layout(&harness), &example("sound_indirect"));
}

#[test]
fn an_end_pulled_off_a_cistern_closes_its_hole() {
    let mut harness = window(example("sound_indirect"));
    ask(&mut harness, Action::Select(Some(Id::of("warning-pipe"))));
    let (from, to) = (at(&harness, 1500.0, 5728.0), at(&harness, 700.0, 6050.0));
    drag(&mut harness, from, to);
    let layout = layout(&harness);
    let run = layout.runs.iter().find(|run| run.id.as_str() == "warning-pipe").expect("there");
    assert!(matches!(run.from, End::Open(_)), "it begins {:?}", run.from);
    assert!(layout.cisterns[0].connections.iter().all(|hole| hole.port.as_str() != "warning"));
}
