//! What is typed: where it goes, what becomes of it when it is refused, and where it does not follow.

use super::*;

fn letters(harness: &mut Harness<'_, Desk>, text: &str) {
    harness.event(egui::Event::Text(text.to_owned()));
    harness.run();
    harness.run();
}

#[test]
fn what_was_refused_does_not_follow_into_another_layout() {
    let mut harness = window(example("sound_indirect"));
    give(&mut harness, Command::Look(loftwright::desk::Aspect::Warmth));
    type_into(&mut harness, "Main, winter", "2x");
    assert!(says(&harness, "Not taken: "));
    give(&mut harness, Command::New);
    assert!(!says(&harness, "Not taken: "));
}

#[test]
fn a_run_begins_exactly_where_it_is_typed_and_digits_change_no_view() {
    let mut harness = window(Layout::default());
    ask(&mut harness, Action::Take(Tool::Pipe(Service::ColdFeed)));
    for key in [Key::Num3, Key::Num4] {
        harness.key_press(key);
        harness.run();
    }
    assert_eq!(harness.state().outlook().aspect, loftwright::desk::Aspect::SetOut);
    letters(&mut harness, "1");
    letters(&mut harness, "103.5, 607");
    press(&mut harness, Key::Enter);
    letters(&mut harness, "500 right, up 300");
    press(&mut harness, Key::Enter);
    press(&mut harness, Key::Enter);
    let run = layout(&harness).runs.first().expect("a run").clone();
    assert_eq!(run.from, End::Open(Point::mm(1103.5, 607.0)));
    assert_eq!(run.to, End::Open(Point::mm(1603.5, 907.0)));
}

#[test]
fn a_run_begins_on_a_port_whose_place_is_typed() {
    let mut harness = window(example("sound_indirect"));
    let layout = layout(&harness);
    let port = layout.part(&Id::of("bath")).and_then(|part| part.port("cold")).expect("a port").vector();
    ask(&mut harness, Action::Take(Tool::Pipe(Service::ColdDistribution)));
    letters(&mut harness, &format!("{}, {}", port.x, port.y));
    press(&mut harness, Key::Enter);
    assert!(says(&harness, "begins on cold of bath"), "it is on no port");
}

#[test]
fn what_is_no_place_says_why_and_the_next_entry_takes_its_place() {
    let mut harness = window(Layout::default());
    ask(&mut harness, Action::Take(Tool::Pipe(Service::ColdFeed)));
    letters(&mut harness, "500");
    press(&mut harness, Key::Enter);
    assert!(says(&harness, "'500' is no place"));
    letters(&mut harness, "1000, 2000");
    press(&mut harness, Key::Enter);
    assert!(says(&harness, "begins at 1000 right, 2000 up"));
    letters(&mut harness, "rubbish");
    press(&mut harness, Key::Enter);
    assert!(says(&harness, "Not taken: "));
    letters(&mut harness, "500 right, up 300");
    assert!(!says(&harness, "Not taken: "));
    press(&mut harness, Key::Enter);
    press(&mut harness, Key::Enter);
    let run = layout(&harness).runs.first().expect("a run").clone();
    assert_eq!(run.to, End::Open(Point::mm(1500.0, 2300.0)));
}

#[test]
fn a_layout_is_judged_by_a_profile_that_is_picked_by_its_name() {
    let mut house = example("sound_indirect");
    house.heading.profile = Some("our-own".to_owned());
    // High enough that the list is in view.
    let mut harness = screen::show(Desk::new(Session::new(house)), [1360.0, 2000.0]);
    let profile = |harness: &Harness<'_, Desk>| layout(harness).heading.profile.clone();
    assert_eq!(profile(&harness).as_deref(), Some("our-own"));
    harness.get_by_role_and_label(Role::ComboBox, "Judged by").click();
    harness.run();
    harness.get_all_by_role_and_label(Role::Button, "Scotland").last().expect("offered").click();
    harness.run();
    assert_eq!(profile(&harness).as_deref(), Some("scotland"));
}

#[test]
fn the_bar_tells_the_file_and_whether_it_is_saved() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("house.loft.ron");
    let mut harness = window(Layout::default());
    assert!(harness.query_by_label("Untitled layout").is_some());
    ask(&mut harness, Action::Take(Tool::Place(Stock::Storey)));
    let place = at(&harness, 3000.0, 1000.0);
    click(&mut harness, place);
    assert!(harness.query_by_label("● Untitled layout").is_some(), "unsaved work is not marked");
    ask(&mut harness, Action::SaveTo(path));
    assert!(harness.query_by_label("house.loft.ron").is_some(), "the file is not named");
}

#[test]
fn the_particulars_of_another_part_begin_at_their_top() {
    let mut harness = window(example("sound_indirect"));
    let top = |harness: &Harness<'_, Desk>| harness.get_by_role_and_label(Role::TextInput, "Name").rect().top();
    ask(&mut harness, Action::Select(Some(Id::of("cistern"))));
    let place = top(&harness);
    for _ in 0..2 {
        let over = egui::pos2(100.0, harness.ctx.content_rect().bottom() - 80.0);
        harness.hover_at(over);
        harness.step();
        harness.event(egui::Event::MouseWheel {
            source: egui::MouseWheelSource::Unknown,
            unit: egui::MouseWheelUnit::Point,
            delta: vec2(0.0, -300.0),
            phase: egui::TouchPhase::Move,
            modifiers: Modifiers::NONE,
        });
        harness.run_steps(20);
    }
    let is_away = harness
        .query_all_by_role_and_label(Role::TextInput, "Name")
        .next()
        .is_none_or(|field| field.rect().top() < place - 50.0);
    assert!(is_away, "the panel has not scrolled");
    ask(&mut harness, Action::Select(Some(Id::of("cylinder"))));
    ask(&mut harness, Action::Select(Some(Id::of("cistern"))));
    harness.run();
    assert!((top(&harness) - place).abs() < 1.0, "it begins at {} instead of {place}", top(&harness));
}

#[test]
fn the_line_in_which_a_point_is_typed_leaves_the_floor_beside_the_house_free() {
    let mut harness = window(Layout::default());
    ask(&mut harness, Action::Take(Tool::Place(Stock::House)));
    let place = at(&harness, 3500.0, 0.0);
    click(&mut harness, place);
    for x in [-300.0, 300.0, 3500.0, 7300.0] {
        ask(&mut harness, Action::Take(Tool::Pipe(Service::RisingMain)));
        let place = at(&harness, x, 0.0);
        click(&mut harness, place);
        assert!(says(&harness, "rising main begins"), "at {x}: {}", harness.state().outlook().said);
        ask(&mut harness, Action::Take(Tool::Pick));
    }
}
