//! Ports: the places on parts where pipes begin and end.

use glam::DVec2;
use serde::{Deserialize, Serialize};

use super::{Boiler, Cistern, Cylinder, Id, Outlet, PartRef, Service};
use crate::geom::Point;
use crate::units::Length;

/// Port of a cistern's float valve.
pub const INLET: &str = "inlet";
/// Port of a cylinder where cold water comes in, low down.
pub const COLD_INLET: &str = "cold-inlet";
/// Port on a cylinder's dome.
pub const DRAW_OFF: &str = "draw-off";
/// Upper port of a cylinder's coil.
pub const COIL_FLOW: &str = "coil-flow";
/// Lower port of a cylinder's coil.
pub const COIL_RETURN: &str = "coil-return";
/// Upper port by which a boiler heats the stored water itself.
pub const PRIMARY_FLOW: &str = "primary-flow";
/// Lower port by which a boiler heats the stored water itself.
pub const PRIMARY_RETURN: &str = "primary-return";
/// Port of a boiler.
pub const FLOW: &str = "flow";
/// Port of a boiler.
pub const RETURN: &str = "return";
/// Port of a combination boiler.
pub const MAINS: &str = "mains";
/// Port of an outlet or a combination boiler.
pub const HOT: &str = "hot";
/// Port of an outlet.
pub const COLD: &str = "cold";

/// How far the hot and cold ports of an outlet stand apart from its middle, so that two pipes can be told apart.
const OUTLET_PORT_OFFSET_MM: f64 = 40.0;

/// A hole stays at least this far from the edges of its face when it is moved, mm.
const FACE_EDGE_MM: f64 = 20.0;

/// Whether a port is where a run of a service belongs, by the port's name; any hole in a cistern is.
#[must_use]
pub fn suits(port: &str, service: Service) -> bool {
    match port {
        HOT => service == Service::HotDistribution,
        COLD => matches!(service, Service::ColdDistribution | Service::RisingMain),
        COLD_INLET => service == Service::ColdFeed,
        DRAW_OFF => matches!(service, Service::HotDistribution | Service::OpenVent),
        INLET | MAINS => service == Service::RisingMain,
        COIL_FLOW | COIL_RETURN | PRIMARY_FLOW | PRIMARY_RETURN | FLOW | RETURN => service.is_primary(),
        _ => true,
    }
}

/// A hole in a part that a pipe may join.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Connection {
    /// Its name among the part's ports.
    pub port: Id,
    /// Where it is.
    pub on: Tapping,
}

/// Where a connection's centre is on the outside of a part.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Tapping {
    /// In the left side, this far above the base.
    Left(Length),
    /// In the right side, this far above the base.
    Right(Length),
    /// In the base, this far from the left side.
    Base(Length),
    /// In the top, this far from the left side.
    Top(Length),
}

impl Tapping {
    /// The distance it states.
    #[must_use]
    pub const fn distance(self) -> Length {
        match self {
            Self::Left(distance) | Self::Right(distance) | Self::Base(distance) | Self::Top(distance) => distance,
        }
    }

    /// The same side at another distance.
    #[must_use]
    pub const fn with_distance(self, distance: Length) -> Self {
        match self {
            Self::Left(_) => Self::Left(distance),
            Self::Right(_) => Self::Right(distance),
            Self::Base(_) => Self::Base(distance),
            Self::Top(_) => Self::Top(distance),
        }
    }

    fn on_box(self, at: Point, length_mm: f64, height_mm: f64, lean_mm: impl Fn(f64) -> f64) -> Point {
        let (left, base) = (at.x.to_mm(), at.z.to_mm());
        match self {
            Self::Left(up) => Point::mm(left + lean_mm(up.to_mm()), base + up.to_mm()),
            Self::Right(up) => Point::mm(left + length_mm - lean_mm(up.to_mm()), base + up.to_mm()),
            Self::Base(along) => Point::mm(left + along.to_mm(), base),
            Self::Top(along) => Point::mm(left + along.to_mm(), base + height_mm),
        }
    }
}

impl PartRef<'_> {
    /// Where a port is; `None` when the part has no port of that name.
    #[must_use]
    pub fn port(&self, name: &str) -> Option<Point> {
        match self {
            Self::Cistern(cistern) => cistern.tapping(name).map(|tapping| cistern.place(tapping)),
            Self::Cylinder(cylinder) => cylinder.tapping(name).map(|tapping| cylinder.place(tapping)),
            Self::Boiler(boiler) => boiler.tapping(name).map(|tapping| boiler.place(tapping)),
            Self::Outlet(outlet) => outlet.port(name),
            Self::Platform(_) | Self::Run(_) | Self::Note(_) => None,
        }
    }

    /// All ports by name.
    #[must_use]
    pub fn ports(&self) -> Vec<(Id, Point)> {
        let named = |names: &[&str]| {
            names.iter().filter_map(|name| self.port(name).map(|point| (Id::of(name), point))).collect()
        };
        match self {
            Self::Cistern(cistern) => {
                let valve = cistern.float_valve.map(|valve| (Id::of(INLET), cistern.place(valve.shank)));
                let holes = cistern.connections.iter().map(|hole| (hole.port.clone(), cistern.place(hole.on)));
                valve.into_iter().chain(holes).collect()
            }
            Self::Cylinder(_) => named(&[COLD_INLET, DRAW_OFF, COIL_FLOW, COIL_RETURN, PRIMARY_FLOW, PRIMARY_RETURN]),
            Self::Boiler(_) => named(&[FLOW, RETURN, MAINS, HOT]),
            Self::Outlet(_) => named(&[HOT, COLD]),
            Self::Platform(_) | Self::Run(_) | Self::Note(_) => Vec::new(),
        }
    }
}

