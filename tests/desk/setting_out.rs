//! Setting out in the window: many parts at once, handles, guides, typed strides, the tape, notes, what is held.

mod in_hand;
mod pipes;
mod several;

use egui::{Event, Key, Modifiers, Role, vec2};
use egui_kittest::kittest::Queryable as _;
use glam::{DVec2, dvec2};
use loftwright::desk::{Action, Arrange, Aspect, Command, Stock, Tool};
use loftwright::geom::Point;
use loftwright::layout::*;
use loftwright::units::{Gradient, Length, Size};

use crate::asking::{ask, give, press};
use crate::example::example;
use crate::pointer::{at, begin_drag, click, click_with, drag};
use crate::reading::{last_step, layout, says, selection};
use crate::screen::{Window, window};
use crate::typing::type_into;

/// A blank sheet with two basins and a run from open to open.
fn two_basins() -> Layout {
    let basin = |name: &str, x: f64, z: f64| Outlet::new(Id::of(name), OutletKind::Basin, Point::mm(x, z));
    let ends = [(2000.0, 3000.0), (5000.0, 3000.0)].map(|(x, z)| End::Open(Point::mm(x, z)));
    let [from, to] = ends;
    let mut run = Run::new(Id::of("feed"), Service::ColdFeed, from, to);
    run.insulation = Some(Vec::new());
    run.fittings = Some(vec![InLine { kind: InLineKind::GateValve, at: Length::mm(1000.0) }]);
    Layout {
        outlets: vec![basin("basin", 2500.0, 1000.0), basin("bath-basin", 4500.0, 1400.0)],
        runs: vec![run],
        ..Layout::default()
    }
}

fn arrange(harness: &mut Window, arrange: Arrange) {
    give(harness, Command::Arrange(arrange));
}

fn drag_mm(harness: &mut Window, from: (f64, f64), to: (f64, f64)) {
    let (from, to) = (at(harness, from.0, from.1), at(harness, to.0, to.1));
    drag(harness, from, to);
}

fn spans(layout: &Layout) -> Vec<(f64, f64)> {
    let all = layout.runs[0].insulation.iter().flatten();
    all.map(|lagging| (lagging.from.to_mm(), lagging.to.to_mm())).collect()
}

#[test]
fn a_drag_says_to_what_it_has_snapped() {
    let mut harness = window(two_basins());
    let (from, to) = (at(&harness, 4500.0, 1400.0), at(&harness, 4700.0, 1010.0));
    begin_drag(&mut harness, from, to);
    harness.run();
    assert!(says(&harness, "level with"), "it says nothing of a level");
    harness.drop_at(to);
    harness.run();
    assert_eq!(layout(&harness).outlets[1].at.z.to_mm(), 1000.0);
}

#[test]
fn a_cistern_is_made_longer_by_its_side_and_as_long_as_another() {
    let mut first = Cistern::new(
        Id::of("first"),
        CisternRole::Storage,
        Point::mm(500.0, 3000.0),
        Size::mm(1000.0),
        Size::mm(600.0),
    );
    first.water_line = Some(Length::mm(450.0));
    let second =
        Cistern { id: Id::of("second"), at: Point::mm(3000.0, 1000.0), length: Size::mm(700.0), ..first.clone() };
    let mut harness = window(Layout { cisterns: vec![first, second], ..Layout::default() });
    ask(&mut harness, Action::Select(Some(Id::of("second"))));
    let (from, to) = (at(&harness, 3700.0, 1300.0), at(&harness, 4008.0, 1300.0));
    begin_drag(&mut harness, from, to);
    harness.run();
    assert!(says(&harness, "as long as first"));
    harness.drop_at(to);
    harness.run();
    let second = &layout(&harness).cisterns[1];
    assert_eq!((second.length, second.at), (Size::mm(1000.0), Point::mm(3000.0, 1000.0)));
    assert_eq!(last_step(&harness), Some("Move the right side of second"));
}

#[test]
fn a_wall_gets_thicker_and_a_hatch_longer_by_their_edges() {
    let mut harness = window(example("sound_indirect"));
    let building = layout(&harness).building.clone();
    ask(&mut harness, Action::SelectPiece(Piece::Wall(0)));
    let wall = &building.walls[0];
    let face = wall.x.to_mm() + wall.thickness.to_mm();
    let half = wall.foot.to_mm().midpoint(wall.head.to_mm());
    drag_mm(&mut harness, (face, half), (face + 200.0, half));
    assert!(layout(&harness).building.walls[0].thickness.to_mm() > wall.thickness.to_mm() + 100.0);
    assert_eq!(layout(&harness).building.walls[0].x, wall.x);
}

