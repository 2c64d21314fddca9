//! Values from reference libraries: `tests/oracle/heat.json`, written by `tests/oracle/generate_heat.py`, which
//! integrates the equations that the program solves in closed form.

use loftwright::heat::circulation::{self, Stub};
use loftwright::heat::day::{self, Day};
use loftwright::heat::frost::{Frost, HALF, Tube};
use loftwright::heat::lumped;
use loftwright::heat::pipe_loss::Cover;
use loftwright::heat::reheat::{self, Coil, Store};
use loftwright::heat::standing::{self, EnergyClass};
use loftwright::water::Water;
use loftwright::water::circulation::pressure_pa;
use loftwright::water::friction::Transition;
use loftwright::water::levels::growth;
use loftwright::water::network::{OneWay, Pipe, flow_under_kg_s};
use serde_json::Value;

use super::near::near;

/// The tolerance of every comparison here, unless a comment beside it gives another.
const TENTH_OF_A_PERCENT: f64 = 1e-3;

fn fixture() -> Value {
    serde_json::from_str(include_str!("../oracle/heat.json")).expect("the fixture is JSON")
}

/// The rows of a table of the fixture; never empty.
fn rows(name: &str) -> Vec<Value> {
    let rows = fixture()[name].as_array().expect("a table").clone();
    assert!(!rows.is_empty(), "{name} is empty");
    rows
}

fn number(row: &Value, name: &str) -> f64 {
    row[name].as_f64().unwrap_or_else(|| panic!("no number '{name}' in {row}"))
}

fn agrees(have: f64, row: &Value, name: &str) {
    near(have, number(row, name), TENTH_OF_A_PERCENT, name);
}

#[test]
fn heated_water_grows() {
    for row in rows("expansion") {
        let at = |name| Water::at_celsius(number(&row, name)).expect("liquid");
        agrees(growth(&at("from_c"), &at("to_c")), &row, "growth");
    }
}

fn store(row: &Value) -> Store {
    Store {
        capacity_j_k: number(row, "kg") * lumped::WATER_J_KG_K,
        loss_w_k: number(row, "loss_w_k"),
        room_c: number(row, "room_c"),
    }
}

#[test]
fn an_immersion_heater_warms_a_store() {
    for row in rows("reheat") {
        let (power_w, from_c, to_c) = (number(&row, "power_w"), number(&row, "from_c"), number(&row, "to_c"));
        let seconds = reheat::by_power_s(&store(&row), power_w, from_c, to_c).expect("it gets there");
        agrees(seconds, &row, "seconds");
    }
}

#[test]
fn a_coil_warms_a_store() {
    for row in rows("coil") {
        let coil = Coil {
            conductance_w_k: number(&row, "coil_w_k"),
            primary_c: number(&row, "primary_c"),
            flow_w_k: row["flow_w_k"].as_f64(),
        };
        let (from_c, to_c) = (number(&row, "from_c"), number(&row, "to_c"));
        let seconds = match row["boiler_w"].as_f64() {
            Some(boiler_w) => reheat::by_coil_and_boiler_s(&store(&row), &coil, boiler_w, from_c, to_c),
            None => reheat::by_coil_s(&store(&row), &coil, from_c, to_c),
        };
        agrees(seconds.expect("it gets there"), &row, "seconds");
    }
}

#[test]
fn the_mean_power_of_a_coil_is_that_of_the_logarithmic_mean() {
    let row = &rows("coil")[0];
    let mean_w = reheat::mean_power_w(120.0 * lumped::WATER_J_KG_K, 50.0, number(row, "seconds"));
    let (first_k, last_k) = (80.0_f64 - 10.0, 80.0 - 60.0);
    near(mean_w, 250.0 * (first_k - last_k) / (first_k / last_k).ln(), 1e-6, "mean power");
    near(mean_w, 9977.945, TENTH_OF_A_PERCENT, "mean power by the reference case");
}

