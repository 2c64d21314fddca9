//! What can be moved by so many millimetres: how far, at what cost, by which edit, in what words.

use glam::{DVec2, dvec2};

use super::Consent;
use super::course::{begun_at, end_point, end_words, flow_begins, free_end, tee_of_vent};
use super::demand::Toward;
use crate::layout::{
    Cistern, DipTube, Edit, End, INLET, Id, InLine, InLineKind, Layout, Lie, Part, Platform, Run, Service, Tapping,
    Traces, WhichEnd, apply,
};
use crate::measure::{Site, between_l};
use crate::units::{Amount, Length, Measured, Size, Volume};

/// Something of a layout that can be moved along a line.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Handle {
    /// The top and the open end of a vent, or the open end of a warning pipe: upward.
    FreeEndUp(Id),
    /// The open end of a vent, with what falls to it: to the right.
    FreeEndRight(Id),
    /// Where a vent joins another run: along that run, away from its beginning.
    TeeAlong(Id),
    /// A valve or drain cock, by its number in the run: along the run.
    FittingAlong(Id, usize),
    /// The lower end of a cistern's dip tube: upward.
    DipTubeUp(Id),
    /// A cistern's water line: upward.
    WaterLine(Id),
    /// A cistern's float valve: upward.
    FloatValveUp(Id),
    /// A connection in the side of a cistern: upward.
    ConnectionUp(Id, Id),
    /// The left end of a platform's board: outward.
    PlatformLeft(Id),
    /// The right end of a platform's board: outward.
    PlatformRight(Id),
    /// The front and back of a platform's board: both outward, by half each.
    PlatformDepth(Id),
    /// A part with whatever stands on it: to the right.
    PartRight(Id),
    /// A part with whatever stands on it: upward.
    PartUp(Id),
}

/// A stretch that leans less than this, mm, is upright.
pub(super) const UPRIGHT_MM: f64 = 1.0;
/// So far a water line is set by the float's arm, mm; common practice, no source.
pub(super) const FLOAT_ARM_MM: f64 = 50.0;

impl Handle {
    /// What a layout offers to be moved, the cheapest first; nothing of the parts that are locked.
    #[must_use]
    pub fn all(layout: &Layout, locked: &[Id]) -> Vec<Self> {
        let mut handles: Vec<Self> = layout.runs.iter().flat_map(|run| of_run(layout, run)).collect();
        handles.extend(layout.cisterns.iter().flat_map(of_cistern));
        for platform in &layout.platforms {
            let id = || platform.id.clone();
            handles.extend([Self::PlatformLeft(id()), Self::PlatformRight(id())]);
            handles.extend(platform.depth.map(|_| Self::PlatformDepth(id())));
        }
        let carried: Vec<Id> = (layout.platforms.iter())
            .flat_map(|platform| layout.with_what_stands_on(&platform.id).into_iter().skip(1))
            .collect();
        handles.extend(layout.cisterns.iter().map(|cistern| Self::PartRight(cistern.id.clone())));
        let stand_free = |id: &&Id| !carried.contains(id);
        let cisterns = layout.cisterns.iter().map(|part| &part.id).filter(stand_free);
        handles.extend(cisterns.map(|id| Self::PartUp(id.clone())));
        for platform in &layout.platforms {
            handles.extend([Self::PartRight(platform.id.clone()), Self::PartUp(platform.id.clone())]);
        }
        let cylinders = layout.cylinders.iter().map(|part| &part.id).filter(stand_free);
        handles.extend(cylinders.map(|id| Self::PartUp(id.clone())));
        handles.retain(|handle| !locked.iter().any(|id| handle.moves(layout, id)));
        handles.sort_by(|a, b| a.cost_per_mm(layout).total_cmp(&b.cost_per_mm(layout)));
        handles
    }

    /// The part that it is a handle of.
    #[must_use]
    pub const fn part(&self) -> &Id {
        match self {
            Self::FreeEndUp(id)
            | Self::FreeEndRight(id)
            | Self::TeeAlong(id)
            | Self::FittingAlong(id, _)
            | Self::DipTubeUp(id)
            | Self::WaterLine(id)
            | Self::FloatValveUp(id)
            | Self::ConnectionUp(id, _)
            | Self::PlatformLeft(id)
            | Self::PlatformRight(id)
            | Self::PlatformDepth(id)
            | Self::PartRight(id)
            | Self::PartUp(id) => id,
        }
    }

