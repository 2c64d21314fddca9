//! What comes from where: mains and pumps beside cisterns, linked cisterns, and the ways of the heating's water.

use super::judged::{self, BREACH, MEETS, UNKNOWN};
use super::judged_text::{asked, measured, verdict};

/// The names of the parts of each finding of a rule.
fn parts(rule: &str, text: &str) -> Vec<Vec<String>> {
    asked(rule, text).iter().map(judged::parts).collect()
}

/// A shower at 2000 whose hot water stands under a cistern with its base at 3500 and its water line at 3900.
fn shower(building: &str, cold: &str, hot_fittings: &str) -> String {
    format!(
        r#"building: ({building}),
        cisterns: [(id: "cistern", role: Storage, at: (0, 3500), length: 1000, height: 500, water_line: 400,
            connections: [(port: "feed", on: Right(80)), (port: "cold", on: Right(50))])],
        cylinders: [(id: "cylinder", at: (1500, 1000), diameter: 450, height: 900)],
        outlets: [(id: "shower", kind: Shower, at: (4000, 2000)), (id: "basin", kind: Basin, at: (5000, 900))],
        runs: [
            (id: "cold-feed", service: ColdFeed, material: Copper, size: 22, from: Port("cistern", "feed"),
                via: [(1300, 3580), (1300, 1099)], to: Port("cylinder", "cold-inlet"), fittings: []),
            (id: "draw-off", service: HotDistribution, material: Copper, size: 22, from: Port("cylinder", "draw-off"),
                via: [(1725, 2400), (4960, 2400)], to: Port("basin", "hot"), fittings: [{hot_fittings}]),
            (id: "shower-hot", service: HotDistribution, material: Copper, size: 15, from: Tee("draw-off", 2735),
                to: Port("shower", "hot"), fittings: []),
            {cold}
        ]"#
    )
}

const MAIN: &str = r#"(id: "main", service: RisingMain, material: Copper, size: 15, from: Onward((4040, 0)),
    to: Port("shower", "cold"), fittings: [])"#;

