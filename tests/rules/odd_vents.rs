//! Vents drawn otherwise than in the examples: off the crown, in two runs, beyond the sheet, two on one feed.

use std::path::Path;

use loftwright::finding::Findings;
use loftwright::layout::{Id, Layout};
use loftwright::measure::{Feature, Have, Place, Site};
use loftwright::rules::{Verdict, Voice};

use super::drawn_from::{layout, whole, with_passages};
use super::judged::{findings, number, of_rule, verdicts};

const FEED: &str = "via: [(2740, 5358), (2740, 2799)], to: Port(\"cylinder\", \"cold-inlet\")";
const VENT: &str = "from: Tee(\"draw-off\", 625.1), via: [(3650, 6110), (2300, 6125)], to: Open((2300, 6000))";

fn example(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(format!("{name}.loft.ron"));
    std::fs::read_to_string(path).expect("an example")
}

/// An example in which each of some passages has been put in another's place.
pub(super) fn changed(name: &str, passages: &[(&str, &str)]) -> Layout {
    with_passages(&example(name), passages)
}

pub(super) fn sound(passages: &[(&str, &str)]) -> Layout {
    changed("sound_indirect", passages)
}

/// The sound example with the first 625.1 mm of its draw-off named vent instead; pipe for pipe the same.
fn vent_off_the_crown(feed_fittings: &str) -> Layout {
    sound(&[
        (
            "from: Port(\"cylinder\", \"draw-off\"),\n            via: [(3125, 3700), (3650, 3710), (3800, 3713), (3800, 2470), (1660, 2470)],",
            "from: Tee(\"open-vent\", 625.1), via: [(3800, 3713), (3800, 2470), (1660, 2470)],",
        ),
        ("fittings: [(kind: DrainCock, at: 1950)]", "fittings: [(kind: DrainCock, at: 1324.9)]"),
        ("from: Tee(\"draw-off\", 4158.1)", "from: Tee(\"draw-off\", 3533)"),
        (
            VENT,
            "from: Port(\"cylinder\", \"draw-off\"), via: [(3125, 3700), (3650, 3710), (3650, 6110), (2300, 6125)], to: Open((2300, 6000))",
        ),
        ("fittings: [(kind: GateValve, at: 500), (kind: DrainCock, at: 2840)]", feed_fittings),
    ])
}

#[test]
fn the_common_pipe_is_one_pipe_whether_it_is_named_vent_or_draw_off() {
    let layout = vent_off_the_crown("fittings: [(kind: GateValve, at: 500), (kind: DrainCock, at: 2840)]");
    let faults: Vec<String> = Findings::of(&Site::of(&layout))
        .iter()
        .filter(|finding| finding.judged.verdict != Verdict::Meets)
        .map(|finding| format!("{} {}", finding.rule.id, finding.subject()))
        .collect();
    assert_eq!(faults, Vec::<String>::new());
    let as_drawn_usually = sound(&[]);
    for rule in ["dead-leg-too-long", "hot-water-slow-to-arrive", "outlet-starved", "tap-cannot-be-shut-off"] {
        let both = [&layout, &as_drawn_usually].map(|layout| of_rule(layout, rule).len());
        assert_eq!(both[0], both[1], "{rule}");
        assert!(both[0] > 0, "{rule}");
    }
    // Tee and bend change places at the joint; beyond that the ways are as long and as wide.
    let flow = |layout: &Layout| number(layout, "outlet-starved", "bath");
    assert!((flow(&layout) / flow(&as_drawn_usually) - 1.0).abs() < 0.05);
}

#[test]
fn without_a_valve_in_the_feed_the_taps_beyond_such_a_vent_cannot_be_shut_off() {
    let layout = vent_off_the_crown("fittings: [(kind: DrainCock, at: 2840)]");
    assert!(verdicts(&layout, "tap-cannot-be-shut-off", "bath").contains(&Verdict::Breach));
}

