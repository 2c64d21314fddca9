//! Heat against printed figures, each beside its source; what is from memory or inferred says so.

use loftwright::heat::bare_pipe::bare_pipe;
use loftwright::heat::frost::{Frost, Tube};
use loftwright::heat::lumped::WATER_J_KG_K;
use loftwright::heat::pipe_loss::{self, BARE_FILM_W_M2_K, Cover};
use loftwright::heat::reheat::{self, Store};
use loftwright::water::Water;
use loftwright::water::levels::growth;

use super::near::near;

/// BS 6700:2006 Annex C (seen in an extract): M = V T / (14.3 P) minutes. 14.3 is 60/4.19 rounded, so that the formula
/// lies 0.2 % from the energy itself.
#[test]
fn annex_c_reheat() {
    for (litres, rise_k, power_kw, minutes) in [(120.0, 50.0, 3.0, 139.86), (100.0, 50.0, 3.0, 116.55)] {
        let annex_c = reheat::bs_6700_minutes(litres, rise_k, power_kw);
        near(annex_c, minutes, 1e-4, "the printed formula");
        let by_energy = reheat::energy_kwh(litres, rise_k) / power_kw * 60.0;
        near(annex_c, by_energy, 2.5e-3, "the energy");
        let store = Store { capacity_j_k: litres * WATER_J_KG_K, loss_w_k: 0.0, room_c: 20.0 };
        let seconds = reheat::by_power_s(&store, power_kw * 1000.0, 10.0, 10.0 + rise_k).expect("it gets there");
        near(annex_c, seconds / 60.0, 2.5e-3, "the heat balance");
    }
}

/// BS 6700:1997 Table C.1, case 1 with stratification (table seen; the case as stated here from memory): the least store from
/// which 70 L are drawn at 60 °C and 60 L more after 25 minutes, by the heat that goes in meanwhile. Its figures "have been
/// rounded", and no store is smaller than what is drawn first.
#[test]
fn least_store_by_heat_input() {
    for (power_kw, printed_l) in [(3.0, 109.0), (6.0, 88.0), (10.0, 70.0), (15.0, 70.0)] {
        let heated_l = 25.0 / reheat::bs_6700_minutes(1.0, 50.0, power_kw);
        let least_l = (70.0 + 60.0 - heated_l).max(70.0);
        assert!((least_l - printed_l).abs() < 1.0, "{power_kw} kW: {least_l} L, printed {printed_l}");
    }
}

/// 120 L from 10 to 60 °C hold 6.9689 kWh by the enthalpy of water filled in cold (CoolProp 8.0.0), 6.978 by the round
/// 4.1868 kJ/(kg K) and a kilogram to the litre.
#[test]
fn energy_in_a_cylinder() {
    near(reheat::energy_kwh(120.0, 50.0), 6.978, 1e-3, "as it is reckoned");
    near(reheat::energy_kwh(120.0, 50.0), 6.9689, 1.5e-3, "by enthalpy");
}

/// What a kilogram takes up from 10 to 60 °C is the sum of its specific heat on the way (Simpson's rule): 209.1298 kJ by
/// IAPWS-95 (CoolProp 8.0.0).
#[test]
fn heat_taken_up_from_ten_to_sixty_degrees() {
    let heat = |celsius: f64| Water::at_celsius(celsius).expect("liquid").heat_j_kg_k;
    let span = |from: f64| (heat(from) + 4.0 * heat(from + 0.5) + heat(from + 1.0)) / 6.0;
    let taken_up_kj_kg = (10..60).map(|from| span(f64::from(from))).sum::<f64>() / 1000.0;
    near(taken_up_kj_kg, 209.1298, 1e-3, "kJ/kg");
}

