//! The window driven by accessible names and by the pointer, without a display.

mod building;
mod looking;
mod telling;
mod tools;
mod typed;

use egui::{Key, Modifiers, Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use glam::dvec2;
use loftwright::desk::{Action, Command, Desk, Stock, Tool};
use loftwright::geom::Point;
use loftwright::layout::{CisternRole, Edit, End, Id, Layout, OutletKind, Piece, Service};
use loftwright::session::Session;
use loftwright::session::keeper::Keeper;

use crate::asking::{ask, give, press};
use crate::example::example;
use crate::pointer::{at, click, drag};
use crate::reading::{last_step, layout, says};
use crate::screen::{self, window, window_of};
use crate::typing::type_into;

fn cistern_base(harness: &Harness<'_, Desk>) -> f64 {
    layout(harness).cisterns[0].at.z.to_mm()
}

#[test]
fn a_settled_window_asks_for_no_repaint() {
    let mut harness = window(example("sound_indirect"));
    harness.step();
    let asked = harness.output().viewport_output[&egui::ViewportId::ROOT].repaint_delay;
    assert!(asked > std::time::Duration::from_secs(3600), "repaint asked for in {asked:?}");
}

#[test]
fn findings_are_listed_by_name_when_they_are_shown() {
    let mut harness = window(example("sound_indirect"));
    assert!(harness.query_by_label_contains("meets: ").is_none());
    let met = harness.state().session().findings().counts().meets;
    harness.get_by_label(&format!("{met} meets")).click();
    harness.run();
    assert!(harness.query_by_label("as it should be: Not found: open vent too low, open vent").is_some());
}

#[test]
fn a_level_typed_into_particulars_is_judged_at_once() {
    let mut harness = window(example("sound_indirect"));
    harness.get_by_label("cistern, storage cistern").focus();
    harness.run();
    assert_eq!(harness.state().outlook().selected, Some(Id::of("cistern")));
    type_into(&mut harness, "Base level", "6.9 m");
    assert_eq!(cistern_base(&harness), 6900.0);
    let breach = harness.get_all_by_label_contains("breach: ").map(|row| row.accesskit_node().label());
    assert!(breach.flatten().any(|name| name.contains("Too little headroom")), "no headroom breach is listed");
}

#[test]
fn wrong_text_keeps_the_value_and_says_why() {
    let mut harness = window(example("sound_indirect"));
    harness.get_by_label("cistern, storage cistern").focus();
    harness.run();
    type_into(&mut harness, "Base level", "twelve");
    assert_eq!(cistern_base(&harness), 5278.0);
    assert!(harness.query_by_label_contains("'twelve' is not a number").is_some());
    assert_eq!(last_step(&harness), None);
}

#[test]
fn a_drag_is_one_step_and_the_menu_takes_it_back() {
    let mut harness = window(example("sound_indirect"));
    let (from, to) = (at(&harness, 1900.0, 5400.0), at(&harness, 1900.0, 6000.0));
    drag(&mut harness, from, to);
    assert!(cistern_base(&harness) > 5700.0, "it stands at {}", cistern_base(&harness));
    assert_eq!(last_step(&harness), Some("Move cistern"));
    harness.get_by_label("Edit").click();
    harness.run();
    harness.get_by_label_contains("Undo: Move cistern").click();
    harness.run();
    assert_eq!(cistern_base(&harness), 5278.0);
    assert_eq!(last_step(&harness), None);
}

#[test]
fn escape_gives_a_drag_up() {
    let mut harness = window(example("sound_indirect"));
    let from = at(&harness, 1900.0, 5400.0);
    harness.hover_at(from);
    harness.step();
    harness.drag_at(from);
    harness.step();
    harness.hover_at(from - vec2(0.0, 60.0));
    harness.run();
    assert!(cistern_base(&harness) > 5278.0);
    press(&mut harness, Key::Escape);
    harness.drop_at(from - vec2(0.0, 60.0));
    harness.run();
    assert_eq!(cistern_base(&harness), 5278.0);
    assert_eq!(last_step(&harness), None);
}

#[test]
fn arrow_keys_nudge_and_a_burst_is_one_step() {
    let mut harness = window(example("sound_indirect"));
    harness.get_by_label("cistern, storage cistern").focus();
    harness.run();
    for modifiers in [Modifiers::NONE, Modifiers::SHIFT, Modifiers::COMMAND] {
        harness.key_press_modifiers(modifiers, Key::ArrowUp);
        harness.step();
    }
    harness.step();
    assert_eq!(cistern_base(&harness), 5278.0 + 111.0);
    harness.run_steps(8);
    assert_eq!(last_step(&harness), Some("Move cistern"));
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert_eq!(cistern_base(&harness), 5278.0);
}

#[test]
fn a_basin_from_stores_goes_where_the_pointer_clicks() {
    let mut harness = window(Layout::default());
    harness.get_by_label("Basin").click();
    harness.run();
    assert_eq!(harness.state().outlook().tool, Tool::Place(Stock::Outlet(OutletKind::Basin)));
    let place = at(&harness, 3000.0, 1000.0);
    click(&mut harness, place);
    let layout = layout(&harness);
    assert_eq!(layout.outlets.len(), 1);
    let placed = layout.outlets[0].at.vector();
    assert!(placed.distance(dvec2(3000.0, 1000.0)) < 100.0, "placed at {placed}");
    assert_eq!(harness.state().outlook().tool, Tool::Pick);
    assert_eq!(harness.state().outlook().selected, Some(Id::of("basin")));
}

#[test]
fn a_run_is_drawn_with_clicks_from_a_new_hole_in_a_cistern_to_a_cylinder() {
    let mut harness = window(Layout::default());
    for (stock, x, z) in [(Stock::Storage(7), 2000.0, 4500.0), (Stock::Cylinder(7), 4000.0, 1000.0)] {
        ask(&mut harness, Action::Take(Tool::Place(stock)));
        let place = at(&harness, x, z);
        click(&mut harness, place);
    }
    ask(&mut harness, Action::Take(Tool::Pipe(Service::ColdFeed)));
    let vessels = layout(&harness);
    let cistern = &vessels.cisterns[0];
    assert_eq!(cistern.role, CisternRole::Storage);
    let hole = cistern.at.vector() + dvec2(cistern.length.to_mm(), 80.0);
    let cylinder = vessels.part(&Id::of("cylinder")).expect("placed");
    let inlet = cylinder.port("cold-inlet").expect("a port").vector();
    for point in [hole, dvec2(3300.0, hole.y), inlet] {
        let place = at(&harness, point.x, point.y);
        click(&mut harness, place);
    }
    let run = layout(&harness).runs.first().expect("a run is drawn");
    assert_eq!(run.from, End::Port(Id::of("cistern"), Id::of("cold-feed")));
    assert_eq!(run.to, End::Port(Id::of("cylinder"), Id::of("cold-inlet")));
    assert_eq!((run.fittings.as_deref(), run.material), (Some([].as_slice()), None));
    assert_eq!(last_step(&harness), Some("Draw cold feed"));
    give(&mut harness, Command::Undo);
    let layout = layout(&harness);
    assert!(layout.runs.is_empty() && layout.cisterns[0].connections.is_empty());
}

#[test]
fn a_second_click_on_the_same_place_ends_a_run_in_the_open() {
    let mut harness = window(Layout::default());
    ask(&mut harness, Action::Take(Tool::Pipe(Service::OpenVent)));
    // The second is a little aside of the stretch, which is square.
    for (x, z) in [(2000.0, 2000.0), (2100.0, 4000.0), (2100.0, 4000.0)] {
        let place = at(&harness, x, z);
        click(&mut harness, place);
        harness.run_steps(8);
    }
    let run = layout(&harness).runs.first().expect("a run");
    assert!(run.via.is_empty(), "bends: {:?}", run.via);
    assert!(matches!(run.to, End::Open(point) if (point.z.to_mm() - 4000.0).abs() < 100.0));
    assert_eq!(harness.state().outlook().tool, Tool::Pick);
}

#[test]
fn what_is_deleted_is_said_and_so_are_the_ends_that_it_leaves_open() {
    let mut harness = window(example("sound_indirect"));
    ask(&mut harness, Action::Select(Some(Id::of("basin"))));
    give(&mut harness, Command::Delete);
    assert_eq!(harness.state().outlook().said, "Removed basin; 2 ends of pipes are left open");
}

#[test]
fn a_folder_that_is_not_there_is_said_so_beside_what_was_typed() {
    let mut harness = window(example("sound_indirect"));
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("nowhere").join("house.loft.ron");
    ask(&mut harness, Action::SaveTo(path.clone()));
    assert!(harness.query_by_label_contains("there is no such folder").is_some());
    let field = harness.get_by_role_and_label(Role::TextInput, "Path of the file");
    assert_eq!(field.accesskit_node().value().as_deref(), Some(&*path.display().to_string()));
    let found = folder.path().join("house.loft.ron");
    type_into(&mut harness, "Path of the file", &found.display().to_string());
    assert!(found.exists(), "saved once the path is put right");
}

#[test]
fn backspace_takes_back_a_bend_and_enter_ends_in_the_open() {
    let mut harness = window(Layout::default());
    ask(&mut harness, Action::Take(Tool::Pipe(Service::OpenVent)));
    for (x, z) in [(2000.0, 2000.0), (2000.0, 4000.0), (3500.0, 4000.0)] {
        let place = at(&harness, x, z);
        click(&mut harness, place);
    }
    press(&mut harness, Key::Backspace);
    press(&mut harness, Key::Enter);
    let run = layout(&harness).runs.first().expect("a run");
    assert!(run.via.is_empty(), "bends left: {:?}", run.via);
    assert!(matches!(run.to, End::Open(point) if (point.z.to_mm() - 4000.0).abs() < 100.0));
}

#[test]
fn leaving_unsaved_work_asks_first() {
    let mut harness = window(example("sound_indirect"));
    ask(&mut harness, Action::Select(Some(Id::of("basin"))));
    give(&mut harness, Command::Delete);
    give(&mut harness, Command::New);
    assert!(harness.query_by_label_contains("There is unsaved work").is_some());
    harness.get_by_label("Keep editing").click();
    harness.run();
    assert_eq!(layout(&harness).outlets.len(), 2);
    give(&mut harness, Command::New);
    harness.get_by_label("Discard changes").click();
    harness.run();
    assert!(layout(&harness).outlets.is_empty());
    assert!(!harness.state().session().is_dirty());
}

#[test]
fn closing_with_unsaved_work_is_held_until_it_is_answered() {
    let mut harness = window(example("sound_indirect"));
    ask(&mut harness, Action::Select(Some(Id::of("basin"))));
    give(&mut harness, Command::Delete);
    let root = egui::ViewportId::ROOT;
    harness.input_mut().viewports.entry(root).or_default().events.push(egui::ViewportEvent::Close);
    harness.step();
    let commands = &harness.output().viewport_output[&root].commands;
    assert!(commands.contains(&egui::ViewportCommand::CancelClose), "commands: {commands:?}");
    harness.run();
    harness.get_by_label("Discard changes").click();
    harness.step();
    harness.step();
    assert!(harness.query_by_label_contains("There is unsaved work").is_none());
}

#[test]
fn work_is_saved_under_a_typed_path_and_opened_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("house.loft.ron");
    let mut harness = window(example("sound_indirect"));
    give(&mut harness, Command::SaveAs);
    type_into(&mut harness, "Path of the file", &path.display().to_string());
    assert!(path.exists(), "nothing was saved at {}", path.display());
    assert!(!harness.state().session().is_dirty());
    give(&mut harness, Command::New);
    ask(&mut harness, Action::OpenPath(path));
    assert_eq!(layout(&harness).cisterns.len(), 1);
}

