//! Plausible houses that are drawn oddly: what an experienced installer would say of each is what the rules say.

use loftwright::finding::Findings;
use loftwright::geom::Point;
use loftwright::layout::{End, Id, Layout, Tapping};
use loftwright::measure::Site;
use loftwright::rules::{Verdict, Voice};
use loftwright::units::Length;

use super::drawn_from::layout;
use super::judged::{BREACH, MEETS, UNKNOWN, findings, number, verdict};

/// Two linked cisterns, the float valve in the first and the outlet of the second at its far end.
fn one_behind_the_other(more_runs: &str) -> Layout {
    layout(&format!(
        r#"building: (roof: (underside: [(-1000, 2900), (1500, 4000), (4000, 2900)])),
        cisterns: [
            (id: "first", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500, water_line: 380,
                float_valve: (shank: Left(460), outlet: 470, pattern: Part2),
                connections: [(port: "link", on: Right(50)), (port: "warning", on: Left(430))]),
            (id: "second", role: Storage, at: (1500, 2000), length: 1000, width: 500, height: 500, water_line: 380,
                connections: [(port: "link", on: Left(50)), (port: "cold", on: Right(50)), (port: "warning", on: Right(430))]),
        ],
        runs: [
            (id: "main", service: RisingMain, material: Copper, size: 15, from: Onward((-200, 0)), via: [(-200, 2460)],
                to: Port("first", "inlet"), fittings: [(kind: ServiceValve, at: 2400)]),
            (id: "link", service: Link, size: 28, from: Port("first", "link"), to: Port("second", "link"),
                fittings: [(kind: GateValve, at: 100)]),
            (id: "cold", service: ColdDistribution, size: 22, from: Port("second", "cold"), to: Onward((3500, 2050)),
                fittings: [(kind: GateValve, at: 100)]),
            (id: "first-warning", service: WarningPipe, material: Copper, size: 22, from: Port("first", "warning"),
                to: Open((-800, 2380))),
            {more_runs}
        ]"#
    ))
}

#[test]
fn water_that_goes_in_by_one_linked_cistern_and_out_by_the_other_moves_through_both() {
    let second_warning = r#"(id: "second-warning", service: WarningPipe, material: Copper, size: 22,
        from: Port("second", "warning"), to: Open((3300, 2380)))"#;
    let whole = one_behind_the_other(second_warning);
    for part in ["first", "second"] {
        assert_eq!(verdict(&whole, "linked-cistern-without-inlet", part), MEETS);
        assert_eq!(verdict(&whole, "inlet-and-outlet-on-one-side", part), MEETS);
        assert_eq!(verdict(&whole, "warning-pipe-missing", part), MEETS);
        assert_eq!(verdict(&whole, "water-line-too-near-overflow", part), MEETS);
        assert_eq!(verdict(&whole, "headroom-too-low-opposite", part), MEETS);
    }
    // The second has no float valve, and none is asked for.
    for rule in [
        "float-valve-too-near-overflow",
        "float-valve-wrong-pattern",
        "float-valve-without-service-valve",
        "air-gap-too-small",
        "headroom-too-low-at-float-valve",
    ] {
        assert_eq!(verdict(&whole, rule, "second"), None, "{rule}");
        assert_eq!(verdict(&whole, rule, "first"), MEETS, "{rule}");
    }
    // Each needs a warning pipe all the same.
    assert_eq!(verdict(&one_behind_the_other(""), "warning-pipe-missing", "second"), BREACH);
    // Drawn from on the side of the link, the far end of the second stands still.
    let mut on_one_side = one_behind_the_other("");
    on_one_side.cisterns[1].connections[1].on = Tapping::Base(Length::mm(200.0));
    assert_eq!(verdict(&on_one_side, "inlet-and-outlet-on-one-side", "second"), BREACH);
    // A third that hangs on the link like a dead end.
    let dead_end = layout(
        r#"cisterns: [
            (id: "first", role: Storage, at: (0, 2000), length: 1000, height: 500, float_valve: (shank: Left(460)),
                connections: [(port: "link", on: Right(50)), (port: "cold", on: Base(900))]),
            (id: "second", role: Storage, at: (1500, 2000), length: 1000, height: 500, connections: [(port: "link", on: Left(50))]),
        ],
        runs: [
            (id: "link", service: Link, from: Port("first", "link"), to: Port("second", "link")),
            (id: "cold", service: ColdDistribution, from: Port("first", "cold"), to: Onward((900, 0))),
        ]"#,
    );
    assert_eq!(verdict(&dead_end, "linked-cistern-without-inlet", "second"), BREACH);
}