/// A bare pipe of 60 °C in a room of 20 °C by natural convection (Churchill-Chu) and radiation: outside mm, emissivity,
/// Rayleigh and Nusselt number, W/(m² K) by air and by radiation, W/m (ht 1.2.0, air by CoolProp 8.0.0).
const BARE: [(f64, f64, f64, f64, f64, f64, f64); 4] = [
    (15.0, 0.2, 10_321.7, 4.4032, 8.0298, 1.3987, 17.7723),
    (22.0, 0.2, 32_564.7, 5.8304, 7.2494, 1.3987, 23.9087),
    (22.0, 0.9, 32_564.7, 5.8304, 7.2494, 6.2942, 37.4427),
    (28.0, 0.2, 67_135.6, 7.0076, 6.8460, 1.3987, 29.0096),
];

#[test]
fn bare_pipes_lose_what_first_principles_say() {
    for (outside_mm, emissivity, rayleigh, nusselt, by_air, by_radiation, loss_w_m) in BARE {
        let pipe = bare_pipe(outside_mm / 1000.0, 60.0, 20.0, emissivity).expect("air is tabled");
        near(pipe.rayleigh, rayleigh, 1e-3, "Rayleigh");
        near(pipe.nusselt, nusselt, 1e-3, "Nusselt");
        near(pipe.convection_w_m2_k, by_air, 1e-3, "by air");
        near(pipe.radiation_w_m2_k, by_radiation, 1e-3, "by radiation");
        near(pipe.loss_w_m, loss_w_m, 1e-3, "loss");
    }
}

/// The round film of 10 W/(m² K) lies between bright and tarnished copper.
#[test]
fn the_round_film_lies_between_bright_and_tarnished_copper() {
    let bare = |outside_m| {
        let cover = Cover { outside_m, thickness_m: 0.0, conductivity_w_m_k: 0.035, film_w_m2_k: BARE_FILM_W_M2_K };
        cover.loss_w_m(60.0, 20.0)
    };
    let by = |outside_m, emissivity| bare_pipe(outside_m, 60.0, 20.0, emissivity).expect("tabled").loss_w_m;
    for outside_m in [0.015, 0.022, 0.028] {
        assert!((by(outside_m, 0.2)..by(outside_m, 0.9)).contains(&bare(outside_m)), "{outside_m}");
    }
}

/// Water grows by about 4.2 to 4.3 % from 4 °C to boiling (4.2: an engineering reference page on gravity heating, seen).
#[test]
fn expansion_to_boiling() {
    let water = |celsius: f64| Water::at_celsius(celsius).expect("liquid");
    let percent = 100.0 * growth(&water(4.0), &water(100.0));
    assert!((4.2..=4.36).contains(&percent), "{percent} %");
}

/// From 50 to 200 °F water grows by 3.8 % (a discussion of heat stores at hearth.com, read off a table of densities; seen).
#[test]
fn expansion_in_a_heat_store() {
    let water = |celsius: f64| Water::at_celsius(celsius).expect("liquid");
    near(growth(&water(10.0), &water((200.0 - 32.0) / 1.8)), 0.038, 0.01, "growth");
}

/// A pipe of 106 mm under 50 mm of 0.033 W/(m K), film 10 W/(m² K), 135 K hotter than the air, loses 40.2 W/m (an exercise of
/// a Finnish course, seen).
#[test]
fn an_insulated_pipe_loses_what_the_exercise_says() {
    let cover = Cover { outside_m: 0.106, thickness_m: 0.05, conductivity_w_m_k: 0.033, film_w_m2_k: 10.0 };
    near(cover.loss_w_m(135.0, 0.0), 40.2, 2e-3, "W/m");
}

