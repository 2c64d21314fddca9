//! Warning pipes and outlets in several runs, with humps, or going on beyond the drawing; platforms that share a cistern.

use glam::dvec2;
use loftwright::finding::{Finding, Findings};
use loftwright::layout::Layout;
use loftwright::measure::Site;
use loftwright::rules::Verdict;

use super::drawn_from::{layout, whole};
use super::judged::{BREACH, MEETS, UNKNOWN, heaviest, of_rule};
use super::judged_text::{findings, measured, verdict};

/// What is asked of the way of a warning pipe.
const OF_THE_WAY: [&str; 5] = [
    "warning-pipe-too-narrow",
    "warning-pipe-not-larger-than-inlet",
    "warning-pipe-valved",
    "warning-pipe-rises",
    "warning-pipes-coupled",
];

/// The only number that a rule has measured.
fn number(rule: &str, text: &str) -> f64 {
    match measured(rule, text)[..] {
        [(_, number)] => number,
        _ => panic!("{rule} has not measured one thing"),
    }
}

/// A cistern from 0 to 1000 with its base at 2000, its supply of 15 mm copper with a bore of 13.6, and its warning pipe
/// out at the left, 410.1 above the base; with 22 mm copper of bore 20.2 the invert is at 400.
fn overflowing(water_line: f64, outlet: f64, runs: &str) -> String {
    format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 600, water_line: {water_line},
            float_valve: (shank: Right(550), outlet: {outlet}),
            connections: [(port: "warning", on: Left(410.1))])],
        runs: [
            (id: "main", service: RisingMain, material: Copper, size: 15, from: Onward((1200, 0)), via: [(1200, 2550)],
                to: Port("cistern", "inlet"), fittings: []),
            {runs}
        ]"#
    )
}

/// The warning pipe in two legs that are joined at (-300, 2400), in different ways.
fn two_legs(inner: &str, outer: &str) -> [String; 3] {
    let carried_on = format!(
        r#"(id: "warning-pipe", service: WarningPipe, material: Copper, from: Port("cistern", "warning"),
            to: Tee("outer", 0), fittings: [], {inner}),
        (id: "outer", service: WarningPipe, material: Copper, from: Open((-300, 2400)), to: Open((-2000, 2300)),
            fittings: [], {outer}),"#
    );
    // √(300² + 10.1²) = 300.17: the second begins a hair before the end of the first.
    let teed = format!(
        r#"(id: "warning-pipe", service: WarningPipe, material: Copper, from: Port("cistern", "warning"),
            to: Open((-300, 2400)), fittings: [], {inner}),
        (id: "outer", service: WarningPipe, material: Copper, from: Tee("warning-pipe", 300), to: Open((-2000, 2300)),
            fittings: [], {outer}),"#
    );
    let from_outside = format!(
        r#"(id: "warning-pipe", service: WarningPipe, material: Copper, from: Tee("outer", 1702.9),
            to: Port("cistern", "warning"), fittings: [], {inner}),
        (id: "outer", service: WarningPipe, material: Copper, from: Open((-2000, 2300)), to: Open((-300, 2400)),
            fittings: [], {outer}),"#
    );
    [carried_on, teed, from_outside].map(|runs| overflowing(375.0, 440.0, &runs))
}

#[test]
fn the_narrowest_leg_of_a_warning_pipe_judges_its_bore() {
    for text in two_legs("size: 22", "size: 15") {
        assert_eq!(number("warning-pipe-too-narrow", &text), 13.6);
        assert_eq!(verdict("warning-pipe-too-narrow", &text), BREACH);
        // No wider than the supply.
        assert_eq!(verdict("warning-pipe-not-larger-than-inlet", &text), BREACH);
        assert_eq!(findings("warning-pipe-too-narrow", &text)[0].reading.parts[0].as_str(), "outer");
    }
    for text in two_legs("size: 22", "size: 28") {
        assert_eq!(number("warning-pipe-too-narrow", &text), 20.2);
        assert_eq!(verdict("warning-pipe-not-larger-than-inlet", &text), MEETS);
    }
    // Of one leg nobody has told the size: what is known to be too narrow is so, and else it is not known.
    for text in two_legs("size: 22", "") {
        assert_eq!(verdict("warning-pipe-too-narrow", &text), UNKNOWN);
    }
    for text in two_legs("size: 15", "") {
        assert_eq!(verdict("warning-pipe-too-narrow", &text), BREACH);
    }
}

