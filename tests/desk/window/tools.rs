//! Tools taken up, kept and put down; outlets on their floors; notes; and what is asked for by name.

use super::*;
use loftwright::rules::Verdict;

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
    let all = [("Service of the run", "warning pipe", "Pipe run"), ("Size of cylinder", "ref. 6, 106 L", "Cylinder")];
    for (list, entry, button) in all {
        choose(&mut harness, list, entry);
        let tool = harness.state().outlook().tool.clone();
        assert_ne!(tool, Tool::Pick, "{entry}");
        harness.get_by_label(button).click();
        harness.run();
        assert_eq!(harness.state().outlook().tool, tool);
        press(&mut harness, Key::Escape);
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
        let placed = layout(&harness).outlets.last().expect("placed").at.z.to_mm();
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
    assert_eq!(last_step(&harness), Some("Move basin"));
    assert!(layout(&harness).outlets[1].at.x.to_mm() > 1200.0);
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
    press(&mut harness, Key::Escape);
    assert_eq!(layout(&harness).notes[0].words, "v");
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
        let building = &layout(&harness).building;
        assert_eq!(building.storeys.iter().map(|storey| storey.floor.to_mm()).collect::<Vec<_>>(), floors_mm);
        assert_eq!(building.ceiling.expect("a ceiling").underside.to_mm(), ceiling_mm);
        let (joists, roof) = (building.joists.as_ref().expect("joists"), building.roof.as_ref().expect("a roof"));
        // Roof, walls and joists meet, and the eaves reach over the walls.
        let top_mm = ceiling_mm + 12.5 + 147.0;
        assert_eq!((joists.top.to_mm(), joists.depth.to_mm()), (top_mm, 147.0));
        assert!(building.walls.iter().all(|wall| wall.foot.to_mm() == 0.0 && wall.head.to_mm() == top_mm));
        let [eaves, ridge, _] = roof.underside[..] else { panic!("a gable") };
        let (outside_mm, rise) =
            (building.walls[0].x.to_mm(), (ridge.z - eaves.z).to_mm() / (ridge.x - eaves.x).to_mm());
        assert!(eaves.x.to_mm() < outside_mm);
        assert!((eaves.z.to_mm() + rise * (outside_mm - eaves.x.to_mm()) - top_mm).abs() < 1e-6);
    }
}

/// Takes something from Stores and puts it down.
fn put(harness: &mut Harness<'_, Desk>, stock: Stock, x: f64, z: f64) {
    ask(harness, Action::Take(Tool::Place(stock)));
    let place = at(harness, x, z);
    click(harness, place);
    // Far enough apart that two clicks are not a double click.
    harness.run_steps(3);
}

#[test]
fn joists_on_a_ceiling_are_drawn_before_there_are_walls_and_fill_the_room_between_them_then() {
    let mut harness = window(Layout::default());
    put(&mut harness, Stock::Ceiling, 3000.0, 5000.0);
    put(&mut harness, Stock::Joists, 3000.0, 5010.0);
    let joists = |harness: &Harness<'_, Desk>| {
        let building = &layout(harness).building;
        let joists = building.joists.clone().expect("placed");
        (joists, building.ceiling.expect("placed"))
    };
    let (placed, ceiling) = joists(&harness);
    let underside_mm = placed.top.to_mm() - placed.depth.to_mm();
    assert_eq!((placed.depth.to_mm(), underside_mm), (147.0, ceiling.underside.to_mm() + 12.5));
    let site = loftwright::measure::Site::of(layout(&harness));
    let scene = loftwright::scene::draw(&site, &Default::default(), &loftwright::scene::Marks::none());
    let (low, high) = loftwright::scene::bounds(&scene).expect("joists are drawn");
    assert!(high.x - low.x > 6000.0, "from {low} to {high}");
    for x in [0.0, 5000.0] {
        put(&mut harness, Stock::Wall, x, 1000.0);
    }
    let (filling, _) = joists(&harness);
    let walls = &layout(&harness).building.walls;
    let room_mm = (walls[0].x.to_mm() + 250.0, walls[1].x.to_mm());
    let row: Vec<f64> = filling.centres_mm().collect();
    assert_eq!(row[0], room_mm.0 + 50.0);
    assert!((50.0..450.0).contains(&(room_mm.1 - row[row.len() - 1])), "{row:?} in {room_mm:?}");
}

#[test]
fn a_cistern_over_a_platform_that_is_too_small_makes_it_as_large_as_the_rules_ask() {
    let mut harness = window(Layout::default());
    put(&mut harness, Stock::House, 3500.0, 0.0);
    put(&mut harness, Stock::Platform, 2500.0, 5260.0);
    let largest = loftwright::catalogue::cisterns().sizes.len() - 1;
    let top_mm = |harness: &Harness<'_, Desk>| layout(harness).platforms[0].at.z.to_mm();
    assert!(
        (top_mm(&harness) - (5159.5 + 97.0 + 18.0)).abs() < 1e-6,
        "room for bearers of 97 mm: {}",
        top_mm(&harness)
    );
    let base_mm = top_mm(&harness);
    put(&mut harness, Stock::Storage(largest), 2540.0, base_mm);
    let findings = harness.state().session().findings().clone();
    let overhang: Vec<_> = findings.iter().filter(|finding| finding.rule.id == "platform-overhang-too-small").collect();
    assert_eq!(overhang.len(), 4);
    assert!(overhang.iter().all(|finding| finding.judged.verdict == Verdict::Meets));
    assert!(harness.state().outlook().said.contains("platform is now"), "{}", harness.state().outlook().said);
    // Undone as one.
    give(&mut harness, Command::Undo);
    let layout = layout(&harness);
    assert_eq!((layout.cisterns.len(), layout.platforms[0].length.to_mm()), (0, 1250.0));
}

#[test]
fn a_tool_of_stores_is_taken_up_by_a_few_letters() {
    let mut harness = window(floors());
    give(&mut harness, Command::Ask);
    type_into(&mut harness, "A few letters of what should be done", "warning pi");
    assert_eq!(harness.state().outlook().tool, Tool::Pipe(Service::WarningPipe));
}
