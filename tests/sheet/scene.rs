//! The scene and its sheets: everything is drawn, nothing covers anything else, the same input gives the same bytes.

use std::collections::HashSet;

use glam::DVec2;
use loftwright::finding::Findings;
use loftwright::geom::Point;
use loftwright::layout::{
    Board, BoardMaterial, Cistern, DipTube, Edit, End, Id, InLine, InLineKind, Layout, Lid, Outlet, OutletKind, Part,
    Run, Screen, Service, Survey, TapeClass, apply,
};
use loftwright::measure::Site;
use loftwright::rules::{Verdict, Voice};
use loftwright::scene::{
    Drawn, Emphasis, Marks, Origin, Scene, Shape, Stroke, Theme, View, Which, bounds, draw, draw_dimensions,
};
use loftwright::sheet::{Paper, Sheet, SheetScale, png, svg};
use loftwright::units::{Length, Size};

use crate::example::example;

fn edited<T: Clone>(layout: &Layout, part: &T, wrap: fn(T) -> Part, change: impl FnOnce(&mut T)) -> Layout {
    let mut part = part.clone();
    change(&mut part);
    apply(layout, &Edit::Put(Box::new(wrap(part)))).expect("the edit fits")
}

fn cistern(layout: &Layout, change: impl FnOnce(&mut Cistern)) -> Layout {
    edited(layout, &layout.cisterns[0], Part::Cistern, change)
}

fn run(layout: &Layout, id: &str, change: impl FnOnce(&mut Run)) -> Layout {
    let run = layout.runs.iter().find(|run| run.id.as_str() == id).expect("the run is there");
    edited(layout, run, Part::Run, change)
}

/// The example with faults of every kind of mark: dimension lines, rings and stretches of pipe.
fn broken() -> Layout {
    let layout = cistern(&example("sound_indirect"), |cistern| {
        cistern.lid = Some(Lid::Loose);
        cistern.water_line = Some(Length::mm(440.0));
        cistern.dip_tube = Some(DipTube::Missing);
    });
    let layout = run(&layout, "open-vent", |vent| {
        vent.via = vec![Point::mm(3650.0, 5950.0), Point::mm(2300.0, 5965.0)];
        vent.to = End::Open(Point::mm(2300.0, 5800.0));
    });
    let layout = run(&layout, "cold-feed", |feed| feed.fittings = Some(Vec::new()));
    let layout = run(&layout, "warning-pipe", |pipe| pipe.screen = Some(Screen::Missing));
    let layout = run(&layout, "cold-distribution", |pipe| {
        pipe.fittings = Some(vec![InLine { kind: InLineKind::GateValve, at: Length::mm(2500.0) }]);
    });
    let platform = layout.platforms[0].clone();
    edited(&layout, &platform, Part::Platform, |platform| {
        platform.length = Size::mm(1000.0);
        platform.board =
            Some(Board { material: BoardMaterial::Chipboard, thickness: Some(Size::mm(12.0)), class: None });
    })
}

fn scene_of(layout: &Layout, marks: &Marks) -> (Scene, Findings) {
    let site = Site::of(layout);
    let findings = Findings::of(&site);
    let scene = draw(&site, &findings, marks);
    (scene, findings)
}

fn sheet_of(layout: &Layout) -> Sheet {
    Sheet {
        theme: Theme::light().clone(),
        scale: SheetScale::Fit,
        paper: Paper::A4,
        heading: layout.heading.clone(),
        voice: Voice::Trade,
        counts: String::new(),
        judged_by: Vec::new(),
    }
}

const AT_ONE_TO_FIFTY: View = View { scale: 50.0, within: None };

fn mark_items(scene: &Scene) -> HashSet<Origin> {
    let marks = scene.items.iter().filter(|item| matches!(item.shape, Shape::Mark(_)));
    marks.map(|item| item.origin.clone()).collect()
}

#[test]
fn every_part_of_the_example_is_drawn() {
    let layout = example("sound_indirect");
    let (scene, _) = scene_of(&layout, &Marks::none());
    let strokes = scene.inked(&AT_ONE_TO_FIFTY);
    for part in layout.parts() {
        let origin = Origin::Part(part.id().clone());
        assert!(scene.items.iter().any(|item| item.origin == origin), "{}", part.id());
        assert!(strokes.iter().any(|stroke| stroke.origin == origin), "{}", part.id());
    }
    assert!(mark_items(&scene).is_empty());
}