#[test]
fn a_vent_on_a_tapping_of_its_own_in_the_crown_is_a_vent() {
    let layout = sound(&[
        (
            "grade: G3, coil: true",
            "grade: G3, connections: [(port: \"vent-tap\", on: Top(225)), (port: \"draw-off\", on: Right(850))], coil: true",
        ),
        (
            "via: [(3125, 3700), (3650, 3710), (3800, 3713), (3800, 2470), (1660, 2470)],",
            "via: [(3800, 3553), (3800, 2470), (1660, 2470)],",
        ),
        ("from: Tee(\"draw-off\", 4158.1)", "from: Tee(\"draw-off\", 3672)"),
        (VENT, "from: Port(\"cylinder\", \"vent-tap\"), via: [(3125, 6110), (2300, 6125)], to: Open((2300, 6000))"),
    ]);
    for rule in ["vent-valved", "vent-ends-elsewhere", "vent-falls", "vent-draws-air"] {
        assert_eq!(verdicts(&layout, rule, "open-vent"), [Verdict::Meets], "{rule}");
    }
    // It goes straight up: 3125 − 3125.
    assert_eq!(number(&layout, "vent-offset-too-short", "open-vent"), 0.0);
}

/// A vent that climbs from its connection at 1000 to a level stretch, and rises from where that ends.
fn turned_aside(turn: f64, rises_at: f64) -> Layout {
    let text = format!(
        r#"(format: 1, survey: Designed,
        cylinders: [(id: "cylinder", at: (0, 0), diameter: 400, height: 1000)],
        runs: [(id: "open-vent", service: OpenVent, from: Port("cylinder", "draw-off"),
            via: [(200, {turn}), ({rises_at}, {turn})], to: Open(({rises_at}, 3000)), fittings: [])])"#
    );
    whole(&text)
}

#[test]
fn a_turn_that_is_too_high_is_lowered_or_the_pipe_run_further_sideways() {
    let rule = "vent-offset-too-short";
    let remedies = |layout: &Layout| findings(layout, rule, "open-vent")[0].remedies();
    let further = "Close to its connection, run the pipe further sideways before the vent rises, by 450 mm";
    let high = turned_aside(1250.0, 700.0);
    assert_eq!(number(&high, rule, "open-vent"), 0.0);
    assert_eq!(remedies(&high), [further, "Lower the stretch that runs sideways towards the cylinder by 50 mm"]);
    // Lowered by as much it meets; by a millimetre less it does not.
    assert_eq!(verdicts(&turned_aside(1200.0, 700.0), rule, "open-vent"), [Verdict::Meets]);
    assert_eq!(verdicts(&turned_aside(1201.0, 700.0), rule, "open-vent"), [Verdict::Breach]);
    // Where the stretch is too short as well, lowering it alone does not put it right.
    assert_eq!(remedies(&turned_aside(1250.0, 600.0)), [further]);
    // Nor where the vent never turns aside.
    assert_eq!(remedies(&turned_aside(1250.0, 200.0)), [further]);
}

/// The vent of the sound example in two runs, teed at their ends, drawn either way about.
fn vent_in_two() -> [Layout; 2] {
    let more = |end: &str, lower: &str| {
        let upper = format!(
            "runs: [(id: \"vent-top\", service: OpenVent, material: Copper, size: 22, clips: (level: 1800, upright: 2400),
            {end}, via: [(3650, 6110), (2300, 6125)], to: Open((2300, 6000)), fittings: [], insulation: []),"
        );
        sound(&[("runs: [", &upper), (VENT, lower)])
    };
    [
        more("from: Open((3650, 5000))", "from: Tee(\"draw-off\", 625.1), to: Tee(\"vent-top\", 0)"),
        more("from: Tee(\"open-vent\", 1290)", "from: Tee(\"draw-off\", 625.1), to: Open((3650, 5000))"),
    ]
}