#[test]
fn a_mixer_between_main_and_cistern_has_unlike_heads() {
    let rule = "mixer-heads-differ";
    assert_eq!(verdict(rule, &shower("", MAIN, "")), UNKNOWN);
    // 300 kPa / (999.7 × 9.80665 N/m³) = 30.6 m where it comes in, 2 m less at the shower; 1.9 m of water stand over it.
    let found = measured(rule, &shower("mains_pressure: 300", MAIN, ""));
    assert!((found[0].1 - (30_600.6 - 2000.0 - 1900.0)).abs() < 5.0, "{found:?}");
    assert_eq!(verdict(rule, &shower("mains_pressure: 300", MAIN, "")), BREACH);
    // A main so weak that it stands as high: 39 kPa are 3.98 m, 1.98 m at the shower.
    assert_eq!(verdict(rule, &shower("mains_pressure: 39", MAIN, "")), MEETS);
    let untold = shower("mains_pressure: 300", MAIN, "").replace("water_line: 400,", "");
    assert_eq!(verdict(rule, &untold), UNKNOWN);
    let both = shower("mains_pressure: 300", MAIN, "").replace(r#"Port("shower", "hot")"#, "Onward((3960, 2000))");
    assert_eq!(verdict(rule, &both), None, "no hot side is drawn");
}

#[test]
fn the_hot_water_of_a_combination_boiler_comes_from_the_main() {
    let text = |cold: &str| {
        format!(
            r#"building: (mains_pressure: 300),
            cisterns: [(id: "cistern", role: Storage, at: (0, 3500), length: 1000, height: 500, water_line: 400,
                connections: [(port: "cold", on: Right(50))])],
            boilers: [(id: "boiler", at: (6000, 900), length: 400, height: 700, kind: Combination)],
            outlets: [(id: "shower", kind: Shower, at: (4000, 2000))],
            runs: [
                (id: "main", service: RisingMain, from: Onward((6200, 0)), to: Port("boiler", "mains")),
                (id: "hot", service: HotDistribution, from: Port("boiler", "hot"), to: Port("shower", "hot")),
                {cold}
            ]"#
        )
    };
    let stored =
        r#"(id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), to: Port("shower", "cold"))"#;
    let main = r#"(id: "cold", service: RisingMain, from: Tee("main", 100), to: Port("shower", "cold"))"#;
    assert_eq!(verdict("mixer-heads-differ", &text(stored)), BREACH);
    assert_eq!(verdict("mixer-heads-differ", &text(main)), None);
}

#[test]
fn a_pump_helps_the_side_that_it_is_on() {
    let rule = "shower-head-too-small";
    // 3500 − 2800 is too little by gravity.
    let text = |hot: &str, cold: &str| {
        let run = format!(
            r#"(id: "cold", service: ColdDistribution, material: Copper, size: 22, from: Port("cistern", "cold"),
                via: [(5040, 3550)], to: Port("basin", "cold"), fittings: [{cold}]),
            (id: "shower-cold", service: ColdDistribution, material: Copper, size: 15, from: Tee("cold", 3040),
                to: Port("shower", "cold"), fittings: [])"#
        );
        shower("", &run, hot).replace("at: (4000, 2000)", "at: (4000, 2800)")
    };
    let pump = |at_mm: i32| format!("(kind: Pump, at: {at_mm})");
    assert_eq!(verdict(rule, &text("", "")), BREACH);
    // Before the tees at 2735 and 3040 they drive the shower too, past them they do not.
    assert_eq!(verdict(rule, &text(&pump(1000), &pump(1000))), None);
    assert_eq!(verdict(rule, &text(&pump(1000), "")), BREACH);
    assert_eq!(verdict(rule, &text("", &pump(1000))), BREACH);
    assert_eq!(verdict(rule, &text(&pump(1000), &pump(3500))), BREACH);
    let own = |text: String, run: &str| {
        let (before, after) = text.split_once(run).expect("the run");
        format!("{before}{run}{}", after.replacen("fittings: []", "fittings: [(kind: Pump, at: 50)]", 1))
    };
    let one = own(text("", ""), r#"id: "shower-hot""#);
    assert_eq!(verdict(rule, &one), BREACH);
    assert_eq!(verdict(rule, &own(one, r#"id: "shower-cold""#)), None);
    // A pump in the cold feed drives the hot water through the cylinder.
    let in_feed = own(text("", &pump(1000)), r#"id: "cold-feed""#);
    assert_eq!(verdict(rule, &in_feed), None);
    // The main drives the cold, a pump the hot.
    assert_eq!(verdict(rule, &shower("", MAIN, &pump(1000))), None);
}

#[test]
fn the_main_meets_stored_water_over_float_valves_alone() {
    let rule = "main-joins-stored";
    let text = |cross: &str| {
        format!(
            r#"cisterns: [
                (id: "first", role: Storage, at: (0, 2000), length: 1000, height: 500, float_valve: (shank: Left(450)),
                    connections: [(port: "out", on: Right(50)), (port: "spare", on: Right(20))]),
                (id: "second", role: Storage, at: (4000, 2000), length: 1000, height: 500, float_valve: (shank: Right(450)),
                    connections: [(port: "out", on: Left(50))]),
            ],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000, coil: true)],
            boilers: [(id: "boiler", at: (2500, 0), length: 400, height: 700)],
            outlets: [(id: "shower", kind: Shower, at: (3000, 1000))],
            runs: [
                (id: "main", service: RisingMain, from: Onward((-200, 0)), via: [(-200, 2450)], to: Port("first", "inlet")),
                (id: "feed", service: ColdFeed, from: Port("first", "out"), to: Port("cylinder", "cold-inlet")),
                (id: "hot", service: HotDistribution, from: Port("cylinder", "draw-off"), to: Port("shower", "hot")),
                (id: "other", service: ColdDistribution, from: Port("second", "out"), to: Onward((3000, 0))),
                {cross}
            ]"#
        )
    };
    let keeps = [
        "",
        // Hot and cold meet in the mixer alone.
        r#"(id: "cold", service: RisingMain, from: Tee("main", 500), to: Port("shower", "cold"))"#,
        // Pipes that the main feeds and no cistern.
        r#"(id: "kitchen", service: ColdDistribution, from: Tee("main", 500), to: Onward((-500, 500)))"#,
    ];
    for cross in keeps {
        assert_eq!(verdict(rule, &text(cross)), MEETS, "{cross}");
    }
    // A sealed system that is filled from the main, apart from the water round its coil: by a loop, or by a pipe that stays.
    let filled = r#"(id: "filling", service: RisingMain, from: Tee("main", 500), to: Tee("flow", 100)),
        (id: "flow", service: PrimaryFlow, from: Port("boiler", "flow"), to: Port("cylinder", "coil-flow"))"#;
    assert_eq!(verdict(rule, &text(filled)), UNKNOWN);
    let joins = [
        r#"(id: "cross", service: RisingMain, from: Tee("main", 500), to: Tee("feed", 500), fittings: [(kind: NonReturnValve, at: 50)])"#,
        r#"(id: "cross", service: RisingMain, from: Tee("main", 500), to: Port("cylinder", "cold-inlet"))"#,
        r#"(id: "cross", service: ColdDistribution, from: Tee("hot", 100), to: Tee("main", 500))"#,
        r#"(id: "cross", service: RisingMain, from: Tee("main", 500), to: Port("first", "out"))"#,
        // By a hole that no other pipe is on.
        r#"(id: "cross", service: RisingMain, from: Tee("main", 500), to: Port("first", "spare"))"#,
    ];
    for cross in joins {
        assert_eq!(verdict(rule, &text(cross)), BREACH, "{cross}");
        // The other cistern is none of it.
        let found = parts(rule, &text(cross));
        assert_eq!(
            (found.len(), &found[0][0], &found[1][0]),
            (2, &"first".to_owned(), &"second".to_owned()),
            "{cross}"
        );
    }
    assert_eq!(
        verdict(
            rule,
            &text("").replace("RisingMain", "ColdDistribution").replace(r#""first", "inlet""#, r#""first", "out""#)
        ),
        None
    );
}

/// A boiler with a vent off its flow, 1000 up, and a feed into its return, 900 up; both go on to radiators.
fn heating(flow: &str, back: &str, vent: &str, more: &str) -> String {
    format!(
        r#"cisterns: [(id: "expansion", role: FeedAndExpansion, at: (2000, 4000), length: 400, height: 300, water_line: 100,
            float_valve: (shank: Right(240), outlet: 250),
            connections: [(port: "feed", on: Left(40)), (port: "warning", on: Right(190))])],
        boilers: [(id: "boiler", at: (500, 0), length: 400, height: 700)],
        runs: [
            (id: "flow", service: PrimaryFlow, size: 22, from: Port("boiler", "flow"), via: [(620, 2000)],
                to: Onward((3000, 1900)), fittings: [{flow}]),
            (id: "return", service: PrimaryReturn, size: 22, from: Port("boiler", "return"), via: [(780, 1800)],
                to: Onward((3000, 1900)), fittings: [{back}]),
            (id: "vent", service: PrimaryVent, material: Copper, size: 22, from: Tee("flow", 1000), {vent}),
            (id: "feed", service: PrimaryFeed, size: 15, from: Port("expansion", "feed"), via: [(1500, 4040), (1500, 1600)],
                to: Tee("return", 900), fittings: []),
            (id: "warning", service: WarningPipe, material: Copper, size: 22, from: Port("expansion", "warning"), to: Open((3000, 4000))),
            {more}
        ]"#
    )
}

/// Up to 4600, over the cistern and down to 4500.
const CLEAR: &str = "via: [(620, 4600), (2200, 4600)], to: Open((2200, 4500)), fittings: []";

#[test]
fn nothing_shuts_a_boiler_off_from_its_vent_or_its_feed() {
    let at = |kind: &str, at_mm: i32| format!("(kind: {kind}, at: {at_mm})");
    let (vent, feed) = ("primary-vent-valved", "primary-feed-valved");
    let text = |flow: &str, back: &str| heating(flow, back, CLEAR, "");
    assert_eq!((verdict(vent, &text("", "")), verdict(feed, &text("", ""))), (MEETS, MEETS));
    // The vent leaves the flow at 1000, the feed meets the return at 900.
    assert_eq!(verdict(vent, &text(&at("GateValve", 900), "")), BREACH);
    assert_eq!(verdict(vent, &text(&at("NonReturnValve", 900), "")), BREACH);
    assert_eq!(verdict(vent, &text(&at("GateValve", 1100), "")), MEETS);
    assert_eq!(verdict(vent, &text(&at("Pump", 900), "")), MEETS);
    assert_eq!(verdict(feed, &text("", &at("LeverValve", 800))), BREACH);
    assert_eq!(verdict(feed, &text("", &at("LeverValve", 1000))), MEETS);
    assert_eq!(verdict(vent, &text("", &at("LeverValve", 800))), MEETS);
    assert_eq!(parts(vent, &text(&at("GateValve", 900), "")), [["vent", "flow", "boiler"]]);
    assert_eq!(parts(feed, &text("", &at("LeverValve", 800))), [["feed", "return", "boiler"]]);
    // A way round the valve that nothing shuts.
    let round = r#"(id: "round", service: PrimaryFlow, from: Tee("flow", 800), via: [(400, 1400)], to: Tee("flow", 950), fittings: [])"#;
    assert_eq!(verdict(vent, &heating(&at("GateValve", 900), "", CLEAR, round)), MEETS);
    // Nobody has looked.
    let untold =
        text("", "").replacen(" fittings: []),\n            (id: \"return\"", "),\n            (id: \"return\"", 1);
    assert_eq!((verdict(vent, &untold), verdict(feed, &untold)), (UNKNOWN, MEETS));
    let own = CLEAR.replace("fittings: []", "fittings: [(kind: Pump, at: 500)]");
    assert_eq!(verdict(vent, &heating("", "", &own, "")), BREACH);
}

#[test]
fn of_two_boilers_each_needs_a_free_way() {
    let second = |fittings: &str| {
        format!(
            r#"(id: "second-flow", service: PrimaryFlow, from: Port("second", "flow"), to: Tee("flow", 900), fittings: [{fittings}]),
            (id: "second-return", service: PrimaryReturn, from: Port("second", "return"), to: Tee("return", 850), fittings: [])"#
        )
    };
    let text = |fittings: &str| {
        heating("", "", CLEAR, &second(fittings)).replace(
            "length: 400, height: 700)]",
            r#"length: 400, height: 700), (id: "second", at: (-500, 0), length: 400, height: 700)]"#,
        )
    };
    assert_eq!(verdict("primary-vent-valved", &text("")), MEETS);
    let valved = text("(kind: GateValve, at: 100)");
    assert_eq!(parts("primary-vent-valved", &valved), [["vent", "second-flow", "second"]]);
    assert_eq!(verdict("primary-vent-valved", &valved), BREACH);
    assert_eq!(verdict("primary-feed-valved", &valved), MEETS);
}

#[test]
fn the_heating_s_vent_climbs_and_ends_as_any_other() {
    let text = |vent: &str| heating("", "", vent, "");
    assert_eq!(measured("vent-falls", &text(CLEAR)), [(vec!["vent".to_owned()], 0.0)]);
    let dips = "via: [(620, 3900), (1000, 3800), (1000, 4600), (2200, 4600)], to: Open((2200, 4500)), fittings: []";
    assert_eq!(measured("vent-falls", &text(dips)), [(vec!["vent".to_owned()], 100.0)]);
    assert_eq!(verdict("vent-falls", &text(dips)), BREACH);
    // The same drawn in two runs.
    let half = "to: Onward((620, 3900)), fittings: []";
    let upper = r#"(id: "upper", service: PrimaryVent, material: Copper, size: 22, from: Tee("vent", 2200), via: [(1000, 3800), (1000, 4600), (2200, 4600)],
        to: Open((2200, 4500)), fittings: [])"#;
    let in_two = heating("", "", half, upper);
    assert_eq!(measured("vent-falls", &in_two), [(vec!["upper".to_owned()], 100.0)]);
    // The float valve's outlet stands at 4250, two diameters of 22 above it 4294.
    let ends = |mm: i32| CLEAR.replace("4500", &mm.to_string());
    let rule = "vent-mouth-too-near";
    assert_eq!(measured(rule, &text(&ends(4294))), [(vec!["vent".to_owned(), "expansion".to_owned()], 44.0)]);
    assert_eq!(verdict(rule, &text(&ends(4294))), MEETS);
    assert_eq!(verdict(rule, &text(&ends(4293))), BREACH);
    // Under water.
    assert_eq!(verdict(rule, &text(&ends(4090))), BREACH);
    // Over another place it is asked elsewhere.
    assert_eq!(verdict(rule, &text(&CLEAR.replace("2200", "1200"))), None);
}

