//! Several parts at once: copied, mirrored, aligned, held and moved far; what comes back and what stays square.

use crate::generated::layouts;
use glam::{DVec2, dvec2};
use loftwright::file;
use loftwright::geom::Point;
use loftwright::layout::*;
use loftwright::mend::{Step, Wish, propose};
use loftwright::rules::Profile;
use loftwright::session::Session;
use loftwright::units::{Length, Size};
use proptest::prelude::*;

const EXAMPLES: [&str; 6] = [
    include_str!("../../examples/sound_indirect.loft.ron"),
    include_str!("../../examples/sound_direct.loft.ron"),
    include_str!("../../examples/low_loft.loft.ron"),
    include_str!("../../examples/level_connections.loft.ron"),
    include_str!("../../examples/feed_and_expansion.loft.ron"),
    include_str!("../../examples/half_described.loft.ron"),
];

fn example(number: usize) -> Layout {
    file::parse(EXAMPLES[number], "example").expect("reads")
}

fn id(word: &str) -> Id {
    Id::of(word)
}

fn all(layout: &Layout) -> Vec<Id> {
    layout.parts().map(|part| part.id().clone()).collect()
}

fn made(layout: &Layout, edits: &[Edit]) -> Layout {
    edits.iter().fold(layout.clone(), |layout, edit| apply(&layout, edit).expect("fits"))
}

/// The vertices of every run.
fn lines(layout: &Layout) -> Vec<Vec<DVec2>> {
    let traces = Traces::of(layout);
    let vertices = |number| traces.line(number).map(|line| line.vertices().to_vec()).unwrap_or_default();
    (0..layout.runs.len()).map(vertices).collect()
}

fn closely(a: &[Vec<DVec2>], b: &[Vec<DVec2>]) -> bool {
    let pairs =
        |a: &Vec<DVec2>, b: &Vec<DVec2>| a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.distance(*b) < 1e-6);
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| pairs(a, b))
}

/// Ids of parts of a layout, picked by the bits of a number.
fn some(layout: &Layout, bits: u32) -> Vec<Id> {
    all(layout).into_iter().enumerate().filter(|(n, _)| bits >> (n % 32) & 1 == 1).map(|(_, id)| id).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_copy_that_is_removed_leaves_nothing_changed(layout in layouts(), bits in any::<u32>(), by in -3000.0..3000.0) {
        let ids = some(&layout, bits);
        let copy = layout.copied(&ids);
        prop_assert!(copy.broken_references().is_empty());
        let pasted = layout.pasted(&copy, dvec2(by, -by));
        let with = apply(&layout, &pasted.edit).expect("a copy always fits");
        prop_assert_eq!(pasted.ids.len(), ids.len());
        prop_assert_eq!(with.parts().count(), layout.parts().count() + ids.len());
        let without = made(&with, &with.removed_together(&pasted.ids));
        prop_assert_eq!(without, layout);
    }

    #[test]
    fn a_mirrored_layout_can_be_drawn_and_read_back(layout in layouts(), bits in any::<u32>()) {
        let ids = some(&layout, bits);
        if let Some(edit) = layout.mirrored(&ids) {
            let turned = apply(&layout, &edit).expect("mirrors");
            let read = file::parse(&file::write_text(&turned), "mirrored").expect("reads");
            prop_assert_eq!(read, turned);
        }
    }
}

#[test]
fn what_is_mirrored_twice_is_the_same_again() {
    for number in 0..EXAMPLES.len() {
        let layout = example(number);
        let ids = all(&layout);
        let twice = (0..2).fold(layout.clone(), |layout, _| {
            let edit = layout.mirrored(&ids).expect("has a place");
            apply(&layout, &edit).expect("mirrors")
        });
        assert!(closely(&lines(&twice), &lines(&layout)), "pipes of example {number}");
        let place = |layout: &Layout| ids.iter().filter_map(|id| layout.extent(id)).collect::<Vec<_>>();
        for ((low, high), (was_low, was_high)) in place(&twice).into_iter().zip(place(&layout)) {
            assert!(low.distance(was_low) < 1e-6 && high.distance(was_high) < 1e-6, "example {number}");
        }
        assert_eq!(
            twice.cisterns.iter().map(|part| &part.connections).collect::<Vec<_>>().len(),
            layout.cisterns.len()
        );
    }
}