#[test]
fn the_leg_with_the_open_end_tells_where_the_water_goes() {
    for text in two_legs("size: 22, discharge: Conspicuous, screen: Mesh(0.65)", "size: 22, discharge: Hidden") {
        assert_eq!(verdict("warning-pipe-hidden", &text), BREACH);
        // The screen belongs on the open end as well.
        assert_eq!(verdict("warning-pipe-unscreened", &text), UNKNOWN);
    }
    for text in two_legs("size: 22", "size: 22, discharge: Conspicuous, screen: Mesh(0.65)") {
        assert_eq!(verdict("warning-pipe-hidden", &text), MEETS);
        assert_eq!(verdict("warning-pipe-unscreened", &text), MEETS);
    }
}

#[test]
fn a_rise_over_two_legs_counts_whole() {
    // Level at 2410.1, up to 2420.1 at the joint, up to 2440.1 at the bend of the outer leg.
    let text = overflowing(
        375.0,
        490.0,
        r#"(id: "warning-pipe", service: WarningPipe, material: Copper, size: 22, from: Port("cistern", "warning"),
            to: Open((-300, 2420.1)), fittings: []),
        (id: "outer", service: WarningPipe, material: Copper, size: 22, from: Tee("warning-pipe", 300.1),
            via: [(-600, 2440.1)], to: Open((-2000, 2300)), fittings: []),"#,
    );
    assert!((number("warning-pipe-rises", &text) - 30.0).abs() < 1e-9);
}

#[test]
fn a_mark_stands_at_the_open_end_whichever_way_the_pipe_is_drawn() {
    let pipe = |from: &str, to: &str| {
        let run = format!(
            r#"(id: "warning-pipe", service: WarningPipe, from: {from}, to: {to}, fittings: [], discharge: Hidden),"#
        );
        overflowing(375.0, 440.0, &run)
    };
    let (port, out) = (r#"Port("cistern", "warning")"#, "Open((-500, 2300))");
    for text in [pipe(port, out), pipe(out, port)] {
        let drawn = layout(&text);
        let hidden = of_rule(&drawn, "warning-pipe-hidden").remove(0);
        assert_eq!(Site::of(&drawn).locate(&hidden.reading.places[0]), Some(dvec2(-500.0, 2300.0)));
    }
}

#[test]
fn what_lies_beyond_the_drawing_is_not_passed() {
    let pipe = |size: i32, more: &str, fittings: &str, end: &str| {
        let run = format!(
            r#"(id: "warning-pipe", service: WarningPipe, material: Copper, size: {size},
                from: Port("cistern", "warning"), {more} to: {end}, fittings: [{fittings}]),"#
        );
        overflowing(375.0, 440.0, &run)
    };
    for rule in OF_THE_WAY {
        assert_eq!(verdict(rule, &pipe(22, "", "", "Open((-300, 2400))")), MEETS, "{rule}");
        assert_eq!(verdict(rule, &pipe(22, "", "", "Onward((-300, 2400))")), UNKNOWN, "{rule}");
    }
    let onward = "Onward((-300, 2400))";
    assert_eq!(verdict("overflow-cannot-keep-up", &pipe(22, "", "", onward)), UNKNOWN);
    // What is drawn is as it is drawn, whatever comes after.
    assert_eq!(verdict("warning-pipe-too-narrow", &pipe(15, "", "", onward)), BREACH);
    assert_eq!(verdict("warning-pipe-valved", &pipe(22, "", "(kind: GateValve, at: 100)", onward)), BREACH);
    assert_eq!(verdict("warning-pipe-rises", &pipe(22, "via: [(-200, 2420)],", "", onward)), BREACH);
    // So is the level at which it overflows, as far as that is drawn.
    assert_eq!(verdict("water-line-too-near-overflow", &pipe(22, "", "", onward)), MEETS);
    let found = findings("warning-pipe-rises", &pipe(22, "", "", onward));
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].remedies(), ["Draw the warning pipe on to where it lets the water go"]);
}