#[test]
fn the_whole_mouth_of_a_vent_lies_over_its_cistern() {
    // The cistern ends at 1000; a tube of 22 × 0.9 has a bore of 20.2.
    let text = |x_mm: f64| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
                connections: [(port: "feed", on: Right(75))])],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)],
            runs: [
                (id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"), to: Port("cylinder", "cold-inlet")),
                (id: "vent", service: OpenVent, material: Copper, size: 22, from: Port("cylinder", "draw-off"),
                    via: [(1700, 3000), ({x_mm}, 3000)], to: Open(({x_mm}, 2800))),
            ]"#
        )
    };
    assert_eq!(verdict("vent-ends-elsewhere", &text(989.8)), MEETS);
    assert_eq!(verdict("vent-ends-elsewhere", &text(990.0)), BREACH);
    assert_eq!(verdict("vent-ends-elsewhere", &text(1000.0)), BREACH);
}

/// Two linked cisterns of 1000 × 500 with bases at 2000 and so much higher or lower.
fn linked(link: [i32; 2], second_mm: i32, runs: &str) -> String {
    format!(
        r#"cisterns: [
            (id: "first", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500, water_line: 400,
                float_valve: (shank: Left(450)),
                connections: [(port: "out", on: Base(500)), (port: "side", on: Right(50)), (port: "link", on: Right({}))]),
            (id: "second", role: Storage, at: (3000, {second_mm}), length: 1000, width: 500, height: 500, water_line: 400,
                connections: [(port: "feed", on: Right(80)), (port: "link", on: Left({}))]),
        ],
        cylinders: [(id: "cylinder", at: (4500, 0), diameter: 400, height: 1000, capacity: 120)],
        runs: [
            (id: "link", service: Link, from: Port("first", "link"), to: Port("second", "link"), fittings: []),
            (id: "cold-feed", service: ColdFeed, from: Port("second", "feed"), to: Port("cylinder", "cold-inlet"), fittings: []),
            {runs}
        ]"#,
        link[0], link[1]
    )
}

