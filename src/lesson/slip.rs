//! Slips of the trade that have no number to shift: a lid that is loose, a valve left out, a board of the wrong stuff.

use crate::layout::{
    Board, BoardMaterial, Cistern, Clips, CutOut, Cylinder, Discharge, Edit, FloatValvePattern, Hatch, Id, InLine,
    InLineKind, Layout, Lid, LoftHatch, Outlet, Part, Platform, Run, Screen, Traces,
};
use crate::units::{Length, Pressure, Size, Temperature};

/// One slip, on a part or on the building.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Slip {
    Of(Id, What),
    /// The loft hatch is so long and wide, mm.
    Hatch(f64, f64),
    /// The main has this pressure, kPa.
    MainsPressure(f64),
    /// The floor of a storey is of chipboard.
    ChipboardFloor(usize),
}

/// What is wrong with a part.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum What {
    Lid(Lid),
    LidScreenMissing,
    LightGetsIn,
    JacketWithout(Side),
    LoftInsulationBelow,
    FloatValve(FloatValvePattern),
    WaterAt(f64),
    Board(BoardMaterial),
    BoardThickness(f64),
    FittingLeftOut(usize),
    FittingIs(usize, InLineKind),
    FittingPutIn(InLineKind),
    Tube(f64),
    Bare,
    ClipsLevel,
    ClipsUpright,
    ScreenMissing,
    DischargeHidden,
    CutOut(CutOut),
    SuppliedAt(f64),
}

/// What of a cistern a jacket leaves bare.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Top,
    Sides,
}

/// A fitting that is put in stands so far along the run as a share of its length.
const PUT_IN_AT: f64 = 0.6;
/// Clips that are too far apart are so much further apart than told.
const CLIPS_WIDER: f64 = 1.4;

impl Slip {
    /// Every slip that can be made on a layout, in the order of its parts.
    pub fn all(layout: &Layout) -> Vec<Self> {
        let mut slips = Vec::new();
        let mut of = |id: &Id, list: Vec<What>| slips.extend(list.into_iter().map(|what| Self::Of(id.clone(), what)));
        layout.cisterns.iter().for_each(|part| of(&part.id, of_cistern()));
        layout.platforms.iter().for_each(|part| of(&part.id, of_platform(part)));
        layout.cylinders.iter().for_each(|part| of(&part.id, of_cylinder(part)));
        layout.outlets.iter().for_each(|part| of(&part.id, of_outlet(part)));
        layout.runs.iter().for_each(|part| of(&part.id, of_run(part)));
        slips.extend([(500.0, 500.0), (450.0, 600.0)].map(|(length, width)| Self::Hatch(length, width)));
        slips.extend([30.0, 60.0].map(Self::MainsPressure));
        slips.extend((0..layout.building.storeys.len()).map(Self::ChipboardFloor));
        slips
    }

    /// The edit that makes it; none when there is nothing that it could be made on, or nothing would change.
    pub fn edit(&self, layout: &Layout) -> Option<Edit> {
        let Self::Of(id, what) = self else { return self.edit_of_building(layout) };
        let before = layout.part(id)?.to_part();
        let mut part = before.clone();
        match &mut part {
            Part::Cistern(cistern) => what.spoil_cistern(cistern)?,
            Part::Platform(platform) => what.spoil_platform(platform)?,
            Part::Cylinder(cylinder) => what.spoil_cylinder(cylinder)?,
            Part::Outlet(outlet) => what.spoil_outlet(outlet)?,
            Part::Run(run) => what.spoil_run(layout, run)?,
            Part::Boiler(_) | Part::Note(_) => return None,
        }
        (part != before).then(|| Edit::put(part))
    }

    fn edit_of_building(&self, layout: &Layout) -> Option<Edit> {
        let mut building = layout.building.clone();
        match self {
            Self::Hatch(length_mm, width_mm) => {
                let Some(LoftHatch::Opening(hatch)) = building.hatch else { return None };
                let (length, width) = (Size::mm(*length_mm), Size::mm(*width_mm));
                building.hatch = Some(LoftHatch::Opening(Hatch { length, width, ..hatch }));
            }
            Self::MainsPressure(kpa) => {
                building.mains_pressure?;
                building.mains_pressure = Some(Pressure::try_kpa(*kpa).ok()?);
            }
            Self::ChipboardFloor(number) => {
                let deck = building.storeys.get_mut(*number)?.deck.as_mut()?;
                deck.material = BoardMaterial::Chipboard;
            }
            Self::Of(..) => return None,
        }
        (building != layout.building).then(|| Edit::Building(Box::new(building)))
    }
}

fn of_cistern() -> Vec<What> {
    vec![
        What::Lid(Lid::Loose),
        What::Lid(Lid::Missing),
        What::LidScreenMissing,
        What::LightGetsIn,
        What::JacketWithout(Side::Top),
        What::JacketWithout(Side::Sides),
        What::LoftInsulationBelow,
        What::FloatValve(FloatValvePattern::Part1),
        What::FloatValve(FloatValvePattern::Part4),
        What::WaterAt(27.0),
    ]
}

fn of_platform(platform: &Platform) -> Vec<What> {
    let mut list: Vec<What> =
        [BoardMaterial::Chipboard, BoardMaterial::ChipboardP5, BoardMaterial::ExteriorPly, BoardMaterial::Osb3]
            .map(What::Board)
            .to_vec();
    if platform.board.is_some_and(|board| board.thickness.is_some()) {
        list.extend([9.0, 12.0, 15.0].map(What::BoardThickness));
    }
    list
}

