//! What a hand means that clicks, drags and types: a valve by itself, a tee that is wanted, a name that is free.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use glam::dvec2;
use loftwright::desk::{Action, Command, Tool};
use loftwright::geom::Point;
use loftwright::layout::*;
use loftwright::units::{Length, Level, Size};

use crate::asking::{ask, give, press};
use crate::example::example;
use crate::pointer::{at, begin_drag, click, click_with, drag};
use crate::reading::{last_step, layout, says, selection};
use crate::screen::{Window, window};
use crate::typing::type_into;

fn click_mm(harness: &mut Window, x: f64, z: f64) {
    let place = at(harness, x, z);
    click(harness, place);
}

fn open_run(name: &str, service: Service, from: (f64, f64), to: (f64, f64)) -> Run {
    let open = |(x, z)| End::Open(Point::mm(x, z));
    Run::new(Id::of(name), service, open(from), open(to))
}

/// A cold feed with two valves in it, and two basins below.
fn valves() -> Layout {
    let basin = |name: &str, x: f64, z: f64| Outlet::new(Id::of(name), OutletKind::Basin, Point::mm(x, z));
    let mut feed = open_run("feed", Service::ColdFeed, (2000.0, 3000.0), (5000.0, 3000.0));
    let valve = |kind, mm| InLine { kind, at: Length::mm(mm) };
    feed.fittings = Some(vec![valve(InLineKind::GateValve, 1000.0), valve(InLineKind::DrainCock, 2400.0)]);
    feed.insulation = Some(Vec::new());
    Layout {
        outlets: vec![basin("basin", 2500.0, 1000.0), basin("bath-basin", 4500.0, 1400.0)],
        runs: vec![feed],
        ..Layout::default()
    }
}

fn fittings(layout: &Layout) -> Vec<(InLineKind, f64)> {
    layout.runs[0].fittings.iter().flatten().map(|fitting| (fitting.kind, fitting.at.to_mm())).collect()
}

#[test]
fn delete_takes_the_valve_that_was_clicked_and_leaves_its_pipe() {
    let mut harness = window(valves());
    click_mm(&mut harness, 3000.0, 3000.0);
    assert_eq!(selection(&harness), ["feed"]);
    assert!(says(&harness, "Gate valve of feed is chosen"), "nothing says what is chosen");
    press(&mut harness, Key::Delete);
    assert_eq!(fittings(layout(&harness)), [(InLineKind::DrainCock, 2400.0)]);
    assert_eq!(last_step(&harness), Some("Remove gate valve of feed"));
    give(&mut harness, Command::Undo);
    assert_eq!(*layout(&harness), valves());
}

#[test]
fn escape_goes_from_the_valve_to_its_pipe_and_a_second_click_too() {
    let mut harness = window(valves());
    click_mm(&mut harness, 3000.0, 3000.0);
    press(&mut harness, Key::Escape);
    assert_eq!(selection(&harness), ["feed"]);
    press(&mut harness, Key::Escape);
    assert!(selection(&harness).is_empty());
    click_mm(&mut harness, 3000.0, 3000.0);
    click_mm(&mut harness, 3000.0, 3000.0);
    press(&mut harness, Key::Delete);
    assert!(layout(&harness).runs.is_empty(), "the second click did not go on to the pipe");
}

#[test]
fn a_valve_is_chosen_though_its_pipe_is_selected() {
    let mut harness = window(valves());
    click_mm(&mut harness, 3600.0, 3000.0);
    click_mm(&mut harness, 4400.0, 3000.0);
    press(&mut harness, Key::Delete);
    assert_eq!(fittings(layout(&harness)), [(InLineKind::GateValve, 1000.0)]);
}

#[test]
fn arrow_keys_slide_the_chosen_valve_along_its_pipe() {
    let mut harness = window(valves());
    click_mm(&mut harness, 3000.0, 3000.0);
    harness.key_press(Key::ArrowRight);
    harness.run_steps(2);
    harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
    harness.run_steps(2);
    press(&mut harness, Key::ArrowUp);
    assert_eq!(fittings(layout(&harness))[0], (InLineKind::GateValve, 1011.0));
    let mut unslid = layout(&harness).clone();
    unslid.runs[0].fittings = valves().runs[0].fittings.clone();
    assert_eq!(unslid, valves(), "more than the valve has moved");
}

