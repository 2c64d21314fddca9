//! Cistern, cylinder, boiler and outlets of a layout that begins from answers.

use super::answers::{Answers, Heating};
use super::choices::{Choices, drawn_l};
use super::positions::{BOILER_BASE_MM, Positions};
use super::usual_house::BOILER_LENGTH_MM;
use crate::catalogue::{CylinderSize, Insulant};
use crate::geom::Point;
use crate::layout::{
    Boiler, BoilerKind, Cistern, CisternRole, CoilDuty, Connection, CutOut, Cylinder, CylinderCover, CylinderGrade,
    DipTube, FloatValve, FloatValvePattern, Id, Immersion, ImmersionPlace, Jacket, Lid, Outlet, OutletKind, Screen,
    Tapping, Taps,
};
use crate::units::{Conductance, Flow, Length, Mass, Power, Size, Temperature, Volume};
use crate::water::circuit::taps;

/// What a plastic cistern weighs for each litre to the water line, kg (common practice, no source).
const CISTERN_KG_PER_L: f64 = 0.07;
/// What a copper cylinder weighs for each litre, kg (common practice, no source).
const CYLINDER_KG_PER_L: f64 = 0.27;
/// An immersion heater (common practice, no source), kW.
pub(super) const HEATER_KW: f64 = 3.0;

/// How warm the boiler's water comes to the coil (common practice, no source), °C.
const PRIMARY_CELSIUS: f64 = 75.0;

/// How warm cold water is stored, where nobody has measured it yet; the notes of the layout say so.
pub(super) const COLD_STORED_CELSIUS: f64 = 20.0;

pub(super) fn celsius(celsius: f64) -> Option<Temperature> {
    Temperature::try_celsius(celsius).ok()
}

/// What an empty cistern weighs that holds so much to its water line, L.
pub(super) fn cistern_mass(water_l: f64) -> Option<Mass> {
    Mass::try_kg((water_l * CISTERN_KG_PER_L).ceil()).ok()
}

/// What an empty cylinder of a size weighs.
pub(super) fn cylinder_mass(size: &CylinderSize) -> Option<Mass> {
    Mass::try_kg((size.indirect.to_litres() * CYLINDER_KG_PER_L).ceil()).ok()
}

/// Immersion heaters in place of a boiler; none beside one.
pub(super) fn heaters(is_heated_by_boiler: bool) -> Vec<Immersion> {
    let heater = |place| Immersion { place, power: Power::try_kw(HEATER_KW).ok(), cut_out: Some(CutOut::ResetByHand) };
    if is_heated_by_boiler { Vec::new() } else { vec![heater(ImmersionPlace::Top), heater(ImmersionPlace::Bottom)] }
}

/// What the coil passes on, and what the boiler brings.
pub(super) fn coil_duty(choices: &Choices) -> CoilDuty {
    CoilDuty {
        conductance: Conductance::try_w_k(choices.coil.conductance_w_k).ok(),
        primary: celsius(PRIMARY_CELSIUS),
        flow: Flow::try_l_s(choices.coil.flow_l_s).ok(),
    }
}

