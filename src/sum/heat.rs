//! Sums of heat: reheat, expansion, losses, circulation that nobody wants, warming and frost.

use super::given::without_rounding;
use super::{Given, Input, Quantity, Reckoned, Sum, SumError};
use crate::catalogue::TubeMaterial;
use crate::heat::bare_pipe::bare_pipe;
use crate::heat::circulation::{Stub, wall_along_w_m_k};
use crate::heat::day::{DRAWN_BETWEEN_H, Day, hours_above, peak_c};
use crate::heat::frost::{Frost, HALF, Tube};
use crate::heat::lumped::{self, WATER_J_KG_K};
use crate::heat::pipe_loss::{Cover, year_kwh};
use crate::heat::reheat::{self, Coil, Store};
use crate::heat::standing::{self, EnergyClass};
use crate::water::{Water, circulation, levels};

const HOT: (f64, f64) = (0.0, 100.0);
const AIR: (f64, f64) = (-40.0, 60.0);
const LITRES: (f64, f64) = (1.0, 5000.0);
const LOSS: (f64, f64) = (0.0, 100.0);

const VOLUME: Input = Input::needed("volume", "stored water", Quantity::Litre, LITRES);
const FROM: Input = Input::needed("from", "temperature of the cold water", Quantity::Celsius, HOT).usually(10.0);
const TO: Input = Input::needed("to", "temperature of the hot water", Quantity::Celsius, HOT).usually(60.0);
const ROOM: Input = Input::needed("room", "temperature around it", Quantity::Celsius, AIR).usually(20.0);
const LOSS_PER_K: Input =
    Input::needed("loss", "what the store loses for each kelvin", Quantity::WattPerKelvin, LOSS).usually(0.0);
const OUTSIDE: Input = Input::needed("outside", "outside diameter of the tube", Quantity::Millimetre, (5.0, 200.0));
const BORE: Input = Input::needed("bore", "inside diameter of the tube", Quantity::Millimetre, (3.0, 195.0));
const THICKNESS: Input =
    Input::needed("thickness", "of the insulation", Quantity::Millimetre, (0.0, 500.0)).usually(0.0);
const CONDUCTIVITY: Input =
    Input::needed("conductivity", "of the insulation", Quantity::Plain("W/mK"), (0.01, 1.0)).usually(0.035);
const FILM: Input =
    Input::needed("film", "between surface and air", Quantity::Plain("W/m²K"), (1.0, 50.0)).usually(10.0);
const FROST_AIR: Input =
    Input::needed("air", "temperature of the frost", Quantity::Celsius, (-40.0, -0.1)).usually(-6.0);