#[test]
fn a_whole_pipe_is_still_removed_by_its_button() {
    let mut harness = window(valves());
    click_mm(&mut harness, 3000.0, 3000.0);
    harness.get_by_label("Remove feed").click_accesskit();
    harness.run();
    assert!(layout(&harness).runs.is_empty());
}

#[test]
fn a_name_that_another_part_has_is_refused_beside_the_field() {
    let mut harness = window(valves());
    ask(&mut harness, Action::Select(Some(Id::of("basin"))));
    type_into(&mut harness, "Name", "bath-basin");
    assert!(says(&harness, "Not taken: 'bath-basin' is the name of another part"), "nothing is said beside the field");
    assert_eq!(selection(&harness), ["basin"]);
    assert_eq!(*layout(&harness), valves());
}

#[test]
fn the_nearest_name_that_is_allowed_is_taken() {
    let mut harness = window(valves());
    ask(&mut harness, Action::Select(Some(Id::of("basin"))));
    type_into(&mut harness, "Name", " My Basin_#1! ");
    assert_eq!(selection(&harness), ["my-basin-1"]);
    type_into(&mut harness, "Name", "???");
    assert!(says(&harness, "Not taken: a name has letters or digits"), "the field is called a name");
    assert_eq!(selection(&harness), ["my-basin-1"]);
}

/// Whether a pipe of a service joins the feed on which it is clicked while keys are held, and says so before.
fn joins_feed(service: Service, says_before: &str, held: Modifiers) -> bool {
    let mut harness = window(valves());
    ask(&mut harness, Action::Take(Tool::Pipe(service)));
    click_mm(&mut harness, 3500.0, 2000.0);
    let on_it = at(&harness, 3500.0, 3000.0);
    harness.hover_at(on_it);
    harness.run();
    assert!(says(&harness, says_before), "nothing says what Alt would do");
    click_with(&mut harness, on_it, held);
    layout(&harness).runs.len() == 2
}

#[test]
fn a_pipe_with_other_water_is_crossed_unless_alt_is_held() {
    let joins = |held| joins_feed(Service::ColdDistribution, "no tee on feed; Alt makes one", held);
    assert_eq!([Modifiers::NONE, Modifiers::ALT].map(joins), [false, true]);
}

#[test]
fn alt_lets_a_run_pass_a_pipe_that_it_could_join() {
    let joins = |held| joins_feed(Service::ColdFeed, "a tee on feed; Alt makes none", held);
    assert_eq!([Modifiers::NONE, Modifiers::ALT].map(joins), [true, false]);
}

#[test]
fn of_an_end_and_a_bend_at_one_place_the_end_is_taken() {
    let mut before = valves();
    before.runs[0].via = vec![Point::mm(5000.0, 3010.0)];
    let mut harness = window(before);
    ask(&mut harness, Action::Select(Some(Id::of("feed"))));
    let (from, to) = (at(&harness, 5000.0, 3000.0), at(&harness, 5000.0, 2000.0));
    drag(&mut harness, from, to);
    let run = &layout(&harness).runs[0];
    assert_eq!(run.via, [Point::mm(5000.0, 3010.0)]);
    let End::Open(end) = run.to else { panic!("{:?}", run.to) };
    assert!((end.z.to_mm() - 2000.0).abs() < 30.0, "{end:?}");
}

/// A cistern whose cold feed leaves to the right, and has a drop not far off.
fn cistern_with_drop() -> Layout {
    let mut cistern = Cistern::new(
        Id::of("cistern"),
        CisternRole::Storage,
        Point::mm(961.0, 3218.0),
        Size::mm(914.0),
        Size::mm(584.0),
    );
    cistern.connections = vec![Connection { port: Id::of("feed"), on: Tapping::Right(Length::mm(80.0)) }];
    let from = End::Port(Id::of("cistern"), Id::of("feed"));
    let mut run = Run::new(Id::of("feed"), Service::ColdFeed, from, End::Open(Point::mm(3368.0, 99.0)));
    run.via =
        [(2600.0, 3298.0), (2600.0, 3000.0), (3300.0, 3000.0), (3300.0, 99.0)].map(|(x, z)| Point::mm(x, z)).to_vec();
    let valve = InLine { kind: InLineKind::GateValve, at: Length::mm(225.0) };
    run.fittings = Some(vec![valve]);
    Layout { cisterns: vec![cistern], runs: vec![run], ..Layout::default() }
}