#[test]
fn a_standpipe_through_the_base_overflows_at_its_mouth() {
    let cistern = |tube: &str| {
        layout(&format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500, water_line: 400,
                float_valve: (shank: Right(460), outlet: 460, pattern: Part2), {tube}
                connections: [(port: "overflow", on: Base(300))])],
            runs: [
                (id: "main", service: RisingMain, material: Copper, size: 15, from: Onward((1200, 0)), via: [(1200, 2460)],
                    to: Port("cistern", "inlet")),
                (id: "overflow", service: WarningPipe, material: Copper, size: 22, from: Port("cistern", "overflow"),
                    via: [(300, 1900)], to: Open((-500, 1880))),
            ]"#
        ))
    };
    let standing = cistern("dip_tube: EndsAt(430),");
    assert_eq!(number(&standing, "water-line-too-near-overflow", "cistern"), 30.0);
    assert_eq!(verdict(&standing, "water-line-too-near-overflow", "cistern"), MEETS);
    assert_eq!(number(&standing, "float-valve-too-near-overflow", "cistern"), 30.0);
    assert_eq!(verdict(&standing, "air-gap-too-small", "cistern"), MEETS);
    assert_eq!(verdict(&standing, "warning-pipe-rises", "overflow"), MEETS);
    // Its mouth is meant to stand above the water: no dip tube is asked for.
    assert_eq!(verdict(&standing, "warning-pipe-dip-tube-too-short", "cistern"), None);
    assert_eq!(verdict(&cistern("dip_tube: EndsAt(410),"), "water-line-too-near-overflow", "cistern"), BREACH);
    assert_eq!(verdict(&cistern(""), "water-line-too-near-overflow", "cistern"), UNKNOWN);
    // A hole in the base with nothing on it empties the cistern.
    assert_eq!(number(&cistern("dip_tube: Missing,"), "water-line-too-near-overflow", "cistern"), -400.0);
}

#[test]
fn a_cistern_half_off_its_platform_weighs_whole_and_says_how_much_is_not_held() {
    let half_off = layout(
        r#"platforms: [(id: "platform", at: (-150, 2000), length: 650, depth: 800, behind: 0, confirmed_load: 200)],
        cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500, behind: 0,
            rim_volume: 200, empty_mass: 10)]"#,
    );
    let right = findings(&half_off, "platform-overhang-too-small", "platform").remove(0);
    assert_eq!((right.judged.verdict, right.reading.side), (Verdict::Breach, Some("right")));
    assert!(right.working().iter().any(|line| line.contains("500.0 mm short of the cistern's side")));
    assert_eq!(number(&half_off, "platform-overloaded", "platform"), 210.0);
}

#[test]
fn a_hatch_measured_by_tape_has_a_margin() {
    let hatch = |length_mm: f64, survey: &str| {
        layout(&format!(
            r#"survey: {survey}, building: (hatch: (x: 0, length: {length_mm}, width: 700)),
            cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 700, height: 600)]"#
        ))
    };
    let rule = "cistern-too-big-for-hatch";
    assert_eq!(verdict(&hatch(600.0, "Designed"), rule, "cistern"), MEETS);
    assert_eq!(verdict(&hatch(599.0, "Designed"), rule, "cistern"), BREACH);
    // Each side to 0.5 mm, read to 0.5 mm; the two that decide: 2 √(4 × 0.25 / 3) = 1.15 mm.
    let margin = |layout: &Layout| findings(layout, rule, "cistern")[0].judged.margin;
    assert!((margin(&hatch(590.0, "Surveyed(II)")) - 1.1547).abs() < 1e-3, "{}", margin(&hatch(590.0, "Surveyed(II)")));
    assert_eq!(verdict(&hatch(599.0, "Surveyed(II)"), rule, "cistern"), Some(Verdict::Marginal));
    assert_eq!(verdict(&hatch(598.0, "Surveyed(II)"), rule, "cistern"), BREACH);
    let words = findings(&hatch(590.0, "Designed"), rule, "cistern").remove(0).words(Voice::Trade);
    assert!(words.contains("it is 10 mm larger than the loft hatch"), "{words}");
}

