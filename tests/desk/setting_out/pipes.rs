//! Pipes: typed points, falls, tees, what sits on them.

use super::*;

#[test]
fn the_next_point_is_typed_without_a_click_into_the_line() {
    let mut harness = window(Layout::default());
    ask(&mut harness, Action::Take(Tool::Pipe(Service::ColdFeed)));
    let (start, aside) = (at(&harness, 1000.0, 2000.0), at(&harness, 3000.0, 2050.0));
    click(&mut harness, start);
    harness.hover_at(aside);
    harness.run();
    harness.event(Event::Text("1200, up 450, 300 right".to_owned()));
    harness.run();
    harness.run();
    assert!(says(&harness, "1950 mm"), "no live length");
    press(&mut harness, Key::Enter);
    // An empty line ends the run.
    press(&mut harness, Key::Enter);
    let run = &layout(&harness).runs[0];
    let End::Open(from) = run.from else { panic!("{:?}", run.from) };
    let by = |point: Point| (point.vector() - from.vector()).round();
    assert_eq!(run.via.iter().map(|bend| by(*bend)).collect::<Vec<_>>(), [dvec2(1200.0, 0.0), dvec2(1200.0, 450.0)]);
    let End::Open(to) = run.to else { panic!("{:?}", run.to) };
    assert_eq!(by(to), dvec2(1500.0, 450.0));
}

#[test]
fn what_cannot_be_read_as_a_stride_says_why() {
    let mut harness = window(Layout::default());
    ask(&mut harness, Action::Take(Tool::Pipe(Service::ColdFeed)));
    let start = at(&harness, 1000.0, 2000.0);
    click(&mut harness, start);
    type_into(&mut harness, "Next point", "up left 30");
    assert!(says(&harness, "goes two ways at once"));
    assert!(layout(&harness).runs.is_empty());
}

#[test]
fn a_fall_is_held_while_a_run_is_drawn() {
    let mut harness = window(Layout::default());
    type_into(&mut harness, "Fall", "1:40");
    assert_eq!(harness.state().outlook().fall, Gradient::falling(25.0));
    ask(&mut harness, Action::Take(Tool::Pipe(Service::WarningPipe)));
    let places = [(1000.0, 3000.0), (3000.0, 3000.0)].map(|(x, z)| at(&harness, x, z));
    click(&mut harness, places[0]);
    harness.hover_at(places[1]);
    harness.run();
    assert!(says(&harness, "falls 1:40 (25 mm per m)"), "the live fall is not shown");
    click(&mut harness, places[1]);
    press(&mut harness, Key::Enter);
    let run = &layout(&harness).runs[0];
    let (End::Open(from), End::Open(to)) = (&run.from, &run.to) else { panic!("{run:?}") };
    let stretch = to.vector() - from.vector();
    assert!((stretch.y / stretch.x + 0.025).abs() < 1e-9, "{stretch}");
}

#[test]
fn the_fall_of_a_run_is_typed_and_can_be_held() {
    let mut harness = window(two_basins());
    ask(&mut harness, Action::Select(Some(Id::of("feed"))));
    type_into(&mut harness, "Fall of the run", "1:60");
    let End::Open(to) = layout(&harness).runs[0].to else { panic!("it ends in the open") };
    assert_eq!(to.z.to_mm(), 2950.0);
    harness.get_by_label("Hold the fall").click_accesskit();
    harness.run();
    type_into(&mut harness, "Fall of the run", "1:100");
    assert!(says(&harness, "the fall is held"));
    press(&mut harness, Key::Escape);
    // The free end is dragged far aside, and the fall stays.
    drag_mm(&mut harness, (5000.0, 2950.0), (6200.0, 2950.0));
    let fall = layout(&harness).fall_of(&Id::of("feed")).map(Gradient::fall_mm_per_m);
    assert!(fall.is_some_and(|fall| (fall - 1000.0 / 60.0).abs() < 1e-6), "{fall:?}");
}

#[test]
fn a_run_that_ends_on_another_makes_a_tee() {
    let mut harness = window(two_basins());
    ask(&mut harness, Action::Take(Tool::Pipe(Service::ColdFeed)));
    let (start, tee) = (at(&harness, 3500.0, 2000.0), at(&harness, 3500.0, 3000.0));
    click(&mut harness, start);
    click(&mut harness, tee);
    let made = layout(&harness).runs.last().expect("a run");
    let on = [&made.from, &made.to].into_iter().find_map(|end| match end {
        End::Tee(on, along) => Some((on.as_str().to_owned(), along.to_mm())),
        _ => None,
    });
    assert_eq!(on, Some(("feed".to_owned(), 1500.0)));
}

