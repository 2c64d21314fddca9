//! The edits that make a change.

use glam::dvec2;

use super::Change;
use super::exchange::{exchanged, on_opposite_side};
use super::fall::{ended_over, laid};
use super::twins::two_in_place_of_one;
use crate::catalogue::{BEARER_BREADTH_MM, Insulant, StrengthClass};
use crate::layout::{
    Bearers, Board, BoardMaterial, Cistern, Clips, CutOut, Cylinder, CylinderCover, DipTube, Discharge, Edit,
    FloatValve, FloatValvePattern, Id, InLineKind, Jacket, Layout, Lid, Lie, Outlet, Part, Platform, Run, Screen,
    Survey, WhichEnd,
};
use crate::mend::course::end_point;
use crate::mend::demand::Toward;
use crate::mend::handle::{cistern, platform, run};
use crate::units::{Length, Size, Temperature};

/// Clips that are set anew in a house that was measured stand closer by this than they have to, mm.
const SURELY_CLOSER_MM: f64 = 50.0;

impl Change {
    /// The edits that make it; nothing when the layout no longer has what it changes.
    #[must_use]
    pub fn edits(&self, layout: &Layout) -> Vec<Edit> {
        match self {
            Self::Fit(id, kind, at_mm) => on_run(layout, id, |run| Some(run.fitted(*kind, *at_mm))),
            Self::TakeOut(id, taken) => on_run(layout, id, |run| without(run, taken)),
            Self::EndScreen(id, mesh_mm) => {
                on_run(layout, id, |run| Some(Run { screen: Some(mesh(*mesh_mm)), ..run.clone() }))
            }
            Self::Clips(id) => on_run(layout, id, |run| Some(Run { clips: Some(clips(layout, run)?), ..run.clone() })),
            Self::Conspicuous(id) => {
                on_run(layout, id, |run| Some(Run { discharge: Some(Discharge::Conspicuous), ..run.clone() }))
            }
            Self::LaidRising(id, first) => put(laid(layout, id, *first, Toward::Forth).map(Part::Run)),
            Self::LaidFalling(id, first) => put(laid(layout, id, *first, Toward::Back).map(Part::Run)),
            Self::UprightAside(id, number, by_mm) => on_run(layout, id, |run| aside(layout, run, *number, *by_mm)),
            Self::EndOver(id, over) => ended_over(layout, id, over).into_iter().collect(),
            Self::Lag(spans, thick_mm) => spans
                .iter()
                .flat_map(|span| on_run(layout, &span.0, |run| Some(lagged(run, span, *thick_mm))))
                .collect(),
            Self::Tube(runs, size_mm) => {
                runs.iter().flat_map(|id| on_run(layout, id, |run| Some(with_tube(layout, run, *size_mm)))).collect()
            }
            Self::TightLid(id) => {
                on_cistern(layout, id, |cistern| Some(Cistern { lid: Some(Lid::Tight), ..cistern.clone() }))
            }
            Self::LidScreen(id, mesh_mm) => {
                on_cistern(layout, id, |cistern| Some(Cistern { lid_screen: Some(mesh(*mesh_mm)), ..cistern.clone() }))
            }
            Self::JacketAllRound(id, thick_mm) => on_cistern(layout, id, |cistern| Some(jacketed(cistern, *thick_mm))),
            Self::ClearBelow(id) => on_cistern(layout, id, |cistern| {
                Some(Cistern { loft_insulation_below: Some(false), ..cistern.clone() })
            }),
            Self::DiaphragmValve(id) => {
                on_float_valve(layout, id, |valve| FloatValve { pattern: Some(FloatValvePattern::Part2), ..valve })
            }
            Self::Seat(id, bore_mm) => {
                on_float_valve(layout, id, |valve| FloatValve { seat: Some(Size::mm(*bore_mm)), ..valve })
            }
            Self::DipTube(id, end_mm) => on_cistern(layout, id, |cistern| {
                Some(Cistern { dip_tube: Some(DipTube::EndsAt(Length::mm(*end_mm))), ..cistern.clone() })
            }),
            Self::Opaque(id) => {
                on_cistern(layout, id, |cistern| Some(Cistern { opaque: Some(true), ..cistern.clone() }))
            }
            Self::OtherCistern(id, number) => on_cistern(layout, id, |cistern| exchanged(cistern, *number)),
            Self::TwoCisterns { cistern, size, overhang_mm } => {
                two_in_place_of_one(layout, cistern, *size, *overhang_mm).unwrap_or_default()
            }
            Self::OppositeSide(id, port) => on_cistern(layout, id, |cistern| on_opposite_side(cistern, port)),
            Self::MarinePly(id, thick_mm) => {
                on_platform(layout, id, |platform| Some(boarded_with_ply(platform, *thick_mm)))
            }
            Self::Bearers(id, count) => on_platform(layout, id, |platform| with_bearers(platform, *count)),
            Self::FirstBearers(id, count, depth_mm) => {
                with_first_bearers(layout, id, *count, *depth_mm).unwrap_or_default()
            }
            Self::DeeperBearers(id, depth_mm) => with_deeper_bearers(layout, id, *depth_mm).unwrap_or_default(),
            Self::StrongerBearers(id, class) => on_platform(layout, id, |platform| {
                let bearers = Some(Bearers { grade: Some(*class), ..platform.bearers.clone()? });
                Some(Platform { bearers, ..platform.clone() })
            }),
            Self::JoistsBeside(_, many) => joists_beside(layout, *many).into_iter().collect(),
            Self::CylinderJacket(id, thick_mm) => {
                on_cylinder(layout, id, |cylinder| Some(in_a_jacket(cylinder, *thick_mm)))
            }
            Self::StrongerCylinder(id, grade) => {
                on_cylinder(layout, id, |cylinder| Some(Cylinder { grade: Some(*grade), ..cylinder.clone() }))
            }
            Self::CutOut(id) => on_cylinder(layout, id, with_cut_outs),
            Self::Thermostat(id, celsius) => on_cylinder(layout, id, |cylinder| {
                let stored_temperature = Some(Temperature::try_celsius(*celsius).ok()?);
                Some(Cylinder { stored_temperature, ..cylinder.clone() })
            }),
            Self::MixingValve(id, celsius) => on_outlet(layout, id, |outlet| {
                let supply_temperature = Some(Temperature::try_celsius(*celsius).ok()?);
                Some(Outlet { supply_temperature, ..outlet.clone() })
            }),
        }
    }
}

