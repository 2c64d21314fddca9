//! Pipes that end in the air: where water comes out, and where the end is what the pipe is for.

use loftwright::layout::Layout;

use super::drawn_from::layout;
use super::judged::{BREACH, MEETS, UNKNOWN, number, verdict};

const RULE: &str = "pipe-end-open";

/// A cistern whose water stands at 2500, and a pipe of a service off its side that ends in some way.
fn off_a_cistern(service: &str, runs: &str) -> Layout {
    layout(&format!(
        r#"cisterns: [
            (id: "cistern", role: Storage, at: (0, 2000), length: 900, width: 600, height: 600, water_line: 500,
                connections: [(port: "hole", on: Right(60))]),
        ],
        runs: [
            (id: "pipe", service: {service}, from: Port("cistern", "hole"), {runs}
        ]"#
    ))
}

fn ends(to: &str) -> Layout {
    off_a_cistern("ColdDistribution", &format!("via: [(1200, 2060)], to: {to}, fittings: []),"))
}

#[test]
fn what_stands_full_and_ends_in_the_air_lets_water_out() {
    assert_eq!(verdict(&ends("Open((1200, 400))"), RULE, "pipe"), BREACH);
    assert_eq!(verdict(&ends("Open((1200, 2499))"), RULE, "pipe"), BREACH);
    // Over the water, over a cistern, and beyond the drawing nothing runs out here.
    assert_eq!(verdict(&ends("Open((1200, 2501))"), RULE, "pipe"), None);
    assert_eq!(verdict(&ends("Open((450, 2400))"), RULE, "pipe"), None);
    assert_eq!(verdict(&ends("Onward((1200, 400))"), RULE, "pipe"), None);
}

#[test]
fn a_valve_closes_an_end_only_beyond_the_last_branch() {
    let with = |fittings: &str| {
        off_a_cistern(
            "ColdDistribution",
            &format!(
                r#"via: [(1200, 2060)], to: Open((1200, 400)), fittings: {fittings}),
                (id: "branch", service: ColdDistribution, from: Tee("pipe", 900), to: Onward((2000, 1460)), fittings: []),"#
            ),
        )
    };
    assert_eq!(verdict(&with("[(kind: ServiceValve, at: 1900)]"), RULE, "pipe"), MEETS);
    assert_eq!(verdict(&with("[(kind: DrainCock, at: 1900)]"), RULE, "pipe"), MEETS);
    assert_eq!(verdict(&with("[(kind: GateValve, at: 300)]"), RULE, "pipe"), BREACH);
    assert_eq!(verdict(&with("[(kind: Pump, at: 1900)]"), RULE, "pipe"), BREACH);
}

#[test]
fn vents_and_warning_pipes_end_open() {
    let warning = off_a_cistern("WarningPipe", "to: Open((1200, 400))),");
    assert_eq!(verdict(&warning, RULE, "pipe"), None);
}

#[test]
fn a_main_comes_in_by_its_open_end_unless_it_comes_in_elsewhere() {
    let main = |from: &str, more: &str| {
        layout(&format!(
            r#"runs: [(id: "main", service: RisingMain, from: {from}, to: Onward((0, 2000)), fittings: []), {more}]"#
        ))
    };
    assert_eq!(verdict(&main("Open((0, 0))", ""), RULE, "main"), BREACH);
    let alone = layout(
        r#"outlets: [(id: "sink", kind: Sink, at: (0, 1000))],
        runs: [(id: "main", service: RisingMain, from: Open((0, 0)), to: Port("sink", "cold"), fittings: [])]"#,
    );
    assert_eq!(verdict(&alone, RULE, "main"), None);
}

