//! The pipe in hand: nothing of it that took a click is lost by one key, or by taking up something else.

use super::*;

/// Two basins and a pipe that goes on beyond the drawing, so that nothing is broken.
fn basins_and_pipe() -> Layout {
    let mut layout = two_basins();
    for which in WhichEnd::BOTH {
        let end = layout.runs[0].end_mut(which);
        let End::Open(point) = *end else { panic!("{end:?}") };
        *end = End::Onward(point);
    }
    layout
}

/// A pipe that has been begun and bent so often, on a sheet with two basins and a pipe.
fn with_bends(service: Service, bends: usize) -> Window {
    let mut harness = window(basins_and_pipe());
    ask(&mut harness, Action::Take(Tool::Pipe(service)));
    let places = [(2200.0, 2000.0), (3000.0, 2000.0), (3000.0, 2500.0), (4500.0, 2500.0)];
    for (right, up) in &places[..=bends] {
        let place = at(&harness, *right, *up);
        click(&mut harness, place);
    }
    harness
}

/// The number of points of the run that was drawn last.
fn points_of_last(harness: &Window) -> usize {
    layout(harness).runs.last().map_or(0, |run| run.via.len() + 2)
}

#[test]
fn a_pipe_with_bends_is_drawn_as_far_as_it_goes_when_something_else_is_taken_up() {
    let other = [
        Action::Take(Tool::Pipe(Service::OpenVent)),
        Action::Take(Tool::Fit(InLineKind::GateValve)),
        Action::Take(Tool::Pick),
        Action::Command(Command::Look(Aspect::Lesson)),
    ];
    for action in other {
        let name = format!("{action:?}");
        let mut harness = with_bends(Service::ColdDistribution, 3);
        // The pointer goes from the drawing to whatever is taken up.
        harness.event(Event::PointerMoved(egui::pos2(100.0, 200.0)));
        harness.run();
        ask(&mut harness, action);
        assert_eq!((layout(&harness).runs.len(), points_of_last(&harness)), (2, 4), "{name}");
        assert!(says(&harness, "ends in the open at its last bend"), "{name}");
        assert_eq!(last_step(&harness), Some("Draw cold distribution"), "{name}");
        ask(&mut harness, Action::Command(Command::Look(Aspect::SetOut)));
        give(&mut harness, Command::Undo);
        assert_eq!(*layout(&harness), basins_and_pipe(), "{name}");
        give(&mut harness, Command::Redo);
        assert_eq!(layout(&harness).runs.len(), 2, "{name}");
    }
}

#[test]
fn a_pipe_that_is_only_begun_is_drawn_on_for_another_service() {
    let mut harness = with_bends(Service::ColdDistribution, 0);
    ask(&mut harness, Action::Take(Tool::Pipe(Service::OpenVent)));
    assert!(says(&harness, "open vent begins at 2200 right, 2000 up"));
    let end = at(&harness, 2200.0, 2800.0);
    click(&mut harness, end);
    press(&mut harness, Key::Enter);
    let run = layout(&harness).runs.last().expect("a run");
    assert_eq!((run.service, points_of_last(&harness)), (Service::OpenVent, 2));
}

#[test]
fn the_same_service_chosen_again_leaves_the_pipe_in_hand() {
    let mut harness = with_bends(Service::ColdDistribution, 2);
    ask(&mut harness, Action::Take(Tool::Pipe(Service::ColdDistribution)));
    assert_eq!(*layout(&harness), basins_and_pipe());
    press(&mut harness, Key::Enter);
    assert_eq!(points_of_last(&harness), 3);
}

#[test]
fn escape_and_undo_take_back_one_point_at_a_time() {
    for key in [Some(Key::Escape), None] {
        let mut harness = with_bends(Service::ColdDistribution, 3);
        let back = |harness: &mut Window| match key {
            Some(key) => press(harness, key),
            None => give(harness, Command::Undo),
        };
        back(&mut harness);
        assert!(says(&harness, "Took back the last bend"));
        press(&mut harness, Key::Enter);
        assert_eq!((layout(&harness).runs.len(), points_of_last(&harness)), (2, 3), "{key:?}");
        let mut harness = with_bends(Service::ColdDistribution, 1);
        back(&mut harness);
        back(&mut harness);
        assert!(says(&harness, "Took back where the pipe begins"));
        assert_eq!(*layout(&harness), basins_and_pipe(), "{key:?}");
        assert_eq!(harness.state().outlook().tool, Tool::Pipe(Service::ColdDistribution));
    }
}

#[test]
fn escape_in_the_line_of_the_next_point_takes_back_what_is_typed_alone() {
    let mut harness = with_bends(Service::ColdDistribution, 2);
    harness.event(Event::Text("up left".to_owned()));
    harness.run();
    press(&mut harness, Key::Escape);
    press(&mut harness, Key::Enter);
    assert_eq!(points_of_last(&harness), 3, "a bend is gone");
}

#[test]
fn what_was_refused_does_not_stay_behind_a_pipe_that_is_given_up() {
    let mut harness = with_bends(Service::ColdDistribution, 1);
    type_into(&mut harness, "Next point", "blah");
    assert!(says(&harness, "Not taken"));
    ask(&mut harness, Action::Take(Tool::Pipe(Service::OpenVent)));
    assert!(!says(&harness, "Not taken"));
}

#[test]
fn a_tee_that_has_just_been_begun_is_not_called_none() {
    let mut harness = window(two_basins());
    ask(&mut harness, Action::Take(Tool::Pipe(Service::ColdFeed)));
    let tee = at(&harness, 3500.0, 3000.0);
    harness.hover_at(tee);
    harness.run();
    assert!(says(&harness, "Here: a tee on feed"));
    click(&mut harness, tee);
    harness.run();
    assert!(says(&harness, "cold feed begins a tee on feed"));
    assert!(!says(&harness, "no tee"));
}