#[test]
fn a_stretch_between_two_ports_is_offset_by_a_drag() {
    let mut layout_before = two_basins();
    let port = |part: &str| End::Port(Id::of(part), Id::of(COLD));
    layout_before.outlets[1].at = Point::mm(2500.0, 4000.0);
    layout_before.runs = vec![Run::new(Id::of("drop"), Service::ColdDistribution, port("bath-basin"), port("basin"))];
    let mut harness = window(layout_before);
    drag_mm(&mut harness, (2540.0, 2500.0), (3040.0, 2500.0));
    let run = &layout(&harness).runs[0];
    assert_eq!(run.via.len(), 4, "{:?}", run.via);
    assert!(matches!((&run.from, &run.to), (End::Port(..), End::Port(..))));
}

#[test]
fn a_bend_is_added_where_the_pointer_is_or_midway_along_the_longest_stretch() {
    let mut harness = window(two_basins());
    ask(&mut harness, Action::Select(Some(Id::of("feed"))));
    let on_the_pipe = at(&harness, 4200.0, 3000.0);
    harness.hover_at(on_the_pipe);
    harness.run();
    press(&mut harness, Key::B);
    let bends =
        |harness: &Window| -> Vec<DVec2> { layout(harness).runs[0].via.iter().map(|bend| bend.vector()).collect() };
    assert!(bends(&harness)[0].distance(dvec2(4200.0, 3000.0)) < 15.0, "{:?}", bends(&harness));
    assert_eq!(last_step(&harness), Some("Add a bend to feed"));
    // Away from the pipe: of what is left, from 2000 to 4200 is the longest.
    let aside = at(&harness, 3000.0, 3600.0);
    harness.hover_at(aside);
    harness.run();
    press(&mut harness, Key::B);
    assert_eq!(bends(&harness).len(), 2);
    assert!(bends(&harness)[0].distance(dvec2(3100.0, 3000.0)) < 15.0, "{:?}", bends(&harness));
    // It is for one pipe.
    ask(&mut harness, Action::Select(Some(Id::of("basin"))));
    press(&mut harness, Key::B);
    assert!(says(&harness, "Select one pipe"));
}

#[test]
fn an_open_end_that_is_dragged_snaps_to_a_port() {
    let mut harness = window(two_basins());
    let mut run = layout(&harness).runs[0].clone();
    run.service = Service::ColdDistribution;
    ask(&mut harness, Action::edit("Change service", Edit::Put(Box::new(Part::Run(run)))));
    ask(&mut harness, Action::Select(Some(Id::of("feed"))));
    drag_mm(&mut harness, (5000.0, 3000.0), (4540.0, 1405.0));
    assert_eq!(layout(&harness).runs[0].to, End::Port(Id::of("bath-basin"), Id::of(COLD)));
}

#[test]
fn a_valve_slides_along_its_run_whatever_is_selected() {
    let mut harness = window(two_basins());
    drag_mm(&mut harness, (3000.0, 3000.0), (4200.0, 3040.0));
    let along = layout(&harness).runs[0].fittings.as_ref().map(|list| list[0].at.to_mm());
    assert!(along.is_some_and(|along| (along - 2200.0).abs() < 60.0), "{along:?}");
    assert_eq!(last_step(&harness), Some("Move gate valve of feed"));
}

#[test]
fn insulation_is_painted_on_along_a_run_and_taken_off_again() {
    let mut harness = window(two_basins());
    harness.get_by_label("Insulate").click_accesskit();
    harness.run();
    drag_mm(&mut harness, (2000.0, 3000.0), (3800.0, 3030.0));
    let painted = spans(layout(&harness));
    assert_eq!(painted.len(), 1);
    assert!(painted[0].0 == 0.0 && (painted[0].1 - 1800.0).abs() < 60.0, "{painted:?}");
    assert_eq!(last_step(&harness), Some("Insulate feed"));
    harness.get_by_label("Bare").click_accesskit();
    harness.run();
    drag_mm(&mut harness, (2600.0, 3000.0), (3100.0, 3000.0));
    assert_eq!(spans(layout(&harness)).len(), 2);
    let feed = at(&harness, 4000.0, 3000.0);
    click(&mut harness, feed);
    assert!(spans(layout(&harness)).is_empty());
}

#[test]
fn a_fitting_is_put_where_a_pipe_is_clicked() {
    let mut harness = window(two_basins());
    ask(&mut harness, Action::Take(Tool::Fit(InLineKind::DrainCock)));
    let place = at(&harness, 4500.0, 3000.0);
    click(&mut harness, place);
    let fitted = layout(&harness).runs[0].fittings.clone().unwrap_or_default();
    assert_eq!(
        fitted.iter().map(|fitting| fitting.kind).collect::<Vec<_>>(),
        [InLineKind::GateValve, InLineKind::DrainCock]
    );
    assert_eq!(selection(&harness), ["feed"]);
}