    /// Whether no held dimension keeps it from being moved; `apply` knows.
    pub(super) fn is_let_go(&self, layout: &Layout) -> bool {
        const TRIED_MM: f64 = 1.0;
        layout.locks.is_empty() || self.edit(layout, TRIED_MM).is_none_or(|edit| apply(layout, &edit).is_ok())
    }

    /// Which way it is looked at first: along a pipe the way of the flow, whichever way that is drawn; else onward.
    pub(super) fn first_looked(&self, layout: &Layout) -> Toward {
        let pipe = match self {
            Self::FittingAlong(id, _) => layout.run(id),
            Self::TeeAlong(id) => layout
                .run(id)
                .and_then(|vent| vent.end(tee_of_vent(layout, vent)?).teed_on())
                .and_then(|host| layout.run(host)),
            _ => None,
        };
        match pipe.map(|pipe| flow_begins(layout, pipe)) {
            Some(WhichEnd::To) => Toward::Back,
            Some(WhichEnd::From) | None => Toward::Forth,
        }
    }

    /// Whether a part moves, or changes, with it.
    pub(super) fn moves(&self, layout: &Layout, id: &Id) -> bool {
        match self {
            Self::PartRight(own) | Self::PartUp(own) => layout.with_what_stands_on(own).contains(id),
            other => other.part() == id,
        }
    }

    /// What a millimetre costs, against a millimetre of an open vent's top: what is cheap on site moves first.
    #[must_use]
    pub fn cost_per_mm(&self, layout: &Layout) -> f64 {
        match self {
            Self::FittingAlong(..) | Self::DipTubeUp(_) => 0.5,
            Self::FreeEndUp(id) if layout.run(id).is_some_and(|run| run.service == Service::WarningPipe) => 1.5,
            Self::FreeEndUp(_) | Self::FreeEndRight(_) => 1.0,
            Self::TeeAlong(_) => 2.0,
            Self::WaterLine(_) => 3.0,
            Self::FloatValveUp(_) => 4.0,
            Self::ConnectionUp(..) => 5.0,
            Self::PlatformLeft(_) | Self::PlatformRight(_) | Self::PlatformDepth(_) => 8.0,
            Self::PartRight(id) | Self::PartUp(id) => {
                let cylinder = layout.with_what_stands_on(id).iter().any(|id| layout.cylinder(id).is_some());
                match (cylinder, layout.platform(id).is_some()) {
                    (true, _) => 40.0,
                    (false, true) => 25.0,
                    (false, false) => 15.0,
                }
            }
        }
    }

