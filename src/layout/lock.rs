//! Dimensions that are held: no drag, no typed number and no mending changes them until they are let go.

use glam::DVec2;
use serde::{Deserialize, Serialize};

use super::{BrokenReference, Id, Layout, PartRef, Traces, gradient_of};
use crate::units::{Length, Size};

/// A dimension that differs by no more than this is the same, mm (or mm per m for a fall).
const SAME: f64 = 1e-3;

/// One dimension of one part that is held.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lock {
    /// Whose.
    pub part: Id,
    /// Which.
    pub holds: Held,
}

/// What a lock holds.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Held {
    /// Where it stands from left to right.
    Across,
    /// At what level it stands.
    Level,
    /// Its size along the section.
    Length,
    /// Its height.
    Height,
    /// The water line of a cistern, above its base.
    WaterLine,
    /// How far up or along a connection is.
    Port(Id),
    /// The fall of a run's near-level stretches.
    Fall,
    /// How far to the right of another part it stands, place from place.
    AcrossFrom(Id),
    /// How far above another part it stands, place from place.
    UpFrom(Id),
}

impl Held {
    /// The dimension in words.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Across => "place from left to right".to_owned(),
            Self::Level => "level".to_owned(),
            Self::Length => "length".to_owned(),
            Self::Height => "height".to_owned(),
            Self::WaterLine => "water line".to_owned(),
            Self::Port(port) => format!("{} connection", port.spoken()),
            Self::Fall => "fall".to_owned(),
            Self::AcrossFrom(other) => format!("distance across from {}", other.spoken()),
            Self::UpFrom(other) => format!("distance up from {}", other.spoken()),
        }
    }

    /// The part from which a distance is held.
    #[must_use]
    pub const fn other(&self) -> Option<&Id> {
        match self {
            Self::AcrossFrom(other) | Self::UpFrom(other) => Some(other),
            _ => None,
        }
    }

    fn other_mut(&mut self) -> Option<&mut Id> {
        match self {
            Self::AcrossFrom(other) | Self::UpFrom(other) => Some(other),
            _ => None,
        }
    }
}

impl Lock {
    /// What is held, in words.
    #[must_use]
    pub fn words(&self) -> String {
        format!("the {} of {}", self.holds.words(), self.part.spoken())
    }

    /// Whether a part has a share in what is held.
    #[must_use]
    pub fn concerns(&self, part: &Id) -> bool {
        self.part == *part || self.holds.other() == Some(part)
    }

    /// Whether both hold the same, read from either of two parts.
    #[must_use]
    pub fn is_same_as(&self, lock: &Self) -> bool {
        let turned = || match (&self.holds, &lock.holds) {
            (Held::AcrossFrom(from), Held::AcrossFrom(to)) | (Held::UpFrom(from), Held::UpFrom(to)) => {
                *from == lock.part && *to == self.part
            }
            _ => false,
        };
        self == lock || turned()
    }

    /// Gives a part another name, wherever it is named.
    pub(super) fn rename(&mut self, from: &Id, to: &Id) {
        for id in std::iter::once(&mut self.part).chain(self.holds.other_mut()) {
            if id == from {
                id.clone_from(to);
            }
        }
    }

    /// Whether it keeps parts that move together from moving across or up.
    fn keeps(&self, moving: &[Id]) -> Option<Held> {
        match &self.holds {
            Held::Across | Held::Level if moving.contains(&self.part) => Some(self.holds.clone()),
            // Where both move the distance stays.
            Held::AcrossFrom(other) if moving.contains(&self.part) != moving.contains(other) => Some(Held::Across),
            Held::UpFrom(other) if moving.contains(&self.part) != moving.contains(other) => Some(Held::Level),
            _ => None,
        }
    }

    pub(super) fn idle(&self) -> BrokenReference {
        BrokenReference::NothingToHold { part: self.part.clone(), what: format!("the {}", self.holds.words()) }
    }
}

impl Layout {
    /// What of a part can be held, in the order in which it is offered.
    #[must_use]
    pub fn holdable(&self, part: &Id) -> Vec<Held> {
        let Some(found) = self.part(part) else { return Vec::new() };
        let ports = match found {
            PartRef::Cistern(_) => found.ports().into_iter().map(|(port, _)| Held::Port(port)).collect(),
            PartRef::Cylinder(cylinder) => {
                cylinder.connections.iter().map(|hole| Held::Port(hole.port.clone())).collect()
            }
            _ => Vec::new(),
        };
        let fixed = [Held::Across, Held::Level, Held::Length, Held::Height, Held::WaterLine, Held::Fall];
        let lock = |holds: Held| Lock { part: part.clone(), holds };
        fixed.into_iter().chain(ports).filter(|holds| self.has_dimension(&lock(holds.clone()))).collect()
    }

