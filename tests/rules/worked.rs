//! Houses drawn oddly of which each number is worked by hand.

use loftwright::finding::Finding;
use loftwright::layout::{Id, Layout};
use loftwright::measure::{Have, Site, water_volume_l};
use loftwright::rules::Verdict;

use super::drawn_from::layout;
use super::judged::{findings, number, verdict};

/// What is there and what is asked.
fn have_and_need(layout: &Layout, rule: &str, part: &str) -> (f64, f64) {
    let need = findings(layout, rule, part).first().and_then(|finding| finding.judged.need).expect("a bound");
    (number(layout, rule, part), need.value)
}

/// A cylinder of 400 × 1000 at nothing: its draw-off leaves the top at (200, 1000), its cold inlet is at (0, 110).
fn cylinder_with(building: &str, runs: &str) -> Layout {
    layout(&format!(
        r#"building: ({building}), cylinders: [(id: "cylinder", at: (0, 0), diameter: 400, height: 1000)], runs: [{runs}]"#
    ))
}

fn covered(building: &str, runs: &str, part: &str) -> (f64, f64) {
    have_and_need(&cylinder_with(building, runs), "cylinder-pipe-uninsulated", part)
}

#[test]
fn insulation_is_asked_for_as_far_as_the_pipe_is_seen() {
    let draw_off = |to: &str, covers: &str| {
        format!(
            r#"(id: "draw-off", service: HotDistribution, from: Port("cylinder", "draw-off"), to: Onward({to}), insulation: [{covers}])"#
        )
    };
    let up = draw_off("(200, 3000)", "(from: 0, to: 500)");
    assert_eq!(covered("", &up, "draw-off"), (500.0, 1000.0));
    // Through the ceiling at 1600, or the floor above at 1550.
    assert_eq!(covered("ceiling: (underside: 1600, thickness: 12.5)", &up, "draw-off"), (500.0, 600.0));
    assert_eq!(covered(r#"storeys: [(id: "first", floor: 1550)]"#, &up, "draw-off"), (500.0, 550.0));
    // 600 aside in 800 of height is 1000 along: half of it lies below 1400.
    let slanting = draw_off("(800, 1800)", "(from: 0, to: 450)");
    assert_eq!(covered("ceiling: (underside: 1400, thickness: 12.5)", &slanting, "draw-off"), (450.0, 500.0));
    // What ends at the ceiling does not go on behind it.
    let to_the_ceiling = draw_off("(200, 1600)", "(from: 0, to: 590)");
    assert_eq!(covered("ceiling: (underside: 1600, thickness: 12.5)", &to_the_ceiling, "draw-off"), (590.0, 600.0));
}

#[test]
fn a_wall_hides_a_pipe_that_meets_it() {
    // Drawn toward the cylinder: 2000 long, covered for the last 550. The wall's near face is at −600.
    let feed = r#"(id: "feed", service: ColdFeed, from: Onward((-2000, 110)), to: Port("cylinder", "cold-inlet"),
        insulation: [(from: 1450, to: 2000)])"#;
    let wall = |foot: i32, head: i32| format!("walls: [(x: -700, thickness: 100, foot: {foot}, head: {head})]");
    assert_eq!(covered(&wall(0, 2400), feed, "feed"), (550.0, 600.0));
    assert_eq!(covered(&wall(110, 2400), feed, "feed"), (550.0, 600.0));
    // It passes under one wall and over the other.
    assert_eq!(covered(&wall(200, 2400), feed, "feed"), (550.0, 1000.0));
    assert_eq!(covered(&wall(-500, 100), feed, "feed"), (550.0, 1000.0));
    // 300 level, then up: through the floor 300 higher, or through the wall's left face at −600 on the way back.
    let bent = r#"(id: "feed", service: ColdFeed, from: Onward((-300, 2000)), via: [(-300, 110)],
        to: Port("cylinder", "cold-inlet"), insulation: [(from: 1890, to: 2190)])"#;
    assert_eq!(covered(r#"storeys: [(id: "first", floor: 410)]"#, bent, "feed"), (300.0, 600.0));
    let right_of_it = r#"(id: "flow", service: HotDistribution, from: Port("cylinder", "draw-off"),
        via: [(200, 1200)], to: Onward((3000, 1200)), insulation: [(from: 0, to: 100)])"#;
    assert_eq!(covered("walls: [(x: 700, thickness: 100, foot: 0, head: 2400)]", right_of_it, "flow"), (100.0, 700.0));
}

#[test]
fn what_is_teed_in_within_sight_is_to_be_insulated_as_well() {
    let runs = |tee_mm: i32| {
        format!(
            r#"(id: "draw-off", service: HotDistribution, from: Port("cylinder", "draw-off"), to: Onward((200, 3000)),
                insulation: [(from: 0, to: 2000)]),
            (id: "branch", service: HotDistribution, from: Tee("draw-off", {tee_mm}), to: Onward((900, 1500)), insulation: [])"#
        )
    };
    assert_eq!(covered("", &runs(300), "draw-off"), (300.0, 1000.0));
    assert_eq!(covered("", &runs(1200), "draw-off"), (1000.0, 1000.0));
    // Behind the ceiling nobody sees it.
    assert_eq!(covered("ceiling: (underside: 1200, thickness: 12.5)", &runs(300), "draw-off"), (200.0, 200.0));
}

