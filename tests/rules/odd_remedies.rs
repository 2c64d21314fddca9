//! Remedies that would not do, and what stands in the way of them: what is above a cistern, beside it and below it.

use loftwright::finding::Finding;
use loftwright::rules::Verdict;

use super::judged::amount;
use super::judged_text::findings;

fn says(finding: &Finding, words: &str) -> bool {
    finding.remedies().iter().any(|remedy| remedy.starts_with(words))
}

/// A cistern of 1000 × 500 on a platform at 2000, float valve at the left, under a roof of 3000 throughout.
fn under_roof(building: &str, platforms: &str, more_cisterns: &str, cylinders: &str) -> String {
    format!(
        r#"building: (roof: (underside: [(-1000, 3000), (9000, 3000)]), {building}),
        platforms: [
            (id: "platform", at: (-150, 2000), length: 1300, depth: 800, behind: 0, board: (material: MarinePly, thickness: 18)),
            {platforms}
        ],
        cisterns: [
            (id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500, behind: 0,
                float_valve: (shank: Left(450))),
            {more_cisterns}
        ],
        cylinders: [{cylinders}]"#
    )
}

#[test]
fn headroom_is_to_whatever_is_lowest_above_the_cistern() {
    let rule = "headroom-too-low-at-float-valve";
    let check = |text: &str, clear_mm: f64, name: &str| {
        let finding = &findings(rule, text)[0];
        assert_eq!(amount(finding), clear_mm, "{text}");
        assert!(finding.reading.working[0].starts_with(name), "{:?}", finding.reading.working);
    };
    check(&under_roof("", "", "", ""), 500.0, "roof 3000.0");
    // 2700 − 18 of board − 100 of bearers − 2500.
    let shelf = r#"(id: "shelf", at: (100, 2700), length: 300, board: (material: MarinePly, thickness: 18),
        bearers: (count: 2, spacing: 200, first: 30, breadth: 47, depth: 100))"#;
    check(&under_roof("", shelf, "", ""), 82.0, "underside of the shelf 2582.0 − top of cistern 2500.0");
    // Over the other half, behind it, or below its rim it is not above this side.
    let beyond = shelf.replace("(100, 2700)", "(600, 2700)");
    check(&under_roof("", &beyond, "", ""), 500.0, "roof");
    let behind = shelf.replace("length: 300,", "length: 300, depth: 300, behind: 900,");
    check(&under_roof("", &behind, "", ""), 500.0, "roof");
    let beside = shelf.replace("(100, 2700)", "(100, 2200)");
    check(&under_roof("", &beside, "", ""), 500.0, "roof");
    let second = r#"(id: "upper", role: FeedAndExpansion, at: (200, 2800), length: 300, height: 300)"#;
    check(&under_roof("", "", second, ""), 300.0, "underside of the upper");
    let cylinder = r#"(id: "cylinder", at: (300, 2640), diameter: 400, height: 900)"#;
    check(&under_roof("", "", "", cylinder), 140.0, "underside of the cylinder");
}

#[test]
fn a_cistern_in_a_cupboard_has_the_ceiling_above_it_and_needs_no_roof() {
    let rule = "headroom-too-low-at-float-valve";
    let ceiling = "ceiling: (underside: 2690, thickness: 12)";
    let finding = &findings(rule, &under_roof(ceiling, "", "", ""))[0];
    assert_eq!(amount(finding), 190.0);
    assert!(finding.reading.working[0].starts_with("ceiling 2690.0"));
    let no_roof = under_roof(ceiling, "", "", "").replace("roof: (underside: [(-1000, 3000), (9000, 3000)]), ", "");
    assert_eq!(amount(&findings(rule, &no_roof)[0]), 190.0);
    // Of open joists one crosses each half, with 2700 − 100 − 2500 below it.
    let joists = "joists: (top: 2700, first: 200, spacing: 400, count: 3, breadth: 47, depth: 100)";
    assert_eq!(amount(&findings(rule, &under_roof(joists, "", "", ""))[0]), 100.0);
    let floor = r#"storeys: [(id: "first-floor", floor: 2800, deck: (material: Softwood, thickness: 20))]"#;
    assert_eq!(amount(&findings(rule, &under_roof(floor, "", "", ""))[0]), 280.0);
    // A ceiling and joists below it are the loft's floor.
    let loft = "ceiling: (underside: 1800, thickness: 12), joists: (top: 1982, first: 0, spacing: 400, count: 3, breadth: 47, depth: 100)";
    assert_eq!(amount(&findings(rule, &under_roof(loft, "", "", ""))[0]), 500.0);
}

