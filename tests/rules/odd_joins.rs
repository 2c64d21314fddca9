//! What must not hang on a joint in a pipe, on the order of the file, or on what is called what: ways, waters and vents by
//! where they lead.

use loftwright::layout::Id;
use loftwright::measure::{Feature, Place};

use super::drawn_from::layout;
use super::judged::{BREACH, MEETS, UNKNOWN, findings};
use super::judged_text::{measured, verdict};

/// A cistern from 0 to 1000 with its base at 4000 and its rim at 4500, under a roof that falls from 5500 to 4700 over it.
fn under_roof(more: &str) -> String {
    format!(
        r#"building: (roof: (underside: [(-1000, 6300), (2000, 3900)]), {more}),
        cisterns: [(id: "cistern", role: Storage, at: (0, 4000), length: 1000, height: 500, float_valve: (shank: Left(450)))]"#
    )
}

#[test]
fn a_ceiling_higher_up_does_not_hide_the_roof() {
    let rule = "headroom-too-low-opposite";
    // 6300 − 2000 × 0.8 = 4700 at the right side: 200 mm over the rim.
    assert_eq!(measured(rule, &under_roof("")), [(vec!["cistern".to_owned()], 200.0)]);
    assert_eq!(
        measured(rule, &under_roof("ceiling: (underside: 5500, thickness: 12.5),")),
        measured(rule, &under_roof(""))
    );
    assert_eq!(
        measured(rule, &under_roof("ceiling: (underside: 4600, thickness: 12.5),")),
        [(vec!["cistern".to_owned()], 100.0)]
    );
}

/// A storage cistern at 4000 that feeds a cylinder, and a feed-and-expansion cistern that feeds the heating below it.
fn two_cisterns(more_runs: &str) -> String {
    format!(
        r#"cisterns: [
            (id: "storage", role: Storage, at: (0, 4000), length: 1000, height: 500, water_line: 400,
                connections: [(port: "feed", on: Right(80)), (port: "over", on: Left(440))]),
            (id: "expansion", role: FeedAndExpansion, at: (3000, 4600), length: 400, height: 300, water_line: 100,
                connections: [(port: "feed", on: Right(40)), (port: "cold", on: Base(200)), (port: "over", on: Left(240))])],
        cylinders: [(id: "cylinder", at: (1500, 1000), diameter: 450, height: 900, coil: true)],
        boilers: [(id: "boiler", at: (4500, 0), length: 400, height: 700)],
        outlets: [(id: "basin", kind: Basin, at: (5500, 900))],
        runs: [
            (id: "feed", service: ColdFeed, from: Port("storage", "feed"), via: [(1300, 4080), (1300, 1099)],
                to: Port("cylinder", "cold-inlet"), fittings: []),
            (id: "flow", service: PrimaryFlow, from: Port("boiler", "flow"), via: [(3500, 1500)],
                to: Port("cylinder", "coil-flow"), fittings: []),
            (id: "return", service: PrimaryReturn, from: Port("boiler", "return"), via: [(3500, 300)],
                to: Port("cylinder", "coil-return"), fittings: []),
            (id: "expansion-feed", service: PrimaryFeed, from: Port("expansion", "feed"), via: [(3600, 4640)],
                to: Tee("return", 300), fittings: []),
            {more_runs}
        ]"#
    )
}

#[test]
fn the_heatings_water_is_no_water_for_a_basin() {
    let rule = "hot-and-cold-crossed";
    let off_the_flow =
        r#"(id: "hot", service: HotDistribution, from: Tee("flow", 200), to: Port("basin", "hot"), fittings: [])"#;
    let of_the_cistern = r#"(id: "cold", service: ColdDistribution, from: Port("expansion", "cold"), to: Port("basin", "cold"), fittings: [])"#;
    assert_eq!(verdict(rule, &two_cisterns(off_the_flow)), BREACH);
    assert_eq!(verdict(rule, &two_cisterns(of_the_cistern)), BREACH);
    let sound = r#"(id: "hot", service: HotDistribution, from: Port("cylinder", "draw-off"), to: Port("basin", "hot"), fittings: [])"#;
    assert_eq!(verdict(rule, &two_cisterns(sound)), MEETS);
}