#[test]
fn every_breach_has_its_mark_and_its_note() {
    let layout = broken();
    let (scene, findings) = scene_of(&layout, &Marks::default());
    let breaches: Vec<_> = findings.keyed().filter(|(_, finding)| finding.judged.verdict == Verdict::Breach).collect();
    assert!(breaches.len() >= 10, "only {} breaches", breaches.len());
    let strokes = scene.inked(&AT_ONE_TO_FIFTY);
    for (key, finding) in breaches {
        let origin = Origin::Mark(key.clone());
        assert!(mark_items(&scene).contains(&origin), "{}", finding.rule.id);
        let words: Vec<&str> = strokes.iter().filter(|stroke| stroke.origin == origin).filter_map(words_of).collect();
        let note = words.join(" ");
        assert!(note.contains(finding.rule.prose.title(Voice::Trade)), "{}: {note}", finding.rule.id);
        assert!(note.contains("breach: "), "{}: {note}", finding.rule.id);
    }
}

fn words_of(stroke: &Stroke) -> Option<&str> {
    match &stroke.drawn {
        Drawn::Words { words, .. } => Some(words),
        _ => None,
    }
}

#[test]
fn a_chosen_finding_is_drawn_heavier_even_when_it_is_met() {
    let layout = example("sound_indirect");
    let site = Site::of(&layout);
    let findings = Findings::of(&site);
    for (key, _) in findings.keyed() {
        let scene = draw(&site, &findings, &Marks { chosen: Some(key.clone()), ..Marks::none() });
        let marks: Vec<_> = scene.items.iter().filter(|item| matches!(item.shape, Shape::Mark(_))).collect();
        assert_eq!(marks.len(), 1, "{key:?}");
        assert_eq!(marks[0].origin, Origin::Mark(key.clone()));
        assert!(matches!(&marks[0].shape, Shape::Mark(mark) if mark.emphasis == Emphasis::Chosen));
    }
}

#[test]
fn bounds_hold_the_cistern() {
    let layout = example("sound_indirect");
    let (low, high) = bounds(&scene_of(&layout, &Marks::none()).0).expect("something is drawn");
    let cistern = &layout.cisterns[0];
    let size = DVec2::new(cistern.length.to_mm(), cistern.height.to_mm());
    assert!(low.cmple(cistern.at.vector()).all() && high.cmpge(cistern.at.vector() + size).all());
}

/// Boxes of words, grouped by label or note: lines of one stand close under each other on purpose.
fn assert_no_words_overlap(strokes: &[Stroke], scale: f64) {
    let boxes: Vec<_> =
        strokes.iter().filter_map(|stroke| Some((words_of(stroke)?, stroke.drawn.words_box(scale)?))).collect();
    assert!(boxes.len() > 10);
    for (number, (words, (low, high))) in boxes.iter().enumerate() {
        for (other, (other_low, other_high)) in &boxes[number + 1..] {
            let shared = high.min(*other_high) - low.max(*other_low);
            assert!(shared.min_element() < 1e-6, "'{words}' covers '{other}' at 1:{scale}");
        }
    }
}

#[test]
fn no_label_covers_another() {
    for layout in [example("sound_indirect"), broken()] {
        for marks in [Marks::none(), Marks::default()] {
            let (scene, _) = scene_of(&layout, &marks);
            for scale in [10.0, 20.0, 30.0, 50.0, 80.0] {
                assert_no_words_overlap(&scene.inked(&View { scale, within: None }), scale);
            }
        }
    }
}

#[test]
fn labels_stay_in_view() {
    let (scene, _) = scene_of(&broken(), &Marks::default());
    let (low, high) = (DVec2::new(-800.0, -300.0), DVec2::new(7800.0, 8800.0));
    for stroke in scene.inked(&View { scale: 50.0, within: Some((low, high)) }) {
        if let Some((from, to)) = stroke.drawn.words_box(50.0) {
            assert!(from.cmpge(low).all() && to.cmple(high).all(), "{:?}", words_of(&stroke));
        }
    }
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let layout = broken();
    let draw_it = || svg(&scene_of(&layout, &Marks::default()).0, &sheet_of(&layout));
    assert_eq!(draw_it(), draw_it());
}