/// A cistern with its base at 5000 and water to 5380, the cylinder that it feeds, and its vent.
fn with_cylinder(base_mm: i32, vent: &str, more_runs: &str) -> Layout {
    let inlet_mm = base_mm + 99;
    layout(&format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 5000), length: 1000, width: 500, height: 500, water_line: 380,
            connections: [(port: "feed", on: Right(75)), (port: "cold", on: Right(50))])],
        cylinders: [(id: "cylinder", at: (2000, {base_mm}), diameter: 450, height: 900, reference: "7", grade: G3)],
        runs: [
            (id: "feed", service: ColdFeed, size: 22, from: Port("cistern", "feed"), via: [(1200, 5075), (1200, {inlet_mm})],
                to: Port("cylinder", "cold-inlet"), fittings: [(kind: GateValve, at: 300)]),
            (id: "vent", service: OpenVent, size: 22, from: Port("cylinder", "draw-off"), {vent}, fittings: []),
            {more_runs}
        ]"#
    ))
}

#[test]
fn a_cylinder_above_its_cistern_gives_no_water_and_its_vent_falls() {
    let above = with_cylinder(6000, "via: [(2225, 7000), (800, 7000)], to: Open((800, 5900))", "");
    assert_eq!(number(&above, "cylinder-too-near-cistern", "cylinder"), -1900.0);
    let finding = findings(&above, "cylinder-too-near-cistern", "cylinder").remove(0);
    assert!(finding.working().iter().any(|line| line.contains("no water rises to its draw-off")));
    // Straight down from the dome: the cylinder's own connection is the highest point, and all of the way falls.
    let down = with_cylinder(6000, "to: Open((800, 5900))", "");
    assert_eq!(number(&down, "vent-falls", "vent"), 1000.0);
    assert_eq!(verdict(&down, "vent-falls", "vent"), BREACH);
    // A vent that turns down over its cistern after its crest does not fall.
    let sound =
        with_cylinder(2600, "via: [(2225, 3600), (2800, 3610), (2800, 5900), (500, 5910)], to: Open((500, 5850))", "");
    assert_eq!(verdict(&sound, "vent-falls", "vent"), MEETS);
    assert!(findings(&sound, "cylinder-too-near-cistern", "cylinder")[0].working().len() == 2);
}

#[test]
fn a_cold_feed_may_serve_a_second_cylinder_and_a_drain_but_no_tap() {
    let rule = "cold-feed-shared";
    let vent = "via: [(2225, 3600), (2800, 3610)], to: Open((2800, 5900))";
    assert_eq!(verdict(&with_cylinder(2600, vent, ""), rule, "feed"), MEETS);
    let drain = r#"(id: "drain", service: ColdFeed, from: Tee("feed", 2500), to: Open((900, 2775)), fittings: [(kind: DrainCock, at: 250)])"#;
    assert_eq!(verdict(&with_cylinder(2600, vent, drain), rule, "feed"), MEETS);
    let tap = r#"(id: "basin-cold", service: ColdDistribution, from: Tee("feed", 2000), to: Onward((600, 3275)), fittings: [])"#;
    let shared = with_cylinder(2600, vent, tap);
    assert_eq!(verdict(&shared, rule, "feed"), BREACH);
    let parts: Vec<String> = findings(&shared, rule, "feed")[0].reading.parts.iter().map(ToString::to_string).collect();
    assert_eq!(parts, ["feed", "basin-cold", "cylinder"]);
    let second = r#"(id: "second-feed", service: ColdFeed, from: Tee("feed", 2000), to: Port("second", "cold-inlet"), fittings: [])"#;
    let mut two = with_cylinder(2600, vent, &second.replace("\"second\"", "\"cylinder\""));
    two.cylinders.push(loftwright::layout::Cylinder { id: Id::of("second"), ..two.cylinders[0].clone() });
    two.runs[2].to = End::Port(Id::of("second"), Id::of("cold-inlet"));
    let both = findings(&two, rule, "feed");
    assert_eq!(both.len(), 1);
    assert_eq!(both[0].have_words(), "a cold feed that serves cylinders alone");
    assert_eq!(verdict(&two, rule, "second-feed"), MEETS);
    // Two pipes on one hole of the cistern are another rule's matter.
    let one_hole = r#"(id: "cold", service: ColdDistribution, from: Port("cistern", "feed"), to: Onward((3000, 5075)), fittings: [])"#;
    let one_hole = with_cylinder(2600, vent, one_hole);
    assert_eq!(verdict(&one_hole, rule, "feed"), MEETS);
    assert_eq!(number(&one_hole, "cold-feed-too-low", "cistern"), 0.0);
    // A feed that is taken from the taps' pipe is shared as well.
    let off_taps = r#"(id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), to: Onward((3000, 5050)), fittings: [])"#;
    let mut off_taps = with_cylinder(2600, vent, off_taps);
    off_taps.runs[0].from = End::Tee(off_taps.runs[2].id.clone(), Length::mm(300.0));
    off_taps.runs[0].via.remove(0);
    assert_eq!(verdict(&off_taps, rule, "cold"), BREACH);
}