pub(super) fn cistern(answers: &Answers, choices: &Choices, at: &Positions) -> Cistern {
    let size = choices.cistern;
    let hole = |port: &str, on| Connection { port: Id::of(port), on };
    let mut connections = vec![
        hole("warning", Tapping::Left(Length::mm(at.inside.overflow_mm))),
        hole("cold-feed", Tapping::Right(Length::mm(at.inside.feed_port_mm))),
    ];
    let others = [("distribution", at.inside.distribution_port_mm), ("shower", at.inside.shower_port_mm)];
    let drilled = others.into_iter().filter_map(|(port, up_mm)| Some((port, up_mm?)));
    connections.extend(drilled.map(|(port, up_mm)| hole(port, Tapping::Right(Length::mm(up_mm)))));
    Cistern {
        width: Some(size.width),
        behind: Some(Length::ZERO),
        water_line: Some(Length::mm(at.inside.water_line_mm)),
        float_valve: Some(FloatValve {
            shank: Tapping::Left(Length::mm(at.inside.shank_mm)),
            outlet: Some(Length::mm(at.inside.float_outlet_mm)),
            pattern: Some(FloatValvePattern::Part2),
            seat: Some(Size::mm(choices.seat_mm)),
        }),
        connections,
        dip_tube: Some(DipTube::EndsAt(Length::mm(at.inside.water_line_mm - choices.under_water_mm))),
        lid: Some(Lid::Tight),
        lid_screen: Some(Screen::Mesh(Size::mm(choices.lid_mesh_mm))),
        opaque: Some(true),
        jacket: Some(Jacket {
            sides: true,
            top: true,
            thickness: Some(Size::mm(choices.jacket_mm)),
            kind: Some(Insulant::MineralWool),
        }),
        loft_insulation_below: Some(false),
        stored_temperature: celsius(COLD_STORED_CELSIUS),
        daily_draw: Volume::try_litres(drawn_l(answers)).ok(),
        empty_mass: cistern_mass(size.water.to_litres()),
        ..Cistern::new(
            Id::of("cistern"),
            CisternRole::Storage,
            Point::mm(at.footing.cistern.left_mm, at.base_mm),
            size.length,
            size.height,
        )
    }
}

pub(super) fn cylinder(answers: &Answers, choices: &Choices, at: &Positions) -> Cylinder {
    let size = choices.cylinder;
    let direct = answers.cylinder.heated == Heating::Direct;
    Cylinder {
        behind: Some(Length::ZERO),
        reference: Some(size.reference.clone()),
        empty_mass: cylinder_mass(size),
        grade: Some(CylinderGrade::G3),
        coil: Some(!direct),
        immersions: Some(heaters(!direct)),
        insulation: Some(Length::mm(choices.foam_mm)),
        cover: Some(CylinderCover::SprayedFoam),
        stored_temperature: celsius(choices.hot_celsius),
        coil_duty: (!direct).then(|| coil_duty(choices)),
        ..Cylinder::new(
            Id::of("cylinder"),
            Point::mm(at.beside.cylinder.left_mm, at.beside.cylinder_base_mm),
            size.diameter,
            size.height,
        )
    }
}

pub(super) fn boiler(choices: &Choices, at: &Positions) -> Option<Boiler> {
    let sizes = (Size::mm(BOILER_LENGTH_MM), Size::mm(700.0));
    let boiler = Boiler::new(Id::of("boiler"), Point::mm(at.beside.boiler_x_mm?, BOILER_BASE_MM), sizes.0, sizes.1);
    Some(Boiler { kind: Some(BoilerKind::Regular), output: Power::try_kw(choices.coil.boiler_kw).ok(), ..boiler })
}

/// How hot and cold leave an outlet of its kind; nothing where it has no taps.
pub(super) fn usual_taps(outlet: &Outlet) -> Option<Taps> {
    outlet.kind.has_taps().then(|| taps(outlet))
}

/// What keeps a bath from being too hot, for the notes of a layout: it is no part that could be drawn.
pub(super) fn bath_is_limited(choices: &Choices) -> String {
    format!("The bath has a thermostatic mixing valve, set to {:.0} °C.", choices.bath_celsius)
}

/// Outlets, each by its kind and, where there are several of a kind, its number.
pub(super) fn outlets(choices: &Choices, at: &Positions) -> Vec<Outlet> {
    let mut outlets: Vec<Outlet> = Vec::new();
    for placed in &at.outlets {
        let kind = placed.draw.kind;
        let before = outlets.iter().filter(|other| other.kind == kind).count();
        let word = kind.words().to_lowercase().replace(' ', "-");
        let id = if before == 0 { word } else { format!("{word}-{}", before + 1) };
        let supply_temperature = match kind {
            OutletKind::Bath => celsius(choices.bath_celsius),
            OutletKind::Basin | OutletKind::Sink => celsius(choices.hot_tap_celsius),
            _ => None,
        };
        let outlet = Outlet { supply_temperature, ..Outlet::new(Id::of(&id), kind, placed.at) };
        outlets.push(Outlet { taps: usual_taps(&outlet), ..outlet });
    }
    outlets
}