    /// The edit that moves it on a layout; `None` when the layout no longer has it.
    #[must_use]
    pub fn edit(&self, layout: &Layout, by_mm: f64) -> Option<Edit> {
        let by = Length::try_mm(by_mm).ok()?;
        let of_cistern = |id: &Id| layout.cistern(id).cloned();
        let put = |part: Part| Some(Edit::put(part));
        match self {
            Self::FreeEndUp(id) => put(Part::Run(with_end_raised(layout, id, by_mm, by_mm)?)),
            Self::FreeEndRight(id) => put(Part::Run(with_end_aside(layout, id, by_mm)?)),
            Self::TeeAlong(id) => put(Part::Run(slid_along(layout, id, by_mm)?)),
            Self::FittingAlong(id, number) => {
                let mut run = layout.run(id)?.clone();
                let fitting = run.fittings.as_mut()?.get_mut(*number)?;
                fitting.at = fitting.at + by;
                put(Part::Run(run))
            }
            Self::DipTubeUp(id) => {
                let mut cistern = of_cistern(id)?;
                cistern.dip_tube = Some(DipTube::EndsAt(dip_tube_end(&cistern)? + by));
                put(Part::Cistern(cistern))
            }
            Self::WaterLine(id) => {
                let cistern = of_cistern(id)?;
                let line = cistern.water_line? + by;
                put(Part::Cistern(filled_to(layout, cistern, line)))
            }
            Self::FloatValveUp(id) => {
                let cistern = of_cistern(id)?;
                let now = cistern.float_valve?.shank.distance();
                put(Part::Cistern(cistern.with_port_at(INLET, now + by)?))
            }
            Self::ConnectionUp(id, port) => {
                let cistern = of_cistern(id)?;
                let now = hole(&cistern, port)?;
                put(Part::Cistern(cistern.with_port_at(port.as_str(), now + by)?))
            }
            Self::PlatformLeft(id) => {
                let mut platform = layout.platform(id)?.clone();
                platform.at = platform.at.moved(dvec2(-by_mm, 0.0));
                platform.length = larger(platform.length, by_mm)?;
                keep_bearers(&mut platform, Lie::EndOn, by_mm);
                put(Part::Platform(platform))
            }
            Self::PlatformRight(id) => {
                let mut platform = layout.platform(id)?.clone();
                platform.length = larger(platform.length, by_mm)?;
                put(Part::Platform(platform))
            }
            Self::PlatformDepth(id) => {
                let mut platform = layout.platform(id)?.clone();
                platform.depth = Some(larger(platform.depth?, by_mm)?);
                keep_bearers(&mut platform, Lie::Along, by_mm / 2.0);
                put(Part::Platform(platform))
            }
            Self::PartRight(id) => {
                Some(Edit::Shift { parts: layout.with_what_stands_on(id), right: by, up: Length::ZERO })
            }
            Self::PartUp(id) => {
                Some(Edit::Shift { parts: layout.with_what_stands_on(id), right: Length::ZERO, up: by })
            }
        }
    }

    /// What is done, in words with the number.
    #[must_use]
    pub fn words(&self, layout: &Layout, by_mm: f64) -> String {
        let spoken = self.part().with_article();
        let mm = Amount::mm(by_mm.abs()).to_string();
        let (up, out) = if by_mm < 0.0 { ("Lower", "in") } else { ("Raise", "out") };
        let carries = layout.with_what_stands_on(self.part()).len() > 1;
        let load = if carries { " and what stands on it" } else { "" };
        match self {
            Self::FreeEndUp(_) => format!("{up} the open end of {spoken} by {mm}"),
            Self::FreeEndRight(_) => {
                let way = if by_mm < 0.0 { "left" } else { "right" };
                format!("Take the open end of {spoken} {mm} further to the {way}")
            }
            Self::TeeAlong(id) => {
                let tee = layout.run(id).and_then(|vent| vent.end(tee_of_vent(layout, vent)?).teed_on());
                let to = tee.and_then(|host| layout.run(host)).map_or_else(String::new, |host| ahead(host, by_mm));
                format!("Take {spoken} off {mm} nearer to {to}, along the pipe that it rises from")
            }
            Self::FittingAlong(id, number) => {
                let kind = layout.run(id).and_then(|run| Some(run.fittings.as_ref()?.get(*number)?.kind));
                let to = layout.run(id).map_or_else(String::new, |run| ahead(run, by_mm));
                let kind = kind.map_or("fitting", InLineKind::words);
                format!("Move the {kind} in {spoken} by {mm}, nearer to {to}")
            }
            Self::DipTubeUp(_) => format!("{up} the end of the dip tube in {spoken} by {mm}"),
            Self::WaterLine(_) => {
                let how =
                    if by_mm.abs() > FLOAT_ARM_MM { "fitting the float valve anew" } else { "setting the float arm" };
                format!("{up} the water line in {spoken} by {mm}, by {how}")
            }
            Self::FloatValveUp(_) => format!("{up} the float valve of {spoken} by {mm}"),
            Self::ConnectionUp(_, port) => {
                format!("{up} the {} connection of {spoken} by {mm}", port.spoken().to_lowercase())
            }
            Self::PlatformLeft(_) => format!("Take {spoken} {mm} further {out} at the left"),
            Self::PlatformRight(_) => format!("Take {spoken} {mm} further {out} at the right"),
            Self::PlatformDepth(_) => format!("Make {spoken} deeper by {mm}, half of it at the front"),
            Self::PartRight(_) => {
                let way = if by_mm < 0.0 { "left" } else { "right" };
                format!("Move {spoken}{load} {mm} to the {way}")
            }
            Self::PartUp(_) => format!("{up} {spoken}{load} by {mm}"),
        }
    }