#[test]
fn a_drain_cock_beyond_the_valve_does_not_empty_the_cylinder() {
    let rule = "cold-feed-without-drain";
    let vent = "via: [(2225, 3600), (2800, 3610)], to: Open((2800, 5900))";
    // The feed is 200 level, 2376 down to 2699, and 800 level to the inlet.
    let fitted = |fittings: &str, more_runs: &str| {
        let mut layout = with_cylinder(2600, vent, more_runs);
        layout.runs[0].fittings = Some(ron::from_str(fittings).expect("fittings"));
        layout
    };
    let below = "[(kind: GateValve, at: 300), (kind: DrainCock, at: 2570)]";
    assert_eq!(number(&fitted(below, ""), rule, "feed"), 6.0);
    let beyond = fitted("[(kind: DrainCock, at: 2570), (kind: GateValve, at: 2600)]", "");
    assert_eq!(verdict(&beyond, rule, "feed"), BREACH);
    assert_eq!(findings(&beyond, rule, "feed")[0].have_words(), "no drain cock between valve and cylinder");
    // Between two valves it does, with the second open; on a branch it counts by where the branch leaves.
    let between = "[(kind: GateValve, at: 300), (kind: DrainCock, at: 2570), (kind: LeverValve, at: 2600)]";
    assert_eq!(number(&fitted(between, ""), rule, "feed"), 6.0);
    let branch = |at_mm: i32| {
        format!(
            r#"(id: "drain", service: ColdFeed, from: Tee("feed", {at_mm}), to: Onward((900, 2699)),
                fittings: [(kind: DrainCock, at: 50)])"#
        )
    };
    let valve = "[(kind: GateValve, at: 2600)]";
    assert_eq!(verdict(&fitted(valve, &branch(2700)), rule, "drain"), MEETS);
    assert_eq!(verdict(&fitted(valve, &branch(2575)), rule, "feed"), BREACH);
}

#[test]
fn pipes_on_a_coil_that_nobody_has_told_of_leave_the_heating_unknown() {
    let rule = "cylinder-heating-unknown";
    let primary = r#"(id: "flow", service: PrimaryFlow, from: Port("cylinder", "coil-flow"), to: Onward((4000, 3000)), fittings: [])"#;
    let mut house = with_cylinder(2600, "via: [(2225, 3600), (2800, 3610)], to: Open((2800, 5900))", primary);
    house.cylinders[0].immersions = Some(ron::from_str("[(place: Bottom)]").expect("a heater"));
    let heated = |coil: Option<bool>| {
        let mut house = house.clone();
        house.cylinders[0].coil = coil;
        let finding = findings(&house, rule, "cylinder").remove(0);
        (finding.judged.verdict, finding.have_words())
    };
    assert_eq!(heated(None), (Verdict::Unknown, "not told".to_owned()));
    assert_eq!(heated(Some(true)), (Verdict::Meets, "direct and indirect".to_owned()));
    assert_eq!(heated(Some(false)), (Verdict::Meets, "direct".to_owned()));
}

