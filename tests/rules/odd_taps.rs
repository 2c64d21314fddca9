//! What water comes to which side of an outlet.

use loftwright::finding::Finding;
use loftwright::layout::Layout;
use loftwright::measure::{Have, Site};
use loftwright::rules::Verdict;
use loftwright::water::FlowReport;
use loftwright::water::circuit::{Circuit, Conditions, Open};
use loftwright::water::readings::KEPT_BACK;

use super::drawn_from::{layout, whole, with_passages};
use super::judged::{findings, of_rule, verdict, verdicts};

const RULE: &str = "hot-and-cold-crossed";

/// A cistern over a cylinder and an outlet of a kind, with some pipes to it.
fn house(kind: &str, pipes: &str) -> String {
    format!(
        r#"cisterns: [(id: "cistern", role: Storage, at: (0, 4000), length: 1000, height: 500, water_line: 400,
            connections: [(port: "feed", on: Right(100)), (port: "cold", on: Right(50))])],
        cylinders: [(id: "cylinder", at: (1500, 1000), diameter: 450, height: 900)],
        outlets: [(id: "tap", kind: {kind})],
        runs: [
            (id: "cold-feed", service: ColdFeed, size: 22, from: Port("cistern", "feed"),
                via: [(1300, 4100), (1300, 1099)], to: Port("cylinder", "cold-inlet")),
            {pipes}
        ]"#
    )
}

