//! Systems of several cisterns, cylinders, rings and mains, where a hasty measure would look at the wrong part.

use loftwright::measure::Have;
use loftwright::rules::{self, Verdict};

use super::judged::{BREACH, MEETS, UNKNOWN};
use super::judged_text::{findings, measured, verdict};

/// Two cisterns of 1000 × 500 with water to 230 mm, 115 L each, and a cylinder of 200 L.
fn two_cisterns(runs: &str) -> String {
    format!(
        r#"cisterns: [
            (id: "first", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500, water_line: 230,
                connections: [(port: "out", on: Right(50)), (port: "link", on: Base(800))]),
            (id: "second", role: Storage, at: (3000, 2000), length: 1000, width: 500, height: 500, water_line: 230,
                connections: [(port: "out", on: Left(50)), (port: "link", on: Base(200))]),
        ],
        cylinders: [(id: "cylinder", at: (1500, 0), diameter: 500, height: 1100, capacity: 200)],
        runs: [
            (id: "cold-feed", service: ColdFeed, from: Port("first", "out"), to: Port("cylinder", "cold-inlet"), fittings: []),
            {runs}
        ]"#
    )
}

#[test]
fn cisterns_that_share_their_water_count_together() {
    let apart = two_cisterns("");
    assert_eq!(measured("storage-less-than-cylinder", &apart), [(vec!["first".into(), "cylinder".into()], 115.0)]);
    assert_eq!(verdict("storage-less-than-cylinder", &apart), BREACH);
    // 115 + 115 L over 200, whether they are linked, feed one cylinder or meet in its feed, drawn either way.
    let shared = [
        r#"(id: "link", service: Link, from: Port("first", "link"), to: Port("second", "link"))"#,
        r#"(id: "link", service: Link, from: Port("second", "link"), to: Port("first", "link"))"#,
        r#"(id: "other", service: ColdFeed, from: Port("second", "out"), to: Port("cylinder", "cold-inlet"))"#,
        r#"(id: "other", service: ColdFeed, from: Port("second", "out"), to: Tee("cold-feed", 900))"#,
        r#"(id: "other", service: ColdFeed, from: Tee("cold-feed", 900), to: Port("second", "out"))"#,
    ];
    for runs in shared {
        let text = two_cisterns(runs);
        let parts = vec!["first".into(), "second".into(), "cylinder".into()];
        assert_eq!(measured("storage-less-than-cylinder", &text), [(parts, 230.0)], "{runs}");
        assert_eq!(verdict("storage-less-than-cylinder", &text), MEETS, "{runs}");
        assert_eq!(
            measured("storage-too-small-for-cylinder", &text),
            [(vec!["first".into(), "second".into()], 230.0)],
            "{runs}"
        );
    }
    // Taps off the linked one make it a duty of both: 230 L, 227 needed.
    let taps = two_cisterns(
        r#"(id: "link", service: Link, from: Port("first", "link"), to: Port("second", "link")),
        (id: "cold", service: ColdDistribution, from: Port("second", "out"), to: Onward((2500, 0)))"#,
    );
    assert_eq!(verdict("storage-too-small-for-taps", &taps), MEETS);
    assert_eq!(verdict("storage-too-small-for-cylinder", &taps), None);
    // One that feeds its own taps shares nothing.
    let own =
        two_cisterns(r#"(id: "cold", service: ColdDistribution, from: Port("second", "out"), to: Onward((2500, 0)))"#);
    assert_eq!(verdict("storage-less-than-cylinder", &own), BREACH);
}

#[test]
fn the_words_name_every_cistern_of_a_group() {
    let link = r#"(id: "link", service: Link, from: Port("first", "link"), to: Port("second", "link"))"#;
    let words = |text: &str| findings("storage-less-than-cylinder", text)[0].words(rules::Voice::Trade);
    assert!(words(&two_cisterns("")).starts_with("First: 115 L stored"), "{}", words(&two_cisterns("")));
    assert!(words(&two_cisterns(link)).starts_with("First and second: 230 L stored"), "{}", words(&two_cisterns(link)));
    let untold = two_cisterns(link).replacen("water_line: 230,", "", 1);
    assert!(words(&untold).starts_with("First and second: not told; measure the water line of the first"));
}

#[test]
fn a_vent_may_end_over_either_of_two_linked_cisterns() {
    let vent = r#"(id: "open-vent", service: OpenVent, size: 22, from: Port("cylinder", "draw-off"),
        via: [(1700, 3000), (3500, 3000)], to: Open((3500, 2800)))"#;
    let link = r#"(id: "link", service: Link, from: Port("second", "link"), to: Port("first", "link"))"#;
    assert_eq!(verdict("vent-ends-elsewhere", &two_cisterns(vent)), BREACH);
    assert_eq!(verdict("vent-ends-elsewhere", &two_cisterns(&format!("{link}, {vent}"))), MEETS);
}

