//! Sums of water: its properties, friction, heads, and how hot water stands in a vent.

use std::f64::consts::FRAC_PI_4;

use super::{Given, Input, Quantity, Reckoned, Sum, SumError};
use crate::rules::{Bound, Limit, rule};
use crate::units::STANDARD_GRAVITY_M_S2;
use crate::water::friction::Regime;
use crate::water::{Water, friction};

const CELSIUS: (f64, f64) = (0.0, 100.0);
/// The roughest pipe of the chart of friction factors, as a share of its bore: Moody, Trans. ASME 66 (1944), from memory.
const ROUGHEST: f64 = 0.05;

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "water",
        title: "What water is like at a temperature",
        inputs: &[Input::needed("temperature", "of the water", Quantity::Celsius, CELSIUS)],
        reckon: water,
        source: "IAPWS SR6-08(2011), liquid water at 0.1 MPa",
        seen: true,
    },
    Sum {
        name: "head",
        title: "The pressure of a head of water",
        inputs: &[
            Input::needed("height", "water level above the place", Quantity::Metre, (0.0, 1000.0)),
            Input::needed("temperature", "of the water", Quantity::Celsius, CELSIUS).usually(10.0),
        ],
        reckon: head,
        source: "hydrostatics: p = ρ g h",
        seen: true,
    },
    Sum {
        name: "pipe-loss",
        title: "What a pipe takes of the pressure",
        inputs: &[
            Input::needed("flow", "through the pipe", Quantity::LitrePerSecond, (0.000_1, 1000.0)),
            Input::needed("bore", "inside diameter", Quantity::Millimetre, (1.0, 500.0)),
            Input::needed("length", "of the pipe", Quantity::Metre, (0.0, 1000.0)).usually(1.0),
            Input::needed(
                "losses",
                "sum of the loss coefficients of its fittings",
                Quantity::Plain(""),
                (0.0, 10_000.0),
            )
            .usually(0.0),
            Input::needed("roughness", "of its inside", Quantity::Millimetre, (0.0, 1.0)).usually(0.001_5),
            Input::needed("temperature", "of the water", Quantity::Celsius, CELSIUS).usually(10.0),
        ],
        reckon: pipe_loss,
        source: "Darcy-Weisbach with Colebrook, J. Inst. Civ. Eng. 11 (1939), laminar below Re 2000 (seen); from Re 2000 \
                 to 4000 a cubic blend of the two, no source",
        seen: false,
    },
    Sum {
        name: "vent-level",
        title: "How far hot water stands in a vent above the cistern's water, at rest",
        inputs: &[
            Input::needed(
                "height",
                "cistern's water line above the cylinder's cold inlet",
                Quantity::Metre,
                (0.0, 50.0),
            ),
            Input::needed("hot", "temperature of the stored hot water", Quantity::Celsius, CELSIUS).usually(60.0),
            Input::needed("cold", "temperature of the cold feed", Quantity::Celsius, CELSIUS).usually(10.0),
        ],
        reckon: vent_level,
        source: "balance of the two columns: ρ_cold h = ρ_hot (h + rise)",
        seen: true,
    },
];

fn at(given: &Given, name: &str) -> Result<Water, SumError> {
    Water::at_celsius(given.get(name)).map_err(|error| SumError::Impossible(error.to_string()))
}

fn water(given: &Given) -> Result<Reckoned, SumError> {
    let water = at(given, "temperature")?;
    let viscosity_mm2_s = water.kinematic_viscosity_m2_s() * 1e6;
    Ok(Reckoned::default()
        .step(format!("at {} °C, by the correlations of the release", water.celsius))
        .gives("density", water.density_kg_m3, "kg/m³")
        .gives("kinematic viscosity", viscosity_mm2_s, "mm²/s")
        .gives("specific heat", water.heat_j_kg_k, "J/(kg K)")
        .gives("thermal conductivity", water.conductivity_w_m_k, "W/(m K)"))
}

