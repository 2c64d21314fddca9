//! Layouts that are right or wrong in ways that a hasty measure would miss.

use loftwright::rules::Verdict;

use super::judged_text::{findings, verdict};

/// A cistern from 0 to 1000 with its base at 2000, a cylinder from 1500 to 1900 with its top at 1000, and the feed.
fn fed_cylinder(cistern: &str, cylinder: &str, feed: &str, more_runs: &str) -> String {
    format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500, {cistern}
            connections: [(port: "feed", on: Right(75)), (port: "cold", on: Right(50)), (port: "warning", on: Left(445.1))])],
        cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000, {cylinder})],
        runs: [
            (id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"),
                via: [(1250, 2075), (1250, 110)], to: Port("cylinder", "cold-inlet"), {feed}),
            {more_runs}
        ]"#
    )
}

#[test]
fn a_feed_and_expansion_cistern_does_not_hide_the_lone_storage_cistern() {
    let text = r#"cisterns: [
            (id: "cistern", role: Storage, at: (0, 1900), length: 1000, height: 500),
            (id: "expansion", role: FeedAndExpansion, at: (1200, 1900), length: 400, height: 300),
        ],
        cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)]"#;
    assert_eq!(verdict("cylinder-too-near-cistern", text), Some(Verdict::Breach));
}

#[test]
fn a_roof_that_stops_short_of_the_side_does_not_pass() {
    let text = |from: i32| {
        format!(
            "building: (roof: (underside: [({from}, 2900), (2000, 3500)])),
            cisterns: [(id: \"cistern\", role: Storage, at: (0, 2000), length: 1000, height: 500,
                float_valve: (shank: Left(450)))]"
        )
    };
    assert_eq!(verdict("headroom-too-low-at-float-valve", &text(0)), Some(Verdict::Meets));
    assert_eq!(verdict("headroom-too-low-at-float-valve", &text(200)), Some(Verdict::Unknown));
}

#[test]
fn a_valley_over_the_middle_counts_for_both_sides() {
    let text = "building: (roof: (underside: [(-500, 4000), (500, 2800), (1500, 4000)])),
        cisterns: [(id: \"cistern\", role: Storage, at: (0, 2000), length: 1000, height: 500,
            float_valve: (shank: Left(450)))]";
    assert_eq!(verdict("headroom-too-low-at-float-valve", text), Some(Verdict::Breach));
    assert_eq!(verdict("headroom-too-low-opposite", text), Some(Verdict::Breach));
}

#[test]
fn a_valve_upstream_of_a_tee_does_not_serve_one_appliance() {
    let text = |valve_mm: i32| {
        format!(
            r#"outlets: [(id: "wc", kind: Wc, at: (0, 400)), (id: "basin", kind: Basin, at: (600, 800))],
            runs: [
                (id: "cold", service: ColdDistribution, from: Onward((40, 2400)), to: Port("wc", "cold"),
                    fittings: [(kind: ServiceValve, at: {valve_mm})]),
                (id: "basin-cold", service: ColdDistribution, from: Tee("cold", 1000), to: Port("basin", "cold")),
            ]"#
        )
    };
    assert_eq!(verdict("appliance-without-service-valve", &text(900)), Some(Verdict::Breach));
    assert_eq!(verdict("appliance-without-service-valve", &text(1100)), Some(Verdict::Meets));
}

#[test]
fn the_distribution_valve_stands_before_all_branches() {
    let text = |from: &str, to: &str, valve_mm: i32, tee_mm: i32| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
                connections: [(port: "cold", on: Right(50))])],
            runs: [
                (id: "cold", service: ColdDistribution, from: {from}, to: {to},
                    fittings: [(kind: GateValve, at: {valve_mm})]),
                (id: "branch", service: ColdDistribution, from: Tee("cold", {tee_mm}), to: Onward((1500, 0))),
            ]"#
        )
    };
    let (port, far) = (r#"Port("cistern", "cold")"#, "Onward((3000, 2050))");
    assert_eq!(verdict("cold-distribution-without-valve", &text(port, far, 300, 600)), Some(Verdict::Meets));
    assert_eq!(verdict("cold-distribution-without-valve", &text(port, far, 800, 600)), Some(Verdict::Breach));
    // Drawn the other way, along a pipe of 2000.
    assert_eq!(verdict("cold-distribution-without-valve", &text(far, port, 1700, 1400)), Some(Verdict::Meets));
    assert_eq!(verdict("cold-distribution-without-valve", &text(far, port, 1200, 1400)), Some(Verdict::Breach));
    assert_eq!(verdict("cold-distribution-valve-too-far", &text(far, port, 1700, 1400)), Some(Verdict::Meets));
}