#[test]
fn a_joint_of_two_runs_is_no_open_end() {
    let whole = sound(&[]);
    for layout in vent_in_two() {
        for rule in ["vent-too-low", "vent-mouth-too-near", "vent-draws-air", "vent-ends-elsewhere", "vent-falls"] {
            assert_eq!(verdicts(&layout, rule, "vent-top"), [Verdict::Meets], "{rule}");
        }
        assert_eq!(verdicts(&layout, "pipe-holds-air", "draw-off"), [Verdict::Meets]);
        for rule in ["vent-too-low", "vent-draws-air"] {
            let (in_two, in_one) = (number(&layout, rule, "vent-top"), number(&whole, rule, "open-vent"));
            assert!((in_two - in_one).abs() < 1e-6, "{rule}: {in_two}, in one run {in_one}");
        }
    }
}

#[test]
fn what_a_vent_beyond_the_drawing_does_for_the_air_is_not_known() {
    let layout = sound(&[(VENT, "from: Tee(\"draw-off\", 625.1), to: Onward((3650, 4500))")]);
    assert_eq!(verdicts(&layout, "pipe-holds-air", "draw-off"), [Verdict::Unknown]);
    // The branch to the basin rises all the way to its tap.
    assert_eq!(verdicts(&layout, "pipe-holds-air", "basin-hot"), [Verdict::Meets]);
}

#[test]
fn a_vent_without_a_feed_is_not_known_to_draw_air_or_not() {
    let text = r#"(format: 1,
        cylinders: [(id: "cylinder", at: (0, 0), diameter: 400, height: 1000)],
        runs: [(id: "vent", service: OpenVent, material: Copper, size: 22, from: Port("cylinder", "draw-off"),
            via: [(200, 4000), (900, 4010)], to: Open((900, 3900)), fittings: [])])"#;
    let layout = whole(text);
    let found = findings(&layout, "vent-draws-air", "vent");
    assert_eq!(found[0].judged.verdict, Verdict::Unknown);
    assert!(
        matches!(&found[0].reading.have, Have::Untold(find_out) if find_out.contains("cold feed")),
        "{:?}",
        found[0].reading.working
    );
}

#[test]
fn water_does_not_get_over_a_feed_that_rises_above_the_water_line() {
    // The water line is at 5688.
    let humped = |crest: &str| {
        let via = format!(
            "via: [(2600, 5358), (2600, {crest}), (2740, {crest}), (2740, 2799)], to: Port(\"cylinder\", \"cold-inlet\")"
        );
        sound(&[(FEED, &via)])
    };
    let over = humped("5750");
    assert_eq!(verdicts(&over, "outlet-starved", "bath"), [Verdict::Breach, Verdict::Meets]);
    let found = findings(&over, "outlet-starved", "bath");
    assert!(
        found[0].reading.working.iter().any(|line| line.contains("cold feed rises above the water line")),
        "{:?}",
        found[0].reading.working
    );
    // No tube is large enough for water that does not run.
    assert_eq!(found[0].remedies(), ["Lower the pipe below the water line, or raise the cistern"]);
    assert_eq!(verdicts(&over, "vent-draws-air", "open-vent"), [Verdict::Unknown]);
    assert_eq!(verdicts(&over, "pipe-holds-air", "cold-feed"), [Verdict::Breach]);
    // Below the line the same hump holds air, but the sound example's own rule sees the water through.
    let under = humped("5680");
    assert_eq!(verdicts(&under, "outlet-starved", "bath"), [Verdict::Meets, Verdict::Meets]);
}