#[test]
fn an_empty_layout_is_an_empty_sheet() {
    let layout = Layout::default();
    let (scene, _) = scene_of(&layout, &Marks::default());
    assert!(scene.items.is_empty());
    assert_eq!(bounds(&scene), None);
    let text = svg(&scene, &sheet_of(&layout));
    assert!(text.contains("not a certificate"));
    assert!(!png(&text, 2.0).expect("a picture").is_empty());
}

#[test]
fn numbers_in_a_sheet_have_three_decimals_at_most() {
    let layout = broken();
    let text = svg(&scene_of(&layout, &Marks::default()).0, &sheet_of(&layout));
    for (at, _) in text.match_indices('.') {
        let digits = text[at + 1..].chars().take_while(char::is_ascii_digit).count();
        assert!(digits <= 3, "{}", &text[at.saturating_sub(8)..at + digits + 1]);
    }
    assert!(!text.contains("NaN") && !text.contains("inf"));
}

#[test]
fn a_sheet_makes_a_picture_of_its_own_size() {
    let layout = example("sound_indirect");
    let picture = png(&svg(&scene_of(&layout, &Marks::none()).0, &sheet_of(&layout)), 2.0).expect("a picture");
    // PNG: width and height stand big-endian after the IHDR tag.
    let number = |at: usize| u32::from_be_bytes(picture[at..at + 4].try_into().expect("four bytes"));
    assert_eq!((number(16), number(20)), (420, 594));
    assert!(png("<svg", 2.0).is_err());
    assert!(png("<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'/>", f64::NAN).is_err());
}

#[test]
fn odd_layouts_are_drawn_without_harm() {
    let wild = |x: f64, z: f64, size: f64| {
        let mut layout = cistern(&example("sound_indirect"), |cistern| {
            cistern.at = Point::mm(x, z);
            cistern.length = Size::mm(size);
            cistern.height = Size::mm(size);
            cistern.draft = Length::mm(size * 3.0);
            cistern.water_line = Some(Length::mm(size * 2.0));
        });
        layout.cylinders[0].diameter = Size::mm(size);
        layout.cylinders[0].height = Size::mm(size / 7.0);
        if let Some(joists) = &mut layout.building.joists {
            joists.count = u32::MAX;
        }
        layout.survey = Survey::Surveyed(TapeClass::III);
        layout
    };
    for layout in [wild(0.0, 0.0, 0.01), wild(-900_000.0, 900_000.0, 99_000.0), wild(1500.0, 5278.0, 1_000_000.0)] {
        let (scene, _) = scene_of(&layout, &Marks::default());
        for scale in [1e-9, 0.5, 50.0, 1e12, f64::NAN] {
            for stroke in scene.inked(&View { scale, within: None }) {
                assert!(stroke.drawn.points().iter().all(|point| point.is_finite()), "{stroke:?}");
            }
        }
        let text = svg(&scene, &sheet_of(&layout));
        assert!(!text.contains("NaN") && !text.contains("inf"));
    }
}

#[test]
fn a_run_without_a_place_is_left_out() {
    let mut layout = example("sound_indirect");
    layout.runs[0].from = End::Port(Id::of("nowhere"), Id::of("inlet"));
    let (scene, _) = scene_of(&layout, &Marks::default());
    let origin = Origin::Part(layout.runs[0].id.clone());
    assert!(scene.items.iter().all(|item| item.origin != origin));
}

#[test]
fn thousands_of_parts_are_drawn() {
    let mut layout = example("sound_indirect");
    for number in 0..2000 {
        let (row, column) = (number / 50, number % 50);
        let at = Point::mm(f64::from(column) * 600.0, f64::from(row) * 1500.0);
        let id = Id::of(&format!("basin-{number}"));
        let run = Run {
            via: vec![at.moved(DVec2::new(40.0, -900.0))],
            ..Run::new(
                Id::of(&format!("pipe-{number}")),
                Service::ColdDistribution,
                End::Onward(at.moved(DVec2::new(300.0, -900.0))),
                End::Port(id.clone(), Id::of("cold")),
            )
        };
        layout.outlets.push(Outlet::new(id, OutletKind::Basin, at));
        layout.runs.push(run);
    }
    let (scene, _) = scene_of(&layout, &Marks::default());
    for scale in [20.0, 500.0] {
        let strokes = scene.inked(&View { scale, within: None });
        let drawn: HashSet<&Origin> = strokes.iter().map(|stroke| &stroke.origin).collect();
        assert!(drawn.len() > 4000);
        let labels = strokes.iter().filter_map(words_of).count();
        assert!((50..1500).contains(&labels), "{labels} lines of words at 1:{scale}");
    }
}

