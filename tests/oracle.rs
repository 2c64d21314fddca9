//! Values from reference libraries: the fixtures in `tests/oracle` are written by `tests/oracle/generate.py`, which
//! names each library and its version on the first line.

use loftwright::water::{Water, friction};

/// The rows of a fixture as numbers, by column.
fn fixture(text: &str) -> Vec<Vec<f64>> {
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    let rows: Vec<Vec<f64>> =
        rows.map(|row| row.split(',').map(|cell| cell.parse().expect("a number")).collect()).collect();
    assert!(rows.len() > 10, "the fixture is too short to prove anything");
    rows
}

fn near(have: f64, expected: f64, relative: f64, what: &str) {
    assert!((have / expected - 1.0).abs() < relative, "{what}: {have}, expected {expected}");
}

#[test]
fn water_properties_follow_the_release() {
    for row in fixture(include_str!("oracle/water_properties.csv")) {
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
    for row in fixture(include_str!("oracle/pipe_friction.csv")) {
        let water = Water::at_celsius(row[0]).expect("in range");
        let (bore_m, flow_kg_s) = (row[2] / 1000.0, row[3]);
        near(friction::velocity_m_s(&water, flow_kg_s, bore_m), row[4], 1e-4, "velocity");
        near(friction::loss_pa_per_m(&water, flow_kg_s, bore_m, 1.5e-6), row[6], 1e-4, "loss");
    }
}
