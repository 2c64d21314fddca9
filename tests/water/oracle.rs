//! Values from reference libraries: the fixtures in `tests/oracle` are written by `tests/oracle/generate.py`, which
//! names each library and its version on the first line.

use loftwright::water::friction::Transition;
use loftwright::water::levels::{
    FLOAT_VALVE_COEFFICIENT, Onward, Orifice, Overflow, Prism, growth, level_in_vent_mm, orifice_m3_s, rise_in_vent_m,
};
use loftwright::water::network::{Network, Node, NodeKind, OneWay, Pipe, Solution, flow_under_kg_s, solve};
use loftwright::water::{Water, circulation, friction};
use serde_json::Value;

use crate::near::near;

/// The rows of a fixture as numbers, by column.
fn fixture(text: &str) -> Vec<Vec<f64>> {
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    let rows: Vec<Vec<f64>> =
        rows.map(|row| row.split(',').map(|cell| cell.parse().expect("a number")).collect()).collect();
    assert!(rows.len() > 1, "the fixture is too short to prove anything");
    rows
}

#[test]
fn water_properties_follow_the_release() {
    for row in fixture(include_str!("../oracle/water_properties.csv")) {
        let water = Water::at_celsius(row[0]).expect("in range");
        near(water.density_kg_m3, row[1], 1e-6, "density");
        near(water.heat_j_kg_k, row[2], 1e-6, "specific heat");
        near(water.viscosity_pa_s, row[3], 1e-6, "viscosity");
        near(water.conductivity_w_m_k, row[4], 1e-6, "conductivity");
        near(water.density_kg_m3, row[5], 1e-4, "density by the full formulation");
    }
}

#[test]
fn laminar_and_turbulent_friction() {
    for row in fixture(include_str!("../oracle/pipe_friction.csv")) {
        let water = Water::at_celsius(row[0]).expect("in range");
        let (bore_m, flow_kg_s) = (row[2] / 1000.0, row[3]);
        near(friction::velocity_m_s(&water, flow_kg_s, bore_m), row[4], 1e-4, "velocity");
        near(friction::loss_pa_per_m(&water, flow_kg_s, bore_m, 1.5e-6), row[6], 1e-4, "loss");
    }
}

const SQUARE_METRES_PER_SQUARE_BORE: f64 = std::f64::consts::FRAC_PI_4;

/// Water of which only what drives and slows it is known.
fn water(density_kg_m3: f64, viscosity_pa_s: f64) -> Water {
    let any = Water::at_celsius(20.0).expect("in range");
    Water { density_kg_m3, viscosity_pa_s, ..any }
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"))
}

fn index(value: &Value, key: &str) -> usize {
    value[key].as_u64().and_then(|index| usize::try_from(index).ok()).unwrap_or_else(|| panic!("{key} in {value}"))
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().unwrap_or_else(|| panic!("{key} in {value}"))
}

fn network_of(case: &Value) -> Network {
    let node = |node: &Value| {
        let kind = node["held_pa"].as_f64().map_or(NodeKind::Free, |pressure_pa| NodeKind::Held { pressure_pa });
        Node { height_m: number(node, "height_m"), kind }
    };
    let pipe = |pipe: &Value| Pipe {
        from: index(pipe, "from"),
        to: index(pipe, "to"),
        length_m: number(pipe, "length_m"),
        bore_m: number(pipe, "bore_m"),
        roughness_m: number(pipe, "roughness_m"),
        loss_coefficient: number(pipe, "loss_coefficient"),
        water: water(number(pipe, "density_kg_m3"), number(pipe, "viscosity_pa_s")),
        transition: Transition::Late,
        one_way: OneWay::BothWays,
    };
    Network {
        nodes: list(case, "nodes").iter().map(node).collect(),
        pipes: list(case, "pipes").iter().map(pipe).collect(),
    }
}

fn network_cases() -> Vec<Value> {
    let fixture: Value = serde_json::from_str(include_str!("../oracle/network.json")).expect("a fixture");
    list(&fixture, "cases").to_vec()
}

fn solved_case(name: &str) -> (Network, Solution) {
    let case =
        network_cases().into_iter().find(|case| case["name"] == name).unwrap_or_else(|| panic!("no case {name}"));
    let network = network_of(&case);
    let solution = solve(&network);
    assert!(solution.converged(), "{name}: {:?}", solution.report);
    (network, solution)
}