#[test]
fn a_mirrored_house_full_of_parts_stays_joined_and_square() {
    let layout = example(0);
    let turned = apply(&layout, &layout.mirrored(&all(&layout)).expect("has a place")).expect("mirrors");
    let joints = |layout: &Layout| {
        let ends = layout.runs.iter().flat_map(|run| [run.from.clone(), run.to.clone()]);
        ends.filter(|end| matches!(end, End::Port(..) | End::Tee(..))).count()
    };
    assert_eq!(joints(&turned), joints(&layout));
    assert_eq!(aslant(&turned), aslant(&layout));
    let (was, now) = (&layout.cisterns[0].connections[0].on, &turned.cisterns[0].connections[0].on);
    match (was, now) {
        (Tapping::Left(up), Tapping::Right(other)) | (Tapping::Right(up), Tapping::Left(other)) => {
            assert_eq!(up, other)
        }
        (Tapping::Base(_), Tapping::Base(_)) | (Tapping::Top(_), Tapping::Top(_)) => {}
        other => panic!("{other:?}"),
    }
}

/// Runs with a stretch that is neither near-level nor near-upright.
fn aslant(layout: &Layout) -> usize {
    leaning(layout).len()
}

/// Those runs by name, with their vertices.
fn leaning(layout: &Layout) -> Vec<(String, Vec<DVec2>)> {
    let all = layout.runs.iter().map(|run| run.id.to_string()).zip(lines(layout));
    all.filter(|(_, line)| line.windows(2).any(|pair| leans(pair[1] - pair[0]))).collect()
}

fn leans(stretch: DVec2) -> bool {
    let size = stretch.abs();
    size.max_element() > 1.0 && size.y > 0.2 * size.x && size.x > 0.2 * size.y
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn however_far_a_part_is_dragged_no_pipe_is_left_aslant(
        number in 0..EXAMPLES.len(), which in any::<prop::sample::Index>(), right in -4000.0..4000.0, up in -3000.0..3000.0,
    ) {
        let layout = example(number);
        let vessels: Vec<Id> = layout.parts().filter(|part| !matches!(part, PartRef::Run(_))).map(|part| part.id().clone()).collect();
        let moved = apply(&layout, &layout.moved_together(&[which.get(&vessels).clone()], dvec2(right, up))).expect("moves");
        prop_assert!(aslant(&moved) <= aslant(&layout), "{:#?}", leaning(&moved));
    }
}

#[test]
fn pipes_between_copied_parts_keep_their_joints_and_others_end_in_the_open() {
    let layout = example(0);
    let feed = layout.runs.iter().find(|run| run.service == Service::ColdFeed).expect("a cold feed");
    let (End::Port(cistern, _), End::Port(cylinder, _)) = (&feed.from, &feed.to) else { panic!("{feed:?}") };
    let both = layout.copied(&[cistern.clone(), cylinder.clone(), feed.id.clone()]);
    let pasted = layout.pasted(&both, dvec2(5000.0, 0.0));
    let with = apply(&layout, &pasted.edit).expect("fits");
    let copy = with.runs.iter().find(|run| pasted.ids.contains(&run.id)).expect("copied");
    assert_eq!(copy.id.as_str(), "cold-feed-2");
    assert!(matches!(&copy.from, End::Port(part, _) if part.as_str() == "cistern-2"), "{:?}", copy.from);
    let alone = layout.copied(std::slice::from_ref(&feed.id));
    assert!(matches!(alone.runs[0].from, End::Open(_)) && matches!(alone.runs[0].to, End::Open(_)));
    assert!(closely(
        &lines(&alone),
        &[lines(&layout)[layout.runs.iter().position(|run| run.id == feed.id).expect("there")].clone()]
    ));
}

#[test]
fn parts_are_aligned_with_the_first_of_them() {
    let mut layout = Layout::default();
    for (number, (x, z)) in [(0.0, 900.0), (1000.0, 1050.0), (2300.0, 700.0)].into_iter().enumerate() {
        layout.outlets.push(Outlet::new(id(&format!("basin-{number}")), OutletKind::Basin, Point::mm(x, z)));
    }
    let ids = all(&layout);
    let level = made(&layout, &layout.aligned(&ids, Align::Bases));
    assert!(level.outlets.iter().all(|basin| basin.at.z == layout.outlets[0].at.z));
    let upright = made(&layout, &layout.aligned(&ids, Align::Middles));
    assert!(upright.outlets.iter().all(|basin| basin.at.x == layout.outlets[0].at.x));
    assert!(level.aligned(&ids, Align::Tops).is_empty());
}

fn hold(part: &str, holds: Held) -> Edit {
    Edit::Hold(Lock { part: id(part), holds })
}

