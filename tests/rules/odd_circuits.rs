//! Heating that is open to the air, joined in other ways than usual: feed and vent on both sides of the boiler or of the
//! pump, on a port of the boiler, round a bypass, through a vent; several heatings, and what of them is not drawn.

use loftwright::rules::Verdict;

use super::odd_layouts::verdict;
use super::odd_systems::measured;

const APART: &str = "primary-feed-too-far-from-vent";
const PUMP: &str = "pump-between-feed-and-vent";
const BREACH: Option<Verdict> = Some(Verdict::Breach);
const MEETS: Option<Verdict> = Some(Verdict::Meets);
const UNKNOWN: Option<Verdict> = Some(Verdict::Unknown);
const PUMPED: &str = "primary-vent-too-low";
const GRAVITY: &str = "gravity-primary-vent-too-low";
const OVER_CIRCUIT: &str = "feed-and-expansion-too-low";
const OVER_BOILER: &str = "boiler-head-too-small";

/// A flow straight up from (920, 600) on the boiler, a return straight down to (1080, 600) from 1400 above the datum.
fn heating(vent: &str, feed: &str, flow_fittings: &str, more: &str) -> String {
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
