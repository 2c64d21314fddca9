//! Heating that is open to the air, joined in other ways than usual: feed and vent on both sides of the boiler or of the
//! pump, on a port of the boiler, round a bypass, through a vent; several heatings, and what of them is not drawn.

use super::judged::{BREACH, MEETS, UNKNOWN};
use super::judged_text::{measured, verdict};

const APART: &str = "primary-feed-too-far-from-vent";
const PUMP: &str = "pump-between-feed-and-vent";
const PUMPED: &str = "primary-vent-too-low";
const GRAVITY: &str = "gravity-primary-vent-too-low";
const OVER_CIRCUIT: &str = "feed-and-expansion-too-low";
const OVER_BOILER: &str = "boiler-head-too-small";

/// A flow straight up from (920, 600) on the boiler, a return straight down to (1080, 600) from 1400 above the datum.
pub(super) fn heating(vent: &str, feed: &str, flow_fittings: &str, more: &str) -> String {
    format!(
        r#"cisterns: [(id: "expansion", role: FeedAndExpansion, at: (0, 4000), length: 400, height: 300, water_line: 100,
            connections: [(port: "feed", on: Right(50))])],
        boilers: [(id: "boiler", at: (800, 0), length: 400, height: 600)],
        runs: [
            (id: "flow", service: PrimaryFlow, from: Port("boiler", "flow"), via: [(920, 2000)], to: Onward((3000, 2000)),
                fittings: [{flow_fittings}]),
            (id: "return", service: PrimaryReturn, from: Onward((3000, 1400)), via: [(1080, 1400)],
                to: Port("boiler", "return"), fittings: []),
            (id: "vent", service: PrimaryVent, from: {vent}, via: [(700, 1500), (700, 5000), (200, 5000)],
                to: Open((200, 4900)), fittings: []),
            (id: "feed", service: PrimaryFeed, from: Port("expansion", "feed"), via: [(1500, 4050)], to: {feed},
                fittings: []),
            {more}
        ]"#
    )
}

/// The return is 1920 + 800 long; its end at the boiler is 2720 along.
const ON_RETURN: &str = r#"Tee("return", 2620)"#;

fn apart_mm(text: &str) -> f64 {
    let found = measured(APART, text);
    assert_eq!(found[0].0, ["feed", "vent"]);
    found[0].1
}

#[test]
fn feed_and_vent_on_both_sides_of_the_boiler_are_joined_through_it() {
    // 100 on the return, 160 across the boiler, 50 on the flow.
    let vent = r#"Tee("flow", 50)"#;
    let text = heating(vent, ON_RETURN, "(kind: Pump, at: 600)", "");
    assert!((apart_mm(&text) - 310.0).abs() < 1e-6);
    assert_eq!(verdict(APART, &text), BREACH);
    assert_eq!(verdict(PUMP, &text), MEETS);
    assert_eq!(verdict(PUMP, &heating(vent, ON_RETURN, "(kind: Pump, at: 30)", "")), BREACH);
}

