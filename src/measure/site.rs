//! The site: a layout with everything looked up once, so that each measure is a short function.

use std::sync::OnceLock;

use foldhash::{HashMap, HashSet};

use super::cold_feeds::{ColdFeeds, cold_feeds};
use super::fitted::{Fitted, fitted};
use super::heatings::HeatingWater;
use super::holes::{Off, off_their_vessels};
use super::one_level::OneLevel;
use super::vent_ways::{Carrying, Vents, carrying, vents_of_cylinders};
use super::venting::cylinders_without_vent;
use super::waters::Waters;
use super::{Leg, Place};
use crate::geom::{Polyline, is_same_place};
use crate::layout::{
    Building, Cistern, CisternRole, Cylinder, End, INLET, Id, Layout, PartRef, Run, Service, Survey, Traces, WhichEnd,
};
use crate::units::{Length, Level, Measured, Size};

/// A reading of a scale is good to half a millimetre each way (common practice, no source).
const READING_RESOLUTION_MM: f64 = 0.5;

/// A layout, indexed. Built in time proportional to n log n, and thrown away at the next edit.
pub struct Site<'a> {
    layout: &'a Layout,
    index: HashMap<&'a Id, PartRef<'a>>,
    traces: Traces,
    roof: Option<Polyline>,
    attached: HashMap<&'a Id, Vec<Attachment<'a>>>,
    fitted: Vec<Option<Vec<Fitted>>>,
    joints: Vec<Vec<Joint>>,
    carrying: Carrying,
    vents: OnceLock<Vents>,
    without_vent: OnceLock<HashSet<Id>>,
    heatings: OnceLock<Vec<HeatingWater>>,
    one_level: OnceLock<OneLevel>,
    waters: OnceLock<Waters>,
    cold_feeds: OnceLock<ColdFeeds>,
    off_vessels: OnceLock<Vec<Off>>,
}

/// A run's end on a part's port.
#[derive(Debug, Clone, Copy)]
pub struct Attachment<'a> {
    /// Which run, by its place in the layout.
    pub run: usize,
    /// Which end of it.
    pub end: WhichEnd,
    /// Which port of the part.
    pub port: &'a Id,
}

/// A place where one run meets another.
#[derive(Debug, Clone, Copy)]
pub struct Joint {
    /// How far along this run.
    pub at_mm: f64,
    /// The other run.
    pub other: usize,
    /// How far along the other.
    pub other_at_mm: f64,
}

impl<'a> Site<'a> {
    /// Looks everything up.
    #[must_use]
    pub fn of(layout: &'a Layout) -> Self {
        let index = layout.index();
        let traces = Traces::with_index(layout, &index);
        let mut attached: HashMap<&Id, Vec<Attachment<'_>>> = HashMap::default();
        for (number, run) in layout.runs.iter().enumerate() {
            for end in WhichEnd::BOTH {
                if let End::Port(part, port) = run.end(end) {
                    attached.entry(part).or_default().push(Attachment { run: number, end, port });
                }
            }
        }
        let roof = layout.building.roof.as_ref().and_then(crate::layout::Roof::line);
        let mut site = Self {
            layout,
            index,
            traces,
            roof,
            attached,
            fitted: Vec::new(),
            joints: Vec::new(),
            carrying: Carrying::default(),
            vents: OnceLock::new(),
            without_vent: OnceLock::new(),
            heatings: OnceLock::new(),
            one_level: OnceLock::new(),
            waters: OnceLock::new(),
            cold_feeds: OnceLock::new(),
            off_vessels: OnceLock::new(),
        };
        site.joints = site.find_joints();
        let runs = layout.runs.iter().enumerate();
        site.fitted = runs.map(|(number, run)| fitted(run, site.line(number), site.joints(number))).collect();
        site.carrying = carrying(&site);
        site
    }

    fn find_joints(&self) -> Vec<Vec<Joint>> {
        let mut joints: Vec<Vec<Joint>> = vec![Vec::new(); self.layout.runs.len()];
        let mut join = |a: usize, at_mm: f64, b: usize, b_at_mm: f64| {
            joints[a].push(Joint { at_mm, other: b, other_at_mm: b_at_mm });
            joints[b].push(Joint { at_mm: b_at_mm, other: a, other_at_mm: at_mm });
        };
        let mut first_on_port: HashMap<(&Id, &Id), (usize, f64)> = HashMap::default();
        for (number, run) in self.layout.runs.iter().enumerate() {
            for end in WhichEnd::BOTH {
                let Some(at_mm) = self.end_along(number, end) else { continue };
                match run.end(end) {
                    End::Tee(other, distance) => {
                        if let Some(other) = self.run_number(other) {
                            let other_at_mm = self.line(other).map_or(0.0, |line| line.joined_at(distance.to_mm()));
                            join(number, at_mm, other, other_at_mm);
                        }
                    }
                    End::Port(part, port) => match first_on_port.get(&(part, port)) {
                        Some(&(first, first_at_mm)) => join(number, at_mm, first, first_at_mm),
                        None => {
                            first_on_port.insert((part, port), (number, at_mm));
                        }
                    },
                    End::Open(_) | End::Onward(_) => {}
                }
            }
        }
        joints
    }