/// A warning pipe whose bend at −110 is so much above its connection.
fn humped(water_line: f64, outlet: f64, hump_mm: f64) -> String {
    let crest_mm = 2410.1 + hump_mm;
    let run = format!(
        r#"(id: "warning-pipe", service: WarningPipe, material: Copper, size: 22, from: Port("cistern", "warning"),
            via: [(-100, 2410), (-110, {crest_mm})], to: Open((-2000, 2300)), fittings: []),"#
    );
    overflowing(water_line, outlet, &run)
}

#[test]
fn a_cistern_overflows_at_the_highest_invert_on_the_way_out() {
    // 2410.1 + 60 − 10.1 = 2460: 460 above the base.
    let text = humped(430.0, 487.2, 60.0);
    assert!((number("water-line-too-near-overflow", &text) - 30.0).abs() < 1e-9);
    assert!((number("float-valve-too-near-overflow", &text) - 27.2).abs() < 1e-9);
    assert!((number("air-gap-too-small", &text) - 27.2).abs() < 1e-9);
    assert_eq!(verdict("air-gap-too-small", &text), MEETS);
    assert_eq!(verdict("air-gap-too-small", &humped(430.0, 487.0, 60.0)), BREACH);
    // Without the hump the invert is at 400, and water would run out at 430.
    assert!((number("water-line-too-near-overflow", &humped(430.0, 487.2, 0.0)) + 30.0).abs() < 1e-9);
    let crest = findings("float-valve-too-near-overflow", &text).remove(0).reading.places.remove(0);
    let point = Site::of(&layout(&text)).locate(&crest).expect("a place");
    assert!(point.distance(dvec2(-110.0, 2460.0)) < 1e-9, "{point}");
}

#[test]
fn a_rise_is_gone_when_its_high_point_is_lower_by_what_is_told() {
    let broken = findings("warning-pipe-rises", &humped(375.0, 487.2, 60.0)).remove(0);
    assert_eq!(broken.remedies(), ["Lay the pipe falling all the way out, its high point lower by 61 mm"]);
    assert_eq!(verdict("warning-pipe-rises", &humped(375.0, 487.2, -1.0)), MEETS);
    // What lies level from one bend to the next does not fall, and does not rise.
    assert_eq!(verdict("warning-pipe-rises", &humped(375.0, 487.2, -0.1)), Some(Verdict::Marginal));
    assert_eq!(verdict("warning-pipe-rises", &humped(375.0, 487.2, 1.0)), BREACH);
}

#[test]
fn a_cistern_with_nothing_on_it_has_not_been_described() {
    let cistern = |more: &str, runs: &str| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500, {more})], runs: [{runs}]"#
        )
    };
    let alone = cistern("", "");
    assert_eq!(verdict("warning-pipe-missing", &alone), UNKNOWN);
    assert_eq!(
        findings("warning-pipe-missing", &alone)[0].remedies(),
        ["Draw the pipes of the cistern, its warning pipe among them"]
    );
    let hole = r#"connections: [(port: "cold", on: Right(50))],"#;
    assert_eq!(verdict("warning-pipe-missing", &cistern(hole, "")), BREACH);
    let valve = "float_valve: (shank: Left(450)),";
    let main = r#"(id: "main", service: RisingMain, from: Onward((-300, 0)), via: [(-300, 2450)],
        to: Port("cistern", "inlet"))"#;
    assert_eq!(verdict("warning-pipe-missing", &cistern(valve, main)), BREACH);
}