fn on_run(layout: &Layout, id: &Id, change: impl FnOnce(&Run) -> Option<Run>) -> Vec<Edit> {
    put(run(layout, id).and_then(change).map(Part::Run))
}

fn on_cistern(layout: &Layout, id: &Id, change: impl FnOnce(&Cistern) -> Option<Cistern>) -> Vec<Edit> {
    put(cistern(layout, id).and_then(change).map(Part::Cistern))
}

fn on_float_valve(layout: &Layout, id: &Id, change: impl FnOnce(FloatValve) -> FloatValve) -> Vec<Edit> {
    on_cistern(layout, id, |cistern| {
        Some(Cistern { float_valve: Some(change(cistern.float_valve?)), ..cistern.clone() })
    })
}

fn on_platform(layout: &Layout, id: &Id, change: impl FnOnce(&Platform) -> Option<Platform>) -> Vec<Edit> {
    put(platform(layout, id).and_then(change).map(Part::Platform))
}

fn on_cylinder(layout: &Layout, id: &Id, change: impl FnOnce(&Cylinder) -> Option<Cylinder>) -> Vec<Edit> {
    put(layout.cylinders.iter().find(|cylinder| cylinder.id == *id).and_then(change).map(Part::Cylinder))
}

fn on_outlet(layout: &Layout, id: &Id, change: impl FnOnce(&Outlet) -> Option<Outlet>) -> Vec<Edit> {
    put(layout.outlets.iter().find(|outlet| outlet.id == *id).and_then(change).map(Part::Outlet))
}

fn put(part: Option<Part>) -> Vec<Edit> {
    part.map(edit_of).into_iter().collect()
}

fn edit_of(part: Part) -> Edit {
    Edit::Put(Box::new(part))
}

fn mesh(openings_mm: f64) -> Screen {
    Screen::Mesh(Size::mm(openings_mm))
}

/// A run without some of its fittings.
fn without(run: &Run, taken: &[(InLineKind, f64)]) -> Option<Run> {
    let mut fittings = run.fittings.clone()?;
    fittings.retain(|fitting| !taken.contains(&(fitting.kind, fitting.at.to_mm())));
    Some(Run { fittings: Some(fittings), ..run.clone() })
}