const FROST_WATER: Input =
    Input::needed("water", "temperature of the water at first", Quantity::Celsius, (0.0, 30.0)).usually(7.0);

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "reheat",
        title: "How long a heater of constant power takes to heat a store",
        inputs: &[
            VOLUME,
            Input::needed("power", "of the heater", Quantity::Kilowatt, (0.1, 100.0)).usually(3.0),
            FROM,
            TO,
            LOSS_PER_K,
            ROOM,
        ],
        reckon: by_power,
        source: "heat balance; beside it M = V T / (14.3 P) of BS 6700:2006 Annex C",
        seen: true,
    },
    Sum {
        name: "coil-reheat",
        title: "How long a coil takes to heat a store",
        inputs: &[
            VOLUME,
            Input::needed("conductance", "of the coil", Quantity::WattPerKelvin, (1.0, 10_000.0)),
            Input::needed("primary", "temperature of the primary as it comes", Quantity::Celsius, HOT).usually(75.0),
            Input::needed(
                "flow",
                "primary water; 0 for so much that it does not cool",
                Quantity::LitrePerSecond,
                (0.0, 10.0),
            )
            .usually(0.0),
            FROM,
            TO,
            LOSS_PER_K,
            ROOM,
        ],
        reckon: by_coil,
        source: "heat balance with the effectiveness 1 − exp(−U A / ṁ c) of a coil in water of one temperature",
        seen: true,
    },
    Sum {
        name: "expansion",
        title: "How much water goes back up the cold feed while a store is heated",
        inputs: &[VOLUME, FROM, TO],
        reckon: expansion_of,
        source: "densities by IAPWS SR6-08(2011)",
        seen: true,
    },
    Sum {
        name: "standing-loss",
        title: "What a cylinder loses while it stands",
        inputs: &[
            VOLUME,
            Input::needed("foam", "thickness of sprayed foam", Quantity::Millimetre, (0.0, 300.0)).usually(50.0),
        ],
        reckon: standing_loss,
        source: "1.15 (0.2 + 0.051 V^⅔) of BS 1566-1:2002, and the loss factor of foam, from memory",
        seen: false,
    },
    Sum {
        name: "cool-down",
        title: "How a store cools",
        inputs: &[
            VOLUME,
            Input::needed("loss", "what the store loses for each kelvin", Quantity::WattPerKelvin, (0.01, 100.0))
                .usually(1.5),
            TO,
            ROOM,
            Input::needed("hours", "after which it is asked", Quantity::Hour, (0.0, 1000.0)).usually(24.0),
        ],
        reckon: cool_down,
        source: "a body of one temperature: T = T_a + (T_0 − T_a) exp(−t U / C)",
        seen: true,
    },
    Sum {
        name: "pipe-heat",
        title: "What a pipe loses",
        inputs: &[
            OUTSIDE,
            THICKNESS,
            CONDUCTIVITY,
            FILM,
            Input::needed("water", "temperature in the pipe", Quantity::Celsius, HOT).usually(60.0),
            ROOM,
            Input::needed("length", "of the pipe", Quantity::Metre, (0.0, 1000.0)).usually(1.0),
        ],
        reckon: pipe_heat,
        source: "ISO 12241, linear form; film from memory",
        seen: false,
    },
    Sum {
        name: "bare-pipe",
        title: "What a bare level pipe loses in still air",
        inputs: &[
            OUTSIDE,
            Input::needed("water", "temperature in the pipe", Quantity::Celsius, HOT).usually(60.0),
            ROOM,
            Input::needed(
                "emissivity",
                "of its surface: bright copper 0.2, tarnished 0.9",
                Quantity::Plain(""),
                (0.0, 1.0),
            )
            .usually(0.2),
        ],
        reckon: bare,
        source: "Churchill and Chu (1975), from memory, with radiation; dry air by CoolProp",
        seen: false,
    },
    Sum {
        name: "one-pipe",
        title: "What an upright pipe on a hot store may carry away",
        inputs: &[
            OUTSIDE,
            BORE,
            THICKNESS,
            CONDUCTIVITY,
            FILM,
            Input::needed("length", "of the pipe", Quantity::Metre, (0.01, 100.0)),
            Input::needed("hotter", "store above room, in kelvins", Quantity::Plain("K"), (0.0, 100.0)).usually(40.0),
        ],
        reckon: one_pipe,
        source: "bounds: a copper fin in stagnant water, and a pipe that is hot throughout",
        seen: true,
    },
    Sum {
        name: "gravity-circulation",
        title: "The pressure that drives water round by its warmth",
        inputs: &[
            Input::needed("flow", "temperature of the rising water", Quantity::Celsius, HOT).usually(80.0),
            Input::needed("return", "temperature of the sinking water", Quantity::Celsius, HOT).usually(60.0),
            Input::needed("height", "between what heats and what is heated", Quantity::Metre, (0.0, 100.0))
                .usually(1.0),
        ],
        reckon: gravity,
        source: "g h (ρ_return − ρ_flow), densities by IAPWS SR6-08(2011)",
        seen: true,
    },
    Sum {
        name: "cistern-in-summer",
        title: "How warm a cistern gets on a hot day among many like it",
        inputs: &[
            VOLUME,
            Input::needed("loft-conductance", "from the water to the loft", Quantity::WattPerKelvin, (0.0, 100.0)),
            Input::needed(
                "room-conductance",
                "from the water to the room below",
                Quantity::WattPerKelvin,
                (0.0, 100.0),
            )
            .usually(0.0),
            Input::needed("peak", "loft in the afternoon", Quantity::Celsius, AIR).usually(35.0),
            Input::needed("low", "loft in the night", Quantity::Celsius, AIR).usually(18.0),
            Input::needed("room", "room below", Quantity::Celsius, AIR).usually(25.0),
            Input::needed("main", "water that comes in", Quantity::Celsius, HOT).usually(18.0),
            Input::needed("drawn", "water drawn in a day, evenly from 7 to 22 h", Quantity::Litre, (0.0, 10_000.0))
                .usually(0.0),
        ],
        reckon: cistern_in_summer,
        source: "a body of one temperature that everything around acts on; the temperatures are assumptions",
        seen: true,
    },
    Sum {
        name: "pipe-frost",
        title: "How long still water in a copper pipe lasts in frost",
        inputs: &[OUTSIDE, BORE, THICKNESS, CONDUCTIVITY, FILM, FROST_WATER, FROST_AIR],
        reckon: pipe_frost,
        source: "ASHRAE Handbook Fundamentals 2019, mechanical insulation, eq. 1 (restated), with wall, air film and half ice",
        seen: true,
    },
    Sum {
        name: "frost-thickness",
        title: "The insulation with which half the water in a copper pipe is ice only after a wanted time",
        inputs: &[
            OUTSIDE,
            BORE,
            CONDUCTIVITY,
            FILM,
            FROST_WATER,
            FROST_AIR,
            Input::needed("hours", "wanted", Quantity::Hour, (0.1, 1000.0)).usually(8.0),
        ],
        reckon: frost_thickness,
        source: "the sum of pipe-frost, solved for the thickness",
        seen: true,
    },
];

