//! Parts that are made larger or smaller by one of their sides.

use glam::{DVec2, dvec2};

use super::{Connection, Lie, Part, PartRef, Tapping, extent};
use crate::units::{Length, Size};

/// Nothing is dragged smaller than this, mm: it can still be caught.
const LEAST_MM: f64 = 20.0;

/// A side of a part by which it can be made larger or smaller.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Its left side.
    Left,
    /// Its right side.
    Right,
    /// Its top.
    Top,
    /// Its base.
    Base,
}

impl Side {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Left, Self::Right, Self::Top, Self::Base];

    /// The side in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Left => "left side",
            Self::Right => "right side",
            Self::Top => "top",
            Self::Base => "base",
        }
    }

    /// The way in which it moves.
    #[must_use]
    pub const fn way(self) -> DVec2 {
        match self {
            Self::Left | Self::Right => DVec2::X,
            Self::Top | Self::Base => DVec2::Y,
        }
    }
}

impl PartRef<'_> {
    /// The sides by which it can be resized, and their middles, mm.
    #[must_use]
    pub fn sides(&self) -> Vec<(Side, DVec2)> {
        let Some((low, high)) = extent(*self) else { return Vec::new() };
        let sides: &[Side] = match self {
            Self::Platform(_) => &[Side::Left, Side::Right],
            Self::Cistern(_) | Self::Cylinder(_) | Self::Boiler(_) => &Side::ALL,
            Self::Outlet(_) | Self::Run(_) | Self::Note(_) => &[],
        };
        let middle = low.midpoint(high);
        let place = |side: Side| match side {
            Side::Left => dvec2(low.x, middle.y),
            Side::Right => dvec2(high.x, middle.y),
            Side::Top => dvec2(middle.x, high.y),
            Side::Base => dvec2(middle.x, low.y),
        };
        sides.iter().map(|side| (*side, place(*side))).collect()
    }

    /// The part with one side moved outward or inward by `by_mm` along its axis, to the right or up. Holes in base and
    /// top stay where they are in the section; those in a side keep their height above the base. Bearers stay too.
    #[must_use]
    pub fn with_side_moved(&self, side: Side, by_mm: f64) -> Part {
        let mut part = self.to_part();
        let outward_mm = match side {
            Side::Right | Side::Top => by_mm,
            Side::Left | Side::Base => -by_mm,
        };
        let Some(size) = size_toward(&mut part, side) else { return part };
        let was_mm = size.to_mm();
        *size = grown(*size, outward_mm);
        let grown_mm = size.to_mm() - was_mm;
        match side {
            Side::Right | Side::Top => {}
            Side::Base => shift_foot(&mut part, dvec2(0.0, -grown_mm)),
            Side::Left => {
                shift_foot(&mut part, dvec2(-grown_mm, 0.0));
                match &mut part {
                    Part::Platform(platform) => {
                        for bearers in platform.bearers.iter_mut().filter(|bearers| bearers.lie == Lie::EndOn) {
                            bearers.first = bearers.first + Length::mm(grown_mm);
                        }
                    }
                    Part::Cistern(cistern) => keep_in_place(&mut cistern.connections, grown_mm),
                    Part::Cylinder(cylinder) => keep_in_place(&mut cylinder.connections, grown_mm),
                    _ => {}
                }
            }
        }
        part
    }
}

/// A size that grows by so much, and never shrinks below the least.
pub(super) fn grown(size: Size, by_mm: f64) -> Size {
    Size::mm((size.to_mm() + by_mm).max(LEAST_MM.min(size.to_mm())))
}

/// The size that changes when a side moves; nothing where the part has no such side.
fn size_toward(part: &mut Part, side: Side) -> Option<&mut Size> {
    let upright = side.way() == DVec2::Y;
    Some(match (part, upright) {
        (Part::Platform(platform), false) => &mut platform.length,
        (Part::Cistern(cistern), true) => &mut cistern.height,
        (Part::Cistern(cistern), false) => &mut cistern.length,
        (Part::Cylinder(cylinder), true) => &mut cylinder.height,
        (Part::Cylinder(cylinder), false) => &mut cylinder.diameter,
        (Part::Boiler(boiler), true) => &mut boiler.height,
        (Part::Boiler(boiler), false) => &mut boiler.length,
        _ => return None,
    })
}

fn shift_foot(part: &mut Part, by: DVec2) {
    if let Some(at) = part.at_mut() {
        *at = at.moved(by);
    }
}

/// Holes in base and top are told from the left side.
fn keep_in_place(holes: &mut [Connection], left_by_mm: f64) {
    for hole in holes {
        if let Tapping::Base(along) | Tapping::Top(along) = hole.on {
            hole.on = hole.on.with_distance(along + Length::mm(left_by_mm));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;
    use crate::layout::{Cistern, CisternRole, Id};

    fn cistern() -> Cistern {
        let mut cistern = Cistern::new(
            Id::of("cistern"),
            CisternRole::Storage,
            Point::mm(1000.0, 5000.0),
            Size::mm(900.0),
            Size::mm(600.0),
        );
        cistern.connections.push(Connection { port: Id::of("feed"), on: Tapping::Base(Length::mm(100.0)) });
        cistern
    }

    fn moved(side: Side, by_mm: f64) -> Cistern {
        match PartRef::Cistern(&cistern()).with_side_moved(side, by_mm) {
            Part::Cistern(cistern) => cistern,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn the_opposite_side_stays() {
        assert_eq!((moved(Side::Right, 50.0).length, moved(Side::Right, 50.0).at), (Size::mm(950.0), cistern().at));
        let left = moved(Side::Left, -50.0);
        assert_eq!((left.length, left.at), (Size::mm(950.0), Point::mm(950.0, 5000.0)));
        assert_eq!(left.connections[0].on, Tapping::Base(Length::mm(150.0)));
        let base = moved(Side::Base, 100.0);
        assert_eq!((base.height, base.at), (Size::mm(500.0), Point::mm(1000.0, 5100.0)));
    }

    #[test]
    fn nothing_is_turned_inside_out() {
        assert_eq!(moved(Side::Top, -5000.0).height, Size::mm(LEAST_MM));
        let base = moved(Side::Base, 5000.0);
        assert_eq!((base.height, base.at.z.to_mm()), (Size::mm(LEAST_MM), 5600.0 - LEAST_MM));
    }
}