/// A second cylinder on the floor below, for one basin.
fn with_low_cylinder(feed: &str) -> Layout {
    let cylinder = r#"cylinders: [
        (id: "low", at: (5200, 0), diameter: 450, height: 900, stored_temperature: 60),"#;
    let outlet = r#"outlets: [
        (id: "kitchen", kind: Basin, at: (6200, 1000)),"#;
    let runs = format!(
        r#"runs: [
        (id: "low-feed", service: ColdFeed, material: Copper, size: 15, {feed}, to: Port("low", "cold-inlet"), fittings: []),
        (id: "low-draw", service: HotDistribution, material: Copper, size: 15, from: Port("low", "draw-off"),
            via: [(5425, 950), (5950, 960), (6160, 962)], to: Port("kitchen", "hot"), fittings: []),
        (id: "low-vent", service: OpenVent, material: Copper, size: 15, from: Tee("low-draw", 580),
            via: [(5955, 6200), (2200, 6210)], to: Open((2200, 6100)), fittings: []),"#
    );
    sound(&[("cylinders: [", cylinder), ("outlets: [", outlet), ("runs: [", &runs)])
}

#[test]
fn each_vent_is_held_to_what_is_drawn_through_its_own_cylinder() {
    let shared = with_low_cylinder(r#"from: Tee("cold-feed", 2000), via: [(5100, 3684), (5100, 99)]"#);
    let alone = sound(&[]);
    let need =
        |layout: &Layout, part: &str| findings(layout, "vent-draws-air", part)[0].judged.need.map(|need| need.value);
    // One basin: its design flow by BS 6700 (from memory).
    assert_eq!(need(&shared, "low-vent"), Some(0.15));
    assert_eq!(need(&shared, "open-vent"), need(&alone, "open-vent"));
    assert_eq!(verdicts(&shared, "vent-draws-air", "low-vent"), [Verdict::Meets]);
    // What is drawn downstairs meanwhile takes head from the shared stretch of the feed.
    assert!(number(&shared, "vent-draws-air", "open-vent") < number(&alone, "vent-draws-air", "open-vent"));
    let found = findings(&shared, "vent-draws-air", "low-vent");
    assert!(found[0].reading.working.iter().any(|line| line.contains("meanwhile")), "{:?}", found[0].reading.working);
}

#[test]
fn a_pump_in_what_a_primary_vent_carries_moves_the_water() {
    let house = |pump_mm: u32| {
        let text = format!(
            r#"(format: 1,
            cisterns: [(id: "expansion", role: FeedAndExpansion, at: (0, 5000), length: 400, height: 300, water_line: 100)],
            boilers: [(id: "boiler", at: (600, 100), length: 400, height: 700, kind: Regular)],
            runs: [
                (id: "vent", service: PrimaryVent, from: Port("boiler", "flow"), via: [(720, 5500), (200, 5500)],
                    to: Open((200, 5400)), fittings: [(kind: Pump, at: {pump_mm})]),
                (id: "flow", service: PrimaryFlow, from: Tee("vent", 1200), to: Onward((2000, 2010)), fittings: []),
            ])"#
        );
        whole(&text)
    };
    let asked = |layout: &Layout| {
        ["primary-vent-too-low", "gravity-primary-vent-too-low"].map(|rule| findings(layout, rule, "vent").len())
    };
    // Between boiler and tee it moves the water of the circuit; above the tee it moves none.
    assert_eq!(asked(&house(700)), [1, 0]);
    assert_eq!(asked(&house(2000)), [0, 1]);
}

#[test]
fn each_of_two_vents_on_one_draw_off_is_judged() {
    // The second tops out at 5900, 212 above the water line.
    let second = r#"(id: "second-vent", service: OpenVent, size: 22, from: Tee("draw-off", 640), via: [(3665, 5890), (2200, 5900)],
            to: Open((2200, 5860)), fittings: []),
        (
            id: "open-vent""#;
    let layout = sound(&[("(\n            id: \"open-vent\"", second)]);
    assert_eq!(verdicts(&layout, "vent-too-low", "open-vent"), [Verdict::Meets]);
    assert_eq!(verdicts(&layout, "vent-too-low", "second-vent"), [Verdict::Breach]);
    assert_eq!(number(&layout, "vent-too-low", "second-vent"), 5900.0 - 5688.0);
}