#[test]
fn a_shower_with_a_pump_of_its_own_needs_no_height() {
    let shower = |pump_mm: i32, branch: &str| {
        layout(&format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 3000), length: 1000, height: 500, connections: [(port: "cold", on: Right(50))])],
            outlets: [(id: "shower", kind: Shower, at: (2000, 2600))],
            runs: [
                (id: "cold", service: ColdDistribution, size: 22, from: Port("cistern", "cold"), via: [(1500, 3050), (1500, 300), (2040, 300)],
                    to: Port("shower", "cold"), fittings: [(kind: GateValve, at: 100), (kind: Pump, at: {pump_mm})]),
                {branch}
            ]"#
        ))
    };
    assert_eq!(verdict(&shower(3300, ""), "shower-head-too-small", "shower"), None);
    // A pump before the branch to another outlet drives both; past the branch, the other alone.
    let branch = r#"(id: "basin-cold", service: ColdDistribution, from: Tee("cold", 3000), to: Onward((600, 550)))"#;
    assert_eq!(verdict(&shower(2000, branch), "shower-head-too-small", "shower"), None);
    let mut on_branch = shower(2000, branch);
    on_branch.runs[1].fittings = on_branch.runs[0].fittings.replace(Vec::new());
    assert_eq!(verdict(&on_branch, "shower-head-too-small", "shower"), BREACH);
}

#[test]
fn warning_pipes_that_meet_are_coupled_however_they_are_drawn() {
    let two = |second: &str| {
        layout(&format!(
            r#"cisterns: [
                (id: "a", role: Storage, at: (0, 5000), length: 600, height: 500, connections: [(port: "warning", on: Left(430))]),
                (id: "b", role: FeedAndExpansion, at: (1500, 5000), length: 400, height: 300, connections: [(port: "warning", on: Left(230))]),
            ],
            runs: [
                (id: "common", service: WarningPipe, from: Open((-900, 5000)), to: Port("a", "warning"), fittings: []),
                {second}
            ]"#
        ))
    };
    let apart = two(
        r#"(id: "second", service: WarningPipe, from: Port("b", "warning"), to: Open((-900, 5100)), fittings: [])"#,
    );
    let coupled = two(
        r#"(id: "second", service: WarningPipe, from: Tee("common", 100), to: Port("b", "warning"), fittings: [])"#,
    );
    for part in ["common", "second"] {
        assert_eq!(verdict(&apart, "warning-pipes-coupled", part), MEETS);
        assert_eq!(verdict(&coupled, "warning-pipes-coupled", part), BREACH);
    }
}

#[test]
fn a_house_without_a_system_and_an_empty_sheet_find_nothing() {
    for text in ["", "building: (ceiling: (underside: 2400, thickness: 12.5), hatch: [])"] {
        assert_eq!(Findings::of(&Site::of(&layout(text))).iter().count(), 0, "{text}");
    }
}

#[test]
fn parts_that_stand_in_each_other_and_pipes_without_length_are_judged_without_falling_over() {
    let heap = layout(
        r#"cisterns: [
            (id: "a", role: Storage, at: (0, 5000), length: 1000, width: 500, height: 500,
                connections: [(port: "warning", on: Left(430)), (port: "feed", on: Right(75))]),
            (id: "b", role: Storage, at: (0, 5000), length: 1000, width: 500, height: 500),
        ],
        platforms: [(id: "p", at: (0, 5000), length: 1000), (id: "q", at: (0, 5000), length: 1000)],
        cylinders: [(id: "cylinder", at: (0, 5000), diameter: 450, height: 900)],
        runs: [
            (id: "warning", service: WarningPipe, from: Port("a", "warning"), to: Open((0, 5430)), fittings: []),
            (id: "feed", service: ColdFeed, from: Port("a", "feed"), to: Open((1000, 5075)), fittings: []),
            (id: "vent", service: OpenVent, from: Port("cylinder", "draw-off"), to: Open((225, 5900)), fittings: []),
        ]"#,
    );
    // Nothing that has no length is passed: what cannot be seen is asked for.
    assert_eq!(verdict(&heap, "outlet-without-service-valve", "feed"), UNKNOWN);
    assert_eq!(verdict(&heap, "vent-valved", "cylinder"), UNKNOWN);
    assert_eq!(verdict(&heap, "vent-falls", "cylinder"), UNKNOWN);
    assert_eq!(verdict(&heap, "cold-feed-without-valve", "cylinder"), UNKNOWN);
    // Of two boards in one place each cistern stands on one.
    assert_eq!(
        findings(&heap, "platform-not-marine-ply", "q").len() + findings(&heap, "platform-not-marine-ply", "p").len(),
        1
    );
}