#[test]
fn a_held_dimension_stays_and_says_so() {
    let mut session = Session::new(example(0));
    session.edit("Hold", &hold("cistern", Held::Level)).expect("can be held");
    let up = session.layout().moved_together(&[id("cistern")], dvec2(0.0, 50.0));
    let refused = session.edit("Move", &up).expect_err("it is held").to_string();
    assert!(refused.contains("the level of cistern is held"), "{refused}");
    assert_eq!(session.layout().freedom(&[id("cistern")]), dvec2(1.0, 0.0));
    // The platform carries it, and so cannot go up either.
    let platform = session.layout().platforms[0].id.clone();
    assert_eq!(session.layout().freedom(&[platform]), dvec2(1.0, 0.0));
    let aside = session.layout().moved_together(&[id("cistern")], dvec2(50.0, 0.0));
    session.edit("Move", &aside).expect("across is free");
    session.edit("Let go", &Edit::LetGo(Lock { part: id("cistern"), holds: Held::Level })).expect("lets go");
    session.edit("Move", &up).expect("it is free again");
}

#[test]
fn locks_go_with_their_part_and_take_its_new_name() {
    let layout = made(&example(0), &[hold("cistern", Held::Length)]);
    let renamed = made(&layout, &[Edit::Rename { from: id("cistern"), to: id("tank") }]);
    assert!(renamed.is_held(&id("tank"), &Held::Length));
    assert!(made(&renamed, &[Edit::Remove(id("tank"))]).locks.is_empty());
    let idle = apply(&example(0), &hold("cistern", Held::Fall)).expect_err("a cistern has no fall");
    assert!(idle.to_string().contains("no such dimension"), "{idle}");
}

#[test]
fn a_held_distance_lets_both_parts_move_and_neither_alone() {
    let layout = made(&example(0), &[hold("cistern", Held::UpFrom(id("cylinder")))]);
    let (cistern, cylinder) = (id("cistern"), id("cylinder"));
    for alone in [&cistern, &cylinder] {
        assert_eq!(layout.freedom(std::slice::from_ref(alone)), dvec2(1.0, 0.0), "{alone}");
        let up = layout.moved_together(std::slice::from_ref(alone), dvec2(0.0, 50.0));
        let refused = apply(&layout, &up).expect_err("the distance is held").to_string();
        assert!(refused.contains("the distance up from cylinder of cistern is held"), "{refused}");
        made(&layout, &[layout.moved_together(std::slice::from_ref(alone), dvec2(50.0, 0.0))]);
    }
    let both = [cistern.clone(), cylinder.clone()];
    assert_eq!(layout.freedom(&both), dvec2(1.0, 1.0));
    let moved = made(&layout, &[layout.moved_together(&both, dvec2(0.0, 50.0))]);
    let lock = &layout.locks[0];
    assert!((layout.dimension(lock).expect("mm") - moved.dimension(lock).expect("mm")).abs() < 1e-9);
    // What carries one of them moves it as well.
    let platform = layout.platforms[0].id.clone();
    assert_eq!(layout.freedom(&[platform]), dvec2(1.0, 0.0));
    // Held from the other side it is the same, and is there once.
    let turned = made(&layout, &[hold("cylinder", Held::UpFrom(cistern.clone()))]);
    assert_eq!(turned.locks.len(), 1);
    let free = made(&turned, &[Edit::LetGo(turned.locks[0].clone())]);
    made(&free, &[free.moved_together(&[cistern], dvec2(0.0, 50.0))]);
}

#[test]
fn a_held_distance_goes_with_either_part_and_takes_their_new_names() {
    let layout = made(&example(0), &[hold("cistern", Held::AcrossFrom(id("cylinder")))]);
    let renamed = made(&layout, &[Edit::Rename { from: id("cylinder"), to: id("store") }]);
    assert!(renamed.is_held(&id("cistern"), &Held::AcrossFrom(id("store"))));
    for part in ["cistern", "cylinder"] {
        assert!(made(&layout, &[Edit::Remove(id(part))]).locks.is_empty(), "{part}");
    }
    for (part, other) in [("cistern", "cistern"), ("cistern", "nobody"), ("cold-feed", "cistern")] {
        let idle = apply(&example(0), &hold(part, Held::AcrossFrom(id(other)))).expect_err("there is no such distance");
        assert!(idle.to_string().contains("no such dimension"), "{part} from {other}: {idle}");
    }
}

#[test]
fn mending_leaves_held_dimensions_alone() {
    let free = example(2);
    let profile = Profile::usual();
    let shifts = |layout: &Layout| {
        let report = propose(layout, profile, &Wish::default());
        let steps = report.proposals.into_iter().flat_map(|proposal| proposal.steps);
        let edits: Vec<String> =
            steps.filter(|step| matches!(step, Step::Shift(_))).map(|step| step.words(layout)).collect();
        (edits, report.layout)
    };
    let cistern = free.cisterns[0].id.clone();
    let held = made(
        &free,
        &free
            .holdable(&cistern)
            .into_iter()
            .map(|holds| Edit::Hold(Lock { part: cistern.clone(), holds }))
            .collect::<Vec<_>>(),
    );
    let ((freely, _), (carefully, after)) = (shifts(&free), shifts(&held));
    assert!(freely.iter().any(|words| words.contains("cistern")), "{freely:?}");
    assert_ne!(freely, carefully);
    let (was, now) = (&held.cisterns[0], &after.cisterns[0]);
    assert_eq!((was.at, was.length, was.height, was.water_line), (now.at, now.length, now.height, now.water_line));
    for hole in &was.connections {
        assert!(now.connections.contains(hole), "{hole:?}");
    }
}