#[test]
fn a_link_is_an_outlet_that_can_be_shut() {
    let text = |fittings: &str| {
        two_cisterns(&format!(
            r#"(id: "link", service: Link, from: Port("first", "link"), to: Port("second", "link"), fittings: [{fittings}])"#
        ))
        .replace("fittings: []),", "fittings: [(kind: GateValve, at: 100)]),")
    };
    assert_eq!(verdict("outlet-without-service-valve", &text("(kind: LeverValve, at: 100)")), MEETS);
    assert_eq!(verdict("outlet-without-service-valve", &text("(kind: NonReturnValve, at: 100)")), BREACH);
}

#[test]
fn an_outlet_valve_beyond_a_branch_shuts_too_little() {
    let text = |from: &str, to: &str, valve_mm: i32, tee_mm: i32| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
                connections: [(port: "feed", on: Right(75))])],
            runs: [
                (id: "cold-feed", service: ColdFeed, from: {from}, to: {to}, fittings: [(kind: GateValve, at: {valve_mm})]),
                (id: "branch", service: ColdDistribution, from: Tee("cold-feed", {tee_mm}), to: Onward((1500, 0))),
            ]"#
        )
    };
    let (port, far) = (r#"Port("cistern", "feed")"#, "Onward((3000, 2075))");
    assert_eq!(verdict("outlet-without-service-valve", &text(port, far, 300, 600)), MEETS);
    assert_eq!(verdict("outlet-without-service-valve", &text(port, far, 900, 600)), BREACH);
    assert_eq!(verdict("outlet-without-service-valve", &text(far, port, 1700, 1400)), MEETS);
    assert_eq!(verdict("outlet-without-service-valve", &text(far, port, 1100, 1400)), BREACH);
}

#[test]
fn an_outlet_valve_is_missed_where_a_metre_is_drawn_without_it() {
    let rule = "outlet-without-service-valve";
    let text = |fittings: &str, mm: i32| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
                connections: [(port: "feed", on: Right(75))])],
            runs: [(id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"), to: Onward(({mm}, 2075)){fittings})]"#
        )
    };
    // Near is within a metre: of a pipe that goes on beyond the drawing, and of one in which a valve is drawn.
    assert_eq!(verdict(rule, &text(", fittings: []", 2084)), BREACH);
    assert_eq!(verdict(rule, &text(", fittings: []", 1900)), UNKNOWN);
    assert_eq!(verdict(rule, &text(", fittings: [(kind: GateValve, at: 2080)]", 4000)), BREACH);
    assert_eq!(verdict(rule, &text(", fittings: [(kind: GateValve, at: 1000)]", 4000)), MEETS);
    let taped = format!("survey: Surveyed(II), {}", text(", fittings: [(kind: GateValve, at: 1000.2)]", 4000));
    assert_eq!(verdict(rule, &taped), Some(Verdict::Marginal));
    // That there is one at all is another rule's question, which a pipe that goes on leaves open.
    let distribution = |fittings: &str| text(fittings, 4000).replace("ColdFeed", "ColdDistribution");
    assert_eq!(verdict("cold-distribution-without-valve", &distribution(", fittings: []")), UNKNOWN);
}

