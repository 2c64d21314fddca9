//! Sums of setting out: vent rise, contents, load, air gap, what a tape can tell.

use super::{Given, Input, Quantity, Reckoned, Sum, SumError};
use crate::rules::{Bound, Limit, rule};
use crate::units::STANDARD_GRAVITY_M_S2;

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "vent-rise",
        title: "How far an open vent has to rise above the water line",
        inputs: &[Input::needed("height", "water line above the cylinder's base", Quantity::Metre, (0.0, 50.0))],
        reckon: vent_rise,
        source: "150 mm and 40 mm for each metre, trade textbooks and guides",
        seen: true,
    },
    Sum {
        name: "cistern-contents",
        title: "What a cistern with upright sides holds",
        inputs: &[
            Input::needed("length", "inside length", Quantity::Millimetre, (1.0, 10_000.0)),
            Input::needed("width", "inside width", Quantity::Millimetre, (1.0, 10_000.0)),
            Input::needed("depth", "depth of the water", Quantity::Millimetre, (1.0, 10_000.0)),
        ],
        reckon: cistern_contents,
        source: "volume of a box",
        seen: true,
    },
    Sum {
        name: "cistern-load",
        title: "What a full cistern weighs on its platform",
        inputs: &[
            Input::needed("volume", "water to the rim, not to the overflow", Quantity::Litre, (1.0, 10_000.0)),
            Input::needed("empty", "empty cistern, lid, valve and fittings", Quantity::Kilogram, (0.0, 1000.0)),
        ],
        reckon: cistern_load,
        source: "a kilogram for each litre, and standard gravity (3rd CGPM, 1901)",
        seen: true,
    },
    Sum {
        name: "air-gap",
        title: "The air gap below an inlet: the larger of 20 mm and twice its bore",
        inputs: &[Input::needed("bore", "bore of the inlet", Quantity::Millimetre, (1.0, 200.0))],
        reckon: air_gap,
        source: "Schedule 2 of the water fittings regulations, SI 1999/1148, and its guidance",
        seen: true,
    },
];

/// 150 mm + 40 mm for each metre: the same bound as the rule on vents judges by.
fn vent_rise(given: &Given) -> Result<Reckoned, SumError> {
    let Some(Limit::AtLeast(Bound::PerMetre { constant_mm, per_metre_mm, .. })) = limit_of("vent-too-low") else {
        return Err(no_rule("vent-too-low"));
    };
    let height_m = given.get("height");
    let rise_mm = constant_mm + per_metre_mm * height_m;
    Ok(Reckoned::default()
        .step(format!("rise = {constant_mm} mm + {per_metre_mm} mm/m × height"))
        .step(format!("     = {constant_mm} mm + {per_metre_mm} mm/m × {height_m} m"))
        .step(format!("     = {rise_mm:.1} mm"))
        .gives("rise", rise_mm, "mm"))
}

fn cistern_contents(given: &Given) -> Result<Reckoned, SumError> {
    let (length_mm, width_mm, depth_mm) = (given.get("length"), given.get("width"), given.get("depth"));
    let volume_l = length_mm * width_mm * depth_mm / 1e6;
    Ok(Reckoned::default()
        .step("volume = length × width × depth")
        .step(format!("       = {length_mm} mm × {width_mm} mm × {depth_mm} mm / 1 000 000 mm³/L"))
        .step(format!("       = {volume_l:.1} L"))
        .gives("volume", volume_l, "L"))
}

fn cistern_load(given: &Given) -> Result<Reckoned, SumError> {
    let (volume_l, empty_kg) = (given.get("volume"), given.get("empty"));
    let mass_kg = volume_l + empty_kg;
    let load_kn = mass_kg * STANDARD_GRAVITY_M_S2 / 1000.0;
    Ok(Reckoned::default()
        .step("mass = volume to the rim × 1 kg/L + empty mass")
        .step(format!("     = {volume_l} L × 1 kg/L + {empty_kg} kg = {mass_kg:.1} kg"))
        .step(format!("load = {mass_kg:.1} kg × {STANDARD_GRAVITY_M_S2} m/s² = {load_kn:.3} kN"))
        .gives("mass", mass_kg, "kg")
        .gives("load", load_kn, "kN"))
}