fn store(given: &Given) -> Store {
    Store { capacity_j_k: given.get("volume") * WATER_J_KG_K, loss_w_k: given.get("loss"), room_c: given.get("room") }
}

/// From and to which temperature a store is warmed, °C; refused with a reason where it is cooled.
fn warmed(given: &Given, why_not_cooled: &str) -> Result<(f64, f64), SumError> {
    let (from_c, to_c) = (given.get("from"), given.get("to"));
    if to_c < from_c {
        return Err(SumError::impossible(format!("{why_not_cooled}: give a 'to' above 'from'")));
    }
    Ok((from_c, to_c))
}

fn by_power(given: &Given) -> Result<Reckoned, SumError> {
    let (litres, kw) = (given.get("volume"), given.get("power"));
    let (from_c, to_c) = warmed(given, "a heater cools no store")?;
    let seconds = reheat::by_power_s(&store(given), kw * 1000.0, from_c, to_c)
        .ok_or_else(|| SumError::impossible("the store loses as much as the heater gives before it is hot"))?;
    let rise_k = without_rounding(to_c - from_c);
    Ok(Reckoned::default()
        .step(format!("E = 4.1868/3600 × {litres} L × {rise_k} K = {:.3} kWh", reheat::energy_kwh(litres, rise_k)))
        .step(format!(
            "BS 6700 Annex C: {litres} × {rise_k} / (14.3 × {kw}) = {:.1} min",
            reheat::bs_6700_minutes(litres, rise_k, kw)
        ))
        .gives("energy", reheat::energy_kwh(litres, rise_k), "kWh")
        .gives("time", seconds / 60.0, "min")
        .gives("time by annex C", reheat::bs_6700_minutes(litres, rise_k, kw), "min"))
}

fn by_coil(given: &Given) -> Result<Reckoned, SumError> {
    let flow_l_s = given.get("flow");
    let coil = Coil {
        conductance_w_k: given.get("conductance"),
        primary_c: given.get("primary"),
        flow_w_k: (flow_l_s > 0.0).then_some(flow_l_s * WATER_J_KG_K),
    };
    let (from_c, to_c) = warmed(given, "a coil that heats cools no store")?;
    let seconds = reheat::by_coil_s(&store(given), &coil, from_c, to_c)
        .ok_or_else(|| SumError::impossible("the primary is not hot enough to bring the store there"))?;
    let mean_kw = reheat::mean_power_w(store(given).capacity_j_k, to_c - from_c, seconds) / 1000.0;
    Ok(Reckoned::default()
        .step(format!("the coil gives {:.1} W for each kelvin between primary and store", coil.effective_w_k()))
        .step("m c dT/dt = K (T_primary − T) − U (T − T_room)")
        .gives("time", seconds / 60.0, "min")
        .gives("mean power", if seconds > 0.0 { mean_kw } else { 0.0 }, "kW"))
}

fn expansion_of(given: &Given) -> Result<Reckoned, SumError> {
    let (from_c, to_c) = warmed(given, "a store that cools does not expand")?;
    let water = |celsius: f64| Water::at_celsius(celsius).map_err(SumError::impossible);
    let growth = levels::growth(&water(from_c)?, &water(to_c)?);
    let litres = given.get("volume") * growth;
    let mut reckoned = Reckoned::default();
    if growth < 0.0 {
        reckoned = reckoned.step("water is densest at 4 °C: warmed from below that it shrinks at first");
    }
    Ok(reckoned
        .step(format!("ρ({from_c} °C) / ρ({to_c} °C) − 1 = {:.3} %", growth * 100.0))
        .gives("growth", growth * 100.0, "%")
        .gives("water up the feed", litres, "L"))
}

