//! Plausible houses that are drawn oddly: what an experienced installer would say of each is what the rules say.

use loftwright::finding::{Finding, Findings};
use loftwright::layout::{Layout, Tapping};
use loftwright::measure::{Have, Site};
use loftwright::rules::{Verdict, Voice};
use loftwright::units::Length;

const BREACH: Option<Verdict> = Some(Verdict::Breach);
const MEETS: Option<Verdict> = Some(Verdict::Meets);
const UNKNOWN: Option<Verdict> = Some(Verdict::Unknown);

/// A layout whose inner text is given.
fn layout(text: &str) -> Layout {
    let options = ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    let layout: Layout = options.from_str(&format!("(format: 1, {text})")).expect("a layout");
    assert_eq!(layout.broken_references(), [], "{text}");
    layout
}

/// The findings of a rule about a part, heaviest first.
fn findings(layout: &Layout, rule: &str, part: &str) -> Vec<Finding> {
    let all = Findings::of(&Site::of(layout));
    all.iter().filter(|finding| finding.rule.id == rule && finding.subject().as_str() == part).cloned().collect()
}

/// The heaviest verdict of a rule about a part; `None` where it is not asked.
fn verdict(layout: &Layout, rule: &str, part: &str) -> Option<Verdict> {
    findings(layout, rule, part).first().map(|finding| finding.judged.verdict)
}

/// The number that a rule measures on a part.
fn number(layout: &Layout, rule: &str, part: &str) -> f64 {
    match findings(layout, rule, part).first().map(|finding| finding.reading.have.clone()) {
        Some(Have::Amount(value, _)) => value.value,
        other => panic!("{rule} of {part}: {other:?}"),
    }
}

/// Two linked cisterns, the float valve in the first and the outlet of the second at its far end.
fn one_behind_the_other(more_runs: &str) -> Layout {
    layout(&format!(
        r#"building: (roof: (underside: [(-1000, 2900), (1500, 4000), (4000, 2900)])),
        cisterns: [
            (id: "first", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500, water_line: 380,
                float_valve: (shank: Left(460), outlet: 470, pattern: Part2),
                connections: [(port: "link", on: Right(50)), (port: "warning", on: Left(430))]),
            (id: "second", role: Storage, at: (1500, 2000), length: 1000, width: 500, height: 500, water_line: 380,
                connections: [(port: "link", on: Left(50)), (port: "cold", on: Right(50)), (port: "warning", on: Right(430))]),
        ],
        runs: [
            (id: "main", service: RisingMain, material: Copper, size: 15, from: Onward((-200, 0)), via: [(-200, 2460)],
                to: Port("first", "inlet"), fittings: [(kind: ServiceValve, at: 2400)]),
            (id: "link", service: Link, size: 28, from: Port("first", "link"), to: Port("second", "link"),
                fittings: [(kind: GateValve, at: 100)]),
            (id: "cold", service: ColdDistribution, size: 22, from: Port("second", "cold"), to: Onward((3500, 2050)),
                fittings: [(kind: GateValve, at: 100)]),
            (id: "first-warning", service: WarningPipe, material: Copper, size: 22, from: Port("first", "warning"),
                to: Open((-800, 2380))),
            {more_runs}
        ]"#
    ))
}

#[test]
fn water_that_goes_in_by_one_linked_cistern_and_out_by_the_other_moves_through_both() {
    let second_warning = r#"(id: "second-warning", service: WarningPipe, material: Copper, size: 22,
        from: Port("second", "warning"), to: Open((3300, 2380)))"#;
    let whole = one_behind_the_other(second_warning);
    for part in ["first", "second"] {
        assert_eq!(verdict(&whole, "linked-cistern-without-inlet", part), MEETS);
        assert_eq!(verdict(&whole, "inlet-and-outlet-on-one-side", part), MEETS);
        assert_eq!(verdict(&whole, "warning-pipe-missing", part), MEETS);
        assert_eq!(verdict(&whole, "water-line-too-near-overflow", part), MEETS);
        assert_eq!(verdict(&whole, "headroom-too-low-opposite", part), MEETS);
    }
    // The second has no float valve, and none is asked for.
    for rule in [
        "float-valve-too-near-overflow",
        "float-valve-wrong-pattern",
        "float-valve-without-service-valve",
        "air-gap-too-small",
        "headroom-too-low-at-float-valve",
    ] {
        assert_eq!(verdict(&whole, rule, "second"), None, "{rule}");
        assert_eq!(verdict(&whole, rule, "first"), MEETS, "{rule}");
    }
    // Each needs a warning pipe all the same.
    assert_eq!(verdict(&one_behind_the_other(""), "warning-pipe-missing", "second"), BREACH);
    // Drawn from on the side of the link, the far end of the second stands still.
    let mut on_one_side = one_behind_the_other("");
    on_one_side.cisterns[1].connections[1].on = Tapping::Base(Length::mm(200.0));
    assert_eq!(verdict(&on_one_side, "inlet-and-outlet-on-one-side", "second"), BREACH);
    // A third that hangs on the link like a dead end.
    let dead_end = layout(
        r#"cisterns: [
            (id: "first", role: Storage, at: (0, 2000), length: 1000, height: 500, float_valve: (shank: Left(460)),
                connections: [(port: "link", on: Right(50)), (port: "cold", on: Base(900))]),
            (id: "second", role: Storage, at: (1500, 2000), length: 1000, height: 500, connections: [(port: "link", on: Left(50))]),
        ],
        runs: [
            (id: "link", service: Link, from: Port("first", "link"), to: Port("second", "link")),
            (id: "cold", service: ColdDistribution, from: Port("first", "cold"), to: Onward((900, 0))),
        ]"#,
    );
    assert_eq!(verdict(&dead_end, "linked-cistern-without-inlet", "second"), BREACH);
}