#[test]
fn an_outlet_in_the_middle_is_on_neither_side() {
    let text = |valve: &str, out: &str| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
                float_valve: (shank: {valve}), connections: [(port: "cold", on: {out})])],
            runs: [(id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), to: Onward((500, 0)))]"#
        )
    };
    for valve in ["Left(450)", "Right(450)"] {
        assert_eq!(verdict("inlet-and-outlet-on-one-side", &text(valve, "Base(500)")), BREACH, "{valve}");
    }
    assert_eq!(verdict("inlet-and-outlet-on-one-side", &text("Left(450)", "Base(510)")), MEETS);
    assert_eq!(verdict("inlet-and-outlet-on-one-side", &text("Right(450)", "Base(490)")), MEETS);
    assert_eq!(verdict("inlet-and-outlet-on-one-side", &text("Top(500)", "Base(490)")), None);
}

#[test]
fn a_thin_face_goes_through_the_hatch_slantwise() {
    let text = |length_mm: i32, width_mm: i32| {
        format!(
            r#"building: (hatch: (x: 2000, length: {length_mm}, width: {width_mm})),
            cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 600, height: 100)]"#
        )
    };
    // Turned by an angle of cosine 0.8 and sine 0.6 a face of 600 × 100 takes 0.8 × 600 + 0.6 × 100 = 540 by
    // 0.6 × 600 + 0.8 × 100 = 440.
    assert_eq!(verdict("cistern-too-big-for-hatch", &text(541, 441)), MEETS);
    assert_eq!(verdict("cistern-too-big-for-hatch", &text(441, 541)), MEETS);
    assert_eq!(verdict("cistern-too-big-for-hatch", &text(540, 439)), BREACH);
}

#[test]
fn a_cistern_below_the_loft_ceiling_asks_no_hatch() {
    let text = |ceiling_mm: i32| {
        format!(
            r#"building: (ceiling: (underside: {ceiling_mm}, thickness: 12.5)),
            cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500)]"#
        )
    };
    for rule in ["no-way-to-the-cistern", "cistern-too-big-for-hatch"] {
        assert_eq!(verdict(rule, &text(1900)), UNKNOWN, "{rule}");
        assert_eq!(verdict(rule, &text(2600)), None, "{rule}");
    }
}

#[test]
fn a_vent_ends_over_the_nearest_cistern_below_it() {
    let text = |from: &str, via: &str, to: &str| {
        format!(
            r#"cisterns: [
                (id: "storage", role: Storage, at: (0, 2000), length: 1000, height: 500),
                (id: "expansion", role: FeedAndExpansion, at: (600, 2600), length: 400, height: 300),
            ],
            runs: [(id: "primary-vent", service: PrimaryVent, from: {from}, via: [{via}], to: {to})]"#
        )
    };
    let foot = "Onward((2000, 0))";
    for (x, expected) in [(800, MEETS), (300, BREACH)] {
        let (mouth, over) = (format!("Open(({x}, 3100))"), format!("({x}, 3500)"));
        let forth = text(foot, &format!("(2000, 3500), {over}"), &mouth);
        let back = text(&mouth, &format!("{over}, (2000, 3500)"), foot);
        assert_eq!(verdict("primary-vent-over-storage", &forth), expected, "{x}");
        assert_eq!(verdict("primary-vent-over-storage", &back), expected, "{x}");
    }
}