#[test]
fn a_main_into_a_cylinder_or_the_heating_is_joined_to_it() {
    let rule = "main-joins-stored";
    let main = |to: &str| {
        format!(
            r#"(id: "main", service: RisingMain, from: Onward((6000, 0)), via: [(6000, 200)], to: {to}, fittings: [])"#
        )
    };
    assert_eq!(verdict(rule, &two_cisterns(&main(r#"Tee("expansion-feed", 1500)"#))), BREACH);
    assert_eq!(verdict(rule, &two_cisterns(&main(r#"Tee("feed", 1500)"#))), BREACH);
    assert_eq!(verdict(rule, &two_cisterns(&main(r#"Port("basin", "cold")"#))), MEETS);
    // No cistern at all.
    let alone = r#"cylinders: [(id: "cylinder", at: (1500, 1000), diameter: 450, height: 900)],
        runs: [(id: "main", service: RisingMain, from: Onward((0, 0)), to: Port("cylinder", "cold-inlet"), fittings: [])]"#;
    assert_eq!(verdict(rule, alone), BREACH);
}

#[test]
fn warning_pipes_that_meet_join_no_waters() {
    let rule = "primary-joins-stored";
    let coupled = r#"
        (id: "over", service: WarningPipe, from: Port("storage", "over"), to: Open((-1500, 4300)), fittings: []),
        (id: "expansion-over", service: WarningPipe, from: Port("expansion", "over"), to: Tee("over", 500), fittings: [])"#;
    assert_eq!(verdict(rule, &two_cisterns(coupled)), MEETS);
    // A pipe that is full of water does.
    let full = r#"(id: "cross", service: ColdDistribution, from: Tee("feed", 500), to: Tee("expansion-feed", 1500), fittings: [])"#;
    assert_eq!(verdict(rule, &two_cisterns(full)), BREACH);
}

#[test]
fn it_is_told_where_primary_and_stored_water_meet() {
    let rule = "primary-joins-stored";
    let cross = |to: &str| {
        format!(r#"(id: "cross", service: ColdDistribution, from: Tee("feed", 500), to: {to}, fittings: [])"#)
    };
    let told = |runs: &str| {
        let layout = layout(&two_cisterns(runs));
        let found = ["expansion-feed", "cross", "return"].iter().find_map(|run| findings(&layout, rule, run).pop());
        let reading = found.expect("it is told of a pipe").reading;
        let parts: Vec<String> = reading.parts[..reading.subjects].iter().map(ToString::to_string).collect();
        (parts, reading.places, reading.working)
    };
    let (parts, places, working) = told(&cross(r#"Tee("expansion-feed", 1500)"#));
    assert_eq!(parts, ["expansion-feed", "cross"]);
    assert_eq!(places, [Place::of(&Id::of("expansion-feed"), Feature::Along(1500.0))]);
    assert_eq!(working, ["expansion feed and cross meet 1500 mm along the expansion feed"]);
    let (parts, places, _) = told(&cross(r#"Port("expansion", "cold")"#));
    assert_eq!(parts, ["cross", "expansion"]);
    assert_eq!(places, [Place::of(&Id::of("expansion"), Feature::Port(Id::of("cold")))]);
    let (parts, ..) = told(&cross(r#"Port("boiler", "return")"#));
    assert_eq!(parts, ["return", "cross"]);
}

/// Two cisterns at 4000 and 5000 whose feeds meet at (1300, 3000): 2300 mm from the one, and 5300 from the other.
fn two_feeds(parted: bool, fittings: &str) -> String {
    let near = if parted {
        format!(
            r#"(id: "near", service: ColdFeed, from: Port("low", "feed"), to: Open((1300, 4080)), fittings: []),
            (id: "near-on", service: ColdFeed, from: Tee("near", 300), via: [(1300, 3000)], to: Port("cylinder", "cold-inlet"),
                fittings: [{fittings}]),"#
        )
    } else {
        format!(
            r#"(id: "near", service: ColdFeed, from: Port("low", "feed"), via: [(1300, 4080), (1300, 3000)],
                to: Port("cylinder", "cold-inlet"), fittings: [{fittings}]),"#
        )
    };
    let tee = if parted { r#"Tee("near-on", 1080)"# } else { r#"Tee("near", 1380)"# };
    format!(
        r#"cisterns: [
            (id: "low", role: Storage, at: (0, 4000), length: 1000, height: 500, connections: [(port: "feed", on: Right(80))]),
            (id: "high", role: Storage, at: (3000, 5000), length: 1000, height: 500,
                connections: [(port: "feed", on: Left(80))])],
        cylinders: [(id: "cylinder", at: (1500, 1000), diameter: 450, height: 900)],
        runs: [
            {near}
            (id: "far", service: ColdFeed, from: Port("high", "feed"), via: [(2700, 5080), (2700, 3000)], to: {tee},
                fittings: [])]"#
    )
}

#[test]
fn the_feed_is_the_shortest_way_however_it_is_parted() {
    let rule = "cylinder-too-near-cistern";
    let apart = measured(rule, &two_feeds(false, ""));
    assert_eq!(apart, [(vec!["cylinder".to_owned(), "low".to_owned()], 2100.0)]);
    assert_eq!(measured(rule, &two_feeds(true, "")), apart);
}

#[test]
fn water_that_expands_may_go_round_a_non_return_valve() {
    let rule = "cold-feed-non-return";
    let valve = "(kind: NonReturnValve, at: 100)";
    assert_eq!(verdict(rule, &two_feeds(false, valve)), MEETS);
    assert_eq!(verdict(rule, &two_feeds(false, "(kind: NonReturnValve, at: 2500)")), BREACH);
}

/// A feed with a stub of 400 mm at its foot that ends in a drain cock; parted halfway, or not.
fn stub(parted: bool) -> String {
    let stub = if parted {
        r#"(id: "stub", service: ColdFeed, from: Tee("feed", 3281), to: Open((1100, 1099)), fittings: []),
        (id: "end", service: ColdFeed, from: Tee("stub", 200), to: Open((900, 1099)), fittings: [(kind: DrainCock, at: 190)])"#
    } else {
        r#"(id: "stub", service: ColdFeed, from: Tee("feed", 3281), to: Open((900, 1099)),
            fittings: [(kind: DrainCock, at: 390)])"#
    };
    format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 4000), length: 1000, height: 500,
            connections: [(port: "feed", on: Right(80))])],
        cylinders: [(id: "cylinder", at: (1500, 1000), diameter: 450, height: 900)],
        runs: [
            (id: "feed", service: ColdFeed, from: Port("cistern", "feed"), via: [(1300, 4080), (1300, 1099)],
                to: Port("cylinder", "cold-inlet"), fittings: []),
            {stub}]"#
    )
}

#[test]
fn a_drain_cock_beyond_a_joint_drains_the_feed_too() {
    for parted in [false, true] {
        assert_eq!(verdict("cold-feed-without-drain", &stub(parted)), MEETS, "parted: {parted}");
    }
}

/// A cold distribution pipe that dips to 1000 before it rises to a basin, in one piece or parted at the dip's end.
fn dip(parted: bool) -> String {
    let runs = if parted {
        r#"(id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), via: [(1300, 4050), (1300, 1000)],
            to: Open((3000, 1000)), fittings: []),
        (id: "on", service: ColdDistribution, from: Tee("cold", 5050), to: Port("basin", "cold"), fittings: [])"#
    } else {
        r#"(id: "cold", service: ColdDistribution, from: Port("cistern", "cold"),
            via: [(1300, 4050), (1300, 1000), (3000, 1000)], to: Port("basin", "cold"), fittings: [])"#
    };
    format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 4000), length: 1000, height: 500,
            connections: [(port: "cold", on: Right(50))])],
        outlets: [(id: "basin", kind: Basin, at: (3100, 1800))], runs: [{runs}]"#
    )
}

#[test]
fn water_does_not_run_out_by_an_end_on_which_another_pipe_is_joined() {
    for parted in [false, true] {
        assert_eq!(verdict("distribution-without-drain", &dip(parted)), BREACH, "parted: {parted}");
    }
}

/// Two vents, of 22 and 28 mm, off a draw-off; the draw-off has a valve between them.
fn two_vents(vents: [&str; 2]) -> String {
    format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 4000), length: 1000, height: 500, water_line: 400,
            connections: [(port: "feed", on: Right(80))])],
        cylinders: [(id: "cylinder", at: (1500, 1000), diameter: 450, height: 900)],
        outlets: [(id: "basin", kind: Basin, at: (5000, 900))],
        runs: [
            (id: "feed", service: ColdFeed, size: 22, from: Port("cistern", "feed"), via: [(1300, 4080), (1300, 1099)],
                to: Port("cylinder", "cold-inlet"), fittings: []),
            (id: "draw-off", service: HotDistribution, size: 22, from: Port("cylinder", "draw-off"), via: [(4960, 1950)],
                to: Port("basin", "hot"), fittings: []),
            {}, {}]"#,
        vents[0], vents[1]
    )
}

#[test]
fn a_feed_is_as_wide_as_the_widest_vent_whichever_the_file_lists_first() {
    let vent = |id: &str, size: i32, at: i32| {
        format!(
            r#"(id: "{id}", service: OpenVent, size: {size}, from: Tee("draw-off", {at}), via: [(2600, 5000), (500, 5100)],
                to: Open((500, 4550)), fittings: [])"#
        )
    };
    let (narrow, wide) = (vent("narrow", 22, 900), vent("wide", 28, 1200));
    for vents in [[narrow.as_str(), &wide], [&wide, &narrow]] {
        assert_eq!(verdict("cold-feed-narrower-than-vent", &two_vents(vents)), BREACH);
    }
    assert_eq!(verdict("cold-feed-narrower-than-vent", &two_vents([&narrow, &vent("other", 22, 1200)])), MEETS);
}

#[test]
fn what_of_the_main_joins_the_heating_alone_is_told_as_that() {
    let rule = "main-joins-stored";
    let main = |to: &str| {
        format!(
            r#"(id: "main", service: RisingMain, from: Onward((6000, 0)), via: [(6000, 200)], to: {to}, fittings: [])"#
        )
    };
    let words = |to: &str, part: &str| {
        let found = findings(&layout(&two_cisterns(&main(to))), rule, part);
        format!("{:?}", found[0].reading.have)
    };
    assert!(words(r#"Tee("expansion-feed", 1500)"#, "expansion").contains("water of the heating"));
    assert!(words(r#"Tee("feed", 1500)"#, "storage").contains("stored water"));
    // Without its cistern the heating may be filled by a loop.
    let open = two_cisterns(&main(r#"Tee("return", 600)"#));
    let sealed = open.replace(r#"from: Port("expansion", "feed")"#, "from: Onward((3400, 4640))");
    assert_eq!(verdict(rule, &open), BREACH);
    assert_eq!(verdict(rule, &sealed), UNKNOWN);
}