#[test]
fn an_unreadable_file_is_explained_and_the_drawing_stays() {
    let mut harness = window(example("sound_indirect"));
    ask(&mut harness, Action::OpenPath("/nowhere/at-all.loft.ron".into()));
    assert!(harness.query_by_label_contains("The file cannot be opened").is_some());
    harness.get_by_label("Close").click();
    harness.run();
    assert_eq!(layout(&harness).cisterns.len(), 1);
}

#[test]
fn a_chosen_finding_shows_its_working() {
    let mut harness = window(example("sound_indirect"));
    let met = harness.state().session().findings().counts().meets;
    harness.get_by_label(&format!("{met} meets")).click();
    harness.run();
    harness.get_by_label("as it should be: Not found: open vent too low, open vent").click_accesskit();
    harness.run();
    assert!(harness.query_by_role(Role::Figure).is_some(), "no plot of what is asked");
    assert!(harness.query_by_label_contains("As it should be. Have ").is_some());
}

#[test]
fn every_view_is_named_and_has_its_letters_light_and_dark() {
    let mut harness = window(example("sound_indirect"));
    for action in [Action::Select(Some(Id::of("cold-feed"))), Action::Command(Command::Appearance)] {
        ask(&mut harness, action);
    }
    for part in ["cylinder", "cistern-platform", "boiler", "bath"] {
        ask(&mut harness, Action::Select(Some(Id::of(part))));
    }
    harness.set_size(vec2(3840.0, 2160.0));
    harness.run();
    harness.set_size(vec2(1024.0, 700.0));
    harness.run();
    let (canvas, whole) = (harness.get_by_label("Section drawing").rect(), harness.ctx.content_rect());
    assert!(canvas.width() > 400.0 && whole.contains_rect(canvas), "the drawing has {canvas:?}");
}

