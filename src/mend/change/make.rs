//! The edits that make a change.

use glam::dvec2;

use super::Change;
use super::exchange::{exchanged, on_opposite_side};
use super::fall::{ended_over, laid};
use super::twins::two_in_place_of_one;
use crate::catalogue::{BEARER_BREADTH_MM, Insulant, StrengthClass};
use crate::layout::{
    Bearers, Board, BoardMaterial, Clips, CutOut, CylinderCover, DipTube, Discharge, Edit, FloatValvePattern, Id,
    Jacket, Layout, Lid, Lie, Part, Platform, Run, Screen, Survey, WhichEnd,
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
        let edit = match self {
            Self::Fit(..) | Self::TakeOut(..) | Self::EndScreen(..) | Self::Clips(_) => self.on_run(layout),
            Self::Tube(runs, size_mm) => {
                return runs.iter().filter_map(|id| put(Part::Run(with_tube(layout, id, *size_mm)?))).collect();
            }
            Self::MarinePly(..) | Self::Bearers(..) => self.on_platform(layout),
            Self::Lag(spans, thick_mm) => {
                return spans
                    .iter()
                    .filter_map(|span| put(Part::Run(lagged(run(layout, &span.0)?, span, *thick_mm))))
                    .collect();
            }
            Self::FirstBearers(id, count, depth_mm) => {
                return with_first_bearers(layout, id, *count, *depth_mm).unwrap_or_default();
            }
            Self::JoistsBeside(_, many) => joists_beside(layout, *many),
            Self::DeeperBearers(id, depth_mm) => return with_deeper_bearers(layout, id, *depth_mm).unwrap_or_default(),
            Self::TwoCisterns(id, size) => return two_in_place_of_one(layout, id, *size).unwrap_or_default(),
            Self::StrongerBearers(..) => self.on_platform(layout),
            Self::LaidRising(id, first) => laid(layout, id, *first, Toward::Forth).map(run_put),
            Self::LaidFalling(id, first) => laid(layout, id, *first, Toward::Back).map(run_put),
            Self::UprightAside(id, number, by_mm) => aside(layout, id, *number, *by_mm).map(run_put),
            Self::EndOver(id, over) => ended_over(layout, id, over),
            Self::Conspicuous(_) => self.on_run(layout),
            Self::CylinderJacket(..) | Self::StrongerCylinder(..) | Self::CutOut(_) | Self::Thermostat(..) => {
                self.on_cylinder(layout)
            }
            Self::MixingValve(id, celsius) => {
                let outlet = layout.outlets.iter().find(|outlet| outlet.id == *id).cloned();
                outlet.and_then(|mut outlet| {
                    outlet.supply_temperature = Some(Temperature::try_celsius(*celsius).ok()?);
                    put(Part::Outlet(outlet))
                })
            }
            _ => self.on_cistern(layout),
        };
        edit.into_iter().collect()
    }

    fn on_run(&self, layout: &Layout) -> Option<Edit> {
        let mut run = run(layout, self.part())?.clone();
        match self {
            Self::Fit(_, kind, at_mm) => run = run.fitted(*kind, *at_mm),
            Self::TakeOut(_, taken) => {
                run.fittings.as_mut()?.retain(|fitting| !taken.contains(&(fitting.kind, fitting.at.to_mm())));
            }
            Self::EndScreen(_, mesh_mm) => run.screen = Some(Screen::Mesh(Size::mm(*mesh_mm))),
            Self::Clips(_) => run.clips = Some(clips(layout, &run)?),
            Self::Conspicuous(_) => run.discharge = Some(Discharge::Conspicuous),
            _ => return None,
        }
        put(Part::Run(run))
    }

    fn on_platform(&self, layout: &Layout) -> Option<Edit> {
        let mut platform = platform(layout, self.part())?.clone();
        match self {
            Self::MarinePly(_, thickness_mm) => {
                let class = platform.board.and_then(|board| board.class);
                let thickness = Some(Size::mm(*thickness_mm));
                platform.board = Some(Board { material: BoardMaterial::MarinePly, thickness, class });
            }
            Self::Bearers(_, count) => {
                let (across_mm, breadth_mm) = across(&platform)?;
                let bearers = platform.bearers.as_mut()?;
                bearers.count = *count;
                bearers.first = Length::mm(breadth_mm);
                bearers.spacing = Size::mm((across_mm - 2.0 * breadth_mm) / f64::from(count - 1));
            }
            Self::StrongerBearers(_, class) => platform.bearers.as_mut()?.grade = Some(*class),
            _ => return None,
        }
        put(Part::Platform(platform))
    }

    fn on_cistern(&self, layout: &Layout) -> Option<Edit> {
        let mut cistern = cistern(layout, self.part())?.clone();
        match self {
            Self::TightLid(_) => cistern.lid = Some(Lid::Tight),
            Self::LidScreen(_, mesh_mm) => cistern.lid_screen = Some(Screen::Mesh(Size::mm(*mesh_mm))),
            Self::JacketAllRound(_, thickness_mm) => {
                let kind = cistern.jacket.and_then(|jacket| jacket.kind).or(Some(Insulant::MineralWool));
                cistern.jacket =
                    Some(Jacket { sides: true, top: true, thickness: Some(Size::mm(*thickness_mm)), kind });
            }
            Self::ClearBelow(_) => cistern.loft_insulation_below = Some(false),
            Self::DiaphragmValve(_) => cistern.float_valve.as_mut()?.pattern = Some(FloatValvePattern::Part2),
            Self::Seat(_, bore_mm) => cistern.float_valve.as_mut()?.seat = Some(Size::mm(*bore_mm)),
            Self::Opaque(_) => cistern.opaque = Some(true),
            Self::OtherCistern(_, number) => cistern = exchanged(&cistern, *number)?,
            Self::OppositeSide(_, port) => cistern = on_opposite_side(&cistern, port)?,
            Self::DipTube(_, end_mm) => cistern.dip_tube = Some(DipTube::EndsAt(Length::mm(*end_mm))),
            _ => return None,
        }
        put(Part::Cistern(cistern))
    }

    fn on_cylinder(&self, layout: &Layout) -> Option<Edit> {
        let mut cylinder = layout.cylinders.iter().find(|cylinder| cylinder.id == *self.part())?.clone();
        match self {
            Self::CylinderJacket(_, thickness_mm) => {
                cylinder.insulation = Some(Length::mm(*thickness_mm));
                cylinder.cover = Some(CylinderCover::LooseJacket);
                // What was measured without the jacket no longer holds.
                cylinder.standing_loss = None;
            }
            Self::StrongerCylinder(_, grade) => cylinder.grade = Some(*grade),
            Self::CutOut(_) => {
                let heaters = cylinder.immersions.as_mut()?;
                heaters.iter_mut().for_each(|heater| heater.cut_out = Some(CutOut::ResetByHand));
            }
            Self::Thermostat(_, celsius) => {
                cylinder.stored_temperature = Some(Temperature::try_celsius(*celsius).ok()?);
            }
            _ => return None,
        }
        put(Part::Cylinder(cylinder))
    }
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
fn aside(layout: &Layout, id: &Id, number: usize, by_mm: f64) -> Option<Run> {
    let mut run = run(layout, id)?.clone();
    let ends_mm = [WhichEnd::From, WhichEnd::To].map(|which| Some(end_point(layout, &run, which)?.x));
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
fn with_tube(layout: &Layout, id: &Id, size_mm: f64) -> Option<Run> {
    let mut run = run(layout, id)?.clone();
    run.size = Some(Size::mm(size_mm));
    run.clips = run.clips.and(clips(layout, &run));
    Some(run)
}

fn put(part: Part) -> Option<Edit> {
    Some(edit_of(part))
}

fn run_put(run: Run) -> Edit {
    edit_of(Part::Run(run))
}

fn edit_of(part: Part) -> Edit {
    Edit::Put(Box::new(part))
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