#[test]
fn two_pipes_on_one_hole_of_the_cistern_do_not_share_the_cold_feed() {
    let house = |cold: &str| {
        layout(&format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
                connections: [(port: "feed", on: Right(75))])],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)],
            runs: [
                (id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"), via: [(1250, 2075), (1250, 110)],
                    to: Port("cylinder", "cold-inlet")),
                (id: "cold", service: ColdDistribution, from: {cold}, to: Onward((600, 1325))),
            ]"#
        ))
    };
    let rule = "cold-feed-shared";
    assert_eq!(verdict(&house(r#"Port("cistern", "feed")"#), rule, "cold-feed"), Some(Verdict::Meets));
    assert_eq!(verdict(&house(r#"Tee("cold-feed", 0)"#), rule, "cold-feed"), Some(Verdict::Meets));
    assert_eq!(verdict(&house(r#"Tee("cold-feed", 1000)"#), rule, "cold-feed"), Some(Verdict::Breach));
}

#[test]
fn a_cold_feed_is_as_wide_as_its_narrowest_tube() {
    for (first, second) in [(15, 28), (28, 15)] {
        let house = layout(&format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
                connections: [(port: "feed", on: Right(50))])],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)],
            runs: [
                (id: "first", service: ColdFeed, size: {first}, from: Port("cistern", "feed"), to: Onward((1250, 2050))),
                (id: "second", service: ColdFeed, size: {second}, from: Tee("first", 250), via: [(1250, 110)],
                    to: Port("cylinder", "cold-inlet")),
                (id: "open-vent", service: OpenVent, size: 22, from: Port("cylinder", "draw-off"),
                    via: [(1700, 3000), (500, 3000)], to: Open((500, 2800))),
            ]"#
        ));
        let narrow = if first == 15 { "first" } else { "second" };
        assert_eq!(have_and_need(&house, "cold-feed-narrower-than-vent", narrow), (15.0, 22.0), "{first}, {second}");
    }
}

/// The draw-off is drawn toward the cylinder. By the tee near to it the tap is 100 and the branch away, by the far one
/// 2500 and what is left of the branch.
#[test]
fn the_dead_leg_is_by_the_shorter_of_two_ways() {
    let house = layout(
        r#"cylinders: [(id: "cylinder", at: (0, 0), diameter: 400, height: 1000)],
        outlets: [(id: "basin", kind: Basin, at: (300, 0))],
        runs: [
            (id: "draw-off", service: HotDistribution, size: 15, from: Onward((3200, 1000)),
                to: Port("cylinder", "draw-off"), insulation: []),
            (id: "branch", service: HotDistribution, size: 15, from: Tee("draw-off", 2900), via: [(300, 500)],
                to: Port("basin", "hot"), insulation: []),
            (id: "ring", service: HotDistribution, size: 15, from: Tee("draw-off", 500), to: Tee("branch", 500), insulation: []),
        ]"#,
    );
    let site = Site::of(&house);
    let run = site.run_number(&Id::of("branch")).expect("the branch");
    let branch_mm = site.line(run).expect("its line").length();
    assert!((number(&house, "dead-leg-too-long", "basin") - (100.0 + branch_mm)).abs() < 1e-9);
}

#[test]
fn a_low_place_is_told_from_a_missing_drain_cock() {
    let house = |fittings: &str| {
        layout(&format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 3000), length: 1000, height: 500,
                connections: [(port: "cold", on: Right(50))])],
            outlets: [(id: "basin", kind: Basin, at: (2000, 800))],
            runs: [(id: "cold", service: ColdDistribution, from: Port("cistern", "cold"),
                via: [(1200, 3050), (1200, 500), (2040, 500)], to: Port("basin", "cold"), fittings: [{fittings}])]"#
        ))
    };
    let words = |house: &Layout| -> Vec<String> {
        findings(house, "distribution-without-drain", "cold").iter().map(Finding::have_words).collect()
    };
    assert_eq!(words(&house("(kind: GateValve, at: 100)")), ["no drain cock"]);
    // 200 down from the top: far above the low place.
    assert_eq!(words(&house("(kind: DrainCock, at: 400)")), ["a low place that no drain cock empties"]);
    // 200 + 2550 along is where it lies lowest.
    assert_eq!(words(&house("(kind: DrainCock, at: 2750)")), ["a drain cock"]);
}