fn head(given: &Given) -> Result<Reckoned, SumError> {
    let (height_m, density) = (given.get("height"), at(given, "temperature")?.density_kg_m3);
    let pressure_kpa = density * STANDARD_GRAVITY_M_S2 * height_m / 1000.0;
    Ok(Reckoned::default()
        .step("p = ρ g h")
        .step(format!("  = {density:.1} kg/m³ × {STANDARD_GRAVITY_M_S2} m/s² × {height_m} m"))
        .step(format!("  = {pressure_kpa:.2} kPa"))
        .gives("pressure", pressure_kpa, "kPa"))
}

fn pipe_loss(given: &Given) -> Result<Reckoned, SumError> {
    let water = at(given, "temperature")?;
    let (bore_m, roughness_m) = (given.get("bore") / 1000.0, given.get("roughness") / 1000.0);
    let (length_m, losses) = (given.get("length"), given.get("losses"));
    let flow_kg_s = given.get("flow") / 1000.0 * water.density_kg_m3;
    // Mean velocity, v = Q / A.
    let velocity_m_s = given.get("flow") / 1000.0 / (FRAC_PI_4 * bore_m * bore_m);
    let reynolds = friction::reynolds(&water, velocity_m_s, bore_m);
    let factor = friction::darcy_factor(reynolds, roughness_m / bore_m);
    let gradient_pa_m = friction::loss_pa_per_m(&water, flow_kg_s, bore_m, roughness_m);
    let dynamic_pa = water.density_kg_m3 * velocity_m_s * velocity_m_s / 2.0;
    let loss_kpa = (gradient_pa_m * length_m + losses * dynamic_pa) / 1000.0;
    let head_m = loss_kpa * 1000.0 / (water.density_kg_m3 * STANDARD_GRAVITY_M_S2);
    let warnings = beyond(velocity_m_s, roughness_m / bore_m);
    Ok((warnings.into_iter().fold(Reckoned::default(), Reckoned::step))
        .step(format!("v = Q / A = {velocity_m_s:.3} m/s"))
        .step(friction_words(reynolds, roughness_m / bore_m))
        .step(format!("Δp = (f L/D + ΣK) ρ v²/2 = ({:.2} + {losses}) × {dynamic_pa:.1} Pa", factor * length_m / bore_m))
        .step(format!("   = {loss_kpa:.3} kPa, or {head_m:.3} m of water"))
        .gives("velocity", velocity_m_s, "m/s")
        .gives("Reynolds number", reynolds, "")
        .gives("friction factor", factor, "")
        .gives("gradient", gradient_pa_m, "Pa/m")
        .gives("loss", loss_kpa, "kPa")
        .gives("loss of head", head_m, "m"))
}

/// What lies beyond what the formula was made for, and beyond what water does in a house.
fn beyond(velocity_m_s: f64, relative_roughness: f64) -> Vec<String> {
    let mut warnings = Vec::new();
    if relative_roughness > ROUGHEST {
        warnings.push(format!(
            "beware: the roughness is {relative_roughness:.3} of the bore; the chart of friction factors (Moody 1944, from \
             memory) ends at {ROUGHEST}"
        ));
    }
    if let Some(rule) = rule("pipe-too-fast")
        && let Limit::AtMost(Bound::Constant(most_m_s, _)) = rule.limit
        && velocity_m_s > most_m_s
    {
        warnings.push(format!(
            "beware: at {velocity_m_s:.1} m/s water runs faster than {most_m_s} m/s, the {}",
            rule.source
        ));
    }
    warnings
}

/// How the friction factor is come by.
fn friction_words(reynolds: f64, relative_roughness: f64) -> String {
    let (regime, factor) = (Regime::of(reynolds), friction::darcy_factor(reynolds, relative_roughness));
    let words = format!("Re = v D / ν = {reynolds:.0}, {}", regime.words());
    match regime {
        Regime::Laminar => format!("{words}, so f = 64/Re = {factor:.5}"),
        Regime::Turbulent => format!("{words}, so by Colebrook f = {factor:.5}"),
        Regime::Transitional => format!(
            "{words}: f = {factor:.5}, blended by a cubic from 64/Re = {:.5} to Colebrook {:.5}",
            64.0 / reynolds,
            friction::colebrook_white(reynolds, relative_roughness)
        ),
    }
}