#[test]
fn a_primary_vent_belongs_to_the_cistern_whose_water_it_holds() {
    // Each boiler has a cistern of its own: the left one's water stands at 2100, the right one's at 2600.
    let text = |feeds: &str| {
        format!(
            r#"cisterns: [
                (id: "left", role: FeedAndExpansion, at: (0, 2000), length: 400, height: 300, water_line: 100,
                    connections: [(port: "feed", on: Base(300))]),
                (id: "right", role: FeedAndExpansion, at: (3000, 2500), length: 400, height: 300, water_line: 100,
                    connections: [(port: "feed", on: Base(300))]),
            ],
            boilers: [
                (id: "one", at: (200, 0), length: 400, height: 700),
                (id: "two", at: (3200, 0), length: 400, height: 700),
            ],
            runs: [
                (id: "flow", service: PrimaryFlow, from: Port("two", "flow"), to: Onward((2000, 900)),
                    fittings: [(kind: Pump, at: 600)]),
                (id: "riser", service: PrimaryVent, from: Tee("flow", 300), to: Tee("crest", 500)),
                (id: "crest", service: PrimaryVent, from: Open((3100, 2900)), via: [(3100, 3000)], to: Onward((2000, 3000))),
                {feeds}
            ]"#
        )
    };
    let feeds = text(
        r#"(id: "left-feed", service: PrimaryFeed, from: Port("left", "feed"), to: Port("one", "return")),
        (id: "right-feed", service: PrimaryFeed, from: Port("two", "return"), to: Port("right", "feed"))"#,
    );
    // The crest at 3000 is 400 above the water of the right one; it would be 900 above that of the left one.
    assert_eq!(measured("primary-vent-too-low", &feeds), [(vec!["crest".into(), "right".into()], 400.0)]);
    assert_eq!(verdict("primary-vent-too-low", &feeds), BREACH);
    // With no feed drawn nothing tells which.
    assert_eq!(verdict("primary-vent-too-low", &text("")), UNKNOWN);
}

#[test]
fn an_expansion_cistern_whose_volume_is_stated_needs_no_width() {
    let text = |more: &str| {
        format!(
            r#"cisterns: [(id: "expansion", role: FeedAndExpansion, at: (0, 2000), length: 400, height: 300,
                rim_volume: 30, {more} connections: [(port: "warning", on: Left(190.1))])],
            runs: [(id: "warning-pipe", service: WarningPipe, material: Copper, size: 22,
                from: Port("expansion", "warning"), to: Open((-500, 2000)))]"#
        )
    };
    // 30 L over 300 mm: 18 L to the invert at 180, and 4 L over the 40 mm above a water line at 140.
    let filled = measured("expansion-cistern-too-small", &text(""));
    assert!((filled[0].1 - 18.0).abs() < 1e-9, "{filled:?}");
    let room = measured("expansion-room-too-small", &text("water_line: 140, system_volume: 100,"));
    assert!((room[0].1 - 4.0).abs() < 1e-9, "{room:?}");
}