#[test]
fn a_pipe_comes_out_over_the_roof_by_so_much() {
    let vent = |roof: &str, cistern: &str| {
        layout(&format!(
            r#"building: (roof: (underside: [{roof}])),
            cisterns: [{cistern}],
            runs: [
                (id: "vent", service: OpenVent, from: Onward((-200, 0)), via: [(-200, 4000), (300, 4000)],
                    to: Open((300, 3900)), fittings: []),
                (id: "warning", service: WarningPipe, from: Onward((-300, 2500)), to: Open((-1800, 2450))),
            ]"#
        ))
    };
    let rule = "pipe-through-roof";
    let pitched = vent("(-2000, 2000), (0, 4000), (2000, 2000)", "");
    // 4000 against 3700 at 300 from the ridge.
    assert!((number(&pitched, rule, "vent") - 300.0).abs() < 1e-9);
    assert_eq!(verdict(&pitched, rule, "vent"), BREACH);
    assert_eq!(verdict(&pitched, rule, "warning"), None);
    // Between the rafters, and under them.
    assert_eq!(verdict(&vent("(-2000, 2200), (0, 4200), (2000, 2200)", ""), rule, "vent"), MEETS);
    assert_eq!(verdict(&vent("(-2000, 3000), (0, 5000), (2000, 3000)", ""), rule, "vent"), None);
    // Of a cistern on a flat roof the pipes stand outside with it.
    let flat = vent(
        "(-2000, 3000), (2000, 3000)",
        r#"(id: "cistern", role: Storage, at: (0, 3200), length: 900, height: 500)"#,
    );
    assert_eq!(verdict(&flat, rule, "vent"), None);
}

#[test]
fn plastic_is_no_way_for_what_a_vent_lets_out() {
    let draw_off = |material: &str| {
        layout(&format!(
            r#"cylinders: [(id: "cylinder", at: (0, 0), diameter: 450, height: 1000)],
            runs: [
                (id: "draw-off", service: HotDistribution, {material} from: Port("cylinder", "draw-off"),
                    via: [(225, 1100), (700, 1110)], to: Onward((700, 100)), fittings: []),
                (id: "vent", service: OpenVent, material: Copper, from: Tee("draw-off", 575.1), via: [(700, 3000)],
                    to: Open((900, 2900)), fittings: []),
                (id: "branch", service: HotDistribution, material: Polybutylene, from: Tee("draw-off", 1000),
                    to: Onward((1200, 685)), fittings: []),
            ]"#
        ))
    };
    let rule = "plastic-near-heat";
    assert_eq!(verdict(&draw_off("material: Polybutylene,"), rule, "draw-off"), BREACH);
    assert_eq!(verdict(&draw_off("material: Copper,"), rule, "draw-off"), MEETS);
    assert_eq!(verdict(&draw_off(""), rule, "draw-off"), UNKNOWN);
    // Beyond the vent hot water is no hotter than a thermostat lets it get.
    assert_eq!(verdict(&draw_off("material: Copper,"), rule, "branch"), None);
}

#[test]
fn a_pumped_return_on_the_cold_feed_is_kept_from_turning_as_well() {
    let with = |fittings: &str| {
        layout(&format!(
            r#"cylinders: [(id: "cylinder", at: (1500, 0), diameter: 400, height: 1000)],
            runs: [
                (id: "feed", service: ColdFeed, from: Onward((2600, 3000)), via: [(2600, 100)],
                    to: Port("cylinder", "cold-inlet"), fittings: []),
                (id: "draw-off", service: HotDistribution, from: Port("cylinder", "draw-off"), via: [(1700, 1100)],
                    to: Onward((5000, 1100)), fittings: []),
                (id: "return", service: HotDistribution, from: Tee("draw-off", 2600), via: [(4200, 700)],
                    to: Tee("feed", 2300), fittings: [{fittings}]),
            ]"#
        ))
    };
    let rule = "secondary-return-without-non-return-valve";
    assert_eq!(verdict(&with("(kind: Pump, at: 1000)"), rule, "return"), BREACH);
    assert_eq!(verdict(&with("(kind: Pump, at: 1000), (kind: NonReturnValve, at: 1200)"), rule, "return"), MEETS);
    assert_eq!(verdict(&with(""), rule, "return"), None);
}