/// The example's sheet as it was last looked at and found good. `UPDATE_GOLDEN=1` takes the new one.
#[test]
fn the_example_is_drawn_as_before() {
    let layout = example("sound_indirect");
    let text = svg(&scene_of(&layout, &Marks::default()).0, &sheet_of(&layout));
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden/sound_indirect.svg");
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        std::fs::write(path, &text).expect("the golden sheet can be written");
    }
    let golden = std::fs::read_to_string(path).expect("tests/golden/sound_indirect.svg is there");
    let differs = text.lines().zip(golden.lines()).position(|(new, old)| new != old);
    let same = text == golden;
    assert!(same, "the sheet differs from line {differs:?}; look at it, then run with UPDATE_GOLDEN=1");
}

#[test]
fn where_breaches_crowd_the_heaviest_are_written_out_and_the_rest_are_numbered() {
    let layout = example("low_loft");
    let site = Site::of(&layout);
    let findings = Findings::of(&site);
    let marked: Vec<_> = loftwright::scene::marked(&findings).map(|(key, _)| key).collect();
    assert!(marked.len() > 20, "{} are marked", marked.len());
    let marks = Marks { which: Which::HeaviestWrittenOut, ..Marks::default() };
    let scene = draw(&site, &findings, &marks);
    let emphasis = |key: &loftwright::finding::FindingKey| {
        scene.items.iter().find_map(|item| match (&item.origin, &item.shape) {
            (Origin::Mark(other), Shape::Mark(mark)) if other == key => Some(mark.emphasis),
            _ => None,
        })
    };
    for (place, key) in marked.iter().enumerate() {
        let expected = if place < 6 { Emphasis::Plain } else { Emphasis::Small(place + 1) };
        assert_eq!(emphasis(key), Some(expected), "the mark of {}", key.rule);
    }
    // Every number is on the paper, once, and can be told to belong to its finding.
    let strokes = scene.inked(&View { scale: 50.0, within: None });
    for (place, key) in marked.iter().enumerate().skip(6) {
        let number = (place + 1).to_string();
        let is_number = |stroke: &&Stroke| {
            stroke.origin == Origin::Mark((*key).clone())
                && matches!(&stroke.drawn, Drawn::Words { words, .. } if *words == number)
        };
        assert_eq!(strokes.iter().filter(is_number).count(), 1, "number {number} on the drawing");
    }
}

#[test]
fn the_level_of_a_warning_pipes_outer_end_is_that_of_the_open_one_whichever_way_it_is_drawn() {
    let port = || End::Port(Id::of("cistern"), Id::of("warning"));
    let out = || End::Open(Point::mm(-500.0, 2300.0));
    for (from, to) in [(port(), out()), (out(), port())] {
        let text = include_str!("../cases/warning-pipe-missing/breach.loft.ron");
        let mut layout = loftwright::file::parse(text, "case").expect("a layout");
        layout.runs.push(Run::new(Id::of("pipe"), Service::WarningPipe, from, to));
        let site = Site::of(&layout);
        let mut scene = draw(&site, &Findings::default(), &Marks::none());
        draw_dimensions(&mut scene, &site);
        assert!(scene.levels.contains(&("pipe, outer end".to_owned(), 2300.0)), "{:?}", scene.levels);
    }
}

#[test]
fn one_wall_alone_hides_no_floor() {
    let mut layout = example("sound_indirect");
    layout.building.walls.truncate(1);
    layout.building.roof = None;
    // The floors reach from the wall to beyond the parts, and not over the thickness of the wall.
    let widest = |layout: &Layout| {
        let site = Site::of(layout);
        let scene = draw(&site, &Findings::of(&site), &Marks::none());
        let of_building = scene.items.iter().filter(|item| item.origin == Origin::Building);
        let widths = of_building.filter_map(|item| item.shape.bounds()).map(|(low, high)| high.x - low.x);
        widths.fold(0.0, f64::max)
    };
    assert!(widest(&layout) > 3000.0, "{}", widest(&layout));
}