#[test]
fn a_shower_is_driven_by_what_its_pipes_lead_to() {
    let text = |runs: &str| {
        format!(
            r#"cisterns: [
                (id: "low", role: Storage, at: (0, 2500), length: 1000, height: 500, connections: [(port: "out", on: Right(50))]),
                (id: "high", role: Storage, at: (2000, 3100), length: 1000, height: 500, connections: [(port: "out", on: Left(50))]),
            ],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)],
            boilers: [(id: "boiler", at: (4000, 900), length: 400, height: 700, kind: Combination)],
            outlets: [
                (id: "shower", kind: Shower, at: (3000, 2000)),
                (id: "heater", kind: WaterHeater, at: (3500, 1500)),
            ],
            runs: [{runs}]"#
        )
    };
    let rule = "shower-head-too-small";
    let hot = r#"(id: "hot", service: HotDistribution, from: Port("shower", "hot"), to: Port("cylinder", "draw-off"))"#;
    let feed = r#"(id: "feed", service: ColdFeed, from: Port("low", "out"), to: Port("cylinder", "cold-inlet"))"#;
    let cold = r#"(id: "cold", service: ColdDistribution, from: Port("high", "out"), to: Port("shower", "cold"))"#;
    // Fed by the high cistern, 3100 − 2000; its hot water by the low one, 2500 − 2000.
    assert_eq!(measured(rule, &text(cold)), [(vec!["shower".into(), "high".into()], 1100.0)]);
    assert_eq!(
        measured(rule, &text(&format!("{cold}, {hot}, {feed}"))),
        [(vec!["shower".into(), "low".into()], 500.0)]
    );
    // The main, straight or through a combination boiler or a water heater, needs no height.
    let mains = [
        r#"(id: "main", service: RisingMain, from: Onward((3500, 0)), to: Port("shower", "cold"))"#,
        r#"(id: "hot", service: HotDistribution, from: Port("boiler", "hot"), to: Port("shower", "hot"))"#,
        r#"(id: "main", service: RisingMain, from: Onward((3000, 0)), to: Onward((3000, 1500))),
            (id: "cold", service: ColdDistribution, from: Tee("main", 1200), to: Port("shower", "cold"))"#,
        r#"(id: "main", service: RisingMain, from: Onward((3540, 0)), to: Port("heater", "cold")),
            (id: "hot", service: HotDistribution, from: Port("shower", "hot"), to: Port("heater", "hot"))"#,
    ];
    for runs in mains {
        assert_eq!(verdict(rule, &text(runs)), None, "{runs}");
    }
    assert_eq!(verdict(rule, &text("")), UNKNOWN);
    // A rising main that fills the cistern is not what drives the shower.
    let filled = text(&format!(
        r#"{cold}, (id: "main", service: RisingMain, from: Onward((1600, 0)), to: Port("high", "inlet"))"#
    ))
    .replace("at: (2000, 3100),", "at: (2000, 2900), float_valve: (shank: Left(450)),");
    assert_eq!(verdict(rule, &filled), BREACH);
}

#[test]
fn a_bath_is_judged_whatever_heats_its_water() {
    let text = |runs: &str, told: &str| {
        format!(
            r#"boilers: [(id: "boiler", at: (4000, 900), length: 400, height: 700, kind: Combination)],
            outlets: [(id: "bath", kind: Bath, at: (3000, 600), {told})], runs: [{runs}]"#
        )
    };
    let hot = r#"(id: "hot", service: HotDistribution, from: Port("boiler", "hot"), to: Port("bath", "hot"))"#;
    assert_eq!(verdict("bath-too-hot", &text(hot, "supply_temperature: 55")), BREACH);
    assert_eq!(verdict("bath-too-hot", &text(hot, "")), UNKNOWN);
    // Told, though its pipe is not drawn.
    assert_eq!(verdict("bath-too-hot", &text("", "supply_temperature: 55")), BREACH);
    assert_eq!(verdict("bath-too-hot", &text("", "")), None);
}