#[test]
fn an_appliance_is_supplied_by_its_ports_whichever_way_the_pipe_is_drawn() {
    let hot = |kind: &str, from: &str, to: &str| {
        format!(
            r#"outlets: [(id: "appliance", kind: {kind}, at: (0, 400))],
            runs: [(id: "hot", service: HotDistribution, from: {from}, to: {to}, fittings: [])]"#
        )
    };
    let (port, far) = (r#"Port("appliance", "hot")"#, "Onward((0, 1000))");
    assert_eq!(verdict("appliance-without-service-valve", &hot("WashingMachine", port, far)), Some(Verdict::Breach));
    assert_eq!(verdict("appliance-without-service-valve", &hot("WashingMachine", far, port)), Some(Verdict::Breach));
    // A water heater's hot pipe is no supply: what supplies it is not drawn.
    assert_eq!(verdict("appliance-without-service-valve", &hot("WaterHeater", far, port)), Some(Verdict::Unknown));
    let mains = |kind: &str| {
        format!(
            r#"boilers: [(id: "boiler", at: (0, 1000), length: 400, height: 700, {kind})],
            runs: [(id: "main", service: RisingMain, from: Onward((120, 0)), to: Port("boiler", "mains"), fittings: [])]"#
        )
    };
    assert_eq!(verdict("appliance-without-service-valve", &mains("kind: Combination")), Some(Verdict::Breach));
    assert_eq!(verdict("appliance-without-service-valve", &mains("")), Some(Verdict::Breach));
}

#[test]
fn a_valve_that_is_known_of_is_not_hidden_by_a_run_that_is_not_told() {
    let text = |stub: &str, riser: &str| {
        format!(
            r#"cylinders: [(id: "cylinder", at: (0, 0), diameter: 400, height: 1000)],
            runs: [
                (id: "draw-off", service: HotDistribution, from: Port("cylinder", "draw-off"), to: Onward((2000, 1100)), {stub}),
                (id: "open-vent", service: OpenVent, from: Tee("draw-off", 900), to: Open((1100, 3000)), {riser}),
            ]"#
        )
    };
    let (none, valve) = ("fittings: []", "fittings: [(kind: GateValve, at: 500)]");
    assert_eq!(verdict("vent-valved", &text("", valve)), Some(Verdict::Breach));
    assert_eq!(verdict("vent-valved", &text("", none)), Some(Verdict::Unknown));
    assert_eq!(verdict("vent-valved", &text(none, none)), Some(Verdict::Meets));
    // Past the tee a valve shuts the taps and not the vent.
    assert_eq!(verdict("vent-valved", &text("fittings: [(kind: GateValve, at: 1200)]", none)), Some(Verdict::Meets));
}

#[test]
fn a_drain_cock_may_sit_on_a_branch_of_the_cold_feed() {
    let drained = |from: &str, via: &str, to: &str, at_mm: i32| {
        let branch = format!(
            r#"(id: "drain", service: ColdFeed, from: {from}, via: [{via}], to: {to},
                fittings: [(kind: DrainCock, at: {at_mm})])"#
        );
        fed_cylinder("", "", "fittings: []", &branch)
    };
    // 250 along, then 1965 down from 2075 to 110: the tee at 2215 is at the foot.
    let (foot, out) = (r#"Tee("cold-feed", 2215)"#, "Open((750, 110))");
    assert_eq!(verdict("cold-feed-without-drain", &drained(foot, "", out, 400)), Some(Verdict::Meets));
    assert_eq!(verdict("cold-feed-without-drain", &drained(out, "", foot, 100)), Some(Verdict::Meets));
    // A tee 1215 down the feed is at 1110: what stands below it stays, however low the drain cock is.
    let high = r#"Tee("cold-feed", 1215)"#;
    let down = drained(high, "(750, 1110)", "Open((750, 0))", 1500);
    assert_eq!(verdict("cold-feed-without-drain", &down), Some(Verdict::Breach));
    assert_eq!(verdict("cold-feed-without-drain", &fed_cylinder("", "", "fittings: []", "")), Some(Verdict::Breach));
}

#[test]
fn a_cold_feed_is_judged_alike_whichever_way_it_is_drawn() {
    let text = |from: &str, via: &str, to: &str, valve_mm: i32, drain_mm: i32| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
                connections: [(port: "feed", on: Right(50))])],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)],
            runs: [(id: "cold-feed", service: ColdFeed, from: {from}, via: [{via}], to: {to},
                fittings: [(kind: GateValve, at: {valve_mm}), (kind: DrainCock, at: {drain_mm})])]"#
        )
    };
    let (up, down) = (r#"Port("cistern", "feed")"#, r#"Port("cylinder", "cold-inlet")"#);
    let forth = text(up, "(1250, 2050), (1250, 110)", down, 1305, 2035);
    let back = text(down, "(1250, 110), (1250, 2050)", up, 2440 - 1305, 2440 - 2035);
    for rule in ["cold-feed-valve-too-low", "cold-feed-without-drain"] {
        assert_eq!(verdict(rule, &forth), Some(Verdict::Breach), "{rule}");
        assert_eq!(verdict(rule, &back), Some(Verdict::Breach), "{rule}");
    }
}

