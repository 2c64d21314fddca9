//! The heating's vent and feed in unusual places: a dip below the feed's tee, a vent that leaves by the feed, a feed with a
//! hump, a boiler that heats the stored water itself, and what stands between a mouth and its cistern.

use super::drawn_from::layout;
use super::judged::{self, BREACH, MEETS, UNKNOWN, findings};
use super::judged_text::{measured, verdict};
use super::odd_circuits::heating;

const FALLS: &str = "vent-falls";
const NARROW: &str = "primary-vent-too-narrow";
const AIR: &str = "pipe-holds-air";
const VALVED: &str = "primary-vent-valved";
const ENDS: &str = "vent-ends-elsewhere";

/// The same layout with the last of its runs listed first.
fn last_run_first(text: &str) -> String {
    let (before, runs) = text.split_once("runs: [").expect("runs");
    let (others, last) = runs.rsplit_once("(id:").expect("a last run");
    let last = last.rsplit_once(']').expect("an end").0;
    format!("{before}runs: [(id:{last}{others}]")
}

#[test]
fn a_vent_begins_where_it_leaves_the_flow_and_not_at_the_tee_of_the_feed() {
    // From 650 up to 1505, down to 1200, and after that the feed joins it.
    let text = heating(r#"Tee("flow", 50)"#, r#"Tee("vent", 1600)"#, "", "")
        .replace("via: [(700, 1500), (700, 5000)", "via: [(800, 1505), (800, 1200), (700, 1200), (700, 5000)");
    assert_eq!(measured(FALLS, &text), [(vec!["vent".to_owned()], 305.0)]);
    assert_eq!(measured(FALLS, &last_run_first(&text)), measured(FALLS, &text));
}

/// A vent of 22 mm that leaves the feed, which leaves the flow of 28 mm at 900.
fn by_the_feed(feed: &str) -> String {
    heating(r#"Tee("feed", 2000)"#, r#"Tee("flow", 300)"#, "", "")
        .replace("service: PrimaryFlow,", "service: PrimaryFlow, size: 28,")
        .replace("service: PrimaryVent,", "service: PrimaryVent, size: 22,")
        .replace("service: PrimaryFeed,", &format!("service: PrimaryFeed, {feed}"))
        .replace("via: [(700, 1500), (700, 5000)", "via: [(700, 3500), (700, 5000)")
}

#[test]
fn a_vent_that_leaves_by_the_feed_is_as_wide_as_the_feed() {
    let size_mm = |text: &str| measured(NARROW, text)[0].1;
    assert_eq!(size_mm(&by_the_feed("size: 15,")), 15.0);
    assert_eq!([15, 22].map(|size| verdict(NARROW, &by_the_feed(&format!("size: {size},")))), [BREACH, MEETS]);
    assert_eq!(verdict(NARROW, &by_the_feed("")), UNKNOWN);
    // The stretch that they share is part of the way up: 300 down in the feed is a fall of the vent.
    let shared =
        by_the_feed("").replace("via: [(1500, 4050)]", "via: [(1500, 4050), (1500, 1500), (1300, 1500), (1300, 1800)]");
    assert_eq!(measured(FALLS, &shared), [(vec!["vent".to_owned()], 300.0)]);
}

/// A feed of 15 mm copper from a hole at 4050, laid so from 1500 aside to the flow at 900.
fn feed_by(via: &str) -> String {
    heating(r#"Tee("flow", 50)"#, r#"Tee("flow", 300)"#, "", "")
        .replace("service: PrimaryFeed,", "service: PrimaryFeed, material: Copper, size: 15,")
        .replace("service: PrimaryFlow,", "service: PrimaryFlow, material: Copper, size: 22,")
        .replace("service: PrimaryReturn,", "service: PrimaryReturn, material: Copper, size: 22,")
        .replace("via: [(1500, 4050)]", &format!("via: [{via}]"))
}

#[test]
fn air_stays_in_a_hump_of_the_heating_feed() {
    let depth_mm =
        |via: &str| measured(AIR, &feed_by(via)).into_iter().find(|(parts, _)| parts[0] == "feed").map(|found| found.1);
    assert_eq!(depth_mm("(1500, 4050), (1500, 900)"), Some(0.0));
    // Down to 3000, up to 3600 and down for good: 600 back to the cistern's side.
    assert_eq!(
        depth_mm("(1500, 4050), (1500, 3000), (1600, 3000), (1600, 3600), (1700, 3600), (1700, 900)"),
        Some(600.0)
    );
    // Over its own water line, 350 over the hole.
    let over = "(1500, 4050), (1500, 4400), (1600, 4400), (1600, 900)";
    assert_eq!((depth_mm(over), verdict(AIR, &feed_by(over))), (Some(350.0), BREACH));
    // Where it goes on beyond the drawing from a hump, nobody knows whether the air gets on.
    let beyond = feed_by("(1500, 4050)").replace(r#"to: Tee("flow", 300)"#, "to: Onward((1500, 4400))");
    assert_eq!(verdict(AIR, &beyond), UNKNOWN);
}

/// A heating of 22 mm copper whose flow goes by some bends to a coil at 1450, and its return from 1180 to the boiler at 600.
fn to_coil(by: &str, more: &str) -> String {
    let tube = "material: Copper, size: 22, fittings: []";
    let text = heating(r#"Tee("flow", 50)"#, r#"Tee("return", 100)"#, "", more);
    let text = text
        .replace(
            "via: [(920, 2000)], to: Onward((3000, 2000)),",
            &format!(r#"via: [{by}], to: Port("cylinder", "coil-flow"), "#),
        )
        .replace(
            "from: Onward((3000, 1400)), via: [(1080, 1400)],",
            r#"from: Port("cylinder", "coil-return"), via: [(1080, 1180)],"#,
        )
        .replace("fittings: []", tube);
    format!("cylinders: [(id: \"cylinder\", at: (2500, 1000), diameter: 400, height: 900, coil: true)], {text}")
}

#[test]
fn air_stays_in_a_hump_of_the_heating_flow() {
    let air = |text: &str| measured(AIR, text).into_iter().find(|(parts, _)| parts[0] == "flow").map(|(_, mm)| mm);
    // Straight up, and level to the coil; over 2000 and down to it.
    let (up, over) = ("(920, 1450)", "(920, 2000), (2400, 2000), (2400, 1450)");
    assert_eq!(air(&to_coil(up, "")), Some(0.0));
    assert_eq!(air(&to_coil(over, "")), Some(550.0));
    assert_eq!(verdict(AIR, &to_coil(over, "")), BREACH);
    // Another vent at the top; one beside the boiler alone does not help.
    let vent = r#"(id: "top", service: PrimaryVent, from: Tee("flow", 1400), via: [(920, 5000), (300, 5000)],
        to: Open((300, 4900)), fittings: [])"#;
    assert_eq!((air(&to_coil(over, vent)), verdict(AIR, &to_coil(over, vent))), (Some(0.0), MEETS));
    // A flow goes on to radiators, which are bled by themselves.
    let beyond = |via: &str, to: &str| {
        to_coil(via, "").replace(r#"to: Port("cylinder", "coil-flow")"#, &format!("to: Onward({to})"))
    };
    assert_eq!(verdict(AIR, &beyond("(920, 2000), (2300, 2000)", "(2400, 2000)")), MEETS);
    assert_eq!(verdict(AIR, &beyond("(920, 2000), (2300, 2000)", "(2300, 1800)")), BREACH);
    // What is not open to the air is filled and bled otherwise.
    assert_eq!(verdict(AIR, &without_feed_and_vent(&to_coil(over, ""))), None);
}

/// The same heating without its cistern, its feed and its vent.
fn without_feed_and_vent(text: &str) -> String {
    let (cylinders, rest) = text.split_once(", cisterns").expect("cisterns");
    let (_, rest) = rest.split_once("boilers: [").expect("boilers");
    let (flow_and_return, _) = rest.split_once(r#"(id: "vent""#).expect("a vent");
    format!("{cylinders}, boilers: [{flow_and_return}]")
}

/// A boiler that heats the water of a cylinder itself, under a cistern from 0 to 1000 with water at 4400; its base is at 0.
fn direct(flow: &str, back: &str, more: &str) -> String {
    format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 4000), length: 1000, height: 500, water_line: 400,
            connections: [(port: "feed", on: Right(50))])],
        cylinders: [(id: "cylinder", at: (1500, 1000), diameter: 450, height: 900)],
        boilers: [(id: "boiler", at: (2500, 0), length: 400, height: 600)],
        runs: [
            (id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"), via: [(1300, 4050), (1300, 1099)],
                to: Port("cylinder", "cold-inlet"), fittings: []),
            (id: "flow", service: PrimaryFlow, from: Port("boiler", "flow"), to: Port("cylinder", "primary-flow"), {flow}),
            (id: "return", service: PrimaryReturn, from: Port("cylinder", "primary-return"), to: Port("boiler", "return"),
                {back}),
            {more}
        ]"#
    )
}

#[test]
fn a_direct_boiler_is_not_to_be_shut_in_between_two_valves() {
    let (bare, valve) = ("fittings: []", "fittings: [(kind: GateValve, at: 200)]");
    let both = |flow: &str, back: &str| verdict(VALVED, &direct(flow, back, ""));
    assert_eq!(
        [both(bare, bare), both(valve, bare), both(bare, valve), both(valve, valve)],
        [MEETS, MEETS, MEETS, BREACH]
    );
    let found = findings(&layout(&direct(valve, valve, "")), VALVED, "boiler");
    let parts: Vec<&str> = found[0].reading.parts.iter().map(|id| id.as_str()).collect();
    assert_eq!(parts, ["boiler", "flow", "return"]);
    // What is in the return nobody has told.
    assert_eq!(both(valve, ""), UNKNOWN);
    assert_eq!(both(bare, ""), MEETS);
    // A vent of its own before the valve lets out whatever is shut.
    let vent = r#"(id: "vent", service: PrimaryVent, from: Tee("flow", 100), via: [(2620, 5000), (500, 5000)],
        to: Open((500, 4800)), fittings: [])"#;
    assert_eq!(verdict(VALVED, &direct(valve, valve, vent)), MEETS);
}

#[test]
fn a_vent_of_a_direct_boiler_ends_over_the_storage_cistern() {
    let ending = |at_mm: u32, more: &str| {
        let vent = format!(
            r#"(id: "vent", service: PrimaryVent, from: Tee("flow", 100), via: [(2620, 5000), ({at_mm}, 5000)],
                to: Open(({at_mm}, 4800)), fittings: [])"#
        );
        direct("fittings: []", "fittings: []", &vent).replacen("cisterns: [", &format!("cisterns: [{more}"), 1)
    };
    let storage = ending(500, "");
    assert_eq!(verdict("primary-vent-over-storage", &storage), None);
    let of_vent = |text: &str| judged::verdict(&layout(text), ENDS, "vent");
    assert_eq!([of_vent(&storage), of_vent(&ending(1100, ""))], [MEETS, BREACH]);
    // 5000 over 4400, against 150 + 40 × 4.4 from the boiler's base.
    assert_eq!(measured("gravity-primary-vent-too-low", &storage)[0].1, 600.0);
    let expansion =
        ending(1400, r#"(id: "expansion", role: FeedAndExpansion, at: (1200, 4000), length: 400, height: 300),"#);
    assert_eq!(verdict("vent-over-feed-and-expansion", &expansion), BREACH);
}

#[test]
fn a_cistern_between_a_mouth_and_its_own_catches_what_comes_out() {
    let ending = |expansion_mm: u32| {
        format!(
            r#"cisterns: [
                (id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500, water_line: 400,
                    connections: [(port: "feed", on: Right(50))]),
                (id: "expansion", role: FeedAndExpansion, at: (300, {expansion_mm}), length: 400, height: 300),
            ],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 900)],
            runs: [
                (id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"), to: Port("cylinder", "cold-inlet")),
                (id: "open-vent", service: OpenVent, from: Port("cylinder", "draw-off"), via: [(1700, 3500), (500, 3500)],
                    to: Open((500, 3200))),
            ]"#
        )
    };
    // On a shelf at 2700 below the mouth, and on one at 3600 above it.
    assert_eq!([2700, 3600].map(|base_mm| verdict(ENDS, &ending(base_mm))), [BREACH, MEETS]);
}
