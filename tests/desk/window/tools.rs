//! Tools taken up, kept and put down; outlets on their floors; notes; and what is asked for by name.

use super::*;

/// Two floors and nothing else.
fn floors() -> Layout {
    let mut layout = example("sound_indirect");
    layout = Layout { building: std::mem::take(&mut layout.building), ..Layout::default() };
    assert_eq!(layout.building.storeys[1].floor.to_mm(), 2600.0);
    layout
}

fn choose(harness: &mut Harness<'_, Desk>, list: &str, entry: &str) {
    harness.get_by_role_and_label(Role::ComboBox, list).click();
    harness.run();
    let buttons = harness.get_all_by_role_and_label(Role::Button, entry);
    buttons.last().expect("offered").click();
    harness.run();
}

#[test]
fn the_button_of_a_tool_in_hand_keeps_it_and_escape_puts_it_down() {
    let mut harness = window(floors());
    let all = [("Service of the run", "warning pipe", "Pipe run"), ("Size of cylinder", "ref. 6", "Cylinder")];
    for (list, entry, button) in all {
        choose(&mut harness, list, entry);
        let tool = harness.state().outlook().tool.clone();
        assert_ne!(tool, Tool::Pick, "{entry}");
        harness.get_by_label(button).click();
        harness.run();
        assert_eq!(harness.state().outlook().tool, tool);
        harness.key_press(Key::Escape);
        harness.run();
        assert_eq!(harness.state().outlook().tool, Tool::Pick);
    }
}

#[test]
fn a_bath_that_is_put_on_a_floor_stands_on_it() {
    let mut harness = window(floors());
    // On the line of the floor, and where its taps will be.
    for level in [2610.0, 3190.0] {
        ask(&mut harness, Action::Take(Tool::Place(Stock::Outlet(OutletKind::Bath))));
        let place = at(&harness, 3000.0, level);
        click(&mut harness, place);
        let placed = harness.state().session().layout().outlets.last().expect("placed").at.z.to_mm();
        assert_eq!(placed, 3200.0, "clicked at {level}");
    }
}

#[test]
fn a_basin_is_picked_and_dragged_by_its_bowl() {
    let mut harness = window(example("sound_indirect"));
    let bowl = at(&harness, 760.0, 3360.0);
    click(&mut harness, bowl);
    assert_eq!(harness.state().outlook().selected, Some(Id::of("basin")));
    let aside = at(&harness, 1160.0, 3360.0);
    drag(&mut harness, bowl, aside);
    assert_eq!(steps_back(&harness).as_deref(), Some("Move basin"));
    assert!(harness.state().session().layout().outlets[1].at.x.to_mm() > 1200.0);
}

#[test]
fn what_is_typed_after_a_note_is_placed_are_its_words() {
    let mut harness = window(floors());
    ask(&mut harness, Action::Take(Tool::Place(Stock::Note)));
    let place = at(&harness, 3000.0, 4000.0);
    click(&mut harness, place);
    harness.key_press(Key::V);
    harness.event(egui::Event::Text("v".to_owned()));
    harness.run();
    assert!(harness.query_by_label_contains("Variants side by side").is_none());
    // Esc leaves the words as they are typed, and the note in hand.
    harness.key_press(Key::Escape);
    harness.run();
    assert_eq!(harness.state().session().layout().notes[0].words, "v");
    assert_eq!(harness.state().outlook().selected, Some(Id::of("note")));
}

#[test]
fn a_bungalow_has_one_storey_under_its_loft() {
    for (stock, floors_mm, ceiling_mm) in
        [(Stock::Bungalow, vec![0.0], 2400.0), (Stock::House, vec![0.0, 2600.0], 5000.0)]
    {
        let mut harness = window(Layout::default());
        ask(&mut harness, Action::Take(Tool::Place(stock)));
        let place = at(&harness, 3500.0, 200.0);
        click(&mut harness, place);
        let building = &harness.state().session().layout().building;
        assert_eq!(building.storeys.iter().map(|storey| storey.floor.to_mm()).collect::<Vec<_>>(), floors_mm);
        assert_eq!(building.ceiling.expect("a ceiling").underside.to_mm(), ceiling_mm);
        let (joists, roof) = (building.joists.as_ref().expect("joists"), building.roof.as_ref().expect("a roof"));
        assert_eq!((joists.top.to_mm(), roof.underside[0].z.to_mm()), (ceiling_mm + 160.0, ceiling_mm + 160.0));
        assert!(building.walls.iter().all(|wall| wall.foot.to_mm() == 0.0 && wall.head.to_mm() == ceiling_mm));
    }
}

#[test]
fn a_tool_of_stores_is_taken_up_by_a_few_letters() {
    let mut harness = window(floors());
    ask(&mut harness, Action::Command(Command::Ask));
    type_into(&mut harness, "A few letters of what should be done", "warning pi");
    assert_eq!(harness.state().outlook().tool, Tool::Pipe(Service::WarningPipe));
}