#[test]
fn a_run_does_not_slip_onto_a_port_of_another_service() {
    let mut harness = window(example("sound_indirect"));
    ask(&mut harness, Action::Take(Tool::Pipe(Service::OpenVent)));
    let warning = layout(&harness).part(&Id::of("cistern")).expect("there").port("warning");
    let beside = warning.expect("a port").vector() - dvec2(0.0, 60.0);
    for place in [dvec2(300.0, 5500.0), beside] {
        let place = at(&harness, place.x, place.y);
        click(&mut harness, place);
    }
    let vent = layout(&harness).runs.last().expect("a run").clone();
    assert_eq!((vent.service, &vent.to), (Service::OpenVent, &End::Port(Id::of("cistern"), Id::of("vent"))));
}

#[test]
fn escape_closes_a_menu_and_leaves_the_selection_alone() {
    let mut harness = window(example("sound_indirect"));
    ask(&mut harness, Action::Select(Some(Id::of("cistern"))));
    harness.get_by_label("View").click();
    harness.run();
    assert!(harness.query_by_label_contains("Nearer").is_some());
    press(&mut harness, Key::Escape);
    assert!(harness.query_by_label_contains("Nearer").is_none());
    assert_eq!(harness.state().outlook().selected, Some(Id::of("cistern")));
}