#[test]
fn a_standpipe_through_the_base_overflows_at_its_mouth() {
    let cistern = |tube: &str| {
        layout(&format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, height: 500, water_line: 400,
                float_valve: (shank: Right(460), outlet: 460, pattern: Part2), {tube}
                connections: [(port: "overflow", on: Base(300))])],
            runs: [
                (id: "main", service: RisingMain, material: Copper, size: 15, from: Onward((1200, 0)), via: [(1200, 2460)],
                    to: Port("cistern", "inlet")),
                (id: "overflow", service: WarningPipe, material: Copper, size: 22, from: Port("cistern", "overflow"),
                    via: [(300, 1900)], to: Open((-500, 1880))),
            ]"#
        ))
    };
    let standing = cistern("dip_tube: EndsAt(430),");
    assert_eq!(number(&standing, "water-line-too-near-overflow", "cistern"), 30.0);
    assert_eq!(verdict(&standing, "water-line-too-near-overflow", "cistern"), MEETS);
    assert_eq!(number(&standing, "float-valve-too-near-overflow", "cistern"), 30.0);
    assert_eq!(verdict(&standing, "air-gap-too-small", "cistern"), MEETS);
    assert_eq!(verdict(&standing, "warning-pipe-rises", "overflow"), MEETS);
    // Its mouth is meant to stand above the water: no dip tube is asked for.
    assert_eq!(verdict(&standing, "warning-pipe-dip-tube-too-short", "cistern"), None);
    assert_eq!(verdict(&cistern("dip_tube: EndsAt(410),"), "water-line-too-near-overflow", "cistern"), BREACH);
    assert_eq!(verdict(&cistern(""), "water-line-too-near-overflow", "cistern"), UNKNOWN);
    // A hole in the base with nothing on it empties the cistern.
    assert_eq!(number(&cistern("dip_tube: Missing,"), "water-line-too-near-overflow", "cistern"), -400.0);
}

#[test]
fn a_cistern_half_off_its_platform_weighs_whole_and_says_how_much_is_not_held() {
    let half_off = layout(
        r#"platforms: [(id: "platform", at: (-150, 2000), length: 650, depth: 800, behind: 0, confirmed_load: 200)],
        cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 500, height: 500, behind: 0,
            rim_volume: 200, empty_mass: 10)]"#,
    );
    let right = findings(&half_off, "platform-overhang-too-small", "platform").remove(0);
    assert_eq!((right.judged.verdict, right.reading.side), (Verdict::Breach, Some("right")));
    assert!(right.working().iter().any(|line| line.contains("500.0 mm short of the cistern's side")));
    assert_eq!(number(&half_off, "platform-overloaded", "platform"), 210.0);
}

#[test]
fn a_hatch_measured_by_tape_has_a_margin() {
    let hatch = |length_mm: f64, survey: &str| {
        layout(&format!(
            r#"survey: {survey}, building: (hatch: (x: 0, length: {length_mm}, width: 700)),
            cisterns: [(id: "cistern", role: Storage, at: (0, 2000), length: 1000, width: 700, height: 600)]"#
        ))
    };
    let rule = "cistern-too-big-for-hatch";
    assert_eq!(verdict(&hatch(600.0, "Designed"), rule, "cistern"), MEETS);
    assert_eq!(verdict(&hatch(599.0, "Designed"), rule, "cistern"), BREACH);
    // Each side to 0.5 mm, read to 0.5 mm; the two that decide: 2 √(4 × 0.25 / 3) = 1.15 mm.
    let margin = |layout: &Layout| findings(layout, rule, "cistern")[0].judged.margin;
    assert!((margin(&hatch(590.0, "Surveyed(II)")) - 1.1547).abs() < 1e-3, "{}", margin(&hatch(590.0, "Surveyed(II)")));
    assert_eq!(verdict(&hatch(599.0, "Surveyed(II)"), rule, "cistern"), Some(Verdict::Marginal));
    assert_eq!(verdict(&hatch(598.0, "Surveyed(II)"), rule, "cistern"), BREACH);
    let words = findings(&hatch(590.0, "Designed"), rule, "cistern").remove(0).words(Voice::Trade);
    assert!(words.contains("leaves it −10 mm to spare") || words.contains("leaves it -10 mm to spare"), "{words}");
}