#[test]
fn hot_water_takes_the_shorter_way_round_a_ring() {
    // The draw-off goes up from 1000 to 2000. A ring leaves it at 2000, goes out to 10200, down 500 and back to it at 1500.
    let text = |from: &str, via: &str, to: &str, tee_mm: i32| {
        format!(
            r#"cylinders: [(id: "cylinder", at: (0, 0), diameter: 400, height: 1000)],
            outlets: [(id: "basin", kind: Basin, at: (1240, 1000))],
            runs: [
                (id: "draw-off", service: HotDistribution, size: 22, from: Port("cylinder", "draw-off"),
                    to: Onward((200, 2000)), insulation: []),
                (id: "ring", service: HotDistribution, size: 22, from: {from}, via: [{via}], to: {to}, insulation: []),
                (id: "basin-hot", service: HotDistribution, size: 15, from: Tee("ring", {tee_mm}), to: Port("basin", "hot"),
                    insulation: []),
            ]"#
        )
    };
    let (top, low) = (r#"Tee("draw-off", 1000)"#, r#"Tee("draw-off", 500)"#);
    // The basin's pipe leaves the ring 1000 from its lower end: 500 up the draw-off, 1000 out and 500 down to the basin.
    // The other way is 1000 + 10000 + 500 + 9000 + 500.
    let forth = text(top, "(10200, 2000), (10200, 1500)", low, 19_500);
    let back = text(low, "(10200, 1500), (10200, 2000)", top, 1000);
    for text in [&forth, &back] {
        let found = measured("dead-leg-too-long", text);
        assert_eq!(found.len(), 1);
        assert!((found[0].1 - 2000.0).abs() < 1e-6, "{found:?}");
        assert_eq!(verdict("dead-leg-too-long", text), MEETS);
    }
}

#[test]
fn an_outlet_has_its_dead_leg_from_the_nearer_of_two_cylinders() {
    let text = r#"cylinders: [
            (id: "far", at: (0, 0), diameter: 400, height: 1000),
            (id: "near", at: (20000, 0), diameter: 400, height: 1000),
        ],
        outlets: [(id: "basin", kind: Basin, at: (22240, 1000))],
        runs: [
            (id: "hot", service: HotDistribution, size: 22, from: Port("far", "draw-off"), to: Port("basin", "hot"), insulation: []),
            (id: "near-hot", service: HotDistribution, size: 22, from: Port("near", "draw-off"), to: Tee("hot", 21000), insulation: []),
        ]"#;
    // From 20200 to 22200 less the stretch to the tee at 21200, both ways: 1000 + 1000.
    let found = measured("dead-leg-too-long", text);
    assert_eq!(found.len(), 1);
    assert!((found[0].1 - 2000.0).abs() < 1e-6, "{found:?}");
}

#[test]
fn each_low_place_needs_a_way_out() {
    // From 3050 down to a bath at 600, on the way two branches that dip and rise: to a basin at 1500 by 1200, to a sink
    // at 1400 by 1100.
    let text = |main: &str, basin: &str, sink: &str| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 3000), length: 1000, height: 500,
                connections: [(port: "cold", on: Right(50))])],
            outlets: [
                (id: "bath", kind: Bath, at: (1160, 600)),
                (id: "basin", kind: Basin, at: (2960, 1500)),
                (id: "sink", kind: Sink, at: (-40, 1400)),
            ],
            runs: [
                (id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), via: [(1200, 3050)],
                    to: Port("bath", "cold"), fittings: [{main}]),
                (id: "basin-cold", service: ColdDistribution, from: Tee("cold", 1250), via: [(1200, 2000), (2000, 2000), (2000, 1200), (3000, 1200)],
                    to: Port("basin", "cold"), fittings: [{basin}]),
                (id: "sink-cold", service: ColdDistribution, from: Port("sink", "cold"), via: [(0, 1100), (500, 1100), (500, 1500)],
                    to: Tee("cold", 1750), fittings: [{sink}]),
            ]"#
        )
    };
    let rule = "distribution-without-drain";
    let cock = |at_mm: i32| format!("(kind: DrainCock, at: {at_mm})");
    // The bath is the lowest outlet and empties neither branch. 800 + 800 along the basin's is its foot; 300 along the sink's.
    assert_eq!(verdict(rule, &text("", "", "")), BREACH);
    assert_eq!(verdict(rule, &text("", &cock(1600), "")), BREACH);
    assert_eq!(verdict(rule, &text("", "", &cock(300))), BREACH);
    assert_eq!(verdict(rule, &text("", &cock(1600), &cock(300))), MEETS);
    // A cock above the dips empties none of them.
    assert_eq!(verdict(rule, &text(&cock(2000), "", "")), BREACH);
    let plain = r#"outlets: [(id: "bath", kind: Bath, at: (1160, 600))],
        runs: [(id: "cold", service: ColdDistribution, from: Onward((1200, 3000)), to: Port("bath", "cold"), fittings: [])]"#;
    assert_eq!(verdict(rule, plain), None);
}

