//! The whole layout: all parts of one drawing, looked up by id, with its references checked.

use foldhash::{HashMap, HashSet};
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::{
    Boiler, Building, Cistern, Climate, Cylinder, End, Heading, Id, Lock, Note, Outlet, Platform, Run, Survey, Traces,
    WhichEnd,
};
use crate::geom::Point;
use crate::units::Length;

/// The format that this program writes.
pub const FORMAT: u32 = 1;

/// A layout: everything that is drawn, and nothing that is derived.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Layout {
    /// Version of the file format.
    pub format: u32,
    /// Title block.
    #[serde(default)]
    pub heading: Heading,
    /// How the dimensions came about.
    #[serde(default)]
    pub survey: Survey,
    /// The building.
    #[serde(default)]
    pub building: Building,
    /// What warming and frost are reckoned with.
    #[serde(default, skip_serializing_if = "Climate::is_untold")]
    pub climate: Climate,
    /// Platforms.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub platforms: Vec<Platform>,
    /// Cisterns.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cisterns: Vec<Cistern>,
    /// Cylinders.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cylinders: Vec<Cylinder>,
    /// Boilers.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub boilers: Vec<Boiler>,
    /// Outlets and appliances.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub outlets: Vec<Outlet>,
    /// Pipe runs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub runs: Vec<Run>,
    /// Notes on the drawing.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<Note>,
    /// Dimensions that are held.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub locks: Vec<Lock>,
}

impl Default for Layout {
    fn default() -> Self {
        Self {
            format: FORMAT,
            heading: Heading::default(),
            survey: Survey::default(),
            building: Building::default(),
            climate: Climate::default(),
            platforms: Vec::new(),
            cisterns: Vec::new(),
            cylinders: Vec::new(),
            boilers: Vec::new(),
            outlets: Vec::new(),
            runs: Vec::new(),
            notes: Vec::new(),
            locks: Vec::new(),
        }
    }
}

/// A part of any kind, by itself.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Part {
    /// A platform.
    Platform(Platform),
    /// A cistern.
    Cistern(Cistern),
    /// A cylinder.
    Cylinder(Cylinder),
    /// A boiler.
    Boiler(Boiler),
    /// An outlet or appliance.
    Outlet(Outlet),
    /// A pipe run.
    Run(Run),
    /// A note.
    Note(Note),
}