fn standing_loss(given: &Given) -> Result<Reckoned, SumError> {
    let (litres, thickness_mm) = (given.get("volume"), given.get("foam"));
    let greatest = standing::greatest_kwh_day(litres);
    let by_foam = standing::by_thickness_kwh_day(litres, standing::Cover::Foam, thickness_mm);
    let class = EnergyClass::of(standing::watts(by_foam), litres).words();
    Ok(Reckoned::default()
        .step(format!("greatest: 1.15 (0.2 + 0.051 × {litres}^⅔) = {greatest:.3} kWh in 24 h at 45 K"))
        .step(format!("foam: {litres} × (0.005 + 0.55 / ({thickness_mm} + 4)) × (120 / {litres})^⅓ = {by_foam:.3} kWh"))
        .step(format!("energy class with that foam: {class}"))
        .gives("greatest allowed", standing::watts(greatest), "W")
        .gives("with the foam", standing::watts(by_foam), "W"))
}

fn cool_down(given: &Given) -> Result<Reckoned, SumError> {
    let (store, hours) = (store(given), given.get("hours"));
    let constant_h = lumped::time_constant_s(store.capacity_j_k, store.loss_w_k) / 3600.0;
    let after_c = lumped::after_c(given.get("to"), store.room_c, store.capacity_j_k, store.loss_w_k, hours * 3600.0);
    Ok(Reckoned::default()
        .step(format!("time constant m c / U = {constant_h:.1} h"))
        .gives("time constant", constant_h, "h")
        .gives("temperature", after_c, "°C"))
}

fn cover(given: &Given) -> Cover {
    Cover {
        outside_m: given.get("outside") / 1000.0,
        thickness_m: given.get("thickness") / 1000.0,
        conductivity_w_m_k: given.get("conductivity"),
        film_w_m2_k: given.get("film"),
    }
}

fn pipe_heat(given: &Given) -> Result<Reckoned, SumError> {
    let per_m_w = cover(given).loss_w_m(given.get("water"), given.get("room"));
    let whole_w = per_m_w * given.get("length");
    Ok(Reckoned::default()
        .step(format!("R' = ln(D_e/D_i)/(2 π λ) + 1/(h π D_e) = {:.4} m K/W", cover(given).resistance_m_k_w()))
        .gives("for each metre", per_m_w, "W/m")
        .gives("whole", whole_w, "W")
        .gives("each metre in a year", year_kwh(per_m_w), "kWh")
        .gives("in a year", year_kwh(whole_w), "kWh"))
}

fn bare(given: &Given) -> Result<Reckoned, SumError> {
    let (outside_m, water, room) = (given.get("outside") / 1000.0, given.get("water"), given.get("room"));
    let pipe = bare_pipe(outside_m, water, room, given.get("emissivity"))
        .ok_or_else(|| SumError::impossible("air is known between 0 and 100 °C, halfway from pipe to room"))?;
    Ok(Reckoned::default()
        .step(format!("Ra = g ΔT D³ Pr / (T ν²) = {:.0}", pipe.rayleigh))
        .step(format!("Nu = (0.60 + 0.387 Ra^(1/6) / (1 + (0.559/Pr)^(9/16))^(8/27))² = {:.3}", pipe.nusselt))
        .gives("by the air", pipe.convection_w_m2_k, "W/m²K")
        .gives("by radiation", pipe.radiation_w_m2_k, "W/m²K")
        .gives("for each metre", pipe.loss_w_m, "W/m")
        .gives("each metre in a year", year_kwh(pipe.loss_w_m), "kWh"))
}

fn one_pipe(given: &Given) -> Result<Reckoned, SumError> {
    /// Of pure copper, so that the least is no less than it can be.
    const COPPER_W_M_K: f64 = 393.5;
    let (outside_m, bore_m) = tube_m(given)?;
    let stub = Stub {
        length_m: given.get("length"),
        loss_w_m_k: 1.0 / cover(given).resistance_m_k_w(),
        along_w_m_k: wall_along_w_m_k(outside_m, bore_m, COPPER_W_M_K),
    };
    let hotter_k = given.get("hotter");
    Ok(Reckoned::default()
        .step("least: √(h P k A) θ tanh(m L), m = √(h P / k A)")
        .step("most: h P L θ")
        .step("the truth lies between")
        .gives("stagnant", stub.stagnant_w(hotter_k), "W")
        .gives("hot throughout", stub.circulating_w(hotter_k), "W"))
}