#[test]
fn standing_losses_by_size() {
    for row in rows("standing") {
        let litres = number(&row, "litres");
        agrees(standing::greatest_kwh_day(litres), &row, "greatest_kwh_day");
        // Older editions had another factor; from memory.
        agrees(standing::greatest_kwh_day(litres) * 1.28 / 1.15, &row, "older_kwh_day");
        for (class, name) in
            [(EnergyClass::A, "class_a_w"), (EnergyClass::B, "class_b_w"), (EnergyClass::C, "class_c_w")]
        {
            agrees(class.greatest_w(litres).expect("a limit"), &row, name);
        }
        let by = |cover, mm| standing::by_thickness_kwh_day(litres, cover, mm);
        agrees(by(standing::Cover::Foam, 35.0), &row, "foam_35_kwh_day");
        agrees(by(standing::Cover::LooseJacket, 80.0), &row, "jacket_80_kwh_day");
    }
}

#[test]
fn a_store_cools() {
    let row = fixture()["cooling"].clone();
    let capacity_j_k = number(&row, "kg") * lumped::WATER_J_KG_K;
    let seconds = number(&row, "hours") * 3600.0;
    let (from_c, around_c) = (number(&row, "from_c"), number(&row, "around_c"));
    let after_c = lumped::after_c(from_c, around_c, capacity_j_k, number(&row, "loss_w_k"), seconds);
    agrees(after_c, &row, "celsius");
    let stated_w = standing::watts(standing::greatest_kwh_day(120.0));
    near(standing::conductance_w_k(stated_w), number(&row, "loss_w_k"), TENTH_OF_A_PERCENT, "conductance");
}

fn cover(row: &Value) -> Cover {
    Cover {
        outside_m: number(row, "outside_mm") / 1000.0,
        thickness_m: number(row, "thickness_mm") / 1000.0,
        conductivity_w_m_k: number(row, "conductivity_w_m_k"),
        film_w_m2_k: number(row, "film_w_m2_k"),
    }
}

#[test]
fn pipes_lose_heat() {
    for row in rows("pipe_loss") {
        agrees(cover(&row).resistance_m_k_w(), &row, "resistance_m_k_w");
        agrees(cover(&row).loss_w_m(60.0, 20.0), &row, "loss_w_m");
    }
}

fn copper(row: &Value) -> Tube {
    Tube {
        outside_m: number(row, "outside_mm") / 1000.0,
        bore_m: number(row, "bore_mm") / 1000.0,
        wall_kg_m3: 8900.0,
        wall_j_kg_k: 385.0,
    }
}

#[test]
fn pipes_freeze() {
    for row in rows("frost") {
        let frost = Frost { water_c: number(&row, "water_c"), air_c: number(&row, "air_c") };
        let resistance = cover(&row).resistance_m_k_w();
        let hours = |seconds: Option<f64>| seconds.expect("it freezes") / 3600.0;
        agrees(hours(copper(&row).to_freezing_s(resistance, &frost)), &row, "to_freezing_h");
        agrees(hours(copper(&row).to_ice_s(resistance, &frost, HALF)), &row, "to_half_ice_h");
    }
}

#[test]
fn the_thickness_for_a_wanted_time_is_found() {
    const TWELVE_HOURS_S: f64 = 12.0 * 3600.0;
    let frost = Frost { water_c: 2.0, air_c: -6.0 };
    for row in rows("thickness_for_frost") {
        let conductivity = number(&row, "conductivity_w_m_k");
        let mm = |film| {
            1000.0 * copper(&row).thickness_m(conductivity, film, &frost, TWELVE_HOURS_S).expect("it can be done")
        };
        agrees(mm(10.0), &row, "with_film_mm");
        agrees(mm(f64::INFINITY), &row, "without_film_mm");
    }
}