#[test]
fn a_cistern_feeds_what_is_teed_off_its_pipes() {
    let text = |first: &str, second: &str| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500,
                water_line: 400, connections: [(port: "out", on: Right(75))])],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)],
            runs: [{first}, {second}]"#
        )
    };
    // 200 L: enough for a cylinder alone, too little for taps as well.
    let taps_off_the_feed = text(
        r#"(id: "cold-feed", service: ColdFeed, from: Port("cistern", "out"), to: Port("cylinder", "cold-inlet"))"#,
        r#"(id: "cold", service: ColdDistribution, from: Tee("cold-feed", 300), to: Onward((1200, 0)))"#,
    );
    let feed_off_the_taps = text(
        r#"(id: "cold", service: ColdDistribution, from: Port("cistern", "out"), to: Onward((1200, 0)), fittings: [])"#,
        r#"(id: "cold-feed", service: ColdFeed, from: Tee("cold", 300), to: Port("cylinder", "cold-inlet"), fittings: [])"#,
    );
    for text in [&taps_off_the_feed, &feed_off_the_taps] {
        assert_eq!(verdict("storage-too-small-for-taps", text), Some(Verdict::Breach));
        assert_eq!(verdict("storage-too-small-for-cylinder", text), None);
        assert_eq!(verdict("cold-feed-too-low", text), Some(Verdict::Breach));
        assert_eq!(verdict("cylinder-too-near-cistern", text), Some(Verdict::Meets));
    }
    assert_eq!(verdict("cold-feed-without-valve", &feed_off_the_taps), Some(Verdict::Breach));
}

#[test]
fn of_two_warning_pipes_the_water_meets_the_lower_and_the_inlet_the_higher() {
    let text = |water_line: i32, outlet: i32| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 600,
                water_line: {water_line}, float_valve: (shank: Right(550), outlet: {outlet}),
                connections: [(port: "warning", on: Left(410.1)), (port: "overflow", on: Left(460.1))])],
            runs: [
                (id: "warning-pipe", service: WarningPipe, material: Copper, size: 22,
                    from: Port("cistern", "warning"), to: Open((-500, 2300))),
                (id: "overflow-pipe", service: WarningPipe, material: Copper, size: 22,
                    from: Port("cistern", "overflow"), to: Open((-500, 2350))),
            ]"#
        )
    };
    // Inverts at 400 and 450.
    assert_eq!(verdict("water-line-too-near-overflow", &text(375, 475)), Some(Verdict::Meets));
    assert_eq!(verdict("water-line-too-near-overflow", &text(380, 475)), Some(Verdict::Breach));
    assert_eq!(verdict("float-valve-too-near-overflow", &text(375, 475)), Some(Verdict::Meets));
    assert_eq!(verdict("float-valve-too-near-overflow", &text(375, 470)), Some(Verdict::Breach));
}