fn gravity(given: &Given) -> Result<Reckoned, SumError> {
    let water = |name| Water::at_celsius(given.get(name)).map_err(SumError::impossible);
    let per_m_pa = circulation::pressure_pa(1.0, &water("flow")?, &water("return")?);
    if per_m_pa < 0.0 {
        return Err(SumError::impossible(
            "the rising water is the heavier of the two and drives nothing round: give a 'flow' hotter than 'return'",
        ));
    }
    Ok(Reckoned::default()
        .step(format!("g (ρ_return − ρ_flow) = {per_m_pa:.2} Pa for each metre"))
        .gives("for each metre", per_m_pa, "Pa/m")
        .gives("pressure", per_m_pa * given.get("height"), "Pa"))
}

fn cistern_in_summer(given: &Given) -> Result<Reckoned, SumError> {
    let (low, peak) = (given.get("low"), given.get("peak"));
    let day = Day {
        capacity_j_k: given.get("volume") * WATER_J_KG_K,
        to_loft_w_k: given.get("loft-conductance"),
        loft_c: (low.min(peak), low.max(peak)),
        to_room_w_k: given.get("room-conductance"),
        room_c: given.get("room"),
        drawn_j_k: given.get("drawn") * WATER_J_KG_K,
        make_up_c: given.get("main"),
    };
    let curve = day.settled();
    Ok(Reckoned::default()
        .step("C dT/dt = U_loft (T_loft − T) + U_room (T_room − T) + drawn c (T_main − T), until each day is like the one before")
        .step(format!("water is drawn evenly from {:.0} to {:.0} h, and as much comes in", DRAWN_BETWEEN_H.0, DRAWN_BETWEEN_H.1))
        .gives("warmest", peak_c(&curve), "°C")
        .gives("above 20 °C", hours_above(&curve, 20.0), "h"))
}

fn tube_m(given: &Given) -> Result<(f64, f64), SumError> {
    let (outside_mm, bore_mm) = (given.get("outside"), given.get("bore"));
    if bore_mm >= outside_mm {
        return Err(SumError::impossible("the bore must be smaller than the outside diameter"));
    }
    Ok((outside_mm / 1000.0, bore_mm / 1000.0))
}

fn tube(given: &Given) -> Result<(Tube, Frost), SumError> {
    let (outside_m, bore_m) = tube_m(given)?;
    let copper = TubeMaterial::Copper;
    let tube = Tube { outside_m, bore_m, wall_kg_m3: copper.density_kg_m3(), wall_j_kg_k: copper.heat_j_kg_k() };
    Ok((tube, Frost { water_c: given.get("water"), air_c: given.get("air") }))
}

fn pipe_frost(given: &Given) -> Result<Reckoned, SumError> {
    let (tube, frost) = tube(given)?;
    let resistance = cover(given).resistance_m_k_w();
    let hours = |seconds: Option<f64>| {
        seconds.map(|seconds| seconds / 3600.0).ok_or_else(|| SumError::impossible("air above 0 °C does not freeze"))
    };
    Ok(Reckoned::default()
        .step(format!("R' = {resistance:.4} m K/W"))
        .step("to 0 °C: Σ(m' c) R' ln((θ_w − θ_a) / (0 − θ_a)); then x ρ A L R' / (0 − θ_a)")
        .gives("to 0 °C", hours(tube.to_freezing_s(resistance, &frost))?, "h")
        .gives("to half ice", hours(tube.to_ice_s(resistance, &frost, HALF))?, "h"))
}

fn frost_thickness(given: &Given) -> Result<Reckoned, SumError> {
    let (tube, frost) = tube(given)?;
    let wanted_s = given.get("hours") * 3600.0;
    let metres = tube
        .thickness_m(given.get("conductivity"), given.get("film"), &frost, wanted_s)
        .ok_or_else(|| SumError::impossible("no thickness up to half a metre lasts so long"))?;
    Ok(Reckoned::default()
        .step("the thickness at which the resistance of a metre is that which the wanted time asks for")
        .gives("thickness", metres * 1000.0, "mm"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sum::sum;

    #[test]
    fn what_would_be_negative_is_refused_in_words() {
        let cooled = [("volume", 117.0), ("from", 60.0), ("to", 10.0)];
        let upside_down = [("flow", 60.0), ("return", 80.0)];
        for (name, given, words) in [
            ("expansion", &cooled[..], "does not expand"),
            ("reheat", &cooled[..], "cools no store"),
            (
                "coil-reheat",
                &[("volume", 117.0), ("conductance", 300.0), ("from", 60.0), ("to", 10.0)][..],
                "cools no store",
            ),
            ("gravity-circulation", &upside_down[..], "drives nothing round"),
        ] {
            let sum = sum(name).expect("in the table");
            let refused = Given::of(sum, given).and_then(|given| (sum.reckon)(&given)).expect_err(name);
            assert!(refused.to_string().contains(words), "{refused}");
        }
    }
}