/// Steel pipe of 2 in (60.3 mm outside, bore 52.5 mm, from memory) in 1½ in of 0.30 Btu in/(h ft² °F) with water of 42 °F comes
/// to freezing in 1.4 h in air of −18 °F and in 4.6 h in air of 20 °F: by the equation of the ASHRAE handbook, on an engineers'
/// page (warrenforensics.com, seen). The equation leaves wall and air film out, and so are they here.
#[test]
fn hours_until_an_insulated_pipe_freezes() {
    const INCH_M: f64 = 0.0254;
    /// 1 Btu in/(h ft² °F), W/(m K).
    const BTU_INCH: f64 = 0.144_228;
    let celsius = |fahrenheit: f64| (fahrenheit - 32.0) / 1.8;
    let tube = Tube { outside_m: 2.375 * INCH_M, bore_m: 2.067 * INCH_M, wall_kg_m3: 0.0, wall_j_kg_k: 0.0 };
    let resistance = pipe_loss::layer_m_k_w(tube.outside_m, tube.outside_m + 2.0 * 1.5 * INCH_M, 0.30 * BTU_INCH);
    for (air_f, printed_h) in [(-18.0, 1.4), (20.0, 4.6)] {
        let frost = Frost { water_c: celsius(42.0), air_c: celsius(air_f) };
        let hours = tube.to_freezing_s(resistance, &frost).expect("frost") / 3600.0;
        assert!((hours - printed_h).abs() < 0.05, "air of {air_f} °F: {hours} h, printed {printed_h}");
    }
}

/// Calculated thickness against frost for 15, 22, 28, 35 and 42 mm copper, two columns of conductivity, after the table
/// of BS 6700 and the water byelaws on a trade page (seen; its column headings were lost).
///
/// The conditions that reproduce it (λ 0.025 and 0.035, 12 h, air −6 °C, water from 2 °C, half ice, no outer film) are
/// inferred by fitting, and near-ties exist: this guards the formula and states no fact about the table. Every printed
/// value is the computed one rounded up to whole millimetres, but for one, 62 for 62.63, which is within 3 %.
#[test]
fn frost_thickness_series() {
    const TWELVE_HOURS_S: f64 = 12.0 * 3600.0;
    let tubes = [(15.0, 13.6), (22.0, 20.2), (28.0, 26.2), (35.0, 32.6), (42.0, 39.6)];
    let frost = Frost { water_c: 2.0, air_c: -6.0 };
    for (conductivity, printed) in [(0.025, [30.0, 12.0, 8.0, 6.0, 5.0]), (0.035, [62.0, 20.0, 12.0, 9.0, 7.0])] {
        for ((outside_mm, bore_mm), printed_mm) in tubes.into_iter().zip(printed) {
            let (outside_m, bore_m) = (outside_mm / 1000.0, bore_mm / 1000.0);
            let tube = Tube { outside_m, bore_m, wall_kg_m3: 8900.0, wall_j_kg_k: 385.0 };
            let thickness = tube.thickness_m(conductivity, f64::INFINITY, &frost, TWELVE_HOURS_S);
            let mm = 1000.0 * thickness.expect("it can be done");
            let rounded_up = mm.ceil() == printed_mm;
            let is_the_odd_one = printed_mm == 62.0 && (mm / printed_mm - 1.0).abs() < 0.03;
            assert!(rounded_up || is_the_odd_one, "{outside_mm} mm at {conductivity}: {mm}, printed {printed_mm}");
        }
    }
}

/// A year has 8760 hours.
#[test]
fn a_steady_loss_adds_up_over_a_year() {
    near(pipe_loss::year_kwh(100.0), 876.0, 1e-12, "100 W");
}

/// A resistance of a cylindrical layer, ln(r₂/r₁) / (2 π λ): by hand for 22 mm tube under 25 mm of 0.035 W/(m K).
#[test]
fn a_layer_that_has_no_thickness_resists_nothing() {
    near(pipe_loss::layer_m_k_w(0.022, 0.072, 0.035), 5.3915, 1e-4, "25 mm");
    assert_eq!(pipe_loss::layer_m_k_w(0.022, 0.022, 0.035), 0.0);
    assert_eq!(pipe_loss::layer_m_k_w(0.022, 0.010, 0.035), 0.0);
}

/// No power, no end.
#[test]
fn a_store_that_nothing_heats_never_gets_there() {
    let store = Store { capacity_j_k: 5e5, loss_w_k: 0.0, room_c: 20.0 };
    assert_eq!(reheat::by_power_s(&store, 0.0, 10.0, 60.0), None);
    assert_eq!(reheat::by_power_s(&store, 3000.0, 60.0, 10.0), Some(0.0));
}