/// A part of any kind, where it stands in a layout.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PartRef<'a> {
    /// A platform.
    Platform(&'a Platform),
    /// A cistern.
    Cistern(&'a Cistern),
    /// A cylinder.
    Cylinder(&'a Cylinder),
    /// A boiler.
    Boiler(&'a Boiler),
    /// An outlet or appliance.
    Outlet(&'a Outlet),
    /// A pipe run.
    Run(&'a Run),
    /// A note.
    Note(&'a Note),
}

/// A reference in a layout that leads nowhere.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum BrokenReference {
    /// Two parts have one id.
    #[error("two parts are called '{id}'; give one of them another id")]
    Twice {
        /// The id.
        id: Id,
    },
    /// A run ends on a part that is not there.
    #[error("run '{run}' refers to '{part}', which is not there; the parts are: {known}")]
    NoSuchPart {
        /// The run.
        run: Id,
        /// What it refers to.
        part: Id,
        /// What there is.
        known: String,
    },
    /// A run ends on a port that the part does not have.
    #[error("run '{run}' ends on port '{port}' of '{part}', which has no such port; it has: {known}")]
    NoSuchPort {
        /// The run.
        run: Id,
        /// The part.
        part: Id,
        /// The port.
        port: Id,
        /// What ports there are.
        known: String,
    },
    /// Runs that begin on each other have no place.
    #[error("run '{run}' starts on a run that starts on it in turn; end one of them on a part or at a point")]
    TeeCycle {
        /// One of the runs.
        run: Id,
    },
    /// A lock holds something that its part does not have.
    #[error("a lock holds {what} of '{part}', which has no such dimension; take the lock out")]
    NothingToHold {
        /// The part.
        part: Id,
        /// What it would hold.
        what: String,
    },
    /// The roof line is no line.
    #[error("the roof's underside has fewer than two different points; give at least two, or leave the roof out")]
    RoofIsNoLine,
}

impl BrokenReference {
    /// The word to look for in the file's text, to point at the place.
    #[must_use]
    pub fn word(&self) -> &str {
        match self {
            Self::Twice { id } => id.as_str(),
            Self::NoSuchPart { part, .. } => part.as_str(),
            Self::NoSuchPort { port, .. } => port.as_str(),
            Self::TeeCycle { run } => run.as_str(),
            Self::NothingToHold { .. } => "locks",
            Self::RoofIsNoLine => "underside",
        }
    }
}

impl Layout {
    /// All parts, in painting order.
    pub fn parts(&self) -> impl Iterator<Item = PartRef<'_>> {
        let platforms = self.platforms.iter().map(PartRef::Platform);
        let cisterns = self.cisterns.iter().map(PartRef::Cistern);
        let cylinders = self.cylinders.iter().map(PartRef::Cylinder);
        let boilers = self.boilers.iter().map(PartRef::Boiler);
        let outlets = self.outlets.iter().map(PartRef::Outlet);
        let runs = self.runs.iter().map(PartRef::Run);
        let notes = self.notes.iter().map(PartRef::Note);
        platforms.chain(cisterns).chain(cylinders).chain(boilers).chain(outlets).chain(runs).chain(notes)
    }

    /// The part of an id.
    #[must_use]
    pub fn part(&self, id: &Id) -> Option<PartRef<'_>> {
        self.parts().find(|part| part.id() == id)
    }

    /// The pipe run of an id.
    #[must_use]
    pub fn run(&self, id: &Id) -> Option<&Run> {
        self.runs.iter().find(|run| run.id == *id)
    }

    /// The cistern of an id.
    #[must_use]
    pub fn cistern(&self, id: &Id) -> Option<&Cistern> {
        self.cisterns.iter().find(|cistern| cistern.id == *id)
    }

    /// The cylinder of an id.
    #[must_use]
    pub fn cylinder(&self, id: &Id) -> Option<&Cylinder> {
        self.cylinders.iter().find(|cylinder| cylinder.id == *id)
    }

    /// The platform of an id.
    #[must_use]
    pub fn platform(&self, id: &Id) -> Option<&Platform> {
        self.platforms.iter().find(|platform| platform.id == *id)
    }

    /// The outlet of an id.
    #[must_use]
    pub fn outlet(&self, id: &Id) -> Option<&Outlet> {
        self.outlets.iter().find(|outlet| outlet.id == *id)
    }

    /// Parts by id, for many look-ups.
    #[must_use]
    pub fn index(&self) -> HashMap<&Id, PartRef<'_>> {
        self.parts().map(|part| (part.id(), part)).collect()
    }

    /// An id that is free: `wish`, or `wish-2`, `wish-3`...
    #[must_use]
    pub fn free_id(&self, wish: &str) -> Id {
        let taken: HashSet<&str> = self.parts().map(|part| part.id().as_str()).collect();
        let mut number = 1_u32;
        loop {
            let candidate = if number == 1 { wish.to_owned() } else { format!("{wish}-{number}") };
            if !taken.contains(candidate.as_str()) {
                return Id::of(&candidate);
            }
            number += 1;
        }
    }

    /// Puts a part in place of the one of an id and of its kind, or after the others of its kind where there is none.
    pub(super) fn replace_or_add(&mut self, old: &Id, part: Part) {
        fn set<T>(parts: &mut Vec<T>, part: T, is_old: impl Fn(&T) -> bool) {
            match parts.iter_mut().find(|other| is_old(other)) {
                Some(place) => *place = part,
                None => parts.push(part),
            }
        }
        match part {
            Part::Platform(part) => set(&mut self.platforms, part, |other| other.id == *old),
            Part::Cistern(part) => set(&mut self.cisterns, part, |other| other.id == *old),
            Part::Cylinder(part) => set(&mut self.cylinders, part, |other| other.id == *old),
            Part::Boiler(part) => set(&mut self.boilers, part, |other| other.id == *old),
            Part::Outlet(part) => set(&mut self.outlets, part, |other| other.id == *old),
            Part::Run(part) => set(&mut self.runs, part, |other| other.id == *old),
            Part::Note(part) => set(&mut self.notes, part, |other| other.id == *old),
        }
    }

    /// The same with the water of some cisterns at other levels, mm above the datum.
    #[must_use]
    pub fn with_water_at(&self, levels_mm: &[(Id, f64)]) -> Self {
        let mut layout = self.clone();
        for cistern in &mut layout.cisterns {
            if let Some((_, level_mm)) = levels_mm.iter().find(|(id, _)| *id == cistern.id) {
                cistern.water_line = Some(Length::mm(level_mm - cistern.at.z.to_mm()));
            }
        }
        layout
    }

    /// The references that lead nowhere, the first hundred of them; empty in a layout that can be drawn.
    #[must_use]
    pub fn broken_references(&self) -> Vec<BrokenReference> {
        const ENOUGH: usize = 100;
        let mut broken = Vec::new();
        let mut seen = HashSet::default();
        let twice = self.parts().filter(|part| !seen.insert(part.id()));
        broken.extend(twice.map(|part| BrokenReference::Twice { id: part.id().clone() }).take(ENOUGH));
        let index = self.index();
        let ends = self.runs.iter().flat_map(|run| [(run, WhichEnd::From), (run, WhichEnd::To)]);
        broken.extend(ends.filter_map(|(run, which)| broken_end(run, which, &index)).take(ENOUGH));
        if broken.is_empty() {
            let cyclic = Traces::of(self).cyclic();
            let in_ring = |run: usize| BrokenReference::TeeCycle { run: self.runs[run].id.clone() };
            broken.extend(cyclic.into_iter().map(in_ring).take(ENOUGH));
        }
        let idle = self.locks.iter().filter(|lock| !self.has_dimension(lock));
        broken.extend(idle.map(Lock::idle).take(ENOUGH));
        if self.building.roof.as_ref().is_some_and(|roof| roof.line().is_none()) {
            broken.push(BrokenReference::RoofIsNoLine);
        }
        broken
    }
}

fn broken_end(run: &Run, which: WhichEnd, index: &HashMap<&Id, PartRef<'_>>) -> Option<BrokenReference> {
    let no_such_part = |part: &Id| BrokenReference::NoSuchPart {
        run: run.id.clone(),
        part: part.clone(),
        known: listed(index.keys().map(|id| id.as_str()).collect()),
    };
    match run.end(which) {
        End::Open(_) | End::Onward(_) => None,
        End::Tee(other, _) => match index.get(other) {
            Some(PartRef::Run(_)) => None,
            _ => Some(no_such_part(other)),
        },
        End::Port(part, port) => match index.get(part) {
            None => Some(no_such_part(part)),
            Some(found) if found.port(port.as_str()).is_some() => None,
            Some(found) => Some(BrokenReference::NoSuchPort {
                run: run.id.clone(),
                part: part.clone(),
                port: port.clone(),
                known: listed(found.ports().iter().map(|(id, _)| id.as_str()).collect()),
            }),
        },
    }
}

/// The first dozen of some words in order, or "none".
fn listed(mut words: Vec<&str>) -> String {
    const ENOUGH: usize = 12;
    words.sort_unstable();
    let more = words.len().saturating_sub(ENOUGH);
    words.truncate(ENOUGH);
    match (words.is_empty(), more) {
        (true, _) => "none".to_owned(),
        (false, 0) => words.join(", "),
        (false, more) => format!("{} and {more} more", words.join(", ")),
    }
}

impl<'a> PartRef<'a> {
    /// Its id.
    #[must_use]
    pub const fn id(&self) -> &'a Id {
        match self {
            Self::Platform(part) => &part.id,
            Self::Cistern(part) => &part.id,
            Self::Cylinder(part) => &part.id,
            Self::Boiler(part) => &part.id,
            Self::Outlet(part) => &part.id,
            Self::Run(part) => &part.id,
            Self::Note(part) => &part.id,
        }
    }

    /// Its place; `None` for a run, which has many.
    #[must_use]
    pub const fn at(&self) -> Option<Point> {
        match self {
            Self::Platform(part) => Some(part.at),
            Self::Cistern(part) => Some(part.at),
            Self::Cylinder(part) => Some(part.at),
            Self::Boiler(part) => Some(part.at),
            Self::Outlet(part) => Some(part.at),
            Self::Note(part) => Some(part.at),
            Self::Run(_) => None,
        }
    }

    /// A copy that stands by itself.
    #[must_use]
    pub fn to_part(&self) -> Part {
        match *self {
            Self::Platform(part) => Part::Platform(part.clone()),
            Self::Cistern(part) => Part::Cistern(part.clone()),
            Self::Cylinder(part) => Part::Cylinder(part.clone()),
            Self::Boiler(part) => Part::Boiler(part.clone()),
            Self::Outlet(part) => Part::Outlet(part.clone()),
            Self::Run(part) => Part::Run(part.clone()),
            Self::Note(part) => Part::Note(part.clone()),
        }
    }
}

impl Part {
    /// Its id.
    #[must_use]
    pub const fn id(&self) -> &Id {
        self.as_ref().id()
    }

    /// Its id, to change.
    pub(super) const fn id_mut(&mut self) -> &mut Id {
        match self {
            Self::Platform(part) => &mut part.id,
            Self::Cistern(part) => &mut part.id,
            Self::Cylinder(part) => &mut part.id,
            Self::Boiler(part) => &mut part.id,
            Self::Outlet(part) => &mut part.id,
            Self::Run(part) => &mut part.id,
            Self::Note(part) => &mut part.id,
        }
    }

    /// The part, borrowed.
    #[must_use]
    pub const fn as_ref(&self) -> PartRef<'_> {
        match self {
            Self::Platform(part) => PartRef::Platform(part),
            Self::Cistern(part) => PartRef::Cistern(part),
            Self::Cylinder(part) => PartRef::Cylinder(part),
            Self::Boiler(part) => PartRef::Boiler(part),
            Self::Outlet(part) => PartRef::Outlet(part),
            Self::Run(part) => PartRef::Run(part),
            Self::Note(part) => PartRef::Note(part),
        }
    }

    /// Its place, to change; `None` for a run, which has many.
    pub const fn at_mut(&mut self) -> Option<&mut Point> {
        match self {
            Self::Platform(part) => Some(&mut part.at),
            Self::Cistern(part) => Some(&mut part.at),
            Self::Cylinder(part) => Some(&mut part.at),
            Self::Boiler(part) => Some(&mut part.at),
            Self::Outlet(part) => Some(&mut part.at),
            Self::Note(part) => Some(&mut part.at),
            Self::Run(_) => None,
        }
    }
}
