//! Where a pipe may begin or end: a port, a new hole in a cistern, a tee on another run, or free air.

use glam::{DVec2, dvec2};

use super::closing::closes_ring;
use super::hit::{Lines, extent};
use super::snap::{SnapMarks, Snapping, line_words};
use crate::layout::{
    Cistern, Connection, Edit, End, FloatValve, INLET, Id, Layout, Part, PartRef, Run, Service, Tapping, WhichEnd,
};
use crate::units::Length;

/// How near the side of a cistern or another run must be to catch, in points.
const REACH: f32 = 9.0;
/// New holes are set out in steps of this, mm.
const HOLE_STEP_MM: f64 = 5.0;

/// A place where a run may begin or end.
#[derive(Debug, Clone, PartialEq)]
pub enum Anchor {
    /// A port that is there.
    Port {
        /// Whose.
        part: Id,
        /// Which.
        port: Id,
        /// Where.
        at: DVec2,
        /// Which way a pipe leaves it.
        way: Way,
    },
    /// A place on a cistern where a hole will be made.
    Side {
        /// Whose.
        cistern: Id,
        /// Where on it.
        tapping: Tapping,
        /// Where in the section.
        at: DVec2,
    },
    /// A place on another run.
    Tee {
        /// Which.
        run: Id,
        /// How far along it, mm.
        along_mm: f64,
        /// Where.
        at: DVec2,
        /// Which way a branch leaves it.
        way: Way,
    },
    /// Anywhere else.
    Free {
        /// Where.
        at: DVec2,
        /// The level that it snapped to.
        level: Option<String>,
        /// The upright line that it snapped to.
        upright: Option<String>,
        /// A run that is there, and that it does not join.
        beside: Option<Id>,
    },
}

/// For what a place is sought.
#[derive(Debug, Clone, Copy)]
pub struct Sought<'a> {
    /// The service of the pipe that is to begin or end there.
    pub service: Service,
    /// Suspended, it passes the runs that it would join, and joins those that it would cross.
    pub snapping: Snapping,
    /// The part or run on which its other end is: nobody means to come back to that.
    pub other_end_on: Option<&'a Id>,
    /// The run whose end it is, where that is drawn already.
    pub in_hand: Option<&'a Run>,
}

impl Sought<'_> {
    /// Whether a run is joined where both meet.
    fn joins(&self, layout: &Layout, run: &Run) -> bool {
        let is_everyday = self.service.joins(run.service) && !self.comes_back_to(layout, run);
        is_everyday == (self.snapping == Snapping::On)
    }

    /// Whether a tee on a run would close a ring. One that is there already may be slid.
    fn comes_back_to(&self, layout: &Layout, run: &Run) -> bool {
        let Some(other_end_on) = self.other_end_on else { return false };
        let is_there = |own: &Run| WhichEnd::BOTH.iter().any(|which| own.end(*which).teed_on() == Some(&run.id));
        if other_end_on != &run.id && self.in_hand.is_some_and(is_there) {
            return false;
        }
        closes_ring(layout, self.service, (other_end_on, &run.id), self.in_hand.map(|own| &own.id))
    }
}

/// Which way a stretch of pipe runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Level.
    Level,
    /// Upright.
    Upright,
}

impl Way {
    /// The way of a direction.
    #[must_use]
    pub fn of(direction: DVec2) -> Self {
        if direction.x.abs() >= direction.y.abs() { Self::Level } else { Self::Upright }
    }

    const fn across(self) -> Self {
        match self {
            Self::Level => Self::Upright,
            Self::Upright => Self::Level,
        }
    }
}

