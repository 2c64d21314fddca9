//! Heating that is open to the air, joined in other ways than usual: feed and vent on both sides of the boiler or of the
//! pump, on a port of the boiler, and round a bypass.

use loftwright::rules::Verdict;

use super::odd_layouts::verdict;
use super::odd_systems::measured;

const APART: &str = "primary-feed-too-far-from-vent";
const PUMP: &str = "pump-between-feed-and-vent";
const BREACH: Option<Verdict> = Some(Verdict::Breach);
const MEETS: Option<Verdict> = Some(Verdict::Meets);

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
    for rule in [APART, PUMP, "feed-and-expansion-too-low"] {
        assert_eq!(verdict(rule, &text), None, "{rule}");
    }
    // 4100 − 600.
    let found = measured("boiler-head-too-small", &text);
    assert_eq!(found, [(vec!["boiler".to_owned(), "expansion".to_owned()], 3500.0)]);
}

#[test]
fn sealed_heating_has_no_water_line_to_be_low() {
    let text = heating(r#"Tee("flow", 50)"#, ON_RETURN, "(kind: Pump, at: 600)", "");
    let (_, rest) = text.split_once("boilers:").expect("boilers");
    let sealed = format!("boilers:{}", rest.replace(r#"Port("expansion", "feed")"#, "Onward((400, 4050))"));
    for rule in ["feed-and-expansion-too-low", "boiler-head-too-small"] {
        assert_eq!(verdict(rule, &sealed), None, "{rule}");
    }
}
