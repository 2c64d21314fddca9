//! What an outlet passes at its rating, and what a tee takes that is fed from two sides, in drawn systems.

use loftwright::layout::Layout;
use loftwright::measure::Site;
use loftwright::water::circuit::{Circuit, Conditions, Open};

use crate::drawn_from::whole;

/// A shower that passes 0.1 L/s at 10 kPa, 1.02 m below the water, with wide pipes on both sides and all water at 10 °C.
const WIDELY_FED_SHOWER: &str = r#"(format: 1,
    cisterns: [(id: "cistern", role: Storage, at: (0, 5000), length: 1000, width: 600, height: 600, water_line: 400,
        connections: [(port: "feed", on: Right(50)), (port: "cold", on: Right(60))])],
    cylinders: [(id: "cylinder", at: (4000, 3000), diameter: 450, height: 900, reference: "7", coil: false,
        stored_temperature: 10)],
    outlets: [(id: "shower", kind: Shower, at: (7040, 4380), passes: (flow: 0.1, at: 10))],
    runs: [
        (id: "feed", service: ColdFeed, material: Copper, size: 54, from: Port("cistern", "feed"),
            via: [(3500, 5050), (3500, 3099)], to: Port("cylinder", "cold-inlet"), fittings: []),
        (id: "hot", service: HotDistribution, material: Copper, size: 54, from: Port("cylinder", "draw-off"),
            via: [(4225, 4100), (4800, 4110), (7000, 4115)], to: Port("shower", "hot"), fittings: []),
        (id: "vent", service: OpenVent, material: Copper, size: 22, from: Tee("hot", 775),
            via: [(4800, 6000), (500, 6000)], to: Open((500, 5900)), fittings: []),
        (id: "cold", service: ColdDistribution, material: Copper, size: 54, from: Port("cistern", "cold"),
            via: [(7080, 5060)], to: Port("shower", "cold"), fittings: []),
    ])"#;

fn first_tap_l_s(layout: &Layout) -> f64 {
    let site = Site::of(layout);
    let flows = Circuit::of(&site).flows(&Conditions::with(Open::Everything));
    flows.taps[0].flow_l_s().expect("it runs")
}

/// By what a rating means: a flow, and the pressure in front of the outlet that this takes.
#[test]
fn a_mixer_passes_what_it_is_rated_for_as_one_tap_does() {
    let mixer = whole(WIDELY_FED_SHOWER);
    let flow_l_s = first_tap_l_s(&mixer);
    assert!((flow_l_s - 0.1).abs() < 0.000_5, "{flow_l_s} L/s under 10 kPa");
}

/// A second cistern beside the first feeds one tap, by a pipe so long from the tee; the first is 4500 mm away from it.
fn fed_from_two_sides(length_mm: f64) -> Layout {
    let text = r#"(format: 1,
        cisterns: [
            (id: "first", role: Storage, at: (0, 5000), length: 1000, width: 600, height: 600, water_line: 400,
                connections: [(port: "cold", on: Right(50))]),
            (id: "second", role: Storage, at: (X, 4500), length: 1000, width: 600, height: 600, water_line: 400,
                connections: [(port: "cold", on: Left(50))]),
        ],
        outlets: [(id: "bath", kind: Bath, at: (4960, 1000), passes: (flow: 0.3, at: 8))],
        runs: [
            (id: "cold", service: ColdDistribution, material: Copper, size: 22, from: Port("first", "cold"),
                via: [(5000, 5050)], to: Port("bath", "cold"), fittings: []),
            (id: "branch", service: ColdDistribution, material: Copper, size: 22, from: Port("second", "cold"),
                via: [], to: Tee("cold", 4500), fittings: []),
        ])"#;
    let text = text.replace('X', &(5000.0 + length_mm).to_string());
    whole(&text)
}

/// Each metre of pipe takes something: a tap gets no more from a cistern that stands farther away, whichever is the nearer.
#[test]
fn a_tee_between_two_cisterns_takes_the_same_whichever_is_the_nearer() {
    let flows: Vec<f64> =
        [3000.0, 4480.0, 4520.0, 6000.0].into_iter().map(|mm| first_tap_l_s(&fed_from_two_sides(mm))).collect();
    assert!(flows.is_sorted_by(|nearer, farther| nearer > farther), "{flows:?} L/s");
    assert!(flows[1] - flows[2] < 0.000_5, "{flows:?} L/s on both sides of where they are equally far");
}