fn vent_level(given: &Given) -> Result<Reckoned, SumError> {
    let (height_m, hot, cold) = (given.get("height"), at(given, "hot")?, at(given, "cold")?);
    let rise_mm = (cold.density_kg_m3 / hot.density_kg_m3 - 1.0) * height_m * 1000.0;
    Ok(Reckoned::default()
        .step("rise = (ρ_cold / ρ_hot − 1) × height")
        .step(format!("     = ({:.2} / {:.2} − 1) × {height_m} m", cold.density_kg_m3, hot.density_kg_m3))
        .step(format!("     = {rise_mm:.1} mm"))
        .gives("rise", rise_mm, "mm"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sum::sum;

    /// Reference case: water 4.0 m above the cylinder's inlet, 10 and 60 °C: 67 mm (scipy with SR6-08 densities).
    #[test]
    fn hot_water_stands_higher_in_the_vent() {
        let given = Given::of(sum("vent-level").expect("in the table"), &[("height", 4.0)]).expect("in range");
        let rise_mm = vent_level(&given).expect("holds").value("rise").expect("given");
        assert!((rise_mm - 67.16).abs() < 0.05, "{rise_mm}");
    }

    /// At Re 3000 the blend lies between 64/Re and Colebrook, and is called so.
    #[test]
    fn a_blend_is_called_a_blend() {
        let sum = sum("pipe-loss").expect("in the table");
        let given = Given::of(sum, &[("flow", 0.0416), ("bore", 13.6), ("temperature", 10.0)]).expect("in range");
        let reckoned = pipe_loss(&given).expect("holds");
        let line = reckoned.working.iter().find(|line| line.contains("Re =")).expect("told");
        assert!(line.contains("transitional") && line.contains("to Colebrook"), "{line}");
        assert!(sum.authority().contains("cubic blend of the two, no source"), "{}", sum.authority());
    }

    #[test]
    fn what_is_too_rough_or_too_fast_is_told_to_be_so() {
        let warnings = |flow_l_s: f64, roughness_mm: f64| -> Vec<String> {
            let sum = sum("pipe-loss").expect("in the table");
            let given = [("flow", flow_l_s), ("bore", 10.0), ("roughness", roughness_mm)];
            let reckoned = pipe_loss(&Given::of(sum, &given).expect("in range")).expect("holds");
            reckoned.working.into_iter().filter(|line| line.starts_with("beware")).collect()
        };
        assert_eq!(warnings(0.2, 0.5), Vec::<String>::new());
        let rough = warnings(0.2, 0.51);
        assert!(
            rough.len() == 1 && rough[0].contains("0.051 of the bore") && rough[0].contains("ends at 0.05"),
            "{rough:?}"
        );
        let fast = warnings(0.24, 0.001_5);
        assert!(fast.len() == 1 && fast[0].contains("at 3.1 m/s") && fast[0].contains("BS 6700"), "{fast:?}");
        assert_eq!(warnings(1000.0, 1.0).len(), 2);
    }

    /// Table of minor losses, worked example: K 5.5 at 2 m/s takes 1.1 m of water (1.1217).
    #[test]
    fn fittings_take_their_velocity_heads() {
        let bore_mm = 20.2;
        let flow_l_s = 2.0 * FRAC_PI_4 * bore_mm * bore_mm / 1000.0;
        let sum = sum("pipe-loss").expect("in the table");
        let given = Given::of(sum, &[("flow", flow_l_s), ("bore", bore_mm), ("length", 0.0), ("losses", 5.5)]);
        let head_m = pipe_loss(&given.expect("in range")).expect("holds").value("loss of head").expect("given");
        assert!((head_m - 1.1217).abs() < 1e-3, "{head_m}");
    }
}