#[test]
fn a_cistern_is_not_to_be_lowered_into_the_joists() {
    let rule = "headroom-too-low-at-float-valve";
    // 350 − 190 = 160 are missing; the platform's board of 18 leaves 2000 − 18 − 1862 = 120, or 2000 − 18 − 1800 = 182.
    let low = |joists_mm: i32| {
        let joists = format!("joists: (top: {joists_mm}, first: 0, spacing: 400, count: 3, breadth: 47, depth: 100)");
        under_roof(&joists, "", "", "").replace("3000), (9000, 3000)", "2690), (9000, 2690)")
    };
    assert!(!says(&findings(rule, &low(1862))[0], "Lower the cistern"));
    assert!(says(&findings(rule, &low(1800))[0], "Lower the cistern by 160 mm"));
}

#[test]
fn a_cistern_is_moved_aside_only_where_the_other_side_has_enough() {
    let sides = |left_mm: i32, length_mm: i32, other: &str| {
        let cistern = r#"(id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500)"#;
        let platform = format!(r#"(id: "platform", at: (-{left_mm}, 2000), length: {length_mm})"#);
        findings("platform-overhang-too-small", &format!("platforms: [{platform}], cisterns: [{cistern}, {other}]"))
    };
    let left = |all: &[Finding]| all.iter().find(|finding| finding.reading.side == Some("left")).expect("left").clone();
    // 80 at the left and 220 at the right: 70 more here leave 150 there.
    assert!(says(&left(&sides(80, 1300, "")), "Move the cistern away from the left by 70 mm"));
    let short = left(&sides(80, 1299, ""));
    assert_eq!(short.remedies(), ["Widen the platform at the left by 70 mm"]);
    // Another cistern stands there.
    let beside = r#"(id: "other", role: Storage, at: (1200, 2000), length: 500, width: 500, height: 500)"#;
    assert!(!says(&left(&sides(80, 2000, beside)), "Move the cistern"));
}

#[test]
fn connections_of_one_hole_are_not_moved_apart() {
    let layout = |cold: &str| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
                connections: [(port: "feed", on: Right(60)), (port: "cold", on: Right(40))])],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)],
            runs: [
                (id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"), to: Port("cylinder", "cold-inlet")),
                (id: "cold-distribution", service: ColdDistribution, from: Port("cistern", "{cold}"), to: Onward((3000, 500))),
            ]"#
        )
    };
    let shared = &findings("cold-feed-too-low", &layout("feed"))[0];
    let own = "Give the cold feed a connection of its own, above that of the cold distribution";
    assert_eq!((shared.judged.verdict, shared.remedies()), (Verdict::Breach, vec![own.to_owned()]));
    let apart = &findings("cold-feed-too-low", &layout("cold"))[0];
    assert!(says(apart, "Raise the cold feed connection by 5 mm") && says(apart, "Lower the cold distribution"));
}