#[test]
fn linked_cisterns_count_to_the_lower_of_two_lines() {
    // 200 L each; 1900 + 400 is 100 lower than 2000 + 400, which takes 50 L from the first.
    let level = linked([40, 40], 2000, "");
    assert_eq!(verdict("linked-water-lines-differ", &level), MEETS);
    assert!((measured("storage-less-than-cylinder", &level)[0].1 - 400.0).abs() < 1e-6);
    let lower = linked([40, 40], 1900, "");
    assert_eq!(measured("linked-water-lines-differ", &lower), [(vec!["first".to_owned(), "second".to_owned()], 100.0)]);
    assert_eq!(verdict("linked-water-lines-differ", &lower), BREACH);
    assert!((measured("storage-less-than-cylinder", &lower)[0].1 - 350.0).abs() < 1e-6);
    // So far down that nothing of the first is sure.
    let far = linked([40, 40], 1500, "");
    assert!((measured("storage-less-than-cylinder", &far)[0].1 - 200.0).abs() < 1e-6);
    // Without a line of its own the one that is filled through the link takes that of the other.
    let (before, after) = lower.rsplit_once(" water_line: 400,").expect("two lines");
    assert_eq!(verdict("linked-water-lines-differ", &format!("{before}{after}")), None);
}

#[test]
fn hot_and_cold_of_linked_cisterns_are_compared_by_level() {
    let rule = "cold-feed-too-low";
    let cold = |port: &str| {
        format!(
            r#"(id: "cold", service: ColdDistribution, from: Port("first", "{port}"), to: Onward((500, 0)), fittings: [])"#
        )
    };
    // The feed at 2000 + 80, the cold at 2000 and 2000 + 50.
    let found = measured(rule, &linked([0, 0], 2000, &cold("out")));
    assert_eq!(found, [(vec!["second".to_owned(), "first".to_owned()], 80.0)]);
    assert_eq!(measured(rule, &linked([40, 40], 2000, &cold("side")))[0].1, 30.0);
    assert_eq!(verdict(rule, &linked([40, 40], 2000, &cold("side"))), MEETS);
    assert_eq!(verdict(rule, &linked([40, 40], 1980, &cold("side"))), BREACH);
    // Below the link their waters part: here the feed is bare before, and there either may be first.
    assert_eq!(verdict(rule, &linked([60, 60], 2000, &cold("side"))), MEETS);
    assert_eq!(verdict(rule, &linked([90, 90], 2000, &cold("side"))), UNKNOWN);
    let apart = linked([40, 40], 2000, &cold("side")).replace("Link", "WarningPipe");
    assert_eq!(verdict(rule, &apart), None);
}