impl Anchor {
    /// What a pipe's end would catch at a point.
    #[must_use]
    pub fn find(
        layout: &Layout,
        lines: &Lines<'_>,
        marks: &SnapMarks,
        point: DVec2,
        mm_per_point: f64,
        sought: Sought<'_>,
    ) -> Self {
        let reach = f64::from(REACH) * mm_per_point;
        if let Some((at, part, port)) = marks.port_near(point, mm_per_point, Some(sought.service)) {
            let way = layout.part(&part).map_or(Way::Upright, |found| way_out(found, at));
            return Self::Port { part, port, at, way };
        }
        if let Some(side) = layout.cisterns.iter().find_map(|cistern| hole_in(cistern, point, reach)) {
            return side;
        }
        let near = layout.runs.iter().filter_map(|run| {
            let line = lines.line(&run.id)?;
            let (along_mm, off_mm) = line.nearest(point);
            (off_mm <= reach).then_some((run, line, along_mm, off_mm))
        });
        let (joined, passed): (Vec<_>, Vec<_>) = near.partition(|(run, ..)| sought.joins(layout, run));
        if let Some((run, line, along_mm, _)) = joined.into_iter().min_by(|a, b| a.3.total_cmp(&b.3)) {
            let along_mm = (along_mm / HOLE_STEP_MM).round() * HOLE_STEP_MM;
            let way = Way::of(line.direction_at(along_mm)).across();
            return Self::Tee { at: line.point_at(along_mm), along_mm, way, run: run.id.clone() };
        }
        let beside = passed.into_iter().min_by(|a, b| a.3.total_cmp(&b.3)).map(|(run, ..)| run.id.clone());
        let snapped = match sought.snapping {
            Snapping::On => marks.snap_lines(point, mm_per_point),
            Snapping::Suspended => marks.snap(point, mm_per_point, Snapping::Suspended),
        };
        Self::Free { at: snapped.at, level: snapped.level, upright: snapped.upright, beside }
    }

    /// Somewhere that is on nothing.
    #[must_use]
    pub const fn free(at: DVec2) -> Self {
        Self::Free { at, level: None, upright: None, beside: None }
    }

    /// What it snapped to along the axis in which a square stretch from `last` would run; the other does not count.
    #[must_use]
    pub fn squared(self, last: DVec2) -> Self {
        match self {
            Self::Free { at, level, upright, beside } => match Way::of(at - last) {
                Way::Level => Self::Free { at, level: None, upright, beside },
                Way::Upright => Self::Free { at, level, upright: None, beside },
            },
            other => other,
        }
    }

    /// Where it is.
    #[must_use]
    pub const fn at(&self) -> DVec2 {
        match self {
            Self::Port { at, .. } | Self::Side { at, .. } | Self::Tee { at, .. } | Self::Free { at, .. } => *at,
        }
    }

    /// Which way a pipe leaves it, where it matters.
    #[must_use]
    pub const fn way(&self) -> Option<Way> {
        match self {
            Self::Port { way, .. } | Self::Tee { way, .. } => Some(*way),
            Self::Side { tapping: Tapping::Base(_) | Tapping::Top(_), .. } => Some(Way::Upright),
            Self::Side { .. } => Some(Way::Level),
            Self::Free { .. } => None,
        }
    }

    /// What it is, for the status line.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Port { part, port, .. } => format!("on {} of {}", port.spoken(), part.spoken()),
            Self::Side { cistern, tapping, .. } => {
                let (cistern, mm) = (cistern.spoken(), tapping.distance().to_mm());
                match tapping {
                    Tapping::Left(_) | Tapping::Right(_) => format!("a new hole in {cistern}, {mm} mm up"),
                    Tapping::Base(_) => format!("a new hole in the base of {cistern}, {mm} mm from its left side"),
                    Tapping::Top(_) => format!("a new hole in the top of {cistern}, {mm} mm from its left side"),
                }
            }
            Self::Tee { run, .. } => format!("a tee on {}", run.spoken()),
            Self::Free { .. } => self.line_words(),
        }
    }

    /// The lines that it snapped to; empty where it is on something.
    #[must_use]
    pub fn line_words(&self) -> String {
        match self {
            Self::Free { level, upright, .. } => line_words(level.as_ref(), upright.as_ref()),
            Self::Port { .. } | Self::Side { .. } | Self::Tee { .. } => String::new(),
        }
    }

    /// The part or run that it is on.
    #[must_use]
    pub const fn on(&self) -> Option<&Id> {
        match self {
            Self::Port { part, .. } => Some(part),
            Self::Side { cistern, .. } => Some(cistern),
            Self::Tee { run, .. } => Some(run),
            Self::Free { .. } => None,
        }
    }

    /// The end of a run here, and the change that makes the hole it needs.
    #[must_use]
    pub fn end(&self, layout: &Layout, service: Service) -> (End, Option<Edit>) {
        match self {
            Self::Port { part, port, .. } => (End::Port(part.clone(), port.clone()), None),
            Self::Tee { run, along_mm, .. } => (End::Tee(run.clone(), Length::mm(*along_mm)), None),
            Self::Free { at, .. } => (End::Open((*at).into()), None),
            Self::Side { cistern, tapping, at } => match layout.part(cistern) {
                Some(PartRef::Cistern(found)) => {
                    let mut changed = found.clone();
                    let port = drill(&mut changed, *tapping, service);
                    (End::Port(cistern.clone(), port), Some(Edit::put(Part::Cistern(changed))))
                }
                _ => (End::Open((*at).into()), None),
            },
        }
    }
}

