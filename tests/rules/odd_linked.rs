//! Linked cisterns whose holes lie above and below their links, and those that stand in a row.

use super::judged::{BREACH, MEETS, UNKNOWN};
use super::judged_text::{measured, verdict};

const RULE: &str = "cold-feed-too-low";

/// Two cisterns on one level, `first` and `second`, each with its holes in mm above the base by port: those of the feed
/// and of the cold distribution have pipes on them.
fn linked(cisterns: [(&str, &[(&str, i32)]); 2], fittings: &str) -> String {
    let cistern = |(name, holes): (&str, &[(&str, i32)])| {
        let holes: Vec<_> = holes.iter().map(|(port, mm)| format!(r#"(port: "{port}", on: Right({mm}))"#)).collect();
        let x_mm = if name == "first" { 0 } else { 3000 };
        format!(
            r#"(id: "{name}", role: Storage, at: ({x_mm}, 2000), length: 1000, width: 500, height: 500, water_line: 400,
                float_valve: (shank: Left(450)), connections: [{}])"#,
            holes.join(", ")
        )
    };
    let pipes = cisterns.iter().flat_map(|(name, holes)| {
        let of_service = |port: &str, service: &str, to: &str| {
            holes.iter().any(|(hole, _)| *hole == port).then(|| {
                format!(r#"(id: "{name}-{port}", service: {service}, from: Port("{name}", "{port}"), to: {to}, fittings: [])"#)
            })
        };
        [of_service("feed", "ColdFeed", r#"Port("cylinder", "cold-inlet")"#), of_service("cold", "ColdDistribution", "Onward((500, 0))")]
    });
    let pipes: Vec<String> = pipes.flatten().collect();
    let of_cisterns: Vec<String> = cisterns.map(cistern).to_vec();
    format!(
        r#"cisterns: [{}],
        cylinders: [(id: "cylinder", at: (4500, 0), diameter: 400, height: 1000, capacity: 120)],
        runs: [
            (id: "link", service: Link, from: Port("first", "link"), to: Port("second", "link"), fittings: [{fittings}]),
            {}
        ]"#,
        of_cisterns.join(", "),
        pipes.join(", ")
    )
}

fn twins(feed_mm: i32, cold_mm: i32, link_mm: i32) -> String {
    let holes: &[(&str, i32)] = &[("feed", feed_mm), ("cold", cold_mm), ("link", link_mm)];
    linked([("first", holes), ("second", holes)], "")
}

fn of(parts: &[&str], mm: f64) -> (Vec<String>, f64) {
    (parts.iter().map(ToString::to_string).collect(), mm)
}

#[test]
fn each_of_two_linked_cisterns_is_judged_by_its_own_holes() {
    assert_eq!(measured(RULE, &twins(80, 95, 60)), [of(&["first"], -15.0), of(&["second"], -15.0)]);
    assert_eq!(verdict(RULE, &twins(80, 95, 110)), BREACH);
    // Beside a feed that is too low a hole more in the other cistern hides nothing, wherever it is.
    let beside = |out_mm: i32| {
        let first: &[(&str, i32)] = &[("cold", out_mm), ("link", 60)];
        linked([("first", first), ("second", &[("feed", 25), ("cold", 95), ("link", 60)])], "")
    };
    assert_eq!(measured(RULE, &beside(95)), [of(&["second"], -70.0)]);
    assert_eq!(measured(RULE, &beside(96)), [of(&["second"], -70.0), of(&["second", "first"], -71.0)]);
}

#[test]
fn in_whatever_order_they_are_listed() {
    let first: (&str, &[(&str, i32)]) = ("first", &[("cold", 95), ("link", 60)]);
    let second: (&str, &[(&str, i32)]) = ("second", &[("feed", 25), ("cold", 95), ("link", 60)]);
    assert_eq!(measured(RULE, &linked([first, second], "")), measured(RULE, &linked([second, first], "")));
}

#[test]
fn below_their_link_the_waters_part_unless_the_higher_hole_lies_above_it() {
    let apart = |feed_mm: i32, cold_mm: i32, fittings: &str| {
        let cold: &[(&str, i32)] = &[("cold", cold_mm), ("link", 60)];
        verdict(RULE, &linked([("first", cold), ("second", &[("feed", feed_mm), ("link", 60)])], fittings))
    };
    // The feed is bare while the water is still one, and the cold is not.
    assert_eq!(apart(80, 50, ""), MEETS);
    assert_eq!(apart(80, 70, ""), BREACH);
    assert_eq!(apart(50, 80, ""), BREACH);
    assert_eq!(apart(50, 20, ""), UNKNOWN);
    // A non-return valve keeps one of them fuller than the other.
    assert_eq!(apart(80, 50, "(kind: NonReturnValve, at: 500)"), UNKNOWN);
}

/// Three in a row: the float valve in the first, the outlet in the last.
fn in_a_row(third_link: &str) -> String {
    format!(
        r#"cisterns: [
            (id: "a", role: Storage, at: (0, 2000), length: 1000, height: 500, float_valve: (shank: Left(450)),
                connections: [(port: "on", on: Right(60))]),
            (id: "b", role: Storage, at: (2000, 2000), length: 1000, height: 500,
                connections: [(port: "left", on: Left(60)), (port: "right", on: Right(60))]),
            (id: "c", role: Storage, at: (4000, 2000), length: 1000, height: 500,
                connections: [(port: "back", on: Left(60)), (port: "out", on: Right(60))]),
        ],
        runs: [
            (id: "second-link", service: Link, from: {third_link}, to: Port("c", "back"), fittings: []),
            (id: "first-link", service: Link, from: Port("a", "on"), to: Port("b", "left"), fittings: []),
            (id: "cold", service: ColdDistribution, from: Port("c", "out"), to: Onward((6000, 0)), fittings: []),
        ]"#
    )
}

#[test]
fn water_goes_through_the_middle_one_of_three_from_link_to_link() {
    let rule = "inlet-and-outlet-on-one-side";
    assert_eq!(verdict(rule, &in_a_row(r#"Port("b", "right")"#)), MEETS);
    // Out by another hole on the side by which it came.
    let turned = in_a_row(r#"Port("b", "right")"#)
        .replace(r#"(port: "right", on: Right(60))"#, r#"(port: "right", on: Left(160))"#);
    assert_eq!(verdict(rule, &turned), BREACH);
    // By the hole itself by which it comes nothing goes on through the cistern.
    assert_eq!(verdict(rule, &in_a_row(r#"Port("b", "left")"#)), UNKNOWN);
}

/// Two side by side: the first has a float valve and a cold hole in its left side, the second a cold hole in its right one.
fn pair(first: &str, second: &str, link: [&str; 2], cold: &[&str]) -> String {
    let pipe = |cistern: &&str| {
        format!(
            r#"(id: "{cistern}-cold", service: ColdDistribution, from: Port("{cistern}", "cold"), to: Onward((9000, 0)), fittings: []),"#
        )
    };
    format!(
        r#"cisterns: [
            (id: "first", role: Storage, at: (0, 2000), length: 1000, height: 500, {first}
                connections: [(port: "cold", on: Left(60)), (port: "link", on: {}(60))]),
            (id: "second", role: Storage, at: (2000, 2000), length: 1000, height: 500, {second}
                connections: [(port: "cold", on: Right(60)), (port: "link", on: {}(60))]),
        ],
        runs: [
            {}
            (id: "between", service: Link, from: Port("first", "link"), to: Port("second", "link"), fittings: []),
        ]"#,
        link[0],
        link[1],
        cold.iter().map(pipe).collect::<String>()
    )
}

#[test]
fn of_a_pair_it_counts_where_water_comes_in_and_leaves_it() {
    let rule = "inlet-and-outlet-on-one-side";
    const AT_LEFT: &str = "float_valve: (shank: Left(450)),";
    const AT_RIGHT: &str = "float_valve: (shank: Right(450)),";
    let across = ["Right", "Left"];
    // What the second gives comes through the first.
    assert_eq!(verdict(rule, &pair(AT_LEFT, "", across, &["second"])), MEETS);
    assert_eq!(verdict(rule, &pair(AT_LEFT, "", across, &["first", "second"])), MEETS);
    // A link beside the float valve takes nothing across.
    assert_eq!(verdict(rule, &pair(AT_LEFT, "", ["Left", "Left"], &["first", "second"])), BREACH);
    // Nothing is drawn from the second, or it fills itself: the first has no way through.
    assert_eq!(verdict(rule, &pair(AT_LEFT, "", across, &["first"])), BREACH);
    assert_eq!(verdict(rule, &pair(AT_LEFT, AT_LEFT, across, &["first", "second"])), BREACH);
    // What comes into the second leaves by the first, and crosses it.
    assert_eq!(verdict(rule, &pair("", AT_RIGHT, across, &["first"])), MEETS);
    assert_eq!(verdict(rule, &pair(AT_LEFT, AT_RIGHT, across, &["first"])), MEETS);
}