#[test]
fn a_warning_pipe_falls_outward_whichever_way_and_in_however_many_runs_it_is_drawn() {
    let text = |second_from: &str, second_to: &str, far_mm: i32| {
        format!(
            r#"cisterns: [
                (id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
                    connections: [(port: "warning", on: Left(445))]),
                (id: "other", role: Storage, at: (-1500, 2000), length: 1000, height: 500,
                    connections: [(port: "warning", on: Right(445))]),
            ],
            runs: [
                (id: "warning-pipe", service: WarningPipe, from: Open((-250, {far_mm})), via: [(-250, 2400)],
                    to: Port("cistern", "warning"), screen: Mesh(0.65)),
                (id: "second", service: WarningPipe, from: {second_from}, to: {second_to}),
            ]"#
        )
    };
    let (port, tee) = (r#"Port("other", "warning")"#, r#"Tee("warning-pipe", 400)"#);
    // The first is 400 tall from 2000 up to its bend at 2400, where the second joins it.
    for (from, to) in [(port, tee), (tee, port)] {
        assert_eq!(verdict("warning-pipe-rises", &text(from, to, 2000)), Some(Verdict::Meets));
        assert_eq!(verdict("warning-pipe-rises", &text(from, to, 2500)), Some(Verdict::Breach));
        // What runs into another warning pipe has no end to screen.
        assert_eq!(verdict("warning-pipe-unscreened", &text(from, to, 2000)), Some(Verdict::Meets));
    }
    // A piece drawn from its open end to the pipe that it carries on.
    let onward = text("Open((-700, 1990))", r#"Tee("warning-pipe", 0)"#, 2000);
    assert_eq!(verdict("warning-pipe-rises", &onward), Some(Verdict::Meets));
}

#[test]
fn a_platform_behind_another_is_not_below_the_cistern_in_front() {
    let text = r#"platforms: [
            (id: "front", at: (-150, 2000), length: 1300, depth: 800, behind: 0, board: (material: MarinePly)),
            (id: "back", at: (-200, 2000), length: 1400, depth: 800, behind: 1000, board: (material: Chipboard)),
        ],
        cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500, behind: 0)]"#;
    assert_eq!(verdict("platform-of-chipboard", text), Some(Verdict::Meets));
    assert_eq!(verdict("platform-overhang-too-small", text), Some(Verdict::Meets));
}

#[test]
fn two_cisterns_on_one_platform_weigh_together_and_one_half_off_it_is_seen() {
    let text = |left_mm: i32, confirmed_kg: i32| {
        format!(
            r#"platforms: [(id: "platform", at: (-150, 2000), length: 2500, depth: 800, behind: 0,
                confirmed_load: {confirmed_kg})],
            cisterns: [
                (id: "first", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500, behind: 0,
                    rim_volume: 200, empty_mass: 10),
                (id: "second", role: Storage, at: ({left_mm}, 2000), length: 1000, width: 500, height: 500, behind: 0,
                    rim_volume: 200, empty_mass: 10),
            ]"#
        )
    };
    assert_eq!(verdict("platform-overloaded", &text(1200, 420)), Some(Verdict::Meets));
    assert_eq!(verdict("platform-overloaded", &text(1200, 419)), Some(Verdict::Breach));
    assert_eq!(verdict("platform-overhang-too-small", &text(1200, 420)), Some(Verdict::Meets));
    assert_eq!(verdict("platform-overhang-too-small", &text(1900, 420)), Some(Verdict::Breach));
    assert_eq!(verdict("platform-overloaded", &text(1900, 419)), Some(Verdict::Breach));
}

#[test]
fn bearers_and_joists_are_counted_whichever_way_they_lie() {
    let text = |timbers: &str, platform: &str| {
        format!(
            r#"{timbers}
            platforms: [(id: "platform", at: (-150, 2000), length: 1300, {platform})],
            cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500)]"#
        )
    };
    let along =
        "building: (joists: (top: 1980, first: -350, spacing: 350, count: 9, breadth: 47, depth: 147, lie: Along)),";
    // From 400 in front to 400 behind: −350, 0, 350.
    assert_eq!(verdict("too-few-joists", &text(along, "depth: 800, behind: 0")), Some(Verdict::Meets));
    assert_eq!(verdict("too-few-joists", &text(along, "depth: 690, behind: 0")), Some(Verdict::Breach));
    assert_eq!(verdict("too-few-joists", &text(along, "depth: 800")), Some(Verdict::Unknown));
    // Bearers on joists that are too far apart carry the platform.
    let wide = "building: (joists: (top: 1980, first: 0, spacing: 600, count: 2, breadth: 47, depth: 147)),";
    let bearers =
        "depth: 800, behind: 0, bearers: (count: 3, spacing: 350, first: 50, breadth: 47, depth: 100, lie: Along)";
    assert_eq!(verdict("too-few-joists", &text(wide, "")), Some(Verdict::Breach));
    assert_eq!(verdict("joists-too-far-apart", &text(wide, "")), Some(Verdict::Breach));
    assert_eq!(verdict("too-few-joists", &text(wide, bearers)), Some(Verdict::Meets));
    assert_eq!(verdict("joists-too-far-apart", &text(wide, bearers)), Some(Verdict::Meets));
}