fn hot(from: &str, side: &str) -> String {
    format!(r#"(id: "hot", service: HotDistribution, from: {from}, via: [(1725, 2400)], to: Port("tap", "{side}")),"#)
}

fn cold(service: &str, from: &str, side: &str) -> String {
    format!(r#"(id: "cold", service: {service}, from: {from}, to: Port("tap", "{side}")),"#)
}

const DOME: &str = r#"Port("cylinder", "draw-off")"#;
const HOLE: &str = r#"Port("cistern", "cold")"#;
const BASIN: &str = "Basin, at: (4000, 1000)";

/// Side and verdict of each finding.
fn sides(text: &str) -> Vec<(&'static str, Verdict)> {
    let findings = of_rule(&layout(text), RULE);
    findings.iter().map(|f| (f.reading.side.expect("a side"), f.judged.verdict)).collect()
}

#[test]
fn each_side_is_asked_for_its_own_water() {
    let right = house(BASIN, &(hot(DOME, "hot") + &cold("ColdDistribution", HOLE, "cold")));
    assert_eq!(sides(&right), [("hot side", Verdict::Meets), ("cold side", Verdict::Meets)]);
    let crossed = house(BASIN, &(hot(DOME, "cold") + &cold("ColdDistribution", HOLE, "hot")));
    assert_eq!(sides(&crossed), [("hot side", Verdict::Breach), ("cold side", Verdict::Breach)]);
    let mixer = house("Shower, at: (4000, 1000), taps: Mixer", &hot(DOME, "cold"));
    assert_eq!(sides(&mixer), [("cold side", Verdict::Breach)]);
    assert_eq!(sides(&house(BASIN, "")), []);
}

#[test]
fn the_main_is_cold_on_a_cold_tap_and_on_a_hot_one() {
    let main = |side: &str| house(BASIN, &cold("RisingMain", "Onward((4040, 0))", side));
    assert_eq!(sides(&main("cold")), [("cold side", Verdict::Meets)]);
    assert_eq!(sides(&main("hot")), [("hot side", Verdict::Breach)]);
}

#[test]
fn the_way_counts_and_not_what_a_pipe_is_called() {
    // A pipe that is called cold, teed off the draw-off; and one that is called hot, off the cold feed.
    let draw_off =
        r#"(id: "draw-off", service: HotDistribution, from: Port("cylinder", "draw-off"), to: Open((1725, 2400))),"#;
    let off_hot = house(BASIN, &(draw_off.to_owned() + &cold("ColdDistribution", r#"Tee("draw-off", 200)"#, "cold")));
    assert_eq!(sides(&off_hot), [("cold side", Verdict::Breach)]);
    assert_eq!(sides(&house(BASIN, &hot(r#"Tee("cold-feed", 500)"#, "hot"))), [("hot side", Verdict::Breach)]);
}

#[test]
fn a_way_that_is_not_drawn_to_its_beginning_leaves_open_what_comes() {
    let beyond = "Onward((1725, 2500))";
    assert_eq!(sides(&house(BASIN, &hot(beyond, "cold"))), [("cold side", Verdict::Unknown)]);
    assert_eq!(sides(&house(BASIN, &cold("ColdDistribution", beyond, "hot"))), [("hot side", Verdict::Unknown)]);
    // What is called as the side asks is taken at its word.
    assert_eq!(sides(&house(BASIN, &hot(beyond, "hot"))), [("hot side", Verdict::Meets)]);
    // Hot and cold joined before a tap: a valve that mixes them cannot be drawn.
    let joined = hot(DOME, "hot")
        + r#"(id: "cold", service: ColdDistribution, from: Port("cistern", "cold"), to: Tee("hot", 600)),"#;
    assert_eq!(sides(&house(BASIN, &joined)), [("hot side", Verdict::Unknown)]);
}

#[test]
fn a_water_heater_gives_hot_water_and_may_be_given_warm() {
    let heater = r#"WaterHeater, at: (4000, 1000)), (id: "basin", kind: Basin, at: (5000, 1000)"#;
    let pipes = hot(DOME, "cold")
        + r#"(id: "on", service: HotDistribution, from: Port("tap", "hot"), to: Port("basin", "cold")),"#;
    assert_eq!(sides(&house(heater, &pipes)), [("cold side", Verdict::Breach)]);
    assert_eq!(
        sides(&house(heater, &pipes.replace(r#""basin", "cold""#, r#""basin", "hot""#))),
        [("hot side", Verdict::Meets)]
    );
}

/// A basin behind a water heater that is fed by a pipe of its own, with so much in it.
fn behind_heater(feed: &str, fittings: &str) -> String {
    house(
        "Basin, at: (4000, 1000)), (id: \"heater\", kind: WaterHeater, at: (2500, 1500), passes: (flow: 0.15, at: 20)",
        &format!(
            r#"(id: "heater-feed", material: Copper, size: 15, {feed}, to: Port("heater", "cold"), fittings: [{fittings}]),
            (id: "hot", service: HotDistribution, material: Copper, size: 15, from: Port("heater", "hot"),
                to: Port("tap", "hot"), fittings: [])"#
        ),
    )
}

const STORED: &str = r#"service: ColdDistribution, from: Port("cistern", "cold")"#;
const MAIN: &str = "service: RisingMain, from: Onward((2460, 0))";

#[test]
fn a_tap_behind_a_water_heater_is_shut_off_with_it() {
    const SHUT: &str = "tap-cannot-be-shut-off";
    let of_tap = |rule: &str, text: &str| -> Vec<(Verdict, String)> {
        let found = findings(&layout(text), rule, "tap");
        let find_out = |finding: &Finding| match &finding.reading.have {
            Have::Untold(find_out) => find_out.clone(),
            _ => String::new(),
        };
        found.iter().map(|finding| (finding.judged.verdict, find_out(finding))).collect()
    };
    let verdicts = |text: &str| of_tap(SHUT, text).into_iter().map(|(verdict, _)| verdict).collect::<Vec<_>>();
    assert_eq!(verdicts(&behind_heater(STORED, "(kind: GateValve, at: 300)")), [Verdict::Meets]);
    assert_eq!(verdicts(&behind_heater(STORED, "")), [Verdict::Breach]);
    // On the main it is the water company's pressure that drives it.
    assert_eq!(verdicts(&behind_heater(MAIN, "")), []);
    assert_eq!(of_tap("outlet-starved", &behind_heater(MAIN, "")), []);
    let (verdict, find_out) = of_tap("outlet-starved", &behind_heater(STORED, "")).remove(0);
    assert_eq!(verdict, Verdict::Unknown);
    assert_eq!(find_out, "find what the heater lets through to the taps behind it: it is not reckoned with");
}

#[test]
fn the_warning_pipe_of_a_cistern_filled_through_a_link_is_held_against_what_fills_it() {
    let text = |supply: &str| {
        format!(
            r#"cisterns: [
                (id: "a", role: Storage, at: (0, 3000), length: 1000, height: 500, water_line: 350,
                    float_valve: (shank: Left(450)), connections: [(port: "link", on: Right(50))]),
                (id: "b", role: Storage, at: (2000, 3000), length: 1000, height: 500, water_line: 350,
                    connections: [(port: "link", on: Left(50)), (port: "warning", on: Right(400))])],
            runs: [
                (id: "link", service: Link, from: Port("a", "link"), to: Port("b", "link")),
                (id: "warning", service: WarningPipe, material: Copper, size: 22, from: Port("b", "warning"),
                    to: Open((4000, 3000))),
                {supply}
            ]"#
        )
    };
    let verdict = |supply: &str| verdicts(&layout(&text(supply)), "warning-pipe-not-larger-than-inlet", "warning");
    let supply = |size: u32| {
        format!(
            r#"(id: "main", service: RisingMain, material: Copper, size: {size}, from: Onward((-200, 0)),
                to: Port("a", "inlet"))"#
        )
    };
    assert_eq!(verdict(&supply(15)), [Verdict::Meets]);
    assert_eq!(verdict(&supply(28)), [Verdict::Breach]);
    assert_eq!(verdict(""), [Verdict::Unknown]);
}

#[test]
fn a_valve_that_points_back_to_the_cistern_is_named_and_turned_round() {
    let run = |from: &str, to: &str| {
        let cold = r#"service: ColdDistribution, material: Copper, size: 15, insulation: []"#;
        let pipe = format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 4000), length: 1000, height: 500, water_line: 400,
                connections: [(port: "cold", on: Right(50))])],
            outlets: [(id: "tap", kind: Basin, at: (3960, 1000))],
            runs: [(id: "cold", {cold}, from: {from}, via: [(3000, 4050)], to: {to},
                fittings: [(kind: NonReturnValve, at: 1000)])]"#
        );
        of_rule(&layout(&pipe), "outlet-starved").remove(0)
    };
    let (hole, tap) = (HOLE, r#"Port("tap", "cold")"#);
    let right = run(hole, tap);
    assert!(matches!(right.reading.have, Have::Amount(..)));
    // Drawn from the tap, the same valve points to the cistern.
    let wrong = run(tap, hole);
    assert_eq!(wrong.judged.verdict, Verdict::Breach);
    let parts: Vec<&str> = wrong.reading.parts.iter().map(|id| id.as_str()).collect();
    assert_eq!(parts, ["tap", "cold"]);
    assert_eq!(wrong.have_words(), "no water: a non-return valve on the way points back to the cistern");
    assert_eq!(wrong.remedies(), ["Turn the non-return valve on the way to the cold tap round"]);
    assert!(!right.remedies().iter().any(|remedy| remedy.starts_with("Turn")));
}

/// The mixer of a case, with some words of it changed.
fn mixer(case: &str, changes: &[(&str, &str)]) -> Layout {
    let text = std::fs::read_to_string(format!("tests/cases/mixer-side-starved/{case}.loft.ron")).expect("a case");
    with_passages(&text, changes)
}

/// The sides of its mixer, each with its verdict and with what it gives.
fn mixer_sides(layout: &Layout) -> Vec<(&'static str, Verdict, Have)> {
    let findings = of_rule(layout, "mixer-side-starved");
    let side = |f: &Finding| (f.reading.side.expect("a side"), f.judged.verdict, f.reading.have.clone());
    findings.iter().map(side).collect()
}

#[test]
fn a_mixer_that_runs_cold_alone_is_told_though_plenty_comes() {
    let back = [(
        r#"from: Port("cylinder", "draw-off"), via: [(1725, 2400), (3960, 2400)], to: Port("shower", "hot"), fittings: []"#,
        r#"from: Port("shower", "hot"), via: [(3960, 2400), (1725, 2400)], to: Port("cylinder", "draw-off"),
            fittings: [(kind: NonReturnValve, at: 500)]"#,
    )];
    for (outlet, layout) in [("basin", mixer("breach", &[])), ("shower", mixer("meets", &back))] {
        assert_eq!(verdict(&layout, "outlet-starved", outlet), Some(Verdict::Meets));
        let sides = mixer_sides(&layout);
        assert_eq!(
            [(sides[0].0, sides[0].1), (sides[1].0, sides[1].1)],
            [("hot side", Verdict::Breach), ("cold side", Verdict::Meets)]
        );
        let site = Site::of(&layout);
        let everything = Conditions { open: Open::Everything, ..Conditions::default() };
        let told = FlowReport::new("", &Circuit::of(&site), &everything).outlets.remove(0).words;
        assert_eq!(told, "its hot side gives nothing: cold water alone comes");
    }
    assert_eq!(mixer_sides(&mixer("meets", &back))[0].2, Have::No(KEPT_BACK));
}

#[test]
fn what_warm_water_takes_of_each_side_adds_up_to_the_least_flow() {
    let findings = of_rule(&mixer("meets", &[]), "mixer-side-starved");
    let need: Vec<f64> = findings.iter().filter_map(|f| Some(f.judged.need?.value)).collect();
    // 38 °C of 60 °C and 10 °C: 28 parts of 50 hot, 22 cold.
    assert!((need[0] - 0.1 * 28.0 / 50.0).abs() < 1e-9, "{need:?}");
    assert!((need[1] - 0.1 * 22.0 / 50.0).abs() < 1e-9, "{need:?}");
}

/// The example whose bath has its pipes as they are drawn, or changed over; with such taps.
fn bath_of_the_example(taps: &str, is_crossed: bool) -> Layout {
    let text = std::fs::read_to_string("examples/sound_indirect.loft.ron").expect("an example");
    let (hot, cold) = (r#"to: Port("bath", "hot")"#, r#"to: Port("bath", "cold")"#);
    assert!(text.contains(hot) && text.contains(cold));
    let crossed = text.replace(hot, "to: bath").replace(cold, hot).replace("to: bath", cold);
    let text = if is_crossed { crossed } else { text };
    let told = text.replace("kind: Bath, ", &format!("kind: Bath, taps: {taps}, "));
    whole(&told)
}

#[test]
fn hot_water_is_hot_on_whichever_side_it_comes() {
    let read = |id: &str, layout: &Layout| {
        let findings = of_rule(layout, id);
        let at_bath = findings
            .into_iter()
            .find(|f| f.reading.parts.iter().any(|part| matches!(part.as_str(), "bath" | "open-vent")));
        let finding = at_bath.expect("it is asked of the bath");
        let Have::Amount(have, _) = finding.reading.have else { panic!("{id}: {:?}", finding.reading.have) };
        (have.value, finding.reading.against.map_or(0.0, |against| against.value))
    };
    for taps in ["Separate", "Mixer"] {
        let [straight, crossed] = [false, true].map(|is_crossed| bath_of_the_example(taps, is_crossed));
        let (limit_l_s, likely_l_s) = read("vent-draws-air", &straight);
        let (crossed_limit_l_s, crossed_likely_l_s) = read("vent-draws-air", &crossed);
        assert!((limit_l_s - crossed_limit_l_s).abs() < 1e-3 * limit_l_s, "{taps}: {limit_l_s} {crossed_limit_l_s}");
        assert_eq!(likely_l_s, crossed_likely_l_s, "{taps}");
        let [wait_s, crossed_wait_s] = [&straight, &crossed].map(|layout| read("hot-water-slow-to-arrive", layout).0);
        // What a side of a tap loses is not quite that of the other.
        assert!((wait_s - crossed_wait_s).abs() < 0.05 * wait_s, "{taps}: {wait_s} s, {crossed_wait_s} s");
    }
}

#[test]
fn a_valve_behind_a_branch_is_said_to_be_no_valve_before_it() {
    let both = r#"(id: "cold", service: ColdDistribution, size: 22, from: Port("cistern", "cold"), via: [(800, 4050)],
            fittings: [(kind: GateValve, at: 900)], to: Port("tap", "cold")),
        (id: "more", service: ColdDistribution, size: 15, from: Tee("cold", 200), to: Port("other", "cold"),
            fittings: [(kind: GateValve, at: 60)]),"#;
    let other = r#"outlets: [(id: "other", kind: Basin, at: (5000, 1000)), "#;
    let text = house(BASIN, both).replace("outlets: [", other);
    for (id, no) in [
        ("outlet-without-service-valve", "no service valve before it branches"),
        ("cold-distribution-without-valve", "no full-way valve before it branches"),
    ] {
        let findings = of_rule(&layout(&text), id);
        assert!(
            findings.iter().any(|finding| finding.reading.have == Have::No(no)),
            "{id}: {:?}",
            findings.iter().map(|f| &f.reading.have).collect::<Vec<_>>()
        );
    }
}