#[test]
fn what_falls_back_into_the_cylinder_is_drained_with_it() {
    // Up from the dome at 1000 to 1100, over and down to a bath at 600; by 400 it does not empty itself.
    let text = |foot_mm: i32| {
        format!(
            r#"cylinders: [(id: "cylinder", at: (0, 0), diameter: 400, height: 1000)],
            outlets: [(id: "bath", kind: Bath, at: (2040, 600))],
            runs: [(id: "hot", service: HotDistribution, from: Port("bath", "hot"), via: [(2000, {foot_mm}), (1000, {foot_mm}), (1000, 1100), (200, 1100)],
                to: Port("cylinder", "draw-off"), fittings: [])]"#
        )
    };
    assert_eq!(verdict("distribution-without-drain", &text(600)), None);
    assert_eq!(verdict("distribution-without-drain", &text(400)), BREACH);
}

#[test]
fn pipes_that_two_cisterns_feed_are_drained_as_one_body() {
    let text = two_cisterns(
        r#"(id: "cold", service: ColdDistribution, from: Port("first", "link"), via: [(800, 300), (2000, 300)], to: Port("basin", "cold"), fittings: []),
        (id: "second-cold", service: ColdDistribution, from: Port("second", "link"), to: Tee("cold", 2500), fittings: [])"#,
    ) + r#", outlets: [(id: "basin", kind: Basin, at: (1960, 800))]"#;
    let findings = findings("distribution-without-drain", &text);
    assert_eq!(findings.iter().map(|finding| finding.judged.verdict).collect::<Vec<_>>(), [Verdict::Breach]);
}

#[test]
fn clips_of_a_tube_that_is_not_told_ask_what_it_is() {
    let text = r#"runs: [(id: "cold", service: ColdDistribution, from: Onward((0, 0)), to: Onward((4000, 0)), clips: (level: 1800))]"#;
    let findings = findings("clips-too-far-apart-level", text);
    assert_eq!(findings[0].reading.have, Have::Untold("tell the material and size of the cold".to_owned()));
}

#[test]
fn hot_water_from_a_combination_boiler_or_a_heater_has_its_dead_leg_too() {
    // The boiler's hot port is at 4000 + 0.7 × 400; the basin's at 4280 − 12 500.
    let combination = r#"boilers: [(id: "boiler", at: (4000, 900), length: 400, height: 700, kind: Combination)],
        outlets: [(id: "basin", kind: Basin, at: (-8180, 900))],
        runs: [(id: "hot", service: HotDistribution, size: 15, from: Port("boiler", "hot"), to: Port("basin", "hot"), insulation: [])]"#;
    let found = measured("dead-leg-too-long", combination);
    assert_eq!(found.len(), 1);
    assert!((found[0].1 - 12_500.0).abs() < 1e-6, "{found:?}");
    assert_eq!(verdict("dead-leg-too-long", combination), BREACH);
    // Drawn towards the heater, 40 aside at each end.
    let heater = r#"outlets: [(id: "basin", kind: Basin, at: (0, 900)), (id: "heater", kind: WaterHeater, at: (900, 900))],
        runs: [(id: "hot", service: HotDistribution, size: 15, from: Port("basin", "hot"), to: Port("heater", "hot"), insulation: [])]"#;
    assert_eq!(measured("dead-leg-too-long", heater), [(vec!["basin".into(), "hot".into()], 900.0)]);
    assert_eq!(verdict("dead-leg-too-long", heater), MEETS);
    // Of a cylinder and a boiler on the same pipes the nearer counts.
    let both = combination.replace("runs: [", r#"cylinders: [(id: "cylinder", at: (-7380, -200), diameter: 400, height: 1000)],
        runs: [(id: "near", service: HotDistribution, size: 15, from: Port("cylinder", "draw-off"), to: Tee("hot", 11460), insulation: []),"#);
    // From −7180 at 800 up to 900 at −7180, on to −8220.
    assert!(
        (measured("dead-leg-too-long", &both)[0].1 - 1140.0).abs() < 1e-6,
        "{:?}",
        measured("dead-leg-too-long", &both)
    );
}
