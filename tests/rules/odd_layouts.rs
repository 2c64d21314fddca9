//! Layouts that are right or wrong in ways that a hasty measure would miss.

use loftwright::layout::Layout;
use loftwright::rules::{self, Verdict};

use super::{findings_of, heaviest};

/// The heaviest verdict of a rule on a layout whose inner text is given; `None` when it is not asked.
fn verdict(rule: &str, text: &str) -> Option<Verdict> {
    let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    let layout: Layout = options.from_str(&format!("(format: 1, {text})")).expect("a layout");
    assert_eq!(layout.broken_references(), [], "{text}");
    heaviest(&findings_of(rules::rule(rule).expect("a rule"), &layout))
}

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
