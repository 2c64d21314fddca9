//! The same pipes drawn otherwise: from their other ends, or in many runs. What runs through them is the same, and what
//! they are made of.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use crate::cut_up::cut_up;
use crate::drawn_from::whole;
use crate::example::example;
use crate::turned_round::{turned_round, turned_where};
use loftwright::file;
use loftwright::finding::Findings;
use loftwright::layout::Layout;
use loftwright::measure::Site;
use loftwright::measure::pipe_joints::{JointKind, PipeJoint};
use loftwright::rules::{Profile, Verdict};
use loftwright::takeoff::{Item, Takeoff, Terms};
use loftwright::water::circuit::{Circuit, Conditions, Losses, Open, Outcome};
use loftwright::water::trial::{Played, valve_stuck};

/// A bath and a basin on one distribution of 15 mm, which turns a corner between them.
const DISTRIBUTION: &str = r#"(format: 1,
    cisterns: [(id: "cistern", role: Storage, at: (0, 5000), length: 900, width: 600, height: 600, water_line: 400,
        connections: [(port: "d", on: Right(75))])],
    outlets: [(id: "bath", kind: Bath, at: (3960, 3000)), (id: "basin", kind: Basin, at: (2460, 4000))],
    runs: [RUNS])"#;

fn drawn(runs: &str) -> Layout {
    let run = r#"service: ColdDistribution, material: Copper, size: 15, fittings: [], insulation: [],"#;
    let text = DISTRIBUTION.replace("RUNS", runs).replace("COLD,", run);
    whole(&text)
}

const IN_ONE_RUN: &str = r#"(id: "a", COLD, from: Port("cistern", "d"), via: [(4000, 5075)], to: Port("bath", "cold")),
    (id: "c", COLD, from: Tee("a", 1600), to: Port("basin", "cold"))"#;

/// What each tap gives alone and what all give together, L/s, for each table of losses; nothing where that is not told.
fn flows(layout: &Layout) -> Vec<Option<f64>> {
    let site = Site::of(layout);
    let circuit = Circuit::of(&site);
    let alone = (0..circuit.taps().len()).map(|tap| Open::Numbered(vec![tap]));
    let opened: Vec<Open> = alone.chain([Open::Everything]).collect();
    let mut flows = Vec::new();
    for losses in [Losses::Least, Losses::Usual, Losses::Greatest] {
        for open in &opened {
            let conditions = Conditions { losses, ..Conditions::with(open.clone()) };
            for tap in circuit.flows(&conditions).taps {
                flows.push(match tap.outcome {
                    Outcome::Reckoned { flow_l_s, .. } => Some(flow_l_s),
                    _ => None,
                });
            }
        }
    }
    flows
}

/// Bends, tees and couplings, each with its size.
fn joints_taken(layout: &Layout) -> BTreeMap<(String, String), f64> {
    let takeoff = Takeoff::of(&Site::of(layout), Terms::default());
    let lines = takeoff.lines.into_iter().filter(|line| matches!(line.item, Item::Bend | Item::Tee | Item::Coupling));
    let mut taken = BTreeMap::new();
    for line in lines {
        *taken.entry((line.what, line.size)).or_default() += line.quantity.expect("counted");
    }
    taken
}

/// Clips by the size of their tube; `None` where nobody has told enough to count them.
fn clips_taken(layout: &Layout) -> BTreeMap<String, Option<f64>> {
    let takeoff = Takeoff::of(&Site::of(layout), Terms::default());
    takeoff.of_item(Item::Clip).map(|line| (line.size.clone(), line.quantity)).collect()
}

fn is_alike(name: &str, first: &Layout, second: &Layout) {
    assert_eq!(joints_taken(first), joints_taken(second), "{name}");
    assert_eq!(clips_taken(first), clips_taken(second), "{name}");
    let (first, second) = (flows(first), flows(second));
    assert_eq!(first.len(), second.len(), "{name}");
    for (number, flows) in first.iter().zip(&second).enumerate() {
        match flows {
            (Some(first), Some(second)) => {
                assert!((first - second).abs() < 1e-6, "{name}, {number}: {first}, {second}")
            }
            flows => assert_eq!(flows.0, flows.1, "{name}, {number}"),
        }
    }
}

/// A layout with each run drawn from its other end, in turn and all at once; cut at each tee and bend, the pieces going on
/// one way and the other.
fn is_alike_however_it_is_drawn(name: &str, layout: &Layout) {
    for (number, run) in layout.runs.iter().enumerate() {
        let turned = turned_where(layout, |other| other == number);
        is_alike(&format!("{name}, {} turned round", run.id), layout, &turned);
    }
    let turned = turned_round(layout);
    is_alike(&format!("{name}, turned round"), layout, &turned);
    is_alike(&format!("{name}, cut"), layout, &cut_up(layout));
    is_alike(&format!("{name}, cut backward"), layout, &turned_round(&cut_up(&turned)));
}

