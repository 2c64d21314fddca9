//! Sums of levels and supplies: what a float valve lets in, what an overflow carries, filling and emptying, a day's storage.

use super::{Given, Input, Quantity, Reckoned, Sum, SumError};
use crate::water::circuit::cold_water;
use crate::water::levels::{FLOAT_VALVE_COEFFICIENT, Orifice, Overflow, Prism, orifice_m3_s};

const SEAT: Input = Input::needed("seat", "bore of the float valve's seat", Quantity::Millimetre, (0.5, 50.0));
const PRESSURE: Input = Input::needed("pressure", "of the main", Quantity::Kilopascal, (1.0, 2000.0));
const BORE: Input = Input::needed("bore", "inside diameter of the pipe", Quantity::Millimetre, (5.0, 200.0));

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "float-valve-inflow",
        title: "What an open float valve lets in",
        inputs: &[SEAT, PRESSURE],
        reckon: float_valve_inflow,
        source: "orifice, coefficient 0.66 from rows of BS 6700:2006 Table D.4",
        seen: true,
    },
    Sum {
        name: "filling-time",
        title: "How long a cistern takes to fill with its float valve wide open",
        inputs: &[Input::needed("volume", "to the water line", Quantity::Litre, (1.0, 10_000.0)), SEAT, PRESSURE],
        reckon: filling_time,
        source: "volume over the inflow of the open seat; the last part takes longer as the valve closes",
        seen: true,
    },
    Sum {
        name: "overflow-level",
        title: "How high water stands over an overflow's invert",
        inputs: &[Input::needed("flow", "that it has to carry", Quantity::LitrePerSecond, (0.000_1, 10.0)), BORE],
        reckon: overflow_level,
        source: "critical depth in the mouth or the mouth as an orifice, whichever lets less through (open channel hydraulics)",
        seen: true,
    },
    Sum {
        name: "emptying-time",
        title: "How long a vessel with upright sides takes to empty through an opening",
        inputs: &[
            Input::needed("area", "plan area of the vessel", Quantity::Plain("m²"), (0.000_1, 100.0)),
            Input::needed("bore", "of the opening", Quantity::Millimetre, (1.0, 200.0)),
            Input::needed("from", "water over the opening at the beginning", Quantity::Metre, (0.0, 20.0)),
            Input::needed("to", "water over the opening at the end", Quantity::Metre, (0.0, 20.0)).usually(0.0),
            Input::needed("coefficient", "discharge coefficient of the opening", Quantity::Plain(""), (0.1, 1.0))
                .usually(0.6),
        ],
        reckon: emptying_time,
        source: "Torricelli: t = 2 A (√h₁ − √h₂) / (C a √(2 g)), textbooks of hydraulics",
        seen: true,
    },
    Sum {
        name: "storage-for-a-day",
        title: "Cold water stored against a day without the main",
        inputs: &[
            Input::needed("bedrooms", "in the dwelling", Quantity::Count(""), (1.0, 50.0)),
            Input::needed(
                "each",
                "for each bedroom: 80 normally, 130 if it is refilled at night only",
                Quantity::Litre,
                (1.0, 1000.0),
            )
            .usually(80.0),
        ],
        reckon: storage_for_a_day,
        source: "80 L, or 130 L where refilled at night only, for each bedroom in exam notes (seen); house-building guidance asks for 100 L (seen); BS 6700:1997 counts persons (from memory)",
        seen: false,
    },
];

fn inflow_l_s(given: &Given) -> f64 {
    let (seat_m, pressure_pa) = (given.get("seat") / 1000.0, given.get("pressure") * 1000.0);
    orifice_m3_s(FLOAT_VALVE_COEFFICIENT, seat_m, pressure_pa, cold_water().density_kg_m3) * 1000.0
}

fn float_valve_inflow(given: &Given) -> Result<Reckoned, SumError> {
    let flow_l_s = inflow_l_s(given);
    Ok(Reckoned::default()
        .step(format!(
            "Q = C a √(2 Δp / ρ), with C = {FLOAT_VALVE_COEFFICIENT} and a = π {}² / 4 mm²",
            given.get("seat")
        ))
        .step(format!("  = {flow_l_s:.4} L/s at {} kPa", given.get("pressure")))
        .gives("flow", flow_l_s, "L/s"))
}

fn filling_time(given: &Given) -> Result<Reckoned, SumError> {
    let (volume_l, flow_l_s) = (given.get("volume"), inflow_l_s(given));
    if flow_l_s <= 0.0 {
        return Err(SumError::Impossible("without pressure nothing comes in".to_owned()));
    }
    let minutes = volume_l / flow_l_s / 60.0;
    Ok(Reckoned::default()
        .step(format!("inflow = {flow_l_s:.4} L/s"))
        .step(format!("time = {volume_l} L / {flow_l_s:.4} L/s / 60 s/min = {minutes:.1} min"))
        .gives("time", minutes, "min"))
}