#[test]
fn a_valve_stays_as_far_from_a_cistern_that_is_moved_aside_and_back() {
    let before = cistern_with_drop();
    let valve = before.runs[0].fittings.as_ref().expect("told")[0];
    let mut now = before.clone();
    for right_mm in [665.0, -665.0] {
        let right = Length::mm(right_mm);
        let edit = Edit::Shift { parts: vec![Id::of("cistern")], right, up: Length::ZERO };
        now = apply(&now, &edit).expect("moves");
        assert_eq!(now.runs[0].fittings, Some(vec![valve]), "after {right_mm} mm");
    }
    assert_eq!(now, before);
}

/// The drop of the feed, and where the cistern stands.
fn drop_and_cistern(harness: &Window) -> (f64, f64) {
    let layout = layout(harness);
    (layout.runs[0].via[0].x.to_mm(), layout.cisterns[0].at.x.to_mm())
}

#[test]
fn a_drop_that_a_cistern_pushes_comes_back_with_it_in_the_same_drag() {
    let mut harness = window(cistern_with_drop());
    let (from, aside) = (at(&harness, 1400.0, 3500.0), at(&harness, 2400.0, 3500.0));
    begin_drag(&mut harness, from, aside);
    harness.run();
    assert!(drop_and_cistern(&harness).0 > 2700.0, "nothing is pushed");
    harness.hover_at(from);
    harness.run();
    harness.drop_at(from);
    harness.run();
    assert_eq!(*layout(&harness), cistern_with_drop());
}

#[test]
fn a_drop_that_a_cistern_pushes_comes_back_with_the_next_drag() {
    let mut harness = window(cistern_with_drop());
    let (from, aside) = (at(&harness, 1400.0, 3500.0), at(&harness, 2400.0, 3500.0));
    drag(&mut harness, from, aside);
    let (pushed, stands) = drop_and_cistern(&harness);
    assert!(pushed > 2700.0 && stands > 1900.0, "{pushed}, {stands}");
    let way = at(&harness, 961.0, 3500.0) - at(&harness, stands, 3500.0);
    drag(&mut harness, aside, aside + way);
    let (comes_back, stands) = drop_and_cistern(&harness);
    assert!((stands - 961.0).abs() < 30.0, "{stands}");
    assert_eq!(comes_back, 2600.0);
    assert_eq!(layout(&harness).runs, cistern_with_drop().runs);
    // Each drag is a step of its own, and what is done between them counts.
    give(&mut harness, Command::Undo);
    assert_eq!(drop_and_cistern(&harness).0, pushed);
    give(&mut harness, Command::Undo);
    assert_eq!(*layout(&harness), cistern_with_drop());
}

#[test]
fn arrow_keys_bring_back_what_they_have_pushed() {
    let mut harness = window(cistern_with_drop());
    ask(&mut harness, Action::Select(Some(Id::of("cistern"))));
    for by_mm in [900.0, -900.0] {
        ask(&mut harness, Action::Nudge(dvec2(by_mm, 0.0)));
        // Anything else ends the burst.
        ask(&mut harness, Action::Select(Some(Id::of("cistern"))));
    }
    assert_eq!(*layout(&harness), cistern_with_drop());
    // Once something else has been done, pipes stand as they are.
    ask(&mut harness, Action::Nudge(dvec2(900.0, 0.0)));
    let heading = Heading { title: "Done between".to_owned(), ..Heading::default() };
    ask(&mut harness, Action::edit("Title", Edit::Heading(heading)));
    let pushed = drop_and_cistern(&harness).0;
    ask(&mut harness, Action::Nudge(dvec2(-900.0, 0.0)));
    assert_eq!(drop_and_cistern(&harness), (pushed, 961.0));
}

#[test]
fn a_pipe_is_not_caught_by_one_that_comes_from_where_it_comes_from() {
    let cistern = Cistern {
        connections: vec![Connection { port: Id::of("feed"), on: Tapping::Right(Length::mm(80.0)) }],
        ..Cistern::new(
            Id::of("cistern"),
            CisternRole::Storage,
            Point::mm(500.0, 4000.0),
            Size::mm(900.0),
            Size::mm(600.0),
        )
    };
    let from = End::Port(Id::of("cistern"), Id::of("feed"));
    let mut feed = Run::new(Id::of("feed"), Service::ColdFeed, from, End::Open(Point::mm(2500.0, 1000.0)));
    feed.via = vec![Point::mm(2500.0, 4080.0)];
    let before = Layout { cisterns: vec![cistern], runs: vec![feed], ..Layout::default() };
    for (held, joined) in [(Modifiers::NONE, false), (Modifiers::ALT, true)] {
        let mut harness = window(before.clone());
        ask(&mut harness, Action::Take(Tool::Pipe(Service::ColdFeed)));
        // A new hole in the side of the cistern, and then the feed that leaves by another.
        click_mm(&mut harness, 1400.0, 4400.0);
        let on_it = at(&harness, 2500.0, 3000.0);
        harness.hover_at(on_it);
        harness.run();
        assert!(says(&harness, "no tee on feed; Alt makes one"), "nothing says how it could be joined");
        click_with(&mut harness, on_it, held);
        assert_eq!(layout(&harness).runs.len() == 2, joined, "with {held:?}");
    }
}