#[test]
fn what_is_said_is_enough_and_no_less() {
    // 150 + 40 × 2.988 = 269.52: 269.5 is short by 0.02, and 1 mm is what a tape can do.
    let vent = |survey: &str, mouth: &str| {
        format!(
            r#"{survey} cisterns: [(id: "cistern", role: Storage, at: (0, 5000), length: 1000, height: 500, water_line: 188,
                connections: [(port: "feed", on: Right(50))])],
            cylinders: [(id: "cylinder", at: (1500, 2200), diameter: 400, height: 900)],
            runs: [
                (id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"), to: Port("cylinder", "cold-inlet")),
                (id: "open-vent", service: OpenVent, from: Port("cylinder", "draw-off"), to: Open((800, {mouth}))),
            ]"#
        )
    };
    let short = &findings("vent-too-low", &vent("", "5457.5"))[0];
    assert!((short.judged.short_by.expect("short").value - 0.02).abs() < 1e-9, "{:?}", short.judged);
    assert!(says(short, "Raise the top of the vent by 1 mm"), "{:?}", short.remedies());
    assert_eq!(findings("vent-too-low", &vent("", "5458.5"))[0].judged.verdict, Verdict::Meets);
    let short = &findings("vent-too-low", &vent("", "5380"))[0];
    assert!(says(short, "Raise the top of the vent by 78 mm"), "{:?}", short.remedies());
    // Measured with a tape, what is missing and the guard band: class II over 6 m of level errs by 1.5 mm.
    let taped = &findings("vent-too-low", &vent("survey: Surveyed(II),", "5457"))[0];
    let by = taped.judged.remedy.expect("a remedy").value;
    assert!(by >= taped.judged.short_by.expect("short").value + taped.judged.margin && by <= 4.0, "{by}");
}

#[test]
fn a_water_line_is_lowered_no_further_than_water_covers_the_holes() {
    // Water from 2400 down to the top of the hole at 2350 + 10.1: 39.9 mm. The vent ends 40 or 39 mm short of
    // 150 + 40 × 2.4 = 246 over the line.
    let vent = |top_mm: u32| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 800, water_line: 400,
                connections: [(port: "feed", on: Right(350))])],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 900)],
            runs: [
                (id: "cold-feed", service: ColdFeed, material: Copper, size: 22, from: Port("cistern", "feed"),
                    to: Port("cylinder", "cold-inlet")),
                (id: "open-vent", service: OpenVent, from: Port("cylinder", "draw-off"), to: Open((800, {top_mm}))),
            ]"#
        )
    };
    let remedies = |top_mm: u32| findings("vent-too-low", &vent(top_mm))[0].clone();
    // Lowering the line by a metre takes 40 mm off what is asked, and the lever does not count on it.
    assert!(says(&remedies(2607), "Lower the water line by 39 mm"), "{:?}", remedies(2607).remedies());
    assert!(!says(&remedies(2606), "Lower the water line"), "{:?}", remedies(2606).remedies());
}

#[test]
fn no_jacket_is_offered_that_would_not_do() {
    let found = findings(
        "cylinder-loses-too-much",
        r#"cylinders: [(id: "cylinder", at: (0, 0), diameter: 450, height: 900, capacity: 120, insulation: 0)]"#,
    );
    assert_eq!(found[0].judged.verdict, Verdict::Breach);
    assert_eq!(found[0].remedies(), ["Fit a cylinder with thicker foam"]);
}

/// A cistern of 500 high: its float valve, overflow and water line in mm above the base.
fn set(outlet_mm: i32, overflow_mm: i32, line_mm: i32) -> String {
    format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500,
                water_line: {line_mm}, float_valve: (shank: Left({outlet_mm}), outlet: {outlet_mm}),
                connections: [(port: "overflow", on: Right({overflow_mm}))])],
            runs: [
                (id: "main", service: RisingMain, material: Copper, size: 15, from: Onward((-500, 0)), via: [(-500, {})],
                    to: Port("cistern", "inlet")),
                (id: "overflow", service: WarningPipe, material: Copper, size: 22, from: Port("cistern", "overflow"),
                    to: Open((1500, 2000))),
            ]"#,
        2000 + outlet_mm
    )
}