impl Cistern {
    pub(super) fn tapping(&self, name: &str) -> Option<Tapping> {
        if name == INLET {
            return self.float_valve.map(|valve| valve.shank);
        }
        stated(&self.connections, name)
    }

    fn place(&self, tapping: Tapping) -> Point {
        tapping.on_box(self.at, self.length.to_mm(), self.height.to_mm(), |up| self.draft_at_mm(up))
    }

    /// The cistern with one of its ports moved along the face that it is in, as far as the face goes; a float valve goes
    /// as a whole. `None` when it has no such port, or when the face does not lie that way.
    #[must_use]
    pub fn with_port_moved(&self, name: &str, by: DVec2) -> Option<Self> {
        let on = self.tapping(name)?;
        let (along_mm, most_mm) = match on {
            Tapping::Left(_) | Tapping::Right(_) => (by.y, self.height.to_mm() - FACE_EDGE_MM),
            Tapping::Base(_) | Tapping::Top(_) => (by.x, self.length.to_mm() - FACE_EDGE_MM),
        };
        if along_mm == 0.0 || most_mm < FACE_EDGE_MM {
            return None;
        }
        let now_mm = on.distance().to_mm();
        self.with_port_at(name, Length::mm((now_mm + along_mm).clamp(FACE_EDGE_MM, most_mm)))
    }

    /// The cistern with one of its ports at a distance along the face that it is in, wherever that is; a float valve goes
    /// as a whole. `None` when it has no such port.
    #[must_use]
    pub fn with_port_at(&self, name: &str, at: Length) -> Option<Self> {
        let on = self.tapping(name)?;
        let mut changed = self.clone();
        if name == INLET {
            let valve = changed.float_valve.as_mut()?;
            valve.shank = on.with_distance(at);
            let up = Length::mm(at.to_mm() - on.distance().to_mm());
            valve.outlet = valve.outlet.map(|outlet| outlet + up);
        } else {
            changed.connections.iter_mut().find(|hole| hole.port.as_str() == name)?.on = on.with_distance(at);
        }
        Some(changed)
    }

    /// The cistern without a hole; its float valve stays.
    #[must_use]
    pub fn without_hole(&self, name: &Id) -> Self {
        let mut changed = self.clone();
        changed.connections.retain(|hole| hole.port != *name);
        changed
    }
}

impl Cylinder {
    /// A stated connection, or where most makers put it.
    pub(super) fn tapping(&self, name: &str) -> Option<Tapping> {
        stated(&self.connections, name).or_else(|| self.usual_tapping(name))
    }

    /// Whether air and steam that rise in it come to a port: its draw-off, and whatever else is in its top.
    #[must_use]
    pub fn gathers_air_at(&self, port: &str) -> bool {
        port == DRAW_OFF || matches!(self.tapping(port), Some(Tapping::Top(_)))
    }

    /// Where most makers put a connection.
    pub(super) fn usual_tapping(&self, name: &str) -> Option<Tapping> {
        let share = |share: f64| Length::mm(self.height.to_mm() * share);
        let coil = self.coil != Some(false);
        match name {
            COLD_INLET => Some(Tapping::Left(share(0.11))),
            DRAW_OFF => Some(Tapping::Top(Length::mm(self.diameter.to_mm() / 2.0))),
            COIL_FLOW if coil => Some(Tapping::Right(share(0.5))),
            COIL_RETURN if coil => Some(Tapping::Right(share(0.2))),
            PRIMARY_FLOW => Some(Tapping::Right(share(0.75))),
            PRIMARY_RETURN => Some(Tapping::Right(share(0.12))),
            _ => None,
        }
    }

    fn place(&self, tapping: Tapping) -> Point {
        tapping.on_box(self.at, self.diameter.to_mm(), self.height.to_mm(), |_| 0.0)
    }
}

impl Boiler {
    fn tapping(&self, name: &str) -> Option<Tapping> {
        let share = |share: f64| Length::mm(self.length.to_mm() * share);
        match name {
            FLOW => Some(Tapping::Top(share(0.3))),
            RETURN => Some(Tapping::Top(share(0.7))),
            MAINS => Some(Tapping::Base(share(0.3))),
            HOT => Some(Tapping::Base(share(0.7))),
            _ => None,
        }
    }

    fn place(&self, tapping: Tapping) -> Point {
        tapping.on_box(self.at, self.length.to_mm(), self.height.to_mm(), |_| 0.0)
    }
}

impl Outlet {
    fn port(&self, name: &str) -> Option<Point> {
        let aside = match name {
            HOT => -OUTLET_PORT_OFFSET_MM,
            COLD => OUTLET_PORT_OFFSET_MM,
            _ => return None,
        };
        Some(Point::mm(self.at.x.to_mm() + aside, self.at.z.to_mm()))
    }
}

fn stated(connections: &[Connection], name: &str) -> Option<Tapping> {
    connections.iter().find(|connection| connection.port.as_str() == name).map(|connection| connection.on)
}
