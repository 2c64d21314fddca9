//! Where the main comes in, and how fast water runs where nobody knows what a tap gives.

use loftwright::rules::Verdict;

use super::judged::verdicts;
use super::judged_text::{measured, verdict};
use super::odd_vents::sound;

const SLOW: &str = "cistern-fills-too-slowly";
const FAST: &str = "pipe-too-fast";

/// A cistern whose float valve stands at 4500, under a main of so many kilopascals that is drawn so.
fn filled(pressure_kpa: u32, parts: &str, mains: &str) -> String {
    format!(
        r#"building: (mains_pressure: {pressure_kpa}),
        cisterns: [(id: "cistern", role: Storage, at: (0, 4000), length: 1000, width: 600, height: 600, water_line: 450,
            float_valve: (shank: Left(500), outlet: 500, pattern: Part2, seat: 3.2),
            connections: [(port: "warning", on: Right(480)), (port: "cold", on: Right(50))])],
        {parts}
        runs: [
            (id: "warning", service: WarningPipe, from: Port("cistern", "warning"), to: Open((1300, 4400))),
            {mains}
        ]"#
    )
}

fn main_from(end: &str) -> String {
    format!(r#"(id: "main", service: RisingMain, from: {end}, via: [(-200, 4500)], to: Port("cistern", "inlet")),"#)
}

#[test]
fn the_main_has_its_pressure_where_it_comes_in_and_not_in_the_cellar() {
    let main = main_from("Onward((-200, 0))");
    let cellar = main.clone()
        + r#"(id: "branch", service: RisingMain, from: Tee("main", 200), via: [(0, 200), (0, -2300)], to: Port("tap", "cold")),"#;
    let tap = r#"outlets: [(id: "tap", kind: Sink, at: (-40, -2300))],"#;
    let minutes = |text: &str| measured(SLOW, text)[0].1;
    assert_eq!(minutes(&filled(126, tap, &cellar)), minutes(&filled(126, "", &main)));
    // Another house's main comes in lower.
    let other =
        main.clone() + r#"(id: "other", service: RisingMain, from: Onward((9000, -2300)), to: Open((9000, 500))),"#;
    assert_eq!(minutes(&filled(126, "", &other)), minutes(&filled(126, "", &main)));
    // Nothing hangs on which end it is drawn from.
    let back = r#"(id: "main", service: RisingMain, from: Port("cistern", "inlet"), via: [(-200, 4500)], to: Onward((-200, 0))),"#;
    assert_eq!(minutes(&filled(126, "", back)), minutes(&filled(126, "", &main)));
}

#[test]
fn of_a_main_with_two_ends_beyond_the_drawing_both_have_to_agree() {
    let mains = |other_mm: i32| {
        main_from("Onward((-200, 0))")
            + &format!(r#"(id: "branch", service: RisingMain, from: Tee("main", 200), to: Onward((0, {other_mm}))),"#)
    };
    let of = |pressure_kpa: u32, other_mm: i32| verdict(SLOW, &filled(pressure_kpa, "", &mains(other_mm)));
    // Enough from either end, from the upper one alone, and from neither, which is a fault by itself.
    let (meets, unknown, breach) = (Some(Verdict::Meets), Some(Verdict::Unknown), Some(Verdict::Breach));
    assert_eq!([400, 150, 20].map(|kpa| of(kpa, -2300)), [meets, unknown, None]);
    let reaches = |kpa: u32| verdict("main-does-not-reach", &filled(kpa, "", &mains(-2300)));
    assert_eq!([400, 50, 20].map(reaches), [meets, unknown, breach]);
    let minutes = |mains: &str| measured(SLOW, &filled(400, "", mains))[0].1;
    assert_eq!(minutes(&mains(0)), minutes(&main_from("Onward((-200, 0))")));
}

#[test]
fn a_pipe_to_a_tap_that_gives_what_nobody_knows_is_not_known_to_be_slow_enough() {
    let shower = |pump: &str| {
        let pipe = format!(
            r#"runs: [(id: "shower-cold", service: ColdDistribution, material: Copper, size: 15, from: Tee("cold-distribution", 600),
                via: [(3040, 4950)], to: Port("shower", "cold"), fittings: [{pump}], insulation: []),"#
        );
        sound(&[
            ("outlets: [", r#"outlets: [(id: "shower", kind: Shower, at: (3000, 3200), taps: Separate),"#),
            ("runs: [", &pipe),
        ])
    };
    let plain = shower("");
    let pumped = shower("(kind: Pump, at: 200)");
    for run in ["shower-cold", "cold-distribution"] {
        assert_eq!(verdicts(&plain, FAST, run), [Verdict::Meets], "{run}");
        assert_eq!(verdicts(&pumped, FAST, run), [Verdict::Unknown], "{run}");
    }
    // What leads to other taps alone carries nothing for the shower.
    for run in ["basin-cold", "draw-off", "basin-hot"] {
        assert_eq!(verdicts(&pumped, FAST, run), [Verdict::Meets], "{run}");
    }
}

#[test]
fn what_is_too_fast_by_what_is_known_stays_a_breach() {
    let text = |more: &str| {
        format!(
            r#"cisterns: [(id: "cistern", role: Storage, at: (0, 31000), length: 1000, height: 500, water_line: 400,
                connections: [(port: "cold", on: Right(50))])],
            outlets: [(id: "tap", kind: Bath, at: (2000, 1000), passes: (flow: 3, at: 1)), (id: "shower", kind: Shower, at: (2000, 3000), taps: Separate)],
            runs: [
                (id: "cold", service: ColdDistribution, material: Copper, size: 22, from: Port("cistern", "cold"),
                    via: [(2040, 31050)], to: Port("tap", "cold"), fittings: []),
                (id: "pumped", service: ColdDistribution, material: Copper, size: 22, from: Tee("cold", 4000),
                    via: [(1900, 28000)], to: Port("shower", "cold"), fittings: [{more}])]"#
        )
    };
    assert_eq!(verdict(FAST, &text("(kind: Pump, at: 100)")), Some(Verdict::Breach));
    // Of a pipe whose tube nobody has told as little is known.
    assert_eq!(
        verdict(FAST, &text("").replace("material: Copper, size: 22, from: Port", "from: Port")),
        Some(Verdict::Unknown)
    );
}