#[test]
fn the_line_says_that_the_next_point_is_a_step_and_where_it_comes_to() {
    let mut harness = window(Layout::default());
    ask(&mut harness, Action::Take(Tool::Pipe(Service::ColdFeed)));
    harness.event(egui::Event::Text("1000, 2000".to_owned()));
    harness.run();
    press(&mut harness, Key::Enter);
    assert!(says(&harness, "Step from the last point"), "nothing says that it is a step");
    harness.event(egui::Event::Text("300, 450".to_owned()));
    harness.run();
    harness.run();
    assert!(says(&harness, "to 1300 right, 2450 up"), "nothing says where it comes to");
}

#[test]
fn either_end_of_a_platform_is_set_while_the_other_and_what_stands_on_it_stay() {
    let mut harness = window(example("sound_indirect"));
    ask(&mut harness, Action::Select(Some(Id::of("cistern-platform"))));
    let before = layout(&harness).clone();
    let (left, right) = before.platforms[0].span_mm();
    type_into(&mut harness, "Left end alone", &format!("{}", left - 282.0));
    assert_eq!(layout(&harness).platforms[0].span_mm(), (left - 282.0, right));
    type_into(&mut harness, "Right end alone", &format!("{}", right + 100.0));
    assert_eq!(layout(&harness).platforms[0].span_mm(), (left - 282.0, right + 100.0));
    assert_eq!(layout(&harness).cisterns, before.cisterns);
}

#[test]
fn the_connections_of_a_vessel_are_told_while_a_pipe_is_drawn_over_it() {
    let mut harness = window(example("sound_indirect"));
    let cylinder = &layout(&harness).cylinders[0];
    let middle = cylinder.at.vector() + dvec2(cylinder.diameter.to_mm() / 2.0, cylinder.height.to_mm() / 2.0);
    ask(&mut harness, Action::Take(Tool::Pipe(Service::ColdFeed)));
    let place = at(&harness, middle.x, middle.y);
    harness.hover_at(place);
    harness.run();
    assert!(says(&harness, "join cylinder at one of its"), "nothing says where the cylinder can be joined");
}

#[test]
fn a_ceiling_that_is_typed_anew_takes_the_loft_along() {
    let mut harness = window(example("sound_indirect"));
    let before = layout(&harness).clone();
    let underside = before.building.ceiling.expect("there").underside.to_mm();
    ask(&mut harness, Action::SelectPiece(Piece::Ceiling));
    type_into(&mut harness, "Underside", &format!("{}", underside + 150.0));
    let now = layout(&harness).clone();
    let raised = |level: Level| Level::mm(level.to_mm() + 150.0);
    let (was, is) = (&before.building, &now.building);
    assert_eq!(is.ceiling.expect("there").underside, raised(was.ceiling.expect("there").underside));
    assert_eq!(is.joists.as_ref().expect("there").top, raised(was.joists.as_ref().expect("there").top));
    let tops = |building: &Building| building.roof.clone().expect("there").underside;
    for (was, is) in tops(was).iter().zip(tops(is)) {
        assert_eq!(is, was.moved(dvec2(0.0, 150.0)));
    }
    for (was, is) in was.walls.iter().zip(&is.walls) {
        assert_eq!((is.foot, is.head), (was.foot, raised(was.head)));
    }
    assert_eq!(now.platforms[0].at.z, raised(before.platforms[0].at.z));
    assert_eq!(now.cisterns[0].at.z, raised(before.cisterns[0].at.z));
    assert_eq!((&now.cylinders, &now.outlets), (&before.cylinders, &before.outlets));
    give(&mut harness, Command::Undo);
    assert_eq!(*layout(&harness), before, "it is one step");
}