    /// The distances between two parts that can be held, across and up; empty where one has no place of its own.
    #[must_use]
    pub fn distances(&self, part: &Id, from: &Id) -> Vec<Lock> {
        let lock = |holds: Held| Lock { part: part.clone(), holds };
        let both = [lock(Held::AcrossFrom(from.clone())), lock(Held::UpFrom(from.clone()))];
        both.into_iter().filter(|lock| self.has_dimension(lock)).collect()
    }

    /// Whether a dimension is held.
    #[must_use]
    pub fn is_held(&self, part: &Id, holds: &Held) -> bool {
        self.locks.iter().any(|lock| lock.part == *part && lock.holds == *holds)
    }

    /// The lock that holds the same as another, if there is one.
    #[must_use]
    pub fn held_as(&self, lock: &Lock) -> Option<&Lock> {
        self.locks.iter().find(|held| held.is_same_as(lock))
    }

    /// Which ways parts can be moved together, with what stands on them: 1 across or up where nothing is held, else 0.
    #[must_use]
    pub fn freedom(&self, parts: &[Id]) -> DVec2 {
        let moving = self.with_all_that_stands_on(parts);
        let kept: Vec<Held> = self.locks.iter().filter_map(|lock| lock.keeps(&moving)).collect();
        let free = |holds: Held| if kept.contains(&holds) { 0.0 } else { 1.0 };
        DVec2::new(free(Held::Across), free(Held::Level))
    }

    /// What keeps parts from being moved freely, in words; empty when nothing does.
    #[must_use]
    pub fn holding_words(&self, parts: &[Id]) -> String {
        let moving = self.with_all_that_stands_on(parts);
        let holding = self.locks.iter().filter(|lock| lock.keeps(&moving).is_some());
        let words: Vec<String> = holding.map(Lock::words).collect();
        if words.is_empty() { String::new() } else { format!("{} held", words.join(" and ")) }
    }

    /// The value of a dimension, mm (a fall: mm per m; a distance is negative to the left and down); `None` when the
    /// part has none such.
    #[must_use]
    pub fn dimension(&self, lock: &Lock) -> Option<f64> {
        let part = self.part(&lock.part)?;
        match &lock.holds {
            Held::Across => part.at().map(|at| at.x.to_mm()),
            Held::Level => part.at().map(|at| at.z.to_mm()),
            Held::Length => match part {
                PartRef::Platform(platform) => Some(platform.length.to_mm()),
                PartRef::Cistern(cistern) => Some(cistern.length.to_mm()),
                PartRef::Cylinder(cylinder) => Some(cylinder.diameter.to_mm()),
                PartRef::Boiler(boiler) => Some(boiler.length.to_mm()),
                PartRef::Outlet(_) | PartRef::Run(_) | PartRef::Note(_) => None,
            },
            Held::Height => match part {
                PartRef::Cistern(cistern) => Some(cistern.height),
                PartRef::Cylinder(cylinder) => Some(cylinder.height),
                PartRef::Boiler(boiler) => Some(boiler.height),
                PartRef::Platform(_) | PartRef::Outlet(_) | PartRef::Run(_) | PartRef::Note(_) => None,
            }
            .map(Size::to_mm),
            Held::WaterLine => match part {
                PartRef::Cistern(cistern) => cistern.water_line.map(Length::to_mm),
                _ => None,
            },
            Held::Port(port) => match part {
                PartRef::Cistern(cistern) => cistern.tapping(port.as_str()),
                PartRef::Cylinder(cylinder) => cylinder.tapping(port.as_str()),
                _ => None,
            }
            .map(|tapping| tapping.distance().to_mm()),
            Held::Fall => {
                gradient_of(Traces::of(self).of_run(&lock.part)?.vertices()).map(|gradient| gradient * 1000.0)
            }
            Held::AcrossFrom(other) | Held::UpFrom(other) if *other == lock.part => None,
            Held::AcrossFrom(other) => Some((part.at()?.x - self.part(other)?.at()?.x).to_mm()),
            Held::UpFrom(other) => Some((part.at()?.z - self.part(other)?.at()?.z).to_mm()),
        }
    }

    pub(super) fn has_dimension(&self, lock: &Lock) -> bool {
        self.dimension(lock).is_some()
    }

    /// Lets go what is no longer there to be held.
    pub(super) fn forget_idle_locks(&mut self) {
        if !self.locks.is_empty() {
            let mut locks = std::mem::take(&mut self.locks);
            locks.retain(|lock| self.has_dimension(lock));
            self.locks = locks;
        }
    }

    /// The first dimension that was held before and is another now.
    pub(super) fn first_lock_broken_since(&self, before: &Self) -> Option<&Lock> {
        let was = |lock: &Lock| before.locks.contains(lock).then(|| before.dimension(lock)).flatten();
        self.locks.iter().find(
            |lock| matches!((was(lock), self.dimension(lock)), (Some(was), Some(now)) if (was - now).abs() > SAME),
        )
    }
}
