//! Slips of the pencil: what is told contradicts itself, and nothing that hangs on it is believed.

use loftwright::finding::{Finding, Findings};
use loftwright::layout::Layout;
use loftwright::measure::{Have, Site};
use loftwright::rules::Verdict;

use super::drawn_from::layout;
use super::judged::{BREACH, MEETS, UNKNOWN, find_out, findings, verdict};
use super::odd_vents::sound;

/// A cistern of 914 × 610 × 584 mm (326 L outside, 206 L of it to the water line) that feeds a cylinder of 143 L outside.
fn stated(cistern: &str, cylinder: &str) -> Layout {
    layout(&format!(
        r#"platforms: [(id: "platform", at: (-150, 2000), length: 1214, confirmed_load: 220)],
        cisterns: [
            (id: "cistern", role: Storage, at: (0, 2000), length: 914, width: 610, height: 584, water_line: 370,
                empty_mass: 16, connections: [(port: "feed", on: Left(50))], {cistern}),
        ],
        cylinders: [(id: "cylinder", at: (-1000, 0), diameter: 450, height: 900, {cylinder})],
        runs: [(id: "feed", service: ColdFeed, from: Port("cistern", "feed"), to: Port("cylinder", "cold-inlet"))]"#
    ))
}

#[test]
fn volumes_that_were_told_the_wrong_way_round_settle_nothing() {
    let sound = stated("rim_volume: 228, water_volume: 180", "capacity: 117");
    assert_eq!(verdict(&sound, "platform-overloaded", "platform"), BREACH);
    assert_eq!(verdict(&sound, "storage-less-than-cylinder", "cistern"), MEETS);
    let crossed = stated("rim_volume: 180, water_volume: 228", "capacity: 117");
    let words = "look at the volumes of the cistern again: 228 L are stated to the water line, and 180 L to the rim";
    for (rule, part) in [("platform-overloaded", "platform"), ("storage-less-than-cylinder", "cistern")] {
        assert_eq!(find_out(&crossed, rule, part), words, "{rule}");
    }
}

#[test]
fn no_share_is_taken_of_a_volume_that_does_not_go_in() {
    assert_eq!(verdict(&stated("rim_volume: 320", "capacity: 117"), "storage-less-than-cylinder", "cistern"), MEETS);
    let words = find_out(&stated("rim_volume: 420", "capacity: 117"), "storage-less-than-cylinder", "cistern");
    assert_eq!(words, "look at the volume of the cistern again: 420 L are stated, and its outside holds 326 L");
}

#[test]
fn no_cylinder_holds_more_than_its_outside() {
    let of = |capacity: u32| {
        let mut house = stated("rim_volume: 230", &format!("capacity: {capacity}, empty_mass: 32, standing_loss: 60"));
        house.building.storeys.push(loftwright::layout::Storey {
            id: loftwright::layout::Id::of("floor"),
            floor: loftwright::units::Level::mm(0.0),
            deck: None,
        });
        house
    };
    let words = "look at the volume of the cylinder again: 300 L are stated, and its outside holds 143 L";
    for rule in ["storage-less-than-cylinder", "cylinder-too-heavy-for-floor", "cylinder-loses-too-much"] {
        assert_ne!(verdict(&of(140), rule, "cylinder").or(verdict(&of(140), rule, "cistern")), UNKNOWN, "{rule}");
        assert_eq!(find_out(&of(300), rule, "cylinder"), words, "{rule}");
    }
}