#[test]
fn networks_flow_as_solved_two_other_ways() {
    let cases = network_cases();
    assert!(cases.len() >= 12);
    for case in cases {
        let name = case["name"].as_str().expect("a name");
        let (_, solution) = solved_case(name);
        for (at, (flow, expected)) in solution.flow_kg_s.iter().zip(list(&case, "flow_kg_s")).enumerate() {
            near(*flow, expected.as_f64().expect("a flow"), 1e-6, &format!("{name}, flow of pipe {at}"));
        }
        for (at, (pressure, expected)) in solution.pressure_pa.iter().zip(list(&case, "pressure_pa")).enumerate() {
            let (pressure, expected) = (pressure.expect("all is joined"), expected.as_f64().expect("a pressure"));
            assert!((pressure - expected).abs() < 0.01, "{name}, node {at}: {pressure} Pa, expected {expected} Pa");
        }
    }
}

/// Flows in kg/s, the pressure at the vent tee in Pa and the level in the vent in m, by scipy 1.17.1 and fluids 1.3.1
/// with a step from laminar to turbulent at Re 2000; to the five digits with which they were given.
#[test]
fn hot_taps_on_one_tee() {
    let rows: [(&str, &[f64], f64, f64); 5] = [
        ("bath", &[0.490_452], 7_594.74, 4.387_68),
        ("basin", &[0.284_041], 17_903.26, 5.456_83),
        ("sink", &[0.319_447], 16_477.94, 5.309_00),
        ("bath, basin", &[0.417_199, 0.202_456], -1_259.63, 3.469_36),
        ("bath, basin, sink", &[0.330_325, 0.152_760, 0.243_764], -9_973.99, 2.565_55),
    ];
    for (open, flows, tee_pa, vent_m) in rows {
        let (network, solution) = solved_case(&format!("hot taps: {open}"));
        for (flow, expected) in solution.flow_kg_s[2..].iter().zip(flows) {
            near(*flow, *expected, 1e-5, open);
        }
        let pressure_pa = solution.pressure_pa[2].expect("the tee is joined to the cistern");
        near(pressure_pa, tee_pa, 1e-5, open);
        near(level_in_vent_mm(3600.0, pressure_pa, &network.pipes[1].water) / 1000.0, vent_m, 1e-5, open);
    }
    let (_, threshold) = solved_case("draw to the vent");
    near(threshold.flow_kg_s[0], 0.602_778, 1e-5, "the flow from which the vent draws air");
}

/// The same for a mixer. With the blend its feed, at Re 3206, loses a little less than with the step; so the tee below
/// the vent is held at the pressure that the step gave it, and all that hangs on it is turbulent.
#[test]
fn hot_and_cold_to_one_mixer() {
    let (_, solution) = solved_case("mixer below a held tee");
    for (pipe, expected) in [(0, 0.066_422), (1, 0.088_377), (2, 0.088_377), (3, 0.154_799)] {
        near(solution.flow_kg_s[pipe], expected, 1e-4, "mixer");
    }
    near(solution.pressure_pa[3].expect("joined"), 45_212.21, 1e-5, "pressure in the mixer");
}

#[test]
fn at_rest_hot_water_stands_higher_in_the_vent() {
    let (mut network, _) = solved_case("hot taps: bath");
    network.pipes.truncate(2);
    let solution = solve(&network);
    let pressure_pa = solution.pressure_pa[2].expect("the tee is joined to the cistern");
    near(pressure_pa, 23_787.96, 1e-6, "pressure at the tee");
    near(level_in_vent_mm(3600.0, pressure_pa, &network.pipes[1].water) / 1000.0, 6.067_16, 1e-6, "level in the vent");
    assert!(solution.flow_kg_s.iter().all(|flow| flow.abs() < 1e-12));
}

#[test]
fn vessels_empty_as_integrated() {
    for row in fixture(include_str!("../oracle/emptying.csv")) {
        let [plan_area_m2, bore_m, coefficient, from_m, to_m, inflow_m3_s, seconds] = row[..] else {
            panic!("{row:?}")
        };
        let prism = Prism { plan_area_m2, opening: Orifice { coefficient, bore_m }, inflow_m3_s };
        near(prism.seconds_to_fall(from_m, to_m).expect("it falls"), seconds, 1e-7, "closed form");
        if inflow_m3_s == 0.0 {
            // √h falls evenly.
            let half_way_m = f64::midpoint(from_m.sqrt(), to_m.sqrt()).powi(2);
            near(prism.seconds_to_fall(from_m, half_way_m).expect("it falls"), seconds / 2.0, 1e-7, "half way");
        } else {
            // The settled level: (Q / k)² with k = C_d a √(2 g).
            let k = coefficient * SQUARE_METRES_PER_SQUARE_BORE * bore_m * bore_m * (2.0 * 9.806_65_f64).sqrt();
            let settles_at_m = (inflow_m3_s / k).powi(2);
            assert!(prism.seconds_to_fall(from_m, settles_at_m * 1.01).is_some());
            assert_eq!(prism.seconds_to_fall(from_m, settles_at_m * 0.99), None);
        }
    }
}