#[test]
fn a_hole_is_not_compared_with_itself() {
    let text = |runs: &str| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
                connections: [(port: "feed", on: Right(80)), (port: "cold", on: Left(50))])],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)],
            outlets: [(id: "wc", kind: Wc, at: (500, 200))],
            runs: [
                (id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"), to: Port("cylinder", "cold-inlet")),
                (id: "wc-cold", service: ColdDistribution, from: Tee("cold-feed", 500), to: Port("wc", "cold")),
                {runs}
            ]"#
        )
    };
    let rule = "cold-feed-too-low";
    assert_eq!(verdict("cold-feed-shared", &text("")), BREACH);
    // Where all cold water is taken from the feed's hole, it fails with the hot.
    assert_eq!(measured(rule, &text("")), [(vec!["cistern".to_owned()], 0.0)]);
    let cold = r#"(id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), to: Onward((-500, 0)))"#;
    assert_eq!(measured(rule, &text(cold)), [(vec!["cistern".to_owned()], 30.0)]);
}

#[test]
fn equal_pressures_at_a_mixer_are_equal_heads() {
    // Both sides from one cistern, the tap level with the cold inlet of the cylinder: hot water stands on nothing.
    let cold = r#"(id: "cold", service: ColdDistribution, material: Copper, size: 15, from: Port("cistern", "cold"),
        via: [(4040, 3550)], to: Port("shower", "cold"), fittings: [])"#;
    let level = shower("", cold, "").replace("at: (4000, 2000)", "at: (4000, 1099)");
    assert!(measured("mixer-heads-differ", &level)[0].1.abs() < 1e-6);
}

