//! Storage cisterns without a link between them whose outlet pipes meet: their water stands at one level.

use loftwright::measure::Site;
use loftwright::rules::Verdict;
use loftwright::water::trial::valve_stuck;

use super::odd_houses::{layout, number, verdict};

const LINES: &str = "linked-water-lines-differ";

/// Two cisterns of 0.5 L for each millimetre that stand on one level, with water at 400 and at `line_mm`, overflows at 470
/// (inverts at 459.9), and cold pipes that meet 1 m below; `between` sits in the pipe of the second.
fn two(line_mm: f64, between: &str) -> String {
    format!(
        r#"building: (mains_pressure: 300),
        cisterns: [
            (id: "first", role: Storage, at: (0, 5000), length: 1000, width: 500, height: 600, water_line: 400,
                float_valve: (shank: Left(520), outlet: 520, seat: 3.18),
                connections: [(port: "cold", on: Right(50)), (port: "feed", on: Right(80)),
                    (port: "warning", on: Left(470))]),
            (id: "second", role: Storage, at: (3000, 5000), length: 1000, width: 500, height: 600, water_line: {line_mm},
                float_valve: (shank: Right(560), outlet: 560, seat: 3.18),
                connections: [(port: "cold", on: Left(50)), (port: "warning", on: Right(470))])],
        cylinders: [(id: "cylinder", at: (1000, 1000), diameter: 450, height: 900)],
        outlets: [(id: "basin", kind: Basin, at: (1960, 2000))],
        runs: [
            (id: "feed", service: ColdFeed, material: Copper, size: 22, from: Port("first", "feed"),
                via: [(1100, 5080), (1100, 4000), (900, 4000), (900, 1099)], to: Port("cylinder", "cold-inlet"), fittings: []),
            (id: "cold", service: ColdDistribution, material: Copper, size: 22, from: Port("first", "cold"),
                via: [(2000, 5050)], to: Port("basin", "cold"), fittings: []),
            (id: "other", service: ColdDistribution, material: Copper, size: 22, from: Port("second", "cold"),
                via: [(2500, 5050), (2500, 4050)], to: Tee("cold", 2000), {between}),
            (id: "warning", service: WarningPipe, material: Copper, size: 22, from: Port("first", "warning"),
                via: [(-300, 5470)], to: Open((-300, 5200)), fittings: []),
            (id: "second-warning", service: WarningPipe, material: Copper, size: 22, from: Port("second", "warning"),
                via: [(4300, 5470)], to: Open((4300, 5200)), fittings: []),
        ]"#
    )
}

const NOTHING: &str = "fittings: []";
const VALVE: &str = "fittings: [(kind: NonReturnValve, at: 300)]";

#[test]
fn what_their_outlet_pipes_join_is_one_water() {
    let joined = layout(&two(450.0, NOTHING));
    assert_eq!(verdict(&joined, LINES, "first"), Some(Verdict::Breach));
    assert!((number(&joined, LINES, "first") - 50.0).abs() < 1e-9);
    // The water of the second stands 9.9 mm below the overflow of the first, whose own line is 59.9 mm below.
    assert!((number(&joined, "water-line-too-near-overflow", "first") - 9.9).abs() < 1e-9);
    // Up to the lower line: 2 × 0.5 × 400 L.
    assert!((number(&joined, "storage-too-small-for-taps", "first") - 400.0).abs() < 1e-9);
    let alike = layout(&two(400.0, NOTHING));
    assert_eq!(verdict(&alike, LINES, "first"), Some(Verdict::Meets));
}

#[test]
fn a_non_return_valve_or_a_pipe_over_the_water_keeps_them_apart() {
    for text in [two(450.0, VALVE), two(450.0, NOTHING).replace("via: [(2500, 5050),", "via: [(2500, 5600),")] {
        let apart = layout(&text);
        for part in ["first", "second"] {
            assert_eq!(verdict(&apart, LINES, part), None);
        }
        assert!((number(&apart, "water-line-too-near-overflow", "first") - 59.9).abs() < 1e-9);
    }
}

#[test]
fn whether_a_valve_keeps_them_apart_may_not_be_told() {
    let untold = layout(&two(450.0, ""));
    assert_eq!(verdict(&untold, LINES, "first"), Some(Verdict::Unknown));
    let alike = layout(&two(400.0, ""));
    assert_eq!(verdict(&alike, LINES, "first"), Some(Verdict::Meets));
}

#[test]
fn a_float_valve_that_sticks_fills_both() {
    let joined = layout(&two(400.0, NOTHING));
    let apart = layout(&two(400.0, VALVE));
    let first_s = |layout: &loftwright::layout::Layout| {
        valve_stuck(&Site::of(layout), &layout.cisterns[0]).expect("told").events[0].time_s
    };
    assert!((first_s(&joined) / first_s(&apart) - 2.0).abs() < 1e-6);
}