    /// Whether it may be done without asking: pipes and fittings yes, what carries and holds water no.
    #[must_use]
    pub const fn consent(&self) -> Consent {
        match self {
            Self::PartRight(_) | Self::PartUp(_) => Consent::NeedsDecision,
            // A larger board has to be bought.
            Self::PlatformLeft(_) | Self::PlatformRight(_) | Self::PlatformDepth(_) => Consent::NeedsDecision,
            Self::FreeEndUp(_)
            | Self::FreeEndRight(_)
            | Self::TeeAlong(_)
            | Self::FittingAlong(..)
            | Self::DipTubeUp(_)
            | Self::WaterLine(_)
            | Self::FloatValveUp(_)
            | Self::ConnectionUp(..) => Consent::Safe,
        }
    }
}

/// What a part that moves along a run comes nearer to, in words.
fn ahead(run: &Run, by_mm: f64) -> String {
    end_words(run, if by_mm < 0.0 { WhichEnd::From } else { WhichEnd::To })
}

fn of_run(layout: &Layout, run: &Run) -> Vec<Handle> {
    let mut handles = Vec::new();
    let is_vent = run.service.is_vent();
    if free_end(run).is_some() && (is_vent || run.service == Service::WarningPipe) {
        handles.push(Handle::FreeEndUp(run.id.clone()));
        handles.extend(is_vent.then(|| Handle::FreeEndRight(run.id.clone())));
    }
    if is_vent && tee_of_vent(layout, run).is_some() {
        handles.push(Handle::TeeAlong(run.id.clone()));
    }
    let mut fittings: Vec<(usize, &InLine)> = run.fittings.iter().flatten().enumerate().collect();
    if flow_begins(layout, run) == WhichEnd::To {
        fittings.reverse();
    }
    handles.extend(fittings.into_iter().map(|(number, _)| Handle::FittingAlong(run.id.clone(), number)));
    handles
}

fn of_cistern(cistern: &Cistern) -> Vec<Handle> {
    let id = || cistern.id.clone();
    let in_side = |tapping: Tapping| matches!(tapping, Tapping::Left(_) | Tapping::Right(_));
    let mut handles = Vec::new();
    handles.extend(dip_tube_end(cistern).map(|_| Handle::DipTubeUp(id())));
    handles.extend(cistern.water_line.map(|_| Handle::WaterLine(id())));
    handles.extend(cistern.float_valve.filter(|valve| in_side(valve.shank)).map(|_| Handle::FloatValveUp(id())));
    let holes = cistern.connections.iter().filter(|hole| in_side(hole.on));
    handles.extend(holes.map(|hole| Handle::ConnectionUp(id(), hole.port.clone())));
    handles
}

pub(super) fn dip_tube_end(cistern: &Cistern) -> Option<Length> {
    match cistern.dip_tube? {
        DipTube::EndsAt(height) => Some(height),
        DipTube::Missing => None,
    }
}

pub(super) fn hole(cistern: &Cistern, port: &Id) -> Option<Length> {
    cistern.connections.iter().find(|hole| hole.port == *port).map(|hole| hole.on.distance())
}

/// A cistern with its water line elsewhere. What is stated to be below the line belongs to the line: below another one is
/// its share of that. Volumes that contradict each other are left as they are told.
fn filled_to(layout: &Layout, cistern: Cistern, line: Length) -> Cistern {
    const STATED_TO_L: f64 = 0.01;
    let top = Measured::exact(line.to_mm().clamp(0.0, cistern.height.to_mm()));
    let share = |_| between_l(&Site::of(layout), &cistern, Measured::exact(0.0), top).ok();
    let rounded = |litres: Measured| Volume::try_litres((litres.value / STATED_TO_L).round() * STATED_TO_L).ok();
    let water_volume = cistern.water_volume.and_then(share).and_then(rounded).or(cistern.water_volume);
    Cistern { water_line: Some(line), water_volume, ..cistern }
}

fn larger(size: Size, by_mm: f64) -> Option<Size> {
    Size::try_mm(size.to_mm() + by_mm).ok()
}