fn overflow_level(given: &Given) -> Result<Reckoned, SumError> {
    let (flow_l_s, bore_mm) = (given.get("flow"), given.get("bore"));
    let overflow = Overflow::of_bore(bore_mm / 1000.0);
    let level_m = overflow
        .head_for_m(flow_l_s / 1000.0)
        .ok_or_else(|| SumError::Impossible("no depth of water drives so much through so small a pipe".to_owned()))?;
    let level_mm = level_m * 1000.0;
    Ok(Reckoned::default()
        .step(format!("the mouth lets through {flow_l_s} L/s when, with the water {level_mm:.1} mm over the invert,"))
        .step(format!("the critical depth gives {:.4} L/s", overflow.by_critical_depth_m3_s(level_m) * 1000.0))
        .step(format!("and the mouth as an orifice {:.4} L/s", overflow.by_orifice_m3_s(level_m) * 1000.0))
        .gives("level", level_mm, "mm"))
}

fn emptying_time(given: &Given) -> Result<Reckoned, SumError> {
    let (area_m2, bore_mm, coefficient) = (given.get("area"), given.get("bore"), given.get("coefficient"));
    if std::f64::consts::FRAC_PI_4 * (bore_mm / 1000.0).powi(2) >= area_m2 {
        return Err(SumError::impossible("the opening is as large as the vessel: Torricelli holds for a small one"));
    }
    let opening = Orifice { coefficient, bore_m: bore_mm / 1000.0 };
    let prism = Prism { plan_area_m2: area_m2, opening, inflow_m3_s: 0.0 };
    let (from_m, to_m) = (given.get("from"), given.get("to"));
    let seconds = prism
        .seconds_to_fall(from_m, to_m)
        .ok_or_else(|| SumError::Impossible("the water has to fall: give a 'from' above 'to'".to_owned()))?;
    Ok(Reckoned::default()
        .step("t = 2 A (√h₁ − √h₂) / (C a √(2 g))")
        .step(format!("  = 2 × {area_m2} m² × (√{from_m} − √{to_m}) / ({coefficient} × π {bore_mm}² / 4 mm² × √(2 g))"))
        .step(format!("  = {seconds:.1} s, or {:.1} min", seconds / 60.0))
        .gives("time", seconds / 60.0, "min"))
}

fn storage_for_a_day(given: &Given) -> Result<Reckoned, SumError> {
    let (bedrooms, each_l) = (given.get("bedrooms"), given.get("each"));
    let volume_l = bedrooms * each_l;
    Ok(Reckoned::default()
        .step(format!("storage = {bedrooms} × {each_l} L = {volume_l:.0} L"))
        .gives("volume", volume_l, "L"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sum::sum;

    fn value(name: &str, given: &[(&str, f64)], output: &str) -> f64 {
        let sum = sum(name).expect("in the table");
        let given = Given::of(sum, given).expect("in range");
        (sum.reckon)(&given).expect("holds").value(output).expect("given")
    }

    /// A failed-open seat of 3.18 mm at 100, 300 and 500 kPa; levels over a 20.2 mm pipe (scipy 1.17.1).
    #[test]
    fn inflow_and_level_are_those_of_the_reference() {
        for (kpa, flow_l_s) in [(100.0, 0.07414), (300.0, 0.12842), (500.0, 0.16579)] {
            let found = value("float-valve-inflow", &[("seat", 3.18), ("pressure", kpa)], "flow");
            assert!((found / flow_l_s - 1.0).abs() < 1e-3, "{found}");
        }
        for (flow_l_s, level_mm) in [(0.10, 24.37), (0.128, 32.98), (0.2, 65.38)] {
            let found = value("overflow-level", &[("flow", flow_l_s), ("bore", 20.2)], "level");
            assert!((found / level_mm - 1.0).abs() < 0.01, "{found}");
        }
    }

    #[test]
    fn an_opening_is_smaller_than_its_vessel() {
        let given = [("area", 0.000_2), ("bore", 20.0), ("from", 0.5)];
        let sum = sum("emptying-time").expect("in the table");
        let refused = Given::of(sum, &given).and_then(|given| (sum.reckon)(&given)).expect_err("no vessel is left");
        assert!(refused.to_string().contains("as large as the vessel"), "{refused}");
    }

    /// Plan area 0.30 m², opening 20 mm, coefficient 0.61, from 0.5 m: 499.8978 s (scipy 1.17.1).
    #[test]
    fn a_vessel_empties_as_in_the_reference() {
        let given = [("area", 0.30), ("bore", 20.0), ("from", 0.5), ("coefficient", 0.61)];
        assert!((value("emptying-time", &given, "time") * 60.0 - 499.8978).abs() < 0.01);
    }
}