#[test]
fn a_vent_that_dips_after_its_top_holds_water_there() {
    let dips =
        "from: Tee(\"draw-off\", 625.1), via: [(3650, 6110), (2600, 6125), (2600, 5700)], to: Open((2300, 6000))";
    let layout = sound(&[(VENT, dips)]);
    assert_eq!(verdicts(&layout, "vent-falls", "open-vent"), [Verdict::Breach]);
    assert_eq!(number(&layout, "vent-falls", "open-vent"), 300.0);
    assert_eq!(verdicts(&sound(&[]), "vent-falls", "open-vent"), [Verdict::Meets]);
}

#[test]
fn a_vent_is_carried_on_by_one_that_is_teed_a_little_short_of_its_end() {
    let two = r#"from: Tee("draw-off", 625.1), to: Open((3650, 5000)), fittings: [], insulation: []),
        (
            id: "upper-vent", service: OpenVent, material: Copper, size: 22, clips: (level: 1800, upright: 2400),
            from: Tee("open-vent", 1289), via: [(3650, 6110), (2300, 6125)], to: Open((2300, 6000))"#;
    let layout = sound(&[(VENT, two)]);
    assert_eq!(verdicts(&layout, "vent-too-low", "upper-vent"), [Verdict::Meets]);
    assert_eq!(verdicts(&layout, "vent-too-low", "open-vent"), []);
    assert_eq!(verdicts(&layout, "vent-ends-elsewhere", "upper-vent"), [Verdict::Meets]);
}

#[test]
fn of_two_valves_in_a_vent_the_one_nearer_to_the_cylinder_is_shown() {
    let fittings = "fittings: [(kind: GateValve, at: 900), (kind: StopValve, at: 400), (kind: GateValve, at: 1300)],";
    let valved = format!("{VENT},\n            {fittings}");
    let layout = sound(&[(&format!("{VENT},\n            fittings: [],"), &valved)]);
    let places: Vec<_> = of_rule(&layout, "vent-valved").into_iter().map(|finding| finding.reading.places).collect();
    assert_eq!(places, [[Place::of(&Id::of("open-vent"), Feature::Along(400.0))]]);
}

#[test]
fn a_vent_below_the_water_is_said_to_be_below_it() {
    let vent = "from: Tee(\"draw-off\", 625.1), via: [(3650, 5633), (2300, 5648)], to: Open((2300, 5600))";
    let findings = of_rule(&sound(&[(VENT, vent)]), "vent-too-low");
    let words: Vec<String> = findings.iter().map(|finding| finding.words(Voice::Trade)).collect();
    // The water stands at 5278 + 410 = 5688: 5688 − 5648. Over the cylinder's base it stands 2988, and 150 + 40 × 2.988.
    assert_eq!(words, ["The top of the open vent is 40 mm below the water line; it needs 269.5 mm."]);
}

#[test]
fn a_tee_at_a_corner_is_at_the_corner_though_it_is_written_to_a_tenth() {
    // From (3125, 3600) up 100, then 525 along and 10 up: the corner is at 100 + √(525² + 10²) = 625.095, and 0.005 less.
    let draw_off = "via: [(3125, 3700), (3650, 3710), (3800, 3713), (3800, 2470), (1660, 2470)],";
    let down = "via: [(3125, 3700), (3650, 3710), (3650, 2470), (1660, 2470)],";
    let layout = sound(&[(draw_off, down), ("from: Tee(\"draw-off\", 4158.1)", "from: Tee(\"draw-off\", 3800)")]);
    assert_eq!(number(&layout, "vent-falls", "open-vent"), 0.0);
    assert_eq!(verdicts(&layout, "vent-falls", "open-vent"), [Verdict::Meets]);
}

/// A second cylinder on the same feed whose hot pipe joins the first one's draw-off through a valve, with a vent of its
/// own: off its draw-off, or off its crown.
fn two_joined(hot: &str, vent: &str) -> Layout {
    let runs = format!(
        r#"runs: [
            (id: "second-feed", service: ColdFeed, material: Copper, size: 22,
                from: Tee("cold-feed", 700), via: [(5800, 4984), (5800, 2799)], to: Port("second", "cold-inlet"),
                fittings: [], insulation: []),
            (id: "second-hot", service: HotDistribution, material: Copper, size: 22,
                from: Port("second", "draw-off"), {hot}, to: Tee("draw-off", 1700), insulation: []),
            (id: "second-vent", service: OpenVent, material: Copper, size: 22, {vent}, insulation: []),"#
    );
    let second = r#"cylinders: [
        (id: "second", at: (6000, 2700), diameter: 450, height: 900, coil: false,
            connections: [(port: "vent", on: Top(100)), (port: "draw-off", on: Top(300))]),"#;
    sound(&[("cylinders: [", second), ("runs: [", &runs)])
}

const OFF_DRAW_OFF: &str = "via: [(6300, 3700), (6800, 3710), (7000, 3713), (7000, 2600), (4000, 2600)], fittings: [(kind: GateValve, at: 1500)]";
const FROM_TEE: &str =
    r#"from: Tee("second-hot", 600.08), via: [(6800, 6210), (2200, 6225)], to: Open((2200, 6000)), fittings: []"#;
const ASIDE: &str = "via: [(6300, 3700), (6600, 3690), (6600, 2600), (4000, 2600)], fittings: []";

#[test]
fn each_of_two_joined_cylinders_is_judged_by_its_own_vent() {
    let layout = two_joined(OFF_DRAW_OFF, FROM_TEE);
    for rule in ["vent-valved", "vent-falls", "vent-too-low", "vent-ends-elsewhere"] {
        assert_eq!(of_rule(&layout, rule).len(), 2, "{rule}: one for each vent");
        for vent in ["open-vent", "second-vent"] {
            assert_eq!(verdicts(&layout, rule, vent), [Verdict::Meets], "{rule} of {vent}");
        }
    }
}

#[test]
fn a_vent_off_the_crown_is_judged_though_the_draw_off_leads_to_another() {
    let free = r#"from: Port("second", "vent"), via: [(6100, 3700), (5600, 3710), (5600, 6210), (2200, 6225)],
        to: Open((2200, 6000)), fittings: []"#;
    let layout = two_joined(ASIDE, free);
    for rule in ["vent-valved", "vent-falls", "vent-too-low"] {
        assert_eq!(verdicts(&layout, rule, "second-vent"), [Verdict::Meets], "{rule}");
        assert_eq!(verdicts(&layout, rule, "open-vent"), [Verdict::Meets], "{rule}");
    }
    // Its top at 5760 stands 72 mm over the water at 5688; 150 + 40 × 2.988 m = 269.5 mm are asked.
    let low = r#"from: Port("second", "vent"), via: [(6100, 3700), (5600, 3710), (5600, 5755), (2300, 5760)],
        to: Open((2300, 5750)), fittings: [(kind: GateValve, at: 3000)]"#;
    let layout = two_joined(ASIDE, low);
    assert_eq!(verdicts(&layout, "vent-valved", "second-vent"), [Verdict::Breach]);
    assert_eq!(verdicts(&layout, "vent-too-low", "second-vent"), [Verdict::Breach]);
    assert!((number(&layout, "vent-too-low", "second-vent") - 72.0).abs() < 1e-6);
}

#[test]
fn a_second_cylinder_without_a_vent_of_its_own_shares_the_first_ones() {
    let shared = r#"from: Tee("second-hot", 600.08), to: Onward((6800, 3000)), fittings: []"#;
    let layout = two_joined(OFF_DRAW_OFF, shared);
    // Between it and the only open end sits the gate valve in its hot pipe.
    let valved = findings(&layout, "vent-valved", "open-vent");
    assert_eq!(valved.iter().filter(|finding| finding.judged.verdict == Verdict::Breach).count(), 1);
}

#[test]
fn a_vent_is_no_wider_than_the_way_to_it() {
    let draw_off = |size: &str| {
        sound(&[(
            "id: \"draw-off\", service: HotDistribution, material: Copper, size: 22,",
            &format!("id: \"draw-off\", service: HotDistribution, material: Copper,{size}"),
        )])
    };
    let narrow = of_rule(&draw_off(" size: 15,"), "vent-too-narrow");
    assert_eq!(narrow.iter().map(|finding| finding.judged.verdict).collect::<Vec<_>>(), [Verdict::Breach]);
    assert_eq!(narrow[0].subject().as_str(), "open-vent");
    assert!(narrow[0].working().contains(&"narrowest on the way: draw off, outside diameter 15 mm".into()));
    assert_eq!(verdicts(&draw_off(" size: 28,"), "vent-too-narrow", "open-vent"), [Verdict::Meets]);
    let untold = of_rule(&draw_off(""), "vent-too-narrow");
    assert_eq!(untold.iter().map(|finding| finding.judged.verdict).collect::<Vec<_>>(), [Verdict::Unknown]);
    assert_eq!(untold[0].subject().as_str(), "open-vent");
    assert_eq!(untold[0].remedies(), ["Tell the size of the draw off"]);

    let flow = |size: &str| {
        let flow = "id: \"primary-flow\", service: PrimaryFlow, material: Copper, size: ";
        changed("feed_and_expansion", &[(&format!("{flow}22,"), &format!("{flow}{size},"))])
    };
    assert_eq!(verdicts(&flow("15"), "primary-vent-too-narrow", "primary-vent"), [Verdict::Breach]);
    assert_eq!(verdicts(&flow("28"), "primary-vent-too-narrow", "primary-vent"), [Verdict::Meets]);
}

#[test]
fn a_vent_teed_into_another_is_followed_by_the_shortest_way_however_it_is_listed() {
    // Up from the second draw-off and into the first vent; round through both draw-offs it would fall and be longer.
    let vent =
        r#"from: Tee("second-hot", 600.08), via: [(6800, 5900)], to: Tee("open-vent", 2300), fittings: [FITTINGS]"#;
    for (fittings, verdict) in [("", Verdict::Meets), ("(kind: GateValve, at: 1500)", Verdict::Breach)] {
        let layout = two_joined(OFF_DRAW_OFF, &vent.replace("FITTINGS", fittings));
        let mut turned = layout.clone();
        turned.runs.reverse();
        for layout in [layout, turned] {
            let valved = findings(&layout, "vent-valved", "open-vent");
            let second = valved.iter().map(|finding| finding.judged.verdict).min().expect("it is asked");
            assert_eq!(second, verdict, "{fittings}");
            let falls = findings(&layout, "vent-falls", "open-vent");
            assert!(falls.iter().all(|finding| finding.judged.verdict == Verdict::Meets), "{fittings}");
        }
    }
}

#[test]
fn a_vent_that_cylinders_share_is_judged_once_where_nothing_of_theirs_differs() {
    let house = |fittings: &str| {
        layout(&format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 5000), length: 1500, width: 800, height: 600, water_line: 400,
                connections: [(port: "feed", on: Right(80))])],
            cylinders: [(id: "first", at: (2000, 1000), diameter: 450, height: 900, coil: true),
                (id: "second", at: (3000, 1000), diameter: 450, height: 900, coil: true),
                (id: "third", at: (4000, 1000), diameter: 450, height: 900, coil: true)],
            runs: [
                (id: "feed", service: ColdFeed, material: Copper, size: 28, from: Port("cistern", "feed"),
                    via: [(1700, 5080), (1700, 700), (4775, 700)], to: Port("third", "cold-inlet"), fittings: []),
                (id: "a", service: ColdFeed, material: Copper, size: 22, from: Tee("feed", 4780),
                    via: [(1900, 700), (1900, 1099)], to: Port("first", "cold-inlet"), fittings: []),
                (id: "b", service: ColdFeed, material: Copper, size: 22, from: Tee("feed", 5780),
                    via: [(2900, 700), (2900, 1099)], to: Port("second", "cold-inlet"), fittings: []),
                (id: "vent", service: OpenVent, material: Copper, size: 22, from: Port("first", "draw-off"),
                    via: [(2225, 6400), (700, 6400)], to: Open((700, 5800)), fittings: [{fittings}]),
                (id: "c", service: HotDistribution, material: Copper, size: 22, from: Port("second", "draw-off"),
                    via: [(3225, 2300)], to: Tee("vent", 400), fittings: []),
                (id: "d", service: HotDistribution, material: Copper, size: 22, from: Port("third", "draw-off"),
                    via: [(4225, 2300)], to: Tee("c", 400), fittings: []),
            ]"#
        ))
    };
    for rule in ["vent-valved", "vent-ends-elsewhere"] {
        assert_eq!(verdicts(&house(""), rule, "vent"), [Verdict::Meets], "{rule}");
    }
    // The head of each is its own.
    assert_eq!(verdicts(&house(""), "vent-too-low", "vent").len(), 3);
    assert_eq!(verdicts(&house("(kind: GateValve, at: 2000)"), "vent-valved", "vent"), [Verdict::Breach]);
    // Below the tee of the others it shuts off the first alone.
    let mut of_first = verdicts(&house("(kind: GateValve, at: 200)"), "vent-valved", "vent");
    of_first.sort_unstable_by_key(|verdict| *verdict == Verdict::Meets);
    assert_eq!(of_first, [Verdict::Breach, Verdict::Meets]);
}