/// Bearers are told from the edge of the board: where that goes out by so much, they stay where they lie.
fn keep_bearers(platform: &mut Platform, counted_from_here: Lie, out_mm: f64) {
    if let Some(bearers) = platform.bearers.as_mut().filter(|bearers| bearers.lie == counted_from_here) {
        bearers.first = Length::mm(bearers.first.to_mm() + out_mm);
    }
}

/// A run whose open end goes up or down by its own measure, and everything from its longest upright stretch on by another;
/// that stretch takes it up. `None` where the layout has no such run, or it has no open end.
#[must_use]
pub fn with_end_raised(layout: &Layout, id: &Id, by_mm: f64, end_by_mm: f64) -> Option<Run> {
    let raised = layout.run(id)?.clone();
    let joint = free_end(&raised)?.other();
    let begins = end_point(layout, &raised, joint)?;
    let mut raised = begun_at(raised, joint);
    let End::Open(end) = raised.to else { return None };
    let vertices: Vec<DVec2> =
        std::iter::once(begins).chain(raised.via.iter().chain([&end]).map(|point| point.vector())).collect();
    let upright_mm =
        |pair: &[DVec2]| if (pair[1].x - pair[0].x).abs() <= UPRIGHT_MM { (pair[1].y - pair[0].y).abs() } else { 0.0 };
    let lengths: Vec<f64> = vertices.windows(2).map(upright_mm).collect();
    let longest = (0..lengths.len())
        .rev()
        .max_by(|a, b| lengths[*a].total_cmp(&lengths[*b]))
        .filter(|number| lengths[*number] > 0.0);
    // The bend after stretch n is number n of the bends; without any upright stretch the end alone goes.
    for bend in raised.via.iter_mut().skip(longest.unwrap_or(usize::MAX)) {
        *bend = bend.moved(dvec2(0.0, by_mm));
    }
    raised.to = End::Open(end.moved(dvec2(0.0, end_by_mm)));
    Some(begun_at(raised, joint))
}

/// A run whose open end goes aside, with the upright stretch that it ends in.
fn with_end_aside(layout: &Layout, id: &Id, by_mm: f64) -> Option<Run> {
    let aside = layout.run(id)?.clone();
    let joint = free_end(&aside)?.other();
    let mut aside = begun_at(aside, joint);
    let End::Open(end) = aside.to else { return None };
    for bend in aside.via.iter_mut().rev() {
        if (bend.x.to_mm() - end.x.to_mm()).abs() > UPRIGHT_MM {
            break;
        }
        *bend = bend.moved(dvec2(by_mm, 0.0));
    }
    aside.to = End::Open(end.moved(dvec2(by_mm, 0.0)));
    Some(begun_at(aside, joint))
}

/// A vent of which the joint has slid along the run that it stands on, with the upright stretch from there.
fn slid_along(layout: &Layout, id: &Id, by_mm: f64) -> Option<Run> {
    let slid = layout.run(id)?.clone();
    let tee = tee_of_vent(layout, &slid)?;
    let mut slid = begun_at(slid, tee);
    let End::Tee(host, at) = &mut slid.from else { return None };
    let traces = Traces::of(layout);
    let line = traces.of_run(host)?;
    let was = line.point_at(at.to_mm());
    *at = Length::try_mm((at.to_mm() + by_mm).clamp(0.0, line.length())).ok()?;
    let by = line.point_at(at.to_mm()) - was;
    for bend in &mut slid.via {
        if (bend.x.to_mm() - was.x).abs() > UPRIGHT_MM {
            break;
        }
        *bend = bend.moved(dvec2(by.x, 0.0));
    }
    Some(begun_at(slid, tee))
}

pub(super) fn length_mm(layout: &Layout, id: &Id) -> Option<f64> {
    Some(Traces::of(layout).of_run(id)?.length())
}

/// Where the end of a run is that joins a port of a part, if one does.
pub(super) fn end_on(run: &Run, wanted: impl Fn(&Id, &Id) -> bool) -> Option<WhichEnd> {
    WhichEnd::BOTH.into_iter().find(|which| matches!(run.end(*which), End::Port(part, port) if wanted(part, port)))
}