#[test]
fn work_left_behind_is_offered_and_taken_up_unsaved_with_its_steps() {
    let place = tempfile::tempdir().expect("a folder");
    let original = place.path().join("house.loft.ron");
    let recovery = place.path().join("recovery");
    loftwright::file::save(&original, &example("sound_indirect")).expect("saves");
    let mut session = Session::open(&original).expect("opens");
    session.edit("Remove basin", &Edit::Remove(Id::of("basin"))).expect("fits");
    let left = session.layout().clone();
    let mut keeper = Keeper::begin(recovery.clone());
    keeper.keep(&mut session);
    drop(keeper);
    // Somebody else has been at the file since.
    loftwright::file::save(&original, &Layout::default()).expect("saves");
    let mut desk = Desk::new(Session::new(Layout::default()));
    desk.keep_in(recovery.clone());
    let mut harness = window_of(desk);
    assert!(harness.query_by_label_contains("Unsaved work was left behind").is_some());
    assert!(harness.query_by_label_contains("Its file has been changed or moved since").is_some());
    harness.get_by_label("Take it up").click();
    harness.run();
    assert_eq!(layout(&harness), &left);
    assert!(harness.state().session().is_dirty());
    assert_eq!(last_step(&harness), Some("Remove basin"));
    let begun = std::time::Instant::now();
    while !loftwright::session::recovery::list(&recovery).is_empty() {
        assert!(begun.elapsed().as_secs() < 10, "it is kept by this window now");
    }
    drop(harness);
    assert_eq!(loftwright::session::recovery::list(&recovery).len(), 1, "and is left behind once more");
}

