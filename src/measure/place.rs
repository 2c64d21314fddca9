//! Places by name: a part and one of its features, turned into a point only when something is drawn.

use glam::{DVec2, dvec2};

use super::Site;
use crate::layout::{Cistern, Cylinder, DipTube, Id, PartRef, Platform};

/// A place in the section, by name.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// The part; none for the building.
    pub part: Option<Id>,
    /// What of it.
    pub feature: Feature,
}

/// A feature of a part or of the building.
#[derive(Debug, Clone, PartialEq)]
pub enum Feature {
    /// The middle of the part.
    Middle,
    /// The middle of its underside.
    Base,
    /// The middle of its top: rim, dome, board.
    Top,
    /// Its left side, at the top for a cistern or platform.
    Left,
    /// Its right side, at the top for a cistern or platform.
    Right,
    /// A cistern's water line, at the middle.
    WaterLine,
    /// Where a float valve lets the water go.
    FloatValveOutlet,
    /// The lowest inside point of a warning pipe's connection: port, and half the bore in mm.
    Invert(Id, f64),
    /// The lower end of a dip tube.
    DipTubeEnd,
    /// A port.
    Port(Id),
    /// A distance along a run, in mm.
    Along(f64),
    /// The lowest inside point of a run at a distance along it: that, and half the bore, in mm.
    InvertAlong(f64, f64),
    /// The centre of a timber under a platform, by its x in mm.
    Timber(f64),
    /// The middle of a joist, by its x in mm.
    Joist(f64),
    /// The roof over an x in mm.
    Roof(f64),
    /// The ceiling over an x in mm.
    Ceiling(f64),
    /// The underside of a storey's floor, by its number and an x in mm.
    Deck(usize, f64),
}

impl Place {
    /// A feature of a part.
    #[must_use]
    pub fn of(part: &Id, feature: Feature) -> Self {
        Self { part: Some(part.clone()), feature }
    }

    /// The middle of a part.
    #[must_use]
    pub fn middle(part: &Id) -> Self {
        Self::of(part, Feature::Middle)
    }

    /// The middle of a joist, by its x in mm.
    #[must_use]
    pub const fn joist(x_mm: f64) -> Self {
        Self { part: None, feature: Feature::Joist(x_mm) }
    }

    /// The roof over an x in mm.
    #[must_use]
    pub const fn roof(x_mm: f64) -> Self {
        Self { part: None, feature: Feature::Roof(x_mm) }
    }
}

impl Site<'_> {
    /// The point of a place; `None` when the layout does not tell.
    #[must_use]
    pub fn locate(&self, place: &Place) -> Option<DVec2> {
        let Some(id) = &place.part else {
            return match place.feature {
                Feature::Roof(x) => self.roof().and_then(|roof| roof.height_at(x)).map(|z| dvec2(x, z)),
                Feature::Ceiling(x) => Some(dvec2(x, self.building().ceiling?.underside.to_mm())),
                Feature::Deck(number, x) => Some(dvec2(x, self.building().storeys.get(number)?.underside_mm())),
                Feature::Joist(x) => {
                    let joists = self.building().joists.as_ref()?;
                    Some(dvec2(x, joists.top.to_mm() - joists.depth.to_mm() / 2.0))
                }
                _ => None,
            };
        };
        match self.part(id)? {
            PartRef::Cistern(cistern) => self.on_cistern(cistern, &place.feature),
            PartRef::Cylinder(cylinder) => on_cylinder(cylinder, &place.feature),
            PartRef::Platform(platform) => self.on_platform(platform, &place.feature),
            PartRef::Boiler(boiler) => {
                let size = dvec2(boiler.length.to_mm(), boiler.height.to_mm());
                on_box(boiler.at.vector(), size, &place.feature)
            }
            PartRef::Outlet(outlet) => Some(outlet.at.vector()),
            PartRef::Note(note) => Some(note.at.vector()),
            PartRef::Run(run) => {
                let line = self.line(self.run_number(&run.id)?)?;
                Some(match place.feature {
                    Feature::Along(distance) => line.point_at(distance),
                    Feature::InvertAlong(distance, half_bore) => line.point_at(distance) - dvec2(0.0, half_bore),
                    _ => line.point_at(line.length() / 2.0),
                })
            }
        }
        .or_else(|| match &place.feature {
            Feature::Port(port) => self.part(id)?.port(port.as_str()).map(|point| point.vector()),
            Feature::Invert(port, half_bore) => {
                self.part(id)?.port(port.as_str()).map(|point| point.vector() - dvec2(0.0, *half_bore))
            }
            _ => None,
        })
    }

    fn on_cistern(&self, cistern: &Cistern, feature: &Feature) -> Option<DVec2> {
        let at = cistern.at.vector();
        let size = dvec2(cistern.length.to_mm(), cistern.height.to_mm());
        let middle = at.x + size.x / 2.0;
        match feature {
            Feature::Left => Some(at + dvec2(0.0, size.y)),
            Feature::Right => Some(at + size),
            Feature::WaterLine => Some(dvec2(middle, cistern.surface()?.to_mm())),
            Feature::FloatValveOutlet => {
                let valve = cistern.float_valve?;
                let shank = PartRef::Cistern(cistern).port(crate::layout::INLET)?.vector();
                let inward = if shank.x < middle { 60.0 } else { -60.0 };
                Some(dvec2(shank.x + inward, at.y + valve.outlet?.to_mm()))
            }
            Feature::DipTubeEnd => match cistern.dip_tube? {
                DipTube::EndsAt(height) => {
                    let port = self.warning_ports(cistern).into_iter().next()?;
                    let hole = PartRef::Cistern(cistern).port(port.as_str())?.vector();
                    let inward = match hole {
                        // It stands on the base.
                        hole if hole.y <= at.y => 0.0,
                        hole if hole.x < middle => 40.0,
                        _ => -40.0,
                    };
                    Some(dvec2(hole.x + inward, at.y + height.to_mm()))
                }
                DipTube::Missing => None,
            },
            other => on_box(at, size, other),
        }
    }

    fn on_platform(&self, platform: &Platform, feature: &Feature) -> Option<DVec2> {
        let at = platform.at.vector();
        match feature {
            Feature::Timber(x) => Some(dvec2(*x, platform.underside_mm())),
            Feature::Left => Some(at),
            Feature::Right => Some(at + dvec2(platform.length.to_mm(), 0.0)),
            Feature::Base => Some(dvec2(at.x + platform.length.to_mm() / 2.0, platform.foot_mm())),
            _ => Some(at + dvec2(platform.length.to_mm() / 2.0, 0.0)),
        }
    }
}

fn on_cylinder(cylinder: &Cylinder, feature: &Feature) -> Option<DVec2> {
    on_box(cylinder.at.vector(), dvec2(cylinder.diameter.to_mm(), cylinder.height.to_mm()), feature)
}

fn on_box(at: DVec2, size: DVec2, feature: &Feature) -> Option<DVec2> {
    match feature {
        Feature::Middle => Some(at + size / 2.0),
        Feature::Base => Some(at + dvec2(size.x / 2.0, 0.0)),
        Feature::Top => Some(at + dvec2(size.x / 2.0, size.y)),
        Feature::Left => Some(at + dvec2(0.0, size.y / 2.0)),
        Feature::Right => Some(at + dvec2(size.x, size.y / 2.0)),
        _ => None,
    }
}