#[test]
fn a_vent_is_followed_from_the_dome_however_hot_and_vent_are_joined() {
    let text = |runs: &str| {
        format!(r#"cylinders: [(id: "cylinder", at: (0, 0), diameter: 400, height: 1000)], runs: [{runs}]"#)
    };
    let straight_up = text(
        r#"(id: "open-vent", service: OpenVent, from: Port("cylinder", "draw-off"), to: Open((200, 3000)), fittings: []),
        (id: "hot", service: HotDistribution, from: Tee("open-vent", 300), to: Onward((2000, 1300)),
            fittings: [(kind: GateValve, at: 100)])"#,
    );
    assert_eq!(verdict("vent-offset-too-short", &straight_up), Some(Verdict::Breach));
    assert_eq!(verdict("vent-valved", &straight_up), Some(Verdict::Meets));
    // Drawn from its open end down, teed off a draw-off that was drawn towards the cylinder.
    let backwards = text(
        r#"(id: "hot", service: HotDistribution, from: Onward((2000, 1110)), via: [(200, 1100)], to: Port("cylinder", "draw-off")),
        (id: "open-vent", service: OpenVent, from: Open((650, 3000)), to: Tee("hot", 1350.0))"#,
    );
    assert_eq!(verdict("vent-offset-too-short", &backwards), Some(Verdict::Meets));
    assert_eq!(verdict("vent-falls", &backwards), Some(Verdict::Meets));
    // One that slants all the way up has its whole length aside.
    let slanting =
        text(r#"(id: "open-vent", service: OpenVent, from: Port("cylinder", "draw-off"), to: Open((2200, 2500)))"#);
    assert_eq!(verdict("vent-offset-too-short", &slanting), Some(Verdict::Meets));
}

#[test]
fn each_cylinder_has_its_own_vent_and_cistern() {
    let text = r#"cisterns: [
            (id: "left", role: Storage, at: (0, 3000), length: 1000, height: 500, water_line: 400,
                connections: [(port: "feed", on: Left(50))]),
            (id: "right", role: Storage, at: (3000, 3000), length: 1000, height: 500, water_line: 400,
                connections: [(port: "feed", on: Right(50))]),
        ],
        cylinders: [
            (id: "one", at: (0, 0), diameter: 400, height: 1000),
            (id: "two", at: (4500, 0), diameter: 400, height: 1000),
        ],
        runs: [
            (id: "feed-one", service: ColdFeed, from: Port("left", "feed"), to: Port("one", "cold-inlet")),
            (id: "feed-two", service: ColdFeed, from: Port("two", "cold-inlet"), to: Port("right", "feed")),
            (id: "vent-one", service: OpenVent, from: Port("one", "draw-off"), via: [(200, 4000), (500, 4000)], to: Open((500, 3800))),
            (id: "vent-two", service: OpenVent, from: Port("two", "draw-off"), via: [(4700, 4000), (900, 4000)], to: Open((900, 3800))),
        ]"#;
    let findings = findings("vent-ends-elsewhere", text);
    let found: Vec<_> = findings.iter().map(|finding| (finding.subject().as_str(), finding.judged.verdict)).collect();
    assert_eq!(found, [("vent-two", Verdict::Breach), ("vent-one", Verdict::Meets)]);
}

#[test]
fn a_float_valve_without_a_pipe_is_not_passed() {
    let text = r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500, float_valve: (shank: Left(450)))]"#;
    assert_eq!(verdict("float-valve-without-service-valve", text), Some(Verdict::Unknown));
}

#[test]
fn feed_and_distribution_from_the_base_leave_at_one_height() {
    let text = r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
            connections: [(port: "feed", on: Base(200)), (port: "cold", on: Base(800))])],
        runs: [
            (id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"), to: Onward((200, 0))),
            (id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), to: Onward((800, 0))),
        ]"#;
    assert_eq!(verdict("cold-feed-too-low", text), Some(Verdict::Breach));
}

#[test]
fn a_vent_whose_cold_feed_is_not_drawn_is_not_passed() {
    let text = r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500, water_line: 400)],
        cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)],
        runs: [(id: "open-vent", service: OpenVent, size: 22, from: Port("cylinder", "draw-off"),
            via: [(1700, 3000), (500, 3000)], to: Open((500, 2900)))]"#;
    for rule in ["vent-too-low", "vent-ends-elsewhere", "vent-mouth-too-near"] {
        assert_eq!(verdict(rule, text), Some(Verdict::Unknown), "{rule}");
    }
}