/// A cistern with a jacket on sides and top, of what it is of now.
fn jacketed(cistern: &Cistern, thick_mm: f64) -> Cistern {
    let kind = cistern.jacket.and_then(|jacket| jacket.kind).or(Some(Insulant::MineralWool));
    let jacket = Jacket { sides: true, top: true, thickness: Some(Size::mm(thick_mm)), kind };
    Cistern { jacket: Some(jacket), ..cistern.clone() }
}

fn in_a_jacket(cylinder: &Cylinder, thick_mm: f64) -> Cylinder {
    Cylinder {
        insulation: Some(Length::mm(thick_mm)),
        cover: Some(CylinderCover::LooseJacket),
        // What was measured without the jacket no longer holds.
        standing_loss: None,
        ..cylinder.clone()
    }
}

fn with_cut_outs(cylinder: &Cylinder) -> Option<Cylinder> {
    let mut immersions = cylinder.immersions.clone()?;
    immersions.iter_mut().for_each(|heater| heater.cut_out = Some(CutOut::ResetByHand));
    Some(Cylinder { immersions: Some(immersions), ..cylinder.clone() })
}

fn boarded_with_ply(platform: &Platform, thick_mm: f64) -> Platform {
    let class = platform.board.and_then(|board| board.class);
    let board = Board { material: BoardMaterial::MarinePly, thickness: Some(Size::mm(thick_mm)), class };
    Platform { board: Some(board), ..platform.clone() }
}

/// A platform with so many of its bearers, spread evenly.
fn with_bearers(platform: &Platform, count: u32) -> Option<Platform> {
    let spacing = Size::mm(apart_mm(platform, count)?);
    let bearers = platform.bearers.clone()?;
    let bearers = Bearers { count, first: Length::mm(bearers.breadth.to_mm()), spacing, ..bearers };
    Some(Platform { bearers: Some(bearers), ..platform.clone() })
}

/// Clips as they are told, but no further apart than the tube allows.
fn clips(layout: &Layout, run: &Run) -> Option<Clips> {
    let allowed = run.clips_allowed()?;
    let told = run.clips.unwrap_or(allowed);
    let closer = |told: Option<Size>, allowed: Option<Size>| match told.zip(allowed) {
        Some((told, allowed)) if told >= allowed => Some(surely_within(layout, allowed)),
        _ => told.or(allowed),
    };
    Some(Clips { level: closer(told.level, allowed.level), upright: closer(told.upright, allowed.upright) })
}

/// A distance that no tape finds to be longer than one that is allowed.
fn surely_within(layout: &Layout, allowed: Size) -> Size {
    match layout.survey {
        Survey::Designed => allowed,
        Survey::Surveyed(_) => Size::mm(allowed.to_mm() - SURELY_CLOSER_MM),
    }
}

/// A run with the upright stretch from one of its bends to the next led aside; nothing where the stretch that comes to it or
/// the one that leaves it would turn back on itself.
fn aside(layout: &Layout, run: &Run, number: usize, by_mm: f64) -> Option<Run> {
    let mut run = run.clone();
    let ends_mm = WhichEnd::BOTH.map(|which| Some(end_point(layout, &run, which)?.x));
    let across_mm: Option<Vec<f64>> = std::iter::once(ends_mm[0])
        .chain(run.via.iter().map(|bend| Some(bend.x.to_mm())))
        .chain([ends_mm[1]])
        .collect();
    let across_mm = across_mm?;
    let upright_mm = *across_mm.get(number + 1)?;
    let turns_back = |other_mm: f64| {
        let was_mm = upright_mm - other_mm;
        was_mm * (was_mm + by_mm) < 0.0
    };
    if turns_back(*across_mm.get(number)?) || turns_back(*across_mm.get(number + 3)?) {
        return None;
    }
    let by = Length::try_mm(by_mm).ok()?;
    for bend in run.via.iter_mut().skip(number).take(2) {
        bend.x = bend.x + by;
    }
    Some(run)
}

/// A run of tube of another size, clipped as that asks.
fn with_tube(layout: &Layout, run: &Run, size_mm: f64) -> Run {
    let mut run = Run { size: Some(Size::mm(size_mm)), ..run.clone() };
    run.clips = run.clips.and(clips(layout, &run));
    run
}