fn air_gap(given: &Given) -> Result<Reckoned, SumError> {
    let Some(Limit::AtLeast(Bound::TimesButAtLeast { factor, floor_mm, .. })) = limit_of("air-gap-too-small") else {
        return Err(no_rule("air-gap-too-small"));
    };
    let bore_mm = given.get("bore");
    let gap_mm = (factor * bore_mm).max(floor_mm);
    Ok(Reckoned::default()
        .step(format!("gap = the larger of {floor_mm} mm and {factor} × bore"))
        .step(format!("    = the larger of {floor_mm} mm and {factor} × {bore_mm} mm = {gap_mm:.1} mm"))
        .gives("gap", gap_mm, "mm"))
}

fn limit_of(id: &str) -> Option<Limit> {
    rule(id).map(|rule| rule.limit)
}

fn no_rule(id: &str) -> SumError {
    SumError::Impossible(format!("the rule {id} is not in the table as this sum knows it"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sum::sum;

    /// Trade tables of vent rise at 1 to 6 m: 190, 230, 270, 310, 350, 390 mm.
    #[test]
    fn the_rise_of_a_vent_is_that_of_the_trade_tables() {
        let sum = sum("vent-rise").expect("in the table");
        for (height_m, rise_mm) in [(1.0, 190.0), (2.0, 230.0), (3.0, 270.0), (4.0, 310.0), (5.0, 350.0), (6.0, 390.0)]
        {
            let given = Given::of(sum, &[("height", height_m)]).expect("in range");
            assert_eq!((sum.reckon)(&given).expect("holds").value("rise"), Some(rise_mm));
        }
    }

    #[test]
    fn typed_text_may_use_other_units() {
        let sum = sum("vent-rise").expect("in the table");
        let given = Given::typed(sum, &[("height".to_owned(), "3200 mm".to_owned())]).expect("read");
        assert!((given.get("height") - 3.2).abs() < 1e-12);
        let error = Given::typed(sum, &[("hight".to_owned(), "3".to_owned())]).expect_err("misspelt");
        assert!(error.to_string().contains("did you mean 'height'"));
    }

    #[test]
    fn typed_text_is_read_in_the_units_of_its_own_quantity() {
        let typed = |name: &str, input: &str, text: &str| {
            let sum = sum(name).expect("in the table");
            let all = sum.inputs.iter().filter(|other| other.usual.is_none() && other.name != input);
            let mut texts: Vec<(String, String)> =
                all.map(|other| (other.name.to_owned(), other.least.to_string())).collect();
            texts.push((input.to_owned(), text.to_owned()));
            Given::typed(sum, &texts).map(|given| given.get(input)).map_err(|error| error.to_string())
        };
        for (name, input, text, value) in [
            ("float-valve-inflow", "pressure", "3 bar", 300.0),
            ("overflow-level", "flow", "6 L/min", 0.1),
            ("reheat", "power", "2700 W", 2.7),
            ("cool-down", "hours", "2 days", 48.0),
            ("coil-reheat", "conductance", "0.3 kW/K", 300.0),
            ("board-strip", "pressure", "6 kN/m2", 6.0),
            ("cistern-load", "volume", "1 m3", 1000.0),
            // 50 gallons are 227.3045 L, and nothing that binary fractions add to that.
            ("cistern-load", "volume", "50 gal", 227.3045),
            ("board-strip", "spans", "3 spans", 3.0),
        ] {
            assert_eq!(typed(name, input, text), Ok(value), "{name} --{input} '{text}'");
        }
        for (name, input, text, words) in [
            ("overflow-level", "flow", "0.2 °C", "L/s, L/min"),
            ("float-valve-inflow", "pressure", "3 kg", "kPa, bar"),
            ("emptying-time", "coefficient", "0.6 °C", "no unit"),
            ("board-strip", "spans", "2.5", "whole number"),
            ("storage-for-a-day", "bedrooms", "2.5", "whole number"),
        ] {
            let error = typed(name, input, text).expect_err(text);
            assert!(error.contains(words), "{name} --{input} '{text}': {error}");
        }
    }
}