#[test]
fn overflows_carry_what_their_mouths_let_in() {
    for row in fixture(include_str!("../oracle/overflow.csv")) {
        let (overflow, head_m) = (Overflow::of_bore(row[0] / 1000.0), row[1] / 1000.0);
        near(overflow.by_critical_depth_m3_s(head_m) * 1000.0, row[2], 1e-6, "critical depth");
        near(overflow.by_orifice_m3_s(head_m) * 1000.0, row[3], 1e-6, "orifice");
        match overflow.by_sharp_weir_m3_s(head_m) {
            Some(flow) => near(flow * 1000.0, row[4], 1e-6, "sharp weir"),
            None => assert!(row[4].is_nan()),
        }
    }
    for row in fixture(include_str!("../oracle/overflow_head.csv")) {
        let overflow = Overflow::of_bore(row[0] / 1000.0);
        near(overflow.head_for_m(row[1] / 1000.0).expect("there is a head") * 1000.0, row[2], 1e-5, "head for a flow");
    }
}

/// Litres per second under a head in mm, for a length in m and a fall in mm, by scipy 1.17.1 and fluids 1.3.1; water of
/// 10 °C in a bore with ε 0.0015 mm is inferred, as the rows do not say.
#[test]
fn overflows_that_run_full() {
    let rows = [
        (19.0, 25.0, 1.0, 20.0, 0.129_84),
        (19.0, 40.0, 3.0, 50.0, 0.135_68),
        (20.2, 32.0, 1.0, 20.0, 0.164_14),
        (26.2, 40.0, 3.0, 50.0, 0.297_49),
    ];
    for (bore_mm, head_mm, length_m, fall_mm, expected) in rows {
        let pipe = Pipe {
            from: 0,
            to: 1,
            length_m,
            bore_m: bore_mm / 1000.0,
            roughness_m: 1.5e-6,
            loss_coefficient: 0.0,
            water: Water::at_celsius(10.0).expect("in range"),
            transition: Transition::Late,
            one_way: OneWay::BothWays,
        };
        let onward = Onward { pipe, fall_m: fall_mm / 1000.0 };
        let overflow = Overflow { onward: Some(onward), ..Overflow::of_bore(bore_mm / 1000.0) };
        near(overflow.running_full_m3_s(&onward, head_mm / 1000.0) * 1000.0, expected, 2e-4, "running full");
    }
}

/// Litres per second through seats of so many mm under so many kPa, with C_d 0.66 and ρ 1000.
#[test]
fn float_valves_stuck_open() {
    let rows = [
        (3.0, 100.0, 0.065_99),
        (3.18, 300.0, 0.128_42),
        (3.18, 500.0, 0.165_79),
        (4.76, 300.0, 0.287_73),
        (6.35, 300.0, 0.512_06),
    ];
    for (seat_mm, pressure_kpa, expected) in rows {
        let flow = orifice_m3_s(FLOAT_VALVE_COEFFICIENT, seat_mm / 1000.0, pressure_kpa * 1000.0, 999.7025);
        near(flow * 1000.0, expected, 3e-4, "float valve");
    }
}

/// Shares by which water grows, by CoolProp 8.0.0.
#[test]
fn heated_water_grows() {
    let at = |celsius: f64| Water::at_celsius(celsius).expect("in range");
    for (cold, hot, share) in [
        (10.0, 60.0, 0.016_789),
        (5.0, 60.0, 0.017_057),
        (10.0, 65.0, 0.019_532),
        (10.0, 80.0, 0.028_722),
        (4.0, 100.0, 0.043_435),
    ] {
        near(growth(&at(cold), &at(hot)), share, 1e-4, "growth");
    }
    near(120.0 * growth(&at(10.0), &at(60.0)), 2.0147, 1e-4, "120 litres");
    near(rise_in_vent_m(4.0, &at(10.0), &at(60.0)), 0.067_16, 1e-3, "rise in the vent");
}

/// Flow at 80 °C, return at 60 °C, 2.5 m high, 9 m of 26.2 mm bore with K 8, friction at 70 °C; by CoolProp 8.0.0 and
/// fluids 1.3.1.
#[test]
fn hot_water_circulates_by_its_lightness() {
    let at = |celsius: f64| Water::at_celsius(celsius).expect("in range");
    let pressure_pa = circulation::pressure_pa(2.5, &at(80.0), &at(60.0));
    near(pressure_pa, 279.6226, 1e-5, "pressure");
    let circuit = Pipe {
        from: 0,
        to: 1,
        length_m: 9.0,
        bore_m: 0.0262,
        roughness_m: 1.5e-6,
        loss_coefficient: 8.0,
        water: at(70.0),
        transition: Transition::Late,
        one_way: OneWay::BothWays,
    };
    near(flow_under_kg_s(&circuit, pressure_pa), 0.093_129, 1e-4, "circulation");
}