#[test]
fn a_mouth_too_near_the_overflow_is_so_whatever_the_float_valve_is() {
    // The overflow's invert: the middle of the warning pipe at 5747 less half of 20.2 mm; the mouth is 89 mm below it.
    let text = |mouth_mm: f64, warning: &str, valve: &str| {
        format!(
            r#"heading: (), survey: Designed,
            cisterns: [(id: "cistern", role: Storage, at: (1543, 5232), length: 914, height: 584, {valve}
                connections: [(port: "cold-feed", on: Right(100)), (port: "warning", on: Left(515))])],
            cylinders: [(id: "cylinder", at: (4575, 2600), diameter: 450, height: 900)],
            runs: [
                (id: "cold-feed", service: ColdFeed, material: Copper, size: 22, from: Port("cistern", "cold-feed"),
                    via: [(3200, 5332), (3200, 2699)], to: Port("cylinder", "cold-inlet")),
                (id: "open-vent", service: OpenVent, material: Copper, size: 22, from: Port("cylinder", "draw-off"),
                    via: [(4800, 6000), (2260, 6000)], to: Open((2260, {mouth_mm}))),
                (id: "warning-pipe", service: WarningPipe, {warning} from: Port("cistern", "warning"), to: Open((200, 5747))),
            ]"#
        )
    };
    let rule = "vent-mouth-too-near";
    let (told, untold) = ("float_valve: (shank: Right(540), outlet: 540),", "float_valve: (shank: Right(540)),");
    let tube = "material: Copper, size: 22,";
    let verdict = |mouth_mm, warning, valve| verdicts(&layout(&text(mouth_mm, warning, valve)), rule, "open-vent");
    assert_eq!(verdict(5648.0, tube, untold), [Verdict::Breach]);
    // High enough over the overflow, it hangs on the float valve; and the other way round on the overflow.
    assert_eq!(verdict(5900.0, tube, untold), [Verdict::Unknown]);
    assert_eq!(verdict(5900.0, "", told), [Verdict::Unknown]);
    assert_eq!(verdict(5800.0, "", told), [Verdict::Breach]);
    assert_eq!(verdict(5900.0, tube, told), [Verdict::Meets]);
    let number = number(&layout(&text(5648.0, tube, untold)), rule, "open-vent");
    assert!((number + 88.9).abs() < 0.01, "{number}");
}