#[test]
fn a_cistern_below_the_ceiling_needs_no_hatch() {
    let house = layout(
        r#"building: (hatch: [], ceiling: (underside: 5000, thickness: 12)),
        cisterns: [
            (id: "up", role: Storage, at: (0, 5200), length: 1000, width: 500, height: 500),
            (id: "down", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500),
        ]"#,
    );
    assert_eq!(verdict(&house, "no-way-to-the-cistern", "up"), BREACH);
    assert_eq!(verdict(&house, "no-way-to-the-cistern", "down"), None);
    // Whether it goes through a hatch that is not there is not asked.
    assert_eq!(verdict(&house, "cistern-too-big-for-hatch", "up"), None);
}

#[test]
fn linked_cisterns_at_two_levels_run_over_at_the_lower() {
    // The second stands 100 lower: the water of the first stands 2380 in both, and the second overflows at 1900 + 419.9.
    let second_warning = r#"(id: "second-warning", service: WarningPipe, material: Copper, size: 22,
        from: Port("second", "warning"), to: Open((3300, 2280)))"#;
    let mut stepped = one_behind_the_other(second_warning);
    stepped.cisterns[1].at = Point::mm(1500.0, 1900.0);
    stepped.cisterns[1].water_line = None;
    let gap = number(&stepped, "water-line-too-near-overflow", "second");
    assert!((gap - (1900.0 + 430.0 - 10.1 - 2380.0)).abs() < 1e-9, "{gap}");
    assert_eq!(verdict(&stepped, "water-line-too-near-overflow", "second"), BREACH);
    assert_eq!(verdict(&stepped, "water-line-too-near-overflow", "first"), MEETS);
}

#[test]
fn a_vent_rises_above_the_highest_water_that_feeds_its_cylinder() {
    // Water runs over at the top, not where the open end turns down to. A second cistern 1000 higher joins the feed:
    // its water stands at 6380.
    let vent = "via: [(2225, 3600), (2800, 3610), (2800, 5900), (500, 5910)], to: Open((500, 5850))";
    let alone = with_cylinder(2600, vent, "");
    assert_eq!(number(&alone, "vent-too-low", "vent"), 5910.0 - 5380.0);
    let mut both = with_cylinder(2600, vent, "");
    let mut high = both.cisterns[0].clone();
    high.id = Id::of("high");
    high.at = Point::mm(-3000.0, 6000.0);
    both.cisterns.push(high);
    let mut run = both.runs[0].clone();
    run.id = Id::of("high-feed");
    run.via.clear();
    run.from = End::Port(Id::of("high"), Id::of("feed"));
    run.to = End::Tee(both.runs[0].id.clone(), Length::mm(1000.0));
    both.runs.push(run);
    assert_eq!(both.broken_references(), []);
    assert_eq!(number(&both, "vent-too-low", "vent"), 5910.0 - 6380.0);
    assert_eq!(verdict(&both, "vent-too-low", "vent"), BREACH);
}