/// The cistern with an overflow of 22 mm copper, its invert 80.1 mm below the outlet of a float valve of 6.4 mm.
fn sticking(pressure_kpa: u32, mains: &str) -> String {
    filled(pressure_kpa, "", mains)
        .replace("seat: 3.2", "seat: 6.4")
        .replace("Right(480)", "Right(430)")
        .replace("service: WarningPipe,", "service: WarningPipe, material: Copper, size: 22, fittings: [],")
}

/// At 70 kPa in the street 25.9 are left at 4500: 0.153 L/s, which the overflow carries; all of it would be 0.251 L/s.
#[test]
fn a_valve_that_sticks_lets_in_what_the_height_leaves_of_the_main() {
    let of = |pressure_kpa: u32, mains: &str| verdict("overflow-cannot-keep-up", &sticking(pressure_kpa, mains));
    assert_eq!(of(70, &main_from("Onward((-200, 0))")), Some(Verdict::Meets));
    assert_eq!(of(150, &main_from("Onward((-200, 0))")), Some(Verdict::Breach));
    // From where it comes up nobody has drawn: all of the pressure may break nothing, and keeps what it keeps.
    assert_eq!([70, 30].map(|kpa| of(kpa, "")), [Some(Verdict::Unknown), Some(Verdict::Meets)]);
    let mains = |other_mm: i32| {
        main_from("Onward((-200, 0))")
            + &format!(r#"(id: "branch", service: RisingMain, from: Tee("main", 200), to: Onward((0, {other_mm}))),"#)
    };
    // Enough from the upper end alone, from either, and from neither.
    assert_eq!(
        [70, 300, 10].map(|kpa| of(kpa, &mains(4000))),
        [Some(Verdict::Unknown), Some(Verdict::Breach), Some(Verdict::Meets)]
    );
}

#[test]
fn what_a_pump_in_the_main_brings_nobody_has_told() {
    let pumped = |fittings: &str| {
        let main = main_from("Onward((-200, 0))");
        let with_pump = main.replacen(
            "to: Port(\"cistern\", \"inlet\")",
            &format!("to: Port(\"cistern\", \"inlet\"){fittings}"),
            1,
        );
        verdict("overflow-cannot-keep-up", &sticking(70, &with_pump))
    };
    assert_eq!(pumped(", fittings: []"), Some(Verdict::Meets));
    assert_eq!(pumped(", fittings: [(kind: Pump, at: 500)]"), Some(Verdict::Unknown));
}

#[test]
fn a_non_return_valve_the_wrong_way_round_keeps_the_main_back() {
    const HERE: &str = r#"from: Onward((-200, 0)), via: [(-200, 4500)], to: Port("cistern", "inlet")"#;
    const BACK: &str = r#"from: Port("cistern", "inlet"), via: [(-200, 4500)], to: Onward((-200, 0))"#;
    let with_valve = |way: &str, more: &str| {
        let valve = "fittings: [(kind: NonReturnValve, at: 2000)]";
        filled(400, "", &format!(r#"(id: "main", service: RisingMain, {way}, {valve}), {more}"#))
    };
    assert_eq!(verdict(SLOW, &with_valve(HERE, "")), Some(Verdict::Meets));
    assert_eq!(verdict("main-does-not-reach", &with_valve(HERE, "")), Some(Verdict::Meets));
    assert_eq!(verdict("main-does-not-reach", &with_valve(BACK, "")), Some(Verdict::Breach));
    // Round the valve it comes all the same.
    let round = r#"(id: "round", service: RisingMain, from: Tee("main", 1000), to: Tee("main", 3000), fittings: [])"#;
    assert_eq!(verdict(SLOW, &with_valve(BACK, round)), Some(Verdict::Meets));
}

#[test]
fn a_non_return_valve_the_wrong_way_round_keeps_the_boilers_water_from_a_coil() {
    const PUMP: &str = "fittings: [(kind: Pump, at: 700)],";
    const FLOW: &str = r#"from: Port("boiler", "flow"), via: [(4320, 3150)], to: Port("cylinder", "coil-flow"),"#;
    const BACK: &str = r#"from: Port("cylinder", "coil-flow"), via: [(4320, 3150)], to: Port("boiler", "flow"),"#;
    const RETURN: &str = "fittings: [(kind: DrainCock, at: 2350)],";
    let valve = |fittings: &str| fittings.replace("[", "[(kind: NonReturnValve, at: 1000), ");
    let reheat = |passages: &[(&str, &str)]| verdicts(&sound(passages), "reheat-too-slow", "cylinder");
    assert_eq!(reheat(&[(PUMP, &valve(PUMP))]), [Verdict::Meets]);
    assert_eq!(reheat(&[(PUMP, &valve(PUMP)), (FLOW, BACK)]), [Verdict::Breach]);
    assert_eq!(reheat(&[(RETURN, &valve(RETURN))]), [Verdict::Meets]);
}