fn of_cylinder(cylinder: &Cylinder) -> Vec<What> {
    let mut list: Vec<What> = [48.0, 72.0].map(What::WaterAt).to_vec();
    if cylinder.immersions.as_ref().is_some_and(|immersions| !immersions.is_empty()) {
        list.extend([CutOut::ResetsItself, CutOut::Missing].map(What::CutOut));
    }
    list
}

fn of_outlet(outlet: &Outlet) -> Vec<What> {
    outlet.supply_temperature.map(|_| [43.0, 58.0].map(What::SuppliedAt).to_vec()).unwrap_or_default()
}

fn of_run(run: &Run) -> Vec<What> {
    let mut list = Vec::new();
    for (number, fitting) in run.fittings.iter().flatten().enumerate() {
        list.push(What::FittingLeftOut(number));
        let others = [InLineKind::StopValve, InLineKind::ServiceValve, InLineKind::NonReturnValve];
        list.extend(others.into_iter().filter(|kind| *kind != fitting.kind).map(|kind| What::FittingIs(number, kind)));
    }
    list.extend([InLineKind::GateValve, InLineKind::NonReturnValve].map(What::FittingPutIn));
    if let (Some(material), Some(size)) = (run.material, run.size) {
        let narrower = material.sizes().into_iter().rev().find(|other| other.to_mm() < size.to_mm());
        list.extend(narrower.map(|size| What::Tube(size.to_mm())));
    }
    list.extend([What::Bare, What::ClipsLevel, What::ClipsUpright, What::ScreenMissing, What::DischargeHidden]);
    list
}

fn celsius(celsius: f64) -> Option<Temperature> {
    Temperature::try_celsius(celsius).ok()
}

impl What {
    fn spoil_cistern(&self, cistern: &mut Cistern) -> Option<()> {
        match self {
            Self::Lid(lid) => cistern.lid = cistern.lid.map(|_| *lid),
            Self::LidScreenMissing => cistern.lid_screen = cistern.lid_screen.map(|_| Screen::Missing),
            Self::LightGetsIn => cistern.opaque = cistern.opaque.map(|_| false),
            Self::JacketWithout(Side::Top) => cistern.jacket.as_mut()?.top = false,
            Self::JacketWithout(Side::Sides) => cistern.jacket.as_mut()?.sides = false,
            Self::LoftInsulationBelow => cistern.loft_insulation_below = cistern.loft_insulation_below.map(|_| true),
            Self::FloatValve(pattern) => {
                let valve = cistern.float_valve.as_mut()?;
                valve.pattern = valve.pattern.map(|_| *pattern);
            }
            Self::WaterAt(temperature) => {
                cistern.stored_temperature?;
                cistern.stored_temperature = celsius(*temperature);
            }
            _ => return None,
        }
        Some(())
    }

    fn spoil_platform(&self, platform: &mut Platform) -> Option<()> {
        let board: &mut Board = platform.board.as_mut()?;
        match self {
            Self::Board(material) => {
                board.material = *material;
                board.class = None;
            }
            Self::BoardThickness(mm) => board.thickness = board.thickness.map(|_| Size::mm(*mm)),
            _ => return None,
        }
        Some(())
    }

    fn spoil_cylinder(&self, cylinder: &mut Cylinder) -> Option<()> {
        match self {
            Self::WaterAt(temperature) => {
                cylinder.stored_temperature?;
                cylinder.stored_temperature = celsius(*temperature);
            }
            Self::CutOut(cut_out) => cylinder.immersions.as_mut()?.first_mut()?.cut_out = Some(*cut_out),
            _ => return None,
        }
        Some(())
    }

    fn spoil_outlet(&self, outlet: &mut Outlet) -> Option<()> {
        let Self::SuppliedAt(temperature) = self else { return None };
        outlet.supply_temperature?;
        outlet.supply_temperature = celsius(*temperature);
        Some(())
    }

    fn spoil_run(&self, layout: &Layout, run: &mut Run) -> Option<()> {
        let wider =
            |apart: Option<Size>| apart.map(|apart| Size::mm((apart.to_mm() * CLIPS_WIDER / 50.0).round() * 50.0));
        match self {
            Self::FittingLeftOut(number) => {
                let fittings = run.fittings.as_mut()?;
                (*number < fittings.len()).then(|| fittings.remove(*number))?;
            }
            Self::FittingIs(number, kind) => run.fittings.as_mut()?.get_mut(*number)?.kind = *kind,
            Self::FittingPutIn(kind) => {
                let at_mm = Traces::of(layout).of_run(&run.id)?.length() * PUT_IN_AT;
                run.fittings.as_mut()?.push(InLine { kind: *kind, at: Length::mm(at_mm.round()) });
            }
            Self::Tube(mm) => run.size = run.size.map(|_| Size::mm(*mm)),
            Self::Bare => run.insulation = run.insulation.as_ref().map(|_| Vec::new()),
            Self::ClipsLevel => run.clips = run.clips.map(|clips| Clips { level: wider(clips.level), ..clips }),
            Self::ClipsUpright => run.clips = run.clips.map(|clips| Clips { upright: wider(clips.upright), ..clips }),
            Self::ScreenMissing => run.screen = run.screen.map(|_| Screen::Missing),
            Self::DischargeHidden => run.discharge = run.discharge.map(|_| Discharge::Hidden),
            _ => return None,
        }
        Some(())
    }
}
