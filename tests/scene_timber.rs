//! Pictures of the load path: each member is drawn once, its forces balance, and nothing is drawn that is not known.

use loftwright::file;
use loftwright::layout::Layout;
use loftwright::measure::Site;
use loftwright::scene::{Item, Scene, Shape, timber};
use loftwright::timber::LoadPath;

fn example(name: &str) -> Layout {
    file::read(std::path::Path::new(&format!("examples/{name}.loft.ron"))).expect("the example reads")
}

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
    for force_n in &worst.check.strip.on_n {
        let words = format!("{:.2} kN", force_n / 1000.0);
        assert!(said.contains(&words), "{words} in {said:?}");
    }
}

#[test]
fn everything_drawn_is_an_ordinary_number() {
    for item in pictures(&example("feed_and_expansion")) {
        assert!(item.shape.points().iter().all(|point| point.is_finite()), "{item:?}");
    }
}