#[test]
fn overflow_valve_and_water_line_are_not_moved_into_one_another() {
    // The invert of 22 mm tube is 10.1 below its axis: 399.9, 20.1 over the water line, and 40.1 under the outlet.
    let near = &findings("water-line-too-near-overflow", &set(440, 410, 380))[0];
    assert!(
        says(near, "Lower the water line") && says(near, "Raise the warning pipe by 6 mm"),
        "{:?}",
        near.remedies()
    );
    // With the outlet at 430 the overflow cannot come up to it by as much.
    let near = &findings("water-line-too-near-overflow", &set(430, 410, 380))[0];
    assert!(says(near, "Lower the water line") && !says(near, "Raise"), "{:?}", near.remedies());
    for rule in ["air-gap-too-small", "float-valve-too-near-overflow"] {
        // 10.1 are there: the overflow cannot go down by 15 with 29.9 over the water, and by 70 it can.
        let low = &findings(rule, &set(410, 410, 370))[0];
        assert!(says(low, "Raise the float valve") && !says(low, "Lower"), "{:?}", low.remedies());
        let low = &findings(rule, &set(410, 410, 300))[0];
        assert!(says(low, "Raise the float valve") && says(low, "Lower the warning pipe"), "{:?}", low.remedies());
    }
}

#[test]
fn a_connection_is_not_moved_into_what_another_rule_asks() {
    let holes = |feed_mm: i32, cold_mm: i32, line_mm: i32| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500, water_line: {line_mm},
                connections: [(port: "feed", on: Right({feed_mm})), (port: "cold", on: Left({cold_mm}))])],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)],
            runs: [
                (id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"), to: Port("cylinder", "cold-inlet")),
                (id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), to: Onward((-500, 0))),
            ]"#
        )
    };
    let of = |rule: &str, port: &str, text: &str| {
        let found = findings(rule, text).into_iter();
        let is_of = |finding: &Finding| finding.reading.places.iter().any(|place| format!("{place:?}").contains(port));
        found.filter(is_of).find(|finding| finding.judged.verdict == Verdict::Breach).expect("a breach")
    };
    // The cold at 15 wants 10 more, and the feed at 42 leaves 2 of them.
    let low = of("side-outlet-too-low", "cold", &holes(42, 15, 400));
    assert!(!low.remedies().is_empty() && !says(&low, "Raise the connection by"), "{:?}", low.remedies());
    let low = of("side-outlet-too-low", "cold", &holes(60, 15, 400));
    assert!(says(&low, "Raise the connection by 10 mm"), "{:?}", low.remedies());
    // Lowered by 45 from 50, the cold would be 5 over the base.
    let low = of("cold-feed-too-low", "cold", &holes(30, 50, 400));
    assert!(says(&low, "Raise the cold feed") && !says(&low, "Lower"), "{:?}", low.remedies());
    // The feed under the water line of 60 may not come down to the cold.
    let dry = of("water-line-below-outlet", "feed", &holes(75, 50, 60));
    assert!(says(&dry, "Raise the water line") && !says(&dry, "Lower"), "{:?}", dry.remedies());
}

#[test]
fn a_water_line_above_the_rim_is_not_lowered_in_vain() {
    let vent = |line_mm: i32| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500, water_line: {line_mm},
                connections: [(port: "feed", on: Right(50))])],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 900)],
            runs: [
                (id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"), to: Port("cylinder", "cold-inlet")),
                (id: "open-vent", service: OpenVent, from: Port("cylinder", "draw-off"), to: Open((800, 2720))),
            ]"#
        )
    };
    assert!(says(&findings("vent-too-low", &vent(500))[0], "Lower the water line by 30 mm"));
    let over = &findings("vent-too-low", &vent(600))[0];
    assert!(!says(over, "Lower the water line") && says(over, "Raise the top of the vent"), "{:?}", over.remedies());
}