#[test]
fn examples_are_alike_however_they_are_drawn() {
    for name in ["sound_indirect", "sound_direct", "feed_and_expansion", "low_loft", "level_connections"] {
        is_alike_however_it_is_drawn(name, &example(name));
    }
}

/// The heaviest verdict on air in pipes.
fn on_air(layout: &Layout) -> Option<Verdict> {
    let mut rules = Profile::usual().rules();
    rules.retain(|in_force| in_force.rule.id == "pipe-holds-air");
    let findings = Findings::by(&Site::of(layout), &rules, Profile::usual().guard_factor);
    findings.iter().map(|finding| finding.judged.verdict).min()
}

#[test]
fn air_stays_in_a_pipe_whatever_the_runs() {
    let mut unlike = Vec::new();
    for folder in fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases")).expect("cases") {
        for path in fs::read_dir(folder.expect("a folder").path()).expect("cases of a rule") {
            let path = path.expect("a case").path();
            let layout = file::read(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
            let (whole, cut) = (on_air(&layout), on_air(&cut_up(&layout)));
            if whole != cut {
                unlike.push(format!("{}: {whole:?}, cut {cut:?}", path.display()));
            }
        }
    }
    assert!(unlike.is_empty(), "{}", unlike.join("\n"));
}

/// How high the water stands at last where a float valve sticks, mm above the datum.
fn stuck_mm(layout: &Layout) -> Vec<Option<f64>> {
    let site = Site::of(layout);
    let last_mm = |played: Played| played.moments.last().and_then(|moment| Some(moment.levels_mm.first()?.1));
    site.storage_cisterns().map(|cistern| valve_stuck(&site, cistern).ok().and_then(last_mm)).collect()
}

#[test]
fn an_overflow_carries_as_much_in_many_runs_as_in_one() {
    for name in ["sound_indirect", "low_loft", "feed_and_expansion"] {
        let layout = example(name);
        let (whole, cut) = (stuck_mm(&layout), stuck_mm(&cut_up(&layout)));
        assert!(whole[0].is_some(), "{name}");
        for (whole, cut) in whole.iter().zip(&cut) {
            let apart_mm = whole.zip(*cut).map(|(whole, cut)| (whole - cut).abs());
            assert!(apart_mm.is_some_and(|apart_mm| apart_mm < 1e-3), "{name}: {whole:?} mm, {cut:?} mm");
        }
    }
}

/// One run and a branch, three ends in one place, two runs that meet in the corner: one tee and one bend.
#[test]
fn pipes_drawn_in_several_runs_are_taken_off_as_one() {
    let in_one = drawn(IN_ONE_RUN);
    let taken = joints_taken(&in_one);
    let by_hand = [("bend, 90°", 1.0), ("tee", 1.0)].map(|(what, many)| ((what.to_owned(), "15 mm".to_owned()), many));
    assert_eq!(taken, BTreeMap::from(by_hand));
    let three_ends = r#"(id: "a", COLD, from: Port("cistern", "d"), to: Open((2500, 5075))),
        (id: "b", COLD, from: Tee("a", 1600), via: [(4000, 5075)], to: Port("bath", "cold")),
        (id: "c", COLD, from: Tee("a", 1600), to: Port("basin", "cold"))"#;
    let met_in_the_corner = r#"(id: "a", COLD, from: Port("cistern", "d"), to: Open((4000, 5075))),
        (id: "b", COLD, from: Tee("a", 3100), to: Port("bath", "cold")),
        (id: "c", COLD, from: Tee("a", 1600), to: Port("basin", "cold"))"#;
    for (name, runs) in [("one run", IN_ONE_RUN), ("three ends", three_ends), ("in the corner", met_in_the_corner)] {
        let layout = drawn(runs);
        is_alike(name, &in_one, &layout);
        is_alike_however_it_is_drawn(name, &layout);
    }
}