/// Deeper bearers, and the platform with what stands on it raised by as much, so that their feet stay where they are.
fn with_deeper_bearers(layout: &Layout, id: &Id, depth_mm: f64) -> Option<Vec<Edit>> {
    let mut platform = platform(layout, id)?.clone();
    let bearers = platform.bearers.as_mut()?;
    let up = Length::mm(depth_mm - bearers.depth.to_mm());
    bearers.depth = Size::mm(depth_mm);
    Some(raised_on(layout, platform, up))
}

/// What stands on a platform raised by so much, with the platform itself, which stands on more than before.
fn raised_on(layout: &Layout, mut platform: Platform, up: Length) -> Vec<Edit> {
    let raise = Edit::Shift { parts: layout.with_what_stands_on(&platform.id), right: Length::ZERO, up };
    platform.at = platform.at.moved(dvec2(0.0, up.to_mm()));
    vec![raise, edit_of(Part::Platform(platform))]
}

/// Bearers across the joists where there are none, and the platform with what stands on it raised as far as they need.
fn with_first_bearers(layout: &Layout, id: &Id, count: u32, depth_mm: f64) -> Option<Vec<Edit>> {
    let mut platform = platform(layout, id)?.clone();
    let lie = match layout.building.joists.as_ref()?.lie {
        Lie::EndOn => Lie::Along,
        Lie::Along => Lie::EndOn,
    };
    let up = Length::try_mm(first_bearers_raise_mm(layout, id, depth_mm)?).ok()?;
    let across_mm = match lie {
        Lie::EndOn => platform.length.to_mm(),
        Lie::Along => platform.depth?.to_mm(),
    };
    let spacing_mm = (across_mm - 2.0 * BEARER_BREADTH_MM) / f64::from(count.checked_sub(1).filter(|n| *n > 0)?);
    platform.bearers = Some(Bearers {
        count,
        spacing: Size::try_mm(spacing_mm).ok()?,
        first: Length::mm(BEARER_BREADTH_MM),
        breadth: Size::mm(BEARER_BREADTH_MM),
        depth: Size::try_mm(depth_mm).ok()?,
        lie,
        grade: Some(StrengthClass::C16),
    });
    Some(raised_on(layout, platform, up))
}

/// By how much a platform without bearers has to go up for bearers of a depth to fit between joists and board, or the
/// frame below that, mm.
pub(super) fn first_bearers_raise_mm(layout: &Layout, id: &Id, depth_mm: f64) -> Option<f64> {
    let platform = platform(layout, id)?;
    let board_mm = platform.board.and_then(|board| board.thickness).map_or(0.0, Size::to_mm);
    let room_mm = platform.at.z.to_mm() - board_mm - platform.frame_mm() - layout.building.joists.as_ref()?.top.to_mm();
    Some((depth_mm - room_mm).max(0.0))
}

/// Joists that are so many times as broad: bolted together they work as one.
fn joists_beside(layout: &Layout, many: u32) -> Option<Edit> {
    let mut building = layout.building.clone();
    let joists = building.joists.as_mut()?;
    joists.breadth = Size::try_mm(joists.breadth.to_mm() * f64::from(many)).ok()?;
    Some(Edit::Building(Box::new(building)))
}

/// How far apart so many bearers of a platform lie when they are spread evenly, mm.
pub(super) fn apart_mm(platform: &Platform, count: u32) -> Option<f64> {
    let (across_mm, breadth_mm) = across(platform)?;
    Some((across_mm - 2.0 * breadth_mm) / f64::from(count - 1))
}

/// What a platform measures across its bearers, and how thick one is, mm.
pub(super) fn across(platform: &Platform) -> Option<(f64, f64)> {
    let bearers = platform.bearers.as_ref()?;
    let across_mm = match bearers.lie {
        Lie::EndOn => platform.length.to_mm(),
        Lie::Along => platform.depth?.to_mm(),
    };
    let breadth_mm = bearers.breadth.to_mm();
    (across_mm > 4.0 * breadth_mm).then_some((across_mm, breadth_mm))
}

/// A run with one more insulated stretch, in place of what lay there.
fn lagged(run: &Run, (_, from_mm, to_mm): &(Id, f64, f64), thick_mm: f64) -> Run {
    let told = run.insulation.as_ref().and_then(|insulation| insulation.first()?.kind);
    run.lagged(*from_mm, *to_mm, Some(Size::mm(thick_mm)), told.or(Some(Insulant::PolyethyleneFoam)))
}