#[test]
fn a_tap_to_which_no_way_is_drawn_may_or_may_not_be_shut_off() {
    let rule = "tap-cannot-be-shut-off";
    let taps = |from: &str| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 3500), length: 1000, height: 500, water_line: 400,
                connections: [(port: "cold", on: Right(50))])],
            outlets: [(id: "basin", kind: Basin, at: (3000, 900))],
            runs: [(id: "cold", service: ColdDistribution, material: Copper, size: 15, from: {from},
                to: Port("basin", "cold"), fittings: [(kind: GateValve, at: 200)])]"#
        )
    };
    assert_eq!(verdict(rule, &taps(r#"Port("cistern", "cold")"#)), MEETS);
    assert_eq!(verdict(rule, &taps("Onward((1500, 3000))")), UNKNOWN);
}

#[test]
fn a_cold_pipe_from_beyond_the_drawing_leaves_open_what_the_cistern_feeds() {
    let text = |cold: &str| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 3500), length: 1000, width: 500, height: 500,
                water_line: 400, connections: [(port: "feed", on: Right(80))])],
            cylinders: [(id: "cylinder", at: (1500, 1000), diameter: 450, height: 900)],
            outlets: [(id: "basin", kind: Basin, at: (5000, 900))],
            runs: [(id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"),
                via: [(1300, 3580), (1300, 1099)], to: Port("cylinder", "cold-inlet")) {cold}]"#
        )
    };
    let cold = r#", (id: "cold", service: ColdDistribution, from: Onward((3000, 3000)), to: Port("basin", "cold"))"#;
    assert_eq!(verdict("storage-too-small-for-cylinder", &text("")), MEETS);
    assert_eq!(verdict("storage-too-small-for-cylinder", &text(cold)), None);
    assert_eq!(verdict("storage-too-small-for-taps", &text(cold)), UNKNOWN);
}