#[test]
fn a_valve_may_lie_beyond_the_drawing_as_long_as_that_is_near_the_cistern() {
    let text = |end: &str, fittings: &str| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
                connections: [(port: "cold", on: Right(50))])],
            runs: [(id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), to: {end}, fittings: [{fittings}])]"#
        )
    };
    for rule in ["outlet-without-service-valve", "cold-distribution-without-valve"] {
        assert_eq!(verdict(rule, &text("Onward((1300, 2050))", "")), UNKNOWN, "{rule}");
        assert_eq!(verdict(rule, &text("Onward((1999, 2050))", "")), UNKNOWN, "{rule}");
        assert_eq!(verdict(rule, &text("Open((1300, 2050))", "")), BREACH, "{rule}");
        assert_eq!(verdict(rule, &text("Onward((1300, 2050))", "(kind: GateValve, at: 200)")), MEETS, "{rule}");
    }
    // About a metre from the cistern is as far as a valve near it may be; further off the pipe may still have one.
    assert_eq!(verdict("outlet-without-service-valve", &text("Onward((2000, 2050))", "")), BREACH);
    assert_eq!(verdict("cold-distribution-without-valve", &text("Onward((2000, 2050))", "")), UNKNOWN);
    let feed = text("Onward((1300, 2050))", "").replace("ColdDistribution", "ColdFeed");
    assert_eq!(verdict("outlet-without-service-valve", &feed), UNKNOWN);
}

#[test]
fn a_cistern_on_two_platforms_loads_neither_whole() {
    let text = |second: &str| {
        format!(
            r#"platforms: [
                (id: "left", at: (-200, 2000), length: 700, depth: 900, behind: 0, confirmed_load: 400),
                {second}
            ],
            cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500, behind: 0,
                rim_volume: 200, empty_mass: 10)]"#
        )
    };
    let beside = text(r#"(id: "right", at: (500, 2000), length: 700, depth: 900, behind: 0, confirmed_load: 400),"#);
    // The cistern reaches from −250 to 250 front to back; one board from −600 to 200, the other from 200 to 600.
    let behind =
        text(r#"(id: "right", at: (-200, 2000), length: 1400, depth: 400, behind: 400, confirmed_load: 400),"#)
            .replace("length: 700, depth: 900, behind: 0", "length: 1400, depth: 800, behind: -200");
    for text in [&beside, &behind] {
        for rule in ["platform-overhang-too-small", "platform-overloaded"] {
            let found = findings(rule, text);
            assert_eq!(heaviest(&found), UNKNOWN, "{rule}");
            let asked = "Draw one platform under the cistern, which stands on the";
            assert!(found.iter().all(|finding| finding.remedies()[0].starts_with(asked)), "{rule}");
        }
        let of_load = findings("platform-overloaded", text);
        assert_eq!(of_load.len(), 2);
    }
    // A platform that only touches it is not under it.
    let apart = text(r#"(id: "right", at: (1000, 2000), length: 700, depth: 900, behind: 0, confirmed_load: 400),"#);
    assert_eq!(verdict("platform-overloaded", &apart), MEETS);
    assert_eq!(verdict("platform-overhang-too-small", &apart), BREACH);
}

#[test]
fn a_board_on_a_single_joist_has_no_spacing_and_is_not_passed() {
    let text = r#"building: (joists: (top: 1980, first: 500, spacing: 1230, count: 2, breadth: 47, depth: 147)),
        platforms: [(id: "platform", at: (-150, 2000), length: 1300)],
        cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500)]"#;
    assert_eq!(verdict("too-few-joists", text), BREACH);
    assert_eq!(verdict("joists-too-far-apart", text), UNKNOWN);
}

#[test]
fn a_working_shows_no_more_decimals_than_a_tape_reads() {
    let example = include_str!("../../examples/sound_indirect.loft.ron");
    // Levels whose difference is no round number of binary fractions.
    let text = example.replace("5278)", "5278.3)").replace("water_line: 410", "water_line: 414.9");
    let findings = Findings::of(&Site::of(&whole(&text)));
    let workings: Vec<_> = findings.iter().flat_map(Finding::working).collect();
    assert!(workings.iter().any(|line| line.contains("water line 414.9 ")), "{workings:#?}");
    let decimals = |word: &str| {
        let digits = word.rsplit_once('.').map_or("", |(_, after)| after);
        digits.chars().take_while(char::is_ascii_digit).count()
    };
    // The acceleration of gravity, 9.80665, has the most of all that is shown.
    for line in &workings {
        assert!(line.split_whitespace().all(|word| decimals(word) <= 5), "{line}");
    }
}