#[test]
fn work_that_is_discarded_on_leaving_is_not_left_behind() {
    let place = tempfile::tempdir().expect("a folder");
    let recovery = place.path().join("recovery");
    let mut desk = Desk::new(Session::new(example("sound_indirect")));
    desk.keep_in(recovery.clone());
    let mut harness = window_of(desk);
    ask(&mut harness, Action::Select(Some(Id::of("basin"))));
    give(&mut harness, Command::Delete);
    assert!(harness.state().session().is_dirty());
    give(&mut harness, Command::Quit);
    harness.get_by_label("Discard changes").click();
    harness.run();
    drop(harness);
    assert!(loftwright::session::recovery::list(&recovery).is_empty());
}

#[test]
fn a_chosen_finding_brings_up_the_particulars_of_its_part() {
    let mut harness = window(example("sound_indirect"));
    harness.get_by_label_contains(" meets").click();
    harness.run();
    harness.get_by_label("as it should be: Not found: open vent too low, open vent").click_accesskit();
    harness.run();
    assert_eq!(harness.state().outlook().selected, Some(Id::of("open-vent")));
}

#[test]
fn a_service_is_taken_up_though_it_stood_there_already() {
    let mut harness = window(example("sound_indirect"));
    harness.get_by_role_and_label(Role::ComboBox, "Service of the run").click();
    harness.run();
    let is_button = |node: &egui_kittest::Node<'_>| node.accesskit_node().role() == Role::Button;
    let offered: Vec<_> = harness.get_all_by_label("cold feed").filter(is_button).collect();
    offered.last().expect("offered").click();
    drop(offered);
    harness.run();
    assert_eq!(harness.state().outlook().tool, Tool::Pipe(Service::ColdFeed));
}

#[test]
fn a_platform_typed_to_another_level_takes_its_cistern_along() {
    let mut harness = window(example("sound_indirect"));
    ask(&mut harness, Action::Select(Some(Id::of("cistern-platform"))));
    type_into(&mut harness, "Upper face", "5400");
    assert_eq!(cistern_base(&harness), 5400.0);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    harness.run();
    assert_eq!(layout(&harness), &example("sound_indirect"));
}

#[test]
fn the_panels_keep_their_width_whatever_is_shown_in_them() {
    let mut harness = window(example("sound_indirect"));
    let left = |harness: &Harness<'_, Desk>| harness.get_by_label("Section drawing").rect().left();
    let before = left(&harness);
    for part in ["cold-feed", "cistern", "cylinder", "cistern-platform", "warning-pipe"] {
        ask(&mut harness, Action::Select(Some(Id::of(part))));
        harness.run_steps(3);
        assert_eq!(left(&harness), before, "with {part} selected");
    }
}

#[test]
fn panels_that_a_small_window_held_narrow_are_let_out_in_a_large_one() {
    let wide = |harness: &Harness<'_, Desk>| harness.get_by_role_and_label(Role::Button, "Trade").rect().left();
    let mut harness = window(example("sound_indirect"));
    let before = wide(&harness);
    for size in [vec2(1024.0, 700.0), vec2(1360.0, 860.0)] {
        harness.set_size(size);
        harness.run();
    }
    harness.run();
    assert_eq!(wide(&harness), before);
}