#[test]
fn the_tape_reads_across_up_and_straight_and_changes_nothing() {
    let mut harness = window(two_basins());
    let before = layout(&harness).clone();
    harness.get_by_label("Tape").click_accesskit();
    harness.run();
    let (first, second) = (at(&harness, 2540.0, 1000.0), at(&harness, 4540.0, 1400.0));
    click(&mut harness, second);
    click(&mut harness, first);
    assert!(says(&harness, "2000 mm across, 400 mm down"), "it is lower");
    click(&mut harness, first);
    click(&mut harness, second);
    assert!(says(&harness, "2000 mm across, 400 mm up"), "no reading");
    assert!(says(&harness, "from cold of basin to cold of bath basin"));
    assert_eq!(*layout(&harness), before);
    // What it lies between is selected, so that the distance can be held.
    assert_eq!(selection(&harness), ["basin", "bath-basin"]);
    harness.get_by_label("Hold the distance up: 400 mm").click_accesskit();
    harness.run();
    assert!(layout(&harness).is_held(&Id::of("bath-basin"), &Held::UpFrom(Id::of("basin"))));
    give(&mut harness, Command::Undo);
    press(&mut harness, Key::Escape);
    press(&mut harness, Key::Escape);
    assert_eq!(harness.state().outlook().tool, Tool::Pick);
}

#[test]
fn a_note_is_placed_worded_and_found_by_what_it_says() {
    let mut harness = window(two_basins());
    ask(&mut harness, Action::Take(Tool::Place(Stock::Note)));
    let place = at(&harness, 3000.0, 2200.0);
    click(&mut harness, place);
    assert_eq!(selection(&harness), ["note"]);
    harness.get_by_role_and_label(Role::MultilineTextInput, "Words of the note").focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
    harness.run();
    harness.event(Event::Text("Mind the purlin".to_owned()));
    harness.run();
    // A press beside the field ends its typing.
    let beside = at(&harness, 6000.0, 2600.0);
    click(&mut harness, beside);
    let words = layout(&harness).notes[0].words.clone();
    assert_eq!(words, "Mind the purlin");
    assert!(harness.query_by_label("note: Mind the purlin").is_some());
}

#[test]
fn the_end_of_a_leader_is_dragged_snaps_and_comes_back_in_one_step() {
    let mut house = two_basins();
    let mut note = Note::new(Id::of("note"), Point::mm(3200.0, 2200.0), "Mind the purlin".to_owned());
    note.points_at = Some(Point::mm(3000.0, 1900.0));
    house.notes.push(note.clone());
    let mut harness = window(house);
    ask(&mut harness, Action::Select(Some(note.id.clone())));
    // Near the cold connection of a basin, where it snaps.
    drag_mm(&mut harness, (3000.0, 1900.0), (2548.0, 1012.0));
    let now = layout(&harness).notes[0].clone();
    let cold = PartRef::Outlet(&layout(&harness).outlets[0]).port(COLD).expect("a cold connection");
    assert_eq!((now.points_at, now.at), (Some(cold), note.at));
    assert_eq!(last_step(&harness), Some("Move what note points at"));
    give(&mut harness, Command::Undo);
    assert_eq!(layout(&harness).notes[0], note);
    // Where it is not selected its pointer is not caught.
    ask(&mut harness, Action::Select(None));
    drag_mm(&mut harness, (3000.0, 1900.0), (3400.0, 1700.0));
    assert_eq!(layout(&harness).notes[0], note);
}

#[test]
fn the_title_block_is_typed_when_nothing_is_selected() {
    let mut harness = window(two_basins());
    type_into(&mut harness, "Revision", "B");
    type_into(&mut harness, "Scale note", "do not scale");
    let heading = &layout(&harness).heading;
    assert_eq!((heading.revision.as_str(), heading.scale_note.as_str()), ("B", "do not scale"));
}

#[test]
fn a_part_dragged_between_two_others_stands_as_far_from_one_as_from_the_other() {
    let basin = |name: &str, x: f64| Outlet::new(Id::of(name), OutletKind::Basin, Point::mm(x, 1000.0));
    let outlets = vec![basin("left-basin", 1000.0), basin("right-basin", 4000.0), basin("basin", 1800.0)];
    let mut harness = window(Layout { outlets, ..Layout::default() });
    let (from, to) = (at(&harness, 1800.0, 1000.0), at(&harness, 2507.0, 1000.0));
    begin_drag(&mut harness, from, to);
    harness.run();
    let said = &harness.state().outlook().said;
    assert!(said.ends_with("as far from left basin as from right basin"), "it says '{said}'");
    harness.drop_at(to);
    harness.run();
    assert_eq!(layout(&harness).outlets[2].at, Point::mm(2500.0, 1000.0));
}