#[test]
fn a_vent_on_the_port_of_the_flow_leaves_where_the_flow_begins() {
    let text = heating(r#"Port("boiler", "flow")"#, r#"Tee("flow", 120)"#, "(kind: Pump, at: 600)", "");
    assert!((apart_mm(&text) - 120.0).abs() < 1e-6);
    assert_eq!(verdict(APART, &text), MEETS);
}

#[test]
fn the_shorter_way_round_a_bypass_counts() {
    // From 300 above the boiler on the return by a bypass of 160 to 300 on the flow, and back to 200.
    let bypass =
        r#"(id: "bypass", service: PrimaryFlow, from: Tee("flow", 300), to: Tee("return", 2420), fittings: [])"#;
    let text = heating(r#"Tee("flow", 200)"#, r#"Tee("return", 2420)"#, "(kind: Pump, at: 600)", bypass);
    assert!((apart_mm(&text) - 260.0).abs() < 1e-6);
}

#[test]
fn where_water_moves_by_gravity_no_pump_parts_feed_and_vent() {
    let text = heating(r#"Tee("flow", 50)"#, ON_RETURN, "", "");
    for rule in [APART, PUMP, OVER_CIRCUIT] {
        assert_eq!(verdict(rule, &text), None, "{rule}");
    }
    // 4100 − 600.
    let found = measured(OVER_BOILER, &text);
    assert_eq!(found, [(vec!["boiler".to_owned(), "expansion".to_owned()], 3500.0)]);
}

#[test]
fn sealed_heating_has_no_water_line_to_be_low() {
    let text = heating(r#"Tee("flow", 50)"#, ON_RETURN, "(kind: Pump, at: 600)", "");
    let (_, rest) = text.split_once("boilers:").expect("boilers");
    let sealed = format!("boilers:{}", rest.replace(r#"Port("expansion", "feed")"#, "Onward((400, 4050))"));
    for rule in [OVER_CIRCUIT, OVER_BOILER] {
        assert_eq!(verdict(rule, &sealed), None, "{rule}");
    }
}

#[test]
fn a_vent_that_carries_the_flow_is_left_where_the_flow_leaves_it() {
    // The flow is teed off the vent 400 above the boiler, with the pump below that: 100 + 160 + 400.
    let text = heating(r#"Port("boiler", "flow")"#, ON_RETURN, "", "")
        .replace(r#"from: Port("boiler", "flow"), via: [(920, 2000)], to: Onward((3000, 2000)),"#,
            r#"from: Tee("vent", 400), via: [(920, 2000)], to: Onward((3000, 2000)),"#)
        .replace("via: [(700, 1500), (700, 5000), (200, 5000)],\n                to: Open((200, 4900)), fittings: []",
            "via: [(920, 1100), (700, 1500), (700, 5000), (200, 5000)],\n                to: Open((200, 4900)), fittings: [(kind: Pump, at: 200)]");
    assert!((apart_mm(&text) - 660.0).abs() < 1e-6, "{}", apart_mm(&text));
    assert_eq!(verdict(PUMP, &text), BREACH);
}

#[test]
fn a_feed_that_joins_a_vent_does_not_make_it_a_way_round() {
    let text = heating(r#"Tee("flow", 50)"#, r#"Tee("vent", 500)"#, "", "")
        .replace("to: Open((200, 4900)), fittings: []", "to: Open((200, 4900)), fittings: [(kind: Pump, at: 300)]");
    assert_eq!(verdict("primary-vent-valved", &text), BREACH);
    // That pump moves nothing round.
    assert_eq!(verdict(PUMPED, &text), None);
}

/// A coil on the flow and the return, fed without a pump, and radiators beyond a pump.
fn with_coil(pump_to_radiators: &str) -> String {
    let more = r#"(id: "to-coil", service: PrimaryFlow, from: Tee("flow", 900), to: Port("cylinder", "coil-flow"), fittings: []),
            (id: "from-coil", service: PrimaryReturn, from: Port("cylinder", "coil-return"), to: Tee("return", 2020),
                fittings: [])"#;
    let text = heating(r#"Tee("flow", 50)"#, ON_RETURN, pump_to_radiators, more);
    format!("cylinders: [(id: \"cylinder\", at: (1500, 1000), diameter: 400, height: 900, coil: true)], {text}")
}

#[test]
fn hot_water_by_gravity_beside_pumped_radiators_is_not_fully_pumped() {
    let text = with_coil("(kind: Pump, at: 1800)");
    for rule in [APART, PUMP, PUMPED, OVER_CIRCUIT] {
        assert_eq!(verdict(rule, &text), None, "{rule}");
    }
    assert_eq!(verdict(GRAVITY, &text), MEETS);
    // With the pump before the branch all of it is pumped.
    assert_eq!(verdict(APART, &with_coil("(kind: Pump, at: 600)")), BREACH);
}

#[test]
fn heatings_that_share_no_water_are_judged_apart() {
    // Beside a heating by gravity a sealed one that is pumped, its boiler above the cistern.
    let gravity = heating(r#"Tee("flow", 50)"#, ON_RETURN, "", "");
    let sealed = gravity
        .replace("boilers: [", r#"boilers: [(id: "sealed", at: (5000, 4500), length: 400, height: 600),"#)
        .replace(
            "runs: [",
            r#"runs: [
            (id: "sealed-flow", service: PrimaryFlow, from: Port("sealed", "flow"), to: Onward((5120, 5800)),
                fittings: [(kind: Pump, at: 300)]),"#,
        );
    for rule in [APART, PUMP, PUMPED, OVER_CIRCUIT] {
        assert_eq!(verdict(rule, &sealed), None, "{rule}");
    }
    assert_eq!(measured(GRAVITY, &sealed), measured(GRAVITY, &gravity));
    assert_eq!(measured(OVER_BOILER, &sealed), measured(OVER_BOILER, &gravity));
}

#[test]
fn what_is_not_drawn_of_feed_and_vent_is_unknown() {
    let (vent, pump) = (r#"Tee("flow", 50)"#, "(kind: Pump, at: 600)");
    let whole = heating(vent, r#"Tee("flow", 120)"#, pump, "");
    assert_eq!([APART, PUMP, PUMPED].map(|rule| verdict(rule, &whole)), [MEETS; 3]);
    let feed_goes_on = heating(vent, "Onward((1500, 3000))", pump, "");
    assert_eq!([APART, PUMP].map(|rule| verdict(rule, &feed_goes_on)), [UNKNOWN; 2]);
    let vent_goes_on = whole.replace("to: Open((200, 4900))", "to: Onward((200, 4900))");
    assert_eq!(verdict(PUMPED, &vent_goes_on), UNKNOWN);
    let (before, after) = whole.split_once("(id: \"vent\"").expect("a vent");
    let (_, after) = after.split_once("fittings: []),").expect("its end");
    assert_eq!(verdict(PUMPED, &format!("{before}{after}")), UNKNOWN);
    // The flow goes on beyond the drawing: what is drawn may be met, the rest is not known.
    assert_eq!(verdict(OVER_CIRCUIT, &whole), UNKNOWN);
    assert_eq!(verdict(OVER_CIRCUIT, &whole.replace("(0, 4000)", "(0, 2300)")), BREACH);
}

#[test]
fn of_two_cisterns_on_one_heating_the_higher_stands_over_the_boiler() {
    let text = heating(
        r#"Tee("flow", 50)"#,
        ON_RETURN,
        "(kind: Pump, at: 600)",
        r#"(id: "other-feed", service: PrimaryFeed, from: Port("other", "feed"), via: [(2000, 5050), (2000, 1400)],
            to: Tee("return", 1000), fittings: [])"#,
    );
    let other = r#"(id: "other", role: FeedAndExpansion, at: (0, 5000), length: 400, height: 300, water_line: 100,
            connections: [(port: "feed", on: Right(50))])"#;
    let first = "connections: [(port: \"feed\", on: Right(50))])],";
    assert_eq!(text.matches(first).count(), 1);
    let after = text.replacen(first, &format!("{}, {other}],", &first[..first.len() - 2]), 1);
    let before = text.replacen("cisterns: [", &format!("cisterns: [{other}, "), 1);
    for text in [before, after] {
        // 5000 + 100 over the ports at 600.
        assert_eq!(measured(OVER_BOILER, &text)[0].1, 4500.0);
    }
}

const NARROW: &str = "primary-vent-too-narrow";

/// Two boilers, each with a straight flow and a vent off it at 400, joined by a link at 300; each tube so wide.
fn two_boilers([flow, link, second_flow]: [u32; 3], second_vent: &str) -> String {
    format!(
        r#"cisterns: [(id: "expansion", role: FeedAndExpansion, at: (0, 4000), length: 400, height: 300, water_line: 100)],
        boilers: [
            (id: "first", at: (800, 0), length: 400, height: 600), (id: "second", at: (2800, 0), length: 400, height: 600),
        ],
        runs: [
            (id: "flow", service: PrimaryFlow, size: {flow}, from: Port("first", "flow"), to: Onward((920, 1600)),
                fittings: []),
            (id: "second-flow", service: PrimaryFlow, size: {second_flow}, from: Port("second", "flow"),
                to: Onward((2920, 1600)), fittings: []),
            (id: "link", service: PrimaryFlow, size: {link}, from: Tee("flow", 300), to: Tee("second-flow", 300),
                fittings: []),
            (id: "vent", service: PrimaryVent, size: 22, from: Tee("flow", 400), via: [(200, 1000)],
                to: Open((200, 4500)), fittings: []),
            {second_vent}
        ]"#
    )
}

const SECOND_VENT: &str = r#"(id: "second-vent", service: PrimaryVent, size: 22, from: Tee("second-flow", 400),
    via: [(3500, 1000), (3500, 5000), (300, 5000)], to: Open((300, 4500)), fittings: [])"#;

/// Of each reading of the widths of primary vents the vent, and the narrowest size on its way in mm.
fn narrowest(text: &str) -> Vec<(String, f64)> {
    let mut found: Vec<_> =
        measured(NARROW, text).into_iter().map(|(parts, size_mm)| (parts[0].clone(), size_mm)).collect();
    found.sort_by(|a, b| a.0.cmp(&b.0));
    found
}

#[test]
fn a_vent_is_as_wide_as_the_way_from_the_nearest_boiler() {
    let of = |vent: &str, size_mm: f64| (vent.to_owned(), size_mm);
    // A narrow link between two boilers that have a vent each is on no way out.
    let linked = two_boilers([22, 15, 22], SECOND_VENT);
    assert_eq!(narrowest(&linked), [of("second-vent", 22.0), of("vent", 22.0)]);
    // What is narrow before the second vent leaves the first as it is.
    let second_narrow = two_boilers([22, 22, 15], SECOND_VENT);
    assert_eq!(narrowest(&second_narrow), [of("second-vent", 15.0), of("vent", 22.0)]);
    // A boiler without a vent of its own has the other's, by the link.
    assert_eq!(narrowest(&two_boilers([22, 15, 22], "")), [of("vent", 15.0)]);
    assert_eq!(narrowest(&two_boilers([22, 28, 28], "")), [of("vent", 22.0)]);
}

#[test]
fn a_pipe_that_a_way_only_meets_is_not_on_it() {
    // The vent leaves where the flow begins: none of the flow is before it.
    let text = heating(r#"Tee("flow", 0)"#, ON_RETURN, "", "")
        .replace("service: PrimaryFlow,", "service: PrimaryFlow, size: 15,")
        .replace("service: PrimaryVent,", "service: PrimaryVent, size: 22,");
    assert_eq!(narrowest(&text), [("vent".to_owned(), 22.0)]);
}

#[test]
fn a_vent_off_the_return_is_as_wide_as_the_return() {
    // 620 above the boiler on the return.
    let text = heating(r#"Tee("return", 2100)"#, ON_RETURN, "", "")
        .replace("service: PrimaryFlow,", "service: PrimaryFlow, size: 28,")
        .replace("service: PrimaryReturn,", "service: PrimaryReturn, size: 15,")
        .replace("service: PrimaryVent,", "service: PrimaryVent, size: 22,");
    assert_eq!(narrowest(&text), [("vent".to_owned(), 15.0)]);
    assert_eq!(verdict(NARROW, &text), BREACH);
    let untold = text.replace("service: PrimaryReturn, size: 15,", "service: PrimaryReturn,");
    assert_eq!(verdict(NARROW, &untold), UNKNOWN);
}

#[test]
fn a_primary_vent_ends_over_the_cistern_of_its_heating() {
    const ENDS: &str = "vent-ends-elsewhere";
    // The cistern is from 0 to 400, and half the bore of 22 mm tube 10.1.
    let at = |x_mm: f64| {
        heating(r#"Tee("flow", 50)"#, ON_RETURN, "", "")
            .replace("service: PrimaryVent,", "service: PrimaryVent, material: Copper, size: 22,")
            .replace("(200, 5000)", &format!("({x_mm}, 5000)"))
            .replace("(200, 4900)", &format!("({x_mm}, 4900)"))
    };
    assert_eq!(verdict(ENDS, &at(200.0)), MEETS);
    assert_eq!(verdict(ENDS, &at(389.8)), MEETS);
    assert_eq!(verdict(ENDS, &at(390.0)), BREACH);
    assert_eq!(verdict(ENDS, &at(600.0)), BREACH);
    let over_storage = at(2500.0).replacen(
        "cisterns: [",
        r#"cisterns: [(id: "storage", role: Storage, at: (2000, 4000), length: 1000, height: 500),"#,
        1,
    );
    assert_eq!([ENDS, "primary-vent-over-storage"].map(|rule| verdict(rule, &over_storage)), [BREACH; 2]);
    // Without such a cistern nobody knows where it belongs.
    let (_, rest) = at(200.0).split_once("boilers:").map(|(a, b)| (a.to_owned(), b.to_owned())).expect("boilers");
    let alone = format!("boilers:{}", rest.replace(r#"Port("expansion", "feed")"#, "Onward((400, 4050))"));
    assert_eq!(verdict(ENDS, &alone), UNKNOWN);
}

/// A feed-and-expansion cistern 300 high on a base at so much, beside a storage cistern 500 high on 2000.
fn levels(expansion_mm: i32, expansion: &str, storage: &str, more: &str) -> String {
    format!(
        r#"cisterns: [
            (id: "storage", role: Storage, at: (0, 2000), length: 1000, height: 500, {storage}
                connections: [(port: "link", on: Right(50))]),
            (id: "expansion", role: FeedAndExpansion, at: (1200, {expansion_mm}), length: 400, height: 300, {expansion}),
            {more}"#
    )
}

#[test]
fn the_water_of_the_heating_is_held_against_the_stored_water() {
    const HIGH: &str = "feed-and-expansion-too-high";
    let of = |expansion_mm: i32, expansion: &str, storage: &str| {
        verdict(HIGH, &levels(expansion_mm, expansion, storage, "]"))
    };
    let (low, full) = ("water_line: 100", "water_line: 400,");
    // 2000 + 100 − 2400 with level bases; on a base at 2250 still 50 lower, at 2320 it is 20 higher.
    let by = |expansion_mm: i32| measured(HIGH, &levels(expansion_mm, low, full, "]"))[0].1;
    assert_eq!([2000, 2250, 2320].map(by), [-300.0, -50.0, 20.0]);
    assert_eq!([2000, 2250, 2320].map(|mm| of(mm, low, full)), [MEETS, MEETS, BREACH]);
    // With level bases, and the water of the heating the higher.
    assert_eq!(of(2000, "water_line: 200", "water_line: 180,"), BREACH);
    // Stored water is somewhere from 2000 to 2500.
    assert_eq!([1900, 2300, 2401].map(|mm| of(mm, low, "")), [MEETS, UNKNOWN, BREACH]);
    // The water of the heating is somewhere from its base to its rim 300 above.
    assert_eq!([2100, 2101, 2400, 2401].map(|mm| of(mm, "", full)), [MEETS, UNKNOWN, UNKNOWN, BREACH]);
    assert_eq!([1700, 1701, 2500, 2501].map(|mm| of(mm, "", "")), [MEETS, UNKNOWN, UNKNOWN, BREACH]);
}

#[test]
fn linked_storage_cisterns_count_with_their_highest_water() {
    const HIGH: &str = "feed-and-expansion-too-high";
    let second = |link: &str, water: &str| {
        format!(
            r#"(id: "second", role: Storage, at: (2000, 2000), length: 1000, height: 500, {water}
                connections: [(port: "link", on: Left(50))])],
            runs: [{link}]"#
        )
    };
    let link = r#"(id: "link", service: Link, from: Port("storage", "link"), to: Port("second", "link"))"#;
    let of = |link: &str, water: &str| levels(2200, "water_line: 100", "water_line: 200,", &second(link, water));
    // 2300 against 2200 or 2400, nobody has drawn which lies behind a coil; against 2400 where that stands in both.
    assert_eq!(verdict(HIGH, &of("", "water_line: 400,")), UNKNOWN);
    assert_eq!(verdict(HIGH, &of("", "water_line: 300,")), UNKNOWN);
    assert_eq!(measured(HIGH, &of("", "water_line: 250,"))[0].1, 50.0);
    assert_eq!(measured(HIGH, &of(link, "water_line: 400,"))[0].1, -100.0);
    // One that is filled through the link stands as high as the other; one with a float valve may stand higher.
    assert_eq!(verdict(HIGH, &of(link, "")), BREACH);
    assert_eq!(verdict(HIGH, &of(link, "float_valve: (shank: Left(450)),")), UNKNOWN);
}

#[test]
fn the_vent_leaves_nearer_to_the_boiler_than_the_feed_and_the_pump_comes_last() {
    let order = |vent_mm: u32, feed_mm: u32, pump_mm: u32| {
        let (vent, feed) = (format!("Tee(\"flow\", {vent_mm})"), format!("Tee(\"flow\", {feed_mm})"));
        heating(&vent, &feed, &format!("(kind: Pump, at: {pump_mm})"), "")
    };
    assert_eq!(verdict(PUMP, &order(50, 170, 600)), MEETS);
    assert_eq!(verdict(PUMP, &order(170, 50, 600)), BREACH);
    // The feed lies between vent and pump here as well.
    assert_eq!(verdict(PUMP, &order(700, 600, 300)), MEETS);
    assert_eq!(verdict(PUMP, &order(600, 600, 900)), MEETS);
}

#[test]
fn flow_joins_flow_and_return_joins_return() {
    let rule = "pipe-on-wrong-tapping";
    let text = heating(r#"Tee("flow", 50)"#, ON_RETURN, "(kind: Pump, at: 600)", "");
    assert_eq!(verdict(rule, &text), MEETS);
    assert_eq!(
        verdict(rule, &text.replace(r#"from: Port("boiler", "flow")"#, r#"from: Port("boiler", "return")"#)),
        BREACH
    );
    // One pipe from the boiler and back to it is both.
    let bypass = r#"(id: "bypass", service: PrimaryFlow, from: Port("boiler", "flow"), via: [(1000, 900)],
        to: Port("boiler", "return"), fittings: [])"#;
    assert_eq!(verdict(rule, &heating(r#"Tee("flow", 50)"#, ON_RETURN, "(kind: Pump, at: 600)", bypass)), MEETS);
}

#[test]
fn one_cylinder_may_warm_the_water_of_the_next() {
    let in_series = |from: &str| {
        format!(
            r#"cylinders: [
                (id: "first", at: (0, 0), diameter: 450, height: 900),
                (id: "second", at: (1500, 0), diameter: 450, height: 900),
            ],
            runs: [(id: "on", service: HotDistribution, from: {from}, to: Port("second", "cold-inlet"), fittings: [])]"#
        )
    };
    let rule = "pipe-on-wrong-tapping";
    assert_eq!(verdict(rule, &in_series(r#"Port("first", "draw-off")"#)), MEETS);
    assert_eq!(verdict(rule, &in_series("Onward((900, 900))")), BREACH);
}