fn falling() -> Layout {
    let mut run = Run::new(
        id("warning"),
        Service::WarningPipe,
        End::Open(Point::mm(0.0, 3000.0)),
        End::Open(Point::mm(2000.0, 1000.0)),
    );
    run.via = vec![Point::mm(2000.0, 2950.0)];
    made(&Layout { runs: vec![run], ..Layout::default() }, &[hold("warning", Held::Fall)])
}

#[test]
fn a_held_fall_is_kept_when_a_bend_is_moved() {
    let layout = falling();
    let mut run = layout.runs[0].clone();
    run.via[0] = Point::mm(2400.0, 2950.0);
    run.to = End::Open(Point::mm(2400.0, 1000.0));
    let moved = made(&layout, &[Edit::Put(Box::new(Part::Run(run)))]);
    let fall = gradient_of(&lines(&moved)[0]).expect("a level stretch");
    assert!((fall + 0.025).abs() < 1e-9, "{fall}");
    assert_eq!(moved.runs[0].via[0], Point::mm(2400.0, 2950.0));
}

#[test]
fn a_held_fall_is_kept_when_the_cistern_is_moved_aside() {
    let mut layout = example(0);
    let run = layout.runs.iter().position(|run| run.service == Service::WarningPipe).expect("a warning pipe");
    let name = layout.runs[run].id.clone();
    let was = gradient_of(&lines(&layout)[run]).expect("near-level");
    layout = made(&layout, &[Edit::Hold(Lock { part: name, holds: Held::Fall })]);
    match apply(&layout, &layout.moved_together(&[id("cistern")], dvec2(-220.0, 0.0))) {
        Ok(moved) => assert!((gradient_of(&lines(&moved)[run]).expect("near-level") - was).abs() < 1e-6),
        Err(error) => assert!(error.to_string().contains("fall"), "{error}"),
    }
}

#[test]
fn notes_locks_and_title_come_back_from_a_file() {
    let mut layout = made(
        &example(0),
        &[
            hold("cistern", Held::Level),
            hold("cistern", Held::WaterLine),
            hold("cylinder", Held::AcrossFrom(id("cistern"))),
        ],
    );
    layout.heading.revision = "C".to_owned();
    layout.heading.scale_note = "do not scale".to_owned();
    let mut note = Note::new(id("note"), Point::mm(100.0, 200.0), "Mind the \"joist\"\nhere".to_owned());
    note.points_at = Some(Point::mm(300.0, 250.0));
    layout = made(&layout, &[Edit::Put(Box::new(Part::Note(note)))]);
    let text = file::write_text(&layout);
    assert_eq!(file::parse(&text, "text").expect("reads"), layout);
    assert_eq!(layout.format, FORMAT);
    let spoilt = text.replace("points_at", "points_to");
    assert!(file::parse(&spoilt, "text").is_err_and(|error| error.to_string().contains("points_to")));
    let nobody = text.replace("AcrossFrom(\"cistern\")", "AcrossFrom(\"nobody\")");
    assert_ne!(nobody, text);
    assert!(file::parse(&nobody, "text").is_err_and(|error| error.to_string().contains("distance across from nobody")));
    let lost = text.replace("part: \"cistern\", holds: Level", "part: \"cistern\", holds: Fall");
    if lost != text {
        assert!(file::parse(&lost, "text").is_err_and(|error| error.to_string().contains("no such dimension")));
    }
}

#[test]
fn a_platform_that_is_widened_keeps_its_bearers_where_they_lie() {
    let layout = example(0);
    let platform = PartRef::Platform(&layout.platforms[0]);
    let Part::Platform(wider) = platform.with_side_moved(Side::Left, -120.0) else { panic!("a platform") };
    let was = &layout.platforms[0];
    assert_eq!(wider.length, Size::mm(was.length.to_mm() + 120.0));
    if let (Some(bearers), Some(old)) = (&wider.bearers, &was.bearers)
        && bearers.lie == Lie::EndOn
    {
        assert_eq!(bearers.first + wider.at.x, old.first + was.at.x);
    }
    assert_eq!(wider.at.x, was.at.x + Length::mm(-120.0));
}