#[test]
fn timbers_along_the_section_ask_for_the_platform_front_to_back() {
    let house = layout(
        r#"platforms: [(id: "platform", at: (0, 2000), length: 1400,
            bearers: (breadth: 47, depth: 97, spacing: 300, first: 50, count: 4, lie: Along))],
        cisterns: [(id: "cistern", role: Storage, at: (200, 2000), length: 1000, height: 500)]"#,
    );
    let found = findings(&house, "too-few-joists", "platform");
    let Have::Untold(find_out) = &found[0].reading.have else { panic!("{}", found[0].have_words()) };
    assert!(find_out.contains("front to back"), "{find_out}");
}

/// A frustum of 1000 × 500 above and 900 × 400 below, 600 deep: ∫ (900 + z/6)(400 + z/6) dz is 257 L to the rim and
/// 184.781 25 L to 450 mm. Of 200 L that its label states, as large a share stands below the water line.
#[test]
fn a_leaning_cistern_of_stated_volume_holds_its_share_below_the_water_line() {
    let house = layout(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 600, draft: 50,
            rim_volume: 200, water_line: 450)]"#,
    );
    let (litres, _) = water_volume_l(&Site::of(&house), &house.cisterns[0]).expect("told");
    assert!((litres.value - 200.0 * 184.781_25 / 257.0).abs() < 1e-6, "{}", litres.value);
}

/// A branch that leaves the draw-off at the cylinder itself is seen from its beginning.
#[test]
fn a_branch_at_the_port_is_within_sight() {
    let runs = r#"(id: "draw-off", service: HotDistribution, from: Port("cylinder", "draw-off"), to: Onward((200, 3000)),
            insulation: [(from: 0, to: 2000)]),
        (id: "branch", service: HotDistribution, from: Tee("draw-off", 0), to: Onward((900, 1500)), insulation: [])"#;
    assert_eq!(covered("", runs, "draw-off"), (0.0, 1000.0));
}

/// The base of 820 × 520 mm is 426 400 mm²; at 430 mm the sides lean in by 40 × 150/580, so that by Simpson's rule
/// 430/6 × (426 400 + 4 × 467 017 + 509 394) mm³ = 200.9 L lie below, and 580/6 × (426 400 + 4 × 481 600 + 540 000) mm³ =
/// 279.6 L to the rim. Of 200 stated litres, 200 × 200.9 / 279.6 = 143.7.
#[test]
fn a_stated_volume_is_shared_out_by_the_shape_and_the_working_says_so() {
    let layout = layout(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 900, width: 600, height: 580, draft: 40,
            rim_volume: 200, water_line: 430, daily_draw: 300)]"#,
    );
    let site = Site::of(&layout);
    let (litres, working) = water_volume_l(&site, &layout.cisterns[0]).expect("it is told");
    assert!((litres.value - 143.7).abs() < 0.05, "{}", litres.value);
    assert_eq!(
        working,
        "200 L × share of 900 × 600 × 580 mm, sides leaning in 40 mm below 430 mm = 143.7 L to the water line"
    );
}