#[test]
fn a_valve_in_the_cold_feed_that_can_be_gone_round_does_not_shut_it() {
    let rule = "cold-feed-without-valve";
    let text = |round: &str| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
                connections: [(port: "feed", on: Right(80)), (port: "cold", on: Right(50))])],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)],
            runs: [
                (id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"), via: [(1250, 2080), (1250, 110)],
                    to: Port("cylinder", "cold-inlet"), fittings: [(kind: GateValve, at: 500)]),
                {round}
            ]"#
        )
    };
    // The feed is 250 + 1970 + 250 long, its valve at 500: from 300 to 900 the other pipe leads round it.
    let round = |service: &str, from: &str, fittings: &str| {
        let pipe = format!(
            r#"(id: "round", service: {service}, from: {from}, via: [(1400, 1800)], to: Tee("cold-feed", 900)"#
        );
        text(&format!("{pipe}, {fittings})"))
    };
    let tee = r#"Tee("cold-feed", 300)"#;
    assert_eq!(verdict(rule, &text("")), MEETS);
    assert_eq!(verdict(rule, &round("ColdFeed", tee, "fittings: []")), BREACH);
    assert_eq!(verdict(rule, &round("ColdDistribution", r#"Port("cistern", "cold")"#, "fittings: []")), BREACH);
    assert_eq!(verdict(rule, &round("ColdFeed", tee, "fittings: [(kind: StopValve, at: 100)]")), MEETS);
    assert_eq!(verdict(rule, &round("ColdFeed", tee, "")), UNKNOWN);
    // Before the valve, and after it, a pipe leads round nothing.
    let before = round("ColdFeed", tee, "fittings: []").replace(r#"Tee("cold-feed", 900)"#, r#"Tee("cold-feed", 400)"#);
    assert_eq!(verdict(rule, &before), MEETS);
}