/// Which way a pipe leaves a port: level from a side, upright from top or base.
fn way_out(part: PartRef<'_>, at: DVec2) -> Way {
    match (part, extent(part)) {
        (PartRef::Outlet(_), _) | (_, None) => Way::Upright,
        (_, Some((low, high))) => {
            let to_side = (at.x - low.x).abs().min((high.x - at.x).abs());
            let to_end = (at.y - low.y).abs().min((high.y - at.y).abs());
            if to_side < to_end { Way::Level } else { Way::Upright }
        }
    }
}

fn hole_in(cistern: &Cistern, point: DVec2, reach_mm: f64) -> Option<Anchor> {
    let (low, high) = extent(PartRef::Cistern(cistern))?;
    let step = |mm: f64| Length::mm((mm / HOLE_STEP_MM).round() * HOLE_STEP_MM);
    let up = step(point.y - low.y);
    let lean = cistern.draft_at_mm(up.to_mm());
    let (left, right) = (low.x + lean, high.x - lean);
    let beside = up.to_mm() > 0.0 && up.to_mm() < high.y - low.y;
    let (tapping, at) = if beside && (point.x - left).abs() <= reach_mm {
        (Tapping::Left(up), dvec2(left, low.y + up.to_mm()))
    } else if beside && (point.x - right).abs() <= reach_mm {
        (Tapping::Right(up), dvec2(right, low.y + up.to_mm()))
    } else if (point.y - low.y).abs() <= reach_mm && point.x > left && point.x < right {
        let along = step(point.x - low.x);
        (Tapping::Base(along), dvec2(low.x + along.to_mm(), low.y))
    } else {
        return None;
    };
    Some(Anchor::Side { cistern: cistern.id.clone(), tapping, at })
}

/// Makes a hole for a service, and names its port after it. A rising main comes in by the float valve.
fn drill(cistern: &mut Cistern, tapping: Tapping, service: Service) -> Id {
    if service == Service::RisingMain && cistern.float_valve.is_none() {
        cistern.float_valve = Some(FloatValve::new(tapping));
        return Id::of(INLET);
    }
    let wish = match service {
        Service::ColdFeed => "cold-feed",
        Service::ColdDistribution => "distribution",
        Service::WarningPipe => "warning",
        Service::OpenVent | Service::PrimaryVent => "vent",
        Service::RisingMain => "rising-main",
        Service::PrimaryFeed => "feed",
        Service::HotDistribution => "hot",
        Service::Link => "link",
        Service::PrimaryFlow => "flow",
        Service::PrimaryReturn => "return",
    };
    let taken = |name: &str| cistern.connections.iter().any(|hole| hole.port.as_str() == name);
    let numbered = (2..).map(|number| format!("{wish}-{number}"));
    let port = std::iter::once(wish.to_owned()).chain(numbered).find(|name| !taken(name));
    let port = Id::of(port.as_deref().unwrap_or(wish));
    cistern.connections.push(Connection { port: port.clone(), on: tapping });
    port
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::layout::CisternRole;
    use crate::units::Size;

    #[test]
    fn a_new_hole_says_from_where_it_is_measured() {
        let (length, height) = (Size::mm(900.0), Size::mm(600.0));
        let cistern = Cistern::new(Id::of("cistern"), CisternRole::Storage, Point::mm(1000.0, 5000.0), length, height);
        let words = |x: f64, z: f64| hole_in(&cistern, dvec2(x, z), 20.0).map(|hole| hole.words()).unwrap_or_default();
        assert_eq!(words(1002.0, 5100.0), "a new hole in cistern, 100 mm up");
        assert_eq!(words(1685.0, 4998.0), "a new hole in the base of cistern, 685 mm from its left side");
    }
}