#[test]
fn a_hole_beyond_an_edge_is_asked_about() {
    let rule = "hole-off-its-vessel";
    let hole = |on: &str| stated(&format!(r#"float_valve: (shank: {on})"#), "");
    for on in ["Left(584)", "Right(500)", "Top(914)", "Base(0)"] {
        assert_eq!(verdict(&hole(on), rule, "cistern"), MEETS, "{on}");
    }
    for on in ["Left(-30)", "Right(700)", "Top(2000)", "Base(-5)"] {
        assert_eq!(verdict(&hole(on), rule, "cistern"), UNKNOWN, "{on}");
    }
    let words = find_out(&hole("Top(2000)"), rule, "cistern");
    assert_eq!(
        words,
        "measure where the hole of inlet is in the cistern: 2000 mm from the left side are told, of 914 mm"
    );
    assert_eq!(verdict(&hole("Top(500)"), rule, "cylinder"), MEETS);
    let both = find_out(&hole("Left(-30), outlet: 5000"), rule, "cistern");
    assert_eq!(
        both,
        "measure where the hole of inlet is in the cistern: -30 mm above the base are told, of 584 mm; measure where the float valve of the cistern lets its water go: 5000 mm above the base are told, of 584 mm"
    );
}

/// The sound example with one place told otherwise.
fn sound_but(told: &str, slip: &str) -> Layout {
    sound(&[(told, slip)])
}

/// Rules that give the sound example another verdict than the slip does, with what they are about.
fn told_otherwise(slip: &Layout, now: Verdict) -> Vec<String> {
    let of = |layout: &Layout| -> Vec<(&str, String, Verdict)> {
        let findings = Findings::of(&Site::of(layout));
        findings.iter().map(|found| (found.rule.id, found.subject().to_string(), found.judged.verdict)).collect()
    };
    let sound = of(&sound_but("water_line: 410", "water_line: 410"));
    let mut otherwise: Vec<String> = of(slip)
        .into_iter()
        .filter(|found| found.2 == now && !sound.contains(found))
        .map(|(rule, part, _)| format!("{rule} {part}"))
        .collect();
    otherwise.sort();
    otherwise.dedup();
    otherwise
}

#[test]
fn nothing_is_reckoned_from_a_hole_that_is_not_there() {
    for slip in ["Right(5000)", "Right(-20)", "Base(-200)"] {
        let feed = sound_but(r#"(port: "cold-feed", on: Right(80))"#, &format!(r#"(port: "cold-feed", on: {slip})"#));
        assert_eq!(told_otherwise(&feed, Verdict::Breach), Vec::<String>::new(), "{slip}");
        let open = told_otherwise(&feed, Verdict::Unknown);
        for hangs_on_it in [
            "hole-off-its-vessel cistern",
            "outlet-starved bath",
            "vent-draws-air open-vent",
            "pipe-too-fast cold-feed",
        ] {
            assert!(open.iter().any(|rule| rule == hangs_on_it), "{slip}: {hangs_on_it} among {open:?}");
        }
    }
    let words = "measure where the hole of cold feed is in the cistern: 5000 mm above the base are told, of 584 mm";
    let feed = sound_but(r#"(port: "cold-feed", on: Right(80))"#, r#"(port: "cold-feed", on: Right(5000))"#);
    for (rule, part) in
        [("water-line-below-outlet", "cistern"), ("outlet-starved", "bath"), ("cold-feed-too-low", "cistern")]
    {
        assert!(look_again_at_any(&feed, rule, part).contains(&words.to_owned()), "{rule}");
    }
    // What is told of the pipe as a whole stands.
    assert_eq!(verdict(&feed, "cold-feed-without-valve", "cold-feed"), MEETS);
    assert_eq!(verdict(&feed, "cold-feed-narrower-than-vent", "cold-feed"), MEETS);
}

fn look_again_at_any(layout: &Layout, rule: &str, part: &str) -> Vec<String> {
    let untold = |found: Finding| if let Have::Untold(words) = found.reading.have { Some(words) } else { None };
    findings(layout, rule, part).into_iter().filter_map(untold).collect()
}

#[test]
fn an_air_gap_is_not_measured_to_a_valve_above_the_lid() {
    let rules =
        ["air-gap-too-small", "float-valve-too-near-overflow", "overflow-cannot-keep-up", "cistern-fills-too-slowly"];
    for outlet in [5000, -5] {
        let slip = sound_but("outlet: 510", &format!("outlet: {outlet}"));
        assert_eq!(rules.map(|rule| verdict(&slip, rule, "cistern")), [UNKNOWN; 4], "{outlet}");
    }
    assert_eq!(verdict(&sound_but("outlet: 510", "outlet: 600"), "air-gap-too-small", "cistern"), MEETS);
}

#[test]
fn an_overflow_below_its_cistern_settles_no_level() {
    let rules = ["air-gap-too-small", "water-line-too-near-overflow", "overflow-cannot-keep-up", "overflow-above-rim"];
    let below = sound_but(r#"(port: "warning", on: Left(450))"#, r#"(port: "warning", on: Left(-40))"#);
    assert_eq!(rules.map(|rule| verdict(&below, rule, "cistern")), [UNKNOWN; 4]);
    // Above the rim it is a fault of its own, and the water runs over the rim.
    let above = sound_but(r#"(port: "warning", on: Left(450))"#, r#"(port: "warning", on: Left(700))"#);
    assert_eq!(verdict(&above, "overflow-above-rim", "cistern"), BREACH);
    assert_eq!(verdict(&above, "water-line-too-near-overflow", "cistern"), MEETS);
}

#[test]
fn a_dip_tube_that_stands_on_the_base_lets_nothing_in() {
    let rule = "warning-pipe-dip-tube-too-short";
    let ends_at = |mm: i32| stated(&format!("dip_tube: EndsAt({mm})"), "");
    assert_eq!(verdict(&ends_at(200), rule, "cistern"), MEETS);
    assert_eq!([0, -10].map(|mm| verdict(&ends_at(mm), rule, "cistern")), [UNKNOWN; 2]);
}

#[test]
fn timbers_that_would_lie_in_one_another_carry_nothing_that_could_be_told() {
    let joists = sound_but("breadth: 47, depth: 147,", "breadth: 470, depth: 147,");
    let words = "measure the joists again: 470 mm thick, as they are told, and 400 mm from middle to middle";
    for rule in
        ["joist-overstressed", "joist-overstressed-in-shear", "joist-sags", "bearer-sags", "joist-span-too-long"]
    {
        assert_eq!(find_out(&joists, rule, "cistern-platform"), words, "{rule}");
    }
    let bearers = sound_but("bearers: (count: 4, spacing: 300,", "bearers: (count: 4, spacing: 30,");
    let words = "measure the bearers again: 47 mm thick, as they are told, and 30 mm from middle to middle";
    for rule in ["board-overstressed", "board-sags", "too-few-joists", "joists-too-far-apart"] {
        assert_eq!(find_out(&bearers, rule, "cistern-platform"), words, "{rule}");
    }
}

/// The roof over the cistern lies at so many mm, its base at 2000.
fn under(roof: &str) -> Layout {
    layout(&format!(
        r#"building: (roof: (underside: {roof}), hatch: []),
        cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500,
            float_valve: (shank: Left(450)))]"#
    ))
}

#[test]
fn over_a_cistern_on_a_flat_roof_lies_nothing() {
    let rules = [
        "headroom-too-low-at-float-valve",
        "headroom-too-low-opposite",
        "no-way-to-the-cistern",
        "cistern-too-big-for-hatch",
    ];
    let outside = under("[(-1000, 1950), (3000, 1950)]");
    assert_eq!(rules.map(|rule| verdict(&outside, rule, "cistern")), [None; 4]);
    // A roof through which it is drawn is in its way, and one that reaches over a part of it leaves the rest open.
    let through = under("[(-1000, 2100), (3000, 2100)]");
    assert_eq!(rules[..3].iter().map(|rule| verdict(&through, rule, "cistern")).collect::<Vec<_>>(), [BREACH; 3]);
    let beside = under("[(-1000, 1950), (500, 1950)]");
    assert_eq!(verdict(&beside, rules[1], "cistern"), UNKNOWN);
}