#[test]
fn a_valve_past_a_joint_end_to_end_is_the_valve_of_the_pipe() {
    // 400 from the cistern to a joint, then on; drawn either way. The valve is 200 past the joint.
    let text = |more: &str, second: &str| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
                connections: [(port: "cold", on: Right(50))])],
            runs: [
                (id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), to: Onward((1400, 2050)), fittings: []),
                {second},
                {more}
            ]"#
        )
    };
    let forth = |valve_mm: i32| {
        format!(
            r#"(id: "second", service: ColdDistribution, from: Tee("cold", 400), to: Onward((3000, 2050)),
                fittings: [(kind: GateValve, at: {valve_mm})])"#
        )
    };
    let back = r#"(id: "second", service: ColdDistribution, from: Onward((3000, 2050)), to: Tee("cold", 400),
        fittings: [(kind: GateValve, at: 1400)])"#;
    for second in [forth(200), back.to_owned()] {
        for rule in ["cold-distribution-without-valve", "outlet-without-service-valve"] {
            assert_eq!(verdict(rule, &text("", &second)), Some(Verdict::Meets), "{rule}");
        }
        assert_eq!(verdict("cold-distribution-valve-too-far", &text("", &second)), Some(Verdict::Meets));
    }
    assert_eq!(verdict("cold-distribution-valve-too-far", &text("", &forth(700))), Some(Verdict::Breach));
    // A third pipe at the joint is a branch: the valve past it shuts only one of them.
    let third =
        r#"(id: "third", service: ColdDistribution, from: Tee("cold", 400), to: Onward((1400, 0)), fittings: [])"#;
    assert_eq!(verdict("outlet-without-service-valve", &text(third, &forth(200))), Some(Verdict::Breach));
    // What is in the second is not told.
    let untold = r#"(id: "second", service: ColdDistribution, from: Tee("cold", 400), to: Onward((3000, 2050)))"#;
    assert_eq!(verdict("outlet-without-service-valve", &text("", untold)), Some(Verdict::Unknown));
    // Joined in the middle of the second, it branches both ways.
    let crossing =
        r#"(id: "second", service: ColdDistribution, from: Onward((1400, 0)), to: Onward((1400, 3000)), fittings: [])"#;
    let joined = text("", crossing).replace("to: Onward((1400, 2050))", r#"to: Tee("second", 2050)"#);
    assert_eq!(verdict("outlet-without-service-valve", &joined), Some(Verdict::Breach));
}

#[test]
fn a_pipe_without_length_is_not_judged_by_what_is_not_in_it() {
    let text = r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
            connections: [(port: "cold", on: Right(50))])],
        runs: [(id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), to: Open((1000, 2050)), fittings: [])]"#;
    assert_eq!(verdict("outlet-without-service-valve", text), Some(Verdict::Unknown));
    assert_eq!(verdict("cold-distribution-without-valve", text), Some(Verdict::Unknown));
}

#[test]
fn what_lies_beyond_the_end_of_its_pipe_is_asked_about() {
    let rule = "place-beyond-pipe";
    // The pipe is 2000 long; one distance is rounded up, and another counts from before its beginning.
    let text = |fitting: &str, tee: &str| {
        format!(
            r#"runs: [
                (id: "cold", service: ColdDistribution, from: Onward((0, 2000)), via: [(1000, 2000)], to: Open((1000, 1000)),
                    fittings: [{fitting}]),
                (id: "branch", service: ColdDistribution, from: Tee("cold", {tee}), to: Open((3000, 1000)))]"#
        )
    };
    let at = |mm: &str| format!("(kind: DrainCock, at: {mm})");
    assert_eq!(verdict(rule, &text(&at("1500"), "500")), Some(Verdict::Meets));
    assert_eq!(verdict(rule, &text(&at("2000.4"), "2000.4")), Some(Verdict::Meets));
    assert_eq!(verdict(rule, &text(&at("2010"), "500")), Some(Verdict::Unknown));
    assert_eq!(verdict(rule, &text(&at("-10"), "500")), Some(Verdict::Unknown));
    assert_eq!(verdict(rule, &text("", "2500")), Some(Verdict::Unknown));
    assert_eq!(
        verdict(rule, r#"runs: [(id: "bare", service: ColdFeed, from: Onward((0, 0)), to: Onward((0, 500)))]"#),
        None
    );
}
