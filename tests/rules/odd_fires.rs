//! Boilers behind a fire: how their heat goes when the pump stands, and of what their pipes are.

use super::drawn_from::layout;
use super::judged::{BREACH, MEETS, UNKNOWN, verdict as of_part};
use super::judged_text::verdict;

const CIRCUIT: &str = "back-boiler-without-gravity-circuit";
const NARROW: &str = "gravity-primaries-too-narrow";
const PLASTIC: &str = "plastic-near-heat";
const FIRST_METRE: &str = "plastic-near-boiler";

/// A boiler below a cylinder: what is told of its flow and of its return, and more pipes.
fn heated(flow: &str, back: &str, more: &str) -> String {
    format!(
        r#"cylinders: [(id: "cylinder", at: (1500, 2600), diameter: 400, height: 1000, coil: true)],
        boilers: [(id: "boiler", at: (200, 100), length: 400, height: 700, kind: BackBoiler)],
        runs: [
            (id: "flow", service: PrimaryFlow, from: Port("boiler", "flow"), via: [(320, 3200)],
                to: Port("cylinder", "coil-flow"), {flow}),
            (id: "return", service: PrimaryReturn, from: Port("cylinder", "coil-return"), via: [(480, 2800)],
                to: Port("boiler", "return"), {back}),
            {more}
        ]"#
    )
}

const EMPTY: &str = "fittings: []";

#[test]
fn the_water_of_a_back_boiler_goes_round_without_pump_and_valve() {
    let asked = |flow: &str, back: &str, more: &str| verdict(CIRCUIT, &heated(flow, back, more));
    assert_eq!(asked(EMPTY, EMPTY, ""), MEETS);
    assert_eq!(asked("fittings: [(kind: Pump, at: 900)]", EMPTY, ""), BREACH);
    assert_eq!(asked(EMPTY, "fittings: [(kind: NonReturnValve, at: 300)]", ""), BREACH);
    assert_eq!(asked(EMPTY, "fittings: [(kind: DrainCock, at: 300)]", ""), MEETS);
    assert_eq!(asked(EMPTY, "", ""), UNKNOWN);
    // A way round the pump is one, and radiators may be pumped besides.
    let round_it = r#"(id: "beside", service: PrimaryFlow, from: Tee("flow", 400), via: [(600, 1200), (600, 2200)],
        to: Tee("flow", 1400), fittings: []),"#;
    assert_eq!(asked("fittings: [(kind: Pump, at: 900)]", EMPTY, round_it), MEETS);
    let radiators = |at: u32| {
        format!(
            r#"(id: "radiators", service: PrimaryFlow, from: Tee("flow", {at}), to: Onward((900, 1200)),
                fittings: [(kind: Pump, at: 100)]),"#
        )
    };
    assert_eq!(asked(EMPTY, EMPTY, &radiators(400)), MEETS);
    // What goes on before any pump may lead to a coil; what goes on behind one does not.
    let barred = "fittings: [(kind: GateValve, at: 900)]";
    assert_eq!(asked(barred, barred, &radiators(400)), BREACH);
    let on = r#"(id: "flow-on", service: PrimaryFlow, from: Tee("flow", 400), to: Onward((900, 1200)), fittings: []),
        (id: "return-on", service: PrimaryReturn, from: Onward((900, 900)), to: Port("boiler", "return"), fittings: []),"#;
    assert_eq!(asked(barred, barred, on), UNKNOWN);
}

#[test]
fn stored_water_takes_the_heat_as_a_coil_does() {
    let direct = heated(EMPTY, EMPTY, "").replace("coil-", "primary-").replace("coil: true", "coil: false");
    assert_eq!(verdict(CIRCUIT, &direct), MEETS);
    assert_eq!(verdict(CIRCUIT, &direct.replacen(EMPTY, "fittings: [(kind: StopValve, at: 500)]", 1)), BREACH);
}

#[test]
fn no_other_boiler_needs_a_circuit_by_gravity() {
    let pumped = heated("fittings: [(kind: Pump, at: 900)]", EMPTY, "");
    assert_eq!(verdict(CIRCUIT, &pumped.replace("kind: BackBoiler", "kind: Regular")), None);
    // Nobody has told: only where that decides.
    assert_eq!(verdict(CIRCUIT, &pumped.replace(", kind: BackBoiler", "")), UNKNOWN);
    assert_eq!(verdict(CIRCUIT, &heated(EMPTY, EMPTY, "").replace(", kind: BackBoiler", "")), None);
    let no_pipes = r#"boilers: [(id: "boiler", at: (200, 100), length: 400, height: 700, kind: BackBoiler)]"#;
    assert_eq!(verdict(CIRCUIT, no_pipes), UNKNOWN);
}