/// Copper of 15 mm hangs on clips 1.2 m apart: 2.5 m take three, where two pieces of 1.25 m by themselves would take four.
#[test]
fn clips_stand_along_a_pipe_whatever_the_runs() {
    let clips = |runs: &str| clips_taken(&drawn(runs))["15 mm"];
    let in_one = clips(r#"(id: "a", COLD, from: Port("cistern", "d"), to: Onward((3400, 5075)))"#);
    let in_two = clips(
        r#"(id: "a", COLD, from: Port("cistern", "d"), to: Open((2150, 5075))),
        (id: "b", COLD, from: Tee("a", 1250), to: Onward((3400, 5075)))"#,
    );
    assert_eq!((in_one, in_two), (Some(3.0), Some(3.0)));
    // Up to 300 mm hang on their ends; two such hang on none.
    let short = clips(
        r#"(id: "a", COLD, from: Port("cistern", "d"), to: Open((1150, 5075))),
        (id: "b", COLD, from: Tee("a", 250), to: Onward((1400, 5075)))"#,
    );
    assert_eq!(short, Some(1.0));
    // A branch in the middle breaks nothing, and one that turns off is a stretch of its own.
    let teed = clips(
        r#"(id: "a", COLD, from: Port("cistern", "d"), to: Open((2150, 5075))),
        (id: "b", COLD, from: Tee("a", 1250), to: Onward((3400, 5075))),
        (id: "c", COLD, from: Tee("a", 1250), to: Onward((2150, 4000)))"#,
    );
    assert_eq!(teed, Some(4.0));
}

/// In a corner the branch goes straight on, goes back the other way, or leaves with nothing in line.
#[test]
fn a_tee_in_a_corner_is_alike_however_it_is_drawn() {
    for (name, basin) in [("straight on", (4460, 5000)), ("up", (3960, 5200)), ("askew", (4360, 5600))] {
        let mut layout = drawn(
            r#"(id: "a", COLD, from: Port("cistern", "d"), via: [(4000, 5075)], to: Port("bath", "cold")),
            (id: "c", COLD, from: Tee("a", 3100), to: Port("basin", "cold"))"#,
        );
        let at = loftwright::geom::Point::mm(f64::from(basin.0), f64::from(basin.1));
        layout.outlets.iter_mut().filter(|outlet| outlet.id.as_str() == "basin").for_each(|outlet| outlet.at = at);
        is_alike_however_it_is_drawn(name, &layout);
        assert_eq!(joints_taken(&layout).len(), 1, "{name}: a tee, and no bend");
    }
}

/// A pipe that narrows at a bend takes the bend and what narrows it; a tee is told by its sizes in line and off.
#[test]
fn sizes_that_change_at_a_joint_are_named() {
    let mut layout = drawn(
        r#"(id: "a", COLD, from: Port("cistern", "d"), to: Open((2500, 5075))),
        (id: "b", COLD, from: Tee("a", 1600), to: Open((4000, 5075))),
        (id: "bend", COLD, from: Tee("b", 1500), to: Port("bath", "cold")),
        (id: "c", COLD, from: Tee("a", 1600), to: Port("basin", "cold"))"#,
    );
    layout.runs[0].size = Some(loftwright::units::Size::mm(28.0));
    layout.runs[1].size = Some(loftwright::units::Size::mm(22.0));
    let by_hand = [
        (("bend, 90°", "22 mm"), 1.0),
        (("joint end to end", "22 mm to 15 mm"), 1.0),
        (("tee", "28 mm and 22 mm to 15 mm"), 1.0),
    ];
    let by_hand = by_hand.map(|((what, size), many)| ((what.to_owned(), size.to_owned()), many));
    assert_eq!(joints_taken(&layout), BTreeMap::from(by_hand));
    is_alike("sizes", &layout, &turned_round(&layout));
}

/// What a joint is, in layouts in which one run ends where others begin.
#[test]
fn a_joint_is_what_the_directions_of_its_legs_make_it() {
    let joints = |others: &[(f64, f64)]| -> PipeJoint {
        let runs = others
            .iter()
            .enumerate()
            .map(|(number, (x, z))| format!(r#"(id: "r{number}", COLD, from: Tee("a", 1600), to: Open(({x}, {z})))"#));
        let first = r#"(id: "a", COLD, from: Port("cistern", "d"), to: Open((2500, 5075)))"#.to_owned();
        let runs: Vec<String> = std::iter::once(first).chain(runs).collect();
        let layout = drawn(&runs.join(",\n"));
        let joints = Site::of(&layout).pipe_joints();
        assert_eq!(joints.len(), 1);
        joints[0].clone()
    };
    let (onward, down, up) = ((3500.0, 5075.0), (2500.0, 4075.0), (2500.0, 6075.0));
    let turns = |other| match joints(&[other]).kind() {
        JointKind::EndToEnd { turns_degrees } => turns_degrees.round(),
        other => panic!("{other:?}"),
    };
    assert_eq!([onward, down, (3500.0, 4075.0)].map(turns), [0.0, 90.0, 45.0]);
    let in_line = |others: &[(f64, f64)]| match joints(others).kind() {
        JointKind::Tees { in_line } => in_line,
        other => panic!("{other:?}"),
    };
    assert_eq!(in_line(&[onward, down]), Some((0, 1)));
    assert_eq!(in_line(&[down, onward]), Some((0, 2)));
    assert_eq!(in_line(&[down, up]), Some((1, 2)));
    // A fork of two ways that turn alike, and of two that turn too far.
    assert_eq!(in_line(&[(3500.0, 5575.0), (3500.0, 4575.0)]), None);
    assert_eq!(in_line(&[(3500.0, 7075.0), (3500.0, 3075.0)]), None);
    let cross = joints(&[onward, down, up]);
    assert_eq!((cross.straight_on(0), cross.straight_on(2), cross.legs.len()), (Some(1), Some(3), 4));
}