#[test]
fn a_cistern_warms_and_cools() {
    let row = fixture()["cistern"].clone();
    // A plane cover: U = 1 / (1/h + d/λ), ISO 6946.
    let cover = 1.0 / (1.0 / 9.0 + 0.025 / 0.035);
    agrees(cover, &row, "cover_w_m2_k");
    let (capacity, loss) = (number(&row, "kg") * lumped::WATER_J_KG_K, cover * 1.92914);
    agrees(loss, &row, "loss_w_k");
    agrees(lumped::time_constant_s(capacity, loss) / 3600.0, &row, "time_constant_h");
    agrees(lumped::after_c(15.0, 35.0, capacity, loss, 8.0 * 3600.0), &row, "after_8_h_c");
    let hours = |from, to, around| lumped::until_s(from, to, around, capacity, loss).expect("it gets there") / 3600.0;
    agrees(hours(15.0, 20.0, 35.0), &row, "to_20_c_h");
    agrees(hours(7.0, 0.0, -6.0), &row, "to_0_c_h");
    assert_eq!(lumped::until_s(7.0, -7.0, -6.0, capacity, loss), None, "it never gets below its surroundings");
    assert_eq!(lumped::until_s(7.0, 8.0, -6.0, capacity, loss), None, "it never warms in the cold");
}

/// The hours are counted in the fixture by whole minutes, so that they agree within two of them.
#[test]
fn a_cistern_goes_through_summer_days() {
    for row in rows("summer_days") {
        let day = Day {
            capacity_j_k: number(&row, "kg") * lumped::WATER_J_KG_K,
            to_loft_w_k: number(&row, "to_loft_w_k"),
            loft_c: (number(&row, "loft_low_c"), number(&row, "loft_high_c")),
            to_room_w_k: number(&row, "to_room_w_k"),
            room_c: number(&row, "room_c"),
            drawn_j_k: number(&row, "drawn_kg") * lumped::WATER_J_KG_K,
            make_up_c: number(&row, "make_up_c"),
        };
        let curve = day.settled();
        agrees(day::peak_c(&curve), &row, "peak_c");
        let least = curve.iter().map(|moment| moment.celsius).fold(f64::INFINITY, f64::min);
        agrees(least, &row, "least_c");
        let (above_h, expected_h) = (day::hours_above(&curve, 20.0), number(&row, "above_20_h"));
        assert!((above_h - expected_h).abs() < 2.0 / 60.0, "{above_h} h above 20 °C, expected {expected_h}");
        near(curve[0].celsius, curve[curve.len() - 1].celsius, 1e-9, "the day ends as it began");
    }
}

#[test]
fn circulation_lies_between_a_fin_and_a_hot_pipe() {
    let row = fixture()["circulation"].clone();
    let get = |name| number(&row, name);
    let along = circulation::wall_along_w_m_k(get("outside_m"), get("bore_m"), get("conductivity_w_m_k"));
    agrees(along, &row, "along_w_m_k");
    // Perimeter times film.
    let loss_w_m_k = std::f64::consts::PI * get("outside_m") * get("film_w_m2_k");
    let stub = Stub { length_m: get("length_m"), loss_w_m_k, along_w_m_k: along };
    agrees(stub.stagnant_w(get("hotter_k")), &row, "stagnant_w");
    agrees(stub.circulating_w(get("hotter_k")), &row, "circulating_w");
}

#[test]
fn hot_water_rises() {
    for row in rows("buoyancy") {
        let at = |name| Water::at_celsius(number(&row, name)).expect("liquid");
        let pa_m = pressure_pa(1.0, &at("flow_c"), &at("return_c"));
        agrees(pa_m, &row, "pa_m");
    }
    let row = fixture()["gravity_loop"].clone();
    let get = |name| number(&row, name);
    let at = |celsius: f64| Water::at_celsius(celsius).expect("liquid");
    let drive_pa = pressure_pa(get("height_m"), &at(get("flow_c")), &at(get("return_c")));
    let pipes = Pipe {
        from: 0,
        to: 1,
        length_m: get("length_m"),
        bore_m: get("bore_m"),
        roughness_m: get("roughness_m"),
        loss_coefficient: get("fittings"),
        water: at(f64::midpoint(get("flow_c"), get("return_c"))),
        transition: Transition::Late,
        one_way: OneWay::BothWays,
    };
    agrees(flow_under_kg_s(&pipes, drive_pa), &row, "kg_s");
}