#[test]
fn what_breaks_a_rule_whatever_the_untold_may_be_is_a_breach() {
    // Twice the bore or 20 mm, whichever is more: 19 mm are too few for every pipe, 30 mm are not.
    let gap = |outlet: &str| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500,
                float_valve: (shank: Right(450), outlet: {outlet}), connections: [(port: "warning", on: Left(410.1))])],
            runs: [(id: "warning-pipe", service: WarningPipe, material: Copper, size: 22,
                from: Port("cistern", "warning"), to: Open((-500, 2350)))]"#
        )
    };
    assert_eq!(verdict("air-gap-too-small", &gap("419")), BREACH);
    assert_eq!(verdict("air-gap-too-small", &gap("430")), UNKNOWN);
    // Grade 3 bears 10 m; water stands higher than the base on which the cistern stands.
    let head = |base: &str| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, {base}), length: 1000, height: 500,
                connections: [(port: "feed", on: Right(50))])],
            cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000, grade: G3)],
            runs: [(id: "cold-feed", service: ColdFeed, from: Port("cistern", "feed"), to: Port("cylinder", "cold-inlet"))]"#
        )
    };
    assert_eq!(verdict("cylinder-head-too-great", &head("10001")), BREACH);
    assert_eq!(verdict("cylinder-head-too-great", &head("9600")), UNKNOWN);
}

#[test]
fn a_cistern_whose_size_is_not_told_may_be_a_large_one() {
    let rule = "overflow-too-low-in-large-cistern";
    // The invert is at 400; 1000 × 600 mm hold 1000 L where they are 1667 mm front to back.
    let pipe = r#"(id: "warning", service: WarningPipe, material: Copper, size: 22, from: Port("cistern", "warning"),
        to: Open((-500, 2300)))"#;
    let sized = |water_line: f64, told: &str| {
        overflowing(water_line, 460.0, pipe).replace("height: 600,", &format!("height: 600, {told}"))
    };
    assert_eq!(verdict(rule, &sized(370.0, "")), UNKNOWN);
    assert_eq!(verdict(rule, &sized(350.0, "")), MEETS);
    assert_eq!(verdict(rule, &sized(370.0, "width: 1700,")), BREACH);
    assert_eq!(verdict(rule, &sized(370.0, "width: 1600,")), None);
    assert_eq!(verdict(rule, &sized(370.0, "rim_volume: 500,")), None);
    let asked = findings(rule, &sized(370.0, ""))[0].remedies()[0].clone();
    assert!(asked.contains("front to back"), "{asked}");
}

#[test]
fn above_the_rim_no_overflow_takes_water() {
    // The rim is at 600. The hole is at 640.1, its invert at 630; another pipe leaves at 500 and climbs to 650.
    let high = |water_line: f64, outlet: f64| {
        let pipe = r#"(id: "warning", service: WarningPipe, material: Copper, size: 22, from: Port("cistern", "warning"),
            to: Open((-500, 2300)))"#;
        overflowing(water_line, outlet, pipe).replace("410.1", "640.1")
    };
    let over = r#"(id: "warning", service: WarningPipe, material: Copper, size: 22, from: Port("cistern", "warning"),
        via: [(-200, 2650)], to: Open((-500, 2300)))"#;
    let rule = "overflow-above-rim";
    assert!((number(rule, &high(500.0, 700.0)) + 30.0).abs() < 1e-6);
    assert_eq!(verdict(rule, &high(500.0, 700.0)), BREACH);
    // The centre of the crest is at 650, its invert at 639.9.
    assert!((number(rule, &overflowing(380.0, 460.0, over)) + 39.9).abs() < 1e-6);
    // What is measured to the overflow is measured to the rim.
    assert!((number("water-line-too-near-overflow", &high(590.0, 700.0)) - 10.0).abs() < 1e-6);
    assert_eq!(verdict("water-line-too-near-overflow", &high(590.0, 700.0)), BREACH);
    assert!((number("air-gap-too-small", &high(500.0, 700.0)) - 100.0).abs() < 1e-6);
    // No warning pipe is another rule's fault.
    assert_eq!(verdict(rule, &overflowing(380.0, 460.0, "")), None);
}