#[test]
fn pipes_are_wide_where_no_pump_moves_the_water() {
    let of = |flow: u32, back: &str, fittings: &str| {
        heated(&format!("size: {flow}, {fittings}"), &format!("{back}{EMPTY}"), "")
    };
    assert_eq!(verdict(NARROW, &of(28, "size: 28, ", EMPTY)), MEETS);
    assert_eq!(verdict(NARROW, &of(22, "size: 28, ", EMPTY)), BREACH);
    assert_eq!(verdict(NARROW, &of(22, "size: 28, ", "fittings: [(kind: Pump, at: 900)]")), None);
    assert_eq!(verdict(NARROW, &of(28, "", EMPTY)), UNKNOWN);
    // Nobody has told whether there is a pump: wide pipes are right either way.
    let untold = heated("size: 22", &format!("size: 28, {EMPTY}"), "");
    assert_eq!(verdict(NARROW, &untold), UNKNOWN);
    assert_eq!(verdict(NARROW, &untold.replace("size: 22", "size: 28")), MEETS);
}

#[test]
fn plastic_is_no_tube_where_water_may_boil() {
    let of = |flow: &str, back: &str, kind: &str| {
        let material = |material: &str| format!("material: {material}, {EMPTY}");
        heated(&material(flow), &material(back), "").replace("kind: BackBoiler", kind)
    };
    let (copper, plastic) = ("Copper", "Polybutylene");
    assert_eq!(verdict(PLASTIC, &of(copper, copper, "kind: BackBoiler")), MEETS);
    assert_eq!(verdict(PLASTIC, &of(copper, plastic, "kind: BackBoiler")), BREACH);
    assert_eq!(verdict(PLASTIC, &of(copper, plastic, "kind: Regular")), None);
    assert_eq!(verdict(PLASTIC, &of(copper, plastic, "")), UNKNOWN);
    assert_eq!(verdict(PLASTIC, &of(copper, copper, "")), None);
    // Of any other boiler the first metre is asked, of a back boiler all of it once.
    assert_eq!(verdict(FIRST_METRE, &of(copper, plastic, "kind: Regular")), BREACH);
    assert_eq!(verdict(FIRST_METRE, &of(copper, copper, "kind: Regular")), None);
    assert_eq!(verdict(FIRST_METRE, &of(copper, plastic, "kind: BackBoiler")), None);
    let overflow = of(copper, "OverflowPlastic", "kind: BackBoiler");
    assert_eq!([PLASTIC, "tube-not-for-its-water"].map(|rule| verdict(rule, &overflow)), [BREACH, None]);
}

#[test]
fn nothing_rises_to_a_cylinder_that_lies_below_the_fire() {
    let coil = heated(EMPTY, EMPTY, "").replace("at: (200, 100)", "at: (200, 4100)");
    let direct = coil.replace("coil-", "primary-").replace("coil: true", "coil: false");
    for text in [coil, direct] {
        assert_eq!(verdict(CIRCUIT, &text), BREACH, "{text}");
        assert_eq!(verdict(CIRCUIT, &text.replace("at: (200, 4100)", "at: (200, 1600)")), MEETS, "{text}");
    }
}

#[test]
fn what_boils_behind_a_fire_falls_nowhere_on_its_way_out() {
    let vented = |way: &str, tee_mm: u32, vent: &str| {
        let vent = format!(r#"(id: "vent", service: PrimaryVent, from: Tee("flow", {tee_mm}), {vent}, fittings: []),"#);
        heated(EMPTY, EMPTY, &vent).replace("via: [(320, 3200)]", way)
    };
    let rising = "via: [(330, 6000)], to: Open((400, 5900))";
    let falls = |text: &str| of_part(&layout(text), "vent-falls", "vent");
    assert_eq!(falls(&vented("via: [(320, 3200)]", 1200, rising)), MEETS);
    // Down by 500 mm and up again before the vent leaves the flow.
    let dipping = "via: [(320, 900), (700, 900), (700, 400), (1000, 400), (1000, 3200)]";
    let after_it = "via: [(1010, 6000)], to: Open((1100, 5900))";
    let text = vented(dipping, 2880, after_it);
    assert_eq!(falls(&text), BREACH);
    assert_eq!(falls(&text.replace("kind: BackBoiler", "kind: Regular")), MEETS);
}
