//! Pictures of the load path: each member is drawn once, its forces balance, and nothing is drawn that is not known.

use loftwright::finding::Findings;
use loftwright::layout::Layout;
use loftwright::measure::Site;
use loftwright::scene::{Ink, Item, MarkFigure, Marks, Origin, Scene, Shape, draw, timber};
use loftwright::timber::LoadPath;
use loftwright::units::Size;

use crate::example::example;

fn pictures(layout: &Layout) -> Vec<Item> {
    let site = Site::of(layout);
    let mut scene = Scene::default();
    timber::overlay(&mut scene, &site, &LoadPath::of(&site));
    scene.items
}

fn words(items: &[Item]) -> Vec<String> {
    let lines = items.iter().filter_map(|item| match &item.shape {
        Shape::Label(label) => Some(label.lines.join("\n")),
        _ => None,
    });
    lines.collect()
}

#[test]
fn every_platform_shows_its_board_a_bearer_and_a_joist() {
    let said = words(&pictures(&example("feed_and_expansion")));
    for name in ["board,", "bearer,", "joist,"] {
        assert_eq!(said.iter().filter(|words| words.starts_with(name)).count(), 2, "{name} in {said:?}");
    }
    let said = words(&pictures(&example("sound_direct")));
    assert!(!said.iter().any(|words| words.starts_with("bearer,")), "there are none below that platform");
}

#[test]
fn what_is_not_told_is_not_drawn() {
    assert!(pictures(&example("half_described")).is_empty());
}

#[test]
fn forces_on_the_joist_are_those_of_its_check() {
    let layout = example("sound_indirect");
    let path = LoadPath::of(&Site::of(&layout));
    let joists = path.platforms[0].joists.as_ref().expect("asked").as_ref().expect("told");
    let worst = path.platforms[0].hardest_worked(joists).expect("a joist");
    let said = words(&pictures(&layout));
    let forces: Vec<String> = worst.check.strip.on_n.iter().map(|force_n| format!("{:.2}", force_n / 1000.0)).collect();
    let words = format!("on its supports {} kN", forces.join(", "));
    assert!(said.iter().any(|said| said.starts_with("joist") && said.contains(&words)), "{words} in {said:?}");
}

/// A joist that takes too much is ringed on the drawing, and its picture is drawn in red pencil.
#[test]
fn an_overloaded_joist_is_marked_where_it_is() {
    let mut layout = example("sound_indirect");
    layout.building.joists.as_mut().expect("drawn").depth = Size::mm(90.0);
    let site = Site::of(&layout);
    let scene = draw(&site, &Findings::of(&site), &Marks::default());
    let ring = scene.items.iter().find_map(|item| match (&item.origin, &item.shape) {
        (Origin::Mark(key), Shape::Mark(mark)) if key.rule == "joist-overstressed" => Some(mark.figure.clone()),
        _ => None,
    });
    let Some(MarkFigure::Ring(at)) = ring else { panic!("{ring:?}") };
    // The joist at 1900 mm, in the middle of its height below 5160.
    assert_eq!((at.x, at.y), (1900.0, 5115.0));
    let red = |item: &&Item| matches!(&item.shape, Shape::Line { pen, .. } if pen.ink == Ink::RedPencil);
    assert!(pictures(&layout).iter().any(|item| red(&item)));
    assert!(!pictures(&example("sound_indirect")).iter().any(|item| red(&item)));
}

#[test]
fn everything_drawn_is_an_ordinary_number() {
    for item in pictures(&example("feed_and_expansion")) {
        assert!(item.shape.points().iter().all(|point| point.is_finite()), "{item:?}");
    }
}