#[test]
fn a_primary_vent_is_judged_by_what_moves_the_water() {
    let house = |flow: &str| {
        layout(&format!(
            r#"cisterns: [(id: "expansion", role: FeedAndExpansion, at: (0, 5000), length: 457, width: 305, height: 305, water_line: 100,
                connections: [(port: "feed", on: Base(200))])],
            cylinders: [(id: "cylinder", at: (2000, 2600), diameter: 450, height: 900, coil: true)],
            boilers: [(id: "boiler", at: (2600, 300), length: 400, height: 700, kind: BackBoiler)],
            runs: [
                (id: "flow", service: PrimaryFlow, size: 28, from: Port("boiler", "flow"), via: [(2720, 3050)], to: Port("cylinder", "coil-flow"), {flow}),
                (id: "return", service: PrimaryReturn, size: 28, from: Port("cylinder", "coil-return"), via: [(2880, 2780)], to: Port("boiler", "return"), fittings: []),
                (id: "feed", service: PrimaryFeed, size: 15, from: Port("expansion", "feed"), via: [(200, 900)], to: Tee("return", 1500), fittings: []),
                (id: "vent", service: PrimaryVent, size: 22, from: Tee("flow", 1500), via: [(2720, 5500), (300, 5500)], to: Open((300, 5400)), fittings: []),
            ]"#
        ))
    };
    // 400 mm: enough for 150 + 40 × 4.8 without a pump, too little for one.
    let by_gravity = house("fittings: []");
    assert_eq!(verdict(&by_gravity, "gravity-primary-vent-too-low", "vent"), MEETS);
    assert_eq!(verdict(&by_gravity, "primary-vent-too-low", "vent"), None);
    let pumped = house("fittings: [(kind: Pump, at: 700)]");
    assert_eq!(verdict(&pumped, "gravity-primary-vent-too-low", "vent"), None);
    assert_eq!(verdict(&pumped, "primary-vent-too-low", "vent"), BREACH);
    // Where nobody has told whether there is a pump, either may be asked, and what keeps one may break the other.
    let untold = |top_mm: u32, flow: &str| {
        let house = layout(&format!(
            r#"cisterns: [(id: "expansion", role: FeedAndExpansion, at: (0, 5000), length: 457, height: 305, water_line: 100)],
            boilers: [(id: "boiler", at: (780, -4000), length: 400, height: 700)],
            runs: [
                (id: "flow", service: PrimaryFlow, from: Port("boiler", "flow"), to: Onward((900, 3000)), {flow}),
                (id: "vent", service: PrimaryVent, from: Tee("flow", 300), via: [(1200, 4000), (1200, {top_mm}), (300, {top_mm})],
                    to: Open((300, 5050)))]"#
        ));
        ["primary-vent-too-low", "gravity-primary-vent-too-low"].map(|rule| verdict(&house, rule, "vent"))
    };
    let unknown = Some(Verdict::Unknown);
    // 150 + 40 × 9.1 = 514 by gravity.
    assert_eq!(untold(5610, ""), [MEETS, unknown]);
    assert_eq!(untold(5615, ""), [MEETS, MEETS]);
    // Too low for both: broken by the one that asks less, whichever holds.
    assert_eq!(untold(5500, ""), [BREACH, unknown]);
    assert_eq!(untold(5540, ""), [BREACH, unknown]);
    assert_eq!(untold(5550, ""), [MEETS, unknown]);
    assert_eq!(untold(5580, "fittings: [(kind: Pump, at: 500)]"), [MEETS, None]);
    assert_eq!(untold(5580, "fittings: []"), [None, BREACH]);
    // Out of a top below the water line it runs, whatever moves the water.
    assert_eq!(untold(5090, ""), [BREACH, None]);
}

#[test]
fn a_stop_valve_in_the_street_is_far_from_the_float_valve() {
    let main = |second: &str| {
        layout(&format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 5000), length: 1000, height: 500, float_valve: (shank: Left(460)))],
            runs: [(id: "main", service: RisingMain, from: Onward((-200, 0)), via: [(-200, 5460)], to: Port("cistern", "inlet"),
                fittings: [(kind: StopValve, at: 200), {second}])]"#
        ))
    };
    assert_eq!(verdict(&main(""), "float-valve-without-service-valve", "cistern"), MEETS);
    assert_eq!(number(&main(""), "float-valve-service-valve-too-far", "main"), 5460.0);
    assert_eq!(verdict(&main(""), "float-valve-service-valve-too-far", "main"), BREACH);
    assert_eq!(number(&main("(kind: ServiceValve, at: 5500)"), "float-valve-service-valve-too-far", "main"), 160.0);
}