#[test]
fn the_float_valve_of_the_heating_can_stick_as_well() {
    let cases = [
        (include_str!("../cases/overflow-cannot-keep-up/meets.loft.ron"), MEETS),
        (include_str!("../cases/overflow-cannot-keep-up/breach.loft.ron"), BREACH),
        (include_str!("../cases/overflow-cannot-keep-up/unknown.loft.ron"), UNKNOWN),
    ];
    let rule = "overflow-cannot-keep-up";
    for (text, expected) in cases {
        let storage = whole(text);
        let mut heating = storage.clone();
        heating.cisterns[0].role = loftwright::layout::CisternRole::FeedAndExpansion;
        for run in heating.runs.iter_mut().filter(|run| run.id.as_str() == "cold") {
            run.service = loftwright::layout::Service::PrimaryFeed;
        }
        // 0.128 L/s stand as high over the same overflow.
        let have = |layout: &Layout| of_rule(layout, rule).iter().map(|f| f.reading.have.clone()).collect::<Vec<_>>();
        assert_eq!(have(&heating), have(&storage));
        assert_eq!(heaviest(&of_rule(&heating, rule)), expected);
    }
}

#[test]
fn a_warning_pipe_on_a_basin_is_joined_to_no_other_cistern() {
    let pipe = r#"(id: "warning", service: WarningPipe, material: Copper, size: 22, from: Port("cistern", "warning"),
        via: [(-300, 2400)], to: Port("basin", "cold"), fittings: [])"#;
    let text = overflowing(380.0, 480.0, pipe);
    let with_basin = format!("outlets: [(id: \"basin\", kind: Basin, at: (-300, 900))], {text}");
    assert_eq!(verdict("warning-pipes-coupled", &with_basin), MEETS);
}

/// A cistern of 1400 L to its water line at 700, a warning pipe with its invert at 730, and an overflow at 764 or lower.
fn with_overflow_above(overflow_mm: f64, of_the_warning: &str, of_the_overflow: &str) -> String {
    format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 5000), length: 2000, width: 1000, height: 1000, water_line: 700,
            float_valve: (shank: Left(900), outlet: 920),
            connections: [(port: "warning", on: Left(740.1)), (port: "overflow", on: Right({overflow_mm}))])],
        runs: [
            (id: "warning", service: WarningPipe, material: Copper, size: 22, from: Port("cistern", "warning"),
                via: [(-200, 5735)], to: Open((-2000, 5300)), fittings: [], discharge: {of_the_warning}),
            (id: "overflow", service: WarningPipe, material: Copper, {of_the_overflow} from: Port("cistern", "overflow"),
                via: [(2300, 5700)], to: Open((4000, 5300)), fittings: [], discharge: Hidden),
        ]"#
    )
}

#[test]
fn of_two_ways_out_the_lower_warns_and_the_higher_is_the_overflow() {
    let (large, hidden) = ("overflow-too-low-in-large-cistern", "warning-pipe-hidden");
    let sound = with_overflow_above(790.0, "Conspicuous", "size: 54,");
    assert_eq!(verdict(large, &sound), MEETS);
    assert_eq!(verdict(hidden, &sound), MEETS);
    // 765 less half of 51.6 is 739.2: 39.2 over the water.
    assert_eq!(verdict(large, &with_overflow_above(765.0, "Conspicuous", "size: 54,")), BREACH);
    assert_eq!(verdict(hidden, &with_overflow_above(790.0, "Hidden", "size: 54,")), BREACH);
    // Which of them is the lower hangs on how wide the other is.
    assert_eq!(verdict(hidden, &with_overflow_above(790.0, "Conspicuous", "")), UNKNOWN);
    // Of two at one level both warn.
    assert_eq!(verdict(hidden, &with_overflow_above(740.1, "Conspicuous", "size: 22,")), BREACH);
}