    /// The layout itself.
    #[must_use]
    pub const fn layout(&self) -> &'a Layout {
        self.layout
    }

    /// The building.
    #[must_use]
    pub const fn building(&self) -> &'a Building {
        &self.layout.building
    }

    /// The part of an id.
    #[must_use]
    pub fn part(&self, id: &Id) -> Option<PartRef<'a>> {
        self.index.get(id).copied()
    }

    /// The part on which an end of a run hangs.
    #[must_use]
    pub fn part_at(&self, end: &End) -> Option<PartRef<'a>> {
        self.part(end.hangs_on()?.0)
    }

    /// The cistern on which an end of a run hangs.
    #[must_use]
    pub fn cistern_at(&self, end: &End) -> Option<&'a Cistern> {
        match self.part_at(end)? {
            PartRef::Cistern(cistern) => Some(cistern),
            _ => None,
        }
    }

    /// The roof's underside.
    #[must_use]
    pub const fn roof(&self) -> Option<&Polyline> {
        self.roof.as_ref()
    }

    /// The storage cisterns.
    pub fn storage_cisterns(&self) -> impl Iterator<Item = &'a Cistern> + use<'a> {
        self.layout.cisterns.iter().filter(|cistern| cistern.role == CisternRole::Storage)
    }

    /// The feed-and-expansion cisterns.
    pub(super) fn expansion_cisterns(&self) -> impl Iterator<Item = &'a Cistern> + use<'a> {
        self.layout.cisterns.iter().filter(|cistern| cistern.role == CisternRole::FeedAndExpansion)
    }

    /// A run by its number.
    #[must_use]
    pub fn run(&self, number: usize) -> &'a Run {
        &self.layout.runs[number]
    }

    /// The number of a run.
    #[must_use]
    pub fn run_number(&self, id: &Id) -> Option<usize> {
        self.traces.number(id)
    }

    /// The line of a run; `None` when it has no length.
    #[must_use]
    pub fn line(&self, run: usize) -> Option<&Polyline> {
        self.traces.line(run)
    }

    /// The levels of a run's vertices between two places along it, mm; `None` when it has no length.
    pub(crate) fn levels_mm(&self, run: usize, along_mm: (f64, f64)) -> Option<impl Iterator<Item = f64> + use<>> {
        Some(self.line(run)?.between(along_mm.0, along_mm.1).into_iter().map(|point| point.y))
    }

    /// The highest of them.
    pub(crate) fn crest_mm(&self, run: usize, along_mm: (f64, f64)) -> Option<f64> {
        self.levels_mm(run, along_mm)?.reduce(f64::max)
    }

    /// How far along its line an end of a run is.
    #[must_use]
    pub fn end_along(&self, run: usize, end: WhichEnd) -> Option<f64> {
        let line = self.line(run)?;
        Some(match end {
            WhichEnd::From => 0.0,
            WhichEnd::To => line.length(),
        })
    }

    /// The run of an attached pipe, and how far along its line it is attached, mm.
    #[must_use]
    pub fn end_of(&self, pipe: &Attachment<'_>) -> Option<(usize, f64)> {
        Some((pipe.run, self.end_along(pipe.run, pipe.end)?))
    }

    /// Runs that end on a part.
    #[must_use]
    pub fn attached(&self, part: &Id) -> &[Attachment<'a>] {
        self.attached.get(part).map_or(&[], Vec::as_slice)
    }

    /// Runs of a service that end on a part.
    pub fn attached_of(&self, part: &Id, service: Service) -> impl Iterator<Item = Attachment<'a>> + '_ {
        self.attached(part).iter().copied().filter(move |attachment| self.run(attachment.run).service == service)
    }

    /// Runs that end on a port of a part.
    pub fn on_port(&self, part: &Id, port: &str) -> impl Iterator<Item = &Attachment<'a>> {
        self.attached(part).iter().filter(move |pipe| pipe.port.as_str() == port)
    }

    /// Whether a run ends on a port of a part.
    #[must_use]
    pub fn has_pipe_on(&self, part: &Id, port: &str) -> bool {
        self.on_port(part, port).next().is_some()
    }

    /// Runs by which water may leave a cistern: those that end on it, but not on its float valve.
    pub fn out_of(&self, cistern: &Id) -> impl Iterator<Item = &Attachment<'a>> + use<'_, 'a> {
        self.attached(cistern).iter().filter(|pipe| pipe.port.as_str() != INLET)
    }

    /// Where runs by which water may leave the storage cisterns begin: the run, and how far along its line, mm.
    pub(super) fn out_of_storage(&self) -> impl Iterator<Item = (usize, f64)> {
        let pipes = self.storage_cisterns().flat_map(|cistern| self.out_of(&cistern.id));
        pipes.filter_map(|pipe| self.end_of(pipe))
    }

    /// Whether an end of a run is at a distance along it, mm.
    pub(super) fn is_end_at(&self, run: usize, end: WhichEnd, at_mm: f64) -> bool {
        self.end_along(run, end).is_some_and(|end_mm| is_same_place(end_mm, at_mm))
    }

    /// The ends of a run that are at a distance along it, mm.
    pub(super) fn ends_at(&self, run: usize, at_mm: f64) -> impl Iterator<Item = WhichEnd> {
        WhichEnd::BOTH.into_iter().filter(move |end| self.is_end_at(run, *end, at_mm))
    }

    /// Where runs meet a run.
    #[must_use]
    pub fn joints(&self, run: usize) -> &[Joint] {
        &self.joints[run]
    }

    /// Where runs meet a run at a distance along it, mm.
    pub(super) fn joints_at(&self, run: usize, at_mm: f64) -> impl Iterator<Item = &Joint> {
        self.joints(run).iter().filter(move |joint| is_same_place(joint.at_mm, at_mm))
    }

    /// By run: the stretches of vents that carry water.
    pub(super) const fn carrying(&self) -> &Carrying {
        &self.carrying
    }

    /// The paths to the open ends of a cylinder's vents, found when they are first asked for.
    #[must_use]
    pub fn vent_paths(&self, cylinder: &Cylinder) -> &[Vec<Leg>] {
        let vents = self.vents.get_or_init(|| vents_of_cylinders(self));
        vents.get(&cylinder.id).map_or(&[], Vec::as_slice)
    }

    /// The cylinders that have no open vent for certain, found when they are first asked for.
    #[must_use]
    pub fn without_vent(&self) -> &HashSet<Id> {
        self.without_vent.get_or_init(|| cylinders_without_vent(self))
    }

    /// The cold feed of each cylinder, found when one is first asked for.
    pub(super) fn cold_feeds(&self) -> &ColdFeeds {
        self.cold_feeds.get_or_init(|| cold_feeds(self))
    }

    /// What is told by its place on a vessel and lies beyond its edge, found when it is first asked for.
    #[must_use]
    pub fn off_vessels(&self) -> &[Off] {
        self.off_vessels.get_or_init(|| off_their_vessels(self))
    }

    /// What is told beyond the edge of its vessel at a place.
    #[must_use]
    pub fn off_vessel(&self, place: &Place) -> Option<&Off> {
        self.off_vessels().iter().find(|off| off.place == *place)
    }

    /// The heatings, found when they are first asked for.
    pub(super) fn heatings(&self) -> &[HeatingWater] {
        self.heatings.get_or_init(|| self.find_heatings())
    }

    /// Which cisterns stand in one water, found when it is first asked for.
    pub(super) fn one_level(&self) -> &OneLevel {
        self.one_level.get_or_init(|| OneLevel::of(self))
    }

    /// Which waters are one, found when it is first asked for.
    pub(super) fn waters(&self) -> &Waters {
        self.waters.get_or_init(|| Waters::of(self))
    }

    /// Whether another run is joined to an end of this one.
    #[must_use]
    pub fn is_joined_at_end(&self, run: usize, end: WhichEnd) -> bool {
        self.end_along(run, end).is_some_and(|end_mm| self.joints_at(run, end_mm).next().is_some())
    }

    /// A hole of a cistern on which no pipe is drawn yet.
    pub(super) fn hole_without_pipe<'c>(&self, cistern: &'c Cistern) -> Option<&'c Id> {
        cistern.connections.iter().map(|hole| &hole.port).find(|port| !self.has_pipe_on(&cistern.id, port.as_str()))
    }

    /// The ports of a cistern by which warning pipes leave.
    #[must_use]
    pub fn warning_ports(&self, cistern: &Cistern) -> Vec<&'a Id> {
        self.attached_of(&cistern.id, Service::WarningPipe).map(|attachment| attachment.port).collect()
    }

    pub(super) fn fitted_in(&self) -> &[Option<Vec<Fitted>>] {
        &self.fitted
    }

    /// A level, as well as it was measured from the datum.
    #[must_use]
    pub fn level(&self, level: Level) -> Measured {
        self.taped(level.to_mm())
    }

    /// A length, as well as it was measured.
    #[must_use]
    pub fn length(&self, length: Length) -> Measured {
        self.taped(length.to_mm())
    }

    /// A size, as well as it was measured.
    #[must_use]
    pub fn size(&self, size: Size) -> Measured {
        self.taped(size.to_mm())
    }

    /// A distance in mm, as well as the tape and the reader's eye allow (JCGM 100:2008; SI 2016/1153 Schedule 1I).
    #[must_use]
    pub fn taped(&self, mm: f64) -> Measured {
        match self.layout.survey {
            Survey::Designed => Measured::exact(mm),
            Survey::Surveyed(class) => Measured::within(mm, class.greatest_error_mm(mm)).blurred(READING_RESOLUTION_MM),
        }
    }
}
